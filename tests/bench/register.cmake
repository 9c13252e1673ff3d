# Measuring is its own command (run.sh), no part of the tests: these are built only when named.
find_package(nlohmann_json REQUIRED)
find_package(CLI11 REQUIRED)
set(bench_folder ${CMAKE_CURRENT_LIST_DIR})
file(GLOB generator_sources CONFIGURE_DEPENDS ${bench_folder}/generate*.cpp)
list(REMOVE_ITEM generator_sources ${bench_folder}/generate_main.cpp)

add_library(bench_programs STATIC EXCLUDE_FROM_ALL ${generator_sources})
target_link_libraries(bench_programs PUBLIC turnwright_options)
target_include_directories(bench_programs PUBLIC ${CMAKE_CURRENT_SOURCE_DIR})

add_executable(bench_generate EXCLUDE_FROM_ALL ${bench_folder}/generate_main.cpp)
target_link_libraries(bench_generate PRIVATE bench_programs)

add_executable(turnwright_bench EXCLUDE_FROM_ALL
    ${bench_folder}/bench.cpp ${bench_folder}/one_tree.cpp ${bench_folder}/process.cpp ${bench_folder}/rows.cpp
    ${bench_folder}/session.cpp ${bench_folder}/table.cpp ${bench_folder}/typist.cpp)
target_link_libraries(turnwright_bench PRIVATE bench_programs room_text turnwright_grammar
    nlohmann_json::nlohmann_json CLI11::CLI11)
