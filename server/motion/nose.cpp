// The way of a tool nose of some radius along programmed moves.
//
// Without compensation the programmed point is the imaginary tip. With it the nose touches the contour: its
// centre runs beside the contour at the radius. The move that switches on ends where the nose touches the
// start of the next one, the move that switches off leaves from where it touched the end of the last (common
// practice, no source).
#include "motion/geometry.h"

#include <cmath>

namespace turnwright::motion {
namespace {

double left_of(Side side, double radius) {
    return side == Side::left ? radius : side == Side::right ? -radius : 0;
}

/// A compensated stretch while it is put together: the ways beside each move, and what joins them.
class Stretch {
public:
    Stretch(double radius, NosePath& path) : radius_(radius), path_(path) {}

    void add(const NoseMove& move) {
        double left = left_of(move.side, radius_);
        Piece piece{move, line(beside_point(move.segment, 0, left), beside_point(move.segment, 1, left))};
        if (auto way = beside(move.segment, left))
            piece.way = *way;
        else
            tell(Trouble::arc_smaller_than_radius, move, radius_of(move.segment), radius_);
        piece.way.kind = move.segment.kind;
        piece.way.feed = move.segment.feed;
        pieces_.push_back(piece);
    }

    bool empty() const { return pieces_.empty(); }

    /// The centre's way along all of it; the stretch is empty afterwards.
    void finish() {
        std::vector<std::optional<Segment>> joints(pieces_.size());
        for (std::size_t i = 0; i + 1 < pieces_.size(); ++i) joints[i] = join(pieces_[i], pieces_[i + 1]);
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            Piece& piece = pieces_[i];
            if (piece.end < piece.begin - 1e-9 && !piece.told) {
                double length = piece.move.segment.length_mm();
                double lost = (1 - piece.end + piece.begin) * piece.way.length_mm();
                tell(Trouble::inside_corner_too_tight, piece.move, length, std::max(lost, radius_));
            }
            path_.centre.push_back(part_of(piece.way, piece.begin, std::max(piece.begin, piece.end)));
            if (joints[i]) path_.centre.push_back(*joints[i]);
        }
        pieces_.clear();
    }

private:
    struct Piece {
        NoseMove move;
        Segment way;
        double begin = 0, end = 1;
        bool told = false;
    };

    void tell(Trouble trouble, const NoseMove& move, double found, double wanted) {
        path_.troubles.push_back({trouble, move.block, found, wanted, 0});
    }

    /// An outer corner gets an arc about it; an inner one shortens both ways.
    std::optional<Segment> join(Piece& first, Piece& second) {
        Point in = direction_at(first.move.segment, 1), out = direction_at(second.move.segment, 0);
        double turn = cross(in, out);
        bool straight_on = std::abs(turn) < 1e-6 && dot(in, out) > 0;
        if (straight_on && first.move.side == second.move.side) return std::nullopt;
        double left = left_of(first.move.side, radius_);
        bool outer = turn * left < 0 || std::abs(turn) < 1e-6;
        if (first.move.side != second.move.side) return line(first.way.to, second.way.from);
        if (outer) return round_corner(first, second, left);
        std::optional<Meeting> best;
        for (const Meeting& meeting : meetings(first.way, second.way))
            if (!best || meeting.on_first - meeting.on_second > best->on_first - best->on_second)
                best = meeting;
        if (best) {
            first.end = best->on_first;
            second.begin = best->on_second;
            return std::nullopt;
        }
        double needed = radius_ * std::tan(std::abs(std::atan2(turn, dot(in, out))) / 2);
        bool first_short = first.move.segment.length_mm() < second.move.segment.length_mm();
        Piece& shorter = first_short ? first : second;
        if (!shorter.told)
            tell(Trouble::inside_corner_too_tight, shorter.move, shorter.move.segment.length_mm(), needed);
        shorter.told = true;
        return line(first.way.to, second.way.from);
    }

    Segment round_corner(const Piece& first, const Piece& second, double left) const {
        Segment arc = line(first.way.to, second.way.from);
        arc.kind = second.way.kind;
        arc.feed = second.way.feed;
        if (same(arc.from, arc.to)) return arc;
        arc.is_arc = true;
        arc.centre = first.move.segment.to;
        arc.sweep = sweep_between(arc.from, arc.to, arc.centre, left > 0);
        return arc;
    }

    double radius_;
    NosePath& path_;
    std::vector<Piece> pieces_;
};

/// A straight way of the centre for a move that switches compensation on or off.
Segment switching(const Segment& move, Point from, Point to) {
    Segment way = line(from, to);
    way.kind = move.kind;
    way.feed = move.feed;
    return way;
}

} // namespace

Point tip_from_centre(int tip_direction, double nose_radius_mm) {
    constexpr Point directions[] = {{0, 0}, {1, 1}, {1, -1}, {-1, -1}, {-1, 1},
                                    {0, 1}, {1, 0}, {0, -1}, {-1, 0},  {0, 0}};
    if (tip_direction < 0 || tip_direction > 9) return {};
    return directions[tip_direction] * nose_radius_mm;
}

NosePath nose_path(std::span<const NoseMove> moves, double nose_radius_mm, int tip_direction, Side before) {
    NosePath path;
    Point tip = tip_from_centre(tip_direction, nose_radius_mm);
    Stretch stretch(nose_radius_mm, path);
    std::vector<NoseMove> real;
    for (const NoseMove& move : moves)
        if (move.segment.length_mm() > same_point_mm) real.push_back(move);
    for (std::size_t i = 0; i < real.size(); ++i) {
        const NoseMove& move = real[i];
        const Segment& segment = move.segment;
        Side last = i ? real[i - 1].side : before;
        auto tell = [&](Trouble trouble, double found = 0, double wanted = 0) {
            path.troubles.push_back({trouble, move.block, found, wanted, 0});
        };
        bool switches = (last == Side::off) != (move.side == Side::off);
        if (switches && segment.is_arc) tell(Trouble::compensation_on_arc);
        if (last == Side::off && move.side == Side::off) {
            path.centre.push_back(shifted(segment, Point{} - tip));
        } else if (last == Side::off) {
            if (segment.length_mm() < nose_radius_mm - same_point_mm)
                tell(Trouble::lead_in_shorter_than_radius, segment.length_mm(), nose_radius_mm);
            double left = left_of(move.side, nose_radius_mm);
            bool goes_on = i + 1 < real.size() && real[i + 1].side != Side::off;
            Point end = goes_on ? beside_point(real[i + 1].segment, 0, left) : beside_point(segment, 1, left);
            path.centre.push_back(switching(segment, segment.from - tip, end));
        } else if (move.side == Side::off) {
            if (!stretch.empty()) stretch.finish();
            Point from = path.centre.empty() ? beside_point(segment, 0, left_of(last, nose_radius_mm))
                                             : path.centre.back().to;
            path.centre.push_back(switching(segment, from, segment.to - tip));
        } else {
            stretch.add(move);
        }
    }
    if (!stretch.empty()) stretch.finish();
    for (const Segment& way : path.centre) path.tip.push_back(shifted(way, tip));
    return path;
}

// A joint is an arc about the corner, or a line that runs otherwise than the next move.
std::vector<std::size_t> nose_owners(const NosePath& path, std::span<const NoseMove> moves) {
    std::vector<std::size_t> real, owners;
    for (std::size_t i = 0; i < moves.size(); ++i)
        if (moves[i].segment.length_mm() > same_point_mm) real.push_back(i);
    std::size_t joints = path.centre.size() > real.size() ? path.centre.size() - real.size() : 0;
    std::size_t next = 0;
    for (const Segment& way : path.centre) {
        bool joint = false;
        if (next > 0 && joints > 0 && next < real.size()) {
            const Segment& before = moves[real[next - 1]].segment;
            const Segment& behind = moves[real[next]].segment;
            bool about_corner = way.is_arc && same(way.centre, before.to);
            bool line_for_arc = !way.is_arc && behind.is_arc;
            bool no_way = way.length_mm() <= same_point_mm;
            joint = about_corner || line_for_arc || no_way;
        }
        if (joint)
            --joints;
        else
            ++next;
        std::size_t index = next == 0 ? 0 : std::min(next, real.size()) - 1;
        owners.push_back(real.empty() ? 0 : real[index]);
    }
    return owners;
}

} // namespace turnwright::motion
