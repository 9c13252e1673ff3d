// Any bytes as frames, in any pieces: whole or byte by byte gives the same messages, nothing is kept without
// bound, and every body is a message or an error that says why not.
//
// Input: what a client sends; its last byte chooses the size of the pieces and whether a reader looks for the
// next header after nonsense.
#include "fuzz/fuzz.h"
#include "protocol/client.h"
#include "rpc/framing.h"

using namespace turnwright;
using namespace turnwright::rpc;
using fuzz::require;

namespace {

std::vector<FrameReader::Event> read(std::string_view bytes, const Limits& limits, std::size_t piece) {
    FrameReader reader(limits);
    std::vector<FrameReader::Event> events;
    for (std::size_t at = 0; at < bytes.size() && !reader.dead(); at += piece) {
        reader.feed(bytes.substr(at, piece));
        while (auto event = reader.next()) events.push_back(std::move(*event));
    }
    return events;
}

/// Whatever is sent back is JSON.
Json sent(const std::string& body) {
    return Json::parse(body);
}

void check_message(const std::string& body, const Limits& limits) {
    const Message message = parse_message(body, limits);
    switch (message.kind) {
    case Message::Kind::invalid:
        require(message.code != 0 && !message.problem.empty(), "a bad message says why");
        require(sent(error_body(message.id, Error(message.code, message.problem)))["error"].is_object(),
                "an error can be sent");
        break;
    case Message::Kind::request:
        require(message.id.is_string() || message.id.is_number_integer(), "a request has an id");
        require(sent(result_body(message.id, message.params))["id"] == message.id, "a reply carries the id");
        break;
    case Message::Kind::notification:
        require(message.id.is_null(), "a notification has no id");
        break;
    case Message::Kind::response:
        require(message.method.empty(), "a reply has no method");
        break;
    }
    if (message.method.empty()) return;
    const Message again = parse_message(notification_body(message.method, message.params), limits);
    require(again.kind == Message::Kind::notification && again.method == message.method,
            "what is sent can be read");
    try {
        const protocol::Client client = protocol::read_client(protocol::In(message.params, "params"));
        (void)client.pulls_diagnostics();
        (void)client.wants_markdown({"textDocument", "hover", "contentFormat"});
    } catch (const Error& refused) {
        require(!refused.message.empty(), "a refusal says why");
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    fuzz::Choices choices({reinterpret_cast<const char*>(data), size});
    const std::uint8_t choice = choices.byte();
    Limits limits;
    limits.resynchronise = choice & 1;
    if (choice & 2) limits.header_bytes = 64, limits.body_bytes = 100, limits.depth = 5;

    const auto whole = read(choices.rest(), limits, std::size_t{1} << 20);
    const auto pieces = read(choices.rest(), limits, 1 + choice / 4U);
    require(whole.size() == pieces.size(), "pieces give as many messages as the whole");
    for (std::size_t i = 0; i < whole.size(); ++i)
        require(whole[i].kind == pieces[i].kind && whole[i].text == pieces[i].text,
                "pieces give the same messages as the whole", whole[i].text + " / " + pieces[i].text);
    for (const FrameReader::Event& event : whole) {
        if (event.kind != FrameReader::Event::Kind::body) continue;
        require(event.text.size() <= limits.body_bytes, "no body is over the limit");
        check_message(event.text, limits);
    }
    check_message(std::string(choices.rest()), limits);

    const std::string body(choices.rest().substr(0, limits.body_bytes));
    const auto framed = read(frame(body), limits, 3);
    require(framed.size() == 1 && framed[0].text == body, "a frame is read as it was sent");
    return 0;
}
