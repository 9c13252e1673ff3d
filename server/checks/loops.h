// Inside the checks room: loops as the text has them, and what their counters hold.
#pragma once

#include "checks/rule.h"

namespace turnwright::checks {

/// Longer loops are not looked through, and no farther up is a variable looked for.
inline constexpr std::size_t most_blocks_of_loop = 400;

/// "#1LT28" between the first brackets.
struct LoopCondition {
    std::string variable, relation, limit;
    double number = 0; ///< Of the variable
    bool is_below() const { return relation == "LT" || relation == "LE"; }
    bool is_above() const { return relation == "GT" || relation == "GE"; }
};
/// nullopt: another kind of condition, or of a variable that changes by itself.
std::optional<LoopCondition> loop_condition(const std::string& statement);

/// "28", "-28".
std::optional<double> signed_number(std::string_view text);

/// A variable as the last block above sets it, to a number that stands there.
struct SetTo {
    BlockPlace place;
    double number = 0;
};
/// nullopt: set otherwise, or not in the blocks above.
std::optional<SetTo> set_above(const machine::Reader& reader, BlockPlace from, const std::string& variable);

/// The step of "#1=#1+1.5", or of "#1=#1+#2" where #2 stands above; nullopt: it is set otherwise.
std::optional<double> loop_step(const machine::Reader& reader, BlockPlace place, const std::string& statement,
                                const std::string& variable);

} // namespace turnwright::checks
