// A machine-datum move, or one by distance that goes on from it, to a place outside the travel.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::travel_exceeded {

namespace {

/// Of moves by distance the end is looked at; their start was, by the block before.
void block(const BlockView& view, Report& report) {
    const bool in_machine_datum = view.reading.motion == MotionKind::machine_rapid;
    if (view.reading.motion == MotionKind::none) return;
    const shop::Machine& machine = view.settings.machine;
    auto look = [&](char axis, char by_distance, const machine::Value& place, std::optional<double> least,
                    std::optional<double> most) {
        const machine::Word* word = view.reading.word(in_machine_datum ? axis : by_distance);
        if (!word && !in_machine_datum) word = view.reading.word(axis);
        if (!word || !place.known()) return;
        auto mm = to_mm(place.number, view.after);
        if (!mm) return;
        bool under = least && *mm < *least - 1e-6, over = most && *mm > *most + 1e-6;
        if (!under && !over) return;
        const double beyond = under ? *least - *mm : *mm - *most;
        Report::Entry entry = report.at(view, *word->item);
        if (in_machine_datum)
            entry.message(said("{} lies {} mm beyond the travel of the {} axis: the control alarms.",
                               text_of(view, *word->item), spoken(beyond), axis));
        else
            entry.message(
                said("{} goes on from a place in the machine datum, to {}{} mm there: {} mm beyond the "
                     "travel of the {} axis, and the control alarms.",
                     text_of(view, *word->item), axis, spoken(*mm), spoken(beyond), axis));
    };
    look('X', 'U', view.after.machine_x_radius, machine.travel_x_min_mm, machine.travel_x_max_mm);
    look('Z', 'W', view.after.machine_z, machine.travel_z_min_mm, machine.travel_z_max_mm);
}

} // namespace

extern const Check check{
    .id = "travel_exceeded",
    .family = Family::limits,
    .severity = Severity::error,
    .title = "Move beyond the travel of the machine",
    .documentation =
        "The move in the machine datum (G53), or one by distance (U, W, G91) that goes on from such a place, "
        "goes beyond the travel the shop file gives. The control alarms before the move, or the axis runs "
        "onto "
        "its limit switch. Behind another tool call or offset, and under G41 and G42, the place is not known "
        "any more.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21
T0101
G00 G53 X0. Z10.
;           ^^^^ error: travel_exceeded
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\n"},
            {System::B, R"(
G20 G90
T0101
G00 G53 X-20. Z0
;       ^^^^^ error: travel_exceeded
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_x_max = 0\ntravel_x_min = -210\n"},
            {System::A, R"(
G21
T0101
G00 G53 X-20. Z-100.
G00 U-60.
G00 U-400. W150.
;          ^^^^^ error: travel_exceeded
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\ntravel_x_min "
             "= -250\n"},
            {System::A, R"(
G21
G00 G53 X-20. Z-100.
T0202
G00 W150.
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\n"},
            {System::B, R"(
G21 G90
T0101
G00 G53 X-20. Z-100.
G91 G00 Z90.
G90 G00 Z150.
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\n"},
            {System::C, R"(
G71 G90
T0101
G00 G53 X0 Z-480.
G00 X50. Z10.
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\ntravel_x_min "
             "= -210\n"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::travel_exceeded
