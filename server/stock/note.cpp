// The stock note, and the raw stock that a program starts from.
#include "stock/note.h"
#include "language/said.h"
#include "stock/stock.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cctype>
#include <cmath>
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
    for (std::string& one : words) {
        if (one == "JAWS") one = "JAW";
        if (one == "TAILSTOCK") one = "TAIL";
    }
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

bool is_zone(std::string_view word) {
    return word == "JAW" || word == "TAIL" || word == "QUILL" || word == "STEADY";
}

bool is_ours(const std::vector<std::string>& words) {
    if (words.size() < 2 || words[0] != "STOCK") return false;
    const std::string& second = words[1];
    if (second == "FACE" || second == "BORE" || is_zone(second)) return words.size() > 2;
    return (second.front() == 'D' || second.front() == 'L') && second.size() > 1 &&
           !std::isalpha(static_cast<unsigned char>(second[1]));
}

/// A name may be of several words: it ends where something else of the note begins.
bool starts_next(std::string_view word) {
    return word == "FACE" || word == "BORE" || is_zone(word) || letter_number(word, 'D') ||
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
        if (into) return fail(said("{} is there twice", name));
        into = value;
    }

    void next() {
        const std::string word = words_[at_++];
        if (word == "FACE") return put(note_.face, "FACE", number_behind("FACE"));
        if (word == "BORE") return put(note_.bore, "BORE", number_behind("BORE"));
        if (word == "JAW") return zone("JAW", note_.jaw_z, note_.jaw_diameter);
        if (word == "TAIL") return zone("TAIL", note_.tail_z, note_.tail_diameter);
        if (word == "QUILL") return zone("QUILL", note_.quill_z, note_.quill_diameter);
        if (word == "STEADY") {
            zone("STEADY", note_.steady_z, note_.steady_diameter, &note_.steady_width);
            if (!note_.steady_width || !note_.steady_diameter)
                fail(said("STEADY needs its middle, width and diameter, such as STEADY Z-60. W20. D120."));
            return;
        }
        if (word == "MATERIAL") {
            while (at_ < words_.size() && !starts_next(words_[at_]))
                note_.material += (note_.material.empty() ? "" : " ") + words_[at_++];
            if (note_.material.empty()) fail(said("MATERIAL has no name after it"));
            return;
        }
        // "D50 X 124": by its length.
        if (word == "X" && note_.diameter) return put(note_.length, "L", number_behind("X"));
        if (const auto length = letter_number(word, 'X'); length && note_.diameter)
            return put(note_.length, "L", length);
        for (char letter : {'D', 'L'}) {
            if (word.front() != letter) continue;
            auto value = letter_number(word, letter);
            if (!value) return fail(said("\"{}\" has no number that can be read", word));
            return put(letter == 'D' ? note_.diameter : note_.length, letter == 'D' ? "D" : "L", value);
        }
        fail(said("\"{}\" is none of D, L, FACE, BORE, JAW, TAIL, QUILL, STEADY and MATERIAL", word));
    }

    std::optional<double> number_behind(std::string_view name) {
        if (at_ < words_.size())
            if (auto value = number_in(words_[at_])) {
                ++at_;
                return value;
            }
        fail(said("{} has no number after it", name));
        return std::nullopt;
    }

    /// Z and, where it is there, D behind JAW or TAIL; of a steady rest W between them.
    void zone(std::string_view name, std::optional<double>& z, std::optional<double>& diameter,
              std::optional<double>* width = nullptr) {
        auto value = at_ < words_.size() ? letter_number(words_[at_], 'Z') : std::nullopt;
        if (!value) return fail(said("{} needs its place after it, such as {} Z-80.", name, name));
        ++at_;
        put(z, name, value);
        if (width && at_ < words_.size())
            if (auto w = letter_number(words_[at_], 'W')) {
                ++at_;
                *width = w;
                if (*w <= 0) fail(said("the width of {} must be above 0", name));
            }
        if (at_ >= words_.size()) return;
        // The stock's own D stands before; behind JAW or TAIL it is theirs.
        if (auto d = letter_number(words_[at_], 'D'); d && note_.diameter) {
            ++at_;
            diameter = d;
            if (*d <= 0) fail(said("the diameter of {} must be above 0", name));
        }
    }

    void check() {
        if (!note_.diameter) return fail(said("D, the diameter, is missing"));
        if (!note_.length) return fail(said("L, the length, is missing"));
        if (*note_.diameter <= 0) return fail(said("D must be above 0"));
        if (*note_.length <= 0) return fail(said("L must be above 0"));
        if (note_.bore && *note_.bore < 0) return fail(said("BORE must not be below 0"));
        if (note_.bore && *note_.bore >= *note_.diameter) return fail(said("BORE is not smaller than D"));
        double front = note_.face.value_or(0), back = front - *note_.length;
        if (note_.jaw_z && (*note_.jaw_z >= front || *note_.jaw_z < back))
            return fail(said("the jaws at Z{} do not stand on the stock, which reaches from Z{} to Z{}",
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
    // "STOCK D95 X 30 BRONZE RING": of a shop's own way of writing nothing is wrong.
    const bool in_other_form = words.size() > 3 && words[2].front() == 'X';
    StockNote note = NoteReader(std::move(words)).read();
    if (in_other_form && !note.usable()) return std::nullopt;
    return note;
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
        const std::size_t letter = upper.find_first_of("DLXZW") == 0 ? 1 : 0;
        const auto number = number_in(word.substr(letter));
        out +=
            in_name || !number ? std::string(word) : std::string(word.substr(0, letter)) + written(*number);
    }
    return out;
}

Region raw_stock(const Setup& setup) {
    return rectangle(setup.back_z_mm, setup.front_z_mm, setup.bore_radius_mm, setup.radius_mm);
}

namespace {

/// Jaws whose diameter is not given stand out at least this far from the stock.
constexpr double least_jaw_mm = 5;
/// Half the angle of a centre's point (common practice, no source).
constexpr double centre_half_angle_deg = 30;

/// A centre with its point, as far back as it is known to be there.
Region centre_of(const Setup& setup) {
    const double radius = setup.tail_radius_mm.value_or(least_centre_mm), tip = *setup.tail_z_mm;
    const double shoulder = tip + radius / std::tan(centre_half_angle_deg * motion::pi / 180);
    const double back = std::max(setup.quill_z_mm.value_or(3 * reach_mm), shoulder);
    const Point outline[] = {
        {0, tip}, {radius, shoulder}, {radius, back}, {-radius, back}, {-radius, shoulder}};
    return polygon(outline);
}

} // namespace

std::vector<Zone> zones_of(const Setup& setup) {
    std::vector<Zone> zones;
    const double far = 3 * reach_mm;
    const auto add = [&](Body body, Region area) {
        if (!area.empty()) zones.push_back({body, std::move(area)});
    };
    if (setup.jaw_z_mm)
        add(Body::jaws, rectangle(-far, *setup.jaw_z_mm, setup.radius_mm,
                                  std::max(setup.jaw_radius_mm.value_or(0), setup.radius_mm + least_jaw_mm)));
    if (setup.tail_z_mm) add(Body::tailstock, centre_of(setup));
    if (setup.quill_z_mm && setup.quill_radius_mm)
        add(Body::quill, rectangle(*setup.quill_z_mm, far, -reach_mm, *setup.quill_radius_mm));
    if (setup.tail_body_z_mm && setup.tail_body_radius_mm)
        add(Body::tailstock_body,
            rectangle(*setup.tail_body_z_mm, far, -reach_mm, *setup.tail_body_radius_mm));
    // What runs in it turns between its rollers, which reach down to the stock as it is there.
    if (setup.steady_z_mm && setup.steady_width_mm && setup.steady_radius_mm)
        add(Body::steady, rectangle(*setup.steady_z_mm - *setup.steady_width_mm / 2,
                                    *setup.steady_z_mm + *setup.steady_width_mm / 2, setup.radius_mm,
                                    *setup.steady_radius_mm));
    return zones;
}

} // namespace turnwright::stock
