// Macro calls.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse program_call_words[] = {
    {'P', Q::program, true, "number of the macro"},
    {'L', Q::count, false, "how many times"},
    {'A', Q::argument, false, "argument, variable #1 in the macro"},
    {'B', Q::argument, false, "argument, variable #2 in the macro"},
    {'C', Q::argument, false, "argument, variable #3 in the macro"},
    {'I', Q::argument, false, "argument, variable #4 in the macro"},
    {'J', Q::argument, false, "argument, variable #5 in the macro"},
    {'K', Q::argument, false, "argument, variable #6 in the macro"},
    {'D', Q::argument, false, "argument, variable #7 in the macro"},
    {'E', Q::argument, false, "argument, variable #8 in the macro"},
    {'F', Q::argument, false, "argument, variable #9 in the macro"},
    {'H', Q::argument, false, "argument, variable #11 in the macro"},
    {'M', Q::argument, false, "argument, variable #13 in the macro"},
    {'Q', Q::argument, false, "argument, variable #17 in the macro"},
    {'R', Q::argument, false, "argument, variable #18 in the macro"},
    {'S', Q::argument, false, "argument, variable #19 in the macro"},
    {'T', Q::argument, false, "argument, variable #20 in the macro"},
    {'U', Q::argument, false, "argument, variable #21 in the macro"},
    {'V', Q::argument, false, "argument, variable #22 in the macro"},
    {'W', Q::argument, false, "argument, variable #23 in the macro"},
    {'X', Q::argument, false, "argument, variable #24 in the macro"},
    {'Y', Q::argument, false, "argument, variable #25 in the macro"},
    {'Z', Q::argument, false, "argument, variable #26 in the macro"},
};

constexpr Code program_rows[] = {
    {'G', 650, in_all, M::macro_call, "Macro call",
     "Runs the macro program P once, or L times, and hands it the other words as values. Watch that X, F or "
     "S in "
     "this block move and set nothing here, because the macro decides what they mean.",
     program_call_words, practice},
    {'G', 660, in_all, M::modal_call, "Macro call after every move",
     "From here the macro program P runs after every block that moves, until G67. Watch that a retract in "
     "between "
     "also counts as a move and runs the macro.",
     program_call_words, practice},
    {'G', 661, in_all, M::modal_call, "Macro call after every move and at every other block",
     "From here the macro program P runs at every block and takes the block's words as its values, until "
     "G67. Watch that plain moves in between are handed to the macro, too.",
     program_call_words, practice},
    {'G',
     670,
     in_all,
     M::modal_call_off,
     "Macro call after every move, off",
     "Moves no longer run a macro. Watch that it stands before the retract.",
     {},
     practice,
     true},
};
} // namespace

std::span<const Code> program_codes() {
    return program_rows;
}

} // namespace turnwright::codes
