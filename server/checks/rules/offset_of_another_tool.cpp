// A tool call with the offset number of another tool, or against the habit of all other calls.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::offset_of_another_tool {

namespace {

struct Call {
    std::int32_t tool, offset;
    const ToolOfSpan* of;
    const Act* again = nullptr; ///< Called behind its own first call, as for a sequence of its own
};

/// The first word in the sequence that calls the station with an offset.
const Act* call_in(const FileContext& context, const ToolOfSpan& tool) {
    context.reader().whole(machine::Whole::text);
    for (const Act& act : tool.work->acts) {
        const ActWord* word = act.calls_tool ? tool.work->word(act, 'T') : nullptr;
        if (!word || word->number < 100 || word->number > 9999) continue;
        const auto number = machine::whole_number(word->number);
        if (number / 100 == tool.span->sequence->tool && number % 100 != 0) return &act;
    }
    return nullptr;
}

/// Calls of the same station with another offset, and a new speed before it moves: sequences of their own
/// with no stop between, which no other number parts.
void add_calls_again(const FileContext& context, const ToolOfSpan& tool, std::vector<Call>& calls) {
    if (tool.work->tool_calls < 2) return;
    context.reader().whole(machine::Whole::text);
    const Call first = calls.back();
    const Act* called = nullptr;
    std::int32_t offset = 0;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool) {
            const ActWord* word = tool.work->word(act, 'T');
            const auto number = word ? machine::whole_number(word->number) : 0;
            const bool again =
                number >= 100 && number <= 9999 && number / 100 == first.tool && number % 100 != 0;
            offset = again ? number % 100 : 0;
            called = again && !act.moves() ? &act : nullptr;
        }
        if (called && act.gives_speed && offset != first.offset) {
            calls.push_back({first.tool, offset, &tool, called});
            called = nullptr;
        }
        if (act.moves()) called = nullptr;
    }
}

std::vector<Call> calls_in(const FileContext& context, const std::vector<ToolOfSpan>& tools) {
    std::vector<Call> calls;
    for (const ToolOfSpan& tool : tools) {
        const machine::Sequence* sequence = tool.span->sequence;
        if (!sequence || !sequence->calls_tool || sequence->tool <= 0) continue;
        const std::size_t before = calls.size();
        if (sequence->offset > 0)
            calls.push_back({sequence->tool, sequence->offset, &tool});
        else if (const Act* act = call_in(context, tool))
            calls.push_back(
                {sequence->tool, static_cast<std::int32_t>(tool.work->word(*act, 'T')->number) % 100, &tool});
        if (calls.size() > before) add_calls_again(context, tool, calls);
    }
    return calls;
}

BlockPlace place_of(const FileContext& context, const Call& call) {
    const ToolOfSpan& tool = *call.of;
    const Act* act = call.again ? call.again : call_in(context, tool);
    return act ? tool.place(*act) : tool.span->sequence->tool_call;
}

std::optional<std::int32_t> usual_difference(const std::vector<Call>& calls, const Call& call,
                                             std::size_t& stations) {
    std::optional<std::int32_t> usual;
    std::set<std::int32_t> others;
    for (const Call& other : calls) {
        if (other.tool == call.tool || other.tool == call.offset) continue;
        if (usual && *usual != other.offset - other.tool) return std::nullopt;
        usual = other.offset - other.tool;
        others.insert(other.tool);
    }
    stations = others.size();
    return usual;
}

/// Numbers up to it are those of stations.
constexpr std::int32_t most_stations = 12;

/// Where a tool cuts: on the centre alone, or beside it alone.
struct Cuts {
    bool on_centre = false, beside = false;
};
Cuts cuts_of(const FileContext& context, const ToolOfSpan& tool) {
    context.reader().whole(machine::Whole::text);
    Cuts cuts;
    for (const Act& act : tool.work->acts) {
        const bool any = act.cuts() || act.threads() || (act.in_contour && act.motion == MotionKind::feed);
        if (!any || act.stopped()) continue;
        const bool centre =
            act.drills() || act.taps() || (act.from_x == 0 && (!act.moves_x || act.to_x == 0));
        (centre ? cuts.on_centre : cuts.beside) = true;
    }
    return cuts;
}
bool do_other_work(const FileContext& context, const ToolOfSpan& one, const ToolOfSpan& other) {
    const Cuts a = cuts_of(context, one), b = cuts_of(context, other);
    return (a.on_centre && !a.beside && b.beside && !b.on_centre) ||
           (b.on_centre && !b.beside && a.beside && !a.on_centre);
}

/// It cuts straight in along X and does nothing else; it goes along Z.
struct Ways {
    bool plunges = false, goes_along = false;
};
Ways ways_of(const ToolOfSpan& tool) {
    Ways ways;
    for (const Act& act : tool.work->acts) {
        if (act.stopped() || !(act.cuts() || act.threads())) continue;
        const bool grooves = act.meaning == codes::Meaning::groove_side;
        const bool along = act.moves_z && !grooves && !(act.from_z == act.to_z);
        (along ? ways.goes_along : ways.plunges) = true;
    }
    return ways;
}
/// A blade's work, where the same station has turned and faced before.
bool is_blade_at_turning_station(const FileContext& context, const Call& call, const std::vector<Call>& calls,
                                 std::int32_t usual) {
    context.reader().whole(machine::Whole::text);
    const Ways own = ways_of(*call.of);
    if (!own.plunges || own.goes_along || call.offset > most_stations) return false;
    return std::any_of(calls.begin(), calls.end(), [&](const Call& other) {
        return other.tool == call.tool && other.offset - other.tool == usual && ways_of(*other.of).goes_along;
    });
}

/// The offsets go up evenly in the order of the calls, 1 3 5, and the station breaks the row: it is the one
/// before. One step at a time is a row, too, where a second offset takes the next free number: then four.
bool is_next_in_row(const std::vector<Call>& calls, const Call& call) {
    constexpr std::size_t fewest = 3, fewest_by_one = 4;
    std::int32_t step = 0;
    for (std::size_t i = 0; i + 1 < calls.size(); ++i) {
        const std::int32_t difference = calls[i + 1].offset - calls[i].offset;
        if (step == 0) step = difference;
        if (difference != step) return false;
    }
    return (step == 2 && calls.size() >= fewest) ||
           (step == 1 && calls.size() >= fewest_by_one && call.offset <= most_stations);
}

/// Three others or more take their own offset. A second one is the next number, or ten on.
bool is_far_from_all(const Call& call, std::size_t others) {
    constexpr std::size_t enough = 3;
    return others >= enough && call.offset <= most_stations && call.offset != call.tool + 1;
}

bool lists(const std::vector<ToolOfSpan>& tools, std::int32_t station) {
    return std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
        const auto& listed = tool.work->listed;
        return std::any_of(listed.begin(), listed.end(),
                           [&](const auto& one) { return one.first == station; });
    });
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const std::vector<Call> calls = calls_in(context, tools);
    std::set<std::int32_t> own;
    for (const Call& call : calls)
        if (call.offset == call.tool) own.insert(call.tool);
    for (const Call& call : calls) {
        const std::int32_t tool = call.tool, offset = call.offset;
        if (tool == offset) continue;
        const shop::Tool* known = context.shop.tool(tool);
        if (known && std::count(known->offsets.begin(), known->offsets.end(), offset) > 0) continue;
        if (own.count(offset) || (known && !known->offsets.empty())) {
            report.at_letter(place_of(context, call), 'T')
                .message(
                    said("T{:02} is called with offset {:02}, which belongs to {}: it would move by that "
                         "tool's length. Write T{:02}{:02}.",
                         tool, offset,
                         own.count(offset) ? fmt::format("T{:02}", offset)
                                           : std::string(said("no tool the shop file gives it")),
                         tool, tool));
            continue;
        }
        // A second offset of a station: 11 or 21 for T01, or one beside its usual one.
        std::size_t stations = 0;
        const auto usual = usual_difference(calls, call, stations);
        if (!usual || (offset - tool - *usual) % 10 == 0) continue;
        const std::int32_t other_tool = offset - *usual;
        const bool has_tool = lists(tools, tool), has_other = lists(tools, other_tool);
        // One station alone makes no habit, but with the tool list.
        const bool other_work =
            is_blade_at_turning_station(context, call, calls, *usual) ||
            (*usual == 0 && (is_next_in_row(calls, call) || is_far_from_all(call, stations)));
        if (stations < (other_work ? 1 : 2) && !has_tool && !has_other) continue;
        // A second offset; but not where the first belongs to a drill and this one turns, or the reverse.
        if (!has_other && !other_work && std::any_of(calls.begin(), calls.end(), [&](const Call& other) {
                return other.tool == tool && other.offset - other.tool == *usual &&
                       !(offset <= most_stations && do_other_work(context, *other.of, *call.of));
            }))
            continue;
        const std::string list = has_tool == has_other
                                     ? std::string()
                                     : said(" The tool list has T{:02} and no T{:02}.",
                                            has_tool ? tool : other_tool, has_tool ? other_tool : tool);
        report.at_letter(place_of(context, call), 'T')
            .message(said(
                "T{:02} is called with offset {:02}: {} here {}. Another tool comes, or "
                "this one moves by another's length. T{:02}{:02} or T{:02}{:02} is meant, perhaps.{}",
                tool, offset, stations == 1 ? said("the other tool") : said("the other {} tools", stations),
                *usual == 0 ? said("{} the offset of its own number",
                                   stations == 1 ? said("takes") : said("each take"))
                            : said("{} its own number and {}",
                                   stations == 1 ? said("takes") : said("each take"), *usual),
                tool, tool + *usual, offset - *usual, offset, list));
    }
}

} // namespace

extern const Check check{
    .id = "offset_of_another_tool",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Tool called with another tool's offset",
    .documentation =
        "The offset in the tool call is the one another station of this program uses as its own. The tool "
        "then moves by the length of the other one, into the part or beside it. A second offset of the same "
        "tool mostly has a number that is no station, such as T0111; the shop file may list the offsets of a "
        "tool. It is told, too, where every other call of the program (two stations or more) keeps one rule "
        "between station and offset and this one does not; a second offset of a station is let pass but "
        "where the first is a drill's and this one turns. The same holds where the station has turned before "
        "and now does nothing but plunge, and where the offsets of the calls go up evenly, 01 03 05, and a "
        "station alone breaks the row, or where three others or more take their own and this one is neither "
        "the "
        "next number nor ten on.",
    .file = file,
    .examples =
        {
            // The groover's offset at the station that has turned and faced.
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X86. Z2.
X77.
G01 Z-26. F.3
G00 X86.
G53 X0 Z0
M01
T0103
;^^^^^ warning: offset_of_another_tool
G96 S110 M03
G00 X80. Z-11.
G75 R.5
G75 X66. Z-17. P2000 Q2500 F.1
G00 X86.
G53 X0 Z0
M01
T0505
G96 S160 M03
G00 X51.4 Z2.
G01 Z-31. F.15
G00 X50.
Z2.
G53 X0 Z0
M30
)"},
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
M01
N2 T0202
G00 X50. Z2.
M01
N3 T0302
;  ^^^^^ warning: offset_of_another_tool
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20
N1 T0101
G00 X2. Z.1
M01
N5 T0501
;  ^^^^^ warning: offset_of_another_tool
G00 X2. Z.1
M30
)"},
            {System::C, R"(
G71
N5 T0507
;  ^^^^^ warning: offset_of_another_tool
G00 X20. Z1.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\noffsets = [5, 15]\n"},
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
M01
N5 T0505
G00 X50. Z2.
T0515
G00 X40.
M01
N6 T0111
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20
N1 T0121
G00 X2. Z.1
M01
N2 T0222
G00 X2. Z.1
M30
)"},
            {System::A, R"(
(T1 ROUGH, T5 DRILL, T7 BORE)
G21
N1 T0101
G00 X50. Z2.
M01
N2 T0506
;  ^^^^^ warning: offset_of_another_tool
G00 X0 Z2.
M01
N3 T0707
G00 X50. Z2.
M30
)"},
            {System::C, R"(
G70
T0100
T0101
G00 X2. Z.1
M01
T0300
G00 X2. Z.1 T0304
;           ^^^^^ warning: offset_of_another_tool
M01
T0500
T0505
G00 X2. Z.1
M30
)"},
            {System::B, R"(
G21
N1 T0111
G00 X50. Z2.
M01
N2 T0313
G00 X50. Z2.
M01
N3 T0507
;  ^^^^^ warning: offset_of_another_tool
G00 X50. Z2.
M30
)"},
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
M01
N2 T0303
G00 X50. Z2.
M01
N3 T0505
G00 X30. Z-20.
T0507
G00 X30. Z-24.
M01
N4 T0508
G00 X30. Z-24.
M30
)"},
            {System::A, R"(
G21
N1 T0102
G00 X50. Z2.
M01
N2 T0304
G00 X50. Z2.
M01
N3 T0506
G00 X30. Z-20.
M30
)"},
            // The drill's station for the finish outside.
            {System::A, R"(
G21 G99
N1 T0101
G97 S800 M03
G00 X64. Z0
G01 X-1.6 F.2
G00 X150. Z80.
M01
N2 T0404
G00 X0 Z5.
G01 Z-47. F.1
G00 Z5.
X150. Z80.
M01
N3 T0403
;  ^^^^^ warning: offset_of_another_tool
G00 X50. Z2.
G01 X56. Z-1. F.12
Z-43.
X62.
G00 X150. Z80.
M01
N4 T0505
G00 X64. Z-43.
G01 X35. F.08
G00 X150.
Z80.
M30
)"},
            // The offsets go up by twos; a second offset that does not stand in the row.
            {System::A, R"(
G21 G99
N1 T0101
G00 X50. Z2.
G01 Z-20. F.2
M01
N3 T0103
;  ^^^^^ warning: offset_of_another_tool
G00 X48. Z2.
G01 Z-20. F.1
M01
N5 T0505
G00 X52. Z-20.
M30
)"},
            {System::C, R"(
G70
T0101
G00 X2. Z.1
M01
T0303
G00 X2. Z.1
M01
T0305
;^^^^ warning: offset_of_another_tool
G00 X2. Z-.5
M30
)"},
            {System::B, R"(
G21
N1 T0101
G00 X50. Z2.
G01 Z-20. F.2
M01
N2 T0102
G00 X48. Z2.
G01 Z-20. F.1
M01
N3 T0303
G00 X52. Z-20.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G00 X2. Z.1
M01
T0404
G00 X0 Z.1
M01
T0403
;^^^^ warning: offset_of_another_tool
G00 X1.9 Z.1
M01
T0505
G00 X2. Z-.5
M01
T0202
G00 X2. Z-.5
M30
)"},
            {System::A, R"(
G20 G99
T0101
G00 X2. Z.1
M01
T0404
G00 X2. Z-.4
M01
T0414
G00 X1.9 Z-.4
M01
T0303
G00 X2. Z-.5
M01
T0606
G00 X2. Z-.5
M30
)"},
            // With no stop between; a blade that goes on by its other corner.
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
G00 X9. Z9.
T0303
G97 S900 M03
G00 X1.9 Z.1
G01 Z-1. F.005
G00 X9. Z9.
T0305
;^^^^ warning: offset_of_another_tool
G97 S500 M03
G00 X2. Z-.5
G01 X1.6 F.003
G00 X9.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F.2
G00 X150. Z150.
T0303
G97 S500 M03
G00 X56. Z-15.
G01 X40. F.1
G00 X56.
T0305
G00 Z-12.
G01 X40. F.1
G00 X150. Z150.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::offset_of_another_tool
