// What subcommands that make a text do with it.
#pragma once

#include <string>
#include <string_view>

namespace turnwright::commands {

inline constexpr int done = 0, in_trouble = 2;

/// To the file, or to standard output when `path` is empty or "-". Returns the exit status; trouble is told
/// on standard error. A file is written beside its place first, so that a full disk leaves the old one as it
/// was.
int write_out(const std::string& path, std::string_view text);
/// Tells why nothing can be done for a file; returns the exit status for it.
int say_trouble(std::string_view file, std::string_view problem);

} // namespace turnwright::commands
