// Inside the language room: the catalogues as the build puts them into the program.
#pragma once

#include <span>
#include <string_view>

namespace turnwright::language {

struct EmbeddedLanguage {
    std::string_view name;                    ///< "de"
    std::span<const std::string_view> pieces; ///< Of the JSON text: a compiler takes no literal as long as
                                              ///< all of it
};
std::span<const EmbeddedLanguage> embedded_languages();

} // namespace turnwright::language
