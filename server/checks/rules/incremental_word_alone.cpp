// One U or W in a program that gives all its other places by X and Z.
//
// The limits: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"

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

bool is_move(const Act& act) {
    return act.moves() && !act.in_contour && !act.incremental &&
           (act.motion == MotionKind::rapid || act.motion == MotionKind::feed ||
            act.motion == MotionKind::arc || act.motion == MotionKind::thread);
}

Alone alone_in(std::span<const ToolOfSpan> tools) {
    Alone found;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (!is_move(act)) continue;
            if (!act.by_u && !act.by_w) {
                ++found.absolute;
                continue;
            }
            ++found.by_letter;
            found.tool = &tool;
            found.act = &act;
        }
    return found;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const Alone alone = alone_in(tools);
    if (alone.by_letter != 1 || alone.absolute < least_absolute) return;
    const Act& act = *alone.act;
    if (act.by_u && act.by_w) return;
    const float from = act.by_u ? act.from_x : act.from_z, to = act.by_u ? act.to_x : act.to_z;
    if (!known(from) || !known(to)) return; // In a loop it goes on by steps
    const double mm = mm_of(act, unit_of_file(tools)).value_or(1);
    const float way = to - from;
    if (act.by_w && way > 0 && act.stopped()) return; // A gripper pulls the bar out by it
    bool stands_elsewhere = false;
    for (const ToolOfSpan& tool : tools)
        for (const Act& other : tool.work->acts) {
            if (&other == &act || !is_move(other)) continue;
            stands_elsewhere =
                stands_elsewhere || (act.by_u ? other.moves_x && std::abs(other.to_x - way) < 1e-4F
                                              : other.moves_z && std::abs(other.to_z - way) < 1e-4F);
        }
    if (std::abs(way) * mm < (stands_elsewhere ? noticeable_mm : short_way_mm)) return;
    const char letter = act.by_u ? 'U' : 'W', absolute = act.by_u ? 'X' : 'Z';
    const std::string place = act.by_u ? spoken_x(to, context.settings()) : "Z" + written(to);
    report.at_letter(alone.tool->place(act), letter)
        .message(
            fmt::format("The only {} of this program, where {} other moves give their place: it is added "
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
        "All moves of the program give their place by X and Z, and one is by U or W. A wrong letter "
        "adds the number to where the tool stands. Short ways back (up to 10 mm), programs with more "
        "than one, blocks under G91 and contours of cycles are let pass. Write X or Z; where the way "
        "is meant, keep it with a note that names this warning.",
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_word_alone
