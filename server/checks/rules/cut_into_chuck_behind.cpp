// A drill or a bar that goes farther behind the part than a note says that there is room in the chuck.
#include "checks/head_stock.h"
#include "checks/noted_words.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::cut_into_chuck_behind {

namespace {

constexpr double slack_mm = 0.2;

bool begins(std::string_view word, std::initializer_list<std::string_view> fronts) {
    return std::any_of(fronts.begin(), fronts.end(),
                       [&](std::string_view front) { return word.starts_with(front); });
}

/// ".30 CLEAR BEHIND", "STAND-OFF .30 BEHIND THE BLANK", "HUECO LIBRE DETRAS DE LA PIEZA 12 MM": one thought
/// with one number, and no bore of the chuck. In the languages of some shops: common practice, no source.
std::optional<double> room_behind(std::string_view note) {
    const NotedWords words = noted_words(note);
    for (std::size_t first = 0, end = 0; first < words.size(); first = end + 1) {
        end = first;
        while (end < words.size() && words.at(end) != ",") ++end;
        bool is_free = false, is_behind = false, is_else = false;
        std::vector<double> numbers;
        for (std::size_t i = first; i < end; ++i) {
            const std::string_view word = words.at(i);
            is_free = is_free || begins(word, {"CLEAR", "FREE", "FREI", "LIBRE", "LIBER", "STAND-OFF",
                                               "STANDOFF", "DEGAGE"});
            is_behind = is_behind || begins(word, {"BEHIND", "DETRAS", "DERRIERE", "HINTER", "DIETRO"});
            is_else = is_else || begins(word, {"BORE", "BOHRUNG", "HOLE", "DIA", "OPEN", "ABIERT", "SPINDLE",
                                               "SHOULDER", "TOOL", "TAIL"});
            const auto size = size_in(word, words.at(i + 1));
            if (size) numbers.push_back(size->number);
        }
        if (is_free && is_behind && !is_else && numbers.size() == 1 && numbers[0] > 0) return numbers[0];
    }
    return std::nullopt;
}

/// "FINISHED THICKNESS 30".
std::optional<double> thickness_in(std::string_view note) {
    const NotedWords words = noted_words(note);
    for (std::size_t i = 0; i + 1 < words.size(); ++i)
        if (begins(words.at(i), {"THICKNESS", "DICKE", "EPAISSEUR", "SPESSORE", "ESPESOR"}))
            if (const auto size = plain_number(words.at(i + 1)); size && *size > 0) return size;
    return std::nullopt;
}

struct Room {
    double length = 0, behind = 0; ///< In program units
    BlockPlace note;
};

std::optional<Room> room_of(const WorksContext& context, const Work& first) {
    const Span& span = context.spans[first.span];
    std::optional<Room> room;
    std::optional<double> thickness;
    bool has_bore = false;
    for (const Span& head : context.spans) {
        if (head.program != span.program || (head.sequence && room)) continue;
        for (const NoteAt& at : notes_between(context.reader, head.first, head.last)) {
            if (const auto behind = room_behind(at.text); behind && !room) room = Room{0, *behind, at.place};
            if (!thickness) thickness = thickness_in(at.text);
            const NotedWords words = noted_words(at.text);
            for (std::size_t i = 0; i + 1 < words.size(); ++i)
                has_bore = has_bore || (begins(words.at(i), {"CHUCK", "SPINDLE", "FUTTER", "JAWS"}) &&
                                        begins(words.at(i + 1), {"BORE", "HOLE", "BOHRUNG"}) &&
                                        !begins(words.at(i + 1), {"BORED"}));
        }
        if (head.sequence) break;
    }
    if (!room || has_bore) return std::nullopt;
    const HeadStock stock = head_stock(context.reader, span.program->first, *span.program, first.unit_mm);
    if (stock.stock.length_mm)
        room->length = *stock.stock.length_mm / first.unit_mm;
    else if (thickness)
        room->length = *thickness;
    else
        return std::nullopt;
    return room;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    const Work& first = *part.works.front();
    const auto room = room_of(context, first);
    if (!room) return;
    // With Z0 at the finished face the back lies in front of this by what is faced off.
    const double chuck = -room->length - room->behind;
    for (const Work* work : part.works) {
        if (work->driven_tool ||
            (work->where != Work::Where::inside && work->where != Work::Where::on_centre))
            continue;
        const Leg* deepest = nullptr;
        for (const Leg& leg : work->legs)
            if (leg.cuts() && leg.known && (!deepest || leg.to.z_mm < deepest->to.z_mm)) deepest = &leg;
        if (!deepest || (chuck - deepest->to.z_mm) * work->unit_mm < slack_mm) continue;
        context.at(report, *work, *deepest, "ZW")
            .message(
                said("The notes give a length of {} and {} of room behind it: from {} on stands the chuck, "
                     "and this goes to {}, into it. Is a digit of Z wrong?",
                     spoken(std::round(room->length * 1e4) / 1e4), spoken(room->behind),
                     context.z(std::round(chuck * 1e4) / 1e4), context.z(deepest->to.z_mm)))
            .related(room->note, said("noted here"));
    }
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // Followed through it, with its jaws
    const machine::ProgramPart* program = nullptr;
    for (const Workpiece& part : context.parts) {
        if (part.works.empty()) continue;
        const machine::ProgramPart* its = context.spans[part.works.front()->span].program;
        if (its == program) continue; // The note speaks of the first clamping
        program = its;
        look_at(context, part, report);
    }
}

} // namespace

extern const Check check{
    .id = "cut_into_chuck_behind",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Drill or bar into the chuck behind the part",
    .documentation =
        "A note tells how much room there is behind the part (.30 CLEAR BEHIND, STAND-OFF .30 BEHIND THE "
        "BLANK), and the length of the blank or the thickness of the part is noted. A drill, a tap or a "
        "boring "
        "bar goes farther than both together: it runs into the chuck. Nothing is said where the chuck has a "
        "bore of its own.",
    .works = works,
    .examples =
        {
            {System::A, R"(
(BAR CUT D80 X 43, HUECO LIBRE DETRAS DE LA PIEZA 12 MM)
G21 G99
T0202
G97 S260 M03
G00 X0. Z4.
G74 R1.
G74 Z-60. Q6000 F0.2
;   ^^^^^ warning: cut_into_chuck_behind
G00 Z40.
M30
)"},
            {System::A, R"(
(BAR CUT D80 X 43, HUECO LIBRE DETRAS DE LA PIEZA 12 MM)
G21 G99
T0202
G97 S260 M03
G00 X0. Z4.
G74 R1.
G74 Z-50. Q6000 F0.2
G00 Z40.
M30
)"},
            {System::B, R"(
(SAWN BLANK 3.0 OD X 1.06, STAND-OFF .30 BEHIND THE BLANK)
G20 G90 G95
T0303
G97 S900 M03
G00 X0. Z.2
G01 Z-1.3 F.004
G00 Z.2
G00 X6. Z5.
T0404
S800 M03
G00 X1.6 Z.1
G77 X1.7 Z-1.1 F.006
X1.8 Z-1.1
X1.9 Z-1.5
;    ^^^^^ warning: cut_into_chuck_behind
G00 X6. Z5.
M30
)"},
            // Open behind.
            {System::C, R"(
(BLANK D80 X 43, 5 FREE BEHIND, CHUCK BORE 52)
G71 G90 G95
T0202
G97 S260 M03
G00 X0. Z4.
G01 Z-60. F0.2
G00 Z40.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cut_into_chuck_behind
