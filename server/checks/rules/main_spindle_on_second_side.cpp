// The main spindle is started for the second side: the part is in the second spindle and stands.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::main_spindle_on_second_side {

namespace {

using Does = MachineCode::Does;
using machine::Spindle;

/// Where the part is, block by block.
struct PartOfSecond {
    bool slide_fed = false, cut_off = false; ///< Fed onto the part; cut by the main spindle since
    bool away = false;                       ///< The slide went home with the part
    double fed_to = 0;                       ///< Where the slide stands on it
    std::uint16_t first_datum = 0;           ///< Of the cuts before
};
struct Start {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

/// Behind the part-off: wherever it goes without a feed, it goes with the part.
bool goes_home(const Acts& work, const Act& act, double fed_to) {
    const ActWord* word = slide_word(work, act);
    if (!word) return false;
    return word->number == 0 || act.motion == MotionKind::reference ||
           (!act.gives_feed && !act.incremental && word->number != fed_to);
}

/// The second spindle was started by itself somewhere: how it is spoken to is known.
bool starts_second(std::span<const ToolOfSpan> program) {
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (act.spindle == Spindle::second && act.gives_speed) return true;
    return false;
}

/// Notes or the shop file tell a code that starts it.
bool second_has_start(const machine::Settings& settings) {
    for (const auto& code : settings.machine.effects)
        for (const Meaning meaning : code.second.does)
            if (meaning == Meaning::second_forward || meaning == Meaning::second_reverse) return true;
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> all, std::span<const ToolOfSpan> program,
             const std::vector<MachineCode>& codes, Report& report) {
    if (!starts_second(program) && !second_has_start(context.settings())) return;
    const auto datum_at = [&](const ToolOfSpan& tool, const Act& act) {
        return context.reader().after(tool.place(act)).of(Group::datum).possible;
    };
    PartOfSecond part;
    std::optional<Start> start;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const auto called = act.calls_program ? number_called(*tool.work, act) : std::nullopt;
            if (act.deleted || (act.calls_program && !(called && only_cuts(all, *called))))
                return; // What is done there may change it
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                // New bar for the main spindle, or the part is out.
                if (code && part.away &&
                    (code->does == Does::clamp_open || code->does == Does::clamp_close ||
                     code->does == Does::second_open || code->does == Does::bar_feed))
                    return;
            }
            if (act.states(Group::spindle_direction) && act.turns()) {
                start.reset();
                if (act.spindle == Spindle::main && part.away) start = Start{&tool, &act};
                if (!act.spindle && part.away) return; // Nobody knows which
                if (!part.away && !part.slide_fed) part.first_datum = datum_at(tool, act);
            }
            const ActWord* slide = slide_word(*tool.work, act);
            if (slide && slide->number != 0 && act.gives_feed) {
                part.slide_fed = true;
                part.fed_to = slide->number;
            }
            if (part.slide_fed && part.cut_off && goes_home(*tool.work, act, part.fed_to)) part.away = true;
            if (!act.cuts() || slide) continue;
            if (part.slide_fed && act.spindle != Spindle::live && act.moves_x) part.cut_off = true;
            if (!part.away && !part.slide_fed) part.first_datum = datum_at(tool, act);
            if (!part.away || !start || act.spindle != Spindle::main) continue;
            const auto datum = datum_at(tool, act);
            if (datum == 0 || part.first_datum == 0 || datum == part.first_datum) return;
            report_at_code(report, context.reader(), start->tool->place(*start->act),
                           Act::only(start->act->direction, Meaning::spindle_reverse)
                               ? Meaning::spindle_reverse
                               : Meaning::spindle_forward)
                .message(
                    said("This starts the main spindle, and the part is in the second one since the "
                         "part-off: the slide has gone home with it, and the datum is another one. The "
                         "tool is fed into a part that stands. Start the second spindle here, by the code "
                         "that the program or its notes have for it."))
                .related(tool.place(act), said("the first cut"));
            return;
        }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, tools, program, codes, report); });
}

} // namespace

extern const Check check{
    .id = "main_spindle_on_second_side",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Main spindle started for the second side",
    .documentation =
        "The second spindle has taken the part over, it was cut off and the slide went home with it, another "
        "datum is in force, and the next start is one of the main spindle: the part stands, and the tool is "
        "fed into it. A code that sends S and M03 to the second spindle is lost, or its own start code was "
        "taken for M03. Looked at only where the program speaks to the second spindle elsewhere: by "
        "`m_codes` "
        "in the shop file (`does = \"second forward\"`, `\"choose second spindle\"`), by notes, or by P2. "
        "Nothing "
        "is "
        "said once the main chuck has opened for new bar.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
(M110 SECOND CHUCK CLOSES, M111 OPENS)
G21 G99
G54
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F0.2
M111
S800 M103
G00 B-380.
G98 G01 B-418. F300
M110
G99
T0707 (PART OFF)
G00 X54. Z-42.
G01 X-0.6 F0.05
G00 X54.
M05
G28 B0
G55
T0808
G96 S180 M03
;        ^^^ warning: main_spindle_on_second_side
G00 X52. Z-5.
Z0
G01 X13. F0.15
M105
M30
)"},
            {System::B, R"(
(M901 SPINDLE WORDS GO TO SPINDLE 1, M902 TO SPINDLE 2)
(M220 CHUCK 2 CLOSES, M221 OPENS)
G20 G90 G95
M901
G54
T0101
G97 S800 M03
G00 X1.3 Z0
G01 X-.06 F.006
M221
M902
G97 S800 M03
M901
G00 B-18.
G94 G01 B-19.5 F12.
M220
G95
T0707 (PART OFF)
G00 X1.3 Z-1.5
G01 X-.03 F.003
G00 X1.3
M05
G91 G28 B0
G90
G57
T0909
G96 S600 M03
;        ^^^ warning: main_spindle_on_second_side
G00 X1.3 Z-.2
Z0
G01 X-.06 F.005
M05
M30
)"},
            {System::A, R"(
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
(M110 SECOND CHUCK CLOSES, M111 OPENS)
G21 G99
G54
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F0.2
M111
S800 M103
G00 B-380.
G98 G01 B-418. F300
M110
G99
T0707 (PART OFF)
G00 X54. Z-42.
G01 X-0.6 F0.05
G00 X54.
M05
G28 B0
G55
T0808
G96 S180 M103
G00 X52. Z-5.
Z0
G01 X13. F0.15
M105
M30
)"},
            // The first tool there starts the right one; the slide waits at a place of its own.
            {System::A, R"(
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
(M110 SECOND CHUCK CLOSES, M111 OPENS)
G20 G99
G54
T0101
G97 S800 M03
G00 X2.2 Z0
G01 X-.06 F.008
M98 P0777
M111
S800 M103
G00 A1.
G98 G01 A.01 F15.
M110
G99
T0707 (PART OFF)
G00 X2.2 Z-1.5
G01 X-.03 F.003
G00 X2.2
M05
G00 A24.
G55
T0808
G96 S600 M103
G00 X2.2 Z-.1
Z0
G01 X.5 F.006
G00 Z-4.
T1010
G97 S1200 M03
;         ^^^ warning: main_spindle_on_second_side
G00 X0 Z-.1
G01 Z.6 F.005
G00 Z-4.
M105
M30
O0777
G01 X2. F.005
G00 X2.2
M99
)"},
            // Held at both ends behind a pull, and new bar in the main spindle.
            {System::C, R"(
(M901 SPINDLE WORDS GO TO SPINDLE 1, M902 TO SPINDLE 2)
(M210 CHUCK 1 CLOSES, M211 OPENS, M220 CHUCK 2 CLOSES, M221 OPENS)
(M450 SPINDLE 2 RUNS WITH SPINDLE 1, M451 ENDS IT)
G71 G90 G95
M901
G54
T0101
G97 S600 M03
G00 X34. Z0
G01 X-1.6 F0.15
M221
M902
G97 S600 M03
M901
M450
G00 B-500.
G94 G01 B-545. F400
M220
M211
G01 B-395. F1500
M210
G95
G56
T0303
G96 S180 M03
G00 X32. Z-45.
G01 X28. F0.2
Z-190.
G00 X60.
M451
M05
M30
)"},
            // Its own code stands in the notes alone.
            {System::C, R"(
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
(M110 SECOND CHUCK CLOSES, M111 OPENS, M35 SECOND SPINDLE FOLLOWS THE MAIN, M36 OFF)
G71 G90 G95
G54
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F.2
M111
M35
G00 B-380.
G94 G01 B-418. F300
M110
G95
T0707 (PART OFF)
G00 X54. Z-42.
G01 X-.6 F.05
G00 X54.
M36
M05
G91 G28 B0
G90
G55
T0808
G96 S180 M03
;        ^^^ warning: main_spindle_on_second_side
G00 X52. Z-5.
Z0
G01 X13. F.15
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::main_spindle_on_second_side
