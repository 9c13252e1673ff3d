// G28 with X0 or Z0 as places.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::reference) return;
    for (char axis : {'X', 'Z'}) {
        const machine::Word* word = view.reading.word(axis);
        if (!word || !word->value.is(0)) continue;
        if (view.settings.system != System::A && !view.after.is(Meaning::absolute)) continue;
        const machine::Value& now = axis == 'X' ? view.before.x_radius : view.before.z;
        if (now.is(0)) continue;
        // Standing at the reference point already, X0 would still lead to the part.
        report.at(view, *word->item)
            .message(fmt::format(
                "{} here is a place on the way: the tool goes in a rapid to the {} before it goes home. "
                "Write {} to go from where it stands.",
                text_of(view, *word->item), axis == 'X' ? "centreline" : "face",
                std::string(axis == 'X' ? "U0" : "W0")))
            .fix([&] {
                return Fix{fmt::format("Write {}0 (home straight from where the tool stands)",
                                       axis == 'X' ? 'U' : 'W'),
                           {replace(view, *word->item, axis == 'X' ? "U0" : "W0")},
                           true,
                           false};
            });
    }
}

} // namespace

extern const Check reference_return_through_part{
    .id = "reference_return_through_part",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Return home by way of the part's zero",
    .documentation =
        "The return to reference first goes in a rapid to the point its X and Z words name. With X0 "
        "or Z0 read as places that point is the centreline or the face: the tool goes through the "
        "part on its way home. Write U0 W0 (in systems B and C: G91 with X0 Z0) to go home from where "
        "it stands.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G00 X50. Z2.
G28 X0. Z0.
;   ^^^ warning: reference_return_through_part
;       ^^^ warning: reference_return_through_part
M30
)"},
            {System::B, R"(
G20 G90
T0101
G00 X2. Z.1
G28 X0 W0
;   ^^ warning: reference_return_through_part
M30
)"},
            {System::A, R"(
G21
T0101
G00 X50. Z2.
G28 U0 W0
G28 X100. Z50.
G53 X0 Z0
M30
)"},
            {System::C, R"(
G71 G90
T0202
G00 X0. Z2.
G91 G28 X0 Z0
G90
M30
)"},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
