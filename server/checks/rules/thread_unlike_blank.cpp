// A thread that does not go with what is turned or bored for it, or a pass that is left into the wall.
//
// Heights: 60 degrees 0.61 of the pitch (ISO 68-1), 55 degrees 0.64 (ISO 228-1), taper pipe 0.8, trapezoid
// 0.5, buttress 0.87. The bounds around them: common practice, no source.
#include "checks/noted_words.h"
#include "checks/thread_heights.h"
#include "checks/works.h"
#include "language/said.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

namespace turnwright::checks::rules::thread_unlike_blank {

namespace {

constexpr double least_height = 0.25, most_height = 1.35; ///< Of the pitch
constexpr double longest_pitch_mm = 12;                   ///< Above it lie oil grooves and scrolls
constexpr double least_off_mm = 0.15;
constexpr double most_uneven = 0.5; ///< Of the pitch, from one end of the thread to the other

struct Thread {
    const Leg* first = nullptr;
    const Leg* last = nullptr; ///< The deepest
    bool inside = false;
    std::vector<double> begins; ///< Z, of each block
    /// Starts lie well apart; what infeed along a flank shifts does not.
    std::size_t starts(double lead) const {
        constexpr double apart = 0.15;
        std::vector<double> found;
        for (double z : begins)
            if (std::none_of(found.begin(), found.end(),
                             [&](double other) { return std::abs(other - z) < apart * lead; }))
                found.push_back(z);
        return std::max<std::size_t>(found.size(), 1);
    }
};

/// All passes of a work, where they are of one thread.
std::optional<Thread> thread_of(const Work& work) {
    Thread thread;
    const Leg* before = nullptr; // Pass
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() == 0) return std::nullopt;
        if (!thread.first) {
            thread.first = &leg;
            const Leg& infeed = work.legs[i - 1];
            if (!infeed.known || infeed.cuts() || infeed.dx() == 0) return std::nullopt;
            thread.inside = infeed.dx() > 0;
            thread.last = &leg;
        }
        if (std::abs(leg.to.z_mm - thread.first->to.z_mm) > 1e-6) return std::nullopt;
        if (!before || !leg.of_cycle || !(before->block == leg.block) || before->run_at != leg.run_at)
            thread.begins.push_back(leg.from.z_mm);
        before = &leg;
        const bool deeper = thread.inside ? leg.to.x_radius_mm > thread.last->to.x_radius_mm
                                          : leg.to.x_radius_mm < thread.last->to.x_radius_mm;
        if (deeper) thread.last = &leg;
    }
    if (!thread.first) return std::nullopt;
    return thread;
}

/// What the tools have cut along Z so far, on each side.
struct Blanks {
    Profile outside, inside;
    explicit Blanks(const Workpiece& part) : outside(part.z_min, part.z_max), inside(outside) {}
    void take(const Work& work) {
        if (work.driven_tool || is_blade(work)) return;
        if (work.where != Work::Where::inside && work.where != Work::Where::outside) return;
        for (const Leg& leg : work.legs) {
            if (leg.kind != Leg::Kind::feed || !leg.known || std::abs(leg.dz()) < 1e-6) continue;
            work.where == Work::Where::inside ? inside.raise(leg) : outside.lower(leg);
        }
    }
    const Profile& of(bool is_inside) const { return is_inside ? inside : outside; }
};

/// How high the blank stands over the root, where it is known along the thread.
struct Heights {
    double at_front = 0, at_end = 0;
};
std::optional<Heights> heights_of(const Profile& blank, const Thread& thread) {
    const auto at = [&](double share) -> std::optional<double> {
        // The part of the pass that lies in the part, without its ends: chamfers and reliefs.
        const double begin = std::min(thread.last->from.z_mm, 0.0), end = thread.last->to.z_mm;
        const double z = begin + (end - begin) * share;
        const auto stands = blank.at(z);
        if (!stands) return std::nullopt;
        const double along = (z - thread.last->from.z_mm) / thread.last->dz();
        const double root = thread.last->from.x_radius_mm + thread.last->dx() * along;
        return thread.inside ? root - *stands : *stands - root;
    };
    const auto front = at(0.4), end = at(0.65);
    if (!front || !end) return std::nullopt;
    return Heights{*front, *end};
}

std::string what_is(bool inside) {
    return std::string(inside ? said("bored") : said("turned"));
}

/// What the cycle itself gives as the height of its thread, in program units.
std::optional<double> height_in_cycle(const WorksContext& context, const Work& work, const Leg& pass) {
    if (!pass.of_cycle) return std::nullopt;
    const BlockPlace place = context.place(work, pass);
    if (const syntax::Item* k = find_letter(context.reader, place, 'K'))
        return k->has_point ? std::optional(std::abs(k->value)) : std::nullopt;
    const syntax::Item* p = find_letter(context.reader, place, 'P');
    if (!p || p->has_point || p->value <= 0 || !find_letter(context.reader, place, 'Q')) return std::nullopt;
    return p->value * (work.unit_mm > 1 ? 1e-4 : 1e-3);
}

/// "#2=.876" above a pass that a macro works out: the height of a thread, on radius or on diameter, with its
/// point a place off.
struct Constant {
    BlockPlace place;
    std::string text;
};
std::optional<Constant> constant_of(const WorksContext& context, const Work& work, const Leg& pass,
                                    double height, double pitch) {
    constexpr double same = 0.03, least = 0.4, most = 1.3;
    constexpr std::size_t most_blocks = 400;
    const BlockPlace place = context.place(work, pass);
    if (const syntax::Item* x = find_letter(context.reader, place, 'X');
        x && x->kind == syntax::ItemKind::word)
        return std::nullopt; // Written there
    const BlockPlace first = context.spans[work.span].program->first;
    std::size_t looked_at = 0;
    std::vector<Constant> found;
    std::string taken_off; ///< All statements
    for (std::optional<BlockPlace> at = place; at && !(*at < first) && ++looked_at < most_blocks;
         at = context.reader.neighbour(*at, false)) {
        const std::string statement = statement_of(context.reader, *at);
        taken_off += statement + ' ';
        const std::size_t equals = statement.find('=');
        if (!statement.starts_with('#') || equals == std::string::npos) continue;
        const auto number = plain_number(std::string_view(statement).substr(equals + 1));
        if (!number || *number <= 0) continue;
        for (const double per_height : {1.0, 2.0})
            if (std::abs(*number - per_height * height) < same * per_height * height &&
                height / 10 > least * pitch && height / 10 < most * pitch) {
                found.push_back({*at, statement});
            }
    }
    // The diameter that it is taken off may be as large.
    if (found.size() > 1)
        std::erase_if(found, [&](const Constant& one) {
            const std::string variable = one.text.substr(0, one.text.find('='));
            const std::size_t at = taken_off.find('-' + variable);
            return at == std::string::npos || text::is_digit(taken_off[at + 1 + variable.size()]);
        });
    return found.size() == 1 ? std::optional(found.front()) : std::nullopt;
}

/// A later cut that has taken away the blank which an earlier one had left right, in the middle of the
/// thread.
struct Taken {
    const Work *by = nullptr, *of = nullptr;
    const Leg *leg = nullptr, *blank = nullptr;
};
std::optional<Taken> taken_away(const Workpiece& part, const Work& work, const Thread& thread, double pitch) {
    const double begin = std::min(thread.last->from.z_mm, 0.0), end = thread.last->to.z_mm;
    const double root = thread.last->from.x_radius_mm, middle = begin + (end - begin) / 2;
    Taken taken;
    for (const Work* other : part.works) {
        if (other == &work) break;
        if (other->driven_tool ||
            other->where != (thread.inside ? Work::Where::inside : Work::Where::outside))
            continue;
        for (const Leg& leg : other->legs) {
            const bool along = leg.kind == Leg::Kind::feed && leg.known && leg.dx() == 0 && leg.dz() != 0 &&
                               std::min(leg.from.z_mm, leg.to.z_mm) < middle &&
                               std::max(leg.from.z_mm, leg.to.z_mm) > middle;
            if (!along) continue;
            const double height = thread.inside ? root - leg.to.x_radius_mm : leg.to.x_radius_mm - root;
            // Ways through the air in front of the blank are none.
            const bool nearer =
                !taken.blank || (leg.to.x_radius_mm > taken.blank->to.x_radius_mm) == thread.inside;
            if (height > least_height * pitch && height < most_height * pitch) {
                if (!nearer) continue;
                taken.of = other;
                taken.blank = &leg;
            } else if (height < least_height * pitch && taken.blank) {
                taken.by = other;
                taken.leg = &leg;
            }
        }
    }
    return taken.leg && taken.by != taken.of ? std::optional(taken) : std::nullopt;
}

/// Starts that passes of single cycles begin by the angle of their Q: 0 and thousandths of a degree.
std::size_t starts_by_angle(const WorksContext& context, const Work& work) {
    constexpr double least = 10'000;
    std::set<double> angles;
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::thread || !leg.of_cycle) continue;
        const BlockPlace place = context.place(work, leg);
        const syntax::Item* q = find_letter(context.reader, place, 'Q');
        if (!q || q->has_point || find_letter(context.reader, place, 'P')) continue;
        if (q->value != 0 && q->value < least) return 1;
        angles.insert(q->value);
    }
    return std::max<std::size_t>(angles.size(), 1);
}

/// The blank is turned to a size a little under a round one, and the root lies under that to the digit as
/// deep as that of another lead.
bool tell_root_of_other_lead(const WorksContext& context, const Work& work, const Thread& thread,
                             double blank, double pitch, Report& report) {
    constexpr double most_under_mm = 0.35, sixteenths = motion::mm_per_inch / 16; // Of the diameter
    const double mm = work.unit_mm, step = mm > 1 ? sixteenths : 1;
    const double diameter = std::ceil(2 * blank * mm / step - 1e-6) * step;
    const double root = 2 * thread.last->to.x_radius_mm * mm;
    if (diameter - 2 * blank * mm > most_under_mm || thread.inside) return false;
    const auto lead = lead_of_height((diameter - root) / 2, pitch * mm, mm > 1);
    if (!lead) return false;
    const double other = *lead / mm, fits = (diameter - 2 * height_of_60 * pitch * mm) / mm;
    context.at(report, work, *thread.first, "FE")
        .message(said(
            "Under a diameter of {} the root at {} is that of lead {}, and this thread is cut with lead {}: "
            "its flanks come out wrong and no nut goes on. Is the lead {}, or the root {}?",
            spoken(std::round(diameter / mm * 1e4) / 1e4), context.x(thread.last->to.x_radius_mm),
            spoken(std::round(other * 1e5) / 1e5), spoken(std::round(pitch * 1e5) / 1e5),
            spoken(std::round(other * 1e5) / 1e5), context.x(std::round(fits / 2 * 1e4) / 1e4)));
    return true;
}

void look_at_blank(const WorksContext& context, const Workpiece& part, const Work& work, const Blanks& blanks,
                   Report& report) {
    const auto thread = thread_of(work);
    // Passes in front of the centre are none of a blank behind it.
    if (!thread || thread->last->dz() >= 0 ||
        (thread->first->to.x_radius_mm < 0 && thread->last->to.x_radius_mm < 0))
        return;
    const double lead = thread->last->feed;
    if (lead <= 0) return;
    const auto heights = heights_of(blanks.of(thread->inside), *thread);
    if (!heights) return;
    const std::size_t starts = std::max(thread->starts(lead), starts_by_angle(context, work));
    const double pitch = lead / static_cast<double>(starts), mm = work.unit_mm;
    const auto told = [&](double length) { return spoken(std::round(length * 1e3) / 1e3); };
    if (std::abs(heights->at_front - heights->at_end) > most_uneven * pitch) {
        const bool tapers = std::abs(thread->last->dx()) > 1e-6;
        const double slope = (heights->at_end - heights->at_front) * mm;
        if (!tapers || std::abs(slope) < least_off_mm) return; // A step under a straight thread may be meant
        context.at(report, work, *thread->last, "RIX")
            .message(said(
                "The root of this taper thread lies {} below the blank at its front and {} at its end: blank "
                "and thread do not taper alike, and the thread runs out or goes too deep. Check the taper of "
                "both.",
                told(heights->at_front), told(heights->at_end)));
        return;
    }
    const double height = (heights->at_front + heights->at_end) / 2;
    const double low = (least_height * pitch - height) * mm, high = (height - most_height * pitch) * mm;
    if (std::max(low, high) < 1e-3) {
        constexpr double least_unlike = 0.25, least_unlike_mm = 0.1, even_cone = 0.1;
        const auto given = height_in_cycle(context, work, *thread->last);
        if (!given && std::abs(thread->last->dx()) < 1e-6 &&
            tell_root_of_other_lead(context, work, *thread,
                                    thread->last->to.x_radius_mm + (thread->inside ? -height : height), pitch,
                                    report))
            return;
        if (!given || std::abs(height - *given) * mm < least_unlike_mm ||
            std::abs(height - *given) < least_unlike * *given ||
            (std::abs(thread->last->dx()) > 1e-6 &&
             std::abs(heights->at_front - heights->at_end) > even_cone * pitch))
            return;
        const double fits =
            thread->last->to.x_radius_mm + (thread->inside ? *given - height : height - *given);
        std::string text =
            said("The cycle gives its thread a height of {}, and {} stands {} from the blank as it is {}: "
                 "the two do not agree, and the thread comes out of gauge. With this height it would be "
                 "{}.",
                 told(*given), context.x(thread->last->to.x_radius_mm), told(height), what_is(thread->inside),
                 context.x(std::round(fits * 1e4) / 1e4));
        context.at(report, work, *thread->last, "XU").message(std::move(text));
        return;
    }
    if (height * mm < -4 * pitch * mm) return; // Cut for something else
    if (low > 0 && pitch * mm > longest_pitch_mm) return;
    const std::string what = what_is(thread->inside);
    if (low > 0)
        if (const auto taken = taken_away(part, work, *thread, pitch)) {
            const Leg& leg = *taken->leg;
            context.at(report, *taken->by, leg, "ZW")
                .message(
                    said("This cut at {} from {} to {} takes away what the thread behind it is to stand in: "
                         "{} was left for it, and its last pass goes to {}. The thread stays without its "
                         "height. Is a digit of Z wrong, here or above?",
                         context.x(leg.to.x_radius_mm), context.z(leg.from.z_mm), context.z(leg.to.z_mm),
                         context.x(taken->blank->to.x_radius_mm), context.x(thread->last->from.x_radius_mm)))
                .related(context.place(work, *thread->last), said("the thread"));
            return;
        }
    if (high > 0)
        if (const auto constant = constant_of(context, work, *thread->last, height, pitch)) {
            report.at(constant->place)
                .message(said("With {} the blank stands {} on radius over the root of the thread at {}, {} "
                              "of the pitch {}: no thread is so high, and its first pass takes most of it at "
                              "once. Is the point a place off?",
                              constant->text, told(height), context.x(thread->last->to.x_radius_mm),
                              told(height / pitch), told(pitch)))
                .related(context.place(work, *thread->last), said("the pass"));
            return;
        }
    std::string text =
        low > 0 ? said("The blank is {} so that the last pass takes {} on radius, {} of the pitch {}: "
                       "the thread stays without its height. Is X of the thread or of its blank wrong?",
                       what, told(std::max(height, 0.0)), told(std::max(height, 0.0) / pitch), told(pitch))
                : said("The blank stands {} on radius over the root of this thread, {} of the pitch "
                       "{}: no thread is so high, and its first pass takes most of it at once. Is X "
                       "of the thread or of its blank wrong?",
                       told(height), told(height / pitch), told(pitch));
    context.at(report, work, *thread->last, "XU").message(std::move(text));
}

/// A blade has plunged below the root, in the middle of what is threaded behind it.
void look_at_grooves(const WorksContext& context, const Workpiece& part, const Work& work,
                     const Blanks& blanks, Report& report) {
    constexpr double begins = 0.1, ends = 0.65; ///< Of its length: nearer to its ends are reliefs
    const auto thread = thread_of(work);
    if (!thread || thread->last->dz() >= 0 || std::abs(thread->last->dx()) > 1e-6) return;
    const double end = thread->last->to.z_mm, root = thread->last->from.x_radius_mm;
    // From where the blank begins, with a thread's height over its root as far as its end.
    const double lead = thread->last->lead();
    const Profile& blank = blanks.of(thread->inside);
    const auto stands = [&](double z) {
        const auto x = blank.at(z);
        const double height = !x ? 0 : thread->inside ? root - *x : *x - root;
        return height > least_height * lead / 4 && height < most_height * lead;
    };
    double front = std::min(thread->first->from.z_mm, 0.0);
    constexpr int samples = 50;
    const double step = (front - end) / samples;
    for (int i = 0; i < samples && !stands(front); ++i) front -= step;
    if (lead <= 0 || !stands(front - 0.7 * (front - end))) return;
    for (const Work* other : part.works) {
        if (other == &work) return;
        const Leg* placed = nullptr;
        const bool same_side =
            other->where == Work::Where::unknown || (other->where == Work::Where::inside) == thread->inside;
        if (other->driven_tool || !same_side || (!thread->inside && !is_blade(*other))) continue;
        for (const Leg& leg : other->legs) {
            if (leg.arrives && leg.moves_z && leg.kind == Leg::Kind::rapid) placed = &leg;
            const double share = (front - leg.to.z_mm) / (front - end);
            if (!placed || leg.kind != Leg::Kind::feed || leg.of_cycle || !is_plunge(leg) ||
                (leg.dx() > 0) != thread->inside || share < begins || share > ends)
                continue;
            const double below = thread->inside ? leg.to.x_radius_mm - root : root - leg.to.x_radius_mm;
            if (below < 0 || leg.to.x_radius_mm <= 0 || leg.to.z_mm >= 0) continue;
            context.at_giver(report, *other, *placed, "ZW")
                .message(said("The blade goes in at {} to {}, below the root of the thread at {}, and the "
                              "thread runs from the front to {} over it: it has a gap in its middle. Is Z "
                              "of the groove right?",
                              context.z(leg.to.z_mm), context.x(leg.to.x_radius_mm), context.x(root),
                              context.z(end)));
            return;
        }
    }
}

/// The way back in Z along the pass that was just cut, with no way off it in X.
bool goes_back_in_groove(const Leg& pass, const Leg& out) {
    constexpr double same = 1e-6, most_of_it = 0.5;
    return out.kind == Leg::Kind::rapid && out.known && !out.of_cycle && std::abs(out.dx()) < same &&
           std::abs(pass.dx()) < same && out.dz() * pass.dz() < 0 &&
           std::abs(out.dz()) > most_of_it * std::abs(pass.dz()) && pass.from.x_radius_mm > 0 &&
           pass.to.z_mm < 0;
}

/// Behind a pass the tool goes on in the direction it came in, into the wall, or back along its own groove.
void look_at_ways_out(const WorksContext& context, const Work& work, Report& report) {
    const Leg* infeed = nullptr;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::rapid && leg.known && leg.dx() != 0) infeed = &leg;
        if (leg.kind != Leg::Kind::thread || leg.of_cycle || !leg.known || leg.dz() == 0) continue;
        const Leg* out = next_of(work, leg);
        if (out && goes_back_in_groove(leg, *out)) {
            context.at(report, work, *out, "ZW")
                .message(
                    said("Behind the pass the tool goes back along Z at {}, as deep as it has cut: the rapid "
                         "drags the insert through the thread. Go off it in X in a block before.",
                         context.x(out->from.x_radius_mm)));
            return;
        }
        const bool in_metal = out && out->kind == Leg::Kind::rapid && out->known && !out->of_cycle &&
                              infeed && infeed->to.x_radius_mm == leg.from.x_radius_mm &&
                              infeed->dx() * out->dx() > 0;
        if (!in_metal || std::abs(out->dx()) * work.unit_mm < 0.3 || std::abs(leg.dx()) > 1e-6) continue;
        context.at(report, work, *out, "XU")
            .message(said(
                "Behind the pass the tool goes on from {} to {}, the way it came in: at rapid into the wall. "
                "Go back toward {}.",
                context.x(out->from.x_radius_mm), context.x(out->to.x_radius_mm),
                context.x(infeed->from.x_radius_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        const bool any = std::any_of(part.works.begin(), part.works.end(),
                                     [](const Work* work) { return threads(*work); });
        if (!any || (part.outside.empty() && part.bore.empty())) continue;
        Blanks blanks(part);
        for (const Work* work : part.works) {
            if (!work->driven_tool && threads(*work)) {
                look_at_blank(context, part, *work, blanks, report);
                look_at_grooves(context, part, *work, blanks, report);
                look_at_ways_out(context, *work, report);
            }
            blanks.take(*work);
        }
    }
}

} // namespace

extern const Check check{
    .id = "thread_unlike_blank",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread that does not fit its blank",
    .documentation =
        "By the program's own cuts the blank stands far higher over the root of the thread than threads are "
        "high, or hardly at all, or the two taper differently: X of the thread or of its blank has a wrong "
        "digit. A height that a cycle gives and the blank does not leave is told, and a pass that is left in "
        "the "
        "direction the tool came in, into the wall, or back along Z through its own groove. Threads are 0.5 "
        "to 0.9 of their pitch high; bounds are wide around that. Passes whose root, under the round size "
        "that the "
        "blank is turned for, is to the digit that of another lead are told, too.",
    .works = works,
    .examples =
        {
            // The way off the groove is lost.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X31.85 Z2.
G01 Z-50. F0.2
G00 X60.
T0707
G97 S200 M03
G00 X36. Z6.
X30.
G32 Z-40. F2.
G00 Z6.
;   ^^^ warning: thread_unlike_blank
X29.5
G32 Z-40. F2.
G00 X36.
M30
)"},
            // Bore and height give another X.
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.2
G01 Z-1.2 F.005
G00 Z.2
T0404
G00 X1.918 Z.1
G01 Z-.9 F.005
X1.85
G00 Z.2
T1010
G97 S700 M03
G00 X1.8 Z.25
G76 P020060 Q20 R.001
G76 X2.04 Z-.82 P430 Q90 F.083333
;   ^^^^^ warning: thread_unlike_blank
G00 Z.3
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.2
G01 Z-1.2 F.005
G00 Z.2
T0404
G00 X1.918 Z.1
G01 Z-.9 F.005
X1.85
G00 Z.2
T1010
G97 S700 M03
G00 X1.8 Z.25
G76 P020060 Q20 R.001
G76 X2.004 Z-.82 P430 Q90 F.083333
G00 Z.3
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X34. Z2.
X28.
G01 Z-30. F.2
X34.
G00 X60. Z60.
T0707
G00 X30. Z6.
G92 X22.9 Z-25. F1.5
X22.4
X22.16
;^^^^^ warning: thread_unlike_blank
G00 X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X34. Z2.
X23.85
G01 Z-30. F.2
X34.
G00 X60. Z60.
T0707
G00 X28. Z6.
G78 P010060 Q50 R.03
G78 X24.16 Z-25. P920 Q250 F1.5
;   ^^^^^^ warning: thread_unlike_blank
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X18. Z2.
G01 X20.9 F.1
Z-30.
X19.
G00 Z5.
T0707
G00 X19.5 Z5.
X21.6
G32 Z-20. F1.5
G00 X19.5
Z5.
X22.2
G32 Z-20. F1.5
G00 X29.5
;   ^^^^^ warning: thread_unlike_blank
Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X34. Z2.
X23.85
G01 Z-30. F.2
X34.
G00 X60. Z60.
T0707
G00 X28. Z6.
G78 X22.9 Z-25. F1.5
X22.4
X22.16
G00 X60.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1.2 Z.1
X.8094
G01 X.8594 Z-.7 F.006
X1.2
G00 X4. Z4.
T0707
G00 X1. Z.2
G76 X.74 Z-.62 R-.0256 P571 Q100 F.0714
G00 X4. Z4.
M30
)"},
            // A groove in the middle of it: a digit of its Z is lost.
            {System::C, R"(
G71 G90 G95
T0303
G97 S900 M03
G00 X22. Z2.
X15.8
G01 Z-20. F0.12
X22.
G00 X60. Z60.
T0505
G97 S900 M03
G00 X24. Z-20.
G01 X13. F0.06
G00 X24.
Z-9.
;^^^ warning: thread_unlike_blank
G01 X13. F0.06
G00 X24.
X60. Z60.
T0707
G97 S900 M03
G00 X19. Z7.
G21 X15.2 Z-18. F2.
X14.3
X13.546
G00 X60. Z60.
M30
)"},
            // The height of a macro, its point a place off.
            {System::C, R"(
#101=.875 (MAJOR)
#102=.876 (DEPTH ON DIA)
;^^^^^^^^ warning: thread_unlike_blank
#103=8 (PASSES)
G70 G90 G95
T0303
G97 S900 M03
G00 X1.35 Z.1
X.869
G01 Z-1.1 F.005
X1.35
G00 X2. Z2.
T0707
G97 S700 M03
G00 X1. Z.3
#100=1
WHILE[#100LE#103]DO1
#105=#101-#102*SQRT[#100/#103]
G00 X#105
G33 Z-1.03 F.071429
G00 X1.
Z.3
#100=#100+1
END1
G00 X2. Z2.
M30
)"},
            // Reliefs lie at its ends.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X32. Z2.
X29.8
G01 Z-20. F0.12
X34.
G00 X60. Z60.
T0505
G97 S900 M03
G00 X36. Z-20.
G01 X26. F0.06
G00 X36.
Z-17.5
G01 X26. F0.06
G00 X36.
X60. Z60.
T0707
G97 S900 M03
G00 X34. Z7.
G92 X29. Z-18. F2.
X28.
X27.546
G00 X60. Z60.
M30
)"},
            // The relief tool is set over to the front of the bore by a digit lost, and fed along the blank.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X34. Z2.
X43.
G01 X40.4 Z-1.3 F0.12
Z-22.
X37. F0.3
G00 Z50.
G28 U0 W0
T0707
G97 S500 M03
G00 X35. Z3.
Z-22.
G01 X42.8 F0.06
X39. F0.3
Z-2.1
X42.8 F0.06
Z-22.
;^^^^ warning: thread_unlike_blank
X35. F0.3
G00 Z50.
G28 U0 W0
T0909
G97 S600 M03
G00 X38. Z5.
G92 X41. Z-20. F1.5
X41.5
X42.
G00 Z50.
G28 U0 W0
M30
)"},
            {System::B, R"(
(OIL GROOVE OF 1 IN LEAD, .06 DEEP)
G20 G90 G95
T0404
G97 S400 M03
G00 X5. Z.1
X4.5
G01 Z-33.6 F.009
X4.8
G00 X8. Z1.
T0808
G97 S60 M03
G00 X4.6 Z-2.
X4.46
G33 Z-33.3 F1.
G00 X4.6
Z-2.
X4.38
G33 Z-33.3 F1.
G00 X8.
Z1.
M30
)"},
            // Turned for 3/4 and threaded to the root of 16 to the inch; at a root of its own.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X.745 Z.1
G01 Z-1. F.004
X1.05
G00 X2. Z1.
T0202
G97 S700 M03
G00 X.85 Z.25
G78 X.725 Z-.92 F.05556
;               ^^^^^^^ warning: thread_unlike_blank
X.695
X.68
X.6733
G00 X2. Z1.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X29.85 Z2.
G01 Z-30. F.15
X44.
G00 X100. Z50.
T0303
G97 S700 M03
G00 X34. Z6.
G92 X29.2 Z-27. F1.25
;               ^^^^^ warning: thread_unlike_blank
X28.6
X28.3
X28.16
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X29.85 Z2.
G01 Z-30. F.15
X44.
G00 X100. Z50.
T0303
G97 S700 M03
G00 X34. Z6.
G21 X29.2 Z-27. F1.5
X28.6
X28.3
X28.05
G00 X100. Z50.
M30
)"},
            // A taper pipe thread whose height is taken off once.
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.2832 Z.1
G01 Z0 F.004
X1.3395 Z-.9
X1.7
G00 X3. Z2.
T0505
G97 S700 M03
G00 X1.5 Z.2
G76 P010060 Q20 R.001
G76 X1.2699 Z-.9 R-.0344 P696 Q120 F.08696
;   ^^^^^^^ warning: thread_unlike_blank
G00 X3. Z2.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.2832 Z.1
G01 Z0 F.004
X1.3395 Z-.9
X1.7
G00 X3. Z2.
T0505
G97 S700 M03
G00 X1.5 Z.2
G76 P010060 Q20 R.001
G76 X1.2003 Z-.9 R-.0344 P696 Q120 F.08696
G00 X3. Z2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // The unit of what is turned in a loop is assumed as that of the rest.
            {System::A, R"(
O1
#100=0
WHILE[#100LT3]DO1
T0202 (TURN)
G97 S900 M03
G00 X.9 Z.2
G01 X.75 F.008
Z-.75
X.9
T0707 (3/4-16 THREAD)
G97 S800 M03
G00 X1. Z.3
G92 X.735 Z-.6 F.0625
X.72
X.705
X.69
X.68
X.6733
G00 X5. Z5.
#100=#100+1
END1
M30
)"},
        },
};

} // namespace turnwright::checks::rules::thread_unlike_blank
