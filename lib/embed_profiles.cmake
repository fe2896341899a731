# Puts lib/src/profile/builtin/*.toml into the library as bytes, so that an installed program needs no data files.
# Included by lib/CMakeLists.txt; runs itself with `cmake -P` at build time, so that an edited table is embedded anew.

if(CMAKE_SCRIPT_MODE_FILE)
  cmake_minimum_required(VERSION 3.25)
  include(${CMAKE_CURRENT_LIST_DIR}/embed_bytes.cmake)
  set(text "#include \"profile/builtin.hpp\"\n\nnamespace beadwise::builtin {\n")
  foreach(name IN ITEMS machine materials)
    append_bytes(text ${name}_toml "${FROM}/${name}.toml")
  endforeach()
  string(APPEND text "\n}  // namespace beadwise::builtin\n")
  file(WRITE "${TO}" "${text}")
  return()
endif()

set(beadwise_builtin_folder ${CMAKE_CURRENT_SOURCE_DIR}/src/profile/builtin)
set(beadwise_builtin_source ${CMAKE_CURRENT_BINARY_DIR}/builtin_profiles.cpp)
add_custom_command(
  OUTPUT ${beadwise_builtin_source}
  COMMAND ${CMAKE_COMMAND} -D FROM=${beadwise_builtin_folder} -D TO=${beadwise_builtin_source} -P
          ${CMAKE_CURRENT_LIST_DIR}/embed_profiles.cmake
  DEPENDS ${beadwise_builtin_folder}/machine.toml ${beadwise_builtin_folder}/materials.toml
          ${CMAKE_CURRENT_LIST_DIR}/embed_profiles.cmake ${CMAKE_CURRENT_LIST_DIR}/embed_bytes.cmake
  COMMENT "Embedding the built-in profiles"
  VERBATIM)
target_sources(beadwise PRIVATE ${beadwise_builtin_source})
