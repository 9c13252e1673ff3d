# What is handed out, as far as it can be looked at without building it anew; all of it: sh .ci/release.sh. Tests of other
# builds (sanitizers, coverage, Windows) hand out nothing.
if(NOT TURNWRIGHT_SANITIZE AND NOT TURNWRIGHT_COVERAGE AND NOT TURNWRIGHT_FUZZ AND NOT CMAKE_CROSSCOMPILING)
    add_test(NAME packing COMMAND /usr/bin/python3 -m unittest test_archives test_bill test_extension test_pages
             WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
    set_tests_properties(packing PROPERTIES LABELS long TIMEOUT 120 ENVIRONMENT
                         "TURNWRIGHT=$<TARGET_FILE:turnwright>;TURNWRIGHT_BUILD=${CMAKE_BINARY_DIR};PYTHONDONTWRITEBYTECODE=1")
endif()
