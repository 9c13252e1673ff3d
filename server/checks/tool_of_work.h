// What notes call the tool of a work.
#pragma once

#include "checks/acts.h"
#include "checks/works.h"

namespace turnwright::checks {

/// By the notes of its sequence, else by the tool list of a head of its program: the first that tells it;
/// nullptr: neither.
template <class Tells>
const NamedTool* tool_of_work(const WorksContext& context, const Work& work, Tells&& tells) {
    const Span& own = context.spans[work.span];
    if (const NamedTool& named = own.facts->acts.held->named; tells(named)) return &named;
    for (const Span& span : context.spans) {
        if (span.sequence || span.program != own.program) continue;
        for (const auto& [station, listed] : span.facts->acts.held->listed)
            if (station == work.tool && tells(listed)) return &listed;
    }
    return nullptr;
}

} // namespace turnwright::checks
