#include "features/open.h"

#include <catch2/catch.hpp>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using features::test::Open;

namespace {
std::string drawn(const Document& document) {
    std::ostringstream out;
    const auto show = [&](const auto& self, const std::vector<Symbol>& symbols, int depth) -> void {
        for (const Symbol& symbol : symbols) {
            out << std::string(static_cast<std::size_t>(depth) * 2, ' ')
                << (symbol.kind == SymbolKind::subprogram ? "sub " : "") << symbol.name;
            if (!symbol.detail.empty()) out << " - " << symbol.detail;
            out << " [" << symbol.range.begin.line + 1 << '-' << symbol.range.end.line + 1 << "]\n";
            REQUIRE(symbol.range.begin <= symbol.selection.begin);
            REQUIRE(symbol.selection.end <= symbol.range.end);
            self(self, symbol.children, depth + 1);
        }
    };
    show(show, document_symbols(document), 0);
    return out.str();
}
} // namespace

TEST_CASE("a program shows its sequences by number, tool and note") {
    const Open open(R"(
%
O1001 (SHAFT)
(T01 ROUGH)
N1 (FACE AND ROUGH)
G21 G99
T0101
G97 S500 M03
G00 X50. Z2.
M01

N3 (FINISH)
T0303
G00 X50. Z2.
M01
M30
%
)",
                    codes::System::A);
    CHECK(drawn(open.document) == "O1001 - SHAFT [1-17]\n"
                                  "  N1 T0101 FACE AND ROUGH [4-9]\n"
                                  "  N3 T0303 FINISH [11-15]\n");
}

TEST_CASE("the note stands in the name, without the station that stands there already") {
    const Open open("O1\n(T07 THREAD 60 DEG)\nN7 (T07 THREAD M20X1.5)\nT0707\nM01\nT0707\nM30\n",
                    codes::System::A);
    const std::vector<Symbol> symbols = document_symbols(open.document);
    REQUIRE(symbols.size() == 1);
    REQUIRE(!symbols[0].children.empty());
    CHECK(symbols[0].children[0].name == "N7 T0707 THREAD M20X1.5");
    CHECK(symbols[0].children[0].detail.empty());
}

TEST_CASE("the outline tells the time of each sequence where it is asked for") {
    // 60 mm at 0.2 mm x 600 rpm = 120 mm/min: 30 s of feed.
    const Open open("O1\nN1 (TURN)\nG21 G99\nT0101\nG97 S600 M03\nG00 X50. Z0.\nG01 Z-60. F0.2\nM01\n"
                    "N2 (STOP)\nM01\nM30\n",
                    codes::System::A);
    const std::vector<Symbol> symbols = document_symbols(open.document, SymbolTimes::told);
    REQUIRE(symbols.size() == 1);
    REQUIRE(symbols[0].children.size() == 2);
    // And some seconds of the assumed rapid rates and tool change.
    const std::string& time = symbols[0].children[0].detail;
    REQUIRE(time.starts_with("about "));
    CHECK(std::stoi(time.substr(6)) >= 30);
    CHECK(std::stoi(time.substr(6)) <= 40);
    CHECK(symbols[0].children[1].detail.empty());
    CHECK(document_symbols(open.document)[0].children[0].detail.empty());
    // A search for sequences is not answered by their times.
    CHECK(workspace_symbols(open.document, "30s").empty());
}

TEST_CASE("a program without sequence numbers shows its tool calls") {
    const Open open(R"(
O7
G21
T0101
G00 X50.
T0404
G00 X40.
M30
)",
                    codes::System::A);
    const std::vector<Symbol> symbols = document_symbols(open.document);
    REQUIRE(symbols.size() == 1);
    REQUIRE(symbols[0].children.size() == 2);
    CHECK(symbols[0].children[0].name == "T0101");
    CHECK(symbols[0].children[1].name == "T0404");
}

TEST_CASE("subprograms stand beside the program that calls them") {
    const Open open(R"(
O1000
T0101
M98 P2000
M30
O2000 (GROOVE)
G01 X20. F0.1
M99
)",
                    codes::System::A);
    const std::vector<Symbol> symbols = document_symbols(open.document);
    REQUIRE(symbols.size() == 2);
    CHECK(symbols[1].kind == SymbolKind::subprogram);
    CHECK(symbols[1].name == "O2000");
    CHECK(symbols[1].detail == "GROOVE");
}

TEST_CASE("broken text has an outline too") {
    for (const char* text : {"", "\n", "%", "(((", "N", "T", "O", "\x00\xFF",
                             "N1 N2 N3 T0101 T0202\nM30 M30 %%%\n", "M99\nM99\nO1\nO1\nN1\nN1\n"}) {
        const Document document(text, nullptr);
        CHECK_NOTHROW(drawn(document));
        CHECK_NOTHROW(folding_ranges(document));
        CHECK_NOTHROW(selection_ranges(document, {0, 0}));
    }
}

TEST_CASE("workspace symbols are found by letters in order") {
    const Open open("O1 (PUMP SHAFT)\nN3 (FINISH TURN)\nT0303\nM30\n", codes::System::A);
    CHECK(workspace_symbols(open.document, "fintur").size() == 1);
    CHECK(workspace_symbols(open.document, "shft").size() == 1);
    CHECK(workspace_symbols(open.document, "xyz").empty());
    CHECK(workspace_symbols(open.document, "").size() == 2);
}
