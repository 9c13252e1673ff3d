// A tool change at another place than the others, nearer to the part.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace turnwright::checks::rules::tool_change_off_position {

namespace {

using Stand = SequenceFacts::Stand;

/// One tool change: from the end of a span to the next one's tool call.
struct Change {
    const Span* span; ///< The one that calls; nullptr: the program's end, where the first tool comes next
    Stand stand;
    machine::Value x_radius, z;
    std::optional<double> machine_x_radius_mm, machine_z_mm;
    bool may_be_in_inch = false;
};

std::vector<Change> changes_in(const LandmarkContext& context) {
    std::vector<Change> changes;
    const Span* before = nullptr;
    auto at_end = [&](const Span& span) {
        const FileFacts& facts = *span.facts;
        if (!span.sequence || span.program->is_subprogram || facts.at_end == Stand::unmoved) return;
        changes.push_back(
            {nullptr, facts.at_end, {}, {}, facts.machine_x_radius_mm, facts.machine_z_mm, false});
    };
    for (const Span& span : context.spans()) {
        bool goes_on = before && before->program == span.program;
        if (before && !goes_on) at_end(*before);
        // The same tool again, with another offset or behind a measuring stop: the turret does not turn.
        const bool same_tool = goes_on && before->sequence && span.sequence && span.sequence->tool >= 0 &&
                               before->sequence->tool == span.sequence->tool;
        if (span.sequence && !span.program->is_subprogram && span.facts->tool_call && goes_on && !same_tool) {
            const FileFacts& facts = *span.facts;
            Stand stand = facts.at_call;
            auto x = facts.call_machine_x_radius_mm, z = facts.call_machine_z_mm;
            if (stand == Stand::unmoved) {
                stand = before->facts->at_end;
                x = before->facts->machine_x_radius_mm;
                z = before->facts->machine_z_mm;
            }
            if (stand != Stand::unmoved)
                changes.push_back({&span, stand, facts.call_from_x_radius, facts.call_from_z, x, z,
                                   facts.call_may_be_in_inch});
        }
        before = &span;
    }
    if (before) at_end(*before);
    return changes;
}

Report::Entry report_change(Report& report, const Change& change) {
    return report.at_letter(change.span->place(*change.span->facts->tool_call), 'T');
}

bool knows_place(const Change& change) {
    return change.span && change.stand == Stand::away && change.x_radius.known() && change.z.known();
}

std::string place_of(const LandmarkContext& context, const Change& change) {
    return fmt::format("{} Z{}", spoken_x(change.x_radius.number, context.settings()),
                       written(change.z.number));
}

/// So far off that no tool of common length reaches the part; common practice, no source.
constexpr double clear_x_radius_mm = 40, clear_z_mm = 50;
bool is_clear(const Change& change) {
    const double unit_mm = change.may_be_in_inch ? motion::mm_per_inch : 1;
    return change.x_radius.number * unit_mm >= clear_x_radius_mm && change.z.number * unit_mm >= clear_z_mm;
}

/// Most changes are made at home: the ones away from it.
void against_home(const LandmarkContext& context, const std::vector<Change>& changes, Report& report) {
    std::size_t home = 0, calls = 0, home_at_calls = 0;
    for (const Change& change : changes) {
        if (change.stand == Stand::home) ++home;
        if (!change.span) continue;
        ++calls;
        if (change.stand == Stand::home) ++home_at_calls;
    }
    if (!keeps_habit(shop::Rule::unset, home, changes.size())) return;
    // The program's end counts for the habit, but no tool is called there.
    const std::string others = home_at_calls > 0
                                   ? said("{} of {} tool changes are made at home", home_at_calls, calls)
                                   : std::string(said("the program ends at home"));
    for (const Change& change : changes) {
        if (!knows_place(change) || is_clear(change)) continue;
        report_change(report, change)
            .message(said("The turret turns at {} here: {}. Its tools may sweep through part, jaws or "
                          "tailstock. Go home before the call.",
                          place_of(context, change), others));
    }
}

/// Most changes are made at one place in the program's coordinates: those that are nearer to the part.
void against_place(const LandmarkContext& context, const std::vector<Change>& changes, Report& report) {
    std::map<std::pair<double, double>, std::size_t> counts;
    std::size_t total = 0; // Where the program ends is not looked at here
    for (const Change& change : changes)
        if (change.span) ++total;
    for (const Change& change : changes)
        if (knows_place(change)) ++counts[{change.x_radius.number, change.z.number}];
    auto most = std::max_element(counts.begin(), counts.end(),
                                 [](const auto& a, const auto& b) { return a.second < b.second; });
    if (most == counts.end() || !keeps_habit(shop::Rule::unset, most->second, total)) return;
    auto [x, z] = most->first;
    for (const Change& change : changes) {
        if (!knows_place(change) || (change.x_radius.number >= x && change.z.number >= z)) continue;
        report_change(report, change)
            .message(said("The turret turns at {} here, nearer to the part: {} of {} tool changes are "
                          "made at {} Z{}. Its tools may sweep through part, jaws or tailstock.",
                          place_of(context, change), most->second, total, spoken_x(x, context.settings()),
                          written(z)));
    }
}

/// The shop file names the place, and the program goes to another one in the machine datum.
void against_shop(const LandmarkContext& context, const std::vector<Change>& changes, Report& report) {
    const shop::Machine& machine = context.settings().machine;
    constexpr double tolerance_mm = 0.01;
    for (const Change& change : changes) {
        std::string off;
        auto compare = [&](const char* axis, std::optional<double> is, std::optional<double> wanted) {
            if (is && wanted && std::abs(*is - *wanted) > tolerance_mm)
                off += said("{}{} at {} mm where the shop file says {} mm", off.empty() ? "" : ", ", axis,
                            spoken(*is), spoken(*wanted));
        };
        compare("X", change.machine_x_radius_mm, machine.change_x_radius_mm);
        compare("Z", change.machine_z_mm, machine.change_z_mm);
        if (off.empty() || !change.span) continue;
        report_change(report, change)
            .message(said("The turret turns away from the change position: {} (machine datum, X on "
                          "radius). Its tools may sweep through part, jaws or tailstock.",
                          off));
    }
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::vector<Change> changes = changes_in(context);
    against_home(context, changes, report);
    against_place(context, changes, report);
    against_shop(context, changes, report);
}

} // namespace

extern const Check check{
    .id = "tool_change_off_position",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Tool change away from the change position",
    .documentation =
        "Two of three tool changes of this program, or more, are made at home or at one and the same place, "
        "and "
        "this one nearer to the part; or the shop file gives the change position (`change_x`, `change_z`) "
        "and "
        "the program goes to another one by G53. When the turret turns, the longest tool decides what it "
        "sweeps through, not the one in use. A change farther out than the others is left alone, and one "
        "away "
        "from home that is clear of any common part.",
    .landmarks = landmarks,
    .examples =
        {
            // Measured, and on with the same tool.
            {System::A, R"(
G21 G99 G97 S500 M03
T0101
G00 X60. Z2.
G01 Z-5. F0.2
G28 U0 W0
T0303
G00 X40. Z2.
G01 Z-6. F0.1
G00 X60.
Z30.
M00
T0303
G00 X38. Z1.
G01 Z-6. F0.1
G28 U0 W0
T0505
G00 X40. Z2.
G01 Z-6. F0.1
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G00 X75. Z12.
G28 U0 W0
N2 T0202
G00 X40. Z12.
Z3.
N3 T0303
;  ^^^^^ warning: tool_change_off_position
G00 X52. Z1.
G28 U0 W0
M30
)"},
            {System::B, R"(
G20 G90
N1 T0101
G00 X2. Z.1
G00 X8. Z5.
N2 T0202
G00 X2. Z.1
G00 X8. Z.5
N3 T0303
;  ^^^^^ warning: tool_change_off_position
G00 X2. Z.1
G00 X8. Z5.
N4 T0404
G00 X2. Z.1
G00 X8. Z5.
M30
)"},
            {System::C, R"(
G71 G90
N1 T0101
G00 X50. Z2.
G53 X-20. Z-400.
N2 T0202
;  ^^^^^ warning: tool_change_off_position
G00 X50. Z2.
G53 X-20. Z-100.
N3 T0303
M30
)",
             "[[machine]]\nsystem = \"C\"\nunits = \"mm\"\nchange_x = -10\nchange_z = -100\n"},
            // Farther out for a long drill, and home by the next sequence's own block.
            {System::A, R"(
G21 G99
N1 T0101
G00 X75. Z12.
X200. Z100.
N2 T0202
G00 X40. Z12.
X200. Z180.
N3 T0303
G00 X40. Z12.
X200. Z100.
N4 T0404
G00 X40. Z12.
X200. Z100.
N5 T0505
M30
)"},
            {System::A, R"(
G21 G99
N1 G28 U0 W0
T0101
G00 X75. Z12.
N2 G28 U0 W0
T0202
G00 X40. Z12.
N3 G28 U0 W0
T0303
G00 X40. Z12.
N4 G28 U0 W0
T0404
M30
)"},
            // Clear of the part by so much the place does not matter.
            {System::A, R"(
G21 G99
N1 T0101
G00 X75. Z12.
G28 U0 W0
N2 T0202
G00 X40. Z12.
X200. Z150.
N3 T0303
G00 X52. Z1.
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // In inches, as is assumed, this is far off.
            {System::B, R"(
O1
G92 S2500
T0101 (TURN)
G97 S1000 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X1.3
G00 X6. Z4.
T0202 (TURN)
G97 S1000 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
T0303 (TURN)
G97 S1000 M03
G00 X1.1 Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
T0404 (TURN)
G97 S1000 M03
G00 X1. Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
M30
)"},
            // And this is near in either unit.
            {System::B, R"(
O1
G92 S2500
T0101 (TURN)
G97 S1000 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X1.3
G00 X2. Z1.
T0202
;^^^^ warning: tool_change_off_position (TURN)
G97 S1000 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
T0303 (TURN)
G97 S1000 M03
G00 X1.1 Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
T0404 (TURN)
G97 S1000 M03
G00 X1. Z.1
G01 Z-1. F.006
X1.3
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules::tool_change_off_position
