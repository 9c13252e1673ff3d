#ifndef _WIN32

#include "host/host.h"

#include <cstdlib>
#include <fstream>
#include <sys/stat.h>
#include <unistd.h>

namespace turnwright::host {
namespace fs = std::filesystem;

fs::path canonical(const fs::path& path, std::error_code& failed) {
    return fs::canonical(path, failed);
}

fs::path weakly_canonical(const fs::path& path, std::error_code& failed) {
    return fs::weakly_canonical(path, failed);
}

fs::path root_of(const fs::path& path) {
    std::error_code failed;
    return fs::absolute(path, failed).root_path();
}

bool is_link(const fs::directory_entry& entry) {
    std::error_code failed;
    return entry.is_symlink(failed);
}

bool is_own(const fs::directory_entry& entry) {
    struct stat is {};
    return ::lstat(entry.path().c_str(), &is) == 0 && is.st_uid == ::geteuid();
}

fs::file_time_type last_change(const fs::directory_entry& entry, std::error_code& failed) {
    return entry.last_write_time(failed);
}

fs::path path_of(std::string_view text) {
    return text;
}

std::vector<std::string> arguments(int count, char** given) {
    return {given, given + count};
}

fs::path program_file() {
    std::error_code failed;
    auto file = fs::read_symlink("/proc/self/exe", failed);
    return failed ? fs::path() : file;
}

bool errors_go_to_a_terminal() {
    return isatty(STDERR_FILENO) != 0;
}

void use_large_pages([[maybe_unused]] char** arguments) {
#ifdef __GLIBC__
    constexpr const char *settings = "GLIBC_TUNABLES", *own = "glibc.malloc.hugetlb=1";
    if (const char* given = std::getenv(settings)) {
        // Nothing that this program starts is to have it.
        if (std::string_view(given) == own) ::unsetenv(settings);
        return;
    }
    std::string mode;
    std::getline(std::ifstream("/sys/kernel/mm/transparent_hugepage/enabled"), mode);
    if (mode.find("[madvise]") == std::string::npos) return;
    if (::setenv(settings, own, 1) != 0) return;
    if (const fs::path file = program_file(); !file.empty()) ::execv(file.c_str(), arguments);
    ::unsetenv(settings); // It goes on as it is
#endif
}

void prepare_streams() {}

} // namespace turnwright::host

#endif
