// Tools beside the one in work. Where they stand: by Pythagoras from the turret's axis, worked out by hand.
#include "motion/geometry.h"
#include "stock/passes.h"
#include "stock/stocked_program.h"
#include "stock/turret.h"

#include <cmath>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::stock;

namespace {

shop::Shop shop_of(std::string_view form, const std::string& more = "") {
    std::string text = fmt::format(
        "units = \"mm\"\n[[machine]]\nname = \"m\"\nstations = 8\nturret_form = \"{}\"\n{}", form, more);
    for (int station : {1, 2, 3, 5})
        text +=
            fmt::format("[[tool]]\nstation = {0}\nkind = \"turning\"\nnose_radius = 0.4\nhand = \"right\"\n"
                        "turret_x = {1}\nturret_z = {2}\noutline = [[5, 0], [5, 10], [50, 10], [50, 0]]\n",
                        station, 150 + station, 10 * station);
    shop::Shop shop = shop::parse_shop(text, "turnwright.toml");
    for (const shop::Problem& problem : shop.problems) FAIL(problem.message);
    return shop;
}

Box box_of(const Turret& turret, const shop::Shop& shop, int working, int station, Point tip) {
    Box box{1e9, -1e9, 1e9, -1e9};
    for (const Turret::Standing& standing : turret.beside(*shop.tool(working), tip))
        if (standing.station == station)
            box = {std::min(box.z_min, standing.box.z_min), std::max(box.z_max, standing.box.z_max),
                   std::min(box.x_min, standing.box.x_min), std::max(box.x_max, standing.box.x_max)};
    return box;
}

} // namespace

TEST_CASE("on a disc a tool stands as far out as its angle tells") {
    const shop::Shop shop = shop_of("disc");
    const Turret turret(shop.machines.front(), shop);
    REQUIRE(turret.known());
    // Tool 1 stands at X 20 (radius): the axis is 151 further out, at 171. Station 3 is a quarter turn away,
    // so that what is 153 - 5 = 148 from the axis is sqrt(171^2 + 148^2) from the centreline, and its tip,
    // 153 out, a little more; the outline's far end, 103 from the axis, is nearer.
    const Box quarter = box_of(turret, shop, 1, 3, {20, -30});
    CHECK(quarter.x_min == Approx(std::hypot(171, 103)).margin(0.01));
    CHECK(quarter.x_max == Approx(std::hypot(171, 153)).margin(3.0)); // The edge's own body counts in
    // Its point stands 20 mm nearer to the tailstock than that of tool 1, its outline from there to 10 more.
    CHECK(quarter.z_max >= -30 + 20 + 10);
    // Right across: the axis and then the tool again.
    const Box across = box_of(turret, shop, 1, 5, {20, 0});
    CHECK(across.x_min == Approx(171 + 105).margin(0.01));
    // An eighth of a turn: law of cosines.
    const Box eighth = box_of(turret, shop, 1, 2, {20, 0});
    const auto away = [](double from_axis) {
        return std::sqrt(171 * 171 + from_axis * from_axis - 2 * 171 * from_axis * std::sqrt(0.5));
    };
    CHECK(eighth.x_min ==
          Approx(away(171 * std::sqrt(0.5))).margin(0.05)); // Where the foot of the axis lies on it
}

TEST_CASE("gang tools stand in the plane itself") {
    const shop::Shop shop = shop_of("gang");
    const Turret turret(shop.machines.front(), shop);
    const Box box = box_of(turret, shop, 1, 3, {20, -30});
    CHECK(box.z_min <= -30 + 20 + 1e-9);                  // 30 - 10 further along Z
    CHECK(box.x_max == Approx(20 + 2 + 50).margin(1e-6)); // 153 - 151 further out
}

TEST_CASE("round a post a tool points where its side does") {
    shop::Shop shop = shop_of("post", "next_station = \"tailstock\"\n");
    shop.machines.front().stations = 4;
    {
        // Tool 1 stands at X 20 (radius) and Z -30, its point 151 toward the spindle and 10 along Z from the
        // axis: that is at X 171, Z -40. Station 2 is a quarter turn away, toward the tailstock: its point,
        // 152 out and 20 along Z, lies 152 beyond the axis in Z, at 112, and 20 further out, at X 191. The
        // outline goes from 5 to 50 behind the point, and 10 aside: Z 62 to 107, X 191 to 201.
        const Turret turret(shop.machines.front(), shop);
        REQUIRE(turret.known());
        const Box next = box_of(turret, shop, 1, 2, {20, -30});
        CHECK(next.z_min == Approx(-40 + 152 - 50).margin(1e-9));
        CHECK(next.x_max == Approx(171 + 20 + 10).margin(1e-9));
        CHECK(next.z_max >= -40 + 152 - 1e-9);
        CHECK(next.x_min <= 191 + 1e-9);
        // Station 3 looks away from the spindle: its point is 153 beyond the axis, and 30 toward the chuck.
        const Box away = box_of(turret, shop, 1, 3, {20, -30});
        CHECK(away.x_min == Approx(171 + 153 - 50).margin(1e-9));
        CHECK(away.z_min == Approx(-40 - 30 - 10).margin(1e-9));
    }
    shop.machines.front().next_station = shop::NextStation::chuck;
    const Turret other(shop.machines.front(), shop);
    const Box next = box_of(other, shop, 1, 2, {20, -30});
    CHECK(next.z_max == Approx(-40 - 152 + 50).margin(1e-9));
    CHECK(next.x_min == Approx(171 - 20 - 10).margin(1e-9));
    shop.machines.front().next_station = shop::NextStation::unknown;
    CHECK_FALSE(Turret(shop.machines.front(), shop).known());
}

TEST_CASE("what reaches across the centreline meets the other half") {
    const shop::Shop shop = shop_of("gang");
    const Turret turret(shop.machines.front(), shop);
    // Tool 3 works at X 10: the point of tool 1 stands 2 further in, its outline 5 to 50 further out. With
    // the point of 3 at X -40 the outline of 1 goes from -37 to 8.
    bool mirrored = false;
    for (const Turret::Standing& standing : turret.beside(*shop.tool(3), {-40, 0}))
        mirrored = mirrored || (standing.station == 1 && std::abs(standing.box.x_max - 37) < 1e-9 &&
                                std::abs(standing.box.x_min + 8) < 1e-9);
    CHECK(mirrored);
}

TEST_CASE("a post turns forward, with its body, unless the shop file tells otherwise") {
    shop::Shop shop = shop_of("post", "next_station = \"tailstock\"\n"
                                      "turret_outline = [[-40, -40], [-40, 40], [40, 40], [40, -40]]\n");
    shop.machines.front().stations = 4;
    const auto seen = [&](int from, int to, int station) {
        Box box{1e9, -1e9, 1e9, -1e9};
        Turret(shop.machines.front(), shop)
            .swing(*shop.tool(from), *shop.tool(to), {40, 0}, [&](const Turret::Standing& standing) {
                if (standing.station != station) return;
                box = {std::min(box.z_min, standing.box.z_min), std::max(box.z_max, standing.box.z_max),
                       std::min(box.x_min, standing.box.x_min), std::max(box.x_max, standing.box.x_max)};
            });
        return box;
    };
    // From 1 to 2 the point of 2 comes on a circle of hypot(152, 20) about X 191, Z -10 to X 39, Z 10; the
    // one of 1 goes on toward the chuck, to Z -161.
    CHECK(seen(1, 2, 2).x_min <= 191 - 152);
    CHECK(seen(1, 2, 2).x_min >= 191 - std::hypot(152.5, 30.5));
    CHECK(seen(1, 2, 1).z_min == Approx(-10 - 151).margin(1));
    // From 2 to 1 it goes three quarters round, and the tool at 3 comes past the spindle.
    CHECK(seen(2, 1, 3).x_min < 40 + 152 - 150);
    shop.machines.front().turret_turns = shop::TurretTurns::shorter;
    CHECK(seen(2, 1, 3).x_min > 40 + 152 - 35);
    // Half way a square of 80 stands on its corner: 40 times the square root of 2 from its axis.
    CHECK(seen(1, 2, 0).x_min == Approx(191 - 40 * std::sqrt(2)).margin(0.1));
    shop.machines.front().turret_form = shop::TurretForm::disc;
    CHECK(seen(1, 2, 0).x_min == 1e9);
}

TEST_CASE("without form, stations or places nothing stands beside") {
    shop::Shop shop = shop_of("disc");
    shop.machines.front().stations.reset();
    CHECK_FALSE(Turret(shop.machines.front(), shop).known());
    shop = shop_of("disc");
    shop.machines.front().turret_form = shop::TurretForm::unknown;
    CHECK_FALSE(Turret(shop.machines.front(), shop).known());
    shop = shop_of("disc");
    for (shop::Tool& tool : shop.tools) tool.turret_z_mm.reset();
    CHECK_FALSE(Turret(shop.machines.front(), shop).known());
}

TEST_CASE("a disc turns the shorter way and every tool passes its places") {
    const shop::Shop shop = shop_of("disc");
    const Turret turret(shop.machines.front(), shop);
    const auto least_of = [&](int from, int to, int station) {
        double least = 1e9;
        turret.swing(*shop.tool(from), *shop.tool(to), {40, 0}, [&](const Turret::Standing& standing) {
            if (standing.station == station) least = std::min(least, standing.box.x_min);
        });
        return least;
    };
    // The tool that comes ends where the axis less its own reach tells: 40 + 151 - 152.
    CHECK(least_of(1, 2, 2) == Approx(40 + 151 - 152).margin(0.5));
    // From 1 to 3 station 2 passes on the way; from 1 to 2 station 5, half a turn off, stays far away.
    CHECK(least_of(1, 3, 2) == Approx(40 + 151 - 152).margin(0.5));
    CHECK(least_of(1, 2, 5) > 150);
    int seen = 0;
    const shop::Shop gang = shop_of("gang");
    Turret(gang.machines.front(), gang).swing(*gang.tool(1), *gang.tool(2), {40, 0}, [&](const auto&) {
        ++seen;
    });
    CHECK(seen == 0);
}

TEST_CASE("a move that may meet what stands beside is never left out") {
    const auto form = GENERATE(as<std::string>{}, "disc", "gang", "post");
    const shop::Shop shop = shop_of(form, "next_station = \"chuck\"\n");
    const Turret turret(shop.machines.front(), shop);
    unsigned random = 12345;
    const auto next = [&](double most) {
        random = random * 1664525u + 1013904223u;
        return (static_cast<double>(random >> 8) / (1 << 24) - 0.5) * 2 * most;
    };
    int met = 0;
    for (int i = 0; i < 1000; ++i) {
        motion::Segment segment;
        segment.from = {std::abs(next(80)), next(100)};
        segment.to = {std::abs(next(80)), next(100)};
        const double z = next(150), x = std::abs(next(160));
        const Box box{z, z + std::abs(next(60)) + 1, 0, x + 1};
        bool meets = false;
        for (int k = 0; k <= 50; ++k)
            for (const Turret::Standing& standing :
                 turret.beside(*shop.tool(1), motion::point_at(segment, k / 50.0)))
                meets = meets || (standing.box.z_min < box.z_max && standing.box.z_max > box.z_min &&
                                  standing.box.x_min < box.x_max);
        met += meets;
        if (meets) CHECK(turret.may_meet(*shop.tool(1), segment, box));
    }
    CHECK(met > 50);
    CHECK(met < 950);
}

TEST_CASE("threads keep their crests in what is looked at, and in nothing else") {
    // M24 x 3, 30 long: the crest line stays at 24, the root goes to 20.32; a section through it has ten
    // turns.
    const StockedProgram program("O1\n(STOCK D24. L100.)\nG21 G99\nT0303\nG97 S500 M03\nG00 X30. Z6.\n"
                                 "G92 X23. Z-30. F3.\nX22.\nX21.\nX20.32\nG00 X60. Z50.\nM30\n",
                                 "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"threading\"\n");
    const Region& whole = *program.sequence(program.program().sequences.size() - 1).out;
    CHECK(whole.area_mm2() == Approx(12.0 * 100 - 1.84 * 30).margin(1e-3));
    Region seen;
    follow_passes(
        program.analysis, program.shop, program.program(), 1000,
        [&](const Passed&, const Region& left) { seen = left; }, true);
    double crest = 0, corners = 0;
    for (const auto& outline : seen.outlines())
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const Point a = outline[i], b = outline[(i + 1) % outline.size()];
            if (a.z_mm > -29 && a.z_mm < -1e-6 && std::abs(a.x_radius_mm - 12) < 1e-6) ++corners;
            if (std::abs(a.x_radius_mm - 12) < 1e-6 && std::abs(b.x_radius_mm - 12) < 1e-6 &&
                std::min(a.z_mm, b.z_mm) > -30)
                crest += std::abs(a.z_mm - b.z_mm);
        }
    CHECK(corners >= 18); // Two a turn
    // A groove 1.84 deep with flanks of 60 degrees on a root of lead/24 is 0.125 + 2 * 1.84 * tan 30 wide.
    const double groove = 0.125 + 2 * 1.84 * std::tan(std::acos(-1.0) / 6);
    CHECK(crest == Approx(10 * (3 - groove)).margin(3 - groove));
}
