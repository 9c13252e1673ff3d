// Standard input and output on Windows. A pipe made for overlapped reading goes through asio's stream
// handles. Most are not, nor are files and terminals, and a read of those cannot be called off: a thread of
// its own does it, which may be left waiting when the program ends.
#ifdef _WIN32

#include "rpc/stream.h"

#include <algorithm>
#include <asio/buffer.hpp>
#include <asio/io_context.hpp>
#include <asio/windows/stream_handle.hpp>
#include <asio/write.hpp>
#include <atomic>
#include <condition_variable>
#include <cstdio>
#include <io.h>
#include <mutex>
#include <optional>
#include <string>
#include <system_error>
#include <thread>
#include <windows.h>

namespace turnwright::rpc {
namespace {

using asio::windows::stream_handle;

std::system_error last_error(const char* what) {
    return {static_cast<int>(::GetLastError()), std::system_category(), what};
}

HANDLE duplicated(DWORD which) {
    HANDLE copy = nullptr;
    const HANDLE self = ::GetCurrentProcess();
    if (!::DuplicateHandle(self, ::GetStdHandle(which), self, &copy, 0, FALSE, DUPLICATE_SAME_ACCESS))
        throw last_error("standard stream");
    return copy;
}

DWORD waiting_in(HANDLE pipe) {
    DWORD bytes = 0;
    return ::PeekNamedPipe(pipe, nullptr, 0, nullptr, &bytes, nullptr) ? bytes : 0;
}

/// Bytes that a thread reads ahead. What the thread and its reader share outlives both.
class ReadAhead {
public:
    explicit ReadAhead(HANDLE input) : shared_(std::make_shared<Shared>(input)) {
        std::thread([shared = shared_] { fill(*shared); }).detach();
    }

    std::size_t read(char* to, std::size_t room) {
        std::unique_lock lock(shared_->mutex);
        shared_->changed.wait(lock, [&] { return !shared_->bytes.empty() || shared_->ended; });
        const std::size_t got = shared_->closed ? 0 : shared_->bytes.copy(to, room);
        shared_->bytes.erase(0, got);
        shared_->changed.notify_all();
        return got;
    }

    bool readable() {
        std::unique_lock lock(shared_->mutex);
        shared_->changed.wait(
            lock, [&] { return !shared_->bytes.empty() || shared_->ended || !shared_->more_comes; });
        return !shared_->bytes.empty() || shared_->ended;
    }

    void close() {
        const std::lock_guard lock(shared_->mutex);
        shared_->closed = shared_->ended = true;
        shared_->changed.notify_all();
    }

private:
    struct Shared {
        explicit Shared(HANDLE given) : input(given) {}
        ~Shared() { ::CloseHandle(input); }
        HANDLE input;
        std::mutex mutex;
        std::condition_variable changed;
        std::string bytes;
        bool more_comes = true; ///< Something waits in the pipe and is about to be read
        bool ended = false;
        bool closed = false;
    };

    static constexpr std::size_t piece_bytes = 64 * 1024;
    static constexpr std::size_t most_ahead = 4 * piece_bytes;

    static void fill(Shared& shared) {
        std::string piece(piece_bytes, '\0');
        for (;;) {
            // Not while a read is under way: the system would keep the question until that is done.
            const bool more_comes = waiting_in(shared.input) > 0;
            {
                std::unique_lock lock(shared.mutex);
                shared.more_comes = more_comes;
                shared.changed.notify_all();
                shared.changed.wait(lock, [&] { return shared.bytes.size() < most_ahead || shared.closed; });
                if (shared.closed) return;
            }
            DWORD got = 0;
            const bool read = ::ReadFile(shared.input, piece.data(), piece_bytes, &got, nullptr);
            const std::lock_guard lock(shared.mutex);
            if (!read || got == 0) {
                shared.ended = true;
                shared.changed.notify_all();
                return;
            }
            shared.more_comes = true; // until looked again
            shared.bytes.append(piece, 0, got);
            shared.changed.notify_all();
        }
    }

    std::shared_ptr<Shared> shared_;
};

class StandardStreams final : public ByteStream {
public:
    StandardStreams() : overlapped_input_(input_context_), overlapped_output_(output_context_) {
        const HANDLE input = duplicated(STD_INPUT_HANDLE);
        asio::error_code refused;
        overlapped_input_.assign(input, refused);
        if (refused) read_ahead_.emplace(input);
        output_ = duplicated(STD_OUTPUT_HANDLE);
        overlapped_output_.assign(output_, refused);
        output_is_overlapped_ = !refused;
        std::fflush(stdout);
        ::SetStdHandle(STD_OUTPUT_HANDLE, ::GetStdHandle(STD_ERROR_HANDLE));
        _dup2(_fileno(stderr), _fileno(stdout));
    }

    ~StandardStreams() override {
        if (!output_is_overlapped_) ::CloseHandle(output_);
    }

    std::size_t read(char* to, std::size_t room) override {
        if (read_ahead_) return read_ahead_->read(to, room);
        input_context_.restart();
        if (closed_) return 0; // looked at after the restart, which would undo an earlier stop
        std::size_t got = 0;
        overlapped_input_.async_read_some(asio::buffer(to, room),
                                          [&](const asio::error_code&, std::size_t count) { got = count; });
        input_context_.run(); // ends early when `close` stops the context
        if (closed_) {        // the system must not write to a place that is gone
            asio::error_code ignored;
            overlapped_input_.cancel(ignored);
            input_context_.restart();
            input_context_.run();
        }
        return got;
    }

    bool readable() override {
        return read_ahead_ ? read_ahead_->readable() : waiting_in(overlapped_input_.native_handle()) > 0;
    }

    void write(std::string_view bytes) override {
        if (output_is_overlapped_) {
            asio::write(overlapped_output_, asio::buffer(bytes));
            return;
        }
        while (!bytes.empty()) {
            const auto length = static_cast<DWORD>(std::min<std::size_t>(bytes.size(), 1u << 20));
            DWORD written = 0;
            if (!::WriteFile(output_, bytes.data(), length, &written, nullptr)) throw last_error("write");
            bytes.remove_prefix(written);
        }
    }

    void close() override {
        closed_ = true;
        if (read_ahead_) return read_ahead_->close();
        input_context_.stop();
    }

private:
    asio::io_context input_context_;
    asio::io_context output_context_;
    stream_handle overlapped_input_;
    stream_handle overlapped_output_;
    std::optional<ReadAhead> read_ahead_;
    HANDLE output_ = nullptr;
    bool output_is_overlapped_ = false;
    std::atomic<bool> closed_{false};
};

} // namespace

std::unique_ptr<ByteStream> standard_streams() {
    return std::make_unique<StandardStreams>();
}

} // namespace turnwright::rpc

#endif
