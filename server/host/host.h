// What is asked of the operating system beside reading and writing: how it spells a path, what is a link, how
// the program was started. There is a file for each kind of system; what is the same on all of them stands
// elsewhere.
//
// Names and texts are UTF-8 everywhere. On Windows std::filesystem::path would read a text as something else:
// path_of makes paths of texts. A path's own string() is UTF-8 there, too.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

namespace turnwright::host {

/// What stands between the folders of a path when it is shown.
inline constexpr char separator = static_cast<char>(std::filesystem::path::preferred_separator);

/// The one spelling of a file or folder that is there: absolute, without links and dots. On Windows also in
/// the letters that the disk has and with a small drive letter, since there many spellings name one file; a
/// mapped drive stays that drive. Empty with `failed` set when it is not there.
std::filesystem::path canonical(const std::filesystem::path& path, std::error_code& failed);
/// The same for what may not be there yet: as far as it is there.
std::filesystem::path weakly_canonical(const std::filesystem::path& path, std::error_code& failed);

/// The folder that nothing is above of: "/", "c:\", "\\server\share\".
std::filesystem::path root_of(const std::filesystem::path& path);

std::filesystem::path path_of(std::string_view text);

/// Whether an entry of a folder stands for something elsewhere: a symbolic link, a junction.
bool is_link(const std::filesystem::directory_entry& entry);
/// Whether it belongs to the user of this process.
bool is_own(const std::filesystem::directory_entry& entry);
/// As fine as the system keeps it; only to be compared.
std::filesystem::file_time_type last_change(const std::filesystem::directory_entry& entry,
                                            std::error_code& failed);

/// What stands behind the program's name on the command line, and the name.
std::vector<std::string> arguments(int count, char** given);
/// The file of this program; empty where that cannot be told.
std::filesystem::path program_file();
/// Whether a person reads what goes to standard error.
bool errors_go_to_a_terminal();
/// Memory comes in pages of 2 MB where the system gives them to who asks: of a program of 500,000 blocks a
/// third of the time goes into single pages otherwise. The C library is told before it starts, so this
/// program takes its own place once; only before anything else is done.
void use_large_pages(char** arguments);
/// Standard streams pass bytes as they are, and a terminal shows UTF-8.
void prepare_streams();

/// The day where the machine stands: "2026-11-28".
std::string today();

} // namespace turnwright::host
