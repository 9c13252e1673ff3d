// Words of the trade in plain words: for the glossary page and for explain.
#pragma once

#include "language/language.h"

#include <span>
#include <string>
#include <string_view>

namespace turnwright::codes {

struct Term {
    std::string_view name;    ///< "constant surface speed"
    std::string_view also;    ///< Other names with commas between, "" for none
    TableText text;           ///< Two or three sentences
    std::string_view picture; ///< File in docs/pictures, "" for none
};
/// In the order of the alphabet.
std::span<const Term> glossary();
/// By its name or another of its names, in any case of letters; nullptr when there is none.
const Term* find_term(std::string_view word);
/// docs/glossary.md
std::string glossary_markdown();

} // namespace turnwright::codes
