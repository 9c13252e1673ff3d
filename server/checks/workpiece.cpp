// From works to the part: outside and inside, and what stands of it at the end.
#include "checks/works.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>

namespace turnwright::checks {

bool is_plunge(const Leg& leg) {
    return leg.cuts() && leg.known && !leg.in_contour && std::abs(leg.dz()) < 1e-6 && leg.dx() != 0;
}

bool plunges_into_face(const Work& work) {
    const Leg* before = nullptr;
    bool straight_in = false; ///< By rapid to where the cut begins, behind the face: into a recess
    for (const Leg& leg : work.legs) {
        const bool rapid_along = leg.known && leg.kind == Leg::Kind::rapid && leg.dx() == 0;
        const bool went_in = before && before->known && before->cuts() && before->dx() == 0 &&
                             before->dz() < 0 && (before->from.z_mm > 0 || straight_in);
        if (went_in && rapid_along && leg.dz() > 0) return true;
        straight_in = before && before->known && before->kind == Leg::Kind::rapid && before->dx() == 0 &&
                      before->dz() < 0;
        before = &leg;
    }
    return false;
}

namespace {

/// The chamfer at the edge of a groove that the tool has made: at an angle to where one of these plunges
/// went.
bool ends_in_one(const std::vector<const Leg*>& plunges, const Leg& leg) {
    constexpr double same = 1e-6;
    return leg.dz() != 0 && std::any_of(plunges.begin(), plunges.end(), [&](const Leg* plunge) {
               return plunge->dx() * leg.dx() > 0 && std::abs(plunge->to.z_mm - leg.to.z_mm) < same;
           });
}

} // namespace

bool goes_as_blade(const Work& work) {
    if (work.driven_tool) return false;
    bool plunges = false, first = true, was_clear = true; // A rapid has brought it here
    constexpr double same = 1e-6;
    std::vector<const Leg*> grooves;
    for (const Leg& leg : work.legs) {
        if (leg.in_contour || (leg.cuts() && !leg.known)) return false;
        // Outward it is one in a bore, and comes back by what looks like a plunge.
        if (leg.cuts() && std::exchange(first, false) && (!is_plunge(leg) || leg.dx() > 0)) return false;
        // A chamfer into the groove that it has made is a blade's, at any angle.
        const bool along =
            leg.cuts() && std::abs(leg.dz()) > std::abs(leg.dx()) + same && !ends_in_one(grooves, leg);
        if (along && (was_clear || leg.dx() != 0) && std::abs(leg.dz()) * work.unit_mm > 0.5) return false;
        if (leg.kind == Leg::Kind::thread || leg.is_arc) return false;
        if (is_plunge(leg) && leg.dx() < 0 && leg.from.z_mm * work.unit_mm < -0.5) {
            plunges = true;
            grooves.push_back(&leg);
        }
        was_clear = leg.kind == Leg::Kind::rapid;
    }
    return plunges;
}

namespace {

using Where = Work::Where;
constexpr std::size_t bins = 2048;

/// Into the metal at feed and back the same way: the bottom of a groove, and no way off a wall.
bool goes_and_comes_back(const Work& work, const Leg& leg) {
    const Leg* next = next_of(work, leg);
    return is_plunge(leg) && next && next->known && next->dz() == 0 && next->dx() * leg.dx() < 0;
}

/// Into the wall at feed, on along it out of the part, and off it again: back turning, or a bar that bores
/// from the far side. The way along Z before it has cut nothing.
bool pulls(const Work& work, const Leg& leg) {
    const Leg* cut = next_of(work, leg);
    const Leg* off = cut ? next_of(work, *cut) : nullptr;
    return is_plunge(leg) && cut && cut->cuts() && cut->known && !cut->in_contour && cut->dz() > 0 &&
           std::abs(cut->dx()) <= 0.6 * cut->dz() && off && off->known && off->dx() * leg.dx() < 0 &&
           off->dz() >= 0;
}

/// Along Z, and back the same way: a groove in the face, or a drill.
bool goes_in_and_out(const Work& work, const Leg& leg) {
    const Leg* next = next_of(work, leg);
    const bool goes = next && (next->kind == Leg::Kind::rapid || next->kind == Leg::Kind::feed);
    return leg.dx() == 0 && goes && next->known && next->dx() == 0 && next->to.z_mm >= leg.from.z_mm;
}

/// A cut along Z, behind the face.
struct AlongZ {
    double low = 0, high = 0; ///< By Z
    double x_low = 0, x_high = 0;
    double x(double z) const {
        return high > low ? x_low + (x_high - x_low) * (z - low) / (high - low) : x_low;
    }
};
std::vector<AlongZ> ways_along(const Work& work) {
    constexpr double least_mm = 1;
    std::vector<AlongZ> ways;
    if (work.driven_tool) return ways;
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::feed || !leg.known || leg.in_contour || leg.of_cycle || leg.is_arc ||
            -leg.dz() <= 2 * std::abs(leg.dx()) || leg.to.z_mm * work.unit_mm > -least_mm ||
            leg.from.x_radius_mm <= 0 || goes_in_and_out(work, leg))
            continue;
        AlongZ way{leg.to.z_mm, leg.from.z_mm, leg.to.x_radius_mm, leg.from.x_radius_mm};
        if (way.high > 0) way = {way.low, 0, way.x_low, way.x(0)};
        if ((way.high - way.low) * work.unit_mm >= least_mm) ways.push_back(way);
    }
    return ways;
}
/// How much larger X of the one is wherever both go, on radius; nullopt: they lie side by side along Z, or
/// cross.
std::optional<double> larger_by(const AlongZ& one, const AlongZ& other, double least) {
    const double low = std::max(one.low, other.low), high = std::min(one.high, other.high);
    if (high - low < least) return std::nullopt;
    const double at_low = one.x(low) - other.x(low), at_high = one.x(high) - other.x(high);
    if (at_low * at_high <= 0) return std::nullopt;
    return std::abs(at_low) < std::abs(at_high) ? at_low : at_high;
}

/// A way along that lies wholly above or below an earlier one of the tool would cut air, was the tool on the
/// other side: inward it is outside, outward it is inside.
int vote_of_steps(const Work& work) {
    constexpr double least_mm = 0.05, within_mm = 0.01, overlap_mm = 0.5;
    constexpr int weight = 4;
    const std::vector<AlongZ> ways = ways_along(work);
    constexpr std::size_t most = 200;
    bool inward = false, outward = false;
    for (std::size_t i = 1; i < ways.size() && i < most; ++i)
        for (std::size_t j = 0; j < i; ++j) {
            if ((ways[j].low - ways[i].low) * work.unit_mm > within_mm ||
                (ways[i].high - ways[j].high) * work.unit_mm > within_mm)
                continue;
            const auto larger = larger_by(ways[i], ways[j], overlap_mm / work.unit_mm);
            if (!larger || std::abs(*larger) * work.unit_mm < least_mm) continue;
            (*larger < 0 ? inward : outward) = true;
        }
    return inward == outward ? 0 : inward ? weight : -weight;
}

/// For outside work positive, for inside work negative: a tool goes away from its wall, and a contour toward
/// the chuck opens outside and closes inside.
int vote_of(const Work& work) {
    int vote = vote_of_steps(work);
    const Leg* cut = nullptr;            ///< Along Z, just made
    bool was_rapid = true, first = true; // No cut yet
    int widens = 0;                      ///< Passes of a cycle that step outward
    std::vector<const Leg*> plunges;
    const bool cuts_behind_face = std::any_of(work.legs.begin(), work.legs.end(), [](const Leg& leg) {
        return leg.cuts() && leg.known && leg.to.z_mm < 0;
    });
    for (const Leg& leg : work.legs) {
        if (is_plunge(leg)) plunges.push_back(&leg);
        // Down to the face at feed, and in along it: nothing lies beside that way.
        const bool to_face = cuts_behind_face && leg.known && leg.to.z_mm >= 0;
        const bool along = !to_face && leg.cuts() &&
                           (leg.known ? leg.dz() < 0 && std::abs(leg.dz()) > std::abs(leg.dx())
                                      : leg.moves_z && !leg.moves_x);
        if (leg.of_cycle) {
            const bool steps_in = leg.kind == Leg::Kind::rapid || leg.cuts();
            if (steps_in && was_rapid && leg.dx() != 0 && leg.dz() == 0) {
                vote += leg.dx() < 0 ? 1 : -1;
                // Pass by pass from within: one way out that is wrong does not outweigh it.
                if (leg.dx() > 0 && ++widens == 2) --vote;
            }
        } else if (leg.cuts() && leg.known && first && leg.from.z_mm > 0 && leg.to.z_mm < 0 && leg.dx() < 0 &&
                   -leg.dz() > 0.9 * -leg.dx() && -leg.dz() < 2 * -leg.dx()) {
            vote -= 5; // The chamfer at the mouth of a bore: outside nobody begins so
        } else if (leg.cuts() && leg.known && leg.dz() < 0 && leg.dx() != 0 &&
                   -leg.dz() > 0.9 * std::abs(leg.dx())) { // No flank of a groove
            if (!ends_in_one(plunges, leg)) vote += leg.dx() > 0 ? 1 : -1;
        } else if (leg.in_contour && was_rapid && leg.known && leg.dx() != 0) {
            vote += leg.dx() < 0 ? 2 : -2;
        } else if (is_plunge(leg) && was_rapid) {
            vote += leg.dx() < 0 ? 1 : -1;
        } else if (cut && !along && leg.x_sign != 0 && leg.kind != Leg::Kind::home &&
                   !ends_in_one(plunges, leg)) {
            vote += (leg.x_sign > 0) != (goes_and_comes_back(work, leg) || pulls(work, leg)) ? 2 : -2;
        }
        // Out again by Z before it goes aside: it leaves no wall.
        const bool is_out =
            cut && cut->known && leg.known && leg.kind == Leg::Kind::rapid && leg.to.z_mm >= cut->from.z_mm;
        if (along)
            cut = &leg;
        else if (is_out || leg.x_sign != 0 || leg.kind == Leg::Kind::home)
            cut = nullptr;
        was_rapid = leg.kind == Leg::Kind::rapid;
        first = first && !leg.cuts();
    }
    return vote;
}

bool is_on_centre(const Work& work) {
    bool any = false;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts()) continue;
        if (!leg.known && !leg.moves_x) continue; // Deeper by a variable
        if (!leg.known || leg.from.x_radius_mm != 0 || leg.to.x_radius_mm != 0) return false;
        any = any || leg.dz() < 0;
    }
    return any;
}

/// Its first cut along Z goes so far below what the tools before it have left outside that no turning tool
/// takes it at once: the tool is in the hole.
bool goes_along_far_below(const Work& work, const std::vector<std::pair<Point, Point>>& outside) {
    constexpr double deepest_mm = 5, deepest_share = 0.45;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts()) continue;
        if (!leg.known || leg.in_contour || leg.of_cycle) return false;
        if (leg.dz() >= 0 || -leg.dz() < 2 * std::abs(leg.dx()) || goes_in_and_out(work, leg)) continue;
        if (leg.to.z_mm >= 0) continue; // In front of the face
        const double z = (leg.from.z_mm + leg.to.z_mm) / 2, x = leg.from.x_radius_mm;
        double above = std::numeric_limits<double>::infinity();
        for (const auto& [from, to] : outside)
            if (std::min(from.z_mm, to.z_mm) <= z && z <= std::max(from.z_mm, to.z_mm))
                above = std::min({above, from.x_radius_mm, to.x_radius_mm});
        if (above == std::numeric_limits<double>::infinity()) continue; // In front of the part, or behind it
        const double deep = above - x;
        return x > 0 && (deep * work.unit_mm > deepest_mm ||
                         (deep > above * deepest_share && deep * work.unit_mm > 2));
    }
    return false;
}

using Ways = std::vector<std::pair<Point, Point>>;

/// Its first cut goes outward, in a groove or at an angle into a corner, from inside of a bore that is there,
/// and it came there along Z.
bool comes_through_bore(const Work& work, const Ways& bores) {
    const auto cut =
        std::find_if(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    if (cut == work.legs.end() || cut == work.legs.begin() || !cut->known || cut->in_contour ||
        cut->dx() <= 0)
        return false;
    const Leg& in = *std::prev(cut);
    if (!in.known || in.kind != Leg::Kind::rapid || in.dx() != 0 || in.dz() >= 0 || in.to.z_mm >= 0)
        return false;
    const double z = std::min(in.from.z_mm, 0.0) / 2 + in.to.z_mm / 2, x = in.to.x_radius_mm;
    return std::any_of(bores.begin(), bores.end(), [&](const auto& way) {
        const auto& [from, to] = way;
        return to.z_mm <= z && z <= from.z_mm && x < std::min(from.x_radius_mm, to.x_radius_mm);
    });
}

/// Its first cut is a plunge from outside of what is turned there into it: a blade, whatever its chamfers
/// look like.
bool comes_from_outside(const Work& work, const Ways& outside) {
    const auto cut =
        std::find_if(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    if (cut == work.legs.end() || !is_plunge(*cut) || cut->dx() >= 0 || cut->from.z_mm >= 0) return false;
    return std::any_of(outside.begin(), outside.end(), [&](const auto& way) {
        const auto& [from, to] = way;
        const double x = std::max(from.x_radius_mm, to.x_radius_mm);
        return to.z_mm <= cut->from.z_mm && cut->from.z_mm <= from.z_mm && cut->from.x_radius_mm >= x &&
               cut->to.x_radius_mm < x;
    });
}

/// A driven tool on the far side of the centre, whose ways are not mirrored: what they say of inside and
/// outside is turned round.
bool is_driven_beyond_centre(const Work& work) {
    bool any = false;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts() || !leg.known) continue;
        if (leg.from.x_radius_mm >= 0 || leg.to.x_radius_mm >= 0) return false;
        any = true;
    }
    return any && work.driven_tool;
}

/// Metal stands between every bore and the outside: what cuts along above a way outside is outside, too, and
/// what cuts along below a way in the bore is in it.
void decide_by_others(std::span<const Work* const> works, const std::vector<int>& votes,
                      std::vector<Where>& where) {
    constexpr double least_mm = 0.3, most_mm = 12, overlap_mm = 1;
    constexpr int certain = 2;
    const std::vector<Where> known(where);
    std::vector<std::vector<AlongZ>> ways(works.size());
    if (std::find(known.begin(), known.end(), Where::unknown) == known.end()) return;
    for (std::size_t i = 0; i < works.size(); ++i) ways[i] = ways_along(*works[i]);
    for (std::size_t i = 0; i < works.size(); ++i) {
        if (known[i] != Where::unknown || is_driven_beyond_centre(*works[i]) ||
            plunges_into_face(*works[i]) || goes_as_blade(*works[i]))
            continue;
        bool outside = false, inside = false;
        for (std::size_t j = 0; j < works.size(); ++j) {
            if (known[j] != Where::outside && known[j] != Where::inside) continue;
            for (const AlongZ& own : ways[i])
                for (const AlongZ& other : ways[j]) {
                    const auto larger = larger_by(own, other, overlap_mm / works[i]->unit_mm);
                    const double mm = larger.value_or(0) * works[i]->unit_mm;
                    outside = outside || (known[j] == Where::outside && mm >= least_mm && mm <= most_mm);
                    inside = inside || (known[j] == Where::inside && mm <= -least_mm && mm >= -most_mm);
                }
        }
        if (outside && !inside && votes[i] > -certain) where[i] = Where::outside;
        if (inside && !outside && votes[i] < certain) where[i] = Where::inside;
    }
}

/// Its contour lies outside of where its cycle was brought to, which is not on the centre.
bool cycles_from_within(const Work& work) {
    constexpr double least_mm = 1;
    const Leg *start = nullptr, *before = nullptr;
    double least = std::numeric_limits<double>::infinity(), deepest = 0;
    for (const Leg& leg : work.legs) {
        if (leg.in_contour && leg.cuts() && !leg.known) return false;
        if (leg.in_contour && !start) start = before;
        if (leg.in_contour && leg.cuts()) {
            least = std::min(least, leg.to.x_radius_mm);
            deepest = std::min(deepest, leg.to.z_mm);
        }
        if (!leg.in_contour) before = &leg;
    }
    return start && start->arrives && start->kind == Leg::Kind::rapid && start->to.x_radius_mm > 0 &&
           start->to.z_mm > 0 && deepest * work.unit_mm < -least_mm &&
           (least - start->to.x_radius_mm) * work.unit_mm > least_mm;
}

void classify(std::span<const Work* const> works, std::vector<Where>& where) {
    Ways outside;        ///< Ways along Z of the tools outside so far
    Ways bores;          ///< Of those inside
    bool opened = false; ///< A hole is there
    std::vector<int> votes(works.size());
    for (std::size_t i = 0; i < works.size(); ++i) {
        if (is_on_centre(*works[i])) {
            where[i] = Where::on_centre;
            opened = true;
            continue;
        }
        if (is_driven_beyond_centre(*works[i])) continue;
        // A bar that bores by its note goes into what is open.
        const int vote = votes[i] = vote_of(*works[i]) - (opened && works[i]->noted_inside ? 4 : 0);
        // One sign tells outside where there is no hole to be in.
        where[i] = vote >= (opened ? 2 : 1)     ? Where::outside
                   : vote <= (opened ? -2 : -3) ? Where::inside
                                                : Where::unknown;
        if (where[i] == Where::unknown && opened && goes_along_far_below(*works[i], outside))
            where[i] = Where::inside;
        if (where[i] == Where::unknown && cycles_from_within(*works[i])) where[i] = Where::inside;
        if (comes_through_bore(*works[i], bores)) where[i] = Where::inside;
        if (comes_from_outside(*works[i], outside)) where[i] = Where::outside;
        for (const Leg& leg : works[i]->legs) {
            if (!leg.cuts() || !leg.known || leg.dz() >= 0) continue;
            if (where[i] == Where::outside) outside.emplace_back(leg.from, leg.to);
            if (where[i] == Where::inside) bores.emplace_back(leg.from, leg.to);
        }
        opened = opened || where[i] == Where::inside;
    }
    decide_by_others(works, votes, where);
}

} // namespace

Profile::Profile(double z_min, double z_max)
    : z_min_(z_min), step_(std::max((z_max - z_min) / bins, 1e-6)),
      heights_(bins + 1, std::numeric_limits<double>::quiet_NaN()) {}

std::optional<double> Profile::at(double z) const {
    const double bin = (z - z_min_) / step_;
    if (!(bin >= 0) || bin >= static_cast<double>(heights_.size())) return std::nullopt;
    const double height = heights_[static_cast<std::size_t>(bin)];
    return std::isnan(height) ? std::nullopt : std::optional(height);
}

void Profile::put_line(Point from, Point to, bool lower) {
    if (from.z_mm > to.z_mm) std::swap(from, to);
    const double last = static_cast<double>(heights_.size()) - 1;
    const double begin = std::clamp(std::floor((from.z_mm - z_min_) / step_), 0.0, last);
    const double end = std::clamp(std::floor((to.z_mm - z_min_) / step_), 0.0, last);
    if (!(begin <= end)) return;
    const auto first = static_cast<std::size_t>(begin);
    const std::span<double> heights =
        std::span(heights_).subspan(first, static_cast<std::size_t>(end) - first + 1);
    // At each key a program puts its thousands of passes anew. Nothing known compares as false.
    const auto put_all = [&](auto x_of) {
        if (lower) {
            for (std::size_t i = 0; i < heights.size(); ++i)
                if (const double x = x_of(i); !(heights[i] <= x)) heights[i] = x;
        } else {
            for (std::size_t i = 0; i < heights.size(); ++i)
                if (const double x = x_of(i); !(heights[i] >= x)) heights[i] = x;
        }
    };
    const double length = to.z_mm - from.z_mm;
    if (from.x_radius_mm == to.x_radius_mm || length < step_) {
        const double x =
            lower ? std::min(from.x_radius_mm, to.x_radius_mm) : std::max(from.x_radius_mm, to.x_radius_mm);
        return put_all([=](std::size_t) { return x; });
    }
    const double rise = (to.x_radius_mm - from.x_radius_mm) / length;
    put_all([=, z_first = z_min_ + (begin + 0.5) * step_, step = step_](std::size_t i) {
        const double z = std::clamp(z_first + static_cast<double>(i) * step, from.z_mm, to.z_mm);
        return from.x_radius_mm + rise * (z - from.z_mm);
    });
}

void Profile::face(const Leg& leg) {
    lower(leg);
    // A face that drains outward is one, too.
    const bool slopes = leg.cuts() && leg.known && !leg.in_contour && !leg.is_arc && leg.dx() < 0 &&
                        leg.dz() > 0 && leg.dz() < -0.1 * leg.dx();
    if (!slopes && !is_plunge(leg) && !(leg.in_contour && leg.dz() == 0)) return;
    const double x = std::min(leg.from.x_radius_mm, leg.to.x_radius_mm);
    if (leg.dx() < 0)
        put_line({x, leg.to.z_mm}, {x, z_min_ + step_ * static_cast<double>(heights_.size())}, true);
}

namespace {

/// An arc as lines. Each rule that follows a part puts the same arcs: those of the last part are kept.
class ArcsAsLines {
public:
    static constexpr std::size_t chords = 24;
    using Points = std::array<Point, chords>;
    const Points& of(const Leg& leg) {
        const std::array<double, 7> key{
            leg.from.x_radius_mm,   leg.from.z_mm,   leg.to.x_radius_mm, leg.to.z_mm,
            leg.centre.x_radius_mm, leg.centre.z_mm, leg.sweep};
        if (kept_.empty()) kept_.resize(places);
        std::uint64_t hash = 0;
        for (const double value : key)
            hash = (hash ^ std::bit_cast<std::uint64_t>(value)) * 0x9E3779B97F4A7C15u;
        Kept& kept = kept_[static_cast<std::size_t>(hash >> 32) % places];
        if (kept.is_made && kept.key == key) return kept.points;
        const motion::Segment arc = leg.segment();
        for (std::size_t i = 0; i < chords; ++i)
            kept.points[i] = motion::point_at(arc, static_cast<double>(i + 1) / static_cast<double>(chords));
        kept.key = key;
        kept.is_made = true;
        return kept.points;
    }

private:
    static constexpr std::size_t places = 256;
    struct Kept {
        bool is_made = false;
        std::array<double, 7> key{};
        Points points{};
    };
    std::vector<Kept> kept_;
};

} // namespace

void Profile::put(const Leg& leg, bool lower) {
    if (!leg.is_arc) return put_line(leg.from, leg.to, lower);
    thread_local ArcsAsLines arcs;
    Point from = leg.from;
    for (const Point& to : arcs.of(leg)) {
        put_line(from, to, lower);
        from = to;
    }
}

namespace {

Workpiece part_of(std::vector<const Work*> works) {
    Workpiece part;
    part.works = std::move(works);
    bool any = false;
    for (const Work* work : part.works) {
        const Leg* before = nullptr;
        for (const Leg& leg : work->legs) {
            const Leg* last = std::exchange(before, &leg);
            // A cycle begins where it was brought to, and not where its contour does.
            if (leg.in_contour && last && !last->in_contour && last->arrives)
                part.first_clear_x = std::max(part.first_clear_x, last->to.x_radius_mm);
            if (!leg.cuts() || !leg.known) continue;
            for (double z : {leg.from.z_mm, leg.to.z_mm}) {
                part.z_min = any ? std::min(part.z_min, z) : z;
                part.z_max = any ? std::max(part.z_max, z) : z;
                any = true;
            }
            part.first_clear_x = std::max(part.first_clear_x, leg.from.x_radius_mm);
        }
    }
    if (!any) return part;
    part.outside = part.bore = Profile(part.z_min, part.z_max);
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (!leg.cuts() || !leg.known || work->driven_tool) continue;
            if (work->where == Where::outside || work->where == Where::unknown)
                is_blade(*work) ? part.outside.lower(leg) : part.outside.face(leg);
            if (work->where == Where::inside) part.bore.raise(leg);
        }
    return part;
}

/// A second spindle in a datum whose Z grows into the part: front and back, G41 and G42 change places there.
bool z_goes_into_part(const std::vector<const Work*>& group) {
    constexpr double least_mm = 0.3;
    constexpr std::size_t least = 3, times = 3; // One lost minus turns no part round
    std::size_t into = 0, out = 0;
    for (const Work* work : group)
        for (const Leg& leg : work->legs)
            // A left-hand thread goes out, too.
            if (leg.kind == Leg::Kind::feed && leg.known && std::abs(leg.dz()) * work->unit_mm >= least_mm)
                ++(leg.dz() < 0 ? into : out);
    return out >= least && out >= times * into;
}

/// A blade that goes to the centre.
bool cuts_off(const Work& work) {
    constexpr double on_centre_mm = 1;
    return is_blade(work) && std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
               return leg.kind == Leg::Kind::feed && is_plunge(leg) &&
                      leg.to.x_radius_mm * work.unit_mm <= on_centre_mm;
           });
}

/// Each tool comes to its first cut toward plus: what no code tells of a second spindle, the way there does.
bool comes_toward_plus(const std::vector<const Work*>& group) {
    bool any = false;
    for (const Work* work : group)
        for (const Leg& leg : work->legs) {
            if (!leg.known || leg.kind == Leg::Kind::home || leg.dz() == 0) continue;
            if (leg.dz() < 0) return false;
            any = true;
            break;
        }
    return any;
}

} // namespace

std::vector<Workpiece> parts_of(std::span<Work* const> works, const std::vector<Clamping>& clampings) {
    std::vector<std::vector<const Work*>> groups;
    // Of each group: the first datum behind a part that was taken over, or how far the bar stands out is told
    // by the way of a slide alone.
    std::vector<char> second_side;
    std::vector<char> behind_cut_off; // And in another datum
    std::size_t taken_over = 0;
    bool is_cut_off = false;
    for (std::size_t i = 0; i < works.size(); ++i) {
        // Both chucks hold it while it is cut off: the same part in the same datum yet.
        const bool cut_off = i > 0 && clampings[i].number == clampings[i - 1].number &&
                             works[i]->same_datum && is_blade(*works[i]);
        const bool begins = i == 0 || (clampings[i] != clampings[i - 1] && !cut_off) ||
                            works[i]->behind_stop || !works[i]->same_datum;
        if (i > 0 && clampings[i].number != clampings[i - 1].number) is_cut_off = false;
        if (begins) {
            groups.emplace_back();
            behind_cut_off.push_back(is_cut_off && (!works[i]->same_datum || clampings[i].other_datum));
            const bool same_datum = works[i]->same_datum && !clampings[i].other_datum;
            const bool drawn = i > 0 && clampings[i].number == clampings[i - 1].number &&
                               clampings[i].drawn > clampings[i - 1].drawn;
            const bool stays = i > 0 && same_datum && second_side.back();
            second_side.push_back(stays || drawn || clampings[i].in_second ||
                                  (!same_datum && clampings[i].taken_over > taken_over));
            if (second_side.back()) taken_over = clampings[i].taken_over;
        }
        groups.back().push_back(works[i]);
        is_cut_off = is_cut_off || cuts_off(*works[i]);
    }
    std::size_t next = 0;
    std::vector<Workpiece> parts;
    for (std::size_t g = 0; g < groups.size(); ++g) {
        std::vector<const Work*>& group = groups[g];
        std::vector<Where> where(group.size(), Where::unknown);
        classify(group, where);
        const bool turned_round =
            second_side[g] || z_goes_into_part(group) || (behind_cut_off[g] && comes_toward_plus(group));
        for (Where each : where) works[next++]->where = turned_round ? Where::unknown : each;
        if (!turned_round) parts.push_back(part_of(std::move(group)));
    }
    return parts;
}

} // namespace turnwright::checks
