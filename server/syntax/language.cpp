#include "syntax/language.h"

#include "syntax/lender.h"

#include <array>
#include <new>
#include <vector>

extern "C" const TSLanguage* tree_sitter_turning();

namespace turnwright::syntax {
namespace {

struct NamedRole {
    std::string_view name;
    bool named;
    Role role;
};

constexpr std::array named_roles{
    NamedRole{"program", true, Role::container},
    NamedRole{"sequence", true, Role::container},
    NamedRole{"block", true, Role::container},
    NamedRole{"word", true, Role::word},
    NamedRole{"preparatory", true, Role::word},
    NamedRole{"miscellaneous", true, Role::word},
    NamedRole{"sequence_number", true, Role::word},
    NamedRole{"program_number", true, Role::word},
    NamedRole{"tool", true, Role::word},
    NamedRole{"computed_word", true, Role::computed_word},
    NamedRole{"bare_letter", true, Role::bare_letter},
    NamedRole{"letter", true, Role::letter},
    NamedRole{"comma_word", true, Role::comma_word},
    NamedRole{"note", true, Role::note},
    NamedRole{"unclosed_note", true, Role::unclosed_note},
    NamedRole{"tape_mark", true, Role::tape_mark},
    NamedRole{"block_delete", true, Role::block_delete},
    NamedRole{"end_of_block", true, Role::end_of_block},
    NamedRole{"after_end", true, Role::after_end},
    NamedRole{"assignment", true, Role::assignment},
    NamedRole{"if_goto", true, Role::if_goto},
    NamedRole{"if_then", true, Role::if_then},
    NamedRole{"while_do", true, Role::while_do},
    NamedRole{"do_only", true, Role::do_only},
    NamedRole{"end_do", true, Role::end_do},
    NamedRole{"go_to", true, Role::go_to},
    NamedRole{"unknown", true, Role::unknown},
    NamedRole{"if", true, Role::keyword},
    NamedRole{"goto", true, Role::keyword},
    NamedRole{"then", true, Role::keyword},
    NamedRole{"while", true, Role::keyword},
    NamedRole{"do", true, Role::keyword},
    NamedRole{"end", true, Role::keyword},
    NamedRole{"number", true, Role::number},
    NamedRole{"variable", true, Role::variable},
    NamedRole{"named_variable", true, Role::named_variable},
    NamedRole{"computed_variable", true, Role::computed_variable},
    NamedRole{"bracket", true, Role::bracket},
    NamedRole{"signed", true, Role::signed_value},
    NamedRole{"binary", true, Role::binary},
    NamedRole{"call", true, Role::call},
    NamedRole{"arc_tangent", true, Role::arc_tangent},
    NamedRole{"function", true, Role::function},
    NamedRole{"sign", true, Role::sign},
    NamedRole{"comparison", true, Role::comparison},
    NamedRole{"disjunction", true, Role::disjunction},
    NamedRole{"factor", true, Role::factor},
    NamedRole{"/", false, Role::divide},
    NamedRole{"[", false, Role::open_bracket},
    NamedRole{"]", false, Role::close_bracket},
    NamedRole{",", false, Role::comma},
    NamedRole{"=", false, Role::equals},
    NamedRole{"#", false, Role::number_sign},
};

// Roles by symbol, looked up by name once: an alias gives two symbols one name.
std::vector<Role> roles_by_symbol() {
    const TSLanguage* language = tree_sitter_turning();
    std::vector<Role> roles(ts_language_symbol_count(language), Role::none);
    for (std::size_t symbol = 0; symbol < roles.size(); ++symbol) {
        const auto id = static_cast<TSSymbol>(symbol);
        const bool named = ts_language_symbol_type(language, id) == TSSymbolTypeRegular;
        const std::string_view name = ts_language_symbol_name(language, id);
        for (const NamedRole& row : named_roles) {
            if (row.named == named && row.name == name) roles[symbol] = row.role;
        }
        if (!named && name.size() > 1 && name.front() == '/') roles[symbol] = Role::open_second_argument;
    }
    return roles;
}

class Parser {
public:
    Parser() : parser_(ts_parser_new()) {
        if (parser_ == nullptr) throw std::bad_alloc();
        ts_parser_set_language(parser_, tree_sitter_turning());
    }
    ~Parser() { ts_parser_delete(parser_); }
    Parser(const Parser&) = delete;
    Parser& operator=(const Parser&) = delete;

    TSTree* parse(std::string_view text, const TSTree* edited) {
        return ts_parser_parse_string_encoding(parser_, edited, text.data(),
                                               static_cast<std::uint32_t>(text.size()), TSInputEncodingUTF8);
    }

private:
    TSParser* parser_;
};

enum class Kind : std::uint8_t { keep, blank, eight_bit, colon };

constexpr std::array<Kind, 256> kinds = [] {
    std::array<Kind, 256> table{};
    for (std::size_t byte = 0x80; byte < 256; ++byte) table[byte] = Kind::eight_bit;
    for (const unsigned char byte : {0x00, 0x0b, 0x0c, 0x7f}) table[byte] = Kind::blank;
    table[':'] = Kind::colon;
    return table;
}();

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// A colon that begins a line before digits is the program number as ISO 6983-1 writes it (from memory): O.
bool is_program_number(std::string_view bytes, std::size_t colon) {
    if (colon + 1 >= bytes.size() || bytes[colon + 1] < '0' || bytes[colon + 1] > '9') return false;
    const std::size_t before = bytes.substr(0, colon).find_last_not_of(" \t");
    return before == std::string_view::npos || bytes[before] == '\n' || bytes[before] == '\r';
}

} // namespace

Role role_of(TSNode node) {
    static const std::vector<Role> roles = roles_by_symbol();
    return roles[ts_node_symbol(node)];
}

std::string prepare(std::string_view bytes) {
    std::string text(bytes);
    for (std::size_t i = 0; i < text.size(); ++i) {
        switch (kinds[static_cast<unsigned char>(text[i])]) {
        case Kind::keep:
            break;
        case Kind::blank:
            text[i] = ' ';
            break;
        case Kind::colon:
            if (is_program_number(bytes, i)) text[i] = 'O';
            break;
        case Kind::eight_bit:
            if (bytes.substr(i, 3) == byte_order_mark) {
                text.replace(i, 3, "   ");
                i += 2;
            } else {
                text[i] = '?';
            }
            break;
        }
    }
    return text;
}

TreePointer parse(std::string_view prepared, const TSTree* edited) {
    static Lender<Parser> parsers;
    TreePointer tree(parsers.lend()->parse(prepared, edited));
    if (tree == nullptr) throw std::bad_alloc();
    return tree;
}

} // namespace turnwright::syntax
