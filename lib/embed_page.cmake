# Puts lib/src/report/page/page.css and page.js into the library as bytes, with the SHA-256 of each in base64 as a
# content security policy wants it. Included by lib/CMakeLists.txt; runs itself with `cmake -P` at build time.

if(CMAKE_SCRIPT_MODE_FILE)
  cmake_minimum_required(VERSION 3.25)
  include(${CMAKE_CURRENT_LIST_DIR}/embed_bytes.cmake)

  # Base64 of bytes given as hexadecimal digits.
  function(base64_of_hex hex result)
    set(letters ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/)
    set(out "")
    while(NOT hex STREQUAL "")
      string(SUBSTRING "${hex}" 0 6 group)
      string(LENGTH "${group}" digits)
      string(LENGTH "${hex}" left)
      if(left GREATER 6)
        string(SUBSTRING "${hex}" 6 -1 hex)
      else()
        set(hex "")
      endif()
      string(SUBSTRING "${group}0000" 0 6 group)
      foreach(shift IN ITEMS 18 12 6 0)
        math(EXPR index "(0x${group} >> ${shift}) & 63")
        string(SUBSTRING "${letters}" ${index} 1 letter)
        string(APPEND out ${letter})
      endforeach()
      if(digits EQUAL 4)
        string(REGEX REPLACE ".$" "=" out "${out}")
      elseif(digits EQUAL 2)
        string(REGEX REPLACE "..$" "==" out "${out}")
      endif()
    endwhile()
    set(${result} "${out}" PARENT_SCOPE)
  endfunction()

  set(text "#include \"report/html_page.hpp\"\n\nnamespace beadwise::html_page {\n")
  foreach(part IN ITEMS style:page.css script:page.js)
    string(REPLACE ":" ";" part "${part}")
    list(GET part 0 name)
    list(GET part 1 file)
    file(SHA256 "${FROM}/${file}" digest)
    base64_of_hex("${digest}" hash)
    append_bytes(text ${name} "${FROM}/${file}")
    string(APPEND text "std::string_view ${name}_sha256() { return \"${hash}\"; }\n")
  endforeach()
  string(APPEND text "\n}  // namespace beadwise::html_page\n")
  file(WRITE "${TO}" "${text}")
  return()
endif()

set(beadwise_page_folder ${CMAKE_CURRENT_SOURCE_DIR}/src/report/page)
set(beadwise_page_source ${CMAKE_CURRENT_BINARY_DIR}/html_page.cpp)
add_custom_command(
  OUTPUT ${beadwise_page_source}
  COMMAND ${CMAKE_COMMAND} -D FROM=${beadwise_page_folder} -D TO=${beadwise_page_source} -P
          ${CMAKE_CURRENT_LIST_DIR}/embed_page.cmake
  DEPENDS ${beadwise_page_folder}/page.css ${beadwise_page_folder}/page.js ${CMAKE_CURRENT_LIST_DIR}/embed_page.cmake
          ${CMAKE_CURRENT_LIST_DIR}/embed_bytes.cmake
  COMMENT "Embedding the page of the HTML report"
  VERBATIM)
target_sources(beadwise PRIVATE ${beadwise_page_source})
