// What the analysis tells of a change inside a run: the blocks outside of it must read as before, or results
// that are kept for them would be wrong.
#include "machine/program.h"

#include <catch2/catch.hpp>
#include <random>
#include <vector>

using namespace turnwright;
using codes::System;

namespace {

/// The state before each block of a run, and its text.
struct Read {
    std::vector<machine::State> before;
    std::vector<std::string> text;
};

Read read(const machine::Analysis& analysis, std::size_t run) {
    Read out;
    analysis.visit(run, [&](const machine::BlockView& view) {
        out.before.push_back(view.before);
        out.text.emplace_back(view.run.text_of(view.text));
    });
    return out;
}

std::vector<Read> read_all(const machine::Analysis& analysis) {
    std::vector<Read> all;
    for (std::size_t run = 0; run < analysis.size(); ++run) all.push_back(read(analysis, run));
    return all;
}

void replace_line(Program& program, std::uint32_t line, std::string_view with) {
    const auto length = static_cast<std::uint32_t>(program.buffer.line(line).size());
    const text::Splice splice = program.buffer.replace({{line, 0}, {line, length}}, with);
    program.forest.update(program.buffer, splice);
    program.analysis.update(program.forest, splice);
}

} // namespace

TEST_CASE("outside the blocks that a change reaches, text and state are as before", "[property]") {
    constexpr std::string_view lines[] = {
        "G01 X30. F0.2", "Z-4.",    "X31. Z-5.", "G00 X90. Z5.", "U1.",   "G97 S400 M03", "G98",
        "F0.1",          "G91 G01", "",          "(NOTE)",       "/X35.", "G20",          "G04 U1.",
        "Z-4. ,R1.",     "G41",     "G40 X3.",   "M08"};
    std::string text = "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\n";
    std::mt19937 random(26);
    for (int i = 0; i < 600; ++i) text += std::string(lines[random() % std::size(lines)]) + "\n";
    Program program(GENERATE(System::A, System::B), text + "M30\n%\n");
    std::size_t in_part = 0, named = 0;
    for (int edit = 0; edit < 300; ++edit) {
        const std::vector<Read> was = read_all(program.analysis);
        const std::vector<machine::RunResultPointer> results = program.analysis.results();
        const auto line = static_cast<std::uint32_t>(5 + random() % 600);
        replace_line(program, line, lines[random() % std::size(lines)]);
        const machine::Analysis::Kept& kept = program.analysis.kept();
        for (const machine::Analysis::Changed& changed : kept.changed) {
            INFO("edit " << edit << " of line " << line + 1 << ", run " << changed.run);
            REQUIRE(changed.result_before == results[changed.run]);
            const Read now = read(program.analysis, changed.run);
            const Read& before = was[changed.run];
            REQUIRE(now.text.size() == before.text.size());
            for (std::size_t block = 0; block < now.text.size(); ++block) {
                if (block >= changed.first && block < changed.end) continue;
                REQUIRE(now.text[block] == before.text[block]);
                REQUIRE(now.before[block] == before.before[block]);
            }
            ++named;
            in_part += changed.end - changed.first < now.text.size() / 2;
        }
    }
    // Most edits reach a few blocks only, or the comparison shows nothing.
    CHECK(named > 200);
    CHECK(in_part > named / 2);
}
