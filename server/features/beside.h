// What an editor shows beside the text: the state at the cursor in a few words, and the sequences with their
// times.
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// One part of the state behind the cursor's block.
struct StateCell {
    std::string name;  ///< "tool", "spindle", "feed" or "units", in the chosen language
    std::string brief; ///< "T03", "1102 rpm", "0.2 mm/rev", "mm"; "feed not known"
    std::string whole; ///< As the hover tells it, or why it is not known
};
/// Always the same four, in this order. Values that rest on something assumed say so.
std::vector<StateCell> state_cells(const Document& document, std::size_t line);

struct SequenceRow {
    Range range;      ///< Its first block
    std::string name; ///< As in the outline
    std::string time; ///< "about 1 min 15 s", "time not known"
    /// "sets all it reads" or what a restart takes over; empty when it is not judged
    std::string restart;
    bool takes_over = false; ///< A restart there inherits something
    bool holds_line = false; ///< The line that was asked about stands in it
};
std::vector<SequenceRow> sequence_rows(const Document& document, std::size_t line);

} // namespace turnwright::features
