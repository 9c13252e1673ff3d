// Inside the report room: macro variables that a restart must set.
#pragma once

#include "features/document.h"

namespace turnwright::report {

struct RestartVariables {
    std::vector<std::string> blocks; ///< "#101=12.5": what they hold there
    bool has_locals = false;         ///< Some are #1 to #33
    std::string refused;             ///< Why not all can be set
};
/// Of the variables that blocks above have set, those that blocks from a place on, and what they call, read.
/// `end`: up to that block alone, where what only counts is nothing.
RestartVariables variables_from(const features::Document& document, machine::BlockPlace place,
                                std::optional<machine::BlockPlace> end = std::nullopt);

} // namespace turnwright::report
