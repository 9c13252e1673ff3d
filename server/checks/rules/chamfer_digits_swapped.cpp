// A chamfer that begins far outside of the bar, and would be at 45 degrees with two digits of X swapped.
//
// The limits: common practice, no source.
#include "checks/noted_words.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace turnwright::checks::rules::chamfer_digits_swapped {

namespace {

constexpr double widest_chamfer_mm = 5, least_slope = 3, same_mm = 0.006;

/// Where the digits of X can stand so that the way along X is as long as that along Z.
std::optional<double> meant_x(const WorksContext& context, const Leg& leg, double unit_mm) {
    const double written_x = x_as_written(leg.from.x_radius_mm, context.reader.settings());
    const double per_radius = written_x / leg.from.x_radius_mm;
    const std::string text = fmt::format("{}", written_x);
    const auto x_that_fits = [&](const std::string& digits) -> std::optional<double> {
        const auto number = plain_number(digits); // A hair may be written with an exponent
        if (!number) return std::nullopt;
        const double x = *number / per_radius, way = leg.to.x_radius_mm - x;
        if (way > 0 && std::abs(way - std::abs(leg.dz())) * unit_mm < same_mm) return x;
        return std::nullopt;
    };
    for (std::size_t at = 0; at + 1 < text.size(); ++at) {
        const std::size_t next = text[at + 1] == '.' ? at + 2 : at + 1;
        if (text[at] == '.' || next >= text.size()) continue;
        std::string other = text;
        std::swap(other[at], other[next]);
        if (const auto x = x_that_fits(other)) return x;
    }
    return std::nullopt;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, std::size_t i,
             Report& report) {
    const Leg& leg = work.legs[i];
    if (leg.kind != Leg::Kind::feed || !leg.known || leg.is_arc || leg.of_cycle || leg.from.x_radius_mm <= 0)
        return;
    const double along_z = std::abs(leg.dz());
    if (along_z == 0 || along_z * work.unit_mm > widest_chamfer_mm || -leg.dx() < least_slope * along_z)
        return;
    for (const Work* other : part.works)
        for (const Leg& cut : other->legs)
            if (cut.cuts() && cut.known && &cut != &leg && cut.to.x_radius_mm >= leg.from.x_radius_mm &&
                cut.dx() != 0)
                return;
    const auto meant = meant_x(context, leg, work.unit_mm);
    if (!meant) return;
    // The word stands in the move that came to this X.
    std::size_t came = i;
    while (came > 0 && !(work.legs[came - 1].moves_x)) --came;
    if (came == 0) return;
    context.at(report, work, work.legs[came - 1], "X")
        .message(said("The cut from here to {} begins far outside of all other cuts and is no chamfer; "
                      "from {} it is one of 45 degrees. Are two digits swapped?",
                      context.x(leg.to.x_radius_mm), context.x(*meant)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            for (std::size_t i = 1; !work->driven_tool && i < work->legs.size(); ++i)
                look_at(context, part, *work, i, report);
}

} // namespace

extern const Check check{
    .id = "chamfer_digits_swapped",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Chamfer that begins outside of the bar by two swapped digits",
    .documentation =
        "A short slanting cut begins farther out than every other cut of the part and comes in steeply; with "
        "two digits of its X swapped (X71. for X17.) it is a chamfer of 45 degrees. As it stands it runs "
        "through the air and digs into the corner. Write the X that the chamfer begins at.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X26. Z3.
G01 Z-58. F0.25
X31.
G00 Z3.
X71.
;^^^ warning: chamfer_digits_swapped
G01 Z-0.1 F0.12
X19.85 Z-1.525
Z-45.
X31.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X9.3 Z.1
;   ^^^^ warning: chamfer_digits_swapped
G01 Z0 F.006
X4. Z-.05
Z-1.
X4.5
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X71. Z2.
G01 Z0 F0.12
X19. Z-1.
Z-45.
X72.
G00 Z2.
X17.
G01 Z0
X20. Z-1.5
Z-45.
X31.
G00 X61. Z2.
G01 Z0
X20. Z-1.5
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z0. F0.2
X20. Z-3.
Z-30.
X50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z0. F0.2
X.00002
X-1. Z-.1
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::chamfer_digits_swapped
