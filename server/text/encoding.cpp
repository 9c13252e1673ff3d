// Characters of a line in UTF-8, UTF-16 and UTF-32. Invalid bytes count as one character each in all three,
// so that a file from an old 8-bit control still has a column for every byte.
#include "text/text.h"

#include <algorithm>
#include <cstring>

namespace turnwright::text {
namespace {

/// Bytes at the start of `line` up to `limit` that are ASCII, by eight at a time (short of it by at most
/// seven).
std::size_t ascii_run(const char* line, std::size_t limit) {
    std::size_t i = 0;
    for (; i + 8 <= limit; i += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, line + i, sizeof word);
        if ((word & 0x8080808080808080U) != 0) break;
    }
    return i;
}

/// Length of the character at the front of `bytes` (not empty): 2 to 4 for a well-formed sequence of
/// Unicode 15 table 3-7, else 1.
std::size_t sequence_length(std::string_view bytes) {
    const auto byte = [&](std::size_t i) -> unsigned { return static_cast<unsigned char>(bytes[i]); };
    const auto follows = [&](std::size_t i, unsigned low = 0x80, unsigned high = 0xbf) {
        return i < bytes.size() && byte(i) >= low && byte(i) <= high;
    };
    const unsigned lead = byte(0);
    if (lead < 0xc2 || lead > 0xf4) return 1;
    if (lead < 0xe0) return follows(1) ? 2 : 1;
    if (lead < 0xf0) {
        const unsigned low = lead == 0xe0 ? 0xa0 : 0x80;  // no overlong forms
        const unsigned high = lead == 0xed ? 0x9f : 0xbf; // no surrogates
        return follows(1, low, high) && follows(2) ? 3 : 1;
    }
    const unsigned low = lead == 0xf0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xf4 ? 0x8f : 0xbf; // nothing above U+10FFFF
    return follows(1, low, high) && follows(2) && follows(3) ? 4 : 1;
}

std::uint32_t units(std::size_t length, Encoding encoding) {
    if (encoding == Encoding::utf8) return static_cast<std::uint32_t>(length);
    return encoding == Encoding::utf16 && length == 4 ? 2 : 1;
}

/// Walks whole characters while neither limit is passed.
struct Place {
    std::size_t bytes = 0;
    std::uint32_t characters = 0;
};
Place walk(std::string_view line, std::size_t byte_limit, std::uint32_t character_limit, Encoding encoding) {
    Place at;
    while (at.bytes < byte_limit) {
        const std::size_t left =
            std::min<std::size_t>(byte_limit - at.bytes, character_limit - at.characters);
        const std::size_t plain = ascii_run(line.data() + at.bytes, left);
        at.bytes += plain;
        at.characters += static_cast<std::uint32_t>(plain);
        if (at.bytes == byte_limit) break;
        const std::size_t length = sequence_length(line.substr(at.bytes));
        const std::uint32_t wide = units(length, encoding);
        if (at.bytes + length > byte_limit || wide > character_limit - at.characters) break;
        at.bytes += length;
        at.characters += wide;
    }
    return at;
}

} // namespace

std::uint32_t count_characters(std::string_view line, std::uint32_t column, Encoding encoding) {
    const std::size_t limit = std::min<std::size_t>(column, line.size());
    return walk(line, limit, UINT32_MAX, encoding).characters;
}

std::uint32_t find_column(std::string_view line, std::uint32_t characters, Encoding encoding) {
    return static_cast<std::uint32_t>(walk(line, line.size(), characters, encoding).bytes);
}

} // namespace turnwright::text
