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
constexpr double widest_groove_mm = 10;

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

/// Where the finish leaves its diameter: cuts behind it go on along nearly the same X.
double end_along(const Cut& finish) {
    const Leg* end = finish.work->legs.data() + finish.work->legs.size();
    double z = finish.z();
    for (const Leg* leg = finish.leg + 1; leg < end; ++leg) {
        const bool goes_on = leg->cuts() && leg->known && leg->dz() <= 0 &&
                             std::abs(leg->to.x_radius_mm - finish.x()) * finish.work->unit_mm < allowance_mm;
        if (!goes_on) break;
        z = leg->to.z_mm;
    }
    return z;
}

/// The block that gives a cut its Z.
BlockPlace giver_of_z(const WorksContext& context, const Work& work, const Leg& leg) {
    const Leg* giver = &leg;
    while (giver != work.legs.data() && !giver->moves_z) --giver;
    return context.place(work, *giver);
}

/// What the rest of the part says of a length: blocks of the same side, of blades and on the centre that go
/// there, too.
bool is_known_elsewhere(const WorksContext& context, const Workpiece& part, Work::Where side,
                        const Cut& cut) {
    const BlockPlace own = giver_of_z(context, *cut.work, *cut.leg);
    for (const Work* work : part.works) {
        if (work->driven_tool ||
            (work->where != side && work->where != Work::Where::on_centre && !is_blade(*work)))
            continue;
        for (const Leg& leg : work->legs) {
            const bool goes_there = leg.arrives && leg.kind != Leg::Kind::home && leg.moves_z &&
                                    std::abs(leg.to.z_mm - cut.z()) * work->unit_mm < same_place_mm;
            if (goes_there && giver_of_z(context, *work, leg) != own) return true;
        }
    }
    return false;
}

/// Between the two ends another tool works: a groove, a relief, or what was turned there before. A groove
/// somewhere in a long stretch is no reason for its end.
bool is_worked_between(const Workpiece& part, Work::Where side, const Cut& finish, const Cut& rough) {
    const double mm = finish.work->unit_mm, low = std::min(finish.z(), rough.z()) + same_place_mm / mm,
                 high = std::max(finish.z(), rough.z()) - same_place_mm / mm;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where == Work::Where::on_centre) continue;
        if (side == Work::Where::inside ? work->where == Work::Where::outside
                                        : work->where == Work::Where::inside)
            continue;
        if (is_blade(*work) && (high - low) * mm > widest_groove_mm) continue;
        for (const Leg& leg : work->legs) {
            if (!leg.cuts() || !leg.known || &leg == finish.leg || &leg == rough.leg ||
                leg.kind == Leg::Kind::thread)
                continue;
            const double x = leg.to.x_radius_mm,
                         over = side == Work::Where::inside ? finish.x() - x : x - finish.x();
            if (leg.to.z_mm > low && leg.to.z_mm < high && over * mm < next_step_mm && x > 0) return true;
        }
    }
    return false;
}

/// A cut other than these two that goes deeper than this at a Z.
bool is_cut_deeper(const Workpiece& part, Work::Where side, double z, double x, const Leg* but) {
    constexpr double over = 1e-4;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != side) continue;
        for (const Leg& leg : work->legs) {
            if (&leg == but || !leg.cuts() || !leg.known || leg.dz() == 0 || leg.kind == Leg::Kind::thread ||
                std::min(leg.from.z_mm, leg.to.z_mm) > z || std::max(leg.from.z_mm, leg.to.z_mm) < z)
                continue;
            const double at = leg.from.x_radius_mm + leg.dx() * (z - leg.from.z_mm) / leg.dz();
            if (side == Work::Where::inside ? at > x + over : at < x - over) return true;
        }
    }
    return false;
}

/// Its block is gone through more than once by the tool.
bool is_repeated(const WorksContext& context, const Work& work, const Leg& leg) {
    if (!leg.run_at || leg.of_cycle) return false;
    const BlockPlace place = context.place(work, leg);
    return std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& other) {
        return &other != &leg && context.place(work, other) == place;
    });
}

/// Behind a stop its tool goes on with the same part, or with another one: it was measured.
bool is_called_again(const WorksContext& context, const Workpiece& part, const Work& work) {
    const Workpiece* next = &part + 1 < context.parts.data() + context.parts.size() ? &part + 1 : nullptr;
    return part.works.back() == &work && next && !next->works.empty() && work.tool >= 0 &&
           next->works.front()->tool == work.tool;
}

/// In a bore the finish goes on along the floor of it.
bool has_floor(const Cut& finish) {
    constexpr double least_mm = 2.5;
    const Leg* next = next_of(*finish.work, *finish.leg);
    return next && next->cuts() && next->known && next->dz() == 0 &&
           -next->dx() * finish.work->unit_mm > least_mm;
}

/// No slip of a digit tells which of the two is wrong; what the rest of the part knows does.
bool tell_by_the_rest(const WorksContext& context, const Workpiece& part, Work::Where side, const Cut& finish,
                      const Cut& rough, Report& report) {
    constexpr double least_apart_mm = 2.5, most_left_mm = 0.8;
    const double mm = finish.work->unit_mm;
    if (std::abs(finish.z() - rough.z()) * mm < least_apart_mm ||
        std::abs(finish.x() - rough.x()) * mm > most_left_mm)
        return false;
    if (finish.z() >= 0 || rough.z() >= 0 || finish.leg->by_letters || rough.leg->by_letters) return false;
    if (is_repeated(context, *finish.work, *finish.leg) || is_repeated(context, *rough.work, *rough.leg))
        return false; // Steps of a loop
    if ((finish.z() - end_along(finish)) * mm > close_mm || is_worked_between(part, side, finish, rough))
        return false;
    const bool is_short = finish.z() > rough.z();
    constexpr double in_front_mm = 0.2;
    // A test cut, or one through the air.
    if (is_short && is_called_again(context, part, *finish.work)) return false;
    if (is_short && is_cut_deeper(part, side, (finish.z() + rough.z()) / 2, rough.x(), rough.leg))
        return false;
    if (is_cut_deeper(part, side, finish.z() + in_front_mm / mm, finish.x(), finish.leg)) return false;
    // What a finish takes beyond its roughing off bar of nearly its size is no more than it takes elsewhere.
    if (!is_short && side == Work::Where::outside && (part.first_clear_x - finish.x()) * mm < allowance_mm)
        return false;
    const bool knows_rough = is_known_elsewhere(context, part, side, rough),
               knows_finish = is_known_elsewhere(context, part, side, finish) ||
                              (!knows_rough && side == Work::Where::inside && has_floor(finish));
    if (knows_finish && knows_rough) return false;
    // At its far end a part is often roughed farther than it is finished.
    if (is_short && side == Work::Where::outside && !knows_rough) return false;
    const Cut& odd = knows_finish ? rough : finish;
    const Cut& other = knows_finish ? finish : rough;
    at_giver_of_z(context, *odd.work, *odd.leg, report)
        .message(said("The finishing cut at {} ends at {}, and the roughing under it at {} at {}: {} Nothing "
                      "else of the part goes to {}. Is that length wrong?",
                      context.x(finish.x()), context.z(finish.z()), context.x(rough.x()),
                      context.z(rough.z()),
                      is_short ? said("what lies between is never finished.")
                               : said("what lies between has never been roughed, or is no part of the work."),
                      context.z(odd.z())))
        .related(context.place(*other.work, *other.leg),
                 knows_finish ? said("the finishing cut") : said("the roughing cut"));
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
        const BlockPlace finish_at = context.place(*finish.work, *finish.leg);
        const bool has_its_own = std::any_of(cuts.begin(), cuts.end(), [&](const Cut& cut) {
            // Of the next part in a loop it is the same block.
            return &cut != &finish && &cut != rough && (cut.work != finish.work || cut.leg->of_cycle) &&
                   std::abs(left(cut)) < next_step_mm && ends_with(cut, finish) &&
                   !(cut.leg->run_at && context.place(*cut.work, *cut.leg) == finish_at);
        });
        const bool is_of_another = std::any_of(cuts.begin(), cuts.end(), [&](const Cut& cut) {
            return &cut != rough && cut.work == finish.work && !cut.leg->of_cycle &&
                   left(cut) > -next_step_mm && left(cut) < left(*rough) && ends_with(cut, *rough);
        });
        if (has_its_own || is_of_another) continue;
        const double tolerance = same_place_mm / mm;
        auto meant = meant_by(finish.z(), rough->z(), tolerance);
        const bool by_hand = rough->work == finish.work && !rough->leg->of_cycle;
        if (meant && by_hand && (goes_deeper(finish) || std::abs(*meant - rough->z()) * mm > same_end_mm))
            meant.reset();
        if (!meant && finish.z() > rough->z() && !goes_deeper(finish))
            meant = with_digit(finish.z(), rough->z(), close_mm / mm);
        if (!meant) {
            if (!by_hand && tell_slip_of_rough(context, part, finish, *rough, report)) return;
            if (tell_by_the_rest(context, part, side, finish, *rough, report)) return;
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

/// The edge is broken down to a diameter that is roughed for it, and the tool goes off across what stands
/// there: the cut along it is lost.
void look_at_lost(const WorksContext& context, const Workpiece& part, Work::Where side, Report& report) {
    constexpr double least_along_mm = 4, deepest_edge_mm = 6, least_left_mm = 0.1;
    constexpr double even = 0.15; // At 45 degrees: a cone may end in a shoulder
    const double out = side == Work::Where::inside ? -1 : 1;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != side || is_blade(*work)) continue;
        const double mm = work->unit_mm;
        for (const Leg& edge : work->legs) {
            const Leg* off = next_of(*work, edge);
            const bool is_edge = edge.kind == Leg::Kind::feed && edge.known && !edge.in_contour &&
                                 !edge.of_cycle && edge.dz() < 0 && edge.dx() * out > 0 && edge.to.z_mm < 0 &&
                                 edge.from.z_mm >= 0 && -edge.to.z_mm * mm < deepest_edge_mm &&
                                 std::abs(-edge.dz() - edge.dx() * out) < even * -edge.dz();
            if (!is_edge || !off || off->kind != Leg::Kind::feed || !off->known || off->dz() != 0 ||
                off->dx() * out <= 0)
                continue;
            const double x = edge.to.x_radius_mm, z = edge.to.z_mm - least_along_mm / 2 / mm;
            const Leg* rough = nullptr;
            bool is_finished = false;
            for (const Work* other : part.works) {
                if (other->driven_tool || other->where != side) continue;
                for (const Leg& leg : other->legs) {
                    if (!leg.cuts() || !leg.known || leg.dz() >= 0 || leg.from.z_mm < z || leg.to.z_mm > z)
                        continue;
                    const double left = (leg.to.x_radius_mm - x) * out * mm;
                    if (left < least_left_mm) is_finished = true;
                    if (leg.dx() == 0 && left < allowance_mm &&
                        (edge.to.z_mm - leg.to.z_mm) * mm > least_along_mm &&
                        (off->to.x_radius_mm - leg.to.x_radius_mm) * out > 0)
                        rough = &leg;
                }
            }
            if (!rough || is_finished) continue;
            context.at(report, *work, *off, "XU")
                .message(said(
                    "The edge is broken down to {}, and the tool goes off across what stands at {} "
                    "there, roughed as far as {}: nothing finishes that to {}. Is the block lost that "
                    "goes along it?",
                    context.x(x), context.x(rough->to.x_radius_mm), context.z(rough->to.z_mm), context.x(x)));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (Work::Where side : {Work::Where::outside, Work::Where::inside}) {
            look_at(context, part, side, report);
            look_at_lost(context, part, side, report);
        }
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
        "shoulder or the jaws; or a part of the diameter is left as it was roughed."
        " Where no slip explains it, the rest of the part does: other blocks go to the one length, and "
        "none to the other.",
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
            // No slip: what else of the part goes to the one length, and not to the other.
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X2.05 Z.1
G77 X1.77 Z-1.75 F.012
;         ^^^^^^ warning: finish_ends_unlike_rough
G00 X4. Z2.
T0202
G00 X1.65 Z.05
G01 X1.75 Z-.05 F.005
Z-2.
X2.1
G00 X4. Z2.
T0404
G00 X2.15 Z-2.
G01 X-.02 F.003
G00 X4.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X36. Z3.
G90 X42. Z-71. F0.2
X44.6
G00 X100. Z100.
T0404
G00 X49. Z1.
G01 X45. Z-1. F0.1
Z-66.
;^^^^ warning: finish_ends_unlike_rough
X43.
G00 Z50.
X100. Z100.
M30
)"},
            // Finished as far as the part is cut off, with a relief between; and the same with none.
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X2.05 Z.1
G77 X1.77 Z-2.1 F.012
G00 X4. Z2.
T0202
G00 X1.65 Z.05
G01 X1.75 Z-.05 F.005
Z-1.75
X2.1
G00 X4. Z2.
T0303
G00 X2.1 Z-1.9
G01 X1.5 F.003
G00 X2.1
X4. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X36. Z3.
G20 X42. Z-70.9 F0.2
X44.6
G00 X100. Z100.
T0404
G00 X49. Z1.
G01 X45. Z-1. F0.1
Z-71.
X43.
G00 Z50.
X100. Z100.
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
            // The cut along the diameter is lost, outside and in a bore; and an edge alone.
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X2.2 Z.1
X1.8
G01 Z-1.65 F.012
G00 U.1 Z.1
X1.62
G01 Z0
X1.75 Z-.065
X2.1
;^^^ warning: finish_ends_unlike_rough
G00 X8. Z6.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X36. Z3.
G20 X42. Z-71. F0.2
X44.6
G00 X100. Z100.
T0404
G00 X49. Z1.
G01 X45. Z-1. F0.1
X43.
;^^^ warning: finish_ends_unlike_rough
G00 Z50.
X100. Z100.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X52. Z2.
X46.
G01 Z-40. F0.2
X52.
G00 Z1.
X42.
G01 X46.4 Z-1.2 F0.1
X52.
G00 X80. Z60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::finish_ends_unlike_rough
