// What a macro call gives the called program: its letters as local variables.
#include "machine/arguments.h"

#include "machine/course.h"

namespace turnwright::machine {

/// List I: common practice, no source.
int argument_variable(char letter) {
    static constexpr std::pair<char, int> table[] = {
        {'A', 1},  {'B', 2},  {'C', 3},  {'D', 7},  {'E', 8},  {'F', 9},  {'H', 11},
        {'I', 4},  {'J', 5},  {'K', 6},  {'M', 13}, {'Q', 17}, {'R', 18}, {'S', 19},
        {'T', 20}, {'U', 21}, {'V', 22}, {'W', 23}, {'X', 24}, {'Y', 25}, {'Z', 26}};
    for (auto [name, number] : table)
        if (name == letter) return number;
    return 0;
}

namespace {

/// I J K written more than once, or in a second set: list II numbers them 4 5 6, 7 8 9, ...
bool uses_second_list(const Reading& reading) {
    int count[3] = {0, 0, 0};
    for (const Word& word : reading.words)
        if (word.letter >= 'I' && word.letter <= 'K') ++count[word.letter - 'I'];
    return count[0] > 1 || count[1] > 1 || count[2] > 1;
}

} // namespace

State with_arguments(const State& caller, const Reading& reading) {
    State inside = caller;
    inside.variables = combine({}, caller.variables);
    bool second = uses_second_list(reading);
    int group = 0;
    int last = -1;
    for (const Word& word : reading.words) {
        if (word.own || word.implied || word.letter == 'G' || word.letter == 'N' || word.letter == 'P' ||
            word.letter == 'L' || word.letter == 'O')
            continue;
        int number = argument_variable(word.letter);
        if (second && word.letter >= 'I' && word.letter <= 'K') {
            int place = word.letter - 'I';
            if (place <= last) ++group;
            last = place;
            number = 4 + 3 * group + place;
        }
        if (number > 0 && number <= Variables::last_local) inside.set_variable(number, word.value);
    }
    return inside;
}

State with_modal_arguments(const State& caller) {
    State inside = caller;
    inside.variables = combine(caller.modal_arguments, caller.variables);
    inside.set(codes::Meaning::modal_call_off); // The macro's own moves call nothing.
    return inside;
}

void restore_locals(State& after, const State& caller) {
    after.variables = combine(caller.variables, after.variables);
}

} // namespace turnwright::machine
