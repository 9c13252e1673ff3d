// Programs with marks under the words that must be found.
//
// A line that begins with `;` and holds a caret belongs to the test, not to the program:
//     G96 S180 M03
//     ;^^ warning: speed_limit_missing
// The carets must touch the finding; several mark lines may follow one block.
#pragma once

#include "checks/checks.h"

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

namespace turnwright::checks {

struct Mark {
    std::size_t line = 0; ///< Of the program without mark lines, from 0
    std::size_t begin = 0, end = 0;
    std::string severity, id;
};
struct MarkedProgram {
    std::string text;
    std::vector<Mark> marks;
};

inline bool read_mark(std::string_view line, Mark& mark) {
    std::size_t at = line.find_first_not_of(" \t");
    if (at == std::string_view::npos || line[at] != ';') return false;
    std::size_t first = line.find_first_not_of(" ", at + 1);
    if (first == std::string_view::npos || line[first] != '^') return false;
    std::size_t end = line.find_first_not_of('^', first);
    if (end == std::string_view::npos) return false;
    std::string_view rest = line.substr(end);
    std::size_t colon = rest.find(": ");
    if (colon == std::string_view::npos) return false;
    std::size_t word = rest.find_first_not_of(" ");
    mark.begin = first;
    mark.end = end;
    mark.severity = std::string(rest.substr(word, colon - word));
    std::string_view id = rest.substr(colon + 2);
    mark.id = std::string(id.substr(0, id.find_first_of(" \t\r,")));
    return true;
}

inline MarkedProgram read_marked(std::string_view with_marks) {
    MarkedProgram out;
    std::size_t lines = 0;
    if (!with_marks.empty() && with_marks.front() == '\n') with_marks.remove_prefix(1);
    while (!with_marks.empty()) {
        std::size_t end = with_marks.find('\n');
        std::string_view line = with_marks.substr(0, end);
        bool closed = end != std::string_view::npos;
        with_marks.remove_prefix(closed ? end + 1 : with_marks.size());
        Mark mark;
        if (lines > 0 && read_mark(line, mark)) {
            mark.line = lines - 1;
            out.marks.push_back(std::move(mark));
            continue;
        }
        out.text += line;
        if (closed) out.text += '\n';
        ++lines;
    }
    return out;
}

inline std::string_view severity_name(Severity severity) {
    constexpr std::string_view names[] = {"off", "hint", "information", "warning", "error"};
    return names[static_cast<std::size_t>(severity)];
}

/// A folder with no other program in it.
struct EmptyLibrary : machine::ProgramLibrary {
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t) const override { return nullptr; }
    std::uint64_t stamp() const override { return 0; }
};

/// A program read, interpreted and checked, from text to findings.
struct CheckedProgram {
    std::shared_ptr<const shop::Shop> shop;
    text::Buffer buffer;
    syntax::Forest forest;
    machine::Analysis analysis;
    Results results;

    /// `system` nullopt: from the shop file, else from the program.
    CheckedProgram(std::string_view program, std::optional<codes::System> system,
                   std::string_view shop_file = {},
                   std::shared_ptr<const machine::ProgramLibrary> library = std::make_shared<EmptyLibrary>())
        : shop(std::make_shared<const shop::Shop>(
              shop_file.empty() ? shop::default_shop() : shop::parse_shop(shop_file, "turnwright.toml"))),
          buffer(program), forest(buffer) {
        analysis.rebuild(forest, settings_for(system), std::move(library));
        results.rebuild(analysis, *shop);
    }

    machine::Settings settings_for(std::optional<codes::System> system) const {
        machine::SystemEvidence evidence;
        machine::SignCounts signs;
        for (const auto& run : forest.runs()) {
            evidence += machine::evidence_in(*run);
            signs += machine::signs_in(*run);
        }
        machine::Settings settings = machine::choose_settings(shop->machines.front(), evidence, signs);
        if (!system) return settings;
        settings.system = *system;
        settings.assumed = machine::choose_assumptions(*system, signs);
        return settings;
    }

    struct Found {
        std::size_t line, begin, end;
        const Finding* finding;
    };
    std::vector<Found> found() const {
        std::vector<Found> out;
        for (const Results::Placed& placed : results.all()) {
            const Finding& finding = *placed.finding;
            out.push_back({buffer.first_line_of_leaf(placed.run) + finding.block, finding.begin,
                           finding.begin + finding.length, &finding});
        }
        return out;
    }
};

/// What differs between the marks and what is found; empty when they agree. `only` empty: every check, and
/// findings of severity information and hint need no mark.
inline std::string differences(const MarkedProgram& marked, const CheckedProgram& checked,
                               std::string_view only = {}) {
    std::string out;
    auto line_text = [&](std::size_t line) { return std::string(checked.buffer.line(line)); };
    auto touches = [](const Mark& mark, const CheckedProgram::Found& found) {
        bool same_place = mark.line == found.line && mark.begin < std::max(found.end, found.begin + 1) &&
                          mark.end > found.begin;
        return same_place && mark.id == found.finding->check->id &&
               mark.severity == severity_name(found.finding->severity);
    };
    std::vector<CheckedProgram::Found> all = checked.found();
    for (const CheckedProgram::Found& found : all) {
        const Finding& finding = *found.finding;
        if (!only.empty() && finding.check->id != only) continue;
        if (only.empty() && finding.severity < Severity::warning) continue;
        bool marked_here = std::any_of(marked.marks.begin(), marked.marks.end(),
                                       [&](const Mark& mark) { return touches(mark, found); });
        if (marked_here) continue;
        out += "not marked, line " + std::to_string(found.line + 1) + ": " + line_text(found.line) +
               "\n    " + std::string(severity_name(finding.severity)) + ": " +
               std::string(finding.check->id) + " [" + std::to_string(found.begin) + ", " +
               std::to_string(found.end) + ") " + finding.message + "\n";
    }
    for (const Mark& mark : marked.marks) {
        bool there =
            std::any_of(all.begin(), all.end(), [&](const auto& found) { return touches(mark, found); });
        if (!there)
            out += "not found, line " + std::to_string(mark.line + 1) + ": " + line_text(mark.line) +
                   "\n    " + mark.severity + ": " + mark.id + "\n";
    }
    return out;
}

} // namespace turnwright::checks
