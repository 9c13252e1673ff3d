// Inside the report room: what is left of the stock behind every move, kept as differences.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

/// A corner in thousandths of a millimetre, X as radius; a loop of them ends with `loop_end`.
struct FilmPoint {
    std::int32_t z = 0, x = 0;
    bool operator==(const FilmPoint&) const = default;
};
inline constexpr FilmPoint loop_end{INT32_MAX, INT32_MAX};
using FilmRow = std::vector<FilmPoint>;

/// Behind one move: `removed` points from `start` on give way to `put`.
struct FilmChange {
    std::size_t segment = 0; ///< Index in Picture::segments
    std::uint32_t start = 0, removed = 0;
    FilmRow put;
};
struct StockFilm {
    FilmRow first; ///< The raw stock; empty: none is given
    std::vector<FilmChange> changes;
    std::optional<std::size_t> followed_to; ///< Index in Picture::segments; nullopt: all of it
    std::string why_not;                    ///< Why it is followed no further, or not at all
    bool exact = true;                      ///< False: more was taken off than the tools may take
};
StockFilm film_of(const features::Document& document, const Picture& picture, const DrawnStock& drawn);

/// The loops of an area, each from its corner at the back and nearest to the axis on, so that a cut changes
/// a short stretch of the row.
FilmRow film_row(const stock::Region& area);
/// What turns one row into another; nullopt: they are the same.
std::optional<FilmChange> change_between(const FilmRow& before, const FilmRow& after);

} // namespace turnwright::report
