# The project's own numbers on random cases, held against SciPy's integrals and Shapely's geometry. Debian's own
# interpreter, since its packages are for that one; a missing package is a failure, not a skip.
add_executable(reference_values ${CMAKE_CURRENT_LIST_DIR}/values/values.cpp)
target_link_libraries(reference_values PRIVATE room_motion)
add_test(NAME reference_against_scipy_and_shapely
         COMMAND /usr/bin/python3 ${CMAKE_CURRENT_LIST_DIR}/compare.py $<TARGET_FILE:reference_values>)
set_tests_properties(reference_against_scipy_and_shapely PROPERTIES LABELS long)

# Programs made at random and read by a reader of its own, in Python and its standard library alone.
add_test(NAME reference_against_independent_reader
         COMMAND /usr/bin/env python3 -B ${CMAKE_CURRENT_LIST_DIR}/reader/differential.py $<TARGET_FILE:turnwright>)
