#include "protocol/background.h"

#include "host/interruption.h"

#include <iterator>

namespace turnwright::protocol {

Background::~Background() {
    {
        const std::lock_guard lock(mutex_);
        ended_ = true;
        for (Job& job : jobs_) job.cancel.cancel();
    }
    changed_.notify_all();
    if (thread_.joinable()) thread_.join();
}

rpc::Later Background::answer(const rpc::Call& call, Work work, Json token) {
    add({call.id, call.cancel, std::move(work), std::move(token), {}});
    return {};
}

void Background::latest(const std::string& name, std::function<void()> work) {
    add({nullptr,
         {},
         [work = std::move(work)]() -> rpc::Content {
             work();
             return nullptr;
         },
         nullptr,
         name});
}

void Background::add(Job job) {
    {
        const std::lock_guard lock(mutex_);
        // The first one may be running.
        if (!job.name.empty() && !jobs_.empty())
            for (auto at = std::next(jobs_.begin()); at != jobs_.end();)
                at = at->name == job.name ? jobs_.erase(at) : std::next(at);
        jobs_.push_back(std::move(job));
        if (!thread_.joinable()) thread_ = std::thread([this] { run(); });
    }
    changed_.notify_all();
}

void Background::settle() {
    std::unique_lock lock(mutex_);
    for (Job& job : jobs_) job.cancel.cancel();
    changed_.wait(lock, [&] { return jobs_.empty(); });
}

void Background::cancel(const Json& token) {
    const std::lock_guard lock(mutex_);
    for (Job& job : jobs_)
        if (!job.token.is_null() && job.token == token) job.cancel.cancel();
}

void Background::run() {
    std::unique_lock lock(mutex_);
    for (;;) {
        changed_.wait(lock, [&] { return ended_ || !jobs_.empty(); });
        if (ended_) return;
        Job& job = jobs_.front(); // more may come behind it meanwhile
        lock.unlock();
        do_one(job);
        job.work = nullptr; // what it held goes without the lock
        lock.lock();
        jobs_.pop_front();
        changed_.notify_all();
    }
}

void Background::do_one(Job& job) {
    const host::Interruptible here(job.cancel.flag());
    try {
        job.cancel.throw_if_cancelled();
        rpc::Content result = job.work();
        if (job.name.empty()) endpoint_.finish(job.id, std::move(result));
    } catch (...) {
        if (job.name.empty()) tell_failure(job.id);
    }
}

void Background::tell_failure(const Json& id) {
    try {
        throw;
    } catch (const host::Stopped&) {
        endpoint_.finish(id, rpc::Error(rpc::code::request_cancelled, "cancelled by the client"));
    } catch (const rpc::Error& error) {
        endpoint_.finish(id, error);
    } catch (const std::exception& failure) {
        endpoint_.finish(id, rpc::Error(rpc::code::internal_error, failure.what()));
    }
}

} // namespace turnwright::protocol
