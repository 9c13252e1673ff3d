// What the text of a run alone tells: numbers, tool calls, notes, stops, ends, calls.

#include "machine/interpreter.h"
#include "machine/note_words.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

using codes::Meaning;
using syntax::ItemKind;

namespace {

std::int32_t whole(double value) {
    return value >= 0 && value < 1e9 ? static_cast<std::int32_t>(value) : -1;
}

void scan_statement(const syntax::Run& run, const syntax::Item& item, std::size_t block, RunShape& shape) {
    if (item.expression >= run.expressions.size()) return;
    const syntax::Expression& statement = run.expressions[item.expression];
    auto constant = [&](std::int32_t index) -> std::int32_t {
        if (index < 0) return -1;
        const syntax::Expression& e = run.expressions[static_cast<std::size_t>(index)];
        return e.operation == syntax::Operation::number ? whole(e.number) : -1;
    };
    FlowMark mark;
    mark.block = static_cast<std::uint16_t>(block);
    mark.begin = item.begin;
    mark.length = item.length;
    switch (statement.operation) {
    case syntax::Operation::go_to:
        mark.kind = FlowKind::jump;
        mark.number = constant(statement.left);
        break;
    case syntax::Operation::if_goto:
        mark.kind = FlowKind::maybe_jump;
        mark.number = constant(statement.right);
        break;
    case syntax::Operation::while_do:
        mark.kind = FlowKind::loop_start;
        mark.number = whole(statement.number);
        break;
    case syntax::Operation::end_do:
        mark.kind = FlowKind::loop_end;
        mark.number = whole(statement.number);
        break;
    default:
        return;
    }
    shape.flow.push_back(mark);
}

/// M98 P51234 calls program 1234 five times: more than four digits hold the count in front.
std::int32_t called_program(Meaning meaning, std::int32_t written) {
    return meaning == Meaning::subprogram_call && written > 9999 ? written % 10000 : written;
}

struct BlockScan {
    std::int32_t number = -1;
    bool has_words = false; ///< Besides N
    bool has_note = false;
    bool numbered = false;
    bool calls_macro = false; ///< Its other letters are arguments
    BlockDoes does = BlockDoes::sets;
};

/// Calls `take(code, program)` for the code of a word, or for each that the shop file says it stands for.
/// `program`: what such a code calls; -1: its words say it.
template <class Take>
void for_each_code(const syntax::Item& item, const Settings& settings, Take&& take) {
    if (item.kind != ItemKind::word || (item.letter != 'G' && item.letter != 'M')) return;
    const shop::CodeEffect* effect = settings.machine.effect_of(item.letter, item.value);
    if (!effect) {
        if (const codes::Code* code = codes::find(settings.system, item.letter, item.value)) take(*code, -1);
        return;
    }
    for (const Meaning meaning : effect->does) take(*codes::code_for(settings.system, meaning), -1);
    if (effect->calls >= 0) take(*codes::code_for(settings.system, Meaning::macro_call), effect->calls);
}

/// What a block does, by its own codes and by the motion code of those above it in the run.
class DoesScan {
public:
    void take(std::span<const syntax::Item> items, const Settings& settings, BlockScan& scan) {
        bool axis = false, off = false, only_off = true;
        std::optional<BlockDoes> by_code;
        for (const syntax::Item& item : items) {
            if (!item.is_word() || item.letter == 'N') continue;
            if (std::string_view("XZUWYVCH").find(item.letter) != std::string_view::npos) axis = true;
            bool switched_off =
                item.letter == 'T' && item.kind == ItemKind::word && std::fmod(item.value, 100) == 0;
            bool other = false;
            for_each_code(item, settings, [&](const codes::Code& code, std::int32_t) {
                const bool is_off = switches_off(code.meaning);
                switched_off |= is_off;
                other |= !is_off;
                scan.calls_macro |=
                    code.meaning == Meaning::macro_call || code.meaning == Meaning::modal_call;
                if (is_off) return;
                if (code.group() == codes::Group::motion) rapid_ = code.meaning == Meaning::rapid;
                if (code.group() == codes::Group::drill_cycle)
                    rapid_ = code.meaning == Meaning::drill_cycle_off;
                if (auto does = does_whatever_the_axes(code.meaning)) by_code = does;
            });
            off |= switched_off;
            only_off &= switched_off && !other;
        }
        if (by_code)
            scan.does = *by_code;
        else if (axis)
            scan.does = !rapid_ ? BlockDoes::as_above : *rapid_ ? BlockDoes::goes_away : BlockDoes::cuts;
        else if (off && only_off)
            scan.does = BlockDoes::switches_off;
    }
    std::optional<bool> rapid() const { return rapid_; }

private:
    static bool switches_off(Meaning meaning) {
        return meaning == Meaning::spindle_stop || meaning == Meaning::coolant_off ||
               meaning == Meaning::compensation_off;
    }
    static std::optional<BlockDoes> does_whatever_the_axes(Meaning meaning) {
        switch (meaning) {
        case Meaning::reference_return:
        case Meaning::reference_return_second:
        case Meaning::machine_datum:
        case Meaning::subprogram_call:
        case Meaning::macro_call:
            return BlockDoes::returns;
        case Meaning::dwell:
        case Meaning::data_setting:
        case Meaning::speed_limit:
        case Meaning::work_shift:
        case Meaning::local_datum:
        case Meaning::reference_check:
        case Meaning::travel_check_on:
        case Meaning::modal_call:
            return BlockDoes::sets;
        case Meaning::finish_cycle:
        case Meaning::rough_turning:
        case Meaning::rough_facing:
        case Meaning::pattern_repeat:
            return BlockDoes::cuts;
        default:
            return std::nullopt;
        }
    }
    std::optional<bool> rapid_;
};

Landmark landmark(Landmark::Kind kind, std::size_t block, std::int32_t number, bool has_note) {
    Landmark mark;
    mark.kind = kind;
    mark.block = static_cast<std::uint16_t>(block);
    mark.number = number;
    mark.has_note = has_note;
    return mark;
}

void scan_code(const syntax::Item& item, std::span<const syntax::Item> items, std::size_t block,
               const Settings& settings, const BlockScan& scan, RunShape& shape) {
    auto value_of = [&](char letter) -> std::int32_t {
        for (const syntax::Item& other : items)
            if (other.kind == ItemKind::word && other.letter == letter) return whole(other.value);
        return -1;
    };
    auto mark = [&](Landmark::Kind kind, std::int32_t number) {
        shape.landmarks.push_back(landmark(kind, block, number, scan.has_note));
    };
    auto flow = [&](FlowKind kind, std::int32_t number) {
        shape.flow.push_back({kind, static_cast<std::uint16_t>(block), number, item.begin, item.length});
    };
    for_each_code(item, settings, [&](const codes::Code& code, std::int32_t called) {
        switch (code.meaning) {
        case Meaning::optional_stop:
            mark(Landmark::Kind::optional_stop, -1);
            break;
        case Meaning::program_stop:
            mark(Landmark::Kind::program_stop, -1);
            break;
        case Meaning::program_end:
        case Meaning::program_end_rewind:
            mark(Landmark::Kind::program_end, -1);
            break;
        case Meaning::subprogram_end:
            mark(Landmark::Kind::subprogram_end, -1);
            if (std::int32_t label = value_of('P'); label >= 0) flow(FlowKind::program_return, label);
            break;
        case Meaning::subprogram_call:
        case Meaning::macro_call:
        case Meaning::modal_call:
            if (called < 0) called = called_program(code.meaning, value_of('P'));
            mark(Landmark::Kind::call, called);
            flow(code.meaning == Meaning::subprogram_call ? FlowKind::subprogram_call
                 : code.meaning == Meaning::modal_call    ? FlowKind::modal_call
                                                          : FlowKind::macro_call,
                 called);
            break;
        case Meaning::modal_call_off:
            flow(FlowKind::modal_call_off, -1);
            break;
        case Meaning::finish_cycle:
        case Meaning::rough_turning:
        case Meaning::rough_facing:
        case Meaning::pattern_repeat:
            for (char letter : {'P', 'Q'})
                if (std::int32_t label = value_of(letter); label >= 0) shape.contour_labels.push_back(label);
            break;
        default:
            break;
        }
    });
}

void scan_tool(const syntax::Item& item, std::size_t block, const Settings& settings, const BlockScan& scan,
               RunShape& shape) {
    Landmark mark = landmark(Landmark::Kind::tool_call, block, scan.number, scan.has_note);
    if (item.kind == ItemKind::word) {
        Word word;
        word.item = &item;
        word.letter = 'T';
        word.value = Value::of(item.value);
        ToolCall call = read_tool_word(word, settings.machine, State{});
        // T0 and T00xx keep the station and change the offset only: no call of a tool.
        if (!call.station.known()) return;
        mark.tool = whole(call.station.number);
        mark.offset = call.offset.known() ? whole(call.offset.number) : -1;
    }
    shape.landmarks.push_back(mark);
}

BlockScan scan_block(const syntax::Run& run, std::size_t block, const Settings& settings, DoesScan& does,
                     RunShape& shape) {
    BlockScan scan;
    const syntax::Block& text = run.blocks[block];
    auto items = run.items_of(text);
    scan.has_note = text.has_note;
    for (const syntax::Item& item : items) {
        if (item.kind == ItemKind::word && item.letter == 'N') {
            scan.numbered = true;
            scan.number = whole(item.value);
            if (scan.number >= 0) shape.labels.push_back({scan.number, static_cast<std::uint16_t>(block)});
        } else if (item.is_word() || (item.kind >= ItemKind::assignment && item.kind <= ItemKind::go_to)) {
            scan.has_words = true;
        }
    }
    if (text.has_statement) {
        for (const syntax::Item& item : items)
            if (item.kind >= ItemKind::assignment && item.kind <= ItemKind::go_to)
                scan_statement(run, item, block, shape);
    }
    if (scan.has_words) does.take(items, settings, scan);
    const bool macro = scan.calls_macro;
    for (const syntax::Item& item : items) {
        if (item.kind == ItemKind::tape_mark)
            shape.landmarks.push_back(landmark(Landmark::Kind::tape_mark, block, -1, scan.has_note));
        else if (starts_program(items, item) && !macro)
            shape.landmarks.push_back(
                landmark(Landmark::Kind::program_start, block, whole(item.value), scan.has_note));
        else if (item.letter == 'T' && item.is_word() && !macro)
            scan_tool(item, block, settings, scan, shape);
        else if (item.letter == 'G' || item.letter == 'M')
            scan_code(item, items, block, settings, scan, shape);
    }
    return scan;
}

/// "BAR .875 DIA 12L14", "1.375 BAR", "SPEZZONE D75": what the part is made from, and no tool.
bool names_stock(const syntax::Run& run, std::size_t block) {
    constexpr std::string_view stocks[] = {"BAR",       "STOCK",   "ROD",      "BLANK",  "MATERIAL",  "MATL",
                                           "MATERIALE", "MATIERE", "ROHTEIL",  "STANGE", "RUNDSTAHL", "BARRA",
                                           "BARRE",     "BRUT",    "SPEZZONE", "TUBO",   "HEX",       "TUBE",
                                           "TOCHO",     "REDONDO", "BILLET",   "MATL."};
    for (const syntax::Item& item : run.items_of(run.blocks[block])) {
        if (item.kind != ItemKind::note) continue;
        bool first = true, behind_number = false, stock = false, digit = false, tool = false;
        each_word(syntax::note_text(run.text_of(item)), [&](std::string_view word) {
            const bool has_digit = std::any_of(word.begin(), word.end(), text::is_digit);
            stock = stock || ((first || behind_number) &&
                              std::find(std::begin(stocks), std::end(stocks), word) != std::end(stocks));
            tool = tool || word.starts_with("PULL") || word.starts_with("STOP") || word.starts_with("FEED") ||
                   word.starts_with("FINISH") || word.starts_with("ROUGH") || word.starts_with("BOR");
            digit = digit || has_digit;
            behind_number = has_digit || word == "DIA" || word == "MM" || word == "ROUND";
            first = false;
        });
        if (stock && digit && !tool) return true;
    }
    return false;
}

/// Of a note that begins with a station, as a list of tools has them: "T5 PART OFF"; 0: it does not.
std::int32_t station_listed(const syntax::Run& run, std::size_t block) {
    for (const syntax::Item& item : run.items_of(run.blocks[block])) {
        if (item.kind != ItemKind::note) continue;
        std::string_view note = syntax::note_text(run.text_of(item));
        note.remove_prefix(std::min(note.find_first_not_of(' '), note.size()));
        if (note.size() < 2 || text::upper(note[0]) != 'T') return 0;
        std::size_t end = 1;
        std::int32_t number = 0;
        for (; end < note.size() && end < 5 && text::is_digit(note[end]); ++end)
            number = number * 10 + (note[end] - '0');
        if (end == 1 || (end < note.size() && (text::is_letter(note[end]) || text::is_digit(note[end]) ||
                                               note[end] == '.' || note[end] == '-')))
            return 0;
        return number > 99 ? number / 100 : number;
    }
    return 0;
}

} // namespace

RunShape shape_of(const syntax::Run& run, const Settings& settings) {
    RunShape shape;
    shape.blocks.reserve(run.blocks.size());
    shape.does.reserve(run.blocks.size());
    std::vector<BlockScan> scans;
    scans.reserve(run.blocks.size());
    DoesScan does;
    for (std::size_t block = 0; block < run.blocks.size(); ++block)
        scans.push_back(scan_block(run, block, settings, does, shape));
    shape.ends_in_rapid = does.rapid();

    auto is_code = [&](std::size_t block) { return scans[block].numbered || scans[block].has_words; };
    // A number among blocks without numbers marks something; one on every block is only numbering. Beside the
    // border of the run every number may be of either sort: the outline looks at the runs around it.
    bool previous_numbered = true;
    bool any_previous = false;
    for (std::size_t block = 0; block < scans.size(); ++block) {
        const BlockScan& scan = scans[block];
        shape.blocks.push_back(run.blocks[block].item_count == 0 ? BlockSort::blank
                               : scan.numbered                   ? BlockSort::numbered
                               : scan.has_words                  ? BlockSort::words
                                                                 : BlockSort::no_words);
        shape.does.push_back(scan.does);
        if (is_code(block)) ++shape.code_blocks;
        if (scan.numbered) {
            ++shape.numbered_blocks;
            std::size_t next = block + 1;
            while (next < scans.size() && !is_code(next)) ++next;
            bool alone_before = !any_previous || !previous_numbered;
            bool alone_after = next >= scans.size() || !scans[next].numbered;
            if (alone_before || alone_after)
                shape.landmarks.push_back(
                    landmark(Landmark::Kind::numbered, block, scan.number, scan.has_note));
        } else if (!scan.has_words && scan.has_note) {
            shape.landmarks.push_back(
                landmark(Landmark::Kind::note_only, block,
                         names_stock(run, block) ? stock_note : -1 - station_listed(run, block),
                         true)); // See outline.cpp
        }
        if (is_code(block)) {
            any_previous = true;
            previous_numbered = scan.numbered;
        }
    }
    std::stable_sort(shape.landmarks.begin(), shape.landmarks.end(),
                     [](const Landmark& a, const Landmark& b) {
                         if (a.block != b.block) return a.block < b.block;
                         return a.kind == Landmark::Kind::numbered && b.kind != Landmark::Kind::numbered;
                     });
    shape.landmarks.shrink_to_fit();
    shape.labels.shrink_to_fit();
    return shape;
}

} // namespace turnwright::machine
