// A move that can only do harm where it stands, and that one slip of a hand taken back puts right.
//
// What the tools of a part do tells where it stands. Each number, sign and letter of the move is tried as the
// hand may have meant it, and what comes out is held against the part again: told is a slip alone that leaves
// no harm. The limits: common practice, no source.
#include "checks/slips.h"
#include "checks/taking_over.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace turnwright::checks::rules::one_slip_off {

namespace {

using Key = std::int64_t;
Key key_of(double value) {
    return std::llround(value * 1e4);
}

/// What a move does that nobody means.
enum class Harm : std::uint8_t {
    behind_part,   ///< At rapid toward the chuck, beyond all that is cut
    fed_out,       ///< At feed out of the part, back along the wall
    thread_away,   ///< A pass of a thread away from the part
    front_of_face, ///< A face is cut in the air before the one that stands
    across_bore,   ///< Deep in a hole, across it
};
struct Found {
    Harm harm;
    std::size_t leg;
    bool operator==(const Found&) const = default;
};

/// One word of a leg as the hand may have meant it.
struct Change {
    enum class Hand : std::uint8_t { sign, letter, digits, block_lost } hand = Hand::sign;
    std::size_t leg = 0;
    bool was_x = false, now_x = false;
    double was = 0, now = 0; ///< As written
    std::string old_word() const { return (was_x ? "X" : "Z") + written(was); }
    std::string new_word() const { return (now_x ? "X" : "Z") + written(now); }
};

constexpr double beyond_mm = 10, in_part_mm = 0.5, out_mm = 3, face_apart_mm = 0.3, least_face_mm = 3;
/// The same as a share of how far the part is cut: a way round a shoulder goes less far behind it.
constexpr double share_beyond = 0.5;
/// Nearer to the wall a boring bar steps off it.
constexpr double share_across = 0.5;
/// A way off a wall goes no farther in X.
constexpr double share_of_x = 0.3;

/// What breaks an edge is no wider, and no flatter.
constexpr double widest_edge_mm = 6, steepest_edge = 2.5;

double& axis(Point& at, bool x) {
    return x ? at.x_radius_mm : at.z_mm;
}
bool is_plain(const Leg& leg) {
    return !leg.of_cycle && !leg.in_contour && !leg.is_arc && leg.kind != Leg::Kind::home && leg.arrives;
}
bool faces(const Work& work, const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.is_arc && leg.dz() == 0 && leg.dx() < 0 &&
           -leg.dx() * work.unit_mm >= least_face_mm;
}

class PartSlips {
public:
    PartSlips(const WorksContext& context, const Workpiece& part)
        : context_(context), part_(part), per_radius_(x_as_written(1, context.reader.settings())) {
        for (const Work* work : part.works) {
            double& floor = floors_.emplace_back(0);
            for (const Leg& leg : work->legs) {
                if (leg.cuts() && leg.known) floor = std::min({floor, leg.from.z_mm, leg.to.z_mm});
                if (!work->driven_tool && faces(*work, leg) && !leg.in_contour &&
                    leg.to.z_mm * work->unit_mm > -in_part_mm)
                    faces_.push_back({floors_.size() - 1, leg.to});
            }
        }
    }

    void look(Report& report) {
        for (std::size_t w = 0; w < part_.works.size(); ++w) {
            const Work& work = *part_.works[w];
            if (work.driven_tool || work.legs.size() > most_legs) continue;
            const std::vector<Found> harms = harms_of(w, work.legs);
            look_at_edges(work, report);
            look_across(w, report);
            look_for_lost_retract(work, report);
            std::set<std::size_t> told;
            for (const Found& found : harms)
                if (told.insert(found.leg).second) try_back(w, found, harms, report);
        }
    }

private:
    static constexpr std::size_t most_legs = 600;

    /// Behind its plunge a blade comes out, goes aside, and breaks the edge down into the groove again.
    struct Edge {
        const Leg *out = nullptr, *aside = nullptr, *slant = nullptr;
    };
    static std::optional<Edge> edge_at(const Work& work, std::size_t i) {
        if (i < 3 || i + 1 >= work.legs.size()) return std::nullopt;
        const Leg &plunge = work.legs[i - 3], &out = work.legs[i - 2], &aside = work.legs[i - 1],
                  &slant = work.legs[i], &on = work.legs[i + 1];
        for (const Leg* leg : {&plunge, &out, &aside, &slant, &on})
            if (!leg->known || leg->is_arc || leg->of_cycle || leg->in_contour || leg->by_letters)
                return std::nullopt;
        constexpr double same = 1e-6;
        const double z = plunge.to.z_mm;
        const bool is_edge = is_plunge(plunge) && plunge.dx() < 0 && out.kind == Leg::Kind::rapid &&
                             out.dz() == 0 && out.dx() > 0 && aside.kind == Leg::Kind::rapid &&
                             aside.dx() == 0 && slant.kind == Leg::Kind::feed && slant.moves_x &&
                             slant.moves_z && slant.dx() < 0 && std::abs(slant.to.z_mm - z) < same &&
                             on.cuts() && on.dz() == 0 && z < 0;
        return is_edge ? std::optional(Edge{&out, &aside, &slant}) : std::nullopt;
    }

    /// An edge that is none: one number more or less by a slip makes it one of 45 degrees.
    void look_at_edges(const Work& work, Report& report) const {
        for (std::size_t i = 3; i + 1 < work.legs.size(); ++i) {
            const auto edge = edge_at(work, i);
            if (!edge) continue;
            const Leg& slant = *edge->slant;
            const double x = -slant.dx(), z = std::abs(slant.dz()), mm = work.unit_mm;
            if (std::max(x, z) < steepest_edge * std::min(x, z) && std::max(x, z) * mm < widest_edge_mm)
                continue;
            const double end = slant.to.z_mm;
            const std::tuple<const Leg*, char, double, double> tries[] = {
                {edge->aside, 'Z', slant.from.z_mm, end + x},
                {edge->aside, 'Z', slant.from.z_mm, end - x},
                {&slant, 'X', slant.to.x_radius_mm * per_radius_, (slant.from.x_radius_mm - z) * per_radius_},
                {edge->out, 'X', slant.from.x_radius_mm * per_radius_,
                 (slant.to.x_radius_mm + z) * per_radius_}};
            for (const auto& [leg, letter, was, meant] : tries) {
                const double way = letter == 'Z' ? x : z, rounded = std::round(meant * 1e4) / 1e4;
                if (way * mm > widest_edge_mm || std::abs(rounded - meant) > 1e-6) continue;
                const bool sign = std::abs(was + rounded) < 1e-6 && was != 0;
                if (!sign && (was * rounded <= 0 || slip_between(was, rounded) == Slip::none)) continue;
                context_.at(report, work, *leg, std::string_view(&letter, 1))
                    .message(
                        said("From {} {} the blade is fed to {} {}, where it goes on in its groove: that "
                             "is no edge, and it is broken off sideways or cuts through what stands "
                             "there. {} in place of {} would break the edge at 45 degrees.",
                             context_.x(slant.from.x_radius_mm), context_.z(slant.from.z_mm),
                             context_.x(slant.to.x_radius_mm), context_.z(slant.to.z_mm),
                             letter + written(rounded), letter + written(was)));
                break;
            }
        }
    }

    /// At feed across the centre, deep in a hole that goes on behind: there is no bottom to face.
    void look_across(std::size_t w, Report& report) const {
        const Work& work = *part_.works[w];
        const double mm = work.unit_mm;
        if (work.where == Work::Where::on_centre) return;
        for (std::size_t i = 1; i < work.legs.size(); ++i) {
            const Leg &before = work.legs[i - 1], &leg = work.legs[i];
            const double z = leg.from.z_mm;
            const bool crosses = leg.known && is_plain(leg) && leg.kind == Leg::Kind::feed && leg.dz() == 0 &&
                                 leg.from.x_radius_mm > 0 && leg.to.x_radius_mm <= 0 && z * mm < -out_mm;
            const bool from_wall = before.known && before.kind == Leg::Kind::feed && before.dx() == 0 &&
                                   before.dz() < 0 && before.from.z_mm > -in_part_mm / mm;
            if (!crosses || !from_wall || leg.by_letters || !is_drilled_past(w, z)) continue;
            const double value = written_at(leg, true);
            const Leg* next = next_of(work, leg);
            if (value >= 0 || !next || next->kind == Leg::Kind::feed) continue;
            context_.at(report, work, leg, "X")
                .message(said("Deep in the hole, at {}, this feed goes across it from {} to {}, and the hole "
                              "is drilled on behind: there is nothing to face, and the back of the bar is "
                              "driven into the other wall. A step of {} off the wall is meant, perhaps.",
                              context_.z(z), context_.x(leg.from.x_radius_mm), context_.x(leg.to.x_radius_mm),
                              "U" + written(value)));
            return;
        }
    }
    /// Fed out of the part at the X that it has cut to, from where the same tool goes off the wall elsewhere.
    void look_for_lost_retract(const Work& work, Report& report) const {
        constexpr double same = 1e-6;
        const double mm = work.unit_mm;
        for (std::size_t i = 2; i < work.legs.size(); ++i) {
            const Leg& leg = work.legs[i];
            if (!leg.known || !is_plain(leg) || leg.kind != Leg::Kind::feed || leg.dx() != 0 ||
                leg.by_letters || leg.from.z_mm * mm > -in_part_mm || leg.to.z_mm * mm < out_mm)
                continue;
            const auto goes_off = [&](const Leg& off) {
                return off.kind == Leg::Kind::rapid && off.known && off.dz() == 0 && off.dx() != 0 &&
                       std::abs(off.from.x_radius_mm - leg.from.x_radius_mm) < same && off.from.z_mm < 0 &&
                       &off != work.legs.data() && (&off - 1)->cuts() && (&off - 1)->dx() * off.dx() < 0;
            };
            const auto off =
                std::find_if(work.legs.begin(), work.legs.begin() + static_cast<std::ptrdiff_t>(i), goes_off);
            if (off == work.legs.begin() + static_cast<std::ptrdiff_t>(i)) continue;
            context_.at(report, work, leg, "Z")
                .message(
                    said("The tool is fed out of the part here, from {} to {}, as deep as it has cut, at "
                         "{}: all that it passes is cut away. Elsewhere it goes to {} before. Is that "
                         "block lost?",
                         context_.z(leg.from.z_mm), context_.z(leg.to.z_mm), context_.x(leg.from.x_radius_mm),
                         context_.x(off->to.x_radius_mm)));
            return;
        }
    }
    bool is_drilled_past(std::size_t w, double z) const {
        for (std::size_t o = 0; o < w; ++o)
            for (const Leg& leg : part_.works[o]->legs)
                if (part_.works[o]->where == Work::Where::on_centre && leg.cuts() && leg.known &&
                    leg.to.z_mm * part_.works[o]->unit_mm < z * part_.works[o]->unit_mm - out_mm)
                    return true;
        return false;
    }

    double written_at(const Leg& leg, bool x) const {
        return x ? leg.to.x_radius_mm * per_radius_ : leg.to.z_mm;
    }
    /// Blocks by the place along Z, along X.
    const std::map<Key, std::set<BlockPlace>>& gone_to(bool x) const {
        if (!is_gone_to_made_) {
            is_gone_to_made_ = true;
            for (const Work* work : part_.works)
                for (const Leg& leg : work->legs)
                    for (bool along_x : {true, false})
                        if (leg.arrives && leg.kind != Leg::Kind::home &&
                            (along_x ? leg.moves_x : leg.moves_z))
                            gone_to_[along_x][key_of(written_at(leg, along_x))].insert(
                                context_.place(*work, leg));
        }
        return gone_to_[x];
    }
    std::size_t others_at(bool x, double value, BlockPlace but) const {
        const auto found = gone_to(x).find(key_of(value));
        if (found == gone_to(x).end()) return 0;
        return found->second.size() - found->second.count(but);
    }

    /// Of the part, with this work's legs as they are given.
    /// The second chuck may have drawn the bar on: the face is another one.
    bool behind_take_over(const Work& work, const Leg& leg) const {
        const auto closes = last_giving(context_.spans[work.span], context_.spans,
                                        context_.reader.settings().machine, MachineCode::Does::second_close);
        return closes && context_.spans[work.span].place(*closes) < context_.place(work, leg);
    }

    std::vector<Found> harms_of(std::size_t w, const std::vector<Leg>& legs) const {
        const Work& work = *part_.works[w];
        const double unit = work.unit_mm;
        std::vector<Found> found;
        double floor = 0;
        for (std::size_t o = 0; o < floors_.size(); ++o)
            if (o != w) floor = std::min(floor, floors_[o]);
        std::size_t threads = 0;
        bool cuts = false;
        for (const Leg& leg : legs) {
            if (leg.cuts() && leg.known) floor = std::min({floor, leg.from.z_mm, leg.to.z_mm});
            cuts = cuts || leg.cuts();
            threads += leg.kind == Leg::Kind::thread && leg.known && leg.dz() < 0;
        }
        if (!cuts) return found; // A stop, or a puller
        const auto add = [&](Harm harm, std::size_t i) { found.push_back({harm, i}); };
        for (std::size_t i = 0; i < legs.size(); ++i) {
            const Leg& leg = legs[i];
            if (leg.kind == Leg::Kind::thread && leg.known && leg.dz() > 0 && threads >= 2 && leg.to.z_mm > 0)
                add(Harm::thread_away, i);
            if (leg.spindle_stands || !is_plain(leg)) continue;
            // In front of a program that is not at hand, which may cut there.
            const bool unseen = i + 1 < legs.size() && !legs[i + 1].known && legs[i + 1].behind_other;
            if (leg.kind == Leg::Kind::rapid && leg.moves_z && floor < 0 && !unseen &&
                floor - leg.to.z_mm > std::max(beyond_mm / unit, -share_beyond * floor))
                add(Harm::behind_part, i);
            if (!leg.known) continue;
            if (leg.kind == Leg::Kind::feed && leg.dx() == 0 && leg.from.z_mm * unit < -in_part_mm &&
                leg.to.z_mm * unit > out_mm)
                add(Harm::fed_out, i);
            if (!context_.stock_is_given && faces(work, leg) && !behind_take_over(work, leg) &&
                face_before(w, legs, i))
                add(Harm::front_of_face, i);
            const Leg* next = i + 1 < legs.size() ? &legs[i + 1] : nullptr;
            const bool leaves = !next || next->kind == Leg::Kind::home || next->kind == Leg::Kind::rapid;
            if (work.where == Work::Where::inside && leg.kind == Leg::Kind::rapid && leg.dz() == 0 &&
                leg.moves_x && leg.from.z_mm * unit < -out_mm && leaves && leg.from.x_radius_mm > 0 &&
                leg.to.x_radius_mm < share_across * leg.from.x_radius_mm)
                add(Harm::across_bore, i);
        }
        return found;
    }

    /// The place of a face that an earlier cut has left behind the one that this leg cuts.
    std::optional<double> face_before(std::size_t w, const std::vector<Leg>& legs, std::size_t at) const {
        const Leg& face = legs[at];
        std::optional<double> stands;
        for (const Face& other : faces_) {
            if (other.work >= w) break; // The same tool may go over it anew
            if (other.to.x_radius_mm < face.from.x_radius_mm - 1e-6 &&
                other.to.x_radius_mm <= face.to.x_radius_mm + 1e-6)
                stands = std::min(stands.value_or(other.to.z_mm), other.to.z_mm);
        }
        const bool in_air = stands && (face.to.z_mm - *stands) * part_.works[w]->unit_mm > face_apart_mm;
        return in_air ? stands : std::nullopt;
    }

    /// The legs with a word changed, or nothing where it is not known how they go on.
    std::optional<std::vector<Leg>> with(const std::vector<Leg>& as_written, const Change& change) const {
        std::vector<Leg> legs = as_written;
        const std::size_t i = change.leg;
        if (legs[i].of_cycle) { // A pass of the row it stands in
            std::erase_if(legs,
                          [&](const Leg& leg) { return leg.of_cycle && leg.block == as_written[i].block; });
            return legs;
        }
        Point to = legs[i].to;
        if (change.was_x != change.now_x) axis(to, change.was_x) = axis(legs[i].from, change.was_x);
        axis(to, change.now_x) = change.now_x ? change.now / per_radius_ : change.now;
        legs[i].to = to;
        (change.was_x ? legs[i].moves_x : legs[i].moves_z) = false;
        (change.now_x ? legs[i].moves_x : legs[i].moves_z) = true;
        for (const bool x : {true, false}) {
            for (std::size_t l = i + 1; l < legs.size() && legs[l].kind != Leg::Kind::home; ++l) {
                if (legs[l].of_cycle) break;
                axis(legs[l].from, x) = axis(to, x);
                if (x ? legs[l].moves_x : legs[l].moves_z) {
                    if (legs[l].by_letters) return std::nullopt;
                    break;
                }
                axis(legs[l].to, x) = axis(to, x);
            }
        }
        return legs;
    }

    /// What a hand may have meant by the words of a leg.
    std::vector<Change> changes_of(const Work& work, std::size_t i) const {
        const Leg& leg = work.legs[i];
        std::vector<Change> changes;
        const BlockPlace place = context_.place(work, leg);
        if (leg.by_letters || leg.run_at) return changes;
        for (const bool x : {true, false}) {
            const syntax::Item* item = find_letter(context_.reader, place, x ? 'X' : 'Z');
            if (!(x ? leg.moves_x : leg.moves_z) || !item || item->kind != syntax::ItemKind::word) continue;
            const double value = leg.of_cycle ? item->value : written_at(leg, x);
            const auto add = [&](Change::Hand hand, bool now_x, double now) {
                changes.push_back({hand, i, x, now_x, value, now});
            };
            if (value != 0 && !leg.of_cycle) add(Change::Hand::sign, x, -value);
            if (!find_letter(context_.reader, place, x ? 'Z' : 'X')) add(Change::Hand::letter, !x, value);
            if (leg.of_cycle) continue;
            for (const auto& [key, blocks] : gone_to(x)) {
                const double other = static_cast<double>(key) / 1e4;
                if (other * value <= 0 || others_at(x, other, place) == 0) continue;
                if (slip_between(value, other) != Slip::none) add(Change::Hand::digits, x, other);
            }
        }
        return changes;
    }

    /// Whether what was meant goes with the rest.
    bool agrees(const Work& work, const Found& found, const Change& change) const {
        const Leg& leg = work.legs[found.leg];
        const BlockPlace place = context_.place(work, work.legs[change.leg]);
        const std::size_t others = others_at(change.now_x, change.now, place);
        const std::size_t as_it_stands = others_at(change.was_x, change.was, place);
        switch (change.hand) {
        case Change::Hand::letter:
            if (as_it_stands > 0) return false;
            if (found.harm == Harm::thread_away) // The passes behind it have its Z, too
                return change.now_x && is_in_row(work, found.leg, change.now);
            if (found.harm == Harm::fed_out)
                return std::abs(change.now - leg.from.x_radius_mm * per_radius_) <=
                           share_of_x * std::abs(leg.from.x_radius_mm * per_radius_) ||
                       lies_on_the_way(work, found.leg, change.now);
            return found.harm == Harm::across_bore && others > 0;
        case Change::Hand::sign:
            // A bar that has just come in goes on into the part, and not out again.
            if (found.harm == Harm::fed_out)
                return found.leg > 0 && work.legs[found.leg - 1].kind == Leg::Kind::rapid &&
                       change.now < leg.from.z_mm;
            return found.harm == Harm::behind_part;
        case Change::Hand::digits:
            return found.harm == Harm::behind_part && others >= 2;
        case Change::Hand::block_lost:
            return found.harm == Harm::front_of_face;
        }
        return false;
    }

    /// Between the X that the tool stands at and the next that it goes to: a shoulder on the way there.
    bool lies_on_the_way(const Work& work, std::size_t at, double x) const {
        const double from = work.legs[at].from.x_radius_mm * per_radius_;
        for (std::size_t i = at + 1; i < work.legs.size(); ++i) {
            const Leg& next = work.legs[i];
            if (!next.cuts() || !next.arrives) return false;
            if (next.moves_x) return (x - from) * (next.to.x_radius_mm * per_radius_ - x) > 0;
        }
        return false;
    }

    /// Of the diameters that the passes of a thread go to.
    bool is_in_row(const Work& work, std::size_t at, double x) const {
        double least = HUGE_VAL, most = -HUGE_VAL;
        for (const Leg& leg : work.legs)
            if (leg.kind == Leg::Kind::thread && leg.known && leg.dz() < 0) {
                least = std::min(least, leg.from.x_radius_mm * per_radius_);
                most = std::max(most, leg.from.x_radius_mm * per_radius_);
            }
        const double infeed = 0.06 * most;
        return work.legs[at].of_cycle && x > least - infeed && x < most + infeed;
    }

    void try_back(std::size_t w, const Found& found, const std::vector<Found>& harms, Report& report) {
        const Work& work = *part_.works[w];
        std::vector<Change> changes = changes_of(work, found.leg);
        if (found.harm == Harm::front_of_face && found.leg > 0) {
            const Leg& before = work.legs[found.leg - 1];
            if (before.kind == Leg::Kind::rapid && is_plain(before) && !before.by_letters && !before.run_at)
                if (const auto face = face_before(w, work.legs, found.leg))
                    changes.push_back({Change::Hand::block_lost, found.leg - 1, false, false, before.to.z_mm,
                                       std::min(*face, 0.0)});
        }
        std::optional<Change> only;
        for (const Change& change : changes) {
            if (!agrees(work, found, change)) continue;
            const auto legs = with(work.legs, change);
            if (!legs) continue;
            const std::vector<Found> left = harms_of(w, *legs);
            if (left.size() >= harms.size()) continue;
            if (only) {
                if (only->hand == Change::Hand::sign) continue; // The plainest is taken
                return;
            }
            only = change;
        }
        if (only) tell(w, found, *only, report);
    }

    void tell(std::size_t w, const Found& found, const Change& change, Report& report) const {
        const Work& work = *part_.works[w];
        const Leg& leg = work.legs[found.leg];
        auto entry = context_.at(report, work, work.legs[change.leg], change.was_x ? "X" : "Z");
        switch (found.harm) {
        case Harm::behind_part: {
            entry.message(
                said("This rapid goes to {}, and nothing of the part is cut beyond {}: there stands "
                     "what holds it, and the slide drives the tool or the turret into it. Is {} "
                     "meant?",
                     context_.z(leg.to.z_mm), context_.z(part_.z_min), change.new_word()));
            return;
        }
        case Harm::fed_out:
            entry.message(
                said("The tool is fed out of the part here, from {} to {} in front of it, and no "
                     "other block goes to {}: what is to be cut at {} is left standing. Is {} meant?",
                     context_.z(leg.from.z_mm), context_.z(leg.to.z_mm), change.old_word(),
                     context_.z(leg.from.z_mm), change.new_word()));
            return;
        case Harm::thread_away:
            entry.message(
                said("This pass of the thread goes to {}, away from the part, and all others go into "
                     "it: it cuts nothing there, and the next takes its depth, too. Is {} meant?",
                     change.old_word(), change.new_word()));
            return;
        case Harm::front_of_face:
            entry.message(said("The face is cut at {} here, and it has been cut to {} already: the tool goes "
                               "through the air in front of it, and the face stays as it is. Is a block with "
                               "Z lost?",
                               context_.z(leg.to.z_mm),
                               context_.z(face_before(w, work.legs, found.leg).value_or(0))));
            return;
        case Harm::across_bore:
            entry.message(
                said("Deep in the hole, at {}, this rapid goes across it from {} to {}: the back of "
                     "the bar is driven into the other wall. Is {} meant, as elsewhere?",
                     context_.z(leg.from.z_mm), context_.x(leg.from.x_radius_mm),
                     context_.x(leg.to.x_radius_mm), change.new_word()));
            return;
        }
    }

    const WorksContext& context_;
    const Workpiece& part_;
    double per_radius_;
    struct Face {
        std::size_t work = 0;
        Point to;
    };
    std::vector<double> floors_; ///< Of each work: the lowest Z that it cuts at, or 0
    std::vector<Face> faces_;    ///< At the front, in order
    mutable std::map<Key, std::set<BlockPlace>> gone_to_[2]; ///< Made when a slip is tried
    mutable bool is_gone_to_made_ = false;
};

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) PartSlips(context, part).look(report);
}

} // namespace

extern const Check check{
    .id = "one_slip_off",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Move that one slip taken back puts right",
    .documentation =
        "The move can only do harm: a rapid toward the chuck beyond all that is cut; a feed out of the part, "
        "back along the wall that has just been cut, or as deep as a groove where the way off it is lost; a "
        "pass of a thread away from the part; a face in the "
        "air "
        "before the one that an earlier tool has left; a rapid across a hole, deep in it, or a feed where "
        "the hole goes on behind; an edge that a "
        "blade "
        "is to break before it goes on in its groove, and that leads elsewhere. Each word of the "
        "block is tried as a hand may have meant it (the sign, X for Z, a digit, a block before it that is "
        "lost), and one such slip alone puts the move where the rest of the part has it. Where none does, or "
        "several do, nothing is said here. Tools that turn by themselves are left alone, and so are U and W "
        "and what a macro works out.",
    .works = works,
    .examples =
        {
            // What a program that is not at hand cuts there is not known.
            {System::C, R"(
G54 G18 G90 G97 G71 G80 G40 G95
T0505
G97 S600 M03
G00 X80. Z20.
G00 X42. Z-10.
M98 P7001
G00 Z-22.
M98 P7010
;^^^^^^^^^ warning: program_not_found
G00 X80. Z20.
M30
O7001
G01 X36. F0.08
X42. F0.4
M99
)"},
            // Sign of the way out.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
X40.
G01 Z-40. F0.2
X52.
G00 X60. Z-80.
;       ^^^^^ warning: one_slip_off
M30
)"},
            // Z for X: the wall of a bore is left along Z, at feed.
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0 Z3.
G01 Z-70. F0.1
G00 Z5.
X100. Z100.
T0707
G97 S900 M03
G00 X39. Z3.
G01 X35. Z-1. F0.12
Z-60.
Z33.
;^^^ warning: one_slip_off
G00 X31. Z5.
X100. Z100.
M30
)"},
            // A pass of the thread.
            {System::B, R"(
G21 G90 G95
T0707
G97 S800 M03
G00 X24. Z5.
G78 X19.3 Z-13.5 F1.5
X18.9
X18.6
Z18.4
;^^^^^ warning: one_slip_off
X18.16
G00 X100. Z100.
M30
)"},
            // The block that leads to the face is lost.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z.1
G01 X-1.6 F.2
G00 X100. Z100.
T0202
G00 X52. Z2.
;        ^^^ warning: one_slip_off
G01 X-.8 F.1
G00 X48. Z3.
G01 Z-20. F.1
X52.
G00 X100. Z100.
M30
)"},
            // X for Z in a bore.
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0 Z5.
G01 Z-85. F0.2
G00 Z5.
X100. Z100.
T0707
G97 S800 M03
G00 X70. Z5.
G01 X56. Z-1. F0.15
Z-79.
X52.
G00 X5.
;   ^^ warning: one_slip_off
X100. Z100.
M30
)"},
            // Inch, and as it is meant.
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.2 Z.1
G01 X-.06 F.008
G00 X1.6 Z.1
G01 Z-1.6 F.008
X2.2
G00 X4. Z4.
T0202
G00 X0 Z.2
G01 Z-2. F.005
Z.2 F.05
G00 Z4.
T0303
G00 X2.2 Z0
G01 X-.03 F.004
G00 Z.1
X1.58
G01 Z-1.6 F.004
X2.2
G00 X4. Z4.
M30
)"},
            // The same tool takes the face in steps.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G01 X-1.6 F.2
G00 X52. Z2.
Z.1
G01 X-1.6
G00 X100. Z100.
M30
)"},
            // The edge before the part-off: a minus lost, a digit lost, and as it is meant.
            {System::C, R"(
G71 G90 G95
T0707
G97 S800 M04
G00 X82. Z-28.
G01 X74. F0.08
G00 X82.
Z26.
;^^^ warning: one_slip_off
G01 X78. Z-28.
X50.
G00 X86.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X54. Z-63.
G01 X42. F0.08
G00 X48.
Z-61.
G01 X4. Z-63. F0.06
;   ^^ warning: one_slip_off
X2. F0.04
G00 X54.
X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.6 Z.1
X1.5
G01 Z-1.7 F.01
X1.6
G00 X6. Z5.
T1010
G97 S600 M03
G00 X1.6 Z-1.625
G01 X1.4 F.003
G00 X1.54
Z-1.58
G01 X1.45 Z-1.625 F.002
X-.02 F.003
G00 X6.
Z5.
M30
)"},
            // X for Z on the way to the shoulder.
            {System::B, R"(
G21 G90 G95
T0303
G97 S900 M03
G00 X48. Z2.
X19.85
G01 Z-30. F0.12
Z26.
;^^^ warning: one_slip_off
X28. Z-31.
Z-50.
X46.
G00 X60. Z60.
M30
)"},
            // X for U at the bottom of a pass, in a hole that goes on; the bottom of a blind one is faced.
            {System::A, R"(
G21 G99
T0505
G97 S600 M03
G00 X0 Z3.
G01 Z-42. F0.15
G00 Z3.
X250. Z150.
T0707
G97 S900 M03
G00 X19.6 Z2.
G01 Z-36. F0.15
X-1.
;^^^ warning: one_slip_off
G00 Z2.
X26.
G01 X20. Z-1. F0.08
Z-36.
U-1.
G00 Z5.
X250. Z150.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0505
G97 S600 M03
G00 X0 Z.1
G01 Z-1.4 F.006
G00 Z.1
X8. Z6.
T0707
G97 S900 M03
G00 X.78 Z.1
G01 Z-1.4 F.006
X-.03
G00 Z.1
X8. Z6.
M30
)"},
            // The way off the bottom of a relief is lost.
            {System::B, R"(
G20 G90 G95
T0606
G97 S700 M03
G00 X1.6 Z.2
G01 Z-1.035 F.05
X1.79 F.003
G00 X1.6
G01 Z-1.1 F.02
X1.79 F.003
Z-1.035 F.005
Z.5
;^^ warning: one_slip_off
G00 X6. Z5.
M30
)"},
            // The second chuck has drawn the bar on: the part is cut off in front of the face that was.
            {System::A, R"(
(M41 CHUCK 1 CLOSED, M42 CHUCK 1 OPEN, M141 CHUCK 2 CLOSED, M142 CHUCK 2 OPEN)
(M38 SPINDLES IN STEP, M39 STEP OFF)
G20 G99
T0101
G97 S700 M03
G00 X1.6 Z.1
G01 Z0 F.02
X-.06 F.008
G00 X1.4 Z.1
G01 Z-1.5 F.012
X1.52
G00 X6. Z4.
T0404 (TAKE OVER)
M142
M38
G00 E-16.
G98 G01 E-17.98 F30.
M141
G04 U1.
M42
G01 E-16.545 F60.
M41
G99
G00 X1.6 Z.03
G01 X.45 F.004
G00 X1.6
G28 U0
G28 W0
M39
G00 E0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::one_slip_off
