// What a line is read as. The format of words: RS-274-D and ISO 6983-1 (from memory); the rest is common
// practice, no source.
#include "shown.h"

#include <catch2/catch.hpp>

using namespace turnwright::syntax;
using namespace turnwright::syntax::test;

namespace {
const Item& item(const RunPointer& run, std::size_t index) {
    return run->items.at(index);
}
} // namespace

TEST_CASE("Words hold letter, value and how the number was written") {
    const RunPointer run = parse_text("G01 X-.0625 z1. T0101 F 0. 0 1 0 Y+5");
    REQUIRE(run->items.size() == 6);
    CHECK(item(run, 0).letter == 'G');
    CHECK(item(run, 0).value == 1);
    CHECK(item(run, 0).digits == 2);
    CHECK(item(run, 0).decimals == 0);
    CHECK_FALSE(item(run, 0).has_point);
    CHECK(item(run, 1).value == -0.0625);
    CHECK(item(run, 1).digits == 0);
    CHECK(item(run, 1).decimals == 4);
    CHECK(item(run, 1).has_point);
    CHECK(item(run, 1).has_sign);
    CHECK(item(run, 1).is_negative);
    CHECK(item(run, 2).letter == 'Z');
    CHECK(item(run, 2).value == 1);
    CHECK(item(run, 2).has_point);
    CHECK(item(run, 3).digits == 4);
    CHECK(item(run, 3).value == 101);
    CHECK(item(run, 4).value == 0.01);
    CHECK(item(run, 4).decimals == 3);
    CHECK(run->text_of(item(run, 4)) == "F 0. 0 1 0");
    CHECK(item(run, 5).has_sign);
    CHECK_FALSE(item(run, 5).is_negative);
    CHECK(item(run, 5).value == 5);
    CHECK_FALSE(run->blocks[0].has_error);
}

TEST_CASE("A number is as near to what is written as a double can be") {
    // Each literal is rounded by the compiler.
    const RunPointer run =
        parse_text("X0.1 X25.4 X-12.3456789012345 X999999999999999 X.000000000000001 X0.30000000000000004");
    CHECK(item(run, 0).value == 0.1);
    CHECK(item(run, 1).value == 25.4);
    CHECK(item(run, 2).value == -12.3456789012345);
    CHECK(item(run, 3).value == 999999999999999.0);
    CHECK(item(run, 4).value == .000000000000001);
    CHECK(item(run, 5).value == 0.30000000000000004);
    CHECK_FALSE(item(run, 4).odd_number);
    CHECK(item(run, 5).odd_number);
    CHECK(show_line("X1.2.3") == "X1.2! :E");
    CHECK(show_line("X.") == "X0! :E");
    CHECK(show_line("X-0") == "X-0");
}

TEST_CASE("Values as they are written in shops") {
    CHECK(show_line("X.5") == "X0.5");
    CHECK(show_line("X1.") == "X1");
    CHECK(show_line("X-.0625") == "X-0.0625");
    CHECK(show_line("Z0") == "Z0");
    CHECK(show_line("g0x1.z.1m3") == "G0 X1 Z0.1 M3");
    CHECK(show_line("G01X1.25Z-.5F.01") == "G1 X1.25 Z-0.5 F0.01");
    CHECK(show_line("  G 0 1\tX - 1 . 2 5\tZ\t-3. ") == "G1 X-1.25 Z-3");
    CHECK(show_line("N10 G96 S200 M03") == "N10 G96 S200 M3");
    CHECK(show_line("E0.5 D2000 I1. O1234") == "E0.5 D2000 I1 O1234");
}

TEST_CASE("Words with nothing behind the letter") {
    CHECK(show_line("X Z1.") == "X? Z1 :E");
    CHECK(show_line("X- Z1.") == "X? Z1 :E");
    CHECK(show_line("x") == "X? :E");
    CHECK(show_line("X--5") == "X? <-5> :E");
}

TEST_CASE("Notes hold anything and mean nothing") {
    CHECK(show_line("(G01 Z-5. [#1] ; % / don't, 1/2\" 100%)") ==
          "(G01 Z-5. [#1] ; % / don't, 1/2\" 100%) :N");
    CHECK(show_line("G0(ROUGH)X1.") == "G0 (ROUGH) X1 :N");
    CHECK(show_line("(OD (ROUGH) G0") == "(OD (ROUGH) G0 :N");
    CHECK(show_line("G0 (ROUGH") == "G0 (ROUGH$ :NE");
    CHECK(show_line("()") == "() :N");
    CHECK(show_line("(\xC3\x98"
                    "25 \xE8\xBB\x8A)G1") == "(\xC3\x98"
                                             "25 \xE8\xBB\x8A) G1 :N");
    CHECK(show_line("(\xD8"
                    "25 \xB1)G1") == "(\xD8"
                                     "25 \xB1) G1 :N");
    CHECK(note_text("(  ROUGH TURN\t)") == "ROUGH TURN");
    CHECK(note_text("( CUT SHORT") == "CUT SHORT");
    CHECK(note_text("(   )").empty());
    CHECK(note_text("()").empty());
}

TEST_CASE("An error stays in its line") {
    CHECK(show(*parse_text("G0 (ROUGH\nG1 X1.\nX[[1\nM30")) ==
          "G0 (ROUGH$ :NE\nG1 X1\nX(invalid [[1) :SE\nM30\n");
    CHECK(show(*parse_text("#1=\n#2=3\r\nIF[\rWHILE\nGOTO 5\n")) ==
          "{(= (# 1) (invalid #1=))} :SE\n{(= (# 2) 3)} :S\n{(if-goto (invalid [) (invalid IF[))} :SE\n"
          "{(while (invalid WHILE) 0 (invalid WHILE))} :SE\n{(goto 5)} :S\n\n");
}

TEST_CASE("Block delete") {
    CHECK(show_line("/G0 X1.") == "/1 G0 X1 :D");
    CHECK(show_line("/2 N5 G0") == "/2 N5 G0 :D");
    CHECK(show_line(" / 9 M8") == "/9 M8 :D");
    CHECK(show_line("N5 /M8") == "N5 /1 M8 :D");
    CHECK(show_line("(A) /M8") == "(A) /1 M8 :DN");
    CHECK(show_line("G0 /3 M8") == "G0 /3 M8");
    CHECK(show_line("/12 M8") == "/12! M8 :DE");
    CHECK(show_line("/0 M8") == "/0! M8 :DE");
}

TEST_CASE("Written end of block") {
    CHECK(show_line("G0 X1.;") == "G0 X1 ;");
    CHECK(show_line("G0 ; G1 (X) [ #1 ") == "G0 ; >G1 (X) [ #1 ");
    CHECK(show_line("; \t ") == ";");
    CHECK(show_line(";;") == "; >;");
    CHECK(show(*parse_text("G0;A\nG1")) == "G0 ; >A\nG1\n");
}

TEST_CASE("Tape marks, several programs and text behind the end") {
    CHECK(show(*parse_text("%\nO1 (A)\nM99\nO2\nM30\n%\nBAR 3\n")) ==
          "% :T\nO1 (A) :N\nM99\nO2\nM30\n% :T\nB? A? R3 :E\n\n");
    CHECK(show_line("% O5") == "% O5 :T");
}

TEST_CASE("Chamfer, corner and angle words") {
    CHECK(show_line("G1 Z-5.,C1. , R 2. ,a30") == "G1 Z-5 ,C1 ,R2 ,A30");
    CHECK(show_line("X1,C#1") == "X1 ,C(# 1) :S");
    CHECK(show_line("X1,R-[#1/2]") == "X1 ,R(neg (/ (# 1) 2)) :S");
    CHECK(show_line(",C") == "C? :E");
    CHECK(show_line("G0,") == "G0 <,> :E");
}

TEST_CASE("Blank lines, blanks of tape, byte-order mark, padding") {
    CHECK(show(*parse_text("\n \t \n\r\n\r")) == "\n\n\n\n\n");
    CHECK(show_line("\xEF\xBB\xBF%") == "% :T");
    CHECK(show_line("\xEF\xBB\xBFO1") == "O1");
    CHECK(show_line("\xEF\xBB\xBF/G0") == "/1 G0 :D");
    CHECK(show_line(std::string_view("\0\0G0\0X1.\0\0\0", 12)) == "G0 X1");
    CHECK(show_line("\x7fG0\x7f\v\f") == "G0");
    CHECK(show(*parse_text(std::string_view("M30\n\0\0\0\0", 8))) == "M30\n\n");
    CHECK(show_line("") == "");
    CHECK(parse_text("")->blocks.size() == 1);
}

TEST_CASE("Line ends of all kinds give one block a line") {
    const RunPointer run = parse_text("G0\r\nX1\rX2\nX3");
    REQUIRE(run->blocks.size() == 4);
    CHECK(show(*run) == "G0\nX1\nX2\nX3\n");
    CHECK(run->blocks[1].begin == 4);
    CHECK(run->blocks[1].length == 2);
    CHECK(run->text_of(run->blocks[3]) == "X3");
}

TEST_CASE("What means nothing is unknown, a stretch of it one item") {
    CHECK(show_line("G0 ?!&$ X1.") == "G0 <?!&$> X1 :E");
    CHECK(show_line("123 + 5") == "<123 + 5> :E");
    CHECK(show_line("[1+2] ] = * EQ MOD") == "<[1+2] ] = * EQ MOD> :E");
    CHECK(show_line("\xC3\xA9\xFF X1") == "<\xC3\xA9\xFF> X1 :E");
    CHECK(show_line("#1") == "<#1> :E");
    CHECK(show_line("G0 ) X1.") == "G0 <)> X1 :E");
}

TEST_CASE("A colon at the start of a line before digits is the program number") {
    // ISO 6983-1:1982, from memory.
    const RunPointer run = parse_text("%\n:0310 (CAP)\nG01 X1. :2\n");
    REQUIRE(run->items.size() >= 3);
    CHECK(item(run, 1).letter == 'O');
    CHECK(item(run, 1).value == 310);
    CHECK(run->text_of(item(run, 1)) == ":0310");
    CHECK_FALSE(run->blocks[1].has_error);
    CHECK(run->blocks[2].has_error);
}
