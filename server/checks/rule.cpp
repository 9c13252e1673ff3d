// Words many rules share.

#include "checks/rule.h"
#include "language/said.h"

#include "machine/whole_number.h"
#include "text/letters.h"

#include <algorithm>
#include <cctype>

namespace turnwright::checks {

using codes::Meaning;
using machine::MotionKind;

bool waits_above(const machine::Reader& reader, BlockPlace place) {
    constexpr int far_enough = 300;
    std::optional<BlockPlace> at = place;
    for (int i = 0; i < far_enough && (at = reader.neighbour(*at, false)); ++i) {
        const syntax::Item* only = nullptr;
        std::size_t words = 0;
        for (const syntax::Item& item : reader.items(*at))
            if (item.is_word() && item.letter != 'N' && ++words == 1) only = &item;
        if (words == 1 && only->letter == 'M' && only->kind == syntax::ItemKind::word && only->value >= 100)
            return true;
    }
    return false;
}

bool cuts_at_feed(const Step& step) {
    if (step.in_contour) return false;
    switch (step.motion) {
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::drill_cycle:
    case MotionKind::peck_cycle:
        return step.moves_x || step.moves_z;
    case MotionKind::single_cycle:
        return (step.moves_x || step.moves_z) && step.meaning != Meaning::single_threading;
    case MotionKind::contour_cycle:
        return step.names_contour;
    default:
        return false;
    }
}

bool cuts(const Step& step) {
    if (cuts_at_feed(step)) return true;
    if (step.in_contour || !(step.moves_x || step.moves_z)) return false;
    return step.motion == MotionKind::thread || step.motion == MotionKind::thread_cycle ||
           step.motion == MotionKind::single_cycle;
}

Report::Entry report_at_code(Report& report, const machine::Reader& reader, BlockPlace place,
                             Meaning meaning) {
    const syntax::Item* item = find_code(reader, place, meaning);
    return item ? report.at(place, *item) : report.at(place);
}

Report::Entry report_at_code(Report& report, const SequenceContext& context, const Step& step,
                             Meaning meaning) {
    return report_at_code(report, context.reader, step.place, meaning);
}

std::string code(const machine::Settings& settings, Meaning meaning) {
    return codes::written_as(settings.system, settings.machine.mirrored ? codes::mirrored(meaning) : meaning);
}
std::string code(const BlockView& view, Meaning meaning) {
    return code(view.settings, meaning);
}

std::string text_of(const BlockView& view, const syntax::Item& item) {
    return std::string(view.run.text_of(item));
}
std::string text_of(const machine::Reader& reader, BlockPlace place, const syntax::Item& item) {
    return std::string(reader.line(place).text_of(item));
}

std::string statement_of(const machine::Reader& reader, BlockPlace place) {
    const syntax::Run& run = reader.line(place);
    std::string out;
    bool in_note = false;
    for (const char c : run.text_of(run.blocks[place.block])) {
        if (c == ';') break;
        if (c == '(') in_note = true;
        if (!in_note && !std::isspace(static_cast<unsigned char>(c))) out += text::upper(c);
        if (c == ')') in_note = false;
    }
    if (out.starts_with('/')) out.erase(0, 1);
    if (out.starts_with('N')) out.erase(0, std::min(out.find_first_not_of("0123456789", 1), out.size()));
    return out;
}

std::string_view unit_of(const Step& step) {
    if (step.is(Meaning::millimetre)) return "mm";
    if (step.is(Meaning::inch)) return "in";
    return "";
}

std::string spoken_x(double x_radius, const machine::Settings& settings) {
    return "X" + written(x_as_written(x_radius, settings));
}

std::vector<NoteAt> notes_between(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    std::vector<NoteAt> notes;
    for (std::optional<BlockPlace> at = first; at && *at <= last; at = reader.neighbour(*at, true)) {
        const syntax::Run& run = reader.line(*at);
        if (!run.blocks[at->block].has_note) continue;
        for (const syntax::Item& item : run.items_of(run.blocks[at->block]))
            if (item.kind == syntax::ItemKind::note)
                notes.push_back({*at, syntax::note_text(run.text_of(item))});
    }
    return notes;
}

bool keeps_habit(shop::Rule rule, std::size_t with, std::size_t total) {
    if (rule == shop::Rule::yes) return true;
    if (rule == shop::Rule::no) return false;
    return total >= 3 && with >= 2 && with < total && with * 3 >= total * 2;
}

bool keeps_style(shop::Rule rule, std::size_t with, std::size_t total) {
    return rule == shop::Rule::unset ? with >= 4 && total == with + 1 : rule == shop::Rule::yes;
}

std::string name_of(const machine::Sequence& sequence) {
    if (sequence.number >= 0) return fmt::format("N{}", sequence.number);
    if (sequence.tool >= 0) return said("the sequence of T{:02}", sequence.tool);
    return said("this sequence");
}

const shop::Tool* tool_in(const machine::State& state, const shop::Shop& shop) {
    return state.tool.known() ? shop.tool(machine::whole_number(state.tool.number)) : nullptr;
}

std::optional<double> constant_rpm(const machine::State& state) {
    if (!state.is(Meaning::constant_rpm) || !state.speed.known()) return std::nullopt;
    return state.speed.number;
}

bool is_tool_call(const BlockView& view) {
    return view.reading.has('T') && !view.reading.code(Meaning::macro_call);
}

bool cuts_in(const BlockView& view) {
    const machine::Reading& reading = view.reading;
    if (reading.in_contour) return false;
    switch (reading.motion) {
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return reading.moves_x || reading.moves_z;
    case MotionKind::contour_cycle:
        return reading.has('P') && reading.has('Q');
    default:
        return false;
    }
}

std::optional<machine::ContourPlace> contour_named_in(const BlockView& view, const machine::Reader& reader) {
    const machine::Value p = view.reading.value('P'), q = view.reading.value('Q');
    if (!p.known() || !q.known()) return std::nullopt;
    return reader.contour({view.run_index, view.block}, machine::whole_number(p.number),
                          machine::whole_number(q.number),
                          view.reading.motion_meaning == Meaning::finish_cycle);
}

bool threads_in(const BlockView& view) {
    const machine::Reading& reading = view.reading;
    if (reading.in_contour || !(reading.moves_x || reading.moves_z)) return false;
    return reading.motion == MotionKind::thread || reading.motion == MotionKind::thread_cycle ||
           (reading.motion == MotionKind::single_cycle &&
            reading.motion_meaning == Meaning::single_threading);
}

std::optional<double> to_mm(double length, const machine::Modal& units) {
    if (units.is(Meaning::millimetre)) return length;
    if (units.is(Meaning::inch)) return length * motion::mm_per_inch;
    return std::nullopt;
}
std::optional<double> to_mm(double length, const machine::State& state) {
    return to_mm(length, state.of(codes::Group::units));
}
std::optional<double> at_least_mm(double length, const machine::State& state) {
    if (state.of(codes::Group::units).surely_unset()) return length;
    return to_mm(length, state);
}

} // namespace turnwright::checks
