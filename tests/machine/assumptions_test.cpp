#include "machine/arc_signs.h"
#include "machine/machine.h"
#include "machine/reader.h"
#include "machine/x_reading.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::Group;
using codes::Meaning;
using codes::System;
using machine::Assumed;
using machine::Sign;

namespace {

struct Bare {
    text::Buffer buffer;
    syntax::Forest forest;
    machine::SystemEvidence evidence;
    machine::SignCounts signs;

    explicit Bare(std::string_view program) : buffer(program), forest(buffer) {
        for (const syntax::RunPointer& run : forest.runs()) {
            evidence += machine::evidence_in(*run);
            signs += machine::signs_in(*run);
        }
    }
    machine::Settings settings(const shop::Machine& shop = {}) const {
        return machine::choose_settings(shop, evidence, signs);
    }
    machine::Assumption units() const { return settings().assumed.units; }
    machine::Assumption feed_mode() const { return settings().assumed.feed_mode; }
};

/// Without the state that is held for behind a contour: nobody is shown that one.
machine::State shown(machine::State state) {
    state.contour = {};
    return state;
}

constexpr std::string_view inch_part = "T0101\nG50 S2000\nG96 S600 M03\nG00 X1.3 Z.1\nG01 Z-.8125 F.008\n"
                                       "X1.2505\nG00 X4. Z3.\nM30\n";
constexpr std::string_view metric_part =
    "T0101\nG96 S180 M03\nG00 X64. Z2.\nG01 Z-48. F.25\nX70.\nG00 X100. Z80.\nM30\n";

} // namespace

TEST_CASE("the unit is assumed by what stands in the program") {
    // What is usual on a lathe: common practice, no source.
    struct Row {
        const char* program;
        Sign by; ///< none: not assumed
        Meaning unit;
    };
    const Row rows[] = {
        {"G01 Z-1. F.006\n", Sign::feed, Meaning::inch},
        {"G01 Z-10. F.2\n", Sign::feed, Meaning::millimetre},
        {"G00 X120. Z2.\nG01 Z-80.\n", Sign::size, Meaning::millimetre},
        {"G01 X1.2505\nX.0625 Z-.1875\n", Sign::decimals, Meaning::inch},
        // No drill goes 100 in a minute; a feed out of the part may.
        {"G98 G83 Z-7. Q1500 F100.\n", Sign::drill_feed, Meaning::millimetre},
        {"G98 G83 Z-.7 F12.\nG01 Z-2. F100.\n", Sign::none, Meaning::rapid},
        {"G01 X-.4 F.003\nX4. F.002\nG98 G83 Z-7. F100.\n", Sign::none, Meaning::rapid},
        {"G92 X.95 Z-.6 F.0625\n", Sign::lead, Meaning::inch},
        {"G92 X18.4 Z-20. F1.5\n", Sign::lead, Meaning::millimetre},
        // A tap by the minute has no lead
        {"G98 G84 Z-.5 F25.\n", Sign::none, Meaning::rapid},
        {"(1/2-13 UNC)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(M20X1.5)\nG01 X9.\n", Sign::note, Meaning::millimetre},
        {"(DRILL 8.5 MM)\nG01 X9.\n", Sign::note, Meaning::millimetre},
        // Drills by number and letter; not the number of a tool or of its station.
        {"(#7 DRILL)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"T0303 (DRILL #7)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(LTR F DRILL)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"T0707 (#7 DRILL)\nG01 X.5\n", Sign::none, Meaning::rapid},
        {"(TOOL #3 DRILL)\nG01 X.5\n", Sign::none, Meaning::rapid},
        // A note that names the unit for all; not that of a tool, a drawing or what was.
        {"(INCH PROGRAM)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(ALL IN INCHES)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(ALL SIZES IN MM)\nG01 X5.\n", Sign::note, Meaning::millimetre},
        {"(ALLE MASSE IN MM)\nG01 X5.\n", Sign::note, Meaning::millimetre},
        {"(METRISCH)\nG01 X5.\n", Sign::note, Meaning::millimetre},
        {"(MM)\nG01 X5.\n", Sign::note, Meaning::millimetre},
        {"(ZOLL)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(MEDIDAS EN PULGADAS)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(COTES EN POUCES)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(QUOTE IN POLLICI)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(1/2 INCH DRILL)\nG01 X.5\n", Sign::note, Meaning::inch},
        {"(12 ZOLL FUTTER)\nG01 X5.\n", Sign::none, Meaning::rapid},
        {"(DRAWING IS IN POUCES)\nG01 X5.\n", Sign::none, Meaning::rapid},
        {"(ALL DIMS MM, THREADS ZOLL)\nG01 X5.\n", Sign::none, Meaning::rapid},
        {"(PROGRAM CONVERTED FROM ZOLL)\nG01 X5.\n", Sign::none, Meaning::rapid},
        // Offsets and nose radii that G10 writes.
        {"G10 P1 X-13.7795 Z-8.2677 R.0312\nG01 X.5\n", Sign::decimals, Meaning::inch},
        {"G10 P1 X-350. Z-210. R0.8\nG01 X5.\n", Sign::size, Meaning::millimetre},
        {"G10 P1 X-14. Z-8.\nG01 X.5\n", Sign::none, Meaning::rapid},
        // A code behind a jump or further down; in C by the numbers of C.
        {"G00 X1. Z1.\nM01\nG20\n", Sign::code, Meaning::inch},
        {"G95\nG33 Z-1. F.05\nM01\nG71\n", Sign::code, Meaning::millimetre},
        // Misleading: a fine feed for parting, a reckoned point, a pipe thread on a metric part.
        {"G01 Z-48. F.25\nX40. F.2\nG01 X-.2 F.02\nX3.\n", Sign::feed, Meaning::millimetre},
        {"(1/2-14 NPT)\nG00 X64. Z2.\nG01 Z-48. F.25\n", Sign::feed, Meaning::millimetre},
        {"G01 X23.4641 Z-10. F.2\nX52. Z-20.\nX60. Z-31.5\n", Sign::feed, Meaning::millimetre},
        // A date is no fraction, a dwell and a return are no sizes.
        {"(REV 3/4/19)\nG28 U0 W100.\nG04 X50.\n", Sign::none, Meaning::rapid},
        {"G00 X5. Z5.\n", Sign::none, Meaning::rapid},
        // Tiny parts: feeds between what mm and inch have tell no unit, a spindle too fast for inches does.
        {"G97 S6000 M3\nG0 X4. Z.5\nG1 X-.3 F.03\nX2.02 F.05\nX1.4\nG1 X-.2 F.02\n", Sign::surface_speed,
         Meaning::millimetre},
        {"G97 S8000 M03\nG00 X1.8 Z.3\nG01 X-.05 F.008\nG00 X1.2\nG01 Z-3.98 F.012\nX1.4 F.006\n",
         Sign::surface_speed, Meaning::millimetre},
        {"G97 S4500 M03\nG00 X2.5 Z.5\nG01 Z-4.2 F.015\nX1.6 F.025\nX-.1 F.01\nX2.5 F.04\n", Sign::none,
         Meaning::rapid},
        {"G97 S7000 M03\nG00 X2. Z.5\nG83 Z-6. Q500 F.01\nG01 X-.1 F.008\nX1.5\n", Sign::surface_speed,
         Meaning::millimetre},
        // Small in inch: a fast spindle on less than an inch, one heavy cut among fine ones, four decimals.
        {"G97 S6000 M03\nG00 X.16 Z.05\nG01 Z-.31 F.002\nX.125 F.0015\nX.14\n", Sign::feed, Meaning::inch},
        {"G97 S6500 M03\nG00 X.3 Z.1\nG01 Z-.5 F.004\nX.25 F.006\nG00 X2. Z2.\nX.2\nX.22\n", Sign::feed,
         Meaning::inch},
        {"G97 S1500 M03\nG01 Z-1. F.02\nX.8 F.006\nX-.03 F.003\nZ-.4 F.004\n", Sign::feed, Meaning::inch},
        {"G97 S7000 M03\nG00 X1.1875 Z.1\nG01 Z-.0625 F.008\nX1.0313\n", Sign::decimals, Meaning::inch},
        // Tiny in mm, told by something else.
        {"(BAR 3MM)\nG97 S6000 M3\nG1 X-.3 F.03\nX2.02 F.05\n", Sign::note, Meaning::millimetre},
        {"G97 S6000 M3\nG1 X-.3 F.03\nX2.02 F.1\n", Sign::feed, Meaning::millimetre},
        // A needle that turns too fast for its inches, though it comes near as one in inch would.
        {"G97 S6000 M3\nG0 X3.5 Z0\nG1 X-.4 F.02\nG0 X3.4 Z.15\nX2.3\nG1 Z-9.3 F.03\nX3.\nX1.\nX2. F.012\n",
         Sign::surface_speed, Meaning::millimetre},
        {"G97 S3500 M3\nG0 X1.2 Z.05\nG1 X-.04 F.012\nG0 X1.1\nG1 Z-.5 F.01\nX.9 F.006\n", Sign::feed,
         Meaning::inch},
        // A pin whose drill and blade turn slower; feeds by the minute of one.
        {"G97 S6000 M3\nG0 X2.9 Z0\nG1 X-.04 F.012\nG0 X2.1 Z.1\nG1 Z-8.9 F.025\nX1.6\nX2.2 "
         "F.01\nX1.3\nS4000\n"
         "G1 X1.5 F.01\nX2.4 F.006\nS4000\n",
         Sign::surface_speed, Meaning::millimetre},
        {"G98\nG97 S9000 M3\nG0 X3.2 Z0\nG1 X-.05 F60.\nX2.6 F400.\nZ-7.5 F120.\nX3.1\nX1.8\nS5000\nX1.5 "
         "F30.\n",
         Sign::surface_speed, Meaning::millimetre},
        // A ring of 52 in at 40 turns a minute; as mm nobody would turn so slowly.
        {"G97 S40 M03\nG00 X52.5 Z.5\nG01 Z.1 F.05\nX41. F.025\nX51. F.018\nX51.25 F.015\n", Sign::feed,
         Meaning::inch},
        // One coarse feed through air, where 350 m/min on 5 mm would be eighteen times the limit.
        {"G50 S1200\nG96 S350 M3\nG0 X5.2 Z0\nG1 X1.4 F.01\nX5. F.1\nZ-2.6 F.012\nX5.1\nX4.2 F.004\n",
         Sign::feed, Meaning::inch},
        // On a shaft of 92 mm 140 ft/min would be six turns.
        {"G50 S1800\nG96 S140 M03\nG00 X92. Z0\nX90.\nX80.\n", Sign::size, Meaning::millimetre},
        // Misleading: a thread alone on a small part in mm turns slowly, too.
        {"G97 S200 M03\nG00 X10. Z4.\nG92 X9.4 Z-12. F1.5\nX9.\n", Sign::none, Meaning::rapid},
        // Large parts in inch have heavy feeds; no part of 8 mm and more is cut so finely throughout.
        {"G92 S300\nG96 S400 M3\nG0 X20.5 Z.2\nG1 X8.2 F.018\nX16.2 F.016\nX20.1 F.02\nX15.9 F.012\n",
         Sign::feed, Meaning::inch},
        {"G96 S90 M3\nG0 X9.5 Z.5\nG1 X-.4 F.02\nX8.6 F.04\nX8.2 F.018\nX9. F.03\n", Sign::none,
         Meaning::rapid},
        {"G96 S90 M3\nG0 X6.5 Z.5\nG1 X-.4 F.02\nX5.6 F.018\nX4.2 F.018\nX5. F.012\n", Sign::none,
         Meaning::rapid},
        // Feeds by the minute, by what they are a turn.
        {"G97 S1400 M3\nG0 X1.4 Z0\nG1 X-.03 F8.4\nX1.2 F14.\nS900\nG1 Z-1. F6.3\n", Sign::feed_a_turn,
         Meaning::inch},
        {"G97 S1200 M3\nG0 X20. Z0\nG1 X-1. F200\nX18. F300\nS1600\nG1 Z-10. F150\n", Sign::feed_a_turn,
         Meaning::millimetre},
        {"G97 S7000 M3\nG0 X2. Z0\nG1 X-1. F150\nX1.8 F200\n", Sign::surface_speed, Meaning::millimetre},
        {"G96 S200 M3\nG97 S1200 M3\nG0 X20. Z0\nG1 X-1. F200\nX18. F300\n", Sign::none, Meaning::rapid},
        {"G97 S300 M3\nG0 X20. Z0\nG1 X-1. F50\nG99 G1 X18. F1.5\n", Sign::none, Meaning::rapid},
        // Counted in increments F120 may be .0120 a turn.
        {"G97 S1200 M3\nG0X9500Z2000\nG1X-600F120\nG0X9000Z1000\nX8200Z-31500F80\nX7700Z-17900\nX5400\n",
         Sign::none, Meaning::rapid},
        // Odd sixteenths; 2 mm in front of the part, at 140 m/min. One of the two alone may be the other
        // unit.
        {"G96 S300 M3\nG0X9500Z1000\nG1X-600F80\nX5625Z-625\nX6875\nX7500Z-11875\nZ-20000\nX9000Z1000\n",
         Sign::decimals, Meaning::inch},
        {"G96 S140 M3\nG0X92000Z2000\nG1X-1600F20\nG0X90000Z2000\nX80000Z-29000\nZ-45000\nX91000\nX40000\n",
         Sign::surface_speed, Meaning::millimetre},
        {"G96 S400 M3\nG0X92000Z2000\nG1X-1600F20\nG0X90000Z2000\nX80000Z-29000\nZ-45000\nX91000\nX40000\n",
         Sign::none, Meaning::rapid},
        {"G96 S140 M3\nG0X92000Z1000\nG1X-1600F20\nG0X90000Z1000\nX80000Z-29000\nZ-45000\nX91000\nX40000\n",
         Sign::none, Meaning::rapid},
        {"G96 S140 M3\nG0X9200Z2000\nG1X-1600F20\nG0X9375Z2000\nX8125Z-2900\nZ-45000\nX91000\nX40000\n",
         Sign::none, Meaning::rapid},
        // The one speaks against the other.
        {"G01 X120. F.006\nZ-90. F.005\n", Sign::none, Meaning::rapid},
        {"(2 INCH BAR)\n(CNMG 432)\nG01 X9.\n", Sign::note, Meaning::inch},
        {"G20\nG00 X1.\nG21\nG00 X25.\n", Sign::none, Meaning::rapid},
    };
    for (const Row& row : rows) {
        INFO(row.program);
        const machine::Assumption found = Bare(row.program).units();
        CHECK(static_cast<int>(found.by) == static_cast<int>(row.by));
        if (row.by != Sign::none) CHECK(found.meaning == row.unit);
    }
    CHECK(Bare("G01 X120. F.006\nZ-90. F.005\n").units().conflict);
    // A note or a code further down against all the rest.
    CHECK(Bare("(INCH PROGRAM)\nG01 X12. F.1\nZ-9. F.2\n").units().conflict);
    CHECK(Bare("(ALL SIZES IN MM)\nG50 S2000\nG96 S600 M03\nG01 X1.3 F.005\nZ-.9 F.004\n").units().conflict);
    CHECK(Bare("G01 X31.75 F.2\nZ-12. F.25\nM01\nG20\n").units().conflict);
    CHECK(Bare("(INCH PROGRAM)\nG01 X1.2 F.008\n").units().meaning == Meaning::inch);
    CHECK(Bare("(ALL SIZES IN MM)\nG01 X12. F.2\n").units().meaning == Meaning::millimetre);
    // A feed of a turn and one of a minute with no code for either.
    CHECK(Bare("G01 X1.9 F.005\nX1.8 F8.\n").feed_mode().conflict);
    CHECK(Bare("G99 G01 X1.9 F.005\nX1.8 F8.\n").feed_mode().meaning == Meaning::feed_per_rev);
    CHECK_FALSE(Bare("G01 X1.9 F8.\nX1.8 F12.\n").feed_mode().conflict);
    CHECK_FALSE(Bare("G01 X31.9 F.2\nX38.8 F8.\n").feed_mode().conflict);
}

TEST_CASE("the feed mode is assumed by what a feed would be otherwise") {
    struct Row {
        const char* program;
        Sign by;
        Meaning mode;
    };
    const Row rows[] = {
        {"G01 X1. F.005\n", Sign::feed, Meaning::feed_per_rev},
        {"G01 X50. F200\n", Sign::feed, Meaning::feed_per_minute},
        {"G01 X50. F160.\n", Sign::feed, Meaning::feed_per_minute},
        // Nothing tells: lathes are switched on by the turn (common practice, no source).
        {"G01 X50.\n", Sign::practice, Meaning::feed_per_rev},
        {"G01 X50. F#9\n", Sign::practice, Meaning::feed_per_rev},
        // Large feeds stand under their code; what is left is by the turn.
        {"G01 X50. F.2\nG98\nG01 X20. F120.\n", Sign::feed, Meaning::feed_per_rev},
        {"G01 X50. F120.\nG99\nG01 X20. F.2\n", Sign::feed, Meaning::feed_per_minute},
        {"G95 G33 Z-1. F1.5\nG94\nG01 X50. F120.\nX60. F.2\n", Sign::feed, Meaning::feed_per_rev},
        // No edge takes 8.4 a turn; a tool may travel so among cuts that tell otherwise, or under its code.
        {"G97 S1400 M3\nG1 X-.03 F8.4\nX1.2 F14.\n", Sign::feed, Meaning::feed_per_minute},
        {"G1 X-.03 F8.4\nX1.2 F14.\nX.4 F.8\n", Sign::feed, Meaning::feed_per_minute},
        {"G1 X-.03 F.2\nX1.2 F5.\n", Sign::feed, Meaning::feed_per_rev},
        {"G1 X-.03 F.2\nG98\nG1 X1.2 F5.\n", Sign::feed, Meaning::feed_per_rev},
        {"G1 X30. F2.\n", Sign::practice, Meaning::feed_per_rev},
        {"G1 X30. F8\n", Sign::practice, Meaning::feed_per_rev}, // Hundredths, perhaps
        {"G33 Z-20. F6.\nG92 X18. Z-20. F4.\n", Sign::practice, Meaning::feed_per_rev},
        // A lead is no feed.
        {"G92 X20. Z-20. F25.\nG01 X2. F.1\n", Sign::feed, Meaning::feed_per_rev},
        {"G01 X50. F120.\nX60. F.2\n", Sign::none, Meaning::rapid},
        // In inches a third in a turn nothing takes.
        {"G20\nG97 S600 M3\nG01 X.75 F1.5\n", Sign::feed_a_turn, Meaning::feed_per_minute},
        {"G20\nG01 X.75 F.8\n", Sign::feed, Meaning::feed_per_minute},
        {"G20\nG01 X.75 F.008\nX1. F1.\n", Sign::feed, Meaning::feed_per_rev},
        // What a note says of all feeds, and where they speak against it; of one tool it says nothing.
        {"(FEED MM/MIN)\nG01 X50. F15.\n", Sign::note, Meaning::feed_per_minute},
        {"(IPM FEEDS)\nG01 X5. F3.\n", Sign::note, Meaning::feed_per_minute},
        {"(ALL FEEDS ARE IPR)\nG01 X5. F.005\n", Sign::note, Meaning::feed_per_rev},
        {"(AVANCE MM/TR)\nG01 X50. F.2\n", Sign::note, Meaning::feed_per_rev},
        {"(FEED MM/MIN)\nG01 X50. F.2\n", Sign::none, Meaning::rapid},
        {"(VORSCHUB IN MM PRO UMDREHUNG)\nG01 X50. F200.\n", Sign::none, Meaning::rapid},
        {"(TAP FEED MM/MIN)\nG01 X50. F.2\n", Sign::feed, Meaning::feed_per_rev},
        // In increments F80 may be .0080 a turn.
        {"G0X9500Z0\nG1X-600F80\nG0X9000Z1000\nX8200Z-31500\nX7700Z-17900\nX5400\n", Sign::none,
         Meaning::rapid},
    };
    for (const Row& row : rows) {
        INFO(row.program);
        const machine::Assumption found = Bare(row.program).feed_mode();
        CHECK(static_cast<int>(found.by) == static_cast<int>(row.by));
        if (row.by != Sign::none) CHECK(found.meaning == row.mode);
    }
}

TEST_CASE("signs do not hang on where runs begin") {
    std::string program;
    for (int i = 0; i < 40; ++i) program += inch_part;
    const Bare all(program);
    machine::SignCounts once = Bare(inch_part).signs;
    machine::SignCounts sum;
    for (int i = 0; i < 40; ++i) sum += once;
    CHECK(sum.inch == all.signs.inch);
    CHECK(sum.millimetre == all.signs.millimetre);
    CHECK(sum.per_rev == all.signs.per_rev);
    for (int i = 0; i < 39; ++i) sum -= once;
    CHECK(sum.inch == once.inch);
}

TEST_CASE("lengths without a point are read by their sizes, where a program writes them in one way") {
    // How shops write: common practice, no source.
    const std::string whole =
        "G21 G99\nT0101\nG00 X56 Z0\nG01 X-2 F0.2\nG00 X50.5 Z2\nG01 Z-34\nX54\nX56 Z-36\n"
        "G00 X200 Z100\nM30\n";
    const std::string increments = "G21 G99\nT0101\nG00 X56000 Z200\nG01 X-2000 F0.2\nG00 X50500 Z2000\n"
                                   "G01 Z-34000\nX54000\nX56000 Z-36000\nG00 X200000 Z100000\nM30\n";
    CHECK(Bare(whole).settings().assumed.no_point == shop::NoPoint::whole_units);
    CHECK(Bare(increments).settings().assumed.no_point == shop::NoPoint::least_increments);
    // On a disc of X600 few are small, but tools come near by some units.
    const std::string disc =
        "G21 G99\nT0101\nG00 X620 Z10\nG01 X142 F0.4\nG00 X605 Z2\nG01 Z-5\nG00 X604 Z2\nG01 Z-30\nX610\n"
        "G00 X601 Z3\nG01 Z-30\nX620\nG00 X800 Z300\nM30\n";
    CHECK(Bare(disc).settings().assumed.no_point == shop::NoPoint::whole_units);
    CHECK_FALSE(Bare(disc).settings().assumed.few_without_point);
    CHECK(Bare("G00 X560 Z200\nX550 Z-340\nX540 Z-50\nX530 Z-5\nX500 Z-200\n").settings().assumed.no_point ==
          shop::NoPoint::unknown);
    // One that writes "50." elsewhere has made a slip there, and means the others as they stand; few places
    // tell nothing, and sizes that fit both neither.
    const auto not_told = shop::NoPoint::unknown;
    CHECK(Bare(whole + "G00 X50. Z2.\n").settings().assumed.no_point == shop::NoPoint::whole_units);
    CHECK(Bare(whole + "G00 X50. Z2.\n").settings().assumed.few_without_point);
    CHECK(Bare(increments + "G00 X50. Z2.\nX40. Z-3.\n").settings().assumed.no_point == not_told);
    CHECK(Bare("G00 X56 Z2\nG01 Z-40 F0.2\n").settings().assumed.no_point == not_told);
    CHECK(Bare("G00 X560 Z200\nX550 Z-340\nX540 Z-900\nX530 Z-400\n").settings().assumed.no_point ==
          not_told);
    // A short program, none of whose lengths were on the lathe in whole units; one point speaks against it.
    const std::string few = "T0101\nG96 S150 M03\nG00 X52000 Z2000\nG01 Z-20000 F200\nX54000\n"
                            "G00 X200000 Z100000\nM30\n";
    CHECK(Bare(few).settings().assumed.no_point == shop::NoPoint::least_increments);
    CHECK(Bare(few).settings().assumed.feed_mode.meaning != Meaning::feed_per_minute);
    CHECK(Bare("G20\n" + few).settings().assumed.no_point == shop::NoPoint::least_increments);
    CHECK(Bare("G00 Z2.\n" + few).settings().assumed.no_point == not_told);
    CHECK(Bare("T0101\nG00 X520 Z200\nG01 Z-200 F200\nX540\nG00 X2000 Z1000\nM30\n")
              .settings()
              .assumed.no_point == not_told);
    shop::Machine machine;
    machine.no_point = shop::NoPoint::least_increments;
    CHECK(Bare(whole).settings(machine).assumed.no_point == not_told); // It is known
    const auto x_behind = [](const std::string& program) {
        const Bare bare(program);
        machine::Analysis analysis;
        analysis.rebuild(bare.forest, bare.settings(), nullptr);
        return analysis.result(0)->out.x_radius;
    };
    CHECK(x_behind(whole).is(100));
    CHECK(x_behind(increments).is(100));
}

TEST_CASE("a few lengths without a point are increments, where all are far too large for a part") {
    const auto no_point = [](std::string_view program) { return Bare(program).settings().assumed.no_point; };
    const std::string_view program =
        "T0101\nG50 S2000\nG96 S150 M3\nG0 X52000 Z2000\nG1 Z-20000 F200\nX54000\n"
        "G0 X200000 Z100000\nM30\n";
    CHECK(no_point(program) == shop::NoPoint::least_increments);
    CHECK(Bare("G21\n" + std::string(program)).feed_mode().meaning == Meaning::feed_per_rev);
    CHECK(Bare(program).feed_mode().conflict); // 0.2 mm or 0.02 in: nothing tells
    CHECK(no_point("G0 X520 Z200\nG1 Z-150\nX540\n") == shop::NoPoint::unknown);
    CHECK(no_point("G0 X52000 Z2000\nG1 Z-20\nX54000\n") == shop::NoPoint::unknown);
    CHECK(no_point("G0 X52000 Z2000\nG1 Z-20.\nX54000\nX5000\n") == shop::NoPoint::unknown);
}

TEST_CASE("feeds in increments are counted as those in the middle allow") {
    // 80, 120, 50 and 30 ten-thousandths of an inch, and a lead of a tenth; 20 and 30 hundredths of a mm, 200
    // and 300 thousandths. Common practice, no source.
    const std::string inch =
                          "G20\nG96S450M3\nG0X9500Z20000\nG1X-600F80\nG0X9000Z1000\nG1X8200Z-31500F120\nX7700"
                          "Z-17900\nG1X5400F50\n",
                      metric =
                          "G21G99\nG0X92000Z2000\nG1X-1600F20\nG0X90000\nG1X40000Z-25000F30\nX46000Z-28000"
                          "\nX78000F15\n";
    const auto feed_behind = [](const std::string& program) {
        const Bare bare(program);
        machine::Analysis analysis;
        analysis.rebuild(bare.forest, bare.settings(), nullptr);
        return analysis.result(0)->out.feed;
    };
    CHECK(feed_behind(inch).number == Approx(0.005));
    CHECK(feed_behind(inch + "G76X6233Z-17200P613Q120F1000\n").number == Approx(0.1));
    CHECK(feed_behind(metric).number == Approx(0.15));
    CHECK(Bare(inch).settings().assumed.feed_step == Approx(0.0001));
    CHECK(Bare(metric).settings().assumed.feed_step == Approx(0.01));
    // A habit of points in feeds, a feed by the minute, no sign of the mode, no unit, a size of no feed.
    const auto step = [](const std::string& program) { return Bare(program).settings().assumed.feed_step; };
    CHECK(step(metric + "G1X40000F.2\n") == 0);
    CHECK(step(metric + "G98G1X40000F120\n") == 0);
    CHECK(step("G21\n" + metric.substr(metric.find("G0X"))) == 0);
    CHECK(step(metric.substr(metric.find("G99"))) == 0);
    std::string large = metric;
    for (const char* feed : {"F20", "F30", "F15"}) large.insert(large.find(feed) + 3, "000");
    CHECK(step(large) == 0);
    // The shop file says it better.
    shop::Machine machine;
    machine.no_point = shop::NoPoint::least_increments;
    CHECK(Bare(metric).settings(machine).assumed.no_point == shop::NoPoint::unknown);
}

TEST_CASE("a T word of two digits is a station alone where a nought leads it") {
    const auto tool_behind = [](const std::string& program) {
        const Bare bare(program);
        machine::Analysis analysis;
        analysis.rebuild(bare.forest, bare.settings(), nullptr);
        return analysis.result(0)->out.tool;
    };
    CHECK(tool_behind("T01\nG00 X20. Z2.\n").is(1));
    CHECK(tool_behind("T01\nG00 X20. Z2.\nT12\n").is(12));
    CHECK(tool_behind("T0101\nG00 X20. Z2.\nT1212\n").is(12));
    // Station and offset by a digit each, with an offset that comes alone.
    CHECK(tool_behind("T11\nG00 X20. Z2.\nT33\n").is(3));
    CHECK(tool_behind("T11\nG00 X20. Z2.\nT12\n").is(1));
    CHECK(tool_behind("T11\nG00 X20. Z2.\nT02\n").is(1));
    shop::Machine machine;
    machine.tool_digits = 2;
    CHECK_FALSE(Bare("T01\nG00 X20. Z2.\n").settings(machine).assumed.stations_alone);
}

TEST_CASE("a few lengths without a point are meant as the many that have one") {
    const std::string many =
        "G21 G99\nT0101\nG00 X42. Z1.\nG01 Z-20. F.2\nX40.\nZ-30.\nX44.\nG00 X100. Z80.\n";
    const auto x_behind = [](const std::string& program) {
        const Bare bare(program);
        machine::Analysis analysis;
        analysis.rebuild(bare.forest, bare.settings(), nullptr);
        return analysis.result(0)->out.x_radius;
    };
    CHECK(x_behind(many + "X28\n").is(14));
    CHECK(x_behind(many + "X28.\nU2\n").is(15));
    const machine::Assumptions slip = Bare(many + "X28\n").settings().assumed;
    CHECK(slip.few_without_point);
    CHECK(slip.no_point == shop::NoPoint::whole_units);
    CHECK_FALSE(Bare(many).settings().assumed.few_without_point);
    // Longer than any that has one, not as few, or of a size that increments have too: not told.
    CHECK_FALSE(x_behind(many + "X900\n").known());
    CHECK_FALSE(x_behind(many + "X28500\n").known());
    CHECK_FALSE(x_behind("G21\nG00 X42. Z1.\nX28\n").known());
    // A feed may be a slip by any digits.
    CHECK_FALSE(Bare(many + "X28\n").settings().assumed.by_sense);
    const Bare feed(many + "G01 X28 F2\n");
    machine::Analysis analysis;
    analysis.rebuild(feed.forest, feed.settings(), nullptr);
    CHECK(analysis.result(0)->out.feed.why == machine::Why::no_point);
}

TEST_CASE("a word without a point is read where its size leaves one reading") {
    const auto value = [](const std::string& program, char letter) {
        const Bare bare(program);
        const machine::Settings settings = bare.settings();
        machine::State state = machine::power_on_state(settings);
        machine::Reading reading;
        machine::interpret(*bare.forest.run(0), 0, settings, state, reading);
        return reading.value(letter);
    };
    CHECK(value("G21 G92 X29.4 Z-20. F2\n", 'F').is(2));
    CHECK(value("G20 G76 R0010\n", 'R').is(0.001));
    CHECK(value("G20 G76 P010060 Q30 R10\n", 'R').is(0.001));
    CHECK(value("G21 G76 P020060 Q50 R20\n", 'R').is(0.02));
    CHECK(value("G20 G76 P010060 Q30 R.001\n", 'R').is(0.001));
    CHECK(value("G21 G04 X2\n", 'X').is(2));
    CHECK(value("G21 G04 U500\n", 'U').is(0.5));
    CHECK(Bare("G21 G04 X2\n").settings().assumed.by_sense);
    CHECK_FALSE(Bare("G21 G04 X2.\nG92 X29.4 Z-20. F2.\n").settings().assumed.by_sense);
    for (const auto& [program, letter] : {std::pair{"G21 G92 X29.4 Z-20. F200\n", 'F'},
                                          {"G20 G76 X.957 Z-.75 R-31 P571 Q100 F.0714\n", 'R'},
                                          {"G20 G02 X1. Z-1. R10\n", 'R'},
                                          {"G20 G92 X1.4 Z-1. F1\n", 'F'},
                                          {"G21 G04 X50\n", 'X'},
                                          {"G21 G99 G01 Z-20. F2\n", 'F'}}) {
        INFO(program);
        CHECK(value(program, letter).why == machine::Why::no_point);
    }
    // By the minute in inch: a fifth of an inch is no feed, half an inch may be one.
    const auto feed_behind = [](const std::string& program) {
        const Bare bare(program);
        machine::Analysis analysis;
        analysis.rebuild(bare.forest, bare.settings(), nullptr);
        return analysis.result(0)->out.feed;
    };
    CHECK(feed_behind("G20 G98\nG01 Z-2. F9\n").is(9));
    CHECK(Bare("G20 G98\nG01 Z-2. F9\n").settings().assumed.by_sense);
    CHECK(feed_behind("G20 G98\nG01 Z-2. F60\n").why == machine::Why::no_point);
    CHECK(feed_behind("G20 G99\nG01 Z-2. F9\n").why == machine::Why::no_point);
    // The shop file says it better.
    shop::Machine machine;
    machine.no_point = shop::NoPoint::least_increments;
    CHECK_FALSE(Bare("G21 G04 X2\n").settings(machine).assumed.by_sense);
}

// How shops note it: common practice, no source.
TEST_CASE("a note tells whether X is a radius") {
    using shop::XReading;
    for (const char* note : {"X IN RADIUS",
                             "ALL X VALUES ARE RADIUS",
                             "All X words are radius",
                             "*** X IS RADIUS ON THIS LATHE ***",
                             "X = RADIUS VALUE, ALSO U IN CYCLES!",
                             "CODES C, INCH, X ON RADIUS. G74 FACE ROUGHING",
                             "BOLT M16X2, 50 LONG, X IN RADIUS",
                             "X: RADIUS",
                             "RADIUS PROGRAMMING",
                             "PROGRAMMED IN RADIUS",
                             "RADIUSPROGRAMMIERUNG",
                             "X IM RADIUS",
                             "BRUT DIA 36 - X AU RAYON",
                             "X - RADIUS",
                             "X EN RADIO",
                             "X IN RAGGIO",
                             "X EN RAYON",
                             "X-MASSE IM RADIUS",
                             "TUTTE LE QUOTE X SONO RAGGIO",
                             "X SUL RAGGIO",
                             "PROGRAMADO EN RADIOS",
                             "PROGRAMMATION AU RAYON",
                             "RADIUS VALUES",
                             "X VALORES EN RADIO",
                             "X RADIUS VALUES",
                             "ALL X DIMS ARE RADIAL",
                             "X AXIS IS RADIUS MODE",
                             "RADIUS MODE",
                             "X = HALBMESSER",
                             "QUOTE X RADIALI",
                             "COTES X AU RAYON"}) {
        CAPTURE(note);
        CHECK(machine::x_reading_in(note) == XReading::radius);
    }
    for (const char* note : {"X IS DIAMETER", "X = DIA", "DIAMETER PROGRAMMING", "X IM DURCHMESSER"}) {
        CAPTURE(note);
        CHECK(machine::x_reading_in(note) == XReading::diameter);
    }
    for (const char* note :
         {"", "NOSE RADIUS 0.8", "2 X RADIUS 3", "4 X ON DIAMETER 40", "BORE D26 X 20 FOR BEARING, RADIUS 13",
          "R = WAY ON RADIUS FROM START POINT", "FIRST DEPTH ON RADIUS", "60 X 120 IN DIAMETER",
          "X IN RADIUS 5", "RADIUS X", "SPHERE RADIUS", "RAYON PROGRAMME", "RADIUS VALUES OF THE CORNERS",
          "MASSE IM RADIUS", "RADIUS SIZE 3", "QUOTE SUL RAGGIO 5"}) {
        CAPTURE(note);
        CHECK(machine::x_reading_in(note) == std::nullopt);
    }
}

TEST_CASE("X is assumed as a radius by a note, unless another or the shop file says otherwise") {
    using shop::XReading;
    const Bare noted("(HUB, X IN RADIUS)\nG00 X45. Z1.\n");
    CHECK(noted.settings().assumed.x_radius);
    CHECK(noted.settings().machine.x == XReading::radius);
    CHECK(noted.settings().rates().x == XReading::radius);
    const Bare both("(HUB, X IN RADIUS)\n(X IS DIAMETER)\nG00 X45. Z1.\n");
    CHECK(both.settings().machine.x == XReading::diameter);
    const shop::Shop told = shop::parse_shop("[[machine]]\nx = \"diameter\"\n", {});
    CHECK_FALSE(noted.settings(told.machines.front()).assumed.x_radius);
    CHECK(noted.settings(told.machines.front()).machine.x == XReading::diameter);
    const shop::Shop silent = shop::parse_shop("[[machine]]\nname = \"LONG BED\"\n", {});
    CHECK(noted.settings(silent.machines.front()).machine.x == XReading::radius);
}

namespace {

bool arcs_tell_radius(std::string_view program) {
    std::vector<machine::ArcRun> runs;
    const Bare bare(program);
    for (const syntax::RunPointer& run : bare.forest.runs()) runs.push_back(machine::arcs_in(*run));
    const bool tells = machine::arcs_tell_radius(runs);
    if (tells) CHECK(machine::first_radius_arc(bare.forest).has_value());
    return tells;
}

} // namespace

// The ends of an arc are equally far from its centre, and a quarter of a circle goes as far in X as in Z:
// first principles.
TEST_CASE("arcs tell that X is a radius where they close in no other way") {
    const std::string_view radius[] = {
        // Quarters by R, and by centre
        "G00 X10. Z2.\nG01 Z-8. F.2\nG02 X12. Z-10. R2.\nG01 X18.\nG03 X20. Z-12. R2.\n",
        "G00 X10. Z2.\nG01 Z-8. F.2\nG02 X12. Z-10. I2. K0\nG01 X18.\nG03 X20. Z-12. I0 K-2.\n",
        // No quarters: centre 3 4 from the start, and the mirrored end
        "G00 X10. Z0\nG02 X16. Z0 I3. K4.\nG01 X20. Z-5.\nG02 X26. Z-5. I3. K4.\n",
        // Incremental words, in inch, and a contour behind its cycle
        "G00 X.5 Z0\nG02 U.125 W-.125 R.125\nG01 W-.5\nG02 U.125 W-.125 I.125\n",
        "G00 X31. Z2.\nG71 U2. R1.\nG71 P10 Q20 U.5 W.1 F.2\nN10 G00 X10.\nG01 Z-8.\nG02 X12. Z-10. R2.\n"
        "G01 X18.\nN20 G03 X20. Z-12. R2.\n",
        "G90 G00 X10. Z-8.\nG02 X12. Z-10. R2.\nX18.\nG03 X20. Z-12. R2.\n",
    };
    for (const std::string_view program : radius) {
        INFO(program);
        CHECK(arcs_tell_radius(program));
    }
    // Edges are broken by 45 degrees: common practice, no source.
    const std::string_view chamfers[] = {
        "G00 X8. Z0\nG01 X10. Z-2. F.2\nZ-20.\nX17.\nX18. Z-21.\n",
        "G00 X8. Z0\nG01 U2. W-2. F.2\nW-18.\nU7.\nU1. W-1.\n",
        "G20\nG00 X.36 Z.1\nG01 Z0 F.005\nX.4 Z-.04\nZ-.5\nX.56\nX.6 Z-.54\nG00 X2. Z3.\n",
    };
    for (const std::string_view program : chamfers) {
        INFO(program);
        CHECK(arcs_tell_radius(program));
    }
    const std::string_view other[] = {
        // One chamfer alone, one that is of 45 degrees on a diameter, rapids, cones, an arc of a diameter
        "G00 X8. Z0\nG01 X10. Z-2. F.2\nZ-20.\nX17.\n",
        "G00 X8. Z0\nG01 X10. Z-2. F.2\nZ-20.\nX17.\nX18. Z-21.\nX22.\nX24. Z-22.\n",
        "G00 X8. Z0\nG01 X12. Z-2. F.2\nZ-20.\nX16.\nX18. Z-21.\n",
        "G00 X8. Z0\nG00 X10. Z-2.\nZ-20.\nX17.\nG00 X18. Z-21.\n",
        "G00 X8. Z0\nG01 X20. Z-12. F.2\nX30.\nX45. Z-27.\n",
        "G00 X8. Z0\nG01 X10. Z-2. F.2\nX19.\nX20. Z-3.\nZ-8.\nG02 X24. Z-10. R2.\nG00 X20. Z-8.\nG02 X24. "
        "Z-10. I2. K0\n",
        // One alone may be a slip, and one that only a diameter closes speaks against
        "G00 X10. Z2.\nG01 Z-8. F.2\nG02 X12. Z-10. R2.\n",
        "G00 X10. Z-8.\nG02 X12. Z-10. R2.\nG01 X18.\nG03 X20. Z-12. R2.\nG02 X24. Z-14. I2. K0\n",
        "G00 X20. Z-8.\nG02 X24. Z-10. R2.\nG01 X36.\nG03 X40. Z-12. R2.\n",
        "G00 X20. Z-8.\nG02 X24. Z-10. I2.\nG01 X36.\nG03 X40. Z-12. K-2.\n",
        // Open either way, or where the start is not told
        "G00 X20. Z-8.\nG02 X23. Z-10. I2.\nG01 X36.\nG03 X39. Z-12. K-2.\n",
        "G28 U0 W0\nG02 X12. Z-10. R2.\nG28 U0 W0\nG03 X20. Z-12. R2.\n",
        "G00 X#1 Z-8.\nG02 X12. Z-10. R2.\nG00 X#1 Z-8.\nG02 X12. Z-10. R2.\n",
        "G91 G00 X2. Z-8.\nG02 X2. Z-2. R2.\nG02 X2. Z-2. R2.\n",
        // Behind a cycle that is another in each system
        "G00 X10. Z-8.\nG90 X9. Z-20. F.2\nG02 U2. W-2. R2.5\n",
        "",
    };
    for (const std::string_view program : other) {
        INFO(program);
        CHECK_FALSE(arcs_tell_radius(program));
    }
}

TEST_CASE("what arcs tell does not hang on where runs begin") {
    constexpr std::string_view block[] = {
        "G01 X12. Z-10.\n",   "G01 U1. W-1.\n", "G00 X10. Z-8.\n", "G02 X12. Z-10. R2.\n",
        "G02 U2. W-2. I2.\n", "G01 W-3.\n",     "(NOTE)\n",        "G00 X10.\n",
        "G28 U0\n",           "Z-8.\n"};
    const auto state = [](const machine::ArcPlace& place) { return std::pair(place.from, place.value); };
    std::uint32_t seed = 7;
    for (int program = 0; program < 300; ++program) {
        std::string text;
        std::vector<std::string> parts(1);
        for (int line = 0; line < 12; ++line) {
            seed = seed * 1664525 + 1013904223;
            const std::string_view next = block[(seed >> 16) % std::size(block)];
            text += next;
            if ((seed >> 24) % 3 == 0) parts.emplace_back();
            parts.back() += next;
        }
        INFO(text);
        const auto run_of = [](const std::string& part) {
            return machine::arcs_in(*Bare(part).forest.run(0));
        };
        std::vector<machine::ArcRun> runs;
        for (const std::string& part : parts)
            if (!part.empty()) runs.push_back(run_of(part));
        const machine::ArcRun whole = run_of(text);
        CHECK(machine::arcs_tell_radius(runs) == machine::arcs_tell_radius({whole}));
        machine::ArcPlace x, z;
        for (const machine::ArcRun& run : runs) x = run.x.resolved(x), z = run.z.resolved(z);
        CHECK(state(x) == state(whole.x));
        CHECK(state(z) == state(whole.z));
    }
}

TEST_CASE("what the shop file says is not assumed") {
    const Bare bare(inch_part);
    shop::Machine machine;
    machine.units = Meaning::millimetre;
    machine.power_on = {Meaning::feed_per_minute};
    machine.rapid_x_mm_per_min = machine.rapid_z_mm_per_min = 5000;
    machine.tool_change_seconds = 3;
    const machine::Settings settings = bare.settings(machine);
    const machine::State state = machine::power_on_state(settings);
    CHECK(state.of(Group::units).stated().is(Meaning::millimetre));
    CHECK(state.of(Group::feed_mode).stated().is(Meaning::feed_per_minute));
    CHECK_FALSE(settings.assumed_rates);
    CHECK(bare.settings().assumed_rates);
}

TEST_CASE("an assumption is followed, and ends where a code states it") {
    const Bare bare(inch_part);
    const machine::State start = machine::power_on_state(bare.settings());
    CHECK(start.is(Meaning::inch));
    CHECK(start.of(Group::units).is_assumed());
    CHECK(start.of(Group::units).surely_unset());
    CHECK_FALSE(start.of(Group::units).stated().known());
    machine::State stated = start;
    stated.set(Meaning::inch);
    CHECK_FALSE(stated.of(Group::units).is_assumed());
    // Where one way states it and the other does not, it is still assumed, and no longer surely unset.
    const machine::State joined = machine::join(start, stated);
    CHECK(joined.is(Meaning::inch));
    CHECK(joined.of(Group::units).is_assumed());
    CHECK_FALSE(joined.of(Group::units).surely_unset());
    CHECK(joined.of(Group::units) == machine::join(stated, start).of(Group::units));
    stated.set(Meaning::millimetre);
    const machine::State either = machine::join(start, stated);
    CHECK_FALSE(either.of(Group::units).known());
    CHECK(either.may_be(Meaning::inch));
    CHECK(either.of(Group::units).is_assumed());
}

TEST_CASE("a unit that is stated for the first time keeps places and feeds") {
    const Bare bare("T0101\nG97 S800 M03\nG00 X50. Z2.\nG01 F.2\nG21\nG01 Z-20.\nG20\nM30\n");
    machine::Analysis with;
    with.rebuild(bare.forest, bare.settings(), nullptr);
    std::vector<machine::State> after;
    for (std::size_t run = 0; run < with.size(); ++run)
        with.visit(run, [&](const machine::BlockView& view) { after.push_back(view.after); });
    REQUIRE(after.size() >= 7);
    CHECK(after[4].x_radius.is(25));
    CHECK(after[4].z.is(2));
    CHECK(after[5].x_radius.is(25));
    CHECK(after[5].feed.is(0.2));
    // Another one converts.
    CHECK(after[6].x_radius.known());
    CHECK(after[6].x_radius.number == Approx(25 / 25.4));
}

TEST_CASE("who asks for what is stated sees what he would see with nothing assumed") {
    const std::string_view programs[] = {
        inch_part,
        metric_part,
        // Codes that come late, jumps, loops and calls in the way.
        "T0101\nG97 S500 M03\nG00 X52. Z2.\nG01 Z-9. F.2\nG99\nG01 Z-12.\nX60. F.1\nG21\nG01 Z-20.\nM30\n",
        "S900 M03\nG00 X40. Z2.\nG96 S120\nG01 X30. F.2\nG97 S800\nG01 X20.\nM30\n",
        "O1\nG00 X30. Z1.\nIF[#1EQ2]GOTO10\nG20 G98\nN10 G01 Z-5. F.2\nM98 P2\nG01 X40.\nM30\n"
        "O2\nG01 U2. F.1\nM99\n",
        "#1=10\nWHILE[#1GT0]DO1\nG01 X#1 F.2\n#1=#1-1\nEND1\nM30\n",
        "G00 X60. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.3\nN10 G00 X20.\nG01 Z-20. F.15\nN20 X60.\n"
        "G70 P10 Q20\nM30\n",
        "G21 G18 G99 G97 S500 M03\nG00 X50. Z2.\nG02 X60. Z-5. R5. F.2\nM30\n",
    };
    for (std::string_view program : programs) {
        INFO(program);
        const Bare bare(program);
        machine::Analysis with, plain;
        with.rebuild(bare.forest, bare.settings(), nullptr);
        plain.rebuild(bare.forest, machine::choose_settings({}, bare.evidence), nullptr);
        const machine::Reader reader = machine::Reader(with).of_stated();
        std::size_t blocks = 0;
        for (std::size_t run = 0; run < with.size(); ++run) {
            std::vector<machine::State> expected;
            plain.visit(run, [&](const machine::BlockView& view) { expected.push_back(view.after); });
            reader.visit(run, [&](const machine::BlockView& view) {
                INFO(view.block);
                CHECK(shown(view.after) == shown(expected[view.block]));
                ++blocks;
            });
            for (std::size_t block = 0; block < expected.size(); ++block)
                CHECK(shown(reader.after({run, block})) == shown(expected[block]));
        }
        CHECK(blocks == bare.buffer.line_count());
    }
}
