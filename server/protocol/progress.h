// $/progress: how far work has come, and results in parts.
#pragma once

#include "protocol/in.h"
#include "rpc/message.h"

namespace turnwright::rpc {
class Endpoint;
}

namespace turnwright::protocol {

struct Client;

/// Progress of work, told under a token; says its end when it goes.
class WorkDone {
public:
    /// Under the token that a request brings; says nothing when it brings none.
    WorkDone(rpc::Endpoint& endpoint, const In& params, const std::string& title);
    /// Under a token of the server's own, where the client shows such progress.
    WorkDone(rpc::Endpoint& endpoint, const Client& client, Json token, const std::string& title);
    /// Under the request's token, else one of the server's own; the client may cancel it.
    WorkDone(rpc::Endpoint& endpoint, const Client& client, const In& params, Json token,
             const std::string& title);
    ~WorkDone();
    WorkDone(const WorkDone&) = delete;
    WorkDone& operator=(const WorkDone&) = delete;

    /// null when nobody listens
    const Json& token() const { return token_; }
    /// `percent` from 0 to 100, never less than before.
    void report(unsigned percent, const std::string& message);

private:
    void create(const Client& client, Json token);
    void begin(const std::string& title, bool cancellable = false);
    void send(Json value);

    rpc::Endpoint& endpoint_;
    Json token_;
};

/// Results in parts, for a request that brings a token for them.
class Parts {
public:
    Parts(rpc::Endpoint& endpoint, const In& params);
    bool wanted() const { return !token_.is_null(); }
    void send(rpc::Content part);

private:
    rpc::Endpoint& endpoint_;
    Json token_;
};

/// A result that is a list: in parts where the request asks for that, with nothing left for the answer.
rpc::Content in_parts(rpc::Endpoint& endpoint, const In& params, rpc::Content result);

} // namespace turnwright::protocol
