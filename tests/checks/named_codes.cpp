// What notes say of a builder's M codes. Forms of such notes: common practice, no source.
#include "checks/named_tool.h"

#include <catch2/catch.hpp>

using namespace turnwright::checks;
using Does = MachineCode::Does;

namespace {

std::vector<std::pair<int, Does>> told(std::string_view note, int alone = -1) {
    std::vector<std::pair<int, Does>> codes;
    for (const MachineCode& code : codes_named(note, alone))
        if (code.does != Does::other) codes.emplace_back(code.number, code.does);
    return codes;
}

using Codes = std::vector<std::pair<int, Does>>;

} // namespace

TEST_CASE("codes are told one by one, or the second with what the first works on") {
    CHECK(told("M10 COLLET OPEN, M11 CLOSED") == Codes{{10, Does::clamp_open}, {11, Does::clamp_close}});
    CHECK(told("M51 C ON  M50 C OFF") == Codes{{51, Does::c_on}, {50, Does::c_off}});
    CHECK(told("m51 = c axis on, m50 = off") == Codes{{51, Does::c_on}, {50, Does::c_off}});
    CHECK(told("M61 C BRAKE ON  M62 C BRAKE OFF") == Codes{{61, Does::brake_on}, {62, Does::brake_off}});
    CHECK(told("M89 C CLAMP / M90 C UNCLAMP") == Codes{{89, Does::brake_on}, {90, Does::brake_off}});
    CHECK(told("M13 LIVE TOOL ON, M15 LIVE TOOL STOP") == Codes{{13, Does::live_on}, {15, Does::live_off}});
    CHECK(told("M64 CATCHER OUT  M65 CATCHER BACK") ==
          Codes{{64, Does::catcher_out}, {65, Does::catcher_back}});
}

TEST_CASE("two codes share what they work on") {
    CHECK(told("M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF") ==
          Codes{{20, Does::clamp_open},
                {21, Does::clamp_close},
                {22, Does::second_open},
                {23, Does::second_close},
                {34, Does::joined},
                {35, Does::parted}});
    const std::vector<MachineCode> codes =
        codes_named("M44/M45 CATCHER OUT/IN  P1 MAIN  B SUB SLIDE GRIP B-575", -1);
    REQUIRE(codes.size() == 2);
    CHECK(codes[1].does == Does::catcher_back);
    CHECK(codes[1].words == "CATCHER IN");
}

TEST_CASE("names with a number written out, verbs behind a name in front of them, and verbs for two") {
    CHECK(told("M41 CHUCK ONE GRIP, M42 CHUCK ONE RELEASE") ==
          Codes{{41, Does::clamp_close}, {42, Does::clamp_open}});
    CHECK(told("M141 CHUCK TWO GRIP, M142 CHUCK TWO RELEASE") ==
          Codes{{141, Does::second_close}, {142, Does::second_open}});
    CHECK(told("M70/M71 PINZA 1 CHIUDE/APRE   M72/M73 PINZA 2 CHIUDE/APRE") ==
          Codes{{70, Does::clamp_close},
                {71, Does::clamp_open},
                {72, Does::second_close},
                {73, Does::second_open}});
    CHECK(told("MAIN CHUCK M10 CLAMP M11 UNCLAMP / SUB CHUCK M110 CLAMP M111 UNCLAMP") ==
          Codes{{10, Does::clamp_close},
                {11, Does::clamp_open},
                {110, Does::second_close},
                {111, Does::second_open}});
    CHECK(told("M33/M34 CLAMP/UNCLAMP C") == Codes{{33, Does::brake_on}, {34, Does::brake_off}});
    CHECK(told("C AXIS ON M73 OFF M74, LOCK M71 UNLOCK M72") ==
          Codes{{73, Does::c_on}, {74, Does::c_off}, {71, Does::brake_on}, {72, Does::brake_off}});
    CHECK(told("C-AXIS M50/M51, BRAKE M52/M53") ==
          Codes{{50, Does::c_on}, {51, Does::c_off}, {52, Does::brake_on}, {53, Does::brake_off}});
    CHECK(told("M73/M75 IS THE LIVE TOOL OF THE LOWER TURRET") ==
          Codes{{73, Does::live_on}, {75, Does::live_off}});
}

TEST_CASE("the name is what goes on, where another code of the note ends it") {
    CHECK(told("M170 C AXIS, M171 TURNING MODE") == Codes{{170, Does::c_on}, {171, Does::c_off}});
    CHECK(told("M80 C AXIS  M81 C AXIS OFF") == Codes{{80, Does::c_on}, {81, Does::c_off}});
    CHECK(told("M13 OUTIL TOURNANT, M15 ARRET") == Codes{{13, Does::live_on}, {15, Does::live_off}});
    CHECK(told("M170 C AXIS, M88 CONVEYOR").empty());
    CHECK(told("M25 FREIN C SERRE POUR CE TROU, DESSERRE TOUT SEUL").empty());
}

TEST_CASE("what ends joined spindles in other words") {
    const Codes joined{{35, Does::joined}, {36, Does::parted}};
    CHECK(told("M35 BOTH SPINDLES RUN TOGETHER, M36 TOGETHER OFF") == joined);
    CHECK(told("M35 SPINDLES LOCKED, M36 SPINDLES FREE") == joined);
    CHECK(told("M35 SPEED MATCH ON, M36 SPEED MATCH OFF") == joined);
    CHECK(told("M35 SYNC START / M36 SYNC END") == joined);
    CHECK(told("SYNC SPINDLES M35, END SYNC M36") == joined);
    CHECK(told("M35 = BOTH SPINDLES SAME SPEED, M36 = EACH ITS OWN") == joined);
}

TEST_CASE("codes of a second spindle in whole sentences") {
    const Codes joined{{34, Does::joined}, {35, Does::parted}};
    CHECK(told("M34 SECOND SPINDLE FOLLOWS THE MAIN, M35 OFF") == joined);
    CHECK(told("M34 SECOND SPINDLE RUNS IN STEP WITH MAIN, M35 STEP OFF") == joined);
    CHECK(told("M34 SPINDLE 2 RUNS WITH SPINDLE 1, M35 ENDS IT") == joined);
    CHECK(told("M34 SPINDLES COUPLED, M35 UNCOUPLED") == joined);
    CHECK(told("M34 SECOND SPINDLE LOCKED TO MAIN, SAME WAY ROUND, M35 LOCK OFF") == joined);
    CHECK(told("M34 / M35 BOTH SPINDLES IN STEP ON / OFF") == joined);
    CHECK(told("M34 SECOND TURRET MAY FOLLOW").empty());
    CHECK(told("M10 / M11 MAIN CHUCK CLOSE / OPEN, M110 / M111 SECOND CHUCK") ==
          Codes{{10, Does::clamp_close},
                {11, Does::clamp_open},
                {110, Does::second_close},
                {111, Does::second_open}});
    CHECK(told("M56 M57 SECOND COLLET CLOSE, OPEN") ==
          Codes{{56, Does::second_close}, {57, Does::second_open}});
    CHECK(told("MAIN / SUB CHUCK CLOSE M10 / M110") ==
          Codes{{10, Does::clamp_close}, {110, Does::second_close}});
    CHECK(told("MAIN / SUB COLLET OPEN M11 / M111") ==
          Codes{{11, Does::clamp_open}, {111, Does::second_open}});
}

TEST_CASE("a title before the codes, a brake of one cycle, a mode") {
    CHECK(told("C AXIS: M26 ON, M27 OFF. MILL: M31 ON, M32 OFF") ==
          Codes{{26, Does::c_on}, {27, Does::c_off}, {31, Does::live_on}, {32, Does::live_off}});
    CHECK(told("M88 IN A CYCLE LINE CLAMPS C FOR THAT HOLE, M89 C FREE") ==
          Codes{{88, Does::brake_on}, {89, Does::brake_off}});
    CHECK(told("M58 C HELD, M59 C FREE") == Codes{{58, Does::brake_on}, {59, Does::brake_off}});
    CHECK(told("M40 AXE C EN PRISE / M41 AXE C LIBRE") == Codes{{40, Does::c_on}, {41, Does::c_off}});
    CHECK(told("M40 C AXIS MODE, M41 TURNING MODE") == Codes{{40, Does::c_on}, {41, Does::c_off}});
    CHECK(told("M31 SPINDLE BECOMES C AXIS, M32 SPINDLE TURNS AGAIN") ==
          Codes{{31, Does::c_on}, {32, Does::c_off}});
    CHECK(told("M33 MILL RUNS, M35 MILL STOPS") == Codes{{33, Does::live_on}, {35, Does::live_off}});
    CHECK(told("M51 C ON FOR MILL 8") == Codes{{51, Does::c_on}});
}

TEST_CASE("words of other shops") {
    CHECK(told("M68 FUTTER ZU, M69 FUTTER AUF") == Codes{{68, Does::clamp_close}, {69, Does::clamp_open}});
    CHECK(told("M24 GEGENSPINDEL AUF") == Codes{{24, Does::second_open}});
    CHECK(told("M45 C-ACHSE EIN, M46 AUS") == Codes{{45, Does::c_on}, {46, Does::c_off}});
    CHECK(told("M78 PINOLE VOR, M79 PINOLE ZURUECK") == Codes{{78, Does::quill_out}, {79, Does::quill_back}});
    CHECK(told("M10 MANDRIN OUVERT") == Codes{{10, Does::clamp_open}});
    CHECK(told("M11 PINZA CERRADA") == Codes{{11, Does::clamp_close}});
    CHECK(told("M21 POINTE AVANT / M22 POINTE ARRIERE") ==
          Codes{{21, Does::quill_out}, {22, Does::quill_back}});
    CHECK(told("M25 CONTRAPUNTO ADELANTE, M26 CONTRAPUNTO ATRAS") ==
          Codes{{25, Does::quill_out}, {26, Does::quill_back}});
    CHECK(told("M31 CONTROPUNTA AVANTI, M32 INDIETRO") ==
          Codes{{31, Does::quill_out}, {32, Does::quill_back}});
    CHECK(told("M10 GRIFFE APERTE, M11 CHIUSE") == Codes{{10, Does::clamp_open}, {11, Does::clamp_close}});
}

TEST_CASE("what tells nothing of them stays unknown") {
    for (const char* note :
         {"M20 DOOR OPEN", "M61 ABRIR PUERTA", "M08 COOLANT ON", "M12 SPINDLE FORWARD", "M40 STEADY CLOSE",
          "M20 C ON TO FLAT OFF", "M71 PULLER OPEN", "M88 HIGH PRESSURE COOLANT ON",
          "M05 SUB SPINDLE OPEN BY HAND", "THE COLLET IS OPEN"}) {
        INFO(note);
        CHECK(told(note).empty());
    }
    CHECK(told("M70 LIVE CENTRE OUT") == Codes{{70, Does::quill_out}});
    CHECK(told("PART OUT, OPEN THE CHUCK BY HAND", 0).empty()); // Beside M00
    CHECK(told("SUB OPEN", 22) == Codes{{22, Does::second_open}});
}

TEST_CASE("a tailstock in words of other shops, and a tool's tip that is none") {
    for (const char* note : {"MANDRIN + POINTE", "ZWISCHEN FUTTER UND KOERNERSPITZE", "PINOLE VOR",
                             "PLATO Y CONTRAPUNTO", "CONTROPUNTA", "BETWEEN CHUCK AND LIVE CENTRE"})
        CHECK(speaks_of_tailstock(note));
    for (const char* note : {"FORET A POINTE 140", "CENTRE DRILL", "BROCA CENTRO 3", "PUNTA D8"})
        CHECK_FALSE(speaks_of_tailstock(note));
}

TEST_CASE("tools in words of other shops") {
    using Kind = NamedTool::Kind;
    CHECK(tool_named("BOHRER 8.5").kind == Kind::drill);
    CHECK(tool_named("BROCA 12").diameter == 12);
    CHECK(tool_named("FORET A CENTRER").kind == Kind::centre);
    CHECK(tool_named("GEWINDEBOHRER M8").kind == Kind::tap);
    CHECK(tool_named("FILETAGE M20X1.5").pitch_mm == 1.5);
    CHECK(tool_named("TRONCATURA 3").kind == Kind::part_off);
    CHECK(tool_named("TRONZAR A 30 MM").kind == Kind::part_off);
    CHECK(tool_named("ALESAGE").kind == Kind::bore);
    CHECK(tool_named("OUTSIDE BETWEEN CHUCK AND CENTRE").kind == Kind::none);
    CHECK(tool_named("TURN ON LIVE CENTER").kind == Kind::turn);
    CHECK(tool_named("CENTRE 3.15").kind == Kind::centre);
    CHECK(tool_named("BOHRUNG D44").kind == Kind::none);
}

TEST_CASE("codes under the name of their spindle, and codes behind their words") {
    CHECK(told("SECOND SPINDLE: M203 RUN WITH MAIN SENSE, M205 STOP, JAWS M210 OPEN M211 CLOSED") ==
          Codes{{210, Does::second_open}, {211, Does::second_close}});
    CHECK(told("MAIN SPINDLE: M10 UNCLAMP M11 CLAMP. COUNTER SPINDLE: M110 UNCLAMP M111 CLAMP") ==
          Codes{{10, Does::clamp_open},
                {11, Does::clamp_close},
                {110, Does::second_open},
                {111, Does::second_close}});
    CHECK(told("MAIN JAWS: M10 OPEN, M11 CLOSED. M180 EQUAL SPEED, M181 END OF EQUAL SPEED") ==
          Codes{{10, Does::clamp_open}, {11, Does::clamp_close}, {180, Does::joined}, {181, Does::parted}});
    CHECK(told("RIGHT SPINDLE M63 M64 M65, CHUCK M168 CLOSED M169 OPEN") ==
          Codes{{168, Does::second_close}, {169, Does::second_open}});
    const Codes joined{{40, Does::joined}, {41, Does::parted}};
    CHECK(told("M40 SPINDLES LOCKED TOGETHER, M41 FREE") == joined);
    CHECK(told("M40 SPINDLES TOGETHER  M41 SPINDLES APART") == joined);
    CHECK(told("M40 SUB RUNS AT MAIN SPEED, M41 FREE AGAIN") == joined);
    CHECK(told("M40 RIGHT SPINDLE FOLLOWS THE LEFT ONE, M41 NO LONGER") == joined);
    CHECK(told("M501 BOTH PATHS TOGETHER").empty());
    CHECK(told("SPINDLE BECOMES C WITH M41, TURNS AGAIN WITH M40") ==
          Codes{{41, Does::c_on}, {40, Does::c_off}});
    CHECK(told("ROTARY TOOL M13, STOP M15") == Codes{{13, Does::live_on}, {15, Does::live_off}});
    CHECK(told("COLLET OPEN M10, COLLET SHUT M11") == Codes{{10, Does::clamp_open}, {11, Does::clamp_close}});
    CHECK(told("M50 MAIN SPINDLE IS C AXIS, M51 MAIN SPINDLE TURNS AGAIN") ==
          Codes{{50, Does::c_on}, {51, Does::c_off}});
    CHECK(told("M66 IN A CYCLE BLOCK: C BRAKE GRIPS AT EACH HOLE AND LETS GO BY ITSELF").empty());
}

TEST_CASE("verbs behind commas, codes with a P, names that are their own verb") {
    CHECK(told("M63 M64 M65 = LIVE SPINDLE FORWARD, REVERSE, STOP").size() == 3);
    CHECK(told("M63 M64 M65 = LIVE SPINDLE FORWARD, REVERSE, STOP").back() == std::pair(65, Does::live_off));
    CHECK(told("M36 SUB TURNS LIKE MAIN, M39 THAT OFF") == Codes{{36, Does::joined}, {39, Does::parted}});
    CHECK(told("M85 SUB FOLLOWS MAIN SPEED AND PHASE, M86 TIE OFF") ==
          Codes{{85, Does::joined}, {86, Does::parted}});
    CHECK(told("FOLLOW OFF", 181) == Codes{{181, Does::parted}});
    CHECK(told("SYNC ENDS", 181) == Codes{{181, Does::parted}});
    // Whose turns a feed goes by is none of a spindle that turns with another.
    CHECK(told("G96 AND FEED FOLLOW S2", 62).empty());
    CHECK(told("FEED AND G96 FOLLOW THE SECOND SPINDLE", 62).empty());
    CHECK(told("M29 = LIVE SPINDLE LOCKED TO THE FEED FOR TAPPING").empty());
    CHECK(told("RIGID TAP, LIVE TOOL LOCKED TO FEED", 29).empty());
    CHECK(told("M13 LIVE TOOL LOCKED, M15 LIVE TOOL STOP").back() == std::pair(15, Does::live_off));
    CHECK(told("M96 = C BRAKE, M97 = BRAKE OFF") == Codes{{96, Does::brake_on}, {97, Does::brake_off}});
    CHECK(told("C BRAKE", 88) == Codes{{88, Does::brake_on}});
    CHECK(told("C BRAKE GRIPS AT EACH HOLE AND LETS GO BY ITSELF", 66).empty());
    CHECK(told("SECOND CHUCK OPEN, PART DROPS INTO THE CHUTE", 111) == Codes{{111, Does::second_open}});
    CHECK(told("M303/M305 SUB ON/OFF, SAME SENSE SEEN FROM THE MAIN COLLET").empty());
    CHECK(told("M82 OPENS AND M83 CLOSES THE SUB CHUCK") ==
          Codes{{82, Does::second_open}, {83, Does::second_close}});
    CHECK(told("M82 OPENS AND M83 CLOSES THE CHUCK") ==
          Codes{{82, Does::clamp_open}, {83, Does::clamp_close}});
    CHECK(told("CATCHER UNDER SUB", 36) == Codes{{36, Does::catcher_out}});
    CHECK(told("CATCHER AWAY", 37) == Codes{{37, Does::catcher_back}});

    const auto codes = codes_named("M15 P1 MAIN COLLET OPEN, M15 P2 SECOND COLLET OPEN", -1);
    REQUIRE(codes.size() == 2);
    CHECK(codes[0].p == 1);
    CHECK(codes[0].does == Does::clamp_open);
    CHECK(codes[1].p == 2);
    CHECK(codes[1].does == Does::second_open);
    const auto beside = codes_named("COLLET CLOSED", 16, 2);
    REQUIRE(beside.size() == 1);
    CHECK(beside[0].does == Does::second_close);
    CHECK(beside[0].p == 2);
    CHECK(codes_named("COLLET CLOSED", 16, 1).at(0).does == Does::clamp_close);
    CHECK(codes_named("M110 P2 = SECOND COLLET OPEN, M111 P2 = SECOND COLLET SHUT", -1).at(1).p == 2);
}
