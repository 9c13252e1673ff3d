// A thread whose height does not go with its lead, or whose root does not go with its name.
//
// The bounds: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/thread_heights.h"
#include "checks/works.h"
#include "language/said.h"
#include "motion/thread_names.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace turnwright::checks::rules::thread_size_odd {

namespace {

// Height over lead: 60 degrees 17/24 of sqrt(3)/2 is 0.613, to a sharp root 0.65; taper pipe 0.8; trapezoid
// 0.5 with some clearance; buttress 0.87. Wider, so that a habit is no mistake.
constexpr double least_of_any = 0.4, most_of_any = 1.0, least_of_60 = 0.5, most_of_60 = 0.8;
constexpr double usual = 0.6134;
/// Of a root whose name tells the full diameter: a little more than the sharp 0.65.
constexpr double most_of_named_60 = 0.72;

struct Height {
    char letter;
    double mm;
};
std::optional<Height> height_of(const Acts& work, const Act& act, double per_unit) {
    if (act.motion != MotionKind::thread_cycle) return std::nullopt;
    if (const ActWord* k = work.word(act, 'K')) return Height{'K', std::abs(k->number) * per_unit};
    const ActWord* p = work.word(act, 'P');
    if (!p || p->has_point) return std::nullopt;
    return Height{'P', p->number * per_unit};
}
std::string as_word(const Height& height, double mm, double per_unit) {
    if (height.letter == 'K') return fmt::format("K{}", written(std::round(mm / per_unit * 1e4) / 1e4));
    return fmt::format("P{:.0f}", mm / (per_unit > 1 ? 0.0001 * per_unit : 0.001));
}

/// The deepest pass: the one whose X is furthest from where the tool comes from.
const Act* deepest(const Acts& work, bool& inside) {
    const Act* found = nullptr;
    for (const Act& act : work.acts) {
        if (!act.threads() || !act.moves_x || !known(act.to_x) || !known(act.from_x)) continue;
        if (act.motion == MotionKind::thread) return nullptr; // Its X is an approach of its own
        if (!found) inside = act.to_x > act.from_x;
        if (!found || (inside ? act.to_x > found->to_x : act.to_x < found->to_x)) found = &act;
    }
    return found;
}
/// The same of single threading moves, whose depth the rapid before each has set.
const Act* deepest_move(const Acts& work, bool& inside) {
    const Act* found = nullptr;
    float last_rapid = not_known, clear = not_known;
    for (const Act& act : work.acts) {
        if (act.motion == MotionKind::rapid && act.moves_x && known(act.to_x)) {
            clear = last_rapid;
            last_rapid = act.to_x;
        }
        if (act.motion != MotionKind::thread || !act.threads() || !act.moves_z || !known(act.from_x))
            continue;
        if (act.moves_x && act.to_x != act.from_x) return nullptr; // A cone
        if (!known(clear)) return nullptr;
        if (!found) inside = act.from_x > clear;
        if (!found || (inside ? act.from_x > found->from_x : act.from_x < found->from_x)) found = &act;
    }
    return found;
}

/// Root of a bolt at the core of its nut, D less 1.0825 of the pitch (ISO 724): the nut's is bored there, the
/// bolt's lies lower.
bool is_core_of_nut(const Acts& work, const Act& act, const NamedThread& named, double diameter_mm,
                    double per_unit) {
    constexpr double of_nut = 0.54127, same = 0.003, other = 0.05;
    const double pitch = named.pitch_mm(), depth = (named.major_mm - diameter_mm) / 2;
    if (std::abs(depth / pitch - of_nut) > same) return false;
    const auto height = height_of(work, act, per_unit);
    return height && height->mm - depth > other * pitch;
}

/// Cycles of one lead and end that begin at several Z cut a thread of so many starts.
std::size_t starts_of(const Acts& work, const Act& cycle) {
    std::set<float> starts;
    for (const Act& act : work.acts)
        if (act.motion == MotionKind::thread_cycle && act.moves() && act.to_z == cycle.to_z &&
            act.feed == cycle.feed && known(act.from_z))
            starts.insert(act.from_z);
    return std::max<std::size_t>(starts.size(), 1);
}

/// No note names the thread, and the height of the cycle is to the digit that of another lead.
bool tell_height_of_other_lead(const ToolOfSpan& tool, const Act& act, const Height& height, double pitch,
                               double per_unit, Report& report) {
    const auto lead = lead_of_height(height.mm, pitch, per_unit > 1);
    if (!lead) return false;
    report.at_letter(tool.place(act), 'F')
        .message(
            said("{} is the height of a 60 degree thread of lead {}, and F{} cuts another: {} of it, and the "
                 "thread takes no gauge. Write F{}, or {} for this lead.",
                 as_word(height, height.mm, per_unit), spoken(std::round(*lead / per_unit * 1e5) / 1e5),
                 written(act.feed), spoken(std::round(height.mm / pitch * 100) / 100),
                 written(std::round(*lead / per_unit * 1e5) / 1e5),
                 as_word(height, height_of_60 * pitch, per_unit)));
    return true;
}

void look_at(const FileContext& context, Report& report, const ToolOfSpan& tool,
             const std::vector<ToolOfSpan>& tools, std::optional<double> of_file) {
    if (tool.own->many_starts || tool.listed->many_starts) return; // Its height goes with the pitch
    const auto named = thread_of(tool, tools);
    for (const Act& act : tool.work->acts) {
        if (!act.threads()) continue;
        const auto per_unit = mm_of(act, of_file);
        if (!per_unit || act.feed <= 0) continue;
        const auto height = height_of(*tool.work, act, *per_unit);
        if (!height || height->mm <= 0) continue;
        const std::size_t starts =
            std::max(starts_of(*tool.work, act), static_cast<std::size_t>(named ? named->starts : 1));
        const double pitch = act.feed * *per_unit / static_cast<double>(starts);
        const double of_pitch = height->mm / pitch;
        const bool tapers = tool.work->has_letter(act, "RI");
        if (!named && !tapers && tell_height_of_other_lead(tool, act, *height, pitch, *per_unit, report))
            return;
        const bool sixty = named && !named->tapered && named->major_mm > 0 &&
                           std::abs(named->pitch_mm() - pitch) < 0.01 * pitch;
        // In a bore at its largest 0.43 are left: ASME B1.1, class 2B, from memory.
        const bool inside = known(act.from_x) && known(act.to_x) && act.to_x > act.from_x;
        if (of_pitch >= (sixty && !inside ? least_of_60 : least_of_any) &&
            of_pitch <= (sixty ? most_of_60 : most_of_any))
            continue;
        if (named && std::abs(named->pitch_mm() - pitch) > 0.01 * pitch) return; // The lead is told
        report.at_letter(tool.place(act), height->letter)
            .message(said("{} is a height of {} {}, {} of the {} F{}{}: a 60 degree thread has {} of it. "
                          "Write {}, if it is one.",
                          as_word(*height, height->mm, *per_unit), spoken(height->mm / *per_unit),
                          *per_unit > 1 ? "in" : "mm", spoken(std::round(of_pitch * 100) / 100),
                          starts > 1 ? said("pitch, which is the lead") : said("lead"), written(act.feed),
                          starts > 1 ? said(" by {} starts", starts) : std::string(), said("0.61 to 0.65"),
                          as_word(*height, usual * pitch, *per_unit)));
        return;
    }
    if (!named || named->tapered || named->major_mm <= 0) return;
    bool inside = false;
    const Act* last = deepest(*tool.work, inside);
    const bool by_moves = !last;
    if (by_moves) last = deepest_move(*tool.work, inside);
    if (!last) return;
    const auto per_unit = mm_of(*last, of_file);
    if (!per_unit || std::abs(last->feed * *per_unit - named->lead_mm) > 0.01 * named->lead_mm) return;
    // In front of the centre a bore's passes go to minus: no word tells inside from outside there.
    if ((by_moves ? last->from_x : last->to_x) < 0) return;
    const double diameter = 2 * (by_moves ? last->from_x : last->to_x) * *per_unit;
    const double wanted = inside ? named->major_mm : named->major_mm - 2 * usual * named->pitch_mm();
    const auto fits = [&](double d) {
        const double depth = inside ? (d - named->major_mm) / named->pitch_mm() + usual
                                    : (named->major_mm - d) / 2 / named->pitch_mm();
        return depth >= (inside ? 0.3 : least_of_60) && depth <= (inside ? 1.1 : most_of_named_60);
    };
    // Twice that fits where X is a radius and nothing has said so.
    const bool of_nut =
        !inside && !by_moves && is_core_of_nut(*tool.work, *last, *named, diameter, *per_unit);
    if (!of_nut && (fits(diameter) || fits(2 * diameter))) return;
    const BlockPlace place = tool.place(*last);
    const double x = (diameter / *per_unit) / 2;
    report.at_letter(place, by_moves ? 'Z' : 'X')
        .message(said("The last pass goes to {}: {} has {} {} there, so the thread {}. Write {}.",
                      spoken_x(x, context.settings()), named->name,
                      inside ? said("its full diameter at") : said("its root at"),
                      spoken_x(wanted / *per_unit / 2, context.settings()),
                      (inside ? diameter < wanted : diameter > wanted)
                          ? said("stays too shallow and takes no gauge")
                          : said("is cut too deep"),
                      spoken_x(std::round(wanted / *per_unit / 2 * 1e4) / 1e4, context.settings())));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools)
        if (tool.work->has_threads) look_at(context, report, tool, tools, of_file);
}

/// Passes that a loop or a called program makes: where the last of them stands.
void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->where != Work::Where::inside && work->where != Work::Where::outside) continue;
            const bool inside = work->where == Work::Where::inside;
            const Leg *last = nullptr, *first = nullptr;
            bool plain = true;
            std::size_t passes = 0;
            for (const Leg& leg : work->legs) {
                if (leg.kind != Leg::Kind::thread || leg.dz() == 0) continue;
                plain = plain && leg.known && leg.run_at && !leg.of_cycle && leg.dx() == 0 && leg.by_pass;
                if (!first) first = &leg;
                plain = plain && leg.lead() == first->lead() && leg.to.z_mm == first->to.z_mm;
                ++passes;
                const double x = leg.from.x_radius_mm;
                if (!last || (inside ? x > last->from.x_radius_mm : x < last->from.x_radius_mm)) last = &leg;
            }
            constexpr std::size_t least_passes = 3;
            if (!last || !plain || passes < least_passes || last->from.x_radius_mm <= 0) continue;
            std::vector<std::string> names = context.spans[work->span].facts->acts.held->thread_names;
            if (names.empty())
                for (const Span& span : context.spans)
                    if (span.program == context.spans[work->span].program)
                        names.insert(names.end(), span.facts->acts.held->thread_names.begin(),
                                     span.facts->acts.held->thread_names.end());
            if (names.empty() || std::any_of(names.begin(), names.end(),
                                             [&](const std::string& name) { return name != names[0]; }))
                continue;
            const auto size = motion::thread_size(names[0]);
            const double lead_mm = last->lead() * work->unit_mm;
            if (!size || size->flank_angle_deg != 60 || motion::starts_of(names[0]) > 1 ||
                std::abs(lead_mm - size->pitch_mm) > 0.01 * lead_mm)
                continue;
            const double d = 2 * last->from.x_radius_mm * work->unit_mm;
            const double depth = inside ? (d - size->major_mm) / size->pitch_mm + usual
                                        : (size->major_mm - d) / 2 / size->pitch_mm;
            const auto fits = [&](double of_pitch) {
                return of_pitch >= (inside ? 0.3 : least_of_60) &&
                       of_pitch <= (inside ? 1.1 : most_of_named_60);
            };
            const double of_radius = inside ? (2 * d - size->major_mm) / size->pitch_mm + usual
                                            : (size->major_mm - 2 * d) / 2 / size->pitch_mm;
            if (fits(depth) || fits(of_radius)) continue;
            const double wanted = inside ? size->major_mm : size->major_mm - 2 * usual * size->pitch_mm;
            context.at(report, *work, *last, "Z")
                .message(said(
                    "The last of {} passes made here turn by turn stands at {}: {} has {} {} there, so the "
                    "thread {}. Look at the condition, the step and the first value.",
                    passes, context.x(last->from.x_radius_mm), names[0],
                    inside ? said("its full diameter at") : said("its root at"),
                    context.x(std::round(wanted / work->unit_mm / 2 * 1e4) / 1e4),
                    (inside ? d < wanted : d > wanted) ? said("stays too shallow and takes no gauge")
                                                       : said("is cut too deep")));
        }
}

} // namespace

extern const Check check{
    .id = "thread_size_odd",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Height or root that is not the thread's",
    .documentation =
        "The height in the threading cycle is no height of a thread of this lead, or the last pass does not "
        "go to the root (outside) or the full diameter (inside) of the thread that a note names: a digit is "
        "missing, doubled or changed. Profile of ISO 68-1: the root of an outside thread is about 1.227 "
        "leads "
        "under the diameter; heights from 0.4 to 1 of the lead are taken as meant where no thread is named, "
        "but for one that is to the "
        "digit the height of another lead.",
    .file = file,
    .works = works,
    .examples =
        {
            {System::B, R"(
(BOLZEN M30X1.5)
G21 G90 G95
T0707
G97 S600 M03
G00 X34. Z5.
#1=29.6
WHILE[#1GE28.6]DO1
G00 X#1
G33 Z-30. F1.5
;   ^^^^ warning: thread_size_odd
G00 X34.
Z5.
#1=#1-.18
END1
G00 X150. Z100.
M30
)"},
            {System::A, R"(
(PIN 3/4-16)
G20 G99
T0707
G97 S600 M03
G00 X.9 Z.2
#1=.74
N10 G00 X#1
G32 Z-1. F.0625
G00 X.9
Z.2
#1=#1-.008
IF[#1GE.672]GOTO10
G00 X6. Z4.
M30
)"},
            // In a bore that is as large as it may be.
            {System::A, R"(
G20 G97 G99
N3 (THREAD 1.25-12)
T0303
S800 M03
G00 X1.1 Z.3 M08
G76 P020060 Q20 R.001
G76 X1.25 Z-1.65 P401 Q100 F.083333
G00 Z.5
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707 (THREAD M48X2)
G97 S500 M03
G00 X52. Z6.
G76 P020060 Q50 R0.03
G76 X45. Z-30. P1227 Q350 F2.
;   ^^^^ warning: thread_size_odd
G00 X60. Z50.
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD M24X2)
T0606
G97 S900 M03
G00 X28. Z6.
G76 P020060 Q100 R0.05
G76 X22.546 Z-25.5 P1227 Q350 F2.
;   ^^^^^^^ warning: thread_size_odd
M30
)"},
            // One and a half inches, twelve to the inch.
            {System::C, R"(
G70 G90 G95
T1010 (1 1/2-12)
G97 S600 M03
G00 X1.36 Z.25
G21 X1.434 Z-.93 F.083333
X1.464
X1.486
X1.5
G00 Z.5
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S800 M03
G00 X31. Z6.
G78 P010060 Q80 R.04
G78 X24.546 Z-29.5 P227 Q35 F2.
;                  ^^^^ warning: thread_size_odd
M30
)"},
            {System::B, R"(
G20 G90 G95
N4 (3/4-16 UNF)
T0404
G97 S700 M03
G00 X.85 Z.25
G78 X.72 Z-.8 F.0625
X.69
X.637
;^^^^ warning: thread_size_odd
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD M72X2 INSIDE)
T1111
G97 S350 M03
G00 X66. Z6.
G76 P020060 Q80 R.03
G76 X72. Z-18.5 P1080 Q300 F2.
M30
)"},
            {System::B, R"(
G20 G90 G95
N5 (THREAD 1-12 UNF-2B)
T0505
G97 S450 M03
G00 X.86 Z.3
G76 P021060 Q0020 R.001
G76 X1. Z-.84 P0451 Q0080 F.083333
N6 (THREAD 1/2-14 NPT)
T0303
G97 S450 M03
G00 X1. Z.2
G78 X.768 Z-.6 R-.025 F.071429
X.7388 R-.025
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD M36 X 6 P2, 3 STARTS)
T0404
G97 S400 M03
G00 X40. Z8.
G92 X35.2 Z-47. F6.
X34.2
X33.546
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
N4 (THREAD M30X1.5)
T0707
G97 S700 M03
G00 X33. Z5.
X29.2
G32 Z-23. F1.5
G00 X33.
Z5.
X28.16
G32 Z-23. F1.5
G00 X33.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S120 M03
G00 X44. Z14.
G76 P010030 Q50 R.03
G76 X32. Z-78. P4000 Q250 F14.
G00 Z21.
G76 P010030 Q50 R.03
G76 X32. Z-78. P4000 Q250 F14.
G00 X60.
M30
)"},
            // The core of the nut; and a root under it.
            {System::A, R"(
G21 G99
T0707 (M30X1.5)
G97 S600 M03
G00 X34. Z4.
G76 P010060 Q50 R0.02
G76 X28.376 Z-26.5 P920 Q250 F1.5
;   ^^^^^^^ warning: thread_size_odd
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0707 (M30X1.5)
G97 S600 M03
G00 X34. Z4.
G76 P010060 Q50 R0.02
G76 X28.16 Z-26.5 P920 Q250 F1.5
G00 X60.
M30
)"},
            // The height of lead 2, and of 16 to the inch; that of a trapezoid.
            {System::C, R"(
G71 G90 G95
T0808
G97 S600 M03
G00 X46. Z8.
G78 P020060 Q80 R0.03
G78 X37.546 Z-28.5 P1227 Q300 F1.75
;                               ^^^^^ warning: thread_size_odd
G00 X80. Z50.
M05
M01
M30
)"},
            {System::A, R"(
G20 G99
T0808
G97 S600 M03
G00 X.85 Z.3 M08
G76 X.6733 Z-.92 K.0383 D120 F.05556 A60
;                            ^^^^^^^ warning: thread_size_odd
G00 X3. Z2. M09
M05
M01
M30
)"},
            {System::B, R"(
G21 G90 G95
T0808
G97 S200 M03
G00 X34. Z12.
G76 P010030 Q60 R0.03
G76 X24.5 Z-80. P2750 Q300 F5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_size_odd
