// Flats milled round the axis of which one lies nearer to it, by a sign or as a radius.
#include "checks/flat_way.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::milled_flat_out_of_row {

namespace {

constexpr double same_share = 0.004; ///< Rounded corner points leave less
constexpr std::size_t least_alike = 3;
constexpr double pi = 3.14159265358979323846;

double distance(Flat from, Flat to) {
    return std::abs(cross(to - from, -from)) / std::abs(to - from);
}
bool alike(double a, double b) {
    return std::abs(a - b) <= same_share * std::max(a, b);
}

struct Looker {
    const FileContext& context;
    const FlatWay& way;
    Report& report;

    std::string length(double units) const {
        return fmt::format("{:.3f} {}", units, way.mm > 2 ? "in" : "mm");
    }
    static bool on(const FlatLeg& leg) { return leg.side && *leg.side != motion::Side::off; }
    /// A cut along a compensated contour, neither its lead in nor its lead out.
    bool is_cut(std::size_t i) const {
        return i > 0 && on(way.legs[i]) && on(way.legs[i - 1]) && way.legs[i].is_line() &&
               !way.legs[i].moves_across;
    }

    std::vector<std::size_t> cuts() const {
        std::vector<std::size_t> found;
        for (std::size_t i = 0; i < way.legs.size(); ++i)
            if (is_cut(i)) found.push_back(i);
        return found;
    }

    double at(std::size_t i) const { return distance(way.legs[i].from, way.legs[i].to); }

    /// The corner that ends or begins a cut, with another sign of X or C: both sides of it would lie as the
    /// others do.
    bool look_at_corners(const std::vector<std::size_t>& all) {
        for (const std::size_t i : all) {
            std::size_t same = 0;
            double row = 0;
            for (const std::size_t j : all)
                if (const std::size_t others = static_cast<std::size_t>(std::count_if(
                        all.begin(), all.end(), [&](std::size_t k) { return alike(at(j), at(k)); }));
                    others > same) {
                    same = others;
                    row = at(j);
                }
            if (same < least_alike || alike(at(i), row) || at(i) > row || i + 1 >= way.legs.size()) continue;
            const FlatLeg& leg = way.legs[i];
            for (const bool at_end : {true, false}) {
                const FlatLeg& own = at_end ? leg : way.legs[i - 1];
                const auto letters = sign_that_mends(i, at_end, row);
                if (letters.empty()) continue;
                report.at_letter(own.place, letters.back())
                    .message(
                        at_end
                            ? said("This cut passes the axis at {}, where {} others here keep {}: it goes "
                                   "across what they leave standing. With the other sign of {} it lies in "
                                   "their row.",
                                   length(at(i)), same, length(row), letters)
                            : said(
                                  "The cut from here passes the axis at {}, where {} others keep {}: it goes "
                                  "across what they leave standing. With the other sign of {} here it lies "
                                  "in their row.",
                                  length(at(i)), same, length(row), letters))
                    .related(way.legs[all.front() == i ? all.back() : all.front()].place,
                             said("one of the others"));
                return true;
            }
        }
        return false;
    }

    /// Of the corner at the end or the begin of a cut: with it both sides lie in the row; empty: none does.
    std::string_view sign_that_mends(std::size_t i, bool at_end, double row) const {
        const FlatLeg &leg = way.legs[i], &beside = way.legs[at_end ? i + 1 : i - 1];
        if (!beside.known() || beside.is_arc) return {};
        const Flat written = at_end ? leg.to : leg.from, near = at_end ? leg.from : leg.to,
                   far = at_end ? beside.to : beside.from;
        const std::pair<Flat, std::string_view> flips[] = {
            {std::conj(written), "C"}, {-std::conj(written), "X"}, {-written, "X, C"}};
        for (const auto& [corner, letters] : flips) {
            if (std::abs(corner - near) < 1e-6 || std::abs(far - corner) < 1e-6) continue;
            if (alike(distance(near, corner), row) && alike(distance(corner, far), row)) return letters;
        }
        return {};
    }

    /// Two flats that face each other, one at half the distance: a radius where X is a diameter, or the
    /// reverse.
    void look_at_halves(const std::vector<std::size_t>& all) {
        if (all.size() != 2) return;
        const FlatLeg &one = way.legs[all[0]], &two = way.legs[all[1]];
        const Flat a = one.to - one.from, b = two.to - two.from;
        const bool parallel = std::abs(cross(a, b)) < same_share * std::abs(a) * std::abs(b);
        const bool facing =
            cross(a, -one.from) * cross(b, -two.from) * (a.real() * b.real() + a.imag() * b.imag()) < 0;
        if (!parallel || !facing || !alike(std::abs(a), std::abs(b))) return;
        const double first = at(all[0]), second = at(all[1]);
        if (std::abs(first - 2 * second) > 1e-3 * first && std::abs(second - 2 * first) > 1e-3 * second)
            return;
        const bool x_constant = std::abs(b.real()) < same_share * std::abs(b);
        const FlatLeg& told = x_constant ? way.legs[all[1] - 1] : two;
        auto entry = report.at(told.place);
        const bool by_radius = context.settings().machine.x == shop::XReading::radius;
        entry.message(by_radius ? said("This flat lies {} from the axis and the one across from it {}, twice "
                                       "or half as far: X "
                                       "counts as a radius here. Is one of the two written as a diameter?",
                                       length(second), length(first))
                                : said("This flat lies {} from the axis and the one across from it {}, twice "
                                       "or half as far: X "
                                       "counts as a diameter here. Is one of the two written as a radius?",
                                       length(second), length(first)));
        entry.related(one.place, said("the flat across from it"));
    }

    /// The corners of a square, a hexagon and the like: all at one distance from the axis and in equal steps
    /// round it. Told is the only one that is not, or that is left out.
    void look_at_regular(const std::vector<std::size_t>& all) {
        constexpr double same_radius = 0.0015, turn = 360, mm_least = 0.02;
        for (std::size_t k = 1; k < all.size(); ++k)
            if (all[k] != all[k - 1] + 1 || std::abs(way.legs[all[k]].from - way.legs[all[k - 1]].to) > 1e-6)
                return;
        if (all.size() < 5) return;
        std::vector<Flat> corners; // Between two cuts
        for (std::size_t k = 0; k + 1 < all.size(); ++k) corners.push_back(way.legs[all[k]].to);
        double radius = 0;
        std::size_t alike_most = 0;
        for (const Flat one : corners) {
            const auto count = static_cast<std::size_t>(std::count_if(
                corners.begin(), corners.end(), [&](Flat other) {
                    return std::abs(std::abs(other) - std::abs(one)) <= same_radius * std::abs(one);
                }));
            if (count > alike_most) alike_most = count, radius = std::abs(one);
        }
        if (alike_most < 3) return;
        std::vector<std::size_t> odd;
        for (std::size_t k = 0; k < corners.size(); ++k)
            if (std::abs(std::abs(corners[k]) - radius) > same_radius * radius) odd.push_back(k);
        // The step that most of the others keep
        const auto step_between = [&](std::size_t a, std::size_t b) {
            return std::remainder((std::arg(corners[b]) - std::arg(corners[a])) * 180 / pi, turn);
        };
        const auto is_odd = [&](std::size_t k) { return std::find(odd.begin(), odd.end(), k) != odd.end(); };
        double step = 0;
        std::size_t steps_alike = 0;
        for (std::size_t k = 0; k + 1 < corners.size(); ++k) {
            if (is_odd(k) || is_odd(k + 1)) continue;
            std::size_t count = 0;
            for (std::size_t j = 0; j + 1 < corners.size(); ++j)
                count += !is_odd(j) && !is_odd(j + 1) &&
                         std::abs(step_between(j, j + 1) - step_between(k, k + 1)) < 0.3;
            if (count > steps_alike) steps_alike = count, step = step_between(k, k + 1);
        }
        const double sides = turn / std::abs(step);
        if (step == 0 || steps_alike < 2 || sides < 3 || sides > 12.1 ||
            std::abs(sides - std::round(sides)) > 0.02)
            return;
        const auto tell = [&](std::size_t k) { return report.at(way.legs[all[k]].place); };
        if (odd.size() == 1) {
            const std::size_t k = odd.front();
            const Flat before = k > 0 ? corners[k - 1] : way.legs[all.front()].from,
                       behind = k + 1 < corners.size() ? corners[k + 1] : way.legs[all.back()].to;
            const bool in_line = std::abs(cross(corners[k] - before, behind - corners[k])) <
                                 same_share * std::abs(behind - before) * std::abs(behind - before);
            if (in_line || std::abs(std::abs(corners[k]) - radius) * way.mm < mm_least) return;
            tell(k).message(said("This corner stands {} from the axis, and the {} others of this outline {}: its "
                                 "two sides come out askew. Is a digit or the sign of X or C wrong?",
                                 length(std::abs(corners[k])), alike_most, length(radius)));
            return;
        }
        if (!odd.empty()) return;
        std::vector<std::size_t> breaks; // Steps unlike the others
        for (std::size_t k = 0; k + 1 < corners.size(); ++k)
            if (std::abs(std::remainder(step_between(k, k + 1) - step, turn)) > 0.3) breaks.push_back(k);
        const auto is_step = [&](std::size_t k, double times) {
            return std::abs(std::remainder(step_between(k, k + 1) - times * step, turn)) < 0.3;
        };
        if (breaks.size() == 1 && is_step(breaks.front(), 2)) {
            tell(breaks.front() + 1)
                .message(said("Between the corner before and this one lies {0} degrees, and {1} between all others: "
                              "the corner between them is left out, and the cut goes straight across what is to "
                              "stand there. Is a block lost?",
                              spoken(std::round(std::abs(2 * step) * 100) / 100),
                              spoken(std::round(std::abs(step) * 100) / 100)));
            return;
        }
        // It turns back: of the corners one has another sign.
        if (breaks.size() >= 2 && breaks.size() * 2 <= corners.size() + 1 && is_step(breaks.front(), -1)) {
            tell(breaks.front() + 1)
                .message(said("The corners before go round the axis one way by {} degrees each, and here the cut goes "
                              "back to where it has been: the other side stays whole. Is the sign of X or C wrong?",
                              spoken(std::round(std::abs(step) * 100) / 100)));
            return;
        }
        // The last cut goes inside.
        const FlatLeg& last = way.legs[all.back()];
        const double flat = radius * std::cos(std::abs(step) * pi / 360);
        if (std::abs(last.to) < 0.9 * flat && breaks.empty())
            report.at(last.place)
                .message(said("This cut ends {} from the axis, and the sides before it keep {}: it goes into what is "
                              "to stand. Is the block before it lost?",
                              length(std::abs(last.to)), length(flat)));
    }

    void look() {
        const std::vector<std::size_t> all = cuts();
        if (!look_at_corners(all)) look_at_regular(all);
        look_at_halves(all);
    }
};

void file(const FileContext& context, Report& report) {
    for (const FlatWay& way : flat_ways(context))
        if (way.polar) Looker{context, way, report}.look();
}

} // namespace

extern const Check check{
    .id = "milled_flat_out_of_row",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Milled flat out of the row of the others",
    .documentation = "Flats that one cutter mills round the axis on the plane of X and C mostly lie equally "
                     "far from it. Told "
                     "is a cut that passes nearer to the axis than at least three others and would lie in "
                     "their row with the "
                     "other sign of X or C at its end or begin, and one of two flats across from each other that lies "
                     "exactly half as "
                     "far: X written as a radius where it is a diameter, or the reverse. Of a square, a hexagon "
                     "and the like also a corner that stands at another distance than all others, or that is left "
                     "out. Sides of other "
                     "distances that no sign "
                     "explains are left alone.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G94 G97 G40
T0707
S1900 M03
G00 X70. C0. Z-12.
G12.1
G01 X70. C20. F400
G41 X30. F180
C-8.66
X0. C-17.321
X-30. C8.66
;     ^^^^^ warning: milled_flat_out_of_row
C8.66
X0. C17.321
X45. C4.33
G40 X80. F400
G13.1
M30
)"},
            {System::A, R"(
G20 G40 G98 G97
T1212
S1800 M03
G00 X3. Z-.75 C0.
G112
G01 X3. C-.8 F50.
G42 G01 X1. F20.
G01 C.8 F8.
G40 G01 X3. F50.
C1.5
X-3.
C.8
G42 G01 X-.5 F20.
;^^^^^^^^^^^^^^^^ warning: milled_flat_out_of_row
G01 C-.8 F8.
G40 G01 X-3. F50.
G113
M30
)"},
            {System::A, R"(
G20 G40 G98 G97
T1212
S1800 M03
G00 X3. Z-.75 C0.
G112
G01 X3. C-.8 F50.
G42 G01 X1. F20.
G01 C.8 F8.
G40 G01 X3. F50.
C1.5
X-3.
C.8
G42 G01 X-1. F20.
G01 C-.8 F8.
G40 G01 X-3. F50.
G113
M30
)"},
            // The first corner: the cut behind it goes across.
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M13
G00 X80. Z-12. C0.
G12.1
G41 G01 X36. C0. F120
C10.392
;^^^^^^ warning: milled_flat_out_of_row
X0. C-20.785
X-36. C-10.392
C10.392
X0. C20.785
X36. C10.392
C-2.
G40 G01 X80. F400
C0.
G13.1
M15
M30
)"},
            // A rectangle.
            {System::C, R"(
G71 G90 G94 G97 G40
T0707
S1900 M03
G00 X70. C0. Z-12.
G12.1
G01 X70. C-20. F400
G42 X30. F180
C10.
X-30.
C-10.
X60.
G40 X80. F400
G13.1
M30
)"},
            {System::B, R"(
G21 G90 G94 G97 G40
T0707
S1900 M03
G00 X70. C0. Z-12.
G12.1
G01 X70. C20. F400
G41 X30. F180
C-8.66
X0. C-17.321
X-30. C-8.66
C8.66
X0. C17.321
X45. C4.33
G40 X80. F400
G13.1
M30
)"},
            {System::B, R"(
G20 G90 G94 G97 G40
T0606
S2200 M03
G00 X2.2 C0. Z-.4
G12.1
G42 G01 X1. C0 F10.
C.2887
X0 C.5747
;^^^^^^^^ warning: milled_flat_out_of_row
X-1. C.2887
C-.2887
X0 C-.5774
X1. C-.2887
C0
G40 X2.2 F40.
G13.1
M30
)"},
            {System::B, R"(
G20 G90 G94 G97 G40
T0606
S2200 M03
G00 X2.2 C0. Z-.4
G12.1
G42 G01 X1. C0 F10.
C.2887
X0 C.5774
X-1. C.2887
X0 C-.5774
;^^^^^^^^^ warning: milled_flat_out_of_row
X1. C-.2887
C0
G40 X2.2 F40.
G13.1
M30
)"},
            {System::B, R"(
G20 G90 G94 G97 G40
T0606
S2200 M03
G00 X2.2 C0. Z-.4
G12.1
G42 G01 X1. C0 F10.
C.2887
X0 C.5774
X-1. C.2887
C-.2887
X0 C-.5774
X1. C-.2887
C0
G40 X2.2 F40.
G13.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::milled_flat_out_of_row
