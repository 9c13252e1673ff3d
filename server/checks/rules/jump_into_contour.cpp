// A GOTO whose N number belongs to the contour of a cycle.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::jump_into_contour {

namespace {

using Contour = std::pair<BlockPlace, BlockPlace>;

/// Of all cycles of the program. Where a jump leads, a block is read like any other: these are asked for.
std::vector<Contour> contours_of(const FileContext& context, std::span<const ToolOfSpan> tools) {
    std::vector<Contour> contours;
    const machine::Reader& reader = context.reader();
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::contour_cycle || !tool.work->word(act, 'P')) continue;
            const BlockPlace cycle = tool.place(act);
            reader.visit_span(cycle, cycle, [&](const BlockView& view) {
                const auto named = contour_named_in(view, reader);
                if (named && named->blocks) contours.push_back(*named->blocks);
            });
        }
    return contours;
}

bool holds(const Contour& contour, BlockPlace place) {
    return contour.first <= place && place <= contour.second;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const machine::ProgramPart& program = *tools.front().span->program;
    std::optional<std::vector<Contour>> contours;
    for (std::size_t run = program.first.run; run <= program.last.run; ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            const bool jumps =
                mark.kind == machine::FlowKind::jump || mark.kind == machine::FlowKind::maybe_jump;
            const BlockPlace from{run, mark.block};
            if (!jumps || mark.number < 0 || from < program.first || program.last < from) continue;
            const auto labels = context.labels(mark.number);
            if (labels.size() != 1) continue;
            if (!contours) contours = contours_of(context, tools);
            const BlockPlace to = labels.front();
            if (std::none_of(contours->begin(), contours->end(), [&](const Contour& contour) {
                    return holds(contour, to) && !holds(contour, from);
                }))
                continue;
            report.at(from)
                .message(said("The jump goes to N{}, a block of a contour: the control goes on in the middle "
                              "of that shape with what is in now, the tool, spindle and offset of another "
                              "place, and runs on behind it. Write the number of the block where it is to go "
                              "on.",
                              mark.number))
                .related(to, said("a block of the contour"));
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "jump_into_contour",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Jump to a block of a contour",
    .documentation =
        "GOTO names an N number that stands between P and Q of a contour cycle. The control goes on there as "
        "in any other block: the tool that is in, with its offset and with the spindle as it is, runs along "
        "the "
        "shape from wherever it stands. The number of another block is meant, mostly that of the first block "
        "of "
        "a loop.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
#100=0
N10 G28 U0 W0
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P20 Q30 U0.4 W0.1 F0.28
N20 G00 X20.
G01 Z-10.
N30 X52.
G70 P20 Q30
G28 U0 W0
#100=#100+1
IF[#100LT10]GOTO20
;^^^^^^^^^^^^^^^^^ warning: jump_into_contour
M30
)"},
            {System::B, R"(
G20 G90 G95
IF[#500EQ1]GOTO12
;^^^^^^^^^^^^^^^^ warning: jump_into_contour
T0101
G97 S800 M03
G00 X2.1 Z.1
G71 U.1 R.02
G71 P10 Q20 U0 W0 F.01
N10 G00 X1.
N12 G01 Z-.5
N20 X2.1
M30
)"},
            {System::C, R"(
G71 G90 G95
#100=0
N10 T0101
G97 S800 M03
G00 X52. Z1.
G73 P20 Q30 U0.4 W0.1 D2000 F0.28
N20 G00 X20.
G01 Z-10.
N30 X52.
#100=#100+1
IF[#100LT10]GOTO10
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P20 Q30 U0.4 W0.1 F0.28
N20 G00 X20.
G01 Z-10.
N30 X52.
IF[#500EQ1]GOTO40
G70 P20 Q30
N40 G28 U0 W0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
IF[#500EQ1]GOTO50
G71 U2. R0.5
G71 P20 Q30 U0.4 W0.1 F0.28
N20 G00 X20.
G01 Z-10.
N30 X52.
N50 G53 X0 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::jump_into_contour
