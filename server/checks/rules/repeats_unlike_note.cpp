// A call that is repeated another number of times than a note counts grooves or pieces.
//
// The words that notes count by: common practice, no source.
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace turnwright::checks::rules::repeats_unlike_note {

namespace {

constexpr std::pair<std::string_view, int> numerals[] = {
    {"TWO", 2},    {"THREE", 3},   {"FOUR", 4},    {"FIVE", 5},   {"SIX", 6},    {"SEVEN", 7}, {"EIGHT", 8},
    {"TEN", 10},   {"TWELVE", 12}, {"ZWEI", 2},    {"DREI", 3},   {"VIER", 4},   {"FUENF", 5}, {"SECHS", 6},
    {"DUE", 2},    {"TRE", 3},     {"QUATTRO", 4}, {"CINQUE", 5}, {"SEI", 6},    {"DEUX", 2},  {"TROIS", 3},
    {"QUATRE", 4}, {"CINQ", 5},    {"DOS", 2},     {"TRES", 3},   {"CUATRO", 4}, {"CINCO", 5}, {"SEIS", 6},
};
/// Of what each turn of a repeated program makes one. As a word ends: RINGNUTEN, OIL GROOVES.
constexpr std::string_view grooves[] = {"GROOVE",    "GROOVES",  "NUT",  "NUTEN",  "NUTE",   "RILLEN",
                                        "EINSTICHE", "GOLA",     "GOLE", "GORGES", "GORGE",  "RANURAS",
                                        "CANALES",   "RECESSES", "FINS", "RIPPEN", "GROEVEN"};
constexpr std::string_view pieces[] = {"PCS",     "PIECES", "PIECE",  "PINS",   "PARTS",    "RINGS",
                                       "SPACERS", "DOWELS", "STK",    "STUECK", "STUCK",    "TEILE",
                                       "RINGE",   "PEZZI",  "PIEZAS", "OFF",    "SCHEIBEN", "WASHERS",
                                       "BUSHES",  "NUTS",   "SCREWS", "BOLTS"};

struct Count {
    int number = 0;
    bool of_grooves = false;
    std::string text; ///< "4 PINS"
    BlockPlace note;
};

std::optional<int> counter(std::string_view word) {
    for (auto [name, number] : numerals)
        if (name == word) return number;
    if (word.empty() || word.size() > 2 || !std::all_of(word.begin(), word.end(), is_digit))
        return std::nullopt;
    const int number = std::stoi(std::string(word));
    return number >= 2 ? std::optional(number) : std::nullopt;
}

bool is_one_of(std::string_view word, std::span<const std::string_view> words, bool as_end) {
    return std::any_of(words.begin(), words.end(), [&](std::string_view one) {
        return word == one || (as_end && one.size() > 4 && word.size() > one.size() && word.ends_with(one));
    });
}

/// "3 GROOVES", "5 OIL GROOVES", "THREE RING GROOVES"; "GROOVES AT 100 200 300" counts the places.
void read_note(std::string_view note, BlockPlace place, std::vector<Count>& counts) {
    const NotedWords words = noted_words(note);
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool groove = is_one_of(words.at(i), grooves, true);
        if (!groove && !is_one_of(words.at(i), pieces, false)) continue;
        for (std::size_t back = 1; back <= 2 && back <= i; ++back) {
            const std::string_view before = words.at(i - back);
            if (back == 2 && std::any_of(words.at(i - 1).begin(), words.at(i - 1).end(),
                                         [](char c) { return c < 'A' || c > 'Z'; }))
                break;
            const auto number = counter(before);
            if (!number) continue;
            // "T5 GROOVES", "DIA 3 GROOVE", "X 2 GROOVES": a size or a tool.
            const std::string_view ahead = i > back ? words.at(i - back - 1) : std::string_view();
            if (!ahead.empty() && ahead != "," && ahead != "MAKES" && ahead != "MAKE" && ahead.size() < 4)
                break;
            std::string text = std::string(before);
            for (std::size_t k = i - back + 1; k <= i; ++k) text += " " + std::string(words.at(k));
            counts.push_back({*number, groove, text, place});
            break;
        }
        if (!groove) continue;
        std::size_t at = i + 1;
        while (at < words.size() && at < i + 5 && words.at(at) != "AT" && words.at(at) != "BEI" &&
               words.at(at) != "BIJ")
            ++at;
        if (at >= words.size() || at == i + 5) continue;
        std::string text = std::string(words.at(i)) + " " + std::string(words.at(at));
        int places = 0;
        for (++at; at < words.size(); ++at) {
            std::string_view number = words.at(at);
            if (number == "," || number == "AND" || number == "UND" || number == "EN") continue;
            while (!number.empty() && (number.front() == '-' || number.front() == 'Z'))
                number.remove_prefix(1);
            if (!plain_number(number)) break;
            ++places;
            text += " " + std::string(words.at(at));
        }
        if (places >= 2) counts.push_back({places, true, text, place});
    }
}

/// The notes of a stretch of the program.
std::vector<Count> counts_in(const FileContext& context, BlockPlace first, BlockPlace last) {
    std::vector<Count> counts;
    for (const NoteAt& note : notes_between(context.reader(), first, last))
        read_note(note.text, note.place, counts);
    return counts;
}

struct Call {
    BlockPlace place;
    std::int32_t number = -1;
    int repeats = 1;
    std::size_t span = 0;
};

std::vector<Call> calls_of(const FileContext& context) {
    std::vector<Call> calls;
    const auto& spans = context.spans();
    machine::Analysis::Passed passed;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            if (!machine::calls_program(mark.kind)) continue;
            Call call{{run, mark.block}, mark.number, 1, 0};
            context.reader().visit_span(call.place, call.place, passed, [&](const BlockView& view) {
                const machine::Value& repeats = view.reading.repeats;
                call.repeats = repeats.known() ? machine::whole_number(repeats.number) : 0;
            });
            while (call.span + 1 < spans.size() && spans[call.span].last < call.place) ++call.span;
            calls.push_back(call);
        }
    return calls;
}

/// What one turn of a called program does.
struct Turn {
    bool makes_piece = false; ///< It calls a tool, or cuts to the centre
    bool calls = false;       ///< What else it does is not looked at
    double along_z = 0;       ///< By W, and by Z under incremental values
};
std::optional<Turn> turn_of(const FileContext& context, std::int32_t number) {
    const auto& programs = context.outline().programs;
    const auto program =
        std::find_if(programs.begin(), programs.end(), [&](const auto& one) { return one.number == number; });
    if (program == programs.end()) return std::nullopt;
    Turn turn;
    context.reader().visit_span(program->first, program->last, [&](const BlockView& view) {
        const machine::Reading& reading = view.reading;
        turn.calls = turn.calls || machine::calls_program(reading.flow);
        if (is_tool_call(view)) turn.makes_piece = true;
        const machine::Value& x = reading.target_x_radius;
        if (reading.moves_x && reading.motion == MotionKind::feed && x.known() && x.number <= 0)
            turn.makes_piece = true;
        const bool by_z = view.after.of(Group::distance).is(Meaning::incremental);
        for (char letter : {'W', 'Z'})
            if (const machine::Word* word = reading.word(letter))
                if (word->value.known() && (letter == 'W' || by_z)) turn.along_z += word->value.number;
    });
    return turn;
}

/// Pieces come from a turn that makes one whole, grooves from one that goes on along the part.
bool makes(const Turn& turn, bool grooves) {
    if (!grooves) return turn.makes_piece || turn.calls;
    return !turn.makes_piece && !turn.calls && std::abs(turn.along_z) > 1e-6;
}

/// "PITCH 14", "PAS 14" in the notes of a called program; nullopt: none, or two.
std::optional<double> noted_step(const FileContext& context, const machine::ProgramPart& program) {
    constexpr std::string_view words[] = {"PITCH",   "STEP", "SPACING", "TEILUNG",
                                          "ABSTAND", "PAS",  "PASO",    "PASSO"};
    std::optional<double> step;
    for (const NoteAt& at : notes_between(context.reader(), program.first, program.last)) {
        const NotedWords note = noted_words(at.text);
        for (std::size_t i = 0; i + 1 < note.size(); ++i) {
            const auto number =
                is_one_of(note.at(i), words, false) ? plain_number(note.at(i + 1)) : std::nullopt;
            if (!number || *number <= 0) continue;
            if (step) return std::nullopt;
            step = number;
        }
    }
    return step;
}

/// A turn goes another way along Z than its notes give, and the sign of one of its words explains it.
void look_at_step(const FileContext& context, const Call& call, Report& report) {
    const auto& programs = context.outline().programs;
    const auto program = std::find_if(programs.begin(), programs.end(),
                                      [&](const auto& one) { return one.number == call.number; });
    if (program == programs.end()) return;
    const auto step = noted_step(context, *program);
    if (!step) return;
    struct Way {
        BlockPlace place;
        const syntax::Item* item;
        double way;
    };
    std::vector<Way> ways;
    double sum = 0;
    bool is_known = true;
    context.reader().visit_span(program->first, program->last, [&](const BlockView& view) {
        const machine::Reading& reading = view.reading;
        is_known =
            is_known && !machine::calls_program(reading.flow) && !is_tool_call(view) && !threads_in(view);
        const bool by_z = view.after.of(Group::distance).is(Meaning::incremental);
        for (char letter : {'W', 'Z'})
            if (const machine::Word* word = reading.word(letter)) {
                is_known = is_known && word->value.known() && (letter == 'W' || by_z);
                sum += word->value.number;
                ways.push_back({{view.run_index, view.block}, word->item, word->value.number});
            }
    });
    constexpr double same = 1e-6;
    if (!is_known || std::abs(sum) < same || std::abs(std::abs(sum) - *step) < same) return;
    for (const Way& way : ways) {
        if (std::abs(std::abs(sum - 2 * way.way) - *step) > same || !way.item) continue;
        report.at(way.place, *way.item)
            .message(
                said("The note gives a step of {}, and each turn of O{:04} goes {} along Z: with the other "
                     "sign here it would be as noted. Is the sign right?",
                     written(*step), call.number, written(std::round(sum * 1e4) / 1e4)))
            .related(call.place, said("called here"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    if (context.runs() > most_runs_of_works) return;
    const std::vector<Call> calls = calls_of(context);
    std::set<std::int32_t> looked_at;
    for (const Call& call : calls)
        if (call.repeats >= 2 && call.number >= 0 && looked_at.insert(call.number).second)
            look_at_step(context, call, report);
    const auto& spans = context.spans();
    for (const Call& call : calls) {
        // Called elsewhere, too, it makes some of them there.
        const auto same = [&](const Call& other) { return other.number == call.number; };
        if (call.repeats < 2 || call.number < 0 || std::count_if(calls.begin(), calls.end(), same) != 1)
            continue;
        const auto turn = turn_of(context, call.number);
        if (!turn) continue;
        const Span& span = spans[call.span];
        std::vector<Count> counts = counts_in(context, span.first, call.place);
        const auto keep_made = [&] {
            std::erase_if(counts, [&](const Count& count) { return !makes(*turn, count.of_grooves); });
        };
        keep_made();
        // The head counts for all of its program where the sequence says nothing.
        if (counts.empty()) counts = counts_in(context, span.program->first, span.first);
        keep_made();
        std::set<int> numbers;
        for (const Count& count : counts) numbers.insert(count.number);
        if (numbers.size() != 1) continue;
        const int number = *numbers.begin();
        if (call.repeats == number) continue;
        const Count& count = *std::find_if(counts.begin(), counts.end(),
                                           [&](const Count& one) { return one.number == number; });
        // Fewer: the first may be made by itself, or several in each turn.
        const bool too_many = call.repeats > number && (!count.of_grooves || call.repeats % number != 0);
        const Slip slip = slip_between(std::to_string(call.repeats), std::to_string(number));
        const bool lost = call.repeats < number && slip == Slip::digit_lost;
        if (!too_many && !lost) continue;
        // The word that says how often; with eight digits P says it, too.
        const bool by_l = find_letter(context.reader(), call.place, 'L') != nullptr;
        report.at_letter(call.place, by_l ? 'L' : 'P')
            .message(said("O{:04} is run {} times here, and the note says \"{}\": {}. Is the number of "
                          "repeats wrong?",
                          call.number, call.repeats, count.text,
                          too_many ? said("the tool goes on behind the last of them, into what is to stay "
                                          "or what holds the part")
                                   : said("the others are not made")))
            .related(count.note, said("counted here"));
    }
}

} // namespace

extern const Check check{
    .id = "repeats_unlike_note",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Repeats of a call that are not as many as the note counts",
    .documentation =
        "A note of the sequence or of the head counts grooves or pieces (3 GROOVES, 4 PCS, GROOVES AT 100 "
        "200 "
        "300), and the call that makes them is repeated more often, or a digit less: the tool goes on behind "
        "the last one, into the part or the jaws, or some are not made. Fewer repeats by one or two are let "
        "pass: the first may be made by itself, or several in each turn. A step that a note of the repeated "
        "program "
        "gives (PITCH 14), and that it does not go by one sign, is told, too.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0606 (PULLEY, 3 GROOVES)
G21 G99
T0303
G97 S320 M03
G00 X120. Z-9.
M98 P40607
;   ^^^^^^ warning: repeats_unlike_note
G00 X160.
M30
O0607
G01 U-10. F.06
G00 U10.
W-12.
M99
)"},
            {System::B, R"(
O2000 (DOWEL, 4 PCS PER PULL)
G20 G90 G95
N2 (4 PINS)
T0303
G97 S3000 M03
G00 X.5 Z.1
M98 P2001 L44
;         ^^^ warning: repeats_unlike_note
G00 X.6
M30
O2001
G91 G00 Z-.58
G90 G01 X-.01 F.0025
G00 X.5
M99
)"},
            {System::C, R"(
O0880
G71 G90 G95
(BELT GROOVES 6 WIDE AT 100 200 300)
T0505
G97 S400 M03
G00 X64. Z0
M98 P0881 L5
;         ^^ warning: repeats_unlike_note
G00 X250.
M30
O0881
G91 G00 Z-100.
G90 G01 X50. F.1
G00 X62.
M99
)"},
            {System::A, R"(
O0606 (PULLEY, FOUR GROOVES, DIA 3 NUTS)
G21 G99
T0303
G97 S320 M03
G00 X120. Z-9.
M98 P30607
G00 X160.
M30
O0607
G01 U-10. F.06
G00 U10.
W-12.
M99
)"},
            {System::B, R"(
O0606 (PULLEY, 3 GROOVES IN 2 CUTS)
G21 G90 G95
T0303
G97 S320 M03
G00 X120. Z-9.
M98 P0607 L6
G00 X160.
M30
O0607
G91 G01 X-10. F.06
G00 X10.
Z-6.
G90
M99
)"},
            {System::C, R"(
O0606 (12 PCS PER BAR)
G71 G90 G95
T0303
G97 S320 M03
M98 P0607 L12
M30
O0607
G00 X20. Z-9.
G01 X-.4 F.06
G00 X20.
M99
)"},
            // A lot of pieces, and a program that makes grooves; grooves, and one that goes in by steps.
            {System::A, R"(
O0606 (2 PCS)
G21 G99
T0303
G97 S320 M03
G00 X120. Z-9.
M98 P40607
G00 X160.
M30
O0607
G01 U-10. F.06
G00 U10.
W-12.
M99
)"},
            {System::A, R"(
O0606 (3 GROOVES)
G21 G99
T0303
G97 S320 M03
G00 X120. Z-9.
M98 P50607
G00 X160.
M30
O0607
G01 U-2. F.06
W-4.
G00 U1.
W4.
U-1.
M99
)"},
            // A sign of the way back within the turn is lost; as noted.
            {System::B, R"(
G21 G90 G95
T0404
G97 S800 M03
G00 X28. Z-1.
M98 P1213 L4
G00 X40.
M30
O1213 (ONE GROOVE, PITCH 14)
G91 G00 Z-14.
G01 X-7. F.07
G00 X7.
Z-2.
;^^^ warning: repeats_unlike_note
G01 X-7. F.07
Z-2.
G00 X7.
G90
M99
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X28. Z-1.
M98 P1213 L4
G00 X40.
M30
O1213 (ONE GROOVE, PITCH 14)
G91 G00 Z-14.
G01 X-7. F.07
G00 X7.
Z2.
G01 X-7. F.07
Z-2.
G00 X7.
G90
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::repeats_unlike_note
