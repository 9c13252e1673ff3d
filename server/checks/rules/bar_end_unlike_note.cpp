// The bar is cut off elsewhere than where a note has its end when the program begins, or its stop stands
// behind the face.
#include "checks/more_axes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::bar_end_unlike_note {

namespace {

using Does = MachineCode::Does;

constexpr double hardly_mm = 0.05;
constexpr double on_centre_mm = 0.6; ///< Radius that a part-off ends at, with its pip

/// What a head tells of the bar's end.
struct NotedEnd {
    std::optional<double> in_front; ///< "BAR FACE 0.7 IN FRONT OF Z0", "BAR STANDS .03 OUT OF Z0"
    std::optional<double> cut_at;   ///< "BAR IS CUT AT Z-33.", "BAR CUT OFF BY HAND AT Z-27."
    bool left_edge = false;         ///< "PART-OFF 3 WIDE, SET AT ITS LEFT EDGE"
    bool several = false;
};
NotedEnd noted_end(const FileContext& context, const Span& head) {
    NotedEnd end;
    const auto take = [&](std::optional<double>& one, std::optional<double> number) {
        if (!number) return;
        end.several = end.several || (one && *one != *number);
        one = number;
    };
    for (const NoteAt& note : notes_between(context.reader(), head.first, head.last)) {
        const NotedWords words = noted_words(note.text);
        bool bar = false, cut = false;
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string_view word = words.at(i);
            if (word == ",") bar = cut = false;
            bar = bar || word == "BAR";
            cut = cut || word == "CUT";
            if (word == "LEFT" && is_one_of(words.at(i + 1), {"EDGE", "CORNER"})) end.left_edge = true;
            if (bar && word == "Z0" && i >= 3 && words.at(i - 1) == "OF") {
                if (words.at(i - 2) == "OUT") take(end.in_front, plain_number(words.at(i - 3)));
                if (i >= 4 && words.at(i - 2) == "FRONT" && words.at(i - 3) == "IN")
                    take(end.in_front, plain_number(words.at(i - 4)));
            }
            if (bar && cut && word.starts_with("Z-") && i > 0 && words.at(i - 1) == "AT")
                if (const auto number = plain_number(word.substr(2))) take(end.cut_at, -*number);
        }
    }
    return end;
}

struct Cut {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};
/// In along X at one Z.
bool plunges(const Act& act) {
    return act.cuts() && act.moves_x && !act.moves_z && !act.in_contour && known(act.to_x) &&
           known(act.to_z) && known(act.from_x) && act.to_x < act.from_x && act.motion == MotionKind::feed;
}

/// The first plunge behind a pull of the slide: what stays in the main spindle is cut there.
std::optional<Cut> cut_behind_pull(std::span<const ToolOfSpan> program,
                                   const std::vector<MachineCode>& codes) {
    bool held = false, open = false, drawn = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) return std::nullopt;
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes)) {
                    if (code->does == Does::second_close) held = true;
                    if (code->does == Does::second_open) held = drawn = false;
                    if (code->does == Does::clamp_open) open = true;
                    if (code->does == Does::clamp_close) open = false;
                }
            if (slide_word(*tool.work, act)) {
                drawn = drawn || (held && open && act.gives_feed && !act.deleted);
                continue;
            }
            if (drawn && held && !open && plunges(act)) return Cut{&tool, &act};
        }
    return std::nullopt;
}

/// The only Z that a plunge to the centre goes to behind Z0.
std::optional<Cut> only_part_off(std::span<const ToolOfSpan> program, std::optional<double> of_file) {
    std::optional<Cut> found;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const auto mm = mm_of(act, of_file);
            if (!mm || !plunges(act) || act.to_z >= 0 || act.to_x * *mm > on_centre_mm) continue;
            if (found && found->act->to_z != act.to_z) return std::nullopt;
            found = Cut{&tool, &act};
        }
    return found;
}

void tell(const Cut& cut, double noted, Report& report) {
    const double off = cut.act->to_z - noted;
    report.at(cut.tool->place(*cut.act))
        .message(
            said("The bar is cut at Z{} here, and by the note its end stands at Z{} when the program begins: "
                 "this part comes out {} too {}, and the next one begins with its face off its place. Is a "
                 "digit or the point of Z wrong?",
                 written(cut.act->to_z), written(static_cast<float>(noted)),
                 spoken(std::round(std::abs(off) * 1e4) / 1e4), off > 0 ? said("short") : said("long")));
}

bool faces_by_cycle(const Act& act, double mm) {
    return act.motion == MotionKind::single_cycle && act.moves_x && act.moves_z && known(act.to_x) &&
           known(act.to_z) && act.to_x * mm <= on_centre_mm;
}

/// The stop lets the bar come to behind where it is faced.
void look_at_stop(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                  std::optional<double> of_file, Report& report) {
    const ToolOfSpan* in = nullptr;
    const Act* stands = nullptr;
    const Act* place = nullptr; // Where the stop has gone to last
    for (const ToolOfSpan& tool : program) {
        const bool is_stop = tool.that([](const NamedTool& named) {
            return named.kind == NamedTool::Kind::stop && !names_puller(named.word);
        }) != nullptr;
        bool open = false;
        if (is_stop) place = nullptr;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted) return;
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes)) {
                    if (code->does == Does::clamp_open) open = is_stop;
                    if (code->does == Does::clamp_close && open && place) stands = place, in = &tool;
                    if (code->does == Does::second_close) return;
                }
            if (is_stop && act.moves_z && known(act.to_z) && !is_return(act.motion)) place = &act;
            // By hand: the program stands while the bar is pushed against it.
            if (is_stop && place && tool.work->has_code(act, 'M', 0)) stands = place, in = &tool;
            const auto mm = mm_of(act, of_file);
            if (is_stop || !stands || !mm || !(plunges(act) || faces_by_cycle(act, *mm))) continue;
            if (act.to_x * *mm <= on_centre_mm && (act.to_z - stands->to_z) * *mm > hardly_mm / 2 &&
                act.to_z * *mm > -1)
                report.at_letter(in->place(*stands), stands->by_w ? 'W' : 'Z')
                    .message(said(
                        "The bar comes to its stop at Z{}, and it is faced at Z{}: the tool goes through the "
                        "air in front of it, the face stays raw and the part comes out too short. Is the "
                        "sign or a digit of Z wrong?",
                        written(stands->to_z), written(act.to_z)))
                    .related(tool.place(act), said("faced here"));
            return; // The first plunge tells
        }
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at_stop(program, codes, of_file, report);
        const NotedEnd end = noted_end(context, *program.front().span);
        if (end.several) return;
        const auto is_off = [&](const Cut& cut, double noted) {
            const auto mm = mm_of(*cut.act, of_file);
            return mm && std::abs(cut.act->to_z - noted) * *mm > hardly_mm;
        };
        if (end.in_front && end.left_edge)
            if (const auto cut = cut_behind_pull(program, codes); cut && is_off(*cut, *end.in_front))
                return tell(*cut, *end.in_front, report);
        if (end.cut_at)
            if (const auto cut = only_part_off(program, of_file); cut && is_off(*cut, *end.cut_at))
                tell(*cut, *end.cut_at, report);
    });
}

} // namespace

extern const Check check{
    .id = "bar_end_unlike_note",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Bar cut off elsewhere than where the next part begins",
    .documentation = "A note in the head tells where the bar ends when the program begins (BAR FACE 0.7 IN "
                     "FRONT OF Z0, BAR IS "
                     "CUT AT Z-33.), and the part-off leaves it elsewhere: this part has another length, and "
                     "the next one begins "
                     "with its face off its place. With the slide of the second spindle drawing the bar the "
                     "note is held against "
                     "the first cut behind the pull, where the blade is set at its left edge. Or the bar "
                     "comes to its stop behind "
                     "the Z at which it is faced: the tool faces air. What the codes do is read from the "
                     "shop file or from notes."
                     " So is a stop behind the face that the bar is pushed to by hand, at a program stop.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(BAR FACE 0.7 IN FRONT OF Z0, PART-OFF 3 WIDE SET AT ITS LEFT EDGE)
(M10/M11 = CHUCK 1 CLOSE/OPEN, M110/M111 = CHUCK 2 CLOSE/OPEN)
G21 G99
T0808
M111
G97 S900 M03
G00 B40.
G98 G01 B0.2 F400
M110
M11
G01 B46.2 F1500
M10
G99
G00 Z7.
X48.
G01 X14. F0.08
;^^^^^^^^^^^^^ warning: bar_end_unlike_note
G00 X48.
G28 U0
G28 W0
G00 B600.
M30
)"},
            {System::A, R"(
(BAR IS CUT AT Z-33. BEFORE THE FIRST PIECE)
G21 G99
T0101
G97 S1500 M03
G00 X24. Z0
G01 X-1.6 F0.15
G00 X100. Z80.
T0505 (PART-OFF)
G00 X24. Z-30.
G01 X-0.4 F0.06
;^^^^^^^^^^^^^^ warning: bar_end_unlike_note
G00 X24.
G28 U0 W0
M30
)"},
            {System::B, R"(
(M11 COLLET OPEN  M10 COLLET SHUT)
G20 G90 G95
T1212 (STOP)
G00 X0 Z.5
G94 G01 Z-.02 F20.
;       ^^^^^ warning: bar_end_unlike_note
M11
G04 P1500
M10
G95
G00 Z2.
T0101
G97 S900 M03
G00 X1.1 Z0
G01 X-.06 F.006
G00 X4. Z4.
M30
)"},
            {System::B, R"(
(M11 COLLET OPEN  M10 COLLET SHUT)
(BAR IS CUT AT Z-1.28)
G20 G90 G95
T1212 (STOP)
G00 X0 Z.5
G94 G01 Z.02 F20.
M11
G04 P1500
M10
G95
G00 Z2.
T0101
G97 S900 M03
G00 X1.1 Z0
G01 X-.06 F.006
G00 X4. Z4.
T0808 (PART-OFF)
G00 X1.1 Z-1.28
G01 X-.03 F.002
G00 X4. Z4.
M30
)"},
            {System::C, R"(
(BAR FACE 0.7 IN FRONT OF Z0, PART-OFF 3 WIDE SET AT ITS LEFT EDGE)
(M10/M11 = CHUCK 1 CLOSE/OPEN, M110/M111 = CHUCK 2 CLOSE/OPEN)
G71 G90 G95
T0808
M111
G97 S900 M03
G00 B40.
G94 G01 B0.2 F400
M110
M11
G01 B46.2 F1500
M10
G95
G00 Z0.7
X48.
G01 X14. F0.08
G00 X48.
G91 G28 X0
G28 Z0
G90
G00 B600.
M30
)"},
            // The bar is pushed by hand to a stop behind the face.
            {System::A, R"(
(BOLT, BAR 20)
G21 G99
T0101 (BAR STOP)
G00 X0. Z5.
Z-0.5
;^^^^ warning: bar_end_unlike_note
M00 (PUSH BAR TO STOP, CLAMP)
G00 Z30.
G28 U0 W0
T0202
G97 S1200 M03
G00 X23. Z2.
G94 X-0.8 Z0. F0.12
G90 X17. Z-30. F0.2
G28 U0 W0
M30
)"},
            {System::A, R"(
(BOLT, BAR 20)
G21 G99
T0101 (BAR STOP)
G00 X0. Z5.
Z0.5
M00 (PUSH BAR TO STOP, CLAMP)
G00 Z30.
G28 U0 W0
T0202
G97 S1200 M03
G00 X23. Z2.
G94 X-0.8 Z0. F0.12
G90 X17. Z-30. F0.2
G28 U0 W0
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::bar_end_unlike_note
