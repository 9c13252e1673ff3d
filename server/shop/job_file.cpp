#include "shop/job_file.h"
#include "language/said.h"

#include "host/host.h"

#include <algorithm>
#include <system_error>

namespace turnwright::shop {
namespace {
namespace fs = std::filesystem;

/// Tables of a shop file that have no place in one job, each where it stands first.
void add_foreign_tables(std::string_view toml, std::vector<Problem>& problems) {
    std::size_t line_number = 0;
    std::vector<std::string_view> told;
    for (std::size_t at = 0; at < toml.size(); ++line_number) {
        const std::size_t end = std::min(toml.find('\n', at), toml.size());
        const std::string_view line = toml.substr(at, end - at);
        at = end + 1;
        const std::size_t open = line.find_first_not_of(" \t");
        if (open == std::string_view::npos || line[open] != '[') continue;
        const std::size_t name = line.find_first_not_of("[ \t", open);
        for (std::string_view table : {"machine", "house", "format", "checks"}) {
            if (name == std::string_view::npos || !line.substr(name).starts_with(table)) continue;
            if (std::find(told.begin(), told.end(), table) != told.end()) continue;
            told.push_back(table);
            problems.push_back({line_number, open, line.size() - open,
                                said("A job file holds [stock] and [[tool]] only: ") + std::string(table) +
                                    said(" belongs into turnwright.toml and is left out here.")});
        }
    }
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

Job parse_job(std::string_view toml, const fs::path& path) {
    Job job;
    job.shop = parse_shop(toml, path);
    job.problems = std::move(job.shop.problems);
    add_foreign_tables(toml, job.problems);
    std::stable_sort(job.problems.begin(), job.problems.end(),
                     [](const Problem& a, const Problem& b) { return a.line < b.line; });
    return job;
}

Shop with_job(Shop shop, const Job& job) {
    if (!(job.shop.stock == Stock{})) shop.stock = job.shop.stock;
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
