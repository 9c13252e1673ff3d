#include "machine/execution.h"
#include "machine/program.h"

#include <catch2/catch.hpp>
#include <functional>
#include <random>

using namespace turnwright;
using codes::Meaning;
using codes::System;
using machine::Why;

TEST_CASE("labels join the ways that lead to them") {
    auto state = Program(System::A, "G00 X10. Z5.\nIF[#500 GT 2]GOTO 10\nX20.\nN10 M01$0").before();
    CHECK(state.x_radius.why == Why::joined);
    CHECK(state.z.is(5));
    CHECK(state.reachable);
}

TEST_CASE("blocks behind a jump are not reached until a label") {
    CHECK_FALSE(Program(System::A, "GOTO 10\nX20.$0\nN10 M01").before().reachable);
    CHECK(Program(System::A, "GOTO 10\nX20.\nN10 M01$0").after().reachable);
}

TEST_CASE("a loop is run turn by turn where its condition is known") {
    const std::string loop = "G00 X40. Z2.\nWHILE[#1 LT 3]DO1\n#1=#1+1\nG00 U-2.\nEND1\nM01$0";
    const auto state = Program(System::A, "#1=0\n" + loop).before();
    CHECK(state.z.is(2));
    CHECK(state.x_radius.is(17));
    CHECK(state.variable(1).is(3));
    CHECK(state.is(Meaning::rapid));
    // Within it every turn counts.
    const auto inside =
        Program(System::A, "#1=0\nG00 X40. Z2.\nWHILE[#1 LT 3]DO1\n#1=#1+1\nG00 U-2.$0\nEND1");
    CHECK(inside.before().x_radius.why == Why::joined);
    CHECK(inside.before().z.is(2));
    // Out of it by a jump, whose label is reached in that state only.
    const auto jump =
        Program(System::A, "#1=0\nG00 X40.\nDO1\n#1=#1+1\nG00 U-2.\nIF[#1 EQ 4]GOTO 7\nEND1\nX1.\nN7 M01$0");
    CHECK(jump.before().x_radius.is(16));
    CHECK(jump.before().variable(1).is(4));
    // Calls in it are followed each turn.
    CHECK(
        Program(System::A,
                "O1\n#1=0\nG00 Z0\nWHILE[#1LT3]DO1\n#1=#1+1\nM98 P2 L2\nEND1\nM01$0\nM30\nO2\nG00 W-1.\nM99")
            .before()
            .z.is(-6));
}

TEST_CASE("a loop whose condition is not known forgets what it changes and keeps the rest") {
    const auto state =
        Program(System::A, "#1=0\nG00 X40. Z2.\nWHILE[#1 LT #500]DO1\n#1=#1+1\nG00 U-2.\nEND1\nM01$0")
            .before();
    CHECK(state.z.is(2));
    CHECK(Program(System::A, "#1=0\nG00 X40. Z2.\nIF[#501 GT 1]GOTO 9\n#500=3\nN9 WHILE[#1 LT "
                             "#500]DO1\n#1=#1+1\nG00 U-2.\nEND1\nM01$0")
              .before()
              .x_radius.why == Why::joined);
    // A jump from elsewhere into it: what comes in there is not known turn by turn.
    CHECK_FALSE(
        Program(System::A,
                "#1=0\nG00 X40.\nIF[#500 GT 1]GOTO 5\nWHILE[#1 LT 3]DO1\n#1=#1+1\nN5 G00 U-2.\nEND1\nM01$0")
            .before()
            .x_radius.known());
}

TEST_CASE("jumps back to a label are run turn by turn where their condition is known") {
    const std::string passes = "N10 #1=#1-2.\nG00 X#1\nG01 Z-20.\nG00 Z2.\n";
    const std::string start = "#1=40.\nG00 X44. Z2.\n";
    const auto state = Program(System::A, start + passes + "IF[#1 GT 30.]GOTO 10\nM01$0").before();
    CHECK(state.variable(1).is(30));
    CHECK(state.x_radius.is(15));
    // The way out in the middle, the way back at the end.
    const auto middle = Program(System::A, start + "N10 #1=#1-2.\nIF[#1 LT 31.]GOTO 20\nG00 X#1\nGOTO 10\n"
                                                   "N20 M01$0")
                            .before();
    CHECK(middle.variable(1).is(30));
    CHECK(middle.x_radius.is(16));
    // Within it every turn counts.
    CHECK_FALSE(Program(System::A, start + passes + "$0IF[#1 GT 30.]GOTO 10").before().x_radius.known());
    // Not where it hangs on what is not known, where others jump into it, or where it crosses a written loop.
    CHECK_FALSE(
        Program(System::A, start + passes + "IF[#1 GT #500]GOTO 10\nM01$0").before().x_radius.known());
    CHECK_FALSE(Program(System::A, "IF[#500 GT 1]GOTO 10\n" + start + passes + "IF[#1 GT 30.]GOTO 10\nM01$0")
                    .before()
                    .x_radius.known());
    CHECK_FALSE(Program(System::A, "#2=0\n" + start +
                                       "N10 G00 U-2.\nWHILE[#2 LT 2]DO1\n#2=#2+1\n"
                                       "IF[#2 EQ 1]GOTO 10\nEND1\nM01$0")
                    .before()
                    .x_radius.known());
    // One without end comes to an end here.
    CHECK_FALSE(Program(System::A, "N10 G00 X40. Z2.\nG01 Z-20.\nGOTO 10\nM01$0").before().reachable);
}

TEST_CASE("what stands behind a loop that is passed over is reached") {
    auto state =
        Program(System::A, "#1=5\nG00 X40. Z2.\nWHILE[#1 LT 3]DO1\n#1=#1+1\nG00 U-2.\nEND1\nM01$0").before();
    CHECK(state.reachable);
    CHECK(state.x_radius.is(20));
    CHECK(state.variable(1).is(5));
}

TEST_CASE("a row of signs costs no more than its length") {
    const std::string signs(150, '+');
    CHECK(Program(System::A, "#100=" + signs + "-5.\n$0M30").before().variable(100).is(-5));
    CHECK(Program(System::A, "#100=" + std::string(100, '-') + "#1\n$0M30").before().variable(100).why ==
          Why::never_set);
}

TEST_CASE("a long row of loops is followed to its end") {
    const auto after = [](const std::function<std::string(const std::string&)>& loop) {
        std::string text = "G21 G99\nT0303\nG97 S400 M03\nG00 X30. Z5.\n";
        for (int i = 10; i < 210; ++i) text += "#1=0\n" + loop(std::to_string(i)) + "G01 X30. F0.2\n";
        const Program program(System::A, text + "#2=7.\n$0M30\n");
        const machine::State state = program.before();
        CHECK(state.reachable);
        CHECK(state.x_radius.is(15));
        CHECK(state.feed.is(0.2));
        CHECK(state.tool.is(3));
        CHECK(state.variable(2).is(7));
        CHECK(state.variable(1).known());
    };
    SECTION("WHILE") {
        after([](const std::string&) { return "WHILE[#1LT3]DO1\n#1=#1+1\nU1.\nEND1\n"; });
    }
    SECTION("one in the other") {
        after([](const std::string&) {
            return "WHILE[#1LT3]DO1\n#3=0\nWHILE[#3LT2]DO2\n#3=#3+1\nU1.\nEND2\n#1=#1+1\nEND1\n";
        });
    }
    SECTION("jumps back") {
        after([](const std::string& number) {
            return "N" + number + " #1=#1+1\nU1.\nIF[#1LT3]GOTO" + number + "\n";
        });
    }
}

TEST_CASE("a called subprogram is followed, with the state it leaves") {
    auto state =
        Program(System::A, "O1\nG21 G00 X40. Z2.\nM98 P2\nM01$0\nM30\nO2\nG01 Z-5. F0.2\nM99").before();
    CHECK(state.z.is(-5));
    CHECK(state.x_radius.is(20));
    CHECK(state.feed.is(0.2));
    // The state that reaches the subprogram is the caller's.
    CHECK(Program(System::A, "O1\nG21 G00 X40. Z2.\nM98 P2\nM30\nO2\nG01 Z-5. F0.2$0\nM99")
              .before()
              .x_radius.is(20));
    CHECK(Program(System::A, "O1\nG00 Z2.\nM98 P2\nM01$0\nM30").before().z.why == Why::other_program);
    CHECK(Program(System::A, "O1\nG00 Z0\nM98 P30002\nM01$0\nM30\nO2\nG00 W-1.\nM99").before().z.is(-3));
}

namespace {
/// Programs of other files. Each look at it may find something new in the folder.
struct OtherFiles : machine::ProgramLibrary {
    std::map<std::int32_t, std::shared_ptr<const syntax::Forest>> programs;
    std::vector<std::unique_ptr<text::Buffer>> buffers;
    mutable std::uint64_t looks = 0;
    void add(std::int32_t number, std::string_view text) {
        buffers.push_back(std::make_unique<text::Buffer>(text));
        programs[number] = std::make_shared<const syntax::Forest>(*buffers.back());
    }
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override {
        ++looks;
        const auto at = programs.find(number);
        return at == programs.end() ? nullptr : at->second;
    }
    std::uint64_t stamp() const override { return looks; }
};
} // namespace

TEST_CASE("loops and jumps of a called program keep to its own plan") {
    const auto others = std::make_shared<OtherFiles>();
    others->add(2, "O2\nDO1\n#100=#100+1\nIF[#100GE3]GOTO7\nEND1\nN7 G01 W-5. F0.2\nM99");
    others->add(3, "O3\nWHILE[#500 LT 3]DO1\nWHILE[#501 LT 2]DO2\nG01 U2.\nEND2\nM98 P2\nEND1\nM99");
    others->add(4, "O4\nN7 #10=#10-1\nM98 P3\nIF[#10 GT 0]GOTO 7\nG65 P2 A1.\nM99");
    const std::string head = "O1\nG21 G00 X40. Z2.\n";
    CHECK(Program(System::A, head + "M98 P2\nM01$0\nM30", {}, others).before().feed.is(0.2));
    CHECK(Program(System::A, head + "M98 P3\nM01$0\nM30", {}, others).before().reachable);
    // The caller's own loops settle as if nothing had been called, and its labels are its own.
    const auto state = Program(System::A,
                               head + "#500=9\n#1=0\nWHILE[#1LT2]DO1\n#1=#1+1\nM98 P3\nM98 P4\nG65 P4 "
                                      "A2.\nEND1\nN7 G00 X20.\nN9 M01$0\nM30",
                               {}, others)
                           .before();
    CHECK(state.reachable);
    CHECK(state.is(Meaning::millimetre));
}

TEST_CASE("macro arguments and local variables") {
    auto text = "O1\n#1=7\nG65 P2 A10. B-4.5\nM01$0\nM30\nO2\nG00 X#1 Z#2\n#100=#1*2\nM99";
    auto state = Program(System::A, text).before();
    CHECK(state.x_radius.is(5));
    CHECK(state.z.is(-4.5));
    CHECK(state.variable(1).is(7));
    CHECK(state.variable(100).is(20));
    auto second =
        Program(System::A, "O1\nG65 P2 I1. J2. K3. I4. K6.\nM01$0\nM30\nO2\n#100=#7\n#101=#9\nM99").before();
    CHECK(second.variable(100).is(4));
    CHECK(second.variable(101).is(6));
}

TEST_CASE("M99 P goes on at the caller's block, or jumps in a main program") {
    std::string text = "O1\nG21 G00 X40. Z2.\nM98 P2\nG00 X50.\nN70 M01$0\nM30\nO2\nG00 Z-5.\nM99 P70";
    Program program(System::A, text);
    CHECK(program.before().x_radius.is(20));
    CHECK(program.before().z.is(-5));
    CHECK(program.analysis.flow_problems().empty());
    CHECK(Program(System::A, "O1\nT0101\nN5 G00 X40. Z2.\nG01 Z-3. F0.1\nM99 P5")
              .analysis.flow_problems()
              .empty());
    CHECK(Program(System::A, "O1\nT0101\nN5 G00 X40. Z2.\nM99 P6").analysis.flow_problems().size() == 1);
}

TEST_CASE("M99 P of a program in another file goes on at the caller's block") {
    const auto others = std::make_shared<OtherFiles>();
    others->add(2, "O8\nG00 Z-7.\nM99 P80\nO2\nG00 Z-5.\nIF[#500 EQ 1]GOTO 9\nM99 P70\nN9 M99 P90");
    const auto at = [&](const std::string& text) { return Program(System::A, text, {}, others); };
    const std::string head = "O1\nG21 G00 X40. Z2.\nM98 P2\nG00 X50.\n";
    for (const char* end : {"N70 M01$0\nN90 M30", "N90 G04 P1\nN70 M01$0\nM30"}) {
        const Program program = at(head + end);
        CHECK(program.before().reachable);
        CHECK(program.before().x_radius.is(20));
        CHECK(program.before().z.is(-5));
        CHECK(program.analysis.flow_problems().empty());
    }
    CHECK_FALSE(at("O1\nG21 G00 X40. Z2.\nM98 P2\nG00 X50.$0\nN70 M01\nN90 M30").before().reachable);
    // The same through a loop that the block to go on at stands in, and in each turn of it.
    const auto looped = at("O1\nG21 G00 X40. Z2.\n#1=0\nWHILE[#1LT2]DO1\n#1=#1+1\nM98 P2\nG00 X50.\nN70 G00 "
                           "W1.\nN90 G04 P1\nEND1\nM01$0\nM30");
    CHECK(looped.before().x_radius.is(20));
    // Another program of that file goes back to 80: nothing here does.
    CHECK_FALSE(at("O1\nM98 P2\nG00 X50.\nN80 M01$0\nN70 M30").before().reachable);
}

TEST_CASE("a macro under G66 runs behind every move until G67") {
    auto text = "O1\nG21 G00 X40. Z2.\nG66 P2 A3.\nG00 Z-1.\nM01$0\nG67\nG00 Z-9.\nM30\nO2\nG01 W-#1 "
                "F0.2\n#100=#100+1\nM99";
    auto state = Program(System::A, text).before();
    CHECK(state.z.is(-4));
    CHECK(state.feed.is(0.2));
    CHECK(state.is(Meaning::modal_call));
    std::string after = text;
    after.erase(after.find("$0"), 2);
    after.insert(after.find("\nM30"), "$0");
    CHECK(Program(System::A, after).after().z.is(-9));
    // The program is not at hand: what it leaves is not known.
    CHECK_FALSE(Program(System::A, "O1\nG21 G00 X40. Z2.\nG66 P9\nG00 Z-1.$0\nG67\nM30").after().z.known());
}

TEST_CASE("every turn of a block in a loop or a called program can be seen") {
    const auto values = [](const char* text) {
        const Program program(System::A, text);
        std::vector<double> found;
        machine::Execution execution(program.analysis, 1000);
        execution.turns_of(program.cursor, [&](const machine::Executed& executed) {
            found.push_back(executed.view.reading.value('Z').number);
            return found.size() < 5;
        });
        return found;
    };
    CHECK(values("#1=5.\nWHILE[#1 GT 0]DO1\nG01 Z#1 F.1$0\n#1=#1-2.\nEND1\nM30") ==
          std::vector<double>{5, 3, 1});
    CHECK(values("O1\nG65 P2 A4.\nM98 P3\nM30\nO2\nG01 Z#1 F.1$0\nM99\nO3\nG65 P2 A7. L2\nM99") ==
          std::vector<double>{4, 7, 7});
    CHECK(values("O1\n#100=0\nDO1\n#100=#100+1\nM98 P2\nEND1\nM30\nO2\nG01 Z#100 F.1$0\nM99").empty());
    CHECK(values("O1\n#100=0\nWHILE[#100LT9]DO1\n#100=#100+1\nM98 P2\nEND1\nM30\nO2\nG01 Z#100 F.1$0\nM99") ==
          std::vector<double>{1, 2, 3, 4, 5});
    CHECK(values("G01 Z5. F.1$0\nM30").empty());
}

TEST_CASE("G66 in a called program holds for its caller's moves, wherever they stand") {
    for (int blank = 0; blank < 70; ++blank) {
        const std::string text = "O1\nG21 G00 X40. Z2.\nM98 P3\n" +
                                 std::string(static_cast<std::size_t>(blank), '\n') +
                                 "G00 Z-1.\nM01$0\nM30\nO2\nG01 W-3. F0.2\nM99\nO3\nG66 P2\nM99";
        CHECK(Program(System::A, text).before().z.is(-4));
    }
}

TEST_CASE("a called program that block delete may leave out is joined with what stands without it") {
    const auto state =
        Program(System::A, "O1\nG00 X40. Z2.\n/M98 P2\nM01$0\nM30\nO2\nG00 Z-5.\nM99").before();
    CHECK(state.x_radius.is(20));
    CHECK(state.z.why == Why::joined);
}

TEST_CASE("a contour that a cycle calls leaves nothing behind it") {
    const auto state =
        Program(System::A, "G21 G99 G97 S500 M03\nG00 X60. Z2.\nG71 U2. R1.\nG71 P10 Q20 U.5 W.1 "
                           "F.3\nN10 G00 X20. S900 M08\nG01 Z-10. F.1\nM04 G98\nN20 X60.\nM01$0")
            .before();
    CHECK(state.speed.is(500));
    CHECK(state.is(Meaning::spindle_forward));
    CHECK(state.is(Meaning::feed_per_rev));
    CHECK(state.feed.is(.3));
    CHECK(state.of(codes::Group::coolant).surely_unset());
    CHECK(state.x_radius.is(30));
}

TEST_CASE("many variables, and many calls that repeat, are followed within a bound") {
    std::string text;
    for (int i = 1; i <= 40'000; ++i) text += "#" + std::to_string(i + 100) + "=" + std::to_string(i) + ".\n";
    const auto state = Program(System::A, text + "M30$0").before();
    CHECK(state.variable(101).is(1));
    CHECK(state.variable(40'100).is(40'000));
    CHECK(state.variable(40'101).why == Why::never_set);
    std::string calls = "O1\nG00 X40. Z2.\n";
    for (int i = 0; i < 40'000; ++i) calls += "M98 P2 L9999\n";
    const Program program(System::A, calls + "M30$0\nO2\nG00 W-1.\nM99");
    CHECK(program.before().x_radius.why == Why::other_program);
    std::size_t cut = 0;
    for (const auto& result : program.analysis.results())
        for (const machine::Problem& problem : result->problems)
            cut += problem.kind == machine::ProblemKind::call_cut_short;
    CHECK(cut == 1); // Where the work ended, not at each call below
}

TEST_CASE("a program that calls itself is given up at once") {
    std::string text = "O1\nG00 X40. Z2.\nM98 P2\nM98 P2\nM98 P2\nM30$0\nO2\nG00 W-1.\nM98 P2\nM98 P2\nM99";
    Program program(System::A, text);
    CHECK_FALSE(program.before().z.known());
}

TEST_CASE("recursion and endless loops come to an end") {
    // It never comes back.
    CHECK_FALSE(Program(System::A, "O1\nM98 P1\nM30$0").before().reachable);
    CHECK(Program(System::A, "N1 #1=#1+1\nGOTO 1$0").before().reachable);
    Program nested(
        System::A,
        "O1\nM98 P2 L9999\nM30$0\nO2\nM98 P3 L9999\nM99\nO3\nM98 P4 L9999\nM99\nO4\n#100=#100+1\nM99");
    CHECK(nested.before().reachable);
}

TEST_CASE("calls of calls cost no more than a bound, and what they leave is then not known") {
    // Ten programs, each calls the next ten times: ten thousand million blocks.
    std::string text = "O1\nG00 X40. Z2.\nM98 P2\nG01 X30. F0.1\nM30$0\n";
    for (int number = 2; number < 11; ++number) {
        text += "O" + std::to_string(number) + "\n";
        for (int i = 0; i < 10; ++i) text += "M98 P" + std::to_string(number + 1) + "\n";
        text += "M99\n";
    }
    text += "O11\nW-0.1\nM99\n";
    Program program(System::A, text);
    CHECK(program.before().x_radius.is(15));
    CHECK_FALSE(program.before().z.known());
    // A call that is worth following is followed, however many come before it in the same run.
    std::string many = "O1\nG00 X40. Z2.\n";
    for (int i = 0; i < 200; ++i) many += "M98 P2\n";
    many += "M30$0\nO2\nW-0.1\nM99\n";
    CHECK(Program(System::A, many).before().z.number == Approx(2 - 20));
}

TEST_CASE("many faults of loops are told once a block") {
    std::string text;
    for (int i = 0; i < 2000; ++i) text += "WHILE[#1LT5]DO1\n";
    Program program(System::A, text);
    // Not closed, crossing the first, nested too deeply.
    CHECK(program.analysis.flow_problems().size() == 2000 + 1999 + 1997);
}

TEST_CASE("what is wrong with jumps and loops is told") {
    auto kinds = [](const char* text) {
        std::vector<machine::ProblemKind> found;
        Program program(System::A, text);
        for (const auto& placed : program.analysis.flow_problems()) found.push_back(placed.problem.kind);
        return found;
    };
    using Kind = machine::ProblemKind;
    CHECK(kinds("GOTO 10\nN10 M30").empty());
    CHECK(kinds("GOTO 11\nN10 M30") == std::vector{Kind::label_not_found});
    CHECK(kinds("GOTO 10\nN10 M00\nN10 M30") == std::vector{Kind::label_twice});
    CHECK(kinds("WHILE[1]DO1\nM30") == std::vector{Kind::loop_not_closed});
    CHECK(kinds("END1\nM30") == std::vector{Kind::loop_not_opened});
    CHECK(kinds("WHILE[1]DO1\nWHILE[1]DO2\nEND1\nEND2") == std::vector{Kind::loops_cross});
}

namespace {
/// Everything the analysis says, for comparing.
void require_same(const machine::Analysis& a, const machine::Analysis& b, const std::string& text) {
    INFO(text);
    REQUIRE(a.size() == b.size());
    for (std::size_t run = 0; run < a.size(); ++run) {
        REQUIRE(a.result(run)->in == b.result(run)->in);
        REQUIRE(a.result(run)->out == b.result(run)->out);
        REQUIRE(a.result(run)->sets == b.result(run)->sets);
        REQUIRE(a.result(run)->reads_first == b.result(run)->reads_first);
        REQUIRE(a.result(run)->problems.size() == b.result(run)->problems.size());
        std::vector<machine::State> left, right;
        a.visit(run, [&](const machine::BlockView& view) { left.push_back(view.before); });
        b.visit(run, [&](const machine::BlockView& view) { right.push_back(view.before); });
        REQUIRE(left == right);
        // Spans behind each other, which do not read anew what stands before them, see what a whole visit
        // sees.
        std::vector<machine::State> in_spans;
        machine::Analysis::Passed passed;
        for (std::size_t block = 0; block < left.size(); block += 5)
            a.visit_span({run, block}, {run, std::min(block + 4, left.size() - 1)}, passed,
                         [&](const machine::BlockView& view) { in_spans.push_back(view.before); });
        REQUIRE(in_spans == right);
    }
    REQUIRE(a.label_counts() == b.label_counts());
    REQUIRE(a.flow_problems().size() == b.flow_problems().size());
}

const char* const lines[] = {
    "G00 X40. Z2.",
    "G01 Z-20. F0.2",
    "G21 G99",
    "G20",
    "T0101",
    "T0202 M08",
    "G96 S180 M03",
    "G97 S1200",
    "G50 S2500",
    "N10 G40",
    "N20 X#100",
    "GOTO 10",
    "#100=#100+1.",
    "IF[#100 GT 3]GOTO 20",
    "WHILE[#1 LT 5]DO1",
    "END1",
    "#1=#1+1",
    "M98 P2",
    "G65 P3 A5.",
    "O2",
    "O3",
    "M99",
    "M30",
    "/G54",
    "G71 U2. R0.5",
    "G71 P10 Q20 U0.4 W0.1 F0.3",
    "G83 Z-30. F0.1",
    "G80",
    "(NOTE)",
    "",
    "G28 U0 W0",
    "X10",
    "U-1.",
    "G90 X38. Z-10.",
    "GOTO #1",
    "M99 P10",
    "%",
    "M01",
};
} // namespace

TEST_CASE("where the pieces of the text begin changes no state", "[property]") {
    const std::string more[] = {"G66 P2 A1.",           "G67", "O4",  "M98 P4 L2", "#2=#1",
                                "IF[#500 GT 1]GOTO #2", "DO2", "END2"};
    for (unsigned seed = 1; seed <= 20; ++seed) {
        std::mt19937 random(seed);
        std::string text;
        const unsigned count = 20 + random() % 60;
        for (unsigned i = 0; i < count; ++i) {
            const std::string line =
                random() % 4 == 0 ? more[random() % std::size(more)] : lines[random() % std::size(lines)];
            // No control holds two programs of one number.
            if (line[0] != 'O' || text.find(line) == std::string::npos) text += line + "\n";
        }
        const auto states = [&](std::size_t blank) {
            const Program program(System::A, std::string(blank, '\n') + text);
            std::vector<machine::State> found;
            for (std::size_t line = blank; line < program.buffer.line_count(); ++line) {
                const std::size_t leaf = program.buffer.leaf_of_line(line);
                found.push_back(
                    program.analysis.before({leaf, line - program.buffer.first_line_of_leaf(leaf)}));
            }
            return found;
        };
        const std::vector<machine::State> whole = states(0);
        for (std::size_t blank : {7, 23, 31, 43, 50, 58, 63}) {
            INFO("seed " << seed << ", " << blank << " blank lines above\n" << text);
            const std::vector<machine::State> moved = states(blank);
            REQUIRE(moved.size() == whole.size());
            for (std::size_t i = 0; i < whole.size(); ++i)
                if (!(moved[i] == whole[i])) {
                    FAIL_CHECK("line " << i + 1);
                    break;
                }
        }
    }
}

TEST_CASE("a label that no jump leads to any more joins nothing") {
    // Jump and label in different runs, so that the label's run is not read again for its own sake.
    std::string filling;
    for (int i = 0; i < 200; ++i) filling += "M08\n";
    Program program(System::A,
                    "G00 X10.\nIF[#500 GT 2]GOTO 10\n" + filling + "X20.\nN10 M09\n" + filling + "M01$0");
    CHECK(program.before().x_radius.why == Why::joined);
    const text::Splice splice = program.buffer.replace({{1, 0}, {1, 100}}, "#101=1");
    program.forest.update(program.buffer, splice);
    program.analysis.update(program.forest, splice);
    CHECK(program.before().x_radius.is(10));
}

TEST_CASE("a jump that leads elsewhere has only its own run and those of its labels read again") {
    std::string filling;
    for (int i = 0; i < 80; ++i) filling += "G01 Z-1. F0.2\n";
    const std::string above = "G00 X10. Z0\n" + filling,
                      below = filling + "N10 X20.\n" + filling + "N20 X30.\n" + filling +
                              "#1=0\nWHILE[#1 LT 3]DO1\n#1=#1+1\nEND1\nM01";
    Program program(System::A, above + "IF[#500 GT 2]GOTO 10\n" + below);
    const Program fresh(System::A, above + "IF[#500 GT 2]GOTO 20\n" + below);
    const std::vector<machine::RunResultPointer> before = program.analysis.results();
    const text::Splice splice = program.buffer.replace({{81, 18}, {81, 19}}, "2");
    program.forest.update(program.buffer, splice);
    program.analysis.update(program.forest, splice);
    require_same(program.analysis, fresh.analysis, program.buffer.whole());
    // Neither what stands above the jump nor the loop at the end was read again.
    CHECK(program.analysis.result(0) == before.front());
    CHECK(program.analysis.results().back() == before.back());
}

TEST_CASE("a loop whose end pairs with another WHILE than before is read anew") {
    // The first WHILE stands in a run that no edit touches.
    std::string filling;
    for (int i = 0; i < 80; ++i) filling += "M08\n";
    const std::string above = "#1=0\n#2=0\nWHILE[#1 LT 9]DO2\n#1=#1+1\n" + filling;
    const std::string below = "WHILE[#2 LT 2]DO2\n#2=#2+1\nEND2\nX[#1+1]\nEND2\nM01$0\n" + filling;
    Program program(System::A, above + "WHILE[#1 LT 3]DO2\n" + below);
    const Program fresh(System::A, above + "M07\n" + below);
    const text::Splice splice = program.buffer.replace({{84, 0}, {84, 17}}, "M07");
    program.forest.update(program.buffer, splice);
    program.analysis.update(program.forest, splice);
    REQUIRE(program.buffer.whole() == fresh.buffer.whole());
    require_same(program.analysis, fresh.analysis, program.buffer.whole());
}

TEST_CASE("after every edit among loops and jumps the analysis is that of a fresh reading", "[property]") {
    const std::string some[] = {"WHILE[#1 LT 4]DO1",
                                "WHILE[#2 LT 3]DO2",
                                "WHILE[#3 LT #500]DO3",
                                "END1",
                                "END2",
                                "END3",
                                "#1=#1+1",
                                "#2=#2+1",
                                "DO2",
                                "N10 G00 X20.",
                                "N20 M08",
                                "N30 G40",
                                "IF[#1 LT 2]GOTO 10",
                                "O7",
                                "IF[#500 EQ 1]GOTO 20",
                                "GOTO 30",
                                "M99",
                                "M98 P7",
                                "#1=0",
                                "X#1",
                                "IF[#2 GT 1]GOTO 30",
                                "N10",
                                "#2=0"};
    unsigned seed = GENERATE(range(1u, 13u));
    std::mt19937 random(seed);
    const auto line = [&] { return random() % 4 ? "Z-1. F.1\n" : some[random() % std::size(some)] + "\n"; };
    std::string start;
    for (int i = 0; i < 250; ++i) start += line();
    text::Buffer buffer(start);
    syntax::Forest forest(buffer);
    machine::Analysis analysis;
    machine::Settings settings;
    analysis.rebuild(forest, settings, nullptr);
    for (int edit = 0; edit < 25; ++edit) {
        const auto at = static_cast<std::uint32_t>(random() % buffer.line_count());
        const std::uint32_t to = at + (random() % 9 == 0 ? random() % 70 : random() % 2);
        std::string with;
        for (unsigned i = random() % 3; i > 0; --i) with += line();
        const auto splice = buffer.replace({{at, 0}, {to, 0}}, with);
        forest.update(buffer, splice);
        analysis.update(forest, splice);
        const syntax::Forest fresh_forest(buffer);
        machine::Analysis fresh;
        fresh.rebuild(fresh_forest, settings, nullptr);
        INFO("seed " << seed << ", edit " << edit);
        require_same(analysis, fresh, buffer.whole());
    }
}

TEST_CASE("edits far apart, taken up as one, give what a fresh reading gives", "[property]") {
    std::string text = "G00 X10.\n";
    for (int i = 0; i < 2000; ++i) text += i % 50 ? "G01 Z-" + std::to_string(i) + ".\n" : "N5 M01\n";
    Program program(System::A, text);
    std::mt19937 random(11);
    for (int round = 0; round < 40; ++round) {
        text::Splice all{};
        for (int edit = 0; edit < 4; ++edit) {
            const auto line = static_cast<std::uint32_t>(random() % program.buffer.line_count());
            const char* with[] = {"X20.\n", "M08 ", "G91\n", "", "N7 GOTO 5\n"};
            const std::uint32_t lines = random() % 3 ? 0 : static_cast<std::uint32_t>(random() % 90);
            const text::Splice one =
                program.buffer.replace({{line, 0}, {line + lines, 0}}, with[random() % 5]);
            // The splice that covers both.
            if (edit == 0) {
                all = one;
                continue;
            }
            const std::size_t first = std::min(all.first, one.first);
            const std::size_t end = std::max(all.first + all.inserted, one.first + one.removed);
            all = {first, end - first - all.inserted + all.removed, end - first - one.removed + one.inserted};
        }
        program.forest.update(program.buffer, all);
        program.analysis.update(program.forest, all);
        const Program fresh(System::A, program.buffer.whole());
        // Leaves may be cut otherwise: compare by lines.
        for (std::size_t line = 0; line < program.buffer.line_count(); line += 7) {
            const auto place = [line](const text::Buffer& buffer) {
                const std::size_t leaf = buffer.leaf_of_line(line);
                return machine::BlockPlace{leaf, line - buffer.first_line_of_leaf(leaf)};
            };
            REQUIRE(program.analysis.before(place(program.buffer)) ==
                    fresh.analysis.before(place(fresh.buffer)));
        }
        REQUIRE(program.analysis.label_counts() == fresh.analysis.label_counts());
    }
}

TEST_CASE("after every edit the analysis is that of a fresh reading", "[property]") {
    bool with_flow = GENERATE(false, true);
    unsigned seed = GENERATE(range(1u, 5u));
    std::mt19937 random(seed * 2 + (with_flow ? 1 : 0));
    auto line = [&] {
        for (;;) {
            std::string text = lines[random() % std::size(lines)];
            bool flow = text.find_first_of("#O") != std::string::npos ||
                        text.find("GOTO") != std::string::npos || text.find("M9") != std::string::npos ||
                        text.find("END") != std::string::npos || text.find("G65") != std::string::npos;
            if (with_flow || !flow) return text + "\n";
        }
    };
    std::string start;
    for (int i = 0; i < 300; ++i) start += line();
    text::Buffer buffer(start);
    syntax::Forest forest(buffer);
    machine::Analysis analysis;
    machine::Settings settings;
    analysis.rebuild(forest, settings, nullptr);
    for (int edit = 0; edit < 15; ++edit) {
        std::uint32_t at = random() % static_cast<std::uint32_t>(buffer.line_count());
        std::uint32_t to = at + (random() % 4 == 0 ? random() % 80 : random() % 2);
        std::string with;
        for (unsigned i = random() % 3; i > 0; --i) with += line();
        auto splice = buffer.replace({{at, 0}, {to, 0}}, with);
        forest.update(buffer, splice);
        analysis.update(forest, splice);
        syntax::Forest fresh_forest(buffer);
        machine::Analysis fresh;
        fresh.rebuild(fresh_forest, settings, nullptr);
        require_same(analysis, fresh, buffer.whole());
    }
}
