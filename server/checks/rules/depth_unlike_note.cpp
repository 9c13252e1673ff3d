// A depth from the note that is taken once off the diameter: the hole or the slot gets half of it.
#include "checks/holes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::depth_unlike_note {

namespace {

/// ".75 DEEP", "8 TIEF": the only one of the notes of a sequence; 0: none, several, or from another place
/// than the outside.
double depth_in(const std::vector<std::string>& notes) {
    double found = 0;
    for (const std::string& note : notes) {
        const NotedWords words = noted_words(note);
        for (std::size_t i = 1; i < words.size(); ++i) {
            const std::string_view word = words.at(i);
            if (word != "DEEP" && word != "TIEF" && word != "PROFOND" && word != "PROF") continue;
            const auto size = plain_number(words.at(i - 1));
            if (!size || *size <= 0) continue;
            if (found != 0 && found != *size) return 0;
            if (speaks_of(note, {"FROM", "FLAT", "AB ", "VON", "BELOW", "SHOULDER", "BORE"})) return 0;
            found = *size;
        }
    }
    return found;
}

/// Diameters that turning tools cut along Z, from the outside.
std::vector<float> turned_radii(std::span<const ToolOfSpan> program) {
    std::vector<float> radii;
    for (const ToolOfSpan& tool : program) {
        if (tool.is(NamedTool::Kind::bore)) continue;
        for (const Act& act : tool.work->acts) {
            const bool turns = (act.cuts() || act.in_contour) && act.moves_z && known(act.to_x) &&
                               act.to_x > 0 && act.spindle != machine::Spindle::live && !act.part_stands &&
                               !act.turns_part && !act.drills() && !act.taps();
            if (turns && std::find(radii.begin(), radii.end(), act.to_x) == radii.end())
                radii.push_back(act.to_x);
        }
    }
    return radii;
}

/// How far a tool goes in toward the axis beside or across it, with the part standing.
const Act* deepest_in(const ToolOfSpan& tool) {
    const Act* found = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.polar || act.cylinder || act.calls_program || act.incremental) return nullptr;
        const bool side = act.motion == MotionKind::drill_cycle &&
                          (act.meaning == Meaning::drill_side || act.meaning == Meaning::tap_side ||
                           act.meaning == Meaning::bore_side);
        const bool plunges = act.motion == MotionKind::feed && act.moves_x && !act.moves_z &&
                             (act.part_stands || act.spindle == machine::Spindle::live) &&
                             known(act.from_x) && known(act.to_x) && act.to_x < act.from_x;
        if ((side || plunges) && known(act.to_x) && (!found || act.to_x < found->to_x)) found = &act;
    }
    return found;
}

void look_at(const FileContext& context, const std::vector<ToolOfSpan>& tools,
             std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<float> radii = turned_radii(program);
    if (radii.empty()) return;
    for (const ToolOfSpan& tool : program) {
        if (!tool.span->sequence || !tool.work->whole) continue;
        const Act* act = deepest_in(tool);
        if (!act || act->deleted || act->to_x < 0) continue;
        const double depth = depth_in(notes_about(context, tools, tool).own);
        if (depth <= 0) continue;
        const double r = act->to_x, close = 2e-3 * std::max(1.0, depth);
        const auto fits = [&](double radius, double wanted) { return std::abs(radius - r - wanted) < close; };
        const bool right =
            std::any_of(radii.begin(), radii.end(), [&](float radius) { return fits(radius, depth); });
        if (right) continue;
        const auto half = std::find_if(radii.begin(), radii.end(), [&](float radius) {
            return fits(radius, depth / 2) && radius >= depth;
        });
        if (half == radii.end()) continue;
        report.at_letter(tool.place(*act), 'X')
            .message(said("The note has it {0} deep, and {1} is {0} off the diameter {2}: it goes in only "
                          "{3}. From that "
                          "diameter {0} deep is {4}.",
                          spoken(depth), spoken_x(r, context.settings()), spoken(2.0 * *half),
                          spoken(depth / 2), spoken_x(*half - depth, context.settings())));
    }
}

/// "BOHRUNG 4.2 TIEF 30", "10.2 DRILL, 35 DEEP": how deep a note of the program has a hole of that diameter.
std::optional<double> noted_depth(const NotedWords& words, double diameter) {
    constexpr double same = 1e-3;
    std::optional<double> found;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::string_view word = words.at(i);
        if (word != "DEEP" && word != "TIEF" && word != "PROFOND" && word != "PROF" && word != "HONDO" &&
            word != "PROFONDO")
            continue;
        // In the same thought, and the depth on either side of its word.
        std::size_t begin = i, end = i;
        while (begin > 0 && words.at(begin - 1) != ",") --begin;
        while (end + 1 < words.size() && words.at(end + 1) != ",") ++end;
        std::optional<std::size_t> size_at;
        for (std::size_t k = begin; k <= end; ++k) {
            const auto size = plain_number(words.at(k));
            if (size && std::abs(*size - diameter) < same) size_at = k;
        }
        if (!size_at) continue;
        for (const std::size_t at : {i - 1, i + 1}) {
            if (i == 0 && at != 1) continue;
            if (at < begin || at > end || at == *size_at) continue;
            const auto depth = plain_number(words.at(at));
            if (!depth || *depth <= 0) continue;
            if (found && *found != *depth) return std::nullopt;
            found = *depth;
            break;
        }
    }
    return found;
}

/// A drill on the centre that ends far in front of where the note has its hole.
void works(const WorksContext& context, Report& report) {
    constexpr double short_mm = 0.5, short_share = 0.1;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where != Work::Where::on_centre || work->called_at) continue;
            const double mm = work->unit_mm;
            const NamedTool* drill = tool_of_work(context, *work, [&](const NamedTool& named) {
                return named.kind == NamedTool::Kind::drill && named.diameter_mm(mm).has_value();
            });
            if (!drill) continue;
            const double diameter = *drill->diameter_mm(mm) / mm;
            const machine::ProgramPart& program = *context.spans[work->span].program;
            std::optional<double> depth;
            bool several = false;
            for (const NoteAt& note : notes_between(context.reader, program.first, program.last))
                if (const auto one = noted_depth(noted_words(note.text), diameter)) {
                    several = several || (depth && *depth != *one);
                    depth = one;
                }
            if (!depth || several) continue;
            // Other tools of that size, and this one again, may drill the rest.
            double deepest = 0;
            const Leg* last = nullptr;
            bool is_known = true;
            for (const Workpiece& any : context.parts)
                for (const Work* other : any.works)
                    for (const Leg& leg : other->legs) {
                        if (!leg.cuts() || other->where != Work::Where::on_centre) continue;
                        is_known = is_known && leg.known;
                        if (other == work && (!last || leg.to.z_mm < last->to.z_mm)) last = &leg;
                        deepest = std::min(deepest, leg.to.z_mm);
                    }
            const double left = *depth + deepest;
            if (!is_known || !last || last->to.z_mm > deepest || left * mm < short_mm ||
                left < short_share * *depth)
                continue;
            context.at(report, *work, *last, "ZW")
                .message(said(
                    "The note has the hole of {} to be {} deep, and the drill goes to {}: it comes out {} "
                    "too short. Is a digit of Z wrong?",
                    spoken(diameter), spoken(*depth), context.z(last->to.z_mm),
                    spoken(std::round(left * 1e3) / 1e3)));
            return;
        }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    if (context.settings().machine.x != shop::XReading::diameter) return;
    const auto tools = tools_of(context);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, tools, program, report); });
}

} // namespace

extern const Check check{
    .id = "depth_unlike_note",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Depth of the note taken once off the diameter",
    .documentation = "The note of a sequence gives a depth (\"TAP M6, 10 DEEP\"), the tool goes in from the "
                     "side, X is written as a "
                     "diameter, and the bottom is a turned diameter less the depth once: the hole, slot or "
                     "thread gets half of its "
                     "depth. Take the depth twice off. Nothing is said where the depth fits another turned "
                     "diameter, or is told from "
                     "a flat or a shoulder."
                     " A drill on the centre that ends more than a tenth in front of the depth that a note "
                     "gives for a hole of its diameter is told, too.",
    .file = file,
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X38. Z2.
G01 Z-40. F.2
G00 X60.
M05
T0707 (TAP M6, 10 DEEP)
G98
G00 X44. Z-20. C0
G88 X28. C0 R-2. F400.
;   ^^^^ warning: depth_unlike_note
G80
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X1.5 Z.1
G01 Z-3. F.008
G00 X2.
M05
T0707 (END MILL .25, SLOT .187 DEEP)
G94
S2000 M33
G00 X1.6 Z-1. C0
G01 X1.313 F4.
;   ^^^^^^ warning: depth_unlike_note
Z-2. F8.
G00 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X38. Z2.
G01 Z-40. F.2
G00 X60.
M05
T0707 (TAP M6, 10 DEEP)
G98
G00 X44. Z-20. C0
G88 X18. C0 R-2. F400.
G80
M30
)"},
            // From a flat that is milled before.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X38. Z2.
G01 Z-40. F.2
G00 X60.
M05
T0707 (TAP M6, 10 DEEP FROM THE FLAT)
G94
G00 X44. Z-20. C0
G88 X28. C0 R40. F400.
G80
M30
)"},
            // How deep a note has the hole of the drill.
            {System::C, R"(
(D1 BOHRUNG 4.2 TIEF 30, ANSATZ D16)
G71 G90 G95
T0404 (BOHRER 4.2)
G97 S1900 M03
G00 X0 Z3.
G76 R0.5
G76 Z-21.3 Q3000 F0.06
;   ^^^^^^ warning: depth_unlike_note
G00 Z40.
M30
)"},
            {System::C, R"(
(D1 BOHRUNG 4.2 TIEF 30, ANSATZ D16)
G71 G90 G95
T0404 (BOHRER 4.2)
G97 S1900 M03
G00 X0 Z3.
G76 R0.5
G76 Z-31.3 Q3000 F0.06
G00 Z40.
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::depth_unlike_note
