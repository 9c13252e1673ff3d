#include "features/hover.h"
#include "language/said.h"

#include "checks/mistyped.h"
#include "features/calculation.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "features/two_paths.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

using syntax::ItemKind;

namespace {

/// What a window of 80 by 24 shows beside its border and the editor's own lines.
constexpr std::size_t most_lines = 20, columns = 76;

/// The first block that holds anything but blanks, or the one with the program's O number under the tape
/// mark.
bool opens_program(const Document& document, BlockPlace place) {
    const std::size_t line = document.line_of(place);
    if (line > 8) return false;
    for (std::size_t above = 0; above < line; ++above)
        for (const syntax::Item& item : document.items(document.place_of_line(above)))
            if (item.kind != ItemKind::tape_mark) return false;
    return true;
}

/// "Z-O.5": a value that one character spoils, with all that stands of it; else empty.
std::string mistyped_text(const Asked& asked) {
    const syntax::Block& block = asked.run().blocks[asked.block.place.block];
    for (const checks::Mistyped& value : checks::mistyped_in(asked.run(), block)) {
        if (!value.covers(asked.item)) continue;
        const std::string word = in_markdown(
            std::string_view(asked.run().text->bytes).substr(value.begin, value.end - value.begin));
        return value.comma
                   ? said("**{}** A comma stands for the decimal point: meant is {}. The control stops "
                          "with an alarm or reads something else.\n\n",
                          word, in_markdown(value.meant))
                   : said("**{}** The letter O stands for a 0: meant is {}. The control stops with an "
                          "alarm or reads something else.\n\n",
                          word, in_markdown(value.meant));
    }
    return {};
}

/// Of a lathe with two turrets, at a code or a program's number.
std::string partner_of(const Asked& asked) {
    const syntax::Item& item = asked.item;
    const bool is_word = item.kind == ItemKind::word || item.kind == ItemKind::computed_word;
    if (!asked.settings().machine.has_paths() || !is_word ||
        (item.letter != 'G' && item.letter != 'M' && item.letter != 'O') || !mistyped_text(asked).empty())
        return {};
    return partner_text(asked.document, asked.block.place);
}

std::string about(const Asked& asked) {
    const syntax::Item& item = asked.item;
    if (std::string text = mistyped_text(asked); !text.empty()) return text;
    if (item.kind == ItemKind::word || item.kind == ItemKind::computed_word) {
        switch (item.letter) {
        case 'G':
        case 'M':
            return code_text(asked);
        case 'T':
            return tool_text(asked);
        case 'N':
            return number_text(asked);
        case 'O':
            return program_text(asked);
        default:
            return value_text(asked);
        }
    }
    if (item.kind == ItemKind::comma_word || item.kind == ItemKind::comma_computed) return value_text(asked);
    if (syntax::holds_expression(item.kind)) return macro_text(asked);
    if (item.kind == ItemKind::note) {
        const auto line = static_cast<std::uint32_t>(asked.document.line_of(asked.block.place));
        if (const auto note = question_at(asked.document, line)) return question_hover(asked.document, *note);
    }
    return mark_text(asked);
}

/// What keeps a block from being run as it stands.
std::string standing(const Asked& asked) {
    std::string text;
    const machine::Reading& reading = asked.block.reading;
    const syntax::Block& block = asked.document.block(asked.block.place);
    if (!reading.is_read && !asked.block.before.ended)
        text +=
            said("The control never reads this block: a jump passes over it, and nothing jumps to it.\n\n");
    else if (!reading.is_read)
        text += said("The control never reads this block: it stands after the end of the program.\n\n");
    else if (!asked.block.before.reachable)
        text += said("No way through the program is known that comes to this block.\n\n");
    if (reading.in_contour)
        text += said(
            "A contour block of a roughing cycle: it is cut by the cycle that names it, not in passing.\n\n");
    if (block.deleted && asked.item.kind != ItemKind::block_delete)
        text += said("Skipped when block delete is on.\n\n");
    return text;
}

/// The words that a move is made of; of others the state says more.
bool speaks_of_move(const Asked& asked) {
    if (asked.item.letter == 'G')
        return asked.word && asked.word->code &&
               asked.word->code->meaning == asked.block.reading.motion_meaning;
    return std::string_view("XZUWIKR").find(asked.item.letter) != std::string_view::npos;
}

/// Where the whole of it is told.
std::string story_of(const Asked& asked) {
    if (!asked.word || !asked.word->code) return {};
    return said("All of it: `turnwright explain {}`\n\n", asked.word->code->written());
}

std::size_t end_of_paragraph(std::string_view markdown) {
    const std::size_t gap = markdown.find("\n\n");
    return gap == std::string_view::npos ? markdown.size() : gap + 2;
}

bool is_list(std::string_view paragraph) {
    return paragraph.starts_with("- ");
}

constexpr std::size_t last_of_list = 2; ///< How many more there are, and the gap

/// As many points of a list as the lines take, and how many more there are.
std::string points_that_fit(std::string_view list, std::size_t lines) {
    std::string text;
    std::size_t left = lines - last_of_list;
    while (is_list(list)) {
        const std::string_view point = list.substr(0, std::min(list.find('\n') + 1, list.size()));
        const std::size_t needs = lines_shown(point, columns);
        if (needs > left) break;
        left -= needs;
        text += point;
        list.remove_prefix(point.size());
    }
    // By name where each has one: "- and 3 more: T03, T04, datum".
    std::size_t more = 0;
    std::string names;
    bool named = true;
    for (; is_list(list); ++more) {
        const std::string_view point = list.substr(0, std::min(list.find('\n') + 1, list.size()));
        const std::size_t name_end = point.find(": ");
        named = named && name_end != std::string_view::npos;
        if (named) names += fmt::format("{}{}", names.empty() ? "" : ", ", point.substr(2, name_end - 2));
        list.remove_prefix(point.size());
    }
    std::string rest = said("- and {} more\n\n", more);
    std::string whole = fmt::format("{}: {}\n", rest.substr(0, rest.find('\n')), names);
    if (named && lines_shown(whole, columns) <= 1) rest = whole + '\n';
    return text + rest;
}

/// As many whole paragraphs as the room takes, with where the rest is told. Of a list that is too long stands
/// its beginning.
std::string fitting(std::string_view paragraphs, const std::string& story, std::size_t room) {
    std::string text;
    std::size_t left = room > 2 ? room - (story.empty() ? 0 : 2) : 0;
    while (!paragraphs.empty()) {
        const std::size_t end = end_of_paragraph(paragraphs);
        const std::string_view paragraph = paragraphs.substr(0, end);
        paragraphs.remove_prefix(end);
        const std::size_t lines = lines_shown(paragraph, columns);
        constexpr std::size_t least = last_of_list + 1;
        if (is_list(paragraphs)) { // No heading without some of its list
            const std::string_view list = paragraphs.substr(0, end_of_paragraph(paragraphs));
            if (lines + std::min(least, lines_shown(list, columns)) > left) {
                paragraphs.remove_prefix(list.size());
                continue;
            }
        }
        if (lines > left && is_list(paragraph) && left >= least) {
            const std::string points = points_that_fit(paragraph, left);
            left -= std::min(left, lines_shown(points, columns));
            text += points;
            continue;
        }
        if (lines > left) continue;
        left -= lines;
        text += paragraph;
    }
    return room > 2 ? text + story : text;
}

} // namespace

std::optional<Hover> hover(const Document& document, Position at, const SetupHere& setup) {
    at = document.buffer().clamp(at);
    const syntax::Item* item = item_at(document, at);
    if (!item) return std::nullopt;
    const BlockPlace place = document.place_of_line(at.line);
    const std::optional<BlockAt> block = block_at(document, place);
    if (!block) return std::nullopt;
    const Asked asked{document, *block, *item, word_of(block->reading, *item),
                      document.block(place).begin + at.column};
    const std::string own = about(asked);
    if (own.empty()) return std::nullopt;
    const std::size_t headline_end = end_of_paragraph(own);
    std::string markdown = own.substr(0, headline_end) + standing(asked);
    std::string rest = own.substr(headline_end);
    // Of a pair, what the other path does comes before what is assumed of this one.
    const bool opens = opens_program(document, place);
    (opens ? markdown : rest) += partner_of(asked);
    if (opens) {
        const std::string length = length_text(document), system = system_text(document);
        const std::size_t taken =
            lines_shown(markdown, columns) + (length.empty() ? 0 : lines_shown(length, columns));
        const std::string assumed =
            assumed_text(document, setup, {most_lines - std::min(most_lines, taken), columns});
        // An assumed system stands in the list, and all that speaks for it behind that.
        const bool by_file = document.settings().system_from == machine::SystemFrom::shop_file;
        rest = length + (by_file ? system : "") + assumed + never_set_text(document) +
               no_load_text(document, place) + (by_file ? "" : system) + rest;
    } else if (item->kind != ItemKind::note && item->kind != ItemKind::tape_mark && block->reading.is_read) {
        const std::string move = move_text(document, *block);
        if (speaks_of_move(asked))
            markdown += move;
        else
            rest += move;
        markdown += state_table(document, *block);
        rest = turns_text(asked) + load_text(document, *block) + rest;
    }
    markdown +=
        fitting(rest, story_of(asked), most_lines - std::min(most_lines, lines_shown(markdown, columns)));
    while (!markdown.empty() && markdown.back() == '\n') markdown.pop_back();
    return Hover{document.range_of(place, *item), std::move(markdown)};
}

} // namespace turnwright::features
