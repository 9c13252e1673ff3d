// Whether the feeds of a program that states inches are millimetres.
#pragma once

#include "checks/acts.h"

namespace turnwright::checks {

struct FeedsAsInch {
    const ToolOfSpan* code_tool = nullptr;
    const Act* code = nullptr;  ///< Where inches are stated first; nullptr: nowhere
    int all = 0, too_large = 0; ///< Feeds by the revolution under it
    double example = 0;
    bool say_millimetres() const { return code && too_large >= 2 && too_large * 2 > all; }
};
inline FeedsAsInch feeds_as_inch(const std::vector<ToolOfSpan>& tools) {
    constexpr float most_in_per_rev = 0.06F;
    FeedsAsInch out;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.states(codes::Group::units) && act.inch() && !out.code) {
                out.code_tool = &tool;
                out.code = &act;
            }
            if (!act.cuts() || !act.gives_feed || !act.inch() || !act.per_rev() || act.feed <= 0) {
                // Feeds of contour blocks are cut with, too.
                const bool in_contour =
                    act.in_contour && act.gives_feed && act.inch() && act.per_rev() && act.feed > 0;
                if (!in_contour) continue;
            }
            ++out.all;
            if (act.feed <= most_in_per_rev) continue;
            ++out.too_large;
            if (out.example == 0) out.example = act.feed;
        }
    return out;
}

} // namespace turnwright::checks
