// A sequence that cuts without coolant, where most others switch it on.
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

namespace turnwright::checks::rules::coolant_missing {

namespace {

bool counts(const ToolOfSpan& tool) {
    return tool.span->sequence && !tool.span->program->is_subprogram && tool.span->facts->cuts_turning;
}
/// Its cuts stand in a program of the file that it calls with the spindle turning.
struct ByCall {
    bool cuts = false, coolant = false;
};
ByCall by_call(std::span<const ToolOfSpan> tools, const ToolOfSpan& tool) {
    ByCall found;
    for (const Act& act : tool.work->acts) {
        const ActWord* word = act.calls_program && act.turns() ? tool.work->word(act, 'P') : nullptr;
        if (!word) continue;
        for (const ToolOfSpan& called : tools)
            if (called.span->program->is_subprogram && called.span->program->number == word->number)
                for (const Act& inner : called.work->acts) {
                    found.cuts = found.cuts || inner.cuts();
                    found.coolant = found.coolant || inner.states(Group::coolant) || inner.calls_program;
                }
    }
    return found;
}
bool is_wet(const ToolOfSpan& tool) {
    std::uint16_t seen = tool.span->facts->seen[static_cast<std::size_t>(Group::coolant)];
    return (seen & ~(1u << codes::member_of(Meaning::coolant_off))) != 0;
}
/// The first of its cuts, where the coolant is off at all of them, though it is on elsewhere in the sequence.
const Act* first_of_dry_cuts(const ToolOfSpan& tool) {
    const Act* first = nullptr;
    for (const Act& act : tool.work->acts) {
        if (!act.cuts() && !act.threads() && !act.taps()) continue;
        if (act.stopped() || !Act::only(act.coolant, Meaning::coolant_off)) return nullptr;
        if (!first) first = &act;
    }
    return first;
}

/// Another code, which a note tells, brings coolant or air.
bool is_wet_by(const FileContext& context, const ToolOfSpan& tool, const std::vector<MachineCode>& codes) {
    for (const MachineCode& code : codes)
        if (code.number > 9 && speaks_of(code.words, {"AIR", "MIST", "COOL", "HIGH PRESSURE", "OIL"})) {
            context.reader().whole(machine::Whole::text);
            for (const Act& act : tool.work->acts)
                if (tool.work->has_code(act, 'M', code.number)) return true;
        }
    return false;
}
/// A driven tool makes small holes in passing; else a note says that it is meant.
bool is_dry_on_purpose(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                       const ToolOfSpan& tool) {
    return tool.own->live || tool.listed->live ||
           notes_about(context, tools, tool).speak_of({"DRY", "AIR", "MIST"});
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const auto codes = codes_told(context);
    std::size_t with = 0;
    std::vector<const ToolOfSpan*> dry;
    const bool looks_at_cuts = reads_acts(context);
    for (const ToolOfSpan& tool : tools)
        if (counts(tool) || (looks_at_cuts && !tool.span->program->is_subprogram && tool.span->sequence &&
                             by_call(tools, tool).cuts)) {
            const bool wet = is_wet(tool) && !(looks_at_cuts && first_of_dry_cuts(tool));
            if (wet || by_call(tools, tool).coolant || is_wet_by(context, tool, codes))
                ++with;
            else
                dry.push_back(&tool);
        }
    if (with == 0 || dry.empty() || dry.size() > 2 * with) return;
    std::erase_if(dry, [&](const ToolOfSpan* tool) { return is_dry_on_purpose(context, tools, *tool); });
    if (!keeps_habit(shop::Rule::unset, with, with + dry.size())) return;
    for (const ToolOfSpan* tool : dry) {
        if (!tool->span->facts->first_move) continue;
        report.at(tool->span->place(*tool->span->facts->first_move))
            .message(
                said("{} cuts dry: {} of {} sequences switch the coolant on. Write M08, if it is not meant "
                     "so.",
                     name_of(*tool->span->sequence), with, with + dry.size()));
    }
}

} // namespace

extern const Check check{
    .id = "coolant_missing",
    .family = Family::coolant,
    .severity = Severity::information,
    .title = "Sequence cuts dry, where the others have coolant",
    .documentation =
        "Most sequences of this program switch the coolant on before they cut, and this one does not. "
        "If it is meant to run dry all is well; a drill or a form tool left dry by mistake burns. The "
        "habit is learned when two of three sequences keep it. Driven tools, a note that says DRY or AIR, "
        "and a "
        "code that a note calls coolant, air or high pressure keep it quiet.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N3 T0303
G97 S500 M03
G00 X2. Z.5
;^^^ information: coolant_missing
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            // Off where all others switch it on.
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
G00 X2. Z.5 M08
G01 Z-.5 F.01
G00 X4. Z2.
M01
N2 T0202
G97 S500 M03
G00 X2. Z.5 M09
;^^^^^^^^^^^^^^ information: coolant_missing
G01 Z-.5 F.01
G00 X4. Z2.
M01
N3 T0303
G97 S500 M03
G00 X2. Z.5 M08
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
G00 X2. Z.5
;^^^ information: coolant_missing
G01 Z-.5 F.01
G00 X4. Z2.
M01
N3 T0303
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N4 T0404
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N3 T0303
G97 S500 M03
M07
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
N3 T0303
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::A, R"(
(M88 HIGH PRESSURE ON / M89 OFF)
G21 G99
N1 T0101
G97 S500 M03
M08
G00 X42. Z1.
G01 Z-5. F0.2
G00 X60. Z20. M09
N2 T0202
G97 S500 M03
M08
G00 X42. Z1.
G01 Z-5. F0.2
G00 X60. Z20. M09
N3 (DRILL 20)
T0303
G97 S500 M03
G00 X0 Z5. M88
G01 Z-30. F0.2
G00 Z5. M89
N4 (POLISH, DRY)
T0404
G97 S500 M03
G00 X42. Z1.
G01 Z-5. F0.2
M30
)"},
            // The drill's cuts stand in a macro of the file.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z0 M08
G01 X-1.6 F0.18
G28 U0 W0 M09
T0303
G97 S1200 M03
G00 X0 Z5. M08
G01 Z-5. F0.08
G00 Z5.
G28 U0 W0 M09
T0505
G97 S500 M03
G00 X0 Z5.
;^^^^^^^^^ information: coolant_missing
G65 P9101 Z-120. F0.14
G28 U0 W0 M09
M30
O9101
G01 Z#26 F#9
G00 Z5.
M99
)"},
            // It switches the coolant itself.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z0 M08
G01 X-1.6 F0.18
G28 U0 W0 M09
T0303
G97 S1200 M03
G00 X0 Z5. M08
G01 Z-5. F0.08
G00 Z5.
G28 U0 W0 M09
T0505
G97 S500 M03
G00 X0 Z5.
G65 P9101 Z-120. F0.14
G28 U0 W0 M09
M30
O9101
M08
G01 Z#26 F#9
G00 Z5.
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::coolant_missing
