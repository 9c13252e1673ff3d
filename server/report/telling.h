// Inside the report room: what the machine does in one block, in plain words.
#pragma once

#include "report/walk.h"

namespace turnwright::report {

/// Whole sentences, in the order that things happen; empty for a block that does nothing. What is not known
/// is said so, and what is assumed is marked.
std::string tell_block(const features::Document& document, const WalkedBlock& block);

} // namespace turnwright::report
