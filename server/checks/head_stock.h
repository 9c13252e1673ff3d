// What the notes above a program's first tool say that the part is made from.
#pragma once

#include "checks/noted_tool.h"
#include "machine/reader.h"

namespace turnwright::checks {

struct HeadStock {
    NotedStock stock;
    std::string note; ///< The first that tells any of it, as it stands
    /// Nobody has worked on it before, and it is no raw part of a shape of its own, by what the head says.
    bool is_plain_bar = true;
};
/// From `first` to the first tool of the program, or its end where it calls none.
HeadStock head_stock(const machine::Reader& reader, BlockPlace first, const machine::ProgramPart& program,
                     std::optional<double> mm_per_unit);

/// "1-1/8 HEX BAR", "SECHSKANT SW 24, 11SMN30": across the flats of a bar, mm.
std::optional<double> flats_by_note(std::string_view text, std::optional<double> mm_per_unit);
/// The first of the head, with its note.
std::optional<std::pair<double, std::string>> head_flats(const machine::Reader& reader, BlockPlace first,
                                                         const machine::ProgramPart& program,
                                                         std::optional<double> mm_per_unit);

/// From one block to in front of another the program stops at M00, and a note behind the last move says that
/// the part goes on with its other end in front: "TURN THE PART ROUND", "FLIP". The first time also "SECOND
/// SIDE" and "OP 20", which may stand at every tool of it.
bool turned_round_between(const machine::Reader& reader, BlockPlace first, BlockPlace last, bool first_time);
/// The first block from one to in front of another with a note that says so, stop or none.
std::optional<BlockPlace> other_side_noted(const machine::Reader& reader, BlockPlace first, BlockPlace last);
/// What is told so from behind the last move above a tool call, and no farther up than `above`.
struct TurnedRound {
    bool is_told = false;
    bool is_second_side = false; ///< It counts the first time only
    bool counts(bool first_time) const { return is_told || (first_time && is_second_side); }
};
TurnedRound turned_round_above(const machine::Reader& reader, BlockPlace call, BlockPlace above);
/// First blocks of the sequences of a program in front of which it is.
std::vector<BlockPlace> turned_round_places(const machine::Reader& reader,
                                            const machine::ProgramPart& program);

} // namespace turnwright::checks
