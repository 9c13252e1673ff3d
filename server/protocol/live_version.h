// The version of an open document as it is, for who works beside the server.
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>

namespace turnwright::protocol {

using LiveVersion = std::weak_ptr<const std::atomic<std::int64_t>>;

} // namespace turnwright::protocol
