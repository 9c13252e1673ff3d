// Edits that fixes are made of.

#include "checks/mend.h"

namespace turnwright::checks {

namespace {

Edit edit_in(BlockPlace place, const syntax::Block& block, std::uint32_t begin, std::uint32_t end,
             std::string text) {
    return {place, begin - block.begin, end - block.begin, std::move(text)};
}

BlockPlace place_of(const BlockView& view) {
    return {view.run_index, view.block};
}

bool is_code_item(const syntax::Item& item) {
    return item.is_word() || syntax::holds_expression(item.kind);
}

bool has_code(const syntax::Run& run, const syntax::Block& block) {
    for (const syntax::Item& item : run.items_of(block))
        if (is_code_item(item)) return true;
    return false;
}

Edit remove_in(const syntax::Run& run, BlockPlace place, const syntax::Item& item) {
    const syntax::Block& block = run.blocks[place.block];
    std::string_view bytes = run.text->bytes;
    auto is_blank = [&](std::uint32_t at) { return bytes[at] == ' ' || bytes[at] == '\t'; };
    std::uint32_t begin = item.begin, end = item.end();
    bool first = true;
    for (std::uint32_t at = block.begin; at < begin; ++at)
        if (!is_blank(at)) first = false;
    if (first)
        while (end < block.begin + block.length && is_blank(end)) ++end;
    else
        while (begin > block.begin && is_blank(begin - 1)) --begin;
    return edit_in(place, block, begin, end, "");
}

/// Where words begin: behind block delete and N number.
std::uint32_t behind_number(const syntax::Run& run, const syntax::Block& block) {
    std::uint32_t at = block.begin;
    std::string_view bytes = run.text->bytes;
    for (const syntax::Item& item : run.items_of(block)) {
        bool leads = item.kind == syntax::ItemKind::block_delete ||
                     (item.is_word() && (item.letter == 'N' || item.letter == 'O'));
        if (!leads) break;
        at = item.end();
        while (at < block.begin + block.length && (bytes[at] == ' ' || bytes[at] == '\t')) ++at;
    }
    return at;
}

Edit insert_last_in(const syntax::Run& run, BlockPlace place, std::string text) {
    const syntax::Block& block = run.blocks[place.block];
    std::uint32_t at = block.begin;
    bool any = false;
    for (const syntax::Item& item : run.items_of(block)) {
        bool code = is_code_item(item) || item.kind == syntax::ItemKind::comma_word ||
                    item.kind == syntax::ItemKind::block_delete;
        if (!code) continue;
        at = item.end();
        any = true;
    }
    return edit_in(place, block, at, at, (any ? " " : "") + std::move(text));
}

} // namespace

std::string_view line_end(const syntax::Run& run) {
    std::string_view bytes = run.text->bytes;
    std::size_t at = bytes.find_first_of("\r\n");
    if (at == std::string_view::npos || bytes[at] == '\n') return "\n";
    return at + 1 < bytes.size() && bytes[at + 1] == '\n' ? "\r\n" : "\r";
}

Edit replace(const BlockView& view, const syntax::Item& item, std::string text) {
    return edit_in(place_of(view), view.text, item.begin, item.end(), std::move(text));
}
Edit replace(const machine::Reader& reader, BlockPlace place, const syntax::Item& item, std::string text) {
    return edit_in(place, reader.line(place).blocks[place.block], item.begin, item.end(), std::move(text));
}
Edit remove(const BlockView& view, const syntax::Item& item) {
    return remove_in(view.run, place_of(view), item);
}
Edit remove(const machine::Reader& reader, BlockPlace place, const syntax::Item& item) {
    return remove_in(reader.line(place), place, item);
}
Edit insert_after(const BlockView& view, const syntax::Item& item, std::string text) {
    return edit_in(place_of(view), view.text, item.end(), item.end(), std::move(text));
}
Edit insert_first(const BlockView& view, std::string text) {
    std::uint32_t at = behind_number(view.run, view.text);
    return edit_in(place_of(view), view.text, at, at, std::move(text) + " ");
}
Edit insert_last(const BlockView& view, std::string text) {
    return insert_last_in(view.run, place_of(view), std::move(text));
}
Edit insert_last(const machine::Reader& reader, BlockPlace place, std::string text) {
    return insert_last_in(reader.line(place), place, std::move(text));
}

Edit insert_block_before(const machine::Reader& reader, BlockPlace place, std::string text) {
    const syntax::Run& run = reader.line(place);
    const syntax::Block& block = run.blocks[place.block];
    auto items = run.items_of(block);
    bool numbered = !items.empty() && items.front().is_word() && items.front().letter == 'N';
    std::uint32_t at = numbered ? behind_number(run, block) : block.begin;
    // An N number right at its word gets a blank of its own.
    if (numbered && at == items.front().end()) text = " " + text;
    return edit_in(place, block, at, at, text + std::string(line_end(run)));
}
Edit insert_block_before(const BlockView& view, std::string text) {
    auto items = view.run.items_of(view.text);
    bool numbered = !items.empty() && items.front().is_word() && items.front().letter == 'N';
    std::uint32_t at = numbered ? behind_number(view.run, view.text) : view.text.begin;
    if (numbered && at == items.front().end()) text = " " + text;
    return edit_in(place_of(view), view.text, at, at, text + std::string(line_end(view.run)));
}
Edit insert_block_after(const machine::Reader& reader, BlockPlace place, std::string text) {
    const syntax::Run& run = reader.line(place);
    const syntax::Block& block = run.blocks[place.block];
    std::uint32_t end = block.begin + block.length;
    return edit_in(place, block, end, end, std::string(line_end(run)) + std::move(text));
}

const syntax::Item* find_letter(const machine::Reader& reader, BlockPlace place, char letter) {
    const syntax::Run& run = reader.line(place);
    for (const syntax::Item& item : run.items_of(run.blocks[place.block]))
        if (item.is_word() && item.letter == letter) return &item;
    return nullptr;
}

bool is_named_by_jump(const machine::Reader& reader, BlockPlace place) {
    const syntax::Item* number = find_letter(reader, place, 'N');
    if (!number || number->kind != syntax::ItemKind::word) return false;
    const machine::Analysis& file = reader.whole(machine::Whole::shapes);
    for (std::size_t run = 0; run < file.size(); ++run)
        for (const machine::FlowMark& mark : file.shape(run).flow) {
            bool jumps = mark.kind == machine::FlowKind::jump || mark.kind == machine::FlowKind::maybe_jump;
            if (jumps && (mark.number < 0 || mark.number == number->value)) return true;
        }
    return false;
}

const syntax::Item* find_code(const machine::Reader& reader, BlockPlace place, codes::Meaning meaning) {
    const syntax::Run& run = reader.line(place);
    auto items = run.items_of(run.blocks[place.block]);
    std::vector<char> letters;
    for (const syntax::Item& item : items)
        if (item.is_word() && item.letter != 'G' && item.letter != 'M' && item.letter != 'N')
            letters.push_back(item.letter);
    const codes::System system = reader.settings().system;
    for (const syntax::Item& item : items) {
        if (item.kind != syntax::ItemKind::word || (item.letter != 'G' && item.letter != 'M')) continue;
        if (const shop::CodeEffect* effect = reader.settings().machine.effect_of(item.letter, item.value)) {
            const bool calls = meaning == codes::Meaning::macro_call && effect->calls >= 0;
            if (calls || std::count(effect->does.begin(), effect->does.end(), meaning) > 0) return &item;
            continue;
        }
        const codes::Code* code = codes::find_with_words(system, item.letter, item.value, letters);
        if (!code) continue;
        const bool mirrored = reader.settings().machine.mirrored;
        if ((mirrored ? codes::mirrored(code->meaning) : code->meaning) == meaning) return &item;
    }
    return nullptr;
}

std::optional<BlockPlace> last_code_block(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    for (std::optional<BlockPlace> at = last; at && *at >= first; at = reader.neighbour(*at, false)) {
        const syntax::Run& run = reader.line(*at);
        if (has_code(run, run.blocks[at->block])) return at;
    }
    return std::nullopt;
}

std::optional<BlockPlace> first_code_block(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    for (std::optional<BlockPlace> at = first; at && *at <= last; at = reader.neighbour(*at, true)) {
        const syntax::Run& run = reader.line(*at);
        if (has_code(run, run.blocks[at->block])) return at;
    }
    return std::nullopt;
}

} // namespace turnwright::checks
