// Inside the rpc room: a port of 127.0.0.1 that no other program can take as well.
#pragma once

#include <asio/ip/tcp.hpp>
#include <cstdint>

namespace turnwright::rpc {

/// Port 0 takes a free one. Throws std::system_error, std::errc::address_in_use when another program has it.
void listen_on_loopback(asio::ip::tcp::acceptor& acceptor, std::uint16_t port);

} // namespace turnwright::rpc
