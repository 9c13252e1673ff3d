// Inside the checks room: the macro calls of a file, with what they hand over.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks {

struct MacroCall {
    BlockPlace place;
    std::int32_t program = -1;
    struct Argument {
        char letter;
        double value;
    };
    std::vector<Argument> arguments; ///< Those that are known
    bool second_list = false;        ///< A letter stands twice: I, J and K become other variables

    const Argument* argument(char letter) const;
};
/// In order; none of a file longer than a hand writes.
std::vector<MacroCall> macro_calls_of(const FileContext& context);

} // namespace turnwright::checks
