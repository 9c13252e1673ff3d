// LSP document and workspace symbols, call hierarchy items.
#pragma once

#include "protocol/basic.h"

namespace turnwright::protocol {

/// The protocol's numbers, those we use.
/// Some editors write the kind's name before the symbol: what a machinist reads is "File" and "Method".
enum class SymbolKind { file = 1, method = 6, function = 12 };

struct DocumentSymbol {
    std::string name; ///< Never empty: some clients refuse the whole answer otherwise.
    std::string detail;
    SymbolKind kind = SymbolKind::function;
    Range range;
    Range selection;
    std::vector<DocumentSymbol> children;
};
/// The flat form of older clients, and of workspace symbols.
struct SymbolInformation {
    std::string name;
    SymbolKind kind = SymbolKind::function;
    Location location;
    std::string container;
};
// NOLINTNEXTLINE(bugprone-exception-escape): the move of Json does not throw, by its library's word
struct CallHierarchyItem {
    std::string name;
    std::string detail;
    SymbolKind kind = SymbolKind::function;
    std::string uri;
    Range range;
    Range selection;
    Json data;
};
/// Both directions: `item` is the caller or the callee, `from` are the calls' ranges in the caller.
struct CallHierarchyCall {
    CallHierarchyItem item;
    std::vector<Range> from;
};

void to_json(Json& out, const SymbolInformation& in);
void to_json(Json& out, const CallHierarchyItem& in);
Json incoming_call(const CallHierarchyCall& call);
Json outgoing_call(const CallHierarchyCall& call);
// As JSON text: a long program has tens of thousands.
void write(std::string& out, const DocumentSymbol& symbol);
/// Its members but for its children, without braces.
void write_own(std::string& out, const DocumentSymbol& symbol);
std::vector<SymbolInformation> flattened(const std::vector<DocumentSymbol>& symbols, const std::string& uri);

} // namespace turnwright::protocol
