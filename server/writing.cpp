#include "writing.h"
#include "language/said.h"

#include "features/program_files.h"
#include "host/file.h"
#include "host/host.h"
#include "report/report.h"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <system_error>

namespace turnwright::commands {
namespace {

namespace fs = std::filesystem;

std::string small_ending(const fs::path& path) {
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return ending;
}

/// Why a report must not be written there; empty when it may.
std::string why_refused(const ReportPlace& place, const fs::path& path,
                        std::initializer_list<std::string_view> endings) {
    std::error_code failed;
    if (place.program != "-" && fs::equivalent(path, host::path_of(place.program), failed))
        return said("the program itself: a report does not take its place");
    // By the name that is given or the one that it is a link to.
    const fs::path real = host::weakly_canonical(path, failed);
    if (features::is_program_name(path) || features::is_program_name(real))
        return said("the name of a program: a report does not take its place");
    const std::string ending = small_ending(path);
    if (!ending.empty() && std::find(endings.begin(), endings.end(), ending) == endings.end()) {
        std::string fitting;
        for (const std::string_view other : endings)
            fitting += (fitting.empty() ? "" : ", ") + std::string(other);
        return said("the ending ") + host::shown_name(ending) +
               said(" does not fit: this form is written to ") + fitting;
    }
    if (place.force || !fs::is_regular_file(path, failed)) return {};
    const host::FileRead old = host::read_file(path, report::largest_file_bytes);
    if (old.problem.empty() && (old.bytes.empty() || report::is_report(old.bytes))) return {};
    return said("is there and is no report of this program: --force writes over it");
}

int told(const std::string& path, const std::string& problem) {
    return problem.empty() ? done : say_trouble(path, problem);
}

} // namespace

int say_trouble(std::string_view file, std::string_view problem) {
    std::cerr << "turnwright: " << (file == "-" ? said("standard input") : host::shown_name(file)) << ": "
              << problem << '\n';
    return in_trouble;
}

int write_out(std::string_view text) {
    std::cout << text << std::flush;
    return std::cout ? done : say_trouble(said("standard output"), said("cannot be written"));
}

int write_back(const std::string& path, std::string_view text) {
    return told(path, host::replace_file(host::path_of(path), text));
}

int write_report(const ReportPlace& place, std::initializer_list<std::string_view> endings,
                 std::string_view text) {
    if (place.path.empty() || place.path == "-") return write_out(text);
    const fs::path path = host::path_of(place.path);
    if (const std::string refused = why_refused(place, path, endings); !refused.empty())
        return say_trouble(place.path, refused);
    return told(place.path, host::replace_file(path, text));
}

} // namespace turnwright::commands
