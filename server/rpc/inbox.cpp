#include "rpc/inbox.h"

namespace turnwright::rpc {

void Inbox::put(Message message) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return memory_ < memory_limit_ || closed_; });
    if (closed_) return;
    Waiting item{std::move(message), {}};
    if (item.message.kind == Message::Kind::request)
        open_requests_.insert_or_assign(item.message.id, item.cancel);
    memory_ += item.message.memory;
    messages_.push_back(std::move(item));
    changed_.notify_all();
}

void Inbox::cancel(const Json& id) {
    const std::lock_guard lock(mutex_);
    if (const auto found = open_requests_.find(id); found != open_requests_.end()) found->second.cancel();
}

void Inbox::set_reader_blocked(bool blocked) {
    const std::lock_guard lock(mutex_);
    reader_blocked_ = blocked;
    if (blocked) changed_.notify_all();
}

void Inbox::end() {
    const std::lock_guard lock(mutex_);
    ended_ = reader_blocked_ = true;
    changed_.notify_all();
}

void Inbox::take(std::deque<Waiting>& to, std::chrono::milliseconds patience) {
    std::unique_lock lock(mutex_);
    if (to.empty()) changed_.wait_for(lock, patience, [&] { return !messages_.empty() || ended_; });
    if (messages_.empty()) return;
    std::move(messages_.begin(), messages_.end(), std::back_inserter(to));
    messages_.clear();
}

bool Inbox::settled() {
    std::unique_lock lock(mutex_);
    // Only a stream that never ends keeps the reader busy for longer; it must not starve the warnings.
    changed_.wait_for(lock, std::chrono::milliseconds(20),
                      [&] { return !messages_.empty() || reader_blocked_; });
    return messages_.empty();
}

bool Inbox::ended_and_empty() const {
    const std::lock_guard lock(mutex_);
    return ended_ && messages_.empty();
}

bool Inbox::has_waiting() const {
    const std::lock_guard lock(mutex_);
    return !messages_.empty();
}

void Inbox::handled(const Waiting& item) {
    const std::lock_guard lock(mutex_);
    memory_ -= item.message.memory;
    changed_.notify_all();
}

void Inbox::answered(const Json& id) {
    const std::lock_guard lock(mutex_);
    open_requests_.erase(id);
}

void Inbox::close() {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    changed_.notify_all();
}

} // namespace turnwright::rpc
