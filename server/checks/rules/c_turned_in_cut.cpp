// The part is turned to another angle while the tool is still in it.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::c_turned_in_cut {

namespace {

constexpr double least_metal_mm = 0.5; ///< Tool data and leftovers differ by less

/// The last plunge along one axis: from where it was fed, how deep.
struct Plunge {
    const Act* act = nullptr;
    bool side = false;
    float top = not_known, bottom = not_known;
};

bool feeds(const Act& act) {
    return (act.motion == MotionKind::feed || act.motion == MotionKind::arc) && !act.in_contour;
}

/// Beside the tool that stands at X the part is thicker all round than where it stands.
bool look_at_side(const FileContext& context, std::span<const ToolOfSpan> program, const ToolOfSpan& tool,
                  const Act& act, std::optional<double> of_file, Report& report) {
    if (act.moves() || !known(act.from_x) || !known(act.from_z) || act.from_x <= 0) return false;
    const std::optional<double> mm = mm_of(act, of_file);
    const float metal = cleared_at(program, &act, act.from_z, true);
    if (!known(metal) || !mm || (metal - act.from_x) * *mm < least_metal_mm) return false;
    report.at(tool.place(act))
        .message(said(
            "The part is turned while the tool stands at {}, and here it is turned to {}: the tool is torn "
            "through the part. Go out in X first.",
            spoken_x(act.from_x, context.settings()), spoken_x(metal, context.settings())));
    return true;
}

/// Milled on the cylinder, turned on at feed at the same X, and what would plunge there goes nowhere: it
/// never came out.
void look_behind_cylinder(const FileContext& context, const ToolOfSpan& tool, Report& report) {
    float milled_at = not_known;
    const auto& acts = tool.work->acts;
    for (std::size_t i = 0; i + 1 < acts.size(); ++i) {
        const Act &act = acts[i], &next = acts[i + 1];
        if (act.calls_tool || act.deleted) milled_at = not_known;
        if (act.cylinder) {
            if (feeds(act)) milled_at = act.to_x;
            continue;
        }
        const bool stays = known(milled_at) && act.from_x == milled_at && act.to_x == milled_at;
        const bool plunges_nowhere = feeds(next) && next.moves_x && !next.moves_z && !next.turns_part &&
                                     !next.by_u && !next.deleted && next.to_x == milled_at;
        if (stays && feeds(act) && act.turns_part && !act.moves_x && plunges_nowhere) {
            report.at(tool.place(act))
                .message(
                    said("The part is turned at feed with the tool at {}, where it has milled on the "
                         "cylinder, and the plunge behind this block goes nowhere: it is in already. The "
                         "way between is cut into the part. Go out in X first.",
                         spoken_x(milled_at, context.settings())))
                .related(tool.place(next), said("goes nowhere"));
            return;
        }
        if (act.moves_x && act.to_x != milled_at) milled_at = not_known;
    }
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, const ToolOfSpan& tool,
             std::optional<double> of_file, Report& report) {
    Plunge plunge;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool || act.polar || act.cylinder || act.deleted || is_return(act.motion)) plunge = {};
        if (act.polar || act.cylinder) continue;
        const bool turns = act.motion == MotionKind::rapid && act.turns_part;
        if (turns && !plunge.act && act.part_stands &&
            look_at_side(context, program, tool, act, of_file, report))
            return;
        if (turns && plunge.act) {
            const float now = plunge.side ? act.from_x : act.from_z;
            const bool moves_out = plunge.side ? act.moves_x : act.moves_z;
            const float middle = (plunge.top + plunge.bottom) / 2;
            const bool is_in = known(now) && (now - middle) * (plunge.top - plunge.bottom) < 0;
            if (is_in && !moves_out) {
                const auto spoken_at = [&](float value) {
                    return plunge.side ? spoken_x(value, context.settings())
                                       : fmt::format("Z{}", written(value));
                };
                report.at(tool.place(act))
                    .message(said(
                        "The part is turned while the tool stands at {}, and it was fed in from {} to {}: "
                        "the tool is torn through the part. Go out to {} first.",
                        spoken_at(now), spoken_at(plunge.top), spoken_at(plunge.bottom),
                        spoken_at(plunge.top)))
                    .related(tool.place(*plunge.act), said("fed in here"));
                return;
            }
        }
        if (act.motion == MotionKind::rapid && plunge.act) {
            const float to = plunge.side ? act.to_x : act.to_z;
            const bool leaves_sideways = plunge.side ? act.moves_z : act.moves_x; // From no hole
            if (leaves_sideways || !known(to) || (to - plunge.top) * (plunge.top - plunge.bottom) >= 0)
                plunge = {};
        }
        if (!feeds(act) || !act.part_stands || act.turns_part || act.moves_x == act.moves_z) continue;
        const bool side = act.moves_x;
        const float from = side ? act.from_x : act.from_z, to = side ? act.to_x : act.to_z;
        if (!known(from) || !known(to) || from == to) continue;
        if (!plunge.act && (side ? to < from : true)) plunge = {&act, side, from, to};
        if (plunge.act && plunge.side == side && (to - plunge.bottom) * (plunge.top - plunge.bottom) < 0)
            plunge.bottom = to;
    }
}

void file(const FileContext& context, Report& report) {
    const std::vector<ToolOfSpan> tools = tools_of(context);
    const std::optional<double> of_file = unit_of_file(context, tools);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        for (const ToolOfSpan& tool : program) {
            look_at(context, program, tool, of_file, report);
            look_behind_cylinder(context, tool, report);
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_turned_in_cut",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Part turned with the tool still in it",
    .documentation =
        "A live tool was fed into the part, and the part is turned by a rapid to another angle before the "
        "tool has come out: it stands more than half as deep as it was fed. The tool is torn through the "
        "part. It has to come out to where it was fed in from first. Told only where the part surely stands: "
        "C engaged or its spindle stopped. The same holds where the tool stands at a smaller X than the part "
        "is "
        "turned to at its Z, or where it has milled on the cylinder and the plunge behind the turn goes "
        "nowhere.",
    .file = file,
    .examples =
        {
            {System::B, R"(
(M51 C ON  M50 C OFF  M23 LIVE ON  M25 LIVE OFF)
G21 G90 G94 G97
T0707
M51
G28 C0.
S2000 M23
G00 Z-14. C0.
X42.
G01 X38. F60
Z-46. F160
X32. F60
Z-14. F160
G00 X35.
C180.
;^^^^ warning: c_turned_in_cut
G01 X32. F60
G00 X60.
M25
M50
M30
)"},
            {System::A, R"(
G20 G98 G97
M05
T0505
S2000
G00 X2. Z.1 C0.
G01 Z-.25 F6.
G00 Z-.2
C90.
;^^^ warning: c_turned_in_cut
G01 Z-.25 F6.
G00 Z.1
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF  M23 LIVE ON  M25 LIVE OFF)
G21 G90 G95
T0101
G97 S1000 M03
G00 X46. Z2.
G01 X44. F.2
Z-84.
G00 X60.
M05
T0707
M51
G28 C0.
G94 S2000 M23
G00 Z-14. C0.
X42.
C90.
;^^^ warning: c_turned_in_cut
G87 X20. R46. F100
G80
G00 X60.
M25
M50
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G20 G98 G97
T0707
M51
G28 H0
S3200 M13
G00 Z-.5 C0.
X1.6
G01 X1.4 F2.
G19 W0 H0
G07.1 C.7
G01 C60. F6.
G07.1 C0
G18
Z-.5 C180.
;^^^^^^^^^ warning: c_turned_in_cut
G01 X1.4 F2.
G19 W0 H0
G07.1 C.7
G01 C240. F6.
G07.1 C0
G18
G00 X2.
M15
M50
M30
)"},
            {System::C, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G71 G90 G94 G97
T0707
M51
G28 C0.
S3200 M13
G00 Z-12. C0.
X42.
G01 X36. F60
G19
G07.1 C18.
G01 C60. F150
G07.1 C0
G18
G00 X42.
Z-12. C180.
G01 X36. F60
G19
G07.1 C18.
G01 C240. F150
G07.1 C0
G18
G00 X60.
M15
M50
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF  M23 LIVE ON  M25 LIVE OFF)
G21 G90 G94 G97
T0707
M51
G28 C0.
S2000 M23
G00 Z-14. C0.
X42.
G01 X38. F60
Z-46. F160
G00 X60.
C180.
G01 X38. F60
G00 X60.
M25
M50
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0909
M51
G28 H0
S5000 M13
G00 Z-4. X62. C0.
G01 X59.6 F60
G01 C90. F500
G00 X62.
C180.
M15
M50
M30
)"},
            {System::C, R"(
G71 G90 G95 G97
T0303
S1000 M03
G00 X40. Z2.
G01 X36. F.1
G01 Z-10. C2.
G00 X38.
C90.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_turned_in_cut
