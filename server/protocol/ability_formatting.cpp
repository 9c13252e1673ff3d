// textDocument/formatting, rangeFormatting and onTypeFormatting. How programs are written is the shop file's;
// of the client's options none means anything here.
#include "features/formatting.h"
#include "protocol/feature.h"
#include "protocol/places.h"

namespace turnwright::protocol::formatting {
namespace {

rpc::Content whole(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    OpenDocument& document = server.document(params["textDocument"]);
    return to_client(document, features::format(document.evaluated()));
}

rpc::Content range(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range asked = document.from_client(read_range(params["range"]));
    return to_client(document, features::format(document.evaluated(), asked));
}

rpc::Content on_type(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    const std::string typed = params["ch"].string();
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    return to_client(document, features::format_on_type(document.evaluated(), at, typed));
}

/// What formatting would change, where the settings ask for it; nothing of a text that is out of step.
rpc::Content before_save(Server& server, const In& params, rpc::Call&) {
    params["reason"].integer();
    const std::string uri = params["textDocument"]["uri"].string();
    OpenDocument* document = server.find_document(uri);
    if (!document || document->lost() || !server.settings().flag({"formatting", "onSave"}, false))
        return nullptr;
    return to_client(*document, features::format(server.evaluate(*document)));
}

/// Whoever can be told later is told by the settings: registrations.cpp.
void announce(Json& capabilities, const Client& client) {
    const auto later = [&](std::string_view what) {
        return client.can({"textDocument", what, "dynamicRegistration"});
    };
    if (!later("formatting")) capabilities["documentFormattingProvider"] = true;
    if (!later("rangeFormatting")) capabilities["documentRangeFormattingProvider"] = true;
    if (!later("onTypeFormatting"))
        capabilities["documentOnTypeFormattingProvider"] = Json{{"firstTriggerCharacter", "\n"}};
}

} // namespace

extern const Feature formatting_feature{"textDocument/formatting", whole, announce};
extern const Feature range_formatting_feature{"textDocument/rangeFormatting", range, nullptr};
extern const Feature on_type_formatting_feature{"textDocument/onTypeFormatting", on_type, nullptr};
extern const Feature will_save_feature{"textDocument/willSaveWaitUntil", before_save, nullptr};

} // namespace turnwright::protocol::formatting
