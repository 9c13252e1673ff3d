// A called program that goes in and comes back begins here on the other side of its cut than where it comes
// back to; or it is called twice where nothing moves between.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>
#include <set>

namespace turnwright::checks::rules::call_from_other_side {

namespace {

/// A called program that does nothing with X but go to one place at feed and come back to another.
struct InAndBack {
    float cut = not_known, back = not_known;
    bool moves_z = false;
};
std::optional<InAndBack> in_and_back(std::span<const ToolOfSpan> tools, int number) {
    const ToolOfSpan* called = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program->number != number) continue;
        if (called || !tool.work->whole) return std::nullopt;
        called = &tool;
    }
    if (!called) return std::nullopt;
    InAndBack found;
    std::set<float> places;
    const Act* last = nullptr;
    for (const Act& act : called->work->acts) {
        if (act.calls_tool || act.calls_program || act.deleted || is_return(act.motion)) return std::nullopt;
        if (act.dwells) continue;
        if (act.moves_x) {
            if (act.moves_z || act.by_u || act.incremental || !known(act.to_x)) return std::nullopt;
            if (act.motion != MotionKind::feed && act.motion != MotionKind::rapid) return std::nullopt;
            if (!last && act.motion != MotionKind::feed) return std::nullopt;
            if (!last) found.cut = act.to_x;
            places.insert(act.to_x);
            last = &act;
        }
        found.moves_z = found.moves_z || act.moves_z;
    }
    if (!last || places.size() != 2 || last->to_x == found.cut) return std::nullopt;
    found.back = last->to_x;
    return found;
}

struct Call {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    int number = 0;
    float x = not_known;
};

void look_at(const FileContext& context, std::span<const ToolOfSpan> all, std::span<const ToolOfSpan> program,
             Report& report) {
    std::vector<Call> calls;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (const auto number = act.calls_program ? number_called(*tool.work, act) : std::nullopt)
                if (!act.deleted) calls.push_back({&tool, &act, *number, act.from_x});
    for (const Call& call : calls) {
        const auto way = in_and_back(all, call.number);
        if (!way || !known(call.x)) continue;
        const auto other_side = [&](float x) {
            return (x - way->cut) * (way->back - way->cut) < 0 && std::abs(x - way->cut) > 1e-4F;
        };
        if (!other_side(call.x)) continue;
        bool right_elsewhere = false;
        for (const Call& some : calls)
            right_elsewhere = right_elsewhere || (some.number == call.number && known(some.x) && !other_side(some.x));
        if (!right_elsewhere) continue;
        const auto written_x = [&](float x) {
            return written(static_cast<float>(x_as_written(x, context.settings())));
        };
        report.at_letter(call.tool->place(*call.act), 'P')
            .message(said("O{0:04} cuts to X{1} and comes back to X{2}, and here the tool stands at X{3}, on the "
                          "other side of the cut: it goes on into the metal where it was to come back. Other "
                          "calls begin at X{2}'s side. Is the number of another program meant?",
                          call.number, written_x(way->cut), written_x(way->back), written_x(call.x)));
        return;
    }
}

/// Nothing but notes and codes of the machine between two calls of one program that states all its places.
void look_at_twice(std::span<const ToolOfSpan> all, std::span<const ToolOfSpan> program, Report& report) {
    for (const ToolOfSpan& tool : program) {
        const Act* before = nullptr;
        int number = 0;
        for (const Act& act : tool.work->acts) {
            const auto called = act.calls_program && !act.deleted ? number_called(*tool.work, act) : std::nullopt;
            if (called && before && *called == number && !tool.work->has_letter(act, "LK")) {
                const auto way = in_and_back(all, number);
                if (way && !way->moves_z) {
                    report.at(tool.place(act))
                        .message(said("O{0:04} runs twice at one place: nothing moves between this call and the "
                                      "one before, and it comes back to where it begins. The tool goes into its "
                                      "own cut, and the place that was meant stays whole. Is the block with Z or "
                                      "C between them lost?",
                                      number))
                        .related(tool.place(*before), said("the call before"));
                    return;
                }
            }
            if (called) {
                before = &act;
                number = *called;
            } else if (act.moves() || act.motion != MotionKind::none || act.calls_program || act.dwells ||
                       act.turns_part || act.gives_feed || act.gives_speed ||
                       tool.work->has_letter(act, "CHYVB")) {
                before = nullptr;
            }
        }
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at(context, tools, program, report);
        look_at_twice(tools, program, report);
    });
}

} // namespace

extern const Check check{
    .id = "call_from_other_side",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Called program begun on the wrong side of its cut, or twice in one place",
    .documentation =
        "A called program goes along X to one place at feed and comes back to another, as for a groove. Elsewhere "
        "it is called on the side where it comes back to, and here on the other one: a groove of the bore is "
        "called outside, and the tool goes on into the metal where it was to come back. Or it is called twice "
        "with nothing that moves between: the block with the next place is lost. Programs that turn along Z, go "
        "by U or G91 in X, or are called from that side alone are left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S1500 M03
G00 X30. Z-6.
M98 P0710
G00 Z-12.
M98 P0720
;   ^^^^^ warning: call_from_other_side
G28 U0
T0808
G97 S1100 M03
G00 X11. Z2.
Z-10.
M98 P0720
G00 Z50.
M30
O0710
G01 X21. F0.05
G04 U0.2
G01 X30. F0.3
M99
O0720
G01 X14. F0.04
G04 U0.2
G01 X11. F0.2
M99
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S1500 M03
G00 X1.2 Z-.25
M98 P710
M98 P710
;^^^^^^^ warning: call_from_other_side
G00 X4. Z3.
M30
O0710
G01 X.8 F.002
G04 P200
G01 X1.2 F.02
M99
)"},
            {System::A, R"(
G21 G99
T0505
G97 S1500 M03
G00 X30. Z-6.
M98 P0710
G00 Z-12.
M98 P0710
G28 U0
T0808
G97 S1100 M03
G00 X11. Z2.
Z-10.
M98 P0720
G00 Z50.
M30
O0710
G01 X21. F0.05
G04 U0.2
G01 X30. F0.3
M99
O0720
G01 X14. F0.04
G04 U0.2
G01 X11. F0.2
M99
)"},
            // A row of grooves by W, and a contour that ends outside.
            {System::C, R"(
G71 G90 G95
T0505
G97 S1500 M03
G00 X30. Z-6.
M98 P0710
M98 P0710
T0101
G00 X18. Z1.
M98 P0730
G00 X50. Z20.
M30
O0710
G01 X21. F0.05
G01 X30. F0.3
G91 G00 Z-6.
G90
M99
O0730
G01 X20. F0.2
Z-10.
X30.
M99
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::call_from_other_side
