// What a program makes the machine do, as numbers short enough to keep for each of ten thousand programs.
#pragma once

#include "report/compare.h"

namespace turnwright::report {

/// Equal numbers: the same in both, whatever the blanks, notes, N numbers and ways of writing are. They stand
/// for what `compare` looks at, so that two programs that it finds the same in one unit of length are equal.
struct Likeness {
    std::uint64_t moves = 0;    ///< Moves, stops and what else acts, with datum, plane and compensation
    std::uint64_t tools = 0;    ///< Stations and offsets
    std::uint64_t settings = 0; ///< Speeds, limits, feeds, turning, coolant, dwells
    std::uint64_t order = 0;    ///< Tools and kinds of moves alone, without their sizes
    std::size_t move_count = 0;
    bool open = false;      ///< Some of it is not known and stands as it is written
    std::string open_words; ///< What: "line 22 (G65 P9010) is taken by its words"
    motion::Totals totals;

    bool same(const Likeness& other) const {
        return moves == other.moves && tools == other.tools && settings == other.settings;
    }
    /// The same kinds of moves by the same tools in the same order, sizes a few hundredths apart: a part that
    /// was changed a little, or is written in the other unit.
    bool nearly(const Likeness& other) const;
};
Likeness likeness_of(const Course& course);
/// Of a course that was followed to the front of a line, from 0: the rest is taken by its text.
Likeness likeness_of(const Course& course, const features::Document& document,
                     std::optional<std::size_t> stopped_at);

/// "K7QF-2M9R-X3TD": moves, tools and settings as one word that can be read aloud and kept on paper. Another
/// word: the machine does something else, or the shop file or a later Turnwright reads the program otherwise.
std::string fingerprint(const Likeness& likeness);
/// With what is not known and taken as it is written, where there is such; what is shown.
std::string fingerprint_text(const Likeness& likeness);

} // namespace turnwright::report
