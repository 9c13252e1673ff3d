#include "protocol/symbol.h"

#include <fmt/compile.h>
#include <iterator>

namespace turnwright::protocol {
namespace {

void flatten(const DocumentSymbol& symbol, const std::string& uri, const std::string& container,
             std::vector<SymbolInformation>& out) {
    const std::string name = symbol.detail.empty() ? symbol.name : symbol.name + " " + symbol.detail;
    out.push_back({name, symbol.kind, {uri, symbol.range}, container});
    for (const DocumentSymbol& child : symbol.children) flatten(child, uri, symbol.name, out);
}

} // namespace

void write_own(std::string& out, const DocumentSymbol& symbol) {
    out += R"("name":)";
    rpc::write_text(out, symbol.name);
    fmt::format_to(std::back_inserter(out), FMT_COMPILE(R"(,"kind":{})"), static_cast<int>(symbol.kind));
    out += R"(,"range":)";
    write(out, symbol.range);
    out += R"(,"selectionRange":)";
    write(out, symbol.selection);
    if (symbol.detail.empty()) return;
    out += R"(,"detail":)";
    rpc::write_text(out, symbol.detail);
}

void write(std::string& out, const DocumentSymbol& symbol) {
    out += '{';
    write_own(out, symbol);
    for (const DocumentSymbol& child : symbol.children) {
        out += &child == &symbol.children.front() ? R"(,"children":[)" : ",";
        write(out, child);
    }
    out += symbol.children.empty() ? "}" : "]}";
}

void to_json(Json& out, const SymbolInformation& in) {
    out = Json{{"name", in.name}, {"kind", static_cast<int>(in.kind)}, {"location", in.location}};
    put(out, "containerName", in.container);
}

void to_json(Json& out, const CallHierarchyItem& in) {
    out = Json{{"name", in.name},
               {"kind", static_cast<int>(in.kind)},
               {"uri", in.uri},
               {"range", in.range},
               {"selectionRange", in.selection}};
    put(out, "detail", in.detail);
    put(out, "data", in.data);
}

Json incoming_call(const CallHierarchyCall& call) {
    return Json{{"from", call.item}, {"fromRanges", call.from}};
}

Json outgoing_call(const CallHierarchyCall& call) {
    return Json{{"to", call.item}, {"fromRanges", call.from}};
}

std::vector<SymbolInformation> flattened(const std::vector<DocumentSymbol>& symbols, const std::string& uri) {
    std::vector<SymbolInformation> flat;
    for (const DocumentSymbol& symbol : symbols) flatten(symbol, uri, "", flat);
    return flat;
}

} // namespace turnwright::protocol
