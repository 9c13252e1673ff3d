#include "protocol/pictures_beside.h"

#include "host/file.h"
#include "host/interruption.h"
#include "protocol/server.h"
#include "report/report.h"

namespace turnwright::protocol {

PicturesBeside::PicturesBeside(Server& server) : server_(server), maker_(server.endpoint()) {}

PicturesBeside::~PicturesBeside() {
    close_all();
}

bool PicturesBeside::are_offered() const {
    return server_.settings().flag({"pictureBeside", "offered"}, false);
}

PicturesBeside::Shown PicturesBeside::shown_of(const OpenDocument& document) {
    return {document.version(), document.as_it_is().shop_pointer().get(),
            document.called().was_asked() ? document.called().stamp() : 0};
}

PicturesBeside::Page* PicturesBeside::page_of(std::string_view token) {
    for (auto& [document, page] : pages_)
        if (page.token == token) return &page;
    return nullptr;
}

PicturesBeside::Order PicturesBeside::order_locked(const OpenDocument& document, Page& page) {
    const features::Document& now = document.as_it_is();
    page.shown = shown_of(document);
    page.line_count = now.buffer().line_count();
    page.waiting = nullptr;
    return {page.token,         ++page.ordered, now.buffer(),
            now.shop_pointer(), now.path(),     server_.program_files()};
}

PicturesBeside::Order PicturesBeside::order(const OpenDocument& document) {
    const std::lock_guard lock(mutex_);
    if (!host_) {
        host_ = std::make_unique<rpc::PageHost>(
            rpc::PageEvents{[this](const std::string& token, std::uint32_t line) { clicked(token, line); },
                            [this](const std::string& token, bool is) { watched(token, is); },
                            [this](std::string_view line) { server_.log(std::string(line)); }});
        server_.log("warning: pictures are served on 127.0.0.1:" + std::to_string(host_->port()) +
                    "; who gets to know an address on this computer can see that program");
    }
    Page& page = pages_[&document];
    if (page.token.empty()) {
        page.token = host::unguessable_name();
        page.uri = document.uri();
    }
    return order_locked(document, page);
}

std::string PicturesBeside::serve(const Order& order) {
    const features::Document program(order.text.whole(), order.shop, order.path, order.files->as_it_is());
    const std::string number = std::to_string(order.number);
    std::string html = report::picture_page(program, number);
    host::stop_here_if_asked();
    const std::lock_guard lock(mutex_);
    Page* const page = page_of(order.token);
    if (!page) throw rpc::Error(rpc::code::request_failed, "the program was closed");
    if (order.number > page->served) {
        if (page->served == 0 && page->line) host_->go_to(order.token, *page->line);
        page->served = order.number;
        host_->put(order.token, std::move(html), number);
    }
    return host_->address(order.token);
}

void PicturesBeside::make_later(std::shared_ptr<const Order> order) {
    const std::string name = order->token;
    maker_.latest(name, [this, order = std::move(order)] {
        try {
            serve(*order);
        } catch (const rpc::Error&) { // closed meanwhile
        } catch (const host::Stopped&) {
            throw;
        } catch (const std::exception& failure) {
            server_.log(std::string("the picture beside the editor: ") + failure.what());
        }
    });
}

void PicturesBeside::look() {
    const std::lock_guard lock(mutex_);
    for (auto& [document, page] : pages_) {
        if (document->lost() || shown_of(*document) == page.shown) continue;
        auto order = std::make_shared<const Order>(order_locked(*document, page));
        if (page.watched)
            make_later(std::move(order));
        else
            page.waiting = std::move(order);
    }
}

void PicturesBeside::cursor_at(const OpenDocument& document, std::uint32_t line) {
    const std::lock_guard lock(mutex_);
    const auto found = pages_.find(&document);
    if (found == pages_.end()) return;
    found->second.line = line;
    host_->go_to(found->second.token, line);
}

void PicturesBeside::clicked(const std::string& token, std::uint32_t line) {
    std::string uri;
    {
        const std::lock_guard lock(mutex_);
        const Page* const page = page_of(token);
        if (page && line <= page->line_count) uri = page->uri;
    }
    if (uri.empty() || !server_.client().can({"window", "showDocument", "support"})) return;
    const Json place{{"line", line - 1}, {"character", 0}};
    // The browser keeps the keys: who clicks there again does not have to go back to it.
    server_.endpoint().request(
        "window/showDocument",
        Json{{"uri", uri}, {"takeFocus", false}, {"selection", Json{{"start", place}, {"end", place}}}},
        [](const Json&, const rpc::Error*) {});
}

void PicturesBeside::watched(const std::string& token, bool is) {
    const std::lock_guard lock(mutex_);
    Page* const page = page_of(token);
    if (!page) return;
    page->watched = is;
    if (is && page->waiting) make_later(std::move(page->waiting));
}

void PicturesBeside::changed(const OpenDocument& document) {
    const std::lock_guard lock(mutex_);
    if (const auto found = pages_.find(&document); found != pages_.end()) found->second.shown = {};
}

void PicturesBeside::close(const OpenDocument& document) {
    const std::lock_guard lock(mutex_);
    const auto found = pages_.find(&document);
    if (found == pages_.end()) return;
    host_->remove(found->second.token);
    pages_.erase(found);
}

void PicturesBeside::close_all() {
    std::unique_ptr<rpc::PageHost> host;
    {
        const std::lock_guard lock(mutex_);
        pages_.clear();
        host = std::move(host_);
    }
    // Its thread may wait for the lock: it ends without it.
}

} // namespace turnwright::protocol
