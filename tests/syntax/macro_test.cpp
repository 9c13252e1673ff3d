// Macro statements and expressions. Common practice, no source, but where a line says otherwise.
#include "shown.h"

#include <catch2/catch.hpp>

using namespace turnwright::syntax;
using namespace turnwright::syntax::test;

TEST_CASE("Computed words") {
    CHECK(show_line("X#101 Z-#102") == "X(# 101) Z(neg (# 102)) :S");
    CHECK(show_line("x [ #1 + 2. ]") == "X(+ (# 1) 2) :S");
    CHECK(show_line("X+[#1]") == "X(pos (# 1)) :S");
    CHECK(show_line("XSIN[30.]") == "X(sin 30) :S");
    CHECK(show_line("X##1 Z#[#2+1]") == "X(# (# 1)) Z(# (+ (# 2) 1)) :S");
}

TEST_CASE("A variable by a variable") {
    CHECK(show_line("##1=5") == "{(= (# (# 1)) 5)} :S");
    CHECK(show_line("#[#1+1]=0") == "{(= (# (+ (# 1) 1)) 0)} :S");
}

TEST_CASE("Named variables") {
    CHECK(show_line("#<depth of cut>=#finish") == "{(= #<depth of cut> #finish)} :S");
    CHECK(show_line("X#<a>") == "X#<a> :S");
}

TEST_CASE("Order of evaluation") {
    // Functions before * / MOD AND before + - OR XOR before comparisons; from left to right within a level.
    CHECK(show_line("#1=1+2*3-4/5") == "{(= (# 1) (- (+ 1 (* 2 3)) (/ 4 5)))} :S");
    CHECK(show_line("#1=1-2-3") == "{(= (# 1) (- (- 1 2) 3))} :S");
    CHECK(show_line("#1=8/4/2") == "{(= (# 1) (/ (/ 8 4) 2))} :S");
    CHECK(show_line("#1=[1+2]*3") == "{(= (# 1) (* (+ 1 2) 3))} :S");
    CHECK(show_line("#1=1 or 2 AND 3 xor 4 MOD 5") == "{(= (# 1) (xor (or 1 (and 2 3)) (mod 4 5)))} :S");
    CHECK(show_line("#1=2*SIN[30.]+1") == "{(= (# 1) (+ (* 2 (sin 30)) 1))} :S");
    CHECK(show_line("#1=-2*-3") == "{(= (# 1) (* (neg 2) (neg 3)))} :S");
    CHECK(show_line("IF[#1+1EQ2*#3]GOTO1") == "{(if-goto (eq (+ (# 1) 1) (* 2 (# 3))) 1)} :S");
    CHECK(show_line("#1=[[1 NE 2] AND [3 GE 4]]") == "{(= (# 1) (and (ne 1 2) (ge 3 4)))} :S");
    CHECK(show_line("#1=[1 LE 2] OR [3 LT 4]") == "{(= (# 1) (or (le 1 2) (lt 3 4)))} :S");
}

TEST_CASE("Functions") {
    CHECK(show_line("#1=cos[1]+TAN[2]+asin[3]+ACOS[4]") ==
          "{(= (# 1) (+ (+ (+ (cos 1) (tan 2)) (asin 3)) (acos 4)))} :S");
    CHECK(show_line("#1=SQRT[1]+SQR[2]+ABS[3]+ROUND[4]") ==
          "{(= (# 1) (+ (+ (+ (sqrt 1) (sqrt 2)) (abs 3)) (round 4)))} :S");
    CHECK(show_line("#1=FIX[1]+FUP[2]+LN[3]+EXP[4]") ==
          "{(= (# 1) (+ (+ (+ (fix 1) (fup 2)) (ln 3)) (exp 4)))} :S");
    CHECK(show_line("#1=BIN[1]+BCD[2]") == "{(= (# 1) (+ (bin 1) (bcd 2)))} :S");
    CHECK(show_line("#1=SIN 30") == "{(= (# 1) (sin (invalid SIN)))} <30> :SE");
}

TEST_CASE("Arc tangent of one value, of two, and of one that is then divided") {
    CHECK(show_line("#1=ATAN[1]") == "{(= (# 1) (atan 1))} :S");
    CHECK(show_line("#1=ATAN[1]/2") == "{(= (# 1) (/ (atan 1) 2))} :S");
    CHECK(show_line("#1=ATAN[1]/[2]") == "{(= (# 1) (atan2 1 2))} :S");
    CHECK(show_line("#1=ATAN[1] / [-2+#1]*3") == "{(= (# 1) (* (atan2 1 (+ (neg 2) (# 1))) 3))} :S");
    CHECK(show_line("#1=3/ATAN[1]/[2]") == "{(= (# 1) (/ 3 (atan2 1 2)))} :S");
    CHECK(show_line("#1=ATAN[#1,[2]]") == "{(= (# 1) (atan2 (# 1) 2))} :S");
    CHECK(show_line("#1=ATAN[[1]]/[[2]]") == "{(= (# 1) (atan2 1 2))} :S");
    CHECK(show_line("#1=ATAN[1,2]/[3]") == "{(= (# 1) (invalid ATAN[1,2]/[3]))} :SE");
    CHECK(show_line("#1=ATAN[1,2,3]") == "{(= (# 1) (invalid ATAN[1,2,3]))} :SE");
    CHECK(show_line("#1=ATAN[,2]") == "{(= (# 1) (invalid ATAN[,2]))} :SE");
    CHECK(show_line("#1=ATAN[1]/[2") == "{(= (# 1) (invalid ATAN[1]/[2))} :SE");
    CHECK(show_line("#1=ATAN") == "{(= (# 1) (invalid ATAN))} :SE");
    CHECK(show_line("#1=SIN[1,2]") == "{(= (# 1) (sin (invalid [1,2])))} :SE");
}

TEST_CASE("Statements with and without blanks, in any case") {
    CHECK(show_line("IF[#1 GT 2]GOTO 10") == "{(if-goto (gt (# 1) 2) 10)} :S");
    CHECK(show_line("IF[#1GT2]GOTO10") == "{(if-goto (gt (# 1) 2) 10)} :S");
    CHECK(show_line("if [#1 ge 2] goto [#3+1]") == "{(if-goto (ge (# 1) 2) (+ (# 3) 1))} :S");
    CHECK(show_line("IF[#1LT0]THEN#1=-#1") == "{(if-then (lt (# 1) 0) (= (# 1) (neg (# 1))))} :S");
    CHECK(show_line("WHILE[#1LE10]DO1") == "{(while (le (# 1) 10) 1)} :S");
    CHECK(show_line("while [#1 le 10] do 2") == "{(while (le (# 1) 10) 2)} :S");
    CHECK(show_line("DO3") == "{(while 3)} :S");
    CHECK(show_line("END1") == "{(end 1)} :S");
    CHECK(show_line("N5 GOTO#2") == "N5 {(goto (# 2))} :S");
    CHECK(show_line("N10#1=#2+3.X5") == "N10 {(= (# 1) (+ (# 2) 3))} X5 :S");
    CHECK(parse_text("DO1\nWHILE[1]DO1")->items[0].kind == ItemKind::do_only);
    CHECK(parse_text("DO1\nWHILE[1]DO1")->items[1].kind == ItemKind::while_do);
}

TEST_CASE("Arguments of a call are words, not statements") {
    CHECK(show_line("G65 P9010 A1. B2. C3. I4. J5. K6. D7. E.5 F8. H9. T1 X#1") ==
          "G65 P9010 A1 B2 C3 I4 J5 K6 D7 E0.5 F8 H9 T1 X(# 1) :S");
    CHECK(show_line("G0 O1234 EXP1") == "G0 O1234 <EXP1> :E");
    CHECK(show_line("A[1] B[2] I#4 L[3]") == "A1 B2 I(# 4) L3 :S");
}

TEST_CASE("Statements cut short") {
    CHECK(show_line("IF") == "{(if-goto (invalid IF) (invalid IF))} :SE");
    CHECK(show_line("IF[1]") == "{(if-goto 1 (invalid IF[1]))} :SE");
    CHECK(show_line("IF GOTO 5") == "{(if-goto (invalid IF GOTO 5) 5)} :SE");
    CHECK(show_line("IF[1]THEN") == "{(if-then 1 (invalid IF[1]THEN))} :SE");
    CHECK(show_line("IF[1]THEN #1") == "{(if-then 1 (invalid IF[1]THEN #1))} :SE");
    CHECK(show_line("WHILE DO1") == "{(while (invalid WHILE DO1) 1)} :SE");
    CHECK(show_line("WHILE[1]") == "{(while 1 0 (invalid WHILE[1]))} :SE");
    CHECK(show_line("END") == "{(end 0 (invalid END))} :SE");
    CHECK(show_line("GOTO X1") == "{(goto (invalid GOTO))} X1 :SE");
    CHECK(show_line("#1=") == "{(= (# 1) (invalid #1=))} :SE");
    CHECK(show_line("#1=2+") == "{(= (# 1) (+ 2 (invalid 2+)))} :SE");
    CHECK(show_line("#1=2+*3") == "{(= (# 1) (* (+ 2 (invalid 2+)) 3))} :SE");
    CHECK(show_line("X[") == "X(invalid [) :SE");
    CHECK(show_line("X[]") == "X(invalid []) :SE");
    CHECK(show_line("X[1 X5 2]") == "X(invalid [1) X52 <]> :SE");
    CHECK(show_line("X#") == "X(invalid #) :SE");
    CHECK(show_line("#-1=5") == "<#-1=5> :E");
    CHECK(show_line("#1=[#-1]") == "{(= (# 1) (- (invalid #) 1))} :SE");
    CHECK(show_line("#1=1.2.3") == "{(= (# 1) (invalid 1.2.3))} :SE");
    CHECK(show_line("#1=3.14159265358979323846") == "{(= (# 1) 3.14159265358979)} :S");
}

TEST_CASE("Expressions and items say where they are written") {
    const RunPointer run = parse_text("G0\nX[#1 + 2.5]\n");
    const Item& word = run->items.at(1);
    CHECK(run->text_of(word) == "X[#1 + 2.5]");
    const Expression& sum = run->expressions.at(word.expression);
    CHECK(run->text->bytes.substr(sum.begin, sum.length) == "#1 + 2.5");
    const Expression& right = run->expressions.at(static_cast<std::size_t>(sum.right));
    CHECK(run->text->bytes.substr(right.begin, right.length) == "2.5");
}
