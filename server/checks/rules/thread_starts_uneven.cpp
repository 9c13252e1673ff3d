// A thread with several starts that are not spread evenly over the turn.
#include "checks/acts.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"
#include "motion/thread_names.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace turnwright::checks::rules::thread_starts_uneven {

namespace {

/// Of the lead: so little to one side opens the flank of a groove that is there. Common practice, no source.
constexpr double opens_flank = 0.03;

/// Start angles of one thread: the same lead and end, cut one behind the other.
struct Starts {
    BlockPlace last;
    std::vector<double> angles;
};

void take(Starts& starts, double angle, BlockPlace place) {
    for (double known : starts.angles)
        if (std::abs(known - angle) < 0.01) return;
    starts.angles.push_back(angle);
    starts.last = place;
}

void tell(const Starts& starts, Report& report) {
    std::size_t count = starts.angles.size();
    if (count < 2) return;
    std::vector<double> angles = starts.angles;
    std::sort(angles.begin(), angles.end());
    double even = 360.0 / static_cast<double>(count), worst = 0, found = even;
    for (std::size_t i = 0; i < count; ++i) {
        double next = i + 1 < count ? angles[i + 1] : angles[0] + 360;
        if (double off = std::abs(next - angles[i] - even); off > worst) {
            worst = off;
            found = next - angles[i];
        }
    }
    if (worst < 0.5) return;
    report.at(starts.last)
        .message(said("This thread has {} starts, and between two of them are {} degrees instead of {}: one "
                      "thread comes out thin, and no nut goes on. Q counts thousandths of a degree: write "
                      "Q{:.0f} from start to start.",
                      count, spoken(std::round(found * 1000) / 1000), spoken(std::round(even * 1000) / 1000),
                      even * 1000));
}

/// Whole threading cycles, one behind the other, that begin at several Z: each shift is a start.
void look_at_shifts(const SequenceContext& context, Report& report) {
    struct Cycle {
        BlockPlace place;
        double from, to, x, lead;
    };
    std::vector<Cycle> cycles;
    for (const Step& step : context.steps) {
        if (step.motion != MotionKind::thread_cycle || !step.moves_z || step.in_contour) continue;
        const machine::Value& lead = step.after->feed;
        if (!lead.known() || lead.number <= 0 || !step.from_z.known() || !step.target_z.known() ||
            !step.target_x.known())
            return;
        cycles.push_back(
            {step.place, step.from_z.number, step.target_z.number, step.target_x.number, lead.number});
    }
    std::vector<const Cycle*> starts; // Of the first thread
    for (const Cycle& cycle : cycles) {
        const Cycle& first = cycles.front();
        if (cycle.to != first.to || cycle.x != first.x || cycle.lead != first.lead) continue;
        if (std::none_of(starts.begin(), starts.end(),
                         [&](const Cycle* start) { return start->from == cycle.from; }))
            starts.push_back(&cycle);
    }
    if (starts.size() < 2) return;
    const double lead = starts[0]->lead, even = lead / static_cast<double>(starts.size());
    for (const Cycle* start : starts) {
        const double shift = std::abs(start->from - starts[0]->from), in_leads = shift / lead;
        if (start == starts[0]) continue;
        const bool same_groove = std::abs(in_leads - std::round(in_leads)) < 1e-3;
        if (!same_groove && in_leads < opens_flank) return; // The same groove, made wider
        const double in_starts = shift / even;
        if (!same_groove && std::abs(in_starts - std::round(in_starts)) < 0.02) continue;
        report.at(start->place)
            .message(same_groove
                         ? said("This start is shifted by {}, and the lead is {}: it cuts in the groove "
                                "of the start before it, and the thread has a start too few. Shift it "
                                "by lead through starts, {}.",
                                spoken(shift), spoken(lead), spoken(even))
                         : said("This start is shifted by {}; with {} starts and a lead of {} they lie "
                                "{} apart: one thread comes out thin, and no nut goes on.",
                                spoken(shift), starts.size(), spoken(lead), spoken(even)));
        return;
    }
}

void sequence(const SequenceContext& context, Report& report) {
    look_at_shifts(context, report);
    std::map<std::pair<double, double>, Starts> threads; // By lead and end in Z
    double angle = 0;
    for (const Step& step : context.steps) {
        bool threads_here = step.motion == MotionKind::thread || step.meaning == Meaning::single_threading;
        if (!threads_here || step.motion == MotionKind::none || step.in_contour) continue;
        if (!step.after->feed.known() || !step.target_z.known()) continue;
        // A single block's angle holds for that block, in the single cycle until the next Q.
        bool repeats = step.meaning == Meaning::single_threading;
        if (!repeats) angle = 0;
        const syntax::Run& run = context.reader.line(step.place);
        for (const syntax::Item& item : run.items_of(run.blocks[step.place.block])) {
            if (item.letter != 'Q' || !item.is_word()) continue;
            if (item.kind != syntax::ItemKind::word || item.has_point) return; // Not known
            angle = item.value * 0.001;
        }
        take(threads[{step.after->feed.number, step.target_z.number}], angle, step.place);
    }
    for (const auto& [thread, starts] : threads) tell(starts, report);
}

/// Rows of single passes, each row from a Z of its own: the same row shifted by whole leads cuts no new
/// start.
void look_at_rows(const WorksContext& context, const Work& work, Report& report) {
    struct Row {
        const Leg* first;
        std::vector<double> x;
        const Leg* placed; ///< The rapid that has brought the tool to its Z
    };
    std::vector<Row> rows;
    const Leg* placed = nullptr;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::rapid && leg.arrives && leg.moves_z && !leg.of_cycle) placed = &leg;
        if (leg.kind != Leg::Kind::thread || leg.dz() == 0) continue;
        if (!leg.known) return;
        const bool goes_on = !rows.empty() && rows.back().first->from.z_mm == leg.from.z_mm;
        if (!goes_on) rows.push_back({&leg, {}, placed});
        rows.back().x.push_back(leg.to.x_radius_mm);
    }
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const Leg &one = *rows[i - 1].first, &other = *rows[i].first;
        const double shift = std::abs(other.from.z_mm - one.from.z_mm);
        const bool same_passes =
            one.to.z_mm == other.to.z_mm && rows[i].x.size() > 1 && rows[i].x == rows[i - 1].x;
        if (!same_passes) continue;
        const double lead = one.lead(), leads = lead > 0 ? shift / lead : 0;
        if (lead != other.lead() || leads < 0.5 || std::abs(leads - std::round(leads)) > 1e-3) continue;
        // So deep a thread has a larger pitch than this lead leaves it: F is the slip, not the shift.
        const double depth = std::abs(rows[i].x.front() - rows[i].x.back());
        const bool lead_is_wrong = depth > 0.75 * lead / static_cast<double>(rows.size());
        const Leg& wrong = lead_is_wrong ? one : rows[i].placed ? *rows[i].placed : other;
        context.at(report, work, wrong, lead_is_wrong ? "FE" : "ZW")
            .message(said("These passes are those before again, begun {} farther on, and the lead is {}: "
                          "they run in the groove that is there, and the thread has a start too few. "
                          "Shift them by lead through starts, or check F.",
                          spoken(std::round(shift * 1e4) / 1e4), spoken(lead)));
        return;
    }
}

/// Places to begin at, as parts of a lead beside the first: the starts, each once.
std::vector<double> starts_of(const std::vector<double>& begins, double lead) {
    std::vector<double> starts;
    for (const double z : begins) {
        const double leads = (z - begins.front()) / lead, part = leads - std::floor(leads + 1e-3);
        if (std::none_of(starts.begin(), starts.end(),
                         [&](double start) { return std::abs(start - part) < 2e-3; }))
            starts.push_back(part);
    }
    std::sort(starts.begin(), starts.end());
    return starts;
}
bool are_even(const std::vector<double>& starts) {
    for (std::size_t i = 0; i < starts.size(); ++i)
        if (std::abs(starts[i] * static_cast<double>(starts.size()) - static_cast<double>(i)) > 0.02)
            return false;
    return true;
}

/// The same passes from several Z, in turn or one row behind the other: how far these lie apart.
void look_at_begins(const WorksContext& context, const Work& work, Report& report) {
    constexpr std::size_t most_starts = 6;
    constexpr double off = 0.02; // Of what one start is apart from the next
    struct Begin {
        std::vector<double> x;
        const Leg* placed = nullptr; ///< The rapid that has brought the tool there
    };
    std::map<double, Begin> begins; // By Z
    const Leg *placed = nullptr, *first = nullptr, *before = nullptr;
    for (const Leg& leg : work.legs) {
        const Leg* last = std::exchange(before, &leg);
        if (leg.kind == Leg::Kind::rapid && leg.arrives && leg.moves_z && !leg.of_cycle) placed = &leg;
        if (leg.kind != Leg::Kind::thread || leg.dz() == 0) continue;
        if (!leg.known) return;
        if (last && last->kind == Leg::Kind::thread) continue; // The pull-out of its pass
        if (!first) first = &leg;
        if (leg.to.z_mm != first->to.z_mm || leg.lead() != first->lead()) return;
        Begin& begin = begins[leg.from.z_mm];
        begin.x.push_back(leg.to.x_radius_mm);
        if (!begin.placed) begin.placed = placed;
    }
    if (begins.size() < 2 || begins.size() > most_starts) return;
    const Begin& one = begins.begin()->second;
    const bool alike =
        std::all_of(begins.begin(), begins.end(), [&](const auto& begin) { return begin.second.x == one.x; });
    const double lead = first->lead(), even = lead / static_cast<double>(begins.size());
    if (lead <= 0) return;
    if (!alike) { // Two that lie evenly, and a last row that has gone beside its own
        const auto odd = std::min_element(begins.begin(), begins.end(), [](const auto& a, const auto& b) {
            return a.second.x.size() < b.second.x.size();
        });
        std::vector<double> all, others;
        bool is_cut_elsewhere = false; ///< To its X, from another begin
        for (const auto& [z, begin] : begins) {
            all.push_back(z);
            if (z == odd->first) continue;
            others.push_back(z);
            is_cut_elsewhere = is_cut_elsewhere || std::find(begin.x.begin(), begin.x.end(),
                                                             odd->second.x.back()) != begin.x.end();
        }
        const std::vector<double> starts = starts_of(others, lead), with = starts_of(all, lead);
        if (starts.size() < 2 || with.size() == starts.size() || !are_even(starts) || are_even(with) ||
            !is_cut_elsewhere || !odd->second.placed)
            return;
        context.at(report, work, *odd->second.placed, "ZW")
            .message(said("This start is shifted by {}; with {} starts and a lead of {} they lie "
                          "{} apart: one thread comes out thin, and no nut goes on.",
                          spoken(std::round(std::abs(odd->first - first->from.z_mm) * 1e4) / 1e4),
                          starts.size(), spoken(lead),
                          spoken(std::round(lead / static_cast<double>(starts.size()) * 1e4) / 1e4)));
        return;
    }
    if (one.x.size() < 2) return;
    for (const auto& [z, begin] : begins) {
        const double shift = std::abs(z - first->from.z_mm), in_starts = shift / even;
        if (std::abs(in_starts - std::round(in_starts)) < off || !begin.placed) continue;
        // One flank of a wide gap and then the other.
        constexpr double widens = 0.1; // Of the lead
        const auto rounded = [](double value) { return std::round(value * 1e4) / 1e4; };
        if (begins.size() == 2 && shift < widens * lead &&
            slip_between(rounded(shift), rounded(even)) == Slip::none)
            continue;
        context.at(report, work, *begin.placed, "ZW")
            .message(said("This start is shifted by {}; with {} starts and a lead of {} they lie "
                          "{} apart: one thread comes out thin, and no nut goes on.",
                          spoken(std::round(shift * 1e4) / 1e4), begins.size(), spoken(lead),
                          spoken(std::round(even * 1e4) / 1e4)));
        return;
    }
}

/// A thread whose name tells more starts than one, and whole cycles of it that all begin at one Z.
void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->has_threads) continue;
        const auto named = thread_of(tool, tools);
        if (!named || named->starts < 2) continue;
        std::vector<const Act*> cycles;
        for (const Act& act : tool.work->acts)
            if (act.motion == MotionKind::thread_cycle && act.moves() && !act.in_contour)
                cycles.push_back(&act);
        if (cycles.size() < 2) continue;
        const Act& first = *cycles[0];
        const bool alike = std::all_of(cycles.begin(), cycles.end(), [&](const Act* act) {
            return known(act->from_z) && act->from_z == first.from_z && act->to_z == first.to_z &&
                   act->to_x == first.to_x && act->feed == first.feed;
        });
        if (!alike) continue;
        report_at_code(report, context, tool, *cycles[1])
            .message(said(
                "{} has {} starts, and each cycle here begins at the same Z: this one runs in the groove "
                "that is there, and the thread has a start too few. Begin it farther on by lead "
                "through starts.",
                named->name, named->starts));
    }
}

/// Several starts by the name of the thread, and single passes that all begin at one Z.
void look_at_one_begin(const WorksContext& context, const Work& work, Report& report) {
    const Leg *first = nullptr, *before = nullptr, *placed = nullptr;
    std::size_t passes = 0;
    for (const Leg& leg : work.legs) {
        const Leg* last = std::exchange(before, &leg);
        if (!first && leg.kind == Leg::Kind::rapid && leg.arrives && leg.moves_z) placed = &leg;
        if (leg.kind != Leg::Kind::thread || leg.dz() == 0) continue;
        if (!leg.known || leg.of_cycle || leg.from.x_radius_mm <= 0) return;
        if (last && last->kind == Leg::Kind::thread) return;
        if (first && (leg.from.z_mm != first->from.z_mm || leg.to.z_mm != first->to.z_mm)) return;
        if (!first) first = &leg;
        ++passes;
        // A start angle is given with its pass.
        const BlockPlace at = context.place(work, leg);
        if (find_letter(context.reader, at, 'Q') || find_letter(context.reader, at, 'P')) return;
    }
    constexpr std::size_t least_passes = 4;
    if (!first || passes < least_passes || first->lead() <= 0) return;
    std::vector<std::string> names = context.spans[work.span].facts->acts.held->thread_names;
    if (names.empty())
        for (const Span& span : context.spans) // The only one of its program
            if (span.program == context.spans[work.span].program)
                names.insert(names.end(), span.facts->acts.held->thread_names.begin(),
                             span.facts->acts.held->thread_names.end());
    if (names.empty() ||
        std::any_of(names.begin(), names.end(), [&](const std::string& name) { return name != names[0]; }))
        return;
    const int starts = motion::starts_of(names[0]);
    const auto size = motion::thread_size(names[0]);
    const double lead_mm = first->lead() * work.unit_mm;
    if (starts < 2 || !size || std::abs(size->pitch_mm * starts - lead_mm) > 0.01 * lead_mm) return;
    context.at(report, work, placed ? *placed : *first, "ZW")
        .message(
            said("{} has {} starts, and all {} passes here begin at {}: one start is cut, and between its "
                 "grooves the bar stays as it is. Is the number of turns right, or the step from start to "
                 "start lost?",
                 names[0], starts, passes, context.z(first->from.z_mm)));
}

/// Whole cycles that begin a part of the lead apart, so that each cuts a start of one thread: to one root.
void look_at_roots(const WorksContext& context, const Work& work, Report& report) {
    constexpr double same_mm = 0.02, least_shift = 0.1; ///< Of the lead
    struct Cycle {
        const Leg *first = nullptr, *last = nullptr;
        std::size_t passes = 0;
    };
    std::vector<Cycle> cycles;
    const Leg* before = nullptr;
    for (const Leg& leg : work.legs) {
        const Leg* last = std::exchange(before, &leg);
        if (leg.kind != Leg::Kind::thread || (last && last->kind == Leg::Kind::thread)) continue;
        if (!leg.known || !leg.of_cycle || leg.dz() >= 0) return;
        if (cycles.empty() || context.place(work, *cycles.back().first) != context.place(work, leg))
            cycles.push_back({&leg, &leg, 0});
        cycles.back().last = &leg;
        ++cycles.back().passes;
    }
    if (cycles.size() < 2) return;
    const Cycle& one = cycles[0];
    for (const Cycle& other : cycles) {
        if (other.passes < 3 || other.first->feed != one.first->feed || other.first->feed <= 0 ||
            std::abs(other.last->to.z_mm - one.last->to.z_mm) > one.first->feed)
            return;
    }
    for (const Cycle& other : cycles) {
        const double shift = std::abs(other.first->from.z_mm - one.first->from.z_mm) / one.first->feed;
        const double part = std::abs(shift - std::round(shift));
        const double apart = other.last->to.x_radius_mm - one.last->to.x_radius_mm;
        if (part < least_shift || std::abs(apart) * work.unit_mm < same_mm) continue;
        const bool inside = one.last->to.x_radius_mm > one.first->to.x_radius_mm;
        // The shallower is the odd one: half of the height from a diameter.
        const Cycle& odd = (apart > 0) == inside ? one : other;
        const Cycle& rest = &odd == &one ? other : one;
        context.at(report, work, *odd.first, "XU")
            .message(said(
                "This start of the thread goes to {}, and the other to {}: one groove is shallower, and no "
                "nut goes on. Is X of one of them wrong?",
                context.x(odd.last->to.x_radius_mm), context.x(rest.last->to.x_radius_mm)))
            .related(context.place(work, *rest.first), said("the other start"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            look_at_one_begin(context, *work, report);
            look_at_rows(context, *work, report);
            look_at_roots(context, *work, report);
            look_at_begins(context, *work, report);
        }
}

} // namespace

extern const Check check{
    .id = "thread_starts_uneven",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Starts of a thread not evenly spread",
    .documentation =
        "A thread with several starts is cut by the same passes begun at other angles (Q, in thousandths of "
        "a "
        "degree), 360 degrees divided by the number of starts apart: Q0 and Q180000 for two, Q0 Q120000 "
        "Q240000 "
        "for three. Here the angles are not evenly spread, so one ridge comes out thinner than the others. "
        "Starts may be made by another Z to begin at, too: the same passes begun at the same Z or a whole "
        "lead "
        "farther on run in the groove that is there. A thread that a note names with its lead and pitch "
        "(TR24X10 P5, M16X3 P1.5) tells how many there are."
        " Whole cycles that begin a part of the lead apart and go to different roots are told, too.",
    .sequence = sequence,
    .file = file,
    .works = works,
    .examples =
        {
            // Both starts pass by pass in a loop.
            {System::A, R"(
G21 G99
T0606
G97 S180 M03
G00 X48. Z6.
#101=40.
WHILE[#101GT36.]DO1
#101=#101-1.
G00 Z6.
G92 X#101 Z-79. F14.
G00 Z12.
;   ^^^^ warning: thread_starts_uneven
G92 X#101 Z-79. F14.
END1
G00 X60.
M30
)"},
            // The last pass of the second start beside it.
            {System::B, R"(
G21 G90 G95
T0707
G97 S180 M03
G00 Z-10.
X46.
#100=39.6
WHILE[#100GT38.5]DO1
G00 Z-20.
G78 X#100 Z-79. F14.
G00 Z-13.
G78 X#100 Z-79. F14.
#100=#100-.2
END1
G00 Z-20.
G78 X38.4 Z-79. F14.
X38.4
G00 Z-16.
;   ^^^^ warning: thread_starts_uneven
G78 X38.4 Z-79. F14.
X38.4
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S180 M03
G00 X46. Z6.
G92 X39. Z-79. F6.
X38.
G00 Z9.
G92 X39. Z-79. F6.
X38.
G00 Z6.
G92 X37.5 Z-79. F6.
G00 Z15.
G92 X37.5 Z-79. F6.
G00 X60.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0606
G97 S180 M03
G00 X48. Z6.
#101=40.
WHILE[#101GT36.]DO1
#101=#101-1.
G00 Z6.
G78 X#101 Z-79. F14.
G00 Z13.
G78 X#101 Z-79. F14.
END1
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
T0707
G00 X28. Z6.
G32 Z-20. F3. Q0
G00 X30.
Z6.
X28.
G32 Z-20. F3. Q150000
;^^ warning: thread_starts_uneven
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD TR24X10 P5)
T0404
G97 S300 M03
G00 X30. Z20.
G76 P020030 Q100 R0.05
G76 X18.5 Z-64. P2750 Q350 F10.
G00 X30. Z20.
G76 P020030 Q100 R0.05
G76 X18.5 Z-64. P2750 Q350 F10.
;^^ warning: thread_starts_uneven
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD TR24X10 P5)
T0404
G97 S300 M03
G00 X30. Z20.
G76 P020030 Q100 R0.05
G76 X18.5 Z-64. P2750 Q350 F10.
G00 X30. Z25.
G76 P020030 Q100 R0.05
G76 X18.5 Z-64. P2750 Q350 F10.
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500 M03
T0707
G00 X1.2 Z.3
G33 Z-1. F.1875 Q0
G00 Z.3
G33 Z-1. F.1875 Q120000
G00 Z.3
G33 Z-1. F.1875 Q180000
;^^ warning: thread_starts_uneven
M30
)"},
            {System::C, R"(
G71 G90 G95 G97 S500 M03
T0707
G00 X28. Z6.
G33 Z-20. F3. Q0
G00 Z6.
G33 Z-20. F3. Q180000
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
T0707
G00 X28. Z6.
G32 Z-20. F3. Q0
G00 Z6.
G32 Z-20. F3. Q120000
G00 Z6.
G32 Z-20. F3. Q240000
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
T0707
G00 X28. Z6.
G92 X23. Z-20. F1.5
X22.6
X22.4
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S120 M03
G00 X44. Z14.
G76 P010030 Q50 R.03
G76 X32. Z-78. P4000 Q250 F14.
G00 Z28.
G76 P010030 Q50 R.03
G76 X32. Z-78. P4000 Q250 F14.
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: thread_starts_uneven
G00 X60.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G97 S120 M03
G00 X1.2 Z.5
G78 P010060 Q50 R.001
G78 X.8 Z-1. P610 Q100 F.2
G00 Z.6
G78 P010060 Q50 R.001
G78 X.8 Z-1. P610 Q100 F.2
G00 X4.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S400 M03
G00 X40. Z9.
M98 P1516
G00 Z15.
;   ^^^^ warning: thread_starts_uneven
M98 P1516
G00 X80.
M30
O1516
G92 X35.2 Z-46. F6.
X34.6
X34.1
M99
)"},
            // The lead is that of one start, and the passes are too deep for half of it.
            {System::A, R"(
G21 G99
T0707
G97 S400 M03
G00 X40. Z9.
M98 P1516
G00 Z12.
M98 P1516
G00 X80.
M30
O1516
G92 X35.2 Z-46. F3.
;               ^^^ warning: thread_starts_uneven
X34.
X33.
X32.32
M99
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S400 M03
G00 X1.6 Z.4
G78 X1.4 Z-1.6 F.2
X1.38
G00 Z.6
;   ^^^ warning: thread_starts_uneven
G78 X1.4 Z-1.6 F.2
X1.38
G00 X4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S400 M03
G00 X40. Z9.
G21 X35.2 Z-46. F6.
X34.6
G00 Z12.
G21 X35.2 Z-46. F6.
X34.6
G00 X80.
M30
)"},
            // Two starts by the name, and a loop that cuts one.
            {System::A, R"(
G21 G99
T0707 (TR32X12 P6)
G97 S200 M03
G00 Z-12.
X36.
#102=31.4
WHILE[#102GT30.]DO2
G00 Z-12.
;   ^^^^ warning: thread_starts_uneven
X#102
G32 Z-156. F12.
G00 X36.
#102=#102-0.2
END2
G00 X100.
M30
)"},
            {System::A, R"(
G21 G99
T0707 (TR32X12 P6)
G97 S200 M03
G00 Z-12.
X36.
#101=0
WHILE[#101LT2]DO1
#102=31.4
WHILE[#102GT30.]DO2
G00 Z[-12.+#101*6.]
X#102
G32 Z-156. F12.
G00 X36.
#102=#102-0.2
END2
#101=#101+1
END1
G00 X100.
M30
)"},
            // One start of the thread is cut to another root.
            {System::B, R"(
(SPINDLE, TWO STARTS)
G21 G90 G95
T0101
G97 S600 M03
G00 X44. Z2.
G77 X36. Z-90. F0.3
X30.
G00 X60. Z20.
T0505 (THREAD)
G97 S200 M03
G00 X34. Z18.
G76 P010030 Q50 R0.03
G76 X23. Z-87. P3500 Q250 F12.
G00 Z24.
G76 P010030 Q50 R0.03
G76 X26.5 Z-87. P3500 Q250 F12.
;   ^^^^^ warning: thread_starts_uneven
G00 X60.
M30
)"},
            {System::B, R"(
(SPINDLE, TWO STARTS)
G21 G90 G95
T0101
G97 S600 M03
G00 X44. Z2.
G77 X36. Z-90. F0.3
X30.
G00 X60. Z20.
T0505 (THREAD)
G97 S200 M03
G00 X34. Z18.
G76 P010030 Q50 R0.03
G76 X23. Z-87. P3500 Q250 F12.
G00 Z24.
G76 P010030 Q50 R0.03
G76 X23. Z-87. P3500 Q250 F12.
G00 X60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Once more, a little to the right: the flank of a coarse thread is opened.
            {System::A, R"(
G21 G40 G99
T0909
G97 S200 M03
G00 X38. Z12.
G76 P010030 Q60 R0.05
G76 X25. Z-74. P3500 Q300 F6.
G00 X38. Z12.1
G76 P020030 Q60 R0.02
G76 X25. Z-74. P3500 Q600 F6.
G00 X100. Z50.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::thread_starts_uneven
