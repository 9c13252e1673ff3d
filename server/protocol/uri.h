// Document URIs and file paths (RFC 3986, RFC 8089).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace turnwright::protocol {

/// One spelling for all spellings of a URI, to find a document by: percent signs decoded where that is safe,
/// the drive letter in lower case. Anything but a file URI stays as it is.
std::string normal_uri(std::string_view uri);

/// How a computer writes paths: "/shop/a.nc"; or "c:/shop/a.nc" and "//server/share/a.nc".
enum class PathStyle { posix, windows };
#ifdef _WIN32
inline constexpr PathStyle native_style = PathStyle::windows;
#else
inline constexpr PathStyle native_style = PathStyle::posix;
#endif

/// The path that a file URI names on a computer of that style, in UTF-8 with forward slashes; nothing for
/// other schemes, broken escapes, and what cannot be a file there: another host where there are no shares, a
/// device.
std::optional<std::string> path_text_of_uri(std::string_view uri, PathStyle style);
std::string uri_of_path_text(std::string_view path, PathStyle style);

/// The path of a file URI of this computer; nothing for other schemes, other hosts and broken escapes.
std::optional<std::filesystem::path> path_of_uri(std::string_view uri);
std::string uri_of_path(const std::filesystem::path& path);

} // namespace turnwright::protocol
