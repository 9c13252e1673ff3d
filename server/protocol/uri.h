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

/// The path of a file URI of this computer; nothing for other schemes, other hosts and broken escapes.
std::optional<std::filesystem::path> path_of_uri(std::string_view uri);
std::string uri_of_path(const std::filesystem::path& path);

} // namespace turnwright::protocol
