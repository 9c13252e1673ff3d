// textDocument/signatureHelp
#include "features/completion.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::signature_help {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const auto help = features::signature_help(document.evaluated(), at);
    if (!help) return nullptr;
    const Client& client = server.client();
    const auto has = [&](std::string_view what) {
        return client.can(
            {"textDocument", "signatureHelp", "signatureInformation", "parameterInformation", what});
    };
    const bool offsets = has("labelOffsetSupport");
    const bool markdown = client.wants_markdown(
        {"textDocument", "signatureHelp", "signatureInformation", "documentationFormat"});
    const MarkupKind kind = markdown ? MarkupKind::markdown : MarkupKind::plain;
    Json parameters = Json::array();
    for (const auto& parameter : help->parameters) {
        Json one;
        if (offsets)
            one["label"] = Json::array({text::count_characters(help->label, parameter.begin, client.encoding),
                                        text::count_characters(help->label, parameter.end, client.encoding)});
        else
            one["label"] = help->label.substr(parameter.begin, parameter.end - parameter.begin);
        if (!parameter.documentation.empty()) one["documentation"] = Markup{kind, parameter.documentation};
        parameters.push_back(std::move(one));
    }
    Json signature{{"label", help->label}, {"parameters", std::move(parameters)}};
    if (!help->documentation.empty()) signature["documentation"] = Markup{kind, help->documentation};
    Json out{{"signatures", Json::array({std::move(signature)})}, {"activeSignature", 0}};
    put(out, "activeParameter", help->active);
    return out;
}

void announce(Json& capabilities, const Client&) {
    capabilities["signatureHelpProvider"] = Json{{"triggerCharacters", Json::array({" "})}};
}

} // namespace

extern const Feature signature_help_feature{"textDocument/signatureHelp", handle, announce,
                                            WhenTextWaits::answer,        false,  true};

} // namespace turnwright::protocol::signature_help
