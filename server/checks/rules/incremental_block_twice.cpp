// An incremental cutting block that stands twice.
#include "checks/acts.h"
#include "checks/rule.h"

#include <cmath>

namespace turnwright::checks::rules::incremental_block_twice {

namespace {

bool is_incremental_cut(const Act& act) {
    if (act.motion != MotionKind::feed || act.in_contour || !act.moves()) return false;
    const bool x = !act.moves_x || act.incremental || act.by_u,
               z = !act.moves_z || act.incremental || act.by_w;
    return x && z && known(act.from_x) && known(act.from_z) && known(act.to_x) && known(act.to_z);
}
bool is_same_way(const Act& a, const Act& b) {
    auto same = [](float p, float q) { return std::abs(p - q) < 1e-4F; };
    return a.moves_x == b.moves_x && a.moves_z == b.moves_z && same(a.to_x - a.from_x, b.to_x - b.from_x) &&
           same(a.to_z - a.from_z, b.to_z - b.from_z);
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) {
        const auto& acts = tool.work->acts;
        for (std::size_t i = 1; i < acts.size(); ++i) {
            const Act &before = acts[i - 1], &act = acts[i];
            if (!is_incremental_cut(act) || !is_incremental_cut(before) || !is_same_way(before, act))
                continue;
            const bool same_number = act.number >= 0 && act.number == before.number;
            if (!same_number && !(act.moves_x && act.moves_z && before.number == act.number)) continue;
            report.at(tool.place(act))
                .message(fmt::format(
                    "This incremental block stands twice{}: the tool goes the same way again, and all "
                    "after it is off by as much. Take one away, if it is not meant.",
                    same_number ? fmt::format(", both with N{}", act.number) : ""))
                .related(tool.place(before), "the same block");
        }
    }
}

} // namespace

extern const Check check{
    .id = "incremental_block_twice",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Incremental block that stands twice",
    .documentation =
        "Two blocks one after the other cut the same incremental way in X and Z, or have the same N number: "
        "a "
        "line was "
        "copied twice. The chamfer is cut twice as large and all that follows starts in the wrong place.",
    .file = file,
    .examples =
        {
            {System::B, R"(
N5 G20 G90 G95
N10 T0101
N15 G00 X.315 Z0
N130 G91 G01 X.06 Z-.03 F.004
N130 G91 X.06 Z-.03
;^^^^^^^^^^^^^^^^^^ warning: incremental_block_twice
N135 G90 Z-.5
N140 M30
)"},
            {System::A, R"(
G21 G99
T0101
G00 X20. Z0.
G01 U2. W-1. F.1
U2. W-1.
;^^^^^^ warning: incremental_block_twice
Z-20.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G00 X20. Z0.
G01 W-5. F.1
W-5.
U2. W-1.
Z-20.
U2. W-1.
M30
)"},
            {System::C, R"(
N5 G71 G90 G95
N10 G00 X20. Z0.
N15 G91 G01 X2. Z-1. F.1
N20 X2. Z-1.
N25 G90
N30 M30
)"},
            {System::B, R"(
G21 G90 G95
G00 X20. Z0.
G01 X22. Z-1. F.1
X22. Z-1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_block_twice
