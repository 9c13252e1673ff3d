// Notes that describe a tool or the stock, and notes that only look so. Words of the trade: common practice,
// no source. Insert names: ISO 1832. Drills by number and letter: ANSI B94.11M, from memory.
#include "checks/head_stock.h"
#include "checks/noted_jaws.h"
#include "checks/noted_tool.h"

#include <catch2/catch.hpp>

#include <span>

using namespace turnwright;
using namespace turnwright::checks;
using shop::ToolKind;

namespace {

constexpr double mm = 1, inch = 25.4;
constexpr std::optional<double> none;

struct Row {
    std::string_view note;
    double unit;
    ToolKind kind;
    std::optional<double> radius = none, width = none, diameter = none, angle = none;
};

void check_size(std::optional<double> is, std::optional<double> wanted) {
    CHECK(is.has_value() == wanted.has_value());
    if (is && wanted) CHECK(*is == Approx(*wanted).margin(0.001));
}

void check_rows(std::span<const Row> rows) {
    for (const Row& row : rows) {
        INFO(row.note);
        const shop::Tool tool = tool_by_note(row.note, row.unit).tool;
        CHECK(static_cast<int>(tool.kind) == static_cast<int>(row.kind));
        check_size(tool.nose_radius_mm, row.radius);
        check_size(tool.width_mm, row.width);
        check_size(tool.diameter_mm, row.diameter);
        check_size(tool.point_angle_deg, row.angle);
    }
}

} // namespace

TEST_CASE("a tool is read from the note that describes it") {
    const Row rows[] = {
        {"T02 DRILL 8.5", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL .201", inch, ToolKind::drill, none, none, 5.1054},
        {"3/8 DRILL", mm, ToolKind::drill, none, none, 9.525},
        {"1-1/4 DRILL", inch, ToolKind::drill, none, none, 31.75},
        {"#7 DRILL", inch, ToolKind::drill, none, none, 5.1054},
        {"NO. 7 DRILL", mm, ToolKind::drill, none, none, 5.1054},
        {"LETTER F DRILL", inch, ToolKind::drill, none, none, 6.5278},
        {"DRILL 8.5 118 DEG", mm, ToolKind::drill, none, none, 8.5, 118},
        {"SPOT 90 DEG", mm, ToolKind::centre_drill, none, none, none, 90},
        {"REAM 12MM", inch, ToolKind::reamer, none, none, 12},
        {"TAP 1/2-13", inch, ToolKind::tap, none, none, 12.7},
        {"TAP M8X1.25", mm, ToolKind::tap, none, none, 8},
        {"CNMG R0.8", inch, ToolKind::turning, 0.8},
        {"FINISH BAR .016R", inch, ToolKind::boring, 0.396875},
        {"ROUGH BAR", mm, ToolKind::boring},
        {"FINISH BAR END", mm, ToolKind::turning},
        {"ROUGH BAR STOCK R0.8", mm, ToolKind::turning, 0.8},
        {"VNMG 0.4", mm, ToolKind::turning, 0.4},
        {"T7, PART .125, CHUCK SIDE", inch, ToolKind::parting, none, 3.175},
        {"T03 RELIEF GROOVE 5 WIDE TO 32.8 - TOOL 4 WIDE", mm, ToolKind::grooving, none, 4},
        {"T3 GROOVES, TOOL 4, CHUCK SIDE CORNER", mm, ToolKind::grooving, none, 4},
        {"tool 6: belt groove, 4 wide", mm, ToolKind::grooving, none, 4},
        {"FINISH FLANKS 17 DEG, 2 WIDE", mm, ToolKind::grooving, none, 2},
        {"CNMG 120408", mm, ToolKind::turning, 0.8},
        {"DCMT11T304 FINISH", mm, ToolKind::turning, 0.4},
        {"VNMG160404-F", mm, ToolKind::turning, 0.4},
        {"CNMG 432 ROUGH", inch, ToolKind::turning, 0.79375},
        {"CCMT 32.51 BORING BAR", inch, ToolKind::boring, 0.396875},
        {"RCMT 0803M0", mm, ToolKind::unknown},
        {"80 DEG R.031", inch, ToolKind::turning, 0.79375},
        {"80 DEG .031", inch, ToolKind::turning, 0.79375},
        {"35DEG 1/64 SHARP POINT FIGURES", inch, ToolKind::turning, 0.396875},
        {"FINISH 35 DEG 0.2", mm, ToolKind::turning, 0.2},
        {"TURN 0.4", mm, ToolKind::turning, 0.4},
        {"TURN LEAVE 0.4", mm, ToolKind::turning},
        {"TURN 0.45", mm, ToolKind::turning},
        {"ROUGH TURN .031R", mm, ToolKind::turning, 0.79375},
        {"FINISH TNR 0.4", mm, ToolKind::turning, 0.4},
        {"GROOVE 3 WIDE", mm, ToolKind::grooving, none, 3},
        {".125 GROOVE TOOL - TOUCHED OFF LEFT SIDE", inch, ToolKind::grooving, none, 3.175},
        {"T6 .187 GROOVER LEFT CORNER", inch, ToolKind::grooving, none, 4.7498},
        {"3 MM GROOVER", inch, ToolKind::grooving, none, 3},
        {"UTENSILE GOLA LARGH. 4", mm, ToolKind::grooving, none, 4},
        {"INTERNAL THREAD BAR", inch, ToolKind::threading_inside},
        {"GROOVING BAR 3 WIDE", mm, ToolKind::grooving, none, 3},
        {"UTENSILE GOLA FRONTALE 6", mm, ToolKind::face_grooving, none, 6},
        {"LAMA 4 MM", mm, ToolKind::grooving, none, 4},
        {".125 GRV", inch, ToolKind::grooving, none, 3.175},
        {"GOLA INTERNA 3 MM", mm, ToolKind::grooving, none, 3},
        {"PLANEINSTICH 4 BREIT", mm, ToolKind::face_grooving, none, 4},
        {"AXIALEINSTICH 4 BREIT", mm, ToolKind::face_grooving, none, 4},
        {"PUNTA 10", mm, ToolKind::drill, none, none, 10},
        {"GROOVE .125", inch, ToolKind::grooving, none, 3.175},
        {"PART OFF 3 WIDE", mm, ToolKind::parting, none, 3},
        {"BAR PULL BY SUB AND PART OFF .125 WIDE", inch, ToolKind::parting, none, 3.175},
        {"BAR STOP AND CUTOFF 3 WIDE", mm, ToolKind::parting, none, 3},
        {"BAR PULL BY SUB", mm, ToolKind::bar_puller},
        {"BAR PULLING AFTER PART OFF", mm, ToolKind::bar_puller},
        {"BAR STOP BEHIND PART OFF", mm, ToolKind::unknown},
        {"CUTOFF .118 R.008", inch, ToolKind::parting, 0.1984375, 2.9972},
        {"PART OFF", mm, ToolKind::parting},
        {"BORING BAR 16", mm, ToolKind::boring, none, none, 16},
        {"THREAD M20X1.5", mm, ToolKind::threading},
        {"INT. THREAD M72X2", mm, ToolKind::threading_inside},
        {"INNENGEWINDE M30X2", mm, ToolKind::threading_inside},
        {"AUSSENGEWINDE M30X2", mm, ToolKind::threading},
        {"FINISH BORE 40 H7", mm, ToolKind::boring},
        {"ROUGH AND FINISH BORE R0.4", mm, ToolKind::boring, 0.4},
        {"FACE GROOVE 3 WIDE", mm, ToolKind::face_grooving, none, 3},
        {"CNMG R1.2, T3 DNMG R0.8, T5 GROOVE 4 WIDE", mm, ToolKind::turning, 1.2},
        {"80 DEG R.031, T3 55 DEG R.0156, T5 DRILL .500", inch, ToolKind::turning, 0.79375},
        {".125 BLADE LEFT CORNER", inch, ToolKind::grooving, none, 3.175},
        {"3 MM BLADE", inch, ToolKind::grooving, none, 3},
        {"PARTING BLADE 3", mm, ToolKind::parting, none, 3},
        // German
        {"BOHRER D8,5", mm, ToolKind::drill, none, none, 8.5},
        {"BOHRER \xC3\x98"
         "8.5",
         mm, ToolKind::drill, none, none, 8.5},
        {"ZENTRIERBOHRER", mm, ToolKind::centre_drill},
        {"NC-ANBOHRER 90 GRAD", mm, ToolKind::centre_drill, none, none, none, 90},
        {"GEWINDEBOHRER M8X1.25", mm, ToolKind::tap, none, none, 8},
        {"SCHRUPPEN CNMG120408", mm, ToolKind::turning, 0.8},
        {"INNEN SCHLICHTEN R0.4", mm, ToolKind::boring, 0.4},
        {"EINSTECHEN 3 BREIT", mm, ToolKind::grooving, none, 3},
        {"ABSTECHEN 3MM", mm, ToolKind::parting, none, 3},
        {"GEWINDE M20X1,5", mm, ToolKind::threading},
        {"REIBAHLE 12", mm, ToolKind::reamer, none, none, 12},
        // Spanish
        {"BROCA 8.5", mm, ToolKind::drill, none, none, 8.5},
        {"BROCA DE CENTRO", mm, ToolKind::centre_drill},
        {"DESBASTE EXTERIOR R0.8", mm, ToolKind::turning, 0.8},
        {"RANURADO ANCHO 3", mm, ToolKind::grooving, none, 3},
        {"TRONZADO 3", mm, ToolKind::parting, none, 3},
        {"MACHO M10X1.5", mm, ToolKind::tap, none, none, 10},
        // French
        {"FORET 8.5", mm, ToolKind::drill, none, none, 8.5},
        {"FORET A CENTRER", mm, ToolKind::centre_drill},
        {"\xC3\x89"
         "BAUCHE R0.8",
         mm, ToolKind::turning, 0.8},
        {"GORGE LARGEUR 3", mm, ToolKind::grooving, none, 3},
        {"TRON\xC3\x87ONNAGE", mm, ToolKind::parting},
        {"TARAUD M8X1.25", mm, ToolKind::tap, none, none, 8},
        {"AL\xC3\x89SAGE", mm, ToolKind::boring},
        // Italian
        {"SGROSSATURA R0.8", mm, ToolKind::turning, 0.8},
        {"GOLA LARGHEZZA 3", mm, ToolKind::grooving, none, 3},
        {"TRONCATURA 3", mm, ToolKind::parting, none, 3},
        {"MASCHIO M8X1.25", mm, ToolKind::tap, none, none, 8},
        {"FILETTATURA M20X1.5", mm, ToolKind::threading},
    };
    check_rows(rows);
}

TEST_CASE("a tool is read from a note that is written without blanks") {
    const Row rows[] = {
        {"DRILL4.2", mm, ToolKind::drill, none, none, 4.2},
        {"DRILL8", mm, ToolKind::drill, none, none, 8},
        {"DRILLD8.5", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL-8.5", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL_8.5", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL8,5", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL8.5MM", inch, ToolKind::drill, none, none, 8.5},
        {"DRILL8.5HSS", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL#7", inch, ToolKind::drill, none, none, 5.1054},
        {"DRILL3/8", mm, ToolKind::drill, none, none, 9.525},
        {"3/8DRILL", mm, ToolKind::drill, none, none, 9.525},
        {".201DRILL", inch, ToolKind::drill, none, none, 5.1054},
        {"8.5DRILL", mm, ToolKind::drill, none, none, 8.5},
        {"8.5MMDRILL", inch, ToolKind::drill, none, none, 8.5},
        {"#7DRILL", inch, ToolKind::drill, none, none, 5.1054},
        {"T02DRILL8.5", mm, ToolKind::drill, none, none, 8.5},
        {"T0202DRILL8.5", mm, ToolKind::drill, none, none, 8.5},
        {"T02-DRILL-8.5", mm, ToolKind::drill, none, none, 8.5},
        {"T2 CDRILL", mm, ToolKind::centre_drill},
        {"T2CENTERDRILL", mm, ToolKind::centre_drill},
        {"M6TAP", mm, ToolKind::tap, none, none, 6},
        {"TAPM6", mm, ToolKind::tap, none, none, 6},
        {"M8X1.25TAP", inch, ToolKind::tap, none, none, 8},
        {"TAPM8X1.25", inch, ToolKind::tap, none, none, 8},
        {"1/2-13TAP", inch, ToolKind::tap, none, none, 12.7},
        {"TAP1/2-13", inch, ToolKind::tap, none, none, 12.7},
        {"REAMER12", mm, ToolKind::reamer, none, none, 12},
        {"12H7REAMER", mm, ToolKind::reamer, none, none, 12},
        {"BORBAR16", mm, ToolKind::boring, none, none, 16},
        {"BOREBAR", mm, ToolKind::boring},
        {"FINISHBORE", mm, ToolKind::boring},
        {"IDBORE", mm, ToolKind::boring},
        {"ODROUGHR0.8", mm, ToolKind::turning, 0.8},
        {"ROUGHR0.8", mm, ToolKind::turning, 0.8},
        {"FINISHR.015", inch, ToolKind::turning, 0.396875},
        {"CNMGR0.8", mm, ToolKind::turning, 0.8},
        {"T05FACE", mm, ToolKind::turning},
        {"GROOVE3WIDE", mm, ToolKind::grooving, none, 3},
        {"GROOVE.125", inch, ToolKind::grooving, none, 3.175},
        {"GROOVE2.5", mm, ToolKind::grooving, none, 2.5},
        {"GROOVE3MM", inch, ToolKind::grooving, none, 3},
        {"GROOVE 3WIDE", mm, ToolKind::grooving, none, 3},
        {"FACEGROOVE 3 WIDE", mm, ToolKind::face_grooving, none, 3},
        {"PARTOFF3", mm, ToolKind::parting, none, 3},
        {"PARTOFF", mm, ToolKind::parting},
        {"CUT-OFF3", mm, ToolKind::parting, none, 3},
        {"THREADM20X1.5", mm, ToolKind::threading},
        {"BOHRER8,5", mm, ToolKind::drill, none, none, 8.5},
        {"BOHRERD8.5", mm, ToolKind::drill, none, none, 8.5},
        {"GEWINDEBOHRERM8X1.25", mm, ToolKind::tap, none, none, 8},
        {"SCHRUPPENR0.8", mm, ToolKind::turning, 0.8},
        {"ABSTECHER3", mm, ToolKind::parting, none, 3},
        {"BROCA8.5", mm, ToolKind::drill, none, none, 8.5},
        {"T4MACHOM10X1.5", mm, ToolKind::tap, none, none, 10},
        {"TRONZADO3", mm, ToolKind::parting, none, 3},
        {"FORET8.5", mm, ToolKind::drill, none, none, 8.5},
        {"TARAUDM8X1.25", mm, ToolKind::tap, none, none, 8},
        {"FINITIONR0.4", mm, ToolKind::turning, 0.4},
        {"PUNTA8.5", mm, ToolKind::drill, none, none, 8.5},
        {"PUNTA 8.5", mm, ToolKind::drill, none, none, 8.5},
        {"PUNTA DA CENTRO", mm, ToolKind::centre_drill},
        {"MASCHIOM8X1.25", mm, ToolKind::tap, none, none, 8},
        {"FINITURAR0.4", mm, ToolKind::turning, 0.4},
    };
    check_rows(rows);
}

TEST_CASE("what counts tools or names a part is no size") {
    const Row rows[] = {
        {"DRILL1", mm, ToolKind::drill},        {"DRILL2 FOR M3", mm, ToolKind::drill},
        {"GROOVE2", mm, ToolKind::grooving},    {"GROOVE3", mm, ToolKind::grooving},
        {"ROUGH1", mm, ToolKind::turning},      {"PART4711", mm, ToolKind::unknown},
        {"PART25", mm, ToolKind::unknown},      {"BAR60X120", mm, ToolKind::unknown},
        {"STEP3", mm, ToolKind::unknown},       {"TAPER1", mm, ToolKind::unknown},
        {"TAPER1.5", mm, ToolKind::unknown},    {"OP1", mm, ToolKind::unknown},
        {"M8", mm, ToolKind::unknown},          {"FACEPLATE2", mm, ToolKind::unknown},
        {"BORE25H7", mm, ToolKind::boring},     {"PUNTA GIRATORIA", mm, ToolKind::unknown},
        {"CONTRAPUNTA", mm, ToolKind::unknown}, {"ODD4.2", mm, ToolKind::unknown},
        {"REV2", mm, ToolKind::unknown},
    };
    check_rows(rows);
}

TEST_CASE("what a note does not say of its tool is not read from it") {
    const Row rows[] = {
        {"OP 10", mm, ToolKind::unknown},
        {"PIN 25 DIA REV C", mm, ToolKind::unknown},
        {"SEE DRAWING 4711", mm, ToolKind::unknown},
        {"CORE 12", mm, ToolKind::unknown},
        {"PLAQUITA DE PUNTA 25 GRADOS, PARA FLANCOS", mm, ToolKind::unknown},
        {"PUNTA 35 GRADI", mm, ToolKind::unknown},
        {"3 GROOVES", mm, ToolKind::grooving},
        {"T6 GROOVE", mm, ToolKind::grooving},
        {"OP 10 GROOVE", mm, ToolKind::grooving},
        {"CASE HARDENED", mm, ToolKind::unknown},
        {"DRILL 4 HOLES", mm, ToolKind::drill},
        {"DRILL 30 DEEP", mm, ToolKind::drill},
        {"DRILL 8.5 OPPOSITE SIDE", mm, ToolKind::drill, none, none, 8.5},
        {"PART OFF AT 80", mm, ToolKind::parting},
        {"PART OFF 80", mm, ToolKind::parting},
        {"DRILL .125 FROM THE TIP", inch, ToolKind::drill},
        {"GROOVE 3 FROM THE FACE", mm, ToolKind::grooving},
        {"RADIUS 0.8, T2 DRILL D20", mm, ToolKind::unknown},
        {"GROOVE 4 PLACES", mm, ToolKind::grooving},
        {"GROOVE 3 X 2", mm, ToolKind::grooving},
        {"FINISH R5", mm, ToolKind::turning},
        {"FINISH R0.8 CORNER", mm, ToolKind::turning},
        {"TURN 25.4 RADIUS", mm, ToolKind::turning},
        {"TURN RIM 30 WIDE", mm, ToolKind::turning},
        {"FINISH, PART 20 LONG", mm, ToolKind::turning},
        {"CNMG 12", mm, ToolKind::turning},
        {"BORE 26", mm, ToolKind::boring},
        {"DRILL 12", inch, ToolKind::drill}, // A number, mm, or a slip
        {"BAR TO STOP", mm, ToolKind::unknown},
    };
    check_rows(rows);
    CHECK(tool_by_note("DRILL 8 T04", 1, 4).tool.diameter_mm == Approx(8));
    CHECK(tool_by_note("FACE AND TURN T02 R0.4", 1, 2).tool.nose_radius_mm == Approx(0.4));
    CHECK_FALSE(tool_by_note("FACE AND TURN T02 R0.4", 1, 1).tool.nose_radius_mm.has_value());
    CHECK(tool_by_note("ROUGH - LEFT HAND TOOL", 1).tool.hand == shop::ToolHand::left);
    CHECK(tool_by_note("THREAD M8 LEFT HAND", 1).tool.hand == shop::ToolHand::unknown);
    CHECK(tool_by_note("TURN, LEFT CORNER SET", 1).tool.hand == shop::ToolHand::unknown);
    // Which unit the number has nobody said.
    CHECK_FALSE(tool_by_note("DRILL 8.5", std::nullopt).tool.diameter_mm.has_value());
    CHECK(tool_by_note("3/8 DRILL", std::nullopt).tool.diameter_mm == Approx(9.525));
    CHECK(tool_by_note("CNMG R0.8", std::nullopt).tool.nose_radius_mm == Approx(0.8));
}

TEST_CASE("the diameter of a drill or a reamer is found past its depth, its point and its make") {
    const Row rows[] = {
        {"DRILL 40 DEEP 8.5 DIA", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL 25 DEEP DIA 6.8", mm, ToolKind::drill, none, none, 6.8},
        {"DRILL 8.5 DIA 40 DEEP", mm, ToolKind::drill, none, none, 8.5},
        {"DRILL 118 DEG 10.2", mm, ToolKind::drill, none, none, 10.2, 118},
        {"CARBIDE DRILL 135 DEG 6.35 DIA", mm, ToolKind::drill, none, none, 6.35, 135},
        {"DRILL, 22 DIA, 118 DEG", mm, ToolKind::drill, none, none, 22, 118},
        {"DRILL THRU 7/16", inch, ToolKind::drill, none, none, 11.1125},
        {"1/2 DRILL 1.25 DEEP", inch, ToolKind::drill, none, none, 12.7},
        {"DRILL DIA 12 X 45 DEEP", mm, ToolKind::drill, none, none, 12},
        {"INDEXABLE DRILL D28", mm, ToolKind::drill, none, none, 28},
        {"U-DRILL 25", mm, ToolKind::drill, none, none, 25},
        {"LTR F", inch, ToolKind::drill, none, none, 6.5278},
        {"T04 LETTER F", inch, ToolKind::drill, none, none, 6.5278},
        {"REAM 12H7", mm, ToolKind::reamer, none, none, 12},
        {"10 H7 REAMER", mm, ToolKind::reamer, none, none, 10},
        {"BOHRER 20 TIEF D6.8", mm, ToolKind::drill, none, none, 6.8},
        {"WENDEPLATTENBOHRER 24", mm, ToolKind::drill, none, none, 24},
        {"VOLLBOHRER D30", mm, ToolKind::drill, none, none, 30},
        {"STUFENBOHRER 8.5/12", mm, ToolKind::drill},
        {"SPIRALBOHRER 118 GRAD D9", mm, ToolKind::drill, none, none, 9, 118},
        {"MASCHINENGEWINDEBOHRER M8X1.25", mm, ToolKind::tap, none, none, 8},
        {"REIBAHLE 10H7", mm, ToolKind::reamer, none, none, 10},
        {"REIBAHLE D8H7", mm, ToolKind::reamer, none, none, 8},
        {"MASCHINENREIBAHLE 6 H7", mm, ToolKind::reamer, none, none, 6},
        {"BROCA DE CENTROS", mm, ToolKind::centre_drill},
        {"BROCA DE PUNTEAR", mm, ToolKind::centre_drill},
        {"BROCA 30 PROF D8.5", mm, ToolKind::drill, none, none, 8.5},
        {"BROCA DE PLAQUITAS 26", mm, ToolKind::drill, none, none, 26},
        {"BROCA METAL DURO D5", mm, ToolKind::drill, none, none, 5},
        {"ESCARIADOR 10H7", mm, ToolKind::reamer, none, none, 10},
        {"FORET D10.2 PROF 35", mm, ToolKind::drill, none, none, 10.2},
        {"FORET A POINTER 90 DEG", mm, ToolKind::centre_drill, none, none, none, 90},
        {"FORET A PLAQUETTES 25", mm, ToolKind::drill, none, none, 25},
        {"FORET CARBURE 7", mm, ToolKind::drill, none, none, 7},
        {"ALESOIR 12H7", mm, ToolKind::reamer, none, none, 12},
        {"PUNTA 8.5 PROF 40", mm, ToolKind::drill, none, none, 8.5},
        {"PUNTA A INSERTI 25", mm, ToolKind::drill, none, none, 25},
        {"PUNTA ELICOIDALE D6.5", mm, ToolKind::drill, none, none, 6.5},
        {"ALESATORE 10H7", mm, ToolKind::reamer, none, none, 10},
        {"BORE WITH DRILL 16", mm, ToolKind::drill, none, none, 16},
        {"AUSDREHEN MIT BOHRER 16", mm, ToolKind::drill, none, none, 16},
        // A tool that is not there
        {"NO BORING BAR", mm, ToolKind::unknown},
        {"TURN, NO CENTRE DRILL", mm, ToolKind::turning},
        {"OHNE BOHRER", mm, ToolKind::unknown},
        {"NO 7 DRILL", inch, ToolKind::drill, none, none, 5.1054},
        {"BORE WITH BAR 16", mm, ToolKind::boring, none, none, 16},
        // A size of something else
        {"DRILL 40 DEEP", mm, ToolKind::drill},
        {"BROCA PROF 40", mm, ToolKind::drill},
        {"DRILL 118 DEG", mm, ToolKind::drill, none, none, none, 118},
        {"DRILL 6 PLACES", mm, ToolKind::drill},
        {"DRILL, 60 DIA FLANGE", mm, ToolKind::drill},
        {"DRILL HOLES ON 60 DIA", mm, ToolKind::drill},
        {"DRILL FOR 25 DIA SHAFT", mm, ToolKind::drill},
        {"DRILL 4 X", mm, ToolKind::drill},
        {"LTR F ON DRAWING", inch, ToolKind::unknown},
        {"LETTER FOR STAMP", inch, ToolKind::unknown},
        {"BORE TO 25H7", mm, ToolKind::boring},
        {"FACE BOSS H7", mm, ToolKind::turning},
        {"TURN FIT 30H7", mm, ToolKind::turning},
        {"PLAQUITA DE PUNTA 25 GRADOS", mm, ToolKind::unknown},
    };
    check_rows(rows);
}

TEST_CASE("any text may stand in a note") {
    std::string text;
    for (int seed = 1; seed < 3000; ++seed) {
        text.clear();
        for (unsigned state = static_cast<unsigned>(seed), i = 0; i < 24; ++i) {
            state = state * 1103515245u + 12345u;
            constexpr std::string_view alphabet = "CNMGDRT#0123456789./-X, \"\xC3\x98\xFF";
            text += alphabet[(state >> 16) % alphabet.size()];
        }
        tool_by_note(text, 1);
        stock_by_note(text, 25.4);
    }
    CHECK(tool_by_note("", 1).is_empty());
    CHECK(stock_by_note("", 1).is_empty());
}

TEST_CASE("the stock is read from the note that describes it") {
    struct StockRow {
        std::string_view note;
        double unit;
        std::optional<double> diameter, length;
        std::string_view material;
    };
    const StockRow rows[] = {
        {"MATERIAL 2.5 DIA 4140", inch, 63.5, none, "4140"},
        {".75 DIAMETER BRASS", inch, 19.05, none, "BRASS"},
        {"STOCK 60X120", mm, 60, 120, ""},
        {"STOCK D60 X 120", mm, 60, 120, ""},
        {"BAR 40", mm, 40, none, ""},
        {"ADAPTER 1.4305 BAR 30, LENGTH 30", mm, 30, none, "1.4305"},
        {"BAR STOCK 1.25 DIA 12L14", inch, 31.75, none, "12L14"},
        {"BAR 1-1/4 DIA", mm, 31.75, none, ""},
        {"MATERIAL: 42CRMO4 D60X120", mm, 60, 120, "42CRMO4"},
        {"ROHTEIL D60X120", mm, 60, 120, ""},
        {"STANGE 40 C45", mm, 40, none, "C45"},
        {"BARRE 40 LAITON", mm, 40, none, "LAITON"},
        {"BARRA D40 OTTONE", mm, 40, none, "OTTONE"},
        {"MATERIAL 4140", inch, none, none, "4140"},
        {"MATERIAL 304 STAINLESS 50 MM DIA 120 LONG", mm, 50, 120, "304 STAINLESS"},
        {"11SMN30 BAR D25, 60 OUT, 3 ON FACE", mm, 25, none, "11SMN30"},
        {"BAR 50, C60, STICKS OUT 120", mm, 50, none, ""},
        {"BUSH .750 X .600 - BAR FEED, 24 PIECES - BAR .875", inch, 22.225, none, ""},
        {"PIN 20 X 60 - STANGE 25 - 3 STUECK", mm, 25, none, ""},
        {"BUSH 1.25 BAR", inch, 31.75, none, ""},
        {"O0077 (PORT PLUG 3/4-16 WITH 1/4-20 HOLE, 6061-T6 BAR 1.000", inch, 25.4, none, "6061-T6"},
        {"PIN .375 X 1.000 WITH CROSS HOLE, BAR .500 17-4", inch, 12.7, none, "17-4"},
        {"BALL STUD D30, 34CRMO4 BAR D35, 85 OUT", mm, 35, none, "34CRMO4"},
        {"DRIVE SHAFT 300 LG, C45 D50, FACED", mm, 50, none, "C45"},
        {"DRUM, GG25 BLANK D124 X 70, BORED 40H7", mm, 124, 70, "GG25"},
        {"CAST BLANK 200 X 46", mm, 200, 46, "CAST"},
        {"FORGING DIA 482 X 62, CORED 190", mm, 482, 62, ""},
        {"ROD END M27X2, 42CRMO4 D45, 110 OUT, 1 ON FACE", mm, 45, none, "42CRMO4"},
        {"C45 - BLANK D115 X 40 - 22 OUT OF SOFT JAWS", mm, 115, 40, "C45"},
        {"AXLE END, C45, BAR DIA 45", mm, 45, none, "C45"},
        {"BOLT D20 - BAR 25", mm, 25, none, ""},
        {"BRASS BAR 36", mm, 36, none, "BRASS"},
        {"CAM ROLLER 12L14, 3/4 BAR", mm, 19.05, none, ""},
        {"STOCK: AL MG 3, DIA. 40 X 90", mm, 40, 90, ""},
        {"THRUST WASHER, BRONZE TUBE 60 X 40", mm, 60, none, "BRONZE"},
        {"PIN D40 BAR", mm, 40, none, ""},
        {"PIN 40 MM ROUND", mm, 40, none, ""},
        {"SLEEVE 1-1/4 DIA BAR", inch, 31.75, none, ""},
        // Nothing of the kind
        {"COOLANT 70 BAR", mm, none, none, ""},
        {"T6 BAR D16 R0.4, T8 PART-OFF 3", mm, none, none, ""},
        {"T1 TURN - T7 BAR D32", mm, none, none, ""},
        {"BAR D16 R0.4", mm, none, none, ""},
        {"HEX BAR 27 AF", mm, none, none, ""},
        {"BAR 90 OUT, 1 OVER FACE", mm, none, none, ""},
        {"BAR STANDS .03 PROUD", inch, none, none, ""},
        {"OP10, D40", mm, none, none, ""},
        {"OP10 D40", mm, none, none, ""},
        {"NUT, M30 D46", mm, none, none, ""},
        {"RING DIA 50 CLAMPED 25 DEEP", mm, none, none, ""},
        {"SCREW, TWO START, DIA 30, PITCH 2", mm, none, none, ""},
        {"CHUCK 12.5 BAR", mm, none, none, ""},
        {"PULL .75 BAR STOP", inch, none, none, ""},
        {"PIN 20 X 60; ROHTEIL 25", mm, none, none, ""},
        {"BAR 60 OUT, 1.5 ON FACE", mm, none, none, ""},
        {"DRILL 10 - BAR 60 OUT, BAR STOP, 3 LEFT", mm, none, none, ""},
        {"BAR .05 OVER FACE, 2. OUT", inch, none, none, ""},
        {"GRIPPED ON HUB D80 BEHIND THE RIM. RIM FROM Z-8 TO Z-42", mm, none, none, ""},
        {"BORING BAR 16", mm, none, none, ""},
        {"BAR STOP", mm, none, none, ""},
        {"BAR PULLER 40", mm, none, none, ""},
        {"STOCK REMOVAL 2.", mm, none, none, ""},
        {"PIN 25 DIA", mm, none, none, ""},
        {"DRILL 12 DIA BRASS", mm, none, none, ""},
        {"LEAVE .010 STOCK", inch, none, none, ""},
        {"ROUGH 2.5 DIA 4140", inch, none, none, ""},
        {"PIN, BAR LOOP BY M99, BAR DRAWN BY SECOND SPINDLE", mm, none, none, ""},
        {"BAR 20, LOOP BY M99", mm, 20, none, ""},
        {"BAR 20 M42", mm, 20, none, "M42"},
    };
    for (const StockRow& row : rows) {
        INFO(row.note);
        const NotedStock stock = stock_by_note(row.note, row.unit);
        check_size(stock.diameter_mm, row.diameter);
        check_size(stock.length_mm, row.length);
        CHECK(stock.material == row.material);
    }
}

TEST_CASE("where the jaws begin is read from the note that tells it") {
    struct Told {
        std::string_view note;
        double z, unit = mm;
    };
    for (const Told& told : {Told{"SAWN BLANK D102 X 54, C45, GRIP 16 IN HARD JAWS, JAW FACE AT Z-36", -36},
                             {"FACE STOCK .06, JAWS AT Z-2.4", -2.4, inch},
                             {"CHUCK JAWS END AT Z-38, 8 MM FREE BEHIND THE PART", -38},
                             {"CHUCK FACE AT Z-35, FIRST BAR BY HAND TO Z+0.5", -35},
                             {"STANGE BEIM START 0.3 VOR Z0, FUTTER BEI Z-55", -55},
                             {"Z0 = RIGHT END, JAWS AT Z-272", -272},
                             {"BAR 50 - STICKS OUT 92 FROM THE JAWS - Z0 IS THE FINISHED FACE", -92},
                             {"BAR C45 DIA 60, 75 OUT OF JAWS", -75},
                             {"HEX BAR .6875 12L14, 1.6 OUT OF THE COLLET", -1.6, inch},
                             {"FIRST BAR: FACE .03 IN FRONT OF Z0, 2.8 OUT OF THE JAWS", -2.8, inch},
                             {"16MNCR5 D40, STICK-OUT 65", -65},
                             {"TOOL STEEL BAR 1.250 DIA, STICK OUT 3.60", -3.6, inch},
                             {"SECHSKANT SW27 11SMN30, AUSSPANNLAENGE 45", -45},
                             {"AUSSPANNL\xC4NGE 45", -45},
                             {"65 MM OUT OF THE SOFT JAWS", -65},
                             {"50.8 MM OUT OF THE JAWS", -2, inch}}) {
        INFO(told.note);
        const auto jaws = jaws_by_note(told.note);
        REQUIRE(jaws);
        CHECK(jaws->z(told.unit) == Approx(told.z));
    }
    for (const std::string_view note :
         {"", "JAWS", "JAWS STAND AT ABOUT DIA 70 INSIDE, Z0 = JAW FRONT", "BORING BAR, STICK-OUT 45",
          "T04 DRILL 8 STICKS OUT 60", "PART OUT OF SUB BY HAND",
          "JAWS BITE 12 MM, NOTHING BEHIND Z-47 IS TURNED HERE", "SOFT JAWS BORED 3.000 X .50 DEEP",
          "STICK-OUT", "OUT OF JAWS", "MM OUT OF JAWS", "GRIP 16 IN JAWS"}) {
        INFO(note);
        CHECK_FALSE(jaws_by_note(note));
    }
}

TEST_CASE("a note tells which corner of a blade is set") {
    const std::pair<std::string_view, BladeCorner> rows[] = {
        {"PART OFF 3MM RIGHT CORNER", BladeCorner::right},
        {"PART OFF 3 WIDE - RIGHT CORNER SET", BladeCorner::right},
        {"PART OFF .118, LEFT CORNER SET", BladeCorner::left},
        {"GROOVE .125 LEFT EDGE", BladeCorner::left},
        {"ABSTECHEN 3 BREIT RECHTE ECKE", BladeCorner::right},
        {"GROOVE 4 WIDE, TAILSTOCK SIDE CORNER", BladeCorner::right},
        {"GROOVE 4 WIDE, CHUCK SIDE CORNER", BladeCorner::left},
        {"PART OFF 3 WIDE", BladeCorner::unknown},
        {"GROOVE 3 WIDE AT RIGHT EDGE OF FLANGE", BladeCorner::unknown}, // Where it lies
        {"GROOVE 3 WIDE, TAILSTOCK SIDE", BladeCorner::unknown},
        {"GROOVE 3 WIDE LEFT AND RIGHT SIDE", BladeCorner::unknown},
        {"GROOVE 3 WIDE LEFT CORNER THEN RIGHT CORNER", BladeCorner::unknown},
        {"ROUGH TURN LEFT CORNER", BladeCorner::unknown}, // Of the part, as likely
    };
    for (const auto& [note, corner] : rows) {
        INFO(note);
        CHECK(tool_by_note(note, mm).corner == corner);
    }
}

TEST_CASE("stock is read from notes in the word orders of many shops, and tools are no stock") {
    struct StockRow {
        std::string_view note;
        double unit;
        std::optional<double> diameter, length;
        std::string_view material; ///< In what is read; empty: not looked at
    };
    const StockRow rows[] = {
        {"60 DIA C45 BAR", mm, 60, none, "C45"},
        {"C45 60 DIA BAR", mm, 60, none, "C45"},
        {"BAR C45 60 DIA", mm, 60, none, "C45"},
        {"STANGE D50 C45", mm, 50, none, "C45"},
        {"MATERIAL: C45 DM 60", mm, 60, none, "C45"},
        {"BAR MILD STEEL 60 DIA", mm, 60, none, "MILD STEEL"},
        {"STOCK: 1.25 HEX BRASS", inch, none, none, "BRASS"},
        {"HEX KEY 6 BRASS PIN", mm, none, none, ""},
        {"ROHTEIL 60X120", mm, 60, 120, ""},
        {"ROHTEIL: D60 L120 MATERIAL 42CRMO4", mm, 60, 120, "42CRMO4"},
        {"RUNDMATERIAL D40 1.4301", mm, 40, none, "1.4301"},
        {"MATERIAL 1.4305 D30", mm, 30, none, "1.4305"},
        {"WERKSTOFF 16MNCR5 DURCHMESSER 45 LANG 100", mm, 45, 100, "16MNCR5"},
        {"ROHLING \xC3\x98"
         "80 X 55 LG",
         mm, 80, 55, ""},
        {"HALBZEUG: RUND 50 - 11SMNPB30", mm, 50, none, "11SMNPB30"},
        {"RUND 35 S355", mm, 35, none, "S355"},
        {"RD 60 X 85 C45", mm, 60, 85, "C45"},
        {"RD60X85", mm, 60, 85, ""},
        {"STANGENMATERIAL 42 H9 - X5CRNI18-10", mm, 42, none, "X5CRNI18-10"},
        {"ROHR 60X40 ST52", mm, 60, none, "ST52"},
        {"ABSCHNITT D65X90", mm, 65, 90, ""},
        {"SAEGEABSCHNITT D=65 L=90", mm, 65, 90, ""},
        {"ROHMASS: D72 X 41", mm, 72, 41, ""},
        {"AUSGANGSMATERIAL MS58 D25", mm, 25, none, "MS58"},
        {"BARRA D50 F114", mm, 50, none, "F114"},
        {"BARRA DE 50 MM F1140", mm, 50, none, "F1140"},
        {"MATERIAL: ACERO F114 DIAMETRO 50", mm, 50, none, "ACERO"},
        {"REDONDO 50 X 80", mm, 50, 80, ""},
        {"TOCHO D70 L60", mm, 70, 60, ""},
        {"BRUTO D70 X 60", mm, 70, 60, ""},
        {"MATERIA PRIMA: BARRA 32", mm, 32, none, ""},
        {"TUBO 80X60 L50", mm, 80, 50, ""},
        {"BARRE D40 XC48", mm, 40, none, "XC48"},
        {"BRUT DIAM 40 LG 85", mm, 40, 85, ""},
        {"ROND 40 XC48", mm, 40, none, "XC48"},
        {"LOPIN D55 L40", mm, 55, 40, ""},
        {"BARRE DIAMETRE 25 INOX 304L", mm, 25, none, "INOX"},
        {"ETIRE D30 S300PB", mm, 30, none, "S300PB"},
        {"MATIERE: 42CD4 DIA 60", mm, 60, none, "42CD4"},
        {"BARRA D.40 C40", mm, 40, none, "C40"},
        {"TONDO 50 C45", mm, 50, none, "C45"},
        {"TONDO DIAM. 50 X 120", mm, 50, 120, ""},
        {"SPEZZONE D60X45", mm, 60, 45, ""},
        {"MATERIALE: BARRA 38 AVP", mm, 38, none, ""},
        {"DIA 60 BAR EN8", mm, 60, none, "EN8"},
        {"60MM DIA EN8 BAR", mm, 60, none, "EN8"},
        {"60MM BAR EN8", mm, 60, none, "EN8"},
        {"M/C FROM 60MM DIA BAR", mm, 60, none, ""},
        {"BILLET 60 DIA X 45 LG", mm, 60, 45, ""},
        {"MATL EN24T 2 1/2 DIA", mm, 63.5, none, "EN24T"},
        {"SAWN BLANK 75 X 52", mm, 75, 52, ""},
        {"SLUG 60 X 45", mm, 60, 45, ""},
        {"60 DIA. X 120 LONG 6082 ALI", mm, 60, 120, "6082"},
        {"ALU D60X40", mm, 60, 40, "ALU"},
        {"DIA60 C45", mm, 60, none, "C45"},
        {"\xC3\x98"
         "60 C45",
         mm, 60, none, "C45"},
        {"\xC3\x98"
         " 60 C45 LG 120",
         mm, 60, 120, "C45"},
        {"BAR STOCK \xC3\x98"
         "60",
         mm, 60, none, ""},
        {"STOCK SIZE 60 X 100", mm, 60, 100, ""},
        {"D70 AL 7075 ROUND", mm, 70, none, "7075"},
        {"CONTACT PIN, CUZN39PB3 DIA 3", mm, 3, none, "CUZN39PB3"},
        {"NOZZLE, CU-ETP DIA 20", mm, 20, none, "CU-ETP"},
        {"STOCK D95 X 30 BRONZE CAST RING BORE 48", mm, 95, 30, "BRONZE CAST"},
        {"STOCK DIA 60 LENGTH 100", mm, 60, 100, ""},
        {"RAW MATERIAL: 60 X 100 S355J2", mm, 60, 100, "S355J2"},
        {"BAR 2.362 IN", mm, 59.9948, none, ""},
        {"2.5 DIA 4140 BAR", inch, 63.5, none, "4140"},
        {"4140 2.5 DIA BAR", inch, 63.5, none, "4140"},
        {"4140 HT 2.5 OD X 6.0 LG", inch, 63.5, 152.4, "4140"},
        {"MATERIAL 2.5 DIA 4140", inch, 63.5, none, "4140"},
        {".75 DIAMETER BRASS", inch, 19.05, none, "BRASS"},
        {".75 BRASS ROD", inch, 19.05, none, "BRASS"},
        {"BRASS ROD .75", inch, 19.05, none, "BRASS"},
        {"3/4 BRASS HEX", inch, none, none, ""},
        {"1-1/4 DIA 303 SS", inch, 31.75, none, "303"},
        {"1 1/4 DIA 303 SS", inch, 31.75, none, "303"},
        {"1.25 RD 12L14", inch, 31.75, none, "12L14"},
        {"1.25 ROUND 12L14", inch, 31.75, none, "12L14"},
        {"1.25\" CRS BAR", inch, 31.75, none, "CRS"},
        {"CRS 1.25 RND", inch, 31.75, none, "CRS"},
        {"1018 CRS 1.5 DIA X 3.25", inch, 38.1, 82.55, "1018"},
        {"6061-T6 RD 2.0", inch, 50.8, none, "6061-T6"},
        {"6061 2.00 ROUND BAR", inch, 50.8, none, "6061"},
        {"STOCK: 2.00 ROUND X 3.10 LONG", inch, 50.8, 78.74, ""},
        {"STOCK 1.75 X 4.0", inch, 44.45, 101.6, ""},
        {"BLANK 3.0 OD X 1.0 ID X 1.5 LG", inch, 76.2, 38.1, ""},
        {"3.0 OD 1.5 ID TUBE 1026 DOM", inch, 76.2, none, "1026"},
        {"TUBE 3.00 OD X .25 WALL", inch, 76.2, none, ""},
        {"SAW CUT 2.0 DIA X 3.1", inch, 50.8, 78.74, ""},
        {"ROD 3/8 303", inch, 9.525, none, "303"},
        {"BAR DIA .500 17-4", inch, 12.7, none, "17-4"},
        {"17-4 PH .5 DIA", inch, 12.7, none, "17-4"},
        {"MATL = 2.00 DIA 316L", inch, 50.8, none, "316L"},
        {"MAT'L 2.00 DIA A36", inch, 50.8, none, "A36"},
        {"SLUG 2.5 X 1.25", inch, 63.5, 31.75, ""},
        {"1.00 DIA STOCK", inch, 25.4, none, ""},
        {"USE 1.00 DIA STOCK", inch, 25.4, none, ""},
        {"BAR: 1.0 GROUND", inch, 25.4, none, ""},
        {"1.00 STOCK", inch, 25.4, none, ""},
        {"1.00 STOCK 12L14", inch, 25.4, none, "12L14"},
        {"5/8 STOCK", inch, 15.875, none, ""},
        {"DIA 1.000 TURNED GROUND POLISHED", inch, 25.4, none, ""},
        {"1.000 DIA TURNED GROUND & POLISHED", inch, 25.4, none, ""},
        {"SLUG D80 H30", mm, 80, 30, ""},
        {"D50 BAR H9", mm, 50, none, ""},
        {"C45, S\xC4GEABSCHNITT DM 110 X 64, VORGEBOHRT 30", mm, 110, 64, "C45"},
        {"FUNDICION GRIS, DIAM. EXT. EN BRUTO 166", mm, 166, none, ""},
        {"ACERO F114, FORJADO DIAM. 200, LARGO 760", mm, 200, 760, ""},
        {"1.00 DIA 303 SST BAR - 4.6 STICKOUT", inch, 25.4, none, "303"},
        {"316 TUBE 2.5 OD X 1.5 ID - SAWED 3.12 LONG", inch, 63.5, 79.248, "316"},
        {"ALU 1.625", inch, 41.275, none, "ALU"},
        {"ROHR 85/55", mm, 85, none, ""},
        {"BAR 60 - THREAD 20 LONG", mm, 60, none, ""},
        {"DISTANCE SLEEVE CUZN39PB3, BAR 20, LENGTH 18", mm, 20, none, ""},
        {"BAR 20, SAWN 18 LONG", mm, 20, 18, ""},
        {"TUBE 3.00 X 1.75, 5.0 LONG", inch, 76.2, none, ""},
        {"ALU 6061", inch, none, none, ""},
        {"STAHL 1.0503", mm, none, none, ""},
        {"DIAM. EXT. 60", mm, none, none, ""},
        {".05 STOCK", inch, none, none, ""},
        {"LEAVE .5 STOCK", inch, none, none, ""},
        {".5 STOCK ON FACE", inch, none, none, ""},
        {"1.0 STOCK REMOVAL", inch, none, none, ""},
        {"DIA 1.000 TURNED", inch, none, none, ""},
        {"D16 R0.4 BAR", mm, none, none, ""},
        {"BAR D16 R0.4", mm, none, none, ""},
        {"BORING BAR D16", mm, none, none, ""},
        {"BAR STOP", mm, none, none, ""},
        {"STOCK REMOVAL 2MM", mm, none, none, ""},
        {"COOLANT 70 BAR", mm, none, none, ""},
        {"FINISH D40 H7", mm, none, none, ""},
        {"BORE 40 H7", mm, none, none, ""},
        {"DRG 60-120 REV 3", mm, none, none, ""},
        {"PIN D20X50", mm, none, none, ""},
        {"SHAFT 4140 D20", mm, none, none, ""},
        {"BAR PULL 60", mm, none, none, ""},
        {"SW 27 MESSING", mm, none, none, ""},
        {"SECHSKANT SW27", mm, none, none, ""},
        {"DRILL DIA 20", mm, none, none, ""},
        {"ID BAR 20 DIA", mm, none, none, ""},
        {"20 DIA BAR R0.8", mm, none, none, ""},
        {"CARBIDE BAR 20 DIA", mm, none, none, ""},
        {"SOFT JAWS BORED 60 DIA", mm, none, none, ""},
        {"TURN 60 DIA TO 50", mm, none, none, ""},
        {"BAR 25MM OUT OF CHUCK", mm, none, none, ""},
        {"STICK OUT 60", mm, none, none, ""},
        {"CHECK DIA 60", mm, none, none, ""},
        {"GROOVE 3 WIDE 40 DIA", mm, none, none, ""},
        {"ROUND 2 EDGES", mm, none, none, ""},
        {"ROUND INSERT 12MM", mm, none, none, ""},
        {"RUND R5", mm, none, none, ""},
        {"ROHR DREHEN D60", mm, none, none, ""},
        {"BOHRSTANGE 25", mm, none, none, ""},
        {"BOHRSTANGE D25", mm, none, none, ""},
        {"BARRA DE MANDRINAR D20", mm, none, none, ""},
        {"BARRE D'ALESAGE 20", mm, none, none, ""},
        {"BARENO BARRA 20", mm, none, none, ""},
        {"TONDO INSERTO 8", mm, none, none, ""},
        {"INSERT RCMT 10 ROUND", mm, none, none, ""},
        {".375 RD INSERT", inch, none, none, ""},
        {".75 BORING BAR", inch, none, none, ""},
        {"3/4 BAR", inch, 19.05, none, ""},
        {"1/2 BAR CARBIDE", inch, none, none, ""},
    };
    for (const StockRow& row : rows) {
        INFO(row.note);
        const NotedStock stock = stock_by_note(row.note, row.unit);
        check_size(stock.diameter_mm, row.diameter);
        if (row.diameter) check_size(stock.length_mm, row.length);
        CHECK(stock.material.find(row.material) != std::string::npos);
    }
    // Of a tube the bore, by its size or its wall.
    check_size(stock_by_note("TUBE 3.00 OD X .25 WALL", inch).bore_mm, 63.5);
    check_size(stock_by_note("BLANK 3.0 OD X 1.0 ID X 1.5 LG", inch).bore_mm, 25.4);
    check_size(stock_by_note("ROHR 60X40 ST52", mm).bore_mm, 40);
    check_size(stock_by_note("ROHR 85/55", mm).bore_mm, 55);
    check_size(stock_by_note("C45, ABSCHNITT DM 110 X 64, VORGEBOHRT 30", mm).bore_mm, 30);
    check_size(stock_by_note("BAR DIA 60, CORED", mm).bore_mm, none);
    // A wall with no word for it, where a bore of its size would be none; between them neither.
    check_size(stock_by_note("ROHR 60X5 E235", mm).bore_mm, 50);
    check_size(stock_by_note("ROHR 21.3 X 4, LAENGE 61, ST37", mm).bore_mm, 13.3);
    check_size(stock_by_note("TUBE 60 X 21", mm).bore_mm, none);
    check_size(stock_by_note("TUBE 60 X 24", mm).bore_mm, 24);
    check_size(stock_by_note("BRONZE BAR 4-1/8 OD CORED 2-1/2", inch).bore_mm, 63.5);
    check_size(stock_by_note("RD 130 X 64, VORGEBOHRT D46", mm).bore_mm, 46);
    check_size(stock_by_note("ACIER 2 PO DIA", inch).diameter_mm, 50.8);
}

TEST_CASE("a hexagon bar is told across its flats") {
    struct Row {
        std::string_view note;
        double unit;
        std::optional<double> mm;
    };
    for (const Row& row : {Row{"1-1/8 HEX BAR", inch, 28.575},
                           {"1 IN HEX BRASS BAR", inch, 25.4},
                           {"SECHSKANT SW 24, 11SMN30", mm, 24},
                           {"STANGE SW27 9SMN28", mm, 27},
                           {"STOCK 1.125 HEX BRASS C360", inch, 28.575},
                           {"12L14 HEX 1-1/2 AF, STICK OUT 1.35", inch, 38.1},
                           {"HEXAGONO 27 - F114 - SALIENTE 40", mm, 27},
                           {"BARRA HEXAGONAL 24, C35, 35 FUERA DE LA PINZA", mm, 24},
                           {"BLANK 1.5 HEX X 4.0", inch, 38.1},
                           // Of a tool, of the part alone, no size, or no hexagon
                           {"HEX STUD", inch, none},
                           {"SCREW M16 SW 24", mm, none},
                           {"SW 24", mm, none},
                           {"PLUG WITH HEX 22 IN FRONT", mm, none},
                           {"HEX KEY 6 ON THE CHUCK", mm, none},
                           {"BAR 40 C45", mm, none},
                           {"MILL HEX 36 A/F", mm, none}}) {
        INFO(row.note);
        check_size(flats_by_note(row.note, row.unit), row.mm);
    }
}

TEST_CASE("a whole number and a fraction are one size, but where it counts tools") {
    check_size(stock_by_note("MATL EN24T 2 1/2 DIA", mm).diameter_mm, 63.5);
    check_size(tool_by_note("1 1/4 DRILL", inch).tool.diameter_mm, 31.75);
    check_size(tool_by_note("1-1/2 FLAT DRILL", inch).tool.diameter_mm, 38.1);
    check_size(tool_by_note("TOOL 2 1/4 DRILL", inch).tool.diameter_mm, 6.35);
    check_size(tool_by_note("T2 1/4 DRILL", inch).tool.diameter_mm, 6.35);
}

TEST_CASE("widths alone, bars with their size and drills by other names") {
    const Row rows[] = {
        {"3 WIDE", mm, ToolKind::grooving, none, 3},
        {"T05 .125 WIDE", inch, ToolKind::grooving, none, 3.175},
        {"3 MM WIDE", inch, ToolKind::grooving, none, 3},
        {"20 WIDE", mm, ToolKind::unknown},
        {"FLANGE 3 WIDE", mm, ToolKind::unknown},
        {".75 BORING BAR", inch, ToolKind::boring, none, none, 19.05},
        {"BORING BAR D12 R0.4", mm, ToolKind::boring, 0.4, none, 12},
        {"BOHRSTANGE 25", mm, ToolKind::boring, none, none, 25},
        // Of an insert, a nose radius, an angle, a station
        {"CCMT 32.51 BORING BAR", inch, ToolKind::boring, 0.396875},
        {"BORING BAR .031", inch, ToolKind::boring},
        {"BORING BAR 80 DEG", mm, ToolKind::boring},
        {"3 BORING BAR", mm, ToolKind::boring},
        {"BORE 40 H7", mm, ToolKind::boring},
        {"U-DRILL 25", mm, ToolKind::drill, none, none, 25},
        {"BROCA DE CENTROS", mm, ToolKind::centre_drill},
        {"LTR F DRILL", inch, ToolKind::drill, none, none, 6.5278},
    };
    check_rows(rows);
}

TEST_CASE("a tube has a bore or a wall, and a length behind it") {
    struct Tube {
        std::string_view note;
        std::optional<double> diameter, bore, length;
    };
    const Tube rows[] = {
        {"TUBE 60 X 40 X 100", 60, 40, 100},   {"TUBE 60X40X100", 60, 40, 100},
        {"RING 60X40X30 16MNCR5", 60, 40, 30}, {"RING BLANK 60 X 40 X 30", 60, 40, 30},
        {"RING 60X40X30", none, none, none},   {"RING 60X40 CLAMPED ON 16MNCR5 PIN", none, none, none},
        {"TUBE D60 X 5 X 100", 60, 50, 100},   {"TUBE OD 60 ID 40", 60, 40, none},
        {"TUBE ID 40 OD 60", 60, 40, none},    {"TUBE 60 X 40", 60, 40, none},
        {"TUBE OD 60 ID 80", 60, none, none},  {"BAR 60 X 100", 60, none, 100},
    };
    for (const Tube& row : rows) {
        INFO(row.note);
        const NotedStock stock = stock_by_note(row.note, mm);
        check_size(stock.diameter_mm, row.diameter);
        check_size(stock.bore_mm, row.bore);
        check_size(stock.length_mm, row.length);
    }
}

TEST_CASE("letters of drills, blades and bars by their size, spot drills, noses, and what only looks so") {
    const Row rows[] = {
        {"F DRILL", inch, ToolKind::drill, none, none, 6.5278},
        {"T4 Q DRILL THRU", inch, ToolKind::drill, none, none, 8.4328},
        {"DRILL Q", inch, ToolKind::drill, none, none, 8.4328},
        {"SIZE I DRILL", inch, ToolKind::drill, none, none, 6.9088},
        {"A DRILL IN STATION 4", inch, ToolKind::drill},
        {"F DRILL", mm, ToolKind::drill},
        {"F DRILL HOLE DEPTH CHECK", inch, ToolKind::drill},
        {"U DRILL", inch, ToolKind::drill},
        {"29/64 DRL", inch, ToolKind::drill, none, none, 11.5094},
        {"DRL 12.5", mm, ToolKind::drill, none, none, 12.5},
        {"BOHRER 8 TIEF 30", mm, ToolKind::drill, none, none, 8},
        {"BOHRER 30 TIEF 8", mm, ToolKind::drill, none, none, 8},
        {"REIBEN 12 TIEF 20", mm, ToolKind::reamer, none, none, 12},
        {"CTR DRILL #4", inch, ToolKind::centre_drill},
        {"C'DRILL #4", inch, ToolKind::centre_drill},
        {"COMB. DRILL #3", inch, ToolKind::centre_drill},
        {"NC ANBOHRER D12", mm, ToolKind::centre_drill, none, none, 12},
        {"SPOT DRILL 3/8", inch, ToolKind::centre_drill, none, none, 9.525},
        {"SPOT DRILL D.2 DEEP", inch, ToolKind::centre_drill},
        {"SPOT FOR 1/2 TAP", inch, ToolKind::centre_drill},
        {"CENTRE DRILL D10", mm, ToolKind::centre_drill},
        {"CUTOFF .125W", inch, ToolKind::parting, none, 3.175},
        {"GROOVER .094 W", inch, ToolKind::grooving, none, 2.3876},
        {"EINSTECHSTAHL B=2.5", mm, ToolKind::grooving, none, 2.5},
        {"ABSTECHSTAHL B3", mm, ToolKind::parting, none, 3},
        {"LAME A TRONCONNER LARG 3", mm, ToolKind::parting, none, 3},
        {"STECHSTAHL 2MM", mm, ToolKind::grooving, none, 2},
        {"MANDRINADO BARRA 20", mm, ToolKind::boring, none, none, 20},
        {"INNENDREHEN 16MM BOHRSTANGE", mm, ToolKind::boring, none, none, 16},
        {"BARRE D'ALESAGE 20", mm, ToolKind::boring, none, none, 20},
        {"BARENO 32 BARRA INTERIOR", mm, ToolKind::boring},
        {"1/32 R OD FINISH", inch, ToolKind::turning, 0.79375},
        {"RCMT 0803", mm, ToolKind::turning},
        {"RNMG 43", inch, ToolKind::turning},
        {"RADIO PUNTA 0.8", mm, ToolKind::unknown, 0.8},
        {"CILINDRADO RAGGIO PUNTA 0.8", mm, ToolKind::turning, 0.8},
        {"FINITION RAYON DE BEC 0.4", mm, ToolKind::turning, 0.4},
        {"MGMN 300", mm, ToolKind::grooving, none, 3},
        {"TAP DRILL 6.8", mm, ToolKind::drill, none, none, 6.8},
        {"BROCA 8.5 PARA MACHO M10", mm, ToolKind::drill, none, none, 8.5},
        {"MECHE 10", mm, ToolKind::drill, none, none, 10},
        {"INNENDREHMEISSEL D12", mm, ToolKind::boring, none, none, 12},
        {"ID ROUGH .75 BAR", inch, ToolKind::boring, none, none, 19.05},
        {"DRILL AND TAP M8", mm, ToolKind::unknown},
        {"TNR .0312", inch, ToolKind::unknown, 0.79375},
    };
    check_rows(rows);
}

TEST_CASE("pipes, parts for chuck and bar, and sawn lengths are stock; pipe threads and flanges are not") {
    struct StockRow {
        std::string_view note;
        double unit;
        std::optional<double> diameter, length, bore;
        std::string_view material;
    };
    const StockRow rows[] = {
        {"PIPE OD 60 ID 40", mm, 60, none, 40, ""},
        {"PIPE 2.5 OD 1.75 ID", inch, 63.5, none, 44.45, ""},
        {"TUYAU DIA 80 INT 60", mm, 80, none, 60, ""},
        {"RINGMATERIAL AD 90 ID 50", mm, 90, none, 50, ""},
        {"FUTTERTEIL C45 D60", mm, 60, none, none, "C45"},
        {"STANGENTEIL 11SMN30 D22", mm, 22, none, none, "11SMN30"},
        {"FLANSCHROHTEIL D140 L45", mm, 140, 45, none, ""},
        {"MATERIA PRIMA DIAM 60", mm, 60, none, none, ""},
        {"SAEGELAENGE 122 D60", mm, 60, 122, none, ""},
        {"SAWED LENGTH 4.25 D2.0", inch, 50.8, 107.95, none, ""},
        {"LONGUEUR DEBIT 88 DIA 40", mm, 40, 88, none, ""},
        {"MILD STEEL 2.0 DIA", inch, 50.8, none, none, "MILD STEEL"},
        {"STK DIA 1.75 LG 3.5", inch, 44.45, 88.9, none, ""},
        {"HALBZEUG 60 DURCHM.", mm, 60, none, none, ""},
        {"BARRA TONDA 35 OTTONE", mm, 35, none, none, "OTTONE"},
        {"MTL 303 SS 1.625", inch, 41.275, none, none, "303"},
        {"MTL 4140", inch, none, none, none, ""},
        {"PIPE THREAD 1/2 NPT", inch, none, none, none, ""},
        {"PIPE FLANGE 140 DIA", mm, none, none, none, ""},
        {"FUTTERTEIL D60", mm, none, none, none, ""},
        {"FUTTERTEILE SPANNEN D60 BACKEN", mm, none, none, none, ""},
        {"LENGTH 95 D50", mm, none, none, none, ""},
    };
    for (const StockRow& row : rows) {
        INFO(row.note);
        const NotedStock stock = stock_by_note(row.note, row.unit);
        check_size(stock.diameter_mm, row.diameter);
        if (row.diameter) {
            check_size(stock.length_mm, row.length);
            check_size(stock.bore_mm, row.bore);
            CHECK(stock.material == row.material);
        }
    }
}
