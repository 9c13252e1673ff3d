#include "rpc/message.h"

#include "rpc/mending.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

namespace turnwright::rpc {
namespace {

// What is kept of a body that could not be read: enough to see what it was about.
constexpr std::size_t bytes_kept = 4096;
// Of the largest kind: a member of an object that is an object itself.
constexpr std::size_t memory_of_a_value = 160;
constexpr std::size_t memory_of_a_message = 1024;

/// How much is in a text, told before any value is made of it: every level and every value costs far more
/// memory than its one or two bytes.
struct Extent {
    std::size_t depth = 0;
    std::size_t values = 1; ///< At least as many as there are
};
Extent extent_of(std::string_view body) {
    Extent extent;
    std::size_t depth = 0;
    bool in_string = false;
    for (std::size_t i = 0; i < body.size(); ++i) {
        const char c = body[i];
        if (in_string) {
            if (c == '\\')
                ++i;
            else if (c == '"')
                in_string = false;
        } else if (c == '"') {
            in_string = true;
        } else if (c == ',') {
            ++extent.values;
        } else if (c == '[' || c == '{') {
            ++extent.values;
            extent.depth = std::max(extent.depth, ++depth);
        } else if ((c == ']' || c == '}') && depth > 0) {
            --depth;
        }
    }
    return extent;
}

Message invalid(int code, std::string problem, Json id = nullptr, bool wants_reply = true) {
    Message message;
    message.kind = Message::Kind::invalid;
    message.code = code;
    message.problem = std::move(problem);
    message.id = std::move(id);
    message.wants_reply = wants_reply;
    return message;
}

// Some clients write whole numbers as 1.0.
std::optional<Json> readable_id(const Json& id) {
    if (id.is_string() || id.is_number_integer()) return id;
    if (id.is_number_float()) {
        const double value = id.get<double>();
        if (std::trunc(value) == value && std::abs(value) < 9e15)
            return Json(static_cast<std::int64_t>(value));
    }
    return std::nullopt;
}

Message read_response(Json& body, Json id) {
    const bool has_result = body.contains("result");
    const auto error = body.find("error");
    const bool has_error = error != body.end() && !error->is_null();
    if (!has_result && !has_error)
        return invalid(code::invalid_request, "neither a method nor a result nor an error", std::move(id));
    Message message;
    message.kind = Message::Kind::response;
    message.id = std::move(id);
    if (has_error)
        message.error = std::move(*error);
    else
        message.result = std::move(body["result"]);
    return message;
}

std::string dump(const Json& body) {
    return body.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// The text as the last member of an object that `front` opens.
std::string around(Written written, const std::string& front) {
    std::string& body = written.text;
    body.insert(0, front);
    body += '}';
    return std::move(body);
}

Json parse_json(std::string_view text) {
    Json body = Json::parse(text, nullptr, false);
    if (!body.is_discarded()) return body;
    const std::string whole = mended(text);
    return Json::parse(whole == text ? text : whole);
}

std::string ends_of(std::string_view text) {
    if (text.size() <= 2 * bytes_kept) return std::string(text);
    return std::string(text.substr(0, bytes_kept)) + '\n' +
           std::string(text.substr(text.size() - bytes_kept));
}

/// Only what stands around its parameters is read.
Message too_many_values(std::string_view text, const Limits& limits) {
    const auto is_outer = [](int depth, Json::parse_event_t event, Json&) {
        const bool begins =
            event == Json::parse_event_t::object_start || event == Json::parse_event_t::array_start;
        return depth < 1 || (depth == 1 && !begins);
    };
    const Json outer = Json::parse(text, is_outer, false);
    const bool has_id = outer.is_object() && outer.contains("id");
    return invalid(code::invalid_request,
                   "more than " + std::to_string(limits.values) + " values in one message",
                   has_id ? readable_id(outer["id"]).value_or(Json()) : Json(),
                   has_id || !outer.is_object() || !outer.contains("method"));
}

Message read_message(std::string_view text, const Limits& limits, const Extent& extent) {
    if (extent.depth > limits.depth) return invalid(code::invalid_request, "nested too deeply");
    if (extent.values > limits.values) return too_many_values(text, limits);
    Json body;
    try {
        body = parse_json(text);
    } catch (const Json::exception& failure) {
        return invalid(code::parse_error, std::string("not valid JSON: ") + failure.what());
    }
    if (body.is_array()) return invalid(code::invalid_request, "batches of messages are not supported");
    if (!body.is_object()) return invalid(code::invalid_request, "a message must be an object");

    const bool has_id = body.contains("id");
    const std::optional<Json> id = has_id ? readable_id(body["id"]) : std::nullopt;
    const bool is_request = has_id && body.contains("method");
    const auto version = body.find("jsonrpc");
    if (version == body.end() || *version != "2.0")
        return invalid(code::invalid_request, "\"jsonrpc\" must be \"2.0\"", id.value_or(Json()));
    const bool null_reply = has_id && body["id"].is_null() && !is_request;
    if (has_id && !id && !null_reply)
        return invalid(code::invalid_request, "\"id\" must be an integer or a string");

    const auto method = body.find("method");
    if (method == body.end()) {
        if (!has_id) return invalid(code::invalid_request, "neither a method nor an id");
        return read_response(body, id.value_or(Json()));
    }
    if (!method->is_string())
        return invalid(code::invalid_request, "\"method\" must be a string", id.value_or(Json()));
    Message message;
    message.kind = is_request ? Message::Kind::request : Message::Kind::notification;
    message.id = id.value_or(Json());
    message.method = method->get<std::string>();
    if (const auto params = body.find("params"); params != body.end()) {
        if (!params->is_structured() && !params->is_null())
            return invalid(code::invalid_params,
                           message.method + ": \"params\" must be an object or an array", message.id,
                           is_request);
        message.params = std::move(*params);
    }
    return message;
}

} // namespace

Message parse_message(std::string_view text, const Limits& limits) {
    const Extent extent = extent_of(text);
    Message message = read_message(text, limits, extent);
    message.memory = memory_of_a_message;
    if (message.kind == Message::Kind::invalid)
        message.memory += (message.ends = ends_of(text)).size();
    else
        message.memory += text.size() + extent.values * memory_of_a_value;
    return message;
}

std::string result_body(const Json& id, Content result) {
    if (Written* written = std::get_if<Written>(&result))
        return around(std::move(*written), R"({"id":)" + dump(id) + R"(,"jsonrpc":"2.0","result":)");
    return dump(Json{{"jsonrpc", "2.0"}, {"id", id}, {"result", std::get<Json>(std::move(result))}});
}

void write_text(std::string& out, std::string_view text) {
    // Nearly all text needs no escape, and what does is left to the library.
    const bool plain = std::all_of(text.begin(), text.end(),
                                   [](char c) { return c >= ' ' && c < 0x7f && c != '"' && c != '\\'; });
    if (!plain) {
        out += dump(Json(text));
        return;
    }
    out += '"';
    out += text;
    out += '"';
}

std::string error_body(const Json& id, const Error& error) {
    Json detail{{"code", error.code}, {"message", error.message}};
    if (!error.data.is_null()) detail["data"] = error.data;
    return dump(Json{{"jsonrpc", "2.0"}, {"id", id}, {"error", std::move(detail)}});
}

std::string notification_body(std::string_view method, Content params) {
    if (Written* written = std::get_if<Written>(&params))
        return around(std::move(*written),
                      R"({"jsonrpc":"2.0","method":)" + dump(Json(method)) + R"(,"params":)");
    Json body{{"jsonrpc", "2.0"}, {"method", method}};
    if (Json& value = std::get<Json>(params); !value.is_null()) body["params"] = std::move(value);
    return dump(body);
}

std::string request_body(const Json& id, std::string_view method, Json params) {
    Json body{{"jsonrpc", "2.0"}, {"id", id}, {"method", method}};
    if (!params.is_null()) body["params"] = std::move(params);
    return dump(body);
}

} // namespace turnwright::rpc
