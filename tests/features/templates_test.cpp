// New sequences: every one, accepted as offered, runs through the stock and hits nothing.
#include "features/open.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <fstream>
#include <set>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Marked;
using features::test::marked;
using features::test::Open;
using features::test::shop_of;

namespace {

constexpr std::string_view turret = R"(
[[tool]]
station = 1
note = "rough turn"
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
max_depth = 2.5
[[tool]]
station = 2
note = "drill 10"
kind = "drill"
diameter = 10
point_angle = 118
[[tool]]
station = 3
note = "finish turn"
kind = "turning"
nose_radius = 0.4
tip_direction = 3
approach_angle = 93
back_angle = 32
[[tool]]
station = 4
note = "boring bar"
kind = "boring"
nose_radius = 0.4
tip_direction = 2
approach_angle = 95
back_angle = 5
[[tool]]
station = 5
note = "groove 3 wide"
kind = "grooving"
width = 3
nose_radius = 0.2
tip_direction = 3
[[tool]]
station = 7
note = "thread 60 degrees"
kind = "threading"
hand = "right"
[[tool]]
station = 8
note = "tap"
kind = "tap"
diameter = 10
[[tool]]
station = 9
note = "part off 3 wide"
kind = "parting"
width = 3
nose_radius = 0.2
tip_direction = 3
)";

std::string finisher_and_bar(System system, double bore) {
    return fmt::format(
        "units = \"mm\"\n[machine]\nsystem = \"{}\"\nmax_rpm = 3000\n[stock]\ndiameter = 50\nbore = {}\n"
        "front_z = 1\nback_z = -90\njaw_front_z = -60\njaw_diameter = 160\nmaterial = \"C45\"\n{}",
        codes::system_letter(system), bore, turret);
}

bool is_template(const CompletionItem& item) {
    return item.kind == CompletionKind::snippet && item.detail.find("(new sequence") != std::string::npos;
}

/// The program with an item accepted as it is offered.
std::string accepted(const Open& open, const CompletionItem& item) {
    return test::with_edits(open.document, {{item.edit.range, item.plain}});
}

void hits_nothing(const std::string& text, std::shared_ptr<const shop::Shop> shop) {
    INFO(text);
    const Document made(text, std::move(shop), "job.nc");
    for (std::size_t line = 0; line < made.buffer().line_count(); ++line)
        CHECK_FALSE(made.block(made.place_of_line(line)).has_error);
    for (const Warning& warning : warnings(made)) {
        INFO(warning.range.begin.line + 1 << " " << warning.message);
        CHECK(warning.severity < checks::Severity::warning);
    }
    REQUIRE(made.results().stock().programs().size() == 1);
    const stock::ProgramCourse& program = made.results().stock().programs().front();
    REQUIRE(program.setup);
    for (const stock::SequenceCourse& sequence : program.sequences) {
        CHECK(sequence.stop == stock::Stop::none);
        CHECK(sequence.events.empty());
    }
}

std::vector<std::string> labels(const std::vector<CompletionItem>& items) {
    std::vector<std::string> names;
    for (const CompletionItem& item : items)
        if (is_template(item)) names.push_back(item.label);
    return names;
}

std::string units_line(System system, bool inch) {
    if (system == System::C) return inch ? "G70" : "G71";
    return inch ? "G20" : "G21";
}

std::optional<CompletionItem> offer(const Open& open, std::string_view label) {
    for (const CompletionItem& item : complete(open.document, open.cursor()))
        if (item.label == label) return item;
    return std::nullopt;
}

std::string contents_of(const std::string& name) {
    std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/" + name, std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

} // namespace

TEST_CASE("every template as offered runs through the stock and hits nothing") {
    for (const System system : {System::A, System::B, System::C})
        for (const bool inch : {false, true})
            for (const double bore : {0.0, 24.0}) {
                const auto shop = shop_of(finisher_and_bar(system, bore));
                const Open open("%\nO1 (PART)\n" + units_line(system, inch) + "\n$0\nM30\n%\n", shop);
                const std::vector<CompletionItem> items = complete(open.document, open.cursor());
                // A solid bar has nothing to bore or tap.
                // Threading and tapping ask for a name first: no tool is noted for one.
                CHECK(labels(items).size() == (bore > 0 ? 7U : 6U));
                for (const CompletionItem& item : items)
                    if (is_template(item)) hits_nothing(accepted(open, item), shop);
                for (const char* thread : {"M48x2", "1-12 UNF", "1/2-14 NPT", "G3/4", "R 1/2"}) {
                    const Open named(
                        "%\nO1 (PART)\n" + units_line(system, inch) + "\n" + thread + "$0\nM30\n%\n", shop);
                    int offered = 0;
                    for (const CompletionItem& item : complete(named.document, named.cursor()))
                        if (is_template(item)) {
                            ++offered;
                            hits_nothing(accepted(named, item), shop);
                        }
                    CHECK(offered > 0);
                }
            }
}

TEST_CASE("templates behind the sequences of a program start outside what is left there") {
    std::string text = contents_of("pump-shaft.nc");
    text.insert(text.find("\nN9 "), "\n$0\n");
    const auto shop = shop_of(contents_of("pump-shaft.turnwright.toml"));
    const Open open(text, shop);
    int offered = 0;
    for (const CompletionItem& item : complete(open.document, open.cursor())) {
        if (!is_template(item)) continue;
        ++offered;
        INFO(item.plain);
        const Document made(accepted(open, item), shop, "job.nc");
        const Document before(open.source.text, shop, "job.nc");
        std::size_t events = 0, events_before = 0;
        for (const auto& sequence : made.results().stock().programs().front().sequences)
            events += sequence.events.size();
        for (const auto& sequence : before.results().stock().programs().front().sequences)
            events_before += sequence.events.size();
        CHECK(events == events_before);
        // In the words of the others, with a free number.
        CHECK_THAT(item.plain, Contains("G54 G18 G97 G21 G80 G40 G99"));
        CHECK_THAT(item.plain, Contains("G00 G53 X0. Z0.\nM09\nM05\nM01"));
        CHECK(item.plain.find('$') == std::string::npos);
        const std::string number = item.plain.substr(0, item.plain.find(' '));
        CHECK(open.source.text.find('\n' + number + ' ') == std::string::npos);
        // Its number is one that the rules of this very program take.
        for (const Warning& warning : warnings(made)) CHECK(warning.id != "sequence_number_not_tool");
    }
    CHECK(offered == 7); // Threading and tapping ask for a name here
}

TEST_CASE("a template takes the tool that the head names for its work, and a number that is free") {
    const std::string program =
        "%\nO1\n(T03 DRILL 12)\n(T06 GROOVE 2 WIDE)\nN1 (FACE)\nG21 G99 G97 G40 G80 G54 G18\n"
        "T0101\nG97 S500 M03\nG00 X60. Z5.\nG28 U0. W0.\nM01\n\n$0\nM30\n%\n";
    const Open open(program, System::A);
    CHECK_THAT(offer(open, "grooving")->plain, Contains("N6 (GROOVE)\n") && Contains("T0606\n"));
    CHECK_THAT(offer(open, "drilling")->plain, Contains("N3 (DRILL)\n") && Contains("T0303\n"));
    // Nothing is named for it: the first station that is free.
    CHECK_THAT(offer(open, "part-off")->plain, Contains("N2 (PART OFF)\n") && Contains("T0202\n"));
    // N6 is taken by another tool.
    const Open taken("(T06 GROOVE)\nN6 (FACE)\nT0101\nM01\n\n$0\nM30\n", System::A);
    CHECK_THAT(offer(taken, "grooving")->plain, Contains("N7 (GROOVE)\n") && Contains("T0606\n"));
    const Open labels("N101 G00 X5.\nN102 X6.\nM01\n$0\n", System::A);
    CHECK_THAT(offer(labels, "rough turning")->plain,
               Contains("P103 Q104") && Contains("N103 ") && Contains("N104 "));
}

TEST_CASE("depth and feeds come from the tool") {
    const std::string tool =
        "[[tool]]\nstation = 1\nnote = \"rough turn\"\nkind = \"turning\"\nnose_radius = 0.4\n"
        "tip_direction = 3\nmax_depth = 1.2\nmax_rpm = 1800\n";
    const Open open("G21\n$0\n", shop_of("units = \"mm\"\n[machine]\nsystem = \"A\"\n" + tool));
    CHECK_THAT(offer(open, "rough turning")->plain,
               Contains("G71 U1.2 R0.5") && Contains("F0.12") && Contains("G50 S1800"));
    const Open upside("G21\n$0\n",
                      shop_of("units = \"mm\"\n[machine]\nsystem = \"A\"\n" + tool + "upside_down = true\n"));
    CHECK_THAT(offer(upside, "rough turning")->plain, Contains("M04"));
}

TEST_CASE("boring comes off the wall inward, grooving goes into the last cylinder above") {
    const Open bored("G21\n$0\n", shop_of(finisher_and_bar(System::A, 24)));
    // The hole is 24; half a millimetre a side is bored, and the bar goes back to 24 before it goes out.
    CHECK_THAT(offer(bored, "boring")->plain, Contains("G00 X25. Z") && Contains("\nX24.\nG00 Z3.\n"));
    const Open grooved(
        "G21 G99 G97 S500 M03\nT0101\nG00 X60. Z2.\nG01 X40. F0.2\nZ-30.\nX60.\nG00 Z50.\nM01\n$0\n",
        System::A);
    const std::string groove = offer(grooved, "grooving")->plain;
    CHECK_THAT(groove, Contains("Z-15.\n") && Contains("G01 X37. F0.06"));
}

TEST_CASE("threads by their names: root, height, lead, passes, run-in, relief") {
    const auto thread = [](const std::string& name, const std::string& units, System system = System::A) {
        const Open open(units + "\n" + name + "$0\n", system);
        const auto made = offer(open, "thread " + name);
        REQUIRE(made);
        CHECK(made->edit.range == Range{{1, 0}, {1, static_cast<std::uint32_t>(name.size())}});
        return *made;
    };
    // External M24x1.5: root 24 - 1.22687 x 1.5 = 22.16, height 0.61343 x 1.5 = 0.920 (ISO 68-1 profile; the
    // root's rule from memory).
    const CompletionItem metric = thread("M24x1.5", "G21");
    CHECK_THAT(metric.plain,
               Contains("X22.16 ") && Contains("P920 ") && Contains("F1.5") && Contains("M24X1.5"));
    // 6.5 x 0.92 + 2 is 8; 0.92 over the root of 8, up to a hundredth, is 0.33.
    CHECK_THAT(metric.detail, Contains("root 22.16, height 0.92, lead 1.5, about 8 passes") &&
                                  Contains("run-in") && Contains("relief 3 wide"));
    // 1-12 UNF in inch: root 1 - 1.22687 / 12 = 0.8978, lead 1/12.
    CHECK_THAT(thread("1-12 UNF", "G20").plain, Contains("X.8978 ") || Contains("X0.8978 "));
    CHECK_THAT(thread("1-12 UNF", "G20").plain, Contains("083333"));
    // 1/2-14 NPT: E0 = D - (0.05 D + 1.1) p = 0.75843; root at the small end 0.75843 - 0.8 p = 0.70129; at
    // L2 = (0.8 D + 6.8) p = 0.53371 behind it 1 in 16 more: 0.73464 (ASME B1.20.1, as engineersedge.com
    // gives it).
    const CompletionItem pipe = thread("1/2-14 NPT", "G20");
    CHECK_THAT(pipe.plain, (Contains("X.7346 ") || Contains("X0.7346 ")) && Contains("R-"));
    CHECK_THAT(pipe.detail, !Contains("relief"));
    // Inside, M24x1.5: the hole is 24 - 1.0825 x 1.5 = 22.376, the root at 24.
    const Open inside("G21\nM24x1.5$0\n", shop_of(finisher_and_bar(System::A, 22)));
    CHECK_THAT(offer(inside, "thread M24x1.5 inside")->plain, Contains("X24. ") && Contains("G00 X20. "));
    // What is no thread's name is none.
    CHECK_FALSE(offer(Open("G21\nM24x9$0\n", System::A), "thread M24x9"));
}

TEST_CASE("threading and tapping take the thread that their tool is noted for") {
    const std::string job = "%\nO1 (PART)\n(T07 THREAD M20X1.5)\n(T08 TAP M12X1.75)\nG21 G99\n\n$0\nM30\n%\n";
    const Open open(job, System::A);
    CHECK_THAT(offer(open, "threading")->plain,
               Contains("(THREAD M20X1.5)") && Contains("T0707") && Contains("F1.5"));
    CHECK_THAT(offer(open, "tapping")->plain,
               Contains("(TAP M12X1.75)") && Contains("T0808") && Contains("F1.75\n"));
    // 1/13 in.
    const Open inch("O1\n(T3 TAP 1/2-13)\n(T4 THREAD 1/2-14 NPT)\nG20 G99\n\n$0\nM30\n", System::A);
    CHECK_THAT(offer(inch, "tapping")->plain, Contains("F0.076923") || Contains("F.076923"));
    CHECK_THAT(offer(inch, "threading")->plain, Contains("(THREAD 1/2-14 NPT)") && Contains("R-"));
}

TEST_CASE("with no thread noted anywhere its name is asked for, and no size is made up") {
    for (const char* units : {"G21", "G20"}) {
        const Open open(std::string(units) + " G99\n$0\n", System::A);
        for (const auto& [label, asked] : {std::pair("threading", "thread "), std::pair("tapping", "tap ")}) {
            const auto made = offer(open, label);
            REQUIRE(made);
            CHECK(made->plain == asked);
            CHECK_THAT(made->detail, !Contains("root") && !Contains("passes"));
            CHECK(accepted(open, *made) == std::string(units) + " G99\n" + asked + "\n");
        }
    }
    // The name typed behind it gives the sequence: M8 coarse has a pitch of 1.25, 1/2-13 one of 1/13 in.
    CHECK_THAT(offer(Open("G21\ntap M8$0\n", System::A), "tap M8")->plain,
               Contains("(TAP M8)") && Contains("F1.25\n"));
    CHECK_THAT(offer(Open("G20\nTap 1/2-13$0\n", System::A), "tap 1/2-13")->plain, Contains("F0.076923"));
    CHECK_FALSE(offer(Open("G21\ntap M24x9$0\n", System::A), "tap M24x9"));
}

namespace {

/// Numbers in the safety lines, and one change position in plain coordinates.
std::string plain_home(std::string_view start, std::string_view home,
                       std::string_view behind = "M01\n\n$0\n") {
    return fmt::format("%\nO5001 (JOB)\n(DRAWING 4711)\n{0}\nT0101\nG50 S2500\nG96 S200 M03\n"
                       "G00 X52. Z2. M08\nG71 U2. R0.5\nG71 P10 Q20 U0.5 W0.1 F0.3\nN10 G00 X20.\n"
                       "G01 Z-20. F0.1\nX40. Z-30.\nN20 X52.\n{1}\n{2}M30\n%\n",
                       start, home, behind);
}

} // namespace

TEST_CASE("a number in the safety line is the new sequence's own, and stands once") {
    const Open open(plain_home("N1 G21 G40 G99 G54", "G00 X200. Z200. M09"), System::A);
    const std::string made = offer(open, "facing")->plain;
    CHECK_THAT(made, Catch::StartsWith("N2 G21 G40 G99 G54 (FACE)\nT0202\n"));
    CHECK(made.find('N', 1) == std::string::npos); // No second number
    CHECK_THAT(made, !Contains("N1 "));
    // A list below the program's number is the head's, with a tape mark above and without.
    std::string listed = plain_home("N1 G21 G40 G99 G54", "G00 X200. Z200. M09");
    listed.replace(listed.find("DRAWING 4711"), 12, "T01 ROUGH)(T03 FINISH");
    CHECK(offer(Open(listed, System::A), "facing")->plain ==
          offer(Open(listed.substr(2), System::A), "facing")->plain);
    // Blocks that are all numbered lend their words, not their numbers.
    const Open all("%\nO1\nN5 (FACE)\nN10 G21 G40 G99\nN15 T0101\nN20 G97 S500 M03\nN25 G00 X60. Z2.\n"
                   "N30 G01 X-1. F0.1\nN35 G00 X150. Z90.\nN40 M01\n$0\nN45 M30\n%\n",
                   System::A);
    CHECK_THAT(offer(all, "facing")->plain, Contains("\nG00 X150. Z90.\nM01\n") && !Contains("N3"));
}

TEST_CASE("a new sequence goes home as this program does") {
    const std::string safety = "N1 G21 G40 G99 G54";
    const auto end_of = [](const std::string& program) {
        const std::string plain = offer(Open(program, System::A), "facing")->plain;
        return plain.substr(plain.find("\nG97", plain.find("F0.25")) + 1);
    };
    CHECK_THAT(end_of(plain_home(safety, "G00 X200. Z200. M09")),
               Catch::EndsWith("G00 X200. Z200. M09\nM01\n") && !Contains("G53") && !Contains("M05"));
    // An axis at a time is one way.
    CHECK_THAT(end_of(plain_home(safety, "G00 Z200.\nX200. M09")),
               Catch::EndsWith("G00 Z200.\nX200. M09\nM01\n") && !Contains("G53"));
    // The offset that is cancelled is the new tool's.
    CHECK_THAT(end_of(plain_home(safety, "G00 X200. Z200. T0100")), Contains("G00 X200. Z200. T0200\n"));
    // The program's end is no stop of a sequence.
    CHECK_THAT(end_of("O1\nN1 G21 G40 G99\n$0\nN1 G21 G40 G99 G97\nT0101\nG00 X60. Z2.\nG01 X-1. F0.1\n"
                      "G00 X150. Z90.\nM30\n"),
               Catch::EndsWith("G00 X150. Z90.\nM01\n"));
    CHECK_THAT(end_of("O1\nN1 G21 G40 G99\n$0\nN1 G21 G40 G99 G97\nT0101\nG00 X60. Z2.\nG01 X-1. F0.1\n"
                      "G00 X150. Z90.\nM09\nM05\nM30\n"),
               Catch::EndsWith("G00 X150. Z90.\nM09\nM05\nM01\n"));
    // A retract is no change position.
    CHECK_THAT(end_of(plain_home(safety, "G00 X53. Z3.")), Contains("G53 X0. Z0."));
    CHECK_THAT(end_of(plain_home(safety, "G00 U10. W200.")), Contains("G53 X0. Z0."));
    // The reference return is copied as before.
    CHECK_THAT(end_of(plain_home(safety, "G28 U0. W0.")), Contains("G28 U0. W0.\nM01\n"));
}

TEST_CASE("several words name a template and nothing else") {
    const Open open("O1\n(T01 ROUGH)\nG21 G99\nT0101\nG00 X50. Z5.\nM01\n\nrough t$0\nM30\n", System::A);
    const std::vector<CompletionItem> items = complete(open.document, open.cursor());
    REQUIRE(items.size() == 1);
    CHECK(items[0].label == "rough turning");
    // A block that goes on with T has its tools.
    const Open block("O1\n(T01 ROUGH)\nG21 G99\nT0101\nM01\nG00 T$0\nM30\n", System::A);
    CHECK(offer(block, "T0101"));
}

TEST_CASE("pipe threads have their own flanks, and a code that is typed is no thread") {
    CHECK_THAT(offer(Open("G21\nG 1/2$0\n", System::A), "thread G 1/2")->plain,
               Contains("P010055 ") && Contains("X18.63") && Contains("F1.814286"));
    CHECK(offer(Open("G21\nthread M8$0\n", System::A), "thread M8"));
    CHECK(offer(Open("G21\nThread G1$0\n", System::A), "thread G1"));
    for (const char* code : {"M8", "G1", "G01", "R2", "M 8"}) {
        INFO(code);
        CHECK_FALSE(
            offer(Open(std::string("G21\n") + code + "$0\n", System::A), std::string("thread ") + code));
    }
}

TEST_CASE("templates are found by typing their names") {
    for (const char* typed : {"", "f", "fac", "Facing", "FACING"}) {
        INFO(typed);
        const Open open(std::string("G21\n") + typed + "$0\n", System::A);
        const auto made = offer(open, "facing");
        REQUIRE(made);
        CHECK(made->edit.range.begin == Position{1, 0});
        CHECK(made->filter == "facing");
    }
    CHECK(offer(Open("G21\nrough t$0\n", System::A), "rough turning"));
    CHECK(offer(Open("G21\npart-$0\n", System::A), "part-off"));
    CHECK_FALSE(offer(Open("G21\nfac$0\n", System::A), "drilling"));
    CHECK_FALSE(offer(Open("G21\nG01 f$0\n", System::A), "facing"));
    CHECK_FALSE(offer(Open("G21\nf$0 X5.\n", System::A), "facing"));
}

TEST_CASE("where a sequence may begin, its name stands before all else that is spelled so") {
    const auto stands_before = [](const std::string& program, std::string_view one, std::string_view other) {
        const Open open(program, System::A);
        const std::vector<CompletionItem> items = complete(open.document, open.cursor());
        const auto sort = [&](std::string_view label) {
            const auto found = std::find_if(items.begin(), items.end(),
                                            [&](const auto& item) { return item.label.starts_with(label); });
            return found == items.end() ? std::string("none") : found->sort;
        };
        CHECK(sort(one) != "none");
        CHECK(sort(other) != "none");
        return sort(one) < sort(other);
    };
    // GROOVE and THREAD are notes that ask for blocks, too.
    const std::string job = "G21 G99\n(T05 GROOVE)\nN1 (TURN)\nT0101\nG00 X50. Z5.\nM01\n";
    CHECK(stands_before(job + "gro$0\nM30\n", "grooving", "(GROOVE"));
    CHECK(stands_before(job + "\nthr$0\nM30\n", "threading", "(THREAD"));
    CHECK(stands_before(job + "$0\nM30\n", "facing", "G01"));
    // In the middle of a sequence blocks are wanted, and T alone is a tool.
    CHECK(stands_before("G21 G99\nT0101\nG00 X50. Z5.\ngro$0\nM30\n", "(GROOVE", "grooving"));
    CHECK(stands_before(job + "T$0\nM30\n", "T05", "threading"));
}

TEST_CASE("a new file begins with the shop's head") {
    const auto shop = shop_of("units = \"mm\"\n[machine]\nsystem = \"A\"\n[house]\nsafety_line = [\"G21\", "
                              "\"G97\", \"G40\", \"G80\"]\n"
                              "[[tool]]\nstation = 3\nnote = \"finish turn\"\n");
    const auto made = offer(Open("$0", shop), "new program");
    REQUIRE(made);
    CHECK(made->plain == "%\nO0001 (PART)\n(T03 FINISH TURN)\nG21 G97 G40 G80\n\n\n\nM30\n%\n");
    CHECK(offer(Open("new$0\n\n", shop), "new program"));
    // A file that is named for a number has it
    CHECK(
        offer(Open("$0", shop, nullptr, "O4321.nc"), "new program")->plain.starts_with("%\nO4321 (PART)\n"));
    CHECK(
        offer(Open("$0", shop, nullptr, "shaft.nc"), "new program")->plain.starts_with("%\nO0001 (PART)\n"));
    CHECK_FALSE(offer(Open("O1\n$0\n", shop), "new program"));
}
