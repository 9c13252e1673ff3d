// A completion list while it grows.
#pragma once

#include "features/completion.h"
#include "features/typing.h"

namespace turnwright::features {

constexpr std::size_t most_numbers = 200; ///< Labels, variables: more than this helps nobody

struct Offers {
    const Typing& typing;
    std::vector<CompletionItem> items;

    /// In the program's own case; the order of adding is the order in the list.
    CompletionItem& add(CompletionKind kind, std::string label, std::string detail, std::string text);
    bool is_letter_typed() const { return typing.letter >= 'A' && typing.letter <= 'Z'; }
    /// The letter that is typed, for values that are written behind it.
    std::string letter_text() const {
        return is_letter_typed() ? std::string(1, typing.letter) : std::string{};
    }
};

/// Values for the word that is typed: labels, programs, speeds, feeds, leads, a thread's root and height.
void add_values(Offers& offers);
/// Labels of this program, those below the cursor first.
void add_labels(Offers& offers);
/// Whole sequences by their names, of which several words may be typed: "rough t", "M24x1.5". False when
/// there are none.
bool add_templates(Offers& offers);
/// Notes that ask a calculator, by the first letters of its name.
void add_questions(Offers& offers);
/// A calculator's name, and behind it its places, in a note.
std::vector<CompletionItem> complete_note(const Document& document, Position at);

} // namespace turnwright::features
