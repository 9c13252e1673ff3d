// JSON-RPC 2.0 as language servers speak it: frames, messages, one endpoint that dispatches them.
//
// This room knows no method by name and no feature. Its user registers handlers by method, a gate that may
// refuse a message in the present state, and an idle hook that is called when every message that was waiting
// has been handled. Handlers run one at a time on the thread of `Endpoint::run`; a reader thread fills the
// inbox meanwhile and marks cancelled requests, also the one that is running.
#pragma once

#include "rpc/message.h"
#include "rpc/stream.h"

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace turnwright::rpc {

/// One line of log without its line end; called from several threads.
using Log = std::function<void(std::string_view line)>;

/// Set by the reader thread as soon as the client cancels the request.
class CancelToken {
public:
    bool cancelled() const { return flag_->load(std::memory_order_relaxed); }
    void cancel() const { flag_->store(true, std::memory_order_relaxed); }
    /// Throws `Error` request_cancelled; long work calls it now and then.
    void throw_if_cancelled() const;
    const std::atomic<bool>& flag() const { return *flag_; }

private:
    std::shared_ptr<std::atomic<bool>> flag_ = std::make_shared<std::atomic<bool>>(false);
};

/// What a request handler gets beside its parameters.
struct Call {
    std::string_view method;
    CancelToken cancel;
    const Json& id;
};

/// Returns the result, or `Later`; throws `Error` for an error reply. Any other exception becomes
/// internal_error.
using RequestHandler = std::function<Content(const Json& params, Call& call)>;
using NotificationHandler = std::function<void(const Json& params)>;
/// Exactly one of the two is given; `error` is null for success.
using ReplyHandler = std::function<void(const Json& result, const Error* error)>;
/// What a message is about (a document's URI), or empty.
using Subject = std::function<std::string(const Json& params)>;

struct Settings {
    Limits limits;
    Log log = [](std::string_view) {};
    /// Method of the notification that cancels the request named by `id` in its parameters.
    std::string cancel_method;
};

class Endpoint {
public:
    explicit Endpoint(Settings settings);
    ~Endpoint();
    Endpoint(const Endpoint&) = delete;
    Endpoint& operator=(const Endpoint&) = delete;

    void on_request(std::string method, RequestHandler handler);
    void on_notification(std::string method, NotificationHandler handler);
    /// A waiting notification of `changing` makes an earlier, not yet answered request of `method` about the
    /// same subject pointless: it is answered with content_modified and not run.
    void supersede(std::string method, std::string changing, Subject subject);

    /// Asked before any handler; an error refuses a request and drops a notification.
    void set_gate(std::function<const Error*(std::string_view method, bool is_request)> gate);
    /// Called when nothing waits; returns true to be called again (if still nothing waits).
    void set_idle(std::function<bool()> idle);
    /// Calls it at this time as well, if nothing waits then; a later call counts.
    void wake_at(std::chrono::steady_clock::time_point when);
    /// Called when the last message has been handled, while replies can still be sent.
    void set_end(std::function<void()> end);
    /// Called for a message that could not be read, in its turn, with the first and last bytes of its body;
    /// none when it was too large to be kept.
    void set_unreadable(std::function<void(std::string_view ends)> unreadable);
    /// Called after each answered request.
    void set_observer(std::function<void(std::string_view method, std::chrono::microseconds took)> observer);
    /// Asked about once a second; true ends the loop (the client's process is gone).
    void set_watch(std::function<bool()> client_is_gone);

    // To the client; from any thread while `run` is running, otherwise without effect.
    void notify(std::string_view method, Content params);
    void request(std::string_view method, Json params, ReplyHandler on_reply);
    /// The answer to a request whose handler returned `Later`, once.
    void finish(const Json& id, Content result);
    void finish(const Json& id, const Error& error);

    /// Whether another message waits: long work at idle may stop and let it pass.
    bool has_waiting() const;

    /// Reads and answers until `stop`, the end of the input, a failed write or the watch. Returns true when
    /// `stop` was called.
    bool run(ByteStream& stream);
    void stop();

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

} // namespace turnwright::rpc
