# Each target is one file, <name>_fuzz.cpp. In the normal build it is linked with a small driver that plays the
# kept inputs and a seeded number of random changes; with -DTURNWRIGHT_FUZZ=ON and clang it becomes a libFuzzer
# program (run.sh builds and runs them).
set(fuzz_folder ${CMAKE_CURRENT_LIST_DIR})
if(TURNWRIGHT_FUZZ AND NOT CMAKE_CXX_COMPILER_ID STREQUAL "Clang")
    message(FATAL_ERROR "TURNWRIGHT_FUZZ needs clang: -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_C_COMPILER=clang")
endif()

function(fuzz_target name dictionary changes longest)
    cmake_parse_arguments(target "" "" "SOURCES;ROOMS;SEEDS" ${ARGN})
    set(program fuzz_${name})
    add_executable(${program} ${fuzz_folder}/${name}_fuzz.cpp ${target_SOURCES})
    target_link_libraries(${program} PRIVATE ${target_ROOMS} turnwright_options)
    target_include_directories(${program} PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
    if(TURNWRIGHT_FUZZ)
        target_link_options(${program} PRIVATE -fsanitize=fuzzer)
        return()
    endif()
    target_sources(${program} PRIVATE ${fuzz_folder}/replay_main.cpp)
    target_compile_options(${program} PRIVATE -O0) # As the tests: the work is in the rooms
    set(inputs "")
    foreach(folder ${fuzz_folder}/corpus/${name} ${fuzz_folder}/findings/${name} ${target_SEEDS})
        if(EXISTS ${folder})
            list(APPEND inputs ${folder})
        endif()
    endforeach()
    add_test(NAME fuzz_${name} COMMAND ${program} --changes ${changes} --seed 20261125 --longest ${longest}
                                       --dictionary ${fuzz_folder}/${dictionary}.dict ${inputs})
    set_tests_properties(fuzz_${name} PROPERTIES TIMEOUT 600)
endfunction()

set(fuzz_shown ${CMAKE_CURRENT_SOURCE_DIR}/syntax/shown.cpp)
set(fuzz_programs ${PROJECT_SOURCE_DIR}/docs/examples)
fuzz_target(syntax program 4000 2000 SOURCES ${fuzz_shown} ROOMS room_syntax SEEDS ${fuzz_programs})
fuzz_target(program program 250 2000 ROOMS room_report SEEDS ${fuzz_programs})
fuzz_target(edits program 100 900 SOURCES ${fuzz_shown} ROOMS room_features)
fuzz_target(frames messages 20000 4000 ROOMS room_protocol)
fuzz_target(session messages 400 2000 SOURCES ${fuzz_folder}/session.cpp ${fuzz_folder}/session_folder.cpp
            ROOMS room_protocol)
fuzz_target(shop shop 2000 3000 ROOMS room_shop)

# A server that follows edits beside a fresh one: its own driver, since it plays scenarios and not bytes.
file(GLOB differential_sources CONFIGURE_DEPENDS ${fuzz_folder}/differential/*.cpp)
add_executable(fuzz_differential ${differential_sources})
target_link_libraries(fuzz_differential PRIVATE room_protocol turnwright_options)
target_include_directories(fuzz_differential PRIVATE ${CMAKE_CURRENT_SOURCE_DIR})
if(TURNWRIGHT_TOGETHER)
    set_target_properties(fuzz_differential PROPERTIES UNITY_BUILD ON)
endif()
if(NOT TURNWRIGHT_FUZZ)
    target_compile_options(fuzz_differential PRIVATE -O0)
    # More of it: sh tests/fuzz/differential.sh
    set(kept_scenarios ${fuzz_folder}/findings/differential)
    if(NOT EXISTS ${kept_scenarios})
        set(kept_scenarios "")
    endif()
    add_test(NAME fuzz_differential COMMAND fuzz_differential --seed 3 --batches 50 ${kept_scenarios})
    set_tests_properties(fuzz_differential PROPERTIES TIMEOUT 600)
endif()
