// Thread sizes, depths and infeed against published tables.
#include "motion/cycles.h"
#include "motion/thread_names.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace turnwright::motion;

TEST_CASE("Metric coarse threads: pitch diameter and minor diameters") {
    // ISO 68-1 profile (read at amesweb.info), exact numbers; M6, M8 and M10 agree with a maker's table,
    // read. Coarse pitches: ISO 261, from memory.
    struct Row {
        const char* name;
        double pitch, d2, d1, d3;
    };
    for (const Row& row :
         {Row{"M3", 0.5, 2.6752, 2.4587, 2.3866}, Row{"M6", 1, 5.3505, 4.9175, 4.7731},
          Row{"M8", 1.25, 7.1881, 6.6468, 6.4664}, Row{"M10", 1.5, 9.0257, 8.3762, 8.1597},
          Row{"M12", 1.75, 10.8633, 10.1056, 9.8530}, Row{"M16", 2, 14.7010, 13.8349, 13.5463},
          Row{"M20", 2.5, 18.3762, 17.2937, 16.9328}, Row{"M24", 3, 22.0514, 20.7524, 20.3194},
          Row{"M30", 3.5, 27.7267, 26.2111, 25.7060}}) {
        INFO(row.name);
        auto size = thread_size(row.name);
        REQUIRE(size);
        CHECK(size->pitch_mm == row.pitch);
        CHECK(std::abs(size->pitch_diameter_mm - row.d2) < 0.5e-4 + 1e-9);
        CHECK(std::abs(size->minor_inside_mm - row.d1) < 0.5e-4 + 1e-9);
        CHECK(std::abs(size->minor_outside_mm - row.d3) < 0.5e-4 + 1e-9);
    }
    CHECK(thread_size("M4")->pitch_mm == 0.7);
    CHECK(thread_size("M5")->pitch_mm == 0.8);
    CHECK(thread_size("M36")->pitch_mm == 4);
}

TEST_CASE("Thread depths are fixed shares of the pitch") {
    // Internal 0.54127 P, external 0.61344 P: ISO metric coarse profile sheet, read; 0.61343 is the right
    // rounding. Minor diameters d - 1.082532 P and d - 1.226869 P: exact (the external rule from memory, DIN
    // 13).
    auto size = thread_size("M24x1.5");
    REQUIRE(size);
    CHECK(size->depth_inside_mm / 1.5 == Approx(0.54127).epsilon(1e-5));
    CHECK(size->depth_outside_mm / 1.5 == Approx(0.61343).epsilon(1e-5));
    CHECK(std::abs(size->depth_outside_mm / 1.5 - 0.61344) < 1e-5);
    CHECK((size->major_mm - size->minor_inside_mm) / 1.5 == Approx(1.082532).epsilon(1e-6));
    CHECK((size->major_mm - size->minor_outside_mm) / 1.5 == Approx(1.226869).epsilon(1e-6));
}

TEST_CASE("Unified threads: pitch and minor diameters") {
    // noxmetals.co and britishfasteners.com tables, read: four places of an inch.
    struct Row {
        const char* name;
        double pitch_diameter, outside_minor, inside_minor;
    };
    for (const Row& row : {Row{"1/4-20", .2175, .1887, .1959}, Row{"3/8-16", .3344, .2983, .3073},
                           Row{"1/2-13", .4500, .4056, .4167}, Row{"3/4-10", .6850, .6273, .6417},
                           Row{"1-8", .9188, .8466, .8647}}) {
        INFO(row.name);
        auto size = thread_size(row.name);
        REQUIRE(size);
        CHECK(std::abs(size->pitch_diameter_mm / mm_per_inch - row.pitch_diameter) < 1e-4);
        CHECK(std::abs(size->minor_outside_mm / mm_per_inch - row.outside_minor) < 1e-4);
        CHECK(std::abs(size->minor_inside_mm / mm_per_inch - row.inside_minor) < 1e-4);
    }
}

TEST_CASE("Unified coarse and fine counts by name") {
    // ASME B1.1, from memory.
    auto count = [](const char* name) { return mm_per_inch / thread_size(name).value().pitch_mm; };
    CHECK(count("1/4 UNC") == Approx(20));
    CHECK(count("5/16 UNC") == Approx(18));
    CHECK(count("3/8 UNC") == Approx(16));
    CHECK(count("1/2 UNC") == Approx(13));
    CHECK(count("5/8 UNC") == Approx(11));
    CHECK(count("3/4 UNC") == Approx(10));
    CHECK(count("1 UNC") == Approx(8));
    CHECK(count("1/4 UNF") == Approx(28));
    CHECK(count("5/16 UNF") == Approx(24));
    CHECK(count("3/8 UNF") == Approx(24));
    CHECK(count("1/2 UNF") == Approx(20));
    CHECK(count("5/8 UNF") == Approx(18));
    CHECK(count("3/4 UNF") == Approx(16));
    CHECK(count("1 UNF") == Approx(12));
    CHECK(count("2-1/2 UNC") == Approx(4));
    CHECK(count(".750-16 UNF") == Approx(16));
    CHECK(count("0.190-32 UNF") == Approx(32));
    CHECK(count("1.750-12 UN") == Approx(12));
}

TEST_CASE("What is no thread name gives nothing") {
    for (const char* name :
         {"",           "M",          "M11",  "M10x",    "M10x9",   "Mx1",       "3/4", "3/4-17",
          "1/4-20 UNF", "1/2-14 NPT", "G1/3", "G1/2-13", "R1/2",    "M10x1.5.2", "#10", "1/3-20",
          "MM10",       "M-10",       ".75",  ".750-17", ".760-16", "2-4",       "0.75"})
        CHECK_FALSE(thread_size(name));
    CHECK(thread_size("m10 x 1.25")->pitch_mm == 1.25);
    CHECK(thread_size("M10-6g"));
    CHECK(thread_size("3/4-16 UNF"));
    CHECK(thread_size("1-1/2-6"));
    CHECK(thread_size("#10-32"));
}

TEST_CASE("Taper pipe threads") {
    // 1 in 16 on diameter, half angle 1 deg 47 min, E0 and L2 by the formulas of the engineersedge.com page
    // on ASME B1.20.1, read; numbers of 1/2-14 exact.
    auto pipe = taper_pipe("1/2-14 NPT");
    REQUIRE(pipe);
    CHECK(pipe->pitch_diameter_at_end_mm / mm_per_inch == Approx(0.758429).epsilon(1e-6));
    CHECK(pipe->effective_length_mm / mm_per_inch == Approx(0.533714).epsilon(1e-6));
    CHECK(std::abs(pipe->half_angle_deg - (1 + 47.0 / 60)) < 0.5 / 60);
    CHECK(2 * std::tan(pipe->half_angle_deg * std::numbers::pi / 180) == Approx(1.0 / 16));
    CHECK(taper_pipe("1/2 NPT"));
    CHECK_FALSE(taper_pipe("1/2-13 NPT"));
    CHECK_FALSE(taper_pipe("1/2"));
    CHECK_FALSE(taper_pipe("M10"));
}

TEST_CASE("Pipe threads of 55 degrees, parallel and taper") {
    // ISO 228-1: diameters of the thread in mm, pitch diameter and minor diameter as its table gives them,
    // rounded to 0.001 (from memory).
    struct Row {
        const char* name;
        double threads, major, pitch_diameter, minor;
    };
    for (const Row& row :
         {Row{"G1/8", 28, 9.728, 9.147, 8.566}, Row{"G 1/4", 19, 13.157, 12.301, 11.445},
          Row{"g3/8", 19, 16.662, 15.806, 14.950}, Row{"G1/2", 14, 20.955, 19.793, 18.631},
          Row{"3/4 BSP", 14, 26.441, 25.279, 24.117}, Row{"G1", 11, 33.249, 31.770, 30.291},
          Row{"G 1 1/4", 11, 41.910, 40.431, 38.952}, Row{"G2", 11, 59.614, 58.135, 56.656}}) {
        INFO(row.name);
        const auto size = thread_size(row.name);
        REQUIRE(size);
        CHECK(mm_per_inch / size->pitch_mm == Approx(row.threads));
        CHECK(size->major_mm == row.major);
        CHECK(size->pitch_diameter_mm == Approx(row.pitch_diameter).margin(6e-4));
        CHECK(size->minor_inside_mm == Approx(row.minor).margin(1.1e-3));
        CHECK(size->minor_outside_mm == size->minor_inside_mm);
        CHECK(size->flank_angle_deg == 55);
    }
    for (const char* name : {"G1/2A", "G1/2-B", "1/2-14 BSPP", "1-1/4 BSP"}) CHECK(thread_size(name));
    CHECK(thread_size("M24x1.5")->flank_angle_deg == 60);
    // ISO 7-1: those of ISO 228-1 at the gauge plane, 8.2 behind the small end, 13.2 of useful thread (from
    // memory).
    const auto taper = taper_pipe("R1/2");
    REQUIRE(taper);
    CHECK(taper->pitch_diameter_at_end_mm == Approx(19.793 - 8.2 / 16).margin(6e-4));
    CHECK(taper->effective_length_mm == 13.2);
    CHECK(taper->height_mm == Approx(1.162).margin(5e-4));
    CHECK(taper_pipe("1/2 BSPT")->flank_angle_deg == 55);
    CHECK(taper_pipe("1/2 NPT")->flank_angle_deg == 60);
    CHECK_FALSE(taper_pipe("G1/2"));
    CHECK_FALSE(taper_pipe("R5/8"));
}

TEST_CASE("Trapezoidal threads, with more starts and left-handed") {
    // ISO 2904: d2, d3, D1 and D4 of the table, from memory.
    struct Row {
        const char* name;
        double pitch, pitch_diameter, outside_minor, inside_minor, inside_major;
    };
    for (const Row& row :
         {Row{"Tr10x1.5", 1.5, 9.25, 8.2, 8.5, 10.3}, Row{"TR 16 X 4", 4, 14, 11.5, 12, 16.5},
          Row{"Tr20x4", 4, 18, 15.5, 16, 20.5}, Row{"Tr40x7", 7, 36.5, 32, 33, 41},
          Row{"Tr40x14(P7)", 7, 36.5, 32, 33, 41}, Row{"Tr100x20", 20, 90, 78, 80, 102}}) {
        INFO(row.name);
        const auto size = thread_size(row.name);
        REQUIRE(size);
        CHECK(size->pitch_mm == row.pitch);
        CHECK(size->pitch_diameter_mm == Approx(row.pitch_diameter));
        CHECK(size->minor_outside_mm == Approx(row.outside_minor));
        CHECK(size->minor_inside_mm == Approx(row.inside_minor));
        CHECK(size->minor_inside_mm + 2 * size->depth_inside_mm == Approx(row.inside_major));
        CHECK(size->major_mm - 2 * size->depth_outside_mm == Approx(row.outside_minor));
        CHECK(size->flank_angle_deg == 30);
    }
    CHECK(starts_of("TR40X14P7") == 2);
    CHECK(starts_of("TR40X14(P7) LH") == 2);
    CHECK(starts_of("TR40X7") == 1);
    for (const char* name : {"TR20", "TR20X4P3", "TR20XP4", "TR20XP", "M36X6P4", "M36XP2", "M36X6(P2",
                             "TR20X4.4", "TR20X12", "TR4X1.5", "TR20X4(P", "TRX4"})
        CHECK_FALSE(thread_size(name));
    // ISO 965-1: LH behind the name.
    for (const char* name : {"M10x1.25 LH", "M10X1.25-LH", "M10-6g-LH", "Tr20x4-LH", "1/2-13 UNC LH"}) {
        INFO(name);
        CHECK(thread_size(name));
        CHECK(is_left_hand(name));
    }
    for (const char* name : {"M10X1.25", "LH", "TURNING LH", ""}) CHECK_FALSE(is_left_hand(name));
    CHECK(thread_size("M10x1.25 LH")->minor_outside_mm == thread_size("M10x1.25")->minor_outside_mm);
}

TEST_CASE("Acme threads") {
    // ASME B1.5, general purpose, class 2G, basic sizes and least and most of screw and nut, from memory.
    struct Row {
        const char* name;
        double pitch_diameter, screw_minor, nut_minor, nut_major; ///< Inches
    };
    for (const Row& row :
         {Row{"1-5 ACME-2G", 0.9, 0.78, 0.8, 1.02}, Row{"1/2-10 ACME", 0.45, 0.39, 0.4, 0.51},
          Row{"3/4-6 Acme", 0.6667, 0.5633, 0.5833, 0.77}}) {
        INFO(row.name);
        const auto size = thread_size(row.name);
        REQUIRE(size);
        CHECK(size->pitch_diameter_mm == Approx(row.pitch_diameter * 25.4).margin(0.002));
        CHECK(size->minor_outside_mm == Approx(row.screw_minor * 25.4).margin(0.002));
        CHECK(size->minor_inside_mm == Approx(row.nut_minor * 25.4).margin(0.002));
        CHECK(size->minor_inside_mm + 2 * size->depth_inside_mm ==
              Approx(row.nut_major * 25.4).margin(0.002));
        CHECK(size->flank_angle_deg == 29);
    }
    CHECK(is_left_hand("1-5 ACME-2G-LH"));
    for (const char* name : {"ACME", "1 ACME", "1-5 STUB ACME", "1-40 ACME", "1/4-2 ACME", "1-5 ACME 7"})
        CHECK_FALSE(thread_size(name));
}

TEST_CASE("Metric threads with more starts") {
    // ISO 965-1: Ph for the lead, P for the pitch, from memory.
    for (const char* name :
         {"M16xPh3P1.5", "M16X3P1.5", "M16 X 3 (P1.5)", "M16xPh3P1.5-6H", "M16X3P1.5 LH"}) {
        INFO(name);
        REQUIRE(thread_size(name));
        CHECK(thread_size(name)->pitch_mm == 1.5);
        CHECK(thread_size(name)->minor_outside_mm == thread_size("M16X1.5")->minor_outside_mm);
        CHECK(starts_of(name) == 2);
    }
    CHECK(starts_of("M36X6P2") == 3);
    CHECK(starts_of("M16") == 1);
}

TEST_CASE("Tap drills of coarse metric threads") {
    // utilitiesbunker.com, read. One common choice: the percentage of thread is free.
    struct Row {
        const char* name;
        double drill;
    };
    for (const Row& row :
         {Row{"M3", 2.5}, Row{"M4", 3.3}, Row{"M5", 4.2}, Row{"M6", 5.0}, Row{"M8", 6.8}, Row{"M10", 8.5},
          Row{"M12", 10.2}, Row{"M16", 14.0}, Row{"M20", 17.5}, Row{"M24", 21.0}})
        CHECK(tap_drill_mm(row.name) == row.drill);
    CHECK(*tap_drill_mm("M10x1") == Approx(9)); // major less pitch: common practice, no source
    CHECK_FALSE(tap_drill_mm("M11"));
}

TEST_CASE("Equal-area infeed") {
    // Derived: a triangular groove of depth t and flank angle a has the area t^2 tan a, so n equal areas
    // reach first x sqrt(n). M10x1.5 in six passes, cumulative depth, exact.
    auto size = thread_size("M10x1.5");
    auto depths = equal_area_depths(size->depth_outside_mm, 6);
    const double expected[] = {.3757, .5312, .6506, .7513, .8400, .9202};
    REQUIRE(depths.size() == 6);
    double first_area = depths[0] * depths[0], last_area = 0;
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(std::abs(depths[i] - expected[i]) < 0.5e-4 + 1e-9);
        CHECK(depths[i] * depths[i] - last_area == Approx(first_area));
        last_area = depths[i] * depths[i];
    }
    SECTION("and the threading cycle makes the same passes") {
        ThreadPasses cycle;
        cycle.height_mm = size->depth_outside_mm;
        cycle.first_depth_mm = depths[0];
        cycle.finish_passes = 0;
        Unrolled out;
        auto passes = thread_depths(cycle, out);
        REQUIRE(passes.size() == 6);
        for (std::size_t i = 0; i < 6; ++i) CHECK(passes[i] == Approx(depths[i]));
    }
}
