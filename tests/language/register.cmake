# The catalogues, and what the built program says with them.
add_test(NAME language_texts COMMAND /usr/bin/python3 -m unittest test_texts
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(language_texts PROPERTIES TIMEOUT 120 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
add_test(NAME language_commands COMMAND /usr/bin/python3 -m unittest test_languages
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(language_commands PROPERTIES LABELS long TIMEOUT 300
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
