// Check output as text for people and as JSON, SARIF and JUnit for other programs.

#include "features/hover_parts.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

namespace turnwright::report {

std::string plural(std::size_t count, std::string_view one) {
    const std::string several = std::string(one) + "s";
    return std::to_string(count) + " " + translated(count == 1 ? one : std::string_view(several));
}

namespace {

using nlohmann::json;

std::string position(std::string_view file, std::size_t line, std::size_t column) {
    return host::shown_name(file) + ":" + std::to_string(line) + ":" + std::to_string(column);
}

/// What a long program is not looked at for; empty: it is short enough.
std::string not_looked_at(const CheckedFile& file) {
    return file.problem.empty() ? features::not_looked_at(file.blocks, file.long_sequences) : std::string();
}

std::string right_aligned(std::size_t number, std::size_t width) {
    const std::string text = std::to_string(number);
    return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

/// How many of each, the most first, with the number of files that have any where that is given.
std::string totals_by_check(const Counts& counts,
                            const std::map<std::string, std::size_t>* programs = nullptr) {
    std::vector<std::pair<std::string, std::size_t>> all(counts.by_check.begin(), counts.by_check.end());
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    std::string out;
    for (const auto& [id, times] : all) {
        out += right_aligned(times, 8) + "  " + id;
        if (programs) out += said(" in {}", plural(programs->at(id), "file"));
        out += "\n";
    }
    return out;
}

/// What is counted of a folder or of all, in one line.
std::string counts_text(const Counts& counts) {
    std::string out = plural(counts.files, "program") + ": " + plural(counts.errors, "error") + ", " +
                      plural(counts.warnings, "warning") + ", " + plural(counts.notes, "note");
    if (counts.left_out > 0) out += ", " + std::to_string(counts.left_out) + said(" left out as asked");
    if (counts.known_before > 0) out += ", " + std::to_string(counts.known_before) + said(" of the baseline");
    if (counts.not_checked > 0) out += ", " + plural(counts.not_checked, "file") + said(" not checked");
    return out;
}

/// Program text may hold any bytes; JSON and XML may not.
std::string dump(const json& value) {
    return value.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
}

json warning_json(const CheckedWarning& warning) {
    json related = json::array();
    for (const auto& other : warning.related)
        related.push_back({{"line", other.line}, {"column", other.column}, {"message", other.message}});
    json shown{{"line", warning.line},
               {"column", warning.column},
               {"endLine", warning.end_line},
               {"endColumn", warning.end_column},
               {"severity", severity_name(warning.severity)},
               {"id", warning.id},
               {"message", warning.message}};
    if (!related.empty()) shown["related"] = std::move(related);
    return shown;
}

} // namespace

std::string silenced_text(std::span<const CheckedFile> files) {
    std::string out;
    for (const CheckedFile& file : files)
        for (const CheckedWarning& warning : file.silenced) {
            out += position(file.name, warning.line, warning.column) + ": silenced " +
                   std::string(severity_name(warning.severity)) + ": " + warning.message + " [" + warning.id +
                   "]\n";
            for (const auto& related : warning.related)
                out += "    " + position(file.name, related.line, related.column) + ": " + related.message +
                       "\n";
        }
    return out.empty() ? said("Nothing is silenced by a note.\n") : out;
}

std::string as_text(std::span<const CheckedFile> files, bool all) {
    std::string out;
    for (const CheckedFile& file : files) {
        if (!file.problem.empty()) {
            out += host::shown_name(file.name) + said(": not checked: ") + file.problem + "\n";
            continue;
        }
        std::map<std::string_view, std::size_t> found, told;
        for (const CheckedWarning& warning : file.warnings) found[warning.id] += 1 + warning.more;
        for (const CheckedWarning& warning : file.warnings) {
            const std::size_t of_a_kind = found[warning.id];
            const bool is_one_of_many = !all && of_a_kind > features::many_of_a_kind;
            if (is_one_of_many && told[warning.id] == features::told_of_many) continue;
            const bool is_last = is_one_of_many && ++told[warning.id] == features::told_of_many;
            out += position(file.name, warning.line, warning.column) + ": " +
                   std::string(severity_name(warning.severity)) + ": " + warning.message +
                   (is_last ? features::more_of_a_kind(of_a_kind - features::told_of_many) : "") + " [" +
                   warning.id + "]\n";
            for (const auto& related : warning.related)
                out += "    " + position(file.name, related.line, related.column) + ": " + related.message +
                       "\n";
        }
    }
    std::size_t hidden = 0;
    for (const CheckedFile& file : files) hidden += file.silenced.size();
    Counts counts = count(files);
    if (!out.empty()) out += "\n";
    std::string what = counts.shop_files > 0 ? plural(counts.shop_files, "shop file") : "";
    if (counts.files > 0 || what.empty())
        what = plural(counts.files, "program") + (what.empty() ? "" : said(" and ") + what);
    out += said("{} checked: {}, {}, {}.", what, plural(counts.errors, "error"),
                plural(counts.warnings, "warning"), plural(counts.notes, "note"));
    if (counts.left_out > 0) out += " " + std::to_string(counts.left_out) + said(" left out as asked.");
    if (counts.known_before > 0) out += " " + std::to_string(counts.known_before) + said(" of the baseline.");
    if (hidden > 0) out += " " + std::to_string(hidden) + said(" silenced by notes.");
    if (counts.not_checked > 0) out += " " + plural(counts.not_checked, "file") + said(" not checked.");
    out += "\n";
    if (files.size() > 1) out += totals_by_check(counts);
    // Many programs of one shop rest on the same.
    std::map<std::string_view, std::size_t> with_same;
    for (const CheckedFile& file : files)
        if (file.problem.empty() && !file.assumed.empty()) ++with_same[file.assumed];
    for (const CheckedFile& file : files) {
        const auto same = with_same.find(file.assumed);
        if (!file.problem.empty() || same == with_same.end()) continue;
        out += host::shown_name(file.name) +
               (same->second > 1 ? said(" and {} more", same->second - 1) : std::string()) +
               said(": assumed here: ") + file.assumed + ".\n";
        with_same.erase(same);
    }
    for (const CheckedFile& file : files)
        if (const std::string left = not_looked_at(file); !left.empty())
            out += host::shown_name(file.name) + ": " + left + "\n";
    for (const CheckedFile& file : files)
        if (!file.fingerprint.empty())
            out += host::shown_name(file.name) + said(": fingerprint of what it does: ") + file.fingerprint +
                   "\n";
    return out + std::string(caution) + "\n";
}

std::string totals_text(std::span<const CheckedFile> files) {
    std::map<std::string, Counts> folders;
    std::map<std::string, std::size_t> files_of;
    for (const CheckedFile& file : files) {
        std::set<std::string> ids;
        for (const CheckedWarning& warning : file.warnings) ids.insert(warning.id);
        for (const std::string& id : ids) ++files_of[id];
        const std::string folder = host::path_of(file.name).parent_path().generic_string();
        add(folders[folder.empty() ? "." : folder], file);
    }
    std::string out;
    const Counts all = count(files);
    out += totals_by_check(all, &files_of);
    if (!out.empty()) out += "\n";
    for (const auto& [folder, inside] : folders)
        out += host::shown_name(folder) + ": " + counts_text(inside) + "\n";
    if (folders.size() > 1) out += "Together: " + counts_text(all) + "\n";
    return out + std::string(caution) + "\n";
}

std::string as_json(std::span<const CheckedFile> files) {
    json list = json::array();
    for (const CheckedFile& file : files) {
        json shown{{"file", file.name}};
        if (!file.problem.empty()) {
            shown["notChecked"] = file.problem;
        } else {
            shown["system"] = std::string(1, file.system);
            shown["systemAssumed"] = file.system_assumed;
            if (!file.assumed.empty()) shown["assumed"] = file.assumed;
            if (const std::string left = not_looked_at(file); !left.empty()) shown["notLookedAt"] = left;
            if (!file.fingerprint.empty()) shown["fingerprint"] = file.fingerprint;
            if (!file.shop_file.empty()) shown["shopFile"] = file.shop_file;
            if (!file.job_file.empty()) shown["jobFile"] = file.job_file;
            if (!file.silenced.empty()) {
                shown["silenced"] = json::array();
                for (const CheckedWarning& warning : file.silenced)
                    shown["silenced"].push_back(warning_json(warning));
            }
            shown["warnings"] = json::array();
            for (const CheckedWarning& warning : file.warnings)
                shown["warnings"].push_back(warning_json(warning));
        }
        list.push_back(std::move(shown));
    }
    Counts counts = count(files);
    return dump({{"files", std::move(list)},
                 {"summary",
                  {{"checked", counts.files},
                   {"notChecked", counts.not_checked},
                   {"errors", counts.errors},
                   {"warnings", counts.warnings},
                   {"notes", counts.notes},
                   {"byCheck", counts.by_check}}},
                 {"caution", caution}});
}

namespace {

std::string_view sarif_level(checks::Severity severity) {
    switch (severity) {
    case checks::Severity::error:
        return "error";
    case checks::Severity::warning:
        return "warning";
    default:
        return "note";
    }
}

/// A file name as the relative or absolute URI reference that SARIF wants.
std::string uri_of(std::string_view name) {
    static constexpr std::string_view plain =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    static constexpr char digits[] = "0123456789ABCDEF";
    std::string slashed(name);
    if (host::separator != '/') std::replace(slashed.begin(), slashed.end(), host::separator, '/');
    const bool drive = host::separator != '/' && slashed.find(':') == 1;
    const bool share = host::separator != '/' && slashed.starts_with("//");
    std::string uri = drive ? "file:///" : share ? "file:" : slashed.starts_with('/') ? "file://" : "";
    for (char c : slashed) {
        if (plain.find(c) != std::string_view::npos) {
            uri += c;
            continue;
        }
        auto byte = static_cast<unsigned char>(c);
        uri += '%';
        uri += digits[byte >> 4];
        uri += digits[byte & 15];
    }
    return uri;
}

json sarif_location(const std::string& name, std::size_t line, std::size_t column, std::size_t end_line,
                    std::size_t end_column) {
    json region{{"startLine", line}, {"startColumn", column}};
    if (end_line > line || end_column > column) {
        region["endLine"] = end_line;
        region["endColumn"] = end_column;
    }
    return {
        {"physicalLocation", {{"artifactLocation", {{"uri", uri_of(name)}}}, {"region", std::move(region)}}}};
}

json sarif_result(const std::string& file_name, const CheckedWarning& warning) {
    json result{{"ruleId", warning.id},
                {"level", sarif_level(warning.severity)},
                {"message", {{"text", warning.message}}},
                {"locations", json::array({sarif_location(file_name, warning.line, warning.column,
                                                          warning.end_line, warning.end_column)})}};
    json related = json::array();
    for (const auto& other : warning.related) {
        json location = sarif_location(file_name, other.line, other.column, other.line, other.column);
        location["message"] = {{"text", other.message}};
        related.push_back(std::move(location));
    }
    if (!related.empty()) result["relatedLocations"] = std::move(related);
    return result;
}

} // namespace

std::string as_sarif(std::span<const CheckedFile> files) {
    json rules = json::array();
    for (const checks::Check* check : checks::all_checks())
        rules.push_back({{"id", check->id},
                         {"shortDescription", {{"text", check->title}}},
                         {"fullDescription", {{"text", check->documentation}}},
                         {"defaultConfiguration", {{"level", sarif_level(check->severity)}}}});
    json results = json::array();
    json failures = json::array();
    for (const CheckedFile& file : files) {
        if (!file.problem.empty())
            failures.push_back(
                {{"level", "error"}, {"message", {{"text", file.name + ": " + file.problem}}}});
        for (const CheckedWarning& warning : file.warnings)
            results.push_back(sarif_result(file.name, warning));
        for (const CheckedWarning& warning : file.silenced) {
            json result = sarif_result(file.name, warning);
            result["suppressions"] = json::array({{{"kind", "inSource"}}});
            results.push_back(std::move(result));
        }
    }
    Counts counts = count(files);
    json run{{"tool",
              {{"driver",
                {{"name", "Turnwright"}, {"version", TURNWRIGHT_VERSION}, {"rules", std::move(rules)}}}}},
             {"columnKind", "unicodeCodePoints"},
             {"results", std::move(results)},
             {"invocations", json::array({{{"executionSuccessful", counts.not_checked == 0},
                                           {"toolExecutionNotifications", std::move(failures)}}})}};
    return dump(
        {{"$schema",
          "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
         {"version", "2.1.0"},
         {"runs", json::array({std::move(run)})}});
}

namespace {

/// XML text: markup escaped, bytes that XML forbids or that are no UTF-8 replaced.
std::string xml(std::string_view text) {
    // nlohmann's replacing dump makes any bytes valid UTF-8.
    std::string safe = json(std::string(text)).dump(-1, ' ', false, json::error_handler_t::replace);
    safe = json::parse(safe).get<std::string>();
    std::string out;
    for (char c : safe) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\n':
            out += "&#10;";
            break;
        default:
            if (static_cast<unsigned char>(c) < 0x20 && c != '\t')
                out += '?';
            else
                out += c;
        }
    }
    return out;
}

} // namespace

std::string as_junit(std::span<const CheckedFile> files) {
    std::size_t failed = 0, errors = 0;
    std::string cases;
    for (const CheckedFile& file : files) {
        cases += "  <testcase classname=\"turnwright.check\" name=\"" + xml(file.name) + "\">";
        if (!file.problem.empty()) {
            ++errors;
            cases += "\n    <error message=\"" + xml(file.problem) + "\"/>\n  ";
        }
        std::size_t counted = 0;
        std::string body;
        for (const CheckedWarning& warning : file.warnings) {
            if (warning.severity < checks::Severity::warning) continue;
            ++counted;
            body += position(file.name, warning.line, warning.column) + ": " +
                    std::string(severity_name(warning.severity)) + ": " + warning.message + " [" +
                    warning.id + "]\n";
        }
        if (counted > 0) {
            ++failed;
            cases += "\n    <failure message=\"" + plural(counted, "warning") + "\">" + xml(body) +
                     "</failure>\n  ";
        }
        cases += "</testcase>\n";
    }
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuite name=\"turnwright check\" tests=\"" +
           std::to_string(files.size()) + "\" failures=\"" + std::to_string(failed) + "\" errors=\"" +
           std::to_string(errors) + "\">\n" + cases + "</testsuite>\n";
}

} // namespace turnwright::report
