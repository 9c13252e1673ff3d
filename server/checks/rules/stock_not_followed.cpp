// The stock is given, but cannot be followed all through the program.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::stock_not_followed {

namespace {

/// What to say of a stop in a sequence.
std::string reason(const stock::SequenceCourse& sequence, bool in_each_turret) {
    using stock::Stop;
    switch (sequence.stop) {
    case Stop::other_turret:
        return said("what the other turret has left of the part by then is not known");
    case Stop::tool_unknown:
        if (sequence.station < 0) return said("which tool cuts here is not known");
        if (sequence.missing == std::vector<std::string_view>{said("station")})
            return in_each_turret ? said("which turret's {} cuts here is not known", tool_name(sequence))
                                  : said("{} is not in the shop file", tool_name(sequence));
        return said("the shop file does not give {} of {}", list_of(sequence.missing), tool_name(sequence));
    case Stop::path_unknown:
        return said("where this block moves is not known ({})", machine::explain(sequence.why));
    case Stop::call:
        return said(
            "what a macro cuts, a program of another file, or one called an unknown number of times, is "
            "not followed");
    case Stop::jump:
        return said("which blocks are run, and how often, is not followed through jumps and loops");
    case Stop::datum:
        return said("it cuts in another datum than the cuts above");
    case Stop::turned_round:
        return said("the part is turned round, and how it lies then is not told");
    case Stop::taken_over:
        return said("the second spindle has taken the part over: its other end is in front, and how it lies "
                    "there is not told");
    case Stop::bar_moved:
        return said("the bar is moved");
    case Stop::off_centre:
        return said("it works beside or behind the centreline");
    case Stop::too_many_moves:
        return said("while it is edited, a file is followed for {} moves at most", stock::most_moves);
    default:
        return "";
    }
}

std::string reason(const stock::ProgramCourse& program) {
    using stock::Stop;
    switch (program.stop) {
    case Stop::incomplete_stock:
        return said("[stock] of the shop file lacks {}", list_of(program.missing));
    case Stop::several_programs:
        return said(
            "the file holds several programs, and the shop file's stock can be that of one only; give "
            "each a "
            "stock note");
    case Stop::units_unknown:
        return said("the unit of the stock note is not known");
    default:
        return "";
    }
}

void stock(const StockContext& context, Report& report) {
    for (const stock::ProgramCourse& program : context.programs()) {
        if (std::string why = reason(program); !why.empty() && !program.program->sequences.empty())
            report.at(program.note.value_or(program.program->sequences.front().tool_call))
                .message(said("The stock is not followed: {}.", why));
        for (const stock::SequenceCourse& sequence : program.sequences) {
            const bool in_each_turret =
                !context.shop.tool(sequence.station) && context.shop.has_tool(sequence.station);
            std::string why = reason(sequence, in_each_turret && !context.shop.own_path);
            if (why.empty()) continue;
            report.at(sequence.place(sequence.stopped_at))
                .message(said("The stock is not followed from here on: {}.", why));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "stock_not_followed",
    .family = Family::stock,
    .severity = Severity::information,
    .title = "Stock not followed from here on",
    .documentation =
        "The stock is known, but from this block on not what is left of it: a tool whose shape "
        "the shop file does not give, moves that are not known, a macro call or the call of another file, a "
        "jump, another "
        "datum. From here on nothing is said about collisions, depth and load; up to here it is. "
        "The message says what is missing.",
    .stock = stock,
    .examples =
        {
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X75. Z12.
G00 X48. Z2.
G01 Z-30. F0.2
;^^^^^^^^^^^^^ information: stock_not_followed
Z-40.
G00 X75.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 JAW Z-2.5)
G20 G90 G95
T0101
G97 S800 M03
G00 X3. Z.5
M98 P7100
;^^^^^^^^ information: stock_not_followed
M30
)",
             example_tools_only},
            {System::C, R"(
G71 G90 G95
T0101
;^^^^ information: stock_not_followed
G97 S800 M03
M30
)",
             "units = \"mm\"\n[stock]\ndiameter = 50\n"},
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
            // Behind the part-off the second spindle holds the part, its other end in front.
            {System::B, R"(
(M203 SUB SPINDLE CW, M205 SUB SPINDLE STOP, M210 SUB CHUCK OPEN, M211 SUB CHUCK CLOSE)
N1 (ROUGH)
G21 G90 G95 G97 G54
T0101
G97 S900 M03
G00 X75. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 Z2.
G00 X44.
G01 Z-15. F0.2
G00 X75. Z12.
M05
M210
G00 B-80.
M211
M10 (MAIN CHUCK OPEN)
G00 B0
M01
N11 (SECOND SIDE)
;^^^^^^^^^^^^^^^ information: stock_not_followed
G55
T0101
G97 S900 M203
G00 X75. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 Z12.
M205
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

} // namespace turnwright::checks::rules::stock_not_followed
