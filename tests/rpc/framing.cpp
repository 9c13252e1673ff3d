#include "rpc/framing.h"

#include <catch2/catch.hpp>
#include <random>

using namespace turnwright::rpc;

namespace {

/// Everything a reader gives for bytes fed in pieces of `step`: bodies as they are, the rest as "!" or "~".
std::vector<std::string> read(std::string_view bytes, std::size_t step = std::string_view::npos,
                              Limits limits = {}) {
    FrameReader reader(limits);
    std::vector<std::string> out;
    while (!bytes.empty()) {
        reader.feed(bytes.substr(0, step));
        bytes.remove_prefix(std::min(step, bytes.size()));
        while (auto event = reader.next()) {
            using Kind = FrameReader::Event::Kind;
            out.push_back(event->kind == Kind::body ? event->text : event->kind == Kind::skipped ? "~" : "!");
        }
    }
    return out;
}

using Texts = std::vector<std::string>;

} // namespace

TEST_CASE("a frame is read as it was written, in pieces of any size") {
    const std::string all =
        frame("{}") + frame("") + frame(std::string(3000, 'x')) + frame("\xff\n\r\nContent-Length: 3");
    const Texts expected{"{}", "", std::string(3000, 'x'), "\xff\n\r\nContent-Length: 3"};
    for (std::size_t step : {1, 2, 3, 7, 100, 100000}) {
        CAPTURE(step);
        CHECK(read(all, step) == expected);
    }
}

TEST_CASE("headers come in any case and with others") {
    CHECK(read("CONTENT-length:2\r\n\r\n{}") == Texts{"{}"});
    CHECK(read("X-A: 1\r\ncontent-LENGTH: \t2 \r\nX-B:\r\n\r\n{}") == Texts{"{}"});
    CHECK(read("\r\n\n\r\nContent-Length: 2\n\n{}") == Texts{"{}"});
}

TEST_CASE("what is no frame is told once and passed over") {
    const std::string good = frame("{}");
    for (const std::string bad :
         {"hello\r\n\r\n", "Content-Length: -1\r\n\r\n", "Content-Length: 0x5\r\n\r\n",
          "Content-Length: 4294967296\r\n\r\n", "Content-Length: 1\r\nContent-Length: 2\r\n\r\n",
          "Other: 1\r\n\r\n", "a b: 5\r\n", "no line end ",
          "Content-Length: Content-Length: ", "}}}}\r\n{\r\n\r\n\r\nx\r\n"}) {
        for (std::size_t step : {1, 5, 10000}) {
            CAPTURE(bad, step);
            CHECK(read(bad + good + good, step) == Texts{"!", "{}", "{}"});
        }
    }
}

TEST_CASE("a stretch of garbage before a frame is one report, later garbage another") {
    CHECK(read("x\ny\nz\n" + frame("{}") + "x\n" + frame("{}")) == Texts{"!", "{}", "!", "{}"});
}

TEST_CASE("a header over the limit is garbage, a body over the limit is skipped in step") {
    Limits limits;
    limits.header_bytes = 100;
    limits.body_bytes = 10;
    for (std::size_t step : {1, 7, 100000}) {
        CAPTURE(step);
        CHECK(read("X: " + std::string(200, 'a') + "\r\n" + frame("{}"), step, limits) == Texts{"!", "{}"});
        CHECK(read(frame(std::string(11, 'b')) + frame(std::string(10, 'c')), step, limits) ==
              Texts{"~", std::string(10, 'c')});
        CHECK(read(frame(std::string(5000, 'b')) + frame("{}"), step, limits) == Texts{"~", "{}"});
    }
}

TEST_CASE("without resynchronisation the first malformed frame is the end") {
    Limits limits;
    limits.resynchronise = false;
    FrameReader reader(limits);
    reader.feed("POST / HTTP/1.1\r\nContent-Length: 2\r\n\r\n{}" + frame("{}"));
    REQUIRE(reader.next());
    CHECK(reader.dead());
    CHECK_FALSE(reader.next());
    reader.feed(frame("{}"));
    CHECK_FALSE(reader.next());
}

TEST_CASE("half a frame is known as half") {
    FrameReader reader{Limits{}};
    CHECK_FALSE(reader.half_way());
    reader.feed("Content-Length: 2\r\n\r\n{");
    CHECK_FALSE(reader.next());
    CHECK(reader.half_way());
    reader.feed("}");
    CHECK(reader.next());
    CHECK_FALSE(reader.half_way());
}

TEST_CASE("any bytes, in any pieces, give the same events and never a hang") {
    std::mt19937 random(20);
    const std::string_view parts[] = {"Content-Length: ",
                                      "content-length:",
                                      "\r\n",
                                      "\n",
                                      "\r\n\r\n",
                                      "2",
                                      "17",
                                      "{}",
                                      ":",
                                      " ",
                                      "x",
                                      "\xff",
                                      "Content-Length: 2\r\n\r\n{}"};
    for (int round = 0; round < 2000; ++round) {
        std::string bytes;
        const std::size_t count = random() % 30;
        for (std::size_t i = 0; i < count; ++i) bytes += parts[random() % std::size(parts)];
        const Texts whole = read(bytes);
        CAPTURE(bytes);
        REQUIRE(read(bytes, 1) == whole);
        REQUIRE(read(bytes, 3) == whole);
    }
}
