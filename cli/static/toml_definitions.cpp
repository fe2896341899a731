// What libtomlplusplus.so holds, as an object of the program's own: Debian has no static library of it.
#define TOML_HEADER_ONLY 0
#define TOML_IMPLEMENTATION
#include <toml++/toml.h>
