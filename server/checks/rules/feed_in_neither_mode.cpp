// A feed that cuts neither by the revolution nor by the minute, where nothing states which it is.
//
// The bounds: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::feed_in_neither_mode {

namespace {

constexpr double most_by_revolution_mm = 3.06, least_by_minute_mm = 12;
constexpr int least_others = 2;

struct Feed {
    const ToolOfSpan* tool;
    const Act* act;
    double mm; ///< Of its F, in a revolution or a minute
};

bool tells(const Act& act) {
    return act.gives_feed && act.feed > 0 && act.cuts() && !act.per_rev() && !act.per_minute();
}

void look_at(std::span<const ToolOfSpan> tools, std::optional<double> of_file, Report& report) {
    std::vector<Feed> feeds;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (const auto per_unit = mm_of(act, of_file); per_unit && tells(act))
                feeds.push_back({&tool, &act, act.feed * *per_unit});
    const auto small = std::count_if(feeds.begin(), feeds.end(),
                                     [](const Feed& feed) { return feed.mm <= most_by_revolution_mm; });
    const auto odd = [](const Feed& feed) {
        return feed.mm > most_by_revolution_mm && feed.mm < least_by_minute_mm;
    };
    // Where many are so, the unit is another one.
    if (small < least_others || std::count_if(feeds.begin(), feeds.end(), odd) * 2 > small) return;
    for (const Feed& feed : feeds) {
        if (!odd(feed)) continue;
        const std::string f = written(feed.act->feed),
                          meant = written(std::round(feed.act->feed * 1e4) / 1e5);
        report.at_letter(feed.tool->place(*feed.act), 'F')
            .message(said("F{} cuts in no way: in a revolution it tears the edge off, in a minute it "
                          "stands nearly still. The "
                          "other feeds here are by the revolution, as it seems. F{} is meant, perhaps.",
                          f, meant));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "feed_in_neither_mode",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed that fits no feed mode",
    .documentation = "The program states neither feed by the revolution nor by the minute, its other feeds "
                     "are such as are used by "
                     "the revolution, and this one is too large for that and too small by the minute: a "
                     "point that has slipped. At "
                     "the machine the edge breaks at the first touch, or the tool rubs. Write the feed, and "
                     "the feed mode in the "
                     "safety line.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20
T0303
G97 S1200 M03
G00 X1.1 Z.1
G01 Z-1.5 F.01
G00 X1.2 Z.1
X1.
G01 Z-1.4 F.008
G00 X1.2 Z.1
X.9
G01 Z-1.2 F.25
;         ^^^^ warning: feed_in_neither_mode
G00 X1.2
M30
)"},
            {System::B, R"(
G21 G90
T0303
G97 S1200 M03
G00 X30. Z2.
G01 Z-20. F.2
G00 X32. Z2.
X28.
G01 Z-20. F.15
G00 X32. Z2.
X26.
G01 Z-18. F5.
;         ^^^ warning: feed_in_neither_mode
G00 X32.
M30
)"},
            {System::C, R"(
G71 G90
T0303
G97 S1200 M03
G00 X30. Z2.
G01 Z-20. F200.
G00 X32. Z2.
X28.
G01 Z-20. F150.
G00 X32. Z2.
X26.
G01 Z-18. F5.
G00 X32.
M30
)"},
            {System::A, R"(
G20
T0303
G97 S1200 M03
G00 X1.1 Z.1
G01 Z-1.5 F.01
G00 X1.2 Z.1
G92 X1. Z-1. F.125
X.98
G00 X1.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_in_neither_mode
