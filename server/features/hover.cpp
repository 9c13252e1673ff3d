#include "features/hover.h"

#include "features/hover_parts.h"
#include "features/speech.h"

#include <fmt/format.h>

namespace turnwright::features {

using syntax::ItemKind;

namespace {

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

std::string about(const Asked& asked) {
    const syntax::Item& item = asked.item;
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
    return mark_text(asked);
}

/// What keeps a block from being run as it stands.
std::string standing(const Asked& asked) {
    std::string text;
    const machine::Reading& reading = asked.block.reading;
    const syntax::Block& block = asked.document.block(asked.block.place);
    if (!reading.is_read)
        text += "The control never reads this block: it stands behind the end of the program.\n\n";
    else if (!asked.block.before.reachable)
        text += "No way through the program is known that comes to this block.\n\n";
    if (reading.in_contour)
        text +=
            "A contour block of a roughing cycle: it is cut by the cycle that names it, not in passing.\n\n";
    if (block.deleted && asked.item.kind != ItemKind::block_delete)
        text += "Skipped when block delete is on.\n\n";
    return text;
}

} // namespace

std::optional<Hover> hover(const Document& document, Position at) {
    at = document.buffer().clamp(at);
    const syntax::Item* item = item_at(document, at);
    if (!item) return std::nullopt;
    const BlockPlace place = document.place_of_line(at.line);
    const std::optional<BlockAt> block = block_at(document, place);
    if (!block) return std::nullopt;
    const Asked asked{document, *block, *item, word_of(block->reading, *item),
                      document.block(place).begin + at.column};
    std::string markdown = about(asked);
    if (markdown.empty()) return std::nullopt;
    markdown += standing(asked);
    if (opens_program(document, place)) {
        markdown += system_text(document) + assumed_text(document);
    } else if (item->kind != ItemKind::note && item->kind != ItemKind::tape_mark && block->reading.is_read) {
        markdown += turns_text(asked);
        markdown += move_text(document, *block);
        markdown += load_text(document, *block);
        markdown += state_table(document, *block);
    }
    while (!markdown.empty() && markdown.back() == '\n') markdown.pop_back();
    return Hover{document.range_of(place, *item), std::move(markdown)};
}

} // namespace turnwright::features
