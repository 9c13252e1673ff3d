// Beside a second spindle Z goes home with X still at the part, where the others send X home first.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::home_order_at_second_spindle {

namespace {

constexpr int enough = 3;

/// Z sent home behind a cut, and X not moved out since.
struct Odd {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    float x = not_known;
};

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    int x_first = 0, others = 0;
    bool second = false, cut = false, x_out = false;
    std::optional<Odd> odd;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            second = second || act.spindle == machine::Spindle::second;
            if ((act.cuts() || act.threads() || act.taps() || act.drills()) && !act.in_contour) {
                cut = true;
                // Out of a hole in the face or a bore the way along Z comes first.
                x_out = !(act.moves_x && !act.moves_z && known(act.to_x) && known(act.from_x) &&
                          act.to_x < act.from_x);
            }
            if (!act.moves() || act.in_contour) continue;
            if (act.motion == MotionKind::rapid) x_out = true;
            if (!is_return(act.motion) || !cut) continue;
            cut = false;
            if (act.moves_x && !act.moves_z)
                ++x_first;
            else if (act.moves_x || act.deleted || odd)
                ++others;
            else if (!x_out)
                odd = Odd{&tool, &act, act.from_x};
        }
    if (!second || !odd || others > 0 || x_first < enough) return;
    const std::string where =
        known(odd->x) ? said("at X{} (diameter)", written(2 * odd->x)) : said("where it cut");
    report.at_letter(odd->tool->place(*odd->act), 'Z')
        .message(
            said("Z goes home here with X still {}: the {} other ways home behind a cut send X "
                 "first. The tool and the turret run along the part into the chuck or the second spindle. "
                 "Send X home in a block before.",
                 where, x_first));
}

/// While the second chuck holds the part that is cut off, its spindle stands in front of it: Z does not go
/// home with X anywhere but home.
void look_at_take_over(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                       Report& report) {
    bool closed = false, came = false, cut = false, x_home = false;
    const MachineCode* closes = nullptr;
    float x = not_known;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) closed = cut = false; // What is done there may change it
            if (slide_word(*tool.work, act)) {
                came = act.gives_feed && !act.deleted;
                if (!came) closed = cut = false; // Away, with the part or without it
            }
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code) continue;
                if (code->does == MachineCode::Does::second_close && came)
                    closed = true, cut = false, closes = code;
                if (code->does == MachineCode::Does::second_open) closed = cut = false;
            }
            if (!act.moves() || act.in_contour) continue;
            if (act.moves_x) {
                x_home = is_return(act.motion);
                x = act.to_x;
            }
            cut = cut || (closed && act.cuts() && act.moves_x && !slide_word(*tool.work, act));
            if (!closed || !cut || !is_return(act.motion) || !act.moves_z || act.moves_x || act.deleted ||
                x_home)
                continue;
            const std::string where =
                known(x) ? said("at X{} (diameter)", written(2 * x)) : said("where it cut");
            report.at_letter(tool.place(act), act.by_w ? 'W' : 'Z')
                .message(said(
                    "Z goes home here with X still {}, and {} holds the part: the second spindle stands in "
                    "front of it, and the blade and the turret run into it. Send X home in a block before.",
                    where, with_words(*closes)));
            return;
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto codes = tools.empty() ? std::vector<MachineCode>() : codes_told(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at(program, report);
        look_at_take_over(program, codes, report);
    });
}

} // namespace

extern const Check check{
    .id = "home_order_at_second_spindle",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Z sent home before X beside a second spindle",
    .documentation =
        "A program works on two spindles, and behind one cut it sends Z home with X left where it cut, "
        "while all other ways home behind a cut (three or more) send X first, in a block of its own. "
        "Between two spindles Z goes home past a chuck: the tool runs along the part into it. Nothing is "
        "said of these behind work on the centre or in a bore, where a rapid comes before, or where any "
        "other "
        "way home has another order. And while the second chuck holds the part, as its codes are told, with "
        "a tool "
        "that has cut it off, Z does not go home before X.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99 G97
T0101
S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
G28 U0
G28 W0
T0202
G00 X40. Z-10.
G01 X30. F.1
G28 U0
G28 W0
G55
T0303
S1000 M203
G00 X40. Z-2.
G01 Z12. F.2
G28 U0
G28 W0
T0404
G00 X40. Z4.
G01 X30. F.1
G28 W0
;   ^^ warning: home_order_at_second_spindle
M205
M30
)"},
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95 G97
T0101
S1000 M03
G00 X2. Z.1
G01 Z-.8 F.008
G28 X3.
G28 Z1.
T0202
G00 X2. Z-.4
G01 X1.2 F.004
G28 X3.
G28 Z1.
G55
T0303
S1000 M303
G00 X2. Z-.1
G01 Z.5 F.008
G28 X3.
G28 Z-1.
T0404
G00 X2. Z.2
G01 X1.2 F.004
G28 Z-1.
;   ^^^ warning: home_order_at_second_spindle
M305
M30
)"},
            // X first everywhere.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99 G97
T0101
S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
G28 U0
G28 W0
T0202
G00 X40. Z-10.
G01 X30. F.1
G28 U0
G28 W0
G55
T0303
S1000 M203
G00 X40. Z-2.
G01 Z12. F.2
G28 U0
G28 W0
M205
M30
)"},
            // X is out before.
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G21 G90 G95 G97
T0101
S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
G28 X80.
G28 Z20.
T0202
G00 X40. Z-10.
G01 X30. F.1
G28 X80.
G28 Z20.
G55
T0303
S1000 M303
G00 X40. Z-2.
G01 Z12. F.2
G28 X80.
G28 Z-20.
T0404
G00 X40. Z4.
G01 X30. F.1
G00 X120.
G28 Z-20.
M305
M30
)"},
            // A plain lathe: nothing stands in the way of Z.
            {System::C, R"(
G71 G90 G95 G97
T0101
S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
G28 X80.
G28 Z20.
T0202
G00 X40. Z-10.
G01 X30. F.1
G28 X80.
G28 Z20.
T0303
G00 X40. Z-2.
G01 Z-12. F.2
G28 X80.
G28 Z20.
T0404
G00 X40. Z-4.
G01 X30. F.1
G28 Z20.
M30
)"},
            {System::B, R"(
(M12 SECOND CHUCK SHUT, M13 SECOND CHUCK OPEN, M20 BOTH SPINDLES TOGETHER, M21 TOGETHER OFF)
G21 G90 G95
T0707
M13
G97 S1200 M03
M20
G00 B-540.
G94 G01 B-599.5 F500
M12
G95
G00 X44. Z-27.5
G01 X-0.5 F0.08
G00 X44.
G53 Z0
;   ^^ warning: home_order_at_second_spindle
G53 X0
M21
M05
G53 B0
M30
)"},
            {System::B, R"(
(M12 SECOND CHUCK SHUT, M13 SECOND CHUCK OPEN, M20 BOTH SPINDLES TOGETHER, M21 TOGETHER OFF)
G21 G90 G95
T0707
M13
G97 S1200 M03
M20
G00 B-540.
G94 G01 B-599.5 F500
M12
G95
G00 X44. Z-27.5
G01 X-0.5 F0.08
G00 X44.
M21
M05
G53 B0
G53 Z0
G53 X0
M30
)"},
        },
};

} // namespace turnwright::checks::rules::home_order_at_second_spindle
