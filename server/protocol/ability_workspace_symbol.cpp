// workspace/symbol: programs and sequences of open documents, programs of the other files in the folders.
#include "features/outline.h"
#include "features/uses.h"
#include "language/said.h"
#include "machine/whole_number.h"
#include "protocol/feature.h"
#include "protocol/places.h"
#include "protocol/symbol.h"
#include "text/letters.h"

#include <algorithm>
#include <cstdio>

namespace turnwright::protocol::workspace_symbol {
namespace {

constexpr std::size_t most_symbols = 1000; // a longer list is no help: the client narrows its query

/// Every digit or letter of the query in order; the number's leading zeros count as written here.
bool matches(std::string_view name, std::string_view query) {
    using text::lower;
    std::size_t at = 0;
    for (const char wanted : query) {
        if (wanted == ' ') continue;
        while (at < name.size() && lower(name[at]) != lower(wanted)) ++at;
        if (at++ == name.size()) return false;
    }
    return true;
}

void add_programs(const features::WorkspaceFile& file, std::string_view query, Places& places, Json& all) {
    for (std::size_t run = 0; run < file.forest->size(); ++run) {
        const syntax::Run& blocks = *file.forest->run(run);
        for (std::size_t block = 0; block < blocks.blocks.size(); ++block) {
            const auto items = blocks.items_of(blocks.blocks[block]);
            const auto word = std::find_if(items.begin(), items.end(), [](const syntax::Item& item) {
                return item.letter == 'O' && item.kind == syntax::ItemKind::word;
            });
            if (word == items.end() || !(word->value > 0 && word->value < 1e8)) continue;
            char name[16];
            std::snprintf(name, sizeof name, "O%04d", machine::whole_number(word->value));
            if (!matches(name, query) || all.size() >= most_symbols) continue;
            const auto line = static_cast<std::uint32_t>(file.buffer->first_line_of_leaf(run) + block);
            const text::Range range{{line, 0},
                                    {line, static_cast<std::uint32_t>(file.buffer->line(line).size())}};
            all.push_back(SymbolInformation{name,
                                            SymbolKind::file,
                                            {places.uri_of(file.path), places.range(file.path, range)},
                                            file.path.filename().string()});
        }
    }
}

rpc::Content handle(Server& server, const In& params, rpc::Call& call) {
    const std::string query = params["query"].string();
    Json all = Json::array();
    for (auto& [key, document] : server.documents()) {
        call.cancel.throw_if_cancelled();
        if (document->lost()) continue;
        for (const features::WorkspaceSymbol& symbol :
             features::workspace_symbols(server.evaluate(*document), query)) {
            if (all.size() >= most_symbols) break;
            const SymbolKind kind = symbol.kind == features::SymbolKind::program      ? SymbolKind::file
                                    : symbol.kind == features::SymbolKind::subprogram ? SymbolKind::function
                                                                                      : SymbolKind::method;
            all.push_back(SymbolInformation{symbol.name.empty() ? said("(no name)") : symbol.name,
                                            kind,
                                            {document->uri(), document->to_client(symbol.location.range)},
                                            symbol.container});
        }
    }
    Places places(server);
    for (const features::WorkspaceFile& file : server.workspace().files()) {
        call.cancel.throw_if_cancelled();
        const auto is_it = [&](const auto& entry) { return entry.second->as_it_is().path() == file.path; };
        if (std::any_of(server.documents().begin(), server.documents().end(), is_it)) continue;
        add_programs(file, query, places, all);
    }
    return all;
}

void announce(Json& capabilities, const Client&) {
    capabilities["workspaceSymbolProvider"] = true;
}

} // namespace

extern const Feature workspace_symbol_feature{"workspace/symbol", handle, announce, WhenTextWaits::answer,
                                              true};

} // namespace turnwright::protocol::workspace_symbol
