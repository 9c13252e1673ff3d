// One JSON-RPC message, and the errors of the standard.
#pragma once

#include <cstddef>
#include <exception>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <variant>

namespace turnwright::rpc {

using Json = nlohmann::json;

/// Error codes of JSON-RPC 2.0 and of the LSP base protocol.
namespace code {
constexpr int parse_error = -32700;
constexpr int invalid_request = -32600;
constexpr int method_not_found = -32601;
constexpr int invalid_params = -32602;
constexpr int internal_error = -32603;
constexpr int server_not_initialized = -32002;
constexpr int request_cancelled = -32800;
constexpr int content_modified = -32801;
constexpr int request_failed = -32803;
} // namespace code

/// An error reply: thrown by handlers, given to reply handlers.
struct Error : std::exception {
    Error(int number, std::string text, Json more = nullptr)
        : code(number), message(std::move(text)), data(std::move(more)) {}
    const char* what() const noexcept override { return message.c_str(); }
    int code;
    std::string message;
    Json data; ///< null: none
};

/// Bounds against a broken or hostile client.
struct Limits {
    std::size_t header_bytes = std::size_t{8} * 1024;
    std::size_t body_bytes = std::size_t{128} << 20;
    std::size_t depth = 200;        ///< Nesting of arrays and objects.
    std::size_t values = 1'000'000; ///< In one message; each takes far more memory than text.
    /// The reader pauses when more than this waits, counted as the memory that it takes.
    std::size_t waiting_bytes = std::size_t{256} << 20;
    /// After a malformed frame look for the next header; otherwise the connection ends. A web page can make a
    /// browser send bytes to a local port but not without a request line in front, so TCP does not search.
    bool resynchronise = true;
};

// NOLINTNEXTLINE(bugprone-exception-escape): the move of Json does not throw, by its library's word
struct Message {
    enum class Kind { request, notification, response, invalid };
    Kind kind = Kind::invalid;
    Json id;            ///< Integer or string; null where there is none or it could not be read.
    std::string method; ///< request, notification
    Json params;        ///< Object, array, or null when absent
    Json result;        ///< response
    Json error;         ///< response; null for success

    // invalid: what to answer. A faulty notification gets no reply, only a line in the log.
    int code = 0;
    std::string problem;
    bool wants_reply = true;
    std::string ends; ///< First and last bytes of a body that could not be read

    std::size_t memory = 0; ///< What it takes, about
};

/// Never throws for bad input: it gives `invalid` with the standard's code. Text that is no UTF-8, half of a
/// surrogate pair and control characters in strings are taken as far as they can be, in as many bytes and
/// UTF-16 units as the client counts: a change that is dropped makes every later one go to the wrong place.
Message parse_message(std::string_view body, const Limits& limits);

/// JSON text: a long list is written several times faster than values are made of it first.
struct Written {
    explicit Written(std::string json) : text(std::move(json)) {}
    std::string text; ///< One valid JSON value in UTF-8
};
/// Instead of a result: it comes by `Endpoint::finish`.
struct Later {};
/// A result or parameters on the way out.
using Content = std::variant<Json, Written, Later>;

// Bodies of outgoing messages. Text that is no valid UTF-8 is replaced, never thrown at.
std::string result_body(const Json& id, Content result);
/// Text as a JSON string, between its quotes; bytes that are no UTF-8 are replaced.
void write_text(std::string& out, std::string_view text);
std::string error_body(const Json& id, const Error& error);
std::string notification_body(std::string_view method, Content params);
std::string request_body(const Json& id, std::string_view method, Json params);

} // namespace turnwright::rpc
