// What C and F mean where the part is turned as an axis: degrees, and lengths beside them.
#pragma once

#include "motion/path.h"

#include <algorithm>

namespace turnwright::features {

/// C goes to an angle at feed: no chamfer, neither on a plane with X nor laid out on a cylinder.
inline bool turns_c(const motion::Step& step) {
    const machine::MotionKind motion = step.reading.motion;
    if (motion != machine::MotionKind::feed && motion != machine::MotionKind::arc) return false;
    const auto& words = step.reading.words;
    return !step.after.is_laid_out() && !motion::c_is_chamfer(step) &&
           std::any_of(words.begin(), words.end(), [](const machine::Word& word) {
               return (word.letter == 'C' || word.letter == 'H') && word.quantity == codes::Quantity::angle;
           });
}
/// Nothing else moves: F counts degrees alone.
inline bool turns_c_alone(const motion::Step& step) {
    return turns_c(step) && !step.reading.moves_x && !step.reading.moves_z && !step.reading.has('Y') &&
           !step.reading.has('V');
}
inline motion::Step step_of(const machine::BlockView& view) {
    return {view.before, view.after, view.reading, view.settings, {view.run_index, view.block}};
}
/// "G01 Z-20. C2." of a lathe that turns.
inline bool is_chamfer(const motion::Step& step, const machine::Word& word) {
    return word.letter == 'C' && word.quantity == codes::Quantity::angle &&
           step.reading.motion == machine::MotionKind::feed && motion::c_is_chamfer(step);
}

} // namespace turnwright::features
