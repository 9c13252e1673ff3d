#include "checks/tool_notes.h"

#include "text/letters.h"

#include <algorithm>
#include <cctype>

namespace turnwright::checks {

namespace {

bool is_letter(char c) {
    return c >= 'A' && c <= 'Z';
}

std::vector<std::string> notes_of(const machine::Reader& reader, const Span& span) {
    std::vector<std::string> notes;
    for (std::optional<BlockPlace> at = span.first; at && *at <= span.last; at = reader.neighbour(*at, true))
        for (const syntax::Item& item : reader.items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            notes.emplace_back(reader.line(*at).text_of(item));
            for (char& c : notes.back()) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
        }
    return notes;
}

/// "T5 GROOVE 4 LEFT EDGE" of a list, for station 5.
void add_listed(const std::string& note, std::int32_t station, std::vector<std::string>& listed) {
    for (std::size_t at = note.find('T'); at != std::string::npos; at = note.find('T', at + 1)) {
        std::size_t end = at + 1;
        while (end < note.size() && text::is_digit(note[end])) ++end;
        if (end == at + 1 || end > at + 3 || (at > 0 && is_letter(note[at - 1]))) continue;
        if (std::stoi(note.substr(at + 1, end - at - 1)) == station)
            listed.emplace_back(phrase_from(note, end));
    }
}

} // namespace

std::string_view phrase_from(std::string_view note, std::size_t at) {
    const auto ends = [&](std::size_t i) {
        if (note[i] == ';' || note[i] == '/' || note[i] == ',') return true;
        return note[i] == 'T' && i > at && i + 1 < note.size() && text::is_digit(note[i + 1]) &&
               !is_letter(note[i - 1]);
    };
    std::size_t end = at;
    while (end < note.size() && !ends(end)) ++end;
    return note.substr(at, end - at);
}

bool speaks_of(std::string_view text, std::initializer_list<std::string_view> beginnings) {
    for (std::string_view word : beginnings)
        for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1))
            if (at == 0 || !is_letter(text[at - 1])) return true;
    return false;
}

bool ToolNotes::speak_of(std::initializer_list<std::string_view> beginnings) const {
    const auto speaks = [&](const std::string& text) { return speaks_of(text, beginnings); };
    return std::any_of(own.begin(), own.end(), speaks) || std::any_of(listed.begin(), listed.end(), speaks);
}

ToolNotes notes_about(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                      const ToolOfSpan& tool) {
    ToolNotes notes;
    notes.own = notes_of(context.reader(), *tool.span);
    const ToolOfSpan* head = nullptr; // Of its program, else the first of the file
    for (const ToolOfSpan& some : tools)
        if (!some.span->sequence && (!head || some.span->program == tool.span->program)) head = &some;
    if (!head) return notes;
    notes.head = notes_of(context.reader(), *head->span);
    // What is called has its list in the program that calls it.
    if (notes.head.empty() && tool.span->program->is_subprogram)
        for (const ToolOfSpan& some : tools)
            if (!some.span->sequence) {
                notes.head = notes_of(context.reader(), *some.span);
                break;
            }
    if (tool.station > 0)
        for (const std::string& note : notes.head) add_listed(note, tool.station, notes.listed);
    return notes;
}

} // namespace turnwright::checks
