#ifdef _WIN32

#include "host/file.h"
#include "host/host.h"
#include "host/new_file.h"
#include "host/windows_name.h"

#include <algorithm>

namespace turnwright::host {
namespace fs = std::filesystem;
namespace {

/// An open file; closed with it.
class Opened {
public:
    explicit Opened(HANDLE handle) : handle_(handle) {}
    Opened(const Opened&) = delete;
    Opened& operator=(const Opened&) = delete;
    ~Opened() { close(); }
    void close() {
        if (*this) ::CloseHandle(handle_);
        handle_ = INVALID_HANDLE_VALUE;
    }
    explicit operator bool() const { return handle_ != INVALID_HANDLE_VALUE; }
    HANDLE handle() const { return handle_; }

private:
    HANDLE handle_;
};

constexpr DWORD with_others = FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE;

std::string why() {
    return ": " + std::system_category().message(static_cast<int>(::GetLastError()));
}

std::string why_not_opened() {
    switch (::GetLastError()) {
    case ERROR_FILE_NOT_FOUND:
    case ERROR_PATH_NOT_FOUND:
    case ERROR_INVALID_NAME:
        return "no such file";
    case ERROR_ACCESS_DENIED:
        return "cannot be read (permission denied?)";
    default:
        return "cannot be read" + why();
    }
}

FileRead read_opened(const Opened& file, std::uintmax_t largest) {
    if (!file) return {{}, why_not_opened()};
    BY_HANDLE_FILE_INFORMATION is{};
    if (::GetFileType(file.handle()) != FILE_TYPE_DISK || !::GetFileInformationByHandle(file.handle(), &is))
        return {{}, "not a regular file"};
    if (is.dwFileAttributes & FILE_ATTRIBUTE_DIRECTORY) return {{}, "a folder, not a program"};
    const std::uintmax_t size = (std::uintmax_t{is.nFileSizeHigh} << 32) | is.nFileSizeLow;
    if (size > largest) return {{}, too_large(size, largest)};
    FileRead read;
    std::string part(1 << 16, '\0');
    for (DWORD got = 0;;) {
        if (!::ReadFile(file.handle(), part.data(), static_cast<DWORD>(part.size()), &got, nullptr))
            return {{}, "cannot be read" + why()};
        if (got == 0) return read;
        read.bytes.append(part, 0, got);
        if (read.bytes.size() > largest) return {{}, too_large(read.bytes.size(), largest)};
    }
}

bool write_whole(const Opened& file, std::string_view bytes) {
    while (!bytes.empty()) {
        const auto length = static_cast<DWORD>(std::min<std::size_t>(bytes.size(), 1u << 24));
        DWORD put = 0;
        if (!::WriteFile(file.handle(), bytes.data(), length, &put, nullptr) || put == 0) return false;
        bytes.remove_prefix(put);
    }
    return true;
}

HANDLE open_to_read(const fs::path& path) {
    // With this flag folders can be opened, too, to be told from what is missing.
    return ::CreateFileW(path.c_str(), GENERIC_READ, with_others, nullptr, OPEN_EXISTING,
                         FILE_FLAG_BACKUP_SEMANTICS, nullptr);
}

} // namespace

const char* const random_source = "rand_s";

FileRead read_file(const fs::path& path, std::uintmax_t largest) {
    return read_opened(Opened(open_to_read(path)), largest);
}

FileRead read_file_in(const fs::path& folder, const fs::path& path, std::uintmax_t largest) {
    const Opened file(open_to_read(path));
    if (!file) return {{}, why_not_opened()};
    // Wherever links led: where it really lies counts, seen from where the folder does (a drive may stand for
    // a share). An open file cannot be swapped any more.
    const Opened root(open_to_read(folder));
    const fs::path base = root ? final_name(root.handle()) : std::wstring();
    const fs::path real = final_name(file.handle());
    const auto [at, unused] = std::mismatch(base.begin(), base.end(), real.begin(), real.end());
    if (base.empty() || real.empty() || at != base.end()) return {{}, "a link, which is not followed here"};
    return read_opened(file, largest);
}

bool make_private_folder(const fs::path& path) {
    return ::CreateDirectoryW(path.c_str(), nullptr) != 0; // the folder for temporary files is the user's own
}

std::string replace_file(const fs::path& path, std::string_view bytes) {
    std::error_code failed;
    const fs::path target = host::weakly_canonical(path, failed);
    if (failed) { // a device
        const Opened device(
            ::CreateFileW(path.c_str(), GENERIC_WRITE, with_others, nullptr, OPEN_EXISTING, 0, nullptr));
        return device && write_whole(device, bytes) ? "" : "cannot be written" + why();
    }
    const DWORD attributes = ::GetFileAttributesW(target.c_str());
    const bool is_there = attributes != INVALID_FILE_ATTRIBUTES;
    if (is_there && (attributes & FILE_ATTRIBUTE_DIRECTORY)) return "a folder, not a file to write";
    if (is_there && (attributes & FILE_ATTRIBUTE_READONLY))
        return "protected against writing; it was left as it is";
    if (is_there) {
        const Opened old(open_to_read(target));
        BY_HANDLE_FILE_INFORMATION is{};
        if (old && ::GetFileInformationByHandle(old.handle(), &is) && is.nNumberOfLinks > 1)
            return "the file has " + std::to_string(is.nNumberOfLinks) +
                   " names (hard links), and writing it would leave the old text under the others; it was "
                   "left as it "
                   "is";
    }
    // Nobody can have prepared that name, and what has it is not taken.
    const fs::path beside = target.parent_path() / path_of(".turnwright-" + unguessable_name());
    Opened file(
        ::CreateFileW(beside.c_str(), GENERIC_WRITE, 0, nullptr, CREATE_NEW, FILE_ATTRIBUTE_NORMAL, nullptr));
    if (!file) return "cannot be written" + why();
    std::string problem;
    if (!write_whole(file, bytes) || !::FlushFileBuffers(file.handle()))
        problem = "cannot be written" + why();
    file.close();
    // The one keeps owner and rights of the old file; the other is for where there is none.
    if (problem.empty() &&
        !(is_there ? ::ReplaceFileW(target.c_str(), beside.c_str(), nullptr, 0, nullptr, nullptr)
                   : ::MoveFileExW(beside.c_str(), target.c_str(), MOVEFILE_WRITE_THROUGH)))
        problem = "cannot be written" + why();
    if (!problem.empty()) ::DeleteFileW(beside.c_str());
    return problem;
}

std::string create_file(const fs::path& path, std::string_view bytes) {
    Opened file(
        ::CreateFileW(path.c_str(), GENERIC_WRITE, 0, nullptr, CREATE_NEW, FILE_ATTRIBUTE_NORMAL, nullptr));
    if (!file)
        return ::GetLastError() == ERROR_FILE_EXISTS ? "is there and was left as it is"
                                                     : "cannot be written" + why();
    if (write_whole(file, bytes) && ::FlushFileBuffers(file.handle())) return {};
    const std::string problem = "cannot be written" + why();
    file.close();
    ::DeleteFileW(path.c_str());
    return problem;
}

} // namespace turnwright::host

#endif
