#include "checks/stock_rule.h"
#include "language/said.h"

#include <algorithm>
#include <bit>

namespace turnwright::checks {

namespace {

/// A length to the nearest hundredth of a millimetre or thousandth of an inch: the model holds no more.
std::string rounded(double mm, double mm_per_unit) {
    double step = mm_per_unit == 1 ? 100 : 1000;
    return spoken(std::round(mm / mm_per_unit * step) / step);
}

std::string point_text(stock::Point at, double mm_per_unit, const machine::Settings& settings) {
    double step = mm_per_unit == 1 ? 100 : 1000;
    auto number = [&](double mm) { return written(std::round(mm / mm_per_unit * step) / step); };
    return "X" + number(x_as_written(at.x_radius_mm, settings)) + " Z" + number(at.z_mm);
}

} // namespace

std::string holds_if(const machine::State& state, const machine::Settings& settings, bool by_load) {
    using codes::Group;
    std::vector<std::string_view> meant;
    const auto add = [&](Group group) {
        const machine::Modal& modal = state.of(group);
        if (!modal.is_assumed() || !modal.known()) return;
        meant.push_back(
            codes::title(codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(modal.possible)))));
    };
    add(Group::units);
    add(Group::distance);
    if (by_load) {
        add(Group::feed_mode);
        add(Group::spindle_mode);
        if (state.speed.is_assumed())
            meant.push_back(said("the speed from before the call of a program that is not at hand"));
    }
    if (settings.assumed.no_point == shop::NoPoint::whole_units)
        meant.push_back(said("lengths without a point as they stand"));
    if (settings.assumed.no_point == shop::NoPoint::least_increments)
        meant.push_back(said("lengths without a point in least increments"));
    if (meant.empty()) return {};
    return said(" This holds if the program, which does not say so, means {}.", list_of(meant));
}

std::string StockEvent::length(double mm) const {
    return rounded(mm, mm_per_unit) + (mm_per_unit == 1 ? " mm" : " in");
}
std::string StockEvent::on_diameter(double x_radius_mm) const {
    return length(2 * x_radius_mm);
}

void report_stock_events(const StockContext& context, Report& report, stock::EventKind kind,
                         StockEventText text) {
    for (const stock::ProgramCourse& program : context.programs()) {
        for (const stock::SequenceCourse& sequence : program.sequences) {
            for (const stock::Event& event : sequence.events) {
                if (event.kind != kind) continue;
                BlockPlace place = sequence.place(event.block);
                const machine::State state = context.reader().after(place);
                bool inch = state.is(codes::Meaning::inch);
                StockEvent found{sequence, event, place, {}};
                found.mm_per_unit = inch ? motion::mm_per_inch : 1;
                found.settings = &context.settings();
                found.where = point_text(event.at, found.mm_per_unit, *found.settings);
                std::string message = text(found);
                const bool by_load =
                    kind == stock::EventKind::too_much_power || kind == stock::EventKind::too_much_torque;
                report.at(place).message(message + holds_if(state, context.settings(), by_load));
            }
        }
    }
}

std::string tool_name(const stock::SequenceCourse& sequence) {
    return sequence.station >= 0 ? fmt::format("T{:02}", sequence.station) : said("this tool");
}

} // namespace turnwright::checks
