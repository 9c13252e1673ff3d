// A safe fix: applied, its warning is gone, no new one has come, and the machine makes the same moves.
#include "checks/fixed_text.h"
#include "checks/marked_program.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <sstream>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

/// Every move the machine makes, in order, as text: where it goes and how.
std::string moves_of(const CheckedProgram& checked) {
    std::ostringstream out;
    for (std::size_t run = 0; run < checked.analysis.size(); ++run)
        checked.analysis.visit(run, [&](const machine::BlockView& view) {
            if (!view.reading.is_read || view.reading.in_contour) return;
            for (const motion::Segment& s : motion::path_of(view, checked.analysis).segments) {
                auto number = [&](double value) { out << ' ' << std::llround(value * 1e6); };
                out << static_cast<int>(s.kind) << (s.is_arc ? 'a' : 'l');
                for (double value : {s.from.x_radius_mm, s.from.z_mm, s.to.x_radius_mm, s.to.z_mm, s.sweep,
                                     s.lead_mm, s.dwell_seconds, s.feed.mm.value_or(-1)})
                    number(value);
                out << '\n';
            }
        });
    return out.str();
}

std::map<std::string, int> counts_of(const CheckedProgram& checked) {
    std::map<std::string, int> counts;
    for (const auto& found : checked.found()) ++counts[std::string(found.finding->check->id)];
    return counts;
}

} // namespace

TEST_CASE("each safe fix ends its warning, brings no new one and leaves the moves as they are") {
    int tried = 0;
    for (const Check* check : all_checks()) {
        for (const Example& example : check->examples) {
            MarkedProgram marked = read_marked(example.program);
            if (marked.marks.empty()) continue;
            CheckedProgram before(marked.text, example.system, example.shop_file);
            auto counts_before = counts_of(before);
            for (std::size_t run = 0; run < before.analysis.size(); ++run)
                for (const Report::Placed& placed : before.results.with_fixes(run)) {
                    if (placed.finding.check != check) continue;
                    for (const Fix& fix : placed.finding.fixes) {
                        std::string text = apply_edits(before.buffer, fix.edits);
                        CheckedProgram after(text, example.system, example.shop_file);
                        auto counts_after = counts_of(after);
                        INFO(check->id << ": " << fix.title << "\n" << marked.text << "becomes\n" << text);
                        ++tried;
                        CHECK(counts_after[std::string(check->id)] ==
                              counts_before[std::string(check->id)] - 1);
                        if (!fix.safe) continue;
                        CHECK(moves_of(before) == moves_of(after));
                        for (const auto& [id, count] : counts_after) {
                            INFO(id);
                            CHECK(count <= counts_before[id]);
                        }
                    }
                }
        }
    }
    CHECK(tried >= 25);
}

TEST_CASE("the rpm for a drill's diameter goes by the unit that is assumed") {
    const CheckedProgram checked("T0202\nG96 S250 M03\nG00 X0. Z.5\nG00 Z.04\nG83 Z-1.2 Q2500 F.005\nG80\n"
                                 "G00 X6. Z4.\nT0303\nG96 S400 M03\nG00 X1.2 Z.1\nG01 Z-1. F.008\nX1.3\n"
                                 "G00 X6. Z4.\nM30\n",
                                 codes::System::A,
                                 "units = \"mm\"\n[[tool]]\nstation = 2\nkind = \"drill\"\ndiameter = 10\n");
    std::string message;
    for (const auto& found : checked.found())
        if (found.finding->check->id == "centre_work_under_surface_speed") message = found.finding->message;
    CHECK(message.find("S2430 ") != std::string::npos);
}
