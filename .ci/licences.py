"""What may be linked into a program that is handed out, and why. A library that has no row stops the packing: read its
notice first, then add one. Rows are for Debian source packages; npm packages tell their licence themselves."""

# Source package: licence in the words of spdx.org/licenses; what its notice must say for that to hold; what it asks.
LINKED = {
    "asio": ("BSL-1.0", ("Boost Software License - Version 1.0",), "nothing for a program"),
    "cli11": ("BSD-3-Clause", ("BSD-3-clause", "Neither the name"), "its notice"),
    "fmtlib": ("MIT", ("Expat with embedded exception",), "nothing where it is compiled in"),
    "libpolyclipping": ("BSL-1.0", ("Boost Software License - Version 1.0",), "nothing for a program"),
    "nlohmann-json3": ("MIT", ("License: Expat", "Niels Lohmann"), "its notice"),
    "tomlplusplus": ("MIT", ("Expat", "Mark Gillard"), "its notice"),
    "tree-sitter": ("MIT AND Unicode-DFS-2016", ("License: Expat", "License: Unicode"), "its notices"),
    # The compiler's own libraries and headers
    "gcc-12": ("GPL-3.0-or-later WITH GCC-exception-3.1", ("GCC RUNTIME LIBRARY EXCEPTION",),
               "nothing for what it compiles"),
    "gcc-mingw-w64": ("GPL-3.0-or-later WITH GCC-exception-3.1", ("GCC RUNTIME LIBRARY EXCEPTION",),
                      "nothing for what it compiles"),
    "glibc": ("LGPL-2.1-or-later", ("GNU Lesser", "2.1"),
              "its notice, and that whoever has the program can link it with another glibc: the sources are handed out "
              "with it, and sh .ci/archive.sh links them"),
    "mingw-w64": ("LicenseRef-mingw-w64", ("ZPL-2.1", "public-domain"), "its notices"),
    # Names and numbers of the system's calls, no code
    "linux": ("GPL-2.0-only WITH Linux-syscall-note", ("GPL-2",), "nothing for what only calls the system"),
}
# Of npm packages in the extension
NPM = {"MIT", "ISC", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "BlueOak-1.0.0"}
