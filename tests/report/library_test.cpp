// A library of programs: which do the same work whatever they are written like, which share a number, and
// what is called that is nowhere.
#include "report/library.h"
#include "report/report.h"
#include "report/rewritten.h"

#include "opened.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::report;

namespace {

Likeness likeness(std::string_view program, std::string_view shop_file = {}) {
    return likeness_of(course_of(*opened(program, shop_file)));
}

LibraryProgram read(std::string name, std::string_view program) {
    return library_program(*opened(program), std::move(name), true);
}

std::string with(std::string text, std::string_view from, std::string_view to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

/// A pin in one cut, in the words of each system.
std::string pin(char system) {
    return std::string("O1\nG21 G18 G40\n") + (system == 'A' ? "G99\n" : "G90 G95\n") + R"(T0101
G97 S1000 M03
G00 X40. Z2.
G01 Z-48. F0.2
X44.
G00 X100. Z50.
M30
)";
}

/// The same pin by a macro that counts its cuts.
constexpr std::string_view looped = R"(O2
G21 G18 G40 G99
T0101
G97 S1000 M03
#1=40.
WHILE [#1 GE 30.] DO1
G00 X#1 Z2.
G01 Z-48. F0.2
X44.
#1=#1-10.
END1
G00 X100. Z50.
M30
)";
constexpr std::string_view unrolled = R"(O3
G21 G18 G40 G99
T0101
G97 S1000 M03
G00 X40. Z2.
G01 Z-48. F0.2
X44.
G00 X30. Z2.
G01 Z-48.
X44.
G00 X100. Z50.
M30
)";

} // namespace

TEST_CASE("likeness: notes, blanks, N numbers and ways of writing are nothing to the machine") {
    const Likeness first = likeness(two_tools);
    CHECK(first.move_count > 5);
    CHECK_FALSE(first.open);
    CHECK(likeness(with(std::string(two_tools), "(TURN)", "( OTHER WORDS )")).same(first));
    CHECK(likeness(with(std::string(two_tools), "G01 Z-48. F0.2", "N77 G1 Z-48.0 F.2")).same(first));
    CHECK(likeness(with(std::string(two_tools), "X44.", "U4.")).same(first));
    // A stated feed that is in force already changes nothing.
    CHECK(likeness(with(std::string(two_tools), "X44.", "X44. F0.2")).same(first));
}

TEST_CASE("likeness: what the machine does otherwise is told apart, and by what") {
    const Likeness first = likeness(two_tools);
    const Likeness feed = likeness(with(std::string(two_tools), "F0.2", "F0.25"));
    CHECK(feed.moves == first.moves);
    CHECK(feed.tools == first.tools);
    CHECK(feed.settings != first.settings);
    CHECK_FALSE(feed.same(first));
    const Likeness speed = likeness(with(std::string(two_tools), "S1000", "S1100"));
    CHECK(speed.moves == first.moves);
    CHECK(speed.settings != first.settings);
    const Likeness station = likeness(with(std::string(two_tools), "T0202", "T0404"));
    CHECK(station.moves == first.moves);
    CHECK(station.settings == first.settings);
    CHECK(station.tools != first.tools);
    const Likeness size = likeness(with(std::string(two_tools), "Z-48.", "Z-48.02"));
    CHECK(size.moves != first.moves);
    CHECK(size.order == first.order);
    CHECK(size.nearly(first));
    CHECK_FALSE(likeness(with(std::string(two_tools), "Z-48.", "Z-50.")).nearly(first));
    CHECK_FALSE(likeness(with(std::string(two_tools), "X44.\n", "X44.\nG01 X45.\n")).nearly(first));
    // The same feeds in another order.
    const std::string first_slow = with(std::string(unrolled), "F0.2", "F0.1");
    CHECK(likeness(with(first_slow, "G01 Z-48.\n", "G01 Z-48. F0.2\n")).settings !=
          likeness(with(with(std::string(unrolled), "X44.\nG00 X30", "X44. F0.1\nG00 X30"), "G01 Z-48.\n",
                        "G01 Z-48. F0.2\n"))
              .settings);
}

TEST_CASE("likeness: the three systems, both units and loops") {
    const Likeness a = likeness(pin('A'), "[[machine]]\nsystem = \"A\"\n");
    CHECK(a.move_count > 2);
    CHECK(likeness(pin('B'), "[[machine]]\nsystem = \"B\"\n").moves == a.moves);
    CHECK(likeness(pin('B'), "[[machine]]\nsystem = \"B\"\n").settings == a.settings);
    CHECK(likeness(with(with(pin('B'), "G21", "G71"), "G90 G95", "G90 G95"), "[[machine]]\nsystem = \"C\"\n")
              .moves == a.moves);
    CHECK(likeness(looped).same(likeness(unrolled)));
    CHECK_FALSE(likeness(with(std::string(looped), "#1-10.", "#1-5.")).same(likeness(unrolled)));
    // In inches the sizes are rounded otherwise: nearly the same.
    const auto document = opened(two_tools);
    const Rewritten inch = rewrite(*document, {"turnwright.convertUnits", {"inch"}});
    REQUIRE(inch.changed());
    CHECK(likeness(inch.text).nearly(likeness(two_tools)));
    CHECK_FALSE(likeness(inch.text).same(likeness(two_tools)));
}

TEST_CASE("library: clashes, copies, other speeds and calls to nowhere") {
    const std::string other_feed = with(with(std::string(two_tools), "O0007", "O0008"), "F0.2", "F0.3");
    const std::string calls = "O0010 (CALLS)\nG21 G99 T0101\nM98 P0007\nM98 P0044\nG65 P9100 A1.\n"
                              "M98 P1000\nM30\nO1000\nG01 X20. F0.1\nM99\n";
    const std::vector<LibraryProgram> programs = {
        read("a/one.nc", two_tools), read("a/copy.nc", with(std::string(two_tools), "(PIN)", "(PIN 2)")),
        read("b/fast.nc", other_feed), read("b/O0044.nc", "G21\nT0101\nM30\n"), read("b/calls.nc", calls)};
    const LibraryFindings found = find_in_library(programs);
    REQUIRE(found.clashes.size() == 1);
    CHECK(found.clashes[0].number == 7);
    CHECK(found.clashes[0].programs == std::vector<std::size_t>{0, 1});
    CHECK(found.clashes[0].one_folder);
    CHECK(found.clashes[0].same_work);
    REQUIRE(found.same_work.size() == 1);
    CHECK(found.same_work[0] == std::vector<std::size_t>{0, 1});
    REQUIRE(found.other_values.size() == 1);
    CHECK(found.other_values[0].programs == std::vector<std::size_t>{0, 2});
    CHECK(found.other_values[0].what == "speeds, feeds or coolant");
    // O0044 is a file by its name, O1000 stands in the file itself.
    REQUIRE(found.nowhere.size() == 1);
    CHECK(found.nowhere[0].number == 9100);
    CHECK(found.nowhere[0].from == std::vector<std::pair<std::size_t, std::size_t>>{{4, 5}});
    const std::string text = library_text(programs);
    CHECK(text.find("O0007 (copies: they do the same): a/one.nc, a/copy.nc") != std::string::npos);
    CHECK(text.find("O9100 (mostly kept in the control): called in b/calls.nc line 5") != std::string::npos);
}

TEST_CASE("library: an index in three forms, and nothing in a note acts in them") {
    const std::string hostile = with(std::string(two_tools), "(PIN)", "(=<b>1\",|2)");
    std::vector<LibraryProgram> programs = {read("one.nc", hostile)};
    programs.push_back({});
    programs.back().name = "gone.nc";
    programs.back().problem = "no such file";
    CHECK(programs[0].number == 7);
    CHECK(programs[0].tools == std::vector<std::string>{"T01 TURN", "T02 GROOVE"});
    CHECK(programs[0].unit == "mm");
    const std::string csv = library_csv(programs);
    CHECK(csv.find("\none.nc,O0007,\"'=<b>1\"\",|2\",") != std::string::npos);
    CHECK(csv.find("\ngone.nc,") != std::string::npos);
    CHECK(csv.find("no such file") != std::string::npos);
    CHECK(count_of(csv, "\n") == 3);
    const std::string page = library_page(programs);
    CHECK(page.find("<svg ") != std::string::npos);
    CHECK(page.find("=&lt;b&gt;1") != std::string::npos);
    CHECK(page.find("<b>") == std::string::npos);
    const std::string markdown = library_markdown(programs);
    CHECK(markdown.find("O0007") != std::string::npos);
    for (const std::string& text : {csv, page, markdown}) CHECK(is_report(text));
    CHECK_FALSE(is_report("file,number\nmine,1\n"));
}

TEST_CASE("rewrite: numbers and form change nothing for the machine, mends come one behind the other") {
    const auto document = opened(two_tools);
    const Rewritten renumbered = rewrite(*document, {"turnwright.renumber", {"sequences", "10", "10"}});
    REQUIRE(renumbered.changed());
    CHECK(renumbered.text.find("N20 (GROOVE)") != std::string::npos);
    CHECK(compare(*document, *opened(renumbered.text)).same());
    const auto again = opened(renumbered.text);
    CHECK_FALSE(rewrite(*again, {"turnwright.renumber", {"sequences", "10", "10"}}).changed());
    const auto unread = opened("G01 X[1 F0.1\n");
    CHECK_FALSE(rewrite(*unread, {"turnwright.convertSystem", {"A"}}).changed());
    // What stands so already is neither changed nor refused.
    for (const RewriteOrder& order :
         {RewriteOrder{"turnwright.convertUnits", {"mm"}}, RewriteOrder{"turnwright.convertSystem", {"A"}},
          RewriteOrder{"turnwright.convertX", {"diameter"}}}) {
        CAPTURE(order.command);
        CHECK_FALSE(rewrite(*document, order).changed());
        CHECK(rewrite(*document, order).refused.empty());
    }
    const auto nothing = opened("");
    CHECK_FALSE(rewrite(*nothing, {"turnwright.fixAll", {""}}).changed());
}
