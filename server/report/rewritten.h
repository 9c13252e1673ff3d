// A program rewritten as a whole by one of the features, with what a person must see before it is kept.
#pragma once

#include "features/rewriting.h"
#include "report/report.h"

namespace turnwright::report {

/// What is done to each program. `command` and `arguments` as features::run_command takes them; "" formats.
struct RewriteOrder {
    std::string command;
    std::vector<std::string> arguments;
};
struct Rewritten {
    std::string text;    ///< The whole program; of one that is left as it is nothing
    std::string refused; ///< Why it is left as it is although it was to be changed
    std::size_t warnings_before = 0, warnings_after = 0; ///< Errors and warnings, where something is mended
    bool changed() const { return refused.empty() && !text.empty(); }
};
/// Of formatting and new numbers the machine sees nothing: what it would do otherwise is refused. Mends are
/// made as long as there are any.
Rewritten rewrite(const features::Document& document, const RewriteOrder& order);

} // namespace turnwright::report
