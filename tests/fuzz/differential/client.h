// A client in memory of one server, which runs on threads of its own as behind an editor.
#pragma once

#include "fuzz/differential/scenario.h"
#include "protocol/server.h"
#include "rpc/framing.h"

#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <thread>

namespace turnwright::fuzz {

/// Bytes both ways: what is said waits until the server reads it, what it writes is taken apart at once.
class Conversation : public rpc::ByteStream {
public:
    std::size_t read(char* to, std::size_t room) override;
    bool readable() override;
    void write(std::string_view bytes) override;
    void close() override;

    void say(std::string_view bytes);
    /// The body of the reply; the program ends when it does not come.
    std::string reply(std::int64_t id);
    /// The diagnostics pushed last, when those of the named document have come in this version.
    std::map<std::string, std::string> pushed(const std::string& uri, std::int64_t version);

private:
    void take(std::string body);

    std::mutex mutex_;
    std::condition_variable changed_;
    std::string input_;
    bool closed_ = false;
    rpc::FrameReader frames_{rpc::Limits{}};
    std::map<std::int64_t, std::string> replies_;
    struct Pushed {
        std::int64_t version;
        std::string diagnostics;
    };
    std::map<std::string, Pushed> pushed_; ///< By URI
};

class Client {
public:
    Client(const Scenario& scenario, std::filesystem::path folder);
    ~Client();

    std::string uri_of(const std::string& file) const;
    void open(const std::string& file, std::int64_t version, const std::string& text);
    void change(const std::string& file, std::int64_t version, const std::vector<Edit>& edits);
    void tell(const char* method, Json params);
    /// Its id. Nothing is sent until `send`, so that the server reads a batch as one.
    std::int64_t ask(const std::string& method, Json params);
    void send();
    /// The result, as values.
    Json ask_at_once(const char* method, Json params);
    /// Without the ids that a server makes up for reports.
    std::string answer(std::int64_t id);
    /// What was pushed for each open document, when nothing more will come.
    std::map<std::string, std::string> pushed();

private:
    std::filesystem::path folder_;
    bool push_;
    std::string waiting_;
    std::int64_t last_id_ = 0;
    std::int64_t last_look_ = 0;
    Conversation conversation_;
    protocol::Server server_;
    std::thread thread_;
};

} // namespace turnwright::fuzz
