#include "rpc/framing.h"
#include "rpc/inbox.h"
#include "rpc/rpc.h"

#include <array>
#include <system_error>
#include <thread>
#include <unordered_map>
#include <utility>

namespace turnwright::rpc {

void CancelToken::throw_if_cancelled() const {
    if (cancelled()) throw Error(code::request_cancelled, "cancelled by the client");
}

struct Endpoint::Parts {
    explicit Parts(Settings given) : settings(std::move(given)), inbox(settings.limits.waiting_bytes) {}

    Settings settings;
    Inbox inbox;
    std::deque<Waiting> batch; ///< Taken from the inbox, in order, not yet handled.

    struct Superseding {
        std::string changing;
        Subject subject;
    };
    std::unordered_map<std::string, RequestHandler> requests;
    std::unordered_map<std::string, NotificationHandler> notifications;
    std::unordered_map<std::string, Superseding> superseding;
    std::function<const Error*(std::string_view, bool)> gate;
    std::function<bool()> idle;
    std::function<void()> end;
    std::function<void(std::string_view, std::chrono::microseconds)> observer;
    std::function<bool()> client_is_gone;
    std::function<void(std::string_view)> unreadable;
    std::chrono::steady_clock::time_point wake = std::chrono::steady_clock::time_point::max();

    std::mutex write_mutex; ///< Also guards the two below.
    ByteStream* stream = nullptr;
    std::int64_t next_id = 1;
    std::map<Json, ReplyHandler> replies;
    std::atomic<bool> stopped{false};
    std::atomic<bool> broken{false};

    void log(const std::string& line) const { settings.log(line); }

    void send(std::string body) {
        const std::lock_guard lock(write_mutex);
        send_locked(std::move(body));
    }

    void send_locked(std::string body) {
        if (!stream || broken) return;
        try {
            stream->write(frame(std::move(body)));
        } catch (const std::system_error& failure) {
            broken = true;
            log(std::string("cannot write to the client: ") + failure.what());
        }
    }

    // ---- reader thread

    void read_all() {
        FrameReader frames(settings.limits);
        std::array<char, std::size_t{64} * 1024> piece;
        while (!frames.dead()) {
            if (!stream->readable()) inbox.set_reader_blocked(true);
            const std::size_t got = stream->read(piece.data(), piece.size());
            inbox.set_reader_blocked(false);
            if (got == 0) break;
            frames.feed({piece.data(), got});
            while (auto event = frames.next()) accept(*event);
        }
        if (frames.half_way()) log("the input ended inside a message");
        inbox.end();
    }

    void accept(const FrameReader::Event& event) {
        if (event.kind == FrameReader::Event::Kind::body) {
            Message message = parse_message(event.text, settings.limits);
            if (message.kind == Message::Kind::notification && message.method == settings.cancel_method &&
                message.params.is_object() && message.params.contains("id"))
                inbox.cancel(message.params["id"]);
            inbox.put(std::move(message));
            return;
        }
        Message bad;
        const bool malformed = event.kind == FrameReader::Event::Kind::malformed;
        bad.code = malformed ? code::parse_error : code::invalid_request;
        bad.problem = (malformed ? "malformed frame: " : "") + event.text;
        inbox.put(std::move(bad));
    }

    // ---- dispatcher thread

    void handle(Waiting& item) {
        switch (item.message.kind) {
        case Message::Kind::invalid:
            log("bad message: " + item.message.problem);
            if (item.message.wants_reply)
                send(error_body(item.message.id, Error(item.message.code, item.message.problem)));
            if (unreadable) unreadable(item.message.ends);
            break;
        case Message::Kind::response:
            handle_response(item.message);
            break;
        case Message::Kind::notification:
            handle_notification(item.message);
            break;
        case Message::Kind::request:
            answer(item);
            break;
        }
    }

    void answer(Waiting& item) {
        const Message& message = item.message;
        const auto begin = std::chrono::steady_clock::now();
        try {
            Content result = run_request(item);
            if (std::holds_alternative<Later>(result)) return;
            send(result_body(message.id, std::move(result)));
        } catch (const Error& error) {
            if (error.code == code::internal_error) log(message.method + ": " + error.message);
            send(error_body(message.id, error));
        } catch (const std::exception& failure) {
            log(message.method + " failed: " + failure.what());
            send(error_body(message.id,
                            Error(code::internal_error, message.method + " failed: " + failure.what())));
        }
        inbox.answered(message.id);
        if (observer)
            observer(message.method, std::chrono::duration_cast<std::chrono::microseconds>(
                                         std::chrono::steady_clock::now() - begin));
    }

    Content run_request(Waiting& item) {
        const Message& message = item.message;
        item.cancel.throw_if_cancelled();
        if (const Error* refused = gate ? gate(message.method, true) : nullptr) throw *refused;
        const auto handler = requests.find(message.method);
        if (handler == requests.end())
            throw Error(code::method_not_found, "no such method: " + message.method);
        if (is_superseded(message)) throw Error(code::content_modified, "the text has changed since");
        Call call{message.method, item.cancel, message.id};
        return handler->second(message.params, call);
    }

    bool is_superseded(const Message& message) const {
        const auto rule = superseding.find(message.method);
        if (rule == superseding.end()) return false;
        const std::string subject = rule->second.subject(message.params);
        for (const Waiting& later : batch)
            if (later.message.kind == Message::Kind::notification &&
                later.message.method == rule->second.changing && !subject.empty() &&
                rule->second.subject(later.message.params) == subject)
                return true;
        return false;
    }

    void handle_notification(const Message& message) {
        if (gate && gate(message.method, false)) return;
        const auto handler = notifications.find(message.method);
        if (handler == notifications.end()) return; // unknown ones are ignored, as the protocol asks
        try {
            handler->second(message.params);
        } catch (const std::exception& failure) {
            log(message.method + ": " + failure.what());
        }
    }

    void handle_response(const Message& message) {
        ReplyHandler on_reply;
        {
            const std::lock_guard lock(write_mutex);
            const auto found = replies.find(message.id);
            if (found == replies.end()) {
                log("a reply to no request of ours: id " + message.id.dump());
                return;
            }
            on_reply = std::move(found->second);
            replies.erase(found);
        }
        if (!on_reply) return;
        try {
            if (message.error.is_null()) return on_reply(message.result, nullptr);
            const Json& error = message.error;
            const bool readable =
                error.is_object() && error.contains("message") && error["message"].is_string();
            const Error told(code::request_failed,
                             readable ? error["message"].get<std::string>() : "unreadable error");
            on_reply(Json(), &told);
        } catch (const std::exception& failure) {
            log(std::string("handling a reply failed: ") + failure.what());
        }
    }

    void run_idle() {
        if (!idle) return;
        // Who has closed its end may still read, but the warnings of thousands of documents are not waited
        // for.
        constexpr auto after_the_end = std::chrono::seconds(3);
        auto leave = std::chrono::steady_clock::time_point::max();
        try {
            while (inbox.settled() && !stopped && !broken && std::chrono::steady_clock::now() < leave &&
                   idle())
                if (inbox.ended_and_empty())
                    leave = std::min(leave, std::chrono::steady_clock::now() + after_the_end);
        } catch (const std::exception& failure) {
            log(std::string("idle work failed: ") + failure.what());
        }
    }

    bool watch_says_gone(std::chrono::steady_clock::time_point& next_look) const {
        const auto now = std::chrono::steady_clock::now();
        if (now < next_look) return false;
        next_look = now + std::chrono::seconds(1);
        if (!client_is_gone || !client_is_gone()) return false;
        log("the client's process is gone");
        return true;
    }

    std::chrono::milliseconds time_to_wait() const {
        using std::chrono::milliseconds;
        const auto now = std::chrono::steady_clock::now();
        if (wake <= now) return milliseconds(0);
        if (wake - now > std::chrono::seconds(1)) return std::chrono::seconds(1);
        return std::chrono::ceil<milliseconds>(wake - now);
    }

    void dispatch() {
        auto next_look = std::chrono::steady_clock::now();
        while (!stopped && !broken) {
            inbox.take(batch, time_to_wait());
            if (watch_says_gone(next_look)) return;
            if (batch.empty()) {
                if (inbox.ended_and_empty()) return;
                if (std::chrono::steady_clock::now() < wake) continue;
                wake = std::chrono::steady_clock::time_point::max();
                run_idle();
                continue;
            }
            Waiting item = std::move(batch.front());
            batch.pop_front();
            handle(item);
            inbox.handled(item);
            if (batch.empty()) run_idle();
        }
    }
};

Endpoint::Endpoint(Settings settings) : parts_(std::make_unique<Parts>(std::move(settings))) {}
Endpoint::~Endpoint() = default;

void Endpoint::on_request(std::string method, RequestHandler handler) {
    parts_->requests[std::move(method)] = std::move(handler);
}
void Endpoint::on_notification(std::string method, NotificationHandler handler) {
    parts_->notifications[std::move(method)] = std::move(handler);
}
void Endpoint::supersede(std::string method, std::string changing, Subject subject) {
    parts_->superseding[std::move(method)] = {std::move(changing), std::move(subject)};
}
void Endpoint::set_gate(std::function<const Error*(std::string_view, bool)> gate) {
    parts_->gate = std::move(gate);
}
void Endpoint::set_idle(std::function<bool()> idle) {
    parts_->idle = std::move(idle);
}
void Endpoint::set_end(std::function<void()> end) {
    parts_->end = std::move(end);
}
void Endpoint::wake_at(std::chrono::steady_clock::time_point when) {
    parts_->wake = when;
}
void Endpoint::set_unreadable(std::function<void(std::string_view)> unreadable) {
    parts_->unreadable = std::move(unreadable);
}
void Endpoint::set_observer(std::function<void(std::string_view, std::chrono::microseconds)> observer) {
    parts_->observer = std::move(observer);
}
void Endpoint::set_watch(std::function<bool()> client_is_gone) {
    parts_->client_is_gone = std::move(client_is_gone);
}

void Endpoint::notify(std::string_view method, Content params) {
    parts_->send(notification_body(method, std::move(params)));
}

void Endpoint::request(std::string_view method, Json params, ReplyHandler on_reply) {
    const std::lock_guard lock(parts_->write_mutex);
    if (!parts_->stream) return;
    const Json id = parts_->next_id++;
    parts_->replies[id] = std::move(on_reply);
    parts_->send_locked(request_body(id, method, std::move(params)));
}

void Endpoint::finish(const Json& id, Content result) {
    parts_->inbox.answered(id);
    parts_->send(result_body(id, std::move(result)));
}

void Endpoint::finish(const Json& id, const Error& error) {
    parts_->inbox.answered(id);
    parts_->send(error_body(id, error));
}

bool Endpoint::has_waiting() const {
    return !parts_->batch.empty() || parts_->inbox.has_waiting();
}

bool Endpoint::run(ByteStream& stream) {
    parts_->stream = &stream;
    std::thread reader([this] { parts_->read_all(); });
    parts_->dispatch();
    if (parts_->end) parts_->end();
    parts_->inbox.close();
    stream.close();
    reader.join();
    const std::lock_guard lock(parts_->write_mutex);
    parts_->stream = nullptr;
    parts_->replies.clear();
    return parts_->stopped;
}

void Endpoint::stop() {
    parts_->stopped = true;
}

} // namespace turnwright::rpc
