// What notes call the tool of a work.
#pragma once

#include "checks/acts.h"
#include "checks/works.h"

namespace turnwright::checks {

/// By the notes of its sequence, else by the tool list of a head of its program, of a program that is called
/// by the first list of the file: the first that tells it; nullptr: neither.
template <class Tells>
const NamedTool* tool_of_work(const WorksContext& context, const Work& work, Tells&& tells) {
    const Span& own = context.spans[work.span];
    if (const NamedTool& named = own.facts->acts.held->named; tells(named)) return &named;
    bool has_list = false;
    for (const Span& span : context.spans) {
        if (span.sequence || span.program != own.program) continue;
        has_list = has_list || !span.facts->acts.held->listed.empty();
        for (const auto& [station, listed] : span.facts->acts.held->listed)
            if (station == work.tool && tells(listed)) return &listed;
    }
    // Notes of the head may stand in the first sequence.
    for (const Span& span : context.spans) {
        if (!span.sequence || span.program != own.program) continue;
        for (const auto& [station, listed] : span.facts->acts.held->listed)
            if (station == work.tool && tells(listed)) return &listed;
        break;
    }
    if (has_list || !own.program->is_subprogram) return nullptr;
    for (const Span& span : context.spans) {
        if (span.sequence || span.facts->acts.held->listed.empty()) continue;
        for (const auto& [station, listed] : span.facts->acts.held->listed)
            if (station == work.tool && tells(listed)) return &listed;
        break;
    }
    return nullptr;
}

} // namespace turnwright::checks
