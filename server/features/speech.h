// How values are said to a machinist.
#pragma once

#include "motion/motion.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace turnwright::features {

/// Valid UTF-8 without control characters: a byte that is no UTF-8 is taken as Latin-1.
std::string readable(std::string_view bytes);
/// The one way in for text of a file where Markdown is written: readable, and nothing in it acts, neither
/// marks nor addresses.
std::string in_markdown(std::string_view bytes);
/// The same as code within a line.
std::string code_in_markdown(std::string_view bytes);
/// Lines of our own, with text of files in them, in a fenced block that nothing in them closes.
std::string fenced(std::string_view lines);
/// Readable text of at most so many columns, with "..." where it goes on; letters of several bytes stay
/// whole.
std::string clipped(std::string text, std::size_t columns);
/// Lines that Markdown of ours takes in a window of so many columns, fences left out as editors do.
std::size_t lines_shown(std::string_view markdown, std::size_t columns);
/// Upper case without blanks: a word as its block writes it.
std::string compact(std::string_view word);

/// "mm", "in", or "" when the unit is not known.
std::string_view length_unit(const machine::State& state);
/// The unit a surface speed is in: "m/min", "ft/min", or "".
std::string_view surface_unit(const machine::State& state);
/// With `places` decimals at most, no trailing zeros, no point at the end: "0.25", "1347".
std::string plain(double number, int places = 4);
/// "X52. Z1." from a point in program units; an axis not known shows as "X?".
std::string point_text(const machine::Value& x_radius, const machine::Value& z,
                       const machine::Settings& settings);
/// "G96 constant surface speed"; "G00 rapid move or G01 ..." when one of a few; else the reason.
std::string modal_text(const machine::Modal& modal, codes::Group group, const machine::Settings& settings);
/// "not known here: ..."
std::string unknown_text(machine::Why why);
/// mm in program units.
double from_mm(double mm, const machine::State& state);
double to_mm(double length, const machine::State& state);

/// Two columns for a fenced block, aligned.
std::string aligned(const std::vector<std::pair<std::string, std::string>>& rows);

std::string in_capitals(std::string text);

} // namespace turnwright::features
