#include "protocol/uri.h"

#include <algorithm>
#include <cctype>

namespace turnwright::protocol {
namespace {

bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

int hex_digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

std::optional<std::string> decoded(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '%') {
            out += text[i];
            continue;
        }
        if (i + 2 >= text.size()) return std::nullopt;
        const int high = hex_digit(text[i + 1]);
        const int low = hex_digit(text[i + 2]);
        if (high < 0 || low < 0 || (high == 0 && low == 0)) return std::nullopt;
        out += static_cast<char>(high * 16 + low);
        i += 2;
    }
    return out;
}

std::string encoded(std::string_view path) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    constexpr std::string_view plain = "-._~/:!$&'()*+,;=@";
    std::string out;
    for (const char c : path) {
        const auto byte = static_cast<unsigned char>(c);
        if ((byte < 0x80 && std::isalnum(byte)) || plain.find(c) != std::string_view::npos) {
            out += c;
        } else {
            out += '%';
            out += digits[byte >> 4];
            out += digits[byte & 15];
        }
    }
    return out;
}

bool is_file_scheme(std::string_view uri) {
    constexpr std::string_view scheme = "file:";
    if (uri.size() < scheme.size()) return false;
    for (std::size_t i = 0; i < scheme.size(); ++i)
        if (std::tolower(static_cast<unsigned char>(uri[i])) != scheme[i]) return false;
    return true;
}

/// "/c:/shop" has a drive letter.
bool has_drive(std::string_view path) {
    return path.size() >= 3 && path[0] == '/' && is_letter(path[1]) && path[2] == ':';
}

/// Path of a file URI with forward slashes, "/c:/shop" or "/home/shop"; a foreign host stays in front.
std::optional<std::string> plain_path(std::string_view uri) {
    if (!is_file_scheme(uri)) return std::nullopt;
    std::string_view rest = uri.substr(5);
    if (const std::size_t end = rest.find_first_of("?#"); end != std::string_view::npos)
        rest = rest.substr(0, end);
    std::string host;
    if (rest.substr(0, 2) == "//") {
        const std::size_t slash = std::min(rest.find('/', 2), rest.size());
        host = rest.substr(2, slash - 2);
        rest = rest.substr(slash);
        if (host == "localhost") host.clear();
    }
    auto path = decoded(rest);
    if (!path || path->empty() || (*path)[0] != '/') return std::nullopt;
    if (has_drive(*path))
        (*path)[1] = static_cast<char>(std::tolower(static_cast<unsigned char>((*path)[1])));
    return host.empty() ? *path : "//" + host + *path;
}

} // namespace

std::string normal_uri(std::string_view uri) {
    const auto path = plain_path(uri);
    return path ? "file://" + encoded(*path) : std::string(uri);
}

std::optional<std::filesystem::path> path_of_uri(std::string_view uri) {
    auto path = plain_path(uri);
    if (!path) return std::nullopt;
    if (path->substr(0, 2) == "//") {
#ifdef _WIN32
        return std::filesystem::path(std::u8string(path->begin(), path->end())); // a share: \\host\share
#else
        return std::nullopt;
#endif
    }
#ifdef _WIN32
    if (has_drive(*path)) path->erase(0, 1);
    return std::filesystem::path(std::u8string(path->begin(), path->end()));
#else
    return std::filesystem::path(*path);
#endif
}

std::string uri_of_path(const std::filesystem::path& path) {
#ifdef _WIN32
    const std::u8string wide = path.generic_u8string();
    std::string text(wide.begin(), wide.end());
#else
    std::string text = path.generic_string();
#endif
    if (text.size() >= 2 && is_letter(text[0]) && text[1] == ':') text.insert(0, "/");
    return "file://" + encoded(text);
}

} // namespace turnwright::protocol
