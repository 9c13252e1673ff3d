#include "rpc/loopback_acceptor.h"
#include "rpc/stream.h"

#include <asio/buffer.hpp>
#include <asio/io_context.hpp>
#include <asio/ip/tcp.hpp>
#include <asio/write.hpp>
#include <atomic>
#include <system_error>

namespace turnwright::rpc {
namespace {

using asio::ip::tcp;

class SocketStream final : public ByteStream {
public:
    // The context belongs to the stream, so that it can outlive its listener.
    SocketStream() : socket_(context_) {}
    tcp::socket& socket() { return socket_; }

    std::size_t read(char* to, std::size_t room) override {
        asio::error_code failed;
        const std::size_t got = socket_.read_some(asio::buffer(to, room), failed);
        return failed ? 0 : got;
    }

    bool readable() override {
        asio::error_code failed;
        return socket_.available(failed) > 0 && !failed;
    }

    void write(std::string_view bytes) override { asio::write(socket_, asio::buffer(bytes)); }

    void close() override {
        asio::error_code ignored;
        socket_.shutdown(tcp::socket::shutdown_both, ignored);
#ifdef _WIN32
        socket_.cancel(ignored); // there a read that waits does not notice the shutdown
#endif
    }

private:
    asio::io_context context_;
    tcp::socket socket_;
};

#ifdef _WIN32
// There "reuse" would let a second program take the port while the first holds it; this forbids that.
using OnePort = asio::detail::socket_option::boolean<SOL_SOCKET, SO_EXCLUSIVEADDRUSE>;
#else
using OnePort = tcp::acceptor::reuse_address; // right after the last server ended, too
#endif

} // namespace

void listen_on_loopback(tcp::acceptor& acceptor, std::uint16_t port) {
    const tcp::endpoint here(asio::ip::address_v4::loopback(), port);
    acceptor.open(here.protocol());
    acceptor.set_option(OnePort(true));
    asio::error_code failed;
    acceptor.bind(here, failed);
    // Windows has a number of its own for this, which the standard's conditions do not know.
    if (failed == asio::error::address_in_use) failed = std::make_error_code(std::errc::address_in_use);
    if (failed) throw std::system_error(failed);
    acceptor.listen();
}

struct LoopbackListener::Parts {
    asio::io_context context;
    tcp::acceptor acceptor{context};
    std::atomic<bool> closed{false};
};

LoopbackListener::LoopbackListener(std::uint16_t port) : parts_(std::make_unique<Parts>()) {
    listen_on_loopback(parts_->acceptor, port);
}

LoopbackListener::~LoopbackListener() = default;

std::uint16_t LoopbackListener::port() const {
    return parts_->acceptor.local_endpoint().port();
}

std::unique_ptr<ByteStream> LoopbackListener::accept() {
    auto stream = std::make_unique<SocketStream>();
    asio::error_code failed;
    parts_->acceptor.accept(stream->socket(), failed);
    if (failed || parts_->closed) return nullptr;
    asio::error_code ignored;
    stream->socket().set_option(tcp::no_delay(true), ignored);
    return stream;
}

void LoopbackListener::close() {
    if (parts_->closed.exchange(true)) return;
    // A waiting accept does not notice that its socket closes; a connection wakes it on every system.
    asio::error_code ignored;
    tcp::socket waker(parts_->context);
    waker.connect(tcp::endpoint(asio::ip::address_v4::loopback(), port()), ignored);
}

} // namespace turnwright::rpc
