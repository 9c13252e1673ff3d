#include "protocol/shop_writing.h"
#include "language/said.h"

#include "features/assumed.h"
#include "features/shop_gain.h"
#include "host/host.h"
#include "protocol/server.h"
#include "protocol/uri.h"
#include "shop/machine_place.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::protocol {
namespace {

using features::ShopEntry;

/// "rapid_x = 12000   # assumed: mm a minute, on radius"
std::string lines_of(const std::vector<ShopEntry>& entries, bool inch) {
    std::string lines;
    for (const ShopEntry& entry : entries) {
        const bool is_length = entry.mm != entry.inch;
        const std::string_view unit = !is_length ? "" : inch ? "inch " : "mm ";
        const std::string_view value = inch ? entry.inch : entry.mm;
        if (entry.group.empty()) { // Told by whoever chose it
            lines += fmt::format("{} = {}  # {}\n", entry.key, value, entry.comment);
            continue;
        }
        lines += fmt::format("{} = {}  # assumed{}{}{}\n", entry.key, value,
                             is_length || !entry.comment.empty() ? ": " : "", unit, entry.comment);
    }
    return lines;
}

/// "rapid_x 12000, rapid_z 16000"
std::string in_short(const std::vector<ShopEntry>& entries, bool inch) {
    std::string text;
    for (const ShopEntry& entry : entries)
        text += fmt::format("{}{} = {}", text.empty() ? "" : ", ", entry.key, inch ? entry.inch : entry.mm);
    return text;
}

/// What the shop file that holds for a program takes, and how.
struct Target {
    std::filesystem::path path;
    bool is_new_file = false;
    bool is_read = true; ///< By this server, as the editor has opened its folder
    shop::MachinePlace place;
    std::string line_end = "\n";
    bool ends_open = false; ///< The file's last line has no end
    bool inch = false;
};

std::optional<Target> target_of(const Server& server, const OpenDocument& document) {
    const features::Document& program = document.as_it_is();
    const HomeFolder home = home_of(server, program.path());
    if (home.path.empty()) return std::nullopt;
    Target target;
    if (program.shop().path.empty()) {
        if (!takes_new_files(server.client()) || !unread_beside(server, program.path()).empty())
            return std::nullopt;
        target.path = home.path / "turnwright.toml";
        target.is_new_file = true;
        target.is_read = home.is_open;
        return target;
    }
    target.path = program.shop().path;
    const host::FileRead file = server.shop_files().read(target.path, shop::largest_file);
    if (!file.problem.empty()) return std::nullopt;
    // Of several machines the one that this program runs on.
    const auto& machines = program.shop().machines;
    const std::string& name = program.settings().machine.name;
    const auto machine = std::find_if(machines.begin(), machines.end(),
                                      [&](const shop::Machine& one) { return one.name == name; });
    if (machine == machines.end() || (machines.size() > 1 && name.empty())) return std::nullopt;
    const auto place =
        shop::place_in_machine(file.bytes, static_cast<std::size_t>(machine - machines.begin()));
    if (!place) return std::nullopt;
    target.place = *place;
    if (file.bytes.find("\r\n") != std::string::npos) target.line_end = "\r\n";
    target.ends_open = !file.bytes.empty() && file.bytes.back() != '\n';
    target.inch = place->inch.value_or(false);
    return target;
}

std::string with_ends(std::string text, const std::string& line_end) {
    if (line_end == "\n") return text;
    std::string out;
    for (const char c : text) out += c == '\n' ? line_end : std::string(1, c);
    return out;
}

Json edit_of(const Target& target, const std::vector<ShopEntry>& entries) {
    const std::string uri = uri_of_path(target.path), lines = lines_of(entries, target.inch);
    TextEdit edit;
    if (target.is_new_file) {
        edit.text = "# Assumed until somebody wrote it here: put what this lathe really has.\n"
                    "units = \"mm\"\n\n[[machine]]\n" +
                    lines;
    } else if (target.place.is_new_table) {
        edit.text = std::string(target.ends_open ? "\n" : "") + "\n[[machine]]\n" +
                    (target.place.inch ? "" : "units = \"mm\"\n") + lines;
    } else {
        edit.text = "\n" + lines.substr(0, lines.size() - 1); // Behind the header's line
    }
    edit.text = with_ends(std::move(edit.text), target.line_end);
    edit.range.start = edit.range.end = {static_cast<std::uint32_t>(target.place.line),
                                         static_cast<std::uint32_t>(target.place.byte)};
    const Json change{{"textDocument", Json{{"uri", uri}, {"version", nullptr}}},
                      {"edits", Json::array({edit})}};
    Json changes = Json::array();
    if (target.is_new_file)
        changes.push_back(Json{{"kind", "create"},
                               {"uri", uri},
                               {"options", Json{{"overwrite", false}, {"ignoreIfExists", false}}}});
    changes.push_back(change);
    return Json{{"documentChanges", std::move(changes)}};
}

} // namespace

bool takes_new_files(const Client& client) {
    const auto operations =
        look_strings(client.capabilities, {"workspace", "workspaceEdit", "resourceOperations"});
    return client.can({"workspace", "applyEdit"}) &&
           client.can({"workspace", "workspaceEdit", "documentChanges"}) &&
           std::find(operations.begin(), operations.end(), "create") != operations.end();
}

std::filesystem::path root_of(const Server& server, const std::filesystem::path& program) {
    std::error_code failed;
    const std::filesystem::path real = host::weakly_canonical(program, failed);
    std::filesystem::path best;
    for (const std::filesystem::path& root : server.shop_files().roots())
        if (!failed && lies_in(real, root) && root.native().size() >= best.native().size()) best = root;
    return best;
}

HomeFolder home_of(const Server& server, const std::filesystem::path& program) {
    if (program.empty()) return {};
    if (std::filesystem::path root = root_of(server, program); !root.empty()) return {std::move(root), true};
    std::error_code failed;
    std::filesystem::path folder = host::canonical(program.parent_path(), failed);
    return failed ? HomeFolder{} : HomeFolder{std::move(folder), false};
}

std::filesystem::path unread_beside(const Server& server, const std::filesystem::path& program) {
    const HomeFolder home = home_of(server, program);
    if (home.path.empty() || home.is_open) return {};
    std::filesystem::path job = program.filename();
    job.replace_extension(".turnwright.toml");
    for (const std::filesystem::path& file : {home.path / "turnwright.toml", home.path / job}) {
        std::error_code failed;
        if (std::filesystem::exists(file, failed) && !failed) return file;
    }
    return {};
}

Json shop_writing_actions(const Server& server, const OpenDocument& document, const text::Range& range) {
    Json actions = Json::array();
    const features::Document& program = document.as_it_is();
    if (!server.client().can({"workspace", "workspaceEdit", "documentChanges"}) ||
        !features::is_at_head(program, range.begin.line))
        return actions;
    std::vector<ShopEntry> entries = features::assumed_shop_entries(program);
    const auto open = features::first_open_length(program);
    if (entries.empty() && !open) return actions;
    const auto target = target_of(server, document);
    if (!target) return actions;
    // A key with a value that cannot be used stands there already: whoever wrote it mends it.
    std::erase_if(entries, [&](const ShopEntry& entry) {
        const auto& keys = target->place.keys;
        return std::find(keys.begin(), keys.end(), entry.key) != keys.end();
    });
    const auto offer = [&](std::string_view what, const std::vector<ShopEntry>& some) {
        CodeAction action;
        action.title =
            said("Write {} into {}: {}", what,
                 !target->is_read      ? said("a new shop file, which holds once the editor opens its folder")
                 : target->is_new_file ? said("a new shop file")
                                       : said("the shop file"),
                 in_short(some, target->inch));
        action.kind = "refactor.rewrite";
        Json json = action;
        json["edit"] = edit_of(*target, some);
        actions.push_back(std::move(json));
    };
    std::size_t groups = 0;
    for (std::size_t first = 0; first < entries.size(); ++groups) {
        std::size_t end = first + 1;
        while (end < entries.size() && entries[end].group == entries[first].group) ++end;
        offer(said("the assumed ") + entries[first].group,
              {entries.begin() + static_cast<std::ptrdiff_t>(first),
               entries.begin() + static_cast<std::ptrdiff_t>(end)});
        first = end;
    }
    if (groups > 1) offer(said("all that is assumed"), entries);
    const auto& keys = target->place.keys;
    if (!open || std::find(keys.begin(), keys.end(), "no_point") != keys.end()) return actions;
    for (const auto& [value, comment] :
         {std::pair<const char*, std::string>{"\"whole units\"",
                                              said("{} is {}", open->text, open->text + ".")},
          {"\"least increments\"", said("{} counts least increments", open->text)}})
        offer(said("how lengths without a point are read ({})", comment),
              {ShopEntry{"no_point", value, value, comment, ""}});
    return actions;
}

} // namespace turnwright::protocol
