// A cut that goes out in front of the part: a minus of Z that is lost.
#include "checks/acts.h"
#include "checks/tool_of_work.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::cut_in_front_of_part {

namespace {

/// A tool feeds out of a cut, or takes a face that stands in front of Z0, as far as this.
constexpr double clear_mm = 3;

/// The lowest Z that the other works cut at, and the highest.
struct Reach {
    double low = 0, high = 0;
    bool any = false;
    void take(double z) {
        low = any ? std::min(low, z) : z;
        high = any ? std::max(high, z) : z;
        any = true;
    }
    void take(const Leg& leg) {
        take(leg.from.z_mm);
        take(leg.to.z_mm);
    }
    void take(const Reach& other) {
        if (!other.any) return;
        take(other.low);
        take(other.high);
    }
};

/// Of each work of a part.
std::vector<Reach> reaches_of(const Workpiece& part) {
    std::vector<Reach> all;
    for (const Work* work : part.works) {
        Reach& reach = all.emplace_back();
        if (work->driven_tool) continue;
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known) reach.take(leg);
    }
    return all;
}
Reach of_others(const std::vector<Reach>& all, std::size_t but) {
    Reach others;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (i != but) others.take(all[i]);
    return others;
}

std::string mended(const WorksContext& context, double z) {
    return context.z(-z);
}

/// Toward the side that the tool leaves the part on.
bool goes_off(const Work& work, const Leg& leg) {
    return work.where == Work::Where::outside ? leg.dx() > 0
                                              : work.where == Work::Where::inside && leg.dx() < 0;
}

bool is_mended_to_45(const Leg& leg) {
    constexpr double same = 1e-3;
    return std::abs(leg.from.z_mm + leg.to.z_mm - std::abs(leg.dx())) < same;
}

/// Straight on from the cut before it, which came up to the face: the end of a contour that runs off the
/// part.
bool goes_on_from(const Work& work, const Leg& leg) {
    if (&leg == work.legs.data()) return false;
    const Leg& before = *(&leg - 1);
    constexpr double same = 1e-3;
    return before.known && before.cuts() && !before.is_arc && before.dz() > 0 && before.from.z_mm < 0 &&
           before.dx() != 0 && std::abs(before.dx() * leg.dz() - before.dz() * leg.dx()) < same &&
           before.dx() * leg.dx() > 0;
}

/// The way to a chamfer's end, in front of the face, and the next feed goes down into the part from there.
bool begins_chamfer(const Work& work, const Leg& leg) {
    const Leg* next = next_of(work, leg);
    if (!leg.known || leg.kind != Leg::Kind::feed || leg.of_cycle || !leg.moves_x || !leg.moves_z)
        return false;
    if (leg.from.z_mm < 0 || leg.to.z_mm <= 0) return false;
    if (goes_on_from(work, leg)) return false;
    // Of 45 degrees with the minus, and nowhere else would its Z be written so: whatever comes next.
    if (is_mended_to_45(leg) && leg.dx() != 0 && !leg.by_letters && work.where != Work::Where::on_centre)
        return true;
    if (!goes_off(work, leg)) return false;
    // Toward the part it is a chamfer of 45 degrees only with the minus.
    if (leg.dz() < 0 && (leg.by_letters || !is_mended_to_45(leg))) return false;
    const bool leads_in = &leg != work.legs.data() && (&leg - 1)->side != leg.side;
    return !leads_in && next && next->known && next->cuts() && next->to.z_mm < -leg.to.z_mm;
}

/// Out of the part along Z, and only there off its wall: the way off belongs to the end of the cut.
bool goes_off_there(const Work& work, const Leg& leg, double begin) {
    const Leg* next = next_of(work, leg);
    const bool along = std::abs(leg.dz()) > 5 * std::abs(leg.dx()) && leg.from.z_mm <= 0;
    return along && leg.to.z_mm > begin + clear_mm / work.unit_mm && -leg.to.z_mm <= leg.from.z_mm && next &&
           next->known && next->kind == Leg::Kind::feed && next->dz() == 0 && goes_off(work, *next);
}

void begins_in_air(const WorksContext& context, const Work& work, Report& report) {
    for (const Leg& leg : work.legs) {
        if (!begins_chamfer(work, leg)) continue;
        context.at(report, work, leg, "ZW")
            .message(said("This way to {} lies in front of the face, and the next cut goes into the part "
                          "from there: the edge is left sharp. Is the minus lost? {} would break it.",
                          context.z(leg.to.z_mm), mended(context, leg.to.z_mm)));
        return;
    }
}

/// Of a cycle that no code of this block calls: drill_cycle_without_way tells that it is still in force.
bool is_of_cycle_left_on(const WorksContext& context, const Work& work, const Leg& leg) {
    const BlockPlace place = context.place(work, leg);
    const syntax::Run& run = context.reader.line(place);
    const auto items = run.items_of(run.blocks[place.block]);
    return leg.of_cycle && std::none_of(items.begin(), items.end(), [](const syntax::Item& item) {
               return item.is_word() && item.letter == 'G';
           });
}

bool goes_in(const Work& work) {
    return std::any_of(work.legs.begin(), work.legs.end(),
                       [](const Leg& leg) { return leg.cuts() && (!leg.known || leg.dz() < 0); });
}

/// The first feed goes away from the part, through air.
void cuts_air(const WorksContext& context, const Reach& others, const Work& work, Report& report) {
    if (!others.any) return;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &before = work.legs[i - 1], &leg = work.legs[i];
        if (!leg.known || !leg.cuts() || before.kind != Leg::Kind::rapid) continue;
        if (leg.spindle_stands && !leg.of_cycle) continue; // A cycle for taps starts it
        const double z = leg.to.z_mm, clear = clear_mm / work.unit_mm;
        if (leg.from.z_mm <= 0 || leg.dz() <= 0 || leg.dx() != 0 || leg.in_contour || leg.by_letters)
            continue;
        // On the centre nothing but a hole is made, and in front of the face there is none.
        const bool on_centre = leg.from.x_radius_mm == 0 && !goes_in(work);
        if ((z < others.high + clear && !on_centre) || -z < others.low - 10 * clear) continue;
        if (is_of_cycle_left_on(context, work, leg)) return;
        context.at(report, work, leg, "ZR")
            .message(said("The tool feeds away from the part here, from {} to {}, and cuts air: is the "
                          "minus lost? Write {}.",
                          context.z(leg.from.z_mm), context.z(z), mended(context, z)));
        return;
    }
}

/// Behind a feed along Z alone the tool comes back along Z at rapid, but not into the part: the feed did
/// nothing.
bool comes_back(const Leg& out, const Leg& next) {
    return out.moves_z && !out.moves_x && !out.of_cycle && !out.in_contour && next.known &&
           next.kind == Leg::Kind::rapid && next.moves_z && !next.moves_x && next.dz() < 0 &&
           next.to.z_mm >= 0;
}

/// A thread of the other hand is cut out of its relief, to in front of the face: another tool has plunged
/// there.
bool begins_in_relief(const Workpiece& part, const Work& work, const Leg& thread) {
    constexpr double beside_mm = 5;
    return std::any_of(part.works.begin(), part.works.end(), [&](const Work* other) {
        return other != &work && std::any_of(other->legs.begin(), other->legs.end(), [&](const Leg& leg) {
                   return is_plunge(leg) && leg.known &&
                          std::abs(leg.to.z_mm - thread.from.z_mm) * work.unit_mm < beside_mm &&
                          (leg.dx() < 0 ? leg.to.x_radius_mm <= thread.to.x_radius_mm
                                        : leg.to.x_radius_mm >= thread.to.x_radius_mm);
               });
    });
}

/// A feed from the part to a Z in front of all that the tool has been to.
void goes_out(const WorksContext& context, const Workpiece& part, const Reach& others, const Work& work,
              Report& report) {
    std::optional<double> highest, begin, cycle_begin;
    double start_z = 0; ///< Of the cycle that is under way
    double lowest = std::min(others.low, 0.0);
    for (const Leg& leg : work.legs)
        if (leg.cuts() && leg.known) lowest = std::min(lowest, leg.to.z_mm);
    for (const Leg& leg : work.legs) {
        if (!leg.in_contour && leg.arrives && leg.kind != Leg::Kind::home) cycle_begin = leg.to.z_mm;
        if (!leg.of_cycle && leg.arrives) start_z = leg.to.z_mm;
        if (!leg.known || leg.kind == Leg::Kind::home) continue;
        const double z = leg.to.z_mm;
        if (leg.cuts() && !leg.in_contour) begin = std::max(begin.value_or(leg.from.z_mm), leg.from.z_mm);
        // A contour ends no farther out than its cycle begins.
        const bool ends_contour = leg.in_contour && leg.cuts() && leg.dz() > 0 && leg.from.z_mm <= 0 &&
                                  leg.from.x_radius_mm > 0 && cycle_begin && z > std::max(0.0, *cycle_begin);
        const bool back_to_start = (leg.in_contour && cycle_begin && z <= *cycle_begin) ||
                                   (leg.of_cycle && leg.moves_z && std::abs(z - start_z) < 1e-6);
        const bool in_front = leg.cuts() && !back_to_start && leg.dz() > 0 && z * work.unit_mm > clear_mm &&
                              z > highest.value_or(leg.from.z_mm) + clear_mm / work.unit_mm;
        const bool would_go_on = leg.of_cycle || (-z <= leg.from.z_mm && -z >= lowest);
        const bool told = (in_front && would_go_on && leg.from.x_radius_mm > 0) || ends_contour ||
                          (leg.cuts() && begin && goes_off_there(work, leg, *begin));
        if (told && leg.kind == Leg::Kind::thread && begins_in_relief(part, work, leg)) return;
        if (told && is_of_cycle_left_on(context, work, leg)) return;
        if (told) {
            context.at(report, work, leg, "ZWR")
                .message(
                    said("Feeds out to {} in front of the part, where the cuts of this tool begin at {}: "
                         "is the minus lost? {} would go on into the part.",
                         context.z(z), context.z(begin.value_or(leg.from.z_mm)), mended(context, z)));
            return;
        }
        const Leg* next = next_of(work, leg);
        if (in_front && leg.from.x_radius_mm > 0 && next && comes_back(leg, *next)) {
            const std::string hint = leg.by_letters ? "" : said(" Is X{} meant?", written(z));
            context.at(report, work, leg, "ZW")
                .message(said("Feeds out to {} in front of the part, cuts nothing there and comes back to {} "
                              "at rapid.{}",
                              context.z(z), context.z(next->to.z_mm), hint));
            return;
        }
        highest = std::max(highest.value_or(z), std::max(z, leg.cuts() ? leg.from.z_mm : z));
    }
}

/// A mill that turns by itself may go down beside the face: it reaches in by its radius.
double reach_mm(const WorksContext& context, const Work& work) {
    if (!work.driven_tool) return 0;
    const NamedTool* mill =
        tool_of_work(context, work, [](const NamedTool& tool) { return tool.diameter > 0; });
    return mill ? mill->diameter_mm(work.unit_mm).value_or(0) / 2 : 0;
}

/// A slide that is written alone, and how it is moved.
struct SlideWay {
    const syntax::Item* slide = nullptr;
    bool rapid = false, feed = false;
};
SlideWay slide_way_in(std::span<const syntax::Item> items) {
    SlideWay way;
    for (const syntax::Item& item : items) {
        if (!item.is_word()) continue;
        if (item.letter == 'G' && item.value == 0) way.rapid = true;
        if (item.letter == 'G' && item.value == 1) way.feed = true;
        if (item.letter == 'A' || item.letter == 'B' || item.letter == 'E') way.slide = &item;
    }
    if (std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.is_word() && std::string_view("XZUWCHP").find(item.letter) != std::string_view::npos;
        }))
        way.slide = nullptr;
    return way;
}

/// In the program above the slide of the second spindle draws the bar out: with the clamp open, or, where no
/// code of it is told, back from where it was fed to. How far what stood in front of Z0 lies out then, the
/// other tools do not tell.
bool bar_is_drawn_above(const WorksContext& context, const Span& span, BlockPlace end) {
    using Does = MachineCode::Does;
    const std::vector<MachineCode> codes = codes_told(context.spans, context.reader.settings().machine);
    const bool told = std::any_of(codes.begin(), codes.end(),
                                  [](const MachineCode& code) { return code.does == Does::clamp_open; });
    bool open = false, feeds = false;
    double stands = 0, fed = 0; // The last way by feed, with its sign
    bool is_known = false;
    std::optional<BlockPlace> at = span.program->first;
    for (; at && *at < end; at = context.reader.neighbour(*at, true)) {
        const auto items = context.reader.items(*at);
        for (const syntax::Item& item : items) {
            if (item.kind != syntax::ItemKind::word || item.letter != 'M') continue;
            const MachineCode* code = told_code({.letter = 'M', .number = item.value}, codes);
            if (code && (code->does == Does::clamp_open || code->does == Does::clamp_close))
                open = code->does == Does::clamp_open;
        }
        const SlideWay way = slide_way_in(items);
        if (way.rapid || way.feed) feeds = way.feed;
        if (!way.slide) continue;
        const double moved = way.slide->value - stands;
        const bool by_value = way.slide->kind == syntax::ItemKind::word;
        if (is_known && by_value && moved != 0 && (told ? open : feeds && moved * fed < 0)) return true;
        fed = feeds && is_known && by_value ? moved : 0;
        stands = way.slide->value;
        is_known = by_value;
    }
    return false;
}

/// A plunge in front of all that is cut by the other tools.
void plunges_in_air(const WorksContext& context, const Reach& others, const Work& work, Report& report) {
    if (!others.any) return;
    const Leg* placed = nullptr;
    bool first = true;
    for (const Leg& leg : work.legs) {
        if (leg.arrives && leg.kind == Leg::Kind::rapid && !leg.of_cycle && leg.moves_z) placed = &leg;
        const double z = leg.from.z_mm;
        const bool begins = first; // Outward only a blade for a bore does so
        first = first && !leg.cuts();
        if (!leg.known || !is_plunge(leg) || !placed) continue;
        if (leg.dx() > 0 && (!begins || placed->moves_x)) continue;
        const double least_mm = clear_mm + reach_mm(context, work);
        if ((z - others.high) * work.unit_mm < least_mm || z * work.unit_mm < least_mm ||
            -z < others.low - clear_mm / work.unit_mm)
            continue;
        // A mill goes down in front of the face, and the next feed takes it along Z into the part.
        const Leg* next = next_of(work, leg);
        if (work.driven_tool && next && next->known && next->kind == Leg::Kind::feed && next->dx() == 0 &&
            next->to.z_mm < others.high - clear_mm / work.unit_mm)
            continue;
        if (bar_is_drawn_above(context, context.spans[work.span], context.place(work, leg))) return;
        context.at_giver(report, work, *placed, "ZW")
            .message(said("The tool plunges at {}, in front of everything the others cut (up to {}): is the "
                          "minus lost? {} lies in the part.",
                          context.z(z), context.z(others.high), mended(context, z)));
        return;
    }
}

/// How far in front the works so far have cut; the ways to where a cut begins do not count.
struct Front {
    std::optional<double> z;
    bool is_known = true;
    void take(const Work& work) {
        for (const Leg& leg : work.legs) {
            if (!leg.cuts()) continue;
            is_known = is_known && leg.known;
            z = std::max(z.value_or(leg.to.z_mm), leg.to.z_mm);
        }
    }
};

/// Straight in along X by feed and straight back, in front of the face: no face is cut so, and no groove.
void grooves_in_air(const WorksContext& context, const Work& work, const Front& before, Report& report) {
    constexpr double least_mm = 0.5;
    if (!before.is_known || !before.z || *before.z < 0) return;
    const double front = *before.z;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::home) return;
        if (!leg.cuts()) continue;
        const Leg* next = next_of(work, leg);
        const double z = leg.to.z_mm;
        // The first cut tells what kind of tool it is.
        if (!is_plunge(leg) || leg.kind != Leg::Kind::feed || leg.of_cycle || leg.to.x_radius_mm <= 0) return;
        if ((z - front) * work.unit_mm < least_mm || (z - front) * work.unit_mm >= 10 * clear_mm) return;
        if (!next || !next->known || next->dz() != 0 || next->dx() * leg.dx() >= 0) return;
        if (bar_is_drawn_above(context, context.spans[work.span], context.place(work, leg))) return;
        context.at(report, work, leg, "XU")
            .message(said("The tool feeds to {} at {} and straight back, in front of everything that has "
                          "been cut (up to {}): it cuts air, and the groove is missing. Is the block with "
                          "its Z lost?",
                          context.x(leg.to.x_radius_mm), context.z(z), context.z(front)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        Front front;
        for (const Work* work : part.works) {
            if (!work->driven_tool) grooves_in_air(context, *work, front, report);
            front.take(*work);
        }
    }
    for (const Workpiece& part : context.parts) {
        const std::vector<Reach> reaches = reaches_of(part);
        for (std::size_t at = 0; at < part.works.size(); ++at) {
            const Work& work = *part.works[at];
            const Reach others = of_others(reaches, at);
            plunges_in_air(context, others, work, report);
            if (work.driven_tool) continue;
            goes_out(context, part, others, work, report);
            begins_in_air(context, work, report);
            cuts_air(context, others, work, report);
        }
    }
}

} // namespace

extern const Check check{
    .id = "cut_in_front_of_part",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Cut in front of the part",
    .documentation =
        "The tool feeds to a Z well in front of where its cuts begin, or plunges in front of "
        "all that the other tools "
        "cut, and the same number with a minus would lie in the part. Mostly the minus is lost: "
        "in a contour the "
        "control alarms or the tool goes right through the part to get there, a plunge cuts air "
        "and its groove is "
        "missing. Write the minus. A feed out along Z that the next rapid comes back from is told, too: X "
        "was meant, or the way goes by W with its sign lost. So is a way along the face in front of it from "
        "which "
        "the next cut goes into the part (a chamfer with its minus lost), a contour that ends farther out "
        "than its "
        "cycle begins, a first feed away from the part, and a tool that first of all feeds in along X in "
        "front of "
        "the face and straight back: the block that brings it to its groove is lost.",
    .works = works,
    .examples =
        {
            // A thread of the left hand, out of its relief.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X.9 Z.1
X.75
G01 Z-1.24 F.008
X1.3
Z-2.
G00 X4. Z4.
T0303
G00 X1.3 Z-1.25
G01 X.6 F.003
G00 X1.3
X4. Z4.
T0404
G97 S500 M03
G00 X1.3 Z-1.18
X1.1
G78 X.73 Z.15 F.1
X.7
X.65
X.628
G00 X4.
Z4.
M30
)"},
            // The edge of a tube, and whatever comes behind it.
            {System::A, R"(
G21 G99
T0202
G96 S200 M03
G00 X47. Z1.
X47.5
G01 Z0.25 F0.2
X50.5 Z1.25 F0.1
;     ^^^^^ warning: cut_in_front_of_part
G00 X100. Z50.
M30
)"},
            // In inches, between the plunges of other tools.
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X1.2 Z.1
G01 Z-1.5 F.008
X1.4
G00 X4. Z4.
T0505
G00 X1.3 Z1.1
;        ^^^^ warning: cut_in_front_of_part
G01 X.8 F.003
G00 X4.
M30
)"},
            // In a bore, and round the part.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X62. Z0
G01 X40. F0.2
G00 X100. Z100.
T0404
G00 X45. Z2.
G01 Z-40. F0.1
X42.
G00 Z100.
T0808
G00 X42. Z5.
G01 X47.5 F0.05
;   ^^^^^ warning: cut_in_front_of_part
G04 P500
G00 X42.
Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.1 Z0
G01 X-.03 F.005
G00 X.8 Z.1
G01 Z-2. F.008
X1.1
G00 X4. Z4.
T0505
G00 X1.1 Z.1
G01 X.6 F.003
;   ^^^ warning: cut_in_front_of_part
X1.1 F.02
G00 X4. Z4.
M30
)"},
            // A facing cycle comes back to where it began.
            {System::A, R"(
G21 G99
T0101
G96 S130 M03
G00 X266. Z6.
G94 X55. Z1. F0.35
Z0.4
G00 X300. Z150.
T0303
G96 S160 M03
G00 X268. Z5.
G90 X262. Z-20. F0.2
G00 X300. Z150.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-28. F0.12
X32. Z29.
;    ^^^^ warning: cut_in_front_of_part
Z-55.
N20 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-2. F.008
X1.2
G00 Z.1
T0505
G00 X1.3 Z1.25
;        ^^^^^ warning: cut_in_front_of_part
G01 X.8 F.003
G00 X1.3
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G20 X46. Z40. F0.25
;        ^^^^ warning: cut_in_front_of_part
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0 Z5.
G01 Z-20. F0.1
Z5. F0.6
T0101
G00 X52. Z3.
G01 X20.
Z5.
X40.
Z-20.
X52.
G00 Z30.
T0505
G00 X52. Z-10.
G01 X30.
G00 X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G96 S200 M03
G00 X36. Z2.
G01 Z0. F0.15
Z18.
;^^^ warning: cut_in_front_of_part
G00 Z6.
X80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G96 S400 M03
G00 X1.6 Z.1
G01 Z0 F.006
W.75
;^^^ warning: cut_in_front_of_part
G00 Z.3
X3.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G96 S200 M03
G00 X36. Z2.
G01 Z0. F0.15
X18.
Z12.
G00 Z20.
X80.
Z6.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G96 S200 M03
G00 X16. Z1.
G01 X20. Z1. F0.1
;        ^^ warning: cut_in_front_of_part
Z-30.
X52.
G00 Z30.
T0505
G97 S800 M03
G00 X52. Z-20. M08
G01 X40.
G00 X52.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G96 S160 M03
G00 X20. Z2.
G01 Z-20. F0.1
X18.
G00 Z2.
G00 X24. Z1.
G03 X20. Z1. R2. F0.1
;        ^^ warning: cut_in_front_of_part
G01 Z-20.
X18.
G00 Z20.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X.6 Z.05
G01 X.7 Z-.02 F.006
Z1.1
;^^^ warning: cut_in_front_of_part
X.9
G00 X4. Z4.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-28. F0.12
X40.
N20 Z55.
;   ^^^^ warning: cut_in_front_of_part
G70 P10 Q20
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
X48.
G01 Z-28. F0.12
X52.
G00 Z60.
T0303
G97 S900 M03
G00 X0 Z6.
G01 Z28. F0.1
;   ^^^^ warning: cut_in_front_of_part
G00 Z60.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X52. Z2.
X48.
G01 Z-28. F0.12
X52.
G00 Z60.
T0606
G94
G97 S2000 M05
G00 X60. Z15.
;        ^^^^ warning: cut_in_front_of_part
G01 X30. F120.
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z3.
G72 W2. R0.5
G72 P10 Q20 U0.4 W0.1 F0.28
N10 G00 Z-12.
G01 X40. F0.12
X38. Z0.
X20.
N20 Z3.
G00 X30. Z2.
G01 G42 X24. Z2. F0.3
Z-10. F0.1
X40.
G40 G00 X52. Z2.
G00 X16.
G01 Z-2. F0.1
Z4. F0.6
X40.
G00 Z30.
M30
)"},
            // A facing cycle that begins well in front ends there, too.
            {System::A, R"(
G21 G99
T0101
G97 S100 M03
G00 X490. Z6.
G72 W2.5 R1.
G72 P100 Q150 U0.8 W0.2 F0.35
N100 G00 G41 Z-3.
G01 X274. F0.22
G03 X270. Z-1. R2.
G01 Z0.
X186.
N150 G40 Z6.
G00 X500. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X61. Z2.
G73 U2.5 R.5
G73 P10 Q20 U.5 W.1 F.35
N10 G00 X22.8
G01 X29.8 Z1.5 F.12
;         ^^^^ warning: cut_in_front_of_part
Z-28.
X34.
N20 X61.
M30
)"},
            // The value is given by the call.
            {System::B, R"(
G90 G95 G21
T0303
G96 S200 M3
G00 X74. Z1.
G01 X80. Z-2. F0.15
Z-55.
X84.
G00 X200. Z100.
T0505
G96 S120 M3
G00 X84. Z5.
G65 P8018 A12. B10. C4.
;^^^^^^^^^^^^^^^^^^^^^^ warning: cut_in_front_of_part
G00 X200. Z100.
M30
O8018
#10=0
WHILE[#10LT#3]DO1
G00 Z[#1-#10*#2]
G01 X66. F.07
G00 X84.
#10=#10+1
END1
M99
)"},
            // A blade for a bore, its minus lost.
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X44. Z3.
G01 Z-45. F0.15
X40.
G00 Z5.
X200. Z150.
T0808
G97 S700 M03
G00 X42. Z5.
Z40.
;^^^ warning: cut_in_front_of_part
G01 X47.5 F0.05
G00 X42.
Z5.
X200. Z150.
M30
)"},
            // A centre drill goes away from the face.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X52. Z5.
X44.
G01 Z-30. F0.2
X52.
G00 X200. Z150.
T0303
G97 S1500 M03
G00 X0. Z5.
G01 Z6.5 F0.1
;   ^^^^ warning: cut_in_front_of_part
G04 X0.2
G00 Z5.
X200. Z150.
M30
)"},
            // A reamer is fed out again.
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X2.2 Z.1
X2.
G01 Z-1. F.01
X2.2
G00 X8. Z5.
T0505
G97 S300 M03
G00 X0 Z.1
G01 Z-1.2 F.02
Z.3 F.04
G00 X8. Z5.
M30
)"},
            // A cutter that goes down in front of the face and is fed into the part from there.
            {System::A, R"(
(M51/M52 C AXIS ON/OFF, M61/M63 LIVE TOOL ON/OFF)
G21 G99
T0101
G97 S1000 M03
G00 X46. Z2.
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-60.
X46.
G00 X200. Z100.
M05
T0505
M51
G28 H0
G98
S900 M61
G00 C0 Z40.
X60.
G01 X30. F200.
Z-20. F100.
G00 X60.
M63
M52
G00 X200. Z100.
M30
)"},
            // An end mill goes down beside the face: it reaches in by its radius.
            {System::A, R"(
(M51/M52 C AXIS ON/OFF, M61/M63 LIVE TOOL ON/OFF)
G20 G99
T0101
G97 S1000 M03
G00 X1.7 Z.1
G01 X1.5 F.01
Z-2.
X1.8
G00 X7. Z5.
T0202
G00 X1.7 Z.1
X1.4
G01 Z-1.6
X1.8
G00 X7. Z5.
M05
T0505 (END MILL 1.25)
M51
G28 H0
G98
S2500 M61
G00 C0 Z.8
X2.
G01 X1.3 F40.
Z-.75 F15.
G00 X2.
M63
M52
G00 X7. Z5.
M30
)"},
            // The slide of the second spindle has drawn the bar: under any letter, told by notes or by
            // nothing.
            {System::A, R"(
(M21 CLOSES SECOND CHUCK, M22 OPENS SECOND CHUCK)
(M10 OPENS MAIN CHUCK, M11 CLOSES MAIN CHUCK)
G20 G99
T0101
G97 S1000 M03
G00 X1.1 Z.1
Z0
G01 X-.06 F.006
G00 Z.1
X.75
G01 Z-.5 F.008
X.95
Z-1.25
X1.05
G00 X4. Z4.
T0404 (PART OFF .118 WIDE)
G97 S1000 M03
G00 X1.1 Z-1.25
M22
G00 B-9.5
G98 G01 B-10. F15.
M21
M10
G01 B-8.5 F40.
M11
G99
G00 Z.25
G01 X-.03 F.003
G00 X1.1
G00 X4. Z4.
M30
)"},
            {System::A, R"(
(M21 CLOSES SECOND CHUCK, M22 OPENS SECOND CHUCK)
(M10 OPENS MAIN CHUCK, M11 CLOSES MAIN CHUCK)
G20 G99
T0101
G97 S1000 M03
G00 X1.1 Z.1
Z0
G01 X-.06 F.006
G00 Z.1
X.75
G01 Z-.5 F.008
X.95
Z-1.25
X1.05
G00 X4. Z4.
T0404 (PART OFF .118 WIDE)
G97 S1000 M03
G00 X1.1 Z-1.25
M22
G00 A-9.5
G98 G01 A-10. F15.
M21
M10
G01 A-8.5 F40.
M11
G99
G00 Z.25
G01 X-.03 F.003
G00 X1.1
G00 X4. Z4.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S1000 M03
G00 X1.1 Z.1
Z0
G01 X-.06 F.006
G00 Z.1
X.75
G01 Z-.5 F.008
X.95
Z-1.25
X1.05
G00 X4. Z4.
T0404 (PART OFF .118 WIDE)
G97 S1000 M03
G00 X1.1 Z-1.25
M22
G00 E-9.5
G94 G01 E-10. F15.
M21
M10
G01 E-8.5 F40.
M11
G95
G00 Z.25
G01 X-.03 F.003
G00 X1.1
G00 X4. Z4.
M30
)"},
            // It only comes and goes.
            {System::A, R"(
(M21 CLOSES SECOND CHUCK, M22 OPENS SECOND CHUCK)
(M10 OPENS MAIN CHUCK, M11 CLOSES MAIN CHUCK)
G20 G99
T0101
G97 S1000 M03
G00 X1.1 Z.1
Z0
G01 X-.06 F.006
G00 Z.1
X.75
G01 Z-.5 F.008
X.95
Z-1.25
X1.05
G00 X4. Z4.
T0404 (PART OFF .118 WIDE)
G97 S1000 M03
G00 X1.1 Z-1.25
G00 B-9.5
G98 G01 B-10. F15.
G99
G00 Z.25
;   ^^^^ warning: cut_in_front_of_part
G01 X-.03 F.003
G00 X1.1
G00 X4. Z4.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cut_in_front_of_part
