// A call that is repeated another number of times than a note counts grooves or pieces.
#include "checks/noted_counts.h"
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
    bool makes_piece = false;       ///< It calls a tool, or cuts to the centre
    bool calls = false;             ///< What else it does is not looked at
    double along_z = 0;             ///< By W, and by Z under incremental values
    std::vector<std::string> names; ///< Words of its notes, three letters and more
    /// "UN ANELLO" beside 5 ANELLI: a ring is cut off before it comes to the centre.
    bool is_named(const NotedCount& count) const {
        constexpr std::size_t alike = 4;
        const std::string noun = count.text.substr(count.text.rfind(' ') + 1);
        return noun.size() >= alike && std::any_of(names.begin(), names.end(), [&](const std::string& name) {
                   return name.compare(0, alike, noun, 0, alike) == 0;
               });
    }
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
    for (const NoteAt& at : notes_between(context.reader(), program->first, program->last))
        for (const std::string& word : noted_words(at.text).words) turn.names.push_back(word);
    return turn;
}

/// The sequence has cut before it calls.
bool cuts_by_itself(const FileContext& context, const Span& span, BlockPlace call) {
    bool cuts = false;
    context.reader().visit_span(span.first, call,
                                [&](const BlockView& view) { cuts = cuts || cuts_in(view); });
    return cuts;
}

/// Pieces come from a turn that makes one whole, grooves from one that goes on along the part.
bool makes(const Turn& turn, const NotedCount& count) {
    const bool goes_on = std::abs(turn.along_z) > 1e-6;
    if (!count.of_grooves) return turn.makes_piece || turn.calls || (goes_on && turn.is_named(count));
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
            const auto number = std::find(std::begin(words), std::end(words), note.at(i)) != std::end(words)
                                    ? plain_number(note.at(i + 1))
                                    : std::nullopt;
            if (!number || *number <= 0) continue;
            if (step) return std::nullopt;
            step = number;
        }
    }
    return step;
}

/// The note gives the places, one step apart, and each turn goes another way along Z: by what one of its
/// words goes aside and nothing takes back.
bool look_at_places(const FileContext& context, const Call& call, const NotedCount& count, Report& report) {
    if (count.places.size() < 2) return false;
    const double step = std::abs(count.places[1] - count.places[0]);
    constexpr double same = 1e-6;
    for (std::size_t i = 2; i < count.places.size(); ++i)
        if (std::abs(std::abs(count.places[i] - count.places[i - 1]) - step) > same) return false;
    const auto& programs = context.outline().programs;
    const auto program = std::find_if(programs.begin(), programs.end(),
                                      [&](const auto& one) { return one.number == call.number; });
    const auto turn = turn_of(context, call.number);
    if (program == programs.end() || !turn || turn->calls || turn->makes_piece) return false;
    const double sum = turn->along_z;
    if (std::abs(sum) < same || std::abs(std::abs(sum) - step) < same) return false;
    bool told = false;
    context.reader().visit_span(program->first, program->last, [&](const BlockView& view) {
        const machine::Word* word = view.reading.word('W');
        if (told || !word || !word->value.known() || !word->item) return;
        const double way = word->value.number;
        if (std::abs(std::abs(sum - way) - step) > same) return;
        told = true;
        report.at(BlockPlace{view.run_index, view.block}, *word->item)
            .message(said("The note says \"{}\", {} apart, and each turn of O{:04} goes {} along Z: this way "
                          "aside of {} is not taken back, and all behind the first lie off. Is the block "
                          "lost that goes back by it?",
                          count.text, written(step), call.number, written(std::round(sum * 1e4) / 1e4),
                          written(way)))
            .related(call.place, said("called here"));
    });
    return told;
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
        std::vector<NotedCount> counts = noted_counts(context.reader(), span.first, call.place);
        const auto keep_made = [&] {
            std::erase_if(counts, [&](const NotedCount& count) { return !makes(*turn, count); });
        };
        keep_made();
        // The head counts for all of its program where the sequence says nothing.
        if (counts.empty()) counts = noted_counts(context.reader(), span.program->first, span.first);
        keep_made();
        std::set<int> numbers;
        for (const NotedCount& count : counts) numbers.insert(count.number);
        if (numbers.size() != 1) continue;
        const int number = *numbers.begin();
        const auto is_it = [&](const NotedCount& one) { return one.number == number; };
        auto told = std::find_if(counts.begin(), counts.end(),
                                 [&](const NotedCount& one) { return is_it(one) && !one.places.empty(); });
        if (told == counts.end()) told = std::find_if(counts.begin(), counts.end(), is_it);
        const NotedCount& count = *told;
        if (look_at_places(context, call, count, report) || call.repeats == number) continue;
        // Fewer: the first may be made by itself, or several in each turn.
        const bool too_many = call.repeats > number &&
                              (!count.of_grooves || call.repeats % number != 0 || count.places.size() >= 2);
        const Slip slip = slip_between(std::to_string(call.repeats), std::to_string(number));
        // By their places, one step of the call apart, they are all of its turns.
        const bool by_places =
            count.places.size() >= 2 &&
            std::abs(std::abs(count.places[1] - count.places[0]) - std::abs(turn->along_z)) < 1e-6;
        // Where the sequence makes none by itself, each is of a turn.
        const bool all_by_turns = !count.of_grooves && !turn->calls && turn->is_named(count) &&
                                  !cuts_by_itself(context, span, call.place);
        const bool lost = call.repeats < number && (slip == Slip::digit_lost || by_places || all_by_turns);
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
        "200 300), and the call that makes them is repeated more often, or a digit less: the tool goes on "
        "behind the last one, into the part or the jaws, or some are not made. Fewer repeats by one or two "
        "are let pass, for the first may be made by itself, or several in each turn; but not where the note "
        "of "
        "the called program names one of them (ONE RING) and its caller cuts nothing itself. A step that a "
        "note of the "
        "repeated program gives (PITCH 14), and that it does not go by one sign, is told, too. Where the "
        "note gives the places of the grooves, the turns are held to their number and to the step between "
        "them.",
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
            // By their places each turn makes one: none may be left out, and each goes as far.
            {System::A, R"(
O0418
G21 G99
(BELT GROOVES AT 100 200 300)
T0505
G97 S400 M03
G00 X64. Z0
M98 P20881
;   ^^^^^^ warning: repeats_unlike_note
G00 X250.
M30
O0881
G00 W-100.
G01 X50. F0.1
G00 X62.
M99
)"},
            {System::B, R"(
O0418
G21 G90 G95
(RINGS AT Z-40 -48 -56)
T0505
G97 S400 M03
G00 X42. Z-32.
M98 P0882 L4
;         ^^ warning: repeats_unlike_note
G00 X250.
M30
O0882
G91 G00 Z-8.
G01 X-4. F0.07
G00 X4.
G90
M99
)"},
            // A way aside is not taken back.
            {System::A, R"(
O0418
G21 G99
(BELT GROOVES AT 100 200 300)
T0505
G97 S400 M03
G00 X64. Z0
M98 P30881
G00 X250.
M30
O0881
G00 W-100.
G01 X50. F0.1
G00 X62.
W2.
;^^ warning: repeats_unlike_note
G01 X50.
G00 X62.
M99
)"},
            {System::A, R"(
O0418
G21 G99
(BELT GROOVES AT 100 200 300)
T0505
G97 S400 M03
G00 X64. Z0
M98 P30881
G00 X250.
M30
O0881
G00 W-100.
G01 X50. F0.1
G00 X62.
W2.
G01 X50.
G00 X62.
W-2.
M99
)"},
            {System::B, R"(
O1616 (BUSSOLA CON 4 GOLE)
G21 G90 G95
T0505
G97 S1200 M03
G00 X34. Z-11.
M98 P1617 L5
;         ^^ warning: repeats_unlike_note
G90 G00 X120. Z80.
M30
O1617
G91 G01 X-9. F0.08
G00 X9.
Z-10.
M99
)"},
            {System::A, R"(
O1904 (5 ANELLI DA TUBO)
G21 G99
T0303
G97 S400 M03
G00 X84. Z0
M98 P41945
;   ^^^^^^ warning: repeats_unlike_note
G00 X200.
M30
O1945 (UN ANELLO, PASSO 15)
G00 W-15.
G01 U-30. F0.08
G00 U30.
M99
)"},
            // The first one is cut off by itself.
            {System::A, R"(
O1904 (5 RINGS)
G21 G99
T0303
G97 S400 M03
G00 X84. Z0
G01 X58. F0.08
G00 X84.
M98 P41945
G00 X200.
M30
O1945 (ONE RING)
G00 W-15.
G01 U-26. F0.08
G00 U26.
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::repeats_unlike_note
