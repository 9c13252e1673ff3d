#include "text/model.h"

#include <catch2/catch.hpp>

using namespace model;

namespace {

/// Everything a buffer can be asked, against the plain text.
void check_same(const Buffer& buffer, const std::string& text) {
    const auto lines = lines_of(text);
    REQUIRE(buffer.whole() == text);
    REQUIRE(buffer.byte_count() == text.size());
    REQUIRE(buffer.line_count() == lines.size());
    REQUIRE(buffer.end() == Position{static_cast<std::uint32_t>(lines.size() - 1),
                                     static_cast<std::uint32_t>(lines.back().length)});

    std::size_t line = 0;
    std::size_t offset = 0;
    for (std::size_t i = 0; i < buffer.leaf_count(); ++i) {
        const auto& leaf = *buffer.leaf(i);
        const bool last = i + 1 == buffer.leaf_count();
        REQUIRE(buffer.first_line_of_leaf(i) == line);
        REQUIRE(leaf.line_count() >= 1);
        REQUIRE(leaf.line_count() <= 2 * Buffer::target_lines);
        if (buffer.leaf_count() > 1) REQUIRE(leaf.line_count() >= Buffer::target_lines / 2);
        if (!last) {
            REQUIRE(!leaf.bytes.empty());
            REQUIRE((leaf.bytes.back() == '\n' || leaf.bytes.back() == '\r'));
            REQUIRE(!(leaf.bytes.back() == '\r' && buffer.leaf(i + 1)->bytes[0] == '\n'));
        }
        for (std::size_t k = 0; k < leaf.line_count(); ++k, ++line) {
            // One comparison a line keeps the run fast; a miss is told apart below.
            const bool same =
                line < lines.size() && offset + leaf.line_starts[k] == lines[line].begin &&
                leaf.line(k) == std::string_view(text).substr(lines[line].begin, lines[line].length) &&
                buffer.leaf_of_line(line) == i && buffer.line(line) == leaf.line(k);
            if (!same) {
                CAPTURE(i, k, line);
                REQUIRE(line < lines.size());
                REQUIRE(offset + leaf.line_starts[k] == lines[line].begin);
                REQUIRE(std::string(leaf.line(k)) == text.substr(lines[line].begin, lines[line].length));
                REQUIRE(buffer.leaf_of_line(line) == i);
                REQUIRE(buffer.line(line) == leaf.line(k));
            }
        }
        offset += leaf.bytes.size();
    }
    REQUIRE(line == lines.size());
    REQUIRE(buffer.line(lines.size()).empty());
}

void check_splice(const Buffer& before, const Buffer& after, Splice splice) {
    REQUIRE(splice.first + splice.removed <= before.leaf_count());
    REQUIRE(before.leaf_count() - splice.removed + splice.inserted == after.leaf_count());
    for (std::size_t i = 0; i < splice.first; ++i)
        if (before.leaf(i) != after.leaf(i)) FAIL("leaf " << i << " before the splice changed");
    for (std::size_t i = splice.first + splice.removed; i < before.leaf_count(); ++i)
        if (before.leaf(i) != after.leaf(i - splice.removed + splice.inserted))
            FAIL("leaf " << i << " after the splice changed");
}

/// A leaf is small enough to be looked through whole; an edit may not pull in more than it and its
/// neighbours.
void check_local(const Buffer& before, Splice splice, Range range) {
    Position begin = before.clamp(range.begin);
    Position stop = before.clamp(range.end);
    if (stop < begin) std::swap(begin, stop);
    const std::size_t touched = before.leaf_of_line(stop.line) - before.leaf_of_line(begin.line) + 1;
    REQUIRE(splice.removed >= touched);
    REQUIRE(splice.removed <= touched + 2);
}

void run_script(std::uint32_t seed, std::size_t edits, std::size_t start_pieces, std::size_t piece_limit) {
    CAPTURE(seed);
    Writer writer(seed);
    std::string text = writer.text(start_pieces);
    Buffer buffer(text);
    check_same(buffer, text);
    for (std::size_t n = 0; n < edits; ++n) {
        CAPTURE(n);
        const auto lines = lines_of(text);
        Range range{writer.position(lines), {}};
        switch (writer.below(5)) {
        case 0:
            range.end = writer.position(lines);
            break; // anywhere, often out of order
        case 1:
            range.end = range.begin;
            break;
        default: // near by
            range.end = {range.begin.line + static_cast<std::uint32_t>(writer.below(3)),
                         static_cast<std::uint32_t>(writer.below(8))};
        }
        if (writer.below(60) == 0) range = {{0, 0}, {UINT32_MAX, UINT32_MAX}};
        const std::string with =
            writer.text(writer.below(4) == 0 ? writer.below(piece_limit) : writer.below(3));
        const Buffer before = buffer;
        const std::string before_text = text;

        REQUIRE(buffer.slice(range) == [&] {
            std::size_t from = offset_of(lines, range.begin);
            std::size_t to = offset_of(lines, range.end);
            if (to < from) std::swap(from, to);
            return text.substr(from, to - from);
        }());
        const Splice splice = buffer.replace(range, with);
        model::replace(text, range, with);

        check_same(buffer, text);
        check_splice(before, buffer, splice);
        check_local(before, splice, range);
        REQUIRE(before.whole() == before_text); // a snapshot stays as it was
    }
}

} // namespace

TEST_CASE("lines end at LF, CR LF and a lone CR") {
    const std::string text = "a\nb\r\nc\rd\r\r\n\n\re";
    check_same(Buffer(text), text);
    CHECK(Buffer(text).line_count() == 8); // a b c d, three empty, e
    CHECK(Buffer("").line_count() == 1);
    CHECK(Buffer("").end() == Position{0, 0});
    CHECK(Buffer("x\n").line_count() == 2);
    CHECK(Buffer("x\r").line_count() == 2);
}

TEST_CASE("random edit scripts leave what a plain string would hold") {
    for (std::uint32_t seed = 1; seed <= 12; ++seed) run_script(seed, 60, 2500, 700);
}

TEST_CASE("random edit scripts on short text") {
    for (std::uint32_t seed = 100; seed < 130; ++seed) run_script(seed, 60, seed % 7, 12);
}

TEST_CASE("random edit scripts with leaves that shrink and join") {
    for (std::uint32_t seed = 200; seed < 206; ++seed) run_script(seed, 80, 6000, 3);
}

TEST_CASE("a leaf splits past twice its lines and joins below half of them") {
    std::string text;
    for (int i = 0; i < 64 * 4 - 1; ++i) text += "G1\n";
    Buffer buffer(text);
    REQUIRE(buffer.leaf_count() == 4);
    for (int i = 0; i < 64; ++i) buffer.replace({{70, 0}, {70, 0}}, "N1\n");
    CHECK(buffer.leaf_count() == 4);
    CHECK(buffer.leaf(1)->line_count() == 128);
    const Splice split = buffer.replace({{70, 0}, {70, 0}}, "N1\n");
    CHECK(split.first == 1);
    CHECK(split.removed == 1);
    CHECK(split.inserted == 2);
    CHECK(buffer.leaf_count() == 5);

    Buffer shrinking(text);
    shrinking.replace({{64, 0}, {64 + 32, 0}}, "");
    CHECK(shrinking.leaf_count() == 4);
    const Splice joined = shrinking.replace({{64, 0}, {65, 0}}, "");
    CHECK(joined.removed == 2);
    CHECK(shrinking.leaf_count() == 3);
}

TEST_CASE("a CR and an LF that meet at a leaf border become one line end") {
    std::string text;
    for (int i = 0; i < 63; ++i) text += "G1\n";
    text += "G1\r";
    for (int i = 0; i < 64; ++i) text += "G2\n";
    REQUIRE(Buffer(text).leaf_count() == 2);
    SECTION("an LF typed at the start of the second leaf") {
        Buffer buffer(text);
        const Splice splice = buffer.replace({{64, 0}, {64, 0}}, "\n");
        model::replace(text, {{64, 0}, {64, 0}}, "\n");
        CHECK(splice.first == 0);
        check_same(buffer, text);
        CHECK(buffer.line_count() == 64 + 65);
    }
    SECTION("the words before the LF taken away") {
        Buffer buffer(text);
        buffer.replace({{64, 0}, {64, 2}}, "");
        model::replace(text, {{64, 0}, {64, 2}}, "");
        check_same(buffer, text);
        CHECK(buffer.line_count() == 64 + 64);
    }
    SECTION("a CR typed before an LF line end") {
        Buffer buffer(text);
        buffer.replace({{70, 2}, {70, 2}}, "\r");
        model::replace(text, {{70, 2}, {70, 2}}, "\r");
        check_same(buffer, text);
    }
}

TEST_CASE("everything deleted leaves one empty line, and it can be typed into") {
    std::string text;
    for (int i = 0; i < 1000; ++i) text += "X1. Z1.\r\n";
    Buffer buffer(text);
    const Splice splice = buffer.replace({{0, 0}, {UINT32_MAX, 0}}, "");
    CHECK(splice.first == 0);
    CHECK(splice.inserted == 1);
    check_same(buffer, "");
    buffer.replace({{0, 0}, {0, 0}}, "M30\n");
    check_same(buffer, "M30\n");
}

TEST_CASE("a line of 50 MB is held, edited and converted") {
    std::string text = "O1\n" + std::string(50'000'000, 'X') + "\nM30\n";
    Buffer buffer(text);
    CHECK(buffer.line(1).size() == 50'000'000);
    buffer.replace({{1, 25'000'000}, {1, 25'000'001}}, "\xc3\xa4");
    CHECK(buffer.line(1).size() == 50'000'001);
    CHECK(buffer.to_client({1, 50'000'001}, Encoding::utf16) == 50'000'000);
    CHECK(buffer.from_client(1, 50'000'000, Encoding::utf16) == Position{1, 50'000'001});
    buffer.replace({{1, 10}, {1, 10}}, "\n");
    CHECK(buffer.line(1).size() == 10);
    CHECK(buffer.line_count() == 5);
    buffer.replace({{1, 0}, {3, 0}}, "");
    check_same(buffer, "O1\nM30\n");
}
