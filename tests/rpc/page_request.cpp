#include "rpc/page_request.h"

#include <catch2/catch.hpp>

using namespace turnwright::rpc;

namespace {

constexpr std::string_view own = "127.0.0.1:4711";

/// The number of the refusal, or 200.
int status_of(std::string head) {
    const auto read = read_page_request(head, own);
    const HttpStatus* refused = std::get_if<HttpStatus>(&read);
    return refused ? static_cast<int>(*refused) : 200;
}

} // namespace

TEST_CASE("a request names a token and what is wanted of its page") {
    const auto read = read_page_request("POST /abc/line/7 HTTP/1.1\r\nHOST:  127.0.0.1:4711 \r\nOrigin: "
                                        "http://127.0.0.1:4711\r\nContent-Length: 0\r\n\r\n",
                                        own);
    REQUIRE(std::holds_alternative<PageRequest>(read));
    const PageRequest& request = std::get<PageRequest>(read);
    CHECK(request.post);
    CHECK(request.token == "abc");
    CHECK(request.what == "line/7");
}

TEST_CASE("what is not wholly right is refused") {
    const std::string host = "Host: 127.0.0.1:4711\r\n";
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n" + host + "\r\n") == 200);
    CHECK(status_of("GET /abc/ HTTP/1.0\r\n" + host + "Origin: http://127.0.0.1:4711\r\n\r\n") == 200);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n\r\n") == 400);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n" + host + host + "\r\n") == 400);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\nHost: 127.0.0.1:47110\r\n\r\n") == 403);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n" + host + "Origin: https://127.0.0.1:4711\r\n\r\n") == 403);
    CHECK(status_of("POST /abc/line/1 HTTP/1.1\r\n" + host + "\r\n") == 403);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n" + host + "Transfer-Encoding: chunked\r\n\r\n") == 400);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\n" + host + "Content-Length: 1\r\n\r\n") == 400);
    CHECK(status_of("GET http://127.0.0.1:4711/abc/ HTTP/1.1\r\n" + host + "\r\n") == 400);
    CHECK(status_of("GET /abc/ x HTTP/1.1\r\n" + host + "\r\n") == 400);
    CHECK(status_of("GET /abc/ HTTP/2\r\n" + host + "\r\n") == 400);
    CHECK(status_of("GET /abc/ HTTP/1.1\r\nno colon\r\n" + host + "\r\n") == 400);
    CHECK(status_of("HEAD /abc/ HTTP/1.1\r\n" + host + "\r\n") == 405);
    CHECK(status_of("GET /abc HTTP/1.1\r\n" + host + "\r\n") == 404);
    for (std::size_t length = 0; length < 20; ++length)
        CHECK(status_of(std::string("GET /abc/ HTTP/1.1\r\n").substr(0, length) + "\r\n") == 400);
}

TEST_CASE("secrets are the same only where all of them is") {
    CHECK(same_secret("0123456789abcdef", "0123456789abcdef"));
    CHECK_FALSE(same_secret("0123456789abcdef", "0123456789abcdee"));
    CHECK_FALSE(same_secret("0123456789abcdef", "1123456789abcdef"));
    CHECK_FALSE(same_secret("0123456789abcdef", "0123456789abcde"));
    CHECK_FALSE(same_secret("0123456789abcdef", ""));
}
