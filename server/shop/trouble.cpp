// What toml++ 3.3 takes for granted about its text and does not check itself.
#include "language/said.h"
#include "shop/reader.h"

namespace turnwright::shop {
namespace {
/// A dotted key becomes tables within tables, and leaving a very deep one runs out of stack. No key here has
/// more than three parts. Quotation marks are passed over, so that no text in them can hide a key.
std::optional<std::size_t> too_many_points(std::string_view line) {
    constexpr std::size_t most = 32;
    constexpr std::string_view enders = "=,[]{}#";
    std::size_t points = 0;
    for (std::size_t byte = 0; byte < line.size(); ++byte) {
        if (enders.find(line[byte]) != std::string_view::npos)
            points = 0;
        else if (line[byte] == '.' && ++points > most)
            return byte;
    }
    return std::nullopt;
}

bool may_start_key(char byte) {
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || (byte >= '0' && byte <= '9') ||
           byte == '_' || byte == '-' || byte == '"' || byte == '\'';
}

/// After [ or [[ the parser expects a name without looking. ] alone it does report.
std::optional<std::size_t> header_without_name(std::string_view line) {
    std::size_t byte = line.find_first_not_of(" \t");
    if (byte == std::string_view::npos || line[byte] != '[') return std::nullopt;
    const auto next = [&] { byte = line.find_first_not_of(" \t", byte + 1); };
    next();
    if (byte < line.size() && line[byte] == '[') next();
    if (byte >= line.size()) return line.size();
    if (may_start_key(line[byte]) || line[byte] == ']') return std::nullopt;
    return byte;
}
} // namespace

std::optional<Trouble> trouble_for_parser(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) {
        auto trouble = trouble_for_parser(text.substr(3));
        if (trouble && trouble->place.line == 0) trouble->place.column += 3;
        return trouble;
    }
    for (std::size_t line = 0;; ++line) {
        const std::size_t end = text.find('\n');
        const std::string_view here = text.substr(0, end);
        if (const auto column = too_many_points(here))
            return Trouble{{line, *column, 1},
                           said("This has too many points to be a key; nothing of the file is used.")};
        if (const auto column = header_without_name(here))
            return Trouble{
                {line, *column, 1},
                said("After [ a table's name is needed, such as [stock]; nothing of the file is used.")};
        if (end == std::string_view::npos) return std::nullopt;
        text.remove_prefix(end + 1);
    }
}

} // namespace turnwright::shop
