#include "features/block_at.h"

#include "checks/noted_tool.h"
#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <cctype>

namespace turnwright::features {

using syntax::Item;
using syntax::ItemKind;

machine::BlockView BlockAt::view(const Document& document) const {
    const syntax::Run& run = document.run(place.run);
    return {run,    place.run, place.block, run.blocks[place.block],
            before, after,     reading,     document.settings()};
}

std::optional<BlockAt> block_at(const Document& document, BlockPlace place) {
    std::optional<BlockAt> found;
    if (place.run >= document.analysis().size()) return found;
    document.analysis().visit(place.run, [&](const machine::BlockView& view) {
        if (view.block == place.block) found = BlockAt{place, view.before, view.after, view.reading};
    });
    return found;
}

const Item* item_at(const Document& document, Position at) {
    const BlockPlace place = document.place_of_line(at.line);
    const std::uint32_t byte = document.block(place).begin + at.column;
    const Item* ends_here = nullptr;
    for (const Item& item : document.items(place)) {
        if (item.begin <= byte && byte < item.end()) return &item;
        if (item.end() == byte) ends_here = &item;
    }
    return ends_here;
}

const machine::Word* word_of(const machine::Reading& reading, const Item& item) {
    for (const machine::Word& word : reading.words)
        if (word.item == &item) return &word;
    return nullptr;
}

std::int32_t expression_at(const syntax::Run& run, const Item& item, std::uint32_t byte) {
    if (!syntax::holds_expression(item.kind)) return -1;
    const auto holds = [&](std::int32_t index) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return false;
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
        return node.begin <= byte && byte <= node.begin + node.length;
    };
    auto at = static_cast<std::int32_t>(item.expression);
    if (!holds(at)) return -1;
    for (;;) {
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(at)];
        if (node.operation == syntax::Operation::variable) return at; // its number says nothing by itself
        if (holds(node.left))
            at = node.left;
        else if (holds(node.right))
            at = node.right;
        else
            return at;
    }
}

std::optional<int> variable_number(const syntax::Run& run, std::int32_t expression) {
    if (expression < 0 || static_cast<std::size_t>(expression) >= run.expressions.size()) return std::nullopt;
    const syntax::Expression& node = run.expressions[static_cast<std::size_t>(expression)];
    if (node.operation != syntax::Operation::variable || node.left < 0) return std::nullopt;
    const syntax::Expression& number = run.expressions[static_cast<std::size_t>(node.left)];
    if (number.operation != syntax::Operation::number || number.number < 0 || number.number > 1e6)
        return std::nullopt;
    return static_cast<int>(number.number);
}

const machine::ProgramPart* program_at(const Document& document, BlockPlace place) {
    for (const machine::ProgramPart& program : document.outline().programs)
        if (program.first <= place && place <= program.last) return &program;
    return nullptr;
}

const machine::Sequence* sequence_at(const Document& document, BlockPlace place) {
    const machine::ProgramPart* program = program_at(document, place);
    if (!program) return nullptr;
    const auto& sequences = program->sequences;
    auto after = std::upper_bound(
        sequences.begin(), sequences.end(), place,
        [](BlockPlace wanted, const machine::Sequence& sequence) { return wanted < sequence.first; });
    if (after == sequences.begin()) return nullptr;
    const machine::Sequence& sequence = *std::prev(after);
    return place <= sequence.last ? &sequence : nullptr;
}

BlockPlace number_block(const Document& document, const machine::ProgramPart& program) {
    const std::size_t first = document.line_of(program.first);
    const std::size_t last = document.line_of(program.last);
    for (std::size_t line = first; line <= last && line < first + 8; ++line) {
        const BlockPlace place = document.place_of_line(line);
        for (const syntax::Item& item : document.items(place))
            if (item.letter == 'O' && item.is_word()) return place;
    }
    return program.first;
}

std::optional<BlockPlace> label_place(const Document& document, BlockPlace from, double number) {
    if (!(number >= 0 && number < 1e9) || number != static_cast<std::int32_t>(number)) return std::nullopt;
    const machine::ProgramPart* program = program_at(document, from);
    const auto place = document.analysis().label_from(static_cast<std::int32_t>(number),
                                                      program ? program->first : BlockPlace{});
    return place && (!program || *place <= program->last) ? place : std::nullopt;
}

std::string note_of(const Document& document, BlockPlace place) {
    for (const Item& item : document.items(place))
        if (item.kind == ItemKind::note || item.kind == ItemKind::unclosed_note)
            return readable(syntax::note_text(document.run(place.run).text_of(item)));
    return {};
}

std::string tool_word_of(const Document& document, BlockPlace place) {
    for (const Item& item : document.items(place))
        if (item.letter == 'T' && item.is_word()) return compact(document.run(place.run).text_of(item));
    return {};
}

std::string note_for_station(const std::string& note, int station) {
    if (note.size() < 2 || (note[0] != 'T' && note[0] != 't')) return {};
    std::size_t at = 1;
    int number = 0;
    while (at < note.size() && note[at] >= '0' && note[at] <= '9' && at < 6)
        number = number * 10 + (note[at++] - '0');
    if (at == 1 || (number != station && number / 100 != station && number / 10 != station)) return {};
    if (number != station && at - 1 != 4 && at - 1 != 3) return {};
    at = note.find_first_not_of(" :=-.,;", at);
    if (at == std::string::npos) return {};
    // "T5 .125 GROOVE": the point is of the size.
    if (note[at] >= '0' && note[at] <= '9' && note[at - 1] == '.' && at > 1 && note[at - 2] == ' ') --at;
    return note.substr(at);
}

namespace {

/// Blocks of a head that are looked through for a tool list, and of all heads of a file.
constexpr std::size_t longest_head = 300, longest_heads = 3000;

/// "TOOL 1 ROUGH, TOOL 4 DRILL" and the like as "T1 ROUGH, T4 DRILL", in notes that begin so. Of English,
/// German, French, Spanish and Italian shops: common practice, no source.
std::string with_t_words(const std::string& note) {
    constexpr std::string_view names[] = {"TOOL",  "WERKZEUG",    "WKZ",  "WZG", "WZ",
                                          "OUTIL", "HERRAMIENTA", "HERR", "HTA", "UTENSILE",
                                          "UTENS", "UT",          "H"};
    // "H1 DESBASTE H3 ACABADO": alone it is a tolerance.
    const auto is_list = [&] {
        std::size_t count = 0;
        for (std::size_t at = 0; at + 1 < note.size(); ++at)
            count += (note[at] == 'H' || note[at] == 'h') && text::is_digit(note[at + 1]) &&
                     (at == 0 || note[at - 1] == ' ');
        return count > 1;
    };
    /// Where the number begins behind a name at `at`; 0: no name with a number.
    const auto number_at = [&](std::size_t at) -> std::size_t {
        for (const std::string_view name : names) {
            const std::string_view front = std::string_view(note).substr(at, name.size());
            const bool named = front.size() == name.size() &&
                               std::equal(front.begin(), front.end(), name.begin(),
                                          [](unsigned char a, char b) { return std::toupper(a) == b; });
            const std::size_t begin =
                named ? note.find_first_not_of(" .#", at + name.size()) : std::string::npos;
            if (begin == std::string::npos || (name == "H" && (begin != at + 1 || !is_list()))) continue;
            std::size_t end = begin;
            while (end < note.size() && text::is_digit(note[end])) ++end;
            const bool ends = end == note.size() || std::string_view(" :=-,;)").find(note[end]) < 7;
            if (end > begin && end <= begin + 2 && ends) return begin;
        }
        return 0;
    };
    if (number_at(0) == 0) return note;
    std::string out;
    for (std::size_t at = 0; at < note.size();) {
        const bool begins_word = at == 0 || !std::isalnum(static_cast<unsigned char>(note[at - 1]));
        if (const std::size_t number = begins_word ? number_at(at) : 0) {
            out += 'T';
            at = number;
        } else {
            out += note[at++];
        }
    }
    return out;
}

/// "T1 ROUGH T3 FINISH": words behind both, and none in front of the second that leads to it.
bool names_each(const std::string& note, std::size_t first, std::size_t second) {
    constexpr std::string_view leading[] = {
        "LIKE", "AFTER", "BEFORE", "WITH", "FROM", "AND",   "FOR",   "SEE",   "THEN", "WIE",  "NACH",
        "VOR",  "MIT",   "UND",    "FUER", "DANN", "COMME", "APRES", "AVANT", "AVEC", "POUR", "COMO",
        "TRAS", "ANTES", "PARA",   "CON",  "COME", "AS",    "AT",    "TO",    "IN",   "OF",   "OR",
        "Y",    "E",     "ET",     "DE",   "OU",   "DOPO",  "PRIMA", "PER",   "SAME"};
    const auto name_behind = [&](std::size_t at, std::size_t end) {
        ++at;
        while (at < end && text::is_digit(note[at])) ++at;
        const std::size_t begin = note.find_first_not_of(" :=-.", at);
        return begin < end ? note.substr(begin, note.find_last_not_of(' ', end - 1) + 1 - begin)
                           : std::string();
    };
    std::string name = name_behind(first, second);
    for (char& c : name) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    const std::string last = name.substr(name.rfind(' ') + 1);
    return !last.empty() && !name_behind(second, note.size()).empty() &&
           std::find(std::begin(leading), std::end(leading), last) == std::end(leading);
}

/// "T1 ROUGH, T3 FINISH, T5 THREAD" in its parts, each from its T word on. Without marks between them two are
/// a list where each is named: not "T1 ROUGH LIKE T3 FINISH".
std::vector<std::string> parts_of_tool_list(const std::string& note) {
    std::vector<std::size_t> begins;
    bool marked = true;
    for (std::size_t i = 0; i + 1 < note.size(); ++i) {
        const bool begins_word = i == 0 || !std::isalnum(static_cast<unsigned char>(note[i - 1]));
        if ((note[i] != 'T' && note[i] != 't') || !text::is_digit(note[i + 1]) || !begins_word) continue;
        const std::size_t before = i == 0 ? std::string::npos : note.find_last_not_of(' ', i - 1);
        const bool apart = before != std::string::npos && i > before + 2; // By two blanks
        if (!begins.empty() && !apart &&
            std::string_view(",;/+").find(note[before]) == std::string_view::npos &&
            !names_each(note, begins.back(), i))
            marked = false;
        begins.push_back(i);
    }
    std::vector<std::string> parts;
    if (begins.size() < 2 || (begins.size() == 2 && !marked)) return {note};
    begins.push_back(note.size());
    for (std::size_t i = 0; i + 1 < begins.size(); ++i) {
        const std::string part = note.substr(begins[i], begins[i + 1] - begins[i]);
        parts.push_back(part.substr(0, part.find_last_not_of(" ,;/+-") + 1));
    }
    return parts;
}

/// Where every block is numbered, notes are too: "N160 (T05 GROOVE)" above the call.
std::optional<BlockPlace> numbered_note(const Document& document, const machine::Sequence& sequence) {
    if (!document.outline().numbers_every_block) return std::nullopt;
    constexpr std::size_t most_above = 8;
    const std::size_t call = document.line_of(sequence.tool_call), first = document.line_of(sequence.first);
    for (std::size_t line = call; line > first && line + most_above > call;) {
        const BlockPlace place = document.place_of_line(--line);
        const auto items = document.items(place);
        const bool alone = std::none_of(items.begin(), items.end(), [](const Item& item) {
            return item.is_word() && item.letter != 'N';
        });
        if (document.block(place).has_note && alone) return place;
    }
    return std::nullopt;
}

} // namespace

std::string tool_note(const Document& document, int station) {
    if (const shop::Tool* tool = document.shop().tool(station); tool && !tool->note.empty())
        return readable(tool->note);
    std::size_t looked_at = 0;
    for (const machine::ProgramPart& program : document.outline().programs) {
        if (looked_at > longest_heads) break;
        const std::size_t first = document.line_of(program.first);
        const std::size_t end = program.sequences.empty()
                                    ? document.line_of(program.last) + 1 // Nothing but a head yet
                                    : document.line_of(program.sequences.front().tool_call);
        for (std::size_t line = first; line < std::min(end, first + longest_head); ++line, ++looked_at) {
            const BlockPlace place = document.place_of_line(line);
            if (!document.block(place).has_note) continue;
            for (const std::string& part : parts_of_tool_list(with_t_words(note_of(document, place))))
                if (std::string note = note_for_station(part, station); !note.empty()) return note;
        }
    }
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            if (sequence.tool != station) continue;
            const auto at = sequence.note ? sequence.note : numbered_note(document, sequence);
            if (!at) continue;
            std::string note = note_of(document, *at);
            if (!stock::read_stock_note(note) && !checks::stock_by_note(note, 1.0).diameter_mm) {
                std::string said = note_for_station(with_t_words(note), station);
                return said.empty() ? note : said;
            }
        }
    return {};
}

std::vector<BlockSpan> spans_of_lines(const Document& document, std::size_t first, std::size_t end) {
    const text::Buffer& buffer = document.buffer();
    end = std::min(end, buffer.line_count());
    std::vector<BlockSpan> spans;
    while (first < end) {
        const BlockPlace place = document.place_of_line(first);
        const std::size_t count =
            std::min(end - first, buffer.leaf(place.run)->line_count() - std::size_t{place.block});
        spans.push_back({place.run, place.block, place.block + count});
        first += count;
    }
    return spans;
}

std::vector<BlockSpan> spans_around(const Document& document, BlockPlace place) {
    constexpr std::size_t lines_around = 150; // some tools of a program written by hand
    const std::size_t line = document.line_of(place);
    return spans_of_lines(document, line > lines_around ? line - lines_around : 0, line + lines_around);
}

Range lines_between(const Document& document, BlockPlace first, BlockPlace last) {
    return {document.range_of(first).begin, document.range_of(std::max(first, last)).end};
}

} // namespace turnwright::features
