# What is known and assumed of programs with nothing beside them, against expected.txt.
# Every fifth in each run, all of them with -C thorough.
add_test(NAME bare COMMAND /usr/bin/python3 measure.py $<TARGET_FILE:turnwright> --every 5
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(bare PROPERTIES TIMEOUT 300 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
# No right program is warned of more without its codes of unit and feed mode.
add_test(NAME codes_away COMMAND /usr/bin/python3 codes_away.py $<TARGET_FILE:turnwright> --every 20
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(codes_away PROPERTIES TIMEOUT 300 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
add_test(NAME codes_away_all CONFIGURATIONS thorough COMMAND /usr/bin/python3 codes_away.py $<TARGET_FILE:turnwright>
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(codes_away_all PROPERTIES TIMEOUT 1800 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
add_test(NAME bare_all CONFIGURATIONS thorough COMMAND /usr/bin/python3 measure.py $<TARGET_FILE:turnwright>
         WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR})
set_tests_properties(bare_all PROPERTIES TIMEOUT 900 ENVIRONMENT "PYTHONDONTWRITEBYTECODE=1")
