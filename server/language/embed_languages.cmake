# The catalogues as one source file: cmake -DCATALOGUES=de.json;es.json -DOUT=x.cpp -P embed_languages.cmake
set(arrays "")
set(rows "")
foreach(file ${CATALOGUES})
    get_filename_component(name ${file} NAME_WE)
    file(READ ${file} text)
    string(LENGTH "${text}" length)
    set(pieces "")
    set(at 0)
    while(at LESS length)
        string(SUBSTRING "${text}" ${at} 8000 piece)
        string(APPEND pieces "    R\"PIECE(${piece})PIECE\"sv,\n")
        math(EXPR at "${at} + 8000")
    endwhile()
    string(APPEND arrays "static constexpr std::string_view pieces_${name}[] = {\n${pieces}};\n")
    string(APPEND rows "    {\"${name}\", pieces_${name}},\n")
endforeach()
file(CONFIGURE OUTPUT ${OUT} CONTENT [[// Made by embed_languages.cmake from the files in server/language/languages.
#include "language/languages.h"

namespace turnwright::language {

using namespace std::string_view_literals; // Their length is known without counting it

@arrays@
static constexpr EmbeddedLanguage languages[] = {
@rows@};

std::span<const EmbeddedLanguage> embedded_languages() {
    return languages;
}

} // namespace turnwright::language
]] @ONLY)
