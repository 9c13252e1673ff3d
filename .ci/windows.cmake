# Toolchain: Debian's mingw-w64 with the POSIX thread model, one program that needs no library beside it.
# TURNWRIGHT_LIBRARIES is the folder that .ci/libraries.sh made.
set(CMAKE_SYSTEM_NAME Windows)
set(CMAKE_SYSTEM_PROCESSOR x86_64)
set(tools x86_64-w64-mingw32)
set(CMAKE_C_COMPILER ${tools}-gcc-posix)
set(CMAKE_CXX_COMPILER ${tools}-g++-posix)
set(CMAKE_RC_COMPILER ${tools}-windres)
set(CMAKE_TRY_COMPILE_PLATFORM_VARIABLES TURNWRIGHT_LIBRARIES)

# Windows 10 and later; the other two keep <windows.h> small and std::min usable.
add_compile_definitions(_WIN32_WINNT=0x0A00 WIN32_LEAN_AND_MEAN NOMINMAX)
# The test program's objects hold more sections than the old form allows.
add_compile_options(-Wa,-mbig-obj)
# The same bytes from the same sources, wherever they lie and whenever they are built
add_compile_options("-ffile-prefix-map=${CMAKE_SOURCE_DIR}=." "-ffile-prefix-map=${TURNWRIGHT_LIBRARIES}=libraries")
# Threads get as much stack as on Linux, where the limits on nesting were measured.
set(CMAKE_EXE_LINKER_FLAGS_INIT "-static -fstack-protector-strong -Wl,--stack,8388608 -Wl,--no-insert-timestamp")

set(CMAKE_FIND_ROOT_PATH ${TURNWRIGHT_LIBRARIES} /usr/${tools})
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
set(CMAKE_FIND_ROOT_PATH_MODE_LIBRARY ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_INCLUDE ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_PACKAGE ONLY)
set(ENV{PKG_CONFIG_LIBDIR} ${TURNWRIGHT_LIBRARIES}/lib/pkgconfig)
include_directories(SYSTEM ${TURNWRIGHT_LIBRARIES}/include)
# asio brings its own names of these two.
link_libraries(ws2_32 mswsock)

find_program(WINE wine)
if(WINE)
    set(CMAKE_CROSSCOMPILING_EMULATOR ${WINE})
endif()
