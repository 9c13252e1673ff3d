// What notes say of a tool beside the word for it: what the hole is for, how deep it goes, which hand, which
// bar, which blade. Words of the trade in five languages: common practice, no source. Bars by name: ISO 5609,
// from memory.
#include "checks/noted_asides.h"
#include "checks/noted_tool.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::checks;
using shop::ToolKind;

namespace noted_asides_tests { // The tests of a room share a source
namespace {

constexpr double mm = 1, inch = 25.4;
constexpr std::optional<double> none;

struct Told {
    std::string_view note;
    double unit;
    ToolKind kind;
    std::optional<double> diameter = none, width = none, radius = none, angle = none;
};
void check_size(std::optional<double> is, std::optional<double> wanted) {
    CHECK(is.has_value() == wanted.has_value());
    if (is && wanted) CHECK(*is == Approx(*wanted).margin(0.001));
}
void check_told(std::initializer_list<Told> rows) {
    for (const Told& row : rows) {
        INFO(row.note);
        const shop::Tool tool = tool_by_note(row.note, row.unit).tool;
        CHECK(static_cast<int>(tool.kind) == static_cast<int>(row.kind));
        check_size(tool.diameter_mm, row.diameter);
        check_size(tool.width_mm, row.width);
        check_size(tool.nose_radius_mm, row.radius);
        check_size(tool.point_angle_deg, row.angle);
    }
}

} // namespace

TEST_CASE("a depth behind its word is no diameter") {
    check_told({
        {"BOHRER 8 TIEF 30", mm, ToolKind::drill, 8},
        {"BOHREN 10 TIEF 45", mm, ToolKind::drill, 10},
        {"REIBEN 12 TIEF 20", mm, ToolKind::reamer, 12},
        {"REIBAHLE 16 TIEF 30", mm, ToolKind::reamer, 16},
        {"BOHRER TIEF 30 D8", mm, ToolKind::drill, 8},
        {"BOHRER 8.5 LANG 120", mm, ToolKind::drill, 8.5},
        {"BOHRER 8,5 TIEF=40", mm, ToolKind::drill, 8.5},
        {"FORET 9 LONG 60", mm, ToolKind::drill, 9},
        {"BROCA 12 LARGO 40", mm, ToolKind::drill, 12},
        {"DRILL 8 LG 90", mm, ToolKind::drill, 8},
        {"DRILL .500 LG 4.0", inch, ToolKind::drill, 12.7},
        // In front of it as before
        {"BOHRER 30 TIEF D8", mm, ToolKind::drill, 8},
        {"BOHRER 8 30 TIEF", mm, ToolKind::drill, 8},
        {"BOHRER 30 TIEF", mm, ToolKind::drill},
        {"DRILL 30 DEEP 8.5", mm, ToolKind::drill, 8.5},
        {"DRILL 100 LONG 8", mm, ToolKind::drill, 8},
        {"EINSTECHEN 3 BREIT 2 TIEF", mm, ToolKind::grooving, none, 3},
    });
}

TEST_CASE("what a hole is drilled for is not the drill") {
    check_told({
        {"VORBOHREN 12 FUER REIBEN 12.5", mm, ToolKind::drill, 12},
        {"VORBOHREN 9.8 F\xC3\x9CR REIBAHLE 10H7", mm, ToolKind::drill, 9.8},
        {"VORBOHREN 14 TIEF 60", mm, ToolKind::drill, 14},
        {"DRILL 11.7 FOR 12H7 REAM", mm, ToolKind::drill, 11.7},
        {"PRE-DRILL 18 FOR BORE 20", mm, ToolKind::drill, 18},
        {"FORET 6.8 POUR TARAUD M8", mm, ToolKind::drill, 6.8},
        {"PUNTA 10.2 PER MASCHIO M12", mm, ToolKind::drill, 10.2},
        {"PUNTA 8.5 PER M10", mm, ToolKind::drill, 8.5},
        {"BROCA 8.5 PARA MACHO M10", mm, ToolKind::drill, 8.5},
        {"BROCA PARA M6 5", mm, ToolKind::drill, 5},
        {"DRILL FOR M12 10.2", mm, ToolKind::drill, 10.2},
        {"BOHRER FUER M10 8,5", mm, ToolKind::drill, 8.5},
        {"KERNLOCH 6,8 FUER M8", mm, ToolKind::drill, 6.8},
        {"KERNLOCHBOHRER 10,2", mm, ToolKind::drill, 10.2},
        {"TAP DRILL 6.8", mm, ToolKind::drill, 6.8},
        {"AVANT-TROU 6.8", mm, ToolKind::drill, 6.8},
        {"PREFORO 6.8 PER M8", mm, ToolKind::drill, 6.8},
        {"MECHE 10", mm, ToolKind::drill, 10},
        {"21/64 DRILL FOR 3/8-16 TAP", inch, ToolKind::drill, 8.334375},
        {"REIBEN 12 NACH BOHRER 11.8", mm, ToolKind::reamer, 12},
        // Of these no drill is told
        {"TAP DRILL FOR M8", mm, ToolKind::drill},
        {"DRILL FOR M12", mm, ToolKind::drill},
        {"DRILL FOR 25 DIA SHAFT", mm, ToolKind::drill},
        {"TAP M8X1.25 FOR STUD", mm, ToolKind::tap, 8},
        {"GEWINDEBOHRER FUER M8X1.25", mm, ToolKind::tap, 8},
        {"MECHANISM", mm, ToolKind::unknown},
        {"KERNLOCH 54 GEGOSSEN", mm, ToolKind::unknown},
        {"17.8 VORBOHREN + FASE", mm, ToolKind::unknown},
        {"PREFORO 55", mm, ToolKind::unknown},
        {"BORE PREDRILLED 20", mm, ToolKind::boring},
    });
    CHECK(without_asides("TURN FOR M20 THREAD") == "TURN FOR M20 THREAD");
    CHECK(without_asides("") == "");
}

TEST_CASE("bars, blades and round inserts are read by their words and names") {
    check_told({
        {"BOHRSTANGE 16", mm, ToolKind::boring, 16},
        {"BOHRSTANGE 20 CCMT 09T304", mm, ToolKind::boring, 20, none, 0.4},
        {"BORING BAR 16 CCMT 060204", mm, ToolKind::boring, 16, none, 0.4},
        {"BARENO D12", mm, ToolKind::boring, 12},
        {"BARENO INTERNO CCMT060204", mm, ToolKind::boring, none, none, 0.4},
        {"INNENDREHMEISSEL D12", mm, ToolKind::boring, 12},
        {"BARRE A ALESER 20", mm, ToolKind::boring, 20},
        {"BARRA DE MANDRINAR 12", mm, ToolKind::boring, 12},
        {"ID ROUGH .75 BAR", inch, ToolKind::boring, 19.05},
        {"S16 SCLCR", mm, ToolKind::boring, 16},
        {"A20S-SDUCR11", mm, ToolKind::boring, 20},
        {"MGMN 300", mm, ToolKind::grooving, none, 3},
        {"MGMN300 PART OFF", mm, ToolKind::parting, none, 3},
        {"MGMN250", inch, ToolKind::grooving, none, 2.5},
        {"TRONCATURA L=4", mm, ToolKind::parting, none, 4},
        {"GOLA L4", mm, ToolKind::grooving, none, 4},
        {"BUTTON TOOL R6", mm, ToolKind::turning, none, none, 6},
        {"ROUND INSERT 12MM", inch, ToolKind::turning, none, none, 6},
        {"RUNDPLATTE 12", mm, ToolKind::turning, none, none, 6},
        {"SGROSSATURA RAGGIO INSERTO 1.2", mm, ToolKind::turning, none, none, 1.2},
        {"NC-ANBOHRER 90", mm, ToolKind::centre_drill, none, none, none, 90},
        {"SPOT DRILL 120", inch, ToolKind::centre_drill, none, none, none, 120},
        // Sizes of the part, lengths, counts
        {"INNENDREHEN D30", mm, ToolKind::boring},
        {"INNENDREHEN EDELSTAHL 50", mm, ToolKind::boring},
        {"ALESAGE D30", mm, ToolKind::boring},
        {"CCMT 32.51 BORING BAR", inch, ToolKind::boring, none, none, 0.396875},
        {"3 BAR FEEDS", mm, ToolKind::boring},
        {"S16", mm, ToolKind::unknown},
        {"PART OFF L40", mm, ToolKind::parting},
        {"GOLA L=40", mm, ToolKind::grooving},
        {"ROUND CORNER R5", mm, ToolKind::unknown},
        {"BUTTON 25 DIA", mm, ToolKind::unknown},
        {"TORNITURA RAGGIO 0.8", mm, ToolKind::turning},
        {"CENTRE DRILL 90 DEEP", mm, ToolKind::centre_drill},
        {"SPOT 90 PLACES", mm, ToolKind::centre_drill},
    });
}

TEST_CASE("the hand of a tool stands beside what describes it") {
    const auto hand = [](std::string_view note) { return tool_by_note(note, mm).tool.hand; };
    using shop::ToolHand;
    for (const char* left :
         {"LINKS DCMT 11T304", "BACK TURN LEFT VNMG 160404", "SCHRUPPEN LINKS R0.8", "SCHRUPPSTAHL LINKS",
          "CHARIOTAGE GAUCHE R0.4", "CILINDRADO IZQUIERDO R0.8", "SGROSSATURA SINISTRA R0.8"}) {
        INFO(left);
        CHECK(static_cast<int>(hand(left)) == static_cast<int>(ToolHand::left));
    }
    for (const char* right :
         {"SCHRUPPSTAHL RECHTS R1.2", "FINITION DROITE VBMT 160402", "DESBASTE DERECHA R0.8"}) {
        INFO(right);
        CHECK(static_cast<int>(hand(right)) == static_cast<int>(ToolHand::right));
    }
    for (const char* side :
         {"TURN, 0.5 LEFT", "FACE LEFT SIDE", "TURN LEFT OF FLANGE", "SCHLICHTEN LINKS VOM BUND",
          "ROUGH STOCK LEFT .5", "TURN, LEFT CORNER SET", "GEWINDE LINKS M20", "FINISH TO LEFT R0.8",
          "PLANEN LINKS", "GROOVE LEFT R0.2"}) {
        INFO(side);
        CHECK(static_cast<int>(hand(side)) == static_cast<int>(ToolHand::unknown));
    }
}

TEST_CASE("stock is read by short words and by the one size beside a material") {
    struct StockTold {
        std::string_view note;
        double unit;
        std::optional<double> diameter, length;
        std::string_view material;
    };
    for (const StockTold& row : {
             StockTold{"STK DIA 1.75 LG 3.5", inch, 44.45, 88.9, ""},
             {"STK 1.5 DIA BRASS", inch, 38.1, none, "BRASS"},
             {"STOCK 5MM BRASS", mm, 5, none, "BRASS"},
             {"MTL 303 SS .625", inch, 15.875, none, "303"},
             {"MTL: 12L14 .625 RD", inch, 15.875, none, "12L14"},
             {"HALBZEUG 60 DURCHM.", mm, 60, none, ""},
             {"ROHLING DURCHM. 50 LANG 80", mm, 50, 80, ""},
             {"BARRA TONDA 35 OTTONE", mm, 35, none, "OTTONE"},
             {"BARRA REDONDA 35 LATON", mm, 35, none, "LATON"},
             {"RUNDSTANGE 45 C45", mm, 45, none, "C45"},
             {"MATL: 3/4 HEX 303 SS", inch, none, none, "303"},
             // Names of steels, what is left on, numbers of parts
             {"MATERIAL 1.4301", mm, none, none, "1.4301"},
             {"MATERIAL STEEL 1.0503", inch, none, none, "STEEL"},
             {"STOCK 0.5 ON DIA", mm, none, none, ""},
             {"STK LEFT .5 PER SIDE", mm, none, none, ""},
             {"MTL BRASS 2 PCS", mm, none, none, "BRASS"},
         }) {
        INFO(row.note);
        const NotedStock stock = stock_by_note(row.note, row.unit);
        check_size(stock.diameter_mm, row.diameter);
        check_size(stock.length_mm, row.length);
        CHECK(stock.material == row.material);
    }
}

} // namespace noted_asides_tests
