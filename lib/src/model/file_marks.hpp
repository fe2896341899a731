#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace beadwise {

/// What a file is by the mark that its format puts at its beginning: "a ZIP archive"; none where there is no such mark.
std::optional<std::string> format_by_mark(std::string_view beginning);

/// What the first lines look like to a reader: "binary data", "a list of coordinates", "text"; none for lines that may
/// be G-code.
std::optional<std::string> kind_of_writing(std::string_view beginning);

}  // namespace beadwise
