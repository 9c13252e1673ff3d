#ifdef _WIN32

#include "host/host.h"
#include "host/windows_name.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <io.h>
#include <optional>
#include <string_view>
// clang-format off
#include <windows.h>
#include <shellapi.h>
// clang-format on

namespace turnwright::host {
namespace fs = std::filesystem;
namespace {

std::error_code last_error() {
    return {static_cast<int>(::GetLastError()), std::system_category()};
}

/// What a call that fills a buffer of characters and returns how many it needed gives; empty on failure.
template <typename Fill>
std::wstring filled(Fill fill) {
    std::wstring text(MAX_PATH, L'\0');
    for (;;) {
        const DWORD length = fill(text.data(), static_cast<DWORD>(text.size()));
        if (length == 0) return {};
        const bool fits = length < text.size();
        text.resize(length);
        if (fits) return text;
    }
}

bool is_there(const fs::path& path) {
    return ::GetFileAttributesW(path.c_str()) != INVALID_FILE_ATTRIBUTES;
}

/// Length of what stands before the first folder of a full name: "c:\", "\\server\share\". The standard
/// library of this compiler knows no shares, so full names are taken apart here.
std::size_t root_length(std::wstring_view full) {
    if (!full.starts_with(L"\\\\")) return std::min<std::size_t>(3, full.size());
    const std::size_t share = full.find(L'\\', 2);
    const std::size_t end = share == full.npos ? full.npos : full.find(L'\\', share + 1);
    return end == full.npos ? full.size() : end + 1;
}

/// What the folder above says of a file; nothing where it may not be asked.
std::optional<WIN32_FIND_DATAW> entry_of(const fs::path& path) {
    WIN32_FIND_DATAW found;
    const HANDLE search = ::FindFirstFileW(path.c_str(), &found);
    if (search == INVALID_HANDLE_VALUE) return std::nullopt;
    ::FindClose(search);
    return found;
}

/// Links and junctions stand for another name. A file that a service keeps elsewhere until it is asked for
/// does not, though it is marked alike.
bool stands_for_another(const WIN32_FIND_DATAW& entry) {
    return (entry.dwFileAttributes & FILE_ATTRIBUTE_REPARSE_POINT) &&
           IsReparseTagNameSurrogate(entry.dwReserved0);
}

/// A path that is there in the letters that its folders have, and whether a part of it is a link.
struct Spelling {
    fs::path path;
    bool has_links = false;
};

Spelling spelling_of(const std::wstring& full) {
    std::size_t at = root_length(full);
    std::wstring spelled = full.substr(0, at);
    bool has_links = false;
    while (at < full.size()) {
        const std::size_t end = std::min(full.find(L'\\', at), full.size());
        const std::wstring part = full.substr(at, end - at);
        const auto entry = entry_of(spelled + part);
        spelled += entry ? entry->cFileName : part.c_str();
        has_links |= entry && stands_for_another(*entry);
        if (end + 1 < full.size()) spelled += L'\\';
        at = end + 1;
    }
    return {std::move(spelled), has_links};
}

std::wstring with_small_drive(std::wstring name) {
    if (name.find(L':') == 1 && name.front() >= L'A' && name.front() <= L'Z') name.front() += L'a' - L'A';
    return name;
}

/// Absolute and without dots, by its letters alone. Devices ("\\.\", "nul") are no files.
std::wstring full_name(const fs::path& path, std::error_code& failed) {
    std::wstring full =
        filled([&](wchar_t* to, DWORD room) { return ::GetFullPathNameW(path.c_str(), room, to, nullptr); });
    if (full.empty() || full.starts_with(L"\\\\.\\") || full.starts_with(L"\\\\?\\")) {
        failed = std::make_error_code(std::errc::invalid_argument);
        return {};
    }
    failed.clear();
    return with_small_drive(std::move(full));
}

std::string utf8(std::wstring_view wide) {
    const auto length = static_cast<int>(wide.size());
    std::string text(static_cast<std::size_t>(::WideCharToMultiByte(CP_UTF8, 0, wide.data(), length, nullptr,
                                                                    0, nullptr, nullptr)),
                     '\0');
    ::WideCharToMultiByte(CP_UTF8, 0, wide.data(), length, text.data(), static_cast<int>(text.size()),
                          nullptr, nullptr);
    return text;
}

UINT code_page_before = 0;

} // namespace

std::wstring final_name(HANDLE file) {
    std::wstring name = filled([&](wchar_t* to, DWORD room) {
        return ::GetFinalPathNameByHandleW(file, to, room, FILE_NAME_NORMALIZED | VOLUME_NAME_DOS);
    });
    if (name.starts_with(L"\\\\?\\UNC\\")) return L"\\\\" + name.substr(8);
    return with_small_drive(name.starts_with(L"\\\\?\\") ? name.substr(4) : std::move(name));
}

fs::path canonical(const fs::path& path, std::error_code& failed) {
    const std::wstring full = full_name(path, failed);
    if (failed) return {};
    if (!is_there(full)) {
        failed = last_error();
        return {};
    }
    Spelling spelling = spelling_of(full);
    if (!spelling.has_links) return std::move(spelling.path);
    const HANDLE file =
        ::CreateFileW(spelling.path.c_str(), 0, FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE,
                      nullptr, OPEN_EXISTING, FILE_FLAG_BACKUP_SEMANTICS, nullptr);
    std::wstring real = file == INVALID_HANDLE_VALUE ? std::wstring() : final_name(file);
    if (real.empty()) failed = last_error();
    if (file != INVALID_HANDLE_VALUE) ::CloseHandle(file);
    return real;
}

fs::path weakly_canonical(const fs::path& path, std::error_code& failed) {
    const std::wstring full = full_name(path, failed);
    if (failed) return {};
    const std::size_t root = root_length(full);
    std::size_t end = full.size();
    while (end > root && !is_there(full.substr(0, end))) {
        const std::size_t separator = full.rfind(L'\\', end - 1);
        end = separator == full.npos || separator < root ? root : separator;
    }
    if (end <= root && !is_there(full.substr(0, root))) return full; // not even the drive or the share
    const fs::path there = host::canonical(full.substr(0, end), failed);
    if (failed || end == full.size()) return there;
    const std::size_t rest = full.find_first_not_of(L'\\', end);
    return rest == full.npos ? there : there / full.substr(rest);
}

fs::path root_of(const fs::path& path) {
    std::error_code failed;
    const std::wstring full = full_name(path, failed);
    return full.substr(0, root_length(full));
}

bool is_link(const fs::directory_entry& entry) {
    const DWORD attributes = ::GetFileAttributesW(entry.path().c_str());
    if (attributes == INVALID_FILE_ATTRIBUTES || !(attributes & FILE_ATTRIBUTE_REPARSE_POINT)) return false;
    const auto found = entry_of(entry.path());
    return !found || stands_for_another(*found); // not to be known: not to be followed
}

bool is_own(const fs::directory_entry&) {
    return true; // The folder for temporary files is the user's own.
}

fs::file_time_type last_change(const fs::directory_entry& entry, std::error_code& failed) {
    WIN32_FILE_ATTRIBUTE_DATA data;
    if (!::GetFileAttributesExW(entry.path().c_str(), GetFileExInfoStandard, &data)) {
        failed = last_error();
        return {};
    }
    failed.clear();
    const auto ticks = (static_cast<std::int64_t>(data.ftLastWriteTime.dwHighDateTime) << 32) |
                       data.ftLastWriteTime.dwLowDateTime;
    return fs::file_time_type(fs::file_time_type::duration(ticks));
}

fs::path path_of(std::string_view text) {
    return std::u8string(text.begin(), text.end());
}

std::vector<std::string> arguments(int, char**) {
    // The narrow ones lost what the computer's own code page does not hold.
    int count = 0;
    wchar_t** const wide = ::CommandLineToArgvW(::GetCommandLineW(), &count);
    std::vector<std::string> all;
    for (int i = 0; wide && i < count; ++i) all.push_back(utf8(wide[i]));
    ::LocalFree(wide);
    return all;
}

fs::path program_file() {
    return filled([](wchar_t* to, DWORD room) { return ::GetModuleFileNameW(nullptr, to, room); });
}

bool errors_go_to_a_terminal() {
    return _isatty(_fileno(stderr)) != 0;
}

void use_large_pages(char**) {}

void prepare_streams() {
    for (std::FILE* stream : {stdin, stdout, stderr}) _setmode(_fileno(stream), _O_BINARY);
    if (!_isatty(_fileno(stdout)) && !errors_go_to_a_terminal()) return;
    code_page_before = ::GetConsoleOutputCP();
    // The window goes on being used by others.
    if (code_page_before != 0 && ::SetConsoleOutputCP(CP_UTF8))
        std::atexit([] { ::SetConsoleOutputCP(code_page_before); });
}

} // namespace turnwright::host

#endif
