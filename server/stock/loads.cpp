// Loads by the trade's formulas. Sources beside each; all are estimates.
#include "language/said.h"
#include "stock/stock.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <numbers>
#include <tuple>

namespace turnwright::stock {

namespace {

// What is shown; the sources themselves:
constexpr std::string_view usual = "usual value of the material";    // Kienzle's rule, VDI 3206, from memory
constexpr std::string_view group_value = "usual value of the group"; // from memory
// Mitsubishi Materials technical information, cutting power in turning
constexpr std::string_view read_table = "published cutting data";

constexpr ForceAtFeed mild_steel[] = {{0.1, 3610}, {0.2, 3100}, {0.3, 2720}, {0.4, 2500}, {0.6, 2280}};
constexpr ForceAtFeed medium_steel[] = {{0.1, 3080}, {0.2, 2700}, {0.3, 2570}, {0.4, 2450}, {0.6, 2300}};
constexpr ForceAtFeed hard_steel[] = {{0.1, 4050}, {0.2, 3600}, {0.3, 3250}, {0.4, 2950}, {0.6, 2640}};
constexpr ForceAtFeed grey_iron[] = {{0.1, 2110}, {0.2, 1800}, {0.3, 1600}, {0.4, 1400}, {0.6, 1330}};

// The first row of a group is the one its letter stands for.
constexpr std::array table{
    Material{"medium steel", 'P', 0, 0, read_table, medium_steel}, // 620 N/mm2
    Material{"mild steel", 'P', 0, 0, read_table, mild_steel},     // 520 N/mm2
    Material{"hard steel", 'P', 0, 0, read_table, hard_steel},     // 720 N/mm2
    Material{"C45", 'P', 2220, 0.14, usual},
    Material{"42CrMo4", 'P', 2500, 0.26, usual},
    Material{"16MnCr5", 'P', 2100, 0.26, usual},
    Material{"austenitic stainless", 'M', 2000, 0.25, group_value},
    Material{"grey cast iron", 'K', 0, 0, read_table, grey_iron}, // 200 HB
    Material{"GG25", 'K', 1160, 0.26, usual},
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

namespace {

/// Between two values of the table, and beyond its ends by the nearest two, kc goes with a power of the feed.
double force_by_table(std::span<const ForceAtFeed> rows, double feed) {
    std::size_t i = 1;
    while (i + 1 < rows.size() && feed > rows[i].feed_mm_per_rev) ++i;
    const ForceAtFeed &a = rows[i - 1], &b = rows[i];
    double power =
        std::log(b.kc_n_per_mm2 / a.kc_n_per_mm2) / std::log(b.feed_mm_per_rev / a.feed_mm_per_rev);
    return a.kc_n_per_mm2 * std::pow(feed / a.feed_mm_per_rev, power);
}

} // namespace

// kc = kc1.1 h^-mc: VDI 3206, from memory.
double specific_force(const Material& material, double feed, double chip_thickness) {
    if (material.by_feed.size() > 1) return force_by_table(material.by_feed, feed);
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

namespace {

/// Whether the nose leaves its feed on the surface; a blade and a drill do not.
bool leaves_turns(const shop::Tool* tool) {
    using shop::ToolKind;
    return tool && (tool->kind == ToolKind::turning || tool->kind == ToolKind::boring ||
                    tool->kind == ToolKind::unknown);
}

bool is_drilling(const shop::Tool* tool) {
    return tool && (tool->kind == shop::ToolKind::drill || tool->kind == shop::ToolKind::reamer);
}

/// Two lips share the feed of a turn, and each works at every radius from the centre outward: the area cut a
/// turn is that of the ring, its mean arm gives the torque. The trade's Pc = f vc D kc / 240,000 for solid
/// metal follows from it (from memory).
void add_drilling(Estimate& out, const motion::Spindle& spindle, const shop::Tool& tool,
                  const Material* material, const shop::Machine& machine) {
    double radius = *tool.diameter_mm / 2, inner = std::max(0.0, radius - *out.depth_mm);
    double ring_mm2 = std::numbers::pi * (radius * radius - inner * inner), feed = *out.feed_mm_per_rev;
    auto rpm = motion::rpm_at(spindle, 0);
    if (rpm) out.removal_cm3_per_min = ring_mm2 * feed * *rpm / 1000;
    if (!material) return;
    double lip = feed / 2, angle = tool.point_angle_deg.value_or(180) / 2;
    double kc = specific_force(*material, lip, chip_thickness_mm(lip, angle));
    out.specific_force_n_per_mm2 = kc;
    // Work of a turn in Nm over 2 pi.
    out.torque_nm = ring_mm2 * feed * kc / 1000 / (2 * std::numbers::pi);
    if (!rpm) return;
    out.power_kw = *out.removal_cm3_per_min * kc / 60'000;
    if (machine.power_efficiency && *machine.power_efficiency > 0)
        out.motor_kw = *out.power_kw / *machine.power_efficiency;
}

} // namespace

Estimate estimate(const motion::Segment& segment, const motion::Spindle& spindle, const shop::Tool* tool,
                  const Material* material, const shop::Machine& machine, std::optional<double> depth_mm) {
    Estimate out;
    out.material = material;
    if (segment.kind != motion::SegmentKind::feed) return out;
    double radius = std::max(std::abs(segment.from.x_radius_mm), std::abs(segment.to.x_radius_mm));
    bool drilling = is_drilling(tool) && tool->diameter_mm;
    if (drilling) radius = *tool->diameter_mm / 2;
    auto rpm = motion::rpm_at(spindle, drilling ? 0 : radius);
    out.depth_mm = depth_mm;
    out.feed_mm_per_rev = feed_per_rev(segment.feed, rpm);
    if (rpm) out.surface_m_per_min = motion::surface_for(*rpm, 2 * radius);
    if (!out.depth_mm) out.missing.push_back(said("depth of cut"));
    if (!out.feed_mm_per_rev) out.missing.push_back(said("feed for one turn"));
    if (!out.surface_m_per_min) out.missing.push_back(said("surface speed"));
    if (!material) out.missing.push_back(said("material"));

    bool pointed = leaves_turns(tool) && tool->nose_radius_mm && *tool->nose_radius_mm > 0;
    if (pointed && out.feed_mm_per_rev)
        out.roughness_um = motion::roughness_um(*out.feed_mm_per_rev, *tool->nose_radius_mm);
    if (!out.depth_mm || !out.feed_mm_per_rev || *out.feed_mm_per_rev <= 0) return out;
    if (drilling) {
        add_drilling(out, spindle, *tool, material, machine);
        return out;
    }
    double depth = *out.depth_mm, feed = *out.feed_mm_per_rev;
    if (out.surface_m_per_min)
        out.removal_cm3_per_min = removal_cm3_per_min(*out.surface_m_per_min, depth, feed);
    if (!material) return out;
    // Without an approach angle the chip is as thick as the feed, which gives the lower force.
    double angle = tool && tool->approach_angle_deg ? *tool->approach_angle_deg : 90;
    double thickness = chip_thickness_mm(feed, angle);
    if (thickness <= 0) return out;
    out.specific_force_n_per_mm2 = specific_force(*material, feed, thickness);
    out.force_n = cutting_force_n(depth, feed, *out.specific_force_n_per_mm2);
    out.torque_nm = torque_nm(*out.force_n, radius);
    if (!out.surface_m_per_min) return out;
    out.power_kw = power_kw(depth, feed, *out.surface_m_per_min, *out.specific_force_n_per_mm2);
    if (machine.power_efficiency && *machine.power_efficiency > 0)
        out.motor_kw = *out.power_kw / *machine.power_efficiency;
    return out;
}

std::optional<Estimate> estimate_block(const machine::BlockView& view, const motion::BlockPath& path,
                                       const BlockCut* cut, const shop::Tool* tool,
                                       const Material* material) {
    const motion::Spindle spindle = motion::spindle_during(view);
    std::optional<double> depth;
    if (cut && cut->depth_mm > 0) depth = cut->depth_mm;
    std::optional<Estimate> heaviest;
    // A cycle's many passes are alike: what counts is the highest power, else removal, else feed.
    auto weight = [](const Estimate& load) {
        return std::tuple(load.power_kw.value_or(0), load.removal_cm3_per_min.value_or(0),
                          load.feed_mm_per_rev.value_or(0));
    };
    for (const motion::Segment& segment : path.segments) {
        if (segment.kind != motion::SegmentKind::feed) continue;
        Estimate load = estimate(segment, spindle, tool, material, view.settings.machine, depth);
        if (!heaviest || weight(load) > weight(*heaviest)) heaviest = std::move(load);
    }
    return heaviest;
}

} // namespace turnwright::stock
