#include "machine/program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::System;

namespace {
std::string told(const std::string& text, System system = System::A) {
    Program program(system, text);
    auto line = [&](machine::BlockPlace place) {
        return std::to_string(program.buffer.first_line_of_leaf(place.run) + place.block);
    };
    std::string out;
    machine::Outline outline = machine::outline(program.analysis);
    for (const auto& part : outline.programs) {
        out += (part.is_subprogram ? "sub " : "main ") + std::to_string(part.number) + " " +
               line(part.first) + "-" + line(part.last) + "\n";
        for (const auto& sequence : part.sequences)
            out += "  N" + std::to_string(sequence.number) + " T" + std::to_string(sequence.tool) + "/" +
                   std::to_string(sequence.offset) + " " + line(sequence.first) + "-" + line(sequence.last) +
                   (sequence.note ? " note " + line(*sequence.note) : "") +
                   (sequence.optional_stop ? " stop " + line(*sequence.optional_stop) : "") + "\n";
    }
    return out;
}
} // namespace

TEST_CASE("a sequence starts at its number and note") {
    CHECK(told("%\nO1\nG21 G99\n\nN1 (FACE)\nG54 G40\nT0101\nG00 X40. Z2.\nG28 U0 W0\nM01\n\nN2 "
               "(DRILL)\nG54\nT0202\n"
               "G00 X0 Z5.\nM01\nM30\n%\n") == "main 1 0-18\n"
                                               "  N1 T1/1 4-9 note 4 stop 9\n"
                                               "  N2 T2/2 11-16 note 11 stop 15\n");
}

TEST_CASE("without numbers a sequence starts at its tool call, or the note above it") {
    CHECK(told("O1\nT0101\nG00 X4. Z1.\nG28 U0\n(FINISH)\nT0202\nG00 X3. Z1.\nM30\n") ==
          "main 1 0-8\n"
          "  N-1 T1/1 1-3\n"
          "  N-1 T2/2 4-7 note 4\n");
}

TEST_CASE("a sequence begins behind the stop that ends the one before") {
    CHECK(told("O1\nG21 G99\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nM1\n(FINISH)\nG28 U0 W0\nG21 G40 G99 G97\n"
               "G50 S2500\nT0202\nG00 X3. Z1.\nM30") == "main 1 0-12\n"
                                                        "  N-1 T1/1 2-5 stop 5\n"
                                                        "  N-1 T2/2 6-12 note 6\n");
    // A stop to measure, and more cuts behind it, ends no sequence.
    CHECK(told("O1\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nM00\nG01 Z-6.\nG28 U0 W0\nM05\nG50 S2000\nT0202\n"
               "G00 X3. Z1.\nM30\n") == "main 1 0-12\n  N-1 T1/1 1-7\n  N-1 T2/2 8-11\n");
}

TEST_CASE("a stop for the hand in the midst of a tool's work ends no sequence") {
    CHECK(told("O1\nG21\nT0909\nG00 X0. Z5.\nZ0.5\nM00 (BAR TO STOP)\nG00 Z20.\nG28 U0 W0\nG90\nT0101\nG00 "
               "X4. Z1.\n"
               "M30\n") == "main 1 0-12\n  N-1 T9/9 2-7\n  N-1 T1/1 8-11\n");
    // What is stated behind the stop is the next tool's, its way to the change position too.
    CHECK(told("O1\nG21\nT0909\nG00 X0. Z5.\nM00\nG21 G40 G99\nG00 X90. Z90.\nT0101\nG00 X4. Z1.\nM30\n") ==
          "main 1 0-10\n  N-1 T9/9 2-4\n  N-1 T1/1 5-9\n");
}

TEST_CASE("without stop or note a sequence begins behind the return of the one before") {
    CHECK(told("O1\nG21\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nG00 X9.\nZ9. M09\nM05\n\nG50 S2000\nT0202\n"
               "G00 X3. Z1.\nM30\n") == "main 1 0-13\n  N-1 T1/1 2-7\n  N-1 T2/2 9-12\n");
    // A heading note above the way home belongs to what follows it, one behind it too.
    CHECK(told("O1\nG21\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nG00 X9.\n(DRILL)\nG28 U0 W0\nT0202\nG00 X3. Z1.\n"
               "M30\n") == "main 1 0-11\n  N-1 T1/1 2-5\n  N-1 T2/2 6-10 note 6\n");
}

TEST_CASE("a head may be as long as it is, and ends where something cuts") {
    std::string notes;
    for (int line = 0; line < 40; ++line) notes += "(SET UP BY HAND)\n";
    // Common practice, no source.
    CHECK(told("O1\nG21\nN1 (FACE)\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nG28 U0 W0\nM01\nN2 (BORE)\n" + notes +
               "G50 S2000\nT0202\nG00 X3. Z1.\nM30\n") == "main 1 0-53\n"
                                                          "  N1 T1/1 2-7 note 2 stop 7\n"
                                                          "  N2 T2/2 8-52 note 8\n");
    CHECK(told("O1\nG21\nT0101\nG00 X4. Z1.\nG01 Z-5. F.2\nG28 U0 W0\n(BORE)\n" + notes +
               "T0202\nG00 X3. Z1.\nM30\n") == "main 1 0-50\n  N-1 T1/1 2-5\n  N-1 T2/2 6-49 note 6\n");
    // A number among the cuts of the tool before is none of the next one.
    CHECK(told("O1\nG21\nN1 T0101\nG00 X4. Z1.\nN5 G01 Z-5. F.2\nG01 X9.\nG28 U0 W0\nT0202\nG00 X3. Z1.\n"
               "M30\n") == "main 1 0-10\n  N1 T1/1 2-6\n  N-1 T2/2 7-9\n");
    // A note right behind a call is that tool's, though nothing but calls of programs follows it.
    CHECK(told("O1\nG21\nT0101\n(FACE)\nM98 P2\nG28 U0 W0\nT0202\nG00 X3. Z1.\nM30\n") ==
          "main 1 0-9\n  N-1 T1/1 2-5\n  N-1 T2/2 6-8\n");
}

TEST_CASE("a note above a number leads its sequence in each program of a file") {
    const std::string body = "G21\nG99\n(ROUGH)\nN1 T0101\nG00 X4. Z1.\nG01 Z-5. F.2\nM01\nM30\n";
    CHECK(told("O1\n" + body) == "main 1 0-9\n  N1 T1/1 3-8 note 3 stop 7\n");
    CHECK(told("O1\n" + body + "O2\n" + body) == "main 1 0-8\n  N1 T1/1 3-8 note 3 stop 7\n"
                                                 "main 2 9-18\n  N1 T1/1 12-17 note 12 stop 16\n");
    // At the head of a program it is the program's, wherever that stands.
    const std::string short_body = "(PART)\nN1 T0101\nG00 X4. Z1.\nM30\n";
    CHECK(told("O1\n" + short_body + "O2\n" + short_body) ==
          "main 1 0-4\n  N1 T1/1 2-4\nmain 2 5-10\n  N1 T1/1 7-9\n");
}

TEST_CASE("a station call and the call with its offset are one") {
    CHECK(told("O1\nN3 (BORE)\nG00 T0300\nG97 S800 M03 T0303\nG00 X20. Z2.\nT0300\nM01\nM30") ==
          "main 1 0-7\n  N3 T3/3 1-7 note 1 stop 6\n");
}

// The second one would begin behind its own block, where there may be none.
TEST_CASE("two tools in one block are one sequence") {
    CHECK(told("T3000 T300") == "main 0 0-0\n  N-1 T30/0 0-0\n");
    CHECK(told("O1\nT0101\nG00 X4. Z1.\nT0303 T0505\nG00 X3.\nM30\n") ==
          "main 1 0-6\n  N-1 T1/1 1-2\n  N-1 T3/3 3-5\n");
}

TEST_CASE("numbers on every block are numbering, not sequences") {
    CHECK(told("O1\nN5 G21 G99\nN10 T0101\nN15 G00 X4. Z2.\nN20 G01 Z-5. F0.2\nN25 G28 U0 W0\nN30 T0202\nN35 "
               "G00 X9.\n"
               "N40 M30") == "main 1 0-8\n  N-1 T1/1 2-5\n  N-1 T2/2 6-8\n");
}

TEST_CASE("contour numbers do not start a sequence") {
    CHECK(told("O1\nN1 (ROUGH)\nT0101\nG71 U2. R1.\nG71 P10 Q20 U0.4 W0.1 F0.3\nN10 G00 X10.\nG01 Z-5.\nN20 "
               "X40.\n"
               "G28 U0 W0\nT0202\nG70 P10 Q20\nM30") ==
          "main 1 0-11\n  N1 T1/1 1-8 note 1\n  N-1 T2/2 9-11\n");
}

TEST_CASE("several programs in one file, subprograms and bar work ended by M99") {
    CHECK(told("%\nO1\nN1 (CUT)\nT0101\nM98 P2\nM30\nO2\nG01 W-1.\nM99\n%") ==
          "main 1 0-5\n  N1 T1/1 2-5 note 2\nsub 2 6-9\n");
    CHECK(told("O7\nN1 (CUT)\nT0101\nG00 X1. Z1.\nM99") == "main 7 0-4\n  N1 T1/1 1-4 note 1\n");
}

TEST_CASE("the system is chosen from evidence") {
    auto chosen = [](const char* text) {
        text::Buffer buffer(text);
        syntax::Forest forest(buffer);
        machine::SystemEvidence evidence;
        for (const auto& run : forest.runs()) evidence += machine::evidence_in(*run);
        auto settings = machine::choose_settings({}, evidence);
        return std::string(1, codes::system_letter(settings.system)) +
               (settings.system_from == machine::SystemFrom::program ? " program" : " assumed");
    };
    CHECK(chosen("G21 G99 G40\nG50 S2500\nG96 S180 M03") == "A program");
    CHECK(chosen("G20 G90 G95 G40\nG92 S2500") == "B program");
    CHECK(chosen("G71 G90 G95\nG92 S2000") == "C program");
    CHECK(chosen("G00 X1.") == "A assumed");
    CHECK(chosen("G90 X40. Z-20. F0.2\nG50 S2000") == "A program");
    // Cycles that have other words there, and a note that says it; other things have systems, too.
    CHECK(chosen("G95\nG91 G28 X0.\nG77 X18. Z-30. I1.5 K3. F0.08\nG78 X18.5 Z-60. K2.75 D350 F5. A30") ==
          "C program");
    CHECK(chosen("G92 S2500\nG78 P020060 Q100 R0.05\nG78 X18.16 Z-20. P920 Q300 F1.5") == "C program");
    // One slip beside the codes of system B.
    CHECK(chosen("G21 G90\nG92 S2500\nG78 X18.16 Z-20. P920 Q300 F1.5") == "B program");
    CHECK(chosen("G95 G90\nG77 X18. Z-30. F0.2\nG78 X18.5 Z-60. F5.") == "B program");
    CHECK(chosen("G95\nG73 P1 Q2 U0.5 W0.1 D1500 F0.28\nG72 P1 Q2") == "C program");
    CHECK(chosen("G90 G95\nG70 P1 Q2") == "B program");
    // Pecks along Z and X without the words of a thread.
    CHECK(chosen("G90 G95\nG92 S2000\nG76 R1.\nG76 Z-30. Q8000 F0.1") == "C program");
    CHECK(chosen("G90 G95\nG92 S2000\nG77 R0.2\nG77 X23.2 Z-26. P400 Q2000 F0.04") == "C program");
    CHECK(chosen("G21 G90 G95\nG76 P020060 Q100 R0.05\nG76 X18.16 Z-20. P920 Q300 F1.5") == "B program");
    // Datum or threading cycle: by the F, and by where Z lies.
    CHECK(chosen("T1\nG92 X150. Z200.\nG97 S600 M3\nG20 X21.2 Z-40. F.25") == "C program");
    CHECK(chosen("G92 X60. Z80.\nG78 X9.6 Z-33. F1.5") == "B program");
    CHECK(chosen("G92 X19.2 Z-20. F1.5") == "A program");
    CHECK(chosen("G92 X19.2 Z-20.") == "A program");
    CHECK(chosen("G92 X19.2 Z5. F1.5\nG21 G00 X1.") == "A program");
    CHECK(chosen("(SISTEMA C)\nG90 G95\nG78 X18. Z-20. F2.") == "C program");
    CHECK(chosen("(CONTROL, G-CODE SYSTEM B)\nG00 X1.") == "B program");
    CHECK(chosen("(COOLANT SYSTEM B ON)\nG00 X1.") == "A assumed");
}

TEST_CASE("a number beside the border of two runs is read like any other") {
    const std::string sequences = "N6 (T06 THREAD)\nN102 G97\nT0606\nG00 X1. Z1.\n"
                                  "N7 (T07 GROOVE)\nN103 G97\nT0707\nG00 X1. Z1.\n";
    // Sequences as lines counted from the first of them.
    auto shifted = [&](std::size_t lines) {
        std::string text = "G21\n";
        for (std::size_t i = 1; i < lines; ++i) text += "G04 X1.\n";
        Program program(System::A, text + sequences + "M30\n");
        std::string out;
        for (const auto& part : machine::outline(program.analysis).programs)
            for (const auto& found : part.sequences)
                out += "N" + std::to_string(found.number) + " " +
                       std::to_string(program.buffer.first_line_of_leaf(found.first.run) + found.first.block -
                                      lines) +
                       "\n";
        return out;
    };
    const std::string expected = shifted(20);
    CHECK(expected == "N102 1\nN103 5\n");
    for (std::size_t lines = 50; lines < 70; ++lines) {
        INFO(lines);
        CHECK(shifted(lines) == expected);
    }
}

TEST_CASE("a note below the program's number is the head's, with a tape mark above and without") {
    const std::string body = "O6 (PIN)\n(BAR .875 DIA 12L14)\nN1 T0101\nG00 X.9 Z.1\nM30\n";
    CHECK(told(body) == "main 6 0-5\n  N1 T1/1 2-4\n");
    CHECK(told("%\n" + body) == "main 6 0-6\n  N1 T1/1 3-5\n");
    CHECK(told("%\n\n" + body) == "main 6 0-7\n  N1 T1/1 4-6\n");
    CHECK(told("%\n(PIN)\n(BAR .875 DIA 12L14)\nT0101\nG00 X.9 Z.1\nM30\n") ==
          told("\n(PIN)\n(BAR .875 DIA 12L14)\nT0101\nG00 X.9 Z.1\nM30\n"));
    // What the part is made from is no tool, wherever it stands in the head.
    CHECK(told("O6 (PIN)\n(DRAWING 4711)\n(BAR .875 DIA 12L14)\nT0101\nG00 X.9 Z.1\nM30") ==
          "main 6 0-5\n  N-1 T1/1 3-5\n");
    CHECK(told("O6 (PIN)\n(DRAWING 4711)\n(SPEZZONE D75)\nN1 T0101\nG00 X.9 Z.1\nM30") ==
          "main 6 0-5\n  N1 T1/1 3-5\n");
    CHECK(told("%\nO6 (PIN)\n(BAR .875)\n(T1 TURN)\n(T3 DRILL)\nN1 T0101\nG00 X.9 Z.1\nM30") ==
          "main 6 0-7\n  N1 T1/1 5-7\n");
    CHECK(told("O6 (PIN)\n(DRAWING 4711)\n(BORING BAR 16)\nT0101\nG00 X.9 Z.1\nM30") ==
          "main 6 0-5\n  N-1 T1/1 2-5 note 2\n");
    CHECK(told("O6 (PIN)\n(DRAWING 4711)\n(BAR PULLER 3)\nT0101\nG00 X.9 Z.1\nM30") ==
          "main 6 0-5\n  N-1 T1/1 2-5 note 2\n");
    // A note further down is the first tool's.
    CHECK(told("%\nO6 (PIN)\n(BAR .875)\n\n(ROUGH)\nT0101\nG00 X.9 Z.1\nM30\n") ==
          "main 6 0-8\n  N-1 T1/1 4-7 note 4\n");
}

TEST_CASE("the last note of a list of tools is not the first tool's, where it names another station") {
    const std::string list = "O9\n(T1 TURN)\n(T2 CENTRE DRILL)\n";
    CHECK(told(list + "(T5 PART OFF 3 WIDE)\nT0101\nG00 X.9 Z.1\nM30\n") == "main 9 0-7\n  N-1 T1/1 4-6\n");
    CHECK(told("O9\n(PIN)\n(T1 TURN)\nT0101\nG00 X.9 Z.1\nM30\n") == "main 9 0-6\n  N-1 T1/1 2-5 note 2\n");
}
