#include "text/model.h"

#include <catch2/catch.hpp>

using namespace model;
using turnwright::text::count_characters;
using turnwright::text::find_column;

namespace {

constexpr Encoding encodings[] = {Encoding::utf8, Encoding::utf16, Encoding::utf32};

/// Decodes a character the long way: computes the value and compares it with the range its length is for
/// (The Unicode Standard 15, section 3.9, table 3-7 and D92, from memory).
std::size_t slow_length(std::string_view bytes) {
    const auto at = [&](std::size_t i) {
        return static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[i]));
    };
    const std::uint32_t lead = at(0);
    std::size_t length = 0;
    std::uint32_t value = 0;
    if ((lead & 0x80) == 0) return 1;
    if ((lead & 0xe0) == 0xc0) length = 2, value = lead & 0x1f;
    if ((lead & 0xf0) == 0xe0) length = 3, value = lead & 0x0f;
    if ((lead & 0xf8) == 0xf0) length = 4, value = lead & 0x07;
    if (length == 0 || length > bytes.size()) return 1;
    for (std::size_t i = 1; i < length; ++i) {
        if ((at(i) & 0xc0) != 0x80) return 1;
        value = value << 6 | (at(i) & 0x3f);
    }
    const std::uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (value < least[length] || value > 0x10ffff || (value >= 0xd800 && value <= 0xdfff)) return 1;
    return length;
}

/// For each byte of the line, and its end: how many of the client's characters lie before the character it is
/// in.
std::vector<std::uint32_t> slow_counts(std::string_view line, Encoding encoding,
                                       std::vector<std::uint32_t>& starts) {
    std::vector<std::uint32_t> counts;
    std::uint32_t count = 0;
    for (std::size_t i = 0; i < line.size();) {
        const std::size_t length = slow_length(line.substr(i));
        starts.push_back(static_cast<std::uint32_t>(i));
        for (std::size_t k = 0; k < length; ++k) counts.push_back(count);
        if (encoding == Encoding::utf8) count += static_cast<std::uint32_t>(length);
        if (encoding == Encoding::utf16) count += length == 4 ? 2 : 1;
        if (encoding == Encoding::utf32) count += 1;
        i += length;
    }
    counts.push_back(count);
    starts.push_back(static_cast<std::uint32_t>(line.size()));
    return counts;
}

void check_line(std::string_view line) {
    for (const Encoding encoding : encodings) {
        std::vector<std::uint32_t> starts;
        const auto counts = slow_counts(line, encoding, starts);
        for (std::uint32_t column = 0; column <= line.size(); ++column) {
            INFO("column " << column << " encoding " << static_cast<int>(encoding));
            if (count_characters(line, column, encoding) != counts[column])
                REQUIRE(count_characters(line, column, encoding) == counts[column]);
        }
        REQUIRE(count_characters(line, UINT32_MAX, encoding) == counts.back());
        // Back: the last character start whose count is not past what is asked for.
        for (std::uint32_t asked = 0; asked <= counts.back() + 2; ++asked) {
            std::uint32_t want = 0;
            for (const auto start : starts)
                if (counts[start] <= asked) want = start;
            INFO("asked " << asked << " encoding " << static_cast<int>(encoding));
            if (find_column(line, asked, encoding) != want)
                REQUIRE(find_column(line, asked, encoding) == want);
        }
        REQUIRE(find_column(line, UINT32_MAX, encoding) == line.size());
    }
}

} // namespace

TEST_CASE("a wrench and an umlaut in a note count as the protocol says") {
    // U+00E4 is 2 bytes and one unit; U+1F527 is 4 bytes, two UTF-16 units and one code point.
    const Buffer buffer("(\xc3\xa4\xf0\x9f\x94\xa7) G1\n");
    CHECK(buffer.to_client({0, 3}, Encoding::utf16) == 2);
    CHECK(buffer.to_client({0, 7}, Encoding::utf16) == 4);
    CHECK(buffer.to_client({0, 7}, Encoding::utf32) == 3);
    CHECK(buffer.to_client({0, 7}, Encoding::utf8) == 7);
    CHECK(buffer.from_client(0, 3, Encoding::utf16) == Position{0, 3}); // inside the surrogate pair
    CHECK(buffer.from_client(0, 4, Encoding::utf16) == Position{0, 7});
    CHECK(buffer.from_client(0, 5, Encoding::utf8) == Position{0, 3}); // inside the four bytes
    CHECK(buffer.from_client(0, 99, Encoding::utf16) == Position{0, 11});
    CHECK(buffer.from_client(1, 0, Encoding::utf16) == Position{1, 0});
    CHECK(buffer.from_client(7, 3, Encoding::utf16) == buffer.end());
}

TEST_CASE("past the end of a line goes before its line end, whichever it is") {
    const Buffer buffer("G0\r\nG1\rG2\nG3");
    for (std::uint32_t line = 0; line < 4; ++line)
        for (const Encoding encoding : encodings)
            CHECK(buffer.from_client(line, 50, encoding) == Position{line, 2});
    CHECK(buffer.clamp({0, 3}) == Position{0, 2});
}

TEST_CASE("every two bytes, and every lead with each border of its second byte, count as the long way does") {
    for (int a = 0; a < 256; ++a)
        for (int b = 0; b < 256; ++b) {
            const char pair[] = {static_cast<char>(a), static_cast<char>(b), '\x80', '\x80', 'x'};
            check_line(std::string_view(pair, 2));
            check_line(std::string_view(pair, 5));
        }
}

TEST_CASE("random lines convert both ways in every encoding") {
    Writer writer(7);
    for (int n = 0; n < 400; ++n) {
        const std::string text = writer.text(writer.below(40));
        for (const auto& line : lines_of(text))
            check_line(std::string_view(text).substr(line.begin, line.length));
    }
}

TEST_CASE("positions of a whole buffer go to the client and back") {
    Writer writer(8);
    const std::string text = writer.text(1500);
    const Buffer buffer(text);
    for (std::uint32_t line = 0; line < buffer.line_count(); ++line) {
        std::uint32_t column = 0;
        const auto content = buffer.line(line);
        while (true) { // every character start survives the way there and back
            for (const Encoding encoding : encodings) {
                const auto back =
                    buffer.from_client(line, buffer.to_client({line, column}, encoding), encoding);
                if (back != Position{line, column}) FAIL("line " << line << " column " << column);
            }
            if (column >= content.size()) break;
            column += static_cast<std::uint32_t>(slow_length(content.substr(column)));
        }
    }
}
