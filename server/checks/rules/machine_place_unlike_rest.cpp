// A place in the machine's own coordinates that is not the one all other tools go to.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <cmath>
#include <map>
#include <vector>

namespace turnwright::checks::rules::machine_place_unlike_rest {

namespace {

constexpr std::size_t enough = 2;

struct Place {
    BlockPlace block;
    double value; ///< As written
};
/// Of rapids in the machine's coordinates, or the places that the return home goes by: `G28 X200.`
enum class By : std::uint8_t { machine, way_home };
std::vector<Place> places_of(const FileContext& context, std::span<const ToolOfSpan> tools, char letter,
                             By by) {
    std::vector<Place> places;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const bool counts = by == By::machine ? act.motion == MotionKind::machine_rapid
                                                  : act.motion == MotionKind::reference && !act.incremental;
            if (!counts || act.deleted) continue;
            const syntax::Item* item = find_letter(context.reader(), tool.place(act), letter);
            // Where it stands, by the habit of zero, is another matter.
            if (item && item->kind == syntax::ItemKind::word && (by == By::machine || item->value != 0))
                places.push_back({tool.place(act), item->value});
        }
    return places;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, char letter, By by,
             Report& report) {
    const std::vector<Place> places = places_of(context, tools, letter, by);
    if (places.size() <= enough) return;
    // The odd one is among three that are not all the same.
    const auto at = [&](std::size_t i) { return places[i].value; };
    const double usual = at(0) == at(1) || at(0) == at(2) ? at(0) : at(1);
    const Place* odd = nullptr;
    for (const Place& place : places) {
        if (place.value == usual) continue;
        if (odd) return;
        odd = &place;
    }
    if (!odd) return;
    const bool sign = odd->value == -usual;
    if (!sign && (odd->value * usual < 0 || slip_between(odd->value, usual) == Slip::none)) return;
    if (by == By::way_home) {
        // Farther out harms nothing but time.
        if (!sign && odd->value > usual) return;
        report.at_letter(odd->block, letter)
            .message(
                said("{0} other ways home go by {1}{2}, and this one by {1}{3}: at rapid, and nearer to the "
                     "part, through it or into the chuck. Is {1}{2} meant?",
                     places.size() - 1, letter, written(usual), written(odd->value)));
        return;
    }
    report.at_letter(odd->block, letter)
        .message(said("{} others go to {}{} of the machine, and this one to {}{}: it runs to the end of its "
                      "travel and alarms, or the turret indexes where nobody has looked. Is {} meant?",
                      places.size() - 1, letter, written(usual), letter, written(odd->value),
                      fmt::format("{}{}", letter, written(usual))));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        for (char letter : {'X', 'Z'})
            for (By by : {By::machine, By::way_home}) look_at(context, program, letter, by, report);
    });
}

} // namespace

extern const Check check{
    .id = "machine_place_unlike_rest",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Place of the machine that no other tool goes to",
    .documentation =
        "Rapids in the coordinates of the machine go to one place in all sequences, and in this one a sign "
        "or a digit is another. The slide runs to the end of its travel, where the control alarms, or stands "
        "nearer to the chuck than anybody expects when the turret comes round. It takes three such rapids at "
        "least; two places that no slip makes of each other are let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-30. F0.2
G53 G00 X0
G53 Z-150.
T0202
G00 X50. Z2.
G01 Z-30. F0.2
G53 G00 X0
G53 Z150.
;   ^^^^^ warning: machine_place_unlike_rest
T0303
G00 X48. Z2.
G01 Z-30. F0.2
G53 G00 X0
G53 Z-150.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
G53 G00 X-5. Z-6.2
;       ^^^^ warning: machine_place_unlike_rest
T0202
G00 X2. Z.1
G01 Z-1. F.01
G53 G00 X-.5 Z-6.2
T0303
G00 X2. Z.1
G01 Z-1. F.01
G53 G00 X-.5 Z-6.2
M30
)"},
            // A long drill has its own.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-30. F0.2
G53 G00 X0 Z-150.
T0202
G00 X0 Z2.
G01 Z-30. F0.2
G53 G00 X0 Z-60.
T0303
G00 X52. Z2.
G01 Z-30. F0.2
G53 G00 X0 Z-150.
M30
)"},
            // The place that the return goes by.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
X56.
G28 X200.
G28 Z150.
T0202
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
X56.
G28 X20.
;   ^^^^ warning: machine_place_unlike_rest
G28 Z150.
T0303
G97 S800 M03
G00 X48. Z2.
G01 Z-20. F0.2
X56.
G28 X200.
G28 Z-150.
;   ^^^^^^ warning: machine_place_unlike_rest
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
X2.2
G28 X5. Z5.
T0202
G97 S800 M03
G00 X1.9 Z.1
G01 Z-1. F.01
X2.2
G28 X5. Z5.
T0303
G97 S800 M03
G00 X1.8 Z.1
G01 Z-1. F.01
X2.2
G28 X9. Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::machine_place_unlike_rest
