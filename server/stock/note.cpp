// The stock note, and the raw stock that a program starts from.
#include "stock/note.h"
#include "stock/stock.h"

#include <cctype>
#include <cstdlib>
#include <fmt/core.h>
#include <utility>

namespace turnwright::stock {

namespace {

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    for (char c : text) {
        bool blank = c == ' ' || c == '\t' || c == ',';
        if (!blank)
            word.push_back(static_cast<char>(std::toupper(static_cast<unsigned char>(c))));
        else if (!word.empty())
            words.push_back(std::exchange(word, {}));
    }
    if (!word.empty()) words.push_back(std::move(word));
    return words;
}

/// A plain number such as a program has: sign, digits, one point. Nothing else.
std::optional<double> number_in(std::string_view text) {
    std::size_t digits = 0, points = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (std::isdigit(static_cast<unsigned char>(text[i])))
            ++digits;
        else if (text[i] == '.')
            ++points;
        else if (i > 0 || (text[i] != '-' && text[i] != '+'))
            return std::nullopt;
    }
    if (digits == 0 || digits > 12 || points > 1) return std::nullopt;
    return std::strtod(std::string(text).c_str(), nullptr);
}

std::optional<double> letter_number(std::string_view word, char letter) {
    if (word.size() < 2 || word.front() != letter) return std::nullopt;
    return number_in(word.substr(1));
}

bool is_ours(const std::vector<std::string>& words) {
    if (words.size() < 2 || words[0] != "STOCK") return false;
    const std::string& second = words[1];
    if (second == "FACE" || second == "BORE" || second == "JAW" || second == "TAIL") return words.size() > 2;
    return (second.front() == 'D' || second.front() == 'L') && second.size() > 1 &&
           !std::isalpha(static_cast<unsigned char>(second[1]));
}

/// A name may be of several words: it ends where something else of the note begins.
bool starts_next(std::string_view word) {
    return word == "FACE" || word == "BORE" || word == "JAW" || word == "TAIL" || letter_number(word, 'D') ||
           letter_number(word, 'L');
}

class NoteReader {
public:
    explicit NoteReader(std::vector<std::string> words) : words_(std::move(words)) {}

    StockNote read() {
        while (at_ < words_.size() && note_.wrong.empty()) next();
        if (note_.wrong.empty()) check();
        return std::move(note_);
    }

private:
    void fail(std::string text) {
        if (note_.wrong.empty()) note_.wrong = std::move(text);
    }

    void put(std::optional<double>& into, std::string_view name, std::optional<double> value) {
        if (into) return fail(fmt::format("{} is there twice", name));
        into = value;
    }

    void next() {
        const std::string word = words_[at_++];
        if (word == "FACE") return put(note_.face, "FACE", number_behind("FACE"));
        if (word == "BORE") return put(note_.bore, "BORE", number_behind("BORE"));
        if (word == "JAW") return zone("JAW", note_.jaw_z, note_.jaw_diameter);
        if (word == "TAIL") return zone("TAIL", note_.tail_z, note_.tail_diameter);
        if (word == "MATERIAL") {
            while (at_ < words_.size() && !starts_next(words_[at_]))
                note_.material += (note_.material.empty() ? "" : " ") + words_[at_++];
            if (note_.material.empty()) fail("MATERIAL has no name after it");
            return;
        }
        for (char letter : {'D', 'L'}) {
            if (word.front() != letter) continue;
            auto value = letter_number(word, letter);
            if (!value) return fail(fmt::format("\"{}\" has no number that can be read", word));
            return put(letter == 'D' ? note_.diameter : note_.length, letter == 'D' ? "D" : "L", value);
        }
        fail(fmt::format("\"{}\" is none of D, L, FACE, BORE, JAW, TAIL and MATERIAL", word));
    }

    std::optional<double> number_behind(std::string_view name) {
        if (at_ < words_.size())
            if (auto value = number_in(words_[at_])) {
                ++at_;
                return value;
            }
        fail(fmt::format("{} has no number after it", name));
        return std::nullopt;
    }

    /// Z and, where it is there, D behind JAW or TAIL.
    void zone(std::string_view name, std::optional<double>& z, std::optional<double>& diameter) {
        auto value = at_ < words_.size() ? letter_number(words_[at_], 'Z') : std::nullopt;
        if (!value) return fail(fmt::format("{} needs its place after it, such as {} Z-80.", name, name));
        ++at_;
        put(z, name, value);
        if (at_ >= words_.size()) return;
        // The stock's own D stands before; behind JAW or TAIL it is theirs.
        if (auto d = letter_number(words_[at_], 'D'); d && note_.diameter) {
            ++at_;
            diameter = d;
            if (*d <= 0) fail(fmt::format("the diameter of {} must be above 0", name));
        }
    }

    void check() {
        if (!note_.diameter) return fail("D, the diameter, is missing");
        if (!note_.length) return fail("L, the length, is missing");
        if (*note_.diameter <= 0) return fail("D must be above 0");
        if (*note_.length <= 0) return fail("L must be above 0");
        if (note_.bore && *note_.bore < 0) return fail("BORE must not be below 0");
        if (note_.bore && *note_.bore >= *note_.diameter) return fail("BORE is not smaller than D");
        double front = note_.face.value_or(0), back = front - *note_.length;
        if (note_.jaw_z && (*note_.jaw_z >= front || *note_.jaw_z < back))
            return fail(
                fmt::format("the jaws at Z{} do not stand on the stock, which reaches from Z{} to Z{}",
                            *note_.jaw_z, back, front));
    }

    std::vector<std::string> words_;
    std::size_t at_ = 1;
    StockNote note_;
};

} // namespace

std::optional<StockNote> read_stock_note(std::string_view text) {
    std::vector<std::string> words = words_of(text);
    if (!is_ours(words)) return std::nullopt;
    return NoteReader(std::move(words)).read();
}

std::string with_lengths(std::string_view text, const std::function<std::string(double)>& written) {
    constexpr std::string_view between = " \t,()";
    std::string_view inside = text;
    if (!inside.empty() && inside.front() == '(') inside.remove_prefix(1);
    if (!inside.empty() && inside.back() == ')') inside.remove_suffix(1);
    const auto note = read_stock_note(inside);
    if (!note || !note->wrong.empty()) return std::string(text);
    std::string out;
    bool in_name = false; // Of the material
    for (std::size_t at = 0; at < text.size();) {
        if (between.find(text[at]) != std::string_view::npos) {
            out += text[at++];
            continue;
        }
        const std::string_view word = text.substr(at, text.find_first_of(between, at) - at);
        at += word.size();
        const std::string upper = words_of(word).front();
        in_name = upper == "MATERIAL" || (in_name && !starts_next(upper));
        const std::size_t letter = upper.find_first_of("DLZ") == 0 ? 1 : 0;
        const auto number = number_in(word.substr(letter));
        out +=
            in_name || !number ? std::string(word) : std::string(word.substr(0, letter)) + written(*number);
    }
    return out;
}

Region raw_stock(const Setup& setup) {
    return rectangle(setup.back_z_mm, setup.front_z_mm, setup.bore_radius_mm, setup.radius_mm);
}

} // namespace turnwright::stock
