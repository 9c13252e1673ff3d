// A tool that comes to the part in one rapid, where the others stop on the way.
//
// The distances: common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::one_step_approach {

namespace {

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram && span.facts->approaches;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span)) continue;
        ++total;
        if (span.facts->two_step_approach) ++with;
    }
    const bool by_majority = context.shop.house.two_step_approach == shop::Rule::unset;
    if (!keeps_style(context.shop.house.two_step_approach, with, total)) return;
    for (const Span& span : context.spans()) {
        if (!counts(span) || span.facts->two_step_approach || !span.facts->first_move) continue;
        // A face is begun beside the bar: the one rapid is on no way into it.
        if (by_majority && span.facts->cuts_across_first) continue;
        std::string why = context.shop.house.two_step_approach == shop::Rule::yes
                              ? std::string(said("the shop file asks for two steps"))
                              : said("{} of {} sequences take two steps", with, total);
        report.at(span.place(*span.facts->first_move))
            .message(said("{} comes to the part in one rapid: {}. Stop at a safe distance first.",
                          name_of(*span.sequence), why));
    }
}

} // namespace

extern const Check check{
    .id = "one_step_approach",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Approach in one step, where the others take two",
    .documentation =
        "Most sequences of this program come to the part in two rapids, the first to a safe distance "
        "(for instance 0.5 in, then 0.040 in). This one goes there in "
        "one: with the single block on, there is no place to stop and look before the tool is at the "
        "part. `two_step_approach` under `[house]` fixes the habit or turns it off.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X75. Z12.
G00 X52. Z1.
G01 Z-5. F0.2
N2 T0202
G00 X0. Z12.
G00 Z1.
G01 Z-5. F0.1
N5 T0505
G00 X75. Z12.
G00 X54. Z-20.
G01 X40. F0.1
N3 T0303
G00 X52. Z1.
;^^^ information: one_step_approach
G01 Z-5. F0.1
N4 T0404
G00 X75. Z12.
G00 X52. Z1.
G01 Z-5. F0.1
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X75. Z0.
G01 X-1. F0.2
N2 T0202
G00 X0. Z12.
G00 Z1.
G01 Z-5. F0.1
N3 T0303
G00 X75. Z12.
G00 X54. Z-20.
G01 X40. F0.1
N4 T0404
G00 X75. Z12.
G00 X52. Z1.
G01 Z-5. F0.1
N5 T0505
G00 X75. Z12.
G00 X52. Z1.
G01 Z-5. F0.1
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500 M03
N1 T0101
G00 X2. Z.1
;^^^ information: one_step_approach
G01 Z-.5 F.01
M30
)",
             "[house]\ntwo_step_approach = true\n"},
            {System::C, R"(
G71 G90 G95 G97 S500 M03
N1 T0101
G00 X52. Z1.
G01 Z-5. F0.2
N2 T0202
G00 X0. Z2.
G01 Z-5. F0.1
N3 T0303
G00 X75. Z12.
G00 X52. Z1.
G01 Z-5. F0.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::one_step_approach
