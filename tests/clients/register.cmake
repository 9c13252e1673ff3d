# The server in real editors. Neovim is small and runs with the long tests; the others have commands of their own
# (see DEVELOPERS.md).
add_test(NAME client_neovim
         COMMAND sh ${CMAKE_CURRENT_LIST_DIR}/neovim.sh $<TARGET_FILE:turnwright> ${PROJECT_SOURCE_DIR}
                 ${CMAKE_CURRENT_BINARY_DIR}/neovim)
set_tests_properties(client_neovim PROPERTIES TIMEOUT 120 LABELS long)

# The package as this build would ship it, with -C thorough: packing the manual pages takes most of its minute. Tests of other builds (sanitizers, coverage) ship nothing.
if(NOT TURNWRIGHT_SANITIZE AND NOT TURNWRIGHT_COVERAGE)
    add_test(NAME debian_package CONFIGURATIONS thorough
             COMMAND sh ${CMAKE_CURRENT_LIST_DIR}/debian_package.sh ${CMAKE_BINARY_DIR}
                     ${CMAKE_CURRENT_BINARY_DIR}/debian_package)
    set_tests_properties(debian_package PROPERTIES TIMEOUT 300 SKIP_RETURN_CODE 77)
endif()

# What the VS Code extension says about the server, held to the server; no editor is needed for that.
find_package(Python3 COMPONENTS Interpreter)
if(Python3_FOUND)
    add_test(NAME client_vscode_package
             COMMAND ${CMAKE_COMMAND} -E env PYTHONDONTWRITEBYTECODE=1 ${Python3_EXECUTABLE}
                     ${CMAKE_CURRENT_LIST_DIR}/vscode_package.py $<TARGET_FILE:turnwright> ${PROJECT_SOURCE_DIR})
    set_tests_properties(client_vscode_package PROPERTIES TIMEOUT 60)
endif()
find_program(NODE_PROGRAM node)
if(NODE_PROGRAM)
    foreach(part program pictures beside)
        add_test(NAME client_vscode_${part}
                 COMMAND ${NODE_PROGRAM} --test ${CMAKE_CURRENT_LIST_DIR}/vscode_${part}_test.js)
        set_tests_properties(client_vscode_${part} PROPERTIES TIMEOUT 60)
    endforeach()
endif()
