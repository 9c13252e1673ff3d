// textDocument/formatting, rangeFormatting and onTypeFormatting. How programs are written is the shop file's;
// of the client's options none means anything here.
#include "features/formatting.h"
#include "protocol/feature.h"
#include "protocol/places.h"

namespace turnwright::protocol {
namespace {

Json whole(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    OpenDocument& document = server.document(params["textDocument"]);
    return to_client(document, features::format(document.evaluated()));
}

Json range(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range asked = document.from_client(read_range(params["range"]));
    return to_client(document, features::format(document.evaluated(), asked));
}

Json on_type(Server& server, const In& params, rpc::Call&) {
    read_formatting_options(params["options"]);
    const std::string typed = params["ch"].string();
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    return to_client(document, features::format_on_type(document.evaluated(), at, typed));
}

void announce(Json& capabilities, const Client&) {
    capabilities["documentFormattingProvider"] = true;
    capabilities["documentRangeFormattingProvider"] = true;
    capabilities["documentOnTypeFormattingProvider"] = Json{{"firstTriggerCharacter", "\n"}};
}

} // namespace

extern const Feature formatting_feature{"textDocument/formatting", whole, announce};
extern const Feature range_formatting_feature{"textDocument/rangeFormatting", range, nullptr};
extern const Feature on_type_formatting_feature{"textDocument/onTypeFormatting", on_type, nullptr};

} // namespace turnwright::protocol
