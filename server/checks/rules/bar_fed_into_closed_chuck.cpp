// The bar is fed while the chuck or collet is closed.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::bar_fed_into_closed_chuck {

namespace {

using Does = MachineCode::Does;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* open = code_that(codes, Does::clamp_open, true);
        const ClampAct* closed = nullptr;
        const ClampAct* cut = nullptr; ///< What was cut with no code of the clamp above: it was closed
        const bool opens = std::any_of(events.begin(), events.end(), [](const ClampEvent& event) {
            return event.kind == ClampEvent::Kind::code && event.at.code->does == Does::clamp_open;
        });
        std::set<const Act*> told;
        for (const ClampEvent& event : events) {
            if (event.kind == ClampEvent::Kind::cuts && !closed) cut = &event.at;
            if (event.kind != ClampEvent::Kind::code) continue;
            const Does does = event.at.code->does;
            if (does == Does::clamp_close) closed = &event.at;
            if (does == Does::clamp_open) closed = nullptr;
            if (does == Does::clamp_close || does == Does::clamp_open) cut = nullptr;
            if (does == Does::bar_feed && cut && opens && told.insert(event.at.act).second)
                report_at_code(report, context, event.at)
                    .message(
                        said("{} comes with no code that opens the clamp since the part was cut: the feeder "
                             "pushes against a bar that is held.{}",
                             with_words(*event.at.code),
                             open ? said(" Write M{:02} before it.", open->number) : std::string()))
                    .related(cut->tool->place(*cut->act), said("cut here"));
            if (does != Does::bar_feed || !closed || !told.insert(event.at.act).second) continue;
            report_at_code(report, context, event.at)
                .message(said("{} comes with the clamp closed by {}: the feeder pushes against a bar "
                              "that is held.{}",
                              with_words(*event.at.code), with_words(*closed->code),
                              open ? said(" Write M{:02} before it.", open->number) : std::string()))
                .related(closed->tool->place(*closed->act), said("closed here"));
        }
    });
}

constexpr const char* shop = R"(
[[machine]]
[machine.m_codes]
M10 = { name = "collet opens", does = "unclamp" }
M11 = { name = "collet closes", does = "clamp" }
M70 = { name = "bar on", does = "bar feed" }
)";

} // namespace

extern const Check check{
    .id = "bar_fed_into_closed_chuck",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Bar fed with the chuck closed",
    .documentation =
        "The bar feed comes after the code that closes the chuck or collet, or after a cut, with none that "
        "opens it between: "
        "the bar cannot come, the next part is too short, and the feeder may buckle it. A bar loop that M99 "
        "sends back to its top is followed over its end. What the codes mean is read from `m_codes` in the "
        "shop file (`does = \"bar feed\"`, `\"clamp\"`, `\"unclamp\"`).",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
M05
M11
M70
;^^ warning: bar_fed_into_closed_chuck
G97 S900 M03
G00 X30. Z2.
G01 Z-20. F0.2
M30
)",
             shop},
            {System::B, R"(
G21 G90 G95
T0101
M05
M70
;^^ warning: bar_fed_into_closed_chuck
M10
G04 X1.
M11
G97 S900 M03
G01 X30. F0.2
M05
M99
)",
             shop},
            {System::C, R"(
G71 G90 G95
T0101
M05
M10
M70
G04 X1.
M11
G97 S900 M03
G01 X30. F0.2
M05
M99
)",
             shop},
            // The clamp held what was cut, and is opened only behind the feed; a feeder that opens it by
            // itself.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
G01 Z-20. F0.2
G00 X100. Z100.
M05
M70
;^^ warning: bar_fed_into_closed_chuck
M10
G04 X1.
M11
M30
)",
             shop},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X30. Z2.
G01 Z-20. F0.2
G00 X100. Z100.
M05
M70
M30
)",
             shop},
            {System::A, R"(
G20 G99
M11
M70
G97 S900 M03
M30
)"},
            {System::B, R"(
(M10 COLLET OPEN, M11 CLOSED, M70 BAR FEED)
G20 G90 G95
M11
M70
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::bar_fed_into_closed_chuck
