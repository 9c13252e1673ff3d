// Called programs in the reports: gone through at each call, with the state of that call.
#include "report/compare.h"
#include "report/opened.h"
#include "report/picture.h"
#include "report/sheet.h"

#include <catch2/catch.hpp>

namespace turnwright {
namespace {

/// Other files of the folder, each one program.
struct Folder : machine::ProgramLibrary {
    std::map<std::int32_t, std::shared_ptr<const syntax::Forest>> programs;
    std::vector<std::unique_ptr<text::Buffer>> buffers;
    void add(std::int32_t number, std::string_view program) {
        buffers.push_back(std::make_unique<text::Buffer>(program));
        programs[number] = std::make_shared<const syntax::Forest>(*buffers.back());
    }
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override {
        const auto at = programs.find(number);
        return at == programs.end() ? nullptr : at->second;
    }
    std::uint64_t stamp() const override { return 1; }
};

std::unique_ptr<features::Document> opened_in(std::shared_ptr<Folder> folder, std::string_view program,
                                              std::string_view shop_file = {}) {
    return std::make_unique<features::Document>(
        program, std::make_shared<const shop::Shop>(shop::parse_shop(shop_file, "turnwright.toml")),
        "main.nc", std::move(folder));
}

// Two grooves side by side by one subprogram that moves by increments (system A).
constexpr std::string_view two_calls = R"(O1
N1 (GROOVES)
G21 G18 G40 G99
T0101
G97 S500 M03
G00 X50. Z-10.
M98 P7100
G00 X50. Z-20.
M98 P7100
G00 X100. Z50.
M30
O7100
G01 U-10. F0.1
U10. F0.5
M99
)";

std::vector<motion::Point> feed_ends(const report::Picture& picture) {
    std::vector<motion::Point> ends;
    for (const motion::Segment& segment : picture.segments)
        if (segment.kind == motion::SegmentKind::feed) ends.push_back(segment.to);
    return ends;
}

} // namespace

TEST_CASE("a subprogram of the file is drawn at each of its calls, and nowhere else") {
    const auto document = opened(two_calls);
    const report::Picture picture = report::make_picture(*document);
    const std::vector<motion::Point> ends = feed_ends(picture);
    REQUIRE(ends.size() == 4);
    CHECK(ends[0] == motion::Point{20, -10});
    CHECK(ends[1] == motion::Point{25, -10});
    CHECK(ends[2] == motion::Point{20, -20});
    CHECK(ends[3] == motion::Point{25, -20});
    CHECK(picture.open_blocks == 0); // The first rapid comes from a place that is not told: a way from home
    // Each is linked back to the line that it stands on, and belongs to the sequence that calls.
    std::vector<std::size_t> lines;
    for (const report::PictureStep& step : picture.steps)
        if (step.called != 0 && step.segment_count > 0) lines.push_back(step.line + 1);
    CHECK(lines == std::vector<std::size_t>{13, 14, 13, 14});
    CHECK(count_of(report::picture_svg(*document), "data-line=\"13\"") == 2);
    // 5 mm at 0.1 mm/rev and 500 rpm: 6 s; back at 0.5: 1.2 s; twice.
    const report::Sheet sheet = report::make_sheet(*document);
    CHECK(sheet.totals.cut_seconds == Approx(2 * 7.2));
    REQUIRE(sheet.sequences.size() >= 2);
    for (const report::SheetSequence& row : sheet.sequences)
        if (row.in_table) CHECK(row.totals.cut_seconds == Approx(2 * 7.2));
}

TEST_CASE("a repeated call is drawn as often as it runs") {
    std::string program(two_calls);
    program.replace(program.find("G01 U-10."), 9, "G01 U-2. "); // Deeper each time
    program.replace(program.find("U10. F0.5\n"), 10, "");
    program.replace(program.find("M98 P7100"), 9, "M98 P7100 L3");
    const std::vector<motion::Point> ends = feed_ends(report::make_picture(*opened(program)));
    REQUIRE(ends.size() == 4);
    CHECK(ends[2] == motion::Point{22, -10});
    CHECK(ends[3] == motion::Point{24, -20});
}

TEST_CASE("a called program in another file is drawn, and found by its call") {
    auto folder = std::make_shared<Folder>();
    folder->add(7100, "O7100\nG01 U-10. F0.1\nU10. F0.5\nM99\n");
    const std::string main(two_calls.substr(0, two_calls.find("O7100\nG01")));
    const auto document = opened_in(folder, main);
    const report::Picture picture = report::make_picture(*document);
    CHECK(feed_ends(picture).size() == 4);
    std::vector<std::size_t> lines;
    for (const report::PictureStep& step : picture.steps)
        if (step.called != 0 && step.segment_count > 0) lines.push_back(step.line + 1);
    CHECK(lines == std::vector<std::size_t>{7, 7, 9, 9});
    const std::string svg = report::picture_svg(*document);
    CHECK(svg.find("line 7: calls O7100 line 2: G01 U-10. F0.1") != std::string::npos);
    CHECK(report::make_sheet(*document).totals.cut_seconds == Approx(2 * 7.2));
}

TEST_CASE("what a call does that cannot be gone through is said to be left out") {
    const auto why = [](std::string_view call, std::string_view sub) {
        auto folder = std::make_shared<Folder>();
        folder->add(7100, sub);
        std::string program = "O1\nG21 G18 G40 G99\nT0101\nG97 S500 M03\nG28 U0 W0\nG00 X50. Z-10.\n";
        program += call;
        program += "\nG00 X100. Z50.\nM30\n";
        const report::Picture picture = report::make_picture(*opened_in(folder, program));
        for (const report::PictureStep& step : picture.steps)
            if (step.open != 0 && step.line == 6) return picture.texts[step.open];
        return std::string();
    };
    CHECK(why("M98 P7100", "O7100\nG01 U-2. F0.1\nM99\n") == "");
    CHECK(why("M98 P7200", "O7100\nM99\n") == "the way of O7200, which was not found, is not drawn");
    CHECK(why("M98 P7100", "O7100\nN1 G01 U-2. F0.1\nIF[#500 GT 1]GOTO 1\nM99\n") ==
          "the way of O7100, in which a jump or loop hangs on a value that is not known, is not drawn");
    CHECK(why("M98 P7100", "O7100\nDO1\nG01 U-2. F0.1\nEND1\nM99\n") ==
          "the way of O7100, which runs for too long, is not drawn");
    CHECK(why("M98 P7100", "O7100\nM98 P7100\nM99\n") ==
          "the way of O7100, which calls itself, is not drawn");
    CHECK(why("G65 P7100", "O7100\nG01 U-2. F0.1\nM99\n") == "");
    CHECK(why("G65 P7200", "O7100\nM99\n") == "the way of O7200, which was not found, is not drawn");
}

TEST_CASE("loops, jumps and macros are drawn as the control runs them") {
    constexpr std::string_view head = "O1\nG21 G18 G40 G99\nT0101\nG97 S500 M03\nG28 U0 W0\nG00 X50. Z0.\n";
    const auto ends = [&](std::string_view blocks) {
        std::vector<double> z;
        for (const motion::Point& end :
             feed_ends(report::make_picture(*opened(std::string(head) + std::string(blocks)))))
            z.push_back(end.z_mm);
        return z;
    };
    CHECK(ends("#1=-3.\nWHILE[#1 LT 0]DO1\nG01 Z#1 F0.2\n#1=#1+1.\nEND1\nG01 Z9.\nM30\n") ==
          std::vector<double>{-3, -2, -1, 9});
    CHECK(ends("#1=-2.\nDO1\nG01 Z#1 F0.2\nIF[#1 GE 0]GOTO 5\n#1=#1+1.\nEND1\nN4 Z20.\nN5 G01 Z9.\nM30\n") ==
          std::vector<double>{-2, -1, 0, 9});
    CHECK(ends("IF[1 EQ 1]GOTO 5\nG01 Z20. F0.2\nN5 G01 Z9. F0.2\nM30\n") == std::vector<double>{9});
    CHECK(ends("G65 P2 A-4. L2\nM30\nO2\nN1 G01 Z#1 F0.2\n#1=#1+2.\nIF[#1 LT 0]GOTO 1\nM99\n") ==
          std::vector<double>{-4, -2, -4, -2});
    CHECK(ends("G66 P2 A1.\nG00 Z-5.\nG00 Z-8.\nG67\nG00 Z-9.\nM30\nO2\nG01 W-#1 F0.2\nW#1\nM99\n") ==
          std::vector<double>{-6, -5, -9, -8});
    // Time is that of all turns: 4 mm a turn at 0.2 mm/rev and 500 rpm.
    const auto document =
        opened(std::string(head) + "#1=0\nWHILE[#1 LT 5]DO1\nG01 W-4. F0.2\n#1=#1+1\nEND1\nM30\n");
    CHECK(report::make_sheet(*document).totals.cut_seconds == Approx(5 * 2.4));
    // No more is left open than without the loop.
    CHECK(report::make_picture(*document).open_blocks ==
          report::make_picture(*opened(std::string(head) + "M30\n")).open_blocks);
}

TEST_CASE("a change in a called program is a change for the machine, told once") {
    const auto comparison = [](std::string_view before, std::string_view after, std::string_view main_after) {
        const std::string main(two_calls.substr(0, two_calls.find("O7100\nG01")));
        auto old_folder = std::make_shared<Folder>(), new_folder = std::make_shared<Folder>();
        old_folder->add(7100, before);
        new_folder->add(7100, after);
        new_folder->add(7200, after);
        return report::compare(*opened_in(old_folder, main),
                               *opened_in(new_folder, main_after.empty() ? main : std::string(main_after)));
    };
    constexpr std::string_view sub = "O7100\nG01 U-10. F0.1\nU10. F0.5\nM99\n";
    CHECK(comparison(sub, sub, {}).same());
    CHECK(comparison(sub, "O7100 (NOTE)\nN10 G1 U-10. F.1\n\nN20 U10. F0.50\nM99\n", {}).same());
    const report::Comparison deeper = comparison(sub, "O7100\nG01 U-12. F0.1\nU12. F0.5\nM99\n", {});
    REQUIRE(deeper.sequences.size() == 1);
    REQUIRE(deeper.sequences[0].changes.size() == 2); // At each call, by the line of the call
    CHECK(deeper.sequences[0].changes[0].before == "feed to X40. Z-10.");
    CHECK(deeper.sequences[0].changes[0].after == "feed to X38. Z-10.");
    CHECK(deeper.sequences[0].changes[0].new_line == 7);
    // Another number for the same moves is nothing to the machine.
    std::string renamed(two_calls.substr(0, two_calls.find("O7100\nG01")));
    for (std::size_t at; (at = renamed.find("P7100")) != std::string::npos;) renamed.replace(at, 5, "P7200");
    CHECK(comparison(sub, sub, renamed).same());
}

TEST_CASE("the way of a compensated nose is drawn beside the contour") {
    constexpr std::string_view program = R"(O2
G21 G18 G40 G99
T0101
G97 S1000 M03
G28 U0 W0
G00 X60. Z5.
G00 G42 X20. Z2.
G01 Z-30. F0.2
G00 G40 X60. Z5.
M30
)";
    constexpr std::string_view shop_file =
        "units = \"mm\"\n[[tool]]\nstation = 1\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\n";
    const report::Picture picture = report::make_picture(*opened(program, shop_file));
    bool found = false;
    for (const auto& [step, ways] : picture.nose)
        for (const motion::Segment& way : ways) {
            if (picture.steps[step].line + 1 != 8) continue;
            // Along a cylinder of radius 10 a nose of 0.8 runs its own radius above it: exact.
            CHECK(way.from.x_radius_mm == Approx(10.8));
            CHECK(way.to.x_radius_mm == Approx(10.8));
            CHECK(way.to.z_mm == Approx(-30));
            found = true;
        }
    CHECK(found);
    const std::string svg = report::picture_svg(*opened(program, shop_file));
    CHECK(svg.find("<path class=\"nose\" data-line=\"8\"") != std::string::npos);
    CHECK(svg.find("centre of the compensated nose") != std::string::npos);
    // Without the radius nothing of it can be known, and nothing is drawn.
    CHECK(report::picture_svg(*opened(program)).find("class=\"nose\"") == std::string::npos);
}

} // namespace turnwright
