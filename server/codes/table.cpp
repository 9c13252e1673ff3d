// Puts the families together and finds rows by number or by meaning without searching.
#include "codes/families.h"
#include "text/letters.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace turnwright::codes {
namespace {
constexpr std::size_t system_count = 3;
constexpr std::size_t number_count = 2000; // G199.9 is the highest number looked up
constexpr std::size_t member_count = 128;
constexpr std::uint16_t no_row = 0xffff;

Systems bit_of(System system) {
    return static_cast<Systems>(1U << static_cast<unsigned>(system));
}

std::vector<Code> sorted_rows() {
    std::vector<Code> rows;
    for (auto family :
         {motion_codes(), setting_codes(), position_codes(), single_cycle_codes(), contour_cycle_codes(),
          peck_and_thread_cycle_codes(), drilling_codes(), program_codes(), miscellaneous_codes()})
        rows.insert(rows.end(), family.begin(), family.end());
    // Rows of one code and system keep the order of their family: the first is what find() answers.
    std::stable_sort(rows.begin(), rows.end(), [](const Code& left, const Code& right) {
        if (left.letter != right.letter) return left.letter < right.letter;
        if (left.number_tenths != right.number_tenths) return left.number_tenths < right.number_tenths;
        return (left.systems & -left.systems) < (right.systems & -right.systems);
    });
    return rows;
}

struct Table {
    std::vector<Code> rows = sorted_rows();
    std::array<std::array<std::array<std::uint16_t, number_count>, 2>, system_count> by_number;
    std::array<std::array<std::array<std::uint16_t, member_count>, group_count>, system_count> by_meaning;

    Table() {
        for (auto& letters : by_number)
            for (auto& numbers : letters) numbers.fill(no_row);
        for (auto& groups : by_meaning)
            for (auto& members : groups) members.fill(no_row);
        for (std::size_t row = 0; row < rows.size(); ++row) enter(row);
    }

private:
    void enter(std::size_t row) {
        const Code& code = rows[row];
        for (std::size_t system = 0; system < system_count; ++system) {
            if (!(code.systems & bit_of(static_cast<System>(system)))) continue;
            auto& number = by_number[system][code.letter == 'M' ? 1 : 0][code.number_tenths];
            if (number == no_row) number = static_cast<std::uint16_t>(row);
            auto& meaning =
                by_meaning[system][static_cast<std::size_t>(code.group())][member_of(code.meaning)];
            if (meaning == no_row) meaning = static_cast<std::uint16_t>(row);
        }
    }
};

const Table& table() {
    static const Table built;
    return built;
}

bool takes(const Code& code, char letter) {
    return std::any_of(code.words.begin(), code.words.end(),
                       [letter](const WordUse& word) { return word.letter == letter; });
}

/// How well a row's words go with the letters of a block: fewer strangers first, then more of the required
/// words there, then fewer missing. Letters that no row knows count for all alike.
struct Fit {
    int strangers = 0;
    int required_there = 0;
    int required_missing = 0;
    bool better_than(const Fit& other) const {
        if (strangers != other.strangers) return strangers < other.strangers;
        if (required_there != other.required_there) return required_there > other.required_there;
        return required_missing < other.required_missing;
    }
};

Fit fit(const Code& code, std::span<const char> letters) {
    Fit result;
    for (char letter : letters) result.strangers += !takes(code, letter);
    for (const WordUse& word : code.words) {
        if (!word.required) continue;
        const bool there = std::find(letters.begin(), letters.end(), word.letter) != letters.end();
        ++(there ? result.required_there : result.required_missing);
    }
    return result;
}
} // namespace

char system_letter(System system) {
    return static_cast<char>('A' + static_cast<int>(system));
}

std::span<const Code> all_codes() {
    return table().rows;
}

const Code* find(System system, char letter, double number) {
    letter = text::upper(letter);
    if (letter != 'G' && letter != 'M') return nullptr;
    if (!(number >= 0) || number > 199.9) return nullptr; // not a number fails the first test too
    const double tenths = number * 10;
    const double rounded = std::nearbyint(tenths);
    if (std::abs(tenths - rounded) > 1e-6) return nullptr;
    const std::uint16_t row = table().by_number[static_cast<std::size_t>(system)][letter == 'M' ? 1 : 0]
                                               [static_cast<std::size_t>(rounded)];
    return row == no_row ? nullptr : &table().rows[row];
}

const Code* find_with_words(System system, char letter, double number, std::span<const char> letters) {
    const Code* best = find(system, letter, number);
    if (!best) return nullptr;
    Fit best_fit = fit(*best, letters);
    const Code* end = table().rows.data() + table().rows.size();
    for (const Code* row = best + 1;
         row != end && row->letter == best->letter && row->number_tenths == best->number_tenths; ++row) {
        if (!(row->systems & bit_of(system))) continue;
        const Fit row_fit = fit(*row, letters);
        const bool knows_none = row_fit.strangers == static_cast<int>(letters.size());
        if (knows_none || !row_fit.better_than(best_fit)) continue;
        best = row;
        best_fit = row_fit;
    }
    return best;
}

const Code* code_for(System system, Meaning meaning) {
    const auto group = static_cast<std::size_t>(group_of(meaning));
    if (group >= group_count || member_of(meaning) >= member_count) return nullptr;
    const std::uint16_t row = table().by_meaning[static_cast<std::size_t>(system)][group][member_of(meaning)];
    if (row != no_row) return &table().rows[row];
    for (const Effect& effect : effects())
        if (effect.code.meaning == meaning) return &effect.code;
    return nullptr;
}

Meaning mirrored(Meaning meaning) {
    switch (meaning) {
    case Meaning::arc_clockwise:
        return Meaning::arc_counterclockwise;
    case Meaning::arc_counterclockwise:
        return Meaning::arc_clockwise;
    case Meaning::compensation_left:
        return Meaning::compensation_right;
    case Meaning::compensation_right:
        return Meaning::compensation_left;
    default:
        return meaning;
    }
}

std::string written_as(System system, Meaning meaning) {
    const Code* code = code_for(system, meaning);
    return code ? code->written() : std::string();
}

std::string Code::written() const {
    if (number_tenths == no_number) return {};
    const unsigned whole = number_tenths / 10U;
    const unsigned tenth = number_tenths % 10U;
    std::string text(1, letter);
    if (whole < 10) text += '0';
    text += std::to_string(whole);
    if (tenth != 0) {
        text += '.';
        text += static_cast<char>('0' + tenth);
    }
    return text;
}

bool is_length(Quantity quantity) {
    switch (quantity) {
    case Quantity::length_x:
    case Quantity::length_z:
    case Quantity::increment_x:
    case Quantity::increment_z:
    case Quantity::radius_x:
    case Quantity::length:
        return true;
    default:
        return false;
    }
}

bool reads_in_increments(Quantity quantity) {
    return is_length(quantity) || quantity == Quantity::length_units || quantity == Quantity::angle ||
           quantity == Quantity::angle_units;
}

bool is_whole(Quantity quantity) {
    switch (quantity) {
    case Quantity::length_units:
    case Quantity::angle_units:
    case Quantity::milliseconds:
    case Quantity::count:
    case Quantity::label:
    case Quantity::program:
    case Quantity::tool:
    case Quantity::offset_number:
    case Quantity::packed:
        return true;
    default:
        return false;
    }
}

const WordUse* word_use(const Code* code, char letter) {
    if (!code) return nullptr;
    for (const WordUse& word : code->words)
        if (word.letter == letter) return &word;
    return nullptr;
}

Quantity quantity_in(const Code* code, char letter) {
    if (const WordUse* word = word_use(code, letter)) return word->quantity;
    const Letter* row = codes::letter(letter);
    return row ? row->quantity : Quantity::none;
}

} // namespace turnwright::codes
