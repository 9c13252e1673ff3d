// What is logged is needed: where it is left out, some edit leaves something kept that a
// fresh start tells otherwise.
#include "checks/kept_program.h"
#include "machine/read_once.h"

#include <cstdio>
#include <cstdlib>
#include <memory>
#include <random>

namespace turnwright::machine {
std::size_t count_numbered_reads(); // Of reader.cpp, for this test alone
}

using namespace turnwright;
using namespace turnwright::checks;

namespace {

std::string short_program() {
    return std::string(head) + contour(1, 70) + std::string(drill) + std::string(corners) +
           std::string(flow) + "G00 X120.\nM30\n" + std::string(subprogram) + "%\n";
}

constexpr std::size_t kinds_of_edits = 8;
std::string edited(const std::string& line, std::size_t edit) {
    switch (edit) {
    case 0:
        return "  " + line;
    case 1:
        return "X52 Z-3.";
    case 2:
        return line + " (";
    case 3:
        return line + "\n" + line;
    case 4:
        return "M05";
    case 5:
        return "N102 X20.";
    case 6:
        return "M08";
    default:
        return "";
    }
}

/// Everything is worked out with some reads not logged; then a line is replaced. The lines in a mixed order
/// that comes early to those which show something. Empty: nothing was stale, whatever was edited.
std::string anything_stale(const machine::Log::LeftOut& left_out) {
    const std::size_t count = Kept(short_program()).program.buffer.line_count();
    std::string found;
    for (std::size_t trial = 0; trial < kinds_of_edits * count && found.empty(); ++trial) {
        const auto line = static_cast<std::uint32_t>(trial / kinds_of_edits * 50 % count);
        machine::Log::left_out = left_out;
        Kept kept(short_program());
        machine::Log::left_out = {};
        const std::string with = edited(std::string(kept.program.buffer.line(line)), trial % kinds_of_edits);
        kept.replace(kept.program.whole_line(line), with);
        found = kept.difference();
    }
    return found;
}

/// The first edit that shows one read to be needed. Each line comes once before any comes twice.
std::string stale_without(const std::string& read, std::size_t most_trials) {
    const std::string text = short_program();
    const std::size_t count = Kept(text).program.buffer.line_count();
    for (std::size_t trial = 0; trial < most_trials; ++trial) {
        const auto line = static_cast<std::uint32_t>(trial * 37 % count);
        machine::count_numbered_reads();
        machine::Log::left_out = {read, {}};
        Kept kept(text);
        machine::Log::left_out = {};
        const std::string was(kept.program.buffer.line(line));
        kept.replace(kept.program.whole_line(line), edited(was, (trial + trial / count) % kinds_of_edits));
        if (kept.difference() != "") return "line " + std::to_string(line + 1) + ", " + was;
    }
    return "";
}

text::Range place_of(std::string_view text, std::string_view words) {
    const std::size_t at = text.find(words);
    REQUIRE(at != std::string_view::npos);
    const auto position = [&](std::size_t byte) {
        const std::string_view above = text.substr(0, byte);
        return text::Position{static_cast<std::uint32_t>(std::count(above.begin(), above.end(), '\n')),
                              static_cast<std::uint32_t>(byte - (above.rfind('\n') + 1))};
    };
    return {position(at), position(at + words.size())};
}

} // namespace

// Where a contour's blocks stand is tested with its labels far away (long_contour.cpp); the other sorts are
// read along with these here, so that leaving them out shows nothing.
TEST_CASE("a sort of logged read that is left out lets something go stale") {
    for (const char* sort : {"result", "lines and length"}) {
        INFO(sort);
        CHECK(anything_stale({sort, {}}) != "");
    }
}

TEST_CASE("what is asked of the file as a whole is needed, each kind of it", "[long]") {
    using machine::Whole;
    for (const Whole what : {Whole::text, Whole::shapes, Whole::outline, Whole::facts, Whole::stock}) {
        INFO("kind " << static_cast<int>(what));
        CHECK(anything_stale({{}, what}) != "");
    }
}

TEST_CASE("a digit in a cut leaves what rules on the file ask of its sequence alone") {
    Kept kept(short_program());
    const auto facts = [&] {
        std::vector<FileFacts> of_spans;
        for (const Span& span : kept.program.results.spans()) of_spans.push_back(*span.facts);
        return of_spans;
    };
    const std::vector<FileFacts> before = facts();
    for (const std::string_view words : {"X30. ,C1.", "X52. ,R4.", "X44.\nZ-30."}) {
        INFO(words);
        text::Range place = place_of(short_program(), words);
        ++place.begin.column;
        place.end = {place.begin.line, place.begin.column + 1};
        kept.replace(place, "2");
        CHECK(facts() == before);
        CHECK(kept.difference() == "");
    }
}

// Each change is of a block that nothing is told of, and leaves what is held of its tool in short alone.
TEST_CASE("rules that look at the cuts of a file of any length see each of them change") {
    const std::string head_lines =
        "O1 (M150 HIGH PRESSURE)\nG21 G99\nN1 T0101\nG97 S500 M03\nM08\nG00 X50. Z2.\n";
    const std::string_view others =
        "G99\nG00 X99. Z99. M09\nM01\nN2 T0202\nM150\nG97 S500 M03\nG00 X50. Z2.\nG01 Z-9. F0.2\nM01\n"
        "N4 T0404\nG97 S500 M03\nM08\nG00 X40. Z2.\nG01 Z-9. F0.1\nM30\n";
    const struct {
        std::string_view cuts, was, is;
    } changes[] = {
        {"G01 Z-5. F200.\nX60. F1.\nZ-6. F0.2\n", "F1.", "F100."},
        {"G98 G01 Z-5. F60.\nX60. F0.3\n", "F60.", "F1."},
        {"G01 Z-5. F0.2\n", "M150\nG97", "M151\nG97"},
    };
    for (const auto& [cuts, was, is] : changes) {
        INFO(is);
        const std::string text = head_lines + std::string(cuts) + std::string(others);
        Kept kept(text);
        kept.replace(place_of(text, was), is);
        CHECK(kept.difference() == "");
        machine::Log::left_out = {{}, machine::Whole::text};
        Kept stale(text);
        machine::Log::left_out = {};
        stale.replace(place_of(text, was), is);
        CHECK(stale.difference() != "");
    }
}

// By command, since it takes minutes: build/tests/test_checks "[.reads]". READS_SEED draws others.
TEST_CASE("single reads drawn at random, each taken away", "[.reads]") {
    const std::string text = short_program();
    machine::count_numbered_reads();
    machine::Log::left_out = {"read 0", {}};
    Kept all(text);
    machine::Log::left_out = {};
    const std::size_t reads = machine::count_numbered_reads();
    REQUIRE(reads > 100);
    const char* seed = std::getenv("READS_SEED");
    std::mt19937 draw(seed ? static_cast<unsigned>(std::strtoul(seed, nullptr, 10)) : 20261129u);
    constexpr std::size_t drawn = 20;
    std::size_t shown = 0;
    for (std::size_t i = 0; i < drawn; ++i) {
        const std::size_t number = 1 + draw() % reads;
        const std::string by =
            stale_without("read " + std::to_string(number), kinds_of_edits * all.program.buffer.line_count());
        shown += !by.empty();
        std::printf("read %zu of %zu: %s\n", number, reads,
                    by.empty() ? "nothing went stale" : ("stale after an edit of " + by).c_str());
        std::fflush(stdout);
    }
    std::printf("%zu of %zu shown to be needed\n", shown, drawn);
    CHECK(shown > 0);
}

TEST_CASE("a text that was read once is all worked out anew behind an edit, whoever edits it") {
    const auto kept_once = [] {
        const machine::ReadOnce here;
        return std::make_unique<Kept>(short_program());
    };
    const std::size_t count = Kept(short_program()).program.buffer.line_count();
    for (std::size_t trial = 0; trial < 40; ++trial) {
        const auto kept = kept_once();
        const auto line = static_cast<std::uint32_t>(trial * 17 % count);
        INFO("line " << line << ", edit " << trial % 8);
        const std::string with = edited(std::string(kept->program.buffer.line(line)), trial % 8);
        kept->replace(kept->program.whole_line(line), with);
        CHECK(kept->difference().empty());
    }
}
