// textDocument/documentSymbol: a tree, or a list for clients that know no tree.
#include "protocol/feature.h"
#include "protocol/server.h"
#include "protocol/symbol.h"
#include "syntax/both_cores.h"

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

constexpr std::size_t few_symbols = 512; // converted sooner than a thread starts

DocumentSymbol converted(const OpenDocument& document, features::Symbol&& symbol) {
    DocumentSymbol out;
    out.name = symbol.name.empty() ? "(no name)" : std::move(symbol.name);
    out.detail = std::move(symbol.detail);
    out.kind = kind_of(symbol.kind);
    out.range = document.to_client(symbol.range);
    out.selection = document.to_client(symbol.selection);
    out.children.resize(symbol.children.size());
    syntax::on_both_cores(out.children.size(), few_symbols, [&](std::size_t i) {
        out.children[i] = converted(document, std::move(symbol.children[i]));
    });
    return out;
}

std::vector<DocumentSymbol> symbols_of(OpenDocument& document) {
    std::vector<DocumentSymbol> symbols;
    for (features::Symbol& symbol : features::document_symbols(document.evaluated()))
        symbols.push_back(converted(document, std::move(symbol)));
    return symbols;
}

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const std::vector<DocumentSymbol> symbols = symbols_of(document);
    if (server.client().can({"textDocument", "documentSymbol", "hierarchicalDocumentSymbolSupport"}))
        return rpc::Written(written(symbols));
    return flattened(symbols, document.uri());
}

void announce(Json& capabilities, const Client&) {
    capabilities["documentSymbolProvider"] = true;
}

} // namespace

extern const Feature document_symbol_feature{"textDocument/documentSymbol", handle, announce,
                                             WhenTextWaits::refuse, true};

} // namespace turnwright::protocol
