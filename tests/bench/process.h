// A language server as a child process, spoken to over its pipes as an editor does.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <sys/types.h>
#include <vector>

namespace bench {

using Clock = std::chrono::steady_clock;

/// One message body and when its last byte was read.
struct Message {
    std::string body;
    Clock::time_point at;
};

struct Memory {
    long resident_kb = 0;
    long peak_kb = 0;
};

/// Throws std::runtime_error when the program cannot be started or dies.
class Process {
public:
    explicit Process(const std::vector<std::string>& command);
    ~Process(); ///< Closes the pipes and waits; a child that stays is killed after five seconds.
    Process(const Process&) = delete;
    Process& operator=(const Process&) = delete;

    /// Writes a framed message; meanwhile reads what comes, so that two full pipes never wait for each other.
    void send(std::string_view body);
    /// The next message, or nothing when none is whole before `until`.
    std::optional<Message> receive(Clock::time_point until);
    Memory memory() const;

private:
    bool wait(bool for_writing, Clock::time_point until);
    void read_some();
    std::optional<std::string> take_frame();

    pid_t pid_ = -1;
    int to_child_ = -1;
    int from_child_ = -1;
    std::string input_;
    std::size_t used_ = 0; ///< Bytes of input_ already taken.
};

/// `body` with the protocol's header before it.
std::string framed(std::string_view body);

} // namespace bench
