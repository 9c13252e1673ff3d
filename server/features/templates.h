// New sequences in the program's own words: its safety line, tool call, approach, return and stop.
#pragma once

#include "features/typing.h"

namespace turnwright::features {

struct Template {
    std::string label; ///< "rough turning"
    std::string detail;
    std::string snippet; ///< With LSP snippet marks
    std::string plain;
};
std::vector<Template> sequence_templates(const Typing& typing);
/// Head and end of a program in a file that holds nothing yet.
std::optional<Template> program_template(const Typing& typing);
/// "M24x1.5", "3/4-16 UNF", "1/2-14 NPT", "G1/2", "thread M10": outside and inside; "tap M8"; empty for what
/// is no thread's name.
std::vector<Template> thread_templates(const Typing& typing, std::string_view typed);

} // namespace turnwright::features
