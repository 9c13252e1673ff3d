// A tap driven in by threading moves that is pulled out with the spindle turning in.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

namespace turnwright::checks::rules::tap_not_reversed {

namespace {

bool along_centre(const Act& act) {
    return act.motion == MotionKind::thread && act.moves_z && act.from_x == 0 && act.to_x == 0 &&
           known(act.from_z) && known(act.to_z) && !act.in_contour;
}
/// Its bit of the only direction that it turns in; 0: it stands, or not known.
std::uint8_t turning(const Act& act) {
    return act.turns() ? act.direction : std::uint8_t{0};
}

void look_at(const FileContext& context, const std::vector<ToolOfSpan>& tools, const ToolOfSpan& tool,
             Report& report) {
    const Act *in = nullptr, *turn = nullptr;
    for (const Act& act : tool.work->acts) {
        if (in && !act.moves() && act.states(Group::spindle_direction)) turn = &act;
        if (!act.moves()) continue;
        const bool goes_out = in && along_centre(act) && act.to_z > act.from_z;
        if (goes_out && act.to_z >= 0 && turning(act) != 0 && turning(act) == turning(*in)) {
            if (notes_about(context, tools, tool).speak_of({"REVERS", "SELF", "AUTO"})) return;
            const bool forward = Act::only(act.direction, Meaning::spindle_forward);
            const std::string back =
                code(context.settings(), forward ? Meaning::spindle_reverse : Meaning::spindle_forward);
            report_at_code(report, context.reader(), tool.place(turn ? *turn : act),
                           turn ? (forward ? Meaning::spindle_forward : Meaning::spindle_reverse)
                                : Meaning::thread)
                .message(said("The tap goes in to Z{} and is drawn out with the spindle still turning "
                              "the same way: the "
                              "thread is stripped and the tap breaks. Write {} at the bottom, before "
                              "the way out; if the "
                              "holder reverses by itself, say so in a note.",
                              written(in->to_z), back));
            return;
        }
        in = along_centre(act) && act.to_z < act.from_z && act.to_z < 0 ? &act : nullptr;
        turn = nullptr;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools)
        if (tool.work->has_threads) look_at(context, tools, tool, report);
}

} // namespace

extern const Check check{
    .id = "tap_not_reversed",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Tap drawn out without reversing",
    .documentation = "A tap is driven into the hole by a threading move on the centre and comes out by "
                     "another one, and the "
                     "spindle turns the same way in both: it is screwed in further while the slide pulls it "
                     "back, which strips "
                     "the thread and breaks the tap. The code for the other direction is missing at the "
                     "bottom, or it is the "
                     "same as before. Holders that reverse by themselves are let pass where a note says so.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0707
G97 S300 M03
G00 X0 Z6.
G33 Z-13. F1.25
M03
;^^ warning: tap_not_reversed
G33 Z6. F1.25
M05
M30
)"},
            {System::A, R"(
G20 G99
T0707
G97 S300 M03
G00 X0 Z.3
G32 Z-.6 F.05
G32 Z.3
;^^ warning: tap_not_reversed
M05
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S300 M03
G00 X0 Z6.
G33 Z-13. F1.25
M04
G33 Z6.
M05
M30
)"},
            {System::A, R"(
G21 G99
(M8 SELF-REVERSING HEAD)
T0707
G97 S300 M03
G00 X0 Z6.
G32 Z-13. F1.25
G32 Z6.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S300 M03
G00 X20. Z6.
G32 Z-13. F1.25
G00 X24.
Z6.
X19.6
G32 Z-13.
G00 X24.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tap_not_reversed
