#include "host/file.h"

#include <iostream>
#include <random>

namespace turnwright::host {
namespace {

constexpr std::string_view hex_digits = "0123456789abcdef";

std::string size_text(std::uintmax_t bytes) {
    const bool is_small = bytes < 1u << 20;
    return std::to_string(is_small ? bytes >> 10 : (bytes + (1u << 19)) >> 20) + (is_small ? " KB" : " MB");
}

} // namespace

std::string too_large(std::uintmax_t bytes, std::uintmax_t largest) {
    return "too large: " + size_text(bytes) + ", at most " + size_text(largest) + " are read";
}

std::string unguessable_name() {
    std::random_device random(random_source); // not a number that the processor alone has made
    std::string name;
    while (name.size() < 32) name += hex_digits[random() & 15];
    return name;
}

std::string shown_name(std::string_view name) {
    std::string shown;
    for (std::size_t i = 0; i < name.size(); ++i) {
        const auto byte = static_cast<unsigned char>(name[i]);
        // U+0080 to U+009F are control characters too.
        const bool control =
            byte < 0x20 || byte == 0x7f ||
            (byte == 0xc2 && i + 1 < name.size() && static_cast<unsigned char>(name[i + 1]) < 0xa0);
        if (!control) {
            shown += name[i];
            continue;
        }
        const auto code = byte == 0xc2 ? static_cast<unsigned char>(name[++i]) : byte;
        shown += {'\\', 'x', hex_digits[code >> 4], hex_digits[code & 15]};
    }
    return shown;
}

FileRead read_standard_input(std::uintmax_t largest) {
    FileRead read;
    std::string part(1 << 16, '\0');
    while (std::cin.read(part.data(), static_cast<std::streamsize>(part.size())) || std::cin.gcount() > 0) {
        read.bytes.append(part, 0, static_cast<std::size_t>(std::cin.gcount()));
        if (read.bytes.size() > largest)
            return {{}, "too large: at most " + size_text(largest) + " are read"};
    }
    return read;
}

} // namespace turnwright::host
