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

} // namespace turnwright::features
