#include "rpc/mending.h"

#include <charconv>
#include <cstdint>
#include <optional>
#include <system_error>

namespace turnwright::rpc {
namespace {

constexpr std::string_view replacement = "\xef\xbf\xbd"; // U+FFFD

unsigned char byte_at(std::string_view text, std::size_t at) {
    return at < text.size() ? static_cast<unsigned char>(text[at]) : 0;
}

bool is_continuation(unsigned char c) {
    return (c & 0xc0) == 0x80;
}

/// Bytes of the character at the front, which is none of ASCII; 0 when it is no UTF-8.
std::size_t character_length(std::string_view text) {
    const unsigned char first = byte_at(text, 0), second = byte_at(text, 1);
    if (!is_continuation(second)) return 0;
    if (first >= 0xc2 && first <= 0xdf) return 2;
    if (!is_continuation(byte_at(text, 2))) return 0;
    if (first == 0xe0) return second >= 0xa0 ? 3 : 0;
    if (first == 0xed) return second <= 0x9f ? 3 : 0;
    if (first >= 0xe1 && first <= 0xef) return 3;
    if (!is_continuation(byte_at(text, 3))) return 0;
    if (first == 0xf0) return second >= 0x90 ? 4 : 0;
    if (first == 0xf4) return second <= 0x8f ? 4 : 0;
    return first >= 0xf1 && first <= 0xf3 ? 4 : 0;
}

/// Half of a surrogate pair, written as if it were a character.
bool is_raw_half(std::string_view text) {
    return byte_at(text, 0) == 0xed && byte_at(text, 1) >= 0xa0 && is_continuation(byte_at(text, 1)) &&
           is_continuation(byte_at(text, 2));
}

/// The number of an escape like \ud83d at the front.
std::optional<unsigned> escaped(std::string_view text) {
    if (text.size() < 6 || text[0] != '\\' || text[1] != 'u') return std::nullopt;
    unsigned number = 0;
    const auto [end, failed] = std::from_chars(text.data() + 2, text.data() + 6, number, 16);
    if (failed != std::errc{} || end != text.data() + 6) return std::nullopt;
    return number;
}

/// The escape at the front, or what stands for it; `taken` bytes of the text are used up.
std::string_view mend_escape(std::string_view text, std::size_t& taken) {
    const auto is = [](std::optional<unsigned> number, unsigned from, unsigned to) {
        return number && *number >= from && *number <= to;
    };
    const auto number = escaped(text);
    if (is(number, 0xd800, 0xdbff) && is(escaped(text.substr(6)), 0xdc00, 0xdfff))
        taken = 12;
    else if (is(number, 0xd800, 0xdfff)) {
        taken = 6;
        return replacement;
    } else {
        taken = 2;
    }
    return text.substr(0, taken);
}

} // namespace

std::string mended(std::string_view json) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    out.reserve(json.size());
    bool in_string = false;
    for (std::size_t at = 0; at < json.size();) {
        const auto c = static_cast<unsigned char>(json[at]);
        std::size_t taken = 1;
        if (c >= 0x80) {
            const std::string_view rest = json.substr(at);
            if (const std::size_t length = character_length(rest); length > 0)
                out += rest.substr(0, taken = length);
            else if (is_raw_half(rest)) {
                out += replacement;
                taken = 3;
            } else {
                out += '?';
            }
        } else if (in_string && c == '\\') {
            out += mend_escape(json.substr(at), taken);
        } else if (in_string && c < ' ') {
            out += {'\\', 'u', '0', '0', digits[c >> 4], digits[c & 15]};
        } else {
            in_string ^= c == '"';
            out += json[at];
        }
        at += taken;
    }
    return out;
}

} // namespace turnwright::rpc
