// Long work beside the server: one piece at a time, in the order asked for, on a thread of its own.
#pragma once

#include "rpc/rpc.h"

#include <condition_variable>
#include <functional>
#include <list>
#include <mutex>
#include <string>
#include <thread>

namespace turnwright::protocol {

using rpc::Json;

class Background {
public:
    explicit Background(rpc::Endpoint& endpoint) : endpoint_(endpoint) {}
    /// Ends what runs at its next point of interruption.
    ~Background();
    Background(const Background&) = delete;
    Background& operator=(const Background&) = delete;

    /// Works on values of its own alone: the server goes on meanwhile. May throw `rpc::Error`.
    using Work = std::function<rpc::Content()>;
    /// The call is answered when `work` is done. Ends early when the request is cancelled, or its progress,
    /// told under `token`.
    rpc::Later answer(const rpc::Call& call, Work work, Json token = nullptr);
    /// For no request: what still waits under the same name is left out, the latest counts. What `work`
    /// throws is lost.
    void latest(const std::string& name, std::function<void()> work);
    /// Cancels everything and waits until all of it is answered.
    void settle();
    /// The client cancels progress.
    void cancel(const Json& token);

private:
    struct Job {
        Json id;
        rpc::CancelToken cancel;
        Work work;
        Json token;
        std::string name; ///< Of work that answers no request
    };
    void add(Job job);
    void run();
    void do_one(Job& job);
    void tell_failure(const Json& id); ///< Inside a catch

    rpc::Endpoint& endpoint_;
    std::mutex mutex_;
    std::condition_variable changed_;
    std::list<Job> jobs_; ///< The first one runs
    bool ended_ = false;
    std::thread thread_;
};

} // namespace turnwright::protocol
