// G20 over a program of millimetres, G21 over one of inches.
//
// The bounds: common practice, no source.
#include "checks/rule.h"
#include "checks/unit_evidence.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::unit_code_unlike_values {

namespace {

/// A spindle that no lathe has, at the largest diameter that a tool cuts.
constexpr double least_odd_rpm = 20000;
/// So small every feed by the revolution of an inch program is.
constexpr float most_inch_feed = 0.03F;

/// Signs of inches under millimetres.
struct AsMillimetres {
    const ToolOfSpan* code_tool = nullptr;
    const Act* code = nullptr; ///< Where millimetres are stated first
    int feeds = 0;
    bool all_small = true;
    double rpm = 0, diameter = 0, surface = 0; ///< The fastest tool
};
AsMillimetres as_millimetres(std::span<const ToolOfSpan> tools) {
    AsMillimetres out;
    for (const ToolOfSpan& tool : tools) {
        double diameter = 0, surface = 0;
        for (const Act& act : tool.work->acts) {
            if (!out.code && act.states(Group::units) && act.millimetre()) {
                out.code_tool = &tool;
                out.code = &act;
            }
            if (!act.millimetre() || act.per_minute() || !act.cuts()) continue;
            out.feeds += act.gives_feed;
            out.all_small = out.all_small && (!act.gives_feed || act.feed <= most_inch_feed);
            if (!act.surface_speed()) continue;
            surface = std::max(surface, double(act.speed));
            for (float x : {act.from_x, act.to_x})
                if (known(x)) diameter = std::max(diameter, 2.0 * std::abs(x));
        }
        if (diameter <= 0 || surface <= 0) continue;
        const double rpm = surface / motion::surface_for(1, diameter);
        if (rpm > out.rpm) out.rpm = rpm, out.diameter = diameter, out.surface = surface;
    }
    return out;
}

/// Where the only unit that the program states is stated first; none: it states both, or neither.
std::optional<BlockPlace> first_code(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                                     Meaning stated) {
    std::optional<BlockPlace> first;
    context.reader().whole(machine::Whole::text);
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (!act.states(Group::units)) continue;
            if (!(stated == Meaning::inch ? act.inch() : act.millimetre())) return std::nullopt;
            if (!first) first = tool.place(act);
        }
    return first;
}

/// Whether it has told.
bool look_at_millimetres(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    if (!std::any_of(tools.begin(), tools.end(),
                     [](const ToolOfSpan& t) { return t.work->states_millimetre; }) ||
        std::any_of(tools.begin(), tools.end(), [](const ToolOfSpan& t) {
            return t.work->states_inch || t.work->largest_feed > most_inch_feed;
        }))
        return false;
    context.reader().whole(machine::Whole::text);
    const AsMillimetres signs = as_millimetres(tools);
    constexpr int enough = 3;
    if (!signs.code || signs.feeds < enough || !signs.all_small || signs.rpm < least_odd_rpm) return false;
    report_at_code(report, context.reader(), signs.code_tool->place(*signs.code), Meaning::millimetre)
        .message(said("{} makes millimetres of inches: all feeds are {} or less, and S{} at a diameter of "
                      "{} mm is {:.0f} rpm. Every length is 25.4 times too short. Write {}.",
                      code(context.settings(), Meaning::millimetre), written(most_inch_feed),
                      spoken(signs.surface), spoken(signs.diameter), signs.rpm,
                      code(context.settings(), Meaning::inch)));
    return true;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const std::string inch = code(context.settings(), Meaning::inch),
                      millimetre = code(context.settings(), Meaning::millimetre);
    if (const FeedsAsInch feeds = feeds_as_inch(context, tools); feeds.say_millimetres()) {
        report_at_code(report, context.reader(), feeds.code_tool->place(*feeds.code), Meaning::inch)
            .message(said("{} makes inches of millimetres: {} of {} feeds, such as F{}, are no feeds in "
                          "inches a turn, and every length is 25.4 times too long. Write {}.",
                          inch, feeds.too_large, feeds.all, written(feeds.example), millimetre));
        return;
    }
    if (look_at_millimetres(context, tools, report)) return;
    const machine::Assumption& values = context.settings().assumed.values;
    if (values.by == machine::Sign::none) return;
    const bool are_inch = values.meaning == Meaning::inch;
    const Meaning stated = are_inch ? Meaning::millimetre : Meaning::inch;
    const auto place = first_code(context, tools, stated);
    if (!place) return;
    report_at_code(report, context.reader(), *place, stated)
        .message(said("{} makes {}: by {} and other signs its values are {}, and every length and feed is "
                      "25.4 times too {}. Write {}, unless the part is so {}.",
                      are_inch ? millimetre : inch,
                      are_inch ? said("millimetres of inches") : said("inches of millimetres"),
                      machine::sign_title(values.by), are_inch ? said("inches") : said("millimetres"),
                      are_inch ? said("short") : said("long"), are_inch ? inch : millimetre,
                      are_inch ? said("small") : said("large")));
}

} // namespace

extern const Check check{
    .id = "unit_code_unlike_values",
    .family = Family::modal_state,
    .severity = Severity::error,
    .title = "Unit code that the program's own values contradict",
    .documentation = "The program states inches, and most of its feeds by the revolution are more than 0.06 "
                     "in (1.5 mm): no tool "
                     "cuts at that, and as millimetres all of them are usual. Or it states one unit, and its "
                     "feeds, sizes, "
                     "decimals, leads, surface speeds, approaches and notes speak of the other, none of them "
                     "against it. Read in "
                     "inches every coordinate of a metric program is 25.4 times too long: the axes alarm at "
                     "their limits, or the "
                     "tool is driven into the chuck. Read in millimetres an inch program makes rapids end a "
                     "tenth of a millimetre "
                     "in front of the part, or in it, and asks for speeds that no spindle has. The feeds "
                     "themselves are then not told one by one.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G40 G99
;^^ error: unit_code_unlike_values
T0101
G96 S140 M03
G00 X172. Z5.
G01 X30. F0.3
Z-8. F0.15
M30
)"},
            {System::C, R"(
G70 G90 G95
;^^ error: unit_code_unlike_values
T0101
G96 S140 M03
G00 X72. Z.1
G01 X-1.6 F.2
G00 Z2.
G73 U2. R.5
G73 P100 Q200 U.5 W.1 F.3
N100 G00 X28.
G01 Z-10. F.15
N200 X70.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X0 Z.5
G01 Z.05 F.1
Z-.14 F.004
Z-.2 F.003
Z-.3 F.006
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.5
G01 X1. F.2
X2. F.008
M30
)"},
            {System::A, R"(
G21 G99 G40
;^^ error: unit_code_unlike_values
T0202
G50 S2000
G96 S600 M03
G00 X3.2 Z.1
G01 X.9 F.01
G00 Z.1
X2.8905
G01 Z-.5955 F.012
X3.1
G00 X8. Z6.
T0404
G50 S2500
G96 S800 M03
G00 X2.9005 Z.1
G01 Z-.6005 F.005
X3.1 F.02
G00 X8. Z6.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S6000 M03
G00 X3.2 Z.2
G01 X1.5 F.03
Z-4. F.02
X1.995 Z-4.5
G00 X10. Z8.
T0303
G97 S2000 M03
G00 X2. Z1.
G78 X1.4 Z-3. F.25
X1.35
G00 X10. Z8.
M30
)"},
            {System::A, R"(
O0212
G21
;^^ error: unit_code_unlike_values
G0 G40 G99 G97
G50 S2200
G96 S600 M3
G0 X2.2 Z.1 T0101
Z0
G1 X-.06 F.01
G0 Z.1
X1.8
G1 Z-1.65 F.012
G0 U.1
Z.1
X1.62
G1 Z0 F.01
X1.75 Z-.065
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 S10000
T0101
G96 S60 M03
G00 X2.2 Z1.
Z0
G01 X-.2 F.01
G00 Z.5
X1.5
G01 Z-4. F.015
X2.2 F.02
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unit_code_unlike_values
