#include "features/assumed.h"
#include "language/said.h"

#include "checks/mend.h"
#include "features/noted.h"
#include "features/speech.h"
#include "machine/arc_signs.h"
#include "machine/x_reading.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <span>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::Assumption;
using machine::BlockPlace;
using machine::Sign;

namespace {

/// Of the groups that are asked for those that some block reads while nothing states them, or that stay
/// assumed behind a program out of sight. Block by block: where a run of lines begins must not tell.
machine::Parts read_unstated(const machine::Analysis& analysis, machine::Parts wanted) {
    machine::Parts found = 0;
    // Of the spindle's mode what was stated before the call, which spindle_kept() tells.
    for (std::size_t run = 0; run < analysis.size() && found != wanted; ++run) {
        const machine::RunResult& result = *analysis.result(run);
        found |= (result.reads_unstated | (result.assumed & ~machine::part(Group::spindle_mode))) & wanted;
    }
    return found;
}

std::string reason_of(const Document& document, const Assumption& assumption) {
    std::string reason = said("by {}", machine::sign_title(assumption.by));
    if (assumption.by == Sign::practice) return said("common practice");
    const auto place =
        machine::first_sign(document.forest(), document.buffer(), document.settings().system, assumption);
    if (place) reason += said(": {} in line {}", readable(place->text), place->line + 1);
    return reason;
}

/// The first block of words behind the head's notes and O number.
std::optional<BlockPlace> first_words(const Document& document) {
    for (std::size_t run = 0; run < document.forest().size(); ++run) {
        const syntax::Run& blocks = document.run(run);
        for (std::size_t block = 0; block < blocks.blocks.size(); ++block)
            for (const syntax::Item& item : blocks.items_of(blocks.blocks[block])) {
                const bool names_program = item.letter == 'O' || item.letter == 'N';
                if ((item.is_word() && !names_program) || syntax::holds_expression(item.kind))
                    return BlockPlace{run, block};
            }
    }
    return std::nullopt;
}

/// The same of the other programs of the file that call a tool, each with those of the codes that it does not
/// state itself: none of them takes over what another states.
std::vector<std::pair<BlockPlace, std::string>> other_programs(const Document& document,
                                                               std::span<const std::string> wanted) {
    std::vector<std::pair<BlockPlace, std::string>> found;
    const codes::System system = document.settings().system;
    const machine::Outline& outline = document.outline();
    for (std::size_t i = 1; i < outline.programs.size(); ++i) {
        const machine::ProgramPart& program = outline.programs[i];
        if (program.is_subprogram || program.sequences.empty()) continue;
        std::optional<BlockPlace> first;
        std::vector<std::string> unstated(wanted.begin(), wanted.end());
        const machine::Reader reader(document.analysis());
        for (std::optional<BlockPlace> at = program.first; at && *at <= program.last && !unstated.empty();
             at = reader.neighbour(*at, true))
            for (const syntax::Item& item : reader.items(*at)) {
                if (!item.is_word() || item.letter == 'O' || item.letter == 'N') continue;
                if (!first) first = *at;
                if (item.kind != syntax::ItemKind::word || item.letter != 'G') continue;
                const codes::Code* row = codes::find(system, 'G', item.value);
                if (!row) continue;
                std::erase_if(unstated, [&](const std::string& code) {
                    const codes::Code* own = codes::find(system, 'G', std::atof(code.c_str() + 1));
                    return own && own->group() == row->group();
                });
            }
        std::string codes;
        for (const std::string& code : unstated) codes += (codes.empty() ? "" : " ") + code;
        if (first && !codes.empty()) found.emplace_back(*first, std::move(codes));
    }
    return found;
}

/// "the note in line 2": the first that says X is a radius.
std::optional<std::string> note_of_radius(const Document& document) {
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        for (std::size_t block = 0; block < document.run(run).blocks.size(); ++block) {
            if (!document.run(run).blocks[block].has_note) continue;
            for (const syntax::Item& item : document.items({run, block}))
                if (item.kind == syntax::ItemKind::note &&
                    machine::x_reading_in(syntax::note_text(document.run(run).text_of(item))) ==
                        shop::XReading::radius)
                    return said("the note in line {}", document.line_of({run, block}) + 1);
        }
    return std::nullopt;
}

/// What says that X is a radius: "the note in line 2", "its arcs: G02 X12.5 Z-8. R2.5 in line 14".
std::string sign_of_radius(const Document& document) {
    if (auto note = note_of_radius(document)) return *note;
    const auto arc = machine::first_radius_arc(document.forest());
    if (!arc) return said("its arcs");
    const syntax::Run& run = document.run(arc->run);
    const auto items = run.items_of(run.blocks[arc->block]);
    if (std::none_of(items.begin(), items.end(),
                     [](const syntax::Item& item) { return std::string_view("IKR").find(item.letter) < 3; }))
        return said("its chamfers of 45 degrees: {} in line {}",
                    readable(run.text_of(run.blocks[arc->block])),
                    document.line_of({arc->run, arc->block}) + 1);
    return said("its arcs: {} in line {}", readable(run.text_of(run.blocks[arc->block])),
                document.line_of({arc->run, arc->block}) + 1);
}

/// ": X28 in line 29"
std::string first_without_point(const Document& document) {
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        for (std::size_t block = 0; block < document.run(run).blocks.size(); ++block)
            for (const syntax::Item& item : document.items({run, block})) {
                const bool length = std::string_view("XZUW").find(item.letter) != std::string_view::npos;
                if (item.kind == syntax::ItemKind::word && length && !item.has_point && item.value != 0)
                    return said(": {} in line {}", readable(document.run(run).text_of(item)),
                                document.line_of({run, block}) + 1);
            }
    return "";
}

/// Where the spindle is assumed to turn on behind a program that is not at hand, and cuts by it.
struct SpindleKept {
    std::size_t line = 0; ///< Of the first call, from 0
    std::string value;    ///< "G97 S800 M03", with its limit
};
std::optional<SpindleKept> spindle_kept(const Document& document) {
    const machine::Analysis& analysis = document.analysis();
    const auto holds_speed = [](const machine::State& state) {
        return state.speed.is_assumed() || state.of(Group::spindle_direction).is_assumed();
    };
    const auto holds = [&](const machine::State& state) {
        return holds_speed(state) || state.speed_limit.is_assumed();
    };
    const auto is_limit_read = [](const machine::State& state) {
        return state.is(Meaning::surface_speed) && state.speed_limit.is_assumed();
    };
    const machine::Parts wanted =
        machine::part(machine::Part::speed) | machine::part(Group::spindle_direction);
    std::optional<SpindleKept> kept;
    bool cuts = false;
    for (std::size_t run = 0; run < analysis.size() && !cuts; ++run) {
        if (!(analysis.result(run)->assumed & (wanted | machine::part(machine::Part::speed_limit)))) continue;
        analysis.visit(run, [&](const machine::BlockView& view) {
            if (cuts) return;
            cuts = holds(view.before) && (view.reading.reads & wanted) &&
                   (holds_speed(view.before) || is_limit_read(view.after));
            if (cuts || !holds(view.after) || holds(view.before)) return;
            const machine::State& state = view.after;
            kept = SpindleKept{document.line_of({view.run_index, view.block}), ""};
            const auto add = [&](const std::string& word) {
                if (!word.empty()) kept->value += (kept->value.empty() ? "" : " ") + word;
            };
            for (const Group group : {Group::spindle_mode, Group::spindle_direction}) {
                const machine::Modal& modal = state.of(group);
                if (group == Group::spindle_direction && holds_speed(state) && state.speed.number != 0)
                    add("S" + plain(state.speed.number));
                if (modal.known() && holds_speed(state))
                    add(codes::written_as(
                        document.settings().system,
                        codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(modal.possible)))));
            }
            if (state.speed_limit.is_assumed())
                kept->value +=
                    (kept->value.empty() ? "" : ", ") + said("limit {}", plain(state.speed_limit.number));
        });
    }
    return cuts ? kept : std::nullopt;
}

} // namespace

namespace {

/// Of what the program's own signs tell; what is common practice alone has no other reading worth an action.
std::span<const Meaning> readings_of(Group group) {
    static constexpr Meaning units[] = {Meaning::inch, Meaning::millimetre},
                             feeds[] = {Meaning::feed_per_rev, Meaning::feed_per_minute};
    if (group == Group::units) return units;
    if (group == Group::feed_mode) return feeds;
    return {};
}

/// Some block presets where the tool stands ("G50 X200. Z150."): its author knows no G54.
bool presets_datum(const Document& document) {
    const int preset = document.settings().system == codes::System::A ? 50 : 92;
    for (const syntax::RunPointer& run : document.forest().runs())
        for (const syntax::Block& block : run->blocks) {
            bool code = false, axis = false;
            for (const syntax::Item& item : run->items_of(block)) {
                code = code ||
                       (item.kind == syntax::ItemKind::word && item.letter == 'G' && item.value == preset);
                axis = axis || (item.is_word() && std::string_view("XZUW").find(item.letter) < 4);
            }
            if (code && axis) return true;
        }
    return false;
}

/// What the choice of the system rests on, where the shop file does not state it.
std::optional<AssumedHere> assumed_system(const Document& document) {
    const machine::Settings& settings = document.settings();
    if (settings.system_from == machine::SystemFrom::shop_file) return std::nullopt;
    const std::string system = said("system {}", codes::system_letter(settings.system));
    std::string reason = said("nothing in the program tells");
    if (settings.system_from == machine::SystemFrom::program) {
        reason = said("by its codes");
        for (const machine::EvidenceLine& line :
             machine::list_evidence(document.forest(), document.buffer())) {
            if (line.system != settings.system) continue;
            reason += said(", line {}: {}", line.line + 1, readable(line.text));
            break;
        }
    }
    AssumedHere assumed{said("G-code system"), system, std::move(reason), ""};
    assumed.brief = system;
    return assumed;
}

/// Of rapids, tool change and ramp those that no file beside the program states.
std::optional<AssumedHere> assumed_rates(const Document& document) {
    const machine::Settings& settings = document.settings();
    if (!settings.assumed_rates) return std::nullopt;
    const shop::Machine &known = settings.machine, &rates = settings.rates();
    const bool inch = mm_per_unit_of(document).value_or(1) > 1;
    // Nobody reads a middle-of-the-road rate to the inch.
    const auto shown = [inch](double mm) {
        return inch ? plain(std::round(mm / motion::mm_per_inch / 10) * 10, 0) : plain(mm / 1000);
    };
    const std::string_view unit = inch ? "in/min" : "m/min";
    const bool x = !known.rapid_x_mm_per_min, z = !known.rapid_z_mm_per_min;
    std::string value;
    const auto add = [&](const std::string& part) { value += (value.empty() ? "" : ", ") + part; };
    if (x && z)
        add(said("{} and {} {} in X and Z", shown(*rates.rapid_x_mm_per_min),
                 shown(*rates.rapid_z_mm_per_min), unit));
    else if (x || z)
        add(said("{} {} in {}", shown(x ? *rates.rapid_x_mm_per_min : *rates.rapid_z_mm_per_min), unit,
                 x ? 'X' : 'Z'));
    const bool change = !known.tool_change_seconds;
    if (change) add(said("{} s", plain(*rates.tool_change_seconds)));
    if (!known.spindle_ramp_rpm_per_second)
        add(said("{} rpm gained in a second", plain(*rates.spindle_ramp_rpm_per_second)));
    AssumedHere assumed{x || z   ? said("rapid rates and tool change")
                        : change ? said("tool change")
                                 : said("spindle ramp"),
                        std::move(value), said("a lathe of middle size; set them in the shop file"), ""};
    assumed.brief = said("{} of a lathe of middle size", assumed.name);
    return assumed;
}

} // namespace

std::optional<OpenLength> first_open_length(const Document& document) {
    const machine::Settings& settings = document.settings();
    if (settings.machine.no_point != shop::NoPoint::unknown ||
        settings.assumed.no_point != shop::NoPoint::unknown || settings.assumed.few_without_point)
        return std::nullopt;
    std::optional<OpenLength> found;
    const auto is_pointless = [](const syntax::Item& item) {
        return item.kind == syntax::ItemKind::word && !item.has_point && item.value != 0 &&
               std::string_view("XZUW").find(item.letter) != std::string_view::npos;
    };
    const machine::Analysis& analysis = document.analysis();
    for (std::size_t run = 0; run < analysis.size() && !found; ++run) {
        const auto& items = document.run(run).items;
        if (std::none_of(items.begin(), items.end(), is_pointless)) continue;
        analysis.visit(run, [&](const machine::BlockView& view) {
            if (found || !view.reading.is_read) return;
            for (const machine::Word& word : view.reading.words)
                if (!found && word.item && is_pointless(*word.item) &&
                    word.value.why == machine::Why::no_point)
                    found = OpenLength{readable(document.run(run).text_of(*word.item)),
                                       document.line_of({run, view.block})};
        });
    }
    return found;
}

bool is_diameter_assumed(const Document& document) {
    const machine::Settings& settings = document.settings();
    return document.shop().path.empty() && !settings.machine.x_told && !settings.assumed.x_radius;
}

std::optional<Meaning> assumed_unit(const Document& document) {
    const Assumption& unit = document.settings().assumed.units;
    if (unit.conflict || unit.by == Sign::none) return std::nullopt;
    if (!read_unstated(document.analysis(), machine::part(Group::units))) return std::nullopt;
    return unit.meaning;
}

std::vector<AssumedHere> assumed_here(const Document& document) {
    std::vector<AssumedHere> all;
    const machine::Settings& settings = document.settings();
    if (auto system = assumed_system(document)) all.push_back(std::move(*system));
    const auto is_spoken_of = [&](Group group) {
        const Assumption* assumption = settings.assumed.of(group);
        // No time and no speed stands without a unit: that nothing tells it is told, too.
        return assumption && (assumption->by != Sign::none || assumption->conflict || group == Group::units);
    };
    machine::Parts wanted = machine::part(Group::datum);
    for (const Group group : machine::assumable_groups)
        if (is_spoken_of(group)) wanted |= machine::part(group);
    // What nothing is assumed of would be looked for through the whole file.
    const machine::Parts unstated = read_unstated(document.analysis(), wanted);
    for (const Group group : machine::assumable_groups) {
        if (!is_spoken_of(group) || !(unstated & machine::part(group))) continue;
        const Assumption& assumption = *settings.assumed.of(group);
        const std::string name(codes::group_title(group));
        if (assumption.conflict)
            all.push_back({name, said("not known"), said("its signs speak against each other"), ""});
        else if (assumption.by == Sign::none) {
            all.push_back({name, said("not known"), said("nothing in the program tells"), ""});
            all.back().is_untold = true;
        } else
            all.push_back({name, std::string(codes::title(assumption.meaning)),
                           reason_of(document, assumption),
                           codes::written_as(settings.system, assumption.meaning)});
        for (const Meaning meaning : readings_of(group))
            if (assumption.conflict || assumption.by == Sign::none || meaning != assumption.meaning)
                all.back().others.push_back(
                    {codes::written_as(settings.system, meaning), std::string(codes::title(meaning))});
    }
    if (unstated & machine::part(Group::datum)) {
        all.push_back({said("datum"), said("the one in force at the machine, mostly G54"),
                       said("common practice"), presets_datum(document) ? "" : "G54"});
        all.back().brief = said("the datum in force at the machine");
        all.back().stated_alone = true;
    }
    if (const auto kept = spindle_kept(document))
        all.push_back(
            {said("spindle behind line {}", kept->line + 1), kept->value,
             said("as stated before the program that line {} calls, which is not at hand; to state it "
                  "write it again behind the call",
                  kept->line + 1),
             "", true});
    const std::string no_point = said("lengths without a point");
    if (settings.assumed.few_without_point)
        all.push_back({no_point, said("whole numbers as they stand"),
                       said("by those that have one{}; a control that counts in least increments "
                            "reads them otherwise",
                            first_without_point(document)),
                       "", true});
    else if (settings.assumed.no_point == shop::NoPoint::whole_units)
        all.push_back({no_point, said("whole numbers as they stand"),
                       said("by their sizes; a control that counts in least increments needs a point"), "",
                       true});
    if (settings.assumed.no_point == shop::NoPoint::least_increments)
        all.push_back({no_point, said("counted in least increments"), said("by their sizes"), "", true});
    if (const auto open = first_open_length(document)) {
        all.push_back(
            {no_point, said("not known"),
             said("{} in line {} stands for itself or counts least increments, as the control is set; "
                  "no_point in the shop file says which",
                  open->text, open->line + 1),
             ""});
        all.back().is_untold = true;
    }
    if (settings.assumed.stations_alone)
        all.push_back(
            {said("T words of two digits"), said("the station alone"),
             said("T01 to T09 stand in it; set tool_digits in the shop file where they are offsets"), ""});
    if (settings.assumed.feed_step > 0)
        all.push_back({said("feeds without a point"),
                       said("counted in {}", plain(settings.assumed.feed_step, 4)),
                       said("by their sizes, where all are without one"), "", true});
    if (settings.assumed.by_sense)
        all.push_back({said("leads, dwells and padded numbers without a point"), said("as their size allows"),
                       said("common practice"), "", true});
    if (settings.assumed.x_radius)
        all.push_back({said("diameter or radius"), said("X as a radius"),
                       said("by ") + sign_of_radius(document), "", true});
    else if (is_diameter_assumed(document)) {
        all.push_back({said("diameter or radius"), said("X as a diameter"), said("common practice"), ""});
        all.back().brief = said("X as a diameter");
    }
    if (auto rates = assumed_rates(document)) all.push_back(std::move(*rates));
    return all;
}

std::string assumed_line(const AssumedHere& assumed) {
    std::string line = fmt::format("{}: {}", assumed.name, assumed.value);
    if (!assumed.reason.empty()) line += fmt::format(" ({})", assumed.reason);
    if (!assumed.code.empty()) line += said("; to state it write ") + assumed.code;
    return line;
}

std::string assumed_in_short(const Document& document, std::span<const AssumedHere> setup) {
    std::string out, practice;
    for (const AssumedHere& assumed : assumed_here(document)) {
        if (!assumed.brief.empty()) {
            practice += (practice.empty() ? "" : ", ") + assumed.brief;
            continue;
        }
        if (assumed.code.empty() && assumed.value != translated("not known") && !assumed.by_program) continue;
        const std::string what =
            assumed.value == translated("not known") ? assumed.name + said(" not known") : assumed.value;
        out += fmt::format("{}{} ({})", out.empty() ? "" : "; ", what, assumed.reason);
    }
    std::string by_notes, by_moves;
    for (const AssumedHere& assumed : setup) {
        std::string& names = assumed.by_moves ? by_moves : by_notes;
        names += (names.empty() ? "" : ", ") + assumed.name;
    }
    if (!by_notes.empty()) out += (out.empty() ? "" : "; ") + said("{} by notes", by_notes);
    if (!by_moves.empty()) out += (out.empty() ? "" : "; ") + said("{} by moves", by_moves);
    if (!practice.empty()) out += (out.empty() ? "" : "; ") + practice;
    return out;
}

std::string assumed_in_short(const Document& document) {
    return assumed_in_short(document, noted_here(document));
}

namespace {

/// "inch by its feeds", "inch, feed per turn by its feeds"; empty when none of the groups is assumed.
std::string assumed_groups(const machine::State& state, std::initializer_list<Group> groups,
                           const machine::Settings& settings) {
    std::string out, by;
    for (Group group : groups) {
        const Assumption* assumption = settings.assumed.of(group);
        if (!state.of(group).is_assumed() || !assumption) continue;
        std::string title, reason;
        if (assumption->by == Sign::none) { // Switched on so, and behind a program that is not at hand
            if (!state.of(group).known()) continue;
            title = codes::title(
                codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(state.of(group).possible))));
            reason = said(" by the shop file");
        } else {
            title = codes::title(assumption->meaning);
            reason = said(" by {}", machine::sign_title(assumption->by));
        }
        // What one sign tells of several stands in front of it: it is read in a narrow window.
        if (by != reason) out += by;
        out += (out.empty() ? "" : ", ") + title;
        by = std::move(reason);
    }
    return out + by;
}

} // namespace

std::string assumed_words(const machine::State& state, std::initializer_list<Group> groups,
                          const machine::Settings& settings) {
    const std::string out = assumed_groups(state, groups, settings);
    return out.empty() ? out : said(" (assumed: ") + out + ")";
}

std::string assumed_of_length(const machine::State& state, const Document& document, bool along_x,
                              bool without_point) {
    const machine::Settings& settings = document.settings();
    std::string out = assumed_groups(state, {Group::units}, settings);
    const auto add = [&](std::string_view part) { out += (out.empty() ? "" : ", ") + std::string(part); };
    if (along_x && settings.assumed.x_radius) add(said("X as a radius"));
    if (along_x && is_diameter_assumed(document)) add(said("X as a diameter"));
    if (without_point) {
        if (settings.assumed.few_without_point || settings.assumed.no_point == shop::NoPoint::whole_units)
            add(said("whole numbers as they stand"));
        else if (settings.assumed.no_point == shop::NoPoint::least_increments)
            add(said("counted in least increments"));
    }
    return out.empty() ? out : said(" (assumed: ") + out + ")";
}

std::vector<ShopEntry> assumed_shop_entries(const Document& document) {
    const machine::Settings& settings = document.settings();
    const shop::Machine &known = settings.machine, &rates = settings.rates();
    std::vector<ShopEntry> entries;
    const auto add = [&](std::string_view group, const char* key, std::string value, std::string comment) {
        entries.push_back({key, value, std::move(value), std::move(comment), std::string(group)});
    };
    constexpr TableText times = "rapid rates and tool change";
    const auto add_rate = [&](const char* key, const std::optional<double>& told,
                              const std::optional<double>& assumed, std::string comment) {
        if (told || !assumed) return;
        add(times, key, plain(*assumed), std::move(comment));
        entries.back().inch = plain(*assumed / motion::mm_per_inch, 1);
    };
    if (settings.system_from != machine::SystemFrom::shop_file)
        if (const auto system = assumed_system(document))
            add(said("G-code system"), "system", fmt::format("\"{}\"", codes::system_letter(settings.system)),
                system->reason);
    add_rate("rapid_x", known.rapid_x_mm_per_min, rates.rapid_x_mm_per_min, said("a minute, on radius"));
    add_rate("rapid_z", known.rapid_z_mm_per_min, rates.rapid_z_mm_per_min, said("a minute"));
    if (!known.tool_change_seconds && rates.tool_change_seconds)
        add(times, "tool_change_seconds", plain(*rates.tool_change_seconds), "");
    if (!known.spindle_ramp_rpm_per_second && rates.spindle_ramp_rpm_per_second)
        add(times, "spindle_ramp", plain(*rates.spindle_ramp_rpm_per_second), said("rpm gained in a second"));
    if (!known.x_told) {
        const bool radius = known.x == shop::XReading::radius;
        add(said("diameter or radius"), "x", radius ? "\"radius\"" : "\"diameter\"",
            settings.assumed.x_radius ? said("by ") + sign_of_radius(document) : said("common practice"));
    }
    if (settings.assumed.no_point != shop::NoPoint::unknown && !settings.assumed.few_without_point)
        add(said("lengths without a point"), "no_point",
            settings.assumed.no_point == shop::NoPoint::whole_units ? "\"whole units\""
                                                                    : "\"least increments\"",
            said("by their sizes"));
    return entries;
}

void add_stating_actions(const Document& document, Range range, std::vector<CodeAction>& actions) {
    const std::optional<BlockPlace> at = first_words(document);
    // Offered where the codes would come to stand, and above it.
    if (!at || range.begin.line > document.line_of(*at)) return;
    std::vector<AssumedHere> all = assumed_here(document);
    std::erase_if(all,
                  [](const AssumedHere& assumed) { return assumed.code.empty() && assumed.others.empty(); });
    const auto offer = [&](std::string title, const std::string& codes,
                           std::span<const std::string> in_others = {}) {
        checks::Fix fix{std::move(title), {}, false, false};
        const machine::Reader reader(document.analysis());
        fix.edits.push_back(checks::insert_block_before(reader, *at, codes));
        for (auto& [place, unstated] : other_programs(document, in_others))
            fix.edits.push_back(checks::insert_block_before(reader, place, std::move(unstated)));
        CodeAction action;
        action.title = fix.title;
        action.kind = "refactor.rewrite";
        action.edits = edits_of(document, fix);
        actions.push_back(std::move(action));
    };
    std::string together;
    std::vector<std::string> each;
    for (const AssumedHere& assumed : all) {
        if (assumed.code.empty()) continue;
        if (assumed.stated_alone) {
            offer(said("State {} at the head: {} is assumed, whichever that is", assumed.code, assumed.brief),
                  assumed.code);
            continue;
        }
        each.push_back(assumed.code);
        offer(said("State {} at the head: {} is assumed, {}", assumed.code, assumed.value, assumed.reason),
              assumed.code, std::span(each).last(1));
        together += (together.empty() ? "" : " ") + assumed.code;
    }
    for (const AssumedHere& assumed : all)
        for (const AssumedHere::Other& other : assumed.others)
            offer(!assumed.code.empty() ? said("State {} at the head: {}, and not {} as assumed", other.code,
                                               other.value, assumed.value)
                  : assumed.is_untold ? said("State {} at the head: {}; nothing that is written tells which",
                                             other.code, other.value)
                                      : said("State {} at the head: {}; what is written speaks for both",
                                             other.code, other.value),
                  other.code);
    if (each.size() > 1) offer(said("State all that is assumed at the head: {}", together), together, each);
}

} // namespace turnwright::features
