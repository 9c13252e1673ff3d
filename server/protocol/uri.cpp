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

std::string in_small_letters(std::string_view text) {
    std::string small(text);
    for (char& c : small) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return small;
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
        const auto name = decoded(rest.substr(2, slash - 2));
        if (!name || name->find_first_of("/\\") != std::string::npos) return std::nullopt;
        host = in_small_letters(*name);
        rest = rest.substr(slash);
        if (host == "localhost") host.clear();
    }
    auto path = decoded(rest);
    if (!path || path->empty() || (*path)[0] != '/') return std::nullopt;
    if (has_drive(*path))
        (*path)[1] = static_cast<char>(std::tolower(static_cast<unsigned char>((*path)[1])));
    return host.empty() ? *path : "//" + host + *path;
}

bool is_follower(char c) {
    return (static_cast<unsigned char>(c) & 0xc0) == 0x80;
}

/// Windows names are UTF-16: what is no UTF-8 has no name there.
bool is_utf8(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const std::size_t length = lead < 0x80                   ? 1
                                   : lead >= 0xc2 && lead < 0xe0 ? 2
                                   : lead >= 0xe0 && lead < 0xf0 ? 3
                                   : lead >= 0xf0 && lead < 0xf5 ? 4
                                                                 : 0;
        if (length == 0 || i + length > text.size()) return false;
        for (std::size_t k = 1; k < length; ++k)
            if (!is_follower(text[i + k])) return false;
        const auto second = length > 1 ? static_cast<unsigned char>(text[i + 1]) : 0;
        const bool overlong = (lead == 0xe0 && second < 0xa0) || (lead == 0xf0 && second < 0x90);
        const bool beyond = (lead == 0xed && second >= 0xa0) || (lead == 0xf4 && second >= 0x90);
        if (overlong || beyond) return false;
        i += length;
    }
    return true;
}

std::optional<std::string> windows_path(std::string path) {
    std::replace(path.begin(), path.end(), '\\', '/');
    if (!is_utf8(path)) return std::nullopt;
    if (has_drive(path)) {
        path.erase(0, 1);
        return path.size() == 2 ? path + "/" : path; // "c:" alone would be the folder that drive is in now
    }
    // A share, "//server/share". "//./" and "//?/" are the ways to devices.
    if (path.substr(0, 2) == "//" && (path.size() < 3 || path[2] == '/' || path[2] == '.' || path[2] == '?'))
        return std::nullopt;
    return path;
}

} // namespace

std::string normal_uri(std::string_view uri) {
    const auto path = plain_path(uri);
    return path ? "file://" + encoded(*path) : std::string(uri);
}

std::optional<std::string> path_text_of_uri(std::string_view uri, PathStyle style) {
    auto path = plain_path(uri);
    if (!path || style == PathStyle::windows) return path ? windows_path(std::move(*path)) : path;
    if (path->substr(0, 2) == "//") return std::nullopt; // on another computer
    return path;
}

std::string uri_of_path_text(std::string_view path, PathStyle style) {
    if (style == PathStyle::posix) return "file://" + encoded(path);
    std::string text(path);
    std::replace(text.begin(), text.end(), '\\', '/');
    if (text.substr(0, 2) == "//") return "file:" + encoded(text);
    const bool drive = text.size() >= 2 && is_letter(text[0]) && text[1] == ':';
    return (drive ? "file:///" : "file://") + encoded(text);
}

std::optional<std::filesystem::path> path_of_uri(std::string_view uri) {
    const auto path = path_text_of_uri(uri, native_style);
    if (!path) return std::nullopt;
    if constexpr (native_style == PathStyle::posix)
        return std::filesystem::path(*path);
    else
        return std::filesystem::path(std::u8string(path->begin(), path->end()));
}

std::string uri_of_path(const std::filesystem::path& path) {
    if constexpr (native_style == PathStyle::posix) return uri_of_path_text(path.string(), native_style);
    const std::u8string text = path.u8string();
    return uri_of_path_text(std::string(text.begin(), text.end()), native_style);
}

} // namespace turnwright::protocol
