#include "checks/noted_words.h"

#include "checks/glued_words.h"
#include "motion/motion.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>

namespace turnwright::checks {

namespace {

/// Letters of Latin-1 without their marks, from 0xC0 to 0xDE; the small ones stand 0x20 higher.
constexpr std::string_view without_marks = "AAAAAAACEEEEIIIIDNOOOOO*DUUUUY*";

/// Upper-case ASCII of UTF-8 or Latin-1; what is neither letter, digit nor sign becomes a blank.
std::string plain_upper(std::string_view note) {
    std::string out;
    for (std::size_t i = 0; i < note.size(); ++i) {
        auto byte = static_cast<unsigned char>(note[i]);
        if (byte < 0x80) {
            out += static_cast<char>(std::toupper(byte));
            continue;
        }
        const bool pair = i + 1 < note.size() && (static_cast<unsigned char>(note[i + 1]) & 0xC0) == 0x80;
        if ((byte == 0xC2 || byte == 0xC3) && pair)
            byte =
                static_cast<unsigned char>((byte & 3) << 6 | (static_cast<unsigned char>(note[++i]) & 0x3F));
        if (byte == 0xD7) {
            out += 'X';
        } else if (byte >= 0xC0 && byte != 0xF7) {
            const std::size_t letter = (byte & 0xDF) - std::size_t{0xC0};
            out += byte == 0xDF ? std::string("SS")
                                : std::string(1, without_marks[std::min<std::size_t>(letter, 30)]);
        } else {
            out += ' ';
        }
    }
    return out;
}

/// "1 1/4 DRILL" is one size; in "T2 1/4 DRILL" and "TOOL 2 1/4 DRILL" the first number counts tools.
void join_fractions(std::vector<std::string>& words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        const std::string &whole = words[i], &part = words[i + 1];
        if (!std::all_of(whole.begin(), whole.end(), is_digit) || whole.empty() || whole.size() > 2 ||
            std::stoi(whole) < 1 || std::stoi(whole) > 12 || part.find('/') == std::string::npos ||
            part.find('-') != std::string::npos || !size_in(part, {}))
            continue;
        if (i > 0)
            for (const std::string_view counter : {"T", "TOOL", "NO", "OP", "#", "STATION", "POS", "REV", "N",
                                                   "STEP", "SIDE", "OUTIL", "WERKZEUG", "HOLE", "HOLES", "X"})
                if (words[i - 1] == counter) return;
        words[i] += '-' + part;
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    }
}

} // namespace

std::optional<double> plain_number(std::string_view text) {
    if (text.empty() || text == "." || std::count(text.begin(), text.end(), '.') > 1 ||
        !std::all_of(text.begin(), text.end(), [](char c) { return is_digit(c) || c == '.'; }))
        return std::nullopt;
    return std::strtod(std::string(text).c_str(), nullptr);
}

NotedWords noted_words(std::string_view note) {
    NotedWords out;
    std::string word;
    const auto end = [&] {
        while (word.size() > 1 && (word.back() == '.' || word.back() == '-') &&
               !is_digit(word[word.size() - 2]))
            word.pop_back();
        if (!word.empty() && word != "-") add_unglued(word, out.words);
        word.clear();
    };
    const std::string text = plain_upper(note);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool in_number = i > 0 && i + 1 < text.size() && is_digit(text[i - 1]) && is_digit(text[i + 1]);
        if (c == ',' && in_number) {
            word += '.';
        } else if (c == ',' || c == ';' || c == '+' || c == '(' || c == ')' || (c == '/' && !in_number)) {
            end();
            out.words.emplace_back(",");
        } else if (std::isspace(static_cast<unsigned char>(c)) || c == '=' || c == ':' || c == '\'') {
            end();
        } else if (c == '"') {
            word += "IN";
            end();
        } else {
            word += c;
        }
    }
    end();
    join_fractions(out.words);
    return out;
}

std::optional<double> Size::mm(std::optional<double> mm_per_unit) const {
    if (unit == Unit::mm) return number;
    if (unit == Unit::inch) return number * motion::mm_per_inch;
    if (!mm_per_unit) return std::nullopt;
    return number * *mm_per_unit;
}

std::optional<Size> size_in(std::string_view word, std::string_view next) {
    Size size;
    if (word.ends_with("MM")) {
        size.unit = Size::Unit::mm;
        word.remove_suffix(2);
    } else if (word.ends_with("IN")) {
        size.unit = Size::Unit::inch;
        word.remove_suffix(2);
    } else if (next == "MM" || next == "MM.") {
        size.unit = Size::Unit::mm;
    } else if (next == "IN" || next == "IN." || next == "INCH" || next == "PO" || next == "POUCE" ||
               next == "POUCES" || next == "ZOLL" || next == "PULGADA" || next == "PULGADAS" ||
               next == "POLLICE" || next == "POLLICI") {
        size.unit = Size::Unit::inch;
    }
    double whole = 0;
    if (const std::size_t slash = word.find('/'); slash != std::string_view::npos) {
        std::string_view top = word.substr(0, slash);
        if (const std::size_t dash = top.find('-'); dash != std::string_view::npos) {
            const auto before = plain_number(top.substr(0, dash));
            if (!before) return std::nullopt;
            whole = *before;
            top = top.substr(dash + 1);
        }
        const auto above = plain_number(top), below = plain_number(word.substr(slash + 1));
        if (!above || !below || *above <= 0 || *above >= *below) return std::nullopt;
        // Inches are parted by halves alone.
        if (*below != 2 && *below != 4 && *below != 8 && *below != 16 && *below != 32 && *below != 64)
            return std::nullopt;
        if (size.unit == Size::Unit::mm) return std::nullopt;
        size.number = whole + *above / *below;
        size.unit = Size::Unit::inch;
        return size;
    }
    const auto number = plain_number(word);
    if (!number || *number <= 0) return std::nullopt;
    size.number = *number;
    return size;
}

} // namespace turnwright::checks
