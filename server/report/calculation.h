// Calculators for the command line.
#pragma once

#include "features/calculation.h"

namespace turnwright::report {

/// How blocks are written where no program tells it.
struct Writing {
    codes::System system = codes::System::A;
    bool inch = false, radius = false;
};
struct Calculated {
    std::string text;
    std::string problem; ///< Why there is no answer; then no text
};
/// `question`: "thread M24x1.5 length 20"; a calculator's name alone is answered with its places.
Calculated calculate_alone(std::string_view question, const Writing& writing);
/// For the blocks that shall stand behind a line (from 1) of a program.
Calculated calculate_in(const features::Document& document, std::size_t line, std::string_view question);
/// All calculators in a line each.
std::string calculators_text();

} // namespace turnwright::report
