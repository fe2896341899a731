# Run by cpack once everything lies in its staging folder: what Debian wants in a package beside what is installed
# anywhere (Debian Policy 12.1, 12.5, 12.7), and where its zsh looks.
cmake_minimum_required(VERSION 3.25)

file(GLOB components LIST_DIRECTORIES true ${CPACK_TEMPORARY_DIRECTORY}/*)
set(date "Thu, 01 Jan 1970 00:00:00 +0000")
if(DEFINED ENV{SOURCE_DATE_EPOCH})
  string(TIMESTAMP date "%a, %d %b %Y %H:%M:%S +0000" UTC)
endif()

foreach(component IN LISTS components)
  cmake_path(GET component FILENAME name)
  string(TOUPPER ${name} upper)
  set(package ${CPACK_DEBIAN_${upper}_PACKAGE_NAME})
  set(doc ${component}/usr/share/doc/${package})
  file(MAKE_DIRECTORY ${doc})
  file(COPY_FILE ${CMAKE_CURRENT_LIST_DIR}/copyright ${doc}/copyright)
  file(
    WRITE ${doc}/changelog.Debian
    "${package} (${CPACK_PACKAGE_VERSION}-${CPACK_DEBIAN_PACKAGE_RELEASE}) unstable; urgency=low\n\n"
    "  * Built from the source of this version.\n\n -- ${CPACK_PACKAGE_CONTACT}  ${date}\n")
  if(EXISTS ${component}/usr/share/zsh/site-functions)
    file(RENAME ${component}/usr/share/zsh/site-functions ${component}/usr/share/zsh/vendor-completions)
  endif()
  file(GLOB pages ${component}/usr/share/man/man1/*.1)
  execute_process(COMMAND gzip -9n ${doc}/changelog.Debian ${pages} COMMAND_ERROR_IS_FATAL ANY)
endforeach()
