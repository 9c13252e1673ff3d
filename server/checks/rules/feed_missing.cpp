// A cutting move while no block has set a feed.
//
// The control either alarms or cuts with whatever feed the last program left behind.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_missing {

namespace {

/// "F,12"
bool has_mistyped_feed(const machine::Reader& reader, BlockPlace place) {
    const syntax::Run& run = reader.line(place);
    for (const Mistyped& value : mistyped_in(run, run.blocks[place.block]))
        if (value.meant.starts_with('F')) return true;
    return false;
}

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!cuts_at_feed(step) || !step.after->feed.surely_unset()) continue;
        if (step.meaning == Meaning::finish_cycle) continue;       // Its feed may stand in the contour.
        if (has_mistyped_feed(context.reader, step.place)) return; // That is told, and what to write
        bool per_rev = step.is(Meaning::feed_per_rev), per_minute = step.is(Meaning::feed_per_minute);
        std::string unit(unit_of(step).empty() ? said("mm or inches") : unit_of(step));
        std::string how = per_rev      ? said(" in {} a revolution", unit)
                          : per_minute ? said(" in {} a minute", unit)
                                       : std::string();
        report_at_code(report, context, step, step.meaning)
            .message(said("{} cuts, but no block down to here gives a feed: the control alarms, or cuts "
                          "with a feed left over from another program. Write F in this block{}.",
                          code(context.settings(), step.meaning), how));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "feed_missing",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Cutting move with no feed set",
    .documentation =
        "A cutting move or a cycle runs before any block has given F. Some controls alarm; others keep the "
        "feed "
        "of the program that ran before and cut with it, ten times too fast or as good as not at all. Write "
        "F in "
        "the first cutting block of the sequence. A feed given once above, in a block of its own or in a "
        "sequence before, counts.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X42. Z2.
G01 X38. F,2
;        ^^^ error: value_mistyped
Z-5.
X42.
G00 X60.
Z50.
M05
M30
)"},
            {System::A, R"(
G21 G18 G40 G80 G97 G99
T0101
G50 S2500
G97 S1200 M03
G00 X42. Z1.
G01 Z-30.
;^^ warning: feed_missing
X44. F0.2
G00 X60. Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S900 M03
T0404
G00 X0 Z.1
G83 Z-1.2 R.04 Q2500
;^^ warning: feed_missing
G80
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95 G97 S800 M03
T0101
G00 X40. Z1.
G03 X44. Z-1. R2.
;^^ warning: feed_missing
M30
)"},
            // One feed on a block of its own for the whole sequence.
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
F0.25
G00 X42. Z1.
G01 Z-30.
X44.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S600 M03
G00 X2.1 Z.1
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.012
N10 G00 X1.
G01 Z-1.
N20 X2.1
G70 P10 Q20
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S1200 M03
G00 X42. Z1.
G77 X38. Z-20. F0.25
X34.
G00 X60.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S500 M03
G00 X1.2 Z.2
G21 X.98 Z-.7 F.0625
X.96
G00 X3. Z1.
M30
)"},
            // A computed feed is a feed.
            {System::A, R"(
#1=0.2
G21 G99 T0101
G97 S1200 M03
G00 X42. Z1.
G01 Z-30. F#1
G01 X44. F#500
M30
)"},
        },
};

} // namespace turnwright::checks::rules::feed_missing
