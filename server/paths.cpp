// turnwright paths: the two programs of a lathe with two turrets, followed side by side from wait to wait.
#include "paths.h"
#include "host/host.h"
#include "machine/reader.h"
#include "machine/whole_number.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

namespace turnwright::commands {
namespace {

using codes::Group;
using codes::Meaning;
using machine::BlockPlace;
using machine::BlockView;
using machine::MotionKind;
using machine::Spindle;

struct PathsOptions {
    std::vector<std::string> files;
    std::string shop, format = "text";
};

/// A block with what the other path may meet.
struct Doing {
    BlockPlace place;
    std::size_t line = 0;        ///< From 0
    bool states_spindle = false; ///< M03, M04, G96, G97 or S for the main spindle
    bool surface_speed = false, turns = false;
    std::optional<double> speed;
    bool drills_centre = false, drills_live = false, parts_off = false;
    bool slide_home = false;
    /// A cut along Z on the outside, on radius, in mm.
    struct Along {
        double x_radius = 0, z_from = 0, z_to = 0;
    };
    std::optional<Along> along;
};
struct Wait {
    int code = 0;
    std::size_t doing = 0; ///< Its block
};

/// One path: its blocks and its waits in order.
struct Path {
    std::string name;
    std::unique_ptr<features::Document> document;
    std::vector<Doing> doings;
    std::vector<std::pair<int, std::size_t>> alone; ///< M codes of the builder alone in their block
    std::set<int> noted_other; ///< Codes whose notes or the shop file tell that they do something else
    std::set<int> noted_waits;
    std::vector<Wait> waits;
};

struct Finding {
    std::size_t path = 0, line = 0;
    std::string_view id;
    std::string text;
};
/// What both do up to a wait that they meet at; the last one: to the end.
struct Section {
    int code = -1;                                               ///< -1: the end
    std::array<std::pair<std::size_t, std::size_t>, 2> doings{}; ///< Half open
    std::array<double, 2> seconds{};
    bool about = false;
};

std::string written_code(int code) {
    return fmt::format("M{:02}", code);
}

/// "WAIT CODES M101 TO M105", "M903 (ATTENTE)": codes that a note calls waits. Words of five languages:
/// common practice, no source.
bool speaks_of_waiting(std::string_view note) {
    std::string upper(note);
    for (char& c : upper) c = static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
    for (std::string_view word : {"WAIT", "ATTENTE", "ATTENDRE", "WARTE", "ATTESA", "ATTENDE", "ESPERA"})
        if (upper.find(word) != std::string::npos) return true;
    return false;
}
std::vector<int> codes_in(std::string_view note) {
    std::vector<int> found;
    for (std::size_t i = 0; i + 1 < note.size(); ++i) {
        if ((note[i] != 'M' && note[i] != 'm') ||
            (i > 0 && std::isalnum(static_cast<unsigned char>(note[i - 1]))))
            continue;
        int number = 0;
        std::size_t digits = 0;
        while (i + 1 + digits < note.size() &&
               std::isdigit(static_cast<unsigned char>(note[i + 1 + digits])) && digits < 4)
            number = number * 10 + (note[i + 1 + digits++] - '0');
        if (digits >= 2) found.push_back(number);
    }
    return found;
}

void take_notes(const BlockView& view, int own, Path& path) {
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const std::string_view note = syntax::note_text(view.run.text_of(item));
        if (!speaks_of_waiting(note)) continue;
        const std::vector<int> codes = codes_in(note);
        if (codes.empty() && own >= 0) path.noted_waits.insert(own);
        path.noted_waits.insert(codes.begin(), codes.end());
        if (codes.size() == 2 && codes[0] < codes[1] && codes[1] - codes[0] < 100)
            for (int code = codes[0]; code <= codes[1]; ++code) path.noted_waits.insert(code);
    }
}

/// The M code of the builder that stands alone in its block, but for N, P and notes; -1: none does.
int code_alone(const BlockView& view) {
    int code = -1;
    for (const machine::Word& word : view.reading.words) {
        if (word.implied || word.letter == 'N' || word.letter == 'P') continue;
        if (word.letter != 'M' || code >= 0 || !word.value.known()) return -1;
        const codes::Code* row = codes::find(codes::System::A, 'M', word.value.number);
        if (row && row->meaning != Meaning::machine_specific) return -1;
        code = machine::whole_number(word.value.number);
    }
    return code;
}

Doing doing_of(const BlockView& view, double mm) {
    const machine::Reading& reading = view.reading;
    const machine::State& after = view.after;
    Doing doing;
    doing.place = {view.run_index, view.block};
    const bool of_main = after.spoken_to() == Spindle::main;
    const bool drives = reading.code(Meaning::spindle_forward) || reading.code(Meaning::spindle_reverse);
    doing.states_spindle = of_main && drives;
    const machine::SpindleState main = after.spindle(Spindle::main);
    doing.surface_speed = main.mode.is(Meaning::surface_speed);
    doing.turns = main.direction.is(Meaning::spindle_forward) || main.direction.is(Meaning::spindle_reverse);
    if (main.speed.known()) doing.speed = main.speed.number;
    const bool drills = reading.motion == MotionKind::drill_cycle || reading.motion == MotionKind::peck_cycle;
    doing.drills_centre = of_main && (drills || reading.motion == MotionKind::feed) &&
                          view.before.x_radius.is(0) && reading.moves_z && !reading.moves_x &&
                          !after.is_axis();
    doing.drills_live = drills && after.spoken_to() == Spindle::live && !after.c.surely_unset();
    const bool feeds = reading.motion == MotionKind::feed && !reading.in_contour;
    const auto known = [](const machine::Value& value) { return value.known(); };
    if (feeds && reading.moves_x && !reading.moves_z && known(view.before.x_radius) && known(after.x_radius))
        doing.parts_off = after.x_radius.number < view.before.x_radius.number && view.before.z.known() &&
                          view.before.z.number < 0;
    if (feeds && reading.moves_z && !reading.moves_x && known(view.before.z) && known(after.z) &&
        known(after.x_radius) && after.x_radius.number > 0 && after.spoken_to() == Spindle::main &&
        after.z.number < view.before.z.number)
        doing.along =
            Doing::Along{after.x_radius.number * mm, view.before.z.number * mm, after.z.number * mm};
    for (const machine::Word& word : reading.words)
        doing.slide_home =
            doing.slide_home || ((word.letter == 'A' || word.letter == 'B' || word.letter == 'E') &&
                                 !reading.moves_x && !reading.moves_z && word.value.is(0));
    return doing;
}

/// False: it cannot be read, and it was said why.
bool read_path(const std::string& file, const std::string& shop, Path& path, int& status) {
    report::OpenedProgram opened = report::open_program(host::path_of(file), host::path_of(shop));
    if (!opened.document) {
        status = say_trouble(file, opened.problem);
        return false;
    }
    path.name = host::path_of(file).filename().string();
    path.document = std::move(opened.document);
    const features::Document& document = *path.document;
    const double mm_inch = 25.4;
    for (const auto& [code, effect] : document.settings().machine.effects)
        if (code.first == 'M' && !effect.does.empty()) path.noted_other.insert(static_cast<int>(code.second));
    const machine::Reader reader(document.analysis());
    for (std::size_t run = 0; run < document.analysis().size(); ++run)
        reader.visit(run, [&](const BlockView& view) {
            if (!view.reading.is_read) return;
            const int code = code_alone(view);
            if (view.text.has_note) take_notes(view, code, path);
            if (view.reading.words.empty()) return;
            path.doings.push_back(doing_of(view, view.after.is(Meaning::inch) ? mm_inch : 1));
            path.doings.back().line = document.line_of(path.doings.back().place);
            if (code >= 0) path.alone.emplace_back(code, path.doings.size() - 1);
        });
    return true;
}

/// Waits are what notes of either call so; with none the codes of three digits that stand alone in both, and
/// those between them.
void find_waits(std::array<Path, 2>& paths) {
    std::set<int> waits = paths[0].noted_waits;
    waits.insert(paths[1].noted_waits.begin(), paths[1].noted_waits.end());
    std::array<std::set<int>, 2> alone;
    for (std::size_t i = 0; i < 2; ++i)
        for (const auto& [code, doing] : paths[i].alone)
            if (code >= 100 && paths[0].noted_other.count(code) == 0 && paths[1].noted_other.count(code) == 0)
                alone[i].insert(code);
    // Notes that call one or two of them so show where the others are.
    std::set<int> shared;
    std::set_intersection(alone[0].begin(), alone[0].end(), alone[1].begin(), alone[1].end(),
                          std::inserter(shared, shared.begin()));
    for (const int code : shared)
        if (waits.empty() || (code > *waits.begin() - 100 && code < *waits.rbegin() + 100))
            waits.insert(code);
    if (!waits.empty()) {
        const int first = *waits.begin(), last = *waits.rbegin();
        for (const std::set<int>& some : alone)
            for (const int code : some)
                if (last - first < 100 && code >= first && code <= last) waits.insert(code);
    }
    for (Path& path : paths)
        for (const auto& [code, doing] : path.alone)
            if (waits.count(code) != 0) path.waits.push_back({code, doing});
}

std::size_t line_of(const Path& path, std::size_t doing) {
    return path.doings[std::min(doing, path.doings.size() - 1)].line;
}

/// The waits that both meet at, as places in both rows: the longest row that stands in both in this order.
std::vector<std::pair<std::size_t, std::size_t>> meetings(const std::array<Path, 2>& paths) {
    const auto &a = paths[0].waits, &b = paths[1].waits;
    std::vector<std::vector<std::size_t>> longest(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = a.size(); i-- > 0;)
        for (std::size_t j = b.size(); j-- > 0;)
            longest[i][j] = a[i].code == b[j].code ? longest[i + 1][j + 1] + 1
                                                   : std::max(longest[i + 1][j], longest[i][j + 1]);
    std::vector<std::pair<std::size_t, std::size_t>> met;
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
        if (a[i].code == b[j].code)
            met.emplace_back(i++, j++);
        else if (longest[i + 1][j] >= longest[i][j + 1])
            ++i;
        else
            ++j;
    }
    return met;
}

void tell_unmet(const std::array<Path, 2>& paths, const std::vector<std::pair<std::size_t, std::size_t>>& met,
                std::vector<Finding>& findings) {
    std::size_t at[2] = {0, 0};
    for (std::size_t k = 0; k <= met.size(); ++k) {
        const std::size_t next[2] = {k < met.size() ? met[k].first : paths[0].waits.size(),
                                     k < met.size() ? met[k].second : paths[1].waits.size()};
        const bool both = at[0] < next[0] && at[1] < next[1];
        for (std::size_t p = 0; p < 2; ++p)
            for (std::size_t i = at[p]; i < next[p]; ++i) {
                const Path &own = paths[p], &other = paths[1 - p];
                const Wait& wait = own.waits[i];
                const bool elsewhere = std::any_of(other.waits.begin(), other.waits.end(),
                                                   [&](const Wait& some) { return some.code == wait.code; });
                std::string text;
                if (both)
                    text = fmt::format(
                        "This path waits at {} and {} waits at {} (line {}): neither goes on. One "
                        "of the two numbers is wrong, or their order.",
                        written_code(wait.code), other.name, written_code(other.waits[at[1 - p]].code),
                        line_of(other, other.waits[at[1 - p]].doing) + 1);
                else if (elsewhere)
                    text = fmt::format(
                        "{} stands in {} in another order, or less often: this path waits here for "
                        "ever, or goes on at the wrong moment.",
                        written_code(wait.code), other.name);
                else
                    text = fmt::format("{} stands in no block of {}{}: this path waits here for ever.",
                                       written_code(wait.code), other.name,
                                       at[1 - p] > 0
                                           ? fmt::format(" behind line {}",
                                                         line_of(other, other.waits[at[1 - p] - 1].doing) + 1)
                                           : "");
                findings.push_back({p, line_of(own, wait.doing), "waits_do_not_meet", std::move(text)});
                if (!both && !elsewhere) {
                    // Where it is missing: the other goes on alone.
                    const std::size_t before = at[1 - p] > 0 ? other.waits[at[1 - p] - 1].doing : 0;
                    findings.push_back(
                        {1 - p, line_of(other, before), "waits_do_not_meet",
                         fmt::format("Behind this block {} waits at {} (line {}) and this path has "
                                     "no such code: it goes on alone. Write {} where it has to wait.",
                                     own.name, written_code(wait.code), line_of(own, wait.doing) + 1,
                                     written_code(wait.code))});
                }
            }
        at[0] = next[0] + 1;
        at[1] = next[1] + 1;
    }
}

std::vector<Section> sections_of(const std::array<Path, 2>& paths,
                                 const std::vector<std::pair<std::size_t, std::size_t>>& met) {
    std::vector<Section> sections;
    std::array<std::size_t, 2> from{};
    for (std::size_t k = 0; k <= met.size(); ++k) {
        Section section;
        const bool is_last = k == met.size();
        section.code = is_last ? -1 : paths[0].waits[met[k].first].code;
        for (std::size_t p = 0; p < 2; ++p) {
            const std::size_t to = is_last  ? paths[p].doings.size()
                                   : p == 0 ? paths[0].waits[met[k].first].doing
                                            : paths[1].waits[met[k].second].doing;
            section.doings[p] = {from[p], to};
            if (to > from[p]) {
                const motion::Totals totals = paths[p].document->times().between(
                    paths[p].doings[from[p]].place, paths[p].doings[to - 1].place);
                section.seconds[p] = totals.seconds();
                section.about = section.about || totals.about || totals.blocks_without_time > 0;
            }
            from[p] = is_last ? to : to + 1;
        }
        sections.push_back(section);
    }
    return sections;
}

/// Both at work on one part between two waits.
void tell_section(const std::array<Path, 2>& paths, const Section& section, std::vector<Finding>& findings) {
    const auto in = [&](std::size_t p, auto&& wanted) -> const Doing* {
        for (std::size_t i = section.doings[p].first; i < section.doings[p].second; ++i)
            if (wanted(paths[p].doings[i])) return &paths[p].doings[i];
        return nullptr;
    };
    const auto states = [](const Doing& doing) { return doing.states_spindle; };
    for (std::size_t p = 0; p < 2; ++p) {
        const Path &own = paths[p], &other = paths[1 - p];
        const std::size_t first = section.doings[1 - p].first;
        // How the other has the main spindle when this section begins, where this one has never spoken to it.
        const bool own_speaks =
            std::any_of(own.doings.begin(),
                        own.doings.begin() + static_cast<std::ptrdiff_t>(section.doings[p].second), states);
        const Doing* at_wait = first > 0 && first <= other.doings.size() ? &other.doings[first - 1] : nullptr;
        if (!own_speaks && at_wait && at_wait->turns && at_wait->surface_speed && !in(1 - p, states))
            if (const Doing* drill = in(p, [](const Doing& doing) { return doing.drills_centre; }))
                findings.push_back(
                    {p, drill->line, "centre_work_of_other_path",
                     fmt::format("This path works on the centre while {} has constant surface speed "
                                 "in force (G96, line {}): the speed follows the X of the other "
                                 "turret, up to the limit. Write G97 there before this wait.",
                                 other.name, at_wait->line + 1)});
        if (at_wait && at_wait->turns && !in(1 - p, [](const Doing& doing) { return !doing.turns; }))
            if (const Doing* hole = in(p, [](const Doing& doing) { return doing.drills_live; }))
                findings.push_back(
                    {p, hole->line, "live_tool_in_turning_part",
                     fmt::format("A live tool drills here and {} has the main spindle turning "
                                 "(line {}): the tool is torn off. Stop the spindle there before "
                                 "the wait.",
                                 other.name, at_wait->line + 1)});
        const Doing* home = in(p, [](const Doing& doing) { return doing.slide_home; });
        const Doing* parting = in(1 - p, [](const Doing& doing) { return doing.parts_off && doing.turns; });
        if (home && parting && section.doings[p].first > 0)
            findings.push_back(
                {p, home->line, "slide_home_while_parting",
                 fmt::format("The slide of the second spindle goes home in the same stretch between "
                             "two waits in which {} cuts in (line {}): it pulls at a part that is "
                             "not cut off yet. Let it wait until the other path has parted.",
                             other.name, parting->line + 1)});
    }
    const Doing *one = in(0, states), *two = in(1, states);
    if (one && two && (one->surface_speed != two->surface_speed || one->speed != two->speed))
        findings.push_back(
            {1, two->line, "both_paths_set_spindle",
             fmt::format("Both paths start the main spindle in this stretch, and not at one speed "
                         "({} in line {}): which of them holds is a matter of moments.",
                         paths[0].name, one->line + 1)});
}

/// A cut of one path that leaves less than the other finishes to behind it.
void tell_too_deep(const std::array<Path, 2>& paths, const std::vector<Section>& sections,
                   std::vector<Finding>& findings) {
    constexpr double clear_mm = 0.05;
    for (std::size_t p = 0; p < 2; ++p)
        for (std::size_t k = 0; k + 1 < sections.size(); ++k)
            for (std::size_t i = sections[k].doings[p].first; i < sections[k].doings[p].second; ++i) {
                const Doing& deep = paths[p].doings[i];
                if (!deep.along) continue;
                for (std::size_t j = sections[k].doings[1 - p].second; j < paths[1 - p].doings.size(); ++j) {
                    const Doing& later = paths[1 - p].doings[j];
                    if (!later.along || later.along->x_radius < deep.along->x_radius + clear_mm) continue;
                    const double overlap = std::min(deep.along->z_from, later.along->z_from) -
                                           std::max(deep.along->z_to, later.along->z_to);
                    if (overlap < 0.5 * std::abs(later.along->z_from - later.along->z_to)) continue;
                    findings.push_back(
                        {p, deep.line, "cut_below_other_path",
                         fmt::format(
                             "This cut goes to a diameter of {:.3f} mm, and {} turns the same length to "
                             "{:.3f} mm behind it (line {}): the metal is gone by then. A digit of X, "
                             "perhaps.",
                             2 * deep.along->x_radius, paths[1 - p].name, 2 * later.along->x_radius,
                             later.line + 1)});
                    return;
                }
            }
}

std::string seconds_text(double seconds) {
    return seconds < 60
               ? fmt::format("{:.0f} s", seconds)
               : fmt::format("{}:{:02} min", static_cast<int>(seconds) / 60, static_cast<int>(seconds) % 60);
}

std::string lines_text(const Path& path, const std::pair<std::size_t, std::size_t>& doings) {
    if (doings.first >= doings.second) return "nothing";
    return fmt::format("lines {}-{}", line_of(path, doings.first) + 1, line_of(path, doings.second - 1) + 1);
}

std::string text_of(const std::array<Path, 2>& paths, const std::vector<Section>& sections,
                    const std::vector<Finding>& findings) {
    std::string text = fmt::format("Path 1: {}\nPath 2: {}\n\n", paths[0].name, paths[1].name);
    if (paths[0].waits.empty() && paths[1].waits.empty())
        text +=
            "No wait codes were found: notes may tell them (M101 WAIT), or M codes of three digits alone in "
            "their blocks of both programs.\n\n";
    double both = 0;
    std::array<double, 2> waited{};
    bool about = false;
    for (const Section& section : sections) {
        const double longer = std::max(section.seconds[0], section.seconds[1]);
        both += longer;
        about = about || section.about;
        std::string who;
        for (std::size_t p = 0; p < 2; ++p) {
            const double wait = longer - section.seconds[p];
            waited[p] += section.code >= 0 ? wait : 0;
            if (section.code >= 0 && wait >= 1)
                who = fmt::format("path {} waits {}", p + 1, seconds_text(wait));
        }
        text += fmt::format("{:<10} {:<16} {:>10}   {:<16} {:>10}   {}\n",
                            section.code < 0 ? "to the end" : "to " + written_code(section.code),
                            lines_text(paths[0], section.doings[0]), seconds_text(section.seconds[0]),
                            lines_text(paths[1], section.doings[1]), seconds_text(section.seconds[1]), who);
    }
    text += fmt::format("\nTogether {}{}; path 1 waits {}, path 2 waits {}.\n", about ? "about " : "",
                        seconds_text(both), seconds_text(waited[0]), seconds_text(waited[1]));
    if (!findings.empty()) text += "\n";
    for (const Finding& finding : findings)
        text += fmt::format("{}:{}: warning: {}: {}\n", paths[finding.path].name, finding.line + 1,
                            finding.id, finding.text);
    return text + "\nWhat was found is no proof that both programs are right: prove them out at the machine, "
                  "slowly, "
                  "one block at a time.\n";
}

std::string json_of(const std::array<Path, 2>& paths, const std::vector<Section>& sections,
                    const std::vector<Finding>& findings) {
    nlohmann::json out;
    out["paths"] = {paths[0].name, paths[1].name};
    out["sections"] = nlohmann::json::array();
    for (const Section& section : sections) {
        nlohmann::json row;
        row["to"] = section.code < 0 ? "" : written_code(section.code);
        row["seconds"] = section.seconds;
        row["about"] = section.about;
        out["sections"].push_back(row);
    }
    out["warnings"] = nlohmann::json::array();
    for (const Finding& finding : findings)
        out["warnings"].push_back({{"path", finding.path + 1},
                                   {"line", finding.line + 1},
                                   {"id", finding.id},
                                   {"severity", "warning"},
                                   {"message", finding.text}});
    return out.dump(2) + "\n";
}

int run_paths(const PathsOptions& options) {
    std::array<Path, 2> paths;
    int status = done;
    for (std::size_t p = 0; p < 2; ++p)
        if (!read_path(options.files[p], options.shop, paths[p], status)) return status;
    for (const Path& path : paths)
        if (path.doings.empty()) return say_trouble(path.name, "has no blocks that do anything");
    find_waits(paths);
    const auto met = meetings(paths);
    const std::vector<Section> sections = sections_of(paths, met);
    std::vector<Finding> findings;
    tell_unmet(paths, met, findings);
    for (const Section& section : sections) tell_section(paths, section, findings);
    tell_too_deep(paths, sections, findings);
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        return std::pair(a.path, a.line) < std::pair(b.path, b.line);
    });
    const int wrote = write_out(options.format == "json" ? json_of(paths, sections, findings)
                                                         : text_of(paths, sections, findings));
    return wrote != done ? wrote : findings.empty() ? 0 : 1;
}

} // namespace

void add_paths(CLI::App& app, int& status) {
    auto options = std::make_shared<PathsOptions>();
    CLI::App* paths = app.add_subcommand(
        "paths",
        "Follow the two programs of a lathe with two turrets from wait to wait: waits that never meet, "
        "who waits for whom, what one does while the other cuts. Exit status as check");
    paths->add_option("file", options->files, "The program of the first path and that of the second")
        ->required()
        ->expected(2);
    paths->add_option("--format", options->format, "text or json")->check(CLI::IsMember({"text", "json"}));
    paths->add_option("--shop", options->shop, "Shop file to use instead of the nearest turnwright.toml");
    paths->callback([options, &status] { status = run_paths(*options); });
}

} // namespace turnwright::commands
