# Documentation as it is installed, and packages: `cpack` in the build folder makes a .deb of the program and one of the
# library. docs/install.md tells more.
include(GNUInstallDirs)
install(
  DIRECTORY ${PROJECT_SOURCE_DIR}/docs/
  DESTINATION ${CMAKE_INSTALL_DOCDIR}
  COMPONENT program
  FILES_MATCHING
  PATTERN "*.md"
  PATTERN "*.json"
  PATTERN "*.png")
install(
  DIRECTORY ${PROJECT_SOURCE_DIR}/examples/plates ${PROJECT_SOURCE_DIR}/examples/ci
  DESTINATION ${CMAKE_INSTALL_DOCDIR}/examples
  COMPONENT program
  FILES_MATCHING
  PATTERN "*.gcode"
  PATTERN "*.toml"
  PATTERN "*.sh")

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME beadwise)
set(CPACK_PACKAGE_VENDOR "beadwise builders")
set(CPACK_PACKAGE_CONTACT "beadwise builders <nobody@example.org>")
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
# The packages hold the same bytes whenever they are made; `SOURCE_DATE_EPOCH` sets another date than this one.
set(CPACK_PRE_BUILD_SCRIPTS ${PROJECT_SOURCE_DIR}/cli/packaging/debian_files.cmake)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_COMPONENTS_GROUPING IGNORE)

set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME beadwise)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libbeadwise-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "libfmt-dev, libtomlplusplus-dev, nettle-dev, pkgconf | pkg-config, zlib1g-dev")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
    "checks sliced files for a 3D printer before they are printed
Reads G-code for material extrusion, rebuilds what the machine will do move by
move, and says where, why and how badly the print will fail and what to change:
filament that the drive gear chews through, strings, a nozzle that drags over
fine lettering, letters that nobody can read, a heater that stays on, a copy
that stopped half way.")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION
    "library that checks sliced files for a 3D printer
The library behind beadwise, for programs in C++20: it reads G-code for
material extrusion and says where, why and how badly the print will fail and
what to change. A static library, its headers and what find_package(beadwise)
reads.")
include(CPack)
