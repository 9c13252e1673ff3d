// Results after any edit are the results of a fresh check of the same text.
#include "checks/edited_program.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

constexpr std::string_view inserted[] = {
    "G01 Z-5.\n",
    "G96 S200 M03\n",
    "G50 S2500\n",
    "T0404\n",
    "N7 (NEW SEQUENCE)\n",
    "M30\n",
    "(TURNWRIGHT: ACCEPT feed_missing, decimal_point_missing)\n",
    "(TURNWRIGHT: ACCEPT IN FILE units_missing)\n",
    "X52\n",
    "G71 P101 Q102 U0.4 W0.1 F0.28\n",
    "N102 G01 Z-90.\n",
    "GOTO 5\n",
    "G41 X20. ,R2.\n",
    "O0009\n",
    "M98 P0009\n",
    "\n",
    "(",
    "%\n",
    "M99\n",
    "#100=#101+1.\n",
    "G91\n",
    "G98 F100\n",
};

} // namespace

TEST_CASE("after random edits the results are those of a fresh check") {
    std::string whole;
    for (int i = 0; i < 4; ++i)
        whole += example_file("pump-shaft.nc") + example_file("pump-shaft-faulty.nc") +
                 example_file("wear-bushing.nc");
    std::mt19937 random(20261125);
    auto up_to = [&](std::size_t most) {
        return std::uniform_int_distribution<std::size_t>(0, most)(random);
    };
    Edited program(whole, std::make_shared<EmptyLibrary>());
    for (int edit = 0; edit < edits(150); ++edit) {
        std::size_t line = up_to(program.buffer.line_count() - 1);
        text::Range range;
        range.begin = {static_cast<std::uint32_t>(line),
                       static_cast<std::uint32_t>(up_to(4) == 0 ? up_to(8) : 0)};
        range.end = {static_cast<std::uint32_t>(line + up_to(2)), 0};
        if (range.end < range.begin) range.end = range.begin;
        std::string_view with = inserted[up_to(std::size(inserted) - 1)];
        program.replace(range, with);
        const Fresh fresh(program);
        INFO("edit " << edit << " at line " << line + 1 << ": " << with);
        REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
    }
}

TEST_CASE("lines of cuts that come and go move the sequences behind them") {
    // One program, so that nothing but the cuts changes its course.
    Edited program(one_program({"pump-shaft.nc", "wear-bushing.nc"}, 6));
    std::mt19937 random(7);
    int moved = 0;
    for (int edit = 0; edit < edits(400); ++edit) {
        const auto line = static_cast<std::uint32_t>(random() % program.buffer.line_count());
        const std::uint32_t taken = random() % 3 == 0 ? static_cast<std::uint32_t>(1 + random() % 2) : 0;
        constexpr std::string_view cuts[] = {"G01 X30. F0.2\n", "\n", "Z-4.\nX31.\n", "G00 X90. Z5.\n", ""};
        program.replace({{line, 0}, {line + taken, 0}}, cuts[random() % std::size(cuts)]);
        moved += program.analysis.kept().shift.has_value();

        const Fresh fresh(program);
        INFO("edit " << edit << " at line " << line + 1);
        REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
        REQUIRE(places(program.results.outline()) == places(fresh.results.outline()));
    }
    CHECK(moved > edits(20));
}

TEST_CASE("keys in a block leave what was found in the others of its run, where they stand now", "[long]") {
    // Faults all over, so that there is something before and behind every key.
    Edited program(one_program({"pump-shaft-faulty.nc", "pump-shaft.nc", "wear-bushing.nc"}, 4));
    std::mt19937 random(1126);
    std::size_t in_part = 0, kept_findings = 0;
    for (int edit = 0; edit < edits(1500); ++edit) {
        const auto line = static_cast<std::uint32_t>(random() % program.buffer.line_count());
        const std::string_view text = program.buffer.line(line);
        if (text.empty()) continue;
        const auto column = static_cast<std::uint32_t>(random() % text.size());
        constexpr std::string_view keys[] = {"1",  "0",      "9",      ".",        "",      " ",     "-", "X",
                                             "F.", " F0.28", " ,C1.5", "X52 Z-3.", " G00 ", " G41 ", "("};
        const std::uint32_t end = column + static_cast<std::uint32_t>(random() % 2);
        program.replace({{line, column}, {line, end}}, keys[random() % std::size(keys)]);
        for (const machine::Analysis::Changed& changed : program.analysis.kept().changed) {
            const std::size_t blocks = program.forest.run(changed.run)->blocks.size();
            if (changed.end - changed.first > blocks / 2) continue;
            ++in_part;
            for (const Results::Placed& placed : program.results.in_run(changed.run))
                kept_findings += placed.finding->block >= changed.end;
        }
        const Fresh fresh(program);
        INFO("edit " << edit << " at line " << line + 1 << ": " << program.buffer.line(line));
        REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
    }
    CHECK(in_part > static_cast<std::size_t>(edits(400)));
    CHECK(kept_findings > static_cast<std::size_t>(edits(500)));
}

TEST_CASE("a cycle sees every key in its contour, however far below or above it stands in its run") {
    enum class Place { above, finish_below, below, below_a_border };
    const Place place = GENERATE(Place::above, Place::finish_below, Place::below, Place::below_a_border);
    std::string contour = "N101 G00 X20.\n";
    for (int i = 1; i < 30; ++i) contour += (i == 1 ? "G01 Z-" : "Z-") + std::to_string(i) + ".\n";
    contour += "N102 X60.\n";
    const std::string cycle =
        place == Place::finish_below ? "G70 P101 Q102\n" : "G71 U2. R1.\nG71 P101 Q102 U0.4 W0.1 F0.28\n";
    const std::string lead(place == Place::below_a_border ? 50 : 0, '\n'), gap(20, '\n');
    Edited program("%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X62. Z2.\n" + lead +
                   (place == Place::above ? cycle + contour : contour + gap + cycle) +
                   "G00 X90.\nZ90.\nM30\n%\n");
    const auto leaf_of = [&](std::string_view text) {
        std::uint32_t line = 0;
        while (program.buffer.line(line) != text) ++line;
        return program.buffer.leaf_of_line(line);
    };
    REQUIRE(program.buffer.leaf_count() == (lead.empty() ? 1 : 2));
    REQUIRE(leaf_of("N101 G00 X20.") == 0);
    REQUIRE(leaf_of("Z-9.") == (lead.empty() ? 0 : 1));
    std::set<std::string> seen;
    const auto first = static_cast<std::uint32_t>(8 + lead.size());
    for (std::uint32_t line = first; line < program.buffer.line_count() - 5; ++line) {
        const std::string was(program.buffer.line(line));
        for (const std::string& with : {std::string("Z-40."), std::string("Z-15. X70."), std::string("M08"),
                                        std::string("T0505"), was}) {
            program.replace(program.whole_line(line), with);
            const Fresh fresh(program);
            INFO("line " << line + 1 << ": " << with);
            const std::string now = listing(program.buffer, program.results);
            REQUIRE(now == listing(program.buffer, fresh.results));
            seen.insert(now);
        }
    }
    CHECK(seen.size() > 20);
}

TEST_CASE("keys at once in a contour and in the run of its cycle, far from the cycle") {
    const std::string head = "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X62. Z2.\n";
    const std::string cycle = "G71 U2. R1.\nG71 P101 Q102 U0.4 W0.1 F0.28\nN101 G00 X20.\n";
    const std::string contour = "G01 Z-10.\nX30.\nZ-20.\nN102 X60.\n";
    std::set<std::string> seen;
    for (const bool over_border : {false, true}) {
        // The contour ends in the second run, or lies in the first with the cycle of the other.
        const std::string fill(text::Buffer::target_lines - (over_border ? 10 : 20), '\n');
        Edited program(head + fill + cycle + contour + std::string(60, '\n') +
                       (over_border ? "" : "G70 P101 Q102\n") + "G00 X90.\nZ90.\nM30\n%\n");
        REQUIRE(program.buffer.leaf_count() == 2);
        const auto line = static_cast<std::uint32_t>(6 + fill.size() + 3 + 2); // Z-20.
        REQUIRE(program.buffer.line(line) == "Z-20.");
        REQUIRE((program.buffer.leaf_of_line(line) == 1) == over_border);
        const std::uint32_t far = over_border ? 8 : text::Buffer::target_lines + 10;
        for (int edit = 0; edit < 8; ++edit) {
            program.replace_both(line, edit % 2 ? "Z-5." : "Z-20.", far, "(" + std::to_string(edit) + ")");
            const Fresh fresh(program);
            INFO("edit " << edit << (over_border ? ", over the border" : ""));
            const std::string now = listing(program.buffer, program.results);
            REQUIRE(now == listing(program.buffer, fresh.results));
            seen.insert(now);
        }
    }
    CHECK(seen.size() > 2);
}

TEST_CASE("keys in two runs at once, one of them far from the border that the other is seen across") {
    constexpr std::string_view head =
        "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X20. Z5.\nG01 F0.2\n";
    const std::size_t head_lines = static_cast<std::size_t>(std::count(head.begin(), head.end(), '\n'));
    constexpr std::string_view lengths[] = {"Z3.", "Z-10. ,C4.", "Z-10."};
    constexpr std::string_view last[] = {"Z-30.", "Z-11."};
    std::set<std::string> seen;
    for (std::size_t before_border : {1u, 2u}) { // Lines of the corner's three in the first run
        const std::size_t fill = text::Buffer::target_lines - head_lines - before_border;
        const auto first_line = static_cast<std::uint32_t>(head_lines + fill);
        Edited program(std::string(head) + std::string(fill, '\n') + std::string(lengths[2]) +
                       "\nX30. ,C3.\n" + std::string(last[0]) + "\nG00 X40.\nZ5.\n" + std::string(50, '\n') +
                       "M30\n%\n");
        REQUIRE(program.buffer.leaf_count() == 2);
        for (int edit = 0; edit < 24; ++edit) {
            const std::string far = "(" + std::to_string(edit) + ")";
            // The other is a note near the top of the first run, or near the bottom of the second.
            if (edit / 6 % 2)
                program.replace_both(10, far, first_line + 2, last[edit % 2]);
            else
                program.replace_both(first_line, lengths[edit % 3], first_line + 40, far);
            const Fresh fresh(program);
            INFO(before_border << " lines above the border, edit " << edit);
            const std::string now = listing(program.buffer, program.results);
            REQUIRE(now == listing(program.buffer, fresh.results));
            seen.insert(now);
        }
    }
    CHECK(seen.size() == 3); // Either corner does not fit, or both do
}

TEST_CASE("a compensated corner at a sequence's end sees the move beyond it") {
    const shop::Shop tools = shop::parse_shop(
        "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\n",
        "turnwright.toml");
    constexpr std::string_view head = "%\nO1\nG21 G18 G40 G80 G99\nN3 (FINISH)\nT0303\nG97 S400 M03\n";
    constexpr std::string_view end = "G42 G00 X20. Z2.\nG01 F0.1 Z-30. ,R0.4\n";
    // A corner of its own with the move behind the sequence, or none.
    constexpr std::string_view next[] = {"X30.\n", "Z-40.\n"};
    const std::size_t lines = static_cast<std::size_t>(std::count(head.begin(), head.end(), '\n') +
                                                       std::count(end.begin(), end.end(), '\n'));
    std::size_t with = 0, without = 0;
    for (std::size_t behind = 0; behind < 6; ++behind) {
        // So many lines of what belongs together stand behind the border of two runs.
        const std::string fill(text::Buffer::target_lines + behind - lines - 2, '\n');
        Edited program(std::string(head) + fill + std::string(end) + "N4 (GO ON)\n\n" + std::string(next[1]) +
                           "G00 G40 X90.\nZ5.\nT0404\n" + std::string(60, '\n') + "M30\n%\n",
                       nullptr, tools);
        const auto moved = static_cast<std::uint32_t>(text::Buffer::target_lines + behind);
        REQUIRE(program.buffer.line(moved) == next[1].substr(0, next[1].size() - 1));
        for (int round = 0; round < 4; ++round) {
            program.replace({{moved, 0}, {moved + 1, 0}}, next[round % 2]);
            const Fresh fresh(program);
            INFO(behind << " lines behind the border, round " << round);
            REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
            const auto shown = program.results.all();
            const bool found = std::any_of(shown.begin(), shown.end(), [](const Results::Placed& placed) {
                return placed.finding->check->id == "arc_smaller_than_radius";
            });
            (found ? with : without) += 1;
        }
    }
    CHECK(with >= 6);
    CHECK(without >= 6);
}

TEST_CASE("corners on either side of a run's border see what is written beyond it now") {
    // Three moves with two corners, so near to the border of two runs that it falls between any two of them.
    // The second corner fits between its moves if the first leaves it room and the third move is long enough.
    constexpr std::string_view head =
        "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X20. Z5.\nG01 F0.2\n";
    constexpr std::string_view first[] = {"Z-10.\n", "Z-10. ,C1.\n", "Z-10. ,C4.\n", "Z-10. ,R4.\n"};
    constexpr std::string_view last[] = {"Z-30.\n", "Z-11.\n", "G00 Z-30.\n"};
    const std::size_t head_lines = static_cast<std::size_t>(std::count(head.begin(), head.end(), '\n'));
    std::size_t found_with_room = 0, found_without = 0;
    for (std::size_t gap = 0; gap < 8; ++gap)
        for (std::size_t border = 0; border <= 2 * gap + 4; ++border) {
            // The last time all of them stand in one run, far from its end.
            const std::size_t before_border = border <= 2 * gap + 3 ? border : border + 20;
            // The line of the first move is so many lines above the border.
            const std::size_t fill = text::Buffer::target_lines - head_lines - before_border;
            const std::uint32_t first_line = static_cast<std::uint32_t>(head_lines + fill);
            const std::uint32_t last_line = first_line + 2 * static_cast<std::uint32_t>(gap) + 2;
            const std::string blank(gap, '\n');
            Edited program(std::string(head) + std::string(fill, '\n') + std::string(first[0]) + blank +
                           "X30. ,C3.\n" + blank + std::string(last[0]) + "G00 X40.\nZ5.\n" +
                           std::string(60, '\n') + "M30\n%\n");
            REQUIRE(program.buffer.leaf_count() == 2);
            const auto put = [&](std::uint32_t line, std::string_view with) {
                program.replace({{line, 0}, {line + 1, 0}}, with);
                const Fresh fresh(program);
                INFO("gap " << gap << ", " << before_border << " lines above the border, line " << line + 1
                            << ": " << with);
                REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
                const auto shown = program.results.all();
                return std::count_if(shown.begin(), shown.end(), [](const Results::Placed& placed) {
                    return placed.finding->check->id == "corner_does_not_fit";
                });
            };
            // Each changes while the other leaves room for the corner, and while it does not.
            for (const std::string_view other : last) {
                put(last_line, other);
                for (const std::string_view one : first)
                    (put(first_line, one) ? found_without : found_with_room) += 1;
            }
            for (const std::string_view one : first) {
                put(first_line, one);
                for (const std::string_view other : last)
                    (put(last_line, other) ? found_without : found_with_room) += 1;
            }
            // Where the first move comes from stands far above.
            put(last_line, last[0]);
            put(first_line, "Z-10. ,C4.\n");
            for (const std::string_view from : {"G00 X20. Z-8.\n", "G00 X20. Z5.\n"}) put(5, from);
        }
    // Both happen, or the comparison shows nothing.
    CHECK(found_with_room > 50);
    CHECK(found_without > 50);
}

TEST_CASE("times and findings follow edits near the borders of runs") {
    // Corners and cycles of two lines, with up to 14 lines between what belongs together, so that run borders
    // fall into them.
    std::string text = "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X40. Z5.\n";
    for (int i = 0; i < 40; ++i) {
        const auto gap = [&](int lines) { return std::string(static_cast<std::size_t>(lines), '\n'); };
        text += "G76 P010060 Q100 R0.05\n" + gap(i % 15) + "G76 X26.1 Z-30. P1900 Q400 F3.\n";
        text += "G00 X40. Z5.\nG01 Z0. F0.2\nX20. ,C" + std::to_string(i % 4) + ".\n" + gap(i % 7) + "Z-" +
                std::to_string(2 + i % 3) + ".\nX40. ,R1.\nZ-20.\nG00 X42.\nZ5.\n";
        text += "G74 R1.\n(PECKS)\n" + gap(i % 11) + "G74 Z-40. Q" + std::to_string(i % 2 * 5000) + " F0.1\n";
    }
    text += "G00 X100. Z100.\nM30\n%\n";
    std::mt19937 random(16);
    Edited program(text);
    motion::Times times;
    times.rebuild(program.analysis);
    for (int edit = 0; edit < edits(500); ++edit) {
        // Mostly beside a border.
        const std::size_t leaf = random() % program.buffer.leaf_count();
        const std::size_t near = program.buffer.first_line_of_leaf(leaf) + random() % 36;
        const auto line =
            static_cast<std::uint32_t>(near < 18 ? 8 : std::min(near - 18, program.buffer.line_count() - 4));
        const std::uint32_t taken = random() % 2;
        constexpr std::string_view lines[] = {"",       "\n",         "X18. ,C1.5\n",           "G00 X40.\n",
                                              "Z-3.\n", "G74 R0.5\n", "G76 P020000 Q50 R0.02\n"};
        const text::Splice splice =
            program.replace({{line, 0}, {line + taken, 0}}, lines[random() % std::size(lines)]);
        times.update(program.analysis, splice);

        const Fresh fresh(program);
        motion::Times fresh_times;
        fresh_times.rebuild(fresh.analysis);
        INFO("edit " << edit << " at line " << line + 1);
        REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
        const machine::BlockPlace first{0, 0},
            last{program.forest.size() - 1, program.forest.run(program.forest.size() - 1)->blocks.size() - 1};
        REQUIRE(times.between(first, last).cut_seconds == fresh_times.between(first, last).cut_seconds);
    }
}

TEST_CASE("where the part is turned round follows its stop, its note and the moves in front of it") {
    Edited program("G21 G18 G99 G40\n(STOCK D40. L60. FACE 0.5)\nN1 T0101\nG97 S800 M03\nG00 X60. Z5.\n"
                   "Z9.\nG00 X100. Z100.\nM00\n(TURN PART ROUND)\nN2 T0202\nG97 S800 M03\n"
                   "G00 X42. Z0\nG01 X-1. F0.2\nG00 X100. Z100.\nM30\n");
    const auto turned = [](const Results& results) {
        std::size_t stopped = 0;
        for (const auto& course : results.stock().programs())
            for (const auto& sequence : course.sequences)
                stopped += sequence.stop == stock::Stop::turned_round;
        return stopped;
    };
    const auto is = [&](std::size_t wanted) {
        const Fresh fresh(program);
        CHECK(turned(program.results) == wanted);
        CHECK(turned(fresh.results) == wanted);
        CHECK(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
    };
    is(1);
    program.replace({{7, 0}, {8, 0}}, "M01\n");
    is(0);
    program.replace({{7, 0}, {8, 0}}, "M00\n");
    is(1);
    program.replace({{8, 0}, {9, 0}}, "(TURN FACE)\n");
    is(0);
    program.replace({{8, 0}, {9, 0}}, "(TURN PART ROUND)\nG00 X90.\n");
    is(0);
    program.replace({{9, 0}, {10, 0}}, "\n\n");
    is(1);
    program.replace({{0, 0}, {0, 0}}, "\n");
    is(1);
    program.replace({{3, 0}, {3, 0}}, "G04 X1.\n");
    is(1);
}

TEST_CASE("whether a limit that is taken over is ever reached follows each size that is cut") {
    Edited program("G21 G18 G99 G40\nN1 T0101\nG50 S1500\nG96 S200 M03\nG00 X60. Z2.\nG01 Z-20. F0.2\n"
                   "G00 X100. Z100.\nM01\nN2 T0202\nG96 S200 M03\nG00 X60. Z2.\nG01 Z-30. F0.2\n"
                   "G00 X100. Z100.\nM01\nN3 T0303\nG50 S3000\nG96 S200 M03\nG00 X60. Z2.\n"
                   "G01 Z-30. F0.2\nG00 X100. Z100.\nM30\n");
    const auto told = [&] {
        const Fresh fresh(program);
        const std::string now = listing(program.buffer, program.results);
        CHECK(now == listing(program.buffer, fresh.results));
        return now;
    };
    const std::string never = told();
    program.replace({{10, 0}, {11, 0}}, "G00 X20. Z2.\n");
    const std::string reached = told();
    CHECK(never != reached);
    program.replace({{10, 0}, {11, 0}}, "G00 X60. Z2.\n");
    CHECK(told() == never);
}

TEST_CASE("findings with fixes are the findings that are shown") {
    shop::Shop shop = shop::default_shop();
    CheckedProgram checked(example_file("pump-shaft-faulty.nc"), std::nullopt);
    for (std::size_t run = 0; run < checked.analysis.size(); ++run) {
        auto shown = checked.results.in_run(run);
        auto with_fixes = checked.results.with_fixes(run);
        REQUIRE(shown.size() == with_fixes.size());
        for (std::size_t i = 0; i < shown.size(); ++i) {
            CHECK(shown[i].finding->check == with_fixes[i].finding.check);
            CHECK(shown[i].finding->begin == with_fixes[i].finding.begin);
            CHECK(shown[i].finding->message == with_fixes[i].finding.message);
        }
    }
}

TEST_CASE("a check that the shop file turns off finds nothing, and severities follow the shop file") {
    std::string program = example_file("pump-shaft-faulty.nc");
    CheckedProgram off(program, std::nullopt,
                       "[checks]\nfeed_missing = \"off\"\nnote_unclosed = \"error\"\n");
    CheckedProgram on(program, std::nullopt);
    auto count = [](const CheckedProgram& checked, std::string_view id, Severity severity) {
        auto found = checked.found();
        return std::count_if(found.begin(), found.end(), [&](const auto& f) {
            return f.finding->check->id == id && f.finding->severity == severity;
        });
    };
    CHECK(count(on, "feed_missing", Severity::warning) == 1);
    CHECK(count(off, "feed_missing", Severity::warning) == 0);
    CHECK(count(on, "note_unclosed", Severity::warning) == 1);
    CHECK(count(off, "note_unclosed", Severity::error) == 1);
}

TEST_CASE("silenced findings can be listed with the note that silences them") {
    CheckedProgram checked("T0101\n(TURNWRIGHT: ACCEPT UNITS-MISSING)\nG00 X50. Z1.\nM30\n",
                           codes::System::A);
    auto silenced = checked.results.silenced();
    REQUIRE(silenced.size() == 1);
    CHECK(silenced[0].finding->check->id == "units_missing");
    CHECK(silenced[0].by == BlockPlace{0, 1});
    for (const auto& found : checked.found()) CHECK(found.finding->check->id != "units_missing");
}

TEST_CASE("a note alone on its line silences the next block with words, however far below") {
    const std::string note = "(TURNWRIGHT: ACCEPT UNITS-MISSING)\n";
    for (const std::size_t between : {std::size_t{0}, std::size_t{199}, std::size_t{5000}}) {
        INFO(between);
        const std::string blank(between, '\n');
        CheckedProgram checked("T0101\n" + note + blank + "(AND MORE)\n" + note + blank +
                                   "G00 X50. Z1.\nM30\n" + note + blank + "(THE END)\n" + note,
                               codes::System::A);
        const auto silenced = checked.results.silenced();
        REQUIRE(silenced.size() == 1);
        CHECK(silenced[0].finding->check->id == "units_missing");
    }
}

TEST_CASE("the examples of docs are as their page says: two clean, one full of faults") {
    for (const char* name : {"pump-shaft.nc", "wear-bushing.nc"}) {
        CheckedProgram checked(example_file(name), std::nullopt);
        INFO(name);
        for (const auto& found : checked.found())
            FAIL_CHECK("line " << found.line + 1 << ": " << found.finding->check->id << ": "
                               << found.finding->message);
    }
    CheckedProgram faulty(example_file("pump-shaft-faulty.nc"), std::nullopt);
    for (const char* id :
         {"units_missing", "speed_limit_missing", "decimal_point_missing", "feed_missing",
          "centre_work_under_surface_speed", "compensation_active_at_tool_call", "feed_with_spindle_stopped",
          "codes_of_one_group", "optional_stop_missing", "sequence_number_twice", "note_unclosed",
          "sequence_number_not_tool", "program_end_missing"}) {
        auto found = faulty.found();
        INFO(id);
        CHECK(std::any_of(found.begin(), found.end(),
                          [&](const auto& f) { return f.finding->check->id == id; }));
    }
}

TEST_CASE("where a text of too many findings ends to be checked hangs on the text alone") {
    std::string whole = "G21\n";
    for (int line = 0; line < 50'200; ++line) whole += line % 7 == 0 ? "X\n(A NOTE)\n" : "X\n";
    Edited program(whole + "G01 X1.\nM30\n", std::make_shared<EmptyLibrary>());
    const auto ends_as_fresh = [&] {
        const Fresh fresh(program);
        REQUIRE(program.results.all().size() > 50'000);
        REQUIRE(program.results.all().size() < 50'010);
        REQUIRE(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
    };
    program.replace({{300, 0}, {300, 0}}, "G00 X3.\nG00 X2.\n(NOTE)\n"); // Runs begin elsewhere behind it
    ends_as_fresh();
    program.replace({{10, 0}, {29, 0}}, "X\n");
    ends_as_fresh();
}

TEST_CASE("of rules on the whole program no more is told than of its blocks, and it is said") {
    // Five millimetres a turn: no turning tool takes that. Common practice, no source.
    std::string whole = "O1\nG21 G99 G97 S500 M03\nT0101\nG00 X100. Z2.\n";
    for (int line = 0; line < 60'000; ++line) whole += line % 2 ? "G01 X20. F5.\n" : "G01 X21. F5.\n";
    Edited program(whole + "M30\n", std::make_shared<EmptyLibrary>());
    const auto told = program.results.all();
    REQUIRE(told.size() == 50'001);
    CHECK(told.back().finding->message.starts_with("More than 50000 warnings in this program"));
    program.replace({{5, 0}, {30'005, 0}}, "");
    const Fresh fresh(program);
    CHECK(program.results.all().size() < 50'000);
    CHECK(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
}

TEST_CASE("a text whose jumps cost too much is checked as far as it is followed, and it is said") {
    std::string whole = "O1\nG21 G99 G97 S500 M03\nT0101\n";
    const auto unit = [](int i) {
        return "N" + std::to_string(i) + "G01X2.\n#501=#501+1\nX3.\nX2.\nX3.\nX2.\nIF[#501LT5]GOTO" +
               std::to_string(std::max(1, i - 12)) + "\n";
    };
    for (int i = 1; i <= 2000; ++i) whole += unit(i);
    Edited program(whole + "M30\n", std::make_shared<EmptyLibrary>());
    const auto ends_as_fresh = [&] {
        const Fresh fresh(program);
        const auto told = program.results.all();
        REQUIRE(!told.empty());
        CHECK(told.back().finding->message.starts_with("The jumps, loops and calls up to here"));
        CHECK(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
    };
    ends_as_fresh();
    program.replace({{300, 0}, {300, 0}}, "G00 X3.\nG00 X2.\n(NOTE)\n"); // Runs begin elsewhere behind it
    ends_as_fresh();
    program.replace({{10, 0}, {29, 0}}, "X3.\n");
    ends_as_fresh();
    program.replace({{10, 0}, {10'000, 0}}, "X3.\n");
    const Fresh fresh(program);
    for (const auto& placed : program.results.all())
        CHECK_FALSE(placed.finding->message.starts_with("The jumps, loops and calls up to here"));
    CHECK(listing(program.buffer, program.results) == listing(program.buffer, fresh.results));
}
