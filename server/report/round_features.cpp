#include "report/round_features.h"

#include "features/block_at.h"
#include "features/noted.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace turnwright::report {
namespace {

using shop::ToolKind;

constexpr double one_place_mm = 0.005, same_deg = 0.02, even_deg = 0.5, least_cut_mm = 0.05;
constexpr std::size_t most_round_steps = 20'000;

double full_turn(double degrees) {
    const double turned = std::fmod(degrees, 360);
    const double positive = turned < -same_deg ? turned + 360 : turned;
    return positive > 360 - same_deg ? 0 : positive;
}

/// Angles that stand on the part, each once, in order.
std::vector<double> angles_apart(std::vector<double> degrees) {
    for (double& each : degrees) each = full_turn(each);
    std::sort(degrees.begin(), degrees.end());
    degrees.erase(
        std::unique(degrees.begin(), degrees.end(), [](double a, double b) { return b - a < same_deg; }),
        degrees.end());
    return degrees;
}
bool are_even(const std::vector<double>& degrees) {
    const double each = 360 / static_cast<double>(degrees.size());
    for (std::size_t i = 0; i < degrees.size(); ++i) {
        const double next = i + 1 < degrees.size() ? degrees[i + 1] : degrees[0] + 360;
        if (std::abs(next - degrees[i] - each) > even_deg) return false;
    }
    return true;
}

/// Things of one size that one tool makes at several angles.
struct RoundRow {
    Feature feature = Feature::holes;
    int station = -1, offset = -1;
    std::size_t line = 0; ///< From 0
    bool from_side = false, tapped = false, by_y = false;
    double x_mm = 0, z_mm = 0; ///< What they have in common: X of face holes, Z of side holes, ...
    double front_mm = 0, bottom_mm = 0;
    std::vector<double> degrees;
};

class RoundWork {
public:
    RoundWork(const features::Document& document, const Picture& picture, const RoundView& view)
        : document_(document), picture_(picture), view_(view), surface_mm_(view.surface_mm),
          front_z_mm_(view.front_z_mm), mm_per_unit_(features::mm_per_unit_of(document)) {}

    std::vector<Inspected> look() {
        std::size_t steps = 0;
        for (const auto& [index, moves] : picture_.round) {
            if (++steps > most_round_steps) break;
            const PictureStep& step = picture_.steps[index];
            if (!view_.takes(step)) continue;
            if (view_.to_plus)
                take(step, mirrored(moves));
            else
                take(step, moves);
        }
        leave_out_centres();
        join_flats();
        std::vector<Inspected> found;
        for (RoundRow& row : rows_) add(row, found);
        return found;
    }

private:
    static std::vector<RoundMove> mirrored(std::vector<RoundMove> moves) {
        for (RoundMove& move : moves)
            for (RoundPoint& point : move.points) point.z_mm = -point.z_mm;
        return moves;
    }

    struct Known {
        shop::Tool tool;
        std::string thread; ///< "M8X1.25"
    };
    const Known& known_of(int station) {
        const auto [at, is_new] = tools_.try_emplace(station);
        Known& known = at->second;
        if (!is_new || station <= 0) return known;
        const checks::NamedTool named = checks::tool_named(features::tool_note(document_, station));
        known.thread = named.thread;
        if (const shop::Tool* held = document_.shop().tool(station)) {
            known.tool = *held;
            return known;
        }
        known.tool = features::noted_tool(document_, station, mm_per_unit_).tool;
        if (!known.tool.diameter_mm && mm_per_unit_)
            known.tool.diameter_mm = named.diameter_mm(*mm_per_unit_);
        if (named.kind == checks::NamedTool::Kind::drill) known.tool.kind = ToolKind::drill;
        return known;
    }
    const shop::Tool& tool_of(int station) { return known_of(station).tool; }
    static bool is_drill(ToolKind kind) {
        return kind == ToolKind::drill || kind == ToolKind::centre_drill || kind == ToolKind::tap ||
               kind == ToolKind::reamer;
    }

    void take(const PictureStep& step, const std::vector<RoundMove>& moves) {
        const bool is_drill_here = is_drill(tool_of(step.station).kind);
        for (const RoundMove& move : moves) {
            if (move.kind != RoundMove::Kind::feed || move.points.size() < 2) {
                end_plunge();
                continue;
            }
            const bool drills = move.by_cycle || is_drill_here;
            if (drills || move.on_polar || move.beside) plunged_.reset();
            if (move.on_polar) {
                if (move.is_line) take_chord(step, move);
            } else if (move.beside) {
                if (!drills) take_beside(step, move);
            } else if (drills) {
                take_hole(step, move);
            } else {
                take_slot(step, move);
            }
        }
    }

    RoundRow& row_of(Feature feature, const PictureStep& step, double x_mm, double z_mm, bool from_side,
                     bool tapped = false) {
        for (RoundRow& row : rows_)
            if (row.feature == feature && row.station == step.station && row.from_side == from_side &&
                row.tapped == tapped && std::abs(row.x_mm - x_mm) < one_place_mm &&
                std::abs(row.z_mm - z_mm) < one_place_mm)
                return row;
        RoundRow& row = rows_.emplace_back();
        row.feature = feature;
        row.station = step.station;
        row.offset = step.offset;
        row.line = step.line;
        row.from_side = from_side;
        row.tapped = tapped;
        row.x_mm = x_mm;
        row.z_mm = z_mm;
        row.bottom_mm = 1e9;
        row.front_mm = -1e9;
        return row;
    }

    static bool same_angle(const RoundMove& move) {
        return std::abs(move.points.front().degrees - move.points.back().degrees) < same_deg;
    }

    void take_hole(const PictureStep& step, const RoundMove& move) {
        const RoundPoint &from = move.points.front(), &to = move.points.back();
        const double dx = to.x_radius_mm - from.x_radius_mm, dz = to.z_mm - from.z_mm;
        const bool face =
            std::abs(dx) < one_place_mm && dz < -one_place_mm && from.x_radius_mm > least_cut_mm;
        const bool side = std::abs(dz) < one_place_mm && dx < -one_place_mm;
        if (!same_angle(move) || face == side) return;
        RoundRow& row =
            row_of(Feature::holes, step, face ? to.x_radius_mm : 0, side ? to.z_mm : 0, side, move.taps);
        row.bottom_mm = std::min(row.bottom_mm, face ? to.z_mm : to.x_radius_mm);
        row.front_mm = std::max(row.front_mm, face ? from.z_mm : from.x_radius_mm);
        for (int i = 0; i < move.repeats; ++i) row.degrees.push_back(to.degrees + i * move.repeat_deg);
    }

    /// A live tool that goes into the side and out again has made a hole.
    void end_plunge() {
        if (plunged_ && !plunged_->went_on && !plunged_->on_face) {
            RoundRow& row = row_of(Feature::holes, *plunged_->step, 0, plunged_->at.z_mm, true);
            row.bottom_mm = std::min(row.bottom_mm, plunged_->at.x_radius_mm);
            row.front_mm = std::max(row.front_mm, plunged_->from_x_mm);
            row.degrees.push_back(plunged_->at.degrees);
        }
        plunged_.reset();
    }

    /// A mill that has gone into the face goes along X there.
    bool take_face_slot(const PictureStep& step, const RoundPoint& from, const RoundPoint& to) {
        if (!plunged_ || !plunged_->on_face || std::abs(to.z_mm - from.z_mm) > one_place_mm ||
            std::abs(plunged_->at.z_mm - from.z_mm) > one_place_mm ||
            std::abs(plunged_->at.degrees - from.degrees) > same_deg)
            return false;
        plunged_->at = to;
        const double inner = std::min(from.x_radius_mm, to.x_radius_mm),
                     outer = std::max(from.x_radius_mm, to.x_radius_mm);
        RoundRow& row = row_of(Feature::slot, step, outer, inner, false);
        if (to.z_mm < row.bottom_mm - one_place_mm) row.degrees.clear(); // One pass deeper
        row.bottom_mm = std::min(row.bottom_mm, to.z_mm);
        row.degrees.push_back(to.degrees);
        return true;
    }

    /// A mill goes into the side and then along Z, or into the face and along X.
    void take_slot(const PictureStep& step, const RoundMove& move) {
        const RoundPoint &from = move.points.front(), &to = move.points.back();
        const double dx = to.x_radius_mm - from.x_radius_mm, dz = to.z_mm - from.z_mm;
        if (!same_angle(move)) return plunged_.reset();
        if (std::abs(dx) > one_place_mm && take_face_slot(step, from, to)) return;
        const bool into_face = dz < -one_place_mm && std::abs(dx) < one_place_mm && front_z_mm_ &&
                               from.z_mm > *front_z_mm_ - one_place_mm && to.z_mm < *front_z_mm_;
        if (into_face ||
            (plunged_ && plunged_->on_face && dz < -one_place_mm && std::abs(dx) < one_place_mm)) {
            plunged_ = Plunge{to, from.x_radius_mm, &step, false, true};
            return;
        }
        if (std::abs(dz) < one_place_mm) {
            if (plunged_ && plunged_->on_face) return plunged_.reset();
            if (dx < -one_place_mm)
                plunged_ = Plunge{to, plunged_ ? plunged_->from_x_mm : from.x_radius_mm, &step,
                                  plunged_ && plunged_->went_on, false};
            return;
        }
        const bool goes_on = plunged_ && !plunged_->on_face && std::abs(dx) < one_place_mm &&
                             std::abs(plunged_->at.x_radius_mm - from.x_radius_mm) < one_place_mm &&
                             std::abs(plunged_->at.degrees - from.degrees) < same_deg;
        if (!goes_on) return plunged_.reset();
        plunged_->at = to;
        plunged_->went_on = true;
        const double back = std::min(from.z_mm, to.z_mm), front = std::max(from.z_mm, to.z_mm);
        RoundRow& row = row_of(Feature::slot, step, front, back, true);
        if (to.x_radius_mm < row.bottom_mm - one_place_mm) row.degrees.clear(); // One pass deeper
        row.bottom_mm = std::min(row.bottom_mm, to.x_radius_mm);
        row.degrees.push_back(to.degrees);
    }

    /// A straight cut on the polar plane: a flat as far from the centre as the line is.
    void take_chord(const PictureStep& step, const RoundMove& move) {
        const auto flat = [](const RoundPoint& point) {
            const double angle = point.degrees * std::numbers::pi / 180;
            return std::pair(point.x_radius_mm * std::cos(angle), point.x_radius_mm * std::sin(angle));
        };
        const auto [ax, ay] = flat(move.points.front());
        const auto [bx, by] = flat(move.points.back());
        if (const auto chord = chord_of(step, move, ax, ay, bx, by)) {
            RoundRow& row = row_of(Feature::flats, step, chord->distance_mm, 0, false);
            row.bottom_mm = std::min(row.bottom_mm, move.points.back().z_mm);
            row.degrees.push_back(chord->normal_deg);
        }
    }
    struct Chord {
        double distance_mm = 0, normal_deg = 0;
    };
    /// What the side of an upright mill leaves along a line; nullopt: nothing that is known.
    std::optional<Chord> chord_of(const PictureStep& step, const RoundMove& move, double ax, double ay,
                                  double bx, double by) {
        const double length = std::hypot(bx - ax, by - ay);
        if (length < least_cut_mm || !move.compensated) return std::nullopt;
        const double off = (ax * by - ay * bx) / length; // With its sign: on which side the centre lies
        double distance = std::abs(off);
        if (!*move.compensated) {
            const std::optional<double> diameter = tool_of(step.station).diameter_mm;
            if (!diameter) return std::nullopt;
            distance -= *diameter / 2;
        }
        if (distance < least_cut_mm) return std::nullopt;
        const double sign = off < 0 ? -1 : 1;
        return Chord{distance, std::atan2(-(bx - ax) * sign, (by - ay) * sign) * 180 / std::numbers::pi};
    }

    /// A straight cut along Y: with the mill's end, that looks to the axis, or with the side of an upright
    /// one. The stock has to be known, else what is gone round in air would be told, too.
    void take_beside(const PictureStep& step, const RoundMove& move) {
        const RoundMove::Beside& way = *move.beside;
        const double dy = way.to_y_mm - way.from_y_mm;
        const std::optional<double> diameter = tool_of(step.station).diameter_mm;
        if (!move.is_line || !way.radial || !diameter || std::abs(dy) < least_cut_mm) return;
        const double z = move.points.back().z_mm;
        if (std::abs(move.points.front().z_mm - z) > one_place_mm) return;
        const double half_mill = *diameter / 2;
        Chord chord;
        if (*way.radial) {
            if (std::abs(way.to_x_mm - way.from_x_mm) > one_place_mm || way.to_x_mm < least_cut_mm) return;
            chord = {way.to_x_mm, way.c_deg};
        } else if (const auto made =
                       chord_of(step, move, way.from_x_mm, way.from_y_mm, way.to_x_mm, way.to_y_mm)) {
            chord = {made->distance_mm, made->normal_deg + way.c_deg};
        } else {
            return;
        }
        // Of an upright mill the metal that it cuts stands in front of its end.
        const std::optional<double> surface = surface_mm_(*way.radial ? z : z + least_cut_mm);
        if (!surface || chord.distance_mm > *surface - least_cut_mm) return;
        const double half = std::sqrt(*surface * *surface - chord.distance_mm * chord.distance_mm);
        const double reach = *way.radial ? half_mill : 0;
        const double least = std::min(way.from_y_mm, way.to_y_mm) - reach,
                     most = std::max(way.from_y_mm, way.to_y_mm) + reach;
        // Short of the ends of the chord it is a pocket or a slot.
        if (*way.radial && (least > -half + one_place_mm || most < half - one_place_mm)) return;
        RoundRow& row = row_of(Feature::flats, step, chord.distance_mm, z, *way.radial);
        row.by_y = true;
        row.bottom_mm = std::min(row.bottom_mm, *way.radial ? z - half_mill : z);
        row.front_mm = std::max(row.front_mm, *way.radial ? z + half_mill : front_z_mm_.value_or(z));
        row.degrees.push_back(chord.normal_deg);
    }

    /// Flats that are cut in several passes, along Z or one below the other, are one.
    void join_flats() {
        std::vector<RoundRow> kept;
        const auto same_angles = [](const RoundRow& a, const RoundRow& b) {
            return a.degrees.size() == b.degrees.size() &&
                   std::equal(a.degrees.begin(), a.degrees.end(), b.degrees.begin(),
                              [](double x, double y) { return std::abs(x - y) < same_deg; });
        };
        for (RoundRow& row : rows_) {
            const auto joins = [&](RoundRow& other) {
                return row.by_y && other.by_y && other.from_side == row.from_side &&
                       same_angles(other, row) && row.bottom_mm <= other.front_mm + one_place_mm &&
                       other.bottom_mm <= row.front_mm + one_place_mm;
            };
            const auto other = std::find_if(kept.begin(), kept.end(), joins);
            if (other == kept.end()) {
                kept.push_back(std::move(row));
            } else if (std::abs(other->x_mm - row.x_mm) < one_place_mm) {
                other->bottom_mm = std::min(other->bottom_mm, row.bottom_mm);
                other->front_mm = std::max(other->front_mm, row.front_mm);
            } else if (row.x_mm < other->x_mm) {
                *other = std::move(row);
            }
        }
        rows_ = std::move(kept);
    }

    /// Holes that are centred and drilled, or drilled and reamed, are told by the tool that makes their size.
    void leave_out_centres() {
        for (RoundRow& row : rows_) row.degrees = angles_apart(std::move(row.degrees));
        const auto finishes = [&](const RoundRow& later, const RoundRow& row, double degrees) {
            return later.feature == Feature::holes && later.line > row.line && !later.tapped &&
                   later.from_side == row.from_side && std::abs(later.x_mm - row.x_mm) < one_place_mm &&
                   std::abs(later.z_mm - row.z_mm) < one_place_mm &&
                   std::any_of(later.degrees.begin(), later.degrees.end(),
                               [&](double each) { return std::abs(each - degrees) < same_deg; });
        };
        std::vector<bool> gone(rows_.size(), false);
        for (std::size_t i = 0; i < rows_.size(); ++i)
            gone[i] = rows_[i].feature == Feature::holes && !rows_[i].tapped &&
                      std::all_of(rows_[i].degrees.begin(), rows_[i].degrees.end(), [&](double degrees) {
                          return std::any_of(rows_.begin(), rows_.end(), [&](const RoundRow& later) {
                              return finishes(later, rows_[i], degrees);
                          });
                      });
        std::vector<RoundRow> kept;
        for (std::size_t i = 0; i < rows_.size(); ++i)
            if (!gone[i]) kept.push_back(std::move(rows_[i]));
        rows_ = std::move(kept);
    }

    void add(const RoundRow& row, std::vector<Inspected>& found) {
        Inspected made;
        made.feature = row.feature;
        made.count = row.degrees.size();
        made.from_side = row.from_side;
        made.tapped = row.tapped;
        made.line = row.line + 1;
        if (row.station > 0) made.tool = fmt::format("T{:02}", row.station);
        if (row.offset > 0) made.offset = std::to_string(row.offset);
        if (made.count > 1 && are_even(row.degrees)) made.each_deg = 360.0 / static_cast<double>(made.count);
        const std::optional<double> diameter = tool_of(row.station).diameter_mm;
        switch (row.feature) {
        case Feature::holes:
            made.size_mm = diameter.value_or(0);
            if (row.tapped) made.thread = known_of(row.station).thread;
            if (row.from_side) {
                made.front_z_mm = made.back_z_mm = row.z_mm;
                made.at = {row.bottom_mm, row.z_mm};
                if (const auto surface = surface_mm_(row.z_mm)) made.depth_mm = *surface - row.bottom_mm;
                made.other_mm = 2 * row.bottom_mm;
            } else {
                made.second = 2 * row.x_mm;
                made.back_z_mm = row.bottom_mm;
                made.front_z_mm = front_z_mm_ ? std::min(*front_z_mm_, row.front_mm) : row.bottom_mm;
                if (front_z_mm_ && *front_z_mm_ <= row.front_mm + one_place_mm)
                    made.depth_mm = *front_z_mm_ - row.bottom_mm;
                made.at = {row.x_mm, (made.front_z_mm + row.bottom_mm) / 2};
            }
            break;
        case Feature::slot: {
            if (!row.from_side) {
                made.size_mm = diameter.value_or(0);
                made.second = row.x_mm - row.z_mm + made.size_mm;
                made.back_z_mm = row.bottom_mm;
                made.front_z_mm = *front_z_mm_;
                made.depth_mm = *front_z_mm_ - row.bottom_mm;
                made.at = {(row.x_mm + row.z_mm) / 2, (made.front_z_mm + row.bottom_mm) / 2};
                break;
            }
            made.size_mm = diameter.value_or(0);
            made.front_z_mm = row.x_mm;
            made.back_z_mm = row.z_mm;
            made.second = row.x_mm - row.z_mm + made.size_mm;
            made.other_mm = 2 * row.bottom_mm;
            made.at = {row.bottom_mm, (row.x_mm + row.z_mm) / 2};
            const auto surface = surface_mm_((row.x_mm + row.z_mm) / 2);
            if (surface) {
                made.depth_mm = *surface - row.bottom_mm;
                if (*made.depth_mm < least_cut_mm) return; // Beside the metal, as far as is known
                // A mill wider than the chord that it goes along leaves a flat and no slot.
                const double half =
                    std::sqrt(std::max(0.0, *surface * *surface - row.bottom_mm * row.bottom_mm));
                if (diameter && *diameter >= 2 * half) {
                    made.feature = Feature::flats;
                    made.size_mm = row.bottom_mm;
                    made.front_z_mm += *diameter / 2;
                    made.back_z_mm -= *diameter / 2;
                }
            }
            break;
        }
        default:
            if (row.by_y) {
                made.size_mm = row.x_mm;
                made.back_z_mm = row.bottom_mm;
                made.front_z_mm = front_z_mm_ ? std::min(*front_z_mm_, row.front_mm) : row.front_mm;
                made.at = {row.x_mm, (made.front_z_mm + made.back_z_mm) / 2};
                break;
            }
            // Ways to the contour and off it are lines too.
            if (made.count < 2 || made.each_deg == 0) return;
            if (const auto surface = surface_mm_(row.bottom_mm + least_cut_mm);
                surface && row.x_mm >= *surface)
                return; // Beside the part
            made.size_mm = row.x_mm;
            made.back_z_mm = row.bottom_mm;
            made.front_z_mm = front_z_mm_ ? std::max(*front_z_mm_, row.bottom_mm) : row.bottom_mm;
            made.at = {row.x_mm, (made.front_z_mm + made.back_z_mm) / 2};
            break;
        }
        found.push_back(std::move(made));
    }

    const features::Document& document_;
    const Picture& picture_;
    const RoundView& view_;
    const std::function<std::optional<double>(double)>& surface_mm_;
    std::optional<double> front_z_mm_, mm_per_unit_;
    std::map<int, Known> tools_;
    std::vector<RoundRow> rows_;
    /// A tool stands in the metal.
    struct Plunge {
        RoundPoint at;
        double from_x_mm = 0;
        const PictureStep* step = nullptr;
        bool went_on = false; ///< Along Z
        bool on_face = false; ///< Along Z itself, into the face
    };
    std::optional<Plunge> plunged_;
};

} // namespace

std::vector<Inspected> round_features(const features::Document& document, const Picture& picture,
                                      const RoundView& view) {
    return RoundWork(document, picture, view).look();
}

} // namespace turnwright::report
