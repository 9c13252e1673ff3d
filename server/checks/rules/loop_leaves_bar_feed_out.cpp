// A jump back that starts the next part behind the bar feed.
#include "checks/acts.h"
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::loop_leaves_bar_feed_out {

namespace {

using Does = MachineCode::Does;

struct Jump {
    BlockPlace from;
    BlockPlace to;
    std::int32_t label = 0;
};

/// Jumps back to a label that stands once.
std::vector<Jump> jumps_back(const FileContext& context) {
    std::vector<Jump> jumps;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            const bool jumps_there =
                mark.kind == machine::FlowKind::jump || mark.kind == machine::FlowKind::maybe_jump;
            if (!jumps_there || mark.number < 0) continue;
            const auto labels = context.labels(mark.number);
            if (labels.size() == 1 && labels[0] < BlockPlace{run, mark.block})
                jumps.push_back({{run, mark.block}, labels[0], mark.number});
        }
    return jumps;
}

/// What is done in a stretch of the program.
struct Done {
    const ToolOfSpan* feeds = nullptr; ///< The bar: the clamp opened and closed again
    bool opens = false, parts_off = false, unsure = false;
};
bool to_centre(const Act& act, std::optional<double> of_file) {
    constexpr double on_centre_mm = 0.6;
    const auto mm = mm_of(act, of_file);
    return act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.to_x) && mm &&
           act.to_x * *mm < on_centre_mm;
}
Done done_between(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                  std::optional<double> of_file, BlockPlace from, BlockPlace to) {
    Done done;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const BlockPlace at = tool.place(act);
            if (at < from || !(at < to)) continue;
            // Each turn may work elsewhere on a bar that came out once for several parts.
            // W of a roughing cycle is its allowance.
            const bool roughs = act.motion == machine::MotionKind::contour_cycle;
            done.unsure = done.unsure || act.calls_program || act.states(Group::datum) || act.incremental ||
                          !tool.work->whole || (!roughs && (act.by_w || (act.moves_z && !known(act.to_z))));
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code) continue;
                if (code->does == Does::bar_feed) done.feeds = &tool;
                if (code->does == Does::clamp_open) done.opens = true;
                if (code->does == Does::clamp_close && done.opens) done.feeds = &tool;
            }
            if (tool.is(NamedTool::Kind::part_off) && to_centre(act, of_file)) done.parts_off = true;
        }
    return done;
}

void look_at(std::span<const ToolOfSpan> program, const std::vector<Jump>& jumps,
             const std::vector<MachineCode>& codes, std::optional<double> of_file, Report& report) {
    const BlockPlace first = program.front().span->first, last = program.back().span->last;
    const auto is_here = [&](const Jump& jump) { return first < jump.to && !(last < jump.from); };
    if (std::count_if(jumps.begin(), jumps.end(), is_here) != 1) return; // Another loop may feed
    const Jump& jump = *std::find_if(jumps.begin(), jumps.end(), is_here);
    const Done before = done_between(program, codes, of_file, first, jump.to),
               loop = done_between(program, codes, of_file, jump.to, jump.from),
               behind = done_between(program, codes, of_file, jump.from, last);
    if (!before.feeds || loop.unsure || loop.opens || loop.feeds || behind.feeds || !loop.parts_off) return;
    const machine::Sequence* feed = before.feeds->span->sequence;
    const std::string write = feed && feed->number >= 0
                                  ? said("Write N{} as the jump's number.", feed->number)
                                  : said("Let the jump lead to a number in front of the bar feed.");
    report.at(jump.from)
        .message(said("This jump leads back to N{}, behind the bar feed: from the second part on no bar "
                      "comes out, the tools go through air where the part was cut off. {}",
                      jump.label, write))
        .related(before.feeds->span->first, said("the bar is fed here"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<Jump> jumps = jumps_back(context);
    if (jumps.empty()) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (codes.empty()) return;
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(program, jumps, codes, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "loop_leaves_bar_feed_out",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Loop of a bar job leaves the bar feed out",
    .documentation =
        "The bar is fed once at the top, the part is turned and cut off, and the jump that starts the next "
        "part "
        "leads to a number behind the bar feed: the second part is turned in air. Told where notes or the "
        "shop "
        "file say which codes open and close the clamp, the loop cuts a part off at one Z, and nothing in it "
        "feeds the bar, shifts the datum or calls a program.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M11 COLLET OPEN  M10 COLLET CLOSE)
G21 G99
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.5
M11
G04 U2.
M10
G00 Z20.
N20 T0202 (TURN)
G97 S1000 M03
G00 X18. Z1.
G01 Z-25. F.1
G00 X40.
N30 T0909 (PART OFF)
G00 X18. Z-27.
G01 X-.6 F.05
G00 X40.
#500=#500+1
IF[#500LT40]GOTO20
;^^^^^^^^^^^^^^^^^ warning: loop_leaves_bar_feed_out
M30
)"},
            {System::B, R"(
(M69 CHUCK OPEN  M68 CHUCK CLOSE)
G20 G90 G95
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.02
M69
G04 X2.
M68
G00 Z1.
N20 T0202 (TURN)
G97 S1000 M03
G00 X.7 Z.1
G01 Z-1. F.004
G00 X1.6
N30 T0909 (CUT OFF)
G00 X.7 Z-1.1
G01 X-.02 F.002
G00 X1.6
#500=#500+1
IF[#500LT40]GOTO20
;^^^^^^^^^^^^^^^^^ warning: loop_leaves_bar_feed_out
M30
)"},
            {System::A, R"(
(M11 COLLET OPEN  M10 COLLET CLOSE)
G21 G99
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.5
M11
G04 U2.
M10
G00 Z20.
N30 T0909 (PART OFF)
G97 S1000 M03
G00 X18. Z-27.
G01 X-.6 F.05
G00 X40.
#500=#500+1
IF[#500LT40]GOTO10
M30
)"},
            {System::A, R"(
(T8 ANSCHLAG  T5 ABSTECHEN)
G21 G99
#100=0
N10 T0808
G00 X0 Z.5
M69 (SPANNZANGE AUF)
G04 X2.
M68 (SPANNZANGE ZU)
G00 Z30.
N20 T0101
G97 S1000 M03
G00 X34. Z2.
G71 P30 Q40 U0.5 W0.1 D2000 F0.25
N30 G00 X15.9
G01 Z-60. F0.12
N40 X34.
G00 X150. Z100.
N70 T0505
G00 X35. Z-73.
G01 X-0.4 F0.05
G00 X150. Z100.
#100=#100+1
IF[#100LT20]GOTO20
;^^^^^^^^^^^^^^^^^ warning: loop_leaves_bar_feed_out
M30
)"},
            // The bar comes out once for several parts, each farther back.
            {System::B, R"(
(M69 CHUCK OPEN  M68 CHUCK CLOSE)
G21 G90 G95
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.5
M69
G04 X2.
M68
G00 Z20.
N30 T0909 (CUT OFF)
G97 S1000 M03
G00 X18. Z[-27.-27.*#500]
G01 X-.6 F.05
G00 X40.
#500=#500+1
IF[#500LT3]GOTO30
M30
)"},
            // Nothing tells what the codes do.
            {System::C, R"(
G71 G90 G95
#500=0
N10 T0101
G00 X0 Z.5
M69
M68
G00 Z20.
N30 T0909 (CUT OFF)
G97 S1000 M03
G00 X18. Z-27.
G01 X-.6 F.05
G00 X40.
#500=#500+1
IF[#500LT3]GOTO30
M30
)"},
            // Inches are assumed: cut in as far as X.36, the blade leaves the part on the bar for the next
            // loop.
            {System::A, R"(
(M69 CHUCK OPEN  M68 CHUCK CLOSE)
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.02
M69
G04 X2.
M68
G00 Z1.
N20 T0202 (TURN)
G97 S1000 M03
G00 X.7 Z.1
G01 Z-1. F.004
G00 X1.6
N30 T0909 (CUT OFF)
G00 X.7 Z-1.1
G01 X.36 F.002
G00 X1.6
#500=#500+1
IF[#500LT40]GOTO20
M30
)"},
            {System::A, R"(
(M69 CHUCK OPEN  M68 CHUCK CLOSE)
#500=0
N10 T0101 (BAR STOP)
G00 X0 Z.02
M69
G04 X2.
M68
G00 Z1.
N20 T0202 (TURN)
G97 S1000 M03
G00 X.7 Z.1
G01 Z-1. F.004
G00 X1.6
N30 T0909 (CUT OFF)
G00 X.7 Z-1.1
G01 X-.02 F.002
G00 X1.6
#500=#500+1
IF[#500LT40]GOTO20
;^^^^^^^^^^^^^^^^^ warning: loop_leaves_bar_feed_out
M30
)"},
        },
};

} // namespace turnwright::checks::rules::loop_leaves_bar_feed_out
