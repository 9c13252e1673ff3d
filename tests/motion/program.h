// Programs in tests: text in, every block's path out.
#pragma once

#include "motion/motion.h"

#include <catch2/catch.hpp>

#include <string>
#include <string_view>

namespace turnwright::motion {

/// A shop with rates, so that every move has a time; unit and system as told.
inline shop::Shop test_shop(codes::System system = codes::System::A) {
    shop::Shop shop = shop::default_shop();
    shop::Machine& machine = shop.machines.front();
    machine.system = system;
    machine.no_point = shop::NoPoint::whole_units;
    machine.rapid_x_mm_per_min = 6000;
    machine.rapid_z_mm_per_min = 12000;
    return shop;
}

class Program {
public:
    explicit Program(std::string_view text, shop::Shop with = test_shop())
        : shop(std::move(with)), buffer(text), forest(buffer),
          settings(machine::choose_settings(shop.machines.front(), {})) {
        analysis.rebuild(forest, settings, nullptr);
        read();
    }

    /// Path of a line, from 1 as an editor shows it.
    const BlockPath& line(std::size_t number) const { return paths.at(number - 1); }
    const Totals& totals(std::size_t number) const { return sums.at(number - 1); }
    machine::BlockPlace place(std::size_t number) const { return places.at(number - 1); }
    bool has(std::size_t number, Trouble trouble) const {
        for (const TroubleAt& found : line(number).troubles)
            if (found.trouble == trouble) return true;
        return false;
    }

    shop::Shop shop;
    text::Buffer buffer;
    syntax::Forest forest;
    machine::Settings settings;
    machine::Analysis analysis;
    std::vector<BlockPath> paths;
    std::vector<Totals> sums;
    std::vector<machine::BlockPlace> places;

private:
    void read() {
        for (std::size_t run = 0; run < analysis.size(); ++run) {
            analysis.visit(run, [&](const machine::BlockView& view) {
                paths.push_back(path_of(view, analysis));
                sums.push_back(totals_of(paths.back(), view));
                places.push_back({view.run_index, view.block});
            });
        }
    }
};

inline const std::string head = "G21 G97 G99 S1000 M03\n"; // line 1

inline Point at(double x_radius, double z) {
    return {x_radius, z};
}
inline bool near(Point a, Point b, double within = 1e-6) {
    return std::hypot(a.x_radius_mm - b.x_radius_mm, a.z_mm - b.z_mm) <= within;
}
inline std::vector<Segment> with_role(const BlockPath& path, SegmentRole role) {
    std::vector<Segment> out;
    for (const Segment& segment : path.segments)
        if (segment.role == role) out.push_back(segment);
    return out;
}

} // namespace turnwright::motion
