// Inside the report room: blocks as they are written, for comparing what the moves do not show.
#pragma once

#include "report/walk.h"

#include <string>
#include <vector>

namespace turnwright::report {

/// The block as the control reads it: no N, no notes, no blanks, one way to write a number. Labels are told
/// by the block that they name where `follow` is set.
std::string written_words(const features::Document& document, const WalkedBlock& block, bool follow);

/// A word that bears on no move, time or setting that is told otherwise: B, P of M03, the start angle of a
/// thread.
struct UnusedWord {
    std::string name;   ///< With the code that it stands at: "G96 P"
    std::string shown;  ///< "G96 P1"
    double value = 0;   ///< Lengths in mm, X on radius
    bool stays = false; ///< Goes on with a code that stays in force: saying it again changes nothing
};
std::vector<UnusedWord> unused_words(const WalkedBlock& block);

/// What a cycle is told with besides its end and its feed: depths, allowances, retracts, counts. Also of
/// the blocks of a contour, with their ends. Labels are left out.
struct CycleWords {
    std::string letters;
    std::vector<double> values; ///< Lengths in mm, X on radius
    std::string shown;          ///< With end and labels: "G71 U0.4 W0.1"
};
bool has_cycle_words(const machine::Reading& reading);
CycleWords cycle_words(const WalkedBlock& block);

/// Whether macro statements and computed words of the block do something that moves and settings do not show:
/// a way or value that is not known, a variable that outlives the program. `calls_lost`: some
/// program that is called is not known, and may use any variable.
bool statement_is_open(const features::Document& document, const WalkedBlock& block, bool calls_lost);

} // namespace turnwright::report
