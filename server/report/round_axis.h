// Inside the report room: the way of a tool round the axis, with the C axis, on a polar plane or on an
// unrolled cylinder. X and Z alone are no section of turned work there: it is drawn along the axis and
// unrolled.
#pragma once

#include "report/walk.h"

namespace turnwright::report {

struct RoundPoint {
    double z_mm = 0, x_radius_mm = 0,
           degrees = 0; ///< X from the axis, the angle that the tool stands at on the part
};
struct RoundMove {
    enum class Kind : std::uint8_t { rapid, feed } kind = Kind::rapid;
    std::vector<RoundPoint> points; ///< Two at least; curves are cut into chords
    // What its block has in force.
    bool on_polar = false, by_cycle = false, taps = false, is_line = false;
    std::optional<bool> compensated = {}; ///< nullopt: not known
    int repeats = 1;                 ///< Of a cycle that goes on by H
    double repeat_deg = 0;
    /// With Y: where the point is in the plane of X and Y of the machine, and which way the tool looks.
    struct Beside {
        double from_x_mm = 0, from_y_mm = 0, to_x_mm = 0, to_y_mm = 0, c_deg = 0;
        std::optional<bool> radial; ///< The plane of Y and Z; false: that of X and Y; nullopt: neither
    };
    std::optional<Beside> beside = {};
};

/// Follows the angle of the part through a program, block by block.
class RoundAxis {
public:
    explicit RoundAxis(const features::Document& document) : document_(document) {}
    /// What the block does round the axis; empty: it does nothing there, or nothing that is known.
    std::vector<RoundMove> read(const WalkedBlock& block);
    /// The block turns the part to an angle, or works on a polar plane or a cylinder.
    bool is_at_work() const { return is_at_work_; }
    /// The angle behind the block; nullopt: no block has said one, or it is lost.
    std::optional<double> degrees() const { return degrees_; }

private:
    enum class Plane : std::uint8_t { none, polar, cylinder };
    void take_modes(const WalkedBlock& block, double mm);
    std::optional<double> wanted(const WalkedBlock& block, double per_unit, double now) const;
    void add_polar(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves);
    void add_cylinder(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves);
    void add_plain(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves);
    void add_beside(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves) const;
    bool is_beside(const WalkedBlock& block) const;

    const features::Document& document_;
    Plane plane_ = Plane::none;
    std::optional<double> degrees_;
    double polar_x_mm_ = 0, polar_c_mm_ = 0, cylinder_mm_ = 0;
    bool is_at_work_ = false;
};

} // namespace turnwright::report
