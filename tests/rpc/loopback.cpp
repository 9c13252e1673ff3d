#include "rpc/stream.h"

#include <catch2/catch.hpp>
#include <thread>
#ifdef _WIN32
#include <process.h>
#define getpid _getpid
#else
#include <unistd.h>
#endif

using namespace turnwright::rpc;

TEST_CASE("a listener can be closed while it waits") {
    LoopbackListener listener(0);
    CHECK(listener.port() != 0);
    std::thread closer([&] { listener.close(); });
    CHECK(listener.accept() == nullptr);
    closer.join();
}

TEST_CASE("a taken port is an error") {
    LoopbackListener first(0);
    try {
        LoopbackListener second(first.port());
        FAIL("two have one port");
    } catch (const std::system_error& failure) {
        CHECK(failure.code() == std::errc::address_in_use);
    }
}

TEST_CASE("processes") {
    CHECK(process_is_alive(::getpid()));
    CHECK_FALSE(process_is_alive(0));
    CHECK_FALSE(process_is_alive(-5));
    CHECK_FALSE(process_is_alive(std::int64_t{1} << 40));
}
