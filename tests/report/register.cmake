# The commands of the built program. tests/report/browser.sh is a command of its own: it needs a browser.
add_test(NAME report_commands COMMAND /usr/bin/python3 -m unittest test_commands
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(report_commands PROPERTIES TIMEOUT 300
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
add_test(NAME report_paths COMMAND /usr/bin/python3 -m unittest test_paths
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(report_paths PROPERTIES TIMEOUT 120
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
add_test(NAME report_library COMMAND /usr/bin/python3 -m unittest test_library
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(report_library PROPERTIES TIMEOUT 900 LABELS long
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
add_test(NAME report_overlay COMMAND /usr/bin/python3 -m unittest test_overlay
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(report_overlay PROPERTIES TIMEOUT 300
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
add_test(NAME report_lessons COMMAND /usr/bin/python3 -m unittest test_lessons
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(report_lessons PROPERTIES TIMEOUT 300
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
# Programs of any size, the same on every machine.
target_link_libraries(test_report PRIVATE bench_programs)
