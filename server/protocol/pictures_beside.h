// Pictures that a browser shows beside any editor: served on this computer, made anew after each edit, at the
// block that the editor last asked about.
#pragma once

#include "protocol/background.h"
#include "protocol/open_document.h"
#include "rpc/page_host.h"

#include <map>
#include <memory>
#include <mutex>
#include <string>

namespace turnwright::protocol {

class Server;

class PicturesBeside {
public:
    explicit PicturesBeside(Server& server);
    ~PicturesBeside();
    PicturesBeside(const PicturesBeside&) = delete;
    PicturesBeside& operator=(const PicturesBeside&) = delete;

    /// Off unless the settings say so.
    bool are_offered() const;

    /// A picture to be made, of values that stay as they are.
    struct Order {
        std::string token; ///< Of the page's address
        std::uint64_t number = 0;
        text::Buffer text;
        std::shared_ptr<const shop::Shop> shop;
        std::filesystem::path path;
        std::shared_ptr<const features::ProgramFiles> files;
    };
    /// The picture of an open program as it is now, which gets a page with this. Throws where no port can be
    /// had.
    Order order(const OpenDocument& document);
    /// Makes it and serves it; the address. Long work, on any thread; throws when the program was closed
    /// meanwhile.
    std::string serve(const Order& order);

    /// Another text under the same version.
    void changed(const OpenDocument& document);
    /// At idle: what has changed is made anew where somebody looks at it.
    void look();
    /// The editor stands there, from 0.
    void cursor_at(const OpenDocument& document, std::uint32_t line);
    void close(const OpenDocument& document);
    /// Closes every page and the port.
    void close_all();
    /// Ends what is being made.
    void settle() { maker_.settle(); }

private:
    /// What a page shows: equal ones are the same picture.
    struct Shown {
        std::int64_t version = -1;
        const shop::Shop* shop = nullptr;
        std::uint64_t called = 0;
        bool operator==(const Shown&) const = default;
    };
    struct Page {
        std::string token, uri;
        Shown shown;
        std::uint64_t ordered = 0, served = 0;
        std::size_t line_count = 0;
        std::optional<std::uint32_t> line; ///< Where the editor stands, where it told
        bool watched = false;
        std::shared_ptr<const Order> waiting; ///< Changed while nobody looked
    };
    static Shown shown_of(const OpenDocument& document);
    Page* page_of(std::string_view token);
    Order order_locked(const OpenDocument& document, Page& page);
    void make_later(std::shared_ptr<const Order> order);
    // On the pages' thread.
    void clicked(const std::string& token, std::uint32_t line);
    void watched(const std::string& token, bool is);

    Server& server_;
    std::mutex mutex_; ///< For all below
    std::map<const OpenDocument*, Page> pages_;
    std::unique_ptr<rpc::PageHost> host_;
    Background maker_; ///< The last: what it runs ends before anything else goes
};

} // namespace turnwright::protocol
