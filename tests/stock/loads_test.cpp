// Loads against published worked examples; see each for its source.
#include "stock/stock.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace turnwright;
using namespace turnwright::stock;

TEST_CASE("power of a turning cut") {
    // Mitsubishi Materials technical information, cutting power in turning, worked example: mild steel, ap 3
    // mm, f 0.2 mm/rev, vc 120 m/min, kc 3100 MPa, efficiency 0.8 gives 4.65 kW.
    CHECK(power_kw(3, 0.2, 120, 3100, 0.8) == Approx(4.65).margin(0.005));
}

TEST_CASE("power while facing, by constant speed of the spindle and by constant surface speed") {
    // Textbook, ISBN 9781466577022, problems 5.1 and 5.2 (statement), exact values by the definition: disk
    // 450 to 150 mm, f 0.3, depth 2.5, 1550 N/mm2, at 50 rpm 1.36954 falling to 0.456513 kW; at 60
    // m/min 1.1625 kW.
    CHECK(power_kw(2.5, 0.3, motion::surface_for(50, 450), 1550) == Approx(1.36954).epsilon(1e-5));
    CHECK(power_kw(2.5, 0.3, motion::surface_for(50, 150), 1550) == Approx(0.456513).epsilon(1e-5));
    CHECK(power_kw(2.5, 0.3, 60, 1550) == Approx(1.1625).epsilon(1e-9));
}

TEST_CASE("removal rate") {
    // Q = vc ap f: Kyocera turning technical information 2016, page R28. Textbook, problem 21.2: 4.5 to 4.25
    // in at 450 ft/min and 0.0100 in/rev takes 6.75 in3/min.
    constexpr double cm3_per_in3 = 2.54 * 2.54 * 2.54;
    double surface = 450 * 0.3048, depth = 0.125 * 25.4, feed = 0.01 * 25.4;
    CHECK(removal_cm3_per_min(surface, depth, feed) / cm3_per_in3 == Approx(6.75).epsilon(1e-9));
    // Same, problem 21.7: facing 35 to 20 in at 40 rpm, f 0.015, depth 0.180: 11.8752 falling to 6.7858
    // in3/min.
    for (auto [diameter, wanted] : {std::pair{35.0, 11.8752}, std::pair{20.0, 6.7858}}) {
        double speed = motion::surface_for(40, diameter * 25.4);
        CHECK(removal_cm3_per_min(speed, 0.18 * 25.4, 0.015 * 25.4) / cm3_per_in3 ==
              Approx(wanted).epsilon(1e-5));
    }
}

TEST_CASE("specific cutting force") {
    // Kienzle's rule and its values: VDI 3206, from memory. At h = 1 it is kc1.1 itself.
    const Material* c45 = material("c45");
    REQUIRE(c45);
    CHECK(specific_force(*c45, 1, 1) == Approx(2220));
    // By hand: 2220 x 0.2^-0.14 = 2781.
    CHECK(specific_force(*c45, 0.3, 0.2) == Approx(2781).margin(1));
    // Mitsubishi Materials technical information, cutting power in turning: the table of specific cutting
    // force over the feed.
    struct Row {
        std::string_view name;
        double kc[5];
    };
    const double feeds[] = {0.1, 0.2, 0.3, 0.4, 0.6};
    for (const Row& row : {Row{"mild steel", {3610, 3100, 2720, 2500, 2280}},
                           Row{"medium steel", {3080, 2700, 2570, 2450, 2300}},
                           Row{"hard steel", {4050, 3600, 3250, 2950, 2640}},
                           Row{"grey cast iron", {2110, 1800, 1600, 1400, 1330}}}) {
        const Material* found = material(row.name);
        REQUIRE(found);
        for (std::size_t i = 0; i < 5; ++i)
            CHECK(specific_force(*found, feeds[i], feeds[i]) == Approx(row.kc[i]).epsilon(1e-9));
        // Between two feeds it lies between their values, and finer feeds ask for more.
        CHECK(specific_force(*found, 0.15, 0.15) < row.kc[0]);
        CHECK(specific_force(*found, 0.15, 0.15) > row.kc[1]);
        CHECK(specific_force(*found, 0.05, 0.05) > row.kc[0]);
        CHECK(specific_force(*found, 1, 1) < row.kc[4]);
    }
    // Two sources of an estimate, so only their size is held: within a quarter.
    CHECK(specific_force(*c45, 0.2, 0.2) == Approx(2700).epsilon(0.25));
    CHECK(material("P") == material("Medium Steel"));
    CHECK(material("K") == material("GREY CAST IRON"));
    CHECK(material("steel of some sort") == nullptr);
    CHECK(material("") == nullptr);
    for (char group : {'P', 'M', 'K', 'N', 'S', 'H'}) CHECK(material(std::string_view(&group, 1)) != nullptr);
    for (const Material& row : materials()) CHECK(!row.source.empty());
}

TEST_CASE("a drill in solid metal") {
    // Pc = f vc D kc / 240,000 and P = 2 pi n M (the trade's formulas, from memory).
    motion::Segment segment;
    segment.kind = motion::SegmentKind::feed;
    segment.to = {0, -40};
    segment.feed = {motion::Feed::Mode::per_rev, 0.2};
    motion::Spindle spindle;
    spindle.surface_speed = false;
    spindle.rpm = 1000;
    spindle.turning = true;
    shop::Tool drill;
    drill.kind = shop::ToolKind::drill;
    drill.diameter_mm = 20;
    drill.point_angle_deg = 180;
    const Estimate load = estimate(segment, spindle, &drill, material("C45"), {}, 10);
    const double pi = 3.14159265358979, speed = pi * 20 * 1000 / 1000;
    const double kc = 2220 * std::pow(0.1, -0.14); // A lip's chip is half the feed thick
    CHECK(*load.power_kw == Approx(0.2 * speed * 20 * kc / 240'000));
    CHECK(*load.power_kw == Approx(2 * pi * 1000 / 60 * *load.torque_nm / 1000));
    CHECK(*load.removal_cm3_per_min == Approx(pi / 4 * 4 * 0.02 * 1000)); // pi / 4 D^2 f n in cm
    CHECK(!load.roughness_um);
    // Widening a hole of 10 takes off a quarter less: (20^2 - 10^2) / 20^2.
    const Estimate wider = estimate(segment, spindle, &drill, material("C45"), {}, 5);
    CHECK(*wider.torque_nm == Approx(0.75 * *load.torque_nm));
}

TEST_CASE("chip thickness follows the approach angle") {
    CHECK(chip_thickness_mm(0.3, 90) == Approx(0.3));
    CHECK(chip_thickness_mm(0.3, 45) == Approx(0.3 / std::sqrt(2.0)));
}

TEST_CASE("an estimate of one move says what it does not know") {
    motion::Segment segment;
    segment.kind = motion::SegmentKind::feed;
    segment.from = {25, 2};
    segment.to = {25, -40};
    segment.feed = {motion::Feed::Mode::per_rev, 0.25};
    motion::Spindle spindle;
    spindle.surface_speed = true;
    spindle.surface_m_per_min = 180;
    spindle.turning = true;
    spindle.limit_rpm = 4000;
    shop::Tool tool;
    tool.nose_radius_mm = 0.8;
    tool.approach_angle_deg = 95;
    shop::Machine machine;
    machine.power_efficiency = 0.8;

    Estimate all = estimate(segment, spindle, &tool, material("C45"), machine, 2.5);
    CHECK(all.missing.empty());
    CHECK(*all.surface_m_per_min == Approx(180));
    CHECK(*all.removal_cm3_per_min == Approx(180 * 2.5 * 0.25));
    CHECK(*all.force_n == Approx(2.5 * 0.25 * *all.specific_force_n_per_mm2));
    // P = F v holds between the three: N times m/min over 60000 is kW.
    CHECK(*all.power_kw == Approx(*all.force_n * 180 / 60000));
    CHECK(*all.motor_kw == Approx(*all.power_kw / 0.8));
    // and P = 2 pi n M: exact.
    double rpm = 180 * 1000 / (3.14159265358979 * 50);
    CHECK(*all.power_kw == Approx(2 * 3.14159265358979 * rpm / 60 * *all.torque_nm / 1000));
    CHECK(*all.roughness_um == Approx(0.25 * 0.25 / (8 * 0.8) * 1000));

    Estimate none = estimate(segment, {}, nullptr, nullptr, {}, std::nullopt);
    CHECK(none.missing.size() == 3);
    CHECK(!none.power_kw);
    CHECK(!none.torque_nm);
    CHECK(!none.roughness_um);
    CHECK(!none.motor_kw);

    segment.feed = {motion::Feed::Mode::per_minute, 200};
    spindle = {};
    spindle.surface_speed = false;
    spindle.rpm = 800;
    spindle.turning = true;
    CHECK(*estimate(segment, spindle, &tool, nullptr, machine, 2.0).feed_mm_per_rev == Approx(0.25));
}
