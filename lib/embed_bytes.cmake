# For the scripts that put files into the library as bytes, at build time.

# Appends to the C++ text in a variable a function that gives the bytes of a file as a std::string_view.
function(append_bytes variable function file)
  file(READ "${file}" bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  set(code "${${variable}}")
  string(APPEND code "\nnamespace {\nconstexpr unsigned char ${function}_bytes[] = {${bytes}};\n}  // namespace\n"
         "std::string_view ${function}() {\n"
         "  return {reinterpret_cast<const char*>(${function}_bytes), sizeof ${function}_bytes};\n}\n")
  set(${variable} "${code}" PARENT_SCOPE)
endfunction()
