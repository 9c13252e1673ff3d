// A file where there was none.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace turnwright::host {

/// What stands under the name, a link too, is never touched. Returns why it could not be done; empty when it
/// was.
std::string create_file(const std::filesystem::path& path, std::string_view bytes);

} // namespace turnwright::host
