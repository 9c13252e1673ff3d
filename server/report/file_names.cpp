// Which files a command line means: names, folders, and names with * ? and ** in them.
#include "features/program_files.h"
#include "host/host.h"
#include "report/report.h"

#include <algorithm>
#include <system_error>

namespace turnwright::report {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_found = 100'000;

bool is_pattern(std::string_view name) {
    return name.find_first_of("*?") != std::string_view::npos;
}

/// `*` is any text, `?` any character.
bool matches(std::string_view pattern, std::string_view name) {
    std::size_t p = 0, n = 0, star = std::string_view::npos, behind = 0;
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            behind = n;
        } else if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == name[n])) {
            ++p, ++n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++behind;
        } else {
            return false;
        }
    }
    while (p < pattern.size() && pattern[p] == '*') ++p;
    return p == pattern.size();
}

using Parts = std::vector<std::string>;

/// Goes down the parts of a pattern. Hidden names are met by patterns that begin with a dot only.
void find(const fs::path& at, const Parts& parts, std::size_t next, std::vector<std::string>& found) {
    if (found.size() >= most_found) return;
    std::error_code failed;
    if (next == parts.size()) {
        if (fs::is_regular_file(at, failed)) found.push_back(at.string());
        return;
    }
    const std::string& part = parts[next];
    if (!is_pattern(part)) return find(at / host::path_of(part), parts, next + 1, found);
    if (part == "**") find(at, parts, next + 1, found);
    for (fs::directory_iterator
             entry(at.empty() ? fs::path(".") : at, fs::directory_options::skip_permission_denied, failed),
         end;
         !failed && entry != end; entry.increment(failed)) {
        const std::string name = entry->path().filename().string();
        if (name.starts_with('.') && !part.starts_with('.')) continue;
        std::error_code ignored;
        const bool folder = entry->is_directory(ignored) && !host::is_link(*entry);
        if (part == "**") {
            if (folder) find(at / host::path_of(name), parts, next, found);
        } else if (matches(part, name)) {
            find(at / host::path_of(name), parts, next + 1, found);
        }
    }
}

std::vector<std::string> files_of_pattern(const std::string& pattern) {
    const fs::path whole = host::path_of(pattern);
    Parts parts;
    for (const fs::path& part : whole.relative_path())
        if (!part.empty()) parts.push_back(part.string());
    std::vector<std::string> found;
    find(whole.root_path(), parts, 0, found);
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

std::vector<std::string> programs_in(const std::string& folder) {
    std::vector<std::string> found;
    std::error_code failed;
    for (fs::recursive_directory_iterator
             at(host::path_of(folder), fs::directory_options::skip_permission_denied, failed),
         end;
         at != end && !failed; at.increment(failed))
        if (at->is_regular_file(failed) && features::has_program_ending(at->path()))
            found.push_back(at->path().string());
    std::sort(found.begin(), found.end());
    return found;
}

} // namespace

std::vector<std::string> files_meant(const std::vector<std::string>& given) {
    std::vector<std::string> files;
    for (const std::string& name : given) {
        std::error_code failed;
        std::vector<std::string> found;
        if (name != "-" && fs::is_directory(host::path_of(name), failed))
            found = programs_in(name);
        else if (name != "-" && is_pattern(name) && !fs::exists(host::path_of(name), failed))
            found = files_of_pattern(name);
        // A name that leads to nothing stays, to be told as a file that could not be checked.
        if (found.empty()) found.push_back(name);
        files.insert(files.end(), found.begin(), found.end());
    }
    return files;
}

} // namespace turnwright::report
