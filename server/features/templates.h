// New sequences in the program's own words: its safety line, tool call, approach, return and stop.
#pragma once

#include "features/typing.h"
#include "language/language.h"

namespace turnwright::features {

/// "rough turning" in the chosen language, and in English for those who type it so.
struct TemplateName {
    std::string own, english;
    TemplateName(const TableText& text) : own(text), english(text.english()) {}
    TemplateName(std::string own_name, std::string english_name)
        : own(std::move(own_name)), english(std::move(english_name)) {}
};
struct Template {
    TemplateName name;
    std::string detail;
    std::string snippet; ///< With LSP snippet marks
    std::string plain;
};
std::vector<Template> sequence_templates(const Typing& typing);
/// Head and end of a program in a file that holds nothing yet.
std::optional<Template> program_template(const Typing& typing);
/// "M24x1.5", "3/4-16 UNF", "1/2-14 NPT", "G1/2", "thread M10": outside and inside; "tap M8"; the words in
/// the chosen language, too. Empty for what is no thread's name.
std::vector<Template> thread_templates(const Typing& typing, std::string_view typed);

} // namespace turnwright::features
