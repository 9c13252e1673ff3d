// textDocument/inlayHint: each kind has a switch under "hints" in the settings.
#include "features/hints.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::inlay_hint {
namespace {

features::HintOptions options_of(const Settings& settings) {
    features::HintOptions options;
    options.rpm = settings.flag({"hints", "rpm"}, options.rpm);
    options.feed_per_minute = settings.flag({"hints", "feedPerMinute"}, options.feed_per_minute);
    options.sequence_time = settings.flag({"hints", "sequenceTime"}, options.sequence_time);
    options.increments = settings.flag({"hints", "increments"}, options.increments);
    options.absolute_result = settings.flag({"hints", "absoluteResult"}, options.absolute_result);
    return options;
}

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range range = document.from_client(read_range(params["range"]));
    Json all = Json::array();
    for (const features::InlayHint& hint :
         features::inlay_hints(document.evaluated(), range, options_of(server.settings()))) {
        Json out{{"position", document.to_client(hint.at)}, {"label", hint.text}};
        if (hint.left_pad) out["paddingLeft"] = true;
        put(out, "tooltip", hint.tooltip);
        all.push_back(std::move(out));
    }
    return all;
}

void announce(Json& capabilities, const Client& client) {
    // Whoever can be told later is told by the settings: registrations.cpp.
    if (client.has({"textDocument", "inlayHint"}) &&
        !client.can({"textDocument", "inlayHint", "dynamicRegistration"}))
        capabilities["inlayHintProvider"] = true;
}

} // namespace

extern const Feature inlay_hint_feature{"textDocument/inlayHint", handle, announce, WhenTextWaits::refuse};

} // namespace turnwright::protocol::inlay_hint
