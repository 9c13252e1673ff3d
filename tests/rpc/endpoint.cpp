#include "rpc/framing.h"
#include "rpc/rpc.h"

#include <catch2/catch.hpp>
#include <condition_variable>
#include <mutex>
#include <thread>

using namespace turnwright::rpc;

namespace {

/// A client in memory: what it says is one input, or comes in parts as the test lets it.
class Script : public ByteStream {
public:
    explicit Script(std::string input) : input_(std::move(input)) {}
    std::size_t read(char* to, std::size_t room) override {
        std::unique_lock lock(mutex_);
        more_.wait(lock, [&] { return at_ < input_.size() || ended_; });
        const std::size_t count = std::min(room, input_.size() - at_);
        input_.copy(to, count, at_);
        at_ += count;
        return count;
    }
    bool readable() override {
        const std::lock_guard lock(mutex_);
        return at_ < input_.size() || ended_;
    }
    void write(std::string_view bytes) override {
        if (broken) throw std::system_error(std::make_error_code(std::errc::broken_pipe));
        frames_.feed(bytes);
        while (auto event = frames_.next()) said.push_back(Json::parse(event->text));
    }
    void close() override { end(); }
    void end() {
        const std::lock_guard lock(mutex_);
        ended_ = true;
        more_.notify_all();
    }
    void add(const std::string& bytes) {
        const std::lock_guard lock(mutex_);
        input_ += bytes;
        more_.notify_all();
    }

    std::vector<Json> said;
    bool broken = false;

private:
    std::mutex mutex_;
    std::condition_variable more_;
    std::string input_;
    std::size_t at_ = 0;
    bool ended_ = false;
    FrameReader frames_{Limits{}};
};

std::string ask(const Json& id, const char* method, Json params = Json::object()) {
    return frame(request_body(id, method, std::move(params)));
}
std::string tell(const char* method, Json params = Json::object()) {
    return frame(notification_body(method, std::move(params)));
}

struct Fixture {
    std::vector<std::string> log;
    Endpoint endpoint{{Limits{}, [this](std::string_view line) { log.emplace_back(line); }, "cancel"}};

    std::vector<Json> run(const std::string& input) {
        Script script(input);
        script.end();
        endpoint.run(script);
        return script.said;
    }
};

} // namespace

TEST_CASE_METHOD(Fixture, "results, errors and unknown methods") {
    endpoint.on_request("double",
                        [](const Json& params, Call&) { return Json(params.at("x").get<int>() * 2); });
    endpoint.on_request("refuse",
                        [](const Json&, Call&) -> Json { throw Error(code::invalid_params, "no"); });
    const auto said =
        run(ask(1, "double", {{"x", 21}}) + ask(2, "refuse") + ask("three", "unheard") + tell("unheard"));
    REQUIRE(said.size() == 3);
    CHECK(said[0] == Json{{"jsonrpc", "2.0"}, {"id", 1}, {"result", 42}});
    CHECK(said[1]["error"] == Json{{"code", -32602}, {"message", "no"}});
    CHECK(said[2]["error"]["code"] == -32601);
    CHECK(said[2]["id"] == "three");
    CHECK(log.empty());
}

TEST_CASE_METHOD(Fixture, "a handler that throws is an internal error, a line of log, and no end") {
    endpoint.on_request("fail", [](const Json&, Call&) -> Json { throw std::runtime_error("broken"); });
    endpoint.on_request("type", [](const Json& params, Call&) { return Json(params.at("missing")); });
    endpoint.on_notification("fail", [](const Json&) { throw std::runtime_error("broken too"); });
    endpoint.set_idle([]() -> bool { throw std::runtime_error("idle broke"); });
    const auto said = run(ask(1, "fail") + ask(2, "type") + tell("fail") + ask(3, "fail"));
    REQUIRE(said.size() == 3);
    for (const Json& reply : said) CHECK(reply["error"]["code"] == -32603);
    CHECK(log.size() >= 5);
}

TEST_CASE_METHOD(Fixture,
                 "waiting messages are handled before the idle work, which is done until there is no more") {
    std::string order;
    endpoint.on_notification("key", [&](const Json&) { order += 'k'; });
    int left = 2;
    endpoint.set_idle([&] {
        order += 'i';
        return --left > 0;
    });
    run(tell("key") + tell("key") + tell("key"));
    CHECK(order == "kkkii");
}

TEST_CASE_METHOD(Fixture, "a cancelled request that waits is not run") {
    int ran = 0;
    Script* client = nullptr;
    // While the first runs, the reader takes in the rest.
    endpoint.on_request("slow", [&](const Json&, Call&) {
        client->add(ask(2, "work") + ask(3, "work") + tell("cancel", {{"id", 2}}) +
                    tell("cancel", {{"id", 99}}) + tell("mark"));
        while (!endpoint.has_waiting()) std::this_thread::yield();
        std::this_thread::sleep_for(std::chrono::milliseconds(200));
        return Json();
    });
    endpoint.on_request("work", [&](const Json&, Call&) { return Json(++ran); });
    Script script(ask(1, "slow"));
    client = &script;
    endpoint.on_notification("mark", [&](const Json&) { script.end(); });
    endpoint.run(script);
    REQUIRE(script.said.size() == 3);
    CHECK(script.said[1]["error"]["code"] == -32800);
    CHECK(script.said[2]["result"] == 1);
    CHECK(ran == 1);
}

TEST_CASE_METHOD(Fixture, "a running request sees that it is cancelled") {
    Script script("");
    endpoint.on_request("long", [&](const Json&, Call& call) -> Json {
        script.add(tell("cancel", {{"id", "l"}}));
        for (int i = 0; i < 5000; ++i) {
            call.cancel.throw_if_cancelled();
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        return "never cancelled";
    });
    endpoint.on_notification("cancel", [&](const Json&) { script.end(); });
    script.add(ask("l", "long"));
    endpoint.run(script);
    REQUIRE(script.said.size() == 1);
    CHECK(script.said[0]["error"]["code"] == -32800);
}

TEST_CASE_METHOD(Fixture, "a request about a text that changes behind it is refused, others are not") {
    endpoint.on_request("outline", [](const Json&, Call&) { return Json("done"); });
    endpoint.on_request("hover", [](const Json&, Call&) { return Json("done"); });
    endpoint.on_request("hold", [&](const Json&, Call&) {
        while (!endpoint.has_waiting()) std::this_thread::yield();
        std::this_thread::sleep_for(std::chrono::milliseconds(200));
        return Json();
    });
    endpoint.on_notification("change", [](const Json&) {});
    endpoint.supersede("outline", "change",
                       [](const Json& params) { return params.value("of", std::string()); });
    const auto said = run(ask(0, "hold") + ask(1, "outline", {{"of", "a"}}) +
                          ask(2, "outline", {{"of", "b"}}) + ask(3, "hover", {{"of", "a"}}) +
                          tell("change", {{"of", "a"}}) + ask(4, "outline", {{"of", "a"}}));
    REQUIRE(said.size() == 5);
    CHECK(said[1]["error"]["code"] == -32801);
    CHECK(said[2]["result"] == "done");
    CHECK(said[3]["result"] == "done");
    CHECK(said[4]["result"] == "done");
}

TEST_CASE_METHOD(Fixture, "the gate refuses requests and drops notifications") {
    int ran = 0;
    const Error shut(-1, "shut");
    endpoint.on_request("a", [&](const Json&, Call&) { return Json(++ran); });
    endpoint.on_notification("a", [&](const Json&) { ++ran; });
    endpoint.set_gate([&](std::string_view, bool) { return &shut; });
    const auto said = run(ask(1, "a") + tell("a"));
    REQUIRE(said.size() == 1);
    CHECK(said[0]["error"]["code"] == -1);
    CHECK(ran == 0);
}

TEST_CASE_METHOD(Fixture, "requests to the client get their replies") {
    std::vector<std::string> replies;
    const auto note = [&](const Json& result, const Error* error) {
        replies.push_back(error ? "error " + error->message : result.dump());
    };
    endpoint.on_notification("go", [&](const Json&) {
        endpoint.request("ask/one", Json{{"q", 1}}, note);
        endpoint.request("ask/two", nullptr, note);
    });
    const auto said = run(
        tell("go") + frame(R"({"jsonrpc":"2.0","id":2,"error":{"code":5,"message":"refused"}})") +
        frame(R"({"jsonrpc":"2.0","id":1,"result":[7]})") + frame(R"({"jsonrpc":"2.0","id":1,"result":8})"));
    REQUIRE(said.size() == 2);
    CHECK(said[0]["method"] == "ask/one");
    CHECK_FALSE(said[1].contains("params"));
    CHECK(replies == std::vector<std::string>{"error refused", "[7]"});
    CHECK(log.size() == 1); // the second reply to 1
}

TEST_CASE_METHOD(Fixture, "stop ends at once and is told from the end of the input") {
    int ran = 0;
    endpoint.on_notification("stop", [&](const Json&) { endpoint.stop(); });
    endpoint.on_notification("work", [&](const Json&) { ++ran; });
    Script script(tell("stop") + tell("work")); // the input stays open
    CHECK(endpoint.run(script));
    CHECK(ran == 0);
    Endpoint other{{Limits{}, [](std::string_view) {}, ""}};
    Script ended("");
    ended.end();
    CHECK_FALSE(other.run(ended));
}

TEST_CASE_METHOD(Fixture, "a client that cannot be written to, or whose process is gone, ends the loop") {
    Script deaf(ask(1, "a"));
    deaf.broken = true;
    CHECK_FALSE(endpoint.run(deaf));
    Endpoint watching{{Limits{}, [](std::string_view) {}, ""}};
    watching.set_watch([] { return true; });
    Script open("");
    CHECK_FALSE(watching.run(open));
}

TEST_CASE_METHOD(Fixture, "invalid messages are answered in their place") {
    endpoint.on_request("a", [](const Json&, Call&) { return Json(1); });
    const auto said = run(ask(1, "a") + frame("{") + frame("[]") + ask(2, "a"));
    REQUIRE(said.size() == 4);
    CHECK(said[1]["error"]["code"] == -32700);
    CHECK(said[1]["id"].is_null());
    CHECK(said[2]["error"]["code"] == -32600);
    CHECK(said[3]["id"] == 2);
}

TEST_CASE_METHOD(Fixture,
                 "an answer that comes later holds nothing up, and its request can be cancelled meanwhile") {
    Script script(ask(1, "long") + ask(2, "short"));
    std::thread work;
    endpoint.on_request("long", [&](const Json&, Call& call) -> Content {
        script.add(tell("cancel", {{"id", 1}})); // sooner it would not have been begun
        work = std::thread([this, &script, id = call.id, cancel = call.cancel] {
            while (!cancel.cancelled()) std::this_thread::yield();
            endpoint.finish(id, Error(code::request_cancelled, "cancelled"));
            script.end();
        });
        return Later();
    });
    endpoint.on_request("short", [](const Json&, Call&) { return Json("done"); });
    endpoint.run(script);
    work.join();
    REQUIRE(script.said.size() == 2);
    const std::size_t later = script.said[0]["id"] == 1 ? 0 : 1;
    CHECK(script.said[later]["error"]["code"] == -32800);
    CHECK(script.said[1 - later]["result"] == "done");
}

TEST_CASE_METHOD(Fixture, "idle work is called at its time though no message comes") {
    Script script(tell("key"));
    int called = 0;
    const auto begin = std::chrono::steady_clock::now();
    endpoint.on_notification("key", [](const Json&) {});
    endpoint.set_idle([&] {
        if (++called == 1) endpoint.wake_at(begin + std::chrono::milliseconds(60));
        if (called == 2) script.end();
        return false;
    });
    endpoint.run(script);
    CHECK(called == 2);
    const auto took = std::chrono::steady_clock::now() - begin;
    CHECK(took >= std::chrono::milliseconds(60));
    CHECK(took < std::chrono::milliseconds(900)); // long before the look that comes once a second
}

TEST_CASE_METHOD(Fixture, "a message that cannot be read is told in its turn") {
    std::string order;
    endpoint.on_notification("key", [&](const Json&) { order += 'k'; });
    endpoint.set_unreadable([&](std::string_view ends) { order += ends == "{broken" ? 'u' : '?'; });
    run(tell("key") + frame("{broken") + tell("key"));
    CHECK(order == "kuk");
}
