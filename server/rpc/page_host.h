// Pages that this process serves to a browser of this computer: HTTP on 127.0.0.1, a secret in every address.
//
// A page is served whole, a row of events says what is new of it, and a click in it comes back; nothing else
// is answered. All of it runs on one thread beside its user, with bounds on what a stranger can take:
// connections, their time, the size of what they send.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace turnwright::rpc {

struct PageLimits {
    std::size_t connections = 32, streams = 12; ///< Rows of events are among the connections
    std::size_t head_bytes = std::size_t{8} * 1024;
    std::chrono::milliseconds head_time{5'000};    ///< From the connection to the end of the headers
    std::chrono::milliseconds answer_time{30'000}; ///< For one answer to be taken
    std::chrono::milliseconds sign_of_life{15'000};
};

/// Called on the pages' own thread.
struct PageEvents {
    std::function<void(const std::string& token, std::uint32_t line)>
        clicked;                                                         ///< From 1, as the page shows it
    std::function<void(const std::string& token, bool watched)> watched; ///< Whether a browser shows the page
    std::function<void(std::string_view line)> log;
};

class PageHost {
public:
    /// Listens on a free port of 127.0.0.1; throws std::system_error when there is none to be had.
    explicit PageHost(PageEvents events, PageLimits limits = {});
    /// Ends every connection.
    ~PageHost();
    PageHost(const PageHost&) = delete;
    PageHost& operator=(const PageHost&) = delete;

    std::uint16_t port() const;
    /// "http://127.0.0.1:4711/TOKEN/"
    std::string address(std::string_view token) const;

    // From any thread.
    /// The page as it is from now on, under its token; who shows it is told of a new version.
    void put(std::string token, std::string html, std::string version);
    /// Who shows the page goes to this line, from 0.
    void go_to(std::string token, std::uint32_t line);
    /// There is no such page any more.
    void remove(std::string token);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

} // namespace turnwright::rpc
