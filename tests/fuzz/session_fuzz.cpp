// Any bytes as what a client says to the whole server: it sends nothing but frames of JSON, answers every
// request once, never with an internal error, and ends with the input.
//
// Input: a byte for the client's capabilities (255: the rest is the stream as it is), then records between
// 0xFE. A record's first byte says what it is: raw bytes, an open, a change, any request or notification, the
// same with a value of another type in some place, a reply, a file written to disk. See session.cpp.
#include "fuzz/session.h"
#include "protocol/server.h"

using namespace turnwright;
using namespace turnwright::fuzz;

namespace {

void check_replies(const Said& said, const std::vector<Json>& told) {
    std::map<std::int64_t, int> replies;
    for (const Json& message : told) {
        require(message.is_object() && message.value("jsonrpc", "") == "2.0", "the server says JSON-RPC 2.0");
        if (message.contains("method")) continue;
        require(message.contains("id") && message.contains("result") != message.contains("error"),
                "a reply is a result or an error", message.dump());
        if (message.contains("error"))
            require(message["error"]["code"] != rpc::code::internal_error, "no request fails inside",
                    message.dump());
        if (message["id"].is_number_integer()) ++replies[message["id"].get<std::int64_t>()];
    }
    if (said.broken) return;
    for (const auto& [id, method] : said.asked) {
        const int count = replies.contains(id) ? replies.at(id) : 0;
        require(count == 1 || (count == 0 && said.ends), "a request has one reply", method);
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view input(reinterpret_cast<const char*>(data), size);
    const Said said = read_records(input);
    Script script(said.bytes, said.writings, size % 3 == 0 ? 7 : 64 * 1024);
    protocol::ServerOptions options;
    options.version = "fuzz";
    options.limits.body_bytes = std::size_t{1} << 20;
    options.log = [](std::string_view line) {
        require(line.find("failed: ") == std::string_view::npos, "nothing fails inside", std::string(line));
    };
    const int status = protocol::Server(options).run(script);
    require(status == 0 || status == 1, "the exit status is 0 or 1");
    check_replies(said, script.told());
    return 0;
}
