// Strict reading of a client's JSON: a value with the path it was found at, so that an error names the place.
#pragma once

#include "rpc/message.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::protocol {

using rpc::Json;

/// Every reader throws `rpc::Error` invalid_params for a value of another type.
class In {
public:
    In(const Json& value, std::string path) : value_(&value), path_(std::move(path)) {}

    /// A member that must be there.
    In operator[](std::string_view key) const;
    /// A member that may be missing; null counts as missing.
    std::optional<In> find(std::string_view key) const;

    std::string string() const;
    bool boolean() const;
    std::int64_t integer() const;
    std::uint32_t uinteger() const; ///< 0 to 2^31 - 1, as the protocol has it
    std::vector<In> array() const;

    const Json& json() const { return *value_; }
    const std::string& path() const { return path_; }
    [[noreturn]] void fail(std::string_view expected) const;

private:
    const Json* value_;
    std::string path_;
};

/// For what a client may get wrong without harm (its capabilities): the value at a path of keys, or nullptr
/// when it is missing or on the way something is no object.
const Json* look(const Json& from, std::initializer_list<std::string_view> keys);
bool look_flag(const Json& from, std::initializer_list<std::string_view> keys, bool otherwise = false);
/// The strings of an array; anything else in it is left out.
std::vector<std::string> look_strings(const Json& from, std::initializer_list<std::string_view> keys);

} // namespace turnwright::protocol
