// Coolant and spindle go off in another order than in the other sequences.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::off_order_unlike_rest {

namespace {

using Order = SequenceFacts::OffOrder;

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram && span.facts->last_off &&
           (span.facts->off_order == Order::coolant_first || span.facts->off_order == Order::spindle_first);
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t coolant_first = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span)) continue;
        ++total;
        if (span.facts->off_order == Order::coolant_first) ++coolant_first;
    }
    shop::Rule rule = context.shop.house.coolant_off_first;
    bool coolant = rule == shop::Rule::yes || (rule == shop::Rule::unset && coolant_first * 2 > total);
    std::size_t with = coolant ? coolant_first : total - coolant_first;
    if (rule == shop::Rule::unset && !keeps_style(rule, with, total)) return;
    Order wanted = coolant ? Order::coolant_first : Order::spindle_first;
    std::string first = code(context.settings(), coolant ? Meaning::coolant_off : Meaning::spindle_stop);
    std::string then = code(context.settings(), coolant ? Meaning::spindle_stop : Meaning::coolant_off);
    for (const Span& span : context.spans()) {
        if (!counts(span) || span.facts->off_order == wanted) continue;
        std::string why = rule != shop::Rule::unset ? std::string(said("the shop file asks for it"))
                                                    : said("{} of {} sequences do", with, total);
        report.at(span.place(*span.facts->last_off))
            .message(said("{} does not write {} before {}: {}.", name_of(*span.sequence), first, then, why));
    }
}

} // namespace

extern const Check check{
    .id = "off_order_unlike_rest",
    .family = Family::house,
    .severity = Severity::hint,
    .title = "Coolant and spindle off in another order than elsewhere",
    .documentation =
        "After the cut most sequences of this program switch coolant and spindle off in one order, and this "
        "one in the other. The machine does both all the same; but whoever proves the program out block by "
        "block waits for the usual one, and coolant on a standing part runs where nobody expects it. "
        "`coolant_off_first` under `[house]` fixes the order.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99 G97 S500
N1 T0101
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N2 T0202
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N4 T0404
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N5 T0505
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N3 T0303
M03
M08
G01 X50. Z-2. F0.2
M05
M09
;^^ hint: off_order_unlike_rest
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500
N1 T0101
M03
M08
G01 X2. Z-.1 F.01
M09
M05
;^^ hint: off_order_unlike_rest
M30
)",
             "[house]\ncoolant_off_first = false\n"},
            {System::C, R"(
G71 G90 G95 G97 S500
N1 T0101
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N2 T0202
M03
M08
G01 X50. Z-2. F0.2
M05
M09
M30
)"},
            {System::A, R"(
G21 G99 G97 S500
N1 T0101
M03
M08
G01 X50. Z-2. F0.2
M09
M05
N2 T0202
M03
M08
G01 X50. Z-2. F0.2
M09
M05
M05
N3 T0303
M03
G01 X50. Z-2. F0.2
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::off_order_unlike_rest
