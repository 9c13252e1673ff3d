// What a code of one machine's builder is on another machine: by what it does, then by its name.
#include "features/transfer.h"
#include "language/said.h"

#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using shop::CodeEffect;
using shop::Machine;

namespace {

const std::string* name_of(const Machine& machine, char letter, int number) {
    const auto& names = letter == 'M' ? machine.m_codes : machine.g_codes;
    const auto found = names.find(number);
    return found == names.end() || found->second.empty() ? nullptr : &found->second;
}

std::string small_letters(std::string_view text) {
    std::string small;
    for (const char each : text)
        if (each != ' ' && each != '-' && each != '_') small += text::lower(each);
    return small;
}

std::string written_code(char letter, int number) {
    return fmt::format("{}{:02}", letter, number);
}

bool same_effect(const CodeEffect& a, const CodeEffect& b) {
    return a.calls == b.calls &&
           std::is_permutation(a.does.begin(), a.does.end(), b.does.begin(), b.does.end());
}

std::string sense(const Machine& machine, char letter, int number) {
    if (const std::string* name = name_of(machine, letter, number)) return readable(*name);
    const CodeEffect* effect = machine.effect_of(letter, number);
    std::string text;
    if (effect)
        for (const Meaning meaning : effect->does)
            text += (text.empty() ? "" : ", ") + std::string(codes::title(meaning));
    if (const codes::Code* code = effect ? nullptr : codes::find(*machine.system, letter, number))
        text = codes::title(code->meaning);
    return text;
}

/// A code of the table, where the machine has given its number no other sense.
const codes::Code* of_table(const Machine& machine, codes::System system, char letter, int number) {
    if (machine.effect_of(letter, number)) return nullptr;
    const codes::Code* code = codes::find(system, letter, number);
    return code && code->meaning != Meaning::machine_specific ? code : nullptr;
}

/// Codes of the machine's own with this effect: the same number, else the same name, else the lowest.
std::string own_with_effect(const Machine& machine, const CodeEffect& wanted, char letter, int number,
                            const std::string* name) {
    std::string best;
    int best_rank = 0;
    for (const auto& [code, effect] : machine.effects) {
        if (!same_effect(effect, wanted)) continue;
        const std::string* its = name_of(machine, code.first, code.second);
        const bool same_name = name && its && small_letters(*name) == small_letters(*its);
        // "nothing" says only that none of what is followed happens: the name tells what does.
        if (wanted.does.empty() && wanted.calls < 0 && !same_name) continue;
        const int rank = code == std::pair(letter, number) ? 3 : same_name ? 2 : 1;
        if (rank > best_rank) {
            best = written_code(code.first, code.second);
            best_rank = rank;
        }
    }
    return best;
}

/// The codes of the table that do this one after the other; empty where one of them has none there.
std::string table_codes(const Machine& machine, const CodeEffect& wanted) {
    std::string text;
    if (wanted.calls >= 0) return text;
    for (const Meaning meaning : wanted.does) {
        const codes::Code* code = codes::code_for(*machine.system, meaning);
        if (!code || code->number_tenths == codes::no_number) return {};
        if (!of_table(machine, *machine.system, code->letter, code->number_tenths / 10)) return {};
        text += (text.empty() ? "" : " ") + code->written();
    }
    return text;
}

std::string own_with_name(const Machine& machine, char letter, int number, const std::string& name) {
    const auto& names = letter == 'M' ? machine.m_codes : machine.g_codes;
    std::string best;
    for (const auto& [other, its] : names) {
        if (small_letters(its) != small_letters(name)) continue;
        if (best.empty() || other == number) best = written_code(letter, other);
    }
    return best;
}

} // namespace

Counterpart counterpart_of(char letter, int number, const Machine& from, const Machine& to) {
    const std::string* name = name_of(from, letter, number);
    const CodeEffect* effect = from.effect_of(letter, number);
    // G codes of the table have their number of the other system already.
    const codes::Code* table = of_table(from, *to.system, letter, number);
    if (table && of_table(to, *to.system, letter, number)) return {written_code(letter, number), "", false};
    CodeEffect wanted;
    if (effect) wanted = *effect;
    if (table) wanted.does = {table->meaning};
    std::string written;
    if (effect || table) {
        written = own_with_effect(to, wanted, letter, number, name);
        if (written.empty() && !table) written = table_codes(to, wanted);
    }
    if (written.empty() && name) written = own_with_name(to, letter, number, *name);
    if (!written.empty()) return {written, "", false};

    const std::string shown = written_code(letter, number);
    const std::string here = sense(from, letter, number);
    const std::string what = here.empty() ? said("what {} does is not told for {}", shown, from.name)
                                          : said("{} ({}) has no like on {}", shown, here, to.name);
    const std::string there = sense(to, letter, number);
    if (there.empty()) return {"", what + ".", false};
    return {"",
            said("{}, where {} is: {}.", here.empty() ? what + said(" and not for ") + to.name : what, shown,
                 there),
            true};
}

} // namespace turnwright::features
