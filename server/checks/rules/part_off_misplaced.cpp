// A part-off that leaves the part hanging, or that cuts through what the program has made.
#include "checks/head_stock.h"
#include "checks/noted_blade.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_of_work.h"
#include "language/said.h"
#include "text/capitals.h"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace turnwright::checks::rules::part_off_misplaced {

namespace {

/// Bar is turned behind a part-off as far as its width and some clearance; more is another feature. Straight
/// on bars and bores are cut farther, for more parts than one or so that the last bit holds no ring.
constexpr double turned_behind_mm = 9, straight_behind_mm = 25;
/// A thread that the part ends in runs out no farther behind it.
constexpr double turned_behind_thread_mm = 6;
/// A pip of this diameter breaks off by itself.
constexpr double pip_mm = 0.5;
/// Radius of what no groove leaves.
constexpr double pip_at_most_mm = 1;

constexpr std::string_view part_off_words[] = {"PART OFF", "PART-OFF", "PARTOFF", "PARTING",
                                               "CUT OFF",  "CUT-OFF",  "CUTOFF"};

constexpr std::string_view groove_words[] = {"GROOV",     "RECESS", "UNDERCUT", "RELIEF", "EINSTICH",
                                             "FREISTICH", "GORGE",  "GOLA",     "RANURA", "GARGANTA"};

/// Of a head: the bar comes with a hole, of a size that nothing tells.
constexpr std::string_view hollow_words[] = {"DRILLED", "PRE-BORED", "PREBORED", "HOLLOW",    "TUBE",
                                             "TUBING",  "PIPE",      "CORED",    "ROHR",      "VORGEBOHRT",
                                             "TUBO",    "PREFORATO", "HUECO",    "TALADRADO", "PERCE"};

struct PartOff {
    const Work* work = nullptr;
    const Leg* leg = nullptr; ///< The deepest plunge
};

/// The notes of a span, in capitals.
std::string notes_of(const WorksContext& context, std::size_t span) {
    std::string text;
    const BlockPlace first = context.spans[span].first, last = context.spans[span].last;
    for (std::optional<BlockPlace> at = first; at && *at <= last; at = context.reader.neighbour(*at, true))
        for (const syntax::Item& item : context.reader.items(*at))
            if (item.kind == syntax::ItemKind::note)
                text += std::string(context.reader.line(*at).text_of(item)) + " ";
    return text::in_capitals(text);
}

bool names(const std::string& text, std::span<const std::string_view> words) {
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return text.find(word) != std::string::npos; });
}

/// "CENTRE DRILLED" is no hole for a blade.
std::string without_centres(std::string notes) {
    for (const std::string_view words : {"CENTRE DRILLED", "CENTER DRILLED", "CENTRE-DRILLED",
                                         "CENTER-DRILLED", "TUBE FITTING", "TUBE NUT", "TUBE END"})
        for (std::size_t at = notes.find(words); at != std::string::npos; at = notes.find(words))
            notes.erase(at, words.size());
    return notes;
}

/// A head of the blade's program says that the bar comes with a hole.
bool comes_hollow(const WorksContext& context, const Work& blade) {
    for (std::size_t span = 0; span < context.spans.size(); ++span)
        if (!context.spans[span].sequence &&
            context.spans[span].program == context.spans[blade.span].program &&
            names(without_centres(notes_of(context, span)), hollow_words))
            return true;
    return false;
}

/// What is open at a Z before the blade comes: by bore, or by drills whose note tells their diameter.
struct Hole {
    double x_radius = 0;
    bool drilled_unknown = false;
};
/// A groove plunged outward from within the hole, at the place of the part-off.
void widen_by_grooves(const Workpiece& part, const Work& blade, double z, Hole& hole) {
    constexpr double same_place_mm = 0.5;
    const double drilled = hole.x_radius;
    for (const Work* work : part.works) {
        if (work == &blade) break;
        for (const Leg& leg : work->legs)
            if (is_plunge(leg) && leg.dx() > 0 && leg.from.x_radius_mm <= drilled &&
                std::abs(leg.to.z_mm - z) * work->unit_mm < same_place_mm)
                hole.x_radius = std::max(hole.x_radius, leg.to.x_radius_mm);
    }
}

/// It bores past this Z: what a drill has left there is gone.
bool bores_past(const Work& work, double z) {
    return work.where == Work::Where::inside && !is_blade(work) &&
           std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
               return leg.cuts() && leg.known && leg.kind != Leg::Kind::thread &&
                      std::min(leg.from.z_mm, leg.to.z_mm) < z && std::max(leg.from.z_mm, leg.to.z_mm) > z;
           });
}

/// As far forward as the blade opens the hole, with its edge at the chuck at this Z. Of a width that no note
/// tells it is a wide one.
double front_of_blade(const WorksContext& context, const Work& blade, double z) {
    constexpr double wide_blade_mm = 4;
    const NotedBlade noted = noted_blade(context, blade);
    if (noted.corner == BladeCorner::right) return z;
    return z + noted.width.value_or(wide_blade_mm / blade.unit_mm);
}

/// A drill with inserts has hardly a point.
bool is_flat(const WorksContext& context, const Work& drill) {
    constexpr std::string_view words[] = {"INSERT",  "INDEX", "U-DRILL", "UDRILL",
                                          "WENDEPL", "WSP",   "VOLLB",   "PLAQU"};
    if (names(notes_of(context, drill.span), words)) return true;
    for (const Span& span : context.spans)
        if (!span.sequence)
            for (const std::string& entry : listed_of(context.reader, span, drill.tool))
                if (names(entry, words)) return true;
    return false;
}

/// What a drill that ends there opens at a Z, on radius: behind its full diameter its point alone, as flat as
/// any is.
double opened_by(double diameter, double end_z, double z, bool is_flat) {
    constexpr double point_angle_deg = 140;
    if (is_flat) return z > end_z ? diameter / 2 : 0;
    const double point = motion::drill_point_mm(diameter, point_angle_deg);
    return std::clamp((z - end_z) / point, 0.0, 1.0) * diameter / 2;
}

/// It makes no hole wider.
bool is_tap(const WorksContext& context, const Work& work) {
    const NamedTool* named =
        tool_of_work(context, work, [](const NamedTool& tool) { return tool.kind != NamedTool::Kind::none; });
    return named && named->kind == NamedTool::Kind::tap;
}

Hole hole_at(const WorksContext& context, const Workpiece& part, const Work& blade, double z) {
    Hole hole;
    const double front = front_of_blade(context, blade, z);
    if (const auto bore = part.bore.at(z)) hole.x_radius = *bore;
    bool bore_not_known = false;
    for (const Work* work : part.works) {
        if (work == &blade) break;
        if (is_tap(context, *work)) continue;
        if (bores_past(*work, z)) hole.drilled_unknown = bore_not_known;
        bore_not_known =
            bore_not_known || std::any_of(work->legs.begin(), work->legs.end(),
                                          [](const Leg& leg) { return leg.cuts() && !leg.known; });
        hole.drilled_unknown =
            hole.drilled_unknown || std::any_of(work->legs.begin(), work->legs.end(),
                                                [](const Leg& leg) { return leg.cuts() && !leg.known; });
        if (work->where != Work::Where::on_centre) continue;
        std::optional<double> end;
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known) end = std::min(end.value_or(leg.to.z_mm), leg.to.z_mm);
        if (!end || *end >= front) continue;
        const double mm = work->unit_mm;
        const NamedTool* drill = tool_of_work(
            context, *work, [&](const NamedTool& named) { return named.diameter_mm(mm).has_value(); });
        if (drill)
            hole.x_radius = std::max(
                hole.x_radius, opened_by(*drill->diameter_mm(mm) / mm, *end, front, is_flat(context, *work)));
        else
            hole.drilled_unknown = hole.drilled_unknown || *end < z;
    }
    widen_by_grooves(part, blade, z, hole);
    return hole;
}

/// In another datum the hole may have been drilled for it, as for a row of parts from one bar.
bool drilled_in_other_datum(const WorksContext& context, const Workpiece& part) {
    if (part.works.front()->same_datum) return false;
    return std::any_of(context.parts.data(), &part, [](const Workpiece& other) {
        return std::any_of(other.works.begin(), other.works.end(), [](const Work* work) {
            return work->where == Work::Where::on_centre || work->where == Work::Where::inside;
        });
    });
}

/// The blade stops within the diameter of a drill, and the hole ends in front of it.
struct Drill {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
    double diameter = 0;
};
std::optional<Drill> drill_too_short(const WorksContext& context, const Workpiece& part, const Work& blade,
                                     const Leg& off) {
    std::optional<Drill> found;
    const double front = front_of_blade(context, blade, off.to.z_mm);
    for (const Work* work : part.works) {
        if (work == &blade) break;
        if (bores_past(*work, off.to.z_mm)) return std::nullopt;
        if (work->where != Work::Where::on_centre) continue;
        const double mm = work->unit_mm;
        const NamedTool* drill = tool_of_work(
            context, *work, [&](const NamedTool& named) { return named.diameter_mm(mm).has_value(); });
        if (!drill || drill->kind == NamedTool::Kind::centre) continue;
        const double diameter = *drill->diameter_mm(mm) / mm;
        if (off.to.x_radius_mm > diameter / 2) continue;
        const bool flat = is_flat(context, *work);
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known &&
                opened_by(diameter, leg.to.z_mm, front, flat) < off.to.x_radius_mm &&
                (!found || leg.to.z_mm < found->leg->to.z_mm))
                found = Drill{work, &leg, diameter};
    }
    return found;
}

PartOff deepest_of(const WorksContext& context, const Workpiece& part, bool named) {
    PartOff found;
    for (const Work* work : part.works) {
        if (!is_blade(*work) || work->where == Work::Where::inside) continue;
        if (named && (!is_part_off(context, *work) || names(notes_of(context, work->span), groove_words)))
            continue;
        for (const Leg& leg : work->legs) {
            if (!is_plunge(leg) || leg.of_cycle || leg.dx() > 0) continue;
            const bool deeper =
                !found.leg || leg.to.x_radius_mm < found.leg->to.x_radius_mm ||
                (leg.to.x_radius_mm == found.leg->to.x_radius_mm && leg.to.z_mm < found.leg->to.z_mm);
            if (deeper) found = {work, &leg};
        }
    }
    return found;
}

/// Of a tool that is called so, else of any: a groove may go deeper than a part-off that stops short.
PartOff part_off_of(const WorksContext& context, const Workpiece& part) {
    const PartOff named = deepest_of(context, part, true);
    return named.leg ? named : deepest_of(context, part, false);
}

/// The deepest Z that another tool has cut to, before. `through`: ways that go straight on through there and
/// end not far behind are left out.
std::optional<double> deepest_before(const Workpiece& part, const Work& blade,
                                     std::optional<double> through = std::nullopt) {
    const auto goes_straight_on = [&](const Leg& leg) {
        return through && leg.dx() == 0 && leg.from.z_mm > *through &&
               (*through - leg.to.z_mm) * blade.unit_mm < straight_behind_mm;
    };
    // And the way out of the metal at its end.
    const auto comes_out = [&](const Work& work, const Leg& leg) {
        const Leg* next = &leg + 1;
        return &leg != work.legs.data() && leg.dz() == 0 && goes_straight_on(*(&leg - 1)) &&
               (next == work.legs.data() + work.legs.size() || !next->cuts() || leg.of_cycle);
    };
    std::optional<double> deepest;
    for (const Work* work : part.works) {
        if (work == &blade) break;
        if (work->driven_tool || work->where == Work::Where::on_centre) continue;
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known && !goes_straight_on(leg) && !comes_out(*work, leg))
                deepest = std::min(deepest.value_or(leg.to.z_mm), leg.to.z_mm);
    }
    return deepest;
}

/// The last tool of all goes in behind everything that is turned, and deeper than grooves go.
bool is_last_and_behind_all(const Workpiece& part, const PartOff& off) {
    constexpr double deeper_than_grooves = 1.0 / 3;
    const auto deepest = deepest_before(part, *off.work);
    // Turning goes on as far as the blade is wide, and a little more.
    constexpr double beyond_mm = 8;
    const double behind = deepest ? *deepest + beyond_mm / off.work->unit_mm : 0;
    if (off.work != part.works.back() || !deepest || off.leg->to.z_mm > behind) return false;
    // A face to the centre shows that the bar is no tube.
    const bool is_solid = std::any_of(part.works.begin(), part.works.end(), [](const Work* work) {
        return std::any_of(work->legs.begin(), work->legs.end(), [](const Leg& leg) {
            return is_plunge(leg) && leg.dx() < 0 && leg.to.x_radius_mm <= 0;
        });
    });
    if (!is_solid) return false;
    double outermost = 0;
    for (const Leg& leg : off.work->legs)
        if (is_plunge(leg) && leg.dx() < 0) outermost = std::max(outermost, leg.from.x_radius_mm);
    return off.leg->to.x_radius_mm < deeper_than_grooves * outermost;
}

/// The last tool of all breaks the edge and goes on in there, to a thin ring round the bore.
bool leaves_thin_ring(const Workpiece& part, const PartOff& off, const Hole& hole) {
    constexpr double thin_mm = 1, same_place_mm = 0.1;
    const Work& work = *off.work;
    if (&work != part.works.back() || hole.x_radius <= 0) return false;
    if ((off.leg->to.x_radius_mm - hole.x_radius) * work.unit_mm > thin_mm) return false;
    return std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
        return leg.kind == Leg::Kind::feed && leg.known && leg.dx() < 0 && leg.dz() < 0 &&
               std::abs(leg.to.z_mm - off.leg->to.z_mm) * work.unit_mm < same_place_mm;
    });
}

/// Other tools thread through this Z.
bool is_in_thread(const Workpiece& part, const Work& blade, double z) {
    return std::any_of(part.works.begin(), part.works.end(), [&](const Work* work) {
        return work != &blade && std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                   return leg.kind == Leg::Kind::thread && leg.known && !leg.spindle_stands &&
                          leg.from.x_radius_mm > 0 && leg.to.z_mm < z && z < leg.from.z_mm;
               });
    });
}

/// It stops where it would be through a bore that ends in front of it.
std::optional<Point> bore_missed(const Workpiece& part, const PartOff& off) {
    constexpr double most_beyond_mm = 2, least_behind_mm = 0.5, most_behind_mm = 8;
    const double mm = off.work->unit_mm, x = off.leg->to.x_radius_mm, z = off.leg->to.z_mm;
    if (part.bore.empty() || part.bore.at(z)) return std::nullopt;
    for (std::size_t i = 0;; ++i) {
        const double at = z + static_cast<double>(i) * part.bore.step();
        if (at >= part.z_max) return std::nullopt;
        const auto bore = part.bore.at(at);
        if (!bore) continue;
        const bool would_be_through = x <= *bore && (*bore - x) * mm < most_beyond_mm;
        const double behind = (at - z) * mm; // Farther off the hole may be what a drill has left
        return would_be_through && behind > least_behind_mm && behind < most_behind_mm
                   ? std::optional(Point{*bore, at})
                   : std::nullopt;
    }
}

/// What a head's list says of a tool: "UT.8 TRONCATORE 4 MM".
std::string listed_note_of(const WorksContext& context, const Work& blade) {
    constexpr std::size_t longest_name = 12;
    for (const Span& span : context.spans) {
        if (span.sequence || span.program != context.spans[blade.span].program) continue;
        for (std::optional<BlockPlace> at = span.first; at && *at <= span.last;
             at = context.reader.neighbour(*at, true))
            for (const syntax::Item& item : context.reader.items(*at)) {
                if (item.kind != syntax::ItemKind::note) continue;
                const std::string note(syntax::note_text(context.reader.line(*at).text_of(item)));
                const std::size_t number = note.find_first_of("0123456789");
                if (number == 0 || number > longest_name) continue;
                const std::size_t end = note.find_first_not_of("0123456789", number);
                if (end == std::string::npos || end > number + 2) continue;
                if (std::stoi(note.substr(number, end - number)) == blade.tool) return note.substr(end);
            }
    }
    return {};
}

/// The blade reaches into a bore that ends less than its width in front of its Z: as its width is noted, or
/// of one that is not.
bool comes_through_beside(const WorksContext& context, const Work& blade, double behind) {
    constexpr double blade_mm = 3; // 2 to 4: common practice, no source
    if (behind * blade.unit_mm < blade_mm) return true;
    const auto reaches = [&](const std::string& note) {
        const NotedTool noted = tool_by_note(note, blade.unit_mm, blade.tool);
        return noted.corner != BladeCorner::right && noted.tool.width_mm &&
               behind * blade.unit_mm < *noted.tool.width_mm;
    };
    return reaches(notes_of(context, blade.span)) || reaches(listed_note_of(context, blade));
}

/// The blade opens a groove, breaks the edge down into it and goes through there: the groove stands beside.
const Leg* groove_beside_edge(const PartOff& off) {
    constexpr double same_place_mm = 0.5, most_beside_mm = 15;
    const Work& work = *off.work;
    const double mm = work.unit_mm, z = off.leg->to.z_mm;
    const Leg* edge = nullptr;
    std::vector<const Leg*> grooves;
    for (const Leg& leg : work.legs) {
        if (&leg == off.leg) break;
        const bool slants = leg.kind == Leg::Kind::feed && leg.known && leg.dx() < 0 && leg.dz() != 0 &&
                            std::abs(leg.dx()) < 4 * std::abs(leg.dz());
        if (slants && std::abs(leg.to.z_mm - z) * mm < same_place_mm) edge = &leg;
        if (edge || !is_plunge(leg) || leg.dx() >= 0) continue;
        if (std::abs(leg.to.z_mm - z) * mm < same_place_mm) return nullptr;
        grooves.push_back(&leg);
    }
    if (!edge) return nullptr;
    // The way to the edge is a shallow one; a groove in more steps than one is a groove of the part.
    std::erase_if(grooves, [&](const Leg* leg) { return leg->to.x_radius_mm >= edge->to.x_radius_mm; });
    if (grooves.size() != 1 || (std::abs(grooves[0]->to.z_mm - z) * mm > most_beside_mm &&
                                slip_between(grooves[0]->to.z_mm, z) != Slip::digits_swapped))
        return nullptr;
    return grooves[0];
}

/// A groove of another blade that lies wholly behind the part-off, in the bar.
void look_behind(const WorksContext& context, const Workpiece& part, const PartOff& off, Report& report) {
    constexpr double behind_mm = 5, least_depth_mm = 0.5;
    for (const Work* work : part.works) {
        if (work == off.work) return;
        if (work->driven_tool || work->where == Work::Where::inside || !is_blade(*work)) continue;
        std::size_t in_front = 0;
        const Leg* behind = nullptr;
        for (const Leg& leg : work->legs) {
            if (!is_plunge(leg) || leg.dx() >= 0 || -leg.dx() * work->unit_mm < least_depth_mm) continue;
            if (leg.to.x_radius_mm <= off.leg->to.x_radius_mm) return; // It parts, too
            if ((off.leg->to.z_mm - leg.to.z_mm) * work->unit_mm > behind_mm)
                behind = behind ? behind : &leg;
            else if (leg.to.z_mm > off.leg->to.z_mm)
                ++in_front;
        }
        if (!behind || in_front == 0) continue;
        report.at(context.spans[work->span].place(behind->block))
            .message(said(
                "This cuts a groove at {}, to {}, and the part is cut off at {}: it lies behind that, in "
                "the bar. Is Z wrong, or the number of repeats?",
                context.z(behind->to.z_mm), context.x(behind->to.x_radius_mm), context.z(off.leg->to.z_mm)))
            .related(context.place(*off.work, *off.leg), said("the part-off"));
        return;
    }
}

/// Its Z stands there with two digits swapped, and the other way round it ends as usual behind what is
/// turned.
bool is_swapped(const WorksContext& context, const PartOff& off, double deepest) {
    const Leg* placed = off.leg;
    while (placed != off.work->legs.data() && !placed->moves_z) --placed;
    const syntax::Item* item = find_letter(context.reader, context.place(*off.work, *placed), 'Z');
    if (!item || item->kind != syntax::ItemKind::word) return false;
    const std::string text = written(std::abs(off.leg->to.z_mm));
    for (std::size_t i = 0; i + 1 < text.size(); ++i) {
        std::string swapped = text;
        std::swap(swapped[i], swapped[i + 1]);
        if (swapped[i] == '.' || swapped[i + 1] == '.' || swapped == text) continue;
        const double meant = -std::stod(swapped);
        if (meant < off.leg->to.z_mm && meant > deepest &&
            (meant - deepest) * off.work->unit_mm < turned_behind_mm)
            return true;
    }
    return false;
}

/// Behind it the datum is shifted and the same blade goes on: a row of parts from one bar.
bool goes_on_in_next_part(const WorksContext& context, const Workpiece& part, const Work& blade) {
    const Workpiece* next = &part + 1 < context.parts.data() + context.parts.size() ? &part + 1 : nullptr;
    return next && !next->works.empty() && !next->works.front()->same_datum &&
           next->works.front()->tool == blade.tool;
}

/// The blade breaks an edge lower than the bar that the head's note gives, where no tool has turned so far
/// back: the turning has ended too early.
void look_at_edge_in_bar(const WorksContext& context, const Workpiece& part, const PartOff& off,
                         Report& report) {
    constexpr double least_in_mm = 0.3, steepest = 3, least_short_mm = 1;
    const Work& work = *off.work;
    const double mm = work.unit_mm;
    const machine::ProgramPart& program = *context.spans[work.span].program;
    const HeadStock head = head_stock(context.reader, program.first, program, mm);
    if (&part != &context.parts.front() || !head.stock.diameter_mm || !head.is_plain_bar) return;
    const double bar = *head.stock.diameter_mm / 2 / mm;
    const Leg* edge = nullptr;
    for (const Leg& leg : work.legs)
        if (leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && leg.dx() < 0 && leg.dz() < 0 &&
            leg.from.z_mm < 0 && -leg.dx() < steepest * -leg.dz() && -leg.dz() < steepest * -leg.dx() &&
            (bar - leg.from.x_radius_mm) * mm > least_in_mm)
            edge = &leg;
    if (!edge) return;
    const Work* last_work = nullptr;
    const Leg* last = nullptr; ///< That turns farthest back
    for (const Work* before : part.works) {
        if (before == &work) break;
        if (before->driven_tool || before->where == Work::Where::inside ||
            before->where == Work::Where::on_centre)
            continue;
        for (const Leg& leg : before->legs) {
            if (leg.cuts() && !leg.known) return;
            if (!leg.cuts() || leg.to.x_radius_mm >= bar || (is_blade(*before) && leg.dz() == 0)) continue;
            if (!last || leg.to.z_mm < last->to.z_mm) last = &leg, last_work = before;
        }
    }
    if (!last || (last->to.z_mm - edge->from.z_mm) * mm < least_short_mm) return;
    while (last != last_work->legs.data() && !last->moves_z) --last;
    context.at(report, *last_work, *last, "ZW")
        .message(said(
            "The part is turned to {} only, and the blade breaks its edge from {} {} on: there the bar of {} "
            "stands yet, the edge is cut in the full, and the end of the part stays raw. Is that length "
            "wrong?",
            context.z(last->to.z_mm), context.x(edge->from.x_radius_mm), context.z(edge->from.z_mm),
            spoken(2 * bar)))
        .related(context.place(work, *edge), said("the edge"));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        const PartOff off = part_off_of(context, part);
        if (!off.leg) continue;
        look_at_edge_in_bar(context, part, off, report);
        if (off.work == part.works.back() && off.leg->to.x_radius_mm < off.leg->from.x_radius_mm / 2)
            look_behind(context, part, off, report);
        if (const Leg* opened = groove_beside_edge(off)) {
            const Leg* placed = opened;
            while (placed != off.work->legs.data() && !placed->moves_z) --placed;
            context.at(report, *off.work, *placed, "ZW")
                .message(said(
                    "The blade opens a groove at {} and then breaks the edge and goes through at {}: the "
                    "edge "
                    "is broken in full metal, and the groove lies in the part or in the bar beside it. Is {} "
                    "meant here?",
                    context.z(opened->to.z_mm), context.z(off.leg->to.z_mm), context.z(off.leg->to.z_mm)));
            continue;
        }
        const Work& work = *off.work;
        const double z = off.leg->to.z_mm, x = off.leg->to.x_radius_mm;
        const Hole hole = hole_at(context, part, work, z);
        const std::string notes = notes_of(context, work.span);
        const bool through = x * work.unit_mm < 0.1 || (hole.x_radius > 0 && x <= hole.x_radius);
        if (!through) {
            const bool shown =
                0 < x && x * work.unit_mm < pip_at_most_mm && x < 0.1 * off.leg->from.x_radius_mm;
            const bool named = shown || is_last_and_behind_all(part, off) ||
                               leaves_thin_ring(part, off, hole) || names(notes, part_off_words) ||
                               (is_part_off(context, work) && !names(notes, groove_words));
            const auto bore =
                named || work.tool == part.works.back()->tool ? bore_missed(part, off) : std::nullopt;
            if (bore && comes_through_beside(context, work, bore->z_mm - z)) continue;
            if (bore && off.work == part.works.back()) {
                const Leg* placed = off.leg;
                while (placed != work.legs.data() && !placed->moves_z) --placed;
                context.at(report, work, *placed, "ZW")
                    .message(
                        said("The blade goes to {} at {}, where the bore of {} ends at {}: it does not come "
                             "through, and the part hangs on what is left. Is Z right?",
                             context.x(x), context.z(z), context.x(bore->x_radius_mm),
                             context.z(std::round(bore->z_mm * 100) / 100)));
                continue;
            }
            if (!named || hole.drilled_unknown || drilled_in_other_datum(context, part)) continue;
            if (2 * (x - hole.x_radius) * work.unit_mm < (hole.x_radius > 0 ? 0.1 : pip_mm)) continue;
            // The other turret may have drilled.
            if (hole.x_radius == 0 && waits_above(context.reader, context.place(work, *off.leg))) continue;
            // A blind hole, far inside of which it stops, is none that the blade was to come into.
            constexpr double blind = 0.7, far_inside = 0.75;
            const auto drill = drill_too_short(context, part, work, *off.leg);
            if (drill && (drill->leg->to.z_mm < blind * z || x > far_inside * drill->diameter / 2)) {
                context.at(report, *drill->work, *drill->leg, "ZW")
                    .message(said("The hole of {} ends at {}, and the part is cut off at {}, where the blade "
                                  "goes to {} and no farther: the hole does not come through there, and the "
                                  "part hangs on what is left. Is Z of the drill right?",
                                  spoken(drill->diameter), context.z(drill->leg->to.z_mm), context.z(z),
                                  context.x(x)))
                    .related(context.place(work, *off.leg), said("the part-off"));
                continue;
            }
            // What a bar has bored there is known, whatever hole the bar came with.
            bool bored = false;
            for (const Work* before : part.works) {
                if (before == off.work) break;
                bored = bored || bores_past(*before, z);
            }
            if (!bored && comes_hollow(context, work)) continue;
            context.at(report, work, *off.leg, "XU")
                .message(
                    hole.x_radius > 0
                        ? said("The part-off ends at {}, the hole is {}: a ring is left and the part hangs "
                               "on it. Go to {} or below.",
                               context.x(x), context.x(hole.x_radius), context.x(hole.x_radius))
                        : said("The part-off ends at {} and nothing is drilled there: the part hangs on "
                               "what is left. Go to X0 or a little below.",
                               context.x(x)));
            continue;
        }
        if (names(notes, groove_words) && !names(notes, part_off_words)) continue;
        const bool in_thread = is_in_thread(part, work, z);
        auto deepest = deepest_before(part, work);
        if (deepest && !in_thread && !is_swapped(context, off, *deepest))
            deepest = deepest_before(part, work, z);
        if (!deepest) continue;
        const double behind = z - *deepest;
        const bool ends_thread = in_thread && behind > -0.35 * *deepest;
        if (behind * work.unit_mm < (ends_thread ? turned_behind_thread_mm : turned_behind_mm)) continue;
        if (behind < -0.2 * *deepest || goes_on_in_next_part(context, part, work)) continue;
        context.at(report, work, *off.leg, "XU")
            .message(said("The part is cut off at {}, but the tools before have worked down to {}: it goes "
                          "through what they have made. Is Z of the part-off right?",
                          context.z(z), context.z(*deepest)));
    }
}

} // namespace

extern const Check check{
    .id = "part_off_misplaced",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Part-off too short or in the wrong place",
    .documentation =
        "The part-off stops before the centre, or before the hole that is bored or drilled there (where the "
        "note of the "
        "drill tells its diameter): the part hangs on a pip or a ring, is bent off or thrown. Or it cuts "
        "through at a "
        "Z far in front of where the other tools have worked: a digit or the point of Z is wrong, and the "
        "finished "
        "part is cut in two. Parts of which several are cut off one after the other are judged by the last.",
    .works = works,
    .examples =
        {
            // Two digits swapped, and the bar is turned on to behind the right place.
            {System::A, R"(
G20 G99
T0101
G96 S500 M03
G00 X1.4 Z.1
G01 X-.03 F.006
G00 X1.25 Z.1
G01 Z-1.65 F.01
X1.4
G00 X4. Z4.
T0505
G97 S900 M03
G00 X1.45 Z-1.265
G01 X-.02 F.003
;   ^^^^ warning: part_off_misplaced
G00 X1.45
X4. Z4.
M30
)"},
            // Bar and bore go straight on behind it.
            {System::B, R"(
G21 G90 G95
T0101
G96 S250 M03
G00 X86. Z2.
G01 X-1. F.2
G00 X80.4 Z2.
G01 Z-50. F0.3
X86.
G00 X250. Z150.
T0404
G97 S380 M03
G00 X86. Z-39.
G01 X-.4 F0.08
G00 X86.
X250. Z150.
M30
)"},
            // A groove too many.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X58. Z2.
G01 Z-52. F0.2
X62.
G28 U0 W0
T0505
G00 X60. Z-20.
G01 X48. F0.06
G00 X60.
Z-30.
G01 X48.
G00 X60.
Z-50.
G01 X48.
;^^^^^^^ warning: part_off_misplaced
G00 X60.
G28 U0 W0
T0606
G00 X62. Z-44.
G01 X-0.8 F0.08
G00 X70.
M30
)"},
            // Drilled and bored, with no word of the drill's size: what is bored is known.
            {System::B, R"(
G20 G90 G95
T0101
G97 S2000 M3
G0 X.85 Z0
G1 X-.04 F.006
G0 X.71 Z.1
G1 Z-1.2 F.01
X.8
G0 X5. Z4.
T0303
G0 X0 Z.1
G1 Z-1.3 F.006
G0 Z.2
G0 X5. Z4.
T0505
G0 X.3755 Z.1
G1 Z-1.15 F.004
X.35
G0 Z.2
X5. Z4.
T0707
G0 X.85 Z-1.094
G1 X.58 F.004
G0 X.72
Z-1.064
G1 X.66 Z-1.094 F.003
X.43
;^^^ warning: part_off_misplaced
G0 X.85
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S2000 M3
G0 X.85 Z0
G1 X-.04 F.006
G0 X.71 Z.1
G1 Z-1.2 F.01
X.8
G0 X5. Z4.
T0303
G0 X0 Z.1
G1 Z-1.3 F.006
G0 Z.2
G0 X5. Z4.
T0505
G0 X.3755 Z.1
G1 Z-1.15 F.004
X.35
G0 Z.2
X5. Z4.
T0707
G0 X.85 Z-1.094
G1 X.58 F.004
G0 X.72
Z-1.064
G1 X.66 Z-1.094 F.003
X.34
G0 X.85
M30
)"},
            // The blade, 3 or 4 wide, reaches into the bore; the drill is one of the tool list.
            {System::A, R"(
(T1 TURN - T3 DRILL D22 - T4 BORING BAR - T6 PART OFF 4 WIDE)
G21 G99
T0101
G97 S800 M03
G00 X58. Z2.
G01 Z-45. F0.2
X62.
G28 U0 W0
T0303
G00 X0 Z5.
G01 Z-52. F0.15
G00 Z5.
G28 U0 W0
T0404
G00 X25. Z2.
G01 Z-42. F0.1
X23.
G00 Z5.
G28 U0 W0
T0606
G00 X62. Z-44.
G01 X22. F0.08
G00 X70.
M30
)"},
            // A way to the edge at feed, and a groove that stands in the part.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X30. Z1.
X28.
G01 Z-52. F0.2
X33.
G00 X60. Z20.
T0909
G97 S700 M03
G00 X36. Z2.
Z-45.
;^^^^ warning: part_off_misplaced
G01 X26. F0.08
G00 X30.
Z-47.4
G01 X28.2 F0.1
X27. Z-48.
X8. F0.06
X-0.8 F0.03
G00 X36.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X30. Z1.
X28.
G01 Z-52. F0.2
X33.
G00 X60. Z20.
T0909
G97 S700 M03
G00 X36. Z2.
Z-48.
G01 X26. F0.08
G00 X30.
Z-47.4
G01 X28.2 F0.1
X27. Z-48.
X8. F0.06
X-0.8 F0.03
G00 X36.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X.7 Z.1
X.5
G01 Z-.86 F.006
X.68
G28 U0 W0
(DRILL .250)
T0303
G00 X0 Z.1
G01 Z-.86 F.005
G00 Z1.
G28 U0 W0
(CUT OFF, 3/4 LONG)
T0505
G00 X.7 Z-.75
G01 X.3 F.002
;   ^^^ warning: part_off_misplaced
G00 X.7
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-66. F0.2
X52.
G00 X60. Z20.
M01
(PART OFF)
T0505
G00 X52. Z-6.3
G01 X-.5 F0.08
;   ^^^^ warning: part_off_misplaced
G00 X52.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-66. F0.2
X52.
G00 X60. Z20.
M01
(PART OFF)
T0505
G00 X52. Z-63.
G01 X20. F0.08
X-.5 F.04
G00 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-66. F0.2
X52.
G00 X60. Z20.
M01
(DRILL 3/8)
T0303
G00 X0 Z5.
G01 Z-70. F.1
G00 Z5.
M01
(PART OFF)
T0505
G00 X52. Z-63.
G01 X9. F0.08
G00 X52.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-66. F0.2
X52.
G00 X60. Z20.
M01
(THREE RINGS, PART OFF)
T0505
G00 X52. Z-21.
G01 X-.5 F0.08
G00 X52.
Z-42.
G01 X-.5 F0.08
G00 X52.
Z-63.
G01 X-.5 F0.08
G00 X52.
M30
)"},
            {System::A, R"(
G21 G99
N4 T0404 (ABSTECHEN)
G96 S110 M03
G00 X48. Z-54. M08
G01 X12. F0.1
X0.8 F0.05
;^^^ warning: part_off_misplaced
G00 X50.
M30
)"},
            {System::B, R"(
G21 G90 G95
N4 T0404 (UNDERCUT)
G96 S110 M03
G00 X8. Z-14. M08
G01 X1.6 F0.02
G00 X10.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S2000 M03
G00 X22. Z0
G01 X-.8 F.05
G00 Z1.
X14.
G01 Z-20. F.1
X22.
G28 U0 W0
M01
T0707
G97 S1500 M03
G00 X22. Z-22.
G01 X12. F.04
G00 X16.
Z-21.
G01 X14. Z-22.
X4. F.03
;^^ warning: part_off_misplaced
G00 X22.
M30
)"},
            {System::A, R"(
G21 G99
T0202 (DRILL 20)
G97 S1100 M03
G00 X0 Z5.
G01 Z-31. F.2
G00 Z50.
T0606 (INSIDE GROOVE 3 WIDE)
G97 S1000 M03
G00 X19.5 Z5.
Z-22.
G01 X24.6 F.05
X19.5 F.3
G00 Z50.
T1010 (PART-OFF)
G97 S700 M03
G00 X46. Z5.
Z-22.
G01 X26. F.06
;   ^^^ warning: part_off_misplaced
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0202 (DRILL 20)
G97 S1100 M03
G00 X0 Z5.
G01 Z-31. F.2
G00 Z50.
T0606 (INSIDE GROOVE 3 WIDE)
G97 S1000 M03
G00 X19.5 Z5.
Z-22.
G01 X24.6 F.05
X19.5 F.3
G00 Z50.
T1010 (PART-OFF)
G97 S700 M03
G00 X46. Z5.
Z-22.
G01 X22. F.06
G00 X60.
M30
)"},
            {System::C, R"(
O12 (NIPPLE, BAR 1.375, BORE ALREADY DRILLED .95 THRU)
G70 G90 G95
N2 T0202 (ROUGH)
G97 S900 M03
G00 X1.5 Z.005
G01 X.88 F.006
G00 Z.1
X1.2
G01 Z-1.65 F.01
G00 X1.5
Z1.
N5 T0505 (CUT OFF .125)
G97 S900 M03
G00 X1.5 Z-1.75
G01 X.9 F.003
G00 X1.6 M09
M30
)"},
            {System::C, R"(
G70 G90 G95
N2 T0202 (DRILL .500)
G97 S1500 M03
G00 X0 Z.15 M08
G01 Z-1.2 F.006
G00 Z1. M09
N5 T0505 (PART OFF .118, LEFT CORNER, LENGTH .900)
G92 S2500
G96 S350 M03
G00 X1.35 Z-1.018 M08
G01 X1. F.004
G00 X1.14
Z-.978
G01 X1.06 Z-1.018 F.003
X.64
;^^^ warning: part_off_misplaced
G00 X2. M09
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S2000 M03
G00 X22. Z0
G01 X8. F.05
G00 Z1.
X14.
G01 Z-20. F.1
X22.
G28 U0 W0
M01
T0707
G97 S1500 M03
G00 X22. Z-22.
G01 X4. F.03
G00 X22.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S2000 M03
G00 X22. Z0
G01 X-.8 F.05
G00 Z1.
X14.
G01 Z-20. F.1
X22.
G00 X60. Z50.
M01
T0303
G97 S1500 M03
G00 X22. Z-20.
G01 X9. F.03
G00 X22.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X58. Z1.
G01 Z-44. F.1
X66.
G00 Z5.
T0505
G00 X64. Z-40.
;        ^^^^^ warning: part_off_misplaced
G01 X52. F.1
G00 X60.
Z-41.
G01 X54. Z-43. F.06
X-.6 F.08
G00 X64.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X58. Z1.
G01 Z-44. F.1
X66.
G00 Z5.
T0505
G00 X64. Z-43.
G01 X52. F.1
G00 X60.
Z-41.
G01 X54. Z-43. F.06
X-.6 F.08
G00 X64.
M30
)"},
            // Turned a little beyond, as usual.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X49. Z0
G01 X-1.6 F.2
G00 X42. Z2.
G01 Z-56.
X49.
G00 Z50.
T0404
G00 X48. Z-54.
G01 X12. F.1
;   ^^^^ warning: part_off_misplaced
G00 X50.
Z50.
M30
)"},
            // A nut from drilled stock: the bore ends in front of the blade.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X0 Z5.
G01 Z-34. F.1
G00 Z50.
X150.
T0505
G97 S1500
G00 X25. Z2.
G90 X27.4 Z-27.5 F.15
X28.4
G00 Z50.
X150.
T0909
G97 S600
G00 X50. Z-32.
;        ^^^^ warning: part_off_misplaced
G01 X36. F.06
X27.5 F.05
G00 X52.
Z50.
M30
)"},
            // Let in at feed to where the edge begins, behind a groove of another place; and swapped digits.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X44. Z2.
G01 X-1. F.1
G00 X40. Z2.
G01 Z-36. F.1
X44.
G00 X100. Z80.
T0909
G00 X44. Z-30.
;        ^^^^^ warning: part_off_misplaced
G01 X34. F.08
G00 X41.
Z-31.5
G01 X40.2
X37. Z-33. F.05
X-1. F.08
G00 X100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X24. Z2.
G01 X-1. F.1
G00 X20. Z2.
G01 Z-34. F.1
X24.
G00 X100. Z80.
T0909
G00 X24. Z-13.
;        ^^^^^ warning: part_off_misplaced
G01 X14. F.08
G00 X21.
Z-30.
G01 X18. Z-31. F.05
X-1. F.08
G00 X100.
M30
)"},
            // In the thread, a digit of Z lost.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X1.1 Z.1
X.746
G01 Z-.8 F.01
X.94
X1.02 Z-.84
G00 X2. Z1.
T0606
G97 S900 M03
G00 X.85 Z.25
G78 X.73 Z-.68 F.0625
X.702
X.6735
G00 X2. Z1.
T0808 (CUTOFF)
G97 S900 M03
G00 X1.1 Z-.5
G01 X.4 F.003
X-.02 F.0015
;^^^^ warning: part_off_misplaced
G00 X1.2
M30
)"},
            // A ring, threaded past its end.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X31. Z1.
X29.8
G01 Z-12. F0.2
X31.
G00 X60. Z60.
T0707
G97 S600 M03
G00 X32. Z5.
G92 X29. Z-11. F1.5
X28.5
X27.96
G00 X60. Z60.
T0505 (PART OFF)
G97 S600 M03
G00 X32. Z-8.
G01 X-0.4 F0.06
G00 X60. Z60.
M30
)"},
            // The hole is to come through: the point of its depth is a place off.
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.35 Z0
G01 X-.06 F.006
G00 X1.3 Z.1
G01 Z-2.3 F.01
X1.35
G28 U0 W0
T0404 (7/16 DRILL)
G97 S900 M03
G00 X0 Z.2
G01 Z-.25 F.007
;   ^^^^^ warning: part_off_misplaced
G00 Z1.
G28 U0 W0
T0606 (PART OFF)
G97 S900 M03
G00 X1.35 Z-2.22
G01 X.39 F.003
G00 X1.4
G28 U0 W0
M30
)"},
            // The bore ends beside the blade, which the head's list has 4 mm wide.
            {System::A, R"(
(UT.3 PUNTA D20)
(UT.4 BARENO D16)
(UT.8 TRONCATORE 4 MM)
G21 G99
T0303
G97 S400 M03
G00 X0 Z5.
G01 Z-42. F0.18
G00 Z200.
T0404
G97 S900 M03
G00 X22.01 Z2.
G01 Z-31. F0.15
X20.
G00 Z200.
T0808
G97 S500 M03
G00 X104. Z-34.
G01 X20. F0.09
G00 X106.
Z200.
M30
)"},
            // The blade is named in a list alone, and the drill ends in front of it, as far as it is bored
            // out.
            {System::A, R"(
(T3 PUNTA 20, T4 BARENO R0.4, T8 TRONCATORE 3 MM SPIGOLO SINISTRO)
G21 G99
T0101
G97 S900 M03
G00 X42. Z0.
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-36. F0.2
G00 X100. Z100.
T0303
G97 S700 M03
G00 X0 Z3.
G01 Z-28. F0.1
;   ^^^^^ warning: part_off_misplaced
G00 Z3.
X100. Z100.
T0404
S800 M03
G00 X24. Z2.
G01 Z-12. F0.1
X19.
G00 Z2.
X100. Z100.
T0808
S600 M03
G00 X44. Z-33.
G01 X19. F0.06
G00 X44.
X100. Z100.
M30
)"},
            {System::A, R"(
(T3 PUNTA 20, T4 BARENO R0.4, T8 TRONCATORE 3 MM SPIGOLO SINISTRO)
G21 G99
T0101
G97 S900 M03
G00 X42. Z0.
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-36. F0.2
G00 X100. Z100.
T0303
G97 S700 M03
G00 X0 Z3.
G01 Z-38. F0.1
G00 Z3.
X100. Z100.
T0404
S800 M03
G00 X24. Z2.
G01 Z-12. F0.1
X19.
G00 Z2.
X100. Z100.
T0808
S600 M03
G00 X44. Z-33.
G01 X19. F0.06
G00 X44.
X100. Z100.
M30
)"},
            // A drill with inserts leaves no point: it need go no farther.
            {System::B, R"(
(T2 INSERT DRILL 1.375  T6 CUT-OFF .125 LEFT CORNER)
G20 G90 G95
T0101
G97 S900 M03
G00 X2.4 Z0.
G01 X-.06 F.008
G00 X2.25 Z.1
G01 Z-2.2 F.008
G00 X6. Z5.
T0202
S1100 M03
G00 X0. Z.2
G01 Z-2.05 F.004
G00 Z.2
X6. Z5.
T0606
S600 M03
G00 X2.4 Z-2.125
G01 X1.33 F.003
G00 X2.4
X6. Z5.
M30
)"},
            // Called, with the list of its caller; and through to the hole.
            {System::A, R"(
O1701 (BAR .750 BRASS)
(T2 TURN, T4 DRILL 25/64, T6 CUTOFF .094 LEFT CORNER)
G20 G99
M98 P1702 L25
M30
O1702
T0202
G97 S900 M03
G00 X.8 Z0.
G01 X-.03 F.005
G00 X.687 Z.05
G01 Z-.48
X.78
G28 U0 W0
T0404
S2500 M03
G00 X0. Z.1
G01 Z-.62 F.006
G00 Z.5
G28 U0 W0
T0606
S1500 M03
G00 X.8 Z-.469
G01 X.63 F.003
;   ^^^^ warning: part_off_misplaced
G00 X.9
G28 U0 W0
M99
)"},
            {System::A, R"(
O1701 (BAR .750 BRASS)
(T2 TURN, T4 DRILL 25/64, T6 CUTOFF .094 LEFT CORNER)
G20 G99
M98 P1702 L25
M30
O1702
T0202
G97 S900 M03
G00 X.8 Z0.
G01 X-.03 F.005
G00 X.687 Z.05
G01 Z-.48
X.78
G28 U0 W0
T0404
S2500 M03
G00 X0. Z.1
G01 Z-.62 F.006
G00 Z.5
G28 U0 W0
T0606
S1500 M03
G00 X.8 Z-.469
G01 X.36 F.003
G00 X.9
G28 U0 W0
M99
)"},
            // Stopped short beside a deeper groove, and over a blind hole; and gone on to the centre.
            {System::B, R"(
(T3 GROOVE .125 LEFT CORNER, T5 DRILL .3125, T6 PART-OFF .125 LEFT CORNER)
G20 G90 G95
T0101
G97 S900 M03
G00 X1.35 Z0.
G01 X-.06 F.006
G00 X1.25 Z.1
G01 Z-2.8 F.008
G00 X6. Z5.
T0505
S900 M03
G00 X0. Z.1
G01 Z-.8 F.006
G00 Z.1
X6. Z5.
T0303
S700 M03
G00 X1.35 Z-1.
G01 X.66 F.003
G00 X6.
Z5.
T0606
S650 M03
G00 X1.35 Z-2.725
G01 X1. F.003
;   ^^ warning: part_off_misplaced
G00 X6.
Z5.
M30
)"},
            {System::B, R"(
(T3 GROOVE .125 LEFT CORNER, T5 DRILL .3125, T6 PART-OFF .125 LEFT CORNER)
G20 G90 G95
T0101
G97 S900 M03
G00 X1.35 Z0.
G01 X-.06 F.006
G00 X1.25 Z.1
G01 Z-2.8 F.008
G00 X6. Z5.
T0505
S900 M03
G00 X0. Z.1
G01 Z-.8 F.006
G00 Z.1
X6. Z5.
T0303
S700 M03
G00 X1.35 Z-1.
G01 X.66 F.003
G00 X6.
Z5.
T0606
S650 M03
G00 X1.35 Z-2.725
G01 X1. F.003
X-.02
G00 X6.
Z5.
M30
)"},
            // The bar comes with a hole, which is bored where the blade comes in.
            {System::C, R"(
(RING, STANGE RD 55 VORGEBOHRT 20)
(T05 BOHRSTANGE R0.4, T07 ABSTECHEN 3, LINKE ECKE)
G71 G90 G95
T0101
G97 S800 M03
G00 X58. Z2.
X48.
G01 Z-20. F0.2
X58.
G00 Z50.
T0505
G97 S1000 M03
G00 X24. Z2.
G01 Z-20. F0.15
G00 X22.
Z2.
X26.
G01 Z-20. F0.15
G00 X22.
Z5.
T0707 (ABSTECHEN)
G97 S600 M03
G00 X52. Z-18.
G01 X28. F0.06
;   ^^^^ warning: part_off_misplaced
G00 X58.
M30
)"},
            {System::C, R"(
(RING, STANGE RD 55 VORGEBOHRT 20)
(T05 BOHRSTANGE R0.4, T07 ABSTECHEN 3, LINKE ECKE)
G71 G90 G95
T0101
G97 S800 M03
G00 X58. Z2.
X48.
G01 Z-20. F0.2
X58.
G00 Z50.
T0505
G97 S1000 M03
G00 X24. Z2.
G01 Z-20. F0.15
G00 X22.
Z2.
X26.
G01 Z-20. F0.15
G00 X22.
Z5.
T0707 (ABSTECHEN)
G97 S600 M03
G00 X52. Z-18.
G01 X25. F0.06
G00 X58.
M30
)"},
            // Turned not so far back as its edge is broken.
            {System::C, R"(
(PLUG, BAR 60 C45)
G71 G90 G95
T0101
G97 S600 M03
G00 X64. Z2.
X56.
G01 Z-75.5 F0.3
;   ^^^^^^ warning: part_off_misplaced
X62.
G00 X130. Z120.
T0808 (CUT OFF, 4 WIDE, LEFT EDGE)
G97 S500 M03
G00 X64. Z-84.
G01 X50. F0.1
G00 X58.
Z-82.
G01 X54. Z-84. F0.06
X-0.4 F0.08
G00 X64.
X130. Z120.
M30
)"},
            {System::C, R"(
(PLUG, BAR 60 C45)
G71 G90 G95
T0101
G97 S600 M03
G00 X64. Z2.
X56.
G01 Z-85.5 F0.3
X62.
G00 X130. Z120.
T0808 (CUT OFF, 4 WIDE, LEFT EDGE)
G97 S500 M03
G00 X64. Z-84.
G01 X50. F0.1
G00 X58.
Z-82.
G01 X54. Z-84. F0.06
X-0.4 F0.08
G00 X64.
X130. Z120.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // The unit of what is turned in a loop is assumed as that of the rest.
            {System::A, R"(
O1 (BAR LOOP)
#100=0
WHILE[#100LT30]DO1
T0404 (3/8 DRILL)
G97 S1600 M03
G00 X0. Z.2
G74 R.05
G74 Z-1.54 Q2500 F.006
G00 Z1.
G28 U0.
G28 W0.
T0808 (.125 PART-OFF)
G50 S2500
G96 S350 M03
G00 X1.1 Z-1.375
G01 X.36 F.003
G00 X1.1
G28 U0.
G28 W0.
#100=#100+1
END1
M30
)"},
        },
};

} // namespace turnwright::checks::rules::part_off_misplaced
