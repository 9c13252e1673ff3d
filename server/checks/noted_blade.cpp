#include "checks/noted_blade.h"

#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "checks/tool_of_work.h"
#include "text/capitals.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace turnwright::checks {

namespace {

/// From behind a station to the next one; a slash between digits is a fraction.
std::string_view entry_from(std::string_view note, std::size_t at) {
    const auto digit_at = [&](std::size_t i) { return i < note.size() && text::is_digit(note[i]); };
    std::size_t end = at;
    for (; end < note.size(); ++end) {
        if (note[end] == ';' || (note[end] == '/' && !(end > at && digit_at(end - 1) && digit_at(end + 1))))
            break;
        if (note[end] == 'T' && end > at && digit_at(end + 1) && !text::is_letter(note[end - 1])) break;
    }
    return note.substr(at, end - at);
}

void take(NotedBlade& blade, std::string_view entry, double mm_per_unit, bool is_own) {
    const NotedTool noted = tool_by_note(entry, mm_per_unit);
    if (blade.corner == BladeCorner::unknown) blade.corner = noted.corner;
    // "RELIEF 5 WIDE" is the groove, "5 WIDE LEFT CORNER" the blade.
    const bool of_blade = !is_own || noted.corner != BladeCorner::unknown ||
                          speaks_of(entry, {"TOOL", "BLADE", "INSERT", "PARTING", "PART OFF", "CUT"});
    if (!blade.width && noted.tool.width_mm && of_blade) blade.width = *noted.tool.width_mm / mm_per_unit;
}

} // namespace

std::vector<std::string> listed_of(const machine::Reader& reader, const Span& head, int station) {
    std::vector<std::string> entries;
    for (const NoteAt& at : notes_between(reader, head.first, head.last)) {
        const std::string note = text::in_capitals(at.text);
        for (std::size_t t = note.find('T'); t != std::string::npos; t = note.find('T', t + 1)) {
            std::size_t end = t + 1;
            while (end < note.size() && text::is_digit(note[end])) ++end;
            // "T5", "T05", "T0505"
            const std::size_t digits = end - t - 1;
            if (digits == 0 || digits == 3 || digits > 4 || (t > 0 && text::is_letter(note[t - 1]))) continue;
            if (std::stoi(note.substr(t + 1, digits == 4 ? 2 : digits)) != station) continue;
            entries.emplace_back(entry_from(note, end));
            // "T3 GROOVE 3, T5 PART OFF 3, BOTH LEFT CORNER"
            for (const std::string_view both : {"BEIDE ", "BOTH ", "ENTRAMBI ", "AMBAS ", "TOUS DEUX "})
                if (const std::size_t at = note.find(both); at != std::string::npos && at > end)
                    entries.back() += " " + note.substr(at + both.size());
        }
    }
    return entries;
}

namespace {

NotedBlade read_blade(const machine::Reader& reader, std::span<const Span> spans, const Span& own,
                      int station, double mm_per_unit) {
    NotedBlade blade;
    // The head of its program, else the first of the file.
    std::vector<std::string> entries;
    for (const Span& span : spans)
        if (station > 0 && entries.empty() && !span.sequence && span.program == own.program)
            entries = listed_of(reader, span, station);
    for (const Span& span : spans) // Notes of the head may stand in the first sequence
        if (station > 0 && entries.empty() && span.sequence && span.program == own.program) {
            entries = listed_of(reader, span, station);
            break;
        }
    for (const Span& span : spans)
        if (station > 0 && entries.empty() && !span.sequence) {
            entries = listed_of(reader, span, station);
            break;
        }
    for (const std::string& entry : entries) take(blade, entry, mm_per_unit, false);
    for (const NoteAt& at : notes_between(reader, own.first, own.last))
        take(blade, text::in_capitals(at.text), mm_per_unit, true);
    return blade;
}

/// Ten rules ask for the same blades one behind the other.
struct AskedBlades {
    std::uint64_t version = 0; ///< Of the text; 0: nothing was asked
    std::map<std::tuple<BlockPlace, BlockPlace, int, double>, NotedBlade> known;
};

} // namespace

NotedBlade noted_blade(const machine::Reader& reader, std::span<const Span> spans, const Span& own,
                       int station, double mm_per_unit) {
    if (mm_per_unit <= 0) return {};
    thread_local AskedBlades asked;
    const std::uint64_t version = reader.whole(machine::Whole::text).kept().text_version;
    if (std::exchange(asked.version, version) != version) asked.known.clear();
    const auto [at, is_new] = asked.known.try_emplace({own.first, own.last, station, mm_per_unit});
    if (is_new) {
        try {
            at->second = read_blade(reader, spans, own, station, mm_per_unit);
        } catch (...) { // Interrupted, or too long
            asked.known.erase(at);
            throw;
        }
    }
    return at->second;
}

bool is_part_off(const WorksContext& context, const Work& work) {
    const NamedTool* named =
        tool_of_work(context, work, [](const NamedTool& tool) { return tool.kind != NamedTool::Kind::none; });
    return named && named->kind == NamedTool::Kind::part_off;
}

} // namespace turnwright::checks
