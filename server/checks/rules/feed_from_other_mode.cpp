// A cut with a feed that was given by the minute and is now read by the revolution, or the other way.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_from_other_mode {

namespace {

/// "G01 G18 W0 H0", which only tells the control its axes.
bool goes_nowhere(const machine::Reader& reader, BlockPlace place) {
    bool zero = false;
    for (const syntax::Item& item : reader.items(place)) {
        if (!item.is_word()) continue;
        if (std::string_view("XZYC").find(item.letter) != std::string_view::npos) return false;
        if (std::string_view("UWVH").find(item.letter) == std::string_view::npos) continue;
        if (item.kind != syntax::ItemKind::word || item.value != 0) return false;
        zero = true;
    }
    return zero;
}

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!cuts_at_feed(step) || step.after->feed.why != Why::mode_changed) continue;
        if (step.meaning == Meaning::finish_cycle) continue; // Its feed may stand in the contour
        if (goes_nowhere(context.reader, step.place)) continue;
        bool per_rev = step.is(Meaning::feed_per_rev);
        report_at_code(report, context, step, step.meaning)
            .message(said("F was given before the feed mode or the unit changed: it is read {} here. Write F "
                          "again in this block.",
                          per_rev ? said("by the revolution") : said("in another unit")))
            .origin(part(Part::feed) | part(Group::feed_mode));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "feed_from_other_mode",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed set under another feed mode",
    .documentation =
        "The feed mode has changed since F was given, so the number is read in another unit: 0.2 mm a "
        "revolution becomes 0.2 mm a minute and the tool rubs, 200 mm a minute becomes 200 mm a "
        "revolution and the tool breaks. Write F again after the change.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
G98
G01 Z-10.
;^^ warning: feed_from_other_mode
M30
)"},
            {System::B, R"(
G20 G90 G94
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F8.
G95
X1.8
;^^^ warning: feed_from_other_mode
M30
)"},
            {System::C, R"(
G71 G90 G94
T1010
G00 X0. Z5.
G01 Z-40. F500.
G95
G00 X50. Z2.
G01 Z-5. F0.2
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
G99
Z-10.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_from_other_mode
