// Loads by the trade's formulas. Sources beside each; all are estimates.
#include "stock/stock.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <numbers>

namespace turnwright::stock {

namespace {

constexpr std::string_view kienzle = "Kienzle's rule, VDI 3206, from memory";
constexpr std::string_view group_value = "usual value of the group, from memory";

// The first row of a group is the one its letter stands for.
constexpr std::array table{
    Material{"C45", 'P', 2220, 0.14, kienzle},
    Material{"42CrMo4", 'P', 2500, 0.26, kienzle},
    Material{"16MnCr5", 'P', 2100, 0.26, kienzle},
    Material{"austenitic stainless", 'M', 2000, 0.25, group_value},
    Material{"GG25", 'K', 1160, 0.26, kienzle},
    Material{"aluminium", 'N', 700, 0.25, group_value},
    Material{"nickel alloy", 'S', 2650, 0.25, group_value},
    Material{"titanium alloy", 'S', 1400, 0.23, group_value},
    Material{"hardened steel", 'H', 3000, 0.25, group_value},
};

bool same_word(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
        return std::tolower(static_cast<unsigned char>(x)) == std::tolower(static_cast<unsigned char>(y));
    });
}

} // namespace

std::span<const Material> materials() {
    return table;
}

const Material* material(std::string_view name) {
    for (const Material& row : table)
        if (same_word(row.name, name)) return &row;
    if (name.size() != 1) return nullptr;
    for (const Material& row : table)
        if (same_word({&row.group, 1}, name)) return &row;
    return nullptr;
}

// kc = kc1.1 h^-mc: VDI 3206, from memory.
double specific_force(const Material& material, double chip_thickness) {
    return material.kc11_n_per_mm2 * std::pow(chip_thickness, -material.mc);
}

double chip_thickness_mm(double feed_mm_per_rev, double approach_angle_deg) {
    return feed_mm_per_rev * std::sin(approach_angle_deg * std::numbers::pi / 180);
}

// Q = vc ap f: Kyocera turning technical information 2016, page R28.
double removal_cm3_per_min(double surface_m_per_min, double depth_mm, double feed_mm_per_rev) {
    return surface_m_per_min * depth_mm * feed_mm_per_rev;
}

double cutting_force_n(double depth_mm, double feed_mm_per_rev, double kc_n_per_mm2) {
    return depth_mm * feed_mm_per_rev * kc_n_per_mm2;
}

// Pc = ap f vc kc / (60 x 1000 x efficiency): Mitsubishi Materials technical information, cutting power in
// turning.
double power_kw(double depth_mm, double feed_mm_per_rev, double surface_m_per_min, double kc_n_per_mm2,
                double efficiency) {
    return depth_mm * feed_mm_per_rev * surface_m_per_min * kc_n_per_mm2 / (60'000 * efficiency);
}

double torque_nm(double force_n, double x_radius_mm) {
    return force_n * x_radius_mm / 1000;
}

namespace {

/// Feed for one turn at a radius, whatever the feed mode.
std::optional<double> feed_per_rev(const motion::Feed& feed, std::optional<double> rpm) {
    if (!feed.mm) return std::nullopt;
    if (feed.mode == motion::Feed::Mode::per_rev) return feed.mm;
    if (feed.mode == motion::Feed::Mode::per_minute && rpm && *rpm > 0) return *feed.mm / *rpm;
    return std::nullopt;
}

} // namespace

Estimate estimate(const motion::Segment& segment, const motion::Spindle& spindle, const shop::Tool* tool,
                  const Material* material, const shop::Machine& machine, std::optional<double> depth_mm) {
    Estimate out;
    out.material = material;
    if (segment.kind != motion::SegmentKind::feed) return out;
    double radius = std::max(std::abs(segment.from.x_radius_mm), std::abs(segment.to.x_radius_mm));
    auto rpm = motion::rpm_at(spindle, radius);
    out.depth_mm = depth_mm;
    out.feed_mm_per_rev = feed_per_rev(segment.feed, rpm);
    if (rpm) out.surface_m_per_min = motion::surface_for(*rpm, 2 * radius);
    if (!out.depth_mm) out.missing.push_back("depth of cut");
    if (!out.feed_mm_per_rev) out.missing.push_back("feed for one turn");
    if (!out.surface_m_per_min) out.missing.push_back("surface speed");
    if (!material) out.missing.push_back("material");

    bool pointed = tool && tool->nose_radius_mm && *tool->nose_radius_mm > 0;
    if (pointed && out.feed_mm_per_rev)
        out.roughness_um = motion::roughness_um(*out.feed_mm_per_rev, *tool->nose_radius_mm);
    if (!out.depth_mm || !out.feed_mm_per_rev || *out.feed_mm_per_rev <= 0) return out;
    double depth = *out.depth_mm, feed = *out.feed_mm_per_rev;
    if (out.surface_m_per_min)
        out.removal_cm3_per_min = removal_cm3_per_min(*out.surface_m_per_min, depth, feed);
    if (!material) return out;
    // Without an approach angle the chip is as thick as the feed, which gives the lower force.
    double angle = tool && tool->approach_angle_deg ? *tool->approach_angle_deg : 90;
    double thickness = chip_thickness_mm(feed, angle);
    if (thickness <= 0) return out;
    out.specific_force_n_per_mm2 = specific_force(*material, thickness);
    out.force_n = cutting_force_n(depth, feed, *out.specific_force_n_per_mm2);
    out.torque_nm = torque_nm(*out.force_n, radius);
    if (!out.surface_m_per_min) return out;
    out.power_kw = power_kw(depth, feed, *out.surface_m_per_min, *out.specific_force_n_per_mm2);
    if (machine.power_efficiency && *machine.power_efficiency > 0)
        out.motor_kw = *out.power_kw / *machine.power_efficiency;
    return out;
}

} // namespace turnwright::stock
