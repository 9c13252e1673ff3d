// Inside the report room: a block's move as a sentence.
#pragma once

#include "language/language.h"
#include "report/walk.h"

namespace turnwright::report {

/// "The tool feeds 22 mm towards the chuck at diameter 40, 0.25 mm a turn, 1240 rpm, 4 s."; of a contour
/// block the line or arc that it gives. Empty when nothing moves.
/// Around what a number with no point may be: said once in a telling.
constexpr TableText no_point_begin = " (with no point ", no_point_end = ", as the control is set)";
std::string move_sentence(const features::Document& document, const WalkedBlock& block);
/// "The slides wait 0.3 s."
std::string dwell_sentence(const WalkedBlock& block);
/// "0.25 mm a turn"
std::string feed_words(const machine::State& state);

} // namespace turnwright::report
