// Expected codes: JSON-RPC 2.0 specification, section 5.1, and the LSP 3.17 base protocol.
#include "rpc/message.h"

#include <catch2/catch.hpp>

using namespace turnwright::rpc;

namespace {
Message parse(std::string_view body) {
    return parse_message(body, Limits{});
}
int code_of(std::string_view body) {
    const Message message = parse(body);
    return message.kind == Message::Kind::invalid ? message.code : 0;
}
} // namespace

TEST_CASE("requests, notifications and responses") {
    const Message request = parse(R"({"jsonrpc":"2.0","id":7,"method":"a/b","params":{"x":1}})");
    CHECK(request.kind == Message::Kind::request);
    CHECK(request.id == 7);
    CHECK(request.method == "a/b");
    CHECK(request.params == Json{{"x", 1}});
    CHECK(parse(R"({"jsonrpc":"2.0","id":"s","method":"a"})").id == "s");
    CHECK(parse(R"({"jsonrpc":"2.0","id":3.0,"method":"a"})").id == 3);
    CHECK(parse(R"({"jsonrpc":"2.0","method":"a","params":null})").kind == Message::Kind::notification);
    CHECK(parse(R"({"jsonrpc":"2.0","method":"a","params":[1]})").params == Json::array({1}));
    const Message response = parse(R"({"jsonrpc":"2.0","id":1,"result":null})");
    CHECK(response.kind == Message::Kind::response);
    CHECK(response.error.is_null());
    CHECK(parse(R"({"jsonrpc":"2.0","id":1,"error":{"code":1,"message":"m"}})").error["message"] == "m");
}

TEST_CASE("what is no JSON is a parse error") {
    for (const char* body :
         {"", "{", "nonsense", "{\"a\":\"\\u12\"}", "{\"a\":\"\xc3", "\xef\xbb", "[1,]", "{} {}"}) {
        CAPTURE(body);
        CHECK(code_of(body) == code::parse_error);
        CHECK(parse(body).id.is_null());
    }
}

TEST_CASE("what is no message is an invalid request") {
    for (const char* body :
         {"1", "null", "\"x\"", "[]", R"([{"jsonrpc":"2.0","id":1,"method":"a"}])", "{}",
          R"({"jsonrpc":"2.0"})", R"({"jsonrpc":2.0,"method":"a"})", R"({"method":"a"})",
          R"({"jsonrpc":"2.0","method":null})", R"({"jsonrpc":"2.0","id":null,"method":"a"})",
          R"({"jsonrpc":"2.0","id":[],"method":"a"})", R"({"jsonrpc":"2.0","id":1.5,"method":"a"})",
          R"({"jsonrpc":"2.0","id":false,"result":1})", R"({"jsonrpc":"2.0","id":1})"}) {
        CAPTURE(body);
        CHECK(code_of(body) == code::invalid_request);
    }
    CHECK(parse(R"({"jsonrpc":"1.0","id":4,"method":"a"})").id == 4);
}

TEST_CASE("parameters of another type: an error for a request, silence for a notification") {
    const Message request = parse(R"({"jsonrpc":"2.0","id":4,"method":"a","params":5})");
    CHECK(request.code == code::invalid_params);
    CHECK(request.wants_reply);
    CHECK(request.id == 4);
    const Message notification = parse(R"({"jsonrpc":"2.0","method":"a","params":"x"})");
    CHECK(notification.kind == Message::Kind::invalid);
    CHECK_FALSE(notification.wants_reply);
}

TEST_CASE("deep nesting is refused before it costs anything; brackets in strings do not count") {
    const auto nested = [](std::size_t depth) {
        return R"({"jsonrpc":"2.0","method":"a","params":)" + std::string(depth, '[') +
               std::string(depth, ']') + "}";
    };
    CHECK(parse(nested(100)).kind == Message::Kind::notification);
    CHECK(code_of(nested(1000000)) == code::invalid_request);
    const std::string text =
        R"({"jsonrpc":"2.0","method":"a","params":[")" + std::string(1000, '[') + R"(\"[[{{"]})";
    CHECK(parse(text).kind == Message::Kind::notification);
}

TEST_CASE("outgoing bodies are always valid JSON, whatever the text") {
    const Json body = Json::parse(result_body("i", Json{{"text", "\xff\xc3 8-bit"}}));
    CHECK(body["result"]["text"] == "\xef\xbf\xbd\xef\xbf\xbd 8-bit");
    CHECK(Json::parse(error_body(nullptr, Error(code::parse_error, "x\x80")))["error"]["code"] == -32700);
    CHECK_FALSE(Json::parse(notification_body("a", nullptr)).contains("params"));
    CHECK(Json::parse(request_body(5, "a", Json::array()))["id"] == 5);
}

TEST_CASE("what is written as text says what the same value says") {
    const Json value{{"name", "N1 \"FACE\" \\ \x01 \xc3\xb8"}, {"line", 4}};
    for (const Json& id : {Json(7), Json("a \"b\"")})
        CHECK(Json::parse(result_body(id, Written(value.dump()))) == Json::parse(result_body(id, value)));
    CHECK(Json::parse(notification_body("a/b", Written(value.dump()))) ==
          Json::parse(notification_body("a/b", value)));
}

TEST_CASE("text is written as a JSON string, whatever its bytes") {
    const auto written = [](std::string_view text) {
        std::string out;
        write_text(out, text);
        return Json::parse(out).get<std::string>();
    };
    CHECK(written("") == "");
    CHECK(written("N3 T0303") == "N3 T0303");
    CHECK(written("\xff") == "\xef\xbf\xbd");
    for (int byte = 0; byte < 0x80; ++byte) {
        const std::string text = {'a', static_cast<char>(byte), 'b'};
        CHECK(written(text) == text);
    }
    CHECK(written("\xc3\xb8\xe2\x82\xac\xf0\x9f\x94\xa9") == "\xc3\xb8\xe2\x82\xac\xf0\x9f\x94\xa9");
}

TEST_CASE("text that JSON does not hold is taken, as long as the client counts it") {
    const auto taken = [](const std::string& text) {
        const Message message =
            parse(R"({"jsonrpc":"2.0","method":"a","params":{"text":")" + text + R"("}})");
        REQUIRE(message.kind == Message::Kind::notification);
        return message.params["text"].get<std::string>();
    };
    CHECK(taken("G0\xe9 X1.") == "G0? X1.");
    CHECK(taken("\xff\xc3 \xe2\x82 \xf0\x9f\x94") == "?? ?? ???");
    CHECK(taken("\xff\xc3\xb8\xf0\x9f\x94\xa9") == "?\xc3\xb8\xf0\x9f\x94\xa9");
    CHECK(taken("a\\ud83db") == "a\xef\xbf\xbd"
                                "b");
    CHECK(taken("a\\uDD27b") == "a\xef\xbf\xbd"
                                "b");
    CHECK(taken("\\ud83d\\ud83d\\udd27") == "\xef\xbf\xbd\xf0\x9f\x94\xa7");
    CHECK(taken("\xed\xa0\xbd \\\\ud800") == "\xef\xbf\xbd \\ud800");
    CHECK(taken("a\tb\nc\xff") == "a\tb\nc?");
    // What is right stays as it is.
    CHECK(taken("\\ud83d\\udd27 \xed\x9f\xbf \xff") == "\xf0\x9f\x94\xa7 \xed\x9f\xbf ?");
}

TEST_CASE("the number of values is bounded before any is made, and who waits is answered") {
    Limits limits;
    limits.values = 100;
    const auto body = [](const std::string& front, std::size_t count) {
        std::string list;
        for (std::size_t i = 0; i < count; ++i) list += "0,";
        return R"({"jsonrpc":"2.0",)" + front + R"("method":"a","params":{"list":[)" + list + "0]}}";
    };
    CHECK(parse_message(body("", 80), limits).kind == Message::Kind::notification);
    const Message notification = parse_message(body("", 120), limits);
    CHECK(notification.code == code::invalid_request);
    CHECK_FALSE(notification.wants_reply);
    CHECK(notification.ends.find("\"method\":\"a\"") != std::string::npos);
    const Message request = parse_message(body(R"("id":7,)", 120), limits);
    CHECK(request.code == code::invalid_request);
    CHECK(request.wants_reply);
    CHECK(request.id == 7);
    // Commas and brackets in a text are none.
    const std::string text =
        R"({"jsonrpc":"2.0","method":"a","params":[")" + std::string(500, ',') + R"("]})";
    CHECK(parse_message(text, limits).kind == Message::Kind::notification);
}

TEST_CASE("what waits is counted as the memory it takes, not as text") {
    CHECK(parse(R"({"jsonrpc":"2.0","method":"a"})").memory > 1000);
    CHECK(parse(R"({"jsonrpc":"2.0","method":"a","params":[{},{},{},{},{},{},{},{},{},{}]})").memory > 2000);
}
