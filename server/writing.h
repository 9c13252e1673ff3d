// What subcommands that make a text do with it.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

namespace turnwright::commands {

inline constexpr int done = 0, in_trouble = 2;

/// To standard output. Returns the exit status; trouble is told on standard error.
int write_out(std::string_view text);
/// The new text of a program in the place of the old.
int write_back(const std::string& path, std::string_view text);

/// Where a report goes.
struct ReportPlace {
    std::string path;    ///< Empty or "-": standard output
    std::string program; ///< What the report is about
    bool force = false;  ///< Take the place of what is no report, too
};
/// A report never takes the place of a program, and of another file only by force. `endings` are those of its
/// form.
int write_report(const ReportPlace& place, std::initializer_list<std::string_view> endings,
                 std::string_view text);

/// Tells why nothing can be done for a file; returns the exit status for it.
int say_trouble(std::string_view file, std::string_view problem);

} // namespace turnwright::commands
