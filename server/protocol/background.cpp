#include "protocol/background.h"

#include "host/interruption.h"

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
    {
        const std::lock_guard lock(mutex_);
        jobs_.push_back({call.id, call.cancel, std::move(work), std::move(token)});
        if (!thread_.joinable()) thread_ = std::thread([this] { run(); });
    }
    changed_.notify_all();
    return {};
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
        endpoint_.finish(job.id, job.work());
    } catch (const host::Stopped&) {
        endpoint_.finish(job.id, rpc::Error(rpc::code::request_cancelled, "cancelled by the client"));
    } catch (const rpc::Error& error) {
        endpoint_.finish(job.id, error);
    } catch (const std::exception& failure) {
        endpoint_.finish(job.id, rpc::Error(rpc::code::internal_error, failure.what()));
    }
}

} // namespace turnwright::protocol
