// Diagnostics as JSON text: nothing of them may be lost or added on the way.
#include "protocol/diagnostic.h"

#include <catch2/catch.hpp>

using namespace turnwright::protocol;

namespace {

Diagnostic full_one() {
    Diagnostic diagnostic;
    diagnostic.range = {{3, 4}, {3, 9}};
    diagnostic.severity = DiagnosticSeverity::error;
    diagnostic.code = "rapid_into_stock";
    diagnostic.code_href = "file:///pages/rapid%20into%20stock.md";
    diagnostic.message = "A \"rapid\" \\ through 2.5 mm, \xc3\xb8";
    diagnostic.tags = {DiagnosticTag::unnecessary, DiagnosticTag::deprecated};
    diagnostic.related = {{{"file:///O1001.nc", {{1, 0}, {1, 7}}}, "Tool called here"},
                          {{"file:///O1001.nc", {{2, 0}, {2, 8}}}, "Motion mode set here"}};
    return diagnostic;
}

const char* const full_text = R"({
    "range": {"start": {"line": 3, "character": 4}, "end": {"line": 3, "character": 9}},
    "severity": 1, "source": "turnwright", "code": "rapid_into_stock",
    "codeDescription": {"href": "file:///pages/rapid%20into%20stock.md"},
    "message": "A \"rapid\" \\ through 2.5 mm, ø", "tags": [1, 2],
    "relatedInformation": [
        {"location": {"uri": "file:///O1001.nc",
                      "range": {"start": {"line": 1, "character": 0}, "end": {"line": 1, "character": 7}}},
         "message": "Tool called here"},
        {"location": {"uri": "file:///O1001.nc",
                      "range": {"start": {"line": 2, "character": 0}, "end": {"line": 2, "character": 8}}},
         "message": "Motion mode set here"}]})";

} // namespace

TEST_CASE("a list of diagnostics is the protocol's, with what is not there left out") {
    Diagnostic bare;
    bare.message = "Nothing is checked here.";
    const Json expected = Json::array({Json::parse(full_text), Json::parse(R"({
        "range": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}},
        "severity": 2, "source": "turnwright", "message": "Nothing is checked here."})")});
    CHECK(Json::parse(written({full_one(), bare})) == expected);
    CHECK(Json::parse(written(std::vector<Diagnostic>{})) == Json::array());
    CHECK(Json(full_one()) == expected[0]); // as a code action names it
}

TEST_CASE("what is published names the file, and its version where it is open") {
    const std::string list = R"([{"message":"a"}])";
    CHECK(Json::parse(publish_params("file:///a \"b\".nc", 7, list)) ==
          Json{{"uri", "file:///a \"b\".nc"}, {"version", 7}, {"diagnostics", Json::parse(list)}});
    CHECK(Json::parse(publish_params("file:///a.nc", std::nullopt, "[]")) ==
          Json{{"uri", "file:///a.nc"}, {"diagnostics", Json::array()}});
}

TEST_CASE("reports of a file and of the files of a workspace") {
    const std::string list = R"([{"message":"a"}])";
    CHECK(Json::parse(full_report("12", list)) ==
          Json{{"kind", "full"}, {"resultId", "12"}, {"items", Json::parse(list)}});
    CHECK(Json::parse(unchanged_report("12")) == Json{{"kind", "unchanged"}, {"resultId", "12"}});
    const ReportedFile open{"file:///a.nc", 3}, closed{"file:///b.nc", std::nullopt};
    CHECK(Json::parse(full_report("", "[]", &closed)) ==
          Json{{"kind", "full"}, {"items", Json::array()}, {"uri", "file:///b.nc"}, {"version", nullptr}});
    CHECK(Json::parse(unchanged_report("5", &open)) ==
          Json{{"kind", "unchanged"}, {"resultId", "5"}, {"uri", "file:///a.nc"}, {"version", 3}});
}
