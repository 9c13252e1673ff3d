// A thread or a tap with another lead than its other passes, its name, or its own F.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace turnwright::checks::rules::thread_lead_odd {

namespace {

bool is_other(double lead, double wanted) {
    return std::abs(lead - wanted) > 0.01 * wanted;
}

bool is_near_multiple(double value, double step, double tolerance) {
    return std::abs(value - std::round(value / step) * step) <= tolerance && value > step / 2;
}

/// One that a thread of ISO 261, of whole threads an inch (below twelve half ones, too), a fraction of an
/// inch or a worm's module has, with up to four starts. Steps of modules: common practice, no source.
bool is_lead_of_some_thread(double lead_mm, bool inch) {
    for (int starts = 1; starts <= 4; ++starts) {
        const double pitch = lead_mm / starts;
        const double tolerance = std::max(0.003 * pitch, inch ? 0.0006 * motion::mm_per_inch / starts : 0.0);
        const double step = pitch < 0.95 ? 0.05 : pitch < 2.2 ? 0.25 : 0.5;
        const double an_inch = motion::mm_per_inch / pitch, off = an_inch * tolerance / pitch;
        const double diametral = an_inch * std::numbers::pi;
        if (is_near_multiple(pitch, step, tolerance) ||
            (an_inch < 41 && is_near_multiple(an_inch, an_inch < 12 ? 0.5 : 1, off)) ||
            is_near_multiple(pitch / std::numbers::pi, 0.25, tolerance / std::numbers::pi) ||
            (diametral < 25 && is_near_multiple(diametral, 1, off * std::numbers::pi)) ||
            is_near_multiple(pitch, motion::mm_per_inch / 32, tolerance))
            return true;
    }
    return false;
}

/// The smallest of ASME B1.1, up to an eighth of an inch (from memory).
bool is_lead_of_tiny_thread(const Act& act, double lead_mm, double per_unit) {
    constexpr double threads_an_inch[] = {44, 48, 56, 64, 72, 80};
    constexpr double most_radius_mm = 1.6;
    const double x = known(act.to_x) ? act.to_x : act.from_x;
    if (!known(x) || std::abs(x) * per_unit > most_radius_mm) return false;
    return std::any_of(std::begin(threads_an_inch), std::end(threads_an_inch), [&](double threads) {
        return std::abs(lead_mm - motion::mm_per_inch / threads) < 0.004 * lead_mm;
    });
}

/// The lead of a tap that two swapped digits have made this F of. A holder with a spring is fed a little less
/// than the lead, so that no other number is told as odd.
std::optional<double> tap_lead_with_swapped_digits(double feed, double per_unit) {
    constexpr double pitches_mm[] = {0.4,  0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5,
                                     1.75, 2,    2.5, 3,   3.5, 4,    4.5, 5, 5.5,  6}; // ISO 261
    const bool inch = per_unit > 1;
    const double rounding = inch ? 0.00006 : 0.0006, least_off = 0.01;
    const auto is_lead = [&](double value) {
        const double an_inch = motion::mm_per_inch / (value * per_unit);
        for (double threads : {std::round(an_inch), 4.5, 11.5})
            if (threads >= 4 && threads <= 80 &&
                std::abs(motion::mm_per_inch / threads / per_unit - value) < rounding)
                return true;
        return std::any_of(std::begin(pitches_mm), std::end(pitches_mm),
                           [&](double pitch) { return std::abs(pitch / per_unit - value) < rounding; });
    };
    if (is_lead(feed)) return std::nullopt;
    for (const double meant : slips_of(feed))
        if (slip_between(feed, meant) == Slip::digits_swapped && is_lead(meant) &&
            std::abs(meant - feed) > least_off * feed && meant < 2 * feed && feed < 2 * meant)
            return meant;
    return std::nullopt;
}

/// ISO 261 and the unified coarse threads end at 6 mm and 4 threads an inch (from memory).
constexpr double most_tap_lead_mm = 6.4;

/// Holes of one tap by the minute, of which one has another speed or feed: its lead and that of the rest.
struct OddTap {
    const Act* act = nullptr;
    double lead = 0, of_others = 0;
};

/// Who has set the F that a block takes over.
enum class Giver : std::uint8_t { nobody, thread, cut, alone };

struct Looker {
    const FileContext& context;
    Report& report;
    const std::vector<ToolOfSpan>& tools;
    std::optional<double> of_file;
    Giver giver = Giver::nobody;

    Report::Entry at_feed(const ToolOfSpan& tool, const Act& act) {
        if (act.gives_feed) return report.at_letter(tool.place(act), 'F');
        return report.at(tool.place(act));
    }

    /// mm; by the minute as the spindle's speed makes it.
    std::optional<double> lead_of(const ToolOfSpan& tool, const Act& act) const {
        auto mm = mm_of(act, of_file);
        if (!mm || act.feed <= 0 || tool.work->word(act, 'E')) return std::nullopt;
        if (!act.taps() || goes_by_turn(act, context.settings())) return act.feed * *mm;
        if (!goes_by_minute(act, context.settings()) || !act.rpm() || act.speed <= 0) return std::nullopt;
        return act.feed / act.speed * *mm;
    }

    /// Of three holes at least.
    std::optional<OddTap> odd_tap(const ToolOfSpan& tool) const {
        std::vector<std::pair<const Act*, double>> leads;
        for (const Act& act : tool.work->acts)
            if (act.taps() && act.moves())
                if (const auto lead = lead_of(tool, act)) leads.emplace_back(&act, *lead);
        if (leads.size() < 3) return std::nullopt;
        for (const auto& tapped : leads) {
            const auto act = tapped.first;
            const double own = tapped.second;
            const auto others = static_cast<std::size_t>(std::count_if(
                leads.begin(), leads.end(), [&](const auto& some) { return is_other(some.second, own); }));
            if (others + 1 != leads.size()) continue;
            const double rest = (leads.front().first == act ? leads.back() : leads.front()).second;
            const bool rest_alike = std::all_of(leads.begin(), leads.end(), [&](const auto& some) {
                return some.first == act || !is_other(some.second, rest);
            });
            if (rest_alike) return OddTap{act, own, rest};
        }
        return std::nullopt;
    }

    void look_at(const ToolOfSpan& tool) {
        if (const auto odd = tool.work->has_taps ? odd_tap(tool) : std::nullopt) {
            report.at(tool.place(*odd->act))
                .message(said("This hole is tapped with a lead of {:.4f} mm, the others of this tool with "
                              "{:.4f}: the tap "
                              "breaks. F{} and S{} here: one of the two has a wrong digit.",
                              odd->lead, odd->of_others, written(odd->act->feed), written(odd->act->speed)));
            return;
        }
        const auto named = thread_of(tool, tools);
        const Act* first = nullptr; // Of the passes that end at one place
        bool told = false;
        for (const Act& act : tool.work->acts) {
            const bool threads = act.threads() || act.taps();
            if (act.gives_feed && !act.dwells)
                giver = threads ? Giver::thread : act.motion == MotionKind::none ? Giver::alone : Giver::cut;
            if (!threads || (act.motion == MotionKind::thread && !act.moves_z)) continue;
            const auto lead = lead_of(tool, act);
            if (!lead) continue;
            const double per_unit = *mm_of(act, of_file);
            if (told) continue;
            if (named && is_other(*lead, named->lead_mm)) {
                told = true;
                const double wanted =
                    named->lead_mm * (act.taps() && goes_by_minute(act, context.settings()) ? act.speed : 1) /
                    per_unit;
                const std::string name =
                    named->name.empty()
                        ? said("{} threads an inch", spoken(motion::mm_per_inch / named->lead_mm))
                        : named->name;
                at_feed(tool, act).message(
                    act.gives_feed
                        ? said("F{} is not the lead of {}: it cuts another thread, or the tap breaks. "
                               "Write F{}.",
                               written(act.feed), name, written(std::round(wanted * 1e6) / 1e6))
                        : said("No F here: the lead is F{} of the cut before. {} needs F{}.",
                               written(act.feed), name, written(std::round(wanted * 1e6) / 1e6)));
                continue;
            }
            if (!named && !act.gives_feed && giver == Giver::cut) {
                told = true;
                at_feed(tool, act).message(said(
                    "No F here: the lead is F{}, the feed of the cut before. Write the thread's lead as F.",
                    written(act.feed)));
                continue;
            }
            if (!named && act.taps() && *lead > most_tap_lead_mm) {
                told = true;
                at_feed(tool, act).message(
                    said("F{} is a lead of {:.3f} mm, and no tap cuts that in a turn: it breaks. "
                         "Is the point or a digit wrong?",
                         written(act.feed), *lead));
                continue;
            }
            const auto swapped =
                !named && act.taps() && act.gives_feed && !goes_by_minute(act, context.settings())
                    ? tap_lead_with_swapped_digits(act.feed, per_unit)
                    : std::nullopt;
            if (swapped) {
                told = true;
                at_feed(tool, act).message(
                    said("No tap has F{} for a lead: it tears the thread out and breaks. F{} is meant, "
                         "perhaps: two of its digits are swapped.",
                         written(act.feed), written(*swapped)));
                continue;
            }
            if (!named && act.gives_feed && !goes_by_minute(act, context.settings()) &&
                !is_lead_of_some_thread(*lead, per_unit > 1) &&
                !is_lead_of_tiny_thread(act, *lead, per_unit)) {
                told = true;
                at_feed(tool, act)
                    .severity(Severity::information)
                    .message(said("F{} is the lead of no thread in the tables, nor of several starts of "
                                  "one. Is a digit wrong?",
                                  written(act.feed)));
                continue;
            }
            const bool same_thread =
                first && !act.taps() && first->to_z == act.to_z && first->motion == act.motion;
            if (same_thread && is_other(act.feed, first->feed)) {
                told = true;
                at_feed(tool, act)
                    .message(said("Lead {} in the groove of a lead of {}: the passes before cut F{} to the "
                                  "same end. The thread is destroyed. Write F{}.",
                                  spoken(act.feed), spoken(first->feed), written(first->feed),
                                  written(first->feed)))
                    .related(tool.place(*first), said("the pass before"));
            }
            first = &act;
        }
    }
};

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    Looker looker{context, report, tools, unit_of_file(context, tools)};
    const machine::ProgramPart* program = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != program) looker.giver = Giver::nobody;
        program = tool.span->program;
        if (tool.work->has_threads || tool.work->has_taps) {
            looker.look_at(tool);
            continue;
        }
        for (const Act& act : tool.work->acts)
            if (act.gives_feed && !act.dwells)
                looker.giver = act.motion == MotionKind::none ? Giver::alone : Giver::cut;
    }
}

} // namespace

extern const Check check{
    .id = "thread_lead_odd",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Lead that is not the thread's",
    .documentation =
        "F of a thread or a tap is its lead. It is another one than that of the thread a note names (of this "
        "sequence, of the tool list, or the only one the program speaks of), than that of the passes before "
        "which end at the same place, or it is no lead at all but the feed of the cut before, because no F "
        "stands here. The thread is destroyed or the tap breaks. Where nothing names the thread, a lead that "
        "no thread of the tables has, with one start or several, is told as information. A note that speaks "
        "of several starts keeps "
        "this rule quiet; pitches are those of ISO 261 and ASME B1.1.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0404
G97 S500 M03
G00 X0. Z6.
G84 Z-20. F1.25 (M10)
;         ^^^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S500 M03
G00 X0. Z6.
G84 Z-20. F1.5 (M10)
G80
M30
)"},
            {System::A, R"(
G21 G99
N1 (THREAD M16X1.5)
T0505
G97 S1000 M03
G00 X20. Z5.
G92 X15.3 Z-26. F1.5
X14.6
X14.3 F1.75
;     ^^^^^ warning: thread_lead_odd
X14.16
M30
)"},
            {System::A, R"(
(T6 TAP 1/4-20)
G20 G99
N4 (TAP)
T0606
G97 S600 M03
G00 X0 Z.5
G84 Z-.6 R-.3 F.0357
;             ^^^^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 (DRILL NO.7)
T0404
G97 S800 M03
G00 X0 Z.4
G83 Z-1.3 Q2500 F.006
G80
N2
T0505
G97 S400 M03
G00 X0 Z.4
G84 Z-.75
;^^^^^^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::C, R"(
(O0139 STUD 3/4-16 UNF)
G70 G90 G95
T0404
G97 S700 M03
G00 X.85 Z.25
X.73
G33 Z-.43 F.02
;         ^^^^ warning: thread_lead_odd
G00 X.85
Z.25
X.7
G33 Z-.43
M30
)"},
            {System::A, R"(
G21 G99
N1 (THREAD G 1/2)
T0505
G97 S800 M03
G00 X25. Z8.
G76 P010055 Q50 R0.02
G76 X18.631 Z-20. P1162 Q250 F1.5
;                            ^^^^ warning: thread_lead_odd
M30
)"},
            {System::A, R"(
G21 G99
N1 (THREAD 1/2 BSP - RELIEF BY R1/16 TOOL)
T0505
G97 S800 M03
G00 X25. Z8.
G76 P010055 Q50 R0.02
G76 X18.631 Z-20. P1162 Q250 F1.814286
M30
)"},
            {System::A, R"(
(T1 TURN - T7 LAYDOWN 12 UN)
G20 G99
N5 (THREAD 1-12 UNF)
T0707
G97 S650 M03
G00 X1.2 Z.35
G76 X.8978 Z-1.04 K.0511 D0130 F.083333 A60
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 (THREAD M30X2, TWO STARTS)
T0707
G97 S500 M03
G00 X34. Z6.
G78 X29. Z-33. F4.
X28.5
N2 (TAP M8 BY THE MINUTE)
T0808
G94 G97 S400 M03
G00 X0 Z6.
G84 Z-12. R3. F500.
G80
M30
)"},
            {System::C, R"(
(STUD WITH M20X1.5 AND M16X2)
G71 G90 G95
T0707
F1.5
G97 S500 M03
G00 X34. Z6.
X19.
G33 Z-20.
G00 X34.
Z6.
X15.
G33 Z-10. F2.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S600 M03
G00 X28. Z5.
G92 X23.4 Z-20. F1.875
;               ^^^^^^ information: thread_lead_odd
X23.2
X23.1
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S600 M03
G00 X.65 Z.25
X.586
G33 Z-.43 F.078
;         ^^^^^ information: thread_lead_odd
G00 X.65
Z.25
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S600 M03
G00 X28. Z5.
G21 X23.4 Z-20. F3.1416
G21 X23.4 Z-40. F2.309
G21 X23.4 Z-60. F4.5
G21 X23.4 Z-80. F2.2
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0606 (LIVE TAP)
S500 M03
G00 X1. Z.2
G84 Z-.5 R-.05 F20.833
G80
G00 X1.2
M29 S5000
G84 Z-.5 R-.05 F20.833
;^^^^^^^^^^^^^^^^^^^^^^^^ warning: thread_lead_odd
G80
G00 X1.4
M29 S500
G84 Z-.5 R-.05 F20.833
G80
M30
)"},
            {System::A, R"(
G20 G99 G97
T0606
S400 M03
G00 X0 Z.3
G84 Z-.5 R-.1 F.5
;             ^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::C, R"(
(PIVOT 0-80)
G70 G90 G95
T0404
G97 S1500 M03
G00 X.08 Z.05
G21 X.053 Z-.108 F.0125
X.0485
X.0447
G00 X2. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S500 M03
G00 X1.1 Z.3
G78 X.98 Z-1. F.0125
;                ^^^^^^ information: thread_lead_odd
X.95
G00 X2. Z2.
M30
)"},
            // No note names it, and two swapped digits make the lead of a tap.
            {System::A, R"(
G20 G99
T0404
G97 S500 M03
G00 X0 Z.3
M29 S500
G84 Z-1.6 F.07962
;         ^^^^^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S250 M03
G00 X0 Z8.
G84 Z-22. R5. F1.57
;             ^^^^^ warning: thread_lead_odd
G80
M30
)"},
            {System::C, R"(
(T5 GEWINDEBOHREN M12)
G71 G90 G95
T0505
G97 S250 M03
G00 X0 Z8.
G84 Z-22. R5. F1.57
;             ^^^^^ warning: thread_lead_odd
G80
M30
)"},
            // Rounded to the digits that the control takes.
            {System::A, R"(
G21 G99
T0404
G97 S250 M03
G00 X0 Z8.
G84 Z-22. F1.75
G84 Z-22. F1.749
G80
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G97 S250 M03
G00 X0 Z.3
G84 Z-.8 R.1 F.0769
G84 Z-.8 R.1 F.0556
G84 Z-.8 R.1 F.0394
G80
M30
)"},
            {System::B, R"(
O1111 (BOLZEN M30X1,5)
G90 G95 G21
T0707
G97 S900 M03
G00 X34 Z5
G78 X29.25 Z-37.5 F1.5
X28.85
G00 X120 Z60
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // The mode is not stated: by the minute, as the feeds of the program are.
            {System::A, R"(
O1
G20
T0101 (80 DEG TURN)
G97 S1200 M03
G00 X1.2 Z.1
G01 Z-1. F15.
X1.3
G00 X6. Z4.
T0303 (TAP 1/4-20)
G97 S400 M03
G00 X0 Z.2
G84 Z-.6 F20.
G80
G00 X6. Z4.
M30
)"},
            // So read it is another lead.
            {System::A, R"(
O1
G20
T0101 (80 DEG TURN)
G97 S1200 M03
G00 X1.2 Z.1
G01 Z-1. F15.
X1.3
G00 X6. Z4.
T0303 (TAP 1/4-20)
G97 S400 M03
G00 X0 Z.2
G84 Z-.6 F25.
;        ^^^^ warning: thread_lead_odd
G80
G00 X6. Z4.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::thread_lead_odd
