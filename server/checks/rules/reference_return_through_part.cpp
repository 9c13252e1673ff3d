// G28 with X0 or Z0 as places.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::reference_return_through_part {

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
            .message(
                said("{} here is a place on the way: the tool goes in a rapid to the {} before it goes home. "
                     "Write {} to go from where it stands.",
                     text_of(view, *word->item), axis == 'X' ? said("centreline") : said("face"),
                     std::string(axis == 'X' ? "U0" : "W0")))
            .fix([&] {
                return Fix{
                    said("Write {}0 (home straight from where the tool stands)", axis == 'X' ? 'U' : 'W'),
                    {replace(view, *word->item, axis == 'X' ? "U0" : "W0")},
                    true,
                    false};
            });
    }
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::reference_return_through_part
