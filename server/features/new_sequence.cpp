#include "features/new_sequence.h"

#include "checks/noted_tool.h"
#include "features/hover_load.h"
#include "features/noted.h"
#include "features/speech.h"

#include <algorithm>
#include <set>

namespace turnwright::features {

using checks::NamedTool;
using stock::Region;

namespace {

/// What the course left above a place: of the sequence that holds it, else of the last one known.
stock::RegionPointer left_at(const stock::ProgramCourse& program, BlockPlace place) {
    stock::RegionPointer left;
    for (const stock::SequenceCourse& sequence : program.sequences) {
        if (place < sequence.first) break;
        if (sequence.in) left = sequence.in;
        if (sequence.out) left = sequence.out;
    }
    return left;
}

/// The smallest radius near the front: a hole that does not go so deep is none.
double bore_of(const Region& region, double front_mm) {
    for (const double depth : {20.0, 10.0, 5.0}) {
        const Region part =
            stock::intersect(region, stock::rectangle(front_mm - depth, front_mm + 1, 0, stock::reach_mm));
        if (!part.empty() && part.box().x_min > stock::touch_mm) return part.box().x_min;
    }
    return 0;
}

/// Radii and places of feed moves around, in mm.
template <class Look>
void visit_feeds(const Typing& typing, Look look) {
    for (const BlockSpan& span : spans_around(typing.document, typing.place))
        typing.document.analysis().visit(span.run, [&](const machine::BlockView& view) {
            if (!span.holds(view.block) || view.reading.motion != machine::MotionKind::feed) return;
            const machine::Value &x = view.reading.target_x_radius, &z = view.reading.target_z;
            if (x.known() && z.known() && !length_unit(view.after).empty())
                look(view, to_mm(x.number, view.after), to_mm(z.number, view.after));
        });
}

} // namespace

double Ground::outside_between(double z_from, double z_to) const {
    if (!region) return outside_mm;
    const Region part = stock::intersect(
        *region, stock::rectangle(std::min(z_from, z_to), std::max(z_from, z_to), 0, stock::reach_mm));
    return part.empty() ? 0 : part.box().x_max;
}

Ground ground_at(const Typing& typing) {
    constexpr double deepest_mm = 40, chuck_mm = 5;
    Ground ground;
    for (const stock::ProgramCourse& program : typing.document.results().stock().programs()) {
        if (!program.setup || typing.place < program.program->first || program.program->last < typing.place)
            continue;
        const stock::Setup& setup = *program.setup;
        ground.region = left_at(program, typing.place);
        if (!ground.region || ground.region->empty())
            ground.region = std::make_shared<const Region>(stock::raw_stock(setup));
        const stock::Box box = ground.region->box();
        ground.known = true;
        ground.outside_mm = box.x_max;
        ground.front_mm = box.z_max;
        ground.bore_mm = bore_of(*ground.region, box.z_max);
        ground.back_mm = std::max(ground.front_mm - deepest_mm, box.z_min + chuck_mm);
        if (setup.jaw_z_mm) ground.back_mm = std::max(ground.back_mm, *setup.jaw_z_mm + chuck_mm);
        return ground;
    }
    constexpr double bar_mm = 25, hole_mm = 10;
    ground.outside_mm = 0;
    visit_feeds(typing, [&](const machine::BlockView&, double x_mm, double) {
        ground.outside_mm = std::max(ground.outside_mm, x_mm);
    });
    if (ground.outside_mm <= hole_mm) ground.outside_mm = bar_mm;
    ground.bore_mm = hole_mm;
    ground.back_mm = -deepest_mm;
    return ground;
}

std::optional<Cylinder> last_cylinder(const Typing& typing) {
    constexpr double shortest_mm = 6;
    std::optional<Cylinder> found;
    visit_feeds(typing, [&](const machine::BlockView& view, double x_mm, double z_mm) {
        const BlockPlace place{view.run_index, static_cast<std::uint32_t>(view.block)};
        if (!(place < typing.place) || !view.before.z.known() || !view.before.x_radius.known()) return;
        const double from_x = to_mm(view.before.x_radius.number, view.after);
        const double from_z = std::min(0.0, to_mm(view.before.z.number, view.after));
        if (std::abs(from_x - x_mm) < 1e-6 && x_mm > 0 && from_z - z_mm >= shortest_mm)
            found = Cylinder{x_mm, from_z, z_mm};
    });
    return found;
}

std::vector<std::pair<std::int32_t, std::string>> tools_at_head(const Document& document) {
    constexpr std::size_t longest_head = 300;
    std::vector<std::pair<std::int32_t, std::string>> tools;
    for (const machine::ProgramPart& program : document.outline().programs) {
        const std::size_t first = document.line_of(program.first);
        const std::size_t end = program.sequences.empty() ? document.line_of(program.last) + 1
                                                          : document.line_of(program.sequences.front().first);
        for (std::size_t line = first; line < std::min(end, first + longest_head); ++line) {
            const BlockPlace place = document.place_of_line(line);
            if (!document.block(place).has_note) continue;
            for (const auto& [station, tool] : checks::tools_listed(note_of(document, place)))
                if (std::none_of(tools.begin(), tools.end(),
                                 [station = station](const auto& known) { return known.first == station; }))
                    tools.emplace_back(station, tool_note(document, station));
        }
        break; // The tools of this turret stand at the first head
    }
    return tools;
}

namespace {

bool is_of(shop::ToolKind kind, NamedTool::Kind wanted, bool inside) {
    if (wanted == NamedTool::Kind::thread && inside) return kind == shop::ToolKind::threading_inside;
    return kind != shop::ToolKind::unknown && kind == checks::tool_kind_of(wanted);
}

} // namespace

Taken taken_in(const Document& document) {
    Taken taken;
    taken.at_head = tools_at_head(document);
    std::size_t kept = 0, total = 0;
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            taken.called.insert(sequence.tool);
            ++total;
            kept += sequence.number == sequence.tool;
            if (sequence.number < 9998) taken.next_number = std::max(taken.next_number, sequence.number + 1);
        }
    taken.by_tool = 2 * kept > total;
    return taken;
}

FreeTool free_tool(const Document& document, const Taken& taken, NamedTool::Kind kind,
                   std::string_view word) {
    std::set<int> named = taken.called;
    int best = -1, best_score = 0;
    const auto consider = [&](int station, bool fits, bool at_head, std::string_view note) {
        named.insert(station);
        if (!fits || station <= 0) return;
        const int score = (taken.called.contains(station) ? 0 : 4) +
                          (compact(note).find(word) != std::string::npos) * 2 + at_head + 1;
        if (score > best_score) {
            best = station;
            best_score = score;
        }
    };
    for (const auto& [station, note] : taken.at_head)
        consider(station, checks::tool_named(note).kind == kind, true, note);
    for (const shop::Tool& tool : document.shop().tools)
        consider(tool.station,
                 is_of(tool.kind, kind, word == "INSIDE") || checks::tool_named(tool.note).kind == kind,
                 false, tool.note);
    for (int station = 1; best < 0; ++station)
        if (!named.contains(station)) best = station;
    return {best, document.shop().tool(best)};
}

int free_number(const Document& document, const Taken& taken, int station) {
    const auto& counts = document.analysis().label_counts();
    if (!counts.contains(station)) return station;
    // A tool's second sequence: N105 for T05.
    for (int number = station + 100; taken.by_tool && number < 1000; number += 100)
        if (!counts.contains(number)) return number;
    int next = taken.next_number;
    while (counts.contains(next)) ++next;
    return next;
}

std::pair<int, int> free_contour(const Document& document) {
    const auto& counts = document.analysis().label_counts();
    int first = 101;
    while (counts.contains(first) || counts.contains(first + 1)) ++first;
    return {first, first + 1};
}

std::string material_to_start_with(const Document& document, BlockPlace place) {
    const std::string given = material_given(document, place);
    return given.empty() ? noted_stock(document, mm_per_unit_of(document)).stock.material : given;
}

char material_group(const std::string& material) {
    if (const stock::Material* known = stock::material(material)) return known->group;
    struct Named {
        std::string_view word;
        char group;
    };
    constexpr Named named[] = {
        {"STAINLESS", 'M'}, {"INOX", 'M'},    {"EDELSTAHL", 'M'}, {"IRON", 'K'},   {"GUSS", 'K'},
        {"FONTE", 'K'},     {"GHISA", 'K'},   {"ALU", 'N'},       {"BRASS", 'N'},  {"BRONZE", 'N'},
        {"COPPER", 'N'},    {"MESSING", 'N'}, {"LAITON", 'N'},    {"OTTONE", 'N'}, {"LATON", 'N'},
        {"6061", 'N'},      {"6082", 'N'},    {"7075", 'N'},      {"TITAN", 'S'},  {"NICKEL", 'S'},
        {"HARDENED", 'H'},  {"304", 'M'},     {"316", 'M'},       {"303", 'M'},    {"STEEL", 'P'},
        {"STAHL", 'P'},     {"ACIER", 'P'},   {"ACERO", 'P'},     {"ACCIAIO", 'P'}};
    const std::string words = in_capitals(material);
    for (const Named& row : named)
        if (words.find(row.word) != words.npos) return row.group;
    // Nothing named, or a grade: most are of steel.
    const bool is_grade = words.find_first_of("0123456789") != words.npos;
    return words.empty() || is_grade ? 'P' : 0;
}

double surface_m_per_min(const Document& document, BlockPlace place) {
    switch (material_group(material_to_start_with(document, place))) {
    case 'M':
        return 120;
    case 'K':
        return 140;
    case 'N':
        return 300;
    case 'S':
        return 40;
    case 'H':
        return 100;
    default:
        return 150;
    }
}

} // namespace turnwright::features
