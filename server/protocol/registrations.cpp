// Abilities that a client lets us register later: on while the settings ask for them, off when they do not.
#include "protocol/server.h"

namespace turnwright::protocol {
namespace {

struct Registration {
    const char* method;
    const char* capability; ///< Of the client, under textDocument
    const char* setting;    ///< Its `offered` turns it off
    Json options;
};

const std::vector<Registration>& registrations() {
    static const std::vector<Registration> table{
        {"textDocument/formatting", "formatting", "formatting", Json::object()},
        {"textDocument/rangeFormatting", "rangeFormatting", "formatting", Json::object()},
        {"textDocument/onTypeFormatting", "onTypeFormatting", "formatting",
         Json{{"firstTriggerCharacter", "\n"}}},
        {"textDocument/inlayHint", "inlayHint", "hints", Json::object()},
        {"textDocument/codeLens", "codeLens", "lenses", Json::object()},
    };
    return table;
}

} // namespace

void Server::register_by_settings() {
    Json wanted = Json::array(), gone = Json::array();
    for (const Registration& row : registrations()) {
        if (!client_.can({"textDocument", row.capability, "dynamicRegistration"})) continue;
        const bool on = settings_.flag({row.setting, "offered"}, true);
        const bool is_on = registered_.contains(row.method);
        if (on == is_on) continue;
        if (on) {
            registered_.insert(row.method);
            Json options = row.options;
            options["documentSelector"] = nullptr; // the client's own
            wanted.push_back(
                Json{{"id", row.method}, {"method", row.method}, {"registerOptions", std::move(options)}});
        } else {
            registered_.erase(row.method);
            gone.push_back(Json{{"id", row.method}, {"method", row.method}});
        }
    }
    const auto ask = [this](const char* method, Json params) {
        endpoint_.request(method, std::move(params), [this](const Json&, const rpc::Error* error) {
            if (error) log("the client refused a registration: " + error->message);
        });
    };
    if (!wanted.empty()) ask("client/registerCapability", Json{{"registrations", std::move(wanted)}});
    // The protocol spells it so.
    if (!gone.empty()) ask("client/unregisterCapability", Json{{"unregisterations", std::move(gone)}});
}

} // namespace turnwright::protocol
