// turnwright path: puts the folder of this program on the PATH of the person who calls it, and takes it away.
// Windows alone: elsewhere a package or a link does it. The registry is asked directly, since a script reads
// it through a code page and an expansion, and would write back what it has lost of other folders.
#include "commands.h"
#include "host/host.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>
#include <windows.h>

namespace turnwright::commands {
namespace {

/// Longer than that no system takes it.
constexpr std::size_t longest_path = 32000;

/// The environment of this person in the registry.
class Environment {
public:
    Environment() {
        if (::RegOpenKeyExW(HKEY_CURRENT_USER, L"Environment", 0, KEY_QUERY_VALUE | KEY_SET_VALUE, &key_) !=
            ERROR_SUCCESS)
            key_ = nullptr;
    }
    ~Environment() {
        if (key_) ::RegCloseKey(key_);
    }
    Environment(const Environment&) = delete;
    Environment& operator=(const Environment&) = delete;

    /// Path as it is written, %USERPROFILE% and all. False where it cannot be read or is no text.
    bool read() {
        if (!key_) return false;
        DWORD bytes = 0;
        const LONG asked = ::RegQueryValueExW(key_, L"Path", nullptr, &kind_, nullptr, &bytes);
        if (asked == ERROR_FILE_NOT_FOUND) {
            kind_ = REG_EXPAND_SZ;
            return true;
        }
        if (asked != ERROR_SUCCESS || (kind_ != REG_SZ && kind_ != REG_EXPAND_SZ)) return false;
        std::wstring text(bytes / sizeof(wchar_t), L'\0');
        if (bytes != 0 && ::RegQueryValueExW(key_, L"Path", nullptr, &kind_,
                                             reinterpret_cast<BYTE*>(text.data()), &bytes) != ERROR_SUCCESS)
            return false;
        text.resize(std::min(text.size(), text.find(L'\0')));
        path = std::move(text);
        return true;
    }
    /// Writes it back as the kind that it was, and tells the programs that run.
    bool write() {
        const auto bytes = static_cast<DWORD>((path.size() + 1) * sizeof(wchar_t));
        const LONG done = path.empty() ? ::RegDeleteValueW(key_, L"Path")
                                       : ::RegSetValueExW(key_, L"Path", 0, kind_,
                                                          reinterpret_cast<const BYTE*>(path.c_str()), bytes);
        if (done != ERROR_SUCCESS) return false;
        DWORD_PTR answer = 0;
        ::SendMessageTimeoutW(HWND_BROADCAST, WM_SETTINGCHANGE, 0, reinterpret_cast<LPARAM>(L"Environment"),
                              SMTO_ABORTIFHUNG, 2000, &answer);
        return true;
    }

    std::wstring path;

private:
    HKEY key_ = nullptr;
    DWORD kind_ = REG_EXPAND_SZ;
};

/// The folders of a PATH as they are written; ; in quotes parts nothing.
std::vector<std::wstring> folders_of(std::wstring_view path) {
    std::vector<std::wstring> folders;
    if (path.empty()) return folders;
    folders.emplace_back();
    bool quoted = false;
    for (wchar_t c : path) {
        if (c == L'"') quoted = !quoted;
        if (c == L';' && !quoted)
            folders.emplace_back();
        else
            folders.back().push_back(c);
    }
    return folders;
}

bool is_folder(std::wstring written, const std::wstring& folder) {
    std::erase(written, L'"');
    while (written.size() > 3 && written.ends_with(L'\\')) written.pop_back();
    return ::CompareStringOrdinal(written.data(), static_cast<int>(written.size()), folder.data(),
                                  static_cast<int>(folder.size()), TRUE) == CSTR_EQUAL;
}

int run_path(bool add, bool remove) {
    const std::filesystem::path place = host::program_file().parent_path();
    const std::string shown = place.string();
    const std::wstring folder = place.wstring();
    Environment environment;
    if (folder.empty() || !environment.read())
        return say_trouble(shown, "your PATH could not be read; nothing was changed");
    std::vector<std::wstring> folders = folders_of(environment.path);
    const auto there =
        std::erase_if(folders, [&](const auto& written) { return is_folder(written, folder); });
    if (add == remove)
        return write_out((there ? "It is on your PATH: " : "It is not on your PATH: ") + shown + "\n");
    if (add) {
        if (there) return write_out("It is on your PATH already: " + shown + "\n");
        if (!environment.path.empty() && !environment.path.ends_with(L';')) environment.path += L';';
        environment.path += folder.find(L';') == folder.npos ? folder : L'"' + folder + L'"';
        if (environment.path.size() > longest_path)
            return say_trouble(shown, "your PATH is full; nothing was changed");
        if (!environment.write())
            return say_trouble(shown, "your PATH could not be written; nothing was changed");
        return write_out(
            "Added to your PATH: " + shown +
            "\nWindows that are open already do not know of it: open a new one and write  turnwright "
            "--version\n");
    }
    if (!there) return write_out("It is not on your PATH: " + shown + "\n");
    environment.path.clear();
    for (const std::wstring& left : folders)
        environment.path += (&left == &folders.front() ? L"" : L";") + left;
    if (!environment.write())
        return say_trouble(shown, "your PATH could not be written; nothing was changed");
    return write_out("Removed from your PATH: " + shown + "\n");
}

} // namespace

void add_path(CLI::App& app, int& status) {
    CLI::App* path = app.add_subcommand("path", "Lets your command windows and editors find turnwright");
    auto add = std::make_shared<bool>(false), remove = std::make_shared<bool>(false);
    path->add_flag("--add", *add, "Put the folder of this program on your PATH; no administrator is needed");
    path->add_flag("--remove", *remove, "Take it off again; the rest of it stays as it is written")
        ->excludes("--add");
    path->callback([add, remove, &status] { status = run_path(*add, *remove); });
}

} // namespace turnwright::commands
