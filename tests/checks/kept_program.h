// Programs whose cycles, loops and calls reach far, and everything that is kept of one under edits.
#pragma once

#include "checks/edited_program.h"
#include "checks/restart.h"

#include <fmt/format.h>

namespace turnwright::checks {

constexpr std::string_view tools = R"(units = "mm"
[[tool]]
station = 3
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
max_depth = 4
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
length = 70
)";

constexpr std::string_view head = "%\nO1 (STOCK D80. L150. FACE 1.)\nG21 G18 G40 G80 G99\n";

/// A roughing and a finishing cycle with so many lines of contour between them.
inline std::string contour(int number, int lines) {
    std::string text = fmt::format("N{} (ROUGH)\nT0303\nG97 S400 M03\nG00 X82. Z2. M08\nG71 U2. R1.\n"
                                   "G71 P{}01 Q{}02 U0.4 W0.1 F0.28\nN{}01 G00 X10.\nG01 Z0.\n",
                                   number, number, number, number);
    for (int i = 1; i <= lines; ++i)
        text += fmt::format("X{:.3f} Z-{:.3f}\n", 10 + 60.0 * i / lines, 90.0 * i / lines);
    return text +
           fmt::format("N{}02 X78.\nG70 P{}01 Q{}02\nG00 X120. Z100. M09\nM01\n", number, number, number);
}

constexpr std::string_view drill = "N2 (DRILL)\nT0202\nG97 S600 M03\nG00 X0. Z5.\nG74 R1.\n(PECKS)\n"
                                   "G74 Z-30. Q8000 F0.1\nG00 Z100.\nX120. M05\nM01\n";
constexpr std::string_view corners = "N4 (CORNERS)\nT0303\nG96 S200 M03\nG50 S2500\nG00 X20. Z2.\nG42 G01 "
                                     "Z0. F0.2\nX30. ,C1.\n\nZ-10. ,R2.\n(TURN)\n"
                                     "X44.\nZ-30.\n(TURNWRIGHT: ACCEPT depth_over_tool_limit, "
                                     "corner_does_not_fit)\nX52. ,R4.\nZ-31.\nG40 G00 X90.\nZ5.\nM01\n";
constexpr std::string_view flow = "N5 (RINGS)\nT0303\nG97 S500 M03\n#1=0\nWHILE[#1LT3]DO1\nG00 X60. "
                                  "Z[2.-#1]\nG01 Z-5. F0.2\nX62.\n#1=#1+1\n"
                                  "END1\nM98 P7\nIF[#3EQ1]GOTO60\nG00 X90.\nN60 G00 Z50.\nM01\n";
constexpr std::string_view subprogram = "O7\nG01 X50. F0.3\nZ-9.\nX55.\nM99\n";

inline std::string told(const Edited& program, const Results& results, const motion::Times& times) {
    std::ostringstream out;
    out << listing(program.buffer, results) << places(results.outline()) << '\n';
    for (const Span& span : results.spans()) {
        const motion::Totals totals = times.between(span.first, span.last);
        out << span.first.run << ':' << span.first.block << ' ' << totals.cut_seconds << ' '
            << totals.rapid_mm << ' ' << totals.blocks_without_time << '\n';
    }
    for (const stock::ProgramCourse& course : results.stock().programs()) {
        out << static_cast<int>(course.stop) << course.wrong << '\n';
        for (const stock::SequenceCourse& sequence : course.sequences) {
            out << sequence.first.run << ':' << sequence.first.block << '-' << sequence.last.run << ':'
                << sequence.last.block << ' ' << sequence.removed_mm3 << ' ' << sequence.air_mm << ' '
                << static_cast<int>(sequence.stop) << ' ' << sequence.stopped_at.runs << ':'
                << sequence.stopped_at.block << '\n';
            for (const stock::Event& event : sequence.events)
                out << static_cast<int>(event.kind) << ' ' << event.block.runs << ':' << event.block.block
                    << ' ' << event.amount << '\n';
            for (const stock::BlockCut& cut : sequence.cuts)
                out << cut.block.runs << ':' << cut.block.block << ' ' << cut.removed_mm3 << '\n';
        }
    }
    return out.str();
}

/// Everything kept of a program under edits.
struct Kept {
    Edited program;
    motion::Times times;
    explicit Kept(std::string_view text)
        : program(text, std::make_shared<EmptyLibrary>(),
                  shop::parse_shop(std::string(tools), "turnwright.toml")) {
        times.rebuild(program.analysis);
        told(program, program.results, times);
    }
    /// Empty: the same as from a fresh start, else the first line that differs.
    std::string difference() {
        const Fresh fresh(program);
        motion::Times fresh_times;
        fresh_times.rebuild(fresh.analysis);
        const std::string here = told(program, program.results, times),
                          there = told(program, fresh.results, fresh_times);
        if (here != there) {
            const auto first = std::mismatch(here.begin(), here.end(), there.begin(), there.end()).first;
            const auto at = static_cast<std::size_t>(first - here.begin());
            const std::size_t line = here.rfind('\n', at > 0 ? at - 1 : 0) + 1;
            return "kept:  " + here.substr(line, 200) + "\nfresh: " + there.substr(line, 200);
        }
        for (std::size_t i = 0; i < fresh.results.spans().size(); ++i)
            if (!(entry_facts(program.results.spans()[i]) == entry_facts(fresh.results.spans()[i])))
                return "facts";
        return {};
    }
    void replace(text::Range range, std::string_view with) {
        times.update(program.analysis, program.replace(range, with));
    }
};

} // namespace turnwright::checks
