#include "writing.h"

#include "host/host.h"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <system_error>

namespace turnwright::commands {

int say_trouble(std::string_view file, std::string_view problem) {
    std::cerr << "turnwright: " << (file == "-" ? "standard input" : file) << ": " << problem << '\n';
    return in_trouble;
}

int write_out(const std::string& path, std::string_view text) {
    namespace fs = std::filesystem;
    if (path.empty() || path == "-") {
        std::cout << text << std::flush;
        return std::cout ? done : say_trouble("standard output", "cannot be written");
    }
    std::error_code failed;
    const fs::path given = host::path_of(path);
    fs::path target = fs::exists(given, failed) ? host::canonical(given, failed) : given;
    if (failed) target = given;
    if (fs::is_directory(target, failed)) return say_trouble(path, "a folder, not a file to write");
    if (fs::exists(target, failed) && !fs::is_regular_file(target, failed)) {
        std::ofstream device(target, std::ios::binary); // A pipe or the like has no place beside it.
        device << text << std::flush;
        return device ? done : say_trouble(path, "cannot be written");
    }
    fs::path beside = target;
    beside += ".turnwright-new";
    {
        std::ofstream file(beside, std::ios::binary | std::ios::trunc);
        file << text << std::flush;
        if (!file) {
            fs::remove(beside, failed);
            return say_trouble(path,
                               "cannot be written (no such folder, no permission, or the disk is full)");
        }
    }
    const fs::file_status old = fs::status(target, failed);
    if (!failed && fs::exists(old)) fs::permissions(beside, old.permissions(), failed);
    fs::rename(beside, target, failed);
    if (!failed) return done;
    fs::remove(beside, failed);
    return say_trouble(path, "cannot be written");
}

} // namespace turnwright::commands
