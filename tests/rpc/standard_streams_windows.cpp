// Standard input and output on the two kinds of pipe that Windows has.
#ifdef _WIN32

#include "rpc/stream.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <cstdio>
#include <io.h>
#include <string>
#include <thread>
#include <windows.h>

using namespace turnwright::rpc;

namespace {

/// The near ends are standard input and output while this lives, the far ones a client's.
struct Pipes {
    HANDLE to_server = nullptr, from_server = nullptr;

    explicit Pipes(bool overlapped) {
        HANDLE input = nullptr, output = nullptr;
        if (overlapped) {
            named(input, to_server, L"\\\\.\\pipe\\turnwright-test-in");
            named(output, from_server, L"\\\\.\\pipe\\turnwright-test-out");
        } else {
            REQUIRE(::CreatePipe(&input, &to_server, nullptr, 0));
            REQUIRE(::CreatePipe(&from_server, &output, nullptr, 0));
        }
        ::SetStdHandle(STD_INPUT_HANDLE, input);
        ::SetStdHandle(STD_OUTPUT_HANDLE, output);
        streams = standard_streams();
        ::CloseHandle(input);
        ::CloseHandle(output);
    }
    ~Pipes() {
        streams.reset();
        hang_up();
        ::CloseHandle(from_server);
        ::SetStdHandle(STD_INPUT_HANDLE, old_input_);
        ::SetStdHandle(STD_OUTPUT_HANDLE, old_output_);
        _dup2(old_descriptor_, 1);
        _close(old_descriptor_);
    }
    void hang_up() {
        if (to_server) ::CloseHandle(to_server);
        to_server = nullptr;
    }

    void send(std::string_view text) const {
        DWORD written = 0;
        REQUIRE(::WriteFile(to_server, text.data(), static_cast<DWORD>(text.size()), &written, nullptr));
    }
    std::string receive(std::size_t length) const {
        std::string text(length, '\0');
        std::size_t got = 0;
        for (DWORD more = 0; got < length; got += more)
            if (!::ReadFile(from_server, text.data() + got, static_cast<DWORD>(length - got), &more, nullptr))
                break;
        text.resize(got);
        return text;
    }
    std::string read() const {
        char piece[100];
        return {piece, streams->read(piece, sizeof piece)};
    }

    std::unique_ptr<ByteStream> streams;

private:
    static void named(HANDLE& near_end, HANDLE& far_end, const wchar_t* name) {
        far_end =
            ::CreateNamedPipeW(name, PIPE_ACCESS_DUPLEX, PIPE_TYPE_BYTE, 1, 1 << 16, 1 << 16, 0, nullptr);
        REQUIRE(far_end != INVALID_HANDLE_VALUE);
        near_end = ::CreateFileW(name, GENERIC_READ | GENERIC_WRITE, 0, nullptr, OPEN_EXISTING,
                                 FILE_FLAG_OVERLAPPED, nullptr);
        REQUIRE(near_end != INVALID_HANDLE_VALUE);
    }

    HANDLE old_input_ = ::GetStdHandle(STD_INPUT_HANDLE), old_output_ = ::GetStdHandle(STD_OUTPUT_HANDLE);
    int old_descriptor_ = _dup(1);
};

} // namespace

TEST_CASE("standard streams on pipes") {
    const bool overlapped = GENERATE(false, true);
    INFO((overlapped ? "overlapped" : "plain"));

    SECTION("bytes pass as they are, both ways") {
        Pipes pipes(overlapped);
        pipes.send("a\r\nb\n\x1a\xff");
        CHECK(pipes.read() == "a\r\nb\n\x1a\xff");
        pipes.streams->write("c\nd\r\n\x1a");
        CHECK(pipes.receive(6) == "c\nd\r\n\x1a");
    }

    SECTION("what waits is known, and what does not") {
        Pipes pipes(overlapped);
        CHECK_FALSE(pipes.streams->readable());
        pipes.send("abc");
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        CHECK(pipes.streams->readable());
        CHECK(pipes.read() == "abc");
        CHECK_FALSE(pipes.streams->readable());
    }

    SECTION("much at once") {
        Pipes pipes(overlapped);
        const std::string much(3'000'000, 'x');
        std::thread client([&] { pipes.send(much); });
        std::size_t got = 0;
        while (got < much.size()) got += pipes.read().size();
        client.join();
        CHECK(got == much.size());
        std::string received;
        std::thread reader([&] { received = pipes.receive(much.size()); });
        pipes.streams->write(much);
        reader.join();
        CHECK(received == much);
    }

    SECTION("the end of the input") {
        Pipes pipes(overlapped);
        pipes.send("last");
        pipes.hang_up();
        CHECK(pipes.read() == "last");
        CHECK(pipes.read().empty());
    }

    SECTION("close wakes a read that waits, and none waits after it") {
        Pipes pipes(overlapped);
        std::atomic<bool> ended{false};
        std::string got = "nothing yet";
        std::thread reader([&] {
            got = pipes.read();
            ended = true;
        });
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        CHECK_FALSE(ended);
        pipes.streams->close();
        reader.join();
        CHECK(got.empty());
        CHECK(pipes.read().empty());
    }

    SECTION("a client that is gone is an error of write") {
        Pipes pipes(overlapped);
        ::CloseHandle(pipes.from_server);
        pipes.from_server = nullptr;
        CHECK_THROWS_AS(pipes.streams->write("x"), std::system_error);
    }

    SECTION("what else is printed does not reach the client") {
        Pipes pipes(overlapped);
        std::printf("(printed by a test)\n");
        std::fflush(stdout);
        pipes.streams->write("frame");
        CHECK(pipes.receive(5) == "frame");
    }
}

#endif
