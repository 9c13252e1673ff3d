// Inside the rpc room: one connection of a browser, from its request to the end of the answer.
#pragma once

#include "rpc/page_host.h"
#include "rpc/page_request.h"

#include <array>
#include <asio/io_context.hpp>
#include <asio/ip/tcp.hpp>
#include <asio/steady_timer.hpp>
#include <map>
#include <optional>
#include <set>

namespace turnwright::rpc {

class PageSession;

struct HeldPage {
    std::shared_ptr<const std::string> html;
    std::string version;
    std::optional<std::uint32_t> line;
    std::uint64_t times_asked = 0; ///< How often a line was named
    bool gone = false;
    std::set<PageSession*> watchers; ///< Rows of events
};

/// What all connections share; on the pages' thread alone.
struct PageBook {
    asio::io_context context{1};
    PageEvents events;
    PageLimits limits;
    std::string host; ///< "127.0.0.1:4711"
    std::map<std::string, std::shared_ptr<HeldPage>, std::less<>> pages;
    std::set<std::shared_ptr<PageSession>> sessions;
    std::size_t streams = 0;

    /// The page of a token, compared in a time that tells nothing of it.
    std::shared_ptr<HeldPage> page_of(std::string_view token) const;
};

class PageSession : public std::enable_shared_from_this<PageSession> {
public:
    PageSession(PageBook& book, asio::ip::tcp::socket socket)
        : book_(book), socket_(std::move(socket)), deadline_(book.context) {}

    void begin();
    /// There is something new of the page whose events are sent here.
    void tell_news();
    /// Ends it at once.
    void end();

private:
    void read_head();
    void answer(std::string_view head);
    void answer_with(HttpStatus status, std::string_view type = {},
                     std::shared_ptr<const std::string> body = nullptr);
    void click(const std::string& token, std::string_view line);
    void begin_events(const std::string& token, std::shared_ptr<HeldPage> page);
    std::string news();
    void write_events(std::string text);
    void listen_for_end();
    void drain();
    void end_in(std::chrono::milliseconds time);

    PageBook& book_;
    asio::ip::tcp::socket socket_;
    asio::steady_timer deadline_;
    std::string head_, out_;
    std::shared_ptr<const std::string> body_;
    std::array<char, 512> rest_; ///< What comes behind the request is not looked at
    std::size_t drained_ = 0;
    bool ended_ = false;

    // Of a row of events
    std::shared_ptr<HeldPage> page_;
    std::string token_, version_told_;
    std::uint64_t times_told_ = 0;
    bool writing_ = false;
};

} // namespace turnwright::rpc
