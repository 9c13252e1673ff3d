#ifndef _WIN32

#include "rpc/stream.h"

#include <cerrno>
#include <csignal>
#include <fstream>
#include <string>
#include <unistd.h>

namespace turnwright::rpc {

bool process_is_alive(std::int64_t id) {
    const auto process = static_cast<pid_t>(id);
    if (id <= 0 || process != id) return false;
    if (::kill(process, 0) != 0 && errno == ESRCH) return false;
    // Ended, but its parent has not asked for it: "pid (name) Z", where the name may hold anything.
    std::ifstream status("/proc/" + std::to_string(id) + "/stat");
    std::string line;
    if (!std::getline(status, line)) return true;
    const std::size_t name_end = line.rfind(')');
    return name_end == std::string::npos || name_end + 2 >= line.size() || line[name_end + 2] != 'Z';
}

std::int64_t own_process() {
    return ::getpid();
}

} // namespace turnwright::rpc

#endif
