// What a machine's own codes do, as the shop file says it: "M03 M08", "clamp", a program that is called.
#include "language/said.h"
#include "shop/keys.h"
#include "text/letters.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace turnwright::shop {
namespace {
using codes::Group;
using codes::Meaning;

constexpr std::string_view nothing = "nothing";
constexpr double largest_program = 99999999;

std::string small_words(std::string_view text) {
    std::string words;
    for (const char each : text) {
        const bool parts = each == ',' || each == ';' || std::isspace(static_cast<unsigned char>(each));
        if (!parts)
            words += text::lower(each);
        else if (!words.empty() && words.back() != ' ')
            words += ' ';
    }
    while (words.ends_with(' ')) words.pop_back();
    return words;
}

/// Takes "quill out" from the front of the words; nullptr: none stands there.
const codes::Effect* take_effect(std::string_view& words) {
    const codes::Effect* longest = nullptr;
    for (const codes::Effect& effect : codes::effects()) {
        const std::size_t length = effect.words.size();
        const bool whole = words.size() == length || (words.size() > length && words[length] == ' ');
        if (words.starts_with(small_words(effect.words)) && whole &&
            (!longest || length > longest->words.size()))
            longest = &effect;
    }
    if (longest) words.remove_prefix(longest->words.size());
    return longest;
}

std::string all_effects() {
    std::string all;
    for (const codes::Effect& effect : codes::effects()) all += fmt::format("\"{}\", ", effect.words);
    return fmt::format("{}\"{}\"", all, nothing);
}

/// Needs no words of its own, moves nothing and turns no course.
bool may_be_effect(Meaning meaning, char letter) {
    switch (codes::group_of(meaning)) {
    case Group::motion:
    case Group::modal_call:
        return false;
    case Group::drill_cycle:
        return meaning == Meaning::drill_cycle_off;
    case Group::one_shot:
        return letter == 'M' && meaning != Meaning::subprogram_call && meaning != Meaning::subprogram_end &&
               meaning != Meaning::tool_change;
    default:
        return meaning != Meaning::datum_extended;
    }
}

/// Of one word of `does`; nullopt, and told: none that a code can have.
std::optional<Meaning> effect_of_code(const Machine& machine, const Value::Item& item, std::string_view word,
                                      Problems& problems) {
    const WrittenCode written = read_code(word);
    const codes::Code* code = codes::find(codes::System::A, written.letter, written.number);
    if (written.letter == 'G') {
        Value::Item alone = item;
        alone.text = fmt::format("G{}", word.substr(1));
        const auto meaning = meaning_of(machine, alone, problems);
        if (!meaning || may_be_effect(*meaning, 'G')) return meaning;
    } else if (written.letter == 'M' && code && may_be_effect(code->meaning, 'M')) {
        return code->meaning; // In every system the same
    }
    problems.add(item.place,
                 said("does = \"{}\" is not understood at \"{}\", so what the code does "
                      "stays unknown. Write codes of the table that need no words of their own, such "
                      "as \"M03 M08\" or \"G97 G40\", or one of {}.",
                      item.does.substr(0, 60), word.substr(0, 30), all_effects()));
    return std::nullopt;
}

bool read_does(const Machine& machine, const Value::Item& item, CodeEffect& effect, Problems& problems) {
    const std::string text = small_words(item.does);
    std::string_view words = text;
    if (words == nothing) return true;
    while (!words.empty()) {
        std::optional<Meaning> meaning;
        if (const codes::Effect* found = take_effect(words)) {
            meaning = found->code.meaning;
        } else {
            const std::string_view word = words.substr(0, words.find(' '));
            meaning = effect_of_code(machine, item, word, problems);
            if (!meaning) return false;
            words.remove_prefix(word.size());
        }
        const bool again = std::any_of(effect.does.begin(), effect.does.end(), [&](Meaning other) {
            const Group group = codes::group_of(other);
            return other == *meaning || (group == codes::group_of(*meaning) && group != Group::one_shot &&
                                         group != Group::coolant);
        });
        if (again) {
            problems.add(item.place,
                         said("does = \"{}\" says two things at once of the {}; what the "
                              "code does stays unknown.",
                              item.does.substr(0, 60), codes::group_title(codes::group_of(*meaning))));
            return false;
        }
        effect.does.push_back(*meaning);
        if (words.starts_with(' ')) words.remove_prefix(1);
    }
    return !effect.does.empty();
}

bool read_calls(const Value::Item& item, CodeEffect& effect, Problems& problems) {
    const WrittenCode program = read_code(item.calls);
    const bool is_program = program.letter == 'O' && program.number == std::floor(program.number) &&
                            program.number >= 1 && program.number <= largest_program;
    if (is_program)
        effect.calls = static_cast<std::int32_t>(program.number);
    else
        problems.add(item.place, said("calls = \"{}\" is no program; write its number, such as "
                                      "\"O9010\".",
                                      item.calls.substr(0, 60)));
    return is_program;
}
} // namespace

void read_effects(Machine& machine, char letter, const Value& codes, Problems& problems) {
    // The codes of a range stand behind each other, at one place: what is wrong with it is told once.
    const Value::Item* entry = nullptr;
    std::optional<CodeEffect> effect;
    for (const Value::Item& item : codes.items) {
        if (item.does.empty() && item.calls.empty()) continue;
        if (!entry || entry->place != item.place) {
            entry = &item;
            effect.emplace();
            if ((!item.does.empty() && !read_does(machine, item, *effect, problems)) ||
                (!item.calls.empty() && !read_calls(item, *effect, problems)))
                effect.reset();
        }
        if (effect) machine.effects.emplace(std::pair(letter, item.number), *effect);
    }
}

const CodeEffect* Machine::effect_of(char letter, double number) const {
    if (effects.empty() || !(number >= 0) || number > 99999 || number != std::floor(number)) return nullptr;
    const auto found = effects.find({letter, static_cast<int>(number)});
    return found == effects.end() ? nullptr : &found->second;
}

} // namespace turnwright::shop
