// A groove that the blade cuts beside its place, by its own width: the other corner is set than Z was meant
// for.
#include "checks/noted_blade.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace turnwright::checks::rules::groove_off_its_place {

namespace {

/// On radius: lower steps are allowances, chamfers and noses.
constexpr double shoulder_mm = 0.6;
/// So much of a shoulder's face a relief may take with it.
constexpr double into_face_mm = 0.4;
constexpr double least_width_mm = 0.5, same_mm = 0.05;

/// What the turning tools have left on one side before a work, with no blades and no threads.
class TurnedSoFar {
public:
    TurnedSoFar(const Workpiece& part, bool inside)
        : part_(part), inside_(inside), turned_(part.z_min, part.z_max) {}
    /// Of works asked for in order.
    const Profile& before(const Work& blade) {
        for (; next_ < part_.works.size() && part_.works[next_] != &blade; ++next_) add(*part_.works[next_]);
        return turned_;
    }

private:
    void add(const Work& work) {
        if (work.driven_tool || is_blade(work)) return;
        if (work.where != (inside_ ? Work::Where::inside : Work::Where::outside)) return;
        for (const Leg& leg : work.legs) {
            // Plunges of a bar in a bore may be a blade's.
            if (leg.kind != Leg::Kind::feed || !leg.known || (leg.dz() == 0 && inside_)) continue;
            inside_ ? turned_.raise(leg) : turned_.lower(leg);
        }
    }
    const Workpiece& part_;
    bool inside_;
    Profile turned_;
    std::size_t next_ = 0;
};

struct Plunge {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
    const Leg* placed = nullptr; ///< What has given its Z
    NotedBlade::Stretch cut;
    double width = 0;
};

std::vector<Plunge> plunges_of(const WorksContext& context, const Workpiece& part, bool inside) {
    std::vector<Plunge> all;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where == Work::Where::on_centre) continue;
        if (inside ? work->where == Work::Where::outside : !is_blade(*work)) continue;
        std::optional<NotedBlade> blade;
        const Leg* placed = nullptr;
        for (const Leg& leg : work->legs) {
            if (leg.moves_z && !leg.of_cycle) placed = &leg;
            if (!is_plunge(leg) || leg.kind == Leg::Kind::thread || (leg.dx() > 0) != inside) continue;
            // Of a cycle its first and last row.
            const bool far_row = leg.of_cycle && placed && leg.to.z_mm != placed->to.z_mm;
            if (!blade) blade = noted_blade(context, *work);
            const auto cut = blade->at(leg.to.z_mm);
            if (!cut || *blade->width * work->unit_mm < least_width_mm) break;
            if (!placed || leg.to.z_mm >= 0) continue;
            if (far_row && !all.empty() && all.back().work == work && all.back().leg->block == leg.block &&
                all.back().placed == all.back().leg)
                all.pop_back(); // One of those between
            all.push_back({work, &leg, far_row ? &leg : placed, *cut, *blade->width});
        }
    }
    return all;
}

/// The thread of one start that a work cuts straight toward the chuck: where it ends, root and crest.
struct Thread {
    const Work* work = nullptr;
    const Leg* last = nullptr;
    double end = 0, root = 0, crest = 0;
};
std::optional<Thread> thread_of(const Work& work, bool& inside) {
    std::optional<Thread> found;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() >= 0 || std::abs(leg.dx()) > 1e-6) return std::nullopt;
        if (!found) inside = work.legs[i - 1].dx() > 0;
        if (found && std::abs(found->end - leg.to.z_mm) > 1e-6) return std::nullopt;
        const double x = leg.to.x_radius_mm;
        if (!found) found = Thread{&work, &leg, leg.to.z_mm, x, x};
        found->root = inside ? std::max(found->root, x) : std::min(found->root, x);
        found->last = &leg;
    }
    return found;
}

/// The nearest step toward the chuck within the cut, to where the metal stands higher.
std::optional<double> shoulder_in(const Plunge& plunge, const Profile& turned, bool inside, double unit_mm) {
    const double step = turned.step();
    const auto front = turned.at(plunge.cut.high - step);
    if (!front) return std::nullopt;
    for (double z = plunge.cut.high - step; z > plunge.cut.low; z -= step) {
        const auto height = turned.at(z);
        if (!height) return std::nullopt;
        if ((inside ? *front - *height : *height - *front) * unit_mm > shoulder_mm) return z;
    }
    return std::nullopt;
}

std::string rounded(double value) {
    return spoken(std::round(value * 1e4) / 1e4);
}

/// Across a shoulder: it is cut away beside the groove.
bool look_across(const WorksContext& context, const Plunge& plunge, const Profile& turned, bool inside,
                 Report& report) {
    const double mm = plunge.work->unit_mm;
    const auto shoulder = shoulder_in(plunge, turned, inside, mm);
    if (!shoulder) return false;
    const double into = *shoulder - plunge.cut.low;
    if (into * mm < std::max(into_face_mm, 0.15 * plunge.width * mm)) return false;
    // It goes below both: a groove that only breaks the edge of the shoulder is something else.
    const auto front = turned.at(plunge.cut.high - turned.step());
    const double x = plunge.leg->to.x_radius_mm;
    if ((inside ? x - *front : *front - x) * mm < 0.1) return false;
    context.at(report, *plunge.work, *plunge.placed, "ZW")
        .message(said("A blade {} wide ({}) cuts from {} to {} here, and the shoulder at {} stands "
                      "between: {} of it is cut away down to {}. Is Z meant for the other corner, or a digit "
                      "wrong?",
                      rounded(plunge.width), corner_words(noted_blade(context, *plunge.work).corner),
                      context.z(std::round(plunge.cut.high * 1e4) / 1e4),
                      context.z(std::round(plunge.cut.low * 1e4) / 1e4),
                      context.z(std::round(*shoulder * 100) / 100), rounded(std::round(into * 100) / 100),
                      context.x(x)));
    return true;
}

/// The relief of a thread, cut behind the shoulder that it belongs in front of; or farther on than the thread
/// ends.
bool look_for_relief(const WorksContext& context, const Workpiece& part, const Thread& thread,
                     const std::vector<Plunge>& plunges, const Profile& turned, bool inside, Report& report) {
    const double mm = thread.work->unit_mm;
    const auto below = [&](double x) { return (inside ? x - thread.root : thread.root - x) * mm; };
    const double most_below = 0.5 + 0.1 * thread.root * mm;
    const Plunge* beside = nullptr;
    for (const Plunge& plunge : plunges) {
        const double under = below(plunge.leg->to.x_radius_mm);
        if (under < -same_mm) continue;
        if (plunge.cut.low - same_mm / mm <= thread.end && plunge.cut.high + same_mm / mm >= thread.end)
            return false; // The thread has its relief
        if (under > most_below || plunge.cut.high > thread.end) continue;
        if (!beside || plunge.cut.high > beside->cut.high) beside = &plunge;
    }
    // Other blades, whose width nothing tells, may have made it.
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (is_plunge(leg) && leg.kind != Leg::Kind::thread && (leg.dx() > 0) == inside &&
                below(leg.to.x_radius_mm) > -same_mm && below(leg.from.x_radius_mm) < 0 &&
                std::none_of(plunges.begin(), plunges.end(),
                             [&](const Plunge& plunge) { return plunge.leg == &leg; }) &&
                std::abs(leg.to.z_mm - thread.end) * mm < 8)
                return false;
    if (!beside) return false;
    const double way = (thread.end - beside->cut.high) * mm;
    if (way > 1.5 * beside->width * mm) return false;
    // In the shoulder: the metal stands higher over all of the cut than where the thread ends.
    const auto at_end = turned.at(thread.end), at_cut = turned.at((beside->cut.low + beside->cut.high) / 2),
               at_front = turned.at(beside->cut.high - turned.step());
    if (!at_end || !at_cut || !at_front) return false;
    const auto higher = [&](double height) {
        return (inside ? *at_end - height : height - *at_end) * mm > shoulder_mm;
    };
    if (!higher(*at_cut) || !higher(*at_front)) return false;
    context.at(report, *beside->work, *beside->placed, "ZW")
        .message(
            said("A blade {} wide ({}) cuts this groove from {} to {}, behind the shoulder, and the "
                 "thread of its depth ends at {} in front of that, in full metal: its insert breaks, and "
                 "what stands at {} is cut into. By the width of the blade it would lie in front. Is "
                 "Z meant for the other corner?",
                 rounded(beside->width), corner_words(noted_blade(context, *beside->work).corner),
                 context.z(std::round(beside->cut.high * 1e4) / 1e4),
                 context.z(std::round(beside->cut.low * 1e4) / 1e4), context.z(thread.end),
                 context.x(std::round(*at_cut * 1e3) / 1e3)))
        .related(context.place(*thread.work, *thread.last), said("the thread"));
    return true;
}

/// By one width of the blade in front of the shoulder that the relief belongs to: a ring stays between.
bool look_in_front(const WorksContext& context, const Thread& thread, const std::vector<Plunge>& plunges,
                   const Profile& turned, bool inside, Report& report) {
    const double mm = thread.work->unit_mm, step = turned.step();
    const auto below = [&](double x) { return (inside ? x - thread.root : thread.root - x) * mm; };
    const Plunge* relief = nullptr; // The one nearest to the shoulder
    for (const Plunge& plunge : plunges) {
        const double under = below(plunge.leg->to.x_radius_mm);
        if (under < -same_mm || under > 0.5 + 0.1 * thread.root * mm) continue;
        if (std::abs(plunge.cut.low - thread.end) > 2 * plunge.width) continue;
        if (!relief || plunge.cut.low < relief->cut.low) relief = &plunge;
    }
    if (!relief) return false;
    const auto land = turned.at(relief->cut.low - step);
    if (!land) return false;
    for (double z = relief->cut.low - step; z > relief->cut.low - 1.5 * relief->width; z -= step) {
        const auto height = turned.at(z);
        // Behind the end of a bore stands its bottom.
        if (!height && !inside) return false;
        if (height && (inside ? *land - *height : *height - *land) * mm < shoulder_mm) continue;
        constexpr double exact_mm = 0.12;
        const double ring = relief->cut.low - z;
        if (std::abs(ring - relief->width) * mm > std::max(exact_mm, 1.5 * step * mm)) return false;
        context.at(report, *relief->work, *relief->placed, "ZW")
            .message(said("A blade {} wide ({}) cuts this relief from {} to {}, by its own width in front "
                          "of the shoulder: a ring of {} stays between, and the thread is cut away for as "
                          "much. Is Z meant for the other corner?",
                          rounded(relief->width), corner_words(noted_blade(context, *relief->work).corner),
                          context.z(std::round(relief->cut.high * 1e4) / 1e4),
                          context.z(std::round(relief->cut.low * 1e4) / 1e4),
                          rounded(std::round(ring * 100) / 100)))
            .related(context.place(*thread.work, *thread.last), said("the thread"));
        return true;
    }
    return false;
}

/// Two plunges to one bottom, and one of them from a larger diameter: the relief goes on beside its place.
bool look_at_equals(const WorksContext& context, const std::vector<Plunge>& plunges, const Thread* thread,
                    const Profile& turned, bool inside, Report& report) {
    constexpr double other_land_mm = 1.5;
    for (std::size_t i = 1; i < plunges.size(); ++i) {
        const Plunge &one = plunges[i - 1], &other = plunges[i];
        if (one.work != other.work || one.leg->to.x_radius_mm != other.leg->to.x_radius_mm) continue;
        const double mm = one.work->unit_mm;
        if (one.cut.low < other.cut.high + same_mm / mm && other.cut.low < one.cut.high + same_mm / mm)
            continue;
        const bool one_is_relief = thread && one.cut.low <= thread->end && one.cut.high >= thread->end;
        const auto of_one = turned.at((one.cut.low + one.cut.high) / 2),
                   of_other = turned.at((other.cut.low + other.cut.high) / 2);
        if (!one_is_relief || !of_one || !of_other) continue;
        if ((inside ? *of_one - *of_other : *of_other - *of_one) * mm < other_land_mm) continue;
        context.at(report, *other.work, *other.placed, "ZW")
            .message(
                said("The relief of the thread is plunged to {} at {}, and this goes as deep at {}, where "
                     "the part stands at {}: the two cuts do not meet, and a groove {} deep is cut where "
                     "none belongs. Is a digit of Z wrong?",
                     context.x(other.leg->to.x_radius_mm), context.z(one.leg->to.z_mm),
                     context.z(other.leg->to.z_mm), context.x(std::round(*of_other * 1e3) / 1e3),
                     rounded(std::abs(*of_other - other.leg->to.x_radius_mm))))
            .related(context.place(*one.work, *one.leg), said("the relief"));
        return true;
    }
    return false;
}

/// Two plunges of one groove, in front of a shoulder and behind it: whichever corner is set, it is cut into.
bool look_at_pairs(const WorksContext& context, const Workpiece& part, Report& report) {
    constexpr double one_groove_mm = 6;
    TurnedSoFar so_far(part, false);
    for (const Work* work : part.works) {
        if (work->driven_tool || !is_blade(*work) || is_part_off(context, *work)) continue;
        const double mm = work->unit_mm;
        struct One {
            const Leg* leg;
            const Leg* placed;
        };
        std::vector<One> plunges;
        const Leg* placed = nullptr;
        for (const Leg& leg : work->legs) {
            if (leg.moves_z && !leg.of_cycle) placed = &leg;
            if (!is_plunge(leg) || leg.dx() >= 0 || leg.to.z_mm >= 0 || !placed) continue;
            const bool far_row = leg.of_cycle && leg.to.z_mm != placed->to.z_mm;
            const One one{&leg, far_row ? &leg : placed};
            // Of several pecks the deepest.
            if (plunges.empty() || plunges.back().leg->to.z_mm != leg.to.z_mm)
                plunges.push_back(one);
            else if (leg.to.x_radius_mm < plunges.back().leg->to.x_radius_mm)
                plunges.back() = one;
        }
        constexpr std::size_t most_plunges = 60;
        if (plunges.size() < 2 || plunges.size() > most_plunges) continue;
        const Profile& turned = so_far.before(*work);
        for (std::size_t pair = 0; pair < plunges.size() * plunges.size(); ++pair) {
            const std::size_t i = pair / plunges.size(), other = pair % plunges.size();
            if (other >= i) continue;
            One front = plunges[other], back = plunges[i];
            if (front.leg->to.z_mm < back.leg->to.z_mm) std::swap(front, back);
            const double way = front.leg->to.z_mm - back.leg->to.z_mm;
            if (way * mm > one_groove_mm || way * mm < 0.2) continue;
            const auto of_front = turned.at(front.leg->to.z_mm), of_back = turned.at(back.leg->to.z_mm);
            if (!of_front || !of_back || (*of_back - *of_front) * mm < shoulder_mm) continue;
            double shoulder = back.leg->to.z_mm;
            while (shoulder < front.leg->to.z_mm &&
                   (turned.at(shoulder).value_or(*of_back) - *of_front) * mm > shoulder_mm)
                shoulder += turned.step();
            const double into = shoulder - back.leg->to.z_mm;
            // Both go below the lower of the two, and to one bottom.
            if (into * mm < into_face_mm || back.leg->to.x_radius_mm > *of_front - 0.2 / mm ||
                std::abs(front.leg->to.x_radius_mm - back.leg->to.x_radius_mm) * mm > 0.5)
                continue;
            context.at(report, *work, *back.placed, "ZW")
                .message(
                    said("This groove goes from {} on to {}, and the shoulder at {} stands between: {} of "
                         "it is cut away down to {}, whichever corner of the blade is set. Is a digit of "
                         "Z wrong?",
                         context.z(front.leg->to.z_mm), context.z(std::round(back.leg->to.z_mm * 1e4) / 1e4),
                         context.z(std::round(shoulder * 100) / 100), rounded(std::round(into * 100) / 100),
                         context.x(back.leg->to.x_radius_mm)));
            return true;
        }
    }
    return false;
}

void look_at(const WorksContext& context, const Workpiece& part, bool inside, Report& report) {
    if (!inside && look_at_pairs(context, part, report)) return;
    const std::vector<Plunge> plunges = plunges_of(context, part, inside);
    if (plunges.empty()) return;
    TurnedSoFar so_far(part, inside);
    const Profile& turned = so_far.before(*plunges.front().work);
    if (turned.empty()) return;
    std::optional<Thread> thread;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where == Work::Where::on_centre) continue;
        bool is_inside = false;
        const auto found = thread_of(*work, is_inside);
        if (found && is_inside == inside) thread = found;
    }
    if (thread && look_for_relief(context, part, *thread, plunges, turned, inside, report)) return;
    if (thread && look_in_front(context, *thread, plunges, turned, inside, report)) return;
    if (look_at_equals(context, plunges, thread ? &*thread : nullptr, turned, inside, report)) return;
    for (const Plunge& plunge : plunges)
        if (!is_part_off(context, *plunge.work) && look_across(context, plunge, turned, inside, report))
            return;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        look_at(context, part, false, report);
        look_at(context, part, true, report);
    }
}

} // namespace

extern const Check check{
    .id = "groove_off_its_place",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Groove beside its place by the width of the blade",
    .documentation =
        "Notes give the width of the blade and the corner that is set, so that each plunge is known to cut "
        "from one Z to another. Told is a plunge that takes a shoulder with it, a relief that lies behind "
        "the "
        "shoulder and not where the thread ends, or by one width in front of it, and a second plunge of a "
        "relief that is made somewhere else. "
        "Where the width or the corner is not noted nothing is said.",
    .works = works,
    .examples =
        {
            // The width of the blade is added once more: the relief lies in the collar.
            {System::B, R"(
(T8 GROOVE 4 MM LEFT CORNER)
G21 G90 G95
T0404
G97 S900 M03
G00 X26.35 Z2.
G01 Z-20. F.12
X34.
Z-26.
X45.
G00 X250. Z200.
T0808
S700 M03
G00 X36. Z5.
Z-24.
;^^^^ warning: groove_off_its_place
G01 X23.8 F.06
X36. F.3
G00 X250. Z200.
T1010
S1000 M03
G00 X30. Z6.
G76 P020055 Q50 R0.02
G76 X24.117 Z-18. P1162 Q250 F1.814
G00 X250. Z200.
M30
)"},
            {System::B, R"(
(T8 GROOVE 4 MM LEFT CORNER)
G21 G90 G95
T0404
G97 S900 M03
G00 X26.35 Z2.
G01 Z-20. F.12
X34.
Z-26.
X45.
G00 X250. Z200.
T0808
S700 M03
G00 X36. Z5.
Z-20.
G01 X23.8 F.06
X36. F.3
G00 X250. Z200.
T1010
S1000 M03
G00 X30. Z6.
G76 P020055 Q50 R0.02
G76 X24.117 Z-18. P1162 Q250 F1.814
G00 X250. Z200.
M30
)"},
            // The second plunge of the relief to the wrong side, across the shoulder.
            {System::C, R"(
(T5 STECHER 3,0 LINKE ECKE)
G71 G90 G95
T0303
G97 S900 M03
G00 X44.85 Z2.
G01 Z-30. F.2
X50.01
Z-80.
X66.
G00 X120. Z100.
T0505
S700 M03
G00 X70. Z-30.
X54.
G01 X42.7 F.08
G00 X54.
Z-32.
;^^^^ warning: groove_off_its_place
G01 X42.7
G00 X70.
X120. Z100.
M30
)"},
            {System::C, R"(
(T5 STECHER 3,0 LINKE ECKE)
G71 G90 G95
T0303
G97 S900 M03
G00 X44.85 Z2.
G01 Z-30. F.2
X50.01
Z-80.
X66.
G00 X120. Z100.
T0505
S700 M03
G00 X70. Z-30.
X54.
G01 X42.7 F.08
G00 X54.
Z-28.
G01 X42.7
G00 X70.
X120. Z100.
M30
)"},
            // Far off, where another diameter stands; and its right twin in inches.
            {System::A, R"(
(T05 GROOVE .125 WIDE LEFT CORNER)
G20 G99
T0101
G97 S900 M03
G00 X.75 Z.1
G01 Z-1.2 F.008
X1.
Z-2.5
X1.6
G00 X4. Z4.
T0505
S700 M03
G00 X1.1 Z-1.2
G01 X.66 F.003
G00 X1.1
Z-1.9
;^^^^ warning: groove_off_its_place
G01 X.66
G00 X4.
Z4.
T0707
S600 M03
G00 X.85 Z.2
G92 X.73 Z-1.13 F.0625
X.7
X.6733
G00 X4. Z4.
M30
)"},
            {System::A, R"(
(T05 GROOVE .125 WIDE LEFT CORNER)
G20 G99
T0101
G97 S900 M03
G00 X.75 Z.1
G01 Z-1.2 F.008
X1.
Z-2.5
X1.6
G00 X4. Z4.
T0505
S700 M03
G00 X1.1 Z-1.2
G01 X.66 F.003
G00 X1.1
Z-1.1
G01 X.66
G00 X1.1
Z-1.9
G01 X.9
G00 X4.
Z4.
T0707
S600 M03
G00 X.85 Z.2
G92 X.73 Z-1.13 F.0625
X.7
X.6733
G00 X4. Z4.
M30
)"},
            // By the width in front of the shoulder.
            {System::A, R"(
(T6 INT GROOVE 3 MM LEFT CORNER)
G21 G99
T0202
G97 S900 M03
G00 X0. Z3.
G01 Z-50. F.1
G00 Z40.
T0404
S900 M03
G00 X24. Z2.
G90 X38. Z-22. F.2
X40.4
G00 Z40.
T0606
S700 M03
G00 X38. Z3.
Z-19.
;^^^^ warning: groove_off_its_place
G01 X42.5 F.06
X38. F.3
G00 Z40.
T0808
S650 M03
G00 X38. Z5.
G92 X41. Z-19.5 F1.5
X41.6
X42.
G00 Z40.
M30
)"},
            {System::A, R"(
(T6 INT GROOVE 3 MM LEFT CORNER)
G21 G99
T0202
G97 S900 M03
G00 X0. Z3.
G01 Z-50. F.1
G00 Z40.
T0404
S900 M03
G00 X24. Z2.
G90 X38. Z-22. F.2
X40.4
G00 Z40.
T0606
S700 M03
G00 X38. Z3.
Z-22.
G01 X42.5 F.06
X38. F.3
G00 Z40.
T0808
S650 M03
G00 X38. Z5.
G92 X41. Z-19.5 F1.5
X41.6
X42.
G00 Z40.
M30
)"},
            // Across a shoulder, whichever corner is set; and up to it.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X29.8 Z2.
G01 Z-40. F.2
X40.
Z-70.
X52.
G00 X100. Z100.
T0505
S700 M03
G00 X42. Z-38.
G75 R.5
G75 X27. Z-42. P2000 Q2000 F.06
;       ^^^^^ warning: groove_off_its_place
G00 X100.
Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X29.8 Z2.
G01 Z-40. F.2
X40.
Z-70.
X52.
G00 X100. Z100.
T0505
S700 M03
G00 X42. Z-38.
G75 R.5
G75 X27. Z-40. P2000 Q2000 F.06
G00 X100.
Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::groove_off_its_place
