// A peck that is deeper than the whole hole: a digit too many, and the drill goes down in one go.
//
// The bounds: common practice, no source.
#include "checks/pecks.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::peck_deeper_than_hole {

namespace {

/// Who wants no pecks writes the depth of the hole, or a little more.
constexpr double least_times = 1.25;
/// Nor does anybody peck most of a hole at once and leave a rest; but in a hole that is long for the peck.
constexpr double least_share = 0.6, most_share = 0.98, least_first_mm = 15;
/// In shorter holes nobody misses them.
constexpr double least_hole_mm = 10;

/// "99999": as deep as it goes, on purpose.
bool is_all_nines(double number, double step) {
    const double count = std::round(number / step);
    const std::string text = written(count);
    return std::all_of(text.begin(), text.end(), [](char c) { return c == '9' || c == '.'; });
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, std::optional<double> of_file,
             Report& report) {
    const ToolOfSpan* in = nullptr;
    const Act* odd = nullptr;
    Peck found;
    double per_unit = 1;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const auto mm = mm_of(act, of_file);
            if (!mm || !act.drills() || act.taps()) continue;
            const auto peck = peck_of(*tool.work, act, *mm, false);
            if (!peck) continue;
            const double share = peck->mm / peck->whole_mm;
            const bool leaves_rest = share > least_share && share < most_share && peck->mm > least_first_mm;
            if (share < least_times && !leaves_rest) continue;
            if (odd) return; // So this shop writes a hole in one go
            in = &tool;
            odd = &act;
            found = *peck;
            per_unit = *mm;
        }
    if (!odd || found.whole_mm < least_hole_mm || found.mm / 10 > found.whole_mm / 1.5) return;
    const shop::Machine& machine = context.settings().machine;
    const double step = per_unit > 1 ? machine.least_increment_inch : machine.least_increment_mm;
    if (is_all_nines(found.mm / per_unit, step)) return;
    const auto in_unit = [&](double mm) { return spoken(std::round(mm / per_unit * 1e4) / 1e4); };
    if (found.mm < found.whole_mm) {
        report.at_letter(in->place(*odd), found.letter)
            .message(said("The first peck here goes down {} {} of {}, and the second takes the rest: the "
                          "chips jam in the "
                          "first. {} is meant, perhaps: is a digit of {} too many?",
                          in_unit(found.mm), per_unit > 1 ? "in" : "mm", in_unit(found.whole_mm),
                          in_unit(found.mm / 10), found.letter));
        return;
    }
    report.at_letter(in->place(*odd), found.letter)
        .message(
            said("One peck here is {} {}, and the whole way only {}: the drill goes down in one go and its "
                 "chips jam. {} is meant, perhaps: is a digit of {} too many?",
                 in_unit(found.mm), per_unit > 1 ? "in" : "mm", in_unit(found.whole_mm),
                 in_unit(found.mm / 10), found.letter));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "peck_deeper_than_hole",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Peck deeper than the hole",
    .documentation =
        "One peck of a drilling cycle is a quarter deeper than the whole way down, or more, and a tenth of "
        "it "
        "would make pecks: a digit too many, or the point a place off. The drill goes to the bottom in one "
        "go, "
        "the chips jam and it breaks. Holes less than 10 mm deep, a peck as deep as its hole (no pecks are "
        "wanted), one of nines alone, and programs that write it so twice are left alone. A first peck of "
        "more than "
        "half of a deep hole, which leaves a short rest, is told, too.",
    .file = file,
    .examples =
        {
            {System::C, R"(
G71 G90 G95
T0303
G97 S280 M03
G00 X0 Z5.
G76 R1.
G76 Z-53. Q80000 F0.25
;         ^^^^^^ warning: peck_deeper_than_hole
G00 Z100.
M30
)"},
            {System::A, R"(
G20 G99
T0404
G97 S1100 M03
G00 X0. Z.2
G74 R.05
G74 Z-1.52 Q25000 F.006
;          ^^^^^^ warning: peck_deeper_than_hole
G00 Z.3
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S1100 M03
G00 X0 Z6.
G83 Z-40. R3. Q60000 F.15
;             ^^^^^^ warning: peck_deeper_than_hole
G80
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S1100 M03
G00 X0 Z5.
G83 Z-60. R3. Q100. F.15
;             ^^^^^ warning: peck_deeper_than_hole
G80
M30
)"},
            // As deep as the hole and its clearance, in nines, and in a short one.
            {System::A, R"(
G21 G99
T0404
G97 S1100 M03
G00 X0. Z5.
G74 R.5
G74 Z-20. Q25000 F.15
G00 Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S1100 M03
G00 X0 Z6.
G83 Z-40. R3. Q99999 F.15
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S1100 M03
G00 X0 Z6.
G83 Z-6. R2. Q10000 F.1
G80
M30
)"},
            // A face groove: the whole of its depth at each step.
            {System::A, R"(
G21 G99
T0707
G97 S400 M03
G00 X60. Z2.
G74 R.3
G74 X80. Z-12. P2500 Q20000 F.06
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Most of the hole at once; two that are even; down in one go.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X0 Z3.
G83 Z-40. Q40000 F0.12
;         ^^^^^^ warning: peck_deeper_than_hole
G80
G00 Z5.
G28 U0 W0
M05
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S900 M03
G00 X0 Z.1
G83 Z-2.55 Q12500 F.008
G80
M30
)"},
        },
};

} // namespace turnwright::checks::rules::peck_deeper_than_hole
