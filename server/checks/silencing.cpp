// Notes of our own form that silence a check.

#include "checks/checks.h"
#include "checks/former_ids.h"

#include <algorithm>
#include <cctype>
#include <utility>

namespace turnwright::checks {

namespace {

/// Ids are compared in lower case with `_`; a control without that letter may hold `-`.
std::string plain(std::string_view word) {
    std::string out;
    for (char c : word)
        out.push_back(c == '-' ? '_' : static_cast<char>(std::tolower(static_cast<unsigned char>(c))));
    return out;
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    for (char c : text) {
        bool part_of_word = std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-';
        if (part_of_word)
            word.push_back(c);
        else if (!word.empty())
            words.push_back(plain(std::exchange(word, {})));
    }
    if (!word.empty()) words.push_back(plain(word));
    return words;
}

/// `turnwright: accept [in file] id, id`, or with the older word `allow`; nothing when the note is of another
/// kind.
bool read_note(std::string_view text, Allowance& allowance) {
    std::vector<std::string> words = words_of(text);
    if (words.size() < 2 || words[0] != "turnwright" || (words[1] != "accept" && words[1] != "allow"))
        return false;
    auto first = words.begin() + 2;
    if (words.end() - first >= 2 && first[0] == "in" && first[1] == "file") {
        allowance.whole_file = true;
        first += 2;
    }
    for (; first != words.end(); ++first) allowance.ids.emplace_back(present_id(*first));
    return true;
}

} // namespace

std::vector<Allowance> allowances_in(const syntax::Run& run) {
    std::vector<Allowance> found;
    for (std::size_t b = 0; b < run.blocks.size(); ++b) {
        const syntax::Block& block = run.blocks[b];
        if (!block.has_note) continue;
        bool alone = true;
        for (const syntax::Item& item : run.items_of(block))
            if (item.is_word() || syntax::holds_expression(item.kind)) alone = false;
        for (const syntax::Item& item : run.items_of(block)) {
            if (item.kind != syntax::ItemKind::note) continue;
            Allowance allowance;
            if (!read_note(syntax::note_text(run.text_of(item)), allowance)) continue;
            allowance.block = static_cast<std::uint16_t>(b);
            allowance.begin = item.begin;
            allowance.length = item.length;
            allowance.alone = alone;
            found.push_back(std::move(allowance));
        }
    }
    return found;
}

std::string allowance_note(std::string_view id) {
    return "(TURNWRIGHT: ACCEPT " + std::string(id) + ")";
}

} // namespace turnwright::checks
