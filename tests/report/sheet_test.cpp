#include "report/job_text.h"
#include "report/opened.h"
#include "report/picture.h"
#include "report/report.h"
#include "report/sheet.h"

#include <catch2/catch.hpp>
#include <cstdint>
#include <fmt/format.h>

namespace turnwright {
namespace {

const report::SheetRow& row(const std::vector<report::SheetRow>& rows, std::string_view name) {
    for (const report::SheetRow& held : rows)
        if (held.name == name) return held;
    FAIL("no row " << name);
    return rows.front();
}

constexpr std::string_view whole_shop = R"(
units = "mm"
[machine]
name = "Lathe 2"
system = "A"
rapid_x = 6000.0
rapid_z = 12000.0
tool_change_seconds = 2.0
[stock]
diameter = 45.0
front_z = 1.0
material = "P"
[[tool]]
station = 1
note = "Turning 80 degrees"
kind = "turning"
hand = "right"
nose_radius = 0.8
tip_direction = 3
)";

} // namespace

TEST_CASE(
    "what notes say of tools and stock stands in the sheet as assumed, and the shop file goes before it") {
    constexpr std::string_view program = R"(O1 (PIN)
(MATERIAL 2.5 DIA 4140)
G20 G99
N2 (3/8 DRILL)
T0202
G97 S500 M03
G00 X0. Z.1
G01 Z-1. F.005
N3 (FEATURE 7)
T0303
G00 X2. Z.1
G01 Z-1. F.005
M30
)";
    const report::Sheet bare = report::make_sheet(*opened(program));
    CHECK(row(bare.stock, "Diameter").value == "2.5 in (assumed: note MATERIAL 2.5 DIA 4140)");
    CHECK_FALSE(row(bare.stock, "Diameter").unknown);
    CHECK(row(bare.stock, "Material").value == "4140 (assumed: note MATERIAL 2.5 DIA 4140)");
    CHECK(row(bare.stock, "Jaws end at Z").unknown);
    REQUIRE(bare.tools.size() == 2);
    CHECK(bare.tools[0].tip == "drill, diameter 0.375 in (assumed: by its note)");
    CHECK(bare.tools[1].tip_unknown);
    const report::Sheet with = report::make_sheet(*opened(program, R"(
units = "inch"
[stock]
diameter = 3
material = "M"
[[tool]]
station = 2
kind = "boring"
)"));
    CHECK(row(with.stock, "Material").value == "M");
    CHECK(row(with.stock, "Diameter").value == "3 in");
    CHECK(with.tools[0].tip == "boring");
}

TEST_CASE("the sheet gathers what each tool does") {
    const report::Sheet sheet = report::make_sheet(*opened(two_tools, whole_shop));
    CHECK(sheet.title == "O0007");
    CHECK(sheet.note == "PIN");
    REQUIRE(sheet.tools.size() == 2);
    CHECK(sheet.tools[0].station == "T01");
    CHECK(sheet.tools[0].note == "Turning 80 degrees");
    CHECK(sheet.tools[0].called == "T0101");
    CHECK(sheet.tools[0].offset == "1");
    CHECK(sheet.tools[0].tip == "turning, right hand, nose radius 0.8 mm, tip direction 3");
    CHECK(sheet.tools[0].speeds == "G97 1000 rpm, forward");
    CHECK(sheet.tools[0].feeds == "0.2 mm/rev");
    CHECK(sheet.tools[0].sequences == "N1");
    CHECK(sheet.tools[1].feeds == "0.05 to 0.5 mm/rev");
    CHECK(sheet.tools[1].tip == "grooving (assumed: by its note)");
    // 50 + 2 mm at 0.2 mm/rev, 1000 rpm: 15.6 s. 6 mm at 0.05 and 500 rpm: 14.4 s; 6 mm at 0.5: 1.44 s
    CHECK(sheet.tools[0].totals.cut_seconds == Approx(15.6));
    CHECK(sheet.tools[1].totals.cut_seconds == Approx(14.4 + 1.44));
    CHECK(sheet.totals.cut_seconds == Approx(31.44));
    CHECK(row(sheet.program, "Machine").value == "Lathe 2");
    CHECK(row(sheet.program, "Datum").value == "G54");
    CHECK(row(sheet.stock, "Diameter").value == "45 mm");
    CHECK(row(sheet.stock, "Jaws end at Z").unknown);
    CHECK(row(sheet.stock, "Jaws end at Z").value == "not known: not in the shop file");
}

TEST_CASE("what is not known is on the sheet with its reason") {
    const report::Sheet sheet = report::make_sheet(*opened("G00 X20. Z2.\nG01 Z-5.\nM30\n"));
    CHECK(row(sheet.program, "Units").unknown);
    CHECK(row(sheet.program, "Datum").value.starts_with("assumed: "));
    CHECK(row(sheet.program, "G-code system").value == "A (assumed: nothing tells)");
    CHECK(row(sheet.stock, "Diameter").value == "not known: there is no shop file");
    CHECK(row(sheet.times, "In rapid").unknown);
    CHECK(row(sheet.times, "Total of what is known").value.substr(0, 10) == "not known:");
    const std::string markdown = report::sheet_markdown(*opened("G00 X20. Z2.\nG01 Z-5.\nM30\n"));
    CHECK(markdown.find("- Diameter: *not known: there is no shop file*") != std::string::npos);
}

TEST_CASE("the sheet tells what the cuts ask for, as estimates with their source") {
    constexpr std::string_view shop_file = R"(
units = "mm"
[machine]
max_power_kw = 11
power_efficiency = 0.8
[stock]
diameter = 45.0
bore = 0
front_z = 0.0
back_z = -90.0
material = "C45"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 90
back_angle = 5
[[tool]]
station = 2
kind = "grooving"
width = 3.0
tip_direction = 3
)";
    const report::Sheet sheet = report::make_sheet(*opened(two_tools, shop_file));
    const auto at = [&](std::string_view name) {
        for (const report::SheetSequence& held : sheet.sequences)
            if (held.name.starts_with(name)) return held;
        FAIL("no sequence " << name);
        return report::SheetSequence{};
    };
    // X40 from 45: 2.5 deep. vc = pi D n / 1000 = 125.66 m/min (Tungaloy General Catalogue 2020-2021, page
    // L030); kc 2220 x 0.2^-0.14 = 2781 N/mm2 (Kienzle's rule, from memory); Pc = ap f vc kc / 60000 = 2.91
    // kW (Mitsubishi Materials technical information), over 0.8 it is 3.64.
    const report::SheetSequence turn = at("N1");
    CHECK(turn.depth == "2.5 mm");
    CHECK(turn.power == "2.9 kW, 3.6 of the motor's 11 kW");
    CHECK(turn.surface == "6.3 \u00b5m"); // f^2/(8 r) = 6.25 (Kyocera, page R28)
    CHECK(turn.air == "8 %");             // 2 mm in front and 2 mm up the shoulder that stands already, of 52
    const report::SheetSequence groove = at("N2");
    CHECK(groove.depth == "3 mm");
    CHECK(groove.surface.empty()); // A blade leaves no turns
    CHECK(sheet.load_source.find("usual value of the material") != std::string::npos);
    for (const std::string& out : {report::sheet_page(*opened(two_tools, shop_file)),
                                   report::sheet_markdown(*opened(two_tools, shop_file))}) {
        CHECK(out.find("Cutting loads, estimated") != std::string::npos);
        CHECK(out.find("usual value of the material") != std::string::npos);
        CHECK(out.find("nose radius") != std::string::npos); // What is missing of the blade
    }
}

TEST_CASE(
    "a tool that nothing describes stands on the sheet as its moves show it, and a size keeps its point") {
    const auto document = opened(
        "O1\n(T5 .125 GROOVER, T7, THREAD)\nG20 G99 G97 S500 M03\nT0101\nG00 X1.6 Z.1\nG01 Z-1. F.008\n"
        "X1.8\nG00 X4. Z2.\nT0505\nG00 X1.8 Z-.5\nG01 X1.4 F.003\nG00 X1.8\nX4. Z2.\nT0707\nM30\n");
    for (const std::string& out :
         {report::sheet_text(*document), report::sheet_markdown(*document), report::sheet_page(*document)}) {
        CAPTURE(out);
        CHECK(out.find("turning (assumed: by its moves)") != std::string::npos);
        CHECK(out.find(".125 GROOVER") != std::string::npos);
        CHECK(out.find("grooving, width 0.125 in (assumed: by its note)") != std::string::npos);
        CHECK(out.find(", THREAD") == std::string::npos);
    }
}

TEST_CASE("where a load is not known the sheet says what is missing") {
    const auto gaps = [](std::string_view shop_file) {
        std::string all;
        for (const std::string& gap : report::make_sheet(*opened(two_tools, shop_file)).load_gaps)
            all += gap + "\n";
        return all;
    };
    CHECK(gaps("") == "N1, N2: no stock is given\nN1, N2: the material is not given\n");
    constexpr std::string_view stock =
        "units = \"mm\"\n[stock]\ndiameter = 45\nbore = 0\nfront_z = 0\nback_z = -90\nmaterial = \"OAK\"\n";
    CHECK(gaps(stock).find("N1, N2: T01 is not in the shop file\n") != std::string::npos);
    CHECK(gaps(stock).find("no cutting force is known for \"OAK\"") != std::string::npos);
    CHECK(gaps("units = \"mm\"\n[stock]\ndiameter = 45\n")
              .find("[stock] of the shop file lacks bore and front_z") != std::string::npos);
}

TEST_CASE("the restart table tells what a sequence takes over") {
    // The groove takes over units and feed mode from the turning sequence.
    std::string program(two_tools);
    program.replace(program.rfind("G21 G18 G40 G99\n"), 16, "");
    program.replace(program.find("G99"), 3, "G98");
    program.replace(program.rfind("M30"), 3, "G99\nM30"); // and another feed mode is left elsewhere
    const report::Sheet sheet = report::make_sheet(*opened(program));
    const auto& groove = sheet.sequences.back();
    CHECK(groove.in_table);
    CHECK_FALSE(groove.safe);
    CHECK(groove.inherited.find("units") != std::string::npos);
    for (const std::string& out :
         {report::sheet_page(*opened(program)), report::sheet_markdown(*opened(program))})
        CHECK(out.find("NO") != std::string::npos);
}

TEST_CASE("what the head states once is told as the head's in the restart table") {
    const report::Sheet sheet = report::make_sheet(*opened(
        "O1\nG21 G99\nN1 T0101\nG40 G97 S800 M03\nG00 X30. Z2. M08\nG01 Z-5. F0.2\nG28 U0 W0\nM05\nM01\n"
        "N2 T0202\nG40 G97 S900 M03\nG00 X28. Z2. M08\nG01 Z-5. F0.1\nG28 U0 W0\nM05\nM30\n"));
    const auto& second = sheet.sequences.back();
    CHECK_FALSE(second.safe);
    CHECK(second.safe_behind_head);
    CHECK(report::sheet_markdown(
              *opened("O1\nG21 G99\nN1 T0101\nG97 S800 M03\nG00 X30. Z2.\nG01 Z-5. F0.2\nM01\n"
                      "N2 T0202\nG97 S900 M03\nG00 X28. Z2.\nG01 Z-5. F0.1\nM30\n"))
              .find("with the head") != std::string::npos);
}

TEST_CASE("warnings are sorted by weight and counted when they do not fit") {
    std::string program = "G21 G99\nT0101\nG97 S500 M03\nG00 X30. Z5.\n";
    for (int i = 0; i < 40; ++i) program += "(NOT CLOSED\n";
    program += "G01 Z-5. F0.2\nM30\n";
    const report::Sheet sheet = report::make_sheet(*opened(program));
    REQUIRE(sheet.warnings.size() >= 40);
    for (std::size_t i = 1; i < sheet.warnings.size(); ++i)
        CHECK(sheet.warnings[i - 1].severity >= sheet.warnings[i].severity);
    const std::string page = report::sheet_page(*opened(program));
    CHECK(page.find("and " + std::to_string(sheet.warnings.size() - report::warnings_on_sheet) + " more") !=
          std::string::npos);
}

TEST_CASE("cautions and signature lines are on both forms") {
    for (const std::string& out :
         {report::sheet_page(*opened(two_tools)), report::sheet_markdown(*opened(two_tools))}) {
        CHECK(out.find("Prove the program out") != std::string::npos);
        CHECK(out.find("Released by, date") != std::string::npos);
    }
}

TEST_CASE("a note does not break out of a Markdown table") {
    const std::string markdown =
        report::sheet_markdown(*opened("G21 G99\nN1 (A | B <script>alert(1)</script>)\nT0101\nG97 S500 "
                                       "M03\nG00 X30. Z5.\nG01 Z-5. F0.2\nM30\n"));
    CHECK(markdown.find("A \\| B \\<script\\>") != std::string::npos);
}

TEST_CASE("a feed that waits for the spindle is timed as if it turned, and that is told") {
    const std::string head = "O7\nG21 G99\nT0101\nG97 S600\nG00 X40. Z2.\n";
    const auto totals = [](const std::string& program) {
        return report::make_sheet(*opened(program)).totals;
    };
    const report::Sheet waits = report::make_sheet(*opened(head + "G01 Z-8. F0.1\nM30\n"));
    CHECK(waits.totals.blocks_without_time + waits.totals.blocks_waiting == 0); // Nobody stopped it
    const report::Sheet stopped = report::make_sheet(*opened(head + "M05\nG01 Z-8. F0.1\nM30\n"));
    CHECK(stopped.totals.cut_seconds == Approx(10 / 0.1 / 600 * 60));
    CHECK(stopped.totals.about);
    CHECK(stopped.totals.blocks_without_time == 0);
    CHECK(row(stopped.times, "Of it as if the spindle turned").value.substr(0, 8) == "1 block:");
    // A tap is turned by its cycle; with no speed there is no time; by the minute nothing waits.
    CHECK(totals(head + "M05\nM29 S250\nG84 Z-8. F1.\nG80\nM30\n").blocks_without_time == 0);
    const motion::Totals no_speed = totals("O7\nG21 G99\nT0101\nM05\nG00 X40. Z2.\nG01 Z-8. F0.1\nM30\n");
    CHECK(no_speed.blocks_without_time == 1);
    CHECK(no_speed.blocks_waiting == 0);
    CHECK(totals(head + "M05\nG98\nG01 Z-8. F50.\nM30\n").blocks_waiting == 0);
}

TEST_CASE("a program that is not at hand and cuts nothing is named among the times") {
    const report::Sheet sheet = report::make_sheet(
        *opened("O7\nG21 G99\nM98 P9001\nT0101\nG97 S600 M03\nG00 X40. Z2.\nG01 Z-8. F0.1\nM30\n"));
    CHECK(row(sheet.times, "Without O9001").value.find("assumed to cut nothing") != std::string::npos);
    CHECK(sheet.totals.blocks_without_time == 0);
}

TEST_CASE("the sheet of a program with nothing beside it names what is assumed") {
    constexpr std::string_view bare =
        "O7 (PIN)\nN1 T0101\nG97 S1000 M03\nG00 X40. Z2.\nG01 Z-48. F0.2\nG00 X100. Z50.\nM30\n";
    const report::Sheet sheet = report::make_sheet(*opened(bare));
    CHECK(row(sheet.program, "Units").value == "mm, assumed, X on diameter (assumed)");
    CHECK(row(sheet.assumed, "units").value.find("its feeds: F0.2 in line 5; to state it write G21") !=
          std::string::npos);
    CHECK(row(sheet.times, "Total of what is known").value.substr(0, 6) == "about ");
    CHECK(sheet.totals.blocks_without_time == 0);
    CHECK(report::sheet_markdown(*opened(bare)).find("## Assumed here") != std::string::npos);
    CHECK(report::sheet_page(*opened(bare)).find("Assumed here") != std::string::npos);
    // Where the machine is known its rates are its own.
    const report::Sheet known = report::make_sheet(*opened(
        bare, "units = \"mm\"\n[machine]\nrapid_x = 10000\nrapid_z = 10000\ntool_change_seconds = 2\n"));
    for (const report::SheetRow& held : known.assumed) CHECK(held.name != "rapid rates and tool change");
}

TEST_CASE("behind a program that is not at hand the tool called before it is assumed, with its reason") {
    constexpr std::string_view program =
        "O7\nG21 G99\nT0101 (TURN)\nG97 S600 M03\nG00 X40. Z2.\nM98 P9001\nG97 S600 M03\nG00 X40. Z2.\n"
        "G01 Z-8. F0.1\nM30\n";
    const report::Sheet sheet = report::make_sheet(*opened(program));
    REQUIRE(sheet.tools.size() == 1);
    CHECK(sheet.tools.front().station == "T01");
    CHECK(row(sheet.assumed, "tool from line 6 on").value.find("T01 (called before") == 0);
}

TEST_CASE("the tool that is called in the block of a call is assumed behind it, arguments call none") {
    const report::Sheet sheet = report::make_sheet(
        *opened("O7\nG21 G99\nM98 P9001 T0101 (TURN)\nG97 S600 M03\nG00 X40. Z2.\nG01 Z-8. F0.1\n"
                "G65 P9011 X3. T12\nG97 S600 M03\nG00 X40. Z2.\nG01 Z-9. F0.1\nM30\n"));
    REQUIRE(sheet.tools.size() == 1);
    CHECK(sheet.tools.front().station == "T01");
    CHECK(row(sheet.assumed, "tool from line 3 on").value.find("T01 (called before") == 0);
}

TEST_CASE("the tool that a macro of the shop is given is assumed behind it") {
    const std::string first = "G97 S600 M03\nG00 X40. Z2.\nG01 Z-8. F0.1\nG00 X60. Z50.\n";
    const report::Sheet sheet = report::make_sheet(
        *opened("O7\nG21 G99\nG65 P9010 T1\n" + first + "G65 P9010 T0303\n" + first + "M30\n"));
    REQUIRE(sheet.tools.size() == 2);
    CHECK(sheet.tools.front().station == "T01");
    CHECK(sheet.tools.back().station == "T03");
    // By a number of another sort it is what its program makes of it.
    CHECK(report::make_sheet(*opened("O7\nG21 G99\nG65 P101 T1\n" + first + "M30\n")).tools.front().station !=
          "T01");
}

TEST_CASE("a tool that no T word calls is told by its moves") {
    const std::string sheet = report::sheet_text(
        *opened("O7\nG21 G99\nG97 S600 M03\nG00 X42. Z2.\nG01 X38. F0.1\nZ-20.\nX42.\nG00 X90. Z50.\nM30\n"));
    CHECK(sheet.find("turning (assumed: by its moves)") != std::string::npos);
}

} // namespace turnwright

namespace {

constexpr std::string_view by_moves =
    "O76\nN1 T0101\nG97 S900 M03\nG99\nG00 X0 Z5.\nG01 Z-60. F.2\nG00 Z5.\n"
    "X100. Z100.\nN2 T0202\nG97 S900 M03\nG00 X22. Z2.\nG01 Z-55. F.15\nX20.\n"
    "G00 Z2.\nX100. Z100.\nM30\n";

std::string value_of(const std::vector<features::AssumedHere>& all, std::string_view name) {
    for (const features::AssumedHere& here : all)
        if (here.name == name) return here.value + " (" + here.reason + ")";
    return "not in the list";
}

} // namespace

TEST_CASE("the list of what is assumed holds tools and stock by moves as the tool table does") {
    const auto document = opened(by_moves);
    const std::vector<features::AssumedHere> all = report::setup_here(*document);
    CHECK(value_of(all, "T01") ==
          "drill, diameter 22 mm at most, which is bored behind it (by its moves, on the centre alone)");
    CHECK(value_of(all, "T02") == "boring (by its moves)");
    const std::string sheet = report::sheet_text(*document, "");
    const std::size_t list = sheet.find("Assumed here");
    REQUIRE(list != std::string::npos);
    CHECK(sheet.find("T01: drill, diameter 22 mm", list) != std::string::npos);
    CHECK(sheet.find("stock: diameter", list) != std::string::npos);
}

TEST_CASE("a note that is too small for what is turned is told beside the stock that is taken") {
    const auto document =
        opened("O1 (STANGE 40 DRM)\nG21 G99\nT0101\nG97 S900 M03\nG00 X52. Z2.\nG01 Z-30. F.2\n"
               "X60.\nG00 X100. Z100.\nM30\n");
    const std::string stock = value_of(report::setup_here(*document), "stock");
    CHECK(stock.find("40 mm of the note STANGE 40 DRM are too small for it") != std::string::npos);
    const auto fits = opened("O1 (STANGE 60 DRM)\nG21 G99\nT0101\nG97 S900 M03\nG00 X52. Z2.\nG01 Z-30. F.2\n"
                             "X60.\nG00 X100. Z100.\nM30\n");
    CHECK(value_of(report::setup_here(*fits), "stock") == "diameter 60 mm (note STANGE 60 DRM)");
}

TEST_CASE("a job file states what notes tell, and what is made up for a drawing stands in it as a comment") {
    const std::string moved = report::job_file_text(*opened(by_moves));
    CHECK(moved.find("\n# diameter = ") != std::string::npos);
    CHECK(moved.find("\ndiameter = ") == std::string::npos);
    CHECK(moved.find("\n# front_z = 0") != std::string::npos);
    CHECK(moved.find("\nkind = \"drill\"") != std::string::npos);
    CHECK(moved.find("\nkind = \"boring\"") != std::string::npos);
    const std::string noted = report::job_file_text(
        *opened("O1 (BAR D50 C45)\nG21 G99\nN2 (DRILL 8.5)\nT0202\nG97 S900 M03\nG00 X0. Z2.\n"
                "G01 Z-40. F.2\nG00 Z60.\nM30\n"));
    CHECK(noted.find("\ndiameter = 50\n") != std::string::npos);
    CHECK(noted.find("\ndiameter = 8.5\n") != std::string::npos);
    CHECK(noted.find("material = \"C45\"") != std::string::npos);
    const std::string hexagon = report::job_file_text(
        *opened("O1 (STOCK: 30 HEX BRASS)\nG21 G99\nT0101\nG97 S900 M03\nG00 X30. Z2.\nG01 Z-30. F.2\n"
                "X36.\nG00 X100. Z100.\nM30\n"));
    CHECK(hexagon.find("\ndiameter = ") == std::string::npos);
    CHECK(hexagon.find("material = \"BRASS\"") != std::string::npos);
}

TEST_CASE("a sheet of thousands of programs in one file ends behind as many as are told, and says where") {
    std::string file;
    for (std::size_t i = 0; i < report::most_sequences_told + 200; ++i)
        file += fmt::format("O{:04}\nG21 G99\nT0101\nG97 S800 M03\nG00 X20. Z2.\nG01 Z-5. F.1\nM30\n", i + 1);
    const auto document = opened(file);
    const report::Sheet sheet = report::make_sheet(*document);
    REQUIRE(sheet.stopped_at);
    const std::size_t spans = document->results().spans().size();
    REQUIRE(spans > report::most_sequences_told);
    CHECK(sheet.sequences.size() == report::most_sequences_told);
    const std::size_t behind =
        document->line_of(document->results().spans()[report::most_sequences_told].first);
    CHECK(*sheet.stopped_at == behind);
    CHECK(sheet.sequences.back().line < behind + 1);
    const report::Picture picture = report::make_picture(*document);
    CHECK(picture.spans.size() == report::most_sequences_told);
    CHECK(picture.last_line == behind - 1);
    // What the rest leaves in force counts for the rows that are told.
    const auto rows = [&](std::size_t most) {
        return checks::restart_table(document->analysis(), document->results().spans(), document->shop(),
                                     most);
    };
    const auto all = rows(SIZE_MAX), few = rows(100);
    REQUIRE(!few.empty());
    CHECK(few.size() <= 100);
    CHECK(all.size() > few.size());
    for (std::size_t i = 0; i < few.size(); ++i) {
        CHECK(few[i].first == all[i].first);
        CHECK(few[i].inherited == all[i].inherited);
        CHECK(few[i].safe == all[i].safe);
    }
}

TEST_CASE("a sheet of more than anybody writes ends somewhere and says where") {
    std::string program = "O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\n";
    for (std::size_t i = 0; i < report::most_blocks_told; ++i) program += i % 2 ? "X40.\n" : "X41.\n";
    const std::string whole = program + "G01 Z-5. F.1\nM30\n";
    const report::Sheet sheet = report::make_sheet(*opened(whole));
    REQUIRE(sheet.stopped_at);
    CHECK(*sheet.stopped_at == report::most_blocks_told + 1);
    const auto row = std::find_if(sheet.times.begin(), sheet.times.end(),
                                  [](const report::SheetRow& one) { return one.name == "Cut short"; });
    REQUIRE(row != sheet.times.end());
    CHECK(row->value.find(std::to_string(*sheet.stopped_at)) != std::string::npos);
    CHECK(sheet.totals.blocks_without_time > 0);
    CHECK(sheet.likeness.open);
    // What stands behind it is part of what is alike.
    const report::Sheet other = report::make_sheet(*opened(program + "G01 Z-6. F.1\nM30\n"));
    CHECK_FALSE(sheet.likeness.same(other.likeness));
    CHECK_FALSE(report::make_sheet(*opened("G21\nT0101\nG00 X50. Z2.\nM30\n")).stopped_at);
}

TEST_CASE("sheet: the way of the second spindle's slide takes time") {
    const auto total = [](std::string_view letter, std::string_view unit, std::string_view feed,
                          std::string_view way, std::string_view behind = "") {
        const std::string text =
            fmt::format("O1\n{0}\nT0101\nG97 S1000 M03\nG00 X20. Z2.\nG01 Z-10. {2}\nG00 X30.\n"
                        "G00 {1}-280.\n{3}\n{4}\nM30\n",
                        unit, letter, feed, way, behind);
        return make_sheet(*opened(text)).totals;
    };
    for (const std::string letter : {"A", "B", "E"})
        for (const auto& [unit, feed] :
             {std::pair("G21 G18 G40 G98", "F100."), std::pair("G21 G90 G94", "F100."),
              std::pair("G71 G90 G94", "F100.")}) {
            CAPTURE(letter, unit);
            // The first rapid comes from nowhere that is told.
            const auto none = total(letter, unit, feed, "");
            const auto slow = total(letter, unit, feed, "G01 " + letter + "-300. F10.");
            CHECK(slow.blocks_without_time == none.blocks_without_time + 1);
            CHECK(slow.seconds() - none.seconds() == Approx(120).epsilon(1e-3)); // 20 mm at 10 mm/min
            CHECK(slow.cut_seconds == none.cut_seconds);                         // No edge cuts
            // Sent home at the end it began there.
            const auto home =
                total(letter, unit, feed, "G01 " + letter + "-300. F10.", "G00 " + letter + "0");
            CHECK(home.blocks_without_time == none.blocks_without_time);
            CHECK(home.about);
            CHECK(home.seconds() - none.seconds() == Approx(120 + 580. / 16000 * 60).epsilon(1e-3));
        }
    // A head that is indexed is no slide.
    CHECK(total("B", "G21 G98", "F100.", "").blocks_without_time == 0);
    // Its feed is not known.
    CHECK(total("B", "G21 G98", "F100.", "G01 B-300. F#500").blocks_without_time == 2);
}

TEST_CASE("sheet: a bar stop that a note names is no drill") {
    const std::string text =
        "O9 (SLEEVE)\n(BAR 28)\nG21 G18 G40 G80 G99\nN2 (T2 BAR STOP)\nT0202\nG00 X0 Z5.\n"
        "G98 G01 Z0.3 F500\nM55\nG04 X1.\nM56\nG00 Z20.\nG99\nM01\nN1 (T1 TURN)\nT0101\n"
        "G97 S900 M03\nG00 X32. Z2.\nZ0\nG01 X-1.6 F0.15\nG00 Z2.\nX24.\nG01 Z-33. F0.2\nX29.\n"
        "G00 X60. Z20.\nN3 (T3 DRILL 16)\nT0303\nG97 S900 M03\nG00 X0 Z3.\nG01 Z-38. F.18\n"
        "G00 Z20.\nM30\n";
    const std::string sheet = sheet_text(*opened(text), "");
    CHECK(sheet.find("bar stop (assumed: by its note)") != std::string::npos);
    CHECK(sheet.find("centre drill") == std::string::npos);
    CHECK(sheet.find("T02: bar stop (its note)") != std::string::npos);
}

TEST_CASE("sheet: a drill whose diameter nothing tells is no wider than what is bored, and no size") {
    const std::string text =
        "O9\n(BAR 40)\nG21 G18 G40 G80 G99\nN1 (DRILL)\nT0202\nG97 S900 M03\nG00 X0 Z3.\nG01 Z-40. F.18\nG00 "
        "Z20.\n"
        "N2 (BORE)\nT0303\nG97 S900 M03\nG00 X24. Z2.\nG01 Z-20. F.1\nX20.\nG00 Z20.\nM30\n";
    const std::string sheet = sheet_text(*opened(text), "");
    CAPTURE(sheet);
    CHECK(sheet.find("diameter 24 mm at most, which is bored behind it") != std::string::npos);
    CHECK(sheet.find("The hole of T02 is not listed") != std::string::npos);
    CHECK(sheet.find("Bore 24; Z0 to Z-20; T03") != std::string::npos);
    CHECK(sheet.find("; T02; line") == std::string::npos);
}
