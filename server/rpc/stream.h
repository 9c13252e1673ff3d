// Bytes to and from a client. asio and the operating system stay behind this header.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string_view>

namespace turnwright::rpc {

/// One thread reads, another writes; `close` may be called from any.
class ByteStream {
public:
    virtual ~ByteStream() = default;
    /// Blocks for at least one byte; 0 at the end of the input, after `close` and on any failure.
    virtual std::size_t read(char* to, std::size_t room) = 0;
    /// Whether `read` would return at once.
    virtual bool readable() = 0;
    /// Writes everything or throws std::system_error.
    virtual void write(std::string_view bytes) = 0;
    virtual void close() = 0;
};

/// Standard input and output. From here on, whatever else prints to standard output goes to standard error,
/// so that nothing but frames can reach the client.
std::unique_ptr<ByteStream> standard_streams();

/// Listens on 127.0.0.1 only.
class LoopbackListener {
public:
    /// Port 0 takes a free one. Throws std::system_error when the port cannot be had,
    /// std::errc::address_in_use when another program has it.
    explicit LoopbackListener(std::uint16_t port);
    ~LoopbackListener();
    std::uint16_t port() const;
    /// Waits for the next client; null after `close` or when accepting fails.
    std::unique_ptr<ByteStream> accept();
    void close();

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

/// Whether a process of this number lives (also one that ended but was not yet waited for counts as gone,
/// where the system tells).
bool process_is_alive(std::int64_t id);
std::int64_t own_process();

} // namespace turnwright::rpc
