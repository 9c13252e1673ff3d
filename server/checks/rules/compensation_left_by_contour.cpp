// A contour that switches nose radius compensation on, with nothing behind its finishing that ends it.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::compensation_left_by_contour {

namespace {

/// Behind the finishing somebody looks no further for its end.
constexpr int most_blocks = 40;

std::optional<Meaning> compensation_in(const BlockView& view) {
    for (Meaning one : {Meaning::compensation_off, Meaning::compensation_left, Meaning::compensation_right})
        if (view.reading.code(one)) return one;
    return std::nullopt;
}

/// What the contour leaves on.
std::optional<Meaning> left_by(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    std::optional<Meaning> left;
    reader.visit_span(first, last, [&](const BlockView& view) {
        if (const auto now = compensation_in(view)) left = now;
    });
    return left && *left != Meaning::compensation_off ? left : std::nullopt;
}

/// The way home or the next tool behind the finishing, with no G40 before or in it.
std::optional<BlockPlace> met_still_on(const machine::Reader& reader, BlockPlace finish) {
    std::optional<BlockPlace> at = reader.neighbour(finish, true);
    for (int i = 0; at && i < most_blocks; ++i, at = reader.neighbour(*at, true)) {
        bool ends = false, meets = false;
        reader.visit_span(*at, *at, [&](const BlockView& view) {
            const auto& reading = view.reading;
            ends = compensation_in(view) || machine::calls_program(reading.flow) ||
                   reading.motion == MotionKind::contour_cycle || reading.flow == machine::FlowKind::jump ||
                   reading.flow == machine::FlowKind::maybe_jump || !reading.is_read;
            meets = is_return(reading.motion) || is_tool_call(view) || reading.code(Meaning::program_stop) ||
                    reading.code(Meaning::optional_stop) || reading.flow == machine::FlowKind::program_end ||
                    reading.flow == machine::FlowKind::program_return;
        });
        if (ends) return std::nullopt;
        if (meets) return at;
    }
    return std::nullopt;
}

void file(const FileContext& context, Report& report) {
    std::set<BlockPlace> told;
    const machine::Reader& reader = context.reader();
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::contour_cycle || act.meaning != Meaning::finish_cycle) continue;
            const BlockPlace finish = tool.place(act);
            std::optional<machine::ContourPlace> contour;
            bool on_before = false;
            reader.visit_span(finish, finish, [&](const BlockView& view) {
                contour = contour_named_in(view, reader);
                on_before =
                    view.before.is(Meaning::compensation_left) || view.before.is(Meaning::compensation_right);
            });
            if (!contour || !contour->blocks || on_before) continue;
            const auto [first, last] = *contour->blocks;
            const auto left = left_by(reader, first, last);
            const auto met = left ? met_still_on(reader, finish) : std::nullopt;
            if (!met || !told.insert(last).second) continue;
            const std::string off = code(context.settings(), Meaning::compensation_off);
            report.at(last)
                .message(said("{0} is switched on in this contour, and neither its end nor what follows the "
                              "{1} has {2}: the tool goes home under it, a nose radius off its way, and the "
                              "next tool begins with it, or the control alarms. Write {2} in this block.",
                              code(context.settings(), *left),
                              code(context.settings(), Meaning::finish_cycle), off))
                .related(finish, said("finished here"))
                .related(*met, said("still on here"));
        }
}

} // namespace

extern const Check check{
    .id = "compensation_left_by_contour",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Compensation that a contour switches on and nothing ends",
    .documentation =
        "A contour holds G41 or G42 for its finishing, and no G40 stands at its end, in the retract or in "
        "the "
        "way home. The finishing leaves the compensation on: the way home ends a nose radius beside the "
        "position, some controls alarm, and the next tool starts shifted. Write G40 in the last block of the "
        "contour or in the retract behind the finishing.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99 G40
T0303
G97 S800 M03
G00 X17. Z2.
G71 U1. R.3
G71 P30 Q31 U-.4 W.1 F.18
N30 G00 G41 X32.
G01 Z-15. F.1
X22.
N31 X17.
;^^^^^^^ warning: compensation_left_by_contour
G70 P30 Q31
G00 Z50.
G28 U0 W0
M30
)"},
            {System::B, R"(
G20 G90 G95 G40
T0303
G97 S800 M03
G00 X2. Z.1
G71 U.05 R.02
G71 P30 Q31 U.02 W.005 F.01
N30 G00 G42 X1.
G01 Z-.5 F.006
N31 X2.
;^^^^^^ warning: compensation_left_by_contour
G70 P30 Q31
G00 Z5.
T0505
G97 S800 M03
M30
)"},
            {System::C, R"(
G71 G90 G95 G40
T0303
G97 S800 M03
G00 X52. Z2.
G73 U1. R.3
G73 P30 Q31 U.4 W.1 F.18
N30 G00 G42 X32.
G01 Z-15. F.1
N31 G40 X52.
G72 P30 Q31
G00 Z50.
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99 G40
T0303
G97 S800 M03
G00 X17. Z2.
G71 U1. R.3
G71 P30 Q31 U-.4 W.1 F.18
N30 G00 G41 X32.
G01 Z-15. F.1
N31 X17.
G70 P30 Q31
G00 G40 Z50.
G28 U0 W0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S800 M03
G00 X17. Z2.
G71 U1. R.3
G71 P30 Q31 U-.4 W.1 F.18
N30 G00 G41 X32.
G01 Z-15. F.1
N31 X17.
G70 P30 Q31
G00 Z50.
G40 G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_left_by_contour
