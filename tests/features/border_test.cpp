// A program is kept in pieces of about 64 lines; where they begin depends on the edits before, and no answer
// may.
#include "features/completion.h"
#include "features/open.h"
#include "features/outline.h"

#include <catch2/catch.hpp>
#include <memory>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using features::test::shop_of;

namespace {

std::string lines_of(const std::string& line, int count) {
    std::string text;
    for (int i = 0; i < count; ++i) text += line;
    return text;
}

std::vector<std::size_t> piece_starts(const Document& document) {
    std::vector<std::size_t> starts;
    for (std::size_t leaf = 0; leaf < document.buffer().leaf_count(); ++leaf)
        starts.push_back(document.buffer().first_line_of_leaf(leaf));
    return starts;
}

/// The same text, whose pieces begin elsewhere: lines above it were taken away.
std::unique_ptr<Document> shifted(const std::string& text, std::shared_ptr<const shop::Shop> shop) {
    auto document = std::make_unique<Document>(lines_of("(ABOVE)\n", 30) + text, std::move(shop), "job.nc");
    document->edit({{0, 0}, {30, 0}}, "");
    document->evaluate();
    REQUIRE(document->buffer().whole() == text);
    const std::vector<std::size_t> fresh = piece_starts(Document(text, nullptr));
    if (fresh.size() > 1) REQUIRE(piece_starts(*document) != fresh);
    return document;
}

template <class Show>
void require_same(const std::string& text, std::shared_ptr<const shop::Shop> shop, Show show) {
    std::ostringstream followed, fresh;
    show(*shifted(text, shop), followed);
    show(Document(text, shop, "job.nc"), fresh);
    REQUIRE(!fresh.str().empty());
    REQUIRE(followed.str() == fresh.str());
}

void put(std::ostream& out, const Range& range) {
    out << range.begin.line << ':' << range.begin.column << '-' << range.end.line << ':' << range.end.column
        << ' ';
}

const std::string cutting = lines_of("X40. Z-1.\n", 20);

} // namespace

TEST_CASE("the note that names the machine is looked for in the same lines") {
    const auto shop =
        shop_of("[[machine]]\nname = \"short bed\"\n[[machine]]\nname = \"long bed\"\nfolders = [\"x\"]\n");
    for (const int above : {10, 40, 63, 64, 70}) {
        const std::string text =
            lines_of("(HEAD)\n", above) + "(MACHINE: LONG BED)\n" + lines_of("G00 X1.\n", 90);
        INFO(above);
        REQUIRE(shifted(text, shop)->settings().machine.name == (above < 64 ? "long bed" : "short bed"));
        REQUIRE(Document(text, shop, "job.nc").settings().machine.name ==
                (above < 64 ? "long bed" : "short bed"));
    }
}

TEST_CASE("a note of the machine comes and goes with the lines above it") {
    const auto shop =
        shop_of("[[machine]]\nname = \"short bed\"\n[[machine]]\nname = \"long bed\"\nfolders = [\"x\"]\n");
    Document document(lines_of("(HEAD)\n", 70) + "(MACHINE: LONG BED)\n" + cutting, shop, "job.nc");
    REQUIRE(document.settings().machine.name == "short bed");
    document.edit({{0, 0}, {20, 0}}, "");
    document.evaluate();
    REQUIRE(document.settings().machine.name == "long bed");
    document.edit({{0, 0}, {0, 0}}, lines_of("(HEAD)\n", 20));
    document.evaluate();
    REQUIRE(document.settings().machine.name == "short bed");
}

TEST_CASE("values and ways of writing are learned from the same lines") {
    std::string text = "O1\nG21 G99\n";
    for (int i = 1; i < 12; ++i)
        text += "G97 S" + std::to_string(i * 100) + " M03\nG01 X40. F." + std::to_string(i) + "\n" +
                (i < 6 ? "g1x2.t5\n" : "G01 X2. T0505\n") + cutting + "G97 S\nG01 X1. F\nG\n";
    require_same(text, shop_of(codes::System::A), [](const Document& document, std::ostream& out) {
        for (std::size_t line = 0; line < document.buffer().line_count(); ++line) {
            const std::string_view written = document.buffer().line(line);
            if (!written.ends_with('S') && !written.ends_with('F') && !written.ends_with('G')) continue;
            const Position at{static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(written.size())};
            for (const CompletionItem& item : complete(document, at)) out << item.edit.text << ' ';
            out << '\n';
        }
    });
}

TEST_CASE("a growing selection takes in the same pass") {
    for (const int blocks : {5, 400, 1500}) {
        const std::string text = "O1\nG21 G99\nG00 X50. Z2.\nG01 F.2\n" + lines_of("X40. Z-1.\n", blocks) +
                                 "G00 X60.\nZ5.\n" + cutting + "M30\n";
        require_same(text, shop_of(codes::System::A), [](const Document& document, std::ostream& out) {
            for (std::uint32_t line = 0; line < document.buffer().line_count(); line += 7) {
                for (const Range& range : selection_ranges(document, {line, 1})) put(out, range);
                out << '\n';
            }
        });
    }
}

TEST_CASE("a contour folds however long it is") {
    const std::string text = "G71 P10 Q20 U.4 W.1 F.2\nN10 G00 X10.\n" + lines_of("X20. Z-2.\n", 3000) +
                             "N20 X60.\nG70 P10 Q20\nM30\n";
    const Document document(text, shop_of(codes::System::A), "job.nc");
    const std::vector<FoldingRange> folds = folding_ranges(document);
    const auto contour = [](const FoldingRange& fold) { return fold.kind == FoldingRange::Kind::contour; };
    REQUIRE(std::count_if(folds.begin(), folds.end(), contour) == 1);
    const FoldingRange found = *std::find_if(folds.begin(), folds.end(), contour);
    CHECK(found.first_line == 1);
    CHECK(found.last_line == 3002);
}

TEST_CASE("what a fix puts in ends as the line where it stands") {
    // One line in ten ends otherwise, so that a piece's first line says nothing about the others.
    std::string text = "O1\nG21 G99\n";
    for (int i = 0; i < 30; ++i) {
        const std::string end = i % 3 == 0 ? "\r\n" : i % 3 == 1 ? "\r" : "\n";
        text += "M03 S500" + end + "X40. Z-1.\nX41.\r\nM04" + end + cutting;
    }
    require_same(text, shop_of(codes::System::A), [](const Document& document, std::ostream& out) {
        for (const CodeAction& action : code_actions(document, {{0, 0}, document.buffer().end()}))
            for (const TextEdit& edit : action.edits) {
                if (edit.text.find_first_of("\r\n") == std::string::npos) continue;
                put(out, edit.range);
                const std::size_t begin = edit.text.find_first_of("\r\n");
                const std::size_t end = edit.text.find_first_not_of("\r\n", begin);
                for (const char c : edit.text.substr(begin, end - begin)) out << (c == '\r' ? "CR " : "LF ");
                out << '\n';
            }
    });
    const Document document(text, shop_of(codes::System::A), "job.nc");
    int seen = 0;
    for (const CodeAction& action : code_actions(document, {{0, 0}, document.buffer().end()}))
        for (const TextEdit& edit : action.edits) {
            if (edit.text != "M05\r\n" && edit.text != "M05\r" && edit.text != "M05\n") continue;
            ++seen;
            const text::Leaf& leaf =
                *document.buffer().leaf(document.place_of_line(edit.range.begin.line).run);
            const std::size_t line =
                edit.range.begin.line -
                document.buffer().first_line_of_leaf(document.place_of_line(edit.range.begin.line).run);
            const std::size_t behind = leaf.line_starts[line] + leaf.line(line).size();
            INFO(edit.range.begin.line);
            CHECK(leaf.bytes.compare(behind, edit.text.size() - 3, edit.text.substr(3)) == 0);
        }
    CHECK(seen > 10);
}
