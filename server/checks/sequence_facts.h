// Inside the checks room: one walk over the blocks of a span gives the steps and facts that rules look at.
#pragma once

#include "checks/checks.h"

#include <deque>

namespace turnwright::checks {

/// What a span holds: facts to keep, steps to throw away after the rules have run.
struct Collected {
    std::vector<Step> steps;
    std::deque<InForce> in_force; ///< What the steps point at
    std::shared_ptr<SequenceFacts> facts;
};
/// `passed` is handed from span to span in order of place, which spares reading their common runs again. The
/// span has no more than `most_blocks`.
Collected collect(const machine::Reader& reader, BlockPlace first, BlockPlace last,
                  machine::Analysis::Passed& passed, std::size_t most_blocks);

/// The file's spans, in order: each program's head (when it has blocks) and its sequences.
std::vector<Span> spans_of(const machine::Outline& outline, const machine::Analysis& analysis);

/// Lengths with and without a decimal point in one run.
Habits habits_of(std::span<const syntax::Item> items);

} // namespace turnwright::checks
