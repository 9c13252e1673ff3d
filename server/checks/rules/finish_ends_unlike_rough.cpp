// A finishing cut and the roughing cut under it that end at different Z, by a slip of one number.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::finish_ends_unlike_rough {

namespace {

constexpr double same_place_mm = 0.65; ///< Allowance and corner between the two
constexpr double apart_mm = 2;
constexpr double allowance_mm = 1.5; ///< On radius, at most
constexpr double next_step_mm = 3;

struct Cut {
    const Work* work;
    const Leg* leg;
    double x() const { return leg->to.x_radius_mm; }
    double z() const { return leg->to.z_mm; }
};

/// 12.5 -> "12500" with `point` 2.
std::string digits_of(double number) {
    std::string text = fmt::format("{:.4f}", std::abs(number));
    text.erase(std::find(text.begin(), text.end(), '.'));
    return text;
}
double number_of(const std::string& digits, std::size_t decimals) {
    double number = 0;
    for (char digit : digits) number = 10 * number + (digit - '0');
    return number / std::pow(10.0, static_cast<double>(decimals));
}

/// Neighbouring digits swapped, the point moved by one place, or a digit lost or doubled makes one the other.
std::optional<double> meant_by(double written, double wanted, double tolerance) {
    const double of = std::abs(written), target = std::abs(wanted);
    std::optional<double> best;
    const auto offer = [&](double value) {
        const double off = std::abs(value - target);
        if (off < tolerance && value != of && (!best || off < std::abs(*best - target))) best = value;
    };
    const std::string digits = digits_of(of);
    for (std::size_t i = 0; i + 1 < digits.size(); ++i) {
        std::string swapped = digits;
        std::swap(swapped[i], swapped[i + 1]);
        offer(number_of(swapped, 4));
    }
    offer(of * 10);
    offer(of / 10);
    for (std::size_t i = 0; i + 4 < digits.size(); ++i)
        if (i > 0 && digits[i] == digits[i - 1])
            offer(number_of(digits.substr(0, i) + digits.substr(i + 1), 4));
    // The first digit is lost: with its place in front of all that are left.
    const double place = std::pow(10.0, std::max(0.0, std::floor(std::log10(std::max(of, 0.1)) + 1)));
    for (int digit = 1; digit <= 9; ++digit) offer(of + digit * place);
    return best ? std::optional(std::copysign(*best, written)) : std::nullopt;
}

bool is_line_along(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.in_contour && !leg.is_arc && leg.dz() < 0 &&
           leg.dx() == 0 && leg.to.x_radius_mm > 0;
}

void look_at(const WorksContext& context, const Workpiece& part, Work::Where side, Report& report) {
    std::vector<Cut> cuts;
    for (const Work* work : part.works) {
        if (std::any_of(work->legs.begin(), work->legs.end(),
                        [](const Leg& leg) { return leg.cuts() && !leg.known; }))
            return;
        if (work->driven_tool || work->where != side || is_blade(*work)) continue;
        for (const Leg& leg : work->legs)
            if (is_line_along(leg)) cuts.push_back({work, &leg});
    }
    for (std::size_t f = 1; f < cuts.size(); ++f) {
        const Cut& finish = cuts[f];
        const double mm = finish.work->unit_mm;
        const auto left = [&](const Cut& other) {
            return (side == Work::Where::inside ? finish.x() - other.x() : other.x() - finish.x()) * mm;
        };
        const auto ends_with = [&](const Cut& one, const Cut& other) {
            return std::abs(one.z() - other.z()) * mm < same_place_mm;
        };
        const Cut* rough = nullptr;
        for (std::size_t r = 0; r < f; ++r)
            // Of the same tool that was called again to measure it was a test cut.
            if (((cuts[r].work != finish.work &&
                  (finish.work->tool < 0 || cuts[r].work->tool != finish.work->tool)) ||
                 (cuts[r].leg->of_cycle && !finish.leg->of_cycle)) &&
                left(cuts[r]) > 0.02 && left(cuts[r]) < allowance_mm &&
                (!rough || left(cuts[r]) < left(*rough)))
                rough = &cuts[r];
        if (!rough || std::abs(rough->z() - finish.z()) * mm < apart_mm) continue;
        const bool has_its_own = std::any_of(cuts.begin(), cuts.end(), [&](const Cut& cut) {
            return &cut != &finish && &cut != rough && (cut.work != finish.work || cut.leg->of_cycle) &&
                   std::abs(left(cut)) < next_step_mm && ends_with(cut, finish);
        });
        const bool is_of_another = std::any_of(cuts.begin(), cuts.end(), [&](const Cut& cut) {
            return &cut != rough && cut.work == finish.work && !cut.leg->of_cycle &&
                   std::abs(left(cut)) < next_step_mm && ends_with(cut, *rough);
        });
        if (has_its_own || is_of_another) continue;
        const double tolerance = same_place_mm / mm;
        const auto meant = meant_by(finish.z(), rough->z(), tolerance);
        if (!meant) continue;
        context.at(report, *finish.work, *finish.leg, "ZW")
            .message(said("The finishing cut at {} goes to {}, and the roughing under it at {} ends "
                          "at {}: {} Are two digits "
                          "changed, one lost or doubled, or the point moved? {} would go with it.",
                          context.x(finish.x()), context.z(finish.z()), context.x(rough->x()),
                          context.z(rough->z()),
                          finish.z() < rough->z()
                              ? said("what lies between has never been roughed, or is no part of the work.")
                              : said("what lies between is never finished."),
                          context.z(*meant)))
            .related(context.place(*rough->work, *rough->leg), said("the roughing cut"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (Work::Where side : {Work::Where::outside, Work::Where::inside})
            look_at(context, part, side, report);
}

} // namespace

extern const Check check{
    .id = "finish_ends_unlike_rough",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Finishing cut that ends elsewhere than the roughing",
    .documentation = "A finishing cut along Z ends far from where the roughing cut under it does, and "
                     "swapping two digits, "
                     "moving the point, or the first digit that is lost or one that is doubled, makes them "
                     "agree. The tool feeds into metal that nobody has "
                     "roughed, into a "
                     "shoulder or the jaws; or a part of the diameter is left as it was roughed.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X150.6 Z5.
G01 Z-36. F0.3
G00 X158. Z3.
G00 X250. Z100.
T0303
G96 S170 M03
G00 X150. Z2.
G01 Z-63. F0.15
;   ^^^^ warning: finish_ends_unlike_rough
G00 X158.
Z5.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G96 S400 M03
G00 X1.54 Z.1
G01 Z-1.24 F.012
X1.8
G00 Z.1
X4. Z4.
T0303
G96 S500 M03
G00 X1.5 Z.1
G01 Z-.125 F.005
;   ^^^^^^ warning: finish_ends_unlike_rough
X1.8
G00 X4. Z4.
M30
)"},
            // By a cycle of the same tool.
            {System::B, R"(
G20 G90 G95
T0303
G97 S550 M03
G00 X2.1 Z.2
G77 X2.38 Z-1.8 F.01
X2.47
G00 X2.7 Z.05
G01 X2.5 Z-.05 F.006
Z-.8
;^^^ warning: finish_ends_unlike_rough
X2.42
G00 Z.3
X6. Z4.
M30
)"},
            // Two steps of nearly the same diameter.
            {System::B, R"(
G21 G90 G95
T0101
G96 S140 M03
G00 X60. Z2.
G77 X42.6 Z-20.9 F.25
X40.6 Z-11.9
G00 X250. Z100.
T0303
G96 S170 M03
G00 X40. Z2.
G01 Z-12. F.12
X42.
Z-21.
X60.
G00 X250. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X60. Z2.
G90 X40.6 Z-29.9 F.25
G00 X250. Z100.
T0303
G96 S170 M03
G00 X40. Z2.
G01 Z-30. F.12
X60.
G00 X250. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::finish_ends_unlike_rough
