// A way home in plain coordinates that ends nearer to the part than all others.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>
#include <map>

namespace turnwright::checks::rules::home_nearer_than_rest {

namespace {

struct Home {
    const ToolOfSpan* tool;
    const Act* act;
};

/// The last move of the span, when it is a rapid in both axes.
std::optional<Home> home_of(const ToolOfSpan& tool) {
    const Act* last = nullptr;
    bool cut = false;
    for (const Act& act : tool.work->acts) {
        if (!act.moves() || act.dwells) continue;
        last = &act;
        cut = cut || act.cuts() || act.threads() || act.taps();
    }
    const bool rapid = last && cut && last->motion == MotionKind::rapid && last->moves_x && last->moves_z;
    if (!rapid || last->incremental || last->by_u || last->by_w || !known(last->to_x) || !known(last->to_z))
        return std::nullopt;
    return Home{&tool, last};
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    std::vector<Home> homes;
    std::map<std::pair<float, float>, std::size_t> counts;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.span->sequence || tool.span->program->is_subprogram) continue;
        const auto home = home_of(tool);
        if (!home) continue;
        homes.push_back(*home);
        ++counts[{home->act->to_x, home->act->to_z}];
    }
    std::pair<float, float> usual;
    std::size_t most = 0;
    for (const auto& [place, count] : counts)
        if (count > most) {
            most = count;
            usual = place;
        }
    if (!keeps_habit(shop::Rule::unset, most, homes.size())) return;
    for (const Home& home : homes) {
        const Act& act = *home.act;
        const bool nearer = (act.to_x < usual.first && act.to_z <= usual.second) ||
                            (act.to_z < usual.second && act.to_x <= usual.first);
        if (!nearer) continue;
        // Where the next tool call knows where it stands, it is told there.
        const auto next = static_cast<std::size_t>(home.tool - tools.data()) + 1;
        if (next < tools.size() && tools[next].span->facts->tool_call &&
            tools[next].span->facts->call_from_x_radius.known())
            continue;
        const machine::Settings& settings = context.settings();
        const bool by_x = act.to_x < usual.first;
        report.at_letter(home.tool->place(act), by_x ? 'X' : 'Z')
            .message(
                said("The way home ends at {} Z{}, nearer to the part than the {} Z{} of {} of {} tools: "
                     "it may go through the part, and the turret turns beside it. Write {}.",
                     spoken_x(act.to_x, settings), written(act.to_z), spoken_x(usual.first, settings),
                     written(usual.second), most, homes.size(),
                     by_x ? spoken_x(usual.first, settings) : "Z" + written(usual.second)));
    }
}

} // namespace

extern const Check check{
    .id = "home_nearer_than_rest",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Way home that ends nearer than the others",
    .documentation =
        "The tools go home in plain coordinates, two of three or more to one place, and this one to a place "
        "nearer "
        "to the part: a digit was lost. The rapid may cross the part, and the turret turns beside it.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X250. Z150. T0100
T0101
G00 X60. Z0.
G01 X-1.6 F0.2
G00 X250. Z150.
T0100
T0303
G00 X56. Z2.
G01 Z-20. F0.1
G00 X250. Z150.
T0300
T0505
G00 X45. Z-35.
G01 X27. F0.08
G00 X25. Z150.
;   ^^^^ warning: home_nearer_than_rest
T0500
T0707
G00 X34. Z6.
G01 Z-20. F0.1
G00 X250. Z150.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G00 X2. Z0.
G01 X-.06 F.01
G00 X6. Z8.
T0100
T0303
G00 X2. Z.1
G01 Z-1. F.01
G00 X6. Z.8
;       ^^^ warning: home_nearer_than_rest
T0300
T0505
G00 X2. Z.1
G01 Z-1. F.01
G00 X6. Z8.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G00 X2. Z0.
G01 X-.06 F.01
G00 X6. Z8.
T0303
G00 X2. Z.1
G01 Z-1. F.01
G00 X6. Z8.
T0505
G00 X2. Z.1
G01 Z-1. F.01
G00 X10. Z12.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::home_nearer_than_rest
