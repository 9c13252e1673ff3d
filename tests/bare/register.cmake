# What is known and assumed of programs with nothing beside them, against expected.txt.
add_test(NAME bare COMMAND /usr/bin/python3 measure.py $<TARGET_FILE:turnwright>
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(bare PROPERTIES TIMEOUT 300 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
