// Inside the machine room: a run followed beside what it was before, to tell which of its blocks read
// otherwise.
#pragma once

#include "machine/interpreter.h"

namespace turnwright::machine {

/// Told of every block of the present run in turn, it follows the earlier one from the first block that
/// differs until text and state are the same again.
class Comparison {
public:
    /// Both of as many blocks, with the state that enters each.
    Comparison(const Settings& settings, const syntax::Run& before, const State& in_before,
               const syntax::Run& now, const State& in_now);

    /// The present run is about to read a block in a state; its number of blocks once it has come to the end.
    void come_to(std::size_t block, const State& state);

    // Behind the end: what differs, as Analysis::Changed tells it.
    std::size_t first() const { return first_; }
    std::size_t end() const { return end_; }

private:
    const Settings& settings_;
    const syntax::Run& before_;
    std::size_t first_ = 0, end_ = 0;
    std::size_t same_text_from_ = 0; ///< From here on every line is the same
    bool same_again_ = false;
    State state_; ///< Of the earlier run, before the block that is come to
    Reading reading_;
};

} // namespace turnwright::machine
