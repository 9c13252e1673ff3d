#include "report/restart_head.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using machine::MotionKind;
using machine::Part;
using machine::State;
using motion::Point;

namespace {

/// Nearer to the stock than this no rapid ends.
constexpr double near_mm = 1, lead_in_mm = 2;

double distance_to(const stock::Region& left, Point at) {
    return stock::distance_mm(left, {at.z_mm, at.z_mm, at.x_radius_mm, at.x_radius_mm});
}

/// What is there of the tool for certain, from its programmed point; of an unknown one a little around that.
std::vector<Point> body_of(const shop::Tool* tool) {
    const stock::ToolShape shape = stock::shape_of(tool);
    if (!shape.bare_tip && shape.surely.size() > 2) return shape.surely;
    constexpr double half = stock::touch_mm;
    return {{-half, -half}, {-half, half}, {half, half}, {half, -half}};
}

/// Whether the tool is in the stock somewhere between two points, and does not merely touch it.
bool goes_inside(const stock::Region& left, std::span<const Point> body, Point from, Point to) {
    motion::Segment way;
    way.from = from;
    way.to = to;
    return stock::is_wider(stock::intersect(left, stock::sweep(body, way)), stock::touch_mm);
}

/// Points around the start, the one furthest from the stock first.
std::vector<Point> points_around(Point start, const stock::Region& left, std::span<const Point> body) {
    std::vector<std::pair<double, Point>> found;
    for (const double x : {1, 0, -1})
        for (const double z : {1, 0, -1}) {
            const Point at{start.x_radius_mm + x * lead_in_mm, start.z_mm + z * lead_in_mm};
            if ((x != 0 || z != 0) && at.x_radius_mm * start.x_radius_mm >= 0)
                found.emplace_back(distance_to(left, at), at);
        }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first + 1e-6; });
    std::vector<Point> points;
    for (const auto& [distance, at] : found)
        if (distance > 0 && !goes_inside(left, body, at, start)) points.push_back(at);
    return points;
}

class HeadWriter {
public:
    HeadWriter(const features::Document& document, const State& state)
        : document_(document), settings_(document.settings()), state_(state) {}

    std::string code(Meaning meaning) const { return codes::written_as(settings_.system, meaning); }
    std::string code_of(Group group) const {
        const machine::Modal& held = state_.of(group);
        return held.known()
                   ? code(codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(held.possible))))
                   : std::string();
    }
    std::string x(double radius_mm) const { return "X" + length(checks::x_as_written(radius_mm, settings_)); }
    std::string z(double mm) const { return "Z" + length(mm); }
    std::string feed() const { return "F" + checks::written(state_.feed.number); }

    void line(std::string_view text) {
        if (!text.empty()) lines.emplace_back(text);
    }
    std::vector<std::string> lines;

private:
    std::string length(double mm) const {
        const bool inch = features::length_unit(state_) == "in";
        const double scale = inch ? 1e4 : 1e3;
        return checks::written(std::round(features::from_mm(mm, state_) * scale) / scale + 0.0);
    }

    const features::Document& document_;
    const machine::Settings& settings_;
    const State& state_;
};

void add_word(std::string& text, const std::string& word) {
    if (!word.empty()) text += (text.empty() ? "" : " ") + word;
}

/// As the program calls it, else by its station and offset.
std::string tool_word(const features::Document& document, machine::BlockPlace place, const State& state) {
    if (const auto called = document.origin(place, static_cast<int>(Part::offset))) {
        std::string word = features::tool_word_of(document, *called);
        const bool is_plain = word.size() > 1 && word.find_first_not_of("0123456789", 1) == word.npos;
        if (is_plain) return word;
    }
    return fmt::format("T{:02.0f}{:02.0f}", state.tool.number, state.offset.number);
}

/// Modes that a safety line states where the program has them; a path mode and checks of the control only
/// where they are stated.
constexpr Group first_modes[] = {Group::plane,     Group::units,        Group::feed_mode,
                                 Group::path_mode, Group::travel_check, Group::speed_check};

bool holds_word(const machine::Reading& reading, std::string_view letters) {
    return std::any_of(letters.begin(), letters.end(), [&](char letter) { return reading.has(letter); });
}

} // namespace

std::vector<Approach> approaches(Point start, const stock::Region& left, const stock::Setup& setup,
                                 const shop::Tool* tool, double clear_mm) {
    const stock::Box box = left.box();
    const double around =
        std::max({box.x_max, setup.tail_radius_mm.value_or(0), setup.jaw_radius_mm.value_or(0)}) + clear_mm;
    const double front = box.z_max + clear_mm;
    std::vector<Approach> found;
    const auto add = [&](Point end, std::optional<Point> feed_to) {
        const Approach over{{{around, end.z_mm}, end}, feed_to};
        const Approach in_front{{{end.x_radius_mm, front}, end}, feed_to};
        // Behind a tailstock there is no way in front of the stock.
        const bool from_front = end.z_mm >= box.z_max && !setup.tail_z_mm;
        if (from_front && end.z_mm < front) found.push_back(in_front);
        if (end.x_radius_mm < around) found.push_back(over);
        if (!from_front && !setup.tail_z_mm) found.push_back(in_front);
        if (end.x_radius_mm >= around || end.z_mm >= front) found.push_back({{end}, feed_to});
    };
    if (distance_to(left, start) >= near_mm) add(start, std::nullopt);
    for (const Point at : points_around(start, left, body_of(tool))) add(at, start);
    return found;
}

std::string why_no_head(const features::Document& document, const State& state) {
    const auto unknown = [](std::string_view what, machine::Why why) {
        return said("{} is not known there: {}.", what, machine::explain(why));
    };
    // A head of the turning plane would turn the main spindle, and leave C and Y where they are.
    if (const auto which = state.spoken_to(); !which)
        return said("Which spindle S speaks to is not known there.");
    else if (*which != machine::Spindle::main)
        return said("S speaks to the {} there: enter at the sequence, which says so and starts it.",
                    machine::spindle_title(*which));
    if (state.is_axis())
        return said(
            "The spindle is engaged as C axis there: enter at the sequence, which engages it and sends "
            "C to its place.");
    if (state.y.known() && state.y.number != 0)
        return said("The tool stands off the centre in Y there: enter at the sequence.");
    if (!state.tool.known()) return unknown(said("The tool"), state.tool.why);
    if (!state.offset.known()) return unknown(said("The offset"), state.offset.why);
    if (features::length_unit(state).empty()) return said("The unit of length is not known there.");
    for (const Group group : {Group::feed_mode, Group::spindle_mode, Group::spindle_direction})
        if (!state.of(group).known())
            return unknown(said("The {}", machine::part_title(static_cast<int>(group))), state.of(group).why);
    if (document.settings().system != codes::System::A && !state.of(Group::distance).known())
        return said("Whether lengths are absolute or incremental is not known there.");
    if (!state.speed.known()) return unknown(said("The speed"), state.speed.why);
    if (state.is(Meaning::surface_speed) && !state.speed_limit.known())
        return unknown(said("The speed limit, under constant surface speed,"), state.speed_limit.why);
    const auto surely_off = [&](Group group, Meaning off) {
        return state.of(group).is(off) || state.of(group).surely_unset();
    };
    if (!surely_off(Group::nose_compensation, Meaning::compensation_off))
        return said("Compensation is on there, and where it came on is not known.");
    if (!surely_off(Group::modal_call, Meaning::modal_call_off))
        return said("A macro runs after each move there.");
    if (!surely_off(Group::polar, Meaning::polar_off)) return said("X and C are joined there.");
    if (!surely_off(Group::drill_cycle, Meaning::drill_cycle_off))
        return said("A drilling cycle is on there: each place runs it.");
    return {};
}

std::string as_lines(std::span<const std::string> blocks, std::string_view margin) {
    std::string text;
    for (const std::string& block : blocks) (text += margin) += block + '\n';
    return text;
}

std::vector<std::string> head_blocks(const features::Document& document, machine::BlockPlace place,
                                     const State& state, const Approach& approach,
                                     std::span<const std::string> variables) {
    HeadWriter head(document, state);
    const codes::System system = document.settings().system;
    std::string safety = head.code_of(Group::datum);
    for (const Group group : first_modes) add_word(safety, head.code_of(group));
    add_word(safety, head.code(Meaning::drill_cycle_off));
    add_word(safety, head.code(Meaning::compensation_off));
    if (system != codes::System::A) {
        add_word(safety, head.code(Meaning::absolute));
        add_word(safety, head.code_of(Group::return_level));
    }
    head.line(safety);
    for (const std::string& variable : variables) head.line(variable);
    head.line(tool_word(document, place, state));
    if (state.speed_limit.known())
        head.line(fmt::format("{} S{}", head.code(Meaning::speed_limit),
                              features::plain(state.speed_limit.number)));
    // Fixed rpm until the tool is there: under constant surface speed it would run up on the way in.
    const bool by_surface = state.is(Meaning::surface_speed);
    double rpm = state.speed.number;
    if (by_surface) {
        const motion::Spindle spindle = motion::spindle_of(state, document.settings());
        const double radius = approach.rapids.empty() ? 0 : approach.rapids.back().x_radius_mm;
        const auto turns = motion::rpm_at(spindle, radius);
        rpm = std::max(1.0, std::floor(turns.value_or(state.speed_limit.number)));
    }
    std::string start = fmt::format("{} S{}", head.code(Meaning::constant_rpm), features::plain(rpm));
    add_word(start, head.code_of(Group::spindle_direction));
    head.line(start);
    const std::string coolant = head.code_of(Group::coolant);
    for (std::size_t i = 0; i < approach.rapids.size(); ++i) {
        const Point at = approach.rapids[i];
        std::string rapid = head.code(Meaning::rapid);
        if (i == 0 || at.x_radius_mm != approach.rapids[i - 1].x_radius_mm)
            rapid += ' ' + head.x(at.x_radius_mm);
        if (i == 0 || at.z_mm != approach.rapids[i - 1].z_mm) rapid += ' ' + head.z(at.z_mm);
        head.line(rapid);
        if (i == 0) head.line(coolant);
    }
    if (approach.rapids.empty()) head.line(coolant);
    if (by_surface)
        head.line(
            fmt::format("{} S{}", head.code(Meaning::surface_speed), features::plain(state.speed.number)));
    if (approach.feed_to) {
        std::string lead_in;
        add_word(lead_in, head.code(Meaning::feed_line));
        add_word(lead_in, head.x(approach.feed_to->x_radius_mm));
        add_word(lead_in, head.z(approach.feed_to->z_mm));
        add_word(lead_in, head.feed());
        head.line(lead_in);
    } else if (state.feed.known()) {
        head.line(head.feed());
    }
    if (state.is(Meaning::incremental)) head.line(head.code(Meaning::incremental));
    return std::move(head.lines);
}

CompleteBlock complete_block(const features::Document& document, machine::BlockPlace place) {
    CompleteBlock block;
    block.text = features::readable(document.buffer().line(document.line_of(place)));
    const std::optional<features::BlockAt> at = features::block_at(document, place);
    if (!at) return block;
    const machine::Reading& reading = at->reading;
    const Meaning meaning = reading.motion_meaning;
    if (reading.motion == MotionKind::none || codes::group_of(meaning) != Group::motion) return block;
    std::string code;
    if (!reading.code(meaning)) code = codes::written_as(document.settings().system, meaning);
    std::string words;
    if (reading.motion == MotionKind::single_cycle && !code.empty()) {
        if (at->before.is(Meaning::incremental)) {
            block.refused = said("The block goes on with a cycle in distances.");
            return block;
        }
        const auto add = [&](std::string_view letters, const machine::Value& held, double factor) {
            if (held.known() && !holds_word(reading, letters))
                add_word(words, letters[0] + checks::written(held.number * factor));
        };
        const double as_written = checks::x_as_written(1, document.settings());
        add("XU", at->before.cycle_x_radius, as_written);
        add("ZW", at->before.cycle_z, 1);
        if (at->before.cycle_r.number != 0) add("R", at->before.cycle_r, 1);
    }
    block.added = code;
    add_word(block.added, words);
    if (code.empty()) return block;
    // The code in front of the first word behind block delete and N, the others behind the last.
    const syntax::Run& run = document.run(place.run);
    const std::size_t line_begin = run.blocks[place.block].begin;
    std::optional<std::size_t> begin;
    std::size_t end = 0;
    for (const syntax::Item& item : document.items(place)) {
        if (!item.is_word() || item.letter == 'N') continue;
        if (!begin) begin = item.begin - line_begin;
        end = item.end() - line_begin;
    }
    if (!words.empty()) block.text.insert(end, ' ' + words);
    block.text.insert(begin.value_or(0), code + ' ');
    return block;
}

} // namespace turnwright::report
