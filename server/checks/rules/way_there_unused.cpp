// A rapid behind a call goes to a place where nothing is cut: it stood in front of the call.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::way_there_unused {

namespace {

/// What the programs of the file that are called do last, or at all.
struct Called {
    std::set<int> home; ///< Their last moves are ways home
    std::set<int> cuts; ///< They cut, and call nothing
};
Called called_in(std::span<const ToolOfSpan> all) {
    Called called;
    std::set<int> others;
    for (const ToolOfSpan& tool : all) {
        if (!tool.span->program->is_subprogram) continue;
        const int number = tool.span->program->number;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.calls_tool) others.insert(number);
            if (act.cuts() || act.threads() || act.taps()) called.cuts.insert(number);
            if (!act.moves()) continue;
            if (is_return(act.motion))
                called.home.insert(number);
            else
                called.home.erase(number);
        }
    }
    for (const int number : others) {
        called.cuts.erase(number);
        called.home.erase(number);
    }
    for (const int number : called.home) called.cuts.erase(number);
    return called;
}

bool works(const Act& act) {
    return act.cuts() || act.threads() || act.taps() || act.in_contour;
}

struct Unused {
    const Act* call = nullptr;
    const Act* way = nullptr;
    bool from_home = false;
};
/// The last call of a tool that a rapid alone follows.
std::optional<Unused> unused_of(const ToolOfSpan& tool, const Called& called, std::size_t& home_last) {
    Unused found;
    for (const Act& act : tool.work->acts) {
        const auto number = act.calls_program ? number_called(*tool.work, act) : std::nullopt;
        if (act.calls_program && !number) return std::nullopt;
        if (number && called.home.contains(*number)) {
            // Behind a way that came to nothing it may go home, too.
            if (!found.way || found.from_home) found = {&act, nullptr, true};
            continue;
        }
        if (number && called.cuts.contains(*number)) {
            found = {&act, nullptr, false};
            continue;
        }
        if (number || works(act) || act.deleted) found = {};
        if (act.calls_tool && found.from_home && !found.way) break; // That of the next span
        if (!found.call || found.way || act.motion != MotionKind::rapid || !act.moves()) continue;
        const bool to_part = act.moves_z && known(act.to_z) && act.to_z < 0 && !act.incremental && !act.by_w;
        if (!found.from_home && !to_part) {
            found = {};
            continue;
        }
        found.way = &act;
    }
    home_last += found.call && found.from_home && !found.way;
    return found.way ? std::optional(found) : std::nullopt;
}

void look_at(std::span<const ToolOfSpan> program, const Called& called, Report& report) {
    constexpr std::size_t enough = 2; // Tools that go home last
    std::size_t home_last = 0;
    std::vector<std::pair<const ToolOfSpan*, Unused>> unused;
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return;
        if (const auto found = unused_of(tool, called, home_last)) unused.emplace_back(&tool, *found);
    }
    if (unused.size() != 1) return; // A habit
    const auto& [tool, found] = unused.front();
    if (found.from_home && home_last < enough) return;
    auto at = report.at(tool->place(*found.way));
    at.message(found.from_home ? said("This rapid leaves home again, and no cut follows: the turret turns "
                                      "there with the next call. "
                                      "The {} other tools go home last. Write it in front of the call above.",
                                      home_last)
                               : said("This rapid goes to Z{}, and nothing is cut there: the call above has "
                                      "run from where the tool "
                                      "stood before. Is the call meant behind it?",
                                      written(found.way->to_z)))
        .related(tool->place(*found.call), said("called here"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const Called called = called_in(tools);
    if (called.home.empty() && called.cuts.empty()) return;
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(program, called, report); });
}

} // namespace

extern const Check check{
    .id = "way_there_unused",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid behind a call that comes to nothing",
    .documentation = "Behind the call of a program that cuts, a rapid goes to a place behind the face, and "
                     "the tool does nothing there: "
                     "the two blocks have changed places, and the call has cut from where the tool stood "
                     "before. Or behind the call of "
                     "the program that goes home the tool goes off again, where all others go home last, and "
                     "the turret turns away "
                     "from home. A rapid outward behind a call is a way off and told nothing of.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X54. Z2.
M98 P0501
G00 Z-20.
;^^^^^^^^ warning: way_there_unused
G00 X80.
G28 U0 W0
M30
O0501
G01 X44. F.08
G00 X54.
M99
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S900 M03
G00 X2.2 Z.1
M98 P31101
G00 X2.2 Z-.5
;^^^^^^^^^^^^ warning: way_there_unused
G28 X0 Z0
M30
O1101
G91 G00 Z-.25
G90 G01 X1.8 F.003
G00 X2.2
M99
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
M98 P8000
T0303
G97 S800 M03
G00 X0 Z2.
G01 Z-20. F.2
M98 P8000
G00 Z5.
;^^^^^^ warning: way_there_unused
T0505
G97 S800 M03
G00 X52. Z-20.
G01 X40. F.1
G00 X56.
M98 P8000
M30
O8000
G53 X0
G53 Z0
M99
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X54. Z2.
Z-20.
M98 P0501
G00 Z-30.
M98 P0501
G00 X80.
Z5.
G28 U0 W0
M30
O0501
G01 X44. F.08
G00 X54.
M99
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
G00 X2. Z-.5
M98 P0501
G00 Z-.8
G01 X1.9 F.004
G00 X3.
G28 X0 Z0
M30
O0501
G01 X1.6 F.004
G00 X2.
M99
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
G00 X60.
M98 P8000
T0303
G97 S800 M03
G00 X0 Z2.
G01 Z-20. F.2
G00 Z5.
M98 P8000
M30
O8000
G53 X0
G53 Z0
M99
)"},
        },
};

} // namespace turnwright::checks::rules::way_there_unused
