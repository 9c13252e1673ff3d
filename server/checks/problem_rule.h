// A rule that turns one kind of problem, found while the program was interpreted, into a finding.
#pragma once

#include "checks/rule.h"

#include <algorithm>

namespace turnwright::checks {

/// A program of the range that controls keep for themselves need not be in the folder, nor is one missing for
/// certain that may stand in what was not read of it.
constexpr bool may_be_there(machine::ProblemKind kind, double number) {
    return kind == machine::ProblemKind::program_not_looked_for ||
           (kind == machine::ProblemKind::program_not_found && number >= 9000 && number <= 9999);
}

using ProblemText = std::string (*)(double number, const machine::Settings& settings);

/// Problems of one block.
template <machine::ProblemKind kind, ProblemText text>
void report_problems(const BlockView& view, Report& report) {
    std::uint32_t last = 0;
    bool any = false;
    for (const machine::Problem& problem : view.reading.problems) {
        if (problem.kind != kind || (any && problem.begin == last)) continue;
        any = true;
        last = problem.begin;
        auto entry = report.at(view, problem.begin, problem.length);
        entry.message(text(problem.number, view.settings));
        if (may_be_there(kind, problem.number)) entry.severity(Severity::information);
    }
}

/// Problems of jumps, loops and calls in the file as a whole.
template <machine::ProblemKind kind, ProblemText text>
void report_flow_problems(const FileContext& context, Report& report) {
    for (const auto& [run, problem] : context.flow_problems()) {
        if (problem.kind != kind) continue;
        BlockPlace place{run, problem.block};
        if (!context.reader().comes_to(place)) continue;
        for (const syntax::Item& item : context.reader().items(place))
            if (item.begin <= problem.begin && problem.begin < std::max(item.end(), item.begin + 1)) {
                auto entry = report.at(place, item);
                entry.message(text(problem.number, context.settings()));
                if (may_be_there(kind, problem.number)) entry.severity(Severity::information);
                break;
            }
    }
}

} // namespace turnwright::checks
