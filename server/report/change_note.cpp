// What changed as notes for the head of the new program: for whoever stands at the machine next.
#include "features/speech.h"
#include "language/said.h"
#include "report/compare.h"
#include "text/letters.h"

#include <algorithm>
#include <fmt/format.h>
#include <sstream>

namespace turnwright::report {

namespace {

constexpr std::size_t most_changes_noted = 20; ///< Of all; a program with more is read anew as a whole
constexpr std::size_t widest_note = 60;

std::vector<std::string> words_of(const std::string& text) {
    std::istringstream in(text);
    return {std::istream_iterator<std::string>(in), {}};
}

std::string words_between(const std::vector<std::string>& words, std::size_t from, std::size_t to) {
    std::string out;
    for (std::size_t i = from; i < to; ++i) out += (out.empty() ? "" : " ") + words[i];
    return out;
}

/// "feed was 0.14, now 0.12 mm/rev": what both say is said once.
std::string in_short(const Change& change) {
    if (change.before.empty()) return said("new: ") + change.after;
    if (change.after.empty()) return said("gone: ") + change.before;
    const std::vector<std::string> a = words_of(change.before), b = words_of(change.after);
    const std::size_t most = std::min(a.size(), b.size()) - 1; // Something is left to be otherwise
    std::size_t first = 0, last = 0;
    while (first < most && a[first] == b[first]) ++first;
    // A unit, not an axis that stays where it was: that belongs to its point.
    while (last < most - first && a[a.size() - 1 - last] == b[b.size() - 1 - last] &&
           text::is_letter(a[a.size() - 1 - last][0]) && a[a.size() - 1 - last][0] >= 'a')
        ++last;
    std::string out = words_between(a, 0, first);
    out += (out.empty() ? "" : " ") + said("was ") + words_between(a, first, a.size() - last) +
           said(", now ") + words_between(b, first, b.size() - last);
    const std::string unit = words_between(b, b.size() - last, b.size());
    return unit.empty() ? out : out + " " + unit;
}

/// What a control has no letter for, by the letters that stand for it in plain text: "Größe" is "Groesse".
std::string in_plain_letters(std::string_view text) {
    constexpr std::pair<std::string_view, std::string_view> letters[] = {
        {"\u00e4", "ae"}, {"\u00f6", "oe"}, {"\u00fc", "ue"}, {"\u00df", "ss"}, {"\u00c4", "Ae"},
        {"\u00d6", "Oe"}, {"\u00dc", "Ue"}, {"\u00e1", "a"},  {"\u00e9", "e"},  {"\u00ed", "i"},
        {"\u00f3", "o"},  {"\u00fa", "u"},  {"\u00f1", "n"},  {"\u00c1", "A"},  {"\u00c9", "E"},
        {"\u00d3", "O"},  {"\u00da", "U"},  {"\u00d1", "N"}};
    std::string out(text);
    for (const auto& [letter, plain] : letters)
        for (std::size_t at = out.find(letter); at != out.npos; at = out.find(letter, at + plain.size()))
            out.replace(at, letter.size(), plain);
    return out;
}

/// One thought as notes: no parenthesis inside, capitals alone, no line that a control cuts off.
std::string as_notes(std::string_view told) {
    std::string text = in_plain_letters(told);
    for (char& c : text) {
        const bool open = c == '(' || c == ')' || c == '[' || c == ']';
        c = open || static_cast<unsigned char>(c) < ' ' || static_cast<unsigned char>(c) > '~'
                ? ' '
                : text::upper(c);
    }
    std::string out, line;
    for (const std::string& word : words_of(text)) {
        if (!line.empty() && line.size() + 1 + word.size() > widest_note) {
            out += "(" + line + ")\n";
            line = "- ";
        } else if (!line.empty()) {
            line += ' ';
        }
        line += word;
    }
    return line.empty() ? out : out + "(" + line + ")\n";
}

} // namespace

std::string change_note(const Comparison& comparison) {
    const auto word = [](const std::string& fingerprint) {
        return fingerprint.substr(0, fingerprint.find(','));
    };
    const std::string before = word(comparison.old_fingerprint), now = word(comparison.new_fingerprint);
    std::string out = as_notes(before == now ? said("Changed: fingerprint is still {}", now)
                                             : said("Changed: fingerprint was {}, now {}", before, now));
    for (const auto& [which, text] :
         {std::pair(said("old"), comparison.old_fingerprint), {said("new"), comparison.new_fingerprint}})
        if (const std::size_t comma = text.find(said(", but ")); comma != text.npos)
            out += as_notes(
                said("Changed: in the {} program {}", which, text.substr(comma + said(", but ").size())));
    std::size_t told = 0, left = 0;
    for (const SequenceChange& sequence : comparison.sequences) {
        std::string name = said("Changed: ") + sequence.name;
        if (!sequence.note.empty()) name += " " + sequence.note;
        if (sequence.added) out += as_notes(name + said(": is new"));
        if (sequence.removed) out += as_notes(name + said(": is gone"));
        for (const Change& change : sequence.changes) {
            if (told == most_changes_noted) {
                ++left;
                continue;
            }
            ++told;
            out += as_notes(name + ": " + in_short(change) +
                            (change.place.empty() ? "" : said(", before ") + change.place) +
                            followers_text(change));
        }
        left += sequence.more_changes;
    }
    if (comparison.same())
        out += as_notes(said("Changed: nothing that the machine does"));
    else
        out += as_notes(left > 0 ? said("Changed: and {} more places", left)
                                 : std::string(said("Changed: nothing else")));
    return out + as_notes(said("Changed by ........ on ........ proved out by ........"));
}

} // namespace turnwright::report
