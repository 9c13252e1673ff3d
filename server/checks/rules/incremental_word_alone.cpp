// One U or W in a program that gives all its other places by X and Z.
//
// The limits: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::incremental_word_alone {

namespace {

constexpr std::size_t least_absolute = 12;
/// Short ways back are written by U and W in programs of every habit.
constexpr double short_way_mm = 10;
/// As long as a place that stands elsewhere in the program, too.
constexpr double noticeable_mm = 0.6;

struct Alone {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    std::size_t by_letter = 0, absolute = 0;
};

/// Blocks whose X, Z, U and W are places: plain moves, contours, and cycles that begin at them or go to them.
bool gives_places(const Act& act) {
    if (!act.moves() || act.incremental || act.dwells) return false;
    switch (act.motion) {
    case MotionKind::rapid:
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::thread_cycle:
    case MotionKind::peck_cycle:
        return true;
    default:
        return false;
    }
}

Alone alone_in(std::span<const ToolOfSpan> tools) {
    Alone found;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (!gives_places(act)) continue;
            found.absolute += (act.moves_x && !act.by_u ? 1 : 0) + (act.moves_z && !act.by_w ? 1 : 0);
            if (!act.by_u && !act.by_w) continue;
            ++found.by_letter;
            found.tool = &tool;
            found.act = &act;
        }
    return found;
}

/// The same number leads to a place elsewhere in the program.
bool stands_elsewhere(std::span<const ToolOfSpan> tools, const Act& act, float way) {
    constexpr float same = 1e-4F;
    for (const ToolOfSpan& tool : tools)
        for (const Act& other : tool.work->acts) {
            if (&other == &act || !gives_places(other)) continue;
            if (act.by_u ? other.moves_x && std::abs(other.to_x - way) < same
                         : other.moves_z && std::abs(other.to_z - way) < same)
                return true;
        }
    return false;
}

/// Between two plunges to the same X: the groove is wider than the blade.
bool widens_groove(const ToolOfSpan& tool, const Act& shift) {
    const auto plunge = [](const Act& act) {
        return act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.from_x) &&
               known(act.to_x) && act.to_x < act.from_x;
    };
    const Act *before = nullptr, *after = nullptr;
    for (const Act& act : tool.work->acts) {
        if (!plunge(act)) continue;
        if (&act < &shift)
            before = &act;
        else if (!after)
            after = &act;
    }
    return before && after && before->to_x == after->to_x;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const Alone alone = alone_in(tools);
    if (alone.by_letter != 1 || alone.absolute < least_absolute) return;
    const Act& act = *alone.act;
    if (act.by_u && act.by_w) return;
    const float from = act.by_u ? act.from_x : act.from_z, to = act.by_u ? act.to_x : act.to_z;
    if (!known(from) || !known(to)) return; // In a loop it goes on by steps
    const auto unit = mm_of(act, unit_of_file(context, tools));
    if (!unit) return;
    const double mm = *unit;
    if (act.by_w && widens_groove(*alone.tool, act)) return;
    const float way = to - from;
    if (act.by_w && way > 0 && act.stopped()) return; // A gripper pulls the bar out by it
    // A chamfer from a start in front of the face goes into the part, if its Z is a place.
    const bool short_of_face =
        act.by_w && act.motion == MotionKind::feed && act.moves_x && way < 0 && from > 0 && to >= 0;
    const bool goes_nowhere = way == 0;
    // "G18 W0 H0": names the plane that C is laid out on. In the first block of a contour W0 beside X tells
    // the cycle that its walls fall and rise.
    if (goes_nowhere && (alone.tool->work->word(act, 'H') || act.in_contour)) return;
    const bool plain = !act.in_contour && !machine::is_cycle(act.motion);
    const double least = plain && stands_elsewhere(tools, act, way) ? noticeable_mm : short_way_mm;
    if (std::abs(way) * mm < least && !short_of_face && !goes_nowhere) return;
    const char letter = act.by_u ? 'U' : 'W', absolute = act.by_u ? 'X' : 'Z';
    const std::string place = act.by_u ? spoken_x(to, context.settings()) : "Z" + written(to);
    report.at_letter(alone.tool->place(act), letter)
        .message(said("The only {} of this program, where {} other words give their place: it is added "
                      "to where the tool stands and leads to {}. Is {} meant?",
                      letter, alone.absolute, place, absolute));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "incremental_word_alone",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One U or W among absolute places",
    .documentation =
        "All moves, contours and cycles of the program give their place by X and Z, and one is by U or W. A "
        "wrong letter adds the number to where the tool stands. Short ways (up to 10 mm), programs with "
        "more than one and blocks under G91 are let pass; a chamfer that would end in front of the face by "
        "it, and a way of nothing, are told. Write X or Z; where the way is meant, keep it with a note that "
        "names this warning.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
U40.
;^^^ warning: incremental_word_alone
G01 Z-20.
X52.
G00 Z1.
X38.
G01 Z-10.
X40.
Z-12.
X52.
G00 X60. Z20.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.2 Z.1
X1.9
G01 Z-2. F.01
X2.2
G00 W.5
;   ^^^ warning: incremental_word_alone
X1.7
G01 Z-1.
X2.2
G00 Z.1
X1.5
G01 Z-.5
X1.6
Z-.6
X2.2
G00 X3. Z1.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
U2.
G00 Z1.
X40.
G01 Z-20.
X52.
G00 Z1.
X38.
G01 Z-10.
X40.
Z-12.
X52.
G00 X60. Z20.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
X40.
G01 Z-20.
X52.
G00 Z1.
X38.
G01 Z-10.
X40.
Z-12.
X52.
G00 X60. Z20.
M05
(BAR PULLER)
T0909
G00 X52. Z-62.
G98 G01 X0 F1500.
W42. F2500.
G00 X60.
M30
)"},
            // In a contour, and a pass of a thread.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X34. Z2.
G71 U1.5 R.5
G71 P10 Q20 U.6 W.1 F.25
N10 G00 X12.
G01 X16. Z-2. F.1
Z-20.
X24.
Z-30.
N20 U34.
;   ^^^ warning: incremental_word_alone
G70 P10 Q20
G00 X60. Z20.
T0303
X36. Z-10.
G01 X14.
G00 X36.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S600 M03
G00 X1.45 Z.25
G78 X1.23 W-1.19 F.08333
;         ^^^^^^ warning: incremental_word_alone
X1.212
X1.198
X1.186
X1.176
X1.168
X1.161
X1.155
X1.151
X1.1478
G00 X4. Z2.
M30
)"},
            // A chamfer that would not come to the part.
            {System::C, R"(
G71 G90 G95
T0404
G97 S600 M03
G00 X26. Z2.
G01 X20. W-1. F.08
;        ^^^^ warning: incremental_word_alone
Z-42.
G00 X18.
Z100.
X150.
T0505
X46. Z-25.
G01 X33.5
X46.
G00 X150. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X34. Z2.
G71 U1.5 R.5
G71 P10 Q20 U.6 W.1 F.25
N10 G00 X12.
G01 X16. Z-2. F.1
Z-20.
X22.
X24. W-1.
Z-30.
N20 X34.
G70 P10 Q20
G00 X60. Z20.
T0303
X36. Z-10.
G01 X14.
G00 X36.
M30
)"},
            // A groove that is wider than the blade.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
X42.
G01 Z-20.
X52.
G00 X80. Z1.
T0909
G00 X50. Z-30.
G01 X30. F0.06
G00 X50.
W1.
G01 X30.
G00 X50.
X90. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
G00 X44. Z0.
G01 X-1. F.2
G00 X42. Z2.
X38.4
G01 Z-64. F.2
G00 X44. Z2.
X32.
G01 X38. Z-1. F.1
Z-64.
X42.
T0404
G98 S3000
G00 Z-20.
X42. C0.
G01 X34. F60.
G18 W0 H0
G107 C19.
G01 C90. F200.
G107 C0
G00 X46.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_word_alone
