#include "shop/job_file.h"
#include "language/said.h"

#include "host/host.h"

#include <algorithm>
#include <system_error>

namespace turnwright::shop {
namespace {
namespace fs = std::filesystem;

/// "max_rpm" of "  max_rpm = 10"; empty: no key begins here.
std::string_view key_of(std::string_view line) {
    const std::size_t first = line.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    line.remove_prefix(first);
    const std::size_t end = line.find_first_not_of("abcdefghijklmnopqrstuvwxyz_0123456789");
    if (end == 0 || end == std::string_view::npos) return {};
    const std::size_t equals = line.find_first_not_of(" \t", end);
    return equals != std::string_view::npos && line[equals] == '=' ? line.substr(0, end) : std::string_view{};
}

/// Tables of a shop file that have no place in one job, each where it stands first, and keys of [machine]
/// that say what the machine is.
void add_foreign_parts(std::string_view toml, std::vector<Problem>& problems) {
    std::size_t line_number = 0;
    std::vector<std::string_view> told;
    bool in_machine = false;
    for (std::size_t at = 0; at < toml.size(); ++line_number) {
        const std::size_t end = std::min(toml.find('\n', at), toml.size());
        const std::string_view line = toml.substr(at, end - at);
        at = end + 1;
        const auto is_job_key = [](std::string_view key) {
            return std::find(std::begin(job_machine_keys), std::end(job_machine_keys), key) !=
                   std::end(job_machine_keys);
        };
        const std::string_view key = key_of(line);
        if (in_machine && !key.empty() && !is_job_key(key))
            problems.push_back(
                {line_number, static_cast<std::size_t>(key.data() - line.data()), key.size(),
                 said("[machine] in a job file says how this one program is read: system, power_on_units, "
                      "power_on, x, no_point, tool_digits. ") +
                     std::string(key) + said(" belongs into turnwright.toml and is left out here.")});
        const std::size_t open = line.find_first_not_of(" \t");
        if (open == std::string_view::npos || line[open] != '[') continue;
        const std::size_t name = line.find_first_not_of("[ \t", open);
        if (name == std::string_view::npos || line[name] < 'a' || line[name] > 'z') continue;
        in_machine = line.substr(name).starts_with("machine");
        for (std::string_view table : {"house", "format", "checks"}) {
            if (!line.substr(name).starts_with(table)) continue;
            if (std::find(told.begin(), told.end(), table) != told.end()) continue;
            told.push_back(table);
            problems.push_back({line_number, open, line.size() - open,
                                said("A job file holds [stock], [[tool]] and [machine] only: ") +
                                    std::string(table) +
                                    said(" belongs into turnwright.toml and is left out here.")});
        }
    }
}

/// nullopt: the machines have several, or one of them states none.
std::optional<codes::System> system_of(const Shop& shop) {
    std::optional<codes::System> system;
    for (const Machine& machine : shop.machines) {
        if (!machine.system || (system && system != machine.system)) return std::nullopt;
        system = machine.system;
    }
    return system;
}

void take_from_job(const Machine& job, Machine& machine) {
    if (job.system) machine.system = job.system;
    if (job.units) machine.units = job.units;
    for (const codes::Meaning meaning : job.power_on) {
        std::erase_if(machine.power_on, [&](codes::Meaning other) {
            return codes::group_of(other) == codes::group_of(meaning);
        });
        machine.power_on.push_back(meaning);
    }
    if (job.x_told) {
        machine.x = job.x;
        machine.x_told = true;
    }
    if (job.no_point != NoPoint::unknown) machine.no_point = job.no_point;
    if (job.tool_digits) machine.tool_digits = job.tool_digits;
}

/// Some key of a job is stated.
bool says_something(const Machine& job) {
    return job.system || job.units || !job.power_on.empty() || job.x_told ||
           job.no_point != NoPoint::unknown || job.tool_digits;
}

} // namespace

fs::path find_job_file(const fs::path& program, const fs::path& root) {
    if (program.empty() || root.empty()) return {};
    std::error_code failed;
    const fs::path top = host::canonical(root, failed);
    if (failed) return {};
    const fs::path whole = host::weakly_canonical(program, failed);
    if (failed || !whole.has_stem()) return {};
    const fs::path beside = fs::path(whole).replace_extension(".turnwright.toml");
    const fs::path real = host::canonical(beside, failed);
    if (failed || !fs::is_regular_file(real, failed)) return {};
    const auto inside = std::mismatch(top.begin(), top.end(), real.begin(), real.end());
    if (inside.first != top.end()) return {};
    const auto size = fs::file_size(real, failed);
    return failed || size > largest_file ? fs::path{} : beside;
}

Job parse_job(std::string_view toml, const fs::path& path, const Shop& shop) {
    Job job;
    job.shop = parse_shop(toml, path, system_of(shop));
    job.problems = std::move(job.shop.problems);
    if (job.shop.machines.size() > 1) job.shop.machines.resize(1);
    add_foreign_parts(toml, job.problems);
    std::stable_sort(job.problems.begin(), job.problems.end(),
                     [](const Problem& a, const Problem& b) { return a.line < b.line; });
    return job;
}

Shop with_job(Shop shop, const Job& job) {
    if (!(job.shop.stock == Stock{})) shop.stock = job.shop.stock;
    if (!job.shop.machines.empty() && says_something(job.shop.machines.front())) {
        shop.for_job = shop.machines;
        shop.for_job.emplace_back();
        for (Machine& machine : shop.for_job) take_from_job(job.shop.machines.front(), machine);
    }
    for (const Tool& tool : job.shop.tools) {
        const auto at = std::find_if(shop.tools.begin(), shop.tools.end(), [&](const Tool& held) {
            return held.station == tool.station && held.path == tool.path;
        });
        if (at == shop.tools.end())
            shop.tools.push_back(tool);
        else
            *at = tool;
    }
    return shop;
}

} // namespace turnwright::shop
