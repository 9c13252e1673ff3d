// workspace/willRenameFiles: a subprogram's file gets another number, and so do its O word and its callers.
#include "features/navigation.h"
#include "language/said.h"
#include "protocol/feature.h"
#include "protocol/places.h"
#include "protocol/uri.h"

#include <charconv>

namespace turnwright::protocol::will_rename_files {
namespace {

/// "O1000.nc" and "1000.nc" hold program 1000; other names hold none by their name.
std::optional<std::int32_t> number_of(const std::filesystem::path& path) {
    std::string stem = path.stem().string();
    if (!stem.empty() && (stem[0] == 'O' || stem[0] == 'o')) stem.erase(0, 1);
    std::int32_t number = 0;
    const auto [end, failed] = std::from_chars(stem.data(), stem.data() + stem.size(), number);
    if (failed != std::errc() || end != stem.data() + stem.size() || number <= 0) return std::nullopt;
    return number;
}

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    features::Rewrite all;
    for (const In& file : params["files"].array()) {
        const auto from = path_of_uri(file["oldUri"].string()), to = path_of_uri(file["newUri"].string());
        if (!from || !to || !features::is_program_name(*from) || !features::is_program_name(*to)) continue;
        const auto before = number_of(*from), now = number_of(*to);
        if (!before || !now || before == now || !server.shop_files().hold(*from)) continue;
        features::Rewrite rewrite = features::rename_program(server.workspace(), *before, *now);
        if (!rewrite.done()) {
            server.show_message(2, said("The calls of O") + std::to_string(*before) +
                                       " stay: " + rewrite.refused);
            continue;
        }
        for (features::FileEdits& edits : rewrite.files) all.files.push_back(std::move(edits));
    }
    if (all.files.empty()) return nullptr;
    return Places(server).edit(all);
}

void announce(Json& capabilities, const Client& client) {
    if (!client.can({"workspace", "fileOperations", "willRename"})) return;
    const Json programs{{"scheme", "file"},
                        {"pattern", Json{{"glob", "**/*.{nc,cnc,tap,eia}"},
                                         {"matches", "file"},
                                         {"options", Json{{"ignoreCase", true}}}}}};
    capabilities["workspace"]["fileOperations"]["willRename"] = Json{{"filters", Json::array({programs})}};
}

} // namespace

extern const Feature will_rename_files_feature{"workspace/willRenameFiles", handle, announce};

} // namespace turnwright::protocol::will_rename_files
