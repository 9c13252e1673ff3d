#ifndef _WIN32

#include "host/file.h"
#include "host/new_file.h"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace turnwright::host {
namespace fs = std::filesystem;
namespace {

/// An open file; closed with it.
class Opened {
public:
    explicit Opened(int number = -1) : number_(number) {}
    Opened(Opened&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
    Opened& operator=(Opened&& other) noexcept {
        std::swap(number_, other.number_);
        return *this;
    }
    ~Opened() {
        if (number_ >= 0) ::close(number_);
    }
    explicit operator bool() const { return number_ >= 0; }
    int number() const { return number_; }

private:
    int number_;
};

// Not waiting for the other end of a pipe, and no terminal of ours whatever it is.
constexpr int careful = O_NONBLOCK | O_NOCTTY | O_CLOEXEC;

std::string why() {
    return std::string(": ") + std::strerror(errno);
}

std::string why_not_opened() {
    switch (errno) {
    case ENOENT:
    case ENOTDIR:
        return "no such file";
    case ELOOP:
    case EMLINK:
        return "a link, which is not followed here";
    case ENXIO: // a socket, or a pipe that nobody reads
        return "not a regular file";
    case EACCES:
        return "cannot be read (permission denied?)";
    default:
        return "cannot be read" + why();
    }
}

FileRead read_opened(const Opened& file, std::uintmax_t largest) {
    if (!file) return {{}, why_not_opened()};
    struct stat is {};
    if (::fstat(file.number(), &is) != 0) return {{}, "cannot be read" + why()};
    if (S_ISDIR(is.st_mode)) return {{}, "a folder, not a program"};
    if (!S_ISREG(is.st_mode)) return {{}, "not a regular file"};
    const auto size = static_cast<std::uintmax_t>(is.st_size);
    if (size > largest) return {{}, too_large(size, largest)};
    FileRead read;
    read.bytes.resize(static_cast<std::size_t>(size) + 1); // one more: to meet the end in one go
    std::size_t length = 0;
    for (;;) {
        const ssize_t got = ::read(file.number(), read.bytes.data() + length, read.bytes.size() - length);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return {{}, "cannot be read" + why()};
        if (got == 0) break;
        length += static_cast<std::size_t>(got);
        if (length > largest) return {{}, too_large(length, largest)}; // it grew meanwhile
        if (length == read.bytes.size()) read.bytes.resize(length * 2);
    }
    read.bytes.resize(length);
    return read;
}

/// Goes down part by part, each opened in the folder that was opened before it.
Opened open_below(const fs::path& folder, const fs::path& path) {
    const fs::path below = path.lexically_relative(folder);
    Opened at(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    for (auto part = below.begin(); at && part != below.end();) {
        if (*part == ".." || *part == ".") {
            errno = ENOENT;
            return Opened();
        }
        const std::string name = *part;
        const bool is_last = ++part == below.end();
        at = Opened(::openat(at.number(), name.c_str(),
                             O_RDONLY | O_NOFOLLOW | careful | (is_last ? 0 : O_DIRECTORY)));
    }
    return at;
}

bool write_whole(const Opened& file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t put = ::write(file.number(), bytes.data(), bytes.size());
        if (put < 0 && errno == EINTR) continue;
        if (put < 0) return false;
        bytes.remove_prefix(static_cast<std::size_t>(put));
    }
    return true;
}

/// Writes to a device or a pipe as it is: nothing can take its place.
std::string write_to(const fs::path& path, std::string_view bytes) {
    const Opened device(::open(path.c_str(), O_WRONLY | O_NOCTTY | O_CLOEXEC));
    return device && write_whole(device, bytes) ? "" : "cannot be written" + why();
}

/// Why the file under the name must stay as it is; empty when it may be replaced.
std::string why_kept(const Opened& old, const struct stat& is) {
    if (!old && errno != EACCES && errno != EROFS) return "cannot be written" + why();
    if (!old || (is.st_mode & (S_IWUSR | S_IWGRP | S_IWOTH)) == 0)
        return "protected against writing; it was left as it is";
    if (is.st_nlink > 1)
        return "the file has " + std::to_string(is.st_nlink) +
               " names (hard links), and writing it would leave the old text under the others; it was left "
               "as it "
               "is";
    return {};
}

} // namespace

const char* const random_source = "getentropy";

FileRead read_file(const fs::path& path, std::uintmax_t largest) {
    return read_opened(Opened(::open(path.c_str(), O_RDONLY | careful)), largest);
}

FileRead read_file_in(const fs::path& folder, const fs::path& path, std::uintmax_t largest) {
    return read_opened(open_below(folder, path), largest);
}

bool make_private_folder(const fs::path& path) {
    return ::mkdir(path.c_str(), S_IRWXU) == 0;
}

std::string replace_file(const fs::path& path, std::string_view bytes) {
    std::error_code failed;
    const fs::path target = fs::is_symlink(path, failed) ? fs::canonical(path, failed) : path;
    if (failed && target.empty()) return "a link to nothing";
    struct stat is {};
    const bool is_there = ::lstat(target.c_str(), &is) == 0;
    if (is_there && S_ISDIR(is.st_mode)) return "a folder, not a file to write";
    if (is_there && !S_ISREG(is.st_mode)) return write_to(target, bytes);
    if (is_there) {
        const Opened old(::open(target.c_str(), O_WRONLY | O_NOFOLLOW | careful));
        if (old && ::fstat(old.number(), &is) != 0) return "cannot be written" + why();
        if (std::string kept = why_kept(old, is); !kept.empty()) return kept;
    }
    const fs::path above = target.has_parent_path() ? target.parent_path() : fs::path(".");
    const Opened folder(::open(above.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!folder) return "cannot be written: the folder" + why();
    // Nobody can have prepared that name, and what has it is not taken.
    const std::string beside = ".turnwright-" + unguessable_name();
    const mode_t mode = is_there ? S_IRUSR | S_IWUSR : 0666;
    Opened file(
        ::openat(folder.number(), beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | careful, mode));
    if (!file) return "cannot be written" + why();
    const auto give_up = [&](std::string reason) {
        ::unlinkat(folder.number(), beside.c_str(), 0);
        return reason;
    };
    struct stat now {};
    if (!write_whole(file, bytes) || (::fsync(file.number()) != 0 && errno != EINVAL) ||
        ::fstat(file.number(), &now) != 0)
        return give_up("cannot be written" + why());
    if (is_there && (now.st_uid != is.st_uid || now.st_gid != is.st_gid) &&
        ::fchown(file.number(), is.st_uid, is.st_gid) != 0)
        return give_up(
            "it belongs to another user or group, and the new file would not; it was left as it is");
    if (is_there && ::fchmod(file.number(), is.st_mode & 07777) != 0)
        return give_up("its mode cannot be kept" + why());
    const std::string name = target.filename();
    if (::renameat(folder.number(), beside.c_str(), folder.number(), name.c_str()) != 0)
        return give_up("cannot be written" + why());
    ::fsync(folder.number()); // the new name, too
    return {};
}

std::string create_file(const fs::path& path, std::string_view bytes) {
    const Opened file(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | careful, 0666));
    if (!file) return errno == EEXIST ? "is there and was left as it is" : "cannot be written" + why();
    if (write_whole(file, bytes) && (::fsync(file.number()) == 0 || errno == EINVAL)) return {};
    std::string problem = "cannot be written" + why();
    ::unlink(path.c_str());
    return problem;
}

} // namespace turnwright::host

#endif
