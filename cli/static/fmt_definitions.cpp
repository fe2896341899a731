// What libfmt.so holds, as an object of the program's own: Debian has no static library of it. The package brings its
// source as a header; the two templates are those that the other headers declare only.
#include <fmt/format-inl.h>

template FMT_API fmt::detail::thousands_sep_result<char> fmt::detail::thousands_sep_impl(fmt::detail::locale_ref);
template FMT_API char fmt::detail::decimal_point_impl(fmt::detail::locale_ref);
