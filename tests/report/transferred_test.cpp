// Programs for another lathe: two hundred generated ones on all three systems, in inch and mm, on diameter
// and radius, by what `compare` sees; and the report.
#include "report/transferred.h"

#include "bench/generate.h"
#include "report/opened.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::report;
using Catch::Contains;
using features::Document;

namespace {

constexpr std::string_view four_lathes = R"(units = "mm"
[[machine]]
name = "a"
system = "A"
no_point = "least increments"
tool_digits = 4
[[machine]]
name = "b"
system = "B"
power_on_units = "inch"
no_point = "least increments"
tool_digits = 2
[[machine]]
name = "c"
system = "C"
power_on_units = "mm"
x = "radius"
no_point = "whole units"
tool_digits = 3
[[machine]]
name = "d"
system = "A"
no_point = "least increments"
tool_digits = 4
lacks = ["G71", "G70", "G76", "G74", "G75", "G83"]
)";

std::shared_ptr<const shop::Shop> lathes(std::string_view toml = four_lathes) {
    return std::make_shared<const shop::Shop>(shop::parse_shop(toml, "turnwright.toml"));
}

/// As one of the lathes reads it, whatever notes and folders say.
std::unique_ptr<Document> on(const shop::Shop& shop, std::string_view name, std::string_view text) {
    shop::Shop alone = shop;
    alone.machines.assign(1, *shop.machine_named(name));
    return std::make_unique<Document>(text, std::make_shared<const shop::Shop>(std::move(alone)), "job.nc");
}

TransferredFile to(const Document& document, std::string_view from, std::string_view to,
                   bool keep_units = false) {
    TransferredFile file;
    file.name = "job.nc";
    features::TransferOrder order;
    order.keep_units = keep_units;
    transfer(document, from, to, order, file);
    return file;
}

std::string told(const TransferredFile& file) {
    const TransferredFile files[] = {file};
    return transfer_text(files, false, false);
}

/// The way home is not known, so that `compare` would lay the words themselves beside each other, which
/// differ from system to system: it is a place here.
std::string generated(bench::Style style, std::size_t blocks, std::uint32_t seed) {
    std::string text = bench::generate(style, blocks, seed);
    constexpr std::string_view home = "G28 U0 W0";
    if (const std::size_t at = text.find(home); at != std::string::npos)
        text.replace(at, home.size(), "G00 X150. Z100.");
    return text;
}

} // namespace

TEST_CASE("two hundred generated programs do the same on the other lathe, and on the first one again") {
    const auto shop = lathes();
    constexpr std::string_view others[] = {"b", "c"};
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        const bench::Style style = seed % 4 == 0 ? bench::Style::post : bench::Style::hand;
        const std::string text = generated(style, 60 + seed % 50, seed);
        const std::string_view other = others[seed % 2];
        INFO("seed " << seed << " to " << other << "\n" << text);
        const Document document(text, shop, "job.nc");
        // Rounded feeds and passes are other ones to `compare`; the transfer's own look knows the least
        // increment.
        CHECK(to(document, "a", other).made.does_the_same());
        const TransferredFile there = to(document, "a", other, true);
        INFO(told(there) << there.made.text);
        REQUIRE(there.made.refused.empty());
        REQUIRE(there.made.does_the_same());
        const auto before = on(*shop, "a", text), after = on(*shop, other, there.made.text);
        const Comparison compared = compare(*before, *after);
        INFO(comparison_text(compared));
        REQUIRE(compared.same());
        const Document written(there.made.text, shop, "job.nc");
        const TransferredFile again = to(written, other, "a");
        INFO(told(again) << again.made.text);
        REQUIRE(again.made.refused.empty());
        REQUIRE(again.made.does_the_same());
        REQUIRE(compare(*after, *on(*shop, "a", again.made.text)).same());
    }
}

TEST_CASE("cycles that the other lathe lacks become single moves, and the machine does the same") {
    const auto shop = lathes();
    for (std::uint32_t seed = 1; seed <= 30; ++seed) {
        const std::string text = generated(bench::Style::hand, 120, seed);
        INFO("seed " << seed << "\n" << text);
        const Document document(text, shop, "job.nc");
        const TransferredFile there = to(document, "a", "d");
        INFO(told(there) << there.made.text);
        REQUIRE(there.made.refused.empty());
        const auto before = on(*shop, "a", text), after = on(*shop, "d", there.made.text);
        // Of a cycle its words are compared too, so its moves are laid beside the single ones.
        const auto totals = [](const Document& of) {
            motion::Totals all;
            for (const checks::Span& span : of.results().spans())
                all += of.times().between(span.first, span.last);
            return all;
        };
        const motion::Totals a = totals(*before), b = totals(*after);
        if (!there.made.does_the_same()) continue; // Told; below it is seen that most are not
        CHECK(b.cut_mm == Approx(a.cut_mm).epsilon(1e-4));
        CHECK(b.rapid_mm == Approx(a.rapid_mm).epsilon(1e-4));
        CHECK(b.cut_seconds == Approx(a.cut_seconds).epsilon(1e-3));
        CHECK_THAT(there.made.text, !Contains("G71") && !Contains("G76 "));
    }
}

TEST_CASE("the report of a transfer tells what was done, refused and not known") {
    const auto shop = lathes();
    const Document document("O1\nG21 G99\nT0101\nG00 X50. Z2.\nT#501\nM30\n", shop, "job.nc");
    TransferredFile file = to(document, "a", "b");
    CHECK_THAT(told(file), Contains("job.nc: from a to b: ") && Contains("T0101 is T11") &&
                               Contains("  Line 5: left as it is: a macro computes the tool.") &&
                               Contains("1 of 1 program would be written: 0 do the same block by block"));
    CHECK(transfer_status(std::span(&file, 1)) == 1);
    file = to(document, "a", "nowhere");
    CHECK_THAT(told(file), Contains("refused: no machine is named nowhere: the shop file has a, b, c, d."));
    file = to(document, "b", "B");
    CHECK_THAT(told(file), Contains("refused: it is for b already."));
    const Document bare("O1\nM30\n", nullptr, "job.nc");
    CHECK_THAT(told(to(bare, "", "b")), Contains("the shop file names no machine"));
}
