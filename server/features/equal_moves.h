// Whether two readings of a program make the same moves, block by block.
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// A copy of the shop whose machines read as given; unset stays.
std::shared_ptr<const shop::Shop> shop_with(const Document& document, std::optional<codes::System> system,
                                            std::optional<shop::XReading> x,
                                            std::optional<codes::Meaning> units = {});
/// The first line whose moves differ by more than one least increment, or nullopt. Both must have the same
/// lines.
std::optional<std::size_t> first_difference(const Document& before, const Document& after);
/// Every such line, from 0.
std::vector<std::size_t> differences(const Document& before, const Document& after);
/// Whether two rows of moves are the same but for ones that go nowhere.
bool same_segments(std::span<const motion::Segment> a, std::span<const motion::Segment> b,
                   double tolerance_mm);
/// The text with edits made.
std::string edited(const Document& document, const std::vector<TextEdit>& edits);

/// How far two places may lie apart that are the same: a least increment of the coarser of the machines, mm.
double tolerance_of(const Document& a, const Document& b);

} // namespace turnwright::features
