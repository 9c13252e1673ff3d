#pragma once

#include <string_view>

namespace turnwright::report {

/// Most lines are words of speech and hardly any is a block. Notes count for nothing.
bool is_prose(std::string_view text);

} // namespace turnwright::report
