// A block that may be left out sets the place of a cut that is always made.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::block_delete_moves_cut {

namespace {

constexpr float same_place = 1e-3F;

/// Where an axis stands with the deleted blocks read, and with them left out.
struct Axis {
    float read = not_known, left_out = not_known;
    const Act* by = nullptr; ///< The last deleted block that moved it
    void stand(float at) {
        read = left_out = at;
        by = nullptr;
    }
    void move(const Act& act, float to) {
        if (!act.deleted) return stand(to);
        read = to;
        by = &act;
    }
    bool differs() const {
        return by && known(read) && known(left_out) && std::abs(read - left_out) > same_place;
    }
};

bool is_plain_cut(const Act& act) {
    return (act.motion == MotionKind::feed || act.motion == MotionKind::arc) && act.moves() &&
           !act.in_contour;
}

void look_at(const FileContext& context, const ToolOfSpan& tool, Report& report) {
    Axis x, z;
    auto tell = [&](const Axis& axis, bool is_x) {
        const auto spoken_place = [&](float at) {
            return is_x ? spoken_x(at, context.settings()) : "Z" + written(at);
        };
        report.at(tool.place(*axis.by))
            .message(said("With block delete on this block is left out, and the cut that follows is made "
                          "at {} where it is made at {} with it. Take the / away, or give {} in a block "
                          "that is always read.",
                          spoken_place(axis.left_out), spoken_place(axis.read), spoken_place(axis.read)));
    };
    for (const Act& act : tool.work->acts) {
        if (known(act.from_x)) x.stand(act.from_x);
        if (known(act.from_z)) z.stand(act.from_z);
        if (act.motion == MotionKind::none) {
            if (!act.dwells && tool.work->word(act, 'P')) { // A call may leave it anywhere
                x.stand(not_known);
                z.stand(not_known);
            }
            continue;
        }
        if (is_plain_cut(act) && !act.deleted) {
            const bool by_x = act.moves_z && !act.moves_x && x.differs();
            const bool by_z = act.moves_x && !act.moves_z && z.differs();
            if (by_x || by_z) {
                tell(by_x ? x : z, by_x);
                (by_x ? x : z).stand(not_known);
            }
        }
        const bool cycle = act.motion != MotionKind::rapid && act.motion != MotionKind::feed &&
                           act.motion != MotionKind::arc;
        if (act.in_contour || (cycle && !act.deleted)) continue;
        if (act.moves_x) x.move(act, act.to_x);
        if (act.moves_z) z.move(act, act.to_z);
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) look_at(context, tool, report);
}

} // namespace

extern const Check check{
    .id = "block_delete_moves_cut",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Block that may be left out sets the place of a cut",
    .documentation =
        "A block with / moves an axis, and the cut that follows without / does not name this axis: with "
        "block "
        "delete on it runs along another line, in front of the face or deep in the part. Mostly one / too "
        "many "
        "or too few stands at the end of a group. A group that comes back to where it began is right.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X44. Z4.
/G00 Z1.5
/G01 X-1.6 F0.25
/G00 Z4.
/X44.
/G00 Z0
;^^^^^^ warning: block_delete_moves_cut
G01 X-1.6 F0.2
G00 Z1.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G96 S400 M03
G00 X2. Z.1
/G00 X1.5
;^^^^^^^^ warning: block_delete_moves_cut
G01 Z-1. F.01
G00 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X44. Z4.
/G00 Z1.5
/G01 X-1.6 F0.25
/G00 Z4.
/X44.
G00 Z0
G01 X-1.6 F0.2
G00 Z1.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X44. Z1.
/G00 X40.
/G01 Z-20. F0.2
/X44.
/G00 Z1.
G00 X38.
G01 Z-20. F0.2
X44.
/G00 X60. Z20.
M01
/M30
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::block_delete_moves_cut
