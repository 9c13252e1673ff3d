#include "checks/loops.h"

#include "checks/noted_words.h"

namespace turnwright::checks {

namespace {

/// Clocks, inputs and positions change by themselves.
constexpr double first_system_variable = 1000;

} // namespace

std::optional<double> signed_number(std::string_view text) {
    const bool minus = text.starts_with('-');
    if (minus) text.remove_prefix(1);
    const auto number = plain_number(text);
    return number ? std::optional(minus ? -*number : *number) : std::nullopt;
}

std::optional<LoopCondition> loop_condition(const std::string& statement) {
    const std::size_t open = statement.find('['), close = statement.find(']');
    if (open == std::string::npos || close == std::string::npos || close < open) return std::nullopt;
    const std::string inside = statement.substr(open + 1, close - open - 1);
    for (const std::string_view relation : {"LT", "LE", "GT", "GE", "NE"}) {
        const std::size_t at = inside.find(relation);
        if (at == std::string::npos || at < 2 || inside[0] != '#') continue;
        const auto number = plain_number(std::string_view(inside).substr(1, at - 1));
        LoopCondition found{inside.substr(0, at), std::string(relation), inside.substr(at + 2),
                            number.value_or(first_system_variable)};
        if (found.number >= first_system_variable || found.limit.empty()) return std::nullopt;
        std::string_view limit = found.limit;
        const bool by_variable = limit.starts_with('#');
        if (limit.starts_with('#') || limit.starts_with('-')) limit.remove_prefix(1);
        const auto limit_number = plain_number(limit);
        if (!limit_number || (by_variable && *limit_number >= first_system_variable)) return std::nullopt;
        return found;
    }
    return std::nullopt;
}

std::optional<SetTo> set_above(const machine::Reader& reader, BlockPlace from, const std::string& variable) {
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(from, false); at && looked_at < most_blocks_of_loop;
         at = reader.neighbour(*at, false), ++looked_at) {
        const std::string statement = statement_of(reader, *at);
        if (statement.starts_with('O') || statement.starts_with(':')) return std::nullopt; // Another program
        if (!statement.starts_with(variable + "=")) continue;
        const auto number = signed_number(std::string_view(statement).substr(variable.size() + 1));
        return number ? std::optional(SetTo{*at, *number}) : std::nullopt;
    }
    return std::nullopt;
}

std::optional<double> loop_step(const machine::Reader& reader, BlockPlace place, const std::string& statement,
                                const std::string& variable) {
    std::string_view rest = statement;
    rest.remove_prefix(variable.size() + 1);
    if (rest.starts_with('[') && rest.ends_with(']')) rest = rest.substr(1, rest.size() - 2);
    if (!rest.starts_with(variable)) return std::nullopt;
    rest.remove_prefix(variable.size());
    if (rest.empty() || (rest[0] != '+' && rest[0] != '-')) return std::nullopt;
    const bool minus = rest[0] == '-';
    rest.remove_prefix(1);
    auto number = plain_number(rest);
    if (!number && rest.starts_with('#') && plain_number(rest.substr(1)))
        if (const auto set = set_above(reader, place, std::string(rest))) number = set->number;
    if (!number) return std::nullopt;
    return minus ? -*number : *number;
}

} // namespace turnwright::checks
