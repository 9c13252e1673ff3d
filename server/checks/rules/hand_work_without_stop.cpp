// Work of a hand, a bar to be pulled to the stop or a part to be turned round, where the program does not
// stop.
//
// What a hand does at a lathe: common practice, no source.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace turnwright::checks::rules::hand_work_without_stop {

namespace {

/// How a note begins that asks a hand for something only a stopped machine allows.
constexpr std::array phrases{
    "TURN PART",        "TURN THE PART", "TURN OVER",       "TURN ROUND",  "TURN AROUND",
    "FLIP PART",        "FLIP THE PART", "BAR OUT TO STOP", "BAR TO STOP", "PULL BAR",
    "PULL THE BAR",     "PULL OUT BAR",  "CLOSE COLLET",    "CLOSE CHUCK", "OPEN CHUCK",
    "OPEN COLLET",      "TEIL WENDEN",   "TEIL UMSPANNEN",  "UMSPANNEN",   "WERKSTUECK WENDEN",
    "STANGE VORZIEHEN", "STANGE ZIEHEN", "STANGE VOR",      "RETOURNER",   "TIRER LA BARRE",
    "SORTIR LA BARRE",  "SORTIR BARRE",  "TIRER BARRE",     "SACAR BARRA", "SACAR LA BARRA",
    "VOLTEAR",          "GIRAR PIEZA",   "GIRAR LA PIEZA",  "DAR VUELTA",  "GIRARE PEZZO",
    "GIRARE IL PEZZO",  "TIRARE BARRA",  "TIRARE LA BARRA", "TIRAR BARRA", "DAR LA VUELTA"};

bool asks_for_hand(std::string_view note) {
    std::string text;
    for (const std::string& word : noted_words(note).words) text += word == "," ? "" : word + " ";
    return std::any_of(phrases.begin(), phrases.end(), [&](std::string_view phrase) {
        return text.starts_with(phrase) && text.size() > phrase.size() && text[phrase.size()] == ' ';
    });
}

/// M codes behind which the machine goes on by itself, and nothing opens or feeds.
bool goes_on(double m) {
    return (m >= 3 && m <= 9 && m != 6) || m == 98 || m == 41 || m == 42 || m == 43;
}
/// Stops, ends, clamps or feeds by a code of its own, for all that is known.
bool may_stop(const syntax::Item& item) {
    if (item.kind != syntax::ItemKind::word) return item.kind != syntax::ItemKind::note;
    return (item.letter == 'M' && !goes_on(item.value)) ||
           (item.letter == 'G' && (item.value == 65 || item.value == 66 || item.value == 4));
}

/// The end, or a stop that a switch turns off: far from the note they are no stop for a hand.
bool is_far_stop(const syntax::Item& item) {
    return item.kind == syntax::ItemKind::word && item.letter == 'M' &&
           (item.value == 1 || item.value == 2 || item.value == 30);
}

class Programs {
public:
    explicit Programs(const FileContext& context) : reader_(context.reader()) {
        for (const machine::ProgramPart& program : context.outline().programs)
            if (!may_stop_in(program)) running_.insert(program.number);
    }
    /// Stops here, or in a called program that is not at hand or that does.
    bool may_stop_at(BlockPlace place, bool far_too = true) const {
        const auto items = reader_.items(place);
        const bool calls = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.kind == syntax::ItemKind::word && item.letter == 'M' && item.value == 98;
        });
        for (const syntax::Item& item : items) {
            if (may_stop(item) && (far_too || !is_far_stop(item))) return true;
            if (calls && item.kind == syntax::ItemKind::word && item.letter == 'P' &&
                !running_.contains(machine::program_called(item.value)))
                return true;
        }
        return false;
    }

private:
    bool may_stop_in(const machine::ProgramPart& program) const {
        for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
             at = reader_.neighbour(*at, true))
            for (const syntax::Item& item : reader_.items(*at))
                if (item.kind == syntax::ItemKind::word && item.letter == 'M' && !goes_on(item.value) &&
                    item.value != 99)
                    return true;
        return false;
    }
    const machine::Reader& reader_;
    std::set<int> running_; ///< Numbers of programs that stop nowhere
};

/// Blocks beside a note that its stop, or the codes of a bar puller, may stand in, and those near it.
constexpr int blocks_beside = 8, blocks_near = 3;

bool stops_near(const machine::Reader& reader, const Programs& programs, BlockPlace place) {
    if (programs.may_stop_at(place)) return true;
    for (bool forward : {true, false}) {
        std::optional<BlockPlace> at = place;
        for (int i = 0; i < blocks_beside;) {
            at = reader.neighbour(*at, forward);
            if (!at) break;
            const auto items = reader.items(*at);
            if (programs.may_stop_at(*at, i < blocks_near)) return true;
            i += std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
                return item.kind == syntax::ItemKind::word && item.letter != 'N';
            });
        }
    }
    return false;
}

/// By another block beside it.
bool stops_for_sure(const machine::Reader& reader, const Programs& programs, BlockPlace place) {
    for (bool forward : {true, false}) {
        std::optional<BlockPlace> at = place;
        for (int i = 0; i < blocks_near && (at = reader.neighbour(*at, forward)); ++i)
            if (programs.may_stop_at(*at, false)) return true;
    }
    return false;
}

/// True: a note of the program is told.
bool look_at_notes(const FileContext& context, const Programs& programs, const machine::ProgramPart& program,
                   Report& report) {
    const machine::Reader& reader = context.reader();
    bool begun = false, told = false;
    for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
         at = reader.neighbour(*at, true)) {
        const syntax::Item* note = nullptr;
        bool words = false, optional = false;
        for (const syntax::Item& item : reader.items(*at)) {
            if (item.kind == syntax::ItemKind::note) {
                note = &item;
            } else if (item.kind != syntax::ItemKind::word) {
                words = true;
            } else if (item.letter != 'N' && item.letter != 'O') {
                words = begun = true; // The head's notes stand above
                optional = optional || (item.letter == 'M' && item.value == 1);
            }
        }
        if (note && optional && asks_for_hand(reader.line(*at).text_of(*note)) &&
            !stops_for_sure(reader, programs, *at)) {
            report.at_letter(*at, 'M').message(
                said("M01 stops only while the switch for the optional stop is on, and the note asks "
                     "for a hand here: with the switch off the machine runs on while the part is "
                     "not held as it should be. Write M00."));
            told = true;
            continue;
        }
        if (!note || words || !begun || !asks_for_hand(reader.line(*at).text_of(*note))) continue;
        if (stops_near(reader, programs, *at)) continue;
        report.at(*at, *note)
            .message(
                said("This note asks for a hand, and nothing stops the program here: the machine runs on "
                     "into the next block while the part is not held as it should be. Write M00 in "
                     "front of the note."));
        told = true;
    }
    return told;
}

constexpr double near_face_mm = 3;

/// A tool that goes up to the face with the spindle stopped and away again, and nothing happens in between.
void look_at_stop(const ToolOfSpan& tool, std::optional<double> of_file, Report& report) {
    if (!tool.span->sequence || tool.station < 0 || !tool.work->whole) return;
    const Act* there = nullptr;
    bool away = false;
    for (const Act& act : tool.work->acts) {
        const auto words = tool.work->words_of(act);
        const bool may_stop_here = std::any_of(words.begin(), words.end(), [](const ActWord& word) {
            return word.letter == 'M' && (!goes_on(word.number) || word.number == 98);
        });
        if (away && !act.moves() && may_stop_here) break; // Behind the way off
        if (may_stop_here || act.dwells || act.calls_program || act.ends_program || act.deleted) return;
        if (!act.moves()) continue;
        if (act.motion != MotionKind::rapid && !is_return(act.motion)) return;
        const auto unit = mm_of(act, of_file);
        const bool at_face = act.motion == MotionKind::rapid && act.stopped() && unit && known(act.to_z) &&
                             known(act.to_x) && std::abs(act.to_z) * *unit <= near_face_mm && act.to_x == 0;
        if (at_face)
            there = &act;
        else if (there)
            away = true;
    }
    if (!there || !away) return;
    report.at(tool.place(*there))
        .message(said("T{:02} goes up to the face on the centre with the spindle stopped and away again, and "
                      "nothing happens here: no bar comes to the stop. Write M00 below, or the code that "
                      "feeds the bar.",
                      tool.station));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    const Programs programs(context);
    for (const machine::ProgramPart& program : context.outline().programs) {
        if (program.is_subprogram || look_at_notes(context, programs, program, report)) continue;
        for (const ToolOfSpan& tool : tools)
            if (tool.span->program == &program) look_at_stop(tool, of_file, report);
    }
}

} // namespace

extern const Check check{
    .id = "hand_work_without_stop",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Work of a hand with no program stop",
    .documentation =
        "A note between the blocks asks to turn the part round, to pull the bar or to close the chuck, or a "
        "tool goes up to the face on the centre with the spindle stopped and away again, and no stop and no "
        "code of the machine stands there: the program runs on at once. A part that is not turned round is "
        "cut on its finished side, a bar that has not come is cut in the air, and hands are in the way. "
        "Write M00 where the hand works.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0909
M05
G00 X0. Z20.
Z0.5
;^^^ warning: hand_work_without_stop
G00 Z80.
G28 U0 W0
T0101
G97 S800 M03
G00 X52. Z0
G01 X-1.6 F0.2
M30
)"},
            {System::B, R"(
(FIRST SIDE, THEN TURN PART OVER)
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
G00 X6. Z4.
M05
N20 (TURN PART OVER, SOFT JAWS)
;   ^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: hand_work_without_stop
T0303
G97 S900 M03
G00 X2. Z.1
G01 Z-.5 F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
M98 P0900
N15 (SACAR BARRA 60 Y APRETAR)
;   ^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: hand_work_without_stop
T0101
G97 S800 M03
G00 X52. Z0
G01 X-1.6 F.2
M98 P0900
M30
O0900
M09
G53 G00 X0
G53 Z0
M99
)"},
            // Stops, a code that feeds the bar, a stop in the called program, a note above its stop.
            {System::A, R"(
G21 G99
T0909
M05
G00 X0. Z20.
Z0.5
M00 (BAR OUT TO STOP)
G00 Z80.
G28 U0 W0
T0808
G00 X0. Z20.
Z0.5
M10
G04 U1.
M11
G00 Z80.
G28 U0 W0
(TURN PART OVER)
M05
M00
T0101
G97 S800 M03
G00 X52. Z0
G01 X-1.6 F0.2
M30
)"},
            {System::C, R"(
G71 G90 G95
M98 P0900
(STANGE ZIEHEN)
T0909
G00 X0 Z-8.
G94 G01 Z-19. F800.
M10
G04 X1.
G01 Z10. F1500.
M11
(UMSPANNEN)
T0101
G97 S800 M03
G00 X52. Z0
G01 X-1.6 F.2
M30
O0900
G53 G00 X0
G53 Z0
M00
M99
)"},
            {System::B, R"(
G20 G90 G95
T0101
M05
G00 X0 Z.1
Z.02
G01 Z1.5 F10.
G00 X6. Z4.
(TURN OUTSIDE)
T0303
G97 S900 M03
G00 X2. Z.1
G01 Z-.5 F.01
M30
)"},
            // A switch turns the optional stop off.
            {System::C, R"(
G70 G90 G95
T0909
G00 X0 Z.5
G94 G01 Z.02 F30.
(BAR TO STOP, CLOSE COLLET)
;^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: hand_work_without_stop
G95
G00 Z2.
G28 X0 Z0
M01
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            // A stop that a switch turns off is none for a hand.
            {System::A, R"(
G21 G40 G99
M05
G28 U0.
T1111
G00 X0. Z5.
Z0.5
M01 (BAR TO STOP - CLAMP - CLOSE DOOR)
;^^ warning: hand_work_without_stop
G00 Z30.
G28 U0.
T0101
G97 S800 M03
G00 X23. Z2.
G01 Z-20. F0.2
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X23. Z2.
G01 Z-20. F0.2
G28 X60. Z60.
M05
M00
M01 (TURN PART OVER, SOFT JAWS)
T0202
G97 S800 M03
G00 X23. Z2.
G01 Z-20. F0.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::hand_work_without_stop
