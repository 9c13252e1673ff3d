// A block that stands twice in a row and moves nothing the second time.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::zero_move {

namespace {

/// A plain move to a place. Passes of a cycle stand twice on purpose: the second takes off what has sprung.
bool goes_to_place(const Act& act) {
    return (act.motion == MotionKind::rapid || act.motion == MotionKind::feed) && act.moves() &&
           !act.dwells && !act.incremental && !act.by_u && !act.by_w && !act.turns_part && !act.deleted;
}

void look_at(const FileContext& context, const ToolOfSpan& tool, Report& report) {
    const machine::Reader& reader = context.reader();
    const auto& acts = tool.work->acts;
    // The last block may be one that is being written.
    for (std::size_t i = 1; i + 1 < acts.size(); ++i) {
        const Act &before = acts[i - 1], &act = acts[i];
        if (!goes_to_place(act) || !goes_to_place(before) || act.motion != before.motion) continue;
        if (act.moves_x != before.moves_x || act.moves_z != before.moves_z) continue;
        if (act.to_x != before.to_x || act.to_z != before.to_z) continue;
        const std::string statement = statement_of(reader, tool.place(act));
        if (statement.empty() || statement.find('#') != std::string::npos ||
            statement != statement_of(reader, tool.place(before)))
            continue;
        report.at(tool.place(act))
            .message(said("{} stands twice: the tool is there already, and the second one moves "
                          "nothing. Was another place meant? Else take it away.",
                          statement))
            .related(tool.place(before), said("the same block"));
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) look_at(context, tool, report);
}

} // namespace

extern const Check check{
    .id = "zero_move",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Block that stands twice and moves nothing",
    .documentation =
        "A move to a place stands twice, one right behind the other and word for word: the second moves "
        "nothing. It harms nothing by itself, but mostly one of the two was to be another block, and that "
        "one is missing. Passes of cycles, where a second one takes off what has sprung, ways by U and W and "
        "blocks with variables are let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
X46.
G01 Z-30. F.2
G01 Z-30. F.2
;^^^^^^^^^^^^ information: zero_move
X52.
G00 Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
N10 G00 X1.2 Z.1
N20 G00 X1.2 Z.1
;   ^^^^^^^^^^^^ information: zero_move
N30 G01 Z-.5 F.006
N40 X1.4
N50 G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G20 X46. Z-30. F.2
X42.
X42.
G00 X60. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G01 W-2. F.2
W-2.
U-2.
U-2.
G00 X60.
Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G91 G01 Z-2. F.2
Z-2.
G90 X50.
G00 X50.
Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::zero_move
