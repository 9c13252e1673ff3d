// Inside the motion room: from a block that was read to its moves.
#pragma once

#include "motion/geometry.h"

#include <functional>
#include <span>

namespace turnwright::motion {

/// One block as read, from the analysis or read again from another start.
struct Step {
    const machine::State& before;
    const machine::State& after;
    const machine::Reading& reading;
    const machine::Settings& settings;
    machine::BlockPlace place;
};

/// A chamfer or a rounding between this move and the next, asked for by ,C ,R or the plain forms.
struct Corner {
    enum class Kind : std::uint8_t { none, chamfer, round } kind = Kind::none;
    double size_mm = 0;             ///< Both legs of a chamfer from the sharp corner; radius of a rounding
    int toward_x = 0, toward_z = 0; ///< Plain forms: the sign says which way the next move goes; 0: not said
};

/// One plain move of one block.
struct Move {
    std::optional<Segment> segment; ///< nullopt: no move, or not known
    Corner corner;
    machine::BlockPlace place;
    std::vector<TroubleAt> troubles;
    bool moves = false; ///< The block makes the tool move
    machine::Why why = machine::Why::known;
};
/// Rapid, feed, arc and threading moves. Other blocks give `moves` false.
Move plain_move(const Step& step);

/// The same way from wherever it begins, from X0 Z0: no word of it names a place. nullopt: one does.
std::optional<Segment> way_by_distance(const Step& step, const syntax::Run& line);

/// nullopt: no such feed, or something of it is not known.
std::optional<TurnedWay> turned_way(const Step& step);

/// A chain of moves with its corners cut. `owner` is the index of the move a segment belongs to.
struct Chain {
    std::vector<Segment> segments;
    std::vector<std::size_t> owner;
    std::vector<TroubleAt> troubles;
};
Chain cut_corners(std::span<const Move> moves);

/// A C word is the size of a chamfer: the spindle itself turns under feed by the revolution, so that it can
/// be no axis.
bool c_is_chamfer(const Step& step);

// --- Reading of values ---------------------------------------------------------------------------------

/// Lead of a threading block: F, or E where it is threads per inch. 0 with trouble or `why` when there is
/// none.
double lead_of(const Step& step, double mm, const std::function<void(Trouble, char)>& trouble,
               machine::Why& why);
/// The first reason among values that are not known; `computed` for one that no machine could reach (an
/// expression that overflowed).
machine::Why first_unknown(std::initializer_list<machine::Value> values);
double half_of_x(const machine::Settings& settings); ///< Factor from a written X to a radius
double arc_tolerance(const machine::Settings& settings);

} // namespace turnwright::motion
