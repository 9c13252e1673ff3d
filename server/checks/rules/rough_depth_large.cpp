// A roughing cycle whose depth per pass no insert takes.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rough_depth_large {

namespace {

/// On radius; the largest inserts of a lathe go so deep (common practice, no source).
constexpr double most_mm = 9;
/// As deep as all that is to come off, at one pass, is odd from here on.
constexpr double whole_mm = 5;

struct Depth {
    char letter;
    double mm;
};
/// D of a cycle in one line, else U, or W in facing, of its first line.
std::optional<Depth> depth_of(const Acts& work, const Act& act, double per_unit) {
    const bool face = act.meaning == Meaning::rough_facing;
    if (act.motion != MotionKind::contour_cycle || (act.meaning != Meaning::rough_turning && !face))
        return std::nullopt;
    if (const ActWord* d = work.word(act, 'D')) return Depth{'D', std::abs(d->number) * per_unit};
    if (work.word(act, 'P') || work.word(act, 'Q')) return std::nullopt;
    const char letter = face ? 'W' : 'U';
    if (const ActWord* word = work.word(act, letter)) return Depth{letter, std::abs(word->number) * per_unit};
    return std::nullopt;
}

/// What comes off, on radius or along Z, by the contour behind the cycle; 0: not known.
double stock_of(const Acts& work, std::size_t i, double per_unit) {
    const bool face = work.acts[i].meaning == Meaning::rough_facing;
    const float start = face ? work.acts[i].from_z : work.acts[i].from_x;
    double most = 0;
    while (++i < work.acts.size() && !work.acts[i].in_contour)
        if (work.acts[i].motion != MotionKind::contour_cycle) return 0;
    for (; i < work.acts.size() && work.acts[i].in_contour; ++i) {
        const float at = face ? work.acts[i].to_z : work.acts[i].to_x;
        if (known(start) && known(at)) most = std::max(most, std::abs(static_cast<double>(start) - at));
    }
    return most * per_unit;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools)
        for (std::size_t i = 0; i < tool.work->acts.size(); ++i) {
            const Act& act = tool.work->acts[i];
            if (act.motion != MotionKind::contour_cycle) continue;
            const auto per_unit = mm_of(act, of_file);
            const auto depth = per_unit ? depth_of(*tool.work, act, *per_unit) : std::nullopt;
            if (!depth) continue;
            const double stock = stock_of(*tool.work, i, *per_unit);
            const bool at_once = depth->mm >= whole_mm && stock > 0 && depth->mm >= stock;
            if (depth->mm <= most_mm && !at_once) continue;
            auto in_units = [&](double mm) { return spoken(std::round(mm / *per_unit * 1e4) / 1e4); };
            report.at_letter(tool.place(act), depth->letter)
                .message(said("{} {} a pass, on radius{}. An insert takes {} at the most: it breaks, or "
                              "the part is thrown. A depth of {} is meant, perhaps.",
                              in_units(depth->mm), *per_unit > 1 ? "in" : "mm",
                              stock > 0 && depth->mm >= stock
                                  ? said(": all of the {} that come off, at once", in_units(stock))
                                  : "",
                              in_units(most_mm), in_units(depth->mm / 10)));
        }
}

} // namespace

extern const Check check{
    .id = "rough_depth_large",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Roughing deeper than an insert takes",
    .documentation =
        "The depth of one pass of a roughing cycle (D, or U and W of its first line) is more than 9 mm, or "
        "more "
        "than 5 mm and all that is to come off at once: a digit or the point is mistaken. Bounds are wide; "
        "max_depth in the shop file gives a tool its own.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z1.
G71 P60 Q70 U0.6 W0.1 D25000 F0.35
;                     ^^^^^^ warning: rough_depth_large
N60 G00 X24.9
G01 Z-25. F0.15
N70 X52.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G96 S450 M03
G00 X2.1 Z.1
G71 U1. R.03
;   ^^^ warning: rough_depth_large
G71 P1 Q2 U.03 W.005 F.012
N1 G00 X1.087
G01 Z-1. F.006
N2 X2.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X52. Z1.
G73 U6. R.5
;   ^^^ warning: rough_depth_large
G73 P1 Q2 U0.5 W0.1 F0.3
N1 G00 X44.
G01 Z-25. F0.15
N2 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X172. Z5.
G72 W2. R0.5
G72 P41 Q42 U0.4 W0.2 F0.3
N41 G00 Z-8.
G01 X84. F0.15
N42 X30.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X252. Z1.
G73 U7. R.5
G73 P1 Q2 U0.5 W0.1 F0.6
N1 G00 X184.
G01 Z-95. F0.3
N2 X252.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rough_depth_large
