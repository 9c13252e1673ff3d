// A program as two lathes read it: every block that does something else, and what the other lathe cannot do.
#include "features/equal_moves.h"
#include "features/speech.h"
#include "features/transfer.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::Value;
using Sort = TransferRemark::Sort;

namespace {

/// Written otherwise by each system, or in each unit, and seen in the moves.
bool is_seen_in_moves(Group group) {
    return group == Group::units || group == Group::distance || group == Group::return_level ||
           group == Group::motion;
}

/// What holds behind a block, besides where the tool is.
struct Stand {
    std::array<machine::Modal, codes::group_count> modal{};
    Value tool, offset, limit;
    std::optional<double> rpm, surface_m_per_min;
    machine::FlowKind flow = machine::FlowKind::none;
    machine::Parts touched = 0; ///< What the block reads or sets: the rest matters where it is read
};

std::vector<Stand> stands_of_run(const Document& document, std::size_t run) {
    std::vector<Stand> stands(document.run(run).blocks.size());
    document.analysis().visit(
        run,
        [&](const BlockView& view) {
            const motion::Spindle spindle = motion::spindle_of(view.after, view.settings);
            const machine::Reading& reading = view.reading;
            stands[view.block] = {view.after.modal,  view.after.tool,
                                  view.after.offset, view.after.speed_limit,
                                  spindle.rpm,       spindle.surface_m_per_min,
                                  reading.flow,      reading.reads | reading.sets | reading.may_set};
        },
        machine::Assumed::left_out);
    return stands;
}

bool otherwise(const Value& here, const Value& there) {
    return here.known() ? !there.is(here.number) : there.known() && !here.surely_unset();
}

bool otherwise(const std::optional<double>& here, const std::optional<double>& there, double near) {
    return here && (!there || std::abs(*here - *there) > near);
}

class LatheComparison {
public:
    LatheComparison(const Document& here, const Document& there, const TransferOrder& order,
                    std::vector<TransferRemark>& remarks)
        : here_(here), there_(there), order_(order), remarks_(remarks) {}

    void compare() {
        for (const std::size_t line : differences(here_, there_)) tell(line, said("the moves are others"));
        if (here_.buffer().line_count() != there_.buffer().line_count()) return;
        std::vector<Stand> other;
        std::size_t other_run = there_.forest().size(), line = 0;
        for (std::size_t run = 0; run < here_.forest().size(); ++run)
            for (const Stand& stand : stands_of_run(here_, run)) {
                const machine::BlockPlace place = there_.place_of_line(line);
                if (place.run != other_run) {
                    other_run = place.run;
                    other = stands_of_run(there_, other_run);
                }
                block(line, stand, other[place.block]);
                ++line;
            }
    }

private:
    void block(std::size_t line, const Stand& here, const Stand& there) {
        const machine::Parts touched = here.touched | there.touched;
        const auto look = [&](auto part, bool differs, std::string_view what) {
            if (touched & machine::part(part)) once(line, static_cast<std::size_t>(part), differs, what);
        };
        for (std::size_t i = 0; i < codes::group_count; ++i) {
            const auto group = static_cast<Group>(i);
            if (is_seen_in_moves(group)) continue;
            const machine::Modal &a = here.modal[i], &b = there.modal[i];
            const bool differs = a.known() ? a.possible != b.possible : b.known() && !a.surely_unset();
            look(group, differs, codes::group_title(group));
        }
        using machine::Part;
        look(Part::tool, otherwise(mapped(here, here.tool), there.tool), said("tool"));
        look(Part::offset, otherwise(mapped(here, here.offset), there.offset), said("tool offset"));
        look(Part::speed_limit, otherwise(here.limit, there.limit), said("speed limit"));
        // Whole metres a minute and whole feet a minute are rounded to each other.
        const double near = here.surface_m_per_min ? 0.51 + 0.002 * *here.surface_m_per_min : 0;
        look(Part::speed,
             otherwise(here.rpm, there.rpm, 0.5) ||
                 otherwise(here.surface_m_per_min, there.surface_m_per_min, near),
             said("speed"));
        once(line, static_cast<std::size_t>(Part::count_), here.flow != there.flow,
             said("course of the program"));
    }

    /// Stations by the order; an offset of its station's own number goes with it.
    Value mapped(const Stand& here, Value value) const {
        if (!value.known() || !here.tool.known() || value.number != here.tool.number) return value;
        const auto found = order_.stations.find(static_cast<int>(value.number));
        return found == order_.stations.end() ? value : Value::of(found->second);
    }

    /// Where it begins to differ.
    void once(std::size_t line, std::size_t part, bool differs, std::string_view what) {
        if (differs && !differs_[part]) tell(line, said("the {} is another", what));
        differs_[part] = differs;
    }
    void tell(std::size_t line, std::string_view what) {
        remarks_.push_back({Sort::differs, line,
                            said("{} on {} than on {}.", what, there_.settings().machine.name,
                                 here_.settings().machine.name)});
    }

    const Document &here_, &there_;
    const TransferOrder& order_;
    std::vector<TransferRemark>& remarks_;
    std::array<bool, static_cast<std::size_t>(machine::Part::count_) + 1> differs_{};
};

/// Warnings and errors that the program has there and not here.
void add_new_warnings(const Document& here, const Document& there, std::vector<TransferRemark>& remarks) {
    std::set<std::pair<std::size_t, std::string>> before;
    for (const Warning& warning : all_warnings(here)) before.emplace(warning.range.begin.line, warning.id);
    for (const Warning& warning : all_warnings(there))
        if (warning.severity >= checks::Severity::warning &&
            !before.contains({warning.range.begin.line, warning.id}))
            remarks.push_back({Sort::look, warning.range.begin.line, warning.message});
}

/// Where the datum will lie is not known, but a way longer than the travel never fits.
void look_at_travel(const Document& here, const shop::Machine& machine,
                    std::vector<TransferRemark>& remarks) {
    motion::Totals all;
    for (const checks::Span& span : here.results().spans())
        all += here.times().between(span.first, span.last);
    const auto axis = [&](char letter, std::optional<double> least, std::optional<double> most,
                          std::optional<double> travel_least, std::optional<double> travel_most) {
        if (!least || !most || !travel_least || !travel_most) return;
        const double way = *most - *least, travel = *travel_most - *travel_least;
        if (way <= travel + 0.001) return;
        remarks.push_back({Sort::look, std::nullopt,
                           said("The moves reach over {} mm in {} and the travel of {} is {} mm.",
                                plain(way, 1), letter, machine.name, plain(travel, 1))});
    };
    axis('X', all.min_x_radius_mm, all.max_x_radius_mm, machine.travel_x_min_mm, machine.travel_x_max_mm);
    axis('Z', all.min_z_mm, all.max_z_mm, machine.travel_z_min_mm, machine.travel_z_max_mm);
}

/// Limits that the other spindle does not reach; of speeds a check tells.
void look_at_speed_limits(const Document& here, const shop::Machine& machine,
                          std::vector<TransferRemark>& remarks) {
    if (!machine.max_rpm) return;
    for (std::size_t run = 0; run < here.forest().size(); ++run)
        here.analysis().visit(run, [&](const BlockView& view) {
            const Value& limit = view.after.speed_limit;
            const bool states_it = view.reading.sets & machine::part(machine::Part::speed_limit);
            if (!states_it || !limit.known() || limit.number <= *machine.max_rpm) return;
            remarks.push_back({Sort::look, here.line_of({view.run_index, view.block}),
                               said("The limit of {} rpm is above the {} rpm of {}: small diameters "
                                    "are cut slower there.",
                                    plain(limit.number, 0), plain(*machine.max_rpm, 0), machine.name)});
        });
}

bool works_at_centre(shop::ToolKind kind) {
    using shop::ToolKind;
    return kind == ToolKind::drill || kind == ToolKind::centre_drill || kind == ToolKind::tap ||
           kind == ToolKind::reamer || kind == ToolKind::live || kind == ToolKind::bar_puller;
}

/// With the turret on the other side of the axis the part runs past the edge the other way.
void look_at_turret(const Document& here, const shop::Machine& machine,
                    std::vector<TransferRemark>& remarks) {
    const shop::Turret was = here.settings().machine.turret;
    if (was == shop::Turret::unknown || machine.turret == shop::Turret::unknown || was == machine.turret)
        return;
    std::set<std::pair<int, bool>> told;
    for (std::size_t run = 0; run < here.forest().size(); ++run)
        here.analysis().visit(run, [&](const BlockView& view) {
            using machine::MotionKind;
            const MotionKind motion = view.reading.motion;
            const bool cuts = motion == MotionKind::feed || motion == MotionKind::arc ||
                              motion == MotionKind::thread || machine::is_cycle(motion);
            const bool forward = view.after.is(Meaning::spindle_forward);
            if (!cuts || !view.after.tool.known() || !(forward || view.after.is(Meaning::spindle_reverse)))
                return;
            const int station = static_cast<int>(view.after.tool.number);
            const shop::Tool* tool = here.shop().tool(station);
            if ((tool && works_at_centre(tool->kind)) || !told.emplace(station, forward).second) return;
            // M03 turns the near side of the part down onto an edge that looks up (the rule of
            // spindle_direction_against_tool); behind the axis that side goes up.
            const bool up = (machine.turret == shop::Turret::front) == forward;
            remarks.push_back(
                {Sort::look, here.line_of({view.run_index, view.block}),
                 said("T{:02} cuts with {} here. On {} the turret stands {}: with {} its edge must look {} "
                      "there, or the part turns against its back (a tool on the centreline does not mind).",
                      station, forward ? "M03" : "M04", machine.name,
                      machine.turret == shop::Turret::front ? said("in front") : said("behind"),
                      forward ? "M03" : "M04", up ? said("up") : said("down"))});
        });
}

} // namespace

void compare_lathes(const Document& here, const Document& there, const TransferOrder& order,
                    std::vector<TransferRemark>& remarks) {
    LatheComparison(here, there, order, remarks).compare();
}

void look_at_limits(const Document& here, const Document& there, std::vector<TransferRemark>& remarks) {
    const shop::Machine& machine = there.settings().machine;
    add_new_warnings(here, there, remarks);
    look_at_travel(here, machine, remarks);
    look_at_speed_limits(here, machine, remarks);
    look_at_turret(here, machine, remarks);
}

} // namespace turnwright::features
