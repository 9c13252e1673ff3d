// What the batch check says of a program whose notes silence warnings.
#include "checks/former_ids.h"
#include "opened.h"
#include "report/selection.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

using namespace turnwright;

namespace {

constexpr std::string_view program = R"(%
O0001
N1 G21 G18 G40 G99
G54 T0101
G97 S500 M03
G00 X40. Z2.
G01 Z-48 F0.2 (TURNWRIGHT: ACCEPT DECIMAL-POINT-MISSING)
X44
G00 X100. Z50. M05
M30
%
)";

std::vector<report::CheckedFile> checked(std::string_view text) {
    return {report::check_text("pin.nc", text, std::make_shared<const shop::Shop>(shop::default_shop()))};
}

std::size_t lines_of(const std::vector<report::CheckedWarning>& warnings, std::string_view id,
                     std::size_t line) {
    std::size_t found = 0;
    for (const report::CheckedWarning& warning : warnings)
        if (warning.id == id && warning.line == line) ++found;
    return found;
}

} // namespace

TEST_CASE("a silenced warning can be listed, and is no open one") {
    const auto files = checked(program);
    CHECK(lines_of(files[0].warnings, "decimal_point_missing", 7) == 0);
    CHECK(lines_of(files[0].warnings, "decimal_point_missing", 8) == 1);
    REQUIRE(files[0].silenced.size() == 1);
    CHECK(lines_of(files[0].silenced, "decimal_point_missing", 7) == 1);
    REQUIRE(files[0].silenced[0].related.size() == 1);
    CHECK(files[0].silenced[0].related[0].line == 7);

    const std::string text = report::as_text(files);
    CHECK(text.find("1 silenced by notes") != std::string::npos);
    CHECK(text.find("pin.nc:7:") == std::string::npos);
    const std::string list = report::silenced_text(files);
    CHECK(list.find("pin.nc:7:") == 0);
    CHECK(list.find("[decimal_point_missing]") != std::string::npos);
    CHECK(list.find("pin.nc:8:") == std::string::npos);
}

TEST_CASE("a list with nothing silenced says so") {
    const auto files = checked("%\nO0001\nM30\n%\n");
    CHECK(report::silenced_text(files) == "Nothing is silenced by a note.\n");
    CHECK(report::as_text(files).find("silenced") == std::string::npos);
}

// SARIF 2.1.0, 3.27.23 and 3.35: a suppressed result keeps its place and carries suppressions, kind inSource.
TEST_CASE("SARIF carries the silenced result with a suppression, JSON beside the others") {
    const auto files = checked(program);
    const auto sarif = nlohmann::json::parse(report::as_sarif(files));
    std::size_t suppressed = 0;
    for (const auto& result : sarif["runs"][0]["results"])
        if (result.contains("suppressions")) {
            ++suppressed;
            CHECK(result["ruleId"] == "decimal_point_missing");
            CHECK(result["suppressions"][0]["kind"] == "inSource");
            CHECK(result["locations"][0]["physicalLocation"]["region"]["startLine"] == 7);
        }
    CHECK(suppressed == 1);
    const auto json = nlohmann::json::parse(report::as_json(files));
    REQUIRE(json["files"][0]["silenced"].size() == 1);
    CHECK(json["files"][0]["silenced"][0]["line"] == 7);
}

TEST_CASE("a former id goes on choosing, explaining and standing in a baseline") {
    const auto files = checked("%\nO0001\nG21\nT0101\nG01 X40.\nM98 P0002\nM30\nO0002\nM98 P0001\nM99\n%\n");
    const auto found = [](const report::CheckedFile& file) {
        return std::count_if(file.warnings.begin(), file.warnings.end(),
                             [](const auto& warning) { return warning.id == "program_calls_itself"; });
    };
    const auto circles = found(files[0]);
    REQUIRE(circles > 0);
    REQUIRE(files[0].warnings.size() > static_cast<std::size_t>(circles));
    REQUIRE(checks::present_id("recursion_too_deep") == "program_calls_itself");

    CHECK(report::why_no_check("recursion_too_deep").empty());
    CHECK_FALSE(report::why_no_check("recursion_too_dep").empty());
    CHECK(report::explain_word("recursion_too_deep", {}) == report::explain_word("program_calls_itself", {}));

    report::Selection only;
    only.only = {"recursion_too_deep"};
    report::CheckedFile chosen = files[0];
    report::select(chosen, only);
    CHECK(found(chosen) == circles);
    CHECK(chosen.warnings.size() == static_cast<std::size_t>(circles));
    report::Selection without;
    without.without = {"recursion_too_deep"};
    report::CheckedFile rest = files[0];
    report::select(rest, without);
    CHECK(found(rest) == 0);
    CHECK(rest.warnings.size() == files[0].warnings.size() - static_cast<std::size_t>(circles));

    const auto folder = std::filesystem::current_path();
    std::string held = report::Baseline::written(files, folder);
    const std::string_view present = "program_calls_itself";
    for (std::size_t at; (at = held.find(present)) != held.npos;)
        held.replace(at, present.size(), "recursion_too_deep");
    report::Baseline baseline(held, folder);
    report::CheckedFile again = files[0];
    baseline.take_from(again);
    CHECK(again.warnings.empty());
    CHECK(baseline.left() == 0);
}
