// The last tool of a program stays at the part, where all others go home.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::last_tool_not_sent_home {

namespace {

using Stand = FileFacts::Stand;

void look_at(std::span<const Span> spans, Report& report) {
    const Span* last = nullptr;
    std::size_t others = 0;
    for (const Span& span : spans) {
        if (!span.sequence || !span.facts->cuts) continue;
        if (last) {
            if (last->facts->at_end != Stand::home || !last->facts->return_move) return;
            ++others;
        }
        last = &span;
    }
    // A sequence behind it may go home for it.
    if (!last || others < 2 || last != &spans.back() || !last->facts->ends_program) return;
    if (last->facts->at_end != Stand::away || last->facts->return_move || !last->facts->last_code) return;
    report.at(last->place(*last->facts->last_code))
        .message(said("The program ends with the last tool at the part: the {} other sequences that cut go "
                      "home before they end. The next start may run into the part or the chuck. Is the "
                      "line with the way home lost?",
                      others));
}

void landmarks(const LandmarkContext& context, Report& report) {
    const std::span<const Span> spans = context.spans();
    for (std::size_t first = 0, end = 0; first < spans.size(); first = end) {
        while (end < spans.size() && spans[end].program == spans[first].program) ++end;
        if (!spans[first].program->is_subprogram) look_at(spans.subspan(first, end - first), report);
    }
}

} // namespace

extern const Check check{
    .id = "last_tool_not_sent_home",
    .family = Family::approach,
    .severity = Severity::information,
    .title = "Last tool stays at the part",
    .documentation =
        "All other sequences of the program go home by the reference return or in the machine datum when "
        "they "
        "have cut, and the last one ends the program without. The way home is lost, perhaps: the part is "
        "changed with the tool beside it, and the next start turns the turret there. It is not told where "
        "fewer than two others go home.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
G28 U0 W0
N2 T0303
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F.2
G28 U0 W0
N3 T0505
G97 S800 M03
G00 X52. Z-22.
G01 X-.5 F.1
G00 X54. M09
M30
;^^ information: last_tool_not_sent_home
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.01
G53 X0
G53 Z0
N2 T0303
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.01
G53 X0
G53 Z0
N3 T0505
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.01
G00 X2.1
M05
M30
;^^ information: last_tool_not_sent_home
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
G00 X200. Z100.
N2 T0303
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F.2
G00 X200. Z100.
N3 T0505
G97 S800 M03
G00 X52. Z-22.
G01 X-.5 F.1
G00 X54. M09
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
G28 U0 W0
N2 T0303
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F.2
G28 U0 W0
N3 T0505
G97 S800 M03
G00 X52. Z-22.
G01 X-.5 F.1
G28 U0
G28 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::last_tool_not_sent_home
