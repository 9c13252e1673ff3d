#include "rpc/page_request.h"

#include <algorithm>

namespace turnwright::rpc {
namespace {

constexpr std::string_view line_end = "\r\n";

std::string lower(std::string_view name) {
    std::string out(name);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

std::string_view without_blanks(std::string_view value) {
    const std::size_t begin = value.find_first_not_of(" \t");
    if (begin == std::string_view::npos) return {};
    return value.substr(begin, value.find_last_not_of(" \t") + 1 - begin);
}

/// Cuts off the first line; the rest stays.
std::string_view next_line(std::string_view& text) {
    const std::size_t end = text.find(line_end);
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + line_end.size());
    return line;
}

HttpStatus read_first_line(std::string_view line, PageRequest& request) {
    const std::size_t method_end = line.find(' ');
    const std::size_t target_end = line.rfind(' ');
    if (method_end == std::string_view::npos || target_end <= method_end) return HttpStatus::bad_request;
    const std::string_view method = line.substr(0, method_end), version = line.substr(target_end + 1);
    std::string_view target = line.substr(method_end + 1, target_end - method_end - 1);
    if (version != "HTTP/1.1" && version != "HTTP/1.0") return HttpStatus::bad_request;
    if (!target.starts_with('/') || target.find_first_of(" \t") != std::string_view::npos)
        return HttpStatus::bad_request;
    if (method != "GET" && method != "POST") return HttpStatus::not_allowed;
    request.post = method == "POST";
    target.remove_prefix(1);
    const std::size_t token_end = target.find('/');
    if (token_end == std::string_view::npos) return HttpStatus::not_found;
    request.token = target.substr(0, token_end);
    request.what = target.substr(token_end + 1);
    return HttpStatus::ok;
}

/// Header lines that say something about whether the request is taken.
struct Headers {
    std::size_t hosts = 0, origins = 0;
    std::string_view host, origin;
    bool has_body = false;

    bool take(std::string_view line) {
        const std::size_t colon = line.find(':');
        if (colon == std::string_view::npos || colon == 0) return false;
        const std::string name = lower(line.substr(0, colon));
        if (name.find_first_of(" \t") != std::string::npos) return false;
        const std::string_view value = without_blanks(line.substr(colon + 1));
        if (name == "host") {
            ++hosts;
            host = value;
        } else if (name == "origin") {
            ++origins;
            origin = value;
        } else if (name == "transfer-encoding" || (name == "content-length" && value != "0")) {
            has_body = true;
        }
        return true;
    }
};

} // namespace

std::variant<PageRequest, HttpStatus> read_page_request(std::string_view head, std::string_view host) {
    PageRequest request;
    const HttpStatus first = read_first_line(next_line(head), request);
    if (first == HttpStatus::bad_request) return first;
    Headers headers;
    for (std::string_view line = next_line(head); !line.empty(); line = next_line(head))
        if (!headers.take(line)) return HttpStatus::bad_request;
    if (headers.hosts != 1 || headers.origins > 1 || headers.has_body) return HttpStatus::bad_request;
    const std::string own_origin = "http://" + std::string(host);
    const bool from_elsewhere = headers.origins ? headers.origin != own_origin : request.post;
    if (headers.host != host || from_elsewhere) return HttpStatus::forbidden;
    if (first != HttpStatus::ok) return first;
    return request;
}

bool same_secret(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    unsigned char differs = 0;
    for (std::size_t i = 0; i < a.size(); ++i) differs = static_cast<unsigned char>(differs | (a[i] ^ b[i]));
    return differs == 0;
}

} // namespace turnwright::rpc
