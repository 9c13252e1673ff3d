// The spindle is started for turning while it is still an axis.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::c_axis_left_on {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// Whether M03 and M04 speak to the spindle of the part here: a live tool has codes of its own, or none is
/// turned by surface speed.
bool is_part_spindle(const ClampAct& at, const std::vector<MachineCode>& codes) {
    if (at.tool->work->word(*at.act, 'P')) return false; // Says which spindle
    return code_that(codes, Does::live_on) || at.act->surface_speed();
}

/// Where nothing tells the codes: tools that drill beside the centre are started by a code of the builder
/// with S, and one by M03.
void look_at_starts(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const std::vector<MachineCode> codes = codes_told(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        struct Start {
            const ToolOfSpan* tool = nullptr;
            const Act* act = nullptr;
            int code = 0; ///< 3: M03 or M04
        };
        std::vector<Start> starts;
        bool c_moves = false;
        for (const ToolOfSpan& tool : program) {
            Start start;
            for (const Act& act : tool.work->acts) {
                if (act.calls_program || act.deleted) return;
                c_moves = c_moves || act.turns_part;
                if (act.gives_speed) {
                    int code = 0;
                    for (const ActWord& word : tool.work->words_of(act))
                        if (word.letter == 'M' &&
                            (is_of_builder(word) || word.number == 3 || word.number == 4) && word.p < 0)
                            code = word.number < 10 ? 3 : machine::whole_number(word.number);
                    start = Start{&tool, &act, code};
                }
                const bool beside = act.motion == MotionKind::drill_cycle && known(act.from_x) &&
                                    act.from_x != 0 && (!known(act.to_x) || act.to_x != 0 || !act.moves_x);
                // A mill at work round the part shows how live tools are started; drilling beside the centre
                // where that is wanted.
                const bool mills = act.cuts() && (act.cylinder || act.polar ||
                                                  (act.turns_part && act.motion == MotionKind::feed));
                if (act.cuts() && !beside && !mills && start.code == 3) start = {}; // It turns
                if (mills && start.code == 3) break;
                if (!(beside || mills) || act.taps() || !start.act || !c_moves) continue;
                starts.push_back(start);
                break;
            }
        }
        const Start* odd = nullptr;
        std::size_t others = 0;
        for (const Start& one : starts) {
            if (one.code == 0) return;
            if (one.code != 3)
                ++others;
            else if (odd)
                return;
            else
                odd = &one;
        }
        if (!odd || others < 1) return;
        // Told: another check speaks of it.
        if (code_that(codes, Does::live_on)) return;
        const auto other =
            std::find_if(starts.begin(), starts.end(), [](const Start& one) { return one.code != 3; });
        report.at_letter(odd->tool->place(*odd->act), 'M')
            .message(said("M03 and M04 start the main spindle, and this tool drills beside the centre at an "
                          "angle of C: the "
                          "part turns under it, or the control alarms, and the tool stands. The other such "
                          "tools of the "
                          "program are started by M{0:02}. Write M{0:02}.",
                          other->code))
            .related(other->tool->place(*other->act), said("started here by its own code"));
    });
}

void file(const FileContext& context, Report& report) {
    look_at_starts(context, report);
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* off = code_that(codes, Does::c_off);
        std::set<const Act*> told; // Once each time it is engaged
        for (const ClampEvent& event : events) {
            const Held& c = event.at.of(HeldBy::c_axis);
            if (event.kind != Kind::starts_spindle || !c.surely() || !is_part_spindle(event.at, codes) ||
                !told.insert(c.act).second)
                continue;
            const Meaning way = Act::only(event.at.act->direction, Meaning::spindle_reverse)
                                    ? Meaning::spindle_reverse
                                    : Meaning::spindle_forward;
            auto entry = report_at_code(report, context.reader(), event.at.tool->place(*event.at.act), way);
            entry
                .message(
                    said("The spindle is started while {} still holds it as an axis: the control alarms, "
                         "or the tool is pushed into a part that stands. {}",
                         with_words(*c.code),
                         off ? said("Write M{:02} behind the last C.", off->number)
                             : std::string(said("Release the C axis behind the last C."))))
                .related(c.tool->place(*c.act), said("engaged here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_axis_left_on",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle started with the C axis engaged",
    .documentation =
        "The code that engages the C axis was given and none that releases it, and M03 or M04 starts the "
        "spindle for turning: the control alarms, or the spindle does not turn and the tool is pushed into a "
        "standing part. What the codes mean is read from `m_codes` in the shop file (`does = \"C axis on\"`, "
        "`\"C axis off\"`), else from notes (M51 C ON, M50 C OFF); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0505
M51
G28 H0
G98 G97 S1800 M13
G00 X80. Z5. C0.
G83 X80. C0. Z-12. R-3. F150.
C60.
G80
G00 X250. Z150.
M15
T0202
G50 S2400
G99 G96 S260 M03
;            ^^^ warning: c_axis_left_on
G00 X116. Z3.
G01 Z0. F0.15
X-1.6
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
M45
G94 G97 S1800
G00 X80. Z5. C0.
G01 Z-2. F80.
G00 Z5.
T0202
G92 S2400
G95 G96 S260 M04
;            ^^^ warning: c_axis_left_on
G00 X116. Z0.
G01 X-1.6 F.2
M30
)",
             shop_with_c},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0505
M51
G98 G97 S1800 M13
G00 X80. Z5. C0.
G83 X80. C0. Z-12. R-3. F150.
G80
M15
M50
T0202
G50 S2400
G99 G96 S260 M03
G00 X116. Z3.
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF)
G21 G90 G94
T0505
M51
G97 S1800 M03
G00 X80. Z5. C0.
G01 Z-2. F80.
G00 Z5.
M05
M50
M30
)"},
            {System::C, R"(
(M20 C ON TO FLAT, SEE SHEET)
G71 G90 G95
T0202
G92 S2400
G96 S260 M03
G00 X116. Z0.
G01 X-1.6 F.2
M30
)"},
            // Nothing tells the codes: by what starts the other one.
            {System::A, R"(
G21 G98 G97
M54
T0505
G97 S2400 M63
G00 X90. Z5. C0
G83 X90. C0 Z-20. R-3. F180.
G80
M64
T0606
G97 S2400 M3
;         ^^ warning: c_axis_left_on
G00 X60. Z5. C90.
G83 X60. C90. Z-20. R-3. F180.
G80
M64
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
M54
T0505
G97 S2400 M03
G00 X90. Z5. C0
G83 X90. C0 Z-20. R2. F180.
G80
T0606
G97 S2400 M03
G00 X60. Z5. C90.
G83 X60. C90. Z-20. R2. F180.
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_axis_left_on
