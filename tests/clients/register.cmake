# The server in real editors. Neovim is small and runs with every test; the others have commands of their own
# (see DEVELOPERS.md).
add_test(NAME client_neovim
         COMMAND sh ${CMAKE_CURRENT_LIST_DIR}/neovim.sh $<TARGET_FILE:turnwright> ${PROJECT_SOURCE_DIR}
                 ${CMAKE_CURRENT_BINARY_DIR}/neovim)
set_tests_properties(client_neovim PROPERTIES TIMEOUT 120)
