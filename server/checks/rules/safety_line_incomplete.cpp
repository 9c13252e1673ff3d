// A sequence that does not state what most sequences of the program state.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::safety_line_incomplete {

namespace {

/// Holes and threads are cut under constant rpm: that surface speed is not stated is no fault of theirs.
bool wants_rpm(const Acts& work) {
    return std::any_of(work.acts.begin(), work.acts.end(), [](const Act& act) {
        return act.drills() || act.taps() || act.threads() ||
               (act.motion == MotionKind::feed && act.moves_z && act.from_x == 0 && act.to_x == 0);
    });
}

void entry(const EntryContext& context, Report& report) {
    const Across& across = context.across;
    if (!context.span.sequence || context.span.program->is_subprogram || across.safety_line.empty()) return;
    // The same tool goes on behind a stop, to measure mostly.
    if (const machine::Value& tool = context.facts.tool_at_entry;
        context.span.sequence->calls_tool && tool.known() && tool.number == context.span.sequence->tool &&
        context.shop.house.safety_line.empty())
        return;
    machine::Parts set = 0;
    for (Meaning meaning : context.span.facts->safety_line) set |= part(codes::group_of(meaning));
    const bool is_first = context.span.sequence == &context.span.program->sequences.front();
    bool from_shop = !context.shop.house.safety_line.empty();
    std::string missing;
    std::size_t with = across.sequences;
    for (Meaning meaning : across.safety_line) {
        std::size_t group = static_cast<std::size_t>(codes::group_of(meaning));
        if (set >> group & 1u) continue;
        // The first sequence has its head; G96 and G97 may follow the first rapid.
        if (!from_shop && is_first && context.span.facts->at_entry[group].known()) continue;
        if (group == static_cast<std::size_t>(Group::spindle_mode) &&
            (context.span.facts->sets >> group & 1u))
            continue;
        if (!from_shop && meaning == Meaning::surface_speed && wants_rpm(*context.span.facts->acts.held))
            continue;
        if (!from_shop && !keeps_habit(shop::Rule::unset, across.set_at_entry[group], across.sequences))
            continue;
        with = std::min(with, across.set_at_entry[group]);
        missing += (missing.empty() ? "" : " ") + code(context.settings, meaning);
    }
    if (missing.empty()) return;
    // A bar stop or a puller needs no speed.
    if (!context.span.facts->cuts_turning && !from_shop) {
        const std::string mode = code(context.settings, Meaning::constant_rpm);
        if (missing == mode || missing == code(context.settings, Meaning::surface_speed)) return;
    }
    BlockPlace place = context.span.facts->safety_block
                           ? context.span.place(*context.span.facts->safety_block)
                           : context.span.sequence->tool_call;
    std::string why = from_shop ? std::string(said("the shop file asks for it"))
                                : said("{} of {} sequences state it", with, across.sequences);
    report.at(place).message(
        said("{} states no {} before it moves: {}.", name_of(*context.span.sequence), missing, why));
}

} // namespace

extern const Check check{
    .id = "safety_line_incomplete",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Safety line lacks a code that the others have",
    .documentation =
        "Most sequences of this program state a modal code before their first move, in their safety "
        "line, and this one does not. Whatever the sequence before has left is in force then. The "
        "habit is learned when two of three sequences keep it; `safety_line` under `[house]` in the "
        "shop file fixes it.",
    .entry = entry,
    .examples =
        {
            {System::A, R"(
N1 (FACE)
G54 G97 G21 G80 G40 G99
T0101
G00 X50. Z2.
M01
N2 (DRILL)
G54 G97 G21 G80 G40 G99
T0202
G00 X0. Z2.
M01
N3 (GROOVE)
G54 G97 G21 G80 G99
;^^^ information: safety_line_incomplete
T0303
G00 X50. Z-5.
M30
)"},
            {System::B, R"(
N1 G20 G90 G40 T0101
G00 X2. Z.1
M01
N2 G20 G90 G40 T0202
G00 X0 Z.1
M01
N3 T0303
;  ^^^^^ information: safety_line_incomplete
G00 X2. Z.1
M30
)"},
            {System::C, R"(
N1 G71 G40
;  ^^^ information: safety_line_incomplete
T0101
G00 X50. Z2.
M30
)",
             "[house]\nsafety_line = [\"G54\", \"G40\"]\n"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
G00 X50. Z2.
M01
N2 T0202
G00 X0. Z2.
M01
N3 T0303
G00 X50. Z-5.
M30
)"},
            {System::B, R"(
N1 G20 G90 G40 T0101
G97 S500
G00 X2. Z.1
M01
N2 G90 G20 G40
T0202
G97 S500
G00 X0 Z.1
M01
N3
G20 G90
G40 G97
T0303
G00 X2. Z.1
M30
)"},
            {System::C, R"(
N1 G71 G40 T0101
G00 X50. Z2.
M01
N2 G71 T0202
G00 X50. Z2.
M30
)"},
            {System::A, R"(
G21 G40 G99 G50 S2000
N1 T0101
G96 S150 M03
G00 X62. Z2.
G01 Z-20. F0.2
M01
N2 T0202
G96 S150 M03
G00 X60. Z2.
G01 Z-20. F0.2
M01
N3 (DRILL D10)
T0303
S800 M03
G00 X0 Z5.
G83 Z-20. R-2. Q5000 F0.15
G80
M30
)"},
        },
};

} // namespace turnwright::checks::rules::safety_line_incomplete
