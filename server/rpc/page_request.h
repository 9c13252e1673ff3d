// What a browser asks of a page that is served on this computer: one line and the few headers that count.
#pragma once

#include <string>
#include <string_view>
#include <variant>

namespace turnwright::rpc {

/// The numbers of HTTP (RFC 9110).
enum class HttpStatus : int {
    ok = 200,
    no_content = 204,
    bad_request = 400,
    forbidden = 403,
    not_found = 404,
    not_allowed = 405,
    head_too_large = 431,
    unavailable = 503,
};

struct PageRequest {
    bool post = false;
    std::string token, what; ///< Of "/token/what"
};

/// Reads a request's line and headers, with the empty line at their end; else why it is refused. `host` is
/// what the browser must have written as host, "127.0.0.1:4711": a page of another origin that had a name
/// lead here (DNS rebinding) wrote its own. Nothing is taken that brings a body, and what changes something
/// must come from the page itself.
std::variant<PageRequest, HttpStatus> read_page_request(std::string_view head, std::string_view host);

/// Takes as long whatever differs, so that time tells nothing of a secret.
bool same_secret(std::string_view a, std::string_view b);

} // namespace turnwright::rpc
