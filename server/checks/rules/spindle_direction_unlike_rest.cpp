// A spindle that turns the other way than for every other tool, or against a right-hand drill.
#include "checks/noted_blade.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_direction_unlike_rest {

namespace {

using Kind = NamedTool::Kind;

/// One tool with the direction that it cuts in.
struct Turning {
    const ToolOfSpan* tool;
    const Act* cut;
    const Act* starts; ///< States the direction; nullptr: in another sequence
    bool forward, hole, blade;
};

std::optional<Turning> turning_of(const ToolOfSpan& tool) {
    const NamedTool &own = *tool.own, &listed = *tool.listed;
    if (!tool.span->sequence || tool.is(Kind::stop) || tool.is(Kind::tap) || own.live || listed.live)
        return std::nullopt;
    const Act* starts = nullptr;
    // A ball is turned from the centre outward.
    const bool stays_on_centre =
        std::none_of(tool.work->acts.begin(), tool.work->acts.end(),
                     [](const Act& act) { return act.cuts() && (act.from_x != 0 || act.to_x != 0); });
    std::optional<Turning> found;
    for (const Act& act : tool.work->acts) {
        if (act.taps()) return std::nullopt;
        if (act.states(Group::spindle_direction) && act.turns()) starts = &act;
        const bool cuts = act.cuts() || act.threads() || (act.in_contour && act.motion == MotionKind::feed);
        if (!cuts || !act.turns() || act.per_minute()) continue;
        // Another spindle faces the other way, and what it calls forward is its builder's.
        if (act.spindle != machine::Spindle::main) return std::nullopt;
        const bool forward = Act::only(act.direction, Meaning::spindle_forward);
        if (found && found->forward != forward) return std::nullopt; // Both, on purpose
        if (found) continue;
        const bool hole =
            act.drills() || (stays_on_centre && act.from_x == 0 && act.to_x == 0 && act.moves_z);
        found = Turning{
            &tool,
            &act,
            starts,
            forward,
            hole,
            tool.is(Kind::groove) || tool.is(Kind::part_off) || tool.is(Kind::thread) || tool.work->has_threads};
    }
    return found;
}

/// A note of the list that is this tool's alone gives its direction.
bool is_stated(const ToolNotes& notes, std::int32_t station) {
    const std::string name = fmt::format("(T{}", station);
    return std::any_of(notes.head.begin(), notes.head.end(), [&](const std::string& note) {
        return (note.starts_with(name + " ") || note.starts_with(fmt::format("(T{:02} ", station))) &&
               speaks_of(note, {"M03", "M3,", "M3)", "M04", "M4,", "M4)"});
    });
}

/// A note speaks of a left-hand or upside-down tool, or of one behind the centre.
bool is_told(const FileContext& context, const std::vector<ToolOfSpan>& tools, const ToolOfSpan& tool) {
    const ToolNotes notes = notes_about(context, tools, tool);
    return tool.own->left_hand || tool.listed->left_hand || is_stated(notes, tool.station) ||
           notes.speak_of({"LEFT", "LH", "L.H", "UPSIDE", "INVERT", "BACK", "REVERSE", "REAR", "M03", "M04",
                           "M4", "LINKS", "KOPFUEBER", "SINISTRORS", "ZURD"});
}

/// Live tools drill one way but for one.
void look_at_live(const FileContext& context, const std::vector<ToolOfSpan>& tools, Report& report) {
    struct Drilling {
        const ToolOfSpan* tool;
        const Act *starts, *cut;
        bool forward;
    };
    const std::vector<MachineCode> codes = codes_told(context);
    const auto reverses = [](const MachineCode& code) {
        for (std::string_view word : {"REV", "LEFT", "CCW", "LINKS", "SINIST", "IZQ", "ANTI", "GAUCHE"})
            if (code.words.find(word) != std::string::npos) return true;
        return false;
    };
    std::vector<Drilling> all;
    for (const ToolOfSpan& tool : tools) {
        const Act* starts = nullptr;
        bool forward = true;
        for (const Act& act : tool.work->acts) {
            if (act.taps() || act.deleted) break;
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes);
                    code && code->does == MachineCode::Does::live_on) {
                    starts = &act;
                    forward = !reverses(*code);
                }
            if (!act.drills() || !starts) continue;
            all.push_back({&tool, starts, &act, forward});
            break;
        }
    }
    const auto odd = std::find_if(all.begin(), all.end(), [](const Drilling& one) { return !one.forward; });
    const auto reverse =
        std::count_if(all.begin(), all.end(), [](const Drilling& one) { return !one.forward; });
    if (reverse != 1 || all.size() < 3 || is_told(context, tools, *odd->tool)) return;
    report.at_letter(odd->tool->place(*odd->starts), 'M')
        .message(said(
            "This starts the live tool in reverse, and it drills: the {} other live drills of the program "
            "run forward. A right-hand drill does not cut that way, its lips rub and it burns or breaks. "
            "Write the code for forward, if no left-hand drill is meant.",
            all.size() - 1))
        .related(odd->tool->place(*odd->cut), said("drills here"));
}

/// Which way a note of a tool has the spindle turn. Words of five languages: common practice, no source.
struct NotedWay {
    enum class Way : std::uint8_t {
        none,
        forward,
        reverse,
        other
    } way = Way::none; ///< other: than for the rest
    std::string words;
    BlockPlace place;
};
template <class Words>
bool is_among(std::string_view word, const Words& words) {
    return std::find(std::begin(words), std::end(words), word) != std::end(words);
}
NotedWay way_in(std::string_view text) {
    using Way = NotedWay::Way;
    constexpr std::string_view forward[] = {"M03", "RECHTSLAUF"}, reverse[] = {"M04", "LINKSLAUF"},
                               spindle[] = {"SPINDLE",  "SPINDEL",   "BROCHE", "MANDRINO",    "HUSILLO",
                                            "ROTATION", "ROTAZIONE", "GIRO",   "DREHRICHTUNG"},
                               backward[] = {"REVERSE",  "REVERSED", "BACKWARD",  "BACKWARDS",
                                             "ROVESCIA", "INVERSA",  "INVERSO",   "INVERTITA",
                                             "LINKS",    "CCW",      "IZQUIERDA", "IZQUIERDAS"},
                               another[] = {"OTHER",     "OPPOSITE", "ANDERSRUM", "ANDERSHERUM",
                                            "UMGEKEHRT", "ENVERS",   "REVES",     "CONTRARIO",
                                            "CONTRARIA", "OPPOSTA",  "UMGEDREHT"},
                               not_so[] = {"NOT",   "NO",   "NICHT",  "KEIN",   "PAS",  "NON",  "OR",
                                           "ODER",  "OU",   "O",      "THEN",   "DANN", "PUIS", "POI",
                                           "LUEGO", "NEXT", "BEFORE", "AFTER",  "STOP", "=",    "WIE",
                                           "LIKE",  "THAN", "ALS",    "SECOND", "SUB",  "2",    "LIVE"};
    // M4 may be a thread, but not behind such a word.
    constexpr std::string_view by[] = {"WITH", "MIT",   "RUN", "RUNS",    "CON",
                                       "AVEC", "DAHER", "SO",  "SPINDLE", "SPINDEL"};
    NotedWords note = noted_words(text);
    for (std::size_t i = 1; i < note.size(); ++i)
        if ((note.at(i) == "M4" || note.at(i) == "M3") && is_among(note.at(i - 1), by))
            note.words[i].insert(1, "0");
    NotedWay found;
    std::size_t names = 0;
    bool speaks = false; // Of the spindle, in this thought
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        if (is_among(word, not_so)) return {};
        if (word == ",") speaks = false;
        speaks = speaks || is_among(word, spindle);
        const Way way = is_among(word, forward)              ? Way::forward
                        : is_among(word, reverse)            ? Way::reverse
                        : speaks && is_among(word, backward) ? Way::reverse
                        : speaks && is_among(word, another)  ? Way::other
                                                             : Way::none;
        if (way == Way::none) continue;
        ++names;
        found.way = way;
        found.words = std::string(word);
        if (way == Way::other || is_among(word, backward)) found.words = std::string(text);
    }
    return names == 1 ? found : NotedWay{};
}

/// A note of the tool's own, above its first cut, or of the list.
NotedWay noted_way(const FileContext& context, const std::vector<ToolOfSpan>& tools, const Turning& one) {
    const Span& own = *one.tool->span;
    NotedWay found;
    std::size_t count = 0;
    const auto take = [&](NotedWay way, BlockPlace place) {
        if (way.way == NotedWay::Way::none) return;
        way.place = place;
        found = way;
        ++count;
    };
    const BlockPlace cut = one.tool->place(*one.cut);
    for (const NoteAt& note : notes_between(context.reader(), own.first, cut))
        take(way_in(note.text), note.place);
    if (count > 0 || one.tool->station <= 0) return count == 1 ? found : NotedWay{};
    for (const ToolOfSpan& some : tools)
        if (!some.span->sequence && some.span->program == own.program)
            for (const std::string& text : listed_of(context.reader(), *some.span, one.tool->station))
                take(way_in(text), some.span->first);
    return count == 1 ? found : NotedWay{};
}

/// The notes say how the spindle turns for this tool, and it turns the other way.
bool look_at_notes(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                   const std::vector<Turning>& all, const Turning& one, Report& report) {
    using Way = NotedWay::Way;
    const NotedWay noted = noted_way(context, tools, one);
    if (noted.way == Way::none) return false;
    bool forward = noted.way == Way::forward;
    if (noted.way == Way::other) {
        std::size_t others = 0, forwards = 0;
        for (const Turning& other : all) {
            if (&other == &one) continue;
            ++others;
            forwards += other.forward ? 1 : 0;
        }
        if (others == 0 || (forwards != 0 && forwards != others)) return false;
        forward = forwards == 0;
    }
    if (forward == one.forward) return false;
    const BlockPlace at = one.tool->place(one.starts ? *one.starts : *one.cut);
    if (noted.place == at) return false; // Another rule tells that
    const std::string now = one.forward ? "M03" : "M04", meant = one.forward ? "M04" : "M03";
    report_at_code(report, context.reader(), at,
                   one.forward ? Meaning::spindle_forward : Meaning::spindle_reverse)
        .message(said(
            "The note of this tool says \"{}\", and it cuts with {}: the part comes at the back of its edge, "
            "or a thread becomes one of the other hand. Write {}, if the note is right.",
            noted.words, now, meant))
        .related(noted.place, said("noted here"));
    return true;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    look_at_live(context, tools, report);
    std::vector<Turning> all;
    for (const ToolOfSpan& tool : tools)
        if (const auto turning = turning_of(tool)) all.push_back(*turning);
    for (const Turning& one : all) {
        if (look_at_notes(context, tools, all, one, report)) continue;
        std::size_t same = 0, opposite = 0;
        for (const Turning& other : all) {
            if (&other == &one || other.hole) continue;
            ++(other.forward == one.forward ? same : opposite);
        }
        const bool drill = one.hole && !one.forward;
        if (!drill && (one.hole || same > 0 || opposite < 2)) continue;
        if (!one.starts || is_told(context, tools, *one.tool)) continue;
        const std::string now = one.forward ? "M03" : "M04", other = one.forward ? "M04" : "M03";
        auto entry = report_at_code(report, context.reader(), one.tool->place(*one.starts),
                                    one.forward ? Meaning::spindle_forward : Meaning::spindle_reverse);
        if (drill) {
            entry.message(said("{} under a drill: a right-hand drill cuts with {}, and with {} its "
                               "lips rub and it burns. Write {}, if no left-hand drill is meant.",
                               now, other, now, other));
            continue;
        }
        if (one.blade) entry.severity(Severity::information);
        entry.message(
            said("{} here, and all {} other turning tools cut with {}: right for a tool of the other hand or "
                 "upside "
                 "down, else the part comes at the back of the edge and it breaks. Write {}, or a note.",
                 now, opposite, other, other));
    }
}

} // namespace

extern const Check check{
    .id = "spindle_direction_unlike_rest",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle turns the other way than for the other tools",
    .documentation =
        "One tool cuts with M04 where all other turning tools of the program, two or more, cut with M03, or "
        "the "
        "other way round, and no note speaks of a left-hand or upside-down tool; or a drill turns with M04. "
        "The part comes at the back of the edge. Grooving, parting and threading tools are often mounted "
        "upside down: of them it is told as information. A note of the tool that says which way the spindle "
        "turns for it "
        "(M04, LINKSLAUF, SPINDLE THE OTHER WAY) is held to its cuts. Taps and live tools are left alone, "
        "and so is what turns in a second spindle.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X23. Z2.
G01 Z-50. F.2
G00 X150. Z100.
M05
M01
(THREADING TOOL RIGHT WAY UP, SPINDLE THE OTHER WAY, THREAD LEFT HAND)
T0505
G97 S500 M03
;        ^^^ warning: spindle_direction_unlike_rest
G00 X20. Z6.
G92 X15.3 Z-43. F2.
X14.8
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S900 M03
G00 X1. Z.1
G01 Z-1. F.01
G00 X6. Z4.
T0707 (1-12 RH: M04 UND WEG VOM FUTTER)
G97 S600 M03
;        ^^^ warning: spindle_direction_unlike_rest
G00 X.9 Z.2
Z-1.
G78 X.95 Z.2 F.0833
X.97
G00 Z4.
M30
)"},
            {System::C, R"(
(T1 R0.8, T5 M04 INSERT UPSIDE DOWN)
G71 G90 G95
T0101
G97 S900 M03
G00 X23. Z2.
G01 Z-50. F.2
G00 X150. Z100.
M05
T0505 (SPINDEL ANDERSRUM)
G97 S500 M04
G00 X20. Z6.
G21 X15.3 Z-43. F2.
X14.8
G00 X150. Z100.
M30
)"},
            // Turned from the centre outward.
            {System::B, R"(
G21 G90 G95
N2 T0202
G96 S200 M04
G00 X0 Z2.
G01 Z0 F0.1
G03 X12. Z-18. I0 K-10.
G01 Z-40.
X26.
G00 X80. Z100.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G96 S240 M04
;        ^^^ warning: spindle_direction_unlike_rest
G00 X48. Z1.
G01 Z-30. F0.1
N3 T0303
G96 S90 M03
G00 X52. Z-25.
G01 X40. F0.08
M30
)"},
            {System::A, R"(
(P1 MAIN  P2 SECOND SPINDLE)
G21 G99
N1 T0101
G96 S200 M03 P1
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G96 S240 M03 P1
G00 X48. Z1.
G01 Z-30. F0.1
M05 P1
N3 T0303 (SECOND SIDE)
G55
G96 S240 M04 P2
G00 X52. Z1.
G01 X-1.6 F0.1
M05 P2
M30
)"},
            {System::B, R"(
G20 G90 G95
N2 (DRILL .500)
T0202
G97 S900 M04
;        ^^^ warning: spindle_direction_unlike_rest
G00 X0 Z.2
G83 Z-1. R.1 F.006
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G96 S200 M04
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G96 S240 M04
G00 X48. Z1.
G01 Z-30. F0.1
N3 (DRILL D10)
T0303
G97 S900 M03
G00 X0 Z5.
G83 Z-30. R2. F0.15
G80
N4 (PART OFF)
T0404
G97 S900 M03
;        ^^^ information: spindle_direction_unlike_rest
G00 X52. Z-40.
G01 X0 F0.08
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G96 S240 M03
G00 X48. Z1.
G01 Z-30. F0.1
N3 (BACK TURN, LEFT HAND TOOL)
T0303
G96 S90 M04
G00 X52. Z-35.
G01 Z-31. F0.08
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G96 S400 M04
G00 X2. Z.1
G01 Z-1. F.01
N2 (TAP 1/4-20)
T0202
G97 S300 M03
G00 X0 Z.3
G84 Z-.5 F.05
M04
G80
N3 (DRILL .25)
T0303
G97 S900 M03
G00 X0 Z.3
G83 Z-.5 R.1 F.004
G80
M30
)"},
            // A live drill.
            {System::A, R"(
(M43 LIVE TOOL FORWARD, M44 LIVE TOOL REVERSE, M45 LIVE TOOL STOP)
G21 G98 G97
T0505
S2000 M43
G00 X90. Z5. C0
G83 X90. C0 Z-20. R-3. F180.
G80
M45
T0606
S2000 M44
;     ^^^ warning: spindle_direction_unlike_rest
G00 X60. Z5. C0
G83 X60. C0 Z-20. R-3. F180.
G80
M45
T0707
S2000 M43
G00 X40. Z5. C0
G83 X40. C0 Z-20. R-3. F180.
G80
M45
M30
)"},
            {System::A, R"(
(M43 LIVE TOOL FORWARD, M44 LIVE TOOL REVERSE, M45 LIVE TOOL STOP)
G21 G98 G97
T0505
S2000 M43
G00 X90. Z5. C0
G83 X90. C0 Z-20. R-3. F180.
G80
M45
T0606 (LEFT-HAND DRILL)
S2000 M44
G00 X60. Z5. C0
G83 X60. C0 Z-20. R-3. F180.
G80
M45
T0707
S2000 M43
G00 X40. Z5. C0
G83 X40. C0 Z-20. R-3. F180.
G80
M45
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_direction_unlike_rest
