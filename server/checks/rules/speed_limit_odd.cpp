// A speed limit with a digit too many or too few, and a speed far above the limit that the program sets.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::speed_limit_odd {

namespace {

/// Hardly a lathe turns faster (common practice, no source).
constexpr double most_rpm = 12000;
/// Limits below are looked at for a digit lost; the demand at the largest diameter is so many times as high.
constexpr double low_rpm = 800, times_demanded = 2.5;
/// Limits from here on are held against the others of the program.
constexpr double high_rpm = 5000, times_others = 5;
/// Far below all others a limit is odd where it holds the tool back all the way, by however little.
constexpr double times_below = 4, demanded_beside_others = 1.2;

bool cuts_at_all(const Act& act) {
    return act.cuts() || act.threads() || act.taps() || (act.in_contour && act.motion == MotionKind::feed);
}

/// What the works behind one limit ask of the spindle.
struct Demand {
    const ToolOfSpan* tool;
    const Act* at;          ///< Gives the limit
    double least_rpm = 1e9; ///< Of the tools under surface speed, each at its largest diameter
    double diameter_mm = 0, surface = 0;
    bool told = false;
};

/// rpm that a tool's surface speed asks for at the largest diameter of its cuts; nullopt: none, or not known.
struct Asked {
    double rpm, diameter_mm, surface;
};
std::optional<Asked> asked_by(const ToolOfSpan& tool, double limit, std::optional<double> of_file) {
    double diameter = 0, surface = 0;
    for (const Act& act : tool.work->acts) {
        const auto per_unit = mm_of(act, of_file);
        if (!act.surface_speed() || act.speed <= 0 || act.speed_limit != static_cast<float>(limit) ||
            !per_unit || !cuts_at_all(act))
            continue;
        for (float x : {act.from_x, act.to_x})
            if (known(x)) diameter = std::max(diameter, 2.0 * std::abs(x) * *per_unit);
        surface = std::max(surface, act.speed * (*per_unit > 1 ? 0.3048 : 1));
    }
    if (diameter <= 0 || surface <= 0) return std::nullopt;
    return Asked{motion::rpm_for(surface, diameter), diameter, surface};
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    const std::string limit_code = code(context.settings(), Meaning::speed_limit);
    std::vector<Demand> limits;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (act.gives_limit && act.speed_limit > 0) limits.push_back({&tool, &act});
    for (Demand& demand : limits) {
        const double limit = demand.at->speed_limit;
        auto at = [&] { return report.at_letter(demand.tool->place(*demand.at), 'S'); };
        if (limit > most_rpm) {
            demand.told = true;
            at().message(said(
                "{} S{} limits nothing: no lathe chuck holds at {} rpm, and toward the centre the spindle "
                "runs up to the machine's highest speed. S{} is meant, perhaps.",
                limit_code, spoken(limit), spoken(limit), spoken(std::round(limit / 10))));
            continue;
        }
        // Far above all others of the program.
        double most_of_others = 0, least_of_others = 1e9;
        std::size_t others = 0;
        for (const Demand& other : limits)
            if (other.at != demand.at && other.tool->span->program == demand.tool->span->program) {
                most_of_others = std::max<double>(most_of_others, other.at->speed_limit);
                least_of_others = std::min<double>(least_of_others, other.at->speed_limit);
                ++others;
            }
        if (limit >= high_rpm && most_of_others > 0 && limit >= times_others * most_of_others) {
            demand.told = true;
            at().message(
                said("{} S{} lets the spindle run up to {} rpm toward the centre, and no other limit "
                     "here is above {}. S{} is meant, perhaps.",
                     limit_code, spoken(limit), spoken(limit), spoken(most_of_others),
                     spoken(std::round(limit / 10))));
            continue;
        }
        if (limit >= low_rpm) continue;
        for (const ToolOfSpan& tool : tools)
            if (tool.span->program == demand.tool->span->program)
                if (const auto asked = asked_by(tool, limit, of_file);
                    asked && asked->rpm < demand.least_rpm) {
                    demand.least_rpm = asked->rpm;
                    demand.diameter_mm = asked->diameter_mm;
                    demand.surface = asked->surface;
                }
        const bool far_below = others >= 2 && least_of_others >= times_below * limit;
        if (demand.least_rpm > 1e8 ||
            demand.least_rpm < (far_below ? demanded_beside_others : times_demanded) * limit)
            continue;
        demand.told = true;
        at().message(said(
            "{} S{} holds the spindle at {} rpm, and every tool under it asks for more, even where it cuts "
            "largest: {:.0f} m/min at a diameter of {} mm is {:.0f} rpm. S{} is meant, perhaps.",
            limit_code, spoken(limit), spoken(limit), demand.surface,
            spoken(std::round(demand.diameter_mm * 100) / 100), demand.least_rpm, spoken(limit * 10)));
    }
    // Under constant rpm the limit does not hold on every machine, and it says what the chuck may do.
    for (const ToolOfSpan& tool : tools) {
        if (tool.own->live || tool.listed->live || tool.is(NamedTool::Kind::stop)) continue;
        for (const Act& act : tool.work->acts) {
            if (act.spindle == machine::Spindle::live) continue; // The limit is the part's
            if (!act.gives_speed || !act.rpm() || act.stopped() || !known(act.speed_limit) ||
                act.speed_limit <= 0 || act.speed_limit > most_rpm)
                continue;
            if (act.speed < 2.2 * act.speed_limit || act.speed < 3000) continue;
            const bool limit_is_odd = std::any_of(limits.begin(), limits.end(), [&](const Demand& demand) {
                return demand.told && demand.at->speed_limit == act.speed_limit;
            });
            if (limit_is_odd) continue;
            report.at_letter(tool.place(act), 'S')
                .message(said("S{} is {} rpm, and {} S{} says that part and chuck may turn at {}. S{} "
                              "is meant, perhaps.",
                              spoken(act.speed), spoken(act.speed), limit_code, spoken(act.speed_limit),
                              spoken(act.speed_limit), spoken(std::round(act.speed / 10))));
        }
    }
}

} // namespace

extern const Check check{
    .id = "speed_limit_odd",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Speed limit with a digit too many or too few",
    .documentation =
        "The speed limit is higher than any lathe chuck holds (12000 rpm): it "
        "limits "
        "nothing. Or it is five times as high as every other limit of the program. Or it is below 800 rpm "
        "and so low that every tool under constant surface speed runs into "
        "it, "
        "even at its largest diameter, and asks for two and a half times as much: a digit is lost, and all "
        "tools crawl. Or a speed under constant rpm is more than twice the limit that the same program sets: "
        "what holds the part under G96 holds it under G97.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
G50 S25000
;   ^^^^^^ warning: speed_limit_odd
T0101
G96 S200 M03
G00 X52. Z0
G01 X-1.6 F0.2
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S180
;   ^^^^ warning: speed_limit_odd
T0101
G96 S500 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 S2500
T0101
G97 S8000 M03
;   ^^^^^ warning: speed_limit_odd
G00 X50. Z1.
G01 Z-20. F0.2
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G92 S1200
G96 S350 M03
G00 X6.2 Z0
G01 X1. F.01
T0303
G92 S12000
;   ^^^^^^ warning: speed_limit_odd
G96 S450 M03
G00 X6.2 Z.1
G01 Z-1. F.006
M30
)"},
            {System::A, R"(
G21 G99
G50 S400
T0101
G96 S150 M03
G00 X300. Z0
G01 X80. F0.2
M01
T0303
G96 S180 M03
G00 X120. Z1.
G01 Z-30. F0.1
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2000
T0202 (SPOT)
G97 S2500 M03
G00 X0 Z.1
G01 Z-.1 F.004
M30
)"},
            // Far below the others, and the tool never gets out of it.
            {System::A, R"(
G20 G99
T0101
G50 S1800
G96 S500 M03
G00 X6.2 Z.1
G01 X4. F.01
G28 U0 W0
T0303
G50 S180
;   ^^^^ warning: speed_limit_odd
G96 S400 M03
G00 X4.2 Z.1
G01 Z-1. F.01
G28 U0 W0
T0505
G50 S1500
G96 S400 M03
G00 X2.2 Z.1
G01 Z-1. F.01
G28 U0 W0
M30
)"},
            // Held back at the front alone.
            {System::B, R"(
G21 G90 G95
T0101
G92 S2000
G96 S200 M03
G00 X202. Z1.
G01 X120. F.2
G28 X300. Z100.
T0303
G92 S450
G96 S150 M03
G00 X202. Z1.
G01 Z-20. F.2
G28 X300. Z100.
T0505
G92 S1800
G96 S200 M03
G00 X80. Z1.
G01 Z-20. F.2
G28 X300. Z100.
M30
)"},
            // The tool turns, and the chuck stands.
            {System::A, R"(
(M17 C AXIS IN, M18 C AXIS OUT, M73/M75 LIVE TOOL ON/OFF)
G20 G99
T0101
G50 S1800
G96 S500 M03
G00 X5. Z.1
G01 Z-1. F.01
G00 X9. Z5.
M05
T0505
M17
G28 H0
G98
G97 S4000 M73
G00 X4.85 Z-2. C0
G01 X4. F8.
G00 X5.
M75
M18
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_limit_odd
