#include "checks/head_stock.h"

#include "checks/noted_words.h"

#include <algorithm>
#include <initializer_list>
#include <utility>

namespace turnwright::checks {

namespace {

constexpr std::size_t longest_head = 200, longest_looked_at = 5000;

/// In the languages of some shops: common practice, no source.
bool tells_worked_on(const NotedWords& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i), next = note.at(i + 1);
        for (const std::string_view front :
             {"FORG",   "CAST",     "CORED",    "SCHMIED",    "GUSS",       "GRAUGUSS", "FORJ",
              "FUNDI",  "FONTE",    "FUCIN",    "GHISA",      "PREMACH",    "PRETURN",  "PRE-",
              "TURNED", "BORED",    "ROUGHED",  "VORGEDREHT", "VORGEBOHRT", "SECOND",   "ZWEITE",
              "SEGUND", "DEUXIEME", "OTHER",    "ANDERE",     "MANDREL",    "ARBOR",    "SAME",
              "REST",   "STEPPED",  "MACHINED", "FINISHED",   "DONE",       "BACK"})
            if (word.starts_with(front) && !word.starts_with("BACKE")) return true; // Jaws
        for (const std::string_view whole : {"2ND", "OP2", "OP20", "OP30", "OP40", "OP3", "OP-20", "OP-2",
                                             "REVERSE", "REV", "TUBE", "TUBING", "ROHR", "TUBO", "HEX"})
            if (word == whole) return true;
        bool side = false;
        for (const std::string_view whole : {"OP", "OP.", "SIDE", "SEITE", "OPERATION", "SETUP", "SPANNUNG",
                                             "LADO", "COTE", "LATO", "CLAMPING", "END"})
            side = side || word == whole;
        if (side && !next.empty() && next != "1" && next != "10" && next != "A" &&
            (next[0] == 'B' || (next[0] >= '1' && next[0] <= '9')))
            return true;
    }
    return false;
}

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> row) {
    return std::find(row.begin(), row.end(), word) != row.end();
}

/// The part is to be turned round here: trade words of English, German, French, Spanish and Italian shops,
/// common practice, no source.
bool tells_to_turn_round(const NotedWords& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i), next = note.at(i + 1), third = note.at(i + 2);
        for (const std::string_view front : {"FLIP", "UMSPANN", "UMGESPANN", "UMDREH", "UMGEDREH", "WENDEN",
                                             "GEWENDET", "RETOURNE", "VOLTEA", "RIBALT", "CAPOVOL"})
            if (word.starts_with(front)) return true;
        const bool to_part =
            is_one_of(third, {"PIEZA", "PEZZO", "PIECE"}) || is_one_of(next, {"PIEZA", "PEZZO", "PIECE"});
        if ((word == "VUELTA" && i > 0 && is_one_of(note.at(i - 1), {"LA", "DAR"})) ||
            (word == "END" && next == "FOR" && third == "END") ||
            (to_part && is_one_of(word, {"GIRAR", "GIRARE", "INVERTIR", "INVERTIRE", "TOURNER"})))
            return true;
        // "TURN PART TO D50" is a cut
        if (!is_one_of(word, {"TURN", "TURNED", "REVERSE", "REVERSED"})) continue;
        if (is_one_of(next, {"ROUND", "AROUND", "OVER"}) || is_one_of(third, {"ROUND", "AROUND", "OVER"}) ||
            is_one_of(note.at(i + 3), {"ROUND", "AROUND", "OVER"}))
            return true;
        const std::string_view behind = next == "THE" ? note.at(i + 3) : third;
        if (i == 0 && is_one_of(next == "THE" ? third : next, {"PART", "WORKPIECE", "JOB"}) &&
            (behind.empty() || behind == ","))
            return true;
    }
    return false;
}

/// The other end is in front, by its name or by a second operation's number.
bool tells_second_side(const NotedWords& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i), next = note.at(i + 1);
        if (is_one_of(word, {"SECOND", "2ND", "OTHER", "OPPOSITE", "ZWEITE", "ANDERE", "SEGUNDO", "DEUXIEME",
                             "SECONDO", "OTRO", "AUTRE", "ALTRO"}) &&
            is_one_of(next, {"SIDE", "END", "SEITE", "LADO", "COTE", "LATO"}))
            return true;
        if (is_one_of(word, {"OP20", "OP2", "OP-20", "OP-2", "OP.20"}) ||
            (is_one_of(word, {"SIDE", "SEITE", "LADO", "COTE", "LATO"}) && is_one_of(next, {"2", "B"})) ||
            (is_one_of(word, {"OP", "OP.", "OPERATION"}) && is_one_of(next, {"20", "2"})))
            return true;
    }
    return false;
}

} // namespace

namespace {

/// `look(text, in the line of the program's number)` at every note of the head.
template <class Look>
void each_head_note(const machine::Reader& reader, BlockPlace first, const machine::ProgramPart& program,
                    Look&& look) {
    const BlockPlace end = program.sequences.empty() ? program.last : program.sequences.front().tool_call;
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = first; at && *at <= end && looked_at < longest_head;
         at = reader.neighbour(*at, true), ++looked_at) {
        const syntax::Run& run = reader.line(*at);
        if (!run.blocks[at->block].has_note) continue;
        const auto items = run.items_of(run.blocks[at->block]);
        const bool names_program = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.is_word() && item.letter == 'O';
        });
        for (const syntax::Item& item : items)
            if (item.kind == syntax::ItemKind::note)
                look(syntax::note_text(run.text_of(item)), names_program);
    }
}

} // namespace

HeadStock head_stock(const machine::Reader& reader, BlockPlace first, const machine::ProgramPart& program,
                     std::optional<double> mm_per_unit) {
    HeadStock head;
    bool by_title = false;
    each_head_note(reader, first, program, [&](std::string_view text, bool is_title) {
        head.is_plain_bar = head.is_plain_bar && !tells_worked_on(noted_words(text));
        NotedStock stock = stock_by_note(text, mm_per_unit);
        if (stock.is_empty()) return;
        // "DISC 120 X 24" beside the program's number is the part, where a note tells of larger stock.
        const bool is_stock_of_it = by_title && !is_title && stock.diameter_mm && stock.length_mm &&
                                    head.stock.length_mm && *stock.diameter_mm >= *head.stock.diameter_mm &&
                                    *stock.length_mm > *head.stock.length_mm;
        if (head.note.empty() || is_stock_of_it) head.note = text;
        if (!head.stock.diameter_mm || is_stock_of_it) {
            head.stock.diameter_mm = stock.diameter_mm;
            head.stock.length_mm = stock.length_mm;
            head.stock.bore_mm = stock.bore_mm;
            by_title = is_title && stock.diameter_mm;
        }
        if (head.stock.material.empty()) head.stock.material = std::move(stock.material);
    });
    return head;
}

std::optional<std::pair<double, std::string>> head_flats(const machine::Reader& reader, BlockPlace first,
                                                         const machine::ProgramPart& program,
                                                         std::optional<double> mm_per_unit) {
    std::optional<std::pair<double, std::string>> found;
    each_head_note(reader, first, program, [&](std::string_view text, bool) {
        if (found) return;
        if (const auto flats = flats_by_note(text, mm_per_unit)) found.emplace(*flats, text);
    });
    return found;
}

namespace {

TurnedRound turned_round_in(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    bool stops = false;
    TurnedRound found;
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = first; at && *at < last && looked_at < longest_looked_at;
         at = reader.neighbour(*at, true), ++looked_at) {
        const syntax::Run& run = reader.line(*at);
        for (const syntax::Item& item : run.items_of(run.blocks[at->block])) {
            if (item.is_word() && (item.letter == 'X' || item.letter == 'Z')) {
                stops = false;
                found = {};
            }
            if (item.is_word() && item.letter == 'M' && item.value == 0) stops = true;
            if (item.kind != syntax::ItemKind::note) continue;
            const NotedWords note = noted_words(syntax::note_text(run.text_of(item)));
            found.is_told = found.is_told || tells_to_turn_round(note);
            found.is_second_side = found.is_second_side || tells_second_side(note);
        }
    }
    return stops ? found : TurnedRound{};
}

} // namespace

bool turned_round_between(const machine::Reader& reader, BlockPlace first, BlockPlace last, bool first_time) {
    return turned_round_in(reader, first, last).counts(first_time);
}

std::optional<BlockPlace> other_side_noted(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = first; at && *at < last && looked_at < longest_looked_at;
         at = reader.neighbour(*at, true), ++looked_at)
        for (const syntax::Item& item : reader.items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const NotedWords note = noted_words(syntax::note_text(reader.line(*at).text_of(item)));
            if (tells_to_turn_round(note) || tells_second_side(note)) return at;
        }
    return std::nullopt;
}

TurnedRound turned_round_above(const machine::Reader& reader, BlockPlace call, BlockPlace above) {
    const auto moves = [&](BlockPlace place) {
        const std::span<const syntax::Item> items = reader.items(place);
        return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.is_word() && (item.letter == 'X' || item.letter == 'Z');
        });
    };
    BlockPlace from = call;
    for (auto at = reader.neighbour(call, false); at && *at >= above; at = reader.neighbour(*at, false)) {
        from = *at;
        if (moves(from)) break;
    }
    return turned_round_in(reader, from, call);
}

std::vector<BlockPlace> turned_round_places(const machine::Reader& reader,
                                            const machine::ProgramPart& program) {
    std::vector<BlockPlace> places;
    for (std::size_t i = 1; i < program.sequences.size(); ++i)
        if (turned_round_above(reader, program.sequences[i].tool_call, program.sequences[i - 1].first)
                .counts(places.empty()))
            places.push_back(program.sequences[i].first);
    return places;
}

} // namespace turnwright::checks
