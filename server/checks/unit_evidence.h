// Whether the feeds of a program that states inches are millimetres.
#pragma once

#include "checks/acts.h"

namespace turnwright::checks {

struct FeedsAsInch {
    const ToolOfSpan* code_tool = nullptr;
    const Act* code = nullptr;            ///< Where inches are stated first; nullptr: nowhere
    std::uint32_t all = 0, too_large = 0; ///< Feeds by the revolution under it
    double example = 0;
    bool say_millimetres() const { return code != nullptr && too_large >= 2 && too_large * 2 > all; }
};
FeedsAsInch feeds_as_inch(const FileContext& context, const std::vector<ToolOfSpan>& tools);

} // namespace turnwright::checks
