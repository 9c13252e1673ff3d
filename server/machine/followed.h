// How far the course of a program is followed.
#pragma once

#include "machine/machine.h"

namespace turnwright::machine {

/// The first block whose state is not known any more, since the jumps, loops and calls above take all the
/// work that is done for one program; nullopt: all blocks are followed.
std::optional<BlockPlace> end_of_following(const Analysis& analysis);

} // namespace turnwright::machine
