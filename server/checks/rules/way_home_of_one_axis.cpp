// A sequence that sends one axis home where all others send both.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <string_view>

namespace turnwright::checks::rules::way_home_of_one_axis {

namespace {

constexpr std::size_t enough = 3;

/// How a sequence leaves the part, behind its last cut.
struct Way {
    const ToolOfSpan* tool = nullptr;
    const Act* last = nullptr; ///< The last return
    bool x = false, z = false;
    bool on_centre = false;                ///< Its last cut, as of a drill: it may stay there in X
    bool other_x = false, other_z = false; ///< It goes out by a plain rapid, too
};

bool cuts_any(const Act& act) {
    return act.cuts() || act.threads() || act.taps() || act.in_contour ||
           act.motion == MotionKind::contour_cycle;
}

Way way_of(const ToolOfSpan& tool) {
    Way way{&tool};
    for (const Act& act : tool.work->acts) {
        if (cuts_any(act)) {
            way = {&tool};
            way.on_centre = act.from_x == 0;
        }
        if (is_return(act.motion)) {
            way.last = &act;
            way.x = way.x || act.moves_x;
            way.z = way.z || act.moves_z;
        } else if (act.motion == MotionKind::rapid) {
            const auto goes_out = [](bool moves, float from, float to) {
                return moves && (!known(from) || !known(to) || to > from);
            };
            way.other_x = way.other_x || goes_out(act.moves_x, act.from_x, act.to_x);
            way.other_z = way.other_z || goes_out(act.moves_z, act.from_z, act.to_z);
        }
    }
    return way;
}

/// A program ends there, or what is left is left to a hand.
bool goes_on(std::span<const ToolOfSpan> tools, std::size_t at) {
    return at + 1 < tools.size() && tools[at + 1].span->sequence;
}

/// A lathe with more axes, a second spindle or other things of its own goes home by other ways: X alone may
/// be right there. A tailstock in the notes tells that it is a plain one.
bool may_be_right(std::span<const ToolOfSpan> tools) {
    const auto is_common = [](const ActWord& word) {
        const double number = word.number; // Of an M code
        return number <= 9 || number == 29 || number == 30 || (number >= 40 && number <= 45) || number >= 98;
    };
    bool own_codes = false;
    for (const ToolOfSpan& tool : tools) {
        if (tool.work->has_tailstock) return false;
        for (const Act& act : tool.work->acts) {
            own_codes = own_codes || (act.spindle && *act.spindle != machine::Spindle::main) ||
                        slide_word(*tool.work, act);
            for (const ActWord& word : tool.work->words_of(act)) {
                own_codes = own_codes || std::string_view("CHYV").find(word.letter) != std::string_view::npos;
                own_codes = own_codes || (word.letter == 'M' && !is_common(word));
            }
        }
    }
    return own_codes;
}

void look_at(std::span<const ToolOfSpan> tools, Report& report) {
    std::size_t both = 0, total = 0;
    bool others_go_out_x = false, others_go_out_z = false; ///< And home all the same
    std::optional<Way> odd;
    for (std::size_t i = 0; i < tools.size(); ++i) {
        const ToolOfSpan& tool = tools[i];
        if (!tool.span->sequence || !tool.work->whole) continue;
        const Way way = way_of(tool);
        if (!way.last) continue;
        ++total;
        if (way.x && way.z) {
            ++both;
            others_go_out_x = others_go_out_x || way.other_x;
            others_go_out_z = others_go_out_z || way.other_z;
            continue;
        }
        if (odd || !goes_on(tools, i) || (!way.x && way.on_centre)) return; // Another habit
        odd = way;
    }
    if (!odd || both < enough || may_be_right(tools)) return;
    // One that only goes out of the way may be meant so, where no other does both.
    if (odd->x ? odd->other_z && !others_go_out_z : odd->other_x && !others_go_out_x) return;
    auto entry = report.at(odd->tool->place(*odd->last));
    // X is clear of the part then.
    if (odd->x) entry.severity(Severity::information);
    entry.message(odd->x
                      ? said("Only X goes home here: {} of {} sequences send Z home, too. The turret indexes "
                             "where Z stands, beside the part or the tailstock. Is the block for Z lost?",
                             both, total)
                      : said("Only Z goes home here: {} of {} sequences send X home, too. The turret indexes "
                             "at the X of the last cut. Is the block for X lost?",
                             both, total));
}

/// Returns that follow each other, with no other move between.
struct Returns {
    const ToolOfSpan* tool = nullptr;
    const Act *first = nullptr, *last = nullptr;
    std::size_t count = 0;
    bool x = false, z = false;
};
std::vector<Returns> returns_in(std::span<const ToolOfSpan> tools) {
    std::vector<Returns> found;
    bool goes_on = false;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.calls_tool || act.calls_program) goes_on = false;
            if (!act.moves()) continue;
            if (!is_return(act.motion)) {
                goes_on = false;
                continue;
            }
            if (!goes_on) found.push_back({&tool, &act, &act});
            goes_on = true;
            Returns& returns = found.back();
            returns.last = &act;
            ++returns.count;
            returns.x = returns.x || act.moves_x;
            returns.z = returns.z || act.moves_z;
        }
    return found;
}

/// One axis goes home twice, one block after the other, where elsewhere each goes once: a letter is wrong.
bool look_at_twice(std::span<const ToolOfSpan> tools, Report& report) {
    const std::vector<Returns> all = returns_in(tools);
    std::size_t both = 0;
    const Returns* odd = nullptr;
    for (const Returns& returns : all) {
        if (returns.x && returns.z) ++both;
        if (returns.count != 2 || (returns.x && returns.z) || returns.first->motion != returns.last->motion)
            continue;
        if (odd) return false;
        odd = &returns;
    }
    if (!odd || both == 0) return false;
    report.at(odd->tool->place(*odd->last))
        .message(odd->x ? said("X goes home twice, one block after the other, and Z not at all: the turret "
                               "indexes where Z stands. Is Z meant in one of the two?")
                        : said("Z goes home twice, one block after the other, and X not at all: the turret "
                               "indexes at the X of the last cut. Is X meant in one of the two?"));
    return true;
}

/// The next thing behind it is a tool call.
bool calls_next(std::span<const ToolOfSpan> tools, const Returns& returns) {
    bool behind = false;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (behind && act.calls_tool) return true;
            if (behind && (act.moves() || act.calls_program || act.ends_program)) return false;
            behind = behind || &act == returns.last;
        }
    return false;
}

/// C, Y, a driven tool or a second spindle: codes of the builder alone make no such lathe.
bool has_more_axes(std::span<const ToolOfSpan> tools) {
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if ((act.spindle && *act.spindle != machine::Spindle::main) || slide_word(*tool.work, act) ||
                (act.turns_part && !act.cuts()) || tool.work->has_letter(act, "YV"))
                return true;
    return false;
}

/// On lathes with more axes: before every tool call but one both axes go home, each by its own block or both
/// by one.
void look_before_calls(std::span<const ToolOfSpan> tools, Report& report) {
    constexpr std::size_t most_others = 4;
    std::size_t both = 0;
    std::optional<Returns> odd;
    for (const Returns& returns : returns_in(tools)) {
        if (!returns.x && !returns.z) continue;
        if (!returns.tool->work->whole || !calls_next(tools, returns)) continue;
        if (returns.x && returns.z) {
            ++both;
            continue;
        }
        if (odd) return; // Another habit
        odd = returns;
    }
    if (!odd || both < most_others || odd->last->deleted || !may_be_right(tools) || !has_more_axes(tools))
        return;
    // The other axis has been moved away since the last cut, to whichever side; or it is a drill's X.
    const Way way = way_of(*odd->tool);
    if (odd->x ? way.z : way.x || way.on_centre) return;
    bool away = false;
    for (const Act& act : odd->tool->work->acts) {
        if (&act == odd->first) break;
        if (cuts_any(act) && !(act.motion == MotionKind::feed && (odd->x ? !act.moves_x : !act.moves_z)))
            away = false;
        if (odd->x ? act.moves_z : act.moves_x) away = away || act.motion == MotionKind::rapid;
    }
    if (away) return;
    auto entry = report.at(odd->tool->place(*odd->last));
    if (odd->x) entry.severity(Severity::information);
    entry.message(
        odd->x ? said("Only X goes home before this tool call: before the {} others Z goes home, too. The "
                      "turret indexes where Z stands, beside the part or a chuck. Is the block for Z lost?",
                      both)
               : said("Only Z goes home before this tool call: before the {} others X goes home, too. The "
                      "turret indexes at the X of the last cut. Is the block for X lost?",
                      both));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (look_at_twice(program, report)) return;
        look_at(program, report);
        look_before_calls(program, report);
    });
}

} // namespace

extern const Check check{
    .id = "way_home_of_one_axis",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Only one axis sent home, where the others send both",
    .documentation =
        "All other sequences of the program (three or more) send X and Z home behind their last cut, and one "
        "sends one axis alone: the block for the other is lost. The next tool comes round where Z or X "
        "stands, beside the part, "
        "the jaws or the tailstock. Programs with more than one such sequence have that habit and are let "
        "pass; so is the last sequence. On lathes with more axes (but with a "
        "tailstock) it is "
        "told where both go home before four other tool calls or more, and one alone before one.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G99
N1 T0101
G97 S600 M3
G0 X2.1 Z.1
G1 Z-1. F.01
X2.2
G28 U0.
G28 W0.
N2 T0202
G0 X2.1 Z.1
G1 Z-1.
X2.2
G28 U0. W0.
N3 T0303
G0 X1.45 Z-1.25
G1 X1.13 F.003
G0 X4.
G28 U0.
;^^^^^^ information: way_home_of_one_axis
M1
N4 T0404
G0 X1.45 Z.25
G1 X1.4
G28 U0.
G28 W0.
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 T0101
G97 S600 M3
G0 X52. Z2.
G1 Z-10. F.2
X54.
G53 X0
;^^^^^ information: way_home_of_one_axis
N2 T0202
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0 Z0
N3 T0303
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0
G53 Z0
N4 T0404
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0 Z0
M30
)"},
            // X by the letter of Z; all others go out by a rapid and home all the same.
            {System::A, R"(
G21 G99
N1 T0101
G97 S600 M3
G0 X52. Z2.
G1 Z-10. F.2
X54.
G0 X60.
G28 U0
G28 W0
N2 T0202
G0 X52. Z2.
G1 Z-10.
X54.
G0 X60.
G28 W0
G28 W0
;^^^^^^ warning: way_home_of_one_axis
N3 T0303
G0 X52. Z2.
G1 Z-10.
X54.
G0 X60.
G28 U0
G28 W0
N4 T0404
G0 X52. Z2.
G1 Z-10.
X54.
G0 X60.
G28 U0
G28 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S600 M3
G0 X52. Z2.
G1 Z-10. F.2
X54.
G53 X0 Z0
N2 T0202
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0
N3 T0303
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0
N4 T0404
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0 Z0
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S600 M3
G0 X52. Z2.
G1 Z-10. F.2
X54.
G28 U0 W0
N2 T0202
G0 X0 Z2.
G1 Z-10.
G0 Z5.
G28 W0
N3 T0303
G0 X52. Z2.
G1 Z-10.
X54.
G28 U0 W0
N4 T0404
G0 X52. Z2.
G1 Z-10.
X54.
G28 U0 W0
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 T0101
G97 S600 M3
G0 X52. Z2.
G1 Z-10. F.2
X54.
G53 X0 Z0
N2 T0202
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0 Z0
N3 T0303
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0 Z0
N4 T0404
G0 X52. Z2.
G1 Z-10.
X54.
G53 X0
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G99
G28 U0
G28 W0
N1 T0101
G97 S800 M03
G00 X40. Z2.
G01 Z-20. F0.2
X44.
G28 U0
G28 W0
N2 T0202
G00 X40. Z2.
G01 X-1.6 F0.2
G28 U0
G28 W0
M05
N3 T0303
M71
S2000 M73
G00 X50. Z-10. C0
G01 X30. F100.
X50.
G28 U0
;^^^^^^ information: way_home_of_one_axis
M75
N4 T0404
S2000 M73
G00 X50. Z-10. C90.
G01 X30. F100.
X50.
G28 U0
G28 W0
M75
N5 T0505
S2000 M73
G00 X50. Z-10. C180.
G01 X30. F100.
X50.
G28 U0
G28 W0
M75
M72
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::way_home_of_one_axis
