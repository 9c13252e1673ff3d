#include "protocol/client.h"
#include "protocol/settings.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::protocol;
using Catch::Matchers::Message;

namespace {
const Json sample = Json::parse(
    R"({"text":"a","count":5,"real":5.0,"half":5.5,"list":[1,"x"],"none":null,"inner":{"deep":true},"big":18446744073709551615})");
const In in(sample, "params");
} // namespace

TEST_CASE("members of the right type are read") {
    CHECK(in["text"].string() == "a");
    CHECK(in["count"].uinteger() == 5);
    CHECK(in["real"].integer() == 5);
    CHECK(in["inner"]["deep"].boolean());
    CHECK(in["list"].array().size() == 2);
    CHECK_FALSE(in.find("none"));
    CHECK_FALSE(in.find("absent"));
}

TEST_CASE("an error names the place and both types") {
    CHECK_THROWS_MATCHES(in["text"].integer(), rpc::Error,
                         Message("params.text: expected an integer, got string"));
    CHECK_THROWS_MATCHES(in["list"].array()[1].boolean(), rpc::Error,
                         Message("params.list[1]: expected true or false, got string"));
    CHECK_THROWS_MATCHES(in["inner"]["absent"], rpc::Error, Message("params.inner.absent is missing"));
    CHECK_THROWS_AS(in["half"].integer(), rpc::Error);
    CHECK_THROWS_AS(in["big"].integer(), rpc::Error);
    CHECK_THROWS_AS(in["text"]["x"], rpc::Error);
    CHECK_THROWS_AS(in["list"].find("x"), rpc::Error);
    const Json negative = -1;
    CHECK_THROWS_AS(In(negative, "p").uinteger(), rpc::Error);
}

TEST_CASE("position encoding: the first that the client offers and we know") {
    const auto chosen = [](Json offered) {
        const Json params{
            {"capabilities", Json{{"general", Json{{"positionEncodings", std::move(offered)}}}}}};
        return read_client(In(params, "params")).encoding;
    };
    CHECK(chosen({"utf-8", "utf-32", "utf-16"}) == text::Encoding::utf8);
    CHECK(chosen({"utf-32", "utf-16"}) == text::Encoding::utf32);
    CHECK(chosen(Json::array()) == text::Encoding::utf16);
    CHECK(chosen({"ebcdic", "utf-8"}) == text::Encoding::utf8);
    CHECK(chosen("utf-8") == text::Encoding::utf16);
}

TEST_CASE("settings that are empty or of another type mean defaults") {
    for (const char* given :
         {"null", "{}", "[]", "5", R"({"turnwright":null})", R"({"turnwright":[]})", R"({"turnwright":{}})",
          R"({"turnwright":{"hints":{"rpm":"no"}}})", R"({"turnwright":{"hints":false}})"}) {
        CAPTURE(given);
        CHECK(Settings(Json::parse(given)).flag({"hints", "rpm"}, true));
    }
    CHECK_FALSE(
        Settings(Json::parse(R"({"turnwright":{"hints":{"rpm":false}}})")).flag({"hints", "rpm"}, true));
    CHECK_FALSE(Settings(Json::parse(R"({"hints":{"rpm":false}})")).flag({"hints", "rpm"}, true));
}
