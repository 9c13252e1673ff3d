#include "report/selection.h"
#include "language/said.h"

#include "checks/former_ids.h"
#include "host/file.h"
#include "shop/keys.h"

#include <algorithm>
#include <numeric>

namespace turnwright::report {
namespace {

constexpr std::string_view shop_file_id = "shop_file"; // what is wrong in a shop file has this one
constexpr std::string_view first_line =
    "# Turnwright baseline: findings that were there before, one a line\n";

bool holds(const std::vector<std::string>& ids, std::string_view id) {
    return std::any_of(ids.begin(), ids.end(),
                       [&](const std::string& given) { return checks::present_id(given) == id; });
}

/// A line of a baseline, with what its check is called now.
std::string with_present_id(std::string_view line) {
    const std::size_t id = line.find('\t') + 1, end = line.find('\t', id);
    if (id == 0 || end == line.npos) return std::string(line);
    return std::string(line.substr(0, id)) + std::string(checks::present_id(line.substr(id, end - id))) +
           std::string(line.substr(end));
}

/// File, check and block, each readable and with no tab of its own.
std::string line_of(const CheckedFile& file, const CheckedWarning& warning,
                    const std::filesystem::path& folder) {
    std::error_code failed;
    const auto whole = std::filesystem::absolute(file.name, failed).lexically_normal();
    const auto seen = whole.lexically_proximate(folder).generic_string();
    return host::shown_name(seen) + "\t" + warning.id + "\t" + host::shown_name(warning.block);
}

} // namespace

void select(CheckedFile& file, const Selection& selection) {
    const auto is_unwanted = [&](const CheckedWarning& warning) {
        return warning.severity < selection.at_least || holds(selection.without, warning.id) ||
               (!selection.only.empty() && !holds(selection.only, warning.id));
    };
    file.left_out += std::erase_if(file.warnings, is_unwanted);
    std::erase_if(file.silenced, is_unwanted);
}

std::string why_no_check(std::string_view id) {
    if (id == shop_file_id || checks::find_check(id)) return {};
    std::vector<std::string_view> ids{shop_file_id};
    for (const checks::Check* check : checks::all_checks()) ids.push_back(check->id);
    const std::string_view near = shop::nearest(id, ids);
    return said("there is no such check") +
           (near.empty() ? "" : said(": did you mean ") + std::string(near) + "?");
}

Baseline::Baseline(std::string_view text, std::filesystem::path folder) : folder_(std::move(folder)) {
    while (!text.empty()) {
        const std::string_view line = text.substr(0, text.find('\n'));
        text.remove_prefix(std::min(line.size() + 1, text.size()));
        if (!line.empty() && line.front() != '#') ++held_[with_present_id(line)];
    }
}

bool Baseline::is_baseline(std::string_view text) {
    return text.starts_with(first_line.substr(0, 21));
}

std::string Baseline::written(std::span<const CheckedFile> files, const std::filesystem::path& folder) {
    std::vector<std::string> lines;
    for (const CheckedFile& file : files)
        for (const CheckedWarning& warning : file.warnings) lines.push_back(line_of(file, warning, folder));
    std::sort(lines.begin(), lines.end());
    std::string text(first_line);
    for (const std::string& line : lines) text += line + "\n";
    return text;
}

void Baseline::take_from(CheckedFile& file) {
    file.known_before += std::erase_if(file.warnings, [&](const CheckedWarning& warning) {
        const auto held = held_.find(line_of(file, warning, folder_));
        if (held == held_.end() || held->second == 0) return false;
        --held->second;
        return true;
    });
}

std::size_t Baseline::left() const {
    return std::accumulate(held_.begin(), held_.end(), std::size_t{0},
                           [](std::size_t sum, const auto& entry) { return sum + entry.second; });
}

} // namespace turnwright::report
