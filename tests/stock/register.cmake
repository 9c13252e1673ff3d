# What tools leave of a stock on random contours, held against Shapely. Debian's own interpreter, since its
# packages are for that one; a missing package is a failure, not a skip.
add_executable(stock_values ${CMAKE_CURRENT_LIST_DIR}/values/values.cpp)
target_link_libraries(stock_values PRIVATE room_stock)
add_test(NAME stock_against_shapely
         COMMAND /usr/bin/python3 ${CMAKE_CURRENT_LIST_DIR}/compare.py $<TARGET_FILE:stock_values>)
set_tests_properties(stock_against_shapely PROPERTIES LABELS long)
