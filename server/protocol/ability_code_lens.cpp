// textDocument/codeLens
#include "features/hints.h"
#include "protocol/action.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::code_lens {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    Json all = Json::array();
    for (const features::CodeLens& lens : features::code_lenses(document.evaluated()))
        all.push_back(Json{{"range", document.to_client(lens.range)},
                           {"command", command_of(document.uri(), lens.command)}});
    return all;
}

void announce(Json& capabilities, const Client& client) {
    // Whoever can be told later is told by the settings: registrations.cpp.
    if (client.has({"textDocument", "codeLens"}) &&
        !client.can({"textDocument", "codeLens", "dynamicRegistration"}))
        capabilities["codeLensProvider"] = Json::object();
}

} // namespace

extern const Feature code_lens_feature{"textDocument/codeLens", handle, announce, WhenTextWaits::refuse,
                                       true};

} // namespace turnwright::protocol::code_lens
