// Ends long work on a thread of its own that nobody waits for any more.
#pragma once

#include <atomic>
#include <exception>

namespace turnwright::host {

/// Thrown where the work was when it was asked to end.
struct Stopped : std::exception {
    const char* what() const noexcept override { return "stopped"; }
};

/// While it lives, `stop_here_if_asked` on this thread looks at `asked`.
class Interruptible {
public:
    explicit Interruptible(const std::atomic<bool>& asked);
    ~Interruptible();
    Interruptible(const Interruptible&) = delete;
    Interruptible& operator=(const Interruptible&) = delete;
};

/// Throws `Stopped` on an interruptible thread that was asked to stop; elsewhere does nothing. Cheap enough
/// for every block.
void stop_here_if_asked();

} // namespace turnwright::host
