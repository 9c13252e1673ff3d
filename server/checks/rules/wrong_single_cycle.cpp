// A turning cycle whose passes step as those of a facing one do, or the other way round: the code is the
// other one's.
//
// How far a pass steps and how deep it cuts: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::wrong_single_cycle {

namespace {

/// No pass cuts so deep, whatever stands there.
constexpr double deepest_mm = 8;
/// Longer in the one axis than in the other by as much.
constexpr double times_longer = 2;

/// The block that calls the cycle, with both words, and those behind it that it is in force for.
struct Cycle {
    const Act* call = nullptr;
    std::size_t passes = 0, by_x = 0, by_z = 0; ///< Of those behind it, by one word alone
};

bool is_single(const Act& act) {
    return act.motion == MotionKind::single_cycle &&
           (act.meaning == Meaning::single_turning || act.meaning == Meaning::single_facing);
}

std::vector<Cycle> cycles_of(const Acts& work) {
    std::vector<Cycle> cycles;
    bool open = false;
    for (const Act& act : work.acts) {
        const bool calls = is_single(act) && work.word(act, 'G');
        if (calls) {
            open = act.moves_x && act.moves_z && !act.by_u && !act.by_w && known(act.from_x) &&
                   known(act.from_z) && known(act.to_x) && known(act.to_z) && !work.has_letter(act, "RIK");
            if (open) cycles.push_back({&act});
            continue;
        }
        if (!is_single(act)) {
            open = open && !act.moves();
            continue;
        }
        if (!open || !act.moves()) continue;
        if (work.has_letter(act, "RIK")) {
            cycles.pop_back();
            open = false;
            continue;
        }
        Cycle& cycle = cycles.back();
        ++cycle.passes;
        cycle.by_x += act.moves_x && !act.moves_z;
        cycle.by_z += act.moves_z && !act.moves_x;
    }
    return cycles;
}

/// The other cycle is meant.
bool is_other(const Cycle& cycle, double mm) {
    const Act& act = *cycle.call;
    const double x_way = (act.from_x - act.to_x) * mm, z_way = (act.from_z - act.to_z) * mm;
    if (act.meaning == Meaning::single_turning) {
        // Across the centre nothing is turned along Z.
        const bool steps = cycle.by_z == cycle.passes && (cycle.passes > 0 || act.to_x < 0);
        return steps && x_way > deepest_mm && z_way > 0 && x_way > times_longer * z_way;
    }
    // A shorter one among them may give its Z, too.
    const bool steps = cycle.by_x > 0 && cycle.by_z == 0 && 2 * cycle.by_x > cycle.passes;
    return steps && z_way > deepest_mm && std::abs(x_way) * times_longer < z_way;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools)
        for (const Cycle& cycle : cycles_of(*tool.work)) {
            const Act& act = *cycle.call;
            const auto mm = mm_of(act, of_file);
            if (!mm || !is_other(cycle, *mm)) continue;
            const bool turns = act.meaning == Meaning::single_turning;
            const double deep = turns ? act.from_x - act.to_x : act.from_z - act.to_z;
            report_at_code(report, context, tool, act)
                .message(
                    turns ? said("This cycle turns along Z, and its passes step in Z and stay at {}: the "
                                 "tool would go down to {} at rapid, {} a side, and cut along there. {} "
                                 "faces so.",
                                 spoken_x(act.to_x, context.settings()),
                                 spoken_x(act.to_x, context.settings()), spoken(std::round(deep * 1e3) / 1e3),
                                 code(context.settings(), Meaning::single_facing))
                          : said("This cycle faces along X, and its passes step in X and stay at Z{}: "
                                 "the tool would go {} deep at rapid, and cut in along X there. {} turns "
                                 "so.",
                                 written(act.to_z), spoken(std::round(deep * 1e3) / 1e3),
                                 code(context.settings(), Meaning::single_turning)));
        }
}

} // namespace

extern const Check check{
    .id = "wrong_single_cycle",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Turning cycle where a facing one is meant",
    .documentation =
        "A single cycle that turns along Z steps from pass to pass in X, one that faces along X steps in Z. "
        "Here every pass behind the call steps the other way, and the first would cut more than 8 mm deep: "
        "the code is that of the other cycle. The tool goes in at rapid and cuts the whole depth at once. "
        "Cycles with one pass alone that does not go across the centre, with a taper, or by U and W are left "
        "alone.",
    .file = file,
    .examples =
        {
            {System::C, R"(
G71 G90 G95
T0101
G96 S110 M03
G00 X106. Z8.
G20 X44. Z2. F0.3
;^^ warning: wrong_single_cycle
Z0.2
G00 X300. Z250.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G96 S400 M03
G00 X3.2 Z.2
G90 X-.06 Z.03 F.008
;^^ warning: wrong_single_cycle
Z0
G00 X8. Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X62. Z3.
G79 X58. Z-25. F0.28
;^^ warning: wrong_single_cycle
X56.4
X54.
G00 X100. Z100.
M30
)"},
            // A shorter pass among them gives its Z, too.
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X84. Z2.
G94 X76.6 Z-27. F0.3
;^^ warning: wrong_single_cycle
X72.6 Z-13.9
X68.6
X64.6
G00 X100. Z100.
M30
)"},
            // As they are meant.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X62. Z3.
G79 X-1.6 Z1. F0.2
Z0
G00 X62. Z3.
G77 X58. Z-25. F0.28
X56.4
X54. Z-20.
G00 X100. Z100.
M30
)"},
            // A wide groove, plunge beside plunge, and one that goes on in Z at its own X.
            {System::A, R"(
G21 G99
T0303
G97 S700 M03
G00 X44. Z-10.
G94 X36. Z-10. F0.06
Z-12.
Z-14.
G00 X44. Z2.
G90 X38. Z-10. F0.2
Z-20.
G00 X100. Z100.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G96 S400 M03
G00 X2.2 Z.1
G24 X-.06 Z0 F.008
G00 X2.1 Z.1
G20 X1.9 Z-1.5 F.01
X1.7
G00 X8. Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::wrong_single_cycle
