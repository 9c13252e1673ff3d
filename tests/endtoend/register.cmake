# Drives the built program as an editor does. The published LSP types must be installed (npm ci in this folder):
# without them these tests fail.
set(patience 300)
if(CMAKE_CROSSCOMPILING_EMULATOR) # a thousand starts of the program, each by way of another
    set(patience 1500)
endif()
file(GLOB endtoend_tests CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/test_*.py)
foreach(test_file ${endtoend_tests})
    get_filename_component(test_name ${test_file} NAME_WE)
    string(REPLACE "test_" "endtoend_" test_label ${test_name})
    add_test(NAME ${test_label} COMMAND /usr/bin/env python3 -m unittest ${test_name}
             WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
    set_tests_properties(${test_label} PROPERTIES TIMEOUT ${patience}
                         ENVIRONMENT "TURNWRIGHT=$<TARGET_FILE:turnwright>;TURNWRIGHT_RUNNER=${CMAKE_CROSSCOMPILING_EMULATOR};PYTHONDONTWRITEBYTECODE=1")
endforeach()
# Programs as large as a hostile one may be, each asked everything.
set_tests_properties(endtoend_bounds endtoend_hostile endtoend_large_programs endtoend_lifecycle endtoend_load PROPERTIES TIMEOUT 1500)
set_tests_properties(endtoend_bounds endtoend_calm endtoend_hostile endtoend_large_programs endtoend_lifecycle
                     endtoend_load endtoend_picture_beside PROPERTIES LABELS long)
# The longest first: one that begins last would run alone at the end.
set_tests_properties(endtoend_large_programs endtoend_hostile endtoend_lifecycle endtoend_calm PROPERTIES COST 100)
