// A sequence whose tool takes nothing off.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::nothing_removed {

namespace {

void stock(const StockContext& context, Report& report) {
    for (const stock::ProgramCourse& program : context.programs()) {
        for (const stock::SequenceCourse& sequence : program.sequences) {
            bool followed = sequence.in && sequence.out && sequence.sequence;
            // Between the waits of two turrets a sequence is followed piece by piece.
            const auto belongs = [&](const stock::SequenceCourse& other) {
                return other.sequence == sequence.sequence;
            };
            const bool in_pieces = (&sequence != &program.sequences.front() && belongs(*(&sequence - 1))) ||
                                   (&sequence != &program.sequences.back() && belongs(*(&sequence + 1)));
            if (!followed || in_pieces || sequence.cutting_blocks == 0 || sequence.removed_mm3 > 0.1)
                continue;
            const shop::Tool* tool = context.shop.tool(sequence.station);
            if (!tool || tool->kind == shop::ToolKind::knurl || tool->kind == shop::ToolKind::live) continue;
            if (sequence.air_mm <= 0) continue;
            const BlockPlace last = sequence.sequence->last;
            const std::string held = holds_if(context.reader().after(last), context.settings());
            report.at(sequence.sequence->tool_call)
                .message(sequence.cutting_blocks == 1
                             ? said("{} feeds in one block and takes nothing off: what it passes is gone "
                                    "already, or never was there. Is the place right?{}",
                                    tool_name(sequence), held)
                             : said("{} feeds {} blocks long and takes nothing off: what it passes is gone "
                                    "already, or never was there. Is the place right?{}",
                                    tool_name(sequence), sequence.cutting_blocks, held));
        }
    }
}

} // namespace

extern const Check check{
    .id = "nothing_removed",
    .family = Family::stock,
    .severity = Severity::information,
    .title = "Sequence that cuts only air",
    .documentation =
        "The tool feeds, but all of its way lies where the stock is gone already or never was: a "
        "wrong offset, datum or sign, a cut that an earlier sequence has made, or time lost. "
        "Threads, spark-out passes within a cutting sequence and tools that take nothing off "
        "(knurls) are left out. Only where the stock is known and the tool is described.",
    .stock = stock,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
;^^^^ information: nothing_removed
G97 S800 M03
G00 X75. Z12.
G00 X56. Z2.
G01 Z-30. F0.2
G00 X75.
M30
)",
             example_tools},
            {System::C, R"(
(STOCK D50 L140 FACE 1 BORE 20 JAW Z-92)
G71 G90 G95
T0202
;^^^^ information: nothing_removed
G97 S800 M03
G00 X0 Z5.
G01 Z-30. F0.1
G00 Z5.
M30
)",
             example_tools_only},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z0.
G96 S180
G01 X-1.6 F0.2
Z1. F0.5
G00 X47.
G01 Z-40. F0.25
G00 X52.
G00 Z1.
G00 X44.
G01 Z-20.
G00 X75.
G00 Z12.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 JAW Z-2.5)
N1 (FACE AND TURN)
G54 G18 G97 G20 G80 G40 G90 G95
T0101
G92 S2500
G97 S900 M03
G00 X3. Z.5
G00 X2.1 Z0
G01 X-.063 F.008
Z.05 F.02
G00 X1.85
G01 Z-1.5 F.01
G00 X2.1
G00 Z.05
G00 X3. Z.5
M30
)",
             example_tools_only},
            {System::C, R"(
N1 (ROUGH, DRILL, BORE)
G71 G90 G95 G97 G40
T0101
G97 S900 M03
G00 X75. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 Z12.
M01
N2 (DRILL)
T0202
G97 S600 M03
G00 X0. Z5.
G01 Z-50. F0.15
G00 Z5.
M01
N4 (BORE)
T0404
G97 S900 M03
G00 X22. Z2.
G01 Z-30. F0.1
G00 X21.
G00 Z5.
G00 X75. Z12.
M30
)",
             example_tools},
            {System::A, R"(
(STOCK IS IN THE RACK BY THE SAW)
G21 G99
T0101
G97 S800 M03
G00 X20. Z-30.
G01 X10. F0.2
G00 X75.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::nothing_removed
