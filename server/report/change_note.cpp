// What changed as notes for the head of the new program: for whoever stands at the machine next.
#include "features/speech.h"
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
    if (change.before.empty()) return "new: " + change.after;
    if (change.after.empty()) return "gone: " + change.before;
    const std::vector<std::string> a = words_of(change.before), b = words_of(change.after);
    const std::size_t most = std::min(a.size(), b.size()) - 1; // Something is left to be otherwise
    std::size_t first = 0, last = 0;
    while (first < most && a[first] == b[first]) ++first;
    // A unit, not an axis that stays where it was: that belongs to its point.
    while (last < most - first && a[a.size() - 1 - last] == b[b.size() - 1 - last] &&
           text::is_letter(a[a.size() - 1 - last][0]) && a[a.size() - 1 - last][0] >= 'a')
        ++last;
    std::string out = words_between(a, 0, first);
    out += (out.empty() ? "was " : " was ") + words_between(a, first, a.size() - last) + ", now " +
           words_between(b, first, b.size() - last);
    const std::string unit = words_between(b, b.size() - last, b.size());
    return unit.empty() ? out : out + " " + unit;
}

/// One thought as notes: no parenthesis inside, capitals alone, no line that a control cuts off.
std::string as_notes(std::string text) {
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
    std::string out = as_notes(before == now ? "Changed: fingerprint is still " + now
                                             : "Changed: fingerprint was " + before + ", now " + now);
    for (const auto& [which, text] :
         {std::pair("old", comparison.old_fingerprint), {"new", comparison.new_fingerprint}})
        if (const std::size_t comma = text.find(", but "); comma != text.npos)
            out += as_notes(fmt::format("Changed: in the {} program {}", which, text.substr(comma + 6)));
    std::size_t told = 0, left = 0;
    for (const SequenceChange& sequence : comparison.sequences) {
        std::string name = "Changed: " + sequence.name;
        if (!sequence.note.empty()) name += " " + sequence.note;
        if (sequence.added) out += as_notes(name + ": is new");
        if (sequence.removed) out += as_notes(name + ": is gone");
        for (const Change& change : sequence.changes) {
            if (told == most_changes_noted) {
                ++left;
                continue;
            }
            ++told;
            out +=
                as_notes(name + ": " + in_short(change) +
                         (change.place.empty() ? "" : ", before " + change.place) + followers_text(change));
        }
        left += sequence.more_changes;
    }
    if (comparison.same())
        out += as_notes("Changed: nothing that the machine does");
    else
        out +=
            as_notes(left > 0 ? fmt::format("Changed: and {} more places", left) : "Changed: nothing else");
    return out + as_notes("Changed by ........ on ........ proved out by ........");
}

} // namespace turnwright::report
