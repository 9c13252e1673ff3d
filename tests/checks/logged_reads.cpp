// What is logged is needed: where it is left out, some edit leaves something kept that a
// fresh start tells otherwise.
#include "checks/kept_program.h"

using namespace turnwright;
using namespace turnwright::checks;

namespace {

std::string short_program() {
    return std::string(head) + contour(1, 70) + std::string(drill) + std::string(corners) +
           std::string(flow) + "G00 X120.\nM30\n" + std::string(subprogram) + "%\n";
}

constexpr std::size_t edits = 8;
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
    for (std::size_t trial = 0; trial < edits * count && found.empty(); ++trial) {
        const auto line = static_cast<std::uint32_t>(trial / edits * 50 % count);
        machine::Log::left_out = left_out;
        Kept kept(short_program());
        machine::Log::left_out = {};
        const std::string with = edited(std::string(kept.program.buffer.line(line)), trial % edits);
        kept.replace(kept.program.whole_line(line), with);
        found = kept.difference();
    }
    return found;
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

TEST_CASE("what is asked of the file as a whole is needed, each kind of it") {
    using machine::Whole;
    for (const Whole what : {Whole::text, Whole::shapes, Whole::outline, Whole::facts, Whole::stock}) {
        INFO("kind " << static_cast<int>(what));
        CHECK(anything_stale({{}, what}) != "");
    }
}
