// Inside the stock room: the tools beside the one that works, as they stand on the turret.
//
// On a disc they stand on a circle about an axis along Z: seen from the spindle a tool beside is as far out
// as its distance from the centreline tells, whatever the angle, since everything that turns looks alike all
// round. In a row, and round a post whose axis is square to the drawing, they stand in the plane itself; what
// of them reaches across the centreline meets the other half of the part.
#pragma once

#include "stock/stock.h"

#include <functional>

namespace turnwright::stock {

Box box_of(const std::vector<Point>& outline);
/// What of a tool is there for certain: a drill is no longer than it is told.
std::vector<Point> sure_edge(const shop::Tool& tool, const ToolShape& shape);

class Turret {
public:
    /// `path`: which of two, 1 or 2; what is told to be in one of them stands there alone.
    Turret(const shop::Machine& machine, const shop::Shop& shop, std::optional<int> path = std::nullopt);

    /// Whether anything can be said at all.
    bool known() const { return machine_.turret_form != shop::TurretForm::unknown && !tools_.empty(); }

    /// A tool that is not in work, or the turret's own body (station 0), in the half-plane.
    struct Standing {
        int station = 0;
        std::vector<Point> outline;
        Box box;
    };
    /// What stands beside `working` while its point is at `tip`; nothing where its own place is not known.
    std::vector<Standing> beside(const shop::Tool& working, Point tip) const;
    /// Whether any of it may get into `box` on a move. True is no promise.
    bool may_meet(const shop::Tool& working, const motion::Segment& segment, const Box& box) const;
    /// Every place of every tool, and of a post's own body, while it turns from one to the other.
    void swing(const shop::Tool& from, const shop::Tool& to, Point tip,
               const std::function<void(const Standing&)>& see) const;

private:
    struct Held {
        const shop::Tool* tool = nullptr;
        std::vector<std::vector<Point>> outlines; ///< From its programmed point
    };
    bool has_place(const shop::Tool& tool) const;
    bool is(shop::TurretForm form) const { return machine_.turret_form == form; }
    /// `back`: stations that the turret has turned since `working` stood where it works.
    double degrees_between(int station, int working, double back = 0) const;
    void add(std::vector<Standing>& all, int station, std::vector<Point> outline) const;
    void add_standing(std::vector<Standing>& all, const Held& held, const shop::Tool& working, Point tip,
                      double degrees) const;
    void add_body(std::vector<Standing>& all, const shop::Tool& working, Point tip, double degrees) const;
    /// Stations, forward positive.
    int way_round(int from, int to) const;

    const shop::Machine& machine_;
    std::vector<Held> tools_; ///< Whose place on the turret is known
};

} // namespace turnwright::stock
