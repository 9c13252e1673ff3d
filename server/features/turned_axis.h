// What F counts where the part is turned as an axis: degrees, and lengths beside them.
#pragma once

#include "machine/machine.h"

#include <algorithm>

namespace turnwright::features {

/// C goes to an angle at feed, neither on a plane with X nor laid out on a cylinder.
inline bool turns_c(const machine::Reading& reading, const machine::State& after) {
    if (reading.motion != machine::MotionKind::feed && reading.motion != machine::MotionKind::arc)
        return false;
    return !after.is_laid_out() &&
           std::any_of(reading.words.begin(), reading.words.end(), [](const machine::Word& word) {
               return (word.letter == 'C' || word.letter == 'H') && word.quantity == codes::Quantity::angle;
           });
}
/// Nothing else moves: F counts degrees alone.
inline bool turns_c_alone(const machine::Reading& reading, const machine::State& after) {
    return turns_c(reading, after) && !reading.moves_x && !reading.moves_z && !reading.has('Y') &&
           !reading.has('V');
}

} // namespace turnwright::features
