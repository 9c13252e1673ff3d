// The state that reaches a block.
#include "features/assumed.h"
#include "features/hover_parts.h"
#include "features/speech.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::State;

namespace {

using Row = std::pair<std::string, std::string>;

std::string tool_row(const Document& document, const State& state) {
    if (!state.tool.known()) return unknown_text(state.tool.why);
    const int station = static_cast<int>(state.tool.number);
    std::string text = fmt::format("T{:02}", station);
    if (!state.offset.known())
        text += ", offset not known";
    else if (state.offset.number == 0)
        text += ", offset cancelled";
    else
        text += fmt::format(", offset {}", plain(state.offset.number));
    const std::string note = tool_note(document, station);
    return note.empty() ? text : text + ": " + note;
}

std::string direction_text(const machine::Modal& direction) {
    if (direction.is(Meaning::spindle_forward)) return "forward (M03)";
    if (direction.is(Meaning::spindle_reverse)) return "reverse (M04)";
    if (direction.is(Meaning::spindle_stop)) return "stopped (M05)";
    return direction.possible ? "turning or not, by the way here" : unknown_text(direction.why);
}

std::string spindle_row(const State& state, const machine::Settings& settings) {
    std::string text = direction_text(state.of(Group::spindle_direction));
    if (state.is(Meaning::surface_speed)) {
        text += ", constant surface speed (G96)";
        if (state.speed.known())
            text += fmt::format(" {} {}", plain(state.speed.number), surface_unit(state));
    } else if (state.is(Meaning::constant_rpm)) {
        text += ", constant rpm (G97)" + assumed_words(state, {Group::spindle_mode}, settings);
    }
    while (text.back() == ' ') text.pop_back();
    return text;
}

std::string limit_text(const State& state) {
    if (state.speed_limit.known()) return fmt::format("limit {}", plain(state.speed_limit.number));
    if (state.speed_limit.surely_unset()) return "no limit set";
    return "limit not known";
}

std::string rpm_row(const State& state, const machine::Settings& settings) {
    if (state.is(Meaning::spindle_stop)) return "stands still";
    const std::optional<double> rpm = rpm_in(state, settings);
    if (state.is(Meaning::surface_speed)) {
        std::string at;
        if (state.x_radius.known())
            at = fmt::format(" at X{}",
                             checks::written(checks::x_as_written(state.x_radius.number, settings)));
        if (rpm) return fmt::format("{:.0f}{}, {}", *rpm, at, limit_text(state));
        if (!state.speed.known())
            return fmt::format("{}, {}", unknown_text(state.speed.why), limit_text(state));
        if (!state.x_radius.known())
            return fmt::format("follows X; X {}, {}", unknown_text(state.x_radius.why), limit_text(state));
        if (state.x_radius.number == 0) return fmt::format("as fast as it can at X0, {}", limit_text(state));
        return fmt::format("not known here: the unit of length is not stated, {}", limit_text(state));
    }
    if (rpm) return fmt::format("{:.0f}", *rpm);
    return unknown_text(state.speed.known() ? state.of(Group::spindle_mode).why : state.speed.why);
}

std::string feed_row(const State& state, const machine::Settings& settings) {
    if (!state.feed.known()) return unknown_text(state.feed.why);
    const std::string number = plain(state.feed.number, 5);
    const std::string_view unit = length_unit(state);
    const std::string_view shown = unit.empty() ? "units" : unit;
    if (state.is(Meaning::feed_per_minute)) {
        std::string text = fmt::format("{} {}/min", number, shown);
        if (const auto rpm = rpm_in(state, settings); rpm && *rpm > 0)
            text += fmt::format(" = {} {}/rev", plain(state.feed.number / *rpm), shown);
        return text;
    }
    if (state.is(Meaning::feed_per_rev)) {
        std::string text = fmt::format("{} {}/rev", number, shown);
        if (const auto rpm = rpm_in(state, settings))
            text += fmt::format(" = {} {}/min", plain(state.feed.number * *rpm, unit == "in" ? 2 : 0), shown);
        return text;
    }
    const machine::Modal& mode = state.of(Group::feed_mode);
    if (mode.known()) return fmt::format("{} ({})", number, modal_text(mode, Group::feed_mode, settings));
    return fmt::format("{}; per turn or per minute {}", number,
                       mode.possible ? "by the way here" : unknown_text(mode.why));
}

std::string assumed_feed(const State& state, const machine::Settings& settings) {
    return state.feed.known() ? assumed_words(state, {Group::units, Group::feed_mode}, settings) : "";
}

/// " -> 0.14": what the block itself makes of the feed.
std::string new_value(const BlockAt& block, const Document& document) {
    const machine::Value &before = block.before.feed, &after = block.after.feed;
    const machine::Word* word = block.reading.word('F');
    if (!word || word->quantity != codes::Quantity::feed || !after.known() || before == after) return {};
    return " -> " + feed_row(block.after, document.settings());
}

std::string units_row(const State& state, const machine::Settings& settings) {
    std::string text;
    if (state.is(Meaning::millimetre))
        text = "mm";
    else if (state.is(Meaning::inch))
        text = "inch";
    else
        text = modal_text(state.of(Group::units), Group::units, settings);
    text += assumed_words(state, {Group::units}, settings);
    return text + (settings.machine.x == shop::XReading::diameter ? ", X is a diameter" : ", X is a radius");
}

std::string distance_row(const State& state, const machine::Settings& settings) {
    if (settings.system == codes::System::A) return "X Z absolute, U W from where the tool stands";
    return modal_text(state.of(Group::distance), Group::distance, settings);
}

std::string cycle_row(const State& state, const machine::Settings& settings) {
    if (state.contour.stage == machine::Contour::Stage::inside)
        return fmt::format("contour N{} to N{} of a roughing cycle", state.contour.first_label,
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
    if (!drilling.known() && !drilling.surely_unset()) return unknown_text(drilling.why);
    return "none";
}

std::string position_row(const State& state, const machine::Settings& settings) {
    if (state.x_radius.known() || state.z.known()) {
        std::string text = point_text(state.x_radius, state.z, settings);
        if (!state.x_radius.known()) text += fmt::format("; X {}", unknown_text(state.x_radius.why));
        if (!state.z.known()) text += fmt::format("; Z {}", unknown_text(state.z.why));
        return text;
    }
    return unknown_text(state.x_radius.why);
}

std::string simple_row(const State& state, Group group, const machine::Settings& settings) {
    return modal_text(state.of(group), group, settings);
}

/// At the top of a program most rows would say the same: they are named together.
void gather_unset(std::vector<Row>& rows) {
    const std::string unset = unknown_text(machine::Why::never_set);
    const auto is_unset = [&](const Row& row) { return row.second == unset; };
    if (std::count_if(rows.begin(), rows.end(), is_unset) < 3) return;
    std::string names;
    for (const Row& row : rows)
        if (is_unset(row)) names += (names.empty() ? "" : ", ") + row.first;
    std::erase_if(rows, is_unset);
    rows.emplace_back("not known", names + ": " + std::string(machine::explain(machine::Why::never_set)));
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

std::string state_table(const Document& document, const BlockAt& block) {
    const State& state = block.before;
    const machine::Settings& settings = document.settings();
    if (block.place.run == 0 && block.place.block == 0) return {};
    std::vector<Row> rows = {
        {"tool", tool_row(document, state)},
        {"spindle", spindle_row(state, settings)},
        {"rpm", rpm_row(state, settings)},
        {"feed", feed_row(state, settings) + new_value(block, document) +
                     assumed_feed(state.feed.known() ? state : block.after, settings)},
        {"motion", simple_row(state, Group::motion, settings)},
        {"position", position_row(state, settings)},
        {"units", units_row(state, settings)},
        {"distance", distance_row(state, settings)},
        {"datum", simple_row(state, Group::datum, settings)},
        {"comp", simple_row(state, Group::nose_compensation, settings)},
        {"coolant", simple_row(state, Group::coolant, settings)},
        {"cycle", cycle_row(state, settings)},
    };
    gather_unset(rows);
    return "Reaching this block:\n\n" + fenced(aligned(rows));
}

} // namespace turnwright::features
