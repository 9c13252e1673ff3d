// Files are read and written so that nobody who can write beside them makes the program read, overwrite or
// wait for something else: what counts is what was opened, never what stood under the name before.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace turnwright::host {

/// Bytes, or why there are none, in words for a person: "no such file".
struct FileRead {
    std::string bytes;
    std::string problem;
};

/// A regular file of at most `largest` bytes. A folder, a pipe or a device is refused and never waited for.
/// Links are followed.
FileRead read_file(const std::filesystem::path& path, std::uintmax_t largest);
/// The same for a file that must lie in `folder`, an absolute path without links and dots: nothing below it
/// is followed anywhere else, whatever is put in its place meanwhile.
FileRead read_file_in(const std::filesystem::path& folder, const std::filesystem::path& path,
                      std::uintmax_t largest);
FileRead read_standard_input(std::uintmax_t largest);

/// Puts a whole new file in the place of a file, or where there was none; whatever happens, the old or the
/// new one is there whole. Owner and mode stay; where they or other names of the file (hard links) could not,
/// and where the file is protected against writing, it is left as it was. What is no regular file is written
/// to. Returns why it could not be done; empty when it was.
std::string replace_file(const std::filesystem::path& path, std::string_view bytes);

/// A new folder that only this user may look into; false when it could not be made or was there.
bool make_private_folder(const std::filesystem::path& path);
/// The system's own source of random numbers, as std::random_device names it.
extern const char* const random_source;
/// Letters and digits that nobody can know before.
std::string unguessable_name();

std::string too_large(std::uintmax_t bytes, std::uintmax_t largest); ///< "too large: 200 MB, ..."
/// Turns "x" of a file's name into what a terminal shows and does not obey: control characters as \x1b.
std::string shown_name(std::string_view name);

} // namespace turnwright::host
