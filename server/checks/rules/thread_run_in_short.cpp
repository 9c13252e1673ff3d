// The run-in in front of a thread is too short for its speed and lead.
//
// The rule of 0.002: common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::thread_run_in_short {

namespace {

void block(const BlockView& view, Report& report) {
    if (!threads_in(view) || !view.before.z.known() || !view.reading.target_z.known()) return;
    double start = view.before.z.number, end = view.reading.target_z.number;
    auto rpm = constant_rpm(view.after);
    const machine::Word* lead = view.reading.word('F');
    if (!rpm || !lead || !lead->value.known() || lead->quantity == Quantity::threads_per_inch) return;
    if (!(start > 0 && end < 0)) return; // From in front of the face into the part
    // Lead x rpm / 1800 x -(1 + ln 0.015): the lag of the axis down to 1.5 % of lead error.
    double needed = lead->value.number * *rpm / 1800 * 3.2;
    if (start >= needed) return;
    // Only the first pass of a thread is worth a word.
    if (view.before.is(view.reading.motion_meaning)) return;
    auto mm = to_mm(needed, view.after);
    const machine::Word* word = view.reading.code(view.reading.motion_meaning);
    auto entry = word ? report.at(view, *word->item) : report.at(view);
    entry.message(
        said("The thread starts {} in front of the face; at {:.0f} rpm and lead {} it needs about {}{}: "
             "its first turns come out short.",
             spoken(start), *rpm, spoken(lead->value.number), spoken(std::round(needed * 100) / 100),
             mm ? std::string(" ") + std::string(length_unit(view.after)) : std::string()));
}

} // namespace

extern const Check check{
    .id = "thread_run_in_short",
    .family = Family::threads,
    .severity = Severity::information,
    .title = "Thread starts too close to the face",
    .documentation =
        "The axis needs a way to come up to speed before the thread begins; on it the lead is wrong. "
        "A common rule asks for about 0.002 of lead times rpm. This "
        "thread starts nearer to the face than that, so its first turns come out short: a nut binds "
        "there. Start further out, or lower the speed.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S2000 M03
G00 X28. Z2.
G92 X23.4 Z-20. F1.5
;^^ information: thread_run_in_short
X22.9
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S1500 M03
G00 X1.2 Z.05
G33 Z-1. F.0625
;^^ information: thread_run_in_short
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G92 X23.4 Z-20. F1.5
X22.9
G00 Z-22.
G92 X23.4 Z-40. F1.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_run_in_short
