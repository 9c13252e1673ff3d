#ifdef _WIN32

#include "rpc/stream.h"

#include <windows.h>

namespace turnwright::rpc {

bool process_is_alive(std::int64_t id) {
    const auto process = static_cast<DWORD>(id);
    if (id <= 0 || process != id) return false;
    const HANDLE handle = ::OpenProcess(SYNCHRONIZE, FALSE, process);
    // Only of a process that is there can it be said that we may not ask.
    if (!handle) return ::GetLastError() == ERROR_ACCESS_DENIED;
    const bool ended = ::WaitForSingleObject(handle, 0) == WAIT_OBJECT_0;
    ::CloseHandle(handle);
    return !ended;
}

std::int64_t own_process() {
    return ::GetCurrentProcessId();
}

} // namespace turnwright::rpc

#endif
