// What the reader thread has read and the dispatcher has not yet handled.
#pragma once

#include "rpc/rpc.h"

#include <condition_variable>
#include <deque>
#include <map>
#include <mutex>

namespace turnwright::rpc {

struct Waiting {
    Message message;
    CancelToken cancel; ///< Of a request.
};

class Inbox {
public:
    explicit Inbox(std::size_t memory_limit) : memory_limit_(memory_limit) {}

    // Reader.
    /// Waits while too much is waiting.
    void put(Message message);
    /// Marks a request that waits or runs; unknown or answered ones are ignored.
    void cancel(const Json& id);
    /// Whether the reader is about to block, with nothing more to be read now.
    void set_reader_blocked(bool blocked);
    void end();

    // Dispatcher.
    /// Moves everything that waits to the back of `to`. With `to` empty waits for a message, the end or
    /// `patience`.
    void take(std::deque<Waiting>& to, std::chrono::milliseconds patience);
    /// Waits a moment for a reader that still has bytes at hand; true when nothing waits.
    bool settled();
    bool ended_and_empty() const;
    bool has_waiting() const;
    /// Makes room for as much more.
    void handled(const Waiting& item);
    /// A request is answered: its id may be used again.
    void answered(const Json& id);
    /// Lets a waiting reader go on to its end.
    void close();

private:
    const std::size_t memory_limit_;
    mutable std::mutex mutex_;
    std::condition_variable changed_;
    std::deque<Waiting> messages_;
    std::map<Json, CancelToken> open_requests_;
    std::size_t memory_ = 0; ///< Of everything put and not yet handled.
    bool reader_blocked_ = false;
    bool ended_ = false;
    bool closed_ = false;
};

} // namespace turnwright::rpc
