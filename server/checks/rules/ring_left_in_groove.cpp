// A groove widened in steps that are wider than the blade: thin rings stay between the plunges.
#include "checks/noted_blade.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::ring_left_in_groove {

namespace {

/// A land as wide as the blade, or nearly, is meant: grooves side by side.
constexpr double thin = 0.6;
constexpr double least_mm = 0.05;

std::optional<double> width_of(const ToolNotes& notes, double mm_per_unit) {
    for (const auto* texts : {&notes.own, &notes.listed})
        for (const std::string& text : *texts)
            if (const auto width = tool_by_note(text, mm_per_unit).tool.width_mm) return width;
    return std::nullopt;
}

/// The step of the cycle from one plunge to the next, in program units.
const ActWord* step_of(const Acts& work, const Act& act) {
    const bool side = act.meaning == Meaning::groove_side;
    const ActWord* one_line = work.word(act, side ? 'K' : 'I');
    return one_line ? one_line : work.word(act, side ? 'Q' : 'P');
}

/// Single plunges of one groove, side by side.
void look_at_plunges(const FileContext& context, const ToolOfSpan& tool, std::optional<double> of_file,
                     Report& report) {
    struct Plunge {
        const Act* act;
        const Act* placed;
    };
    std::vector<Plunge> plunges;
    std::vector<const Act*> along; ///< Feeds along Z
    const Act* placed = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.calls_program || act.motion == MotionKind::peck_cycle) return;
        const bool feeds = act.motion == MotionKind::feed || act.motion == MotionKind::arc;
        if (act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.to_x) &&
            known(act.from_x) && known(act.from_z) && placed)
            plunges.push_back({&act, placed});
        else if (feeds && act.moves_z)
            along.push_back(&act);
        if (act.moves_z) placed = &act;
    }
    if (plunges.size() < 2) return;
    const auto mm = mm_of(*plunges[0].act, of_file);
    const auto width =
        mm ? noted_blade(context.reader(), context.spans(), *tool.span, tool.station, *mm).width
           : std::nullopt;
    if (!width) return;
    const double way_in = plunges[0].act->to_x - plunges[0].act->from_x;
    std::erase_if(plunges, [&](const Plunge& plunge) {
        return (plunge.act->to_x - plunge.act->from_x) * way_in <= 0; // The way out
    });
    for (std::size_t i = 1; i < plunges.size(); ++i) {
        const Act &one = *plunges[i - 1].act, &other = *plunges[i].act;
        if (one.to_x != other.to_x) continue;
        const double low = std::min(one.from_z, other.from_z), high = std::max(one.from_z, other.from_z);
        const double step = high - low, ring = step - *width;
        if (ring * *mm < least_mm || ring > thin * *width) continue;
        const bool between = std::any_of(plunges.begin(), plunges.end(), [&](const Plunge& plunge) {
            return plunge.act->from_z > low && plunge.act->from_z < high;
        });
        const bool goes_along = std::any_of(along.begin(), along.end(), [&](const Act* act) {
            if (!known(act->from_z) || !known(act->to_z) || !known(act->from_x) || !known(act->to_x))
                return true;
            // Above the bottom it goes from one plunge to the next.
            return (act->from_x == one.to_x || act->to_x == one.to_x) &&
                   (std::min(act->from_z, act->to_z) < high && std::max(act->from_z, act->to_z) > low);
        });
        if (between || goes_along) continue;
        report.at_letter(tool.place(*plunges[i].placed), 'Z')
            .message(
                said("The plunges at Z{} and Z{} lie {} apart, and the blade is {} wide: a ring of {} stays "
                     "between them, in which the next tool breaks. Is a digit of Z wrong?",
                     written(one.from_z), written(other.from_z), spoken(std::round(step * 1e4) / 1e4),
                     spoken(std::round(*width * 1e4) / 1e4), spoken(std::round(ring * 1e4) / 1e4)));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools) look_at_plunges(context, tool, of_file, report);
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::peck_cycle) continue;
            const bool side = act.meaning == Meaning::groove_side;
            const double from = side ? act.from_z : act.from_x, to = side ? act.to_z : act.to_x;
            const ActWord* word = step_of(*tool.work, act);
            const auto per_unit = mm_of(act, of_file);
            if (!word || !per_unit || !known(static_cast<float>(from)) || !known(static_cast<float>(to)))
                continue;
            const double step = std::abs(word->number) * *per_unit, way = std::abs(to - from) * *per_unit;
            if (step <= 0) continue;
            const auto width = width_of(notes_about(context, tools, tool), *per_unit);
            if (!width) continue;
            // A step beyond the whole way leaves one plunge at each end.
            const bool beyond = step > way;
            const double ring = std::min(step, way) - *width;
            if (ring < least_mm || ring > thin * *width) continue;
            if (beyond) {
                report.at_letter(tool.place(act), word->letter)
                    .message(
                        said("The step of {} is more than the whole way of {}: the blade goes in at the two "
                             "ends alone, if there, and a ring of {} stays between them, into which it is "
                             "pushed sideways. Make the step smaller than the blade, {}.",
                             spoken(step / *per_unit), spoken(way / *per_unit),
                             spoken(std::round(ring / *per_unit * 1e4) / 1e4),
                             spoken(std::round(*width / *per_unit * 1e4) / 1e4)));
                continue;
            }
            report.at_letter(tool.place(act), word->letter)
                .message(said("Steps of {} with a blade {} wide: rings of {} stay between the "
                              "plunges, and the blade is "
                              "pushed sideways by them. Make the step smaller than the blade.",
                              spoken(step / *per_unit), spoken(std::round(*width / *per_unit * 1e4) / 1e4),
                              spoken(std::round(ring / *per_unit * 1e4) / 1e4)));
        }
}

} // namespace

extern const Check check{
    .id = "ring_left_in_groove",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Steps of a groove wider than the blade",
    .documentation =
        "The pecking cycle goes from one plunge to the next by more than the width that a note gives the "
        "blade, and by less than grooves stand apart: a thin ring of material stays between them. The next "
        "tool or the blade itself is pushed aside by it. Nothing is said where no note tells the width. So "
        "are single plunges to one diameter that lie farther apart than the blade is wide, with no way along "
        "the bottom between them.",
    .file = file,
    .examples =
        {
            {System::C, R"(
G71 G90 G95
T0505 (GROOVE 4 WIDE)
G97 S600 M03
G00 X52. Z-66.
G77 R.5
G77 X42. Z-80. P2000 Q5300 F.12
;                    ^^^^^ warning: ring_left_in_groove
G00 X64.
M30
)"},
            {System::A, R"(
G20 G99
T0505 (GROOVE .125 WIDE)
G97 S600 M03
G00 X2.1 Z-1.
G75 R.02
G75 X1.5 Z-2. P500 Q1500 F.004
;                  ^^^^^ warning: ring_left_in_groove
G00 X3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505 (GROOVE 4 WIDE)
G97 S600 M03
G00 X52. Z-66.
G77 R.5
G77 X42. Z-80. P2000 Q3500 F.12
G00 X64.
M30
)"},
            {System::A, R"(
G21 G99
T0303 (GROOVE 4 WIDE, 3 GROOVES)
G97 S600 M03
G00 X51. Z-9.
G75 R.5
G75 X36. Z-25. P2000 Q8000 F.1
G00 X64.
M30
)"},
            // A step beyond the whole way.
            {System::B, R"(
G21 G90 G95
T0505 (FACE GROOVE 4 WIDE)
G97 S900 M03
G00 X72. Z2.
G74 R0.5
G74 X60. Z-4.9 P30000 Q1500 F0.1
;              ^^^^^^ warning: ring_left_in_groove
G00 Z10.
M30
)"},
            {System::A, R"(
G20 G99
T0505 (GROOVE .125 WIDE)
G97 S600 M03
G00 X2.1 Z-1.
G75 R.02
G75 X1.5 Z-1.18 P500 Q9000 F.004
;                    ^^^^^ warning: ring_left_in_groove
G00 X3.
M30
)"},
            // The two plunges meet; and two grooves.
            {System::C, R"(
G71 G90 G95
T0505 (GROOVE 4 WIDE)
G97 S600 M03
G00 X52. Z-66.
G77 R.5
G77 X42. Z-69.5 P2000 Q9000 F.12
G00 X64.
G77 R.5
G77 X42. Z-86. P2000 Q30000 F.12
G00 X64.
M30
)"},
            // Single plunges.
            {System::B, R"(
(T06 ID GROOVE .125 LEFT CORNER)
G20 G90 G95
T0606
G97 S800 M03
G00 X1.1 Z.15
Z-.85
G01 X1.29 F.002
X1.1 F.02
Z-.685
;^^^^^ warning: ring_left_in_groove
X1.29 F.002
X1.1 F.02
G00 Z1.
M30
)"},
            {System::B, R"(
(T06 ID GROOVE .125 LEFT CORNER)
G20 G90 G95
T0606
G97 S800 M03
G00 X1.1 Z.15
Z-.85
G01 X1.29 F.002
X1.1 F.02
Z-.785
X1.29 F.002
X1.1 F.02
G00 Z1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::ring_left_in_groove
