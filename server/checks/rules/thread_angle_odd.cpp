// The angle in a threading cycle is none that controls take.
//
// The angles: from memory.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <cmath>

namespace turnwright::checks::rules::thread_angle_odd {

namespace {

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::thread_cycle || view.reading.moves_x || view.reading.moves_z)
        return;
    const machine::Word* packed = view.reading.word('P');
    if (!packed || packed->item->kind != syntax::ItemKind::word || packed->item->has_point) return;
    const int number = machine::whole_number(packed->item->value);
    // Leading noughts may be left out, but no one cuts with no finishing pass on purpose.
    if (number < 10000 && text_of(view, *packed->item).size() < 6) {
        report.at(view, *packed->item)
            .message(said("{} has not the six digits that the first line takes: two for the finishing "
                          "passes, two for the run out, two for the angle, such as P010060. P and Q "
                          "are exchanged, perhaps, or a digit is lost.",
                          text_of(view, *packed->item)));
        return;
    }
    int angle = number % 100;
    for (int known : {0, 29, 30, 55, 60, 80})
        if (angle == known) return;
    report.at(view, *packed->item)
        .message(said("{} ends in the angle {:02}: the cycle takes 00, 29, 30, 55, 60 or 80 and alarms at "
                      "others.",
                      text_of(view, *packed->item), angle));
}

/// Height over lead of the two families: 60 degrees (ISO 68-1: 17/24 of sqrt(3)/2) and 55 degrees (ISO 228-1:
/// 0.640327).
constexpr double of_60 = 0.6134, of_55 = 0.6403, near = 0.003;

/// A whole number of threads to the inch.
bool is_by_inch(double lead_mm) {
    const double count = motion::mm_per_inch / lead_mm;
    return std::abs(count - std::round(count)) < 0.004 * count;
}

/// The angle of one line's A, or of the six digits of P in the first of two lines; nullopt: neither stands.
std::optional<int> angle_of(const ToolOfSpan& tool, const Act& act, double per_unit) {
    if (const ActWord* one_line = tool.work->word(act, 'A'); one_line && act.moves())
        return machine::whole_number(one_line->number);
    const ActWord* packed = act.moves() ? nullptr : tool.work->word(act, 'P');
    if (!packed || packed->has_point) return std::nullopt;
    const double stored = packed->number; // In program units, where it is read as a length
    return static_cast<int>(std::lround(stored >= 1000 ? stored : stored * (per_unit > 1 ? 1e4 : 1e3)) % 100);
}

/// The angle says one family, height and lead the other.
void look_at(const ToolOfSpan& tool, std::optional<double> of_file, Report& report) {
    const Act* first = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.motion != MotionKind::thread_cycle) continue;
        if (!act.moves()) {
            first = &act;
            continue;
        }
        const ActWord *one_line = tool.work->word(act, 'A'), *k = tool.work->word(act, 'K');
        const ActWord *packed = first ? tool.work->word(*first, 'P') : nullptr,
                      *p = tool.work->word(act, 'P');
        const auto per_unit = mm_of(act, of_file);
        const bool whole = k ? one_line != nullptr : packed && p && !p->has_point && !packed->has_point;
        if (!per_unit || !whole || act.feed <= 0) continue;
        const auto angle = angle_of(tool, k ? act : *first, *per_unit);
        const double lead = act.feed * *per_unit, height = std::abs(k ? k->number : p->number) * *per_unit;
        const bool is_60 = std::abs(height / lead - of_60) < near && !is_by_inch(lead);
        const bool is_55 = std::abs(height / lead - of_55) < near && is_by_inch(lead);
        if (!(angle == 55 && is_60) && !(angle == 60 && is_55)) continue; // None is neither
        report.at_letter(tool.place(k ? act : *first), k ? 'A' : 'P')
            .message(said("The angle is {}, and the height is {:.3f} of the lead, as that of a {} "
                          "degree thread: the flanks come out wrong and no gauge goes on. Write {}.",
                          *angle, height / lead, is_60 ? 60 : 55, is_60 ? 60 : 55));
    }
}

/// What the tool's notes name, else the only thread that any note of the head does.
std::optional<std::pair<std::string, double>> flanks_of(const ToolOfSpan& tool,
                                                        const std::vector<ToolOfSpan>& tools) {
    std::vector<std::string> names;
    if (const auto thread = thread_of(tool, tools); thread && !thread->name.empty()) {
        names.push_back(thread->name);
    } else {
        for (const ToolOfSpan& head : tools)
            if (!head.span->sequence)
                names.insert(names.end(), head.work->thread_names.begin(), head.work->thread_names.end());
    }
    if (names.size() != 1) return std::nullopt;
    const auto size = motion::thread_size(names.front());
    return size ? std::optional(std::pair(names.front(), size->flank_angle_deg)) : std::nullopt;
}

/// Wider than the flanks of a trapezoidal thread that the notes name. Less is taken on purpose: along a
/// flank.
void look_at_trapezoids(const ToolOfSpan& tool, const std::vector<ToolOfSpan>& tools,
                        std::optional<double> of_file, Report& report) {
    const auto thread = flanks_of(tool, tools);
    if (!thread || thread->second > 30) return;
    for (const Act& act : tool.work->acts) {
        const auto per_unit = mm_of(act, of_file);
        if (act.motion != MotionKind::thread_cycle || !per_unit) continue;
        const auto angle = angle_of(tool, act, *per_unit);
        constexpr int far_wider = 50;
        if (!angle || *angle < far_wider) continue;
        report.at_letter(tool.place(act), act.moves() ? 'A' : 'P')
            .message(
                said("The angle is {}, and {} is a thread of {} degrees: the tool is set over sideways with "
                     "each pass by more than its flank leans, and the flank comes out in steps. Write {}.",
                     *angle, thread->first, spoken(thread->second), spoken(thread->second)));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools)
        if (tool.work->has_threads) {
            look_at(tool, of_file, report);
            look_at_trapezoids(tool, tools, of_file, report);
        }
}

} // namespace

extern const Check check{
    .id = "thread_angle_odd",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Infeed angle the cycle does not know",
    .documentation =
        "The last two digits of P in the first line of the two-line threading cycle are the angle of "
        "the tool. Controls take 0, 29, 30, 55, 60 and 80 and alarm at others, or read "
        "the digits as something else when the number is not six digits long. A number of four digits or "
        "fewer "
        "is told, too: it asks for no finishing pass. So is an angle far wider than the flanks of a "
        "trapezoidal "
        "thread that the notes name.",
    .block = block,
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010160 Q50 R0.02
G76 P010063 Q50 R0.02
;   ^^^^^^^ warning: thread_angle_odd
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.2
G78 P010006 Q20 R.001
;   ^^^^^^^ warning: thread_angle_odd
G78 X.98 Z-.7 P383 Q100 F.0625
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P100 Q020060 R0.02
;   ^^^^ warning: thread_angle_odd
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P10060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P021029 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S420 M03
G00 X80. Z6.
G78 P011055 Q80 R0.04
;   ^^^^^^^ warning: thread_angle_odd
G78 X73.55 Z-24. P1227 Q350 F2.
G00 X200.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S420 M03
G00 X26. Z6.
G76 P011055 Q80 R0.04
G76 X18.632 Z-14. P1162 Q350 F1.8143
G00 X200.
M30
)"},
            {System::A, R"(
(NUT 1-5 ACME LEFT HAND)
G20 G99
T0505 (ACME INSIDE, 5 TPI)
G97 S250 M03
G00 X.76 Z-.75
G76 X1.02 Z.3 K.11 D90 A60 F.2
;                      ^^^ warning: thread_angle_odd
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707 (TR40X7)
G97 S200 M03
G00 X45. Z10.
G78 P020060 Q100 R.05
;   ^^^^^^^ warning: thread_angle_odd
G78 X32. Z-80. P4000 Q300 F7.
G00 X100.
M30
)"},
            {System::A, R"(
(SPINDLE TR40X7)
G21 G99
T0707
G97 S200 M03
G00 X45. Z10.
G76 P020029 Q100 R0.05
G76 X32. Z-80. P4000 Q300 F7.
G00 X100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_angle_odd
