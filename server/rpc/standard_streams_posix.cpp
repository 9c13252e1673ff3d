// Standard input and output where there are file descriptors. Another system gets a file beside this one.
#ifndef _WIN32

#include "rpc/stream.h"

#include <asio/buffer.hpp>
#include <asio/io_context.hpp>
#include <asio/posix/stream_descriptor.hpp>
#include <asio/write.hpp>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <system_error>
#include <unistd.h>

namespace turnwright::rpc {
namespace {

int duplicated(int descriptor) {
    const int copy = ::dup(descriptor);
    if (copy < 0) throw std::system_error(errno, std::generic_category(), "standard stream");
    return copy;
}

class StandardStreams final : public ByteStream {
public:
    StandardStreams() : input_(input_context_, duplicated(STDIN_FILENO)), output_(output_context_) {
        output_.assign(duplicated(STDOUT_FILENO));
        std::fflush(stdout);
        ::dup2(STDERR_FILENO, STDOUT_FILENO);
        // A client that died must be an error of write, not the end of this process without a word.
        std::signal(SIGPIPE, SIG_IGN);
    }

    std::size_t read(char* to, std::size_t room) override {
        input_context_.restart();
        if (closed_) return 0; // looked at after the restart, which would undo an earlier stop
        std::size_t got = 0;
        input_.async_read_some(asio::buffer(to, room),
                               [&](const asio::error_code&, std::size_t count) { got = count; });
        input_context_.run(); // ends early when `close` stops the context
        return got;
    }

    bool readable() override {
        asio::posix::descriptor_base::bytes_readable command;
        asio::error_code failed;
        input_.io_control(command, failed);
        return !failed && command.get() > 0;
    }

    void write(std::string_view bytes) override { asio::write(output_, asio::buffer(bytes)); }

    void close() override {
        closed_ = true;
        input_context_.stop();
    }

private:
    asio::io_context input_context_;
    asio::io_context output_context_;
    asio::posix::stream_descriptor input_;
    asio::posix::stream_descriptor output_;
    std::atomic<bool> closed_{false};
};

} // namespace

std::unique_ptr<ByteStream> standard_streams() {
    return std::make_unique<StandardStreams>();
}

} // namespace turnwright::rpc

#endif
