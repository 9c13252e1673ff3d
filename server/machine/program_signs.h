// Signs of the unit of length, program by program: several in one file may be of two units.
#pragma once

#include "machine/assumptions.h"

#include <vector>

namespace turnwright::machine {

/// The signs of a run in the parts that its program numbers make of it; the first goes on with the program
/// above.
struct RunSigns {
    struct Part {
        SignCounts counts;
        bool calls_tool = false, ends_program = false; ///< M02 or M30
        bool operator==(const Part&) const = default;
    };
    std::vector<Part> parts;
    SignCounts sum() const;
    bool operator==(const RunSigns&) const = default;
};
RunSigns run_signs(const syntax::Run& run);

/// Two programs of a file, each with a tool and an end of its own, of which the one is in inch and the other
/// in mm by its own signs. One that is called goes with its caller.
bool programs_of_two_units(codes::System system, const std::vector<RunSigns>& runs);

} // namespace turnwright::machine
