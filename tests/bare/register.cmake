# What is known and assumed of programs with nothing beside them, against expected.txt.
# Every fifth in each run, all of them with -C thorough.
add_test(NAME bare COMMAND /usr/bin/python3 measure.py $<TARGET_FILE:turnwright> --every 5
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(bare PROPERTIES TIMEOUT 300 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
add_test(NAME bare_all CONFIGURATIONS thorough COMMAND /usr/bin/python3 measure.py $<TARGET_FILE:turnwright>
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(bare_all PROPERTIES TIMEOUT 900 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
