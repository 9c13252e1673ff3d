// Chamfers and roundings between two moves.
#include "motion/corners.h"

#include "motion/path.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

std::optional<CornerCut> chamfer_between(const Segment& first, const Segment& second, double size) {
    double length_first = first.length_mm(), length_second = second.length_mm();
    if (size > length_first + same_point_mm || size > length_second + same_point_mm) return std::nullopt;
    CornerCut cut;
    cut.on_first = std::max(0.0, 1 - size / length_first);
    cut.on_second = std::min(1.0, size / length_second);
    cut.piece = line(point_at(first, cut.on_first), point_at(second, cut.on_second));
    return cut;
}

std::optional<CornerCut> rounding_between(const Segment& first, const Segment& second, double radius) {
    double turn = cross(direction_at(first, 1), direction_at(second, 0));
    if (std::abs(turn) < 1e-9) return std::nullopt;
    double left = turn > 0 ? radius : -radius;
    auto beside_first = beside(first, left), beside_second = beside(second, left);
    if (!beside_first || !beside_second) return std::nullopt;
    // The meeting nearest to the corner is the one that stands in it.
    std::optional<Meeting> best;
    for (const Meeting& meeting : meetings(*beside_first, *beside_second))
        if (!best || meeting.on_first > best->on_first) best = meeting;
    if (!best) return std::nullopt;
    CornerCut cut;
    cut.on_first = best->on_first;
    cut.on_second = best->on_second;
    cut.piece = line(point_at(first, cut.on_first), point_at(second, cut.on_second));
    cut.piece.is_arc = true;
    cut.piece.centre = point_at(*beside_first, best->on_first);
    cut.piece.sweep = sweep_between(cut.piece.from, cut.piece.to, cut.piece.centre, turn < 0);
    return cut;
}

namespace {

bool sign_fits(const Corner& corner, const Segment& next) {
    Point way = next.to - next.from;
    if (corner.toward_x && way.x_radius_mm * corner.toward_x <= 0) return false;
    return !corner.toward_z || way.z_mm * corner.toward_z > 0;
}

std::optional<CornerCut> cut_between(const Move& move, const Segment& first, const Segment& second) {
    if (second.kind != SegmentKind::feed || !sign_fits(move.corner, second)) return std::nullopt;
    return move.corner.kind == Corner::Kind::chamfer ? chamfer_between(first, second, move.corner.size_mm)
                                                     : rounding_between(first, second, move.corner.size_mm);
}

} // namespace

Chain cut_corners(std::span<const Move> moves) {
    Chain chain;
    double begin = 0; // where the last corner ended on the move at hand
    for (std::size_t i = 0; i < moves.size(); ++i) {
        const Move& move = moves[i];
        chain.troubles.insert(chain.troubles.end(), move.troubles.begin(), move.troubles.end());
        if (!move.segment) {
            begin = 0;
            continue;
        }
        std::optional<CornerCut> cut;
        if (move.corner.kind != Corner::Kind::none) {
            bool has_next = i + 1 < moves.size() && moves[i + 1].segment;
            if (has_next) cut = cut_between(move, *move.segment, *moves[i + 1].segment);
            if (!cut || cut->on_first < begin) {
                double room = has_next ? std::min(move.segment->length_mm() * (1 - begin),
                                                  moves[i + 1].segment->length_mm())
                                       : 0;
                chain.troubles.push_back(
                    {Trouble::corner_does_not_fit, move.place, move.corner.size_mm, room, 0});
                cut.reset();
            }
        }
        chain.segments.push_back(part_of(*move.segment, begin, cut ? cut->on_first : 1));
        chain.owner.push_back(i);
        begin = 0;
        if (!cut) continue;
        Segment piece = cut->piece;
        piece.kind = SegmentKind::feed;
        piece.feed = move.segment->feed;
        chain.segments.push_back(piece);
        chain.owner.push_back(i);
        begin = cut->on_second;
    }
    return chain;
}

} // namespace turnwright::motion
