#include "features/open.h"

#include <catch2/catch.hpp>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;
using features::test::with_edits;

namespace {

/// Places as "line:text under them", in order.
std::string shown(const Document& document, const std::vector<Location>& places) {
    std::ostringstream out;
    for (const Location& place : places) {
        if (!place.path.empty()) out << place.path.filename().string() << '@';
        out << place.range.begin.line + 1;
        if (place.path.empty()) out << ':' << document.buffer().slice(place.range);
        out << ' ';
    }
    return out.str();
}
std::string defined(std::string_view program, System system = System::A) {
    const Open open(program, system);
    return shown(open.document, definition(open.document, open.cursor()));
}
std::string referred(std::string_view program, System system = System::A) {
    const Open open(program, system);
    return shown(open.document, references(open.document, open.cursor(), true));
}
std::string renamed(std::string_view program, std::string_view name, System system = System::A) {
    const Open open(program, system);
    const Rewrite rewrite = rename(open.document, open.cursor(), name);
    if (!rewrite.done()) return "refused: " + rewrite.refused;
    return rewrite.files.empty() ? open.document.buffer().whole()
                                 : with_edits(open.document, rewrite.files[0].edits);
}

constexpr const char* contour =
    "O1\nG71 U2. R0.5\nG71 P101 Q102 U0.4 F0.2\nN101 G00 X20.\nN102 G01 Z-20.\nG70 P101 Q102\nM30\n";

std::string at(std::string text, std::string_view word, std::size_t inside = 1) {
    return text.insert(text.find(word) + inside, "$0");
}

class Files : public Workspace {
public:
    std::vector<WorkspaceFile> held;
    void add(const char* name, std::string_view text) {
        auto buffer = std::make_shared<text::Buffer>(text);
        auto forest = std::make_shared<syntax::Forest>(*buffer);
        held.push_back({name, buffer, forest});
    }
    std::vector<WorkspaceFile> files() const override { return held; }
};

} // namespace

TEST_CASE("from P, Q and GOTO to the numbered block") {
    CHECK(defined(at(contour, "P101")) == "4:N101 ");
    CHECK(defined(at(contour, "Q102")) == "5:N102 ");
    CHECK(defined("IF [#1 GT 2] GOTO 9$00\nN90 M30\n") == "2:N90 ");
    CHECK(defined("GOTO$0 90\nN90 M30\n").empty());
    CHECK(defined("G04 P10$01\nN101 M30\n").empty()); // a dwell, no label
    CHECK(defined("G76 P0110$060 Q50 R0.02\nN11060 M30\n").empty());
    // In system C the roughing cycle is G73 (facts: RS-274 family, from memory).
    CHECK(defined("G73 P10$01 Q102 U0.4 F0.2\nN101 G00 X20.\nN102 Z-1.\n", System::C) == "2:N101 ");
}

TEST_CASE("a label belongs to its program") {
    CHECK(defined("O1\nGOTO 1$000\nN100 M30\nO2\nN100 M99\n") == "3:N100 ");
    CHECK(referred("O1\nGOTO 100\nN100 M30\nO2\nN1$000 M99\n") == "5:N100 ");
}

TEST_CASE("all uses of a label") {
    CHECK(referred(at(contour, "N101")) == "3:P101 4:N101 6:P101 ");
}

TEST_CASE("variables: the last assignment above, and all uses") {
    constexpr const char* program = "#100=1\n#100=#100+1\nG01 X#100 F0.1\n#100=3\n#101=#100\n";
    CHECK(defined(at(program, "X#100", 2)) == "2:#100 ");
    CHECK(referred(at(program, "X#100", 2)) == "1:#100 2:#100 2:#100 3:#100 4:#100 5:#100 ");
}

TEST_CASE("tools and offsets: the first call and all uses") {
    constexpr const char* program = "T0101\nT0303\nT0100\nT0303\nT0103\n";
    CHECK(defined(at(program, "T0303\nT0100", 2)) == "2:T0303 ");
    CHECK(referred(at(program, "T0101", 1)) == "1:T0101 3:T0100 5:T0103 ");
    CHECK(referred(at(program, "T0103", 4)) == "2:T0303 4:T0303 5:T0103 ");
}

TEST_CASE("programs in this file and in others") {
    Files files;
    files.add("groove.nc", "%\nO2000 (GROOVE)\nG01 X1.\nM99\n%\n");
    files.add("other.nc", "O5\nM98 P2000\nM30\n");
    const Open open("O1\nM98 P$02000\nM98 P32000\nM98 P7\nM30\nO7\nM99\n", System::A);
    CHECK(shown(open.document, definition(open.document, open.cursor(), &files)) == "groove.nc@2 ");
    CHECK(shown(open.document, references(open.document, open.cursor(), true, &files)) ==
          "2:P2000 3:P32000 groove.nc@2 other.nc@2 ");
    const std::vector<DocumentLink> links = document_links(open.document, &files);
    REQUIRE(links.size() == 2);
    CHECK(links[0].target == "groove.nc");
}

TEST_CASE("rename keeps every use right") {
    CHECK(renamed(at(contour, "N101"), "110") ==
          "O1\nG71 U2. R0.5\nG71 P110 Q102 U0.4 F0.2\nN110 G00 X20.\nN102 G01 Z-20.\nG70 P110 Q102\nM30\n");
    CHECK(renamed(at(contour, "N101"), "N102") == "refused: 102 is used in this program already.");
    CHECK_THAT(renamed(at(contour, "N101"), "abc"), Contains("whole number"));
    CHECK_THAT(renamed("N1$00 G00 X1.\nGOTO #5\n", "20"), Contains("computed number"));
    CHECK(renamed("#10$00=1\nG01 X#100\nX[#100+#101]\n", "#110") == "#110=1\nG01 X#110\nX[#110+#101]\n");
    CHECK_THAT(renamed("#10$00=1\n#[#2]=3\n", "110"), Contains("computed"));
    CHECK_THAT(renamed("G0$00 X1.\n", "1"), Contains("Only"));
}

TEST_CASE("renaming a program goes through all files") {
    Files files;
    files.add("other.nc", "O5\nM98 P0052000\nG65 P2000 A1.\nM30\n");
    const Open open("O$02000\nG01 X1.\nM99\n", System::A);
    const Rewrite rewrite = rename(open.document, open.cursor(), "2100", &files);
    REQUIRE(rewrite.done());
    REQUIRE(rewrite.files.size() == 2);
    CHECK(with_edits(open.document, rewrite.files[0].edits) == "O2100\nG01 X1.\nM99\n");
    const Document other("O5\nM98 P0052000\nG65 P2000 A1.\nM30\n", nullptr);
    CHECK(with_edits(other, rewrite.files[1].edits) == "O5\nM98 P0052100\nG65 P2100 A1.\nM30\n");
    CHECK_THAT(rename(open.document, open.cursor(), "5", &files).refused, Contains("other.nc"));
}

TEST_CASE("prepare rename gives the digits") {
    const Open open("N $0101 G00 X1.\n", System::A);
    const auto start = prepare_rename(open.document, open.cursor());
    REQUIRE(start);
    CHECK(start->placeholder == "101");
    CHECK(start->range == Range{{0, 2}, {0, 5}});
}

TEST_CASE("a label and its uses can be typed over together") {
    const Open open(at(contour, "N101"), System::A);
    CHECK(linked_ranges(open.document, open.cursor()).size() == 3);
    const Open computed("N1$00 X1.\nGOTO #1\nG71 P10 Q20\n", System::A);
    CHECK(linked_ranges(computed.document, computed.cursor()).empty());
}

TEST_CASE("highlights tell where a value is written") {
    const Open open("#100=1\nX#10$00\n", System::A);
    const std::vector<Highlight> all = highlights(open.document, open.cursor());
    REQUIRE(all.size() == 2);
    CHECK(all[0].written);
    CHECK_FALSE(all[1].written);
}

TEST_CASE("who calls whom") {
    Files files;
    files.add("other.nc", "O5 (BASE)\nM98 P2000\nM98 P2000\nM30\n");
    const Open open("O1 (MAIN)\nM98 P2000\nM30\nO20$000 (GROOVE)\nG65 P9000\nM99\nO9000\nM99\n", System::A);
    const auto item = prepare_calls(open.document, open.cursor());
    REQUIRE(item);
    CHECK(item->name == "O2000");
    CHECK(item->detail == "GROOVE");
    const std::vector<Call> incoming = incoming_calls(open.document, *item, &files);
    REQUIRE(incoming.size() == 2);
    CHECK(incoming[0].item.name == "O0001");
    CHECK(incoming[1].item.name == "O0005");
    CHECK(incoming[1].ranges.size() == 2);
    const std::vector<Call> outgoing = outgoing_calls(open.document, *item, &files);
    REQUIRE(outgoing.size() == 1);
    CHECK(outgoing[0].item.name == "O9000");
}

TEST_CASE("navigation anywhere in broken text throws nothing") {
    const Document document("N\nP1 Q\nGOTO\n#\n#[\nT\nO\nM98 P\nG71 P1 Q9999999999\n\xFF", nullptr);
    for (std::uint32_t line = 0; line < 11; ++line)
        for (std::uint32_t column = 0; column < 12; ++column) {
            const Position at{line, column};
            CHECK_NOTHROW(definition(document, at));
            CHECK_NOTHROW(references(document, at, true));
            CHECK_NOTHROW(prepare_rename(document, at));
            CHECK_NOTHROW(rename(document, at, "12"));
            CHECK_NOTHROW(linked_ranges(document, at));
            CHECK_NOTHROW(prepare_calls(document, at));
        }
}
