// An incremental cutting block that stands twice.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

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

/// Between two cuts the tool is set over by the same incremental rapid twice: nobody writes a step in two.
bool steps_twice(const Act& before, const Act& act, const Act* above, const Act* below) {
    const auto is_step = [](const Act& one) {
        return one.motion == MotionKind::rapid && one.moves_x != one.moves_z && !one.in_contour &&
               !one.deleted && (one.incremental || (one.moves_x ? one.by_u : one.by_w)) &&
               known(one.from_x) && known(one.from_z) && known(one.to_x) && known(one.to_z);
    };
    return is_step(before) && is_step(act) && is_same_way(before, act) && above && below && below->cuts() &&
           !above->gives_speed && act.from_x == before.to_x && act.from_z == before.to_z &&
           (act.to_x != act.from_x || act.to_z != act.from_z);
}

/// "#101=#101-.6"; empty: no step of a variable.
std::string step_of_variable(const machine::Reader& reader, BlockPlace place) {
    if (!reader.line(place).blocks[place.block].has_statement) return {};
    std::string text = statement_of(reader, place);
    const std::size_t equals = text.find('=');
    if (!text.starts_with('#') || equals == std::string::npos) return {};
    const std::string variable = text.substr(0, equals);
    const std::string_view rest = std::string_view(text).substr(equals + 1);
    const bool steps = rest.starts_with(variable) && rest.size() > variable.size() &&
                       (rest[variable.size()] == '+' || rest[variable.size()] == '-');
    return steps ? text : std::string();
}

/// Steps count the turns of loops, and jumps make loops, too.
bool has_turns(const FileContext& context) {
    using machine::FlowKind;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow)
            if (mark.kind == FlowKind::loop_start || mark.kind == FlowKind::jump ||
                mark.kind == FlowKind::maybe_jump)
                return true;
    return false;
}

/// The same step of a variable twice, one right behind the other.
void look_at_variables(const FileContext& context, Report& report) {
    if (!has_turns(context)) return;
    const machine::Reader& reader = context.reader();
    std::string before;
    BlockPlace before_place;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (std::size_t block = 0; block < reader.line({run, 0}).blocks.size(); ++block) {
            const BlockPlace place{run, block};
            std::string step = step_of_variable(reader, place);
            if (!step.empty() && step == before)
                report.at(place)
                    .message(said("{} stands twice, one right behind the other: the variable moves on "
                                  "by both, and what hangs on it is off by as much. Take one away, if "
                                  "it is not meant.",
                                  step))
                    .related(before_place, said("the same step"));
            before = std::move(step);
            before_place = place;
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (!tools.empty()) look_at_variables(context, report); // Not of very long files
    for (const ToolOfSpan& tool : tools) {
        const auto& acts = tool.work->acts;
        for (std::size_t i = 1; i < acts.size(); ++i) {
            const Act &before = acts[i - 1], &act = acts[i];
            if (steps_twice(before, act, i > 1 ? &acts[i - 2] : nullptr,
                            i + 1 < acts.size() ? &acts[i + 1] : nullptr)) {
                report.at(tool.place(act))
                    .message(said("This step stands twice, one right behind the other, and nothing is done "
                                  "between them: the tool goes twice as far, and all after it is off by as "
                                  "much. Take one away, if it is not meant."))
                    .related(tool.place(before), said("the same step"));
                continue;
            }
            if (!is_incremental_cut(act) || !is_incremental_cut(before) || !is_same_way(before, act))
                continue;
            const bool same_number = act.number >= 0 && act.number == before.number;
            if (!same_number && !(act.moves_x && act.moves_z && before.number == act.number)) continue;
            report.at(tool.place(act))
                .message(
                    said("This incremental block stands twice{}: the tool goes the same way again, and all "
                         "after it is off by as much. Take one away, if it is not meant.",
                         same_number ? said(", both with N{}", act.number) : ""))
                .related(tool.place(before), said("the same block"));
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
        "copied twice, or they set the tool over at rapid by the same step in front of a cut. The chamfer is "
        "cut twice as large and all that follows starts in the wrong place.",
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
            {System::A, R"(
G21 G99
#101=-1.
T0505
G97 S800 M03
G00 X54. Z2.
WHILE[#101GT-9.]DO1
G00 Z#101
G01 X50. F.06
G00 X54.
#101=#101-.6
#101=#101-.6
;^^^^^^^^^^^ warning: incremental_block_twice
END1
M30
)"},
            {System::B, R"(
G21 G90 G95
#1=0
#2=5
T0505
G97 S800 M03
G00 X54. Z2.
WHILE[#1LT#2]DO1
G00 Z[-1.-#1]
G01 X50. F.06
G00 X54.
#1=#1+1
#2=#2+0
END1
M30
)"},
            // The step to the next groove.
            {System::B, R"(
G21 G90 G95
T0505
G97 S900 M03
G00 X27. Z-24.
G91
G01 X-4. F0.05
G00 X4.
Z-4.
Z-4.
;^^^ warning: incremental_block_twice
G01 X-4.
G00 X4.
G90
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S900 M03
G00 X27. Z-24.
G01 U-4. F0.05
G00 U4.
W-4.
W-3.
G01 U-4.
G00 U4.
W-4.
G01 U-4.
G00 U4.
X100. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_block_twice
