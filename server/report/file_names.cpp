// Which files a command line means: names, folders, and names with * ? and ** in them.
#include "features/program_files.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"

#include <algorithm>
#include <cctype>
#include <set>
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

std::string ending_of(const fs::path& path) {
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return ending;
}

/// Endings that the shop file of a folder adds; asked for each folder once.
class Endings {
public:
    const std::vector<std::string>& of(const fs::path& folder) {
        const auto [at, is_new] = known_.try_emplace(folder);
        if (is_new) at->second = nearest_shop(folder / "program")->house.endings;
        return at->second;
    }

private:
    std::map<fs::path, std::vector<std::string>> known_;
};

std::vector<std::string> programs_in(const std::string& folder,
                                     std::map<std::string, std::size_t>& passed_over) {
    std::vector<std::string> found;
    std::error_code failed;
    Endings endings;
    for (fs::recursive_directory_iterator
             at(host::path_of(folder), fs::directory_options::skip_permission_denied, failed),
         end;
         at != end && !failed; at.increment(failed)) {
        std::error_code of_entry; // A link to nothing is an error of its own, not the end of the folder.
        const fs::path& path = at->path();
        if (!at->is_regular_file(of_entry)) continue;
        if (features::is_program_name(path, endings.of(path.parent_path())))
            found.push_back(path.string());
        else if (!path.filename().string().starts_with('.') && ending_of(path) != ".toml")
            ++passed_over[ending_of(path)];
    }
    std::sort(found.begin(), found.end());
    return found;
}

} // namespace

FilesMeant files_meant(const std::vector<std::string>& given) {
    FilesMeant meant;
    std::set<fs::path> seen;
    for (const std::string& name : given) {
        std::error_code failed;
        std::vector<std::string> found;
        if (name != "-" && fs::is_directory(host::path_of(name), failed))
            found = programs_in(name, meant.passed_over);
        else if (name != "-" && is_pattern(name) && !fs::exists(host::path_of(name), failed))
            found = files_of_pattern(name);
        // A name that leads to nothing stays, to be told as a file that could not be checked.
        if (found.empty()) found.push_back(name);
        // A program that is named twice, or by its name and by a link, is one.
        for (std::string& file : found) {
            const fs::path real = host::canonical(host::path_of(file), failed);
            if (failed || seen.insert(real).second) meant.files.push_back(std::move(file));
        }
    }
    return meant;
}

std::string passed_over_text(const FilesMeant& meant) {
    constexpr std::size_t most_told = 6;
    std::size_t count = 0, told = 0;
    std::string endings;
    for (const auto& [ending, files] : meant.passed_over) {
        count += files;
        if (++told <= most_told)
            endings +=
                (endings.empty() ? "" : ", ") + (ending.empty() ? said("none") : host::shown_name(ending));
    }
    if (count == 0) return {};
    if (told > most_told) endings += ", ...";
    return std::to_string(count) +
           (count == 1 ? said(" file with another ending was") : said(" files with other endings were")) +
           said(" passed over (") + endings +
           said("): `endings` under [house] in the shop file takes more.\n");
}

} // namespace turnwright::report
