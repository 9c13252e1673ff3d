#include "bench/process.h"

#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstring>
#include <fcntl.h>
#include <fstream>
#include <poll.h>
#include <spawn.h>
#include <stdexcept>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace bench {
namespace {

constexpr std::string_view header_end = "\r\n\r\n";
constexpr std::string_view length_name = "Content-Length: ";

[[noreturn]] void fail(const std::string& what) {
    throw std::runtime_error(what + ": " + std::strerror(errno));
}

} // namespace

std::string framed(std::string_view body) {
    std::string frame(length_name);
    frame += std::to_string(body.size());
    frame += header_end;
    frame += body;
    return frame;
}

Process::Process(const std::vector<std::string>& command) {
    std::signal(SIGPIPE, SIG_IGN);
    int in[2];
    int out[2];
    if (pipe2(in, O_CLOEXEC) != 0 || pipe2(out, O_CLOEXEC) != 0) fail("pipe");
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, in[0], STDIN_FILENO);
    posix_spawn_file_actions_adddup2(&actions, out[1], STDOUT_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    std::vector<char*> arguments;
    for (const auto& argument : command) arguments.push_back(const_cast<char*>(argument.c_str()));
    arguments.push_back(nullptr);
    const int error = posix_spawnp(&pid_, arguments[0], &actions, nullptr, arguments.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    close(in[0]);
    close(out[1]);
    to_child_ = in[1];
    from_child_ = out[0];
    if (error != 0) {
        errno = error;
        fail("cannot start " + command[0]);
    }
    fcntl(to_child_, F_SETFL, O_NONBLOCK);
    fcntl(from_child_, F_SETFL, O_NONBLOCK);
}

Process::~Process() {
    close(to_child_);
    close(from_child_);
    if (pid_ <= 0) return;
    for (int i = 0; i < 500; ++i) {
        if (waitpid(pid_, nullptr, WNOHANG) != 0) return;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    kill(pid_, SIGKILL);
    waitpid(pid_, nullptr, 0);
}

bool Process::wait(bool for_writing, Clock::time_point until) {
    pollfd ends[2] = {{from_child_, POLLIN, 0}, {to_child_, POLLOUT, 0}};
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(until - Clock::now()).count();
    const int ready = poll(ends, for_writing ? 2 : 1, left > 0 ? static_cast<int>(left) : 0);
    if (ready < 0 && errno != EINTR) fail("poll");
    if (ends[0].revents != 0) read_some();
    return ready > 0;
}

void Process::read_some() {
    constexpr std::size_t step = 1 << 16;
    if (used_ == input_.size()) {
        input_.clear();
        used_ = 0;
    }
    const std::size_t before = input_.size();
    input_.resize(before + step);
    const ssize_t got = read(from_child_, input_.data() + before, step);
    input_.resize(before + (got > 0 ? static_cast<std::size_t>(got) : 0));
    if (got == 0) throw std::runtime_error("the server closed its output");
    if (got < 0 && errno != EAGAIN && errno != EINTR) fail("read");
}

void Process::send(std::string_view body) {
    const std::string frame = framed(body);
    std::size_t done = 0;
    while (done < frame.size()) {
        const ssize_t wrote = write(to_child_, frame.data() + done, frame.size() - done);
        if (wrote > 0) {
            done += static_cast<std::size_t>(wrote);
        } else if (errno == EAGAIN || errno == EINTR) {
            wait(true, Clock::now() + std::chrono::seconds(1));
        } else {
            fail("write to the server");
        }
    }
}

std::optional<std::string> Process::take_frame() {
    const std::string_view waiting = std::string_view(input_).substr(used_);
    const std::size_t head = waiting.find(header_end);
    if (head == std::string_view::npos) return std::nullopt;
    const std::size_t name = waiting.substr(0, head).find(length_name);
    if (name == std::string_view::npos) throw std::runtime_error("a message without Content-Length");
    std::size_t length = 0;
    const char* digits = waiting.data() + name + length_name.size();
    std::from_chars(digits, waiting.data() + head, length);
    const std::size_t body = head + header_end.size();
    if (waiting.size() < body + length) return std::nullopt;
    std::string message(waiting.substr(body, length));
    used_ += body + length;
    return message;
}

std::optional<Message> Process::receive(Clock::time_point until) {
    while (true) {
        if (auto body = take_frame()) return Message{std::move(*body), Clock::now()};
        if (!wait(false, until) && Clock::now() >= until) return std::nullopt;
    }
}

Memory Process::memory() const {
    Memory memory;
    std::ifstream status("/proc/" + std::to_string(pid_) + "/status");
    std::string name;
    while (status >> name) {
        if (name == "VmRSS:") status >> memory.resident_kb;
        if (name == "VmHWM:") status >> memory.peak_kb;
        status.ignore(1 << 12, '\n');
    }
    return memory;
}

} // namespace bench
