# Finds the checks: every folder checks/<name>/ with a check.cpp and a page.md is one. Its source joins the library, its
# page is put in as bytes, and `all_checks()` is written as an ordinary table, in order of name.
# Included by lib/CMakeLists.txt; runs itself with `cmake -P` at build time, so that an edited page is embedded anew.

if(CMAKE_SCRIPT_MODE_FILE)
  cmake_minimum_required(VERSION 3.25)
  file(READ ${FROM} bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  file(WRITE ${TO}
       "#include <string_view>\n\nnamespace beadwise::checks::${FOLDER} {\n\n"
       "namespace {\nconstexpr unsigned char bytes[] = {${bytes}};\n}  // namespace\n\n"
       "std::string_view page();\n"
       "std::string_view page() { return {reinterpret_cast<const char*>(bytes), sizeof bytes}; }\n\n"
       "}  // namespace beadwise::checks::${FOLDER}\n")
  return()
endif()

# Both files are looked for, so that a page written after its check is noticed without a word to the build.
file(GLOB check_sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/checks/*/check.cpp)
file(GLOB check_pages CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/checks/*/page.md)

set(check_names)
foreach(source IN LISTS check_sources)
  cmake_path(GET source PARENT_PATH folder)
  if(NOT ${folder}/page.md IN_LIST check_pages)
    message(FATAL_ERROR "${folder} has no page.md: a check comes with the page that explains it")
  endif()
  cmake_path(GET folder FILENAME name)
  string(REPLACE "_" "-" name ${name})
  list(APPEND check_names ${name})
endforeach()
list(SORT check_names)

set(check_declarations)
set(check_rows)
foreach(name IN LISTS check_names)
  string(REPLACE "-" "_" folder ${name})
  set(page ${CMAKE_CURRENT_SOURCE_DIR}/src/checks/${folder}/page.md)
  set(embedded ${CMAKE_CURRENT_BINARY_DIR}/checks/${folder}_page.cpp)
  add_custom_command(
    OUTPUT ${embedded}
    COMMAND ${CMAKE_COMMAND} -D FROM=${page} -D TO=${embedded} -D FOLDER=${folder} -P
            ${CMAKE_CURRENT_LIST_DIR}/register_checks.cmake
    DEPENDS ${page} ${CMAKE_CURRENT_LIST_DIR}/register_checks.cmake
    COMMENT "Embedding the page of ${name}"
    VERBATIM)
  target_sources(beadwise PRIVATE src/checks/${folder}/check.cpp ${embedded})
  string(APPEND check_declarations
         "namespace beadwise::checks::${folder} {\n"
         "const Description& describe();\n"
         "std::unique_ptr<Check> make(const CheckContext& context);\n"
         "std::string_view page();\n"
         "}  // namespace beadwise::checks::${folder}\n")
  string(APPEND check_rows
         "\n      {\"${name}\", checks::${folder}::page(), checks::${folder}::describe, checks::${folder}::make},")
endforeach()

# `configure` leaves a file alone that would not change, so that only a new or removed check compiles the table again.
set(check_table ${CMAKE_CURRENT_BINARY_DIR}/checks/all_checks.cpp)
file(
  CONFIGURE
  OUTPUT ${check_table}
  CONTENT
    "// Written by register_checks.cmake from the folders of checks/.
#include <memory>
#include <string_view>
#include <vector>

#include \"beadwise/check.hpp\"

${check_declarations}
namespace beadwise {

std::span<const RegisteredCheck> all_checks() {
  static const std::vector<RegisteredCheck> table{${check_rows}
  };
  return table;
}

}  // namespace beadwise
"
  @ONLY)
target_sources(beadwise PRIVATE ${check_table})
