// The second side is worked in the datum of the first: the code that changes it is lost.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "checks/second_sides.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::second_side_in_first_datum {

namespace {

struct Faced {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    float from_z = 0; ///< On the free side: that the tool came to the face from, else went to behind it
};

/// Faces of both spindles, and where the program states a datum.
struct Sides {
    std::optional<Faced> first, second;
    std::vector<std::pair<const ToolOfSpan*, const Act*>> datums;
    const Act* last_cut = nullptr;
    bool taken_over = false; ///< The slide of the second spindle was fed onto the part
    bool shifts = false;     ///< Something else may move the datum, or cannot be followed
};

void take(const ToolOfSpan& tool, const Act& act, float& came_from, float& came_to, Sides& sides) {
    if (act.states(Group::datum)) sides.datums.emplace_back(&tool, &act);
    if (act.calls_program || act.deleted) sides.shifts = true;
    if (slide_word(*tool.work, act) && act.gives_feed) sides.taken_over = true;
    if (act.calls_tool || is_return(act.motion)) came_from = came_to = not_known;
    if (act.cuts()) sides.last_cut = &act;
    if (!act.moves() || act.in_contour) return;
    const bool is_second = act.spindle == machine::Spindle::second || sides.taken_over;
    std::optional<Faced>& side = is_second ? sides.second : sides.first;
    if (act.motion == MotionKind::rapid) {
        if (!act.moves_z) return;
        if (side && !known(side->from_z) && known(act.to_z)) side->from_z = act.to_z;
        came_from = act.from_z;
        came_to = act.to_z;
        return;
    }
    const bool faces = act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.from_x) &&
                       known(act.to_x) && act.to_x < act.from_x && known(came_to) && came_to == act.to_z;
    if (faces && !side && (act.spindle || sides.taken_over)) side = Faced{&tool, &act, came_from};
    // The last bit at feed.
    const float near = act.inch() ? .2F : 5.F;
    const bool comes = act.motion == MotionKind::feed && act.moves_z && !act.moves_x && known(act.from_z) &&
                       known(act.to_z) && std::abs(act.to_z - act.from_z) <= near;
    if (act.moves_z) {
        came_from = comes ? act.from_z : not_known;
        came_to = comes ? act.to_z : not_known;
    }
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    Sides sides;
    float came_from = not_known, came_to = not_known;
    for (const ToolOfSpan& tool : program) {
        sides.shifts = sides.shifts || !tool.work->whole;
        for (const Act& act : tool.work->acts) take(tool, act, came_from, came_to, sides);
    }
    if (sides.shifts || !sides.first || !sides.second || sides.datums.size() != 2 ||
        !known(sides.first->from_z) || !known(sides.second->from_z))
        return;
    const auto place = [](const auto& side) { return side.tool->place(*side.act); };
    const BlockPlace first = place(*sides.first), second = place(*sides.second);
    const auto stated = [&](std::size_t i) { return sides.datums[i].first->place(*sides.datums[i].second); };
    if (!(stated(0) < first) || !(first < second) || !(second < stated(1))) return;
    const auto datum_at = [&](BlockPlace at) { return context.reader().after(at).of(Group::datum).possible; };
    if (datum_at(second) != datum_at(stated(1)) || datum_at(first) != datum_at(second)) return;
    // Metal on both sides of one Z: no part stands so in one datum.
    const bool turned =
        (sides.first->from_z - sides.first->act->to_z) * (sides.second->from_z - sides.second->act->to_z) < 0;
    if (!turned) return;
    const auto& acts = sides.second->tool->work->acts;
    const auto call = std::find_if(acts.begin(), acts.end(), [](const Act& act) { return act.calls_tool; });
    const bool calls = call != acts.end() && first < sides.second->tool->place(*call);
    (calls ? report.at(sides.second->tool->place(*call)) : report.at_letter(second, 'X'))
        .message(said(
            "The second side is faced from Z{} to Z{} in the datum of the first side, where the first "
            "side has its free side toward Z{}: no code between gives the second spindle a datum of its own, "
            "and the program goes back to the first one behind, where it is still in force. "
            "The turret goes to the first spindle. Write the second side's datum (such as G55) before "
            "its first tool.",
            written(sides.second->from_z), written(sides.second->act->to_z), written(sides.first->from_z)))
        .related(stated(1), said("stated again here"));
}

/// The slide has gone home with the part, and between that and the first cut in the second spindle stands no
/// datum and no code of the builder that nothing tells; behind it the datum that was in force all along is
/// stated again.
void look_for_code(const FileContext& context, std::span<const ToolOfSpan> program,
                   const std::vector<MachineCode>& codes, Report& report) {
    using Does = MachineCode::Does;
    struct At {
        const ToolOfSpan* tool = nullptr;
        const Act* act = nullptr;
    };
    bool fed = false, closed = false, away = false, cuts_first = false, unknown = false;
    std::optional<At> stated, call, cut, again;
    std::optional<At> behind_way; ///< The first side's datum once more, where the second side's belongs
    const auto datum_at = [&](const At& at) {
        return context.reader().after(at.tool->place(*at.act)).of(Group::datum).possible;
    };
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted) return;
            if (act.states(Group::datum)) {
                if (cut && again) return;
                if (cut)
                    again = At{&tool, &act};
                else if (away && stated && !behind_way && datum_at(*stated) == datum_at({&tool, &act}))
                    behind_way = At{&tool, &act};
                else if (away || (stated && datum_at(*stated) != datum_at({&tool, &act})) ||
                         (!stated && cuts_first))
                    return;
                else
                    stated = At{&tool, &act};
            }
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (code && code->does == Does::second_close) closed = true;
                if (code && away && !cut &&
                    (code->does == Does::clamp_open || code->does == Does::second_open))
                    return;
                // It may bring a datum of its own; not where the first one is stated in so many words.
                unknown = unknown || (away && !cut && !code && !act.gives_speed && is_of_builder(word));
            }
            if (const ActWord* slide = slide_word(*tool.work, act)) {
                fed = fed || act.gives_feed;
                away = away || (fed && closed && (slide->number == 0 || act.motion == MotionKind::reference));
            }
            if (away && !call && act.calls_tool) call = At{&tool, &act};
            cuts_first = cuts_first || act.cuts();
            if (call && !cut && act.cuts()) {
                if (act.spindle != machine::Spindle::second) return;
                cut = At{&tool, &act};
            }
        }
    }
    if (!stated || !cut || !again || datum_at(*stated) != datum_at(*again) || (unknown && !behind_way))
        return;
    if (behind_way) {
        report.at_letter(behind_way->tool->place(*behind_way->act), 'G')
            .message(said(
                "The slide has gone home with the part, and here the datum of the first side is stated once "
                "more, though it is in force all along and the program goes back to it behind: this is "
                "where the second spindle's own belongs. The turret goes to the first spindle. Write the "
                "second side's datum (such as G55)."))
            .related(again->tool->place(*again->act), said("stated again here"));
        return;
    }
    report.at(call->tool->place(*call->act))
        .message(said(
            "The slide has gone home with the part, this tool works on it in the second spindle, and the "
            "datum is still that of the first one: no code between gives the second spindle its own, and "
            "the program goes back to the first one behind, where it is in force all along. The turret "
            "goes to the first spindle. Write the second side's datum (such as G55) before it."))
        .related(again->tool->place(*again->act), said("stated again here"));
}

/// What a tool cuts first on the second spindle.
struct FirstCut {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

/// One tool of the second side works in the datum of the first, the others there in one of their own.
void look_for_one(std::span<const ToolOfSpan> program, const SecondSpindle& second, Report& report) {
    for (const SecondSide& side : second.sides) {
        std::uint16_t of_first = 0; ///< Members in force at the cuts of the first side
        std::vector<FirstCut> cuts;
        for (const ToolOfSpan& tool : program)
            for (const Act& act : tool.work->acts) {
                if (!act.cuts() && !act.drills() && !act.taps() && !act.threads()) continue;
                if (tool.place(act) < side.first) {
                    if (act.spindle == machine::Spindle::main) of_first |= act.datum;
                    continue;
                }
                if (act.spindle != machine::Spindle::second || act.stopped() ||
                    !second.holds(tool.place(act)))
                    continue;
                if (cuts.empty() || cuts.back().tool != &tool) cuts.push_back({&tool, &act});
            }
        const auto is_single = [](std::uint16_t members) { return members && !(members & (members - 1)); };
        const auto in_first = [&](const FirstCut& cut) { return cut.act->datum == of_first; };
        if (!is_single(of_first) || cuts.size() < 2 || std::count_if(cuts.begin(), cuts.end(), in_first) != 1)
            continue;
        const auto one = std::find_if(cuts.begin(), cuts.end(), in_first);
        const auto other = one == cuts.begin() ? std::next(one) : cuts.begin();
        const auto alike = [&](const FirstCut& cut) {
            return in_first(cut) || (cut.act->datum == other->act->datum && is_single(cut.act->datum));
        };
        if (!std::all_of(cuts.begin(), cuts.end(), alike)) continue;
        const auto& acts = one->tool->work->acts;
        // A stop that the next bar comes to starts no spindle.
        const auto starts_it = [&](const Act& act) {
            return act.spindle == machine::Spindle::second && act.turns() && act.gives_speed &&
                   one->tool->work->word(act, 'M');
        };
        const bool starts = std::any_of(acts.begin(), acts.end(), starts_it);
        if (!starts) continue;
        const auto states =
            std::find_if(acts.begin(), acts.end(), [](const Act& act) { return act.states(Group::datum); });
        const Act& at = states != acts.end() && &*states < one->act ? *states : *one->act;
        report.at(one->tool->place(at))
            .message(said("This tool works on what the second spindle holds, and in the datum of the first "
                          "side, where the other tools there have one of their own: the turret goes to the "
                          "first spindle. Write the second side's datum here."))
            .related(other->tool->place(*other->act), said("another tool of that side"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (tools.empty()) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const SecondSpindle& second = context.second_spindle();
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        const std::size_t before = report.found.size();
        look_at(context, program, report);
        if (report.found.size() == before && code_that(codes, MachineCode::Does::second_close))
            look_for_code(context, program, codes, report);
        if (report.found.size() == before) look_for_one(program, second, report);
    });
}

} // namespace

extern const Check check{
    .id = "second_side_in_first_datum",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Second side worked in the datum of the first",
    .documentation =
        "A part is faced on the first spindle and on the second one, the tool coming from opposite sides of "
        "the "
        "face, and both are done in one datum: between them no G54 ... G59 stands, though the program states "
        "that datum again behind the second side, where it would be in force all along. The code that gives "
        "the "
        "second side its own datum is lost, and the turret goes to the first spindle. One tool of a second "
        "side that "
        "works in the first side's datum, where the others there have one of their own, is told, too. "
        "Nothing "
        "is said where "
        "the "
        "datum is not stated again, where a program is called between, or where the datum may be shifted "
        "otherwise.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(P1 BEHIND M03/M04/M05 = MAIN SPINDLE, P2 = BACK SPINDLE)
(M15 SUB COLLET OPEN, M16 SUB COLLET SHUT)
G21 G99
G54
T0404
G97 S1000 M03 P1
M15
S1000 M03 P2
G00 B-395.
G98 G01 B-418. F500
M16
G99
G00 X32. Z-47.3
G01 X-0.6 F0.04
G00 X60.
M05 P1
G00 B0
G28 U0 W0
T0505
;^^^^ warning: second_side_in_first_datum
G97 S1800 M03 P2
G00 X30. Z3.
Z0
G01 X-0.8 F0.12
G28 U0 W0
M05 P2
G54
M30
)"},
            // A code that nothing tells may bring the datum.
            {System::B, R"(
(P1 BEHIND M03/M04/M05 = MAIN SPINDLE, P2 = BACK SPINDLE)
(M15 SUB COLLET OPEN, M16 SUB COLLET SHUT)
G20 G90 G95
G54
T0404
G97 S1000 M03 P1
M15
S1000 M03 P2
G00 B-15.
G94 G01 B-16. F20.
M16
G95
G00 X1.3 Z-1.8
G01 X-.02 F.002
G00 X2.
M05 P1
G00 B0
M173
T0505
G97 S1800 M03 P2
G00 X1.2 Z.1
Z0
G01 X-.03 F.005
G00 X2.
M05 P2
G54
M30
)"},
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99 G97
G54
T0101
S1000 M03
G00 X34. Z2.
Z0.
G01 X-1. F.15
G28 U0
G28 W0
T0202
;^^^^ warning: second_side_in_first_datum
S1000 M203
G00 X34. Z-5.
Z0.
G01 X-1. F.15
G28 U0
G28 W0
M205
G54
M30
)"},
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95 G97 G54
T0101
S800 M03
G00 X1.4 Z.2
Z0
G01 X-.05 F.006
G28 X3.
G28 Z1.
T0808
;^^^^ warning: second_side_in_first_datum
S800 M303
G00 X1.4 Z-.2
G01 Z0 F.02
X-.05 F.006
G28 X3.
M305
G54
M30
)"},
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99 G97
G54
T0101
S1000 M03
G00 X34. Z2.
Z0.
G01 X-1. F.15
G28 U0
G28 W0
G55
T0202
S1000 M203
G00 X34. Z-5.
Z0.
G01 X-1. F.15
G28 U0
G28 W0
M205
G54
M30
)"},
            // The tools of the second side are set to it, and no datum is stated again.
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95 G97 G54
T0101
S800 M03
G00 X1.4 Z.2
Z0
G01 X-.05 F.006
G28 X3.
G28 Z1.
T0818
S800 M303
G00 X1.4 Z-.2
Z0
G01 X-.05 F.006
G28 X3.
M305
M30
)"},
            // The second spindle lies the same way round.
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G71 G90 G95 G97
G54
T0101
S1000 M03
G00 X34. Z2.
Z0.
G01 X-1. F.15
T0202
S1000 M203
G00 X34. Z5.
Z0.
G01 X-1. F.15
M205
G54
M30
)"},
            // The first one stated where the second side's belongs.
            {System::A, R"(
(P1 BEHIND M03/M04/M05 = MAIN SPINDLE, P2 = BACK SPINDLE)
(M15 SUB COLLET OPEN, M16 SUB COLLET SHUT)
G21 G99
G54
T0404
G97 S1000 M03 P1
M15
S1000 M03 P2
G00 B-395.
G98 G01 B-418. F500
M16
G99
G00 X32. Z-47.3
G01 X-0.6 F0.04
G00 X60.
M05 P1
G00 B0
G28 U0 W0
G54
;^^ warning: second_side_in_first_datum
T0505
G97 S1800 M03 P2
G00 X30. Z3.
Z0
G01 X-0.8 F0.12
G28 U0 W0
M05 P2
G54
M30
)"},
            // One tool of three.
            {System::A, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M35 SUB SPINDLE STOP, M10 CHUCK OPEN)
G21 G99
N1
G54
T0101
G97 S1500 M03
G00 X64. Z2.
G01 X50. F.2
G01 Z-30. F.2
G28 U0 W0
M05
M22
G00 B-300.
M21
M10
G00 B0
N8
G55
T0808
G96 S180 M33
G00 X60. Z-2.
Z0
G01 X-.8 F.12
G00 Z-5.
G28 U0 W0
N9
G54
;^^ warning: second_side_in_first_datum
T0909
G97 S1000 M33
G00 X0 Z-3.
G01 Z18. F.15
G00 Z-3.
G28 U0 W0
M35
M30
)"},
            {System::C, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M35 SUB SPINDLE STOP, M10 CHUCK OPEN)
G70 G90 G95
N1
G54
T0101
G97 S1500 M03
G00 X2.6 Z.1
G01 X2. F.01
G01 Z-1.2
G00 X6. Z4.
M05
M22
G00 B-12.
M21
M10
G00 B0
N8
G55
T0808
G96 S600 M33
G00 X2.4 Z-.1
Z0
G01 X-.03 F.006
G00 Z-.2
X6. Z4.
N9
G55
T0909
G97 S1000 M33
G00 X0 Z-.1
G01 Z.7 F.006
G00 Z-.1
X6. Z4.
M35
M30
)"},
        },
};

} // namespace turnwright::checks::rules::second_side_in_first_datum
