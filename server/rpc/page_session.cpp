#include "rpc/page_session.h"

#include <asio/buffer.hpp>
#include <asio/read_until.hpp>
#include <asio/write.hpp>
#include <charconv>

namespace turnwright::rpc {
namespace {

constexpr std::size_t most_drained = std::size_t{256} * 1024;
constexpr std::chrono::milliseconds drain_time{2'000};

std::string_view reason_of(HttpStatus status) {
    switch (status) {
    case HttpStatus::ok:
        return "OK";
    case HttpStatus::no_content:
        return "No Content";
    case HttpStatus::bad_request:
        return "Bad Request";
    case HttpStatus::forbidden:
        return "Forbidden";
    case HttpStatus::not_found:
        return "Not Found";
    case HttpStatus::not_allowed:
        return "Method Not Allowed";
    case HttpStatus::head_too_large:
        return "Request Header Fields Too Large";
    case HttpStatus::unavailable:
        break;
    }
    return "Service Unavailable";
}

/// No other origin may read, embed or frame any of it, and no copy is kept. The page has a policy of its own
/// for what it may load.
std::string head_of(HttpStatus status, std::string_view type) {
    std::string head = "HTTP/1.1 " + std::to_string(static_cast<int>(status)) + " ";
    head += reason_of(status);
    head += "\r\nConnection: close\r\nCache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\n"
            "Referrer-Policy: no-referrer\r\nCross-Origin-Resource-Policy: same-origin\r\n"
            "Cross-Origin-Opener-Policy: same-origin\r\nX-Frame-Options: DENY\r\n"
            "Content-Security-Policy: frame-ancestors 'none'\r\n";
    if (!type.empty()) head.append("Content-Type: ").append(type).append("\r\n");
    return head;
}

} // namespace

std::shared_ptr<HeldPage> PageBook::page_of(std::string_view token) const {
    std::shared_ptr<HeldPage> found;
    for (const auto& [secret, page] : pages)
        if (same_secret(secret, token)) found = page;
    return found;
}

void PageSession::begin() {
    book_.sessions.insert(shared_from_this());
    end_in(book_.limits.head_time);
    read_head();
}

void PageSession::read_head() {
    asio::async_read_until(socket_, asio::dynamic_buffer(head_, book_.limits.head_bytes), "\r\n\r\n",
                           [self = shared_from_this()](asio::error_code failed, std::size_t length) {
                               if (self->ended_) return;
                               if (!failed)
                                   return self->answer(std::string_view(self->head_).substr(0, length));
                               if (failed == asio::error::not_found)
                                   return self->answer_with(HttpStatus::head_too_large);
                               self->end();
                           });
}

void PageSession::answer(std::string_view head) {
    const auto read = read_page_request(head, book_.host);
    if (const HttpStatus* refused = std::get_if<HttpStatus>(&read)) return answer_with(*refused);
    const PageRequest& request = std::get<PageRequest>(read);
    const std::shared_ptr<HeldPage> page = book_.page_of(request.token);
    constexpr std::string_view line = "line/";
    if (!page || !page->html) return answer_with(HttpStatus::not_found);
    if (request.post && request.what.starts_with(line))
        return click(request.token, std::string_view(request.what).substr(line.size()));
    if (!request.post && request.what.empty())
        return answer_with(HttpStatus::ok, "text/html; charset=utf-8", page->html);
    if (!request.post && request.what == "events") return begin_events(request.token, page);
    answer_with(HttpStatus::not_found);
}

void PageSession::click(const std::string& token, std::string_view line) {
    std::uint32_t number = 0;
    const auto [end, failed] = std::from_chars(line.data(), line.data() + line.size(), number);
    if (failed != std::errc{} || end != line.data() + line.size() || number == 0)
        return answer_with(HttpStatus::bad_request);
    book_.events.clicked(token, number);
    answer_with(HttpStatus::no_content);
}

void PageSession::answer_with(HttpStatus status, std::string_view type,
                              std::shared_ptr<const std::string> body) {
    body_ = body ? std::move(body) : std::make_shared<const std::string>();
    out_ = head_of(status, type);
    if (status != HttpStatus::no_content) out_ += "Content-Length: " + std::to_string(body_->size()) + "\r\n";
    out_ += "\r\n";
    end_in(book_.limits.answer_time);
    const std::array<asio::const_buffer, 2> parts{asio::buffer(out_), asio::buffer(*body_)};
    asio::async_write(socket_, parts, [self = shared_from_this()](asio::error_code failed, std::size_t) {
        if (self->ended_) return;
        if (failed) return self->end();
        asio::error_code ignored;
        self->socket_.shutdown(asio::ip::tcp::socket::shutdown_send, ignored);
        self->end_in(drain_time);
        self->drain();
    });
}

/// Who closes with something unread tells the other end that all was lost, the answer too.
void PageSession::drain() {
    socket_.async_read_some(asio::buffer(rest_),
                            [self = shared_from_this()](asio::error_code failed, std::size_t length) {
                                if (self->ended_) return;
                                self->drained_ += length;
                                if (failed || self->drained_ > most_drained) return self->end();
                                self->drain();
                            });
}

void PageSession::begin_events(const std::string& token, std::shared_ptr<HeldPage> page) {
    if (book_.streams >= book_.limits.streams) return answer_with(HttpStatus::unavailable);
    ++book_.streams;
    page_ = std::move(page);
    token_ = token;
    page_->watchers.insert(this);
    if (page_->watchers.size() == 1) book_.events.watched(token_, true);
    write_events(head_of(HttpStatus::ok, "text/event-stream") + "\r\n" + news());
    listen_for_end();
}

std::string PageSession::news() {
    std::string text;
    if (page_->gone) return "event: closed\ndata: 1\n\n";
    if (version_told_ != page_->version) {
        version_told_ = page_->version;
        text += "event: page\ndata: " + version_told_ + "\n\n";
    }
    if (page_->line && times_told_ != page_->times_asked) {
        times_told_ = page_->times_asked;
        text += "event: line\ndata: " + std::to_string(*page_->line) + "\n\n";
    }
    return text;
}

void PageSession::tell_news() {
    if (writing_ || ended_) return; // what is written now is followed by what is new then
    if (std::string text = news(); !text.empty()) write_events(std::move(text));
}

void PageSession::write_events(std::string text) {
    writing_ = true;
    out_ = std::move(text);
    end_in(book_.limits.answer_time);
    asio::async_write(socket_, asio::buffer(out_),
                      [self = shared_from_this()](asio::error_code failed, std::size_t) {
                          self->writing_ = false;
                          if (self->ended_) return;
                          if (failed || self->out_.starts_with("event: closed")) return self->end();
                          self->deadline_.expires_after(self->book_.limits.sign_of_life);
                          self->deadline_.async_wait([self](asio::error_code cancelled) {
                              if (!cancelled && !self->writing_ && !self->ended_)
                                  self->write_events(": here\n\n");
                          });
                          self->tell_news();
                      });
}

void PageSession::listen_for_end() {
    socket_.async_read_some(asio::buffer(rest_),
                            [self = shared_from_this()](asio::error_code failed, std::size_t) {
                                if (self->ended_) return;
                                if (failed) return self->end();
                                self->listen_for_end();
                            });
}

void PageSession::end_in(std::chrono::milliseconds time) {
    deadline_.expires_after(time);
    deadline_.async_wait([self = shared_from_this()](asio::error_code cancelled) {
        // One that was already due when a later one was set is not meant any more.
        if (!cancelled && self->deadline_.expiry() <= std::chrono::steady_clock::now()) self->end();
    });
}

void PageSession::end() {
    if (ended_) return;
    ended_ = true;
    asio::error_code ignored;
    socket_.close(ignored);
    deadline_.cancel();
    if (page_) {
        --book_.streams;
        page_->watchers.erase(this);
        if (page_->watchers.empty() && !page_->gone) book_.events.watched(token_, false);
    }
    book_.sessions.erase(shared_from_this());
}

} // namespace turnwright::rpc
