// JSON text with characters in it that JSON does not hold.
#pragma once

#include <string>
#include <string_view>

namespace turnwright::rpc {

/// The same text with every byte that is no UTF-8 as "?", every half of a surrogate pair as U+FFFD, and every
/// control character in a string escaped. Counted in bytes (a half as three) and in UTF-16 units all strings
/// are as long as they were.
std::string mended(std::string_view json);

} // namespace turnwright::rpc
