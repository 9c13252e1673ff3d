// A cutting move while the spindle stands still.
//
// Feeding by the revolution the axes wait for ever; feeding by the minute the tool is pushed into the part.
#include "checks/more_axes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_with_spindle_stopped {

namespace {

/// Live tools and rigid taps turn without M03; C axis work has the spindle stand.
bool may_work_with_spindle_stopped(const Step& step) {
    if (step.moves_other) return true;
    switch (step.meaning) {
    case Meaning::tap_face:
    case Meaning::tap_side:
    case Meaning::drill_side:
    case Meaning::bore_side:
        return true;
    default:
        return false;
    }
}

enum class Feeds : std::uint8_t { by_turn, by_minute, unknown };
/// As stated, else as assumed; unknown where signs speak against each other.
Feeds feeds_of(const Step& step, const machine::Settings& settings) {
    if (step.is(Meaning::feed_per_minute)) return Feeds::by_minute;
    if (step.of(Group::feed_mode).possible != 0) return Feeds::by_turn;
    const machine::Assumption& assumed = settings.assumed.feed_mode;
    if (assumed.conflict) return Feeds::unknown;
    const bool by_minute = assumed.by != machine::Sign::none && assumed.meaning == Meaning::feed_per_minute;
    return by_minute ? Feeds::by_minute : Feeds::by_turn;
}

/// A jump behind a block delete above leads to a block of this sequence: "/N30 GOTO60". With the switch off
/// the blocks between are run.
bool lands_from_above(const SequenceContext& context) {
    constexpr std::size_t most_blocks = 120;
    const machine::Reader& reader = context.reader;
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(context.steps.front().place, false); at && looked_at < most_blocks;
         at = reader.neighbour(*at, false), ++looked_at) {
        const syntax::Run& run = reader.line(*at);
        if (!run.blocks[at->block].deleted) continue;
        const std::string statement = statement_of(reader, *at);
        if (!statement.starts_with("GOTO")) continue;
        const auto label = plain_number(std::string_view(statement).substr(4));
        if (!label) continue;
        for (const Step& step : context.steps) {
            const auto items = reader.items(step.place);
            if (!items.empty() && items.front().kind == syntax::ItemKind::word &&
                items.front().letter == 'N' && items.front().value == *label)
                return true;
        }
    }
    return false;
}

void sequence(const SequenceContext& context, Report& report) {
    const Step* speed = nullptr; ///< The block with S behind the last stop: M03 is missing there
    bool looked_for_jump = false, speed_given = false, speed_below_stop = false, machine_codes = false,
         other_axis = false, may_be_skipped = false;
    const shop::Tool* tool = context.tool >= 0 ? context.shop.tool(context.tool) : nullptr;
    if (tool && (tool->kind == shop::ToolKind::bar_puller || tool->kind == shop::ToolKind::live)) return;
    for (const Step& step : context.steps) {
        speed_given |= step.gives_speed;
        if (step.gives(Meaning::spindle_stop)) speed = nullptr;
        if (step.gives(Meaning::spindle_stop) && !step.gives_speed) speed_below_stop = false;
        speed_below_stop |= step.gives_speed;
        if (step.gives_speed && !speed) speed = &step;
        machine_codes |= step.machine_code;
        const machine::Modal& direction = step.of(Group::spindle_direction);
        // M05 in the block of a move acts behind it.
        bool stopped = (direction.is(Meaning::spindle_stop) && !step.gives(Meaning::spindle_stop)) ||
                       direction.surely_unset();
        // Of the ways that a block with / parts both are gone, and on one of them it stands for certain. What
        // a condition asks may be known to be so.
        may_be_skipped |= step.deleted;
        const bool may_stand = !stopped && direction.why == Why::known && !direction.known() &&
                               direction.possible != 0 && direction.may_be(Meaning::spindle_stop);
        const bool on_a_way =
            may_stand && cuts(step) &&
            (may_be_skipped || (!looked_for_jump && (looked_for_jump = true) && lands_from_above(context)));
        stopped = stopped || on_a_way;
        other_axis |= step.moves_other;
        const std::optional<machine::Spindle> spindle = step.after->spoken_to();
        if (!spindle || *spindle == machine::Spindle::live) continue; // Another rule tells that
        const bool taps = step.motion == MotionKind::drill_cycle && step.meaning == Meaning::tap_face;
        if (taps && cuts(step) && direction.is(Meaning::spindle_stop) && !speed_below_stop &&
            !machine_codes && !other_axis && step.target_x.is(0)) {
            report_at_code(report, context, step, step.meaning)
                .message(said(
                    "This taps while the spindle is stopped, and below the stop no S, no M03 and no code "
                    "for rigid tapping has come: the tap is pushed into its hole without turning and "
                    "breaks. Is a block lost?"))
                .origin(part(Group::spindle_direction));
            return;
        }
        if (!cuts(step) || !stopped || may_work_with_spindle_stopped(step)) continue;
        // Of two turrets the other one's program may have started it.
        if (direction.surely_unset() && context.settings().machine.has_paths()) continue;
        if (direction.surely_unset() && waits_above(context.reader, context.steps.front().place)) return;
        // A hole off the centre behind a C or Y: a live tool.
        if (other_axis && step.motion == MotionKind::drill_cycle && !step.target_x.is(0)) continue;
        bool threads = !cuts_at_feed(step);
        // By the minute with the spindle stopped: bar pulling and stops are done so, on purpose. A speed in
        // the sequence says that it was meant to turn.
        const Feeds feeds = threads ? Feeds::by_turn : feeds_of(step, context.settings());
        if ((feeds != Feeds::by_turn && !speed_given) || machine_codes) continue;
        const std::string_view title = machine::spindle_title(*spindle);
        std::string what = direction.surely_unset() ? said("no block has started the {}", title)
                           : on_a_way ? said("on one of the ways that lead here the {} is stopped", title)
                                      : said("the {} is stopped", title);
        std::string outcome =
            feeds == Feeds::by_minute ? said("The tool is pushed into a part that stands still and breaks.")
            : feeds == Feeds::unknown
                ? said("The machine waits here, or the tool is pushed into a part that stands still.")
                : said("The feed goes by the turns of the spindle: the machine waits here and does not move, "
                       "or alarms.");
        (speed ? report.at_letter(speed->place, 'S') : report_at_code(report, context, step, step.meaning))
            .message(said("{} {}cuts while {}. {} Start it {}: M03, or M04 for a tool mounted upside down.",
                          code(context.settings(), step.meaning), speed ? said("below ") : "", what, outcome,
                          speed ? said("here") : said("before the approach")))
            .origin(part(Group::spindle_direction));
        return;
    }
}

/// The same where the tool gives codes of the builder, and notes or the shop file tell of each that it starts
/// no spindle: catchers, chucks, brakes.
void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const std::vector<MachineCode> codes = codes_told(context);
    using Does = MachineCode::Does;
    const auto starts_none = [&](const ActWord& word) {
        const MachineCode* code = told_code(word, codes);
        return code && code->does != Does::other && code->does != Does::live_on &&
               code->does != Does::joined && code->does != Does::c_on && code->does != Does::c_off;
    };
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        for (const ToolOfSpan& tool : program) {
            const Act* speed = nullptr;
            bool any_code = false;
            for (const Act& act : tool.work->acts) {
                if (act.calls_program || act.turns_part || act.polar || act.cylinder || tool.own->live) break;
                bool unknown = false;
                for (const ActWord& word : tool.work->words_of(act)) {
                    if (!is_of_builder(word)) continue;
                    any_code = true;
                    unknown = unknown || !starts_none(word);
                }
                if (unknown || (act.states(Group::spindle_direction) && act.turns())) break;
                if (act.gives_speed && !speed) speed = &act;
                const bool cuts = act.motion == MotionKind::feed && act.cuts() && act.per_rev();
                if (!cuts || !any_code || !speed || !act.stopped() || act.spindle != machine::Spindle::main)
                    continue;
                report.at_letter(tool.place(*speed), 'S')
                    .message(said(
                        "A speed is given here and no start: the spindle is stopped since a block above, and "
                        "below the tool feeds by the revolution. The machine waits there and does not move, "
                        "or alarms. Write M03 (M04 for a tool mounted upside down) here."))
                    .origin(part(Group::spindle_direction))
                    .related(tool.place(act), said("cuts here"));
                break;
            }
        }
    });
}

} // namespace

extern const Check check{
    .id = "feed_with_spindle_stopped",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Cutting move with the spindle stopped",
    .documentation =
        "A cutting move or a cycle runs while the spindle is stopped or was never started, mostly because "
        "M03 "
        "was forgotten after the M05 of the sequence before. With feed by the revolution the axes wait and "
        "nothing moves; with feed by the minute the tool is pushed into a part that stands still. Moves by "
        "the "
        "minute in a sequence that gives no speed are taken for bar pulling or a stop and are not reported, "
        "nor "
        "live tools, rigid taps and C axis work, nor a spindle that was never started in a program with "
        "waits "
        "above: the program of another turret may have started it. Where the sequence has a block with /, "
        "one of its two ways is enough. A tap is told where below the stop neither a speed nor a code for "
        "rigid tapping comes.",
    .sequence = sequence,
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G99
T0707
G97 S1200 M03
G00 X0. Z.3
G83 Z-1.05 R-.2 Q1500 F.006
G80
G28 U0.
G28 W0.
T0808
M05
G97 G54 G00 X0. Z.4
G84 Z-.75 R-.2 F.0625
;^^ warning: feed_with_spindle_stopped
G80
M30
)"},
            {System::A, R"(
G20 G99
T0808
M05
G97 G54 G00 X0. Z.4
M29 S400
G84 Z-.75 R-.2 F.0625
G80
M30
)"},
            {System::B, R"(
G21 G90 G95
T0808
M05
G97 G00 X0. Z5.
S400
G84 Z-20. R5. F1.5
G80
M30
)"},
            // The test cut that a skipped jump leaves out stops the spindle.
            {System::B, R"(
G20 G90 G95
T0303
G97 S1400 M03
G00 X1.4 Z.1
/N30 GOTO60
N31 X1.272
N32 G01 Z-.25 F.005
N34 G00 X8. Z3.
M05
M00
T0303
N40 G00 Z.1
N60 G00 X1.45
N61 G96 S480
;       ^^^^ warning: feed_with_spindle_stopped
X1.25
N63 G01 Z-1. F.004
G00 X8. Z3.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S1400 M03
G00 X1.4 Z.1
/N30 GOTO60
N31 X1.272
N32 G01 Z-.25 F.005
N34 G00 X8. Z3.
M05
M00
T0303
N39 G97 S1400 M03
N40 G00 Z.1
N60 G00 X1.45
N61 G96 S480
X1.25
N63 G01 Z-1. F.004
G00 X8. Z3.
M30
)"},
            // The lower turret of two: the other program turns the part.
            {System::A, R"(
G21 G99
M210
M211
T3131
G00 X0 Z3.
G74 R1.
G74 Z-38. Q5000 F.1
G00 Z100.
M212
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
G00 X42. Z1.
G01 Z-30. F0.2
G00 X60. Z10.
M05
T0505
G97 S900
;   ^^^^ warning: feed_with_spindle_stopped
G00 X44. Z-20.
G01 X36. F0.06
X44. F0.4
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S900
;   ^^^^ warning: feed_with_spindle_stopped
G00 X0 Z.1
G83 Z-1. R.04 F.006
G80
M30
)"},
            {System::C, R"(
G71 G90 G94
T0202
G97 S900
;   ^^^^ warning: feed_with_spindle_stopped
G00 X50. Z1.
G01 X20. F80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S600 M03
M05
G00 X30. Z5.
G78 X28. Z-20. F1.5
;^^ warning: feed_with_spindle_stopped
M30
)"},
            // Where the block with / is skipped it turns, else the stop stands.
            {System::A, R"(
G20 G99
T0303
G97 S1400 M03
G00 X1.5 Z.1
/GOTO60
G01 X1.272 F.005
Z-.25
G00 X1.4
M05
M00 (MEASURE)
N60 G00 X1.5 Z.08
G96 S480
;   ^^^^ warning: feed_with_spindle_stopped
G01 X1.25 F.005
Z-.5
G00 X4.
M30
)"},
            {System::A, R"(
G20 G99
T0303
G97 S1400 M03
G00 X1.5 Z.1
/GOTO60
G01 X1.272 F.005
Z-.25
G00 X1.4
M05
M00 (MEASURE)
G97 S1400 M03
N60 G00 X1.5 Z.08
G96 S480
G01 X1.25 F.005
Z-.5
G00 X4.
M30
)"},
            // Bar pull by the minute with the spindle stopped.
            {System::A, R"(
G21 G98
T1010
M05
G00 X0. Z5.
G01 Z-40. F500.
G01 Z40. F2000.
G99
M30
)"},
            // Left turning between tools.
            {System::A, R"(
G20 G99
T0101
G97 S700 M03
G00 X2. Z.1
G01 Z-1. F.01
G00 X4. Z2.
T0303
G00 X2. Z.1
G01 Z-1. F.005
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
M04 S900
G00 X40. Z1.
G01 Z-10. F0.2
M30
)"},
            // A drilled hole off the centre with a live tool and the C axis.
            {System::A, R"(
G21 G98
T1111
M05
G00 X40. Z5. C0.
G83 Z-12. C0. F60.
C120.
C240.
G80
M30
)"},
            // The C axis stands before the cycle, and a stop in the block of the last cut.
            {System::A, R"(
G21 G98 G97
T0808
M05
G28 H0.
G00 C90.
G00 X50. Z5.
G97 S2000
G83 X50. Z-12. R-3. F100.
G80
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
X60. M05
M30
)"},
            // What the machine does in a jump is not known; nothing is said.
            {System::B, R"(
G21 G90 G95 T0101
G97 S800 M03
IF [#500 EQ 1] GOTO 10
M05
N10 G00 X40. Z1.
G01 Z-10. F0.2
M30
)"},
            {System::A, R"(
O1012 (LOWER)
G21 G99
T0202 (DRILL 8)
G00 X0 Z5.
M101
G01 Z-15. F.1
G00 Z5.
M102
M30
)",
             "[[machine]]\nname = \"two turrets\"\npath_numbers = 1000\n"},
            // The mode is not stated, and its signs speak against each other: pulled by the minute, perhaps.
            {System::A, R"(
O1
G21
T0101 (TURN)
G97 S900 M03
G00 X32. Z1.
G01 Z-30. F0.2
X36.
M05
G28 U0 W0
T0909 (BAR PULL)
G00 X0 Z-20.
G01 Z-32. F500.
G00 X60.
G28 U0 W0
M30
)"},
            // With a speed of its own it was to turn.
            {System::A, R"(
O1
G21
T0101 (TURN)
G97 S900 M03
G00 X32. Z1.
G01 Z-30. F0.2
X36.
M05
G28 U0 W0
T0909 (BAR PULL)
G97 S400
;   ^^^^ warning: feed_with_spindle_stopped
G00 X0 Z-20.
G01 Z-32. F500.
G00 X60.
G28 U0 W0
M30
)"},
            // The catcher's code starts no spindle.
            {System::B, R"(
(M70 / M71 PART CATCHER OUT / BACK)
G21 G90 G95
T0707
G97 S900 M03
G00 X20. Z2.
G01 Z-10. F.1
M05
T0808
G97 S900
;   ^^^^ warning: feed_with_spindle_stopped
M70
G00 X44. Z-18.
G01 X7.5 F.05
G00 X44.
M71
M30
)"},
            {System::B, R"(
(M70 / M71 PART CATCHER OUT / BACK)
G21 G90 G95
T0707
G97 S900 M03
G00 X20. Z2.
G01 Z-10. F.1
M05
T0808
G97 S900 M03
M70
G00 X44. Z-18.
G01 X7.5 F.05
G00 X44.
M71
M30
)"},
        },
};

} // namespace turnwright::checks::rules::feed_with_spindle_stopped
