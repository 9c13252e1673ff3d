// The state that reaches a block.
#include "features/assumed.h"
#include "features/beside.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::State;

namespace {

constexpr std::size_t most_rows = 8;
constexpr std::size_t widest_row = 74; ///< In a window of 80 columns with its border

/// One part of the state before and after the block.
struct Row {
    std::string name, before, after;
    bool known_before = true, known_after = true;
    machine::Why why = machine::Why::known; ///< After the block, when it is not known
    bool changes() const { return before != after; }
};

std::string tool_known(const Document& document, const State& state) {
    const int station = static_cast<int>(state.tool.number);
    std::string text = fmt::format("T{:02}", station);
    if (!state.offset.known())
        text += said(", offset not known");
    else if (state.offset.number == 0)
        text += said(", offset cancelled");
    else
        text += said(", offset {}", plain(state.offset.number));
    const std::string note = tool_note(document, station);
    return note.empty() ? text : text + ": " + note;
}

std::string direction_text(const machine::Modal& direction) {
    if (direction.is(Meaning::spindle_forward)) return said("forward (M03)");
    if (direction.is(Meaning::spindle_reverse)) return said("reverse (M04)");
    if (direction.is(Meaning::spindle_stop)) return said("stopped (M05)");
    return direction.possible ? said("turning or not, by the way here") : "";
}

std::string assumed_mark(const machine::Modal& modal) {
    return modal.is_assumed() ? said(" (assumed)") : "";
}

bool is_spindle_assumed(const State& state) {
    return state.of(Group::spindle_mode).is_assumed() || state.of(Group::spindle_direction).is_assumed() ||
           state.speed.is_assumed() || (state.is(Meaning::surface_speed) && state.speed_limit.is_assumed());
}

std::string limit_text(const State& state) {
    if (state.speed_limit.known() || state.speed_limit.is_assumed())
        return said("limit {}", plain(state.speed_limit.number));
    if (state.speed_limit.surely_unset()) return said("no limit set");
    return said("limit not known");
}

/// ": 1751 rpm at X40., limit 2500" behind a surface speed.
std::string rpm_text(const State& state, const machine::Settings& settings) {
    std::string limit = ", " + limit_text(state);
    if (const std::optional<double> rpm = rpm_in(state, settings))
        return said(": {:.0f} rpm at X{}{}", *rpm,
                    checks::written(checks::x_as_written(state.x_radius.number, settings)), limit);
    if (!state.speed.known() && !state.speed.is_assumed()) return limit;
    if (!state.x_radius.known()) return said(": follows X, which is not known") + limit;
    if (state.x_radius.number == 0) return said(": as fast as it can at X0") + limit;
    return said(": the unit of length is not stated") + limit;
}

std::string spindle_known(const State& state, const machine::Settings& settings) {
    const std::string direction = direction_text(state.of(Group::spindle_direction));
    const bool never = state.of(Group::spindle_direction).surely_unset();
    std::string text = !direction.empty() ? direction
                       : never            ? said("not turned on above")
                                          : said("turning not known");
    // Of another spindle its name, and no code of the main one.
    if (const auto which = state.spoken_to(); !which) {
        text = said("which one S speaks to is not known");
    } else if (*which != machine::Spindle::main) {
        text.erase(std::min(text.find(" ("), text.size()));
        text = fmt::format("{}: {}", machine::spindle_title(*which), text);
    }
    const bool stopped = state.is(Meaning::spindle_stop);
    if (state.is(Meaning::surface_speed)) {
        text += ", G96";
        if (state.speed.number != 0)
            text += fmt::format(" {} {}", plain(state.speed.number), surface_unit(state));
        while (text.back() == ' ') text.pop_back();
        if (!stopped) text += rpm_text(state, settings);
    } else if (state.is(Meaning::constant_rpm)) {
        text += ", G97";
        if (state.speed.known() || state.speed.is_assumed())
            text += said(" {} rpm", plain(state.speed.number));
    }
    return text + (is_spindle_assumed(state) ? said(" (assumed)") : "");
}

std::string feed_known(const State& state, const machine::Settings& settings) {
    const std::string number = plain(state.feed.number, 5);
    const std::string_view unit = length_unit(state);
    const std::string_view shown = unit.empty() ? said("units") : unit;
    if (state.is(Meaning::feed_per_minute)) {
        std::string text = fmt::format("{} {}/min", number, shown);
        if (const auto rpm = rpm_in(state, settings); rpm && *rpm > 0)
            text += said(" = {} {}/rev", plain(state.feed.number / *rpm), shown);
        return text;
    }
    if (state.is(Meaning::feed_per_rev)) {
        std::string text = said("{} {}/rev", number, shown);
        if (const auto rpm = rpm_in(state, settings))
            text += fmt::format(" = {} {}/min", plain(state.feed.number * *rpm, unit == "in" ? 2 : 0), shown);
        return text;
    }
    const machine::Modal& mode = state.of(Group::feed_mode);
    if (mode.known()) return fmt::format("{} ({})", number, modal_text(mode, Group::feed_mode, settings));
    return said("{}; per turn or per minute {}", number,
                mode.possible ? said("by the way here") : said("not known"));
}

Row feed_row(const BlockAt& block, const machine::Settings& settings) {
    const State &before = block.before, &after = block.after;
    Row row{said("feed"), "", "", before.feed.known(), after.feed.known(), after.feed.why};
    if (row.known_before) row.before = feed_known(before, settings);
    if (row.known_after)
        row.after =
            feed_known(after, settings) + assumed_words(after, {Group::units, Group::feed_mode}, settings);
    const bool same_mode = before.of(Group::feed_mode) == after.of(Group::feed_mode) &&
                           before.of(Group::units) == after.of(Group::units);
    if (!row.known_before || !row.known_after || !same_mode) return row;
    // "0.28 -> 0.14 mm/rev = 350 mm/min"; a feed that only the speed changes is the same feed.
    row.before = before.feed == after.feed ? row.after : plain(before.feed.number, 5);
    return row;
}

Row position_row(const BlockAt& block, const machine::Settings& settings) {
    const auto is_known = [](const State& state) { return state.x_radius.known() || state.z.known(); };
    const State &before = block.before, &after = block.after;
    Row row{said("position"), "", "", is_known(before), is_known(after), after.x_radius.why};
    const auto others = [](const State& state) {
        std::string text;
        if (state.is_axis() && state.c.known()) text += " C" + checks::written(state.c.number);
        if (state.y.known() && state.y.number != 0) text += " Y" + checks::written(state.y.number);
        return text;
    };
    if (row.known_before) row.before = point_text(before.x_radius, before.z, settings) + others(before);
    if (row.known_after) row.after = point_text(after.x_radius, after.z, settings) + others(after);
    const auto add_why = [&](char axis, const machine::Value& value) {
        if (row.known_after && !value.known())
            row.after += fmt::format("; {} {}", axis, unknown_text(value.why));
    };
    const bool same = row.before == row.after;
    add_why('X', after.x_radius);
    add_why('Z', after.z);
    if (same) row.before = row.after;
    return row;
}

Row tool_row(const Document& document, const BlockAt& block) {
    const State &before = block.before, &after = block.after;
    Row row{said("tool"), "", "", before.tool.known(), after.tool.known(), after.tool.why};
    if (row.known_after) row.after = tool_known(document, after);
    const bool same = before.tool == after.tool && before.offset == after.offset;
    // The note of the old tool says nothing about this block.
    if (row.known_before)
        row.before = same ? row.after : fmt::format("T{:02}", static_cast<int>(before.tool.number));
    return row;
}

Row spindle_row(const BlockAt& block, const machine::Settings& settings) {
    const auto is_known = [](const State& state) {
        return state.of(Group::spindle_direction).possible || state.of(Group::spindle_mode).possible;
    };
    const State &before = block.before, &after = block.after;
    Row row{
        said("spindle"), "", "", is_known(before), is_known(after), after.of(Group::spindle_direction).why};
    if (row.known_after) row.after = spindle_known(after, settings);
    if (!row.known_before) return row;
    const bool same = before.of(Group::spindle_direction) == after.of(Group::spindle_direction) &&
                      before.of(Group::spindle_mode) == after.of(Group::spindle_mode) &&
                      before.speed == after.speed && before.speed_limit == after.speed_limit;
    row.before = same ? row.after : spindle_known(before, settings);
    const std::optional<double> from = rpm_in(before, settings), to = rpm_in(after, settings);
    if (same && before.is(Meaning::surface_speed) && from && to && std::abs(*from - *to) >= 0.5) {
        // The speed follows X: both ends of the way.
        const std::size_t at = row.after.find(": ");
        row.before = row.after.substr(0, at) + fmt::format(": {:.0f}", *from);
        row.after = said("{:.0f} rpm, {}", *to, limit_text(after));
    } else if (!same && row.before == row.after) { // A limit, where the speed does not follow X
        row.before += ", " + limit_text(before);
        row.after = limit_text(after);
    } else if (!same) {
        // Of another spindle its name stands in front of the colon.
        const bool named = before.spoken_to() != machine::Spindle::main;
        const std::size_t name_end = named ? row.before.find(": ") : std::string::npos;
        const std::size_t from_at = name_end == std::string::npos ? 0 : name_end + 2;
        row.before.erase(std::min(row.before.find(": ", from_at), row.before.size()));
        const bool same_name = from_at > 0 && row.after.compare(0, from_at, row.before, 0, from_at) == 0;
        if (same_name) row.after.erase(0, from_at);
        // "forward (M03), G97 1150 rpm -> G96 180 m/min: 1102 rpm at X52., limit 2500"
        const bool same_way = before.of(Group::spindle_direction) == after.of(Group::spindle_direction);
        const std::size_t mode = row.after.find(", G9");
        if (same_way && mode != std::string::npos && row.before.find(", G9") != std::string::npos)
            row.after.erase(0, mode + 2);
    }
    return row;
}

/// A drilling cycle, a single cycle or a contour that is on; no row when none is.
std::string cycle_known(const State& state, const machine::Settings& settings) {
    if (state.contour.stage == machine::Contour::Stage::inside)
        return said("contour N{} to N{} of a roughing cycle", state.contour.first_label,
                    state.contour.last_label);
    const machine::Modal& drilling = state.of(Group::drill_cycle);
    if (drilling.possible && !drilling.is(Meaning::drill_cycle_off)) {
        std::string text = modal_text(drilling, Group::drill_cycle, settings);
        if (state.cycle_z.known()) text += fmt::format(", Z{}", checks::written(state.cycle_z.number));
        return text;
    }
    const machine::Modal& motion = state.of(Group::motion);
    for (Meaning single : {Meaning::single_turning, Meaning::single_threading, Meaning::single_facing})
        if (motion.is(single)) return modal_text(motion, Group::motion, settings);
    return said("none");
}

/// "G01" or "G00 or G01"; units and distance in words.
std::string mode_known(const machine::Modal& modal, Group group, const machine::Settings& settings) {
    if (group == Group::distance) return modal_text(modal, group, settings);
    std::string text;
    for (unsigned member = 0; member < 16; ++member) {
        if (!(modal.possible >> member & 1u)) continue;
        const Meaning meaning = codes::meaning_of(group, member);
        const std::string code = meaning == Meaning::millimetre ? "mm"
                                 : meaning == Meaning::inch     ? said("inch")
                                                                : codes::written_as(settings.system, meaning);
        text +=
            (text.empty() ? "" : said(" or ")) + (code.empty() ? std::string(codes::title(meaning)) : code);
    }
    return text;
}

constexpr std::pair<Group, TableText> told_once[] = {
    {Group::nose_compensation, "compensation"}, {Group::coolant, "coolant"}, {Group::datum, "datum"}};

/// Where nothing sets these, every move goes on without them.
bool is_told_once(Group group) {
    return std::any_of(std::begin(told_once), std::end(told_once),
                       [group](const auto& row) { return row.first == group; });
}

/// With "(assumed)" where it is and nothing in it says so.
std::string mode_marked(const machine::Modal& modal, Group group, const machine::Settings& settings) {
    const std::string text = mode_known(modal, group, settings);
    std::string_view mark = translated(" (assumed)");
    mark.remove_suffix(1);
    return text.find(mark) == std::string::npos ? text + assumed_mark(modal) : text;
}

bool is_x_assumed(const Document& document) {
    return is_diameter_assumed(document) || document.settings().assumed.x_radius;
}

/// Motion, compensation, coolant, datum, units: "G00 -> G01, now M08; G40, G54, mm, X is a diameter".
/// What is not known goes into `unknown` by its reason.
Row modes_row(const BlockAt& block, const machine::Settings& settings, bool is_x_assumed,
              std::vector<std::pair<std::string, machine::Why>>& unknown) {
    constexpr std::pair<Group, TableText> groups[] = {
        {Group::motion, "motion"},       {Group::nose_compensation, "compensation"},
        {Group::coolant, "coolant"},     {Group::datum, "datum"},
        {Group::units, "units"},         {Group::distance, "distance"},
        {Group::chuck, "chuck"},         {Group::quill, "quill"},
        {Group::catcher, "catcher"},     {Group::steady, "steady"},
        {Group::door, "door"},           {Group::second_chuck, "second chuck"},
        {Group::c_axis, "C axis"},       {Group::c_brake, "C brake"},
        {Group::live_tool, "live tool"}, {Group::spindles_together, "both spindles"}};
    std::string changed, set, kept;
    const auto append = [](std::string& list, const std::string& text) {
        list += (list.empty() ? "" : ", ") + text;
    };
    for (const auto& [group, name] : groups) {
        if (group == Group::distance && settings.system == codes::System::A) continue;
        const machine::Modal &before = block.before.of(group), &after = block.after.of(group);
        if (!after.possible) {
            // Few machines tell the one, and the other is told at the first block.
            if ((group >= Group::chuck || is_told_once(group)) && after.surely_unset()) continue;
            unknown.emplace_back(name, after.why);
            continue;
        }
        const std::string text = mode_marked(after, group, settings);
        if (before == after)
            append(kept, text);
        else if (before.possible && before.possible != after.possible)
            append(changed, mode_marked(before, group, settings) + " -> " + text);
        else
            append(set, text); // Nothing was known, or what was assumed is stated here
    }
    append(kept, std::string(settings.machine.x == shop::XReading::diameter ? said("X is a diameter")
                                                                            : said("X is a radius")) +
                     (is_x_assumed ? said(" (assumed)") : ""));
    if (!set.empty()) append(changed, said("now ") + set);
    Row row{said("modes"), kept, changed.empty() ? kept : changed + "; " + kept};
    return row;
}

} // namespace

std::optional<double> rpm_in(const State& state, const machine::Settings& settings) {
    const motion::Spindle spindle = motion::spindle_of(state, settings);
    if (spindle.turning == false) return std::nullopt;
    double x_radius_mm = 0;
    if (state.is(Meaning::surface_speed)) {
        if (!state.x_radius.known() || length_unit(state).empty()) return std::nullopt;
        x_radius_mm = to_mm(state.x_radius.number, state);
    }
    return motion::rpm_at(spindle, x_radius_mm);
}

std::string never_set_text(const Document& document) {
    std::string names;
    for (const auto& [group, name] : told_once) {
        const auto sets = [group = group](const checks::Span& span) {
            return span.facts && span.facts->seen[static_cast<std::size_t>(group)];
        };
        const auto& spans = document.results().spans();
        if (std::none_of(spans.begin(), spans.end(), sets))
            names += (names.empty() ? "" : ", ") + std::string(name);
    }
    return names.empty() ? names : said("Not set by any block of this file: {}.\n\n", names);
}

std::vector<StateCell> state_cells(const Document& document, std::size_t line) {
    const machine::Settings& settings = document.settings();
    StateCell cells[] = {{said("tool"), said("tool not known"), {}},
                         {said("spindle"), said("rpm not known"), {}},
                         {said("feed"), said("feed not known"), {}},
                         {said("units"), said("units not known"), {}}};
    auto& [tool, spindle, feed, units] = cells;
    const auto all = [&] { return std::vector<StateCell>(std::begin(cells), std::end(cells)); };
    const std::optional<BlockAt> block = block_at(document, document.place_of_line(line));
    if (!block) return all();
    const State& state = block->after;
    if (!block->reading.is_read || !state.reachable) {
        for (StateCell& cell : cells) cell.whole = said("The control does not come to this block.");
        return all();
    }
    const auto mark = [](bool assumed) { return assumed ? said(" (assumed)") : ""; };
    const bool units_assumed = state.of(Group::units).is_assumed();
    tool.whole =
        state.tool.known() ? tool_known(document, state) : std::string(machine::explain(state.tool.why));
    if (state.tool.known()) tool.brief = fmt::format("T{:02}", static_cast<int>(state.tool.number));

    const machine::Modal& direction = state.of(Group::spindle_direction);
    spindle.whole = direction.possible || state.of(Group::spindle_mode).possible
                        ? spindle_known(state, settings)
                        : std::string(machine::explain(direction.why));
    if (state.is(Meaning::spindle_stop) || direction.surely_unset())
        spindle.brief = said("spindle stopped");
    else if (const auto rpm = rpm_in(state, settings))
        spindle.brief =
            said("{:.0f} rpm{}", *rpm,
                 mark(is_spindle_assumed(state) || (state.is(Meaning::surface_speed) && units_assumed)));
    else if (state.is(Meaning::surface_speed) && state.speed.known())
        spindle.brief = said("{} {}, rpm not known", plain(state.speed.number), surface_unit(state));

    const std::string_view unit = length_unit(state);
    feed.whole = state.feed.known() ? feed_known(state, settings) +
                                          assumed_words(state, {Group::units, Group::feed_mode}, settings)
                                    : std::string(machine::explain(state.feed.why));
    if (state.feed.known()) {
        const std::string_view by = state.is(Meaning::feed_per_rev)      ? said("rev")
                                    : state.is(Meaning::feed_per_minute) ? "min"
                                                                         : std::string_view{};
        feed.brief = by.empty() ? said("F{}, per turn or minute not known", plain(state.feed.number, 5))
                                : fmt::format("{} {}/{}{}", plain(state.feed.number, 5),
                                              unit.empty() ? said("units") : unit, by,
                                              mark(units_assumed || state.of(Group::feed_mode).is_assumed()));
    }
    units.whole = unit.empty() ? std::string(machine::explain(state.of(Group::units).why))
                               : modal_text(state.of(Group::units), Group::units, settings) +
                                     assumed_words(state, {Group::units}, settings);
    if (!unit.empty()) units.brief = fmt::format("{}{}", unit, mark(units_assumed));
    units.whole += std::string(settings.machine.x == shop::XReading::diameter ? said("; X is a diameter")
                                                                              : said("; X is a radius")) +
                   mark(is_x_assumed(document));
    for (StateCell& cell : cells) cell.brief = readable(cell.brief), cell.whole = readable(cell.whole);
    return all();
}

namespace {

/// As much of a list as the room takes: a reason goes first, then whole parts from its end.
std::string whole_parts(std::string text, std::size_t room) {
    if (text.size() <= room) return text;
    const std::string_view reason = translated(" (assumed: ");
    if (const std::size_t at = text.find(reason); at != std::string::npos) {
        const std::size_t end = text.find(')', at);
        text.replace(at, end == std::string::npos ? end : end + 1 - at, said(" (assumed)"));
        if (text.size() <= room) return text;
    }
    constexpr std::string_view more = ", ...";
    const std::size_t comma = text.rfind(", ", room - more.size());
    return comma == std::string::npos ? clipped(text, room) : text.substr(0, comma).append(more);
}

} // namespace

std::string state_table(const Document& document, const BlockAt& block) {
    const machine::Settings& settings = document.settings();
    if (block.place.run == 0 && block.place.block == 0) return {};
    std::vector<std::pair<std::string, machine::Why>> unknown;
    Row rows[] = {
        feed_row(block, settings),
        position_row(block, settings),
        spindle_row(block, settings),
        tool_row(document, block),
        modes_row(block, settings, is_x_assumed(document), unknown),
        Row{said("cycle"), cycle_known(block.before, settings), cycle_known(block.after, settings)}};
    for (const Row& row : rows)
        if (!row.known_after) unknown.emplace_back(row.name, row.why);
    std::vector<std::pair<std::string, std::string>> told;
    for (const bool changed : {true, false})
        for (const Row& row : rows) {
            if (!row.known_after || row.changes() != changed) continue;
            if (row.name == translated("cycle") && row.before == translated("none") &&
                row.after == row.before)
                continue;
            const bool arrow = changed && row.name != translated("modes");
            std::string text = !arrow             ? row.after
                               : row.known_before ? row.before + " -> " + row.after
                                                  : said("now ") + row.after;
            told.emplace_back(row.name, std::move(text));
        }
    // One row a reason, so that the top of a program does not say the same eight times.
    std::vector<std::pair<machine::Why, std::string>> reasons;
    for (const auto& [name, why] : unknown) {
        const auto known = std::find_if(reasons.begin(), reasons.end(),
                                        [why = why](const auto& reason) { return reason.first == why; });
        if (known == reasons.end())
            reasons.emplace_back(why, name);
        else
            known->second += ", " + name;
    }
    const std::size_t room = most_rows - told.size();
    std::string rest;
    for (std::size_t i = 0; i < reasons.size(); ++i) {
        const auto& [why, names] = reasons[i];
        if (reasons.size() <= room || i + 1 < room)
            told.emplace_back(said("unknown"), fmt::format("{}: {}", machine::explain(why), names));
        else
            rest += (rest.empty() ? "" : ", ") + names;
    }
    if (!rest.empty()) told.emplace_back(said("unknown"), said("for several reasons: ") + rest);
    std::size_t width = 0;
    for (const auto& row : told) width = std::max(width, row.first.size());
    std::vector<std::pair<std::string, std::string>> shown;
    for (auto& [name, text] : told) {
        const std::size_t room = widest_row - width - 2;
        text = readable(text);
        const bool is_list = name != translated("tool");
        // A list goes on in the next row while there is one.
        while (is_list && text.size() > room && shown.size() + 2 <= most_rows) {
            const std::size_t comma = text.rfind(", ", room - 1);
            if (comma == std::string::npos) break;
            shown.emplace_back(name, text.substr(0, comma + 1));
            name.clear();
            text.erase(0, comma + 2);
        }
        if (shown.size() < most_rows)
            shown.emplace_back(name, is_list ? whole_parts(text, room) : clipped(text, room));
    }
    return fenced(aligned(shown)) + '\n';
}

} // namespace turnwright::features
