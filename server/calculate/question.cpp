// A note as a question.
#include "calculate/calculate.h"
#include "language/said.h"

#include "text/letters.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

namespace {

std::vector<std::string> words_in(std::string_view text) {
    std::vector<std::string> words;
    bool open = false;
    for (const char c : text) {
        if (text::is_blank(c)) {
            open = false;
            continue;
        }
        if (!open) words.emplace_back();
        open = true;
        words.back() += text::upper(c);
    }
    return words;
}

/// All of the text, a decimal comma as a point.
std::optional<double> number_in(std::string_view text) {
    std::string digits(text);
    for (char& c : digits)
        if (c == ',') c = '.';
    if (digits.starts_with('+')) digits.erase(0, 1);
    double value = 0;
    const char* const end = digits.data() + digits.size();
    const auto [at, bad] = std::from_chars(digits.data(), end, value, std::chars_format::fixed);
    if (digits.empty() || bad != std::errc{} || at != end || !std::isfinite(value)) return std::nullopt;
    return value;
}

bool is_length(Measure measure) {
    return measure == Measure::length || measure == Measure::diameter || measure == Measure::position ||
           measure == Measure::feed;
}

class Reader {
public:
    Reader(const Calculator& calculator, double mm_per_unit)
        : calculator_(calculator), mm_per_unit_(mm_per_unit) {
        question_.calculator = &calculator;
    }

    Read read(const std::vector<std::string>& words) {
        for (std::size_t i = 1; i < words.size() && trouble_.empty(); ++i) {
            if (words[i] == "=") {
                question_.answered = true;
                break;
            }
            i += take(words[i], i + 1 < words.size() ? words[i + 1] : std::string{});
        }
        for (const Place& place : calculator_.places)
            if (trouble_.empty() && place.required && !question_.has(place.word))
                trouble_ = said("{} lacks {}. It is written so: {}", calculator_.name,
                                place.word.empty() ? std::string_view(place.meaning) : place.word,
                                form_of(calculator_));
        if (!trouble_.empty()) return {std::nullopt, trouble_};
        return {std::move(question_), {}};
    }

private:
    /// How many words behind this one belong to it.
    std::size_t take(const std::string& word, const std::string& next) {
        std::size_t letters = 0;
        while (letters < word.size() && text::is_letter(word[letters])) ++letters;
        const std::string_view head = std::string_view(word).substr(0, letters);
        std::string_view rest = std::string_view(word).substr(letters);
        const Place* bare = nullptr;
        for (const Place& place : calculator_.places) {
            if (place.word.empty()) bare = &place;
            if (place.word.empty() || place.word != head) continue;
            if (place.measure == Measure::sign && rest.empty()) {
                keep(place, 1, {});
                return 0;
            }
            const bool behind = rest.empty();
            if (const auto value = value_in(place, behind ? std::string_view(next) : rest)) {
                keep(place, *value, {});
                return behind ? 1 : 0;
            }
            if (!behind) continue;
            trouble_ = said("After {} of {} stands no number.", head, calculator_.name);
            return 0;
        }
        if (bare && bare->measure == Measure::name && (question_.given.empty() || is_name_open())) {
            if (question_.given.empty())
                question_.given.push_back({bare, 0, word});
            else
                question_.given.back().text += ' ' + word;
            return 0;
        }
        if (const auto value = bare ? value_in(*bare, word) : std::nullopt) {
            keep(*bare, *value, {});
            return 0;
        }
        trouble_ =
            said("{} is no place of {}. It is written so: {}", word, calculator_.name, form_of(calculator_));
        return 0;
    }
    bool is_name_open() const { return question_.given.back().place->measure == Measure::name; }

    static std::optional<double> value_in(const Place& place, std::string_view text) {
        // A taper 1:10 is its 10.
        if (place.measure == Measure::number && text.starts_with("1:")) text.remove_prefix(2);
        return number_in(text);
    }

    void keep(const Place& place, double value, std::string text) {
        constexpr double farthest = 1e5;
        if (question_.count(place.word) >= place.most) {
            trouble_ = said("{} stands in {} more than {}.", place.word, calculator_.name,
                            place.most == 1   ? said("once")
                            : place.most == 2 ? said("twice")
                                              : said("that often"));
            return;
        }
        const bool least_zero = place.measure == Measure::diameter;
        if (std::abs(value) > farthest ||
            (place.measure != Measure::position && (least_zero ? value < 0 : value <= 0))) {
            trouble_ = said("{} {} of {} is no size that can be.", place.word, value, calculator_.name);
            return;
        }
        // ft/min as 1 ft = 0.3048 m (exact)
        const double scale = is_length(place.measure)                                   ? mm_per_unit_
                             : place.measure == Measure::surface && mm_per_unit_ != 1.0 ? 0.3048
                                                                                        : 1;
        question_.given.push_back({&place, value * scale, std::move(text)});
    }

    const Calculator& calculator_;
    double mm_per_unit_;
    Question question_;
    std::string trouble_;
};

} // namespace

std::optional<double> Question::value(std::string_view word, std::size_t nth) const {
    for (const Given& one : given)
        if (one.place->word == word && nth-- == 0) return one.value;
    return std::nullopt;
}
std::string Question::name() const {
    return !given.empty() && given.front().place->measure == Measure::name ? given.front().text
                                                                           : std::string{};
}
std::size_t Question::count(std::string_view word) const {
    std::size_t found = 0;
    for (const Given& one : given) found += one.place->word == word;
    return found;
}
bool Question::has(std::string_view word) const {
    return count(word) > 0;
}

Read read_question(std::string_view text, double mm_per_unit) {
    constexpr std::size_t longest = 2000;
    if (text.size() > longest) return {};
    const std::vector<std::string> words = words_in(text);
    const Calculator* calculator = words.empty() ? nullptr : find(words.front());
    if (!calculator) return {};
    return Reader(*calculator, mm_per_unit).read(words);
}

} // namespace turnwright::calculate
