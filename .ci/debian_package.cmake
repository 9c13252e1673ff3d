# The Debian package. In a build folder of Debian: cpack (package dpkg-dev). Tried by tests/clients/debian_package.sh
# and, in a system of its own, by tests/clients/debian_install.sh.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGE_CONTACT "Turnwright maintainers <maintainers@turnwright.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
    "Warnings, explanations, outline, fixes, conversions, setup sheet and path
picture for turning programs, in any editor that speaks the Language Server
Protocol and on the command line. G-code systems A, B and C.")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION devel)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON) # what it needs is asked of the program itself
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "neovim | emacs | kate | kakoune")
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

# What Debian asks of a package's documents: compressed, and the notices of the headers compiled into the program. Those
# are taken from the packages that they came in.
set(debian_folder ${CMAKE_BINARY_DIR}/debian)
set(notices "")
# All of them, and no other: tests/packing holds this to what the compiler read.
string(REGEX MATCH "^[0-9]+" compiler ${CMAKE_CXX_COMPILER_VERSION})
foreach(package libasio-dev nlohmann-json3-dev libcli11-dev libtree-sitter-dev libfmt-dev libtomlplusplus-dev
                libpolyclipping-dev libstdc++-${compiler}-dev)
    if(EXISTS /usr/share/doc/${package}/copyright)
        file(READ /usr/share/doc/${package}/copyright notice)
        string(APPEND notices "\n---- headers of ${package}, compiled into the program\n\n${notice}")
    endif()
endforeach()
file(CONFIGURE OUTPUT ${debian_folder}/copyright @ONLY CONTENT
"Turnwright ${PROJECT_VERSION} is the work of its maintainers, who have named no licence yet. It was built with these
headers of others; the libraries it is linked with come in packages of their own.
@notices@")
file(WRITE ${debian_folder}/changelog
"turnwright (${PROJECT_VERSION}) unstable; urgency=low

  * See the history of the sources.

 -- ${CPACK_PACKAGE_CONTACT}  Thu, 01 Jan 1970 00:00:00 +0000
")
find_program(GZIP gzip)
if(GZIP)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/docs/turnwright.1)
    execute_process(COMMAND ${GZIP} -9nc INPUT_FILE ${PROJECT_SOURCE_DIR}/docs/turnwright.1
                    OUTPUT_FILE ${debian_folder}/turnwright.1.gz)
    execute_process(COMMAND ${GZIP} -9nc INPUT_FILE ${debian_folder}/changelog
                    OUTPUT_FILE ${debian_folder}/changelog.gz)
    install(FILES ${debian_folder}/turnwright.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
    install(FILES ${debian_folder}/changelog.gz DESTINATION ${CMAKE_INSTALL_DOCDIR})
endif()
install(FILES ${debian_folder}/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})
include(CPack)
