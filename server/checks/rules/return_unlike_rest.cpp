// A sequence that goes home by another code than the others.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::return_unlike_rest {

namespace {

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram && span.facts->return_move;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t machine = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span)) continue;
        ++total;
        if (span.facts->return_by == Meaning::machine_datum) ++machine;
    }
    shop::Rule rule = context.shop.house.return_in_machine_datum;
    bool wants_machine = rule == shop::Rule::yes || (rule == shop::Rule::unset && machine * 2 > total);
    std::size_t with = wants_machine ? machine : total - machine;
    if (rule == shop::Rule::unset && !keeps_habit(rule, with, total)) return;
    Meaning wanted = wants_machine ? Meaning::machine_datum : Meaning::reference_return;
    for (const Span& span : context.spans()) {
        if (!counts(span) || span.facts->return_by == wanted) continue;
        std::string why = rule != shop::Rule::unset ? std::string(said("the shop file asks for it"))
                                                    : said("{} of {} sequences do", with, total);
        report.at(span.place(*span.facts->return_move))
            .message(said("{} does not go home by {}: {}.", name_of(*span.sequence),
                          code(context.settings(), wanted), why));
    }
}

} // namespace

extern const Check check{
    .id = "return_unlike_rest",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Return home unlike the rest of the program",
    .documentation =
        "Most sequences of this program go to the change position by a move in the machine datum, or "
        "by the reference return, and this one does it the other way. The two may be different "
        "places, and the turret may be nearer to the part than everyone expects. "
        "`return_in_machine_datum` under `[house]` fixes the habit.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G00 X75. Z12.
G28 U0 W0
N2 T0202
G00 X0. Z12.
G28 U0 W0
N3 T0303
G00 X52. Z1.
G00 G53 X0. Z0.
;^^^ information: return_unlike_rest
M30
)"},
            {System::B, R"(
G20 G90
N1 T0101
G00 X2. Z.1
G28 U0 W0
;^^^ information: return_unlike_rest
M30
)",
             "[house]\nreturn_in_machine_datum = true\n"},
            {System::C, R"(
G71 G90
N1 T0101
G00 X75. Z12.
G28 U0 W0
N2 T0202
G00 X0. Z12.
G28 U0 W0
N3 T0303
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G21
N1 T0101
G28 U0 W0
N2 T0202
G53 X0 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::return_unlike_rest
