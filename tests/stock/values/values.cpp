// Cuts stock as asked, one question a line: for compare.py.
//
//     radius bore back front   kind nose direction approach back_angle width diameter point   count
//     SEGMENT...
// A segment is eight numbers: 1 for an arc, x0 z0 x1 z1, centre x z, sweep. Answer: area left, volume left,
// volume taken off by the sum of the moves.
//
//     holder radius bore back front   count x z ...   SEGMENT
// What the outline of a holder meets of the stock on one move. Answer: area, and how near it comes.
#include "stock/cutter.h"

#include <cstdio>
#include <iostream>
#include <sstream>

using namespace turnwright;
using namespace turnwright::stock;

namespace {

motion::Segment read_segment(std::istream& in) {
    motion::Segment segment;
    int is_arc = 0;
    in >> is_arc >> segment.from.x_radius_mm >> segment.from.z_mm >> segment.to.x_radius_mm >>
        segment.to.z_mm >> segment.centre.x_radius_mm >> segment.centre.z_mm >> segment.sweep;
    segment.is_arc = is_arc != 0;
    segment.kind = motion::SegmentKind::feed;
    return segment;
}

shop::Tool read_tool(std::istream& in) {
    shop::Tool tool;
    std::string kind;
    int direction = 0;
    double nose = 0, approach = 0, back = 0, width = 0, diameter = 0, point = 0;
    in >> kind >> nose >> direction >> approach >> back >> width >> diameter >> point;
    tool.kind = kind == "turning"       ? shop::ToolKind::turning
                : kind == "boring"      ? shop::ToolKind::boring
                : kind == "grooving"    ? shop::ToolKind::grooving
                : kind == "face"        ? shop::ToolKind::face_grooving
                : kind == "thread"      ? shop::ToolKind::threading
                : kind == "bore-thread" ? shop::ToolKind::threading_inside
                                        : shop::ToolKind::drill;
    tool.nose_radius_mm = nose;
    tool.tip_direction = direction;
    tool.approach_angle_deg = approach;
    tool.back_angle_deg = back;
    tool.width_mm = width;
    // For a bar this would be the smallest bore, which is no matter here.
    if (kind == "drill") tool.diameter_mm = diameter;
    tool.point_angle_deg = point;
    return tool;
}

void answer_holder(std::istream& in) {
    Box stock;
    in >> stock.x_max >> stock.x_min >> stock.z_min >> stock.z_max;
    std::size_t count = 0;
    in >> count;
    shop::Tool tool;
    for (std::size_t i = 0; i < count; ++i) {
        double x = 0, z = 0;
        in >> x >> z;
        tool.outline.push_back({x, z});
    }
    const Region way = sweep_hollow(shape_of(&tool).holder, read_segment(in));
    const Region part = rectangle(stock.z_min, stock.z_max, stock.x_min, stock.x_max);
    std::printf("%.15g %.15g\n", intersect(part, way).area_mm2(), distance_mm(way, stock));
}

} // namespace

int main() {
    std::string line;
    while (std::getline(std::cin, line)) {
        std::istringstream in(line);
        if (line.starts_with("holder")) {
            in.ignore(6);
            answer_holder(in);
            continue;
        }
        Setup setup;
        in >> setup.radius_mm >> setup.bore_radius_mm >> setup.back_z_mm >> setup.front_z_mm;
        shop::Tool tool = read_tool(in);
        std::size_t count = 0;
        in >> count;
        shop::Machine machine;
        const shop::Shop shop;
        SequenceCourse course;
        Cutter cutter(setup, machine, shop, raw_stock(setup), course);
        cutter.take(&tool);
        for (std::size_t i = 0; i < count; ++i) {
            motion::Segment segment = read_segment(in);
            const bool threads =
                tool.kind == shop::ToolKind::threading || tool.kind == shop::ToolKind::threading_inside;
            if (threads) segment.kind = motion::SegmentKind::thread;
            if (cutter.cut({segment, {}, {}, false}) != Stop::none) std::printf("stopped ");
        }
        std::printf("%.15g %.15g %.15g\n", cutter.profile().area_mm2(), cutter.profile().volume_mm3(),
                    course.removed_mm3);
    }
}
