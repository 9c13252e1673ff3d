#include "protocol/progress.h"

#include "protocol/client.h"
#include "rpc/rpc.h"

namespace turnwright::protocol {
namespace {

// Enough for a screen at once, small enough to be drawn before the next comes.
constexpr std::size_t items_a_part = 200;

Json token_in(const In& params, std::string_view name) {
    const Json* token = params.json().is_object() ? look(params.json(), {name}) : nullptr;
    return token && (token->is_string() || token->is_number_integer()) ? *token : Json();
}

void tell(rpc::Endpoint& endpoint, const Json& token, rpc::Content value) {
    if (const auto* text = std::get_if<rpc::Written>(&value))
        return endpoint.notify(
            "$/progress", rpc::Written(R"({"token":)" + token.dump() + R"(,"value":)" + text->text + '}'));
    endpoint.notify("$/progress", Json{{"token", token}, {"value", std::get<Json>(std::move(value))}});
}

} // namespace

WorkDone::WorkDone(rpc::Endpoint& endpoint, const In& params, const std::string& title)
    : endpoint_(endpoint), token_(token_in(params, "workDoneToken")) {
    begin(title);
}

WorkDone::WorkDone(rpc::Endpoint& endpoint, const Client& client, Json token, const std::string& title)
    : endpoint_(endpoint) {
    create(client, std::move(token));
    begin(title);
}

WorkDone::WorkDone(rpc::Endpoint& endpoint, const Client& client, const In& params, Json token,
                   const std::string& title)
    : endpoint_(endpoint), token_(token_in(params, "workDoneToken")) {
    if (token_.is_null()) create(client, std::move(token));
    begin(title, true);
}

void WorkDone::create(const Client& client, Json token) {
    if (!client.can({"window", "workDoneProgress"})) return;
    token_ = std::move(token);
    // The client has read this before it reads what follows; there is nothing to wait for.
    endpoint_.request("window/workDoneProgress/create", Json{{"token", token_}},
                      [](const Json&, const rpc::Error*) {});
}

WorkDone::~WorkDone() {
    send(Json{{"kind", "end"}});
}

void WorkDone::begin(const std::string& title, bool cancellable) {
    send(Json{{"kind", "begin"}, {"title", title}, {"cancellable", cancellable}});
}

void WorkDone::report(unsigned percent, const std::string& message) {
    send(Json{{"kind", "report"}, {"percentage", percent}, {"message", message}});
}

void WorkDone::send(Json value) {
    if (!token_.is_null()) tell(endpoint_, token_, std::move(value));
}

Parts::Parts(rpc::Endpoint& endpoint, const In& params)
    : endpoint_(endpoint), token_(token_in(params, "partialResultToken")) {}

void Parts::send(rpc::Content part) {
    if (wanted()) tell(endpoint_, token_, std::move(part));
}

rpc::Content in_parts(rpc::Endpoint& endpoint, const In& params, rpc::Content result) {
    Parts parts(endpoint, params);
    if (!parts.wanted()) return result;
    if (const auto* text = std::get_if<rpc::Written>(&result)) result = Json::parse(text->text);
    Json& all = std::get<Json>(result);
    if (!all.is_array() || all.empty()) return result;
    Json part = Json::array();
    for (Json& item : all) {
        part.push_back(std::move(item));
        if (part.size() < items_a_part) continue;
        parts.send(std::move(part));
        part = Json::array();
    }
    if (!part.empty()) parts.send(std::move(part));
    return Json::array();
}

} // namespace turnwright::protocol
