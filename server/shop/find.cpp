// Which shop file belongs to a program, and which machine and tool of it.
#include "host/host.h"
#include "shop/shop.h"

#include <algorithm>
#include <cctype>

namespace turnwright::shop {
namespace {
namespace fs = std::filesystem;

bool lies_in(const fs::path& path, const fs::path& folder) {
    return std::mismatch(folder.begin(), folder.end(), path.begin(), path.end()).first == folder.end();
}

bool same_name(std::string_view left, std::string_view right) {
    return std::equal(left.begin(), left.end(), right.begin(), right.end(), [](char a, char b) {
        return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
    });
}

/// A path is compared as a whole, however it was named; as it is where no folder is the current one.
fs::path whole_path(const fs::path& path) {
    std::error_code failed;
    fs::path whole = fs::absolute(path, failed);
    return failed ? path : whole;
}

/// Without the empty last part that "parts/" has.
fs::path tidy(const fs::path& path) {
    const fs::path normal = path.lexically_normal();
    if (normal == ".") return {};
    return normal.has_filename() || !normal.has_relative_path() ? normal : normal.parent_path();
}

/// One more than the path parts of the machine's folder that holds the program; 0 when none does.
std::size_t folder_match(const Machine& machine, const fs::path& home, const fs::path& program) {
    std::size_t best = 0;
    for (const std::string& folder : machine.folders) {
        const fs::path whole = tidy(home / host::path_of(folder));
        if (!lies_in(program, whole)) continue;
        best = std::max(best, static_cast<std::size_t>(std::distance(whole.begin(), whole.end())) + 1);
    }
    return best;
}
} // namespace

namespace {

/// nullptr: not known.
const Machine* chosen_machine(const Shop& shop, const fs::path& program, std::string_view named_in_program) {
    const std::vector<Machine>& machines = shop.machines;
    if (machines.empty()) return nullptr;
    if (machines.size() == 1) return &machines.front();
    if (const Machine* named = shop.machine_named(named_in_program)) return named;
    const Machine* best = nullptr;
    std::size_t best_match = 0;
    if (!program.empty()) {
        const fs::path tidy_program = tidy(whole_path(program)), home = whole_path(shop.path).parent_path();
        for (const Machine& machine : machines) {
            const std::size_t match = folder_match(machine, home, tidy_program);
            if (match <= best_match) continue;
            best = &machine;
            best_match = match;
        }
    }
    if (best) return best;
    for (const Machine& machine : machines)
        if (machine.folders.empty()) return &machine;
    return nullptr;
}

} // namespace

const Machine& Shop::machine_for(const fs::path& program, std::string_view named_in_program) const {
    static const Machine unknown;
    const Machine* chosen = chosen_machine(*this, program, named_in_program);
    if (for_job.size() != machines.size() + 1) return chosen ? *chosen : unknown;
    return chosen ? for_job[static_cast<std::size_t>(chosen - machines.data())] : for_job.back();
}

const Machine* Shop::machine_named(std::string_view name) const {
    if (name.empty()) return nullptr;
    for (const Machine& machine : machines)
        if (same_name(machine.name, name)) return &machine;
    return nullptr;
}

const Tool* Shop::tool(int station) const {
    if (own_path) return tool(station, *own_path);
    const Tool* found = nullptr;
    for (const Tool& tool : tools) {
        if (tool.station != station) continue;
        if (found) return nullptr;
        found = &tool;
    }
    return found;
}

bool Shop::has_tool(int station) const {
    return std::any_of(tools.begin(), tools.end(), [&](const Tool& tool) { return tool.station == station; });
}

const Tool* Shop::tool(int station, int of_path) const {
    for (const Tool& tool : tools)
        if (tool.station == station && tool.path.value_or(of_path) == of_path) return &tool;
    return nullptr;
}

Shop default_shop() {
    Shop shop;
    shop.machines.emplace_back();
    return shop;
}

fs::path find_shop_file(const fs::path& program, const fs::path& root) {
    if (program.empty() || root.empty()) return {};
    std::error_code failed;
    const fs::path top = host::canonical(root, failed);
    if (failed) return {};
    // The program itself may not be saved yet.
    fs::path folder = host::weakly_canonical(program, failed).parent_path();
    if (failed) return {};
    for (; lies_in(folder, top); folder = folder.parent_path()) {
        fs::path candidate = folder / "turnwright.toml";
        const fs::path real = host::canonical(candidate, failed);
        if (!failed && lies_in(real, top) && fs::is_regular_file(real, failed)) return candidate;
        if (folder == top || folder == folder.parent_path()) break;
    }
    return {};
}

} // namespace turnwright::shop
