// A tap that goes as deep as the drill's point, or deeper.
#include "checks/acts.h"
#include "checks/bore.h"
#include "checks/head_stock.h"
#include "checks/holes.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::tap_deeper_than_hole {

namespace {

constexpr double point_angle_deg = 118;

struct Hole {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;  ///< The deepest
    bool hardly_begun = false; ///< A drill that goes no deeper than the centre drill has
};

/// A move on the centreline into the face.
bool makes_hole(const ToolOfSpan& tool, const Act& act) {
    // A bar stop or puller comes in on the centreline, too.
    if (!act.cuts() || !known(act.to_z) || act.stopped() || tool.is(NamedTool::Kind::stop)) return false;
    return act.drills() ||
           (act.motion == MotionKind::feed && act.from_x == 0 && act.to_x == 0 && act.moves_z);
}

/// A cut toward the centre farther back than the hole: the part is cut off there, and the hole ends before
/// it.
const Act* cut_off_behind(std::span<const ToolOfSpan> tools, const Hole& hole) {
    constexpr float goes_in = 0.5F;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != hole.tool->span->program || &tool <= hole.tool) continue;
        for (const Act& act : tool.work->acts)
            if (act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.from_x) &&
                known(act.to_x) && act.to_x < goes_in * act.from_x && act.from_z < hole.act->to_z &&
                known(act.from_z))
                return &act;
    }
    return nullptr;
}

/// A later blade cuts the part off in front of where the tap ends.
const Act* cut_off_above(std::span<const ToolOfSpan> tools, const ToolOfSpan& tap, const Act& taps) {
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != tap.span->program || &tool <= &tap) continue;
        for (const Act& act : tool.work->acts)
            if (act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.from_x) &&
                known(act.to_x) && known(act.from_z) && act.to_x < 0.5F * act.from_x &&
                act.from_z > taps.to_z && act.from_z < 0)
                return &act;
    }
    return nullptr;
}

/// A tap by its cycle, or by a thread block on the centre.
bool taps_face(const ToolOfSpan& tool, const Act& act) {
    if (act.taps()) return act.meaning == Meaning::tap_face;
    return act.motion == MotionKind::thread && act.threads() && act.moves_z && act.from_x == 0 &&
           act.to_x == 0 && tool.is(NamedTool::Kind::tap) && act.to_z < act.from_z;
}

/// The drill has come out behind, as long as the head's note tells the stock.
bool is_through(const FileContext& context, const Hole& hole, double mm) {
    const machine::ProgramPart& program = *hole.tool->span->program;
    const HeadStock head = head_stock(context.reader(), program.first, program, mm);
    return head.stock.length_mm && hole.act->to_z * -mm > *head.stock.length_mm;
}

/// The radius that a boring bar or a drill on the centre, as its notes have it, has opened at this Z;
/// nullopt: it opens it, and nobody knows how wide; not_known: it does not come there.
std::optional<float> opened_inside(const ToolOfSpan& tool, const Act& act, float z, double mm) {
    const bool on_centre = act.from_x == 0 && act.to_x == 0 && act.moves_z && (act.cuts() || act.drills());
    const bool bores = tool.is(NamedTool::Kind::bore) && act.cuts();
    if (!on_centre && !bores) return not_known;
    if (act.by_w || act.incremental || !known(act.to_z) || !known(act.from_z)) return std::nullopt;
    if (z < std::min(act.from_z, act.to_z) || z > std::max(act.from_z, act.to_z)) return not_known;
    if (on_centre) {
        const NamedTool* named =
            tool.that([&](const NamedTool& some) { return some.diameter_mm(mm).has_value(); });
        if (!named) return std::nullopt;
        return static_cast<float>(*named->diameter_mm(mm) / mm / 2);
    }
    if (!known(act.to_x) || !known(act.from_x)) return std::nullopt;
    return std::max(act.from_x, act.to_x);
}

/// Something is open inside where the hole ends, or may be: it may come out there, or on the other side.
bool comes_out(std::span<const ToolOfSpan> program, const checks::Hole& hole, double mm) {
    constexpr double wall_mm = 1;
    if (hole.bottom <= 0) return true;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) return true;
            if (act.motion == MotionKind::drill_cycle && !known(act.to_x)) return true;
            if (act.motion == MotionKind::contour_cycle && tool.is(NamedTool::Kind::bore)) return true;
            const auto inside = opened_inside(tool, act, hole.place, mm);
            if (!inside) return true;
            if (known(*inside) && hole.bottom < *inside + wall_mm / mm) return true;
            if (tool.is(NamedTool::Kind::bore)) continue;
            // Turned, or milled, as far in there: across a slot or out of the wall of a bore.
            if (act.cuts() && !act.drills() && !act.taps() && act.moves_z && act.from_x != 0 &&
                known(act.to_x) && act.to_x <= hole.bottom && tool.station != hole.tool->station &&
                act.to_z < 0)
                return true;
        }
    return false;
}

/// Holes of a circle in the face, off the centre: the tap of one as deep as its drill.
void look_at_circles(const FileContext& context, std::span<const ToolOfSpan> program,
                     std::optional<double> of_file, Report& report) {
    const std::vector<checks::Hole> holes = holes_of(program, context.settings());
    const ToolOfSpan* told = nullptr;
    for (const checks::Hole& tap : holes) {
        if (tap.side || !tap.act->taps() || tap.tool == told || !known(tap.bottom) || !known(tap.place) ||
            tap.place == 0 || !known(tap.start) || tap.act->incremental || tap.tool->own->through)
            continue;
        const checks::Hole* deepest = nullptr;
        bool is_known = true;
        const double way = tap.bottom < tap.start ? -1 : 1;
        for (const checks::Hole& hole : holes) {
            if (&hole >= &tap || hole.side || hole.act->taps() || hole.tool == tap.tool) continue;
            is_known = is_known && known(hole.place) && known(hole.bottom);
            if (hole.place != tap.place || hole.tool->is(NamedTool::Kind::centre)) continue;
            is_known = is_known && !hole.tool->own->through && !hole.act->incremental;
            if (!deepest || (hole.bottom - deepest->bottom) * way > 0) deepest = &hole;
        }
        const auto per_unit = mm_of(*tap.act, of_file);
        if (!is_known || !deepest || !per_unit || deepest->tool->listed->through || tap.tool->listed->through)
            continue;
        constexpr double pierced_mm = 40;
        const double beyond = (tap.bottom - deepest->bottom) * way * *per_unit;
        if (beyond < -1e-3 || std::abs(deepest->bottom) * *per_unit > pierced_mm) continue;
        const machine::ProgramPart& program_part = *tap.tool->span->program;
        const HeadStock head = head_stock(context.reader(), program_part.first, program_part, *per_unit);
        if (head.stock.length_mm && std::abs(deepest->bottom) * *per_unit > *head.stock.length_mm) continue;
        told = tap.tool;
        report.at_letter(tap.tool->place(*tap.act), 'Z')
            .message(said(
                "The tap goes to Z{}, and the drill of these holes has ended at Z{} with its point: the tap "
                "meets the bottom and breaks. Stop it a few leads above, unless the drill has come "
                "through.",
                written(tap.bottom), written(deepest->bottom)))
            .related(deepest->tool->place(*deepest->act), said("the hole"));
    }
}

/// Holes in the side: the deepest that tools before have drilled at this Z.
void look_at_side(const FileContext& context, std::span<const ToolOfSpan> program,
                  std::optional<double> of_file, Report& report) {
    const std::vector<checks::Hole> holes = holes_of(program, context.settings());
    const ToolOfSpan* told = nullptr;
    for (const checks::Hole& tap : holes) {
        if (!tap.side || !tap.act->taps() || tap.tool == told || !known(tap.bottom) || !known(tap.place))
            continue;
        const checks::Hole* deepest = nullptr;
        for (const checks::Hole& hole : holes) {
            if (&hole >= &tap || !hole.side || hole.act->taps() || hole.tool == tap.tool ||
                hole.place != tap.place)
                continue;
            if (hole.tool->is(NamedTool::Kind::centre)) continue;
            if (!known(hole.bottom) || hole.tool->own->through) { // As deep as the tap may go
                deepest = nullptr;
                break;
            }
            if (!deepest || hole.bottom < deepest->bottom) deepest = &hole;
        }
        const auto per_unit = mm_of(*tap.act, of_file);
        // Where both come out in a bore a little more is nothing.
        constexpr double hardly_mm = 0.1, share = 0.15;
        if (!deepest || !per_unit || !known(deepest->start)) continue;
        const double deeper = deepest->bottom - tap.bottom;
        const bool hardly =
            deeper * *per_unit < hardly_mm || deeper < share * (deepest->start - deepest->bottom);
        // In a solid part the drill has left a bottom with its point.
        if (hardly && (deeper < -1e-3 || comes_out(program, *deepest, *per_unit))) continue;
        told = tap.tool;
        report.at_letter(tap.tool->place(*tap.act), 'X')
            .message(
                said("The tap goes to {}, and the drill has gone to {} with its point: the tap meets the "
                     "bottom of the hole and breaks. Is a digit or the point of X wrong?",
                     spoken_x(tap.bottom, context.settings()), spoken_x(deepest->bottom, context.settings())))
            .related(deepest->tool->place(*deepest->act), said("the hole"));
    }
}

/// A minus lost, so that it taps the air; or so short that a digit of its Z is lost.
bool tell_slip(const ToolOfSpan& tool, const Act& act, const Hole& hole, double per_unit, Report& report) {
    constexpr double least_leads = 2.2, times_deeper = 5, least_hole_mm = 8;
    if (hole.act->to_z >= 0 || act.by_w || act.incremental) return false;
    if (act.to_z > 0) {
        if (-act.to_z < hole.act->to_z || !known(act.from_z) || act.to_z < act.from_z) return false;
        report.at_letter(tool.place(act), 'Z')
            .message(
                said("The tap goes to Z{}, in front of the face, and the hole is drilled to Z{}: it taps "
                     "the air. Is the minus lost? Write Z{}.",
                     written(act.to_z), written(hole.act->to_z), written(-act.to_z)))
            .related(hole.tool->place(*hole.act), said("the hole"));
        return true;
    }
    const bool is_short = act.per_rev() && act.feed > 0 && -act.to_z < least_leads * act.feed &&
                          -act.to_z * times_deeper < -hole.act->to_z &&
                          -hole.act->to_z * per_unit > least_hole_mm;
    if (!is_short) return false;
    report.at_letter(tool.place(act), 'Z')
        .message(
            said("The tap goes to Z{}, hardly two of its leads, and the hole is drilled to Z{}: no screw "
                 "holds in that. Is a digit of Z lost?",
                 written(act.to_z), written(hole.act->to_z)))
        .related(hole.tool->place(*hole.act), said("the hole"));
    return true;
}

/// A reamer goes on where the drill of its own hole has ended: a thinner one before may have gone deeper.
void look_at_reamers(const WorksContext& context, const Workpiece& part, Report& report) {
    constexpr double share_of_reamer = 0.9, beyond_mm = 0.1;
    const Bore bore(context, part);
    for (const Work* work : part.works) {
        const double mm = work->unit_mm;
        if (work->driven_tool || work->where != Work::Where::on_centre || !bore.is_known_before(*work))
            continue;
        const NamedTool* reamer = tool_of_work(context, *work, [&](const NamedTool& named) {
            return named.kind == NamedTool::Kind::ream && named.diameter_mm(mm).has_value();
        });
        if (!reamer) continue;
        const Leg* goes = nullptr;
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known && (!goes || leg.to.z_mm < goes->to.z_mm)) goes = &leg;
        const double radius = *reamer->diameter_mm(mm) / mm / 2;
        const Opening* hole = bore.deepest_of_width(share_of_reamer * radius, *work);
        if (!goes || !hole || goes->to.z_mm > 0 || (hole->to_z - goes->to.z_mm) * mm < beyond_mm) continue;
        if (tool_of_work(context, *hole->work, [](const NamedTool& named) { return named.through; }))
            continue;
        context.at(report, *work, *goes, "ZW")
            .message(
                said("The reamer goes to Z{}, and the drill of its hole has ended at Z{} with its "
                     "point: it comes onto the bottom, which it cannot cut, and breaks. Stop it in front "
                     "of that, or drill deeper.",
                     written(goes->to.z_mm), written(hole->to_z)))
            .related(context.place(*hole->work, *hole->leg), said("the hole"));
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) look_at_reamers(context, part, report);
}

/// No slip of a hand makes the Z of the tap of one that the hole has room for: the hole is the odd one.
bool tap_has_no_slip(const Act& tap, const Hole& hole) {
    constexpr double least_leads = 3;
    if (!tap.per_rev() || tap.feed <= 0 || tap.by_w || tap.incremental) return false;
    const double depth = std::round(-tap.to_z * 1e4) / 1e4;
    for (const double meant : slips_of(depth))
        if (meant >= least_leads * tap.feed && meant <= -hole.act->to_z - tap.feed) return false;
    return hole.act->drills() || hole.act->motion == MotionKind::feed;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> some) { look_at_side(context, some, of_file, report); });
    const std::size_t before_circles = report.found.size();
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> some) { look_at_circles(context, some, of_file, report); });
    const bool of_circles = report.found.size() > before_circles;
    Hole hole;
    const machine::ProgramPart* program = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != program) hole = {};
        program = tool.span->program;
        for (const Act& act : tool.work->acts) {
            // The centre drill may have gone as deep as the drill, whose Z has lost a digit.
            const bool only_centred =
                hole.act && hole.tool->is(NamedTool::Kind::centre) && !tool.is(NamedTool::Kind::centre);
            if (makes_hole(tool, act) &&
                (!hole.act || act.to_z < hole.act->to_z || (only_centred && act.drills())))
                hole = {&tool, &act, only_centred && act.to_z >= hole.act->to_z};
            if (!taps_face(tool, act) || !known(act.to_z) || !hole.act || (of_circles && act.from_x != 0))
                continue;
            if (hole.tool->own->through || tool.own->through || hole.tool->is(NamedTool::Kind::centre))
                continue;
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit) continue;
            if (tell_slip(tool, act, hole, *per_unit, report) || act.to_z > 0) continue;
            const NamedTool* drill = hole.tool->that(
                [&](const NamedTool& some) { return some.diameter_mm(*per_unit).has_value(); });
            const double diameter = drill ? *drill->diameter_mm(*per_unit) / *per_unit : 0;
            // A flat bottom is the best case: less than that no hole leaves.
            if (act.to_z > hole.act->to_z + 0.1 * diameter) continue;
            if (is_through(context, hole, *per_unit)) continue;
            // A tap that is to go through, too, shows that the hole is the one that is wrong.
            if (const Act* off = cut_off_behind(tools, hole); off && act.to_z < off->from_z) {
                report.at_letter(hole.tool->place(*hole.act), 'Z')
                    .message(
                        said("This hole ends at Z{} with its point, the tap goes to Z{}, and the part is "
                             "cut off at Z{}: the tap meets the bottom and breaks, and the hole does not "
                             "come through. Is a digit of Z wrong here?",
                             written(hole.act->to_z), written(act.to_z), written(off->from_z)))
                    .related(tool.place(act), said("the tap"));
                continue;
            }
            if (hole.hardly_begun) {
                report.at_letter(hole.tool->place(*hole.act), 'Z')
                    .message(
                        said("This hole ends at Z{} with its point, no deeper than the centre drill has "
                             "gone, and the tap goes to Z{}: it meets solid metal and breaks. Is a digit "
                             "of Z lost here?",
                             written(hole.act->to_z), written(act.to_z)))
                    .related(tool.place(act), said("the tap"));
                continue;
            }
            // A tap that is to come out where the part is cut off is meant so deep.
            const bool to_come_through = cut_off_above(tools, tool, act) != nullptr;
            if (tap_has_no_slip(act, hole) || to_come_through) {
                report.at_letter(hole.tool->place(*hole.act), 'Z')
                    .message(
                        said("This hole ends at Z{} with its point, and the tap goes to Z{}: it meets the "
                             "bottom and breaks. Is a digit of Z wrong here?",
                             written(hole.act->to_z), written(act.to_z)))
                    .related(tool.place(act), said("the tap"));
                continue;
            }
            const std::string full =
                drill ? said(" Its full diameter ends at about Z{}.",
                             written(std::round((hole.act->to_z +
                                                 motion::drill_point_mm(diameter, point_angle_deg)) *
                                                1000) /
                                     1000))
                      : std::string();
            report.at_letter(tool.place(act), 'Z')
                .message(said("The tap goes to Z{}, the hole is drilled to Z{} with its point.{} The tap "
                              "meets the bottom and breaks. Stop it a few leads above.",
                              written(act.to_z), written(hole.act->to_z), full))
                .related(hole.tool->place(*hole.act), said("the hole"));
        }
    }
}

} // namespace

extern const Check check{
    .id = "tap_deeper_than_hole",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Tap or reamer that meets the bottom of the hole",
    .documentation =
        "A reamer goes deeper than the drill nearest to its diameter has come with its point. Or the tapping "
        "cycle goes as deep as the point of the drill before it, or deeper. The tap cuts its "
        "thread "
        "in the full diameter only, which ends above the point (about 0.3 diameters at 118 degrees), and "
        "needs "
        "room for its own lead-in and the chips. A note that calls the hole a through hole keeps this quiet. "
        "Where the tap goes past the Z that the part is cut off at, the drill is told, not the tap.",
    .file = file,
    .works = works,
    .examples =
        {
            // A bore that the hole does not reach.
            {System::A, R"(
G21 G99
T0202 (BORING BAR)
G97 S900 M03
G00 X40. Z2.
G01 Z-31.5 F0.15
G00 X38.
Z20.
M05
G98
T0606 (DRILL 5.0)
S1800 M13
G00 X130. Z-10. C30.
G87 Z-10. C30. X86. R-3. Q4000 F140
C150.
G80
G00 X150.
T0707 (TAP M6)
S450 M13
G00 X136. Z-10. C30.
G88 Z-10. C30. X86. R-5. F450
;                ^^^^ warning: tap_deeper_than_hole
C150.
G80
G00 X160.
M30
)"},
            // The same, into the bore.
            {System::A, R"(
G21 G99
T0202 (BORING BAR)
G97 S900 M03
G00 X40. Z2.
G01 Z-31.5 F0.15
G00 X38.
Z20.
M05
G98
T0606 (DRILL 5.0)
S1800 M13
G00 X60. Z-10. C30.
G87 Z-10. C30. X38. R-3. Q4000 F140
C150.
G80
G00 X80.
T0707 (TAP M6)
S450 M13
G00 X66. Z-10. C30.
G88 Z-10. C30. X38. R-5. F450
C150.
G80
G00 X90.
M30
)"},
            {System::A, R"(
(M80 C AXIS ENGAGED, M81 RELEASED)
(M83 LIVE TOOL RUN, M85 LIVE TOOL STOP)
G20 G98 G97
M80
T0606 (DRILL .159)
S2500 M83
G00 X2.2 Z-2.25
G87 X1. C0 R-.05 Q1500 F8.
C180.
G80
M85
T0707 (TAP 10-32)
G00 X2.3 Z-2.25
M29 S480
G88 X.12 C0 R-.05 F15.
;   ^^^^ warning: tap_deeper_than_hole
C180.
G80
M30
)"},
            {System::B, R"(
(M80 C AXIS ENGAGED, M81 RELEASED)
(M83 LIVE TOOL RUN, M85 LIVE TOOL STOP)
G21 G90 G94 G97
M80
T0606 (DRILL 5)
S2500 M83
G00 X56. Z-22. C0.
G87 X24. R52. Q5000 F160.
C180.
G80
M85
T0707 (TAP M6)
G00 X56. Z-22. C0.
M29 S400
G88 X28. R52. F400.
C180.
G80
M30
)"},
            {System::C, R"(
(T5 DRILL 10.2, T7 TAP M12)
G71 G90 G95
T0505
G97 S800 M03
G00 X0 Z10.
G98 G83 Z-21.5 R2. Q3000 F.15
G80
T0707
G97 S250 M03
G00 X0 Z10.
G98 G84 Z-25. R6. F1.75
;       ^^^^^ warning: tap_deeper_than_hole
G80
M30
)"},
            {System::A, R"(
G20 G99
N1 (DRILL 5/16)
T0404
G97 S1800 M03
G00 X0 Z.1
G74 R.02
G74 Z-.9 Q2500 F.006
G00 Z.5
N2 (TAP 3/8-16)
T0505
G97 S400 M03
G00 X0 Z.4
G84 Z-.9 F.0625
;   ^^^^ warning: tap_deeper_than_hole
G80
M30
)"},
            // The stock is no longer than the hole is deep.
            {System::B, R"(
(CAST IRON, BLANK D168 X 22)
G21 G90 G95
T0404
G97 S500 M03
G00 X0 Z5.
G83 Z-34. Q8000 F0.2
G80
T0808
G97 S250 M03
G00 X0 Z10.
G84 Z-36. F2.
G80
M30
)"},
            // What the part-off shows of the hole.
            {System::A, R"(
G20 G99
T0404
G97 S900 M3
G0 X0 Z.3
G83 Z-1.25 Q2500 F.006
;   ^^^^^^ warning: tap_deeper_than_hole
G80
T0606
G97 S300 M3
G0 X0 Z.5
G84 Z-1.55 F.0769
G80
G0 X6. Z4.
T0808
G97 S900 M3
G0 X1.4 Z-1.375
G1 X.4 F.003
G0 X6.
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 (CENTRE)
T0303
G97 S800 M03
G00 X0 Z5.
G01 Z-4. F.1
G00 Z5.
N2 (DRILL 8.5)
T0505
G97 S800 M03
G00 X0 Z10.
G01 Z-28. F.15
G00 Z10.
N3 (TAP M10)
T0707
G97 S250 M03
G00 X0 Z10.
G84 Z-20. R6. F1.5
G80
M30
)"},
            {System::A, R"(
G21 G99
N1 (DRILL 8.5 THROUGH)
T0505
G97 S800 M03
G00 X0 Z10.
G83 Z-28. R-5. Q3000 F.15
G80
N2 (TAP M10)
T0707
G97 S250 M03
G00 X0 Z10.
G84 Z-30. R-5. F1.5
G80
M30
)"},
            {System::A, R"(
G21 G99
N2 (TAP M10, HOLE IS DRILLED)
T0707
G97 S250 M03
G00 X0 Z10.
G84 Z-30. R-5. F1.5
G80
M30
)"},
            {System::A, R"(
G21 G99
T0808 (PULLER)
G00 X0 Z10.
G98 G01 Z-41. F1500
G99 G28 U0 W0
T0505 (DRILL 6.8)
G97 S1800 M03
G00 X0 Z4.
G83 Z-24. Q5000 F.12
G80
T0707 (TAP M8)
G00 X0 Z6.
M29 S500
G84 Z-26. F1.25
;   ^^^^ warning: tap_deeper_than_hole
G80
M30
)"},
            // Its minus lost; a digit of it lost.
            {System::B, R"(
G20 G90 G95
T0404
G97 S900 M03
G00 X0 Z.3
G83 Z-2.1 R.1 Q3000 F.006
G80
G00 Z1.
G28 X4. Z4.
T0606
G97 S300 M03
G00 X0 Z.3
G84 Z1.8 R.1 F.07692
;   ^^^^ warning: tap_deeper_than_hole
G80
G00 Z1.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S900 M03
G00 X0 Z3.
G83 Z-32. R3. Q8000 F.14
G80
G28 X100. Z100.
T0606
G97 S320 M03
G00 X0 Z6.
G84 Z-2. R6. F1.5
;   ^^^^ warning: tap_deeper_than_hole
G80
M30
)"},
            // A reamer in a stepped hole: the thinner drill goes deeper. Too deep, and as it is meant.
            {System::C, R"(
G71 G90 G95
T0303 (DRILL 10.2)
G97 S900 M03
G00 X0 Z5.
G01 Z-46. F0.16
G00 Z5.
X100. Z100.
T0404 (DRILL 15.75)
G97 S900 M03
G00 X0 Z4.
G01 Z-24. F0.15
G00 Z4.
X100. Z100.
T0606 (REAMER 16)
G97 S250 M03
G00 X0 Z3.
G01 Z-27. F0.25
;   ^^^^ warning: tap_deeper_than_hole
G00 Z5.
X100. Z100.
M30
)"},
            // Drilled no deeper than it is centred.
            {System::C, R"(
G71 G90 G95
N1 (CENTRE DRILL)
T0505
G97 S1200 M03
G00 X0 Z5.
G01 Z-4. F0.08
G00 Z20.
N2 (DRILL)
T0707
G97 S600 M03
G00 X0 Z8.
G83 Z-4. R3. Q8000 F0.15
;   ^^^^ warning: tap_deeper_than_hole
G80
G00 Z20.
N3 (TAP)
T0909
G97 S200 M03
G00 X0 Z12.
G84 Z-30. R6. F2.
G80
M30
)"},
            {System::A, R"(
G20 G99
T0404 (DRILL 31/64)
G97 S900 M03
G00 X0 Z.2
G01 Z-1.2 F.006
G00 Z.2
G28 U0 W0
T0606 (REAMER 1/2)
G97 S250 M03
G00 X0 Z.2
G01 Z-1. F.01
Z.2
G28 U0 W0
M30
)"},
            {System::A, R"(
G20 G99
N1 (CENTRE DRILL)
T0505
G97 S1200 M03
G00 X0 Z.2
G01 Z-.2 F.003
G00 Z1.
N2 (DRILL)
T0707
G97 S600 M03
G00 X0 Z.2
G83 Z-1.2 R.1 Q1000 F.006
G80
G00 Z1.
N3 (TAP)
T0909
G97 S200 M03
G00 X0 Z.4
G84 Z-.9 R.2 F.05
G80
M30
)"},
            // By a thread block on the centre; and short of the point.
            {System::A, R"(
G21 G99
T0505 (DRILL 6.8)
G97 S900 M03
G00 X0 Z3.
G01 Z-20. F.15
G00 Z3.
T0707 (TAP M8)
G97 S300 M03
G00 X0 Z6.
G32 Z-24. F1.25
;   ^^^^^ warning: tap_deeper_than_hole
M05
M04
G32 Z6. F1.25
M05
M30
)"},
            {System::A, R"(
G21 G99
T0505 (DRILL 6.8)
G97 S900 M03
G00 X0 Z3.
G01 Z-20. F.15
G00 Z3.
T0707 (TAP M8)
G97 S300 M03
G00 X0 Z6.
G32 Z-14. F1.25
M05
M04
G32 Z6. F1.25
M05
M30
)"},
            // No slip makes this tap of one that the hole has room for: the hole is too short.
            {System::B, R"(
G20 G90 G95
T0606 (DRILL 27/64)
G97 S800 M03
G00 X0 Z.3
G74 R.05
G74 Z-.45 Q2000 F.006
;   ^^^^^ warning: tap_deeper_than_hole
G00 Z.3
T0808 (TAP 1/2-13 RIGID)
G97 S300 M03
G00 X0 Z.3
G84 Z-1. F.076923
G80
G00 Z5.
M30
)"},
            // In a solid shaft: the depth by radius.
            {System::A, R"(
G21 G98 G97
T0606 (DRILL 5)
S2500 M83
G00 X48. Z-68.
G87 X14. C180. R-3. Q3000 F200.
G80
M85
T0707 (TAP M6)
G00 X48. Z-68.
M29 S500
G88 X11. C180. R-3. F500.
;   ^^^^ warning: tap_deeper_than_hole
G80
M30
)"},
            // As deep as the drill of its circle; another hole goes deeper.
            {System::B, R"(
G21 G90 G94 G97
T0505 (DRILL 12)
G00 X0 Z5.
G83 Z-38. R2. Q5000 F120.
G80
T0606 (DRILL 5)
S2500 M83
G00 X60. Z5. C0
G83 X60. C0 Z-20. R2. Q3000 F200.
C180.
G80
M85
T0707 (TAP M6)
G00 X60. Z5. C0
M29 S500
G84 X60. C0 Z-20. R2. F500.
;               ^^^^ warning: tap_deeper_than_hole
C180.
G80
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0606 (DRILL 5)
S2500 M83
G00 X60. Z5. C0
G83 X60. C0 Z-20. R2. Q3000 F200.
C180.
G80
M85
T0707 (TAP M6)
G00 X60. Z5. C0
M29 S500
G84 X60. C0 Z-15. R2. F500.
C180.
G80
M30
)"},
            // The tap is to come out where the part is cut off: the hole is the one that ends too early.
            {System::A, R"(
(BAR 36)
G21 G99
T0303 (DRILL 10.2)
G97 S900 M03
G00 X0 Z3.
G01 Z-26. F0.18
;   ^^^^ warning: tap_deeper_than_hole
G00 Z3.
T0404 (TAP M12)
G97 S300 M03
G00 X0 Z8.
G32 Z-28. F1.75
M05
M04
G32 Z8. F1.75
M05
T0505 (PART OFF 3)
G97 S600 M03
G00 X40. Z-23.
G01 X-0.4 F0.06
G00 X40.
M30
)"},
            {System::A, R"(
(BAR 36)
G21 G99
T0303 (DRILL 10.2)
G97 S900 M03
G00 X0 Z3.
G01 Z-36. F0.18
G00 Z3.
T0404 (TAP M12)
G97 S300 M03
G00 X0 Z8.
G32 Z-28. F1.75
M05
M04
G32 Z8. F1.75
M05
T0505 (PART OFF 3)
G97 S600 M03
G00 X40. Z-23.
G01 X-0.4 F0.06
G00 X40.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tap_deeper_than_hole
