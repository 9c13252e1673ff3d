#pragma once

#include <string>
#include <string_view>

namespace turnwright::report {

/// Why a long text cannot be a part program by the sorts of lines that it is made of: "412 of its 500 lines
/// are program numbers". Such texts would cost more time and memory than any program of their size. Empty for
/// others.
std::string why_lines_are_no_program(std::string_view text);

} // namespace turnwright::report
