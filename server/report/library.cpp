// One program of a library read, and what the programs of one have to do with each other.
#include "report/library.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/program_index.h"
#include "features/speech.h"
#include "features/uses.h"
#include "host/host.h"
#include "report/sheet.h"

#include <algorithm>
#include <chrono>
#include <fmt/format.h>
#include <map>
#include <set>

namespace turnwright::report {
namespace {

std::string day_of_change(const std::filesystem::path& path) {
    std::error_code failed;
    const auto changed = std::filesystem::last_write_time(path, failed);
    if (failed) return {};
    const std::chrono::year_month_day day{
        std::chrono::floor<std::chrono::days>(std::chrono::file_clock::to_sys(changed))};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()));
}

std::string stock_text(const Sheet& sheet) {
    std::string out;
    for (const SheetRow& row : sheet.stock) {
        const bool of_the_part = row.name == translated("Diameter") || row.name == translated("Length") ||
                                 row.name == translated("Bore") || row.name == translated("Back face at Z") ||
                                 row.name == translated("Material");
        if (row.unknown || !of_the_part) continue;
        out += (out.empty() ? "" : ", ") + row.name + " " + row.value;
    }
    return out;
}

using Alike = std::vector<std::size_t>;

/// The programs by what `key` makes of each, of those alone that do any work.
template <class Key>
auto grouped(std::span<const LibraryProgram> programs, Key&& key) {
    std::map<decltype(key(programs[0].likeness)), Alike> groups;
    for (std::size_t i = 0; i < programs.size(); ++i)
        if (programs[i].problem.empty() && programs[i].likeness.move_count > 0)
            groups[key(programs[i].likeness)].push_back(i);
    return groups;
}

/// One index of each row of programs that do the same work: the others are told with it.
Alike without_copies(std::span<const LibraryProgram> programs, const Alike& group) {
    Alike firsts;
    for (const std::size_t at : group)
        if (std::none_of(firsts.begin(), firsts.end(), [&](std::size_t first) {
                return programs[first].likeness.same(programs[at].likeness);
            }))
            firsts.push_back(at);
    return firsts;
}

void find_same_moves(std::span<const LibraryProgram> programs, LibraryFindings& findings) {
    const auto same = grouped(programs, [](const Likeness& of) {
        return std::array{of.moves, of.tools, of.settings};
    });
    for (const auto& [key, group] : same)
        if (group.size() > 1) findings.same_work.push_back(group);
    for (const auto& [moves, group] : grouped(programs, [](const Likeness& of) { return of.moves; })) {
        const Alike firsts = without_copies(programs, group);
        if (firsts.size() < 2) continue;
        const Likeness& first = programs[firsts[0]].likeness;
        const bool tools = std::any_of(firsts.begin(), firsts.end(), [&](std::size_t at) {
            return programs[at].likeness.tools != first.tools;
        });
        const bool settings = std::any_of(firsts.begin(), firsts.end(), [&](std::size_t at) {
            return programs[at].likeness.settings != first.settings;
        });
        findings.other_values.push_back(
            {firsts, tools && settings ? said("stations or offsets, and speeds, feeds or coolant")
                     : tools           ? said("stations or offsets")
                                       : said("speeds, feeds or coolant")});
    }
}

void find_nearly_same(std::span<const LibraryProgram> programs, LibraryFindings& findings) {
    for (auto& [order, group] : grouped(programs, [](const Likeness& of) { return of.order; })) {
        std::set<std::uint64_t> told;
        Alike different;
        for (const std::size_t at : group)
            if (told.insert(programs[at].likeness.moves).second) different.push_back(at);
        // Those that lie together in one size are looked at in its order, so that a family of ten thousand
        // parts takes no longer than one of ten.
        std::stable_sort(different.begin(), different.end(), [&](std::size_t a, std::size_t b) {
            return programs[a].likeness.totals.cut_mm < programs[b].likeness.totals.cut_mm;
        });
        for (std::size_t from = 0; from < different.size();) {
            std::size_t to = from + 1;
            while (to < different.size() &&
                   programs[different[to - 1]].likeness.nearly(programs[different[to]].likeness))
                ++to;
            if (to - from > 1) {
                Alike row(different.begin() + static_cast<std::ptrdiff_t>(from),
                          different.begin() + static_cast<std::ptrdiff_t>(to));
                std::sort(row.begin(), row.end());
                findings.nearly.push_back(std::move(row));
            }
            from = to;
        }
    }
}

void find_clashes(std::span<const LibraryProgram> programs, LibraryFindings& findings) {
    std::map<std::int32_t, Alike> holders;
    for (std::size_t i = 0; i < programs.size(); ++i)
        for (const LibraryProgram::Part& part : programs[i].parts) {
            Alike& held = holders[part.number];
            if (held.empty() || held.back() != i) held.push_back(i);
        }
    for (const auto& [number, held] : holders) {
        if (held.size() < 2) continue;
        LibraryFindings::Clash clash{number, held, false, true};
        std::set<std::filesystem::path> folders;
        for (const std::size_t at : held) {
            clash.one_folder |= !folders.insert(host::path_of(programs[at].name).parent_path()).second;
            clash.same_work &= programs[at].likeness.same(programs[held[0]].likeness);
        }
        findings.clashes.push_back(std::move(clash));
    }
}

void find_nowhere(std::span<const LibraryProgram> programs, LibraryFindings& findings) {
    std::set<std::int32_t> here;
    for (const LibraryProgram& program : programs) {
        for (const LibraryProgram::Part& part : program.parts) here.insert(part.number);
        if (const auto named = features::number_in_name(host::path_of(program.name))) here.insert(*named);
    }
    std::map<std::int32_t, LibraryFindings::Nowhere> nowhere;
    for (std::size_t i = 0; i < programs.size(); ++i)
        for (const auto& [line, number] : programs[i].calls)
            if (!here.contains(number)) nowhere[number].from.emplace_back(i, line);
    for (auto& [number, found] : nowhere) {
        found.number = number;
        findings.nowhere.push_back(std::move(found));
    }
}

} // namespace

LibraryProgram library_program(const features::Document& document, std::string name, bool with_picture) {
    LibraryProgram program;
    program.name = std::move(name);
    std::set<std::int32_t> own;
    for (const machine::ProgramPart& part : document.outline().programs) {
        if (part.number <= 0) continue;
        own.insert(part.number);
        program.parts.push_back({part.number, features::note_of(document, part.first)});
    }
    if (const machine::ProgramPart* main = main_program(document)) program.number = main->number;
    const Sheet sheet = make_sheet(document);
    program.note = sheet.note;
    program.stock = stock_text(sheet);
    for (const SheetTool& tool : sheet.tools)
        if (tool.station.starts_with('T'))
            program.tools.push_back(tool.station + (tool.note.empty() ? "" : " " + tool.note));
    program.time = time_or_unknown(sheet.totals);
    program.changed = day_of_change(document.path());
    program.system = codes::system_letter(document.settings().system);
    const LengthUnit unit = unit_of(document);
    program.unit = unit == LengthUnit::mm ? "mm" : unit == LengthUnit::inch ? said("inch") : "";
    program.blocks = document.buffer().line_count();
    for (const SheetWarning& warning : sheet.warnings)
        program.warnings += warning.severity >= checks::Severity::warning;
    for (const features::Use& use : features::program_calls(document))
        if (!own.contains(use.named.number))
            program.calls.push_back({document.line_of(use.place) + 1, use.named.number});
    program.likeness = sheet.likeness;
    if (with_picture && program.likeness.move_count > 0) program.picture = small_picture(document);
    return program;
}

LibraryFindings find_in_library(std::span<const LibraryProgram> programs) {
    LibraryFindings findings;
    find_same_moves(programs, findings);
    find_nearly_same(programs, findings);
    find_clashes(programs, findings);
    find_nowhere(programs, findings);
    // Rows begin with the program that comes first by name.
    const auto by_first = [](const auto& a, const auto& b) { return a[0] < b[0]; };
    std::sort(findings.same_work.begin(), findings.same_work.end(), by_first);
    std::sort(findings.nearly.begin(), findings.nearly.end(), by_first);
    std::sort(findings.other_values.begin(), findings.other_values.end(),
              [](const auto& a, const auto& b) { return a.programs[0] < b.programs[0]; });
    return findings;
}

} // namespace turnwright::report
