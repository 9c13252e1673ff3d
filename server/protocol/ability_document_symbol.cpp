// textDocument/documentSymbol: a tree, or a list for clients that know no tree.
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::document_symbol {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    if (server.client().can({"textDocument", "documentSymbol", "hierarchicalDocumentSymbolSupport"}))
        return rpc::Written(document.outline_text.write(document));
    return flattened(symbols_of(document), document.uri());
}

void announce(Json& capabilities, const Client&) {
    capabilities["documentSymbolProvider"] = true;
}

} // namespace

extern const Feature document_symbol_feature{"textDocument/documentSymbol", handle, announce,
                                             WhenTextWaits::refuse, true};

} // namespace turnwright::protocol::document_symbol
