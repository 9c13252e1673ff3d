// A tap for whose thread the hole is too small or too large.
//
// ISO 68-1 and ISO 724 (from memory): the minor diameter of a 60 degree thread is the major one less 1.0825
// times the lead. How much of the height may be left: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::tap_hole_unlike_thread {

namespace {

using Kind = NamedTool::Kind;

/// Of the lead: a smaller hole is below the minor diameter, in a larger one hardly a thread is left.
constexpr double most_height = 1.16, least_height = 0.38;
constexpr double usual_height = 1.0;

struct Hole {
    const ToolOfSpan* tool;
    const Act* act;
    double mm;
};

bool goes_in(const Act& act) {
    return act.cuts() && known(act.to_z) && act.to_z < 0 && act.from_x == 0 &&
           (act.drills() || (act.motion == MotionKind::feed && act.to_x == 0 && act.moves_z));
}

/// The widest drill that reaches so deep; nullopt: none, or another tool has been in the hole.
std::optional<Hole> hole_at(std::span<const Hole> holes, float depth) {
    std::optional<Hole> widest;
    for (const Hole& hole : holes)
        if (hole.act->to_z <= depth && (!widest || hole.mm > widest->mm)) widest = hole;
    return widest;
}

std::string in_unit(double mm, double per_unit) {
    const double digits = per_unit > 1 ? 1e4 : 1e2;
    return fmt::format("{} {}", spoken(std::round(mm / per_unit * digits) / digits),
                       per_unit > 1 ? "in" : "mm");
}

void tell(Report& report, const ToolOfSpan& tool, const Act& act, const NamedTool& tap, const Hole& hole,
          double per_unit) {
    const double height = (tap.major_mm - hole.mm) / tap.pitch_mm;
    if (height <= most_height && height >= least_height) return;
    const double wanted = tap.major_mm - usual_height * tap.pitch_mm;
    report.at(tool.place(act))
        .message(said("{} is tapped into a hole of {}: {} Drill about {}, or call the tap of the hole.",
                      tap.thread, in_unit(hole.mm, per_unit),
                      hole.mm >= tap.major_mm ? said("the tap touches nothing.")
                      : height < least_height ? said("hardly any thread is left.")
                                              : said("its core does not go in, and the tap breaks."),
                      in_unit(wanted, per_unit)))
        .related(hole.tool->place(*hole.act), said("the hole"));
}

void look_at(std::span<const ToolOfSpan> tools, std::optional<double> of_file, Report& report) {
    std::vector<Hole> holes;
    for (const ToolOfSpan& tool : tools) {
        if (tool.is(Kind::bore) || tool.is(Kind::ream)) holes.clear(); // What it leaves is not told
        const bool taps = tool.is(Kind::tap);
        for (const Act& act : tool.work->acts) {
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit) continue;
            if (!taps) {
                const NamedTool* drill =
                    goes_in(act) && tool.is(Kind::drill) ? tool.that([&](const NamedTool& some) {
                        return some.kind == Kind::drill && some.diameter_mm(*per_unit).has_value();
                    })
                                                         : nullptr;
                if (drill) holes.push_back({&tool, &act, *drill->diameter_mm(*per_unit)});
                continue;
            }
            if (!goes_in(act) && !(act.taps() && act.meaning == Meaning::tap_face)) continue;
            if (act.from_x != 0) continue; // Off the centre it has a hole of its own
            const NamedTool* tap = tool.that([](const NamedTool& some) {
                return some.major_mm > 0 && some.pitch_mm > 0 && !some.tapered && !some.many_starts;
            });
            if (!tap || !known(act.to_z) || act.to_z >= 0) continue;
            // A feed that is not the lead is its way into the hole.
            if (!act.taps() && std::abs(act.feed * *per_unit - tap->pitch_mm) > 0.1 * tap->pitch_mm) continue;
            // The point of the drill and the chamfer of the tap: about as deep is deep enough.
            if (const auto hole =
                    hole_at(holes, act.to_z + static_cast<float>(2 * tap->pitch_mm / *per_unit))) {
                tell(report, tool, act, *tap, *hole, *per_unit);
                break;
            }
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "tap_hole_unlike_thread",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Hole does not fit the tap",
    .documentation =
        "Notes tell the drill and the thread of the tap that follows it on the centre, and the two do not go "
        "together: in a hole below the core of the thread the tap breaks, in one near its outside diameter "
        "it "
        "cuts nothing. A hole of the outside diameter less the lead suits most threads (M8: 6.8 mm). Taps "
        "that "
        "form the thread want a wider hole and stay quiet, as do taper threads and holes that were bored or "
        "reamed between.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202 (DRILL D6)
G97 S2000 M03
G00 X0 Z3.
G01 Z-30. F0.12
G00 Z3.
T0404 (TAP M8)
G97 S300 M03
G00 X0 Z5.
G84 Z-20. F1.25
;^^^^^^^^^^^^^^ warning: tap_hole_unlike_thread
G80
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202 (3/4 DRILL)
G97 S900 M03
G00 X0 Z.2
G98 G83 Z-1.5 R.1 Q2500 F.008
G80
T0404 (1/2-13 TAP)
G97 S300 M03
G00 X0 Z.3
G98 G84 Z-1. R.2 F.0769
;^^^^^^^^^^^^^^^^^^^^^^^ warning: tap_hole_unlike_thread
G80
M30
)"},
            {System::C, R"(
(T5 DRILL 10.2, T7 TAP M12)
G71 G90 G95
T0505
G97 S800 M03
G00 X0 Z10.
G98 G83 Z-35.5 R2. Q3000 F.15
G80
T0707
G97 S250 M03
G00 X0 Z10.
G98 G84 Z-25. R6. F1.75
G80
M30
)"},
            // A wide drill for the counterbore, the tap in the hole below it.
            {System::A, R"(
G21 G99
T0202 (DRILL 6.8)
G97 S2000 M03
G00 X0 Z3.
G01 Z-30. F0.12
G00 Z3.
T0303 (DRILL 12)
G97 S900 M03
G00 X0 Z3.
G01 Z-4. F0.12
G00 Z3.
T0404 (TAP M8)
G97 S300 M03
G00 X0 Z5.
G84 Z-20. F1.25
G80
M30
)"},
            // Bored to size between.
            {System::B, R"(
G21 G90 G95
T0202 (DRILL 20)
G97 S500 M03
G00 X0 Z3.
G01 Z-40. F0.2
G00 Z3.
T0606 (BORE)
G97 S800 M03
G00 X28.5 Z2.
G01 Z-40. F0.1
G00 X27. Z2.
T0404 (TAP M30X1.5)
G97 S100 M03
G00 X0 Z8.
G84 Z-25. F1.5
G80
M30
)"},
            right_drilling_b,
            // Two threads, one behind the other: the tap goes through the wide hole at a feed.
            {System::A, R"(
G20 G99
T0404 (DRILL 21/32)
G97 S420 M03
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.5
T0606 (DRILL 5/16)
G97 S750 M03
G00 X0 Z.3
G01 Z-1.7 F.1
Z-3.2 F.005
G00 Z.5
T1010 (TAP 3/8-16)
G97 S150 M03
G00 X0 Z.3
G01 Z-1.6 F.1
G32 Z-2.8 F.0625
M05
M04
G32 Z-1.5 F.0625
G00 Z.5
M30
)"},
        },
};

} // namespace turnwright::checks::rules::tap_hole_unlike_thread
