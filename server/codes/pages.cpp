// The documentation pages of the codes, written from the table.
#include "codes/codes.h"

#include <algorithm>

namespace turnwright::codes {
namespace {
constexpr std::string_view caution = "These pages say what a code is usually made to do. A control may be "
                                     "set up otherwise, and only its maker's own "
                                     "papers and a prove-out by a qualified person (dry run, single block, "
                                     "reduced rapid) show what this machine "
                                     "does.\n";

bool holds(const Code& code, System system) {
    return code.systems & (1U << static_cast<unsigned>(system));
}

void write_words(std::string& page, const Code& code) {
    if (code.words.empty()) return;
    page += "\n| word | what it is | read as | needed |\n|---|---|---|---|\n";
    for (const WordUse& word : code.words) {
        page += "| ";
        page += word.letter;
        page += " | ";
        page += word.meaning;
        page += " | ";
        page += quantity_title(word.quantity);
        page += word.required ? " | yes |\n" : " | |\n";
    }
}

/// What turns a modal code off, in the system's own writing: "G96".
std::string others_of(System system, const Code& code) {
    std::string text;
    for (Meaning meaning : members(code.group())) {
        const std::string written = written_as(system, meaning);
        if (meaning == code.meaning || written.empty()) continue;
        if (!text.empty()) text += ", ";
        text += written;
    }
    return text;
}

void write_code(std::string& page, System system, const Code& code) {
    page += "\n### " + code.written() + ": ";
    page += code.title;
    page += "\n\n";
    page += code.text;
    page += '\n';
    write_words(page, code);
    page += '\n';
    if (code.is_modal()) {
        page += "Stays in force (";
        page += group_title(code.group());
        page += ')';
        const std::string others = others_of(system, code);
        if (!others.empty()) page += " until " + others;
        page += '.';
        if (code.power_on) page += " Usual after switching on.";
    } else {
        page += "Acts in its block only.";
    }
    page += " Source: ";
    page += code.source;
    page += ".\n";
}

void write_letters(std::string& page) {
    page += "\n## Letters\n\n| letter | what it is | |\n|---|---|---|\n";
    for (const Letter& letter : all_letters()) {
        page += "| ";
        page += letter.letter;
        page += " | ";
        page += letter.title;
        page += " | ";
        page += letter.text;
        page += " |\n";
    }
}
} // namespace

std::string codes_markdown(System system) {
    std::string page = "# Codes of G-code system ";
    page += system_letter(system);
    page += "\n\nWritten from the server's own table; change the table, not this page. [All "
            "systems](README.md)\n\n";
    page += caution;
    for (const char letter : {'G', 'M'}) {
        page += letter == 'G' ? "\n## Preparatory functions\n" : "\n## Miscellaneous functions\n";
        if (letter == 'M')
            page += "\nEvery other M number belongs to the machine's maker. Name it in the shop file; it is "
                    "unknown "
                    "until then.\n";
        for (const Code& code : all_codes())
            if (code.letter == letter && holds(code, system)) write_code(page, system, code);
    }
    return page;
}

std::string codes_index_markdown() {
    std::string page = "# Codes\n\nWritten from the server's own table; change the table, not this page.\n\n";
    page += caution;
    page += "\nThe same number can mean different things: G90 is a turning cycle in system A and absolute "
            "positions in B "
            "and C. One page a system: [A](system-a.md), [B](system-b.md), [C](system-c.md).\n\n";
    page += "| what it does | A | B | C |\n|---|---|---|---|\n";
    for (std::size_t group = 0; group < group_count; ++group) {
        for (Meaning meaning : members(static_cast<Group>(group))) {
            const std::string a = written_as(System::A, meaning);
            const std::string b = written_as(System::B, meaning);
            const std::string c = written_as(System::C, meaning);
            if (a.empty() && b.empty() && c.empty()) continue;
            page += "| ";
            page += title(meaning);
            page += " | " + a + " | " + b + " | " + c + " |\n";
        }
    }
    write_letters(page);
    return page;
}

} // namespace turnwright::codes
