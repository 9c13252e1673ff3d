// X where Z is meant, or Z where X is meant: the value is one of the other axis.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>
#include <map>

namespace turnwright::checks::rules::letter_of_other_axis {

namespace {

constexpr double far_in_front = 1.5, far_inside = 0.5;
constexpr double least_in_front_mm = 8;

/// What a block writes for one axis alone; nullopt: both, none, or no place.
struct Written {
    bool is_x;
    double value; ///< As written
};
std::optional<Written> written_alone(const Act& act, const machine::Settings& settings) {
    if (act.motion != MotionKind::rapid && act.motion != MotionKind::feed) return std::nullopt;
    if (act.moves_x == act.moves_z || act.by_u || act.by_w || act.incremental) return std::nullopt;
    const float target = act.moves_x ? act.to_x : act.to_z;
    if (!known(target)) return std::nullopt;
    return Written{act.moves_x, act.moves_x ? x_as_written(target, settings) : target};
}

/// The values of an axis over the program, each with how often it is gone to.
using Values = std::map<long, int>;
long key(double value) {
    return std::lround(value * 1e4);
}
struct Places {
    Values x, z;
};
Places places_of(std::span<const ToolOfSpan> tools, const machine::Settings& settings) {
    Places places;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.incremental || is_return(act.motion)) continue;
            if (act.moves_x && known(act.to_x)) ++places.x[key(x_as_written(act.to_x, settings))];
            if (act.moves_z && known(act.to_z)) ++places.z[key(act.to_z)];
        }
    return places;
}

/// The tool cuts again behind it: no way to the change position.
bool cuts_behind(const Acts& work, const Act& act) {
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next) {
        if (next->calls_tool || is_return(next->motion)) return false;
        if (next->cuts() || next->threads() || next->taps()) return true;
    }
    return false;
}

/// X is left again before anything is cut there.
bool leaves_in_x(const Acts& work, const Act& act) {
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next)
        if (next->moves()) return next->moves_x && !next->cuts();
    return false;
}

/// In to the hole that the part has from the first side.
bool faces_second_side(const FileContext& context, const Act& act) {
    return act.cuts() && act.moves_x && known(act.from_x) && act.to_x < act.from_x && act.from_z == 0 &&
           !spans_giving(context.spans(), context.settings().machine, MachineCode::Does::second_close)
                .empty();
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, std::optional<double> of_file,
             Report& report) {
    const machine::Settings& settings = context.settings();
    for (const ToolOfSpan& tool : tools)
        if (!tool.work->whole) return;
    const Places places = places_of(tools, settings);
    const auto times = [](const Values& values, double value) {
        const auto found = values.find(key(value));
        return found == values.end() ? 0 : found->second;
    };
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const auto word = written_alone(act, settings);
            const auto per_unit = mm_of(act, of_file);
            if (!word || word->value <= 0 || !per_unit || act.stopped()) continue;
            if (times(word->is_x ? places.x : places.z, word->value) != 1) continue;
            const int others = times(word->is_x ? places.z : places.x, word->value);
            if (others == 0 || (act.motion == MotionKind::rapid && !cuts_behind(*tool.work, act))) continue;
            // Z far in front of all others, X nearer to the centre than all others.
            double farthest = least_in_front_mm / *per_unit / far_in_front, nearest = 1e9;
            for (const auto& [value, count] : places.z)
                if (value != key(word->value)) farthest = std::max(farthest, double(value) / 1e4);
            for (const auto& [value, count] : places.x)
                if (value != key(word->value) && value > 0) nearest = std::min(nearest, double(value) / 1e4);
            const bool far_out = !word->is_x && word->value > far_in_front * farthest;
            const bool far_in = word->is_x && nearest < 1e9 && word->value < far_inside * nearest;
            if (!far_out && !(far_in && leaves_in_x(*tool.work, act))) continue;
            if (far_in && faces_second_side(context, act)) continue;
            // A part is cut off into its hole.
            if (far_in && act.cuts() && &tool == &tools.back()) continue;
            const std::string value = written(word->value);
            report.at_letter(tool.place(act), word->is_x ? 'X' : 'Z')
                .message(said("{0}{2} is {3} than any other {0} of the program, and {1}{2} stands in it {4}: "
                              "{1} is meant, perhaps.",
                              word->is_x ? 'X' : 'Z', word->is_x ? 'Z' : 'X', value,
                              word->is_x ? said("nearer to the centre") : said("farther out"),
                              others == 1 ? said("once") : said("{} times", others)));
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "letter_of_other_axis",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "X and Z mixed up",
    .documentation =
        "A block goes along one axis to a value that the program writes for the other axis elsewhere, and "
        "for "
        "this one nowhere: a Z half as far again in front of the part as any other Z, or an X less than half "
        "of the smallest other X. The letter is that of the other axis. The tool goes off in front of the "
        "part, or into it. Ways to the change position are not looked at.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X94. Z2.
X87.
G01 Z-49. F.25
Z91.
;^^^ warning: letter_of_other_axis
G00 Z1.
X80.
G01 Z-49.
X91.
G00 Z1.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X94. Z2.
X80.
G01 Z-49. F.25
X91.
G00 Z2.
X70.
G01 Z-49.
Z91.
;^^^ warning: letter_of_other_axis
G00 X150. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.2 Z.1
X1.8
G01 Z-1.5 F.008
X2.
G00 X.1
;   ^^^ warning: letter_of_other_axis
X1.6
G01 Z-1.5
X2.
G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
X46.
G01 Z-30. F.2
X50.
G00 Z2.
X40.
G01 Z-20.
X50.
G00 X200.
Z200.
T0303
G00 X2. Z2.
G01 Z-5. F.1
G00 Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S2000 M03
G00 X8. Z2.
X6.
G01 Z-12. F.05
X7.
G00 Z1.
X2.
G01 Z-4.
X7.
G00 Z2.
M30
)"},
            {System::A, R"(
(CUT OFF INTO ITS HOLE)
G20 G99
T0101
G97 S1800 M03
G00 X.95 Z0
G01 X-.03 F.005
G00 X.9 Z.05
X.7
G01 X.866 Z-.05 F.004
G00 X4. Z4.
T0303
S300
G00 X0 Z.3
G84 Z-1.3 F.0769
G80
G00 X4. Z4.
T0404
S900
G00 X.95 Z-1.375
G01 X.3 F.003
G00 X.95
X4. Z4.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::letter_of_other_axis
