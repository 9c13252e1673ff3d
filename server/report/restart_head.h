// Inside the report room: the blocks of a restart head.
#pragma once

#include "report/restart.h"

namespace turnwright::report {

/// mm, X as radius. One or two rapids, and from the last of them to the start at feed.
struct Approach {
    std::vector<motion::Point> rapids; ///< Empty: the block itself is the approach
    std::optional<motion::Point> feed_to;
};
/// What surely holds no stock and no tailstock is reached first. Best first; none is run through the stock
/// yet. Empty: the start is in the stock.
std::vector<Approach> approaches(motion::Point start, const stock::Region& left, const stock::Setup& setup,
                                 const shop::Tool* tool, double clear_mm);

/// A value that no head can write, and why; empty when it can be written.
std::string why_no_head(const features::Document& document, const machine::State& state);
/// `variables`: blocks that set them.
std::vector<std::string> head_blocks(const features::Document& document, machine::BlockPlace place,
                                     const machine::State& state, const Approach& approach,
                                     std::span<const std::string> variables = {});
/// Each on a line of its own, behind `margin`.
std::string as_lines(std::span<const std::string> blocks, std::string_view margin = {});

/// The block with the words that it takes over from blocks above: its motion, and those of a cycle.
struct CompleteBlock {
    std::string text, added, refused;
};
CompleteBlock complete_block(const features::Document& document, machine::BlockPlace place);

} // namespace turnwright::report
