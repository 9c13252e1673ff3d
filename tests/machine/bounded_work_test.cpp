// Work and memory grow with the text and with nothing else: counted here, of one text and one of twice its
// length.
#include "machine/course.h"
#include "machine/followed.h"
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

namespace {
std::string moves(int lines) {
    return repeated(lines, [](int i) { return i % 2 ? "X3.Z-4.\n" : "X9.Z-3.\n"; });
}
/// Ways of a text to have its blocks evaluated again and again.
struct Sort {
    const char* name;
    std::function<std::string(int)> unit;
    std::string behind = {}; ///< Called programs
};
const std::vector<Sort>& sorts_of_flow() {
    static const std::string jumping = "O2\n" +
                                       repeated(8,
                                                [](int i) {
                                                    return "IF[#" + number(500 + i) + "GT1]GOTO" + number(i) +
                                                           "\nG1X1.F.1\nN" + number(i) + "X1.\n";
                                                }) +
                                       "M99\n";
    static const auto unknown = [](int i) { return "WHILE[#501LT5]DO" + number(i) + "\n"; };
    static const auto back_to = [](int i, int label) {
        return "N" + number(i) + "X3.\n#501=#501+1\n" + moves(6) + "IF[#501LT5]GOTO" +
               number(std::max(1, label)) + "\n";
    };
    static const std::vector<Sort> sorts = {
        {"loops in loops",
         [](int) {
             return unknown(1) + unknown(2) + unknown(3) + "#501=#501+1\n" + moves(5) + "END3\nEND2\nEND1\n";
         }},
        {"loops that turn often",
         [](int) { return "#1=0\nWHILE[#1LT9]DO1\n#1=#1+1\nX3.\nEND1\n" + moves(5); }},
        {"loops of many variables",
         [](int i) {
             return "WHILE[#" + number(i % 40 + 500) + "LT5]DO1\n#" + number(i % 900 + 100) + "=#" +
                    number(i % 800 + 100) + "+1\nEND1\n" + moves(7);
         }},
        {"loops behind a block delete",
         [](int) { return "/" + unknown(1) + "/#501=#501+1\n/END1\n/M98P2\n" + moves(9); }, jumping},
        {"loops without an end", [](int) { return unknown(1) + moves(7); }},
        {"jumps back", [](int i) { return back_to(i, i); }},
        {"jumps back that cross", [](int i) { return back_to(i, i - 12); }},
        {"jumps back to the top", [](int i) { return back_to(i, 1); }},
        {"jumps onward",
         [](int i) { return "IF[#1GT5]GOTO" + number(i) + "\n" + moves(4) + "N" + number(i) + "X3.\n"; }},
        {"jumps anywhere",
         [](int i) {
             return "#" + number(i % 900 + 100) + "=1\nGOTO#" + number(i % 40 + 500) + "\nN" + number(i) +
                    "X3.\n" + moves(3);
         }},
        {"calls", [](int) { return "M98P2\n" + moves(5); }, jumping},
        {"calls with arguments", [](int i) { return "G65P2A" + number(i % 9) + "\n" + moves(5); }, jumping},
        {"calls by each move", [](int) { return "G66P2A1.\n" + moves(2) + "G67\n" + moves(8); }, jumping},
        {"programs that call the one above",
         [](int i) { return "O" + number(i + 2) + "\nM98P" + number(i + 1) + "\n" + moves(8) + "M99\n"; }},
        {"a bit of each",
         [](int i) -> std::string {
             switch (i % 5) {
             case 0:
                 return "G66P2A1.\nX3.\nG67\n" + moves(9);
             case 1:
                 return back_to(i, i);
             case 2:
                 return unknown(1) + "#501=#501+1\nX3.\nEND1\n" + moves(7);
             case 3:
                 return "M98P2\n#" + number(i % 900 + 100) + "=1\n" + moves(4);
             default:
                 return "IF[#1GT5]GOTO" + number(i) + "\n" + moves(4) + "N" + number(i) + "X3.\n";
             }
         },
         jumping}};
    return sorts;
}
} // namespace

TEST_CASE("what a text may have evaluated again is counted before, and bounded") {
    for (const Sort& sort : sorts_of_flow())
        for (const int units : {300, 1500}) {
            INFO(sort.name << ", " << units);
            const std::size_t before = machine::special_blocks_evaluated();
            const Program program(System::A,
                                  "O1\nG21 G99\n" + repeated(units, sort.unit) + "M30\n" + sort.behind);
            const std::size_t evaluated = machine::special_blocks_evaluated() - before;
            std::size_t blocks = 0;
            for (std::size_t run = 0; run < program.forest.size(); ++run)
                blocks += program.forest.run(run)->blocks.size();
            const machine::Plan& plan = *program.analysis.course().body.plan;
            CHECK(plan.work <= 600'000);
            CHECK(evaluated <= 2 * blocks + 3 * plan.work);
        }
}

TEST_CASE(
    "a course that costs too much is followed to the same block whatever was edited, and unknown behind") {
    const auto unit = [](int i) {
        return "N" + number(i) + "G01X" + number(i % 90) + ".F.1\n#501=#501+1\n" + moves(6) +
               "IF[#501LT5]GOTO" + number(std::max(1, i - 12)) + "\n";
    };
    const std::string whole =
        "O1\nG21 G99\nG00 X10. Z5.\nN9999 G97 S500 M03\n" + repeated(1500, unit) + "GOTO9999\nM30\n";
    const auto line_of = [](const Program& program, machine::BlockPlace place) {
        for (std::size_t run = 0; run < place.run; ++run)
            place.block += program.forest.run(run)->blocks.size();
        return place.block;
    };
    const auto place_of = [](const Program& program, std::size_t line) {
        const std::size_t run = program.buffer.leaf_of_line(line);
        return machine::BlockPlace{run, line - program.buffer.first_line_of_leaf(run)};
    };
    Program program(System::A, whole);
    const auto end = machine::end_of_following(program.analysis);
    REQUIRE(end);
    const std::size_t line = line_of(program, *end);
    CHECK(line > 4000);
    CHECK(line < 1500 * 9);
    CHECK(program.analysis.before(*end).x_radius.why == machine::Why::cut_short);
    CHECK(program.analysis.before({end->run + 5, 7}).feed.why == machine::Why::cut_short);
    // What jumps back from there may bring anything.
    CHECK_FALSE(program.analysis.after({0, 3}).x_radius.known());
    CHECK(program.analysis.before({end->run - 1, 0}).reachable);
    // Half of it is followed as a whole.
    CHECK_FALSE(machine::end_of_following(Program(System::A, repeated(700, unit)).analysis));

    const auto edit = [&](text::Range range, const char* text) {
        const text::Splice splice = program.buffer.replace(range, text);
        program.forest.update(program.buffer, splice);
        program.analysis.update(program.forest, splice);
        const Program fresh(System::A, program.buffer.whole());
        const auto now = machine::end_of_following(program.analysis);
        const auto anew = machine::end_of_following(fresh.analysis);
        REQUIRE(now.has_value() == anew.has_value());
        if (now) CHECK(line_of(program, *now) == line_of(fresh, *anew));
        for (std::size_t at = 3; at < program.buffer.line_count(); at += 397)
            CHECK(program.analysis.before(place_of(program, at)) ==
                  fresh.analysis.before(place_of(fresh, at)));
        return now ? line_of(program, *now) : 0;
    };
    CHECK(edit({{300, 0}, {300, 0}}, "X3.\nX2.\n(NOTE)\n") == line + 3); // Runs begin elsewhere behind it
    CHECK(edit({{300, 0}, {303, 0}}, "") == line);
    CHECK(edit({{9, 0}, {3000, 0}}, "X3.\n") > 0);
    CHECK(edit({{9, 0}, {7000, 0}}, "X3.\n") == 0); // Short enough again
}
