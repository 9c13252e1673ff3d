#include "rpc/page_host.h"

#include "rpc/loopback_acceptor.h"
#include "rpc/page_session.h"

#include <asio/executor_work_guard.hpp>
#include <asio/post.hpp>
#include <thread>
#include <vector>

namespace turnwright::rpc {

struct PageHost::Parts {
    PageBook book;
    asio::ip::tcp::acceptor acceptor{book.context};
    asio::steady_timer pause{book.context};
    std::uint16_t port = 0;
    std::thread thread;

    void accept() {
        acceptor.async_accept([this](asio::error_code failed, asio::ip::tcp::socket socket) {
            if (failed == asio::error::operation_aborted) return;
            if (failed) {
                // No file is to be had, for one: not tried again without end at once.
                pause.expires_after(std::chrono::milliseconds(200));
                pause.async_wait([this](asio::error_code cancelled) {
                    if (!cancelled) accept();
                });
                return;
            }
            if (book.sessions.size() < book.limits.connections)
                std::make_shared<PageSession>(book, std::move(socket))->begin();
            accept();
        });
    }

    void run() {
        const auto work = asio::make_work_guard(book.context);
        while (!book.context.stopped()) {
            try {
                book.context.run();
            } catch (const std::exception& failure) {
                book.events.log(std::string("the page's server: ") + failure.what());
            }
        }
    }

    HeldPage& page(const std::string& token) {
        std::shared_ptr<HeldPage>& held = book.pages[token];
        if (!held) held = std::make_shared<HeldPage>();
        return *held;
    }

    void tell(const HeldPage& page) const {
        const std::vector<PageSession*> watchers(page.watchers.begin(), page.watchers.end());
        for (PageSession* session : watchers) session->tell_news();
    }
};

PageHost::PageHost(PageEvents events, PageLimits limits) : parts_(std::make_unique<Parts>()) {
    parts_->book.events = std::move(events);
    parts_->book.limits = limits;
    listen_on_loopback(parts_->acceptor, 0);
    parts_->port = parts_->acceptor.local_endpoint().port();
    parts_->book.host = "127.0.0.1:" + std::to_string(parts_->port);
    parts_->accept();
    parts_->thread = std::thread([this] { parts_->run(); });
}

PageHost::~PageHost() {
    parts_->book.context.stop();
    parts_->thread.join();
}

std::uint16_t PageHost::port() const {
    return parts_->port;
}

std::string PageHost::address(std::string_view token) const {
    return "http://" + parts_->book.host + "/" + std::string(token) + "/";
}

void PageHost::put(std::string token, std::string html, std::string version) {
    asio::post(parts_->book.context, [this, token = std::move(token), version = std::move(version),
                                      text = std::make_shared<const std::string>(std::move(html))] {
        HeldPage& page = parts_->page(token);
        page.html = text;
        page.version = version;
        parts_->tell(page);
    });
}

void PageHost::go_to(std::string token, std::uint32_t line) {
    asio::post(parts_->book.context, [this, token = std::move(token), line] {
        HeldPage& page = parts_->page(token);
        page.line = line;
        ++page.times_asked;
        parts_->tell(page);
    });
}

void PageHost::remove(std::string token) {
    asio::post(parts_->book.context, [this, token = std::move(token)] {
        const auto found = parts_->book.pages.find(token);
        if (found == parts_->book.pages.end()) return;
        const std::shared_ptr<HeldPage> page = found->second;
        parts_->book.pages.erase(found);
        page->gone = true;
        parts_->tell(*page);
    });
}

} // namespace turnwright::rpc
