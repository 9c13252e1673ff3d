// Text of programs, shop files and job files is shown as it stands: in Markdown nothing of it acts.
#include "features/completion.h"
#include "features/hints.h"
#include "features/hover.h"
#include "features/open.h"
#include "features/speech.h"

#include <catch2/catch.hpp>
#include <regex>

using namespace turnwright;
using namespace turnwright::features;
using features::test::Open;
using features::test::shop_of;

namespace {

constexpr const char* hostile[] = {"![i](http://a.b/c)",
                                   "[t](command:x)",
                                   "<img src=x onerror=y>",
                                   "<http://a.b>",
                                   "http://a.b/c",
                                   "https://a.b",
                                   "WWW.a.b",
                                   "me@a.b",
                                   "**bold** _it_ ~~gone~~",
                                   "`tick` `` ``` ````",
                                   "```",
                                   "~~~",
                                   "# head",
                                   "> quote",
                                   "- item",
                                   "1. item",
                                   "2) item",
                                   "+ item",
                                   "====",
                                   "---",
                                   "| a | b |",
                                   "&lt;script&gt;",
                                   "\\",
                                   "\\[t](x)",
                                   "x\n```\n![i](http://a.b/c)",
                                   "\xff\x01\x1b[31m"};

/// What is left of Markdown when fenced blocks, code in lines and escaped characters are taken out, as
/// CommonMark reads them.
std::string acting(const std::string& markdown) {
    std::string out;
    std::string fence;
    std::size_t begin = 0;
    while (begin <= markdown.size()) {
        const std::size_t end = std::min(markdown.find('\n', begin), markdown.size());
        const std::string line = markdown.substr(begin, end - begin);
        begin = end + 1;
        const std::size_t ticks = std::min(line.find_first_not_of('`'), line.size());
        if (!fence.empty()) {
            if (ticks >= fence.size() && line.find_first_not_of("` ") == std::string::npos) fence.clear();
            continue;
        }
        if (ticks >= 3 && line.find('`', ticks) == std::string::npos) {
            fence = line.substr(0, ticks);
            continue;
        }
        for (std::size_t i = 0; i < line.size();) {
            if (line[i] == '\\' && i + 1 < line.size()) {
                i += 2;
                out += ' ';
                continue;
            }
            const std::size_t open = std::min(line.find_first_not_of('`', i), line.size()) - i;
            if (open > 0) {
                const std::string run(open, '`');
                std::size_t close = line.find(run, i + open);
                while (close != std::string::npos &&
                       (line[close - 1] == '`' || (close + open < line.size() && line[close + open] == '`')))
                    close = line.find(run, close + 1);
                if (close != std::string::npos) {
                    i = close + open;
                    continue;
                }
            }
            out += line[i++];
        }
        out += '\n';
    }
    CHECK(fence.empty());
    return out;
}

void check_harmless(const std::string& markdown) {
    const std::string rest = acting(markdown);
    CAPTURE(markdown, rest);
    static const std::regex acts(
        R"(!\[|\]\(|<[a-zA-Z/]|https?://|www\.|[a-z0-9]@[a-z]|~~|`|\||&[a-z]+;|\n(=+|-{3,}|#|>|[0-9]+[.)] |\+ |- item))",
        std::regex::icase);
    CHECK_FALSE(std::regex_search("\n" + rest, acts));
    CHECK(rest.find("**bold**") == std::string::npos);
    CHECK(markdown.find('\x1b') == std::string::npos);
}

void check_every_hover(const Open& open) {
    const text::Buffer& buffer = open.document.buffer();
    for (std::uint32_t line = 0; line < buffer.line_count(); ++line)
        for (std::uint32_t column = 0; column <= buffer.line(line).size(); ++column)
            if (const auto found = hover(open.document, {line, column})) check_harmless(found->markdown);
    check_harmless(restart_report(open.document));
}

std::string in_toml(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (c == '\n')
            out += "\\n";
        else if (static_cast<unsigned char>(c) >= ' ' && static_cast<unsigned char>(c) < 0x80)
            out += c;
    }
    return out;
}

} // namespace

TEST_CASE("text of a program does not act in hovers") {
    for (const std::string text : hostile) {
        CAPTURE(text);
        std::string line = text;
        std::replace(line.begin(), line.end(), '\n', ' ');
        const Open open("O1 (" + line + ")\n(MACHINE: " + line + ")\n(T01 " + line +
                            ")\n(STOCK D40. L60. MATERIAL " + line + ")\nN1 (" + line +
                            ")\nG21 G99 G97 S500 M03\nT0101 (" + line + ")\n" + line +
                            "\nG00 X40. Z2.\nN10 G01 X30. F0.2 (" + line + ")\nG71 P10 Q10\nGOTO10\n(" + line,
                        codes::System::A);
        check_every_hover(open);
    }
}

TEST_CASE("text of a shop file does not act in hovers") {
    for (const std::string text : hostile) {
        CAPTURE(text);
        const std::string value = "\"" + in_toml(text) + "\"\n";
        const Open open(
            "O1\nG21 G99 G97 S500 M03\nT0101\nM77\nG177\nG00 X40. Z2.\nG01 X30. F0.2\nZ-10.\nM30\n",
            shop_of("units = \"mm\"\n[stock]\ndiameter = 50\nlength = 60\nmaterial = " + value +
                    "[machine]\nname = " + value + "[machine.m_codes]\n77 = " + value +
                    "[machine.g_codes]\n177 = " + value + "[[tool]]\nstation = 1\nnote = " + value));
        check_every_hover(open);
    }
}

TEST_CASE("code in a line keeps its ticks, and a block is not closed by what stands in it") {
    CHECK(code_in_markdown("G00 X1.") == "`G00 X1.`");
    CHECK(code_in_markdown("a`b``c") == "``` a`b``c ```");
    CHECK(in_markdown("ROUGH TURN, CNMG 12-04 (R0.8)") == "ROUGH TURN, CNMG 12-04 (R0.8)");
    CHECK(fenced("a\n```\n") == "````text\na\n```\n````\n");
}
