// Programs for another lathe: two hundred generated ones on all three systems, in inch and mm, on diameter
// and radius, by what `compare` sees; and the report.
#include "report/transferred.h"

#include "bench/generate.h"
#include "report/opened.h"
#include "thorough.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <map>
#include <random>

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
    for (std::uint32_t seed = 1; seed <= 200; seed += stride(7)) {
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

TEST_CASE("a cycle of two lines becomes single moves, and its first line goes with it") {
    const auto shop = lathes();
    for (const std::string_view cycle :
         {"G00 X54. Z2.\nG71 U2. R1.\nG71 P10 Q20 U.5 W.1 F.25\nN10 G00 X20.\nG01 Z-15. F.15\nX30. Z-20.\n"
          "Z-30.\nN20 X52.\nG70 P10 Q20\n",
          "G00 X54. Z-25.\nG75 R0.5\nG75 X24. Z-29. P2000 Q2000 F.08\n",
          "G00 X24. Z5.\nG76 P010060 Q50 R0.02\nG76 X17.4 Z-14. P1300 Q400 F2.\n",
          "G00 X0. Z3.\nG74 R1.\nG74 Z-30. Q6000 F.12\n"}) {
        const std::string text =
            "%\nO0013\nG21 G99 G40\nT0101\nG97 S600 M03\n" + std::string(cycle) + "G00 X150. Z100.\nM30\n%\n";
        const Document document(text, shop, "job.nc");
        const TransferredFile there = to(document, "a", "d");
        INFO(told(there) << there.made.text);
        CHECK(there.made.refused.empty());
        CHECK(there.made.does_the_same());
        for (const char* code : {"G70", "G71", "G74", "G75", "G76"})
            CHECK_THAT(there.made.text, !Contains(code));
    }
}

TEST_CASE("from one other lathe to the next a program does the same, and back on the first") {
    const auto shop = lathes();
    for (std::uint32_t seed = 301; seed <= 340; ++seed) {
        const std::string text = generated(bench::Style::hand, 60 + seed % 50, seed);
        const Document document(text, shop, "job.nc");
        std::string now = text;
        std::string_view at = "a";
        INFO("seed " << seed << "\n" << text);
        for (const std::string_view next : {"b", "c", "b", "a"}) {
            const Document here(now, shop, "job.nc");
            const TransferredFile there = to(here, at, next, true);
            INFO("from " << at << " to " << next << ": " << told(there) << there.made.text);
            REQUIRE(there.made.refused.empty());
            REQUIRE(there.made.does_the_same());
            const Comparison compared = compare(*on(*shop, at, now), *on(*shop, next, there.made.text));
            INFO(comparison_text(compared));
            REQUIRE(compared.same());
            now = there.made.text;
            at = next;
        }
    }
}

namespace {

/// Programs in files beside each other.
struct Folder {
    explicit Folder(const std::map<std::string, std::string>& programs) {
        std::filesystem::create_directories(path);
        for (const auto& [name, text] : programs) std::ofstream(path / name, std::ios::binary) << text;
    }
    ~Folder() {
        std::error_code failed;
        std::filesystem::remove_all(path, failed);
    }
    std::filesystem::path path = std::filesystem::temp_directory_path() /
                                 fmt::format("turnwright-transferred-{}", std::random_device{}());

    std::vector<TransferredFile> all(const std::vector<std::string>& names, std::string_view from,
                                     std::string_view next) const {
        features::ProgramFiles beside;
        beside.set_folders({path});
        const auto shop = lathes();
        std::vector<TransferredFile> files;
        std::vector<std::filesystem::path> paths;
        for (const std::string& name : names) {
            paths.push_back(path / name);
            const auto library = std::make_shared<features::ProgramFiles>();
            library->set_folders({path});
            const Document document(read_program(paths.back()).text, shop, paths.back(), library);
            TransferredFile file;
            file.name = name;
            transfer(document, from, next, {}, file, &beside);
            files.push_back(std::move(file));
        }
        join_called(files, paths);
        return files;
    }
};

} // namespace

TEST_CASE("programs in other files go along as they are called") {
    // O2 states neither unit nor feed mode: alone nobody could tell what its numbers are.
    const std::string called = "%\nO0002 (STEP)\nG00 X50.8 Z2.54\nG01 Z-25.4 F.254\nM98 P3\nM99\n%\n";
    const std::string deep = "G01 X63.5\nM99"; // Its number is the file's name, its last line has no end
    const std::string main = "%\nO0001\nN1 (TURN)\nG21 G99\nT0101\nG97 S1000 M03\nG00 X101.6 Z25.4\nM98 P2\n"
                             "G00 X101.6 Z25.4\nM30\n%\n";
    const Folder folder({{"1.nc", main}, {"O0002.nc", called}, {"O0003.nc", deep}});
    const auto files = folder.all({"1.nc", "O0002.nc"}, "a", "b");
    REQUIRE(files.size() == 3);
    INFO(transfer_text(files, true, false));
    CHECK(files[0].made.does_the_same());
    CHECK_THAT(files[0].made.text, Contains("G90 G20 G95\nT11\n") && Contains("M98 P2\nG00 X4. Z1.\n"));
    CHECK(files[1].made.text ==
          "%\nO0002 (STEP) (MACHINE: b)\nG90 G00 X2. Z0.1\nG01 Z-1. F0.01\nM98 P3\nM99\n%\n");
    CHECK(files[2].made.text == "G01 X2.5 (MACHINE: b)\nM99");
    CHECK_THAT(files[2].made.changes.at(0), Contains("as 1.nc calls it"));
    // On radius, and from the one that is no system A to the next.
    const Folder other(
        {{"1.nc", files[0].made.text}, {"O0002.nc", files[1].made.text}, {"O0003.nc", files[2].made.text}});
    const auto next = other.all({"1.nc"}, "b", "c");
    REQUIRE(next.size() == 3);
    CHECK_THAT(next[1].made.text, Contains("G90 G00 X25.4 Z2.54\nG01 Z-25.4 F0.254\n"));
}

TEST_CASE("a program that two call otherwise is not written, and who has none of it is told") {
    const std::string called = "O0002\nG01 X2. F.1\nM99\n";
    const auto main = [](std::string_view unit) {
        return fmt::format(
            "O0001\nN1 (TURN)\n{} G99\nT0101\nG97 S1000 M03\nG00 X4. Z1.\nM98 P2\nM98 P77\nM30\n", unit);
    };
    const Folder folder({{"1.nc", main("G20")}, {"2.nc", main("G21")}, {"O0002.nc", called}});
    const auto files = folder.all({"1.nc", "2.nc", "O0002.nc"}, "a", "b");
    REQUIRE(files.size() == 3);
    CHECK(files[0].is_made());
    CHECK(files[1].is_made());
    CHECK_THAT(files[2].made.refused, Contains("another one for each of them"));
    CHECK_FALSE(files[2].is_made());
    CHECK_THAT(told(files[0]), Contains("O0077 is called and not in this file"));
    CHECK_THAT(told(files[0]), !Contains("O0002 is called and not in this file"));
}

TEST_CASE("what is told of a called program names its file and its line") {
    const Folder folder({{"1.nc", "O0001\nN1\nG21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\nM98 P2\nM30\n"},
                         {"O0002.nc", "%\nO0002\nG01 X40. F.1\nT#501\nM99\n%\n"}});
    const auto files = folder.all({"1.nc"}, "a", "c");
    CHECK_THAT(told(files[0]), Contains("O0002.nc line 4: left as it is: a macro computes the tool."));
    CHECK_THAT(files[1].made.text, Contains("T#501 (TRANSFER: LEFT AS IT WAS)\n"));
}

TEST_CASE("a reason against all of them names the file and the line that it is in") {
    const auto files = [](std::string_view first, std::string_view second) {
        const Folder folder(
            {{"1.nc", fmt::format("%\nO0001\nN1\nG21 G99\nT0101\nG97 S500 M03\n{}M98 P2\nM30\n%\n", first)},
             {"O0002.nc", fmt::format("%\nO0002\nG01 X40. F.1\n{}M99\n%\n", second)}});
        return told(folder.all({"1.nc"}, "a", "b")[0]);
    };
    CHECK_THAT(files("#1=#5041\n", ""), Contains("stays in its own unit. Line 7: a macro takes #5041"));
    CHECK_THAT(files("", "#1=#5041\n"),
               Contains("stays in its own unit. O0002.nc line 4: a macro takes #5041"));
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
