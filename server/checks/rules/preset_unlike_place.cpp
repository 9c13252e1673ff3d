// A preset of the coordinates that gives another place than the one the tool stands at, where the others give
// the place itself.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::preset_unlike_place {

namespace {

constexpr std::size_t least_right = 2;

struct Preset {
    BlockPlace place;
    double off_x = 0, off_z = 0; ///< From where the tool stands; X as radius
    double stands_x = 0, stands_z = 0, gives_x = 0, gives_z = 0;
};

/// As many as tell a habit from one that breaks it: what each gives is worked out for no fewer.
bool may_have_presets(const FileContext& context, std::span<const ToolOfSpan> tools) {
    std::size_t found = 0;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::none) continue;
            const BlockPlace place = tool.place(act);
            found += find_letter(context.reader(), place, 'X') && find_letter(context.reader(), place, 'Z');
        }
    return found > least_right;
}

void look_at(const FileContext& context, const machine::ProgramPart& program, Report& report) {
    constexpr double same = 1e-6;
    std::vector<Preset> presets;
    context.reader().visit_span(program.first, program.last, [&](const BlockView& view) {
        const bool sets = view.reading.code(Meaning::speed_limit) || view.reading.code(Meaning::work_shift);
        if (!sets || !view.reading.word('X') || !view.reading.word('Z')) return;
        const machine::State &from = view.before, &to = view.after;
        if (!from.x_radius.known() || !from.z.known() || !to.x_radius.known() || !to.z.known()) return;
        presets.push_back({{view.run_index, view.block},
                           to.x_radius.number - from.x_radius.number,
                           to.z.number - from.z.number,
                           from.x_radius.number,
                           from.z.number,
                           to.x_radius.number,
                           to.z.number});
    });
    const Preset* odd = nullptr;
    std::size_t right = 0;
    for (const Preset& preset : presets) {
        if (std::abs(preset.off_x) < same && std::abs(preset.off_z) < same) {
            ++right;
            continue;
        }
        if (odd) return;
        odd = &preset;
    }
    if (!odd || right < least_right) return;
    const bool by_z = std::abs(odd->off_z) >= same;
    if (by_z && std::abs(odd->off_x) >= same) return; // Another start, as it seems
    const auto x = [&](double radius) { return spoken_x(radius, context.settings()); };
    report.at_letter(odd->place, by_z ? 'Z' : 'X')
        .message(
            by_z
                ? said(
                      "The tool stands at Z{0} and this presets Z{1}: every Z below lies {2} away from where "
                      "it is meant, toward {3}. The other presets give the place itself. Write Z{0}.",
                      written(odd->stands_z), written(odd->gives_z), spoken(std::abs(odd->off_z)),
                      odd->off_z > 0 ? said("the chuck") : said("the tailstock"))
                : said("The tool stands at {0} and this presets {1}: every X below comes out {2} {3}. The "
                       "other presets give the place itself. Write {0}.",
                       x(odd->stands_x), x(odd->gives_x),
                       spoken(std::abs(x_as_written(odd->off_x, context.settings()))),
                       odd->off_x > 0 ? said("smaller") : said("larger")));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (may_have_presets(context, program)) look_at(context, *program[0].span->program, report);
    });
}

} // namespace

extern const Check check{
    .id = "preset_unlike_place",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Preset of coordinates that shifts the part",
    .documentation = "The program presets its coordinates where the tool stands (G50 X150. Z100. at X150. "
                     "Z100.), and one of "
                     "these presets gives another number: from there on every place of that axis is shifted "
                     "by the difference, "
                     "and the next rapid goes into the part or the chuck. Programs that shift on purpose do "
                     "so more than once.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
G50 X300. Z100.
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100. T0100
G50 X300. Z100.
T0303
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100. T0300
G50 X300. Z200.
;        ^^^^^ warning: preset_unlike_place
T0505
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100. T0500
G50 X300. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 X8. Z5.
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.8 F.008
G00 X8. Z5. T0100
G92 X6. Z5.
;   ^^^ warning: preset_unlike_place
T0303
G00 X2. Z.1
G01 Z-.8 F.008
G00 X8. Z5. T0300
G92 X8. Z5.
T0505
G00 X2. Z.1
G01 Z-.8 F.008
G00 X8. Z5. T0500
G92 X8. Z5.
M30
)"},
            // Each tool with a start of its own.
            {System::C, R"(
G71 G90 G95
G92 X300. Z100.
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100.
G92 X280. Z130.
T0303
G00 X50. Z2.
G01 Z-20. F0.2
G00 X280. Z130.
G92 X310. Z90.
M30
)"},
            {System::A, R"(
G21 G99
G50 X300. Z100.
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100. T0100
G50 X300. Z100.
T0303
G00 X50. Z2.
G01 Z-20. F0.2
G00 X300. Z100. T0300
G50 X300. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::preset_unlike_place
