# Right programs of lathes with more axes, held to every line that is said of them.
add_test(NAME judged_more_axes COMMAND /usr/bin/python3 -m unittest test_more_axes
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(judged_more_axes PROPERTIES TIMEOUT 120
                     ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;PYTHONDONTWRITEBYTECODE=1")
