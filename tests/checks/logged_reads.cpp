// Each read that is logged is needed: where one is left out, some edit leaves something kept that a fresh
// start tells otherwise.
#include "checks/kept_program.h"

#include <random>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

struct LeavingOut {
    machine::Log::LeftOut left_out;
    explicit LeavingOut(std::size_t nth) {
        left_out.nth = nth;
        machine::Log::left_out = &left_out;
    }
    ~LeavingOut() { machine::Log::left_out = nullptr; }
    LeavingOut(const LeavingOut&) = delete;
    LeavingOut& operator=(const LeavingOut&) = delete;
};

std::string short_program() {
    return std::string(head) + contour(1, 70) + std::string(drill) + std::string(corners) +
           std::string(flow) + "G00 X120.\nM30\n" + std::string(subprogram) + "%\n";
}

/// Everything is worked out with one read not logged; then a line is replaced.
std::string difference_after(std::size_t nth, std::uint32_t line, std::string_view with) {
    LeavingOut leaving_out(nth);
    Kept kept(short_program());
    leaving_out.left_out.nth = machine::Log::LeftOut::none;
    kept.replace(kept.program.whole_line(line), with);
    return kept.difference();
}

constexpr std::size_t edits = 7;
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
    default:
        return "";
    }
}

} // namespace

TEST_CASE("a logged read that is left out lets something go stale") {
    LeavingOut count(machine::Log::LeftOut::none);
    const Kept whole(short_program());
    machine::Log::left_out = nullptr;
    const std::size_t logged = count.left_out.logged;
    REQUIRE(logged > 40);
    std::mt19937 random(20261128);
    std::string needless;
    for (int i = 0; i < 20; ++i) {
        const std::size_t nth = random() % logged;
        machine::Log::LeftOut read;
        {
            LeavingOut leaving_out(nth);
            const Kept kept(short_program());
            read = leaving_out.left_out;
        }
        // Lines of the read itself, first and last of them too, and for a state those above it.
        std::vector<std::uint32_t> lines;
        const text::Buffer& buffer = whole.program.buffer;
        read.run = std::min(read.run, buffer.leaf_count() - 1); // Beyond the last one: that there is none
        const std::size_t first = buffer.first_line_of_leaf(read.run);
        const std::size_t end = first + std::min(read.end, buffer.leaf(read.run)->line_count());
        const auto take = [&](std::size_t line) {
            if (line < buffer.line_count()) lines.push_back(static_cast<std::uint32_t>(line));
        };
        take(first + read.first);
        if (end > 0) take(end - 1);
        for (std::size_t above = 1; above <= 3 && above <= first + read.first; ++above)
            take(first + read.first - above);
        for (std::size_t line = first + read.first; line < end && lines.size() < 24;
             line += 1 + (end - line) / 20)
            take(line);
        std::string found;
        for (std::size_t trial = 0; trial < edits * lines.size() && found.empty(); ++trial)
            found = difference_after(nth, lines[trial / edits],
                                     edited(std::string(buffer.line(lines[trial / edits])), trial % edits));
        if (found.empty())
            needless += fmt::format("read {} of {}: {} in run {}, blocks {} to {}\n", nth, logged, read.sort,
                                    read.run, read.first, read.end);
    }
    CHECK(needless == "");
}

TEST_CASE("what is asked of the file as a whole is needed, each kind of it") {
    using machine::Whole;
    const std::size_t count = Kept(short_program()).program.buffer.line_count();
    for (const Whole what :
         {Whole::text, Whole::shapes, Whole::outline, Whole::facts, Whole::across, Whole::stock}) {
        std::string found;
        for (std::size_t trial = 0; trial < edits * count && found.empty(); ++trial) {
            // Of the lines in a mixed order, since those near each other do alike.
            const auto line = static_cast<std::uint32_t>(trial / edits * 37 % count);
            LeavingOut leaving_out(machine::Log::LeftOut::none);
            leaving_out.left_out.whole = what;
            Kept kept(short_program());
            const std::string with = edited(std::string(kept.program.buffer.line(line)), trial % edits);
            kept.replace(kept.program.whole_line(line), with);
            leaving_out.left_out.whole.reset();
            found = kept.difference();
        }
        INFO("kind " << static_cast<int>(what));
        CHECK(found != "");
    }
}
