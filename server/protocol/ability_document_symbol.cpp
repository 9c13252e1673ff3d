// textDocument/documentSymbol: a tree, or a list for clients that know no tree.
#include "protocol/feature.h"
#include "protocol/server.h"
#include "protocol/symbol.h"

namespace turnwright::protocol {
namespace {

SymbolKind kind_of(features::SymbolKind kind) {
    switch (kind) {
    case features::SymbolKind::program:
        return SymbolKind::module;
    case features::SymbolKind::subprogram:
        return SymbolKind::function;
    case features::SymbolKind::sequence:
        break;
    }
    return SymbolKind::event;
}

DocumentSymbol converted(const OpenDocument& document, const features::Symbol& symbol) {
    DocumentSymbol out;
    out.name = symbol.name.empty() ? "(no name)" : symbol.name;
    out.detail = symbol.detail;
    out.kind = kind_of(symbol.kind);
    out.range = document.to_client(symbol.range);
    out.selection = document.to_client(symbol.selection);
    for (const features::Symbol& child : symbol.children) out.children.push_back(converted(document, child));
    return out;
}

Json handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    std::vector<DocumentSymbol> symbols;
    for (const features::Symbol& symbol : features::document_symbols(document.evaluated()))
        symbols.push_back(converted(document, symbol));
    if (server.client().can({"textDocument", "documentSymbol", "hierarchicalDocumentSymbolSupport"}))
        return symbols;
    return flattened(symbols, document.uri());
}

void announce(Json& capabilities, const Client&) {
    capabilities["documentSymbolProvider"] = true;
}

} // namespace

extern const Feature document_symbol_feature{"textDocument/documentSymbol", handle, announce,
                                             WhenTextWaits::refuse, true};

} // namespace turnwright::protocol
