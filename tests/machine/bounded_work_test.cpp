// Work and memory grow with the text and with nothing else: counted here, of one text and one of twice its
// length.
#include "machine/course.h"
#include "machine/program.h"

#include <catch2/catch.hpp>
#include <functional>

using namespace turnwright;
using codes::System;

namespace {
std::string repeated(int times, const std::function<std::string(int)>& block) {
    std::string text;
    for (int i = 1; i <= times; ++i) text += block(i);
    return text;
}

std::string number(int i) {
    return std::to_string(i);
}
} // namespace

TEST_CASE("programs that come back to labels of a caller are joined where such labels stand") {
    const auto targets = [](int programs, const char* label) {
        const Program program(System::A, repeated(programs, [&](int i) {
                                  return "O" + number(i) + "\n" + label + "M99 P" + number(i) + "\n";
                              }));
        return program.analysis.course().body.plan->targets.size();
    };
    CHECK(targets(300, "") == 0);
    CHECK(targets(300, "N7\n") == 300);
    CHECK(targets(600, "N7\n") == 600);
    // And there they are.
    CHECK(Program(System::A,
                  "O1\nG00 X10. Z5.\nM98 P2\nX20.\nN7 Z1.$0\nM30\nO2\nIF[#500GT1]GOTO5\nM99 P7\nN5 M99")
              .before()
              .x_radius.why == machine::Why::joined);
}

namespace {
std::size_t loops_of(const std::string& text) {
    const Program program(System::A, text);
    const auto& loops = program.analysis.course().body.plan->loops;
    return static_cast<std::size_t>(
        std::count_if(loops.begin(), loops.end(), [](const machine::Loop& loop) { return loop.runs; }));
}
} // namespace

TEST_CASE("loops in loops are followed as deep as a program can mean them") {
    const auto loops = [](int depth) {
        return loops_of(repeated(depth, [](int) { return "DO1\n"; }) + "G01 X1.\n" +
                        repeated(depth, [](int) { return "END1\n"; }));
    };
    CHECK(loops(3) == 3);
    CHECK(loops(32) == 32);
    CHECK(loops(400) == 32);
    const auto jumped = [](int depth) {
        return loops_of(
            repeated(depth, [](int i) { return "N" + number(i) + " #1=#1+1\n"; }) + "G01 X1.\n" +
            repeated(depth, [=](int i) { return "IF[#1LT9]GOTO" + number(depth + 1 - i) + "\n"; }));
    };
    CHECK(jumped(3) == 3);
    CHECK(jumped(400) == 32);
}

TEST_CASE("every loop that is opened or closed twice, crossed or left open is told") {
    const auto problems = [](const std::string& text) {
        const Program program(System::A, text);
        std::string told;
        for (const auto& placed : program.analysis.flow_problems())
            told += number(static_cast<int>(placed.problem.kind)) + "@" + number(placed.problem.block) + " ";
        return told;
    };
    using machine::ProblemKind;
    const auto kind = [](ProblemKind problem, int block) {
        return number(static_cast<int>(problem)) + "@" + number(block) + " ";
    };
    CHECK(problems("DO1\nDO2\nEND2\nEND1\n").empty());
    CHECK(problems("DO1\nDO2\nEND1\nEND2\n") == kind(ProblemKind::loops_cross, 2));
    CHECK(problems("DO1\nDO1\nEND1\nEND1\nEND1\n") ==
          kind(ProblemKind::loops_cross, 1) + kind(ProblemKind::loop_not_opened, 4));
    CHECK(problems("DO1\nDO2\nDO3\nDO1\nEND3\n") ==
          kind(ProblemKind::loops_cross, 3) + kind(ProblemKind::nesting_too_deep, 3) +
              kind(ProblemKind::loops_cross, 4) + kind(ProblemKind::loop_not_closed, 0) +
              kind(ProblemKind::loop_not_closed, 1) + kind(ProblemKind::loop_not_closed, 3));
}

TEST_CASE("who asks for the blocks of a run in order has each read once") {
    for (const char* text : {"G01 X1. F0.1\n", "M98 P2\n", "#1=#1+1\n"}) {
        INFO(text);
        const Program program(System::A, repeated(64, [&](int) { return text; }) + "M30\nO2\nM99\n");
        const std::size_t begin = machine::blocks_visited();
        for (std::size_t block = 0; block < 64; ++block) {
            const machine::State before = program.analysis.before({0, block});
            const machine::State after = program.analysis.after({0, block});
            // The same as when each is asked for alone.
            machine::Analysis::Passed passed;
            program.analysis.visit_span({0, block}, {0, block}, passed, [&](const machine::BlockView& view) {
                CHECK(view.before == before);
                CHECK(view.after == after);
            });
        }
        constexpr std::size_t asked_alone = 64 * 65 / 2;
        CHECK(machine::blocks_visited() - begin == asked_alone + 64);
    }
}

TEST_CASE("a block is asked for anew when the text, the program or the way of reading is another") {
    using machine::Assumed;
    Program program(System::A, "G00 X10.\nZ5.\nX20.\n");
    CHECK(program.analysis.before({0, 2}).x_radius.is(5));
    Program other(System::A, "G00 X30.\nZ5.\nX20.\n");
    CHECK(other.analysis.before({0, 2}).x_radius.is(15));
    CHECK(program.analysis.before({0, 2}).x_radius.is(5));
    CHECK(program.analysis.before({0, 1}).z.surely_unset());
    const text::Splice splice = program.buffer.replace({{0, 5}, {0, 6}}, "4");
    program.forest.update(program.buffer, splice);
    program.analysis.update(program.forest, splice);
    CHECK(program.analysis.before({0, 1}).x_radius.is(20));
    const auto units = [&](Assumed assumed) {
        return program.analysis.before({0, 1}, assumed).of(codes::Group::units).is_assumed();
    };
    CHECK_FALSE(units(Assumed::left_out));
    const bool taken = units(Assumed::taken);
    CHECK_FALSE(units(Assumed::left_out));
    CHECK(units(Assumed::taken) == taken);
}

TEST_CASE("states that are alike are held once") {
    const Program calls(System::A, repeated(50, [](int) { return "M98 P4711\n"; }));
    const auto& left = calls.analysis.result(0)->calls;
    REQUIRE(left.size() == 50);
    for (const machine::CallLeft& call : left) CHECK(call.state == left[1].state);
}

TEST_CASE("blocks of runs that jump, loop or call are evaluated once, those of a loop until it settles") {
    const std::string moves = "X3. Z-4.\nX9. Z-3.\nX3. Z-4.\nX9. Z-3.\n";
    const auto jump_back = [&](int i) {
        return "N" + number(i) + " #1=#1+1\nIF[#1LT5]GOTO" + number(i) + "\n" + moves;
    };
    const auto call = [&](int) { return "G66 P9000 A1.\nX3.\nG67\n" + moves + moves; };
    const auto jump_on = [&](int i) {
        return "IF[#1GT5]GOTO" + number(i) + "\n" + moves + "N" + number(i) + " X3.\n";
    };
    const auto loop = [&](int) { return "WHILE[#1LT5]DO1\n#1=#1+1\nX3.\nEND1\n" + moves; };
    const auto unknown = [&](int) { return "WHILE[#501LT5]DO1\n#501=#501+1\nX3.\nEND1\n" + moves; };
    // Behind a call the locals are not known, so that loops are joined.
    const auto mixed = [&](int i) {
        return i % 4 == 0 ? call(i) : i % 4 == 1 ? jump_on(i) : i % 4 == 2 ? loop(i) : jump_back(i);
    };
    struct Sort {
        const char* name;
        std::function<std::string(int)> unit;
        double most; ///< Evaluations a block
    };
    for (const Sort& sort :
         {Sort{"jumps back", jump_back, 1.1}, Sort{"calls", call, 1.1}, Sort{"jumps onward", jump_on, 1.1},
          Sort{"loops", loop, 1.1}, Sort{"loops of unknown length", unknown, 2.5}, Sort{"mixed", mixed, 2.2}})
        for (const int units : {400, 800}) {
            INFO(sort.name << ", " << units);
            const std::size_t before = machine::special_blocks_evaluated();
            const Program program(System::A, "#1=0\n" + repeated(units, sort.unit));
            const std::size_t evaluated = machine::special_blocks_evaluated() - before;
            const auto& special = program.analysis.course().body.plan->special;
            std::size_t blocks = 0;
            for (std::size_t run = 0; run < special.size(); ++run)
                if (special[run]) blocks += program.forest.run(run)->blocks.size();
            CHECK(blocks > 2000);
            CHECK(static_cast<double>(evaluated) <= sort.most * static_cast<double>(blocks));
            CHECK(evaluated >= blocks);
        }
}

TEST_CASE("an END that loses its WHILE leaves the other loops as they are") {
    const auto unit = [](int) {
        return "#1=0\nWHILE[#1LT5]DO1\n#1=#1+1\nX3.\nEND1\n#1=0\nG00 X5. Z5.\nX9.\n";
    };
    const auto text = [&](const char* end) {
        return repeated(400, unit) + "WHILE[#1LT5]DO1\n#1=#1+1\nX3.\n" + end + "\n#1=0\nG00 X5. Z5.\n" +
               repeated(400, unit) + "M30\n";
    };
    Program program(System::A, text("END1"));
    const std::uint32_t line = 400 * 8 + 3;
    for (const char* end : {"END7", "END1", "END2", "END1"}) {
        INFO(end);
        const std::size_t before = machine::special_blocks_evaluated();
        const text::Splice splice = program.buffer.replace({{line, 0}, {line, 4}}, end);
        program.forest.update(program.buffer, splice);
        program.analysis.update(program.forest, splice);
        CHECK(machine::special_blocks_evaluated() - before < 640); // Some runs of 64
        const Program fresh(System::A, text(end));
        REQUIRE(fresh.analysis.size() == program.analysis.size());
        for (std::size_t run = 0; run < fresh.analysis.size(); ++run) {
            CHECK(fresh.analysis.result(run)->in == program.analysis.result(run)->in);
            CHECK(fresh.analysis.result(run)->out == program.analysis.result(run)->out);
        }
    }
}
