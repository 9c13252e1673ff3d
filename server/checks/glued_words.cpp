#include "checks/glued_words.h"

#include "checks/foreign_words.h"
#include "text/letters.h"

#include <algorithm>

namespace turnwright::checks {
namespace {

using text::is_digit;
using GluedParts = std::vector<std::string>;

/// What a number beside the word is.
enum class Counts : std::uint8_t {
    nothing,  ///< No word of the trade
    size,     ///< A drill's, a tap's, a bar's: a whole one too
    size_too, ///< A size, or the number of the cut: whole ones tell nothing
};
struct Trade {
    std::string_view word;
    Counts counts = Counts::nothing;
    bool whole = false; ///< The whole word, not its front
    std::string_view written = {};
};
// Words of the trade, common practice, no source; those of other languages are in foreign_words.cpp.
constexpr Trade trades[] = {
    {"DRILL", Counts::size},
    {"CDRILL", Counts::size_too, true, "CENTRE DRILL"},
    {"C-DRILL", Counts::size_too, true, "CENTRE DRILL"},
    {"CTRDRILL", Counts::size_too, true, "CENTRE DRILL"},
    {"CENTERDRILL", Counts::size_too, true, "CENTRE DRILL"},
    {"CENTREDRILL", Counts::size_too, true, "CENTRE DRILL"},
    {"SPOTDRILL", Counts::size_too, true, "SPOT DRILL"},
    {"SPOT", Counts::size_too, true},
    {"CENTER", Counts::size_too, true},
    {"CENTRE", Counts::size_too, true},
    {"TAP", Counts::size, true},
    {"TAPPING", Counts::size, true},
    {"REAM", Counts::size},
    {"BORBAR", Counts::size, true, "BORING BAR"},
    {"BOREBAR", Counts::size, true, "BORING BAR"},
    {"BORINGBAR", Counts::size, true, "BORING BAR"},
    {"FINISHBORE", Counts::size_too, true, "FINISH BORE"},
    {"ROUGHBORE", Counts::size_too, true, "ROUGH BORE"},
    {"BORE", Counts::size_too, true},
    {"BORING", Counts::size_too, true},
    {"ROUGH", Counts::size_too},
    {"FINISH", Counts::size_too},
    {"TURN", Counts::size_too, true},
    {"TURNING", Counts::size_too, true},
    {"FACE", Counts::size_too, true},
    {"FACING", Counts::size_too, true},
    {"FACEGROOVE", Counts::size_too, true, "FACE GROOVE"},
    {"GROOVE", Counts::size_too, true},
    {"GROOVING", Counts::size_too, true},
    {"PARTOFF", Counts::size, true, "PART OFF"},
    {"PARTINGOFF", Counts::size, true, "PARTING OFF"},
    {"PARTING", Counts::size, true},
    {"CUTOFF", Counts::size, true},
    {"CUT-OFF", Counts::size, true},
    {"THREAD", Counts::size_too, true},
    {"THREADING", Counts::size_too, true},
    {"THRD", Counts::size_too, true, "THREAD"},
    {"KNURL", Counts::size_too},
    {"CNMG", Counts::size_too, true},
    {"DNMG", Counts::size_too, true},
    {"VNMG", Counts::size_too, true},
    {"WNMG", Counts::size_too, true},
};

Trade trade_of(std::string_view word) {
    for (const Trade& trade : trades)
        if (trade.whole ? word == trade.word : word.starts_with(trade.word)) return trade;
    if (word.size() < 4 || !std::all_of(word.begin(), word.end(), text::is_letter)) return {};
    switch (foreign_kind(word)) {
    case shop::ToolKind::unknown:
        return {};
    case shop::ToolKind::drill:
    case shop::ToolKind::tap:
    case shop::ToolKind::reamer:
    case shop::ToolKind::boring:
    case shop::ToolKind::parting:
        return {word, Counts::size};
    default:
        return {word, Counts::size_too};
    }
}

void add_trade(const Trade& trade, std::string_view word, GluedParts& parts) {
    const std::string_view written = trade.written.empty() ? word : trade.written;
    for (std::size_t at = 0; at < written.size();) {
        const std::size_t end = std::min(written.find(' ', at), written.size());
        parts.emplace_back(written.substr(at, end - at));
        at = end + 1;
    }
}

/// Digits with a point or a fraction in front of `end`.
std::size_t glued_number_end(std::string_view word, std::size_t at) {
    while (at < word.size() && (is_digit(word[at]) || word[at] == '.' || word[at] == '/' || word[at] == '-'))
        ++at;
    return at;
}
bool begins_glued_number(std::string_view word) {
    return !word.empty() && (is_digit(word[0]) ||
                             (word.size() > 1 && (word[0] == '.' || word[0] == '#') && is_digit(word[1])));
}
std::size_t letters_end(std::string_view word) {
    std::size_t at = 0;
    while (at < word.size() && text::is_letter(word[at])) ++at;
    return at;
}

/// Words that end in a letter which elsewhere is that of a radius, a diameter or a thread.
bool keeps_last_letter(std::string_view word) {
    for (const std::string_view end :
         {"BOHRER", "STECHER", "REAMER", "CENTER", "CENTRER", "FILETER", "ALESOIR", "ESCARIADOR", "RANURAR",
          "ROSCAR", "TRONZAR", "TALADRAR", "THREAD", "THRD", "TARAUD", "REAM"})
        if (word.ends_with(end)) return true;
    return false;
}

/// The letters of a size behind its number, and what follows them: "MM", "UNC", "H7".
constexpr std::string_view size_letters[] = {"MM", "IN", "INCH", "UNC", "UNF", "NPT", "HSS"};
constexpr std::string_view size_words[] = {"WIDE", "BREIT", "DEEP", "LONG", "DIA", "DEG", "HSS"};

bool split_glued(std::string_view word, GluedParts& parts);

/// A number, and a word of the trade behind it: "8.5MMDRILL", "M6TAP", "3WIDE".
bool split_size_first(std::string_view word, GluedParts& parts) {
    const bool thread = word.size() > 1 && word[0] == 'M' && is_digit(word[1]);
    if (!thread && !begins_glued_number(word)) return false;
    std::size_t at = glued_number_end(word, thread || word[0] == '#' ? 1 : 0);
    if (thread && at < word.size() && word[at] == 'X') at = glued_number_end(word, at + 1);
    // A hole's fit (ISO 286-1): "12H7REAMER"
    if (!thread && at + 2 < word.size() &&
        std::string_view("EFGHKMNP").find(word[at]) != std::string_view::npos && is_digit(word[at + 1]))
        for (at += 2; at < word.size() && is_digit(word[at]);) ++at;
    std::string_view rest = word.substr(at);
    if (rest.empty() || letters_end(rest) != rest.size()) return false;
    const auto add = [&](std::string_view behind) {
        parts.emplace_back(word.substr(0, word.size() - behind.size()));
        const Trade trade = trade_of(behind);
        add_trade(trade, behind, parts);
        return true;
    };
    const auto is_last = [](std::string_view behind) {
        return behind == "WIDE" || behind == "BREIT" || trade_of(behind).counts != Counts::nothing;
    };
    if (is_last(rest)) return add(rest);
    for (const std::string_view unit : size_letters)
        if (rest.starts_with(unit) && rest.size() > unit.size() + 2 && is_last(rest.substr(unit.size())))
            return add(rest.substr(unit.size()));
    return false;
}

/// A size behind a tool: "8.5", "R0.8", "D8.5MM", "M20X1.5", "3WIDE", "#7".
bool add_glued_size(const Trade& trade, char letter, std::string_view size, GluedParts& parts) {
    if (!begins_glued_number(size)) return false;
    const std::size_t end = glued_number_end(size, size[0] == '#' ? 1 : 0);
    const std::string_view number = size.substr(0, end), behind = size.substr(end);
    const std::string with_letter = (letter ? std::string(1, letter) : std::string()) + std::string(number);
    if (letter == 'M') { // "M6", "M20X1.5"
        if (!behind.empty() && !(behind[0] == 'X' && begins_glued_number(behind.substr(1)))) return false;
        parts.push_back(with_letter + std::string(behind));
        return true;
    }
    if (behind.empty()) {
        const bool whole = number.find_first_not_of("0123456789") == std::string_view::npos;
        const bool may_count =
            !letter && whole && (trade.counts == Counts::size_too || (number.size() == 1 && number[0] < '3'));
        if (may_count) parts.emplace_back(",");
        parts.push_back(with_letter);
        return true;
    }
    for (const std::string_view word : size_words)
        if (behind == word) {
            parts.push_back(with_letter);
            parts.emplace_back(behind);
            return true;
        }
    // "1/2-13UNC", "20H7", "8.5X118DEG" stay as they stand.
    parts.push_back(with_letter + std::string(behind));
    return behind.size() <= 4;
}

bool split_tool_first(std::string_view word, GluedParts& parts) {
    std::size_t end = letters_end(word);
    if (word.starts_with("CUT-OFF")) end = 7;
    if (word.starts_with("C-DRILL")) end = 7;
    std::string_view name = word.substr(0, end), rest = word.substr(end);
    if (rest.empty()) {
        const Trade trade = trade_of(name);
        if (trade.written.empty() || trade.written == name) return false;
        add_trade(trade, name, parts);
        return true;
    }
    if (name.size() < 3) return false;
    const bool linked = (rest[0] == '-' || rest[0] == '_') && begins_glued_number(rest.substr(1));
    if (linked) rest.remove_prefix(1);
    char letter = 0;
    const char last = name.back();
    if (!linked && (last == 'R' || last == 'D' || last == 'M') && !keeps_last_letter(name) &&
        trade_of(name.substr(0, name.size() - 1)).counts != Counts::nothing) {
        letter = last;
        name.remove_suffix(1);
    } else if (!linked && name.size() > 6 && name.ends_with("DIA")) {
        letter = 'D';
        name.remove_suffix(3);
    }
    const Trade trade = trade_of(name);
    if (trade.counts == Counts::nothing) return false;
    // "CNMG120408" is the name of an insert, whole.
    if (name.ends_with("NMG") && letter != 'R') return false;
    GluedParts found;
    add_trade(trade, name, found);
    if (!add_glued_size(trade, letter, rest, found)) return false;
    parts.insert(parts.end(), found.begin(), found.end());
    return true;
}

/// "T02DRILL8.5", "T5-FACE": the station, and a word of the trade right behind it.
bool split_station_first(std::string_view word, GluedParts& parts) {
    if (word[0] != 'T') return false;
    std::size_t end = 1;
    while (end < word.size() && is_digit(word[end])) ++end;
    if (end == 1 || end > 5 || end == word.size()) return false;
    std::string_view rest = word.substr(end);
    if ((rest[0] == '-' || rest[0] == '_') && rest.size() > 1) rest.remove_prefix(1);
    GluedParts behind;
    if (!split_glued(rest, behind)) {
        if (trade_of(rest).counts == Counts::nothing) return false;
        behind.emplace_back(rest);
    }
    parts.emplace_back(word.substr(0, end));
    parts.insert(parts.end(), behind.begin(), behind.end());
    return true;
}

bool split_glued(std::string_view word, GluedParts& parts) {
    // "ODROUGH", "IDBORE"
    if (word.starts_with("OD") || word.starts_with("ID")) {
        const std::string_view rest = word.substr(2);
        GluedParts behind;
        if (!split_glued(rest.starts_with('-') ? rest.substr(1) : rest, behind) && rest.size() > 2 &&
            trade_of(rest).counts != Counts::nothing)
            behind.emplace_back(rest);
        if (behind.empty()) return false;
        parts.emplace_back(word.substr(0, 2));
        parts.insert(parts.end(), behind.begin(), behind.end());
        return true;
    }
    return !word.empty() && (split_station_first(word, parts) || split_size_first(word, parts) ||
                             split_tool_first(word, parts));
}

} // namespace

void add_unglued(std::string_view word, std::vector<std::string>& words) {
    constexpr std::size_t longest = 40; // No tool has a longer name
    GluedParts parts;
    if (word.size() >= 4 && word.size() <= longest && split_glued(word, parts))
        words.insert(words.end(), parts.begin(), parts.end());
    else
        words.emplace_back(word);
}

} // namespace turnwright::checks
