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

} // namespace

TEST_CASE("a logged read that is left out lets something go stale") {
    LeavingOut count(machine::Log::LeftOut::none);
    const Kept whole(short_program());
    machine::Log::left_out = nullptr;
    const std::size_t logged = count.left_out.logged;
    REQUIRE(logged > 100);
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
        // Lines of the read itself, and some others for what is not told by lines.
        std::vector<std::uint32_t> lines;
        const text::Buffer& buffer = whole.program.buffer;
        if (read.run < buffer.leaf_count())
            for (int some = 0; some < 8; ++some) {
                const std::size_t end = std::min(read.end, buffer.leaf(read.run)->line_count());
                if (read.first >= end) break;
                const std::size_t block = read.first + random() % (end - read.first);
                lines.push_back(static_cast<std::uint32_t>(buffer.first_line_of_leaf(read.run) + block));
            }
        for (int some = 0; some < 4; ++some)
            lines.push_back(static_cast<std::uint32_t>(random() % buffer.line_count()));
        std::string found;
        for (std::size_t trial = 0; trial < 6 * lines.size() && found.empty(); ++trial) {
            const std::uint32_t line = lines[trial / 6];
            const std::string was(buffer.line(line));
            const std::string with[] = {"  " + was, was + " (",  "X52 Z-3.",
                                        "M05",      "N102 X20.", was + "\n" + was};
            found = difference_after(nth, line, with[trial % 6]);
        }
        if (found.empty())
            needless += fmt::format("read {} of {}: {} in run {}, blocks {} to {}\n", nth, logged, read.sort,
                                    read.run, read.first, read.end);
    }
    CHECK(needless == "");
}
