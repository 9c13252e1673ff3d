// Inside the report room: the block that a restart can lead into.
#pragma once

#include "features/block_at.h"

namespace turnwright::report {

/// A loop around whole sequences: a turn of it is run to its end, and no further.
struct RestartLoop {
    machine::BlockPlace start, end; ///< Its first block and the one that leads back
};
struct RestartTarget {
    machine::BlockPlace place;
    std::string moved;   ///< Why it is another one than was asked for; empty: it is that one
    std::string refused; ///< Why there is none
    std::optional<RestartLoop> loop{};
};
/// The first line of a cycle, the first of a chain of thread moves, the block in front of a loop, the call of
/// a called program, the first move of a sequence that has not moved yet.
RestartTarget restart_target(const features::Document& document, std::size_t line);

/// The first block of a sequence that moves; nullopt when none does.
std::optional<machine::BlockPlace> first_move(const features::Document& document,
                                              const machine::Sequence& sequence);
bool is_compensated(const machine::State& state);

} // namespace turnwright::report
