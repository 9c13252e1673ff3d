// A finishing cut and the roughing cut under it that end at different Z, by a slip of one number.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::finish_ends_unlike_rough {

namespace {

constexpr double same_place_mm = 0.65; ///< Allowance and corner between the two
constexpr double same_end_mm = 0.02;   ///< Of passes by one hand
constexpr double close_mm = 0.35;      ///< Allowance alone
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

/// A digit at any place before the point is lost.
std::optional<double> with_digit(double written, double wanted, double tolerance) {
    const double of = std::abs(written), target = std::abs(wanted);
    if (of < 1) return std::nullopt;
    std::optional<double> best;
    for (double place = 1; place <= of * 10; place *= 10) {
        const double high = std::floor(of / place) * place, low = of - high;
        for (int digit = 0; digit <= 9; ++digit) {
            const double value = 10 * high + digit * place + low;
            if (std::abs(value - target) < tolerance &&
                (!best || std::abs(value - target) < std::abs(*best - target)))
                best = value;
        }
    }
    return best ? std::optional(std::copysign(*best, written)) : std::nullopt;
}

/// Another digit, and not the last one before the point: much farther on.
std::optional<double> with_other_digit(double written, double wanted, double tolerance, double least) {
    const std::string digits = digits_of(written);
    if (std::abs(written - wanted) < least) return std::nullopt;
    for (std::size_t i = 0; i < digits.size(); ++i)
        for (char digit = '0'; digit <= '9'; ++digit) {
            std::string other = digits;
            other[i] = digit;
            if (std::abs(number_of(other, 4) - std::abs(wanted)) < tolerance)
                return std::copysign(number_of(other, 4), written);
        }
    return std::nullopt;
}

/// The cut stands in another pass of the same tool: it came out in front of the part between.
bool is_another_pass(const Work& work, const Leg& rough, const Leg& finish) {
    for (const Leg* leg = &rough + 1; leg < &finish; ++leg)
        if (leg->kind == Leg::Kind::rapid && leg->known && leg->to.z_mm > 0) return !work.legs.empty();
    return false;
}

/// Of passes that go to one Z the block with that word.
Report::Entry at_giver_of_z(const WorksContext& context, const Work& work, const Leg& leg, Report& report) {
    const Leg* giver = &leg;
    while (giver != work.legs.data() && !find_letter(context.reader, context.place(work, *giver), 'Z') &&
           !find_letter(context.reader, context.place(work, *giver), 'W'))
        --giver;
    return context.at(report, work, *giver, "ZW");
}

bool is_line_along(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.in_contour && !leg.is_arc && leg.dz() < 0 &&
           leg.dx() == 0 && leg.to.x_radius_mm > 0;
}

/// Its tool goes on behind the end of it.
bool goes_deeper(const Cut& finish) {
    const Leg* end = finish.work->legs.data() + finish.work->legs.size();
    return std::any_of(finish.leg + 1, end, [&](const Leg& leg) {
        return leg.cuts() && (!leg.known || (finish.z() - leg.to.z_mm) * finish.work->unit_mm > apart_mm / 2);
    });
}

/// As far in front of the finish as an allowance is; not behind it.
bool is_close_in_front(double meant, double finish_z, double unit_mm) {
    constexpr double over_mm = 0.02;
    return (meant - finish_z) * unit_mm > -over_mm && (meant - finish_z) * unit_mm < close_mm;
}

/// The slip stands in the roughing cut: it ends in front of what is finished, or behind all other cuts.
bool tell_slip_of_rough(const WorksContext& context, const Workpiece& part, const Cut& finish,
                        const Cut& rough, Report& report) {
    constexpr double far_mm = 8;
    const double mm = finish.work->unit_mm;
    if (finish.z() >= 0) return false;
    auto meant = meant_by(rough.z(), finish.z(), close_mm / mm);
    if (!meant && rough.z() > finish.z()) meant = with_digit(rough.z(), finish.z(), close_mm / mm);
    const bool is_last = std::none_of(part.works.begin(), part.works.end(), [&](const Work* work) {
        return !work->driven_tool && work->where != Work::Where::on_centre &&
               std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                   return leg.cuts() && leg.known && std::abs(leg.to.z_mm - rough.z()) > 1e-6 &&
                          (leg.to.z_mm - rough.z()) * mm < far_mm / 2;
               });
    });
    if (!meant && is_last && rough.z() < finish.z())
        meant = with_other_digit(rough.z(), finish.z(), close_mm / mm, far_mm / mm);
    if (!meant || *meant >= 0 || !is_close_in_front(*meant, finish.z(), mm)) return false;
    at_giver_of_z(context, *rough.work, *rough.leg, report)
        .message(
            said("The roughing cut at {} goes to {}, and what is finished over it at {} to {}: {} {} would "
                 "go with it. Are two digits changed, or is one wrong?",
                 context.x(rough.x()), context.z(rough.z()), context.x(finish.x()), context.z(finish.z()),
                 finish.z() < rough.z()
                     ? said("what lies between has never been roughed, or is no part of the work.")
                     : said("what lies between is never finished."),
                 context.z(*meant)))
        .related(context.place(*finish.work, *finish.leg), said("the finishing cut"));
    return true;
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
                 (cuts[r].leg->of_cycle && !finish.leg->of_cycle) ||
                 (cuts[r].work == finish.work && !finish.leg->of_cycle &&
                  is_another_pass(*finish.work, *cuts[r].leg, *finish.leg))) &&
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
        auto meant = meant_by(finish.z(), rough->z(), tolerance);
        const bool by_hand = rough->work == finish.work && !rough->leg->of_cycle;
        if (meant && by_hand && (goes_deeper(finish) || std::abs(*meant - rough->z()) * mm > same_end_mm))
            continue;
        if (!meant && finish.z() > rough->z() && !goes_deeper(finish))
            meant = with_digit(finish.z(), rough->z(), close_mm / mm);
        if (!meant) {
            if (!by_hand && tell_slip_of_rough(context, part, finish, *rough, report)) return;
            continue;
        }
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
    .documentation =
        "A finishing cut along Z ends far from where the roughing cut under it does, and "
        "swapping two digits, "
        "moving the point, or a digit that is lost or one that is doubled, makes them "
        "agree, in the one or the other; or the roughing cut alone goes far behind all others, "
        "and another digit would end it with the finish. The tool feeds into metal that nobody has "
        "roughed, into a "
        "shoulder or the jaws; or a part of the diameter is left as it was roughed.",
    .works = works,
    .examples =
        {
            // Two digits of the roughing cut's; a cut far behind all others; and a digit of the finish's
            // lost.
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.7 Z.2
G77 X1.02 Z-3.475 F.014
;         ^^^^^^^ warning: finish_ends_unlike_rough
X.9
X.78
G00 X5. Z5.
T0303
G97 S900 M03
G00 X.63 Z.1
G01 X.75 Z-.04 F.006
Z-3.75
X1.1
G00 X5. Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X66. Z2.
G90 X60.6 Z-125. F0.25
;         ^^^^^^ warning: finish_ends_unlike_rough
G00 X52.
G01 X60. Z-1. F0.12
Z-105.
X64. F0.3
G00 X100. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X66. Z2.
G20 X60.6 Z-105. F0.25
G00 X54.
G01 X60. Z-1. F0.12
Z-10.
;^^^^ warning: finish_ends_unlike_rough
X64. F0.3
G00 X100. Z100.
M30
)"},
            // A seat that ends before its diameter does, with the rest finished by another cut.
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X66. Z2.
G90 X60.6 Z-105. F0.25
G00 X54.
G01 X60. Z-1. F0.12
Z-35.
X60.2
Z-105.
X64. F0.3
G00 X100. Z100.
M30
)"},
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
