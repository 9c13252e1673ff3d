// What a sequence takes over when the program is entered there, and the table of it.

#include "checks/restart.h"

#include <algorithm>
#include <bit>
#include <map>

namespace turnwright::checks {

using codes::Group;
using codes::Meaning;
using machine::Modal;
using machine::Part;
using machine::Parts;

namespace {

std::string_view outcome_of(Group group) {
    switch (group) {
    case Group::units:
        return "every length would be 25.4 times too long or too short";
    case Group::distance:
        return "coordinates would be read as distances, or the other way round";
    case Group::feed_mode:
        return "F would be read by the minute instead of by the revolution, or the other way round";
    case Group::spindle_mode:
        return "S would be read as surface speed instead of rpm, or the other way round";
    case Group::datum:
        return "every move would go to another datum";
    case Group::nose_compensation:
        return "the path would be shifted by the nose radius";
    case Group::motion:
        return "the first move would be made in another mode, a rapid for a cut";
    case Group::plane:
        return "arcs would be read in another plane";
    case Group::spindle_direction:
        return "the spindle would stand still or turn the other way";
    case Group::coolant:
        return "the tool would cut dry";
    case Group::drill_cycle:
        return "each X or Z would run the cycle";
    case Group::return_level:
        return "the drill would come back to another level";
    default:
        return "the block would do something else";
    }
}

std::string_view outcome_of(Part part) {
    switch (part) {
    case Part::feed:
        return "it would cut with another tool's feed";
    case Part::speed:
        return "the spindle would run at another tool's speed";
    case Part::speed_limit:
        return "the spindle would have another limit, or none, under constant surface speed";
    case Part::tool:
        return "another tool would make these moves";
    case Part::offset:
        return "the moves would go by another tool's offset";
    case Part::variables:
        return "the variables would be empty or hold values of another job";
    default:
        return "the block would do something else";
    }
}

std::string list_members(Group group, std::uint16_t members, codes::System system) {
    std::string out;
    for (unsigned i = 0; i < 16; ++i) {
        if (!(members >> i & 1u)) continue;
        std::string written = codes::written_as(system, codes::meaning_of(group, i));
        if (written.empty()) continue;
        out += (out.empty() ? "" : ", ") + written;
    }
    return out;
}

/// What the control comes up with after switching on needs no word where the program never leaves it.
bool is_usual_at_power_on(Group group, const Modal& now, const machine::Settings& settings) {
    Meaning meaning = codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(now.possible)));
    for (Meaning on : settings.machine.power_on)
        if (codes::group_of(on) == group) return on == meaning;
    const codes::Code* row = codes::code_for(settings.system, meaning);
    return row && row->power_on &&
           (group == Group::plane || group == Group::nose_compensation || group == Group::datum ||
            group == Group::drill_cycle);
}

/// nullopt: nothing to tell.
std::optional<Inherited> modal_part(Group group, const SequenceFacts& facts, const Across& across,
                                    const machine::Settings& settings) {
    Inherited part;
    std::size_t index = static_cast<std::size_t>(group);
    const Modal& now = facts.at_entry[index];
    if (now.surely_unset()) return std::nullopt;
    std::uint16_t others = across.seen[index] & static_cast<std::uint16_t>(~now.possible);
    bool known = now.known();
    if (group == Group::coolant && !now.may_be(Meaning::coolant_on) && !now.may_be(Meaning::coolant_mist))
        return std::nullopt; // Cuts dry today too
    if (group == Group::spindle_direction && now.is(Meaning::spindle_stop))
        return std::nullopt; // Told elsewhere
    if (known && others == 0 && is_usual_at_power_on(group, now, settings)) return std::nullopt;
    part.differs = others != 0 || !known;
    part.now = known ? list_members(group, now.possible, settings.system) : "";
    part.elsewhere = list_members(group, others, settings.system);
    part.outcome = outcome_of(group);
    return part;
}

std::string value_text(char letter, const machine::Value& value) {
    if (!value.known()) return "";
    return letter + (letter == 'F' ? written(value.number) : spoken(value.number));
}

std::optional<Inherited> value_part(Part which, const SequenceFacts& facts) {
    Inherited part;
    part.outcome = outcome_of(which);
    part.differs = true;
    const machine::Value* now = nullptr;
    char letter = 0;
    if (which == Part::feed) now = &facts.feed_at_entry, letter = 'F';
    if (which == Part::speed) now = &facts.speed_at_entry, letter = 'S';
    if (which == Part::speed_limit) now = &facts.speed_limit_at_entry, letter = 'S';
    if (now) {
        if (now->surely_unset()) return std::nullopt;
        part.now = value_text(letter, *now);
    }
    switch (which) {
    case Part::tool:
        if (facts.tool_at_entry.known()) part.now = fmt::format("T{:02}", facts.tool_at_entry.number);
        return part;
    case Part::offset:
        return part;
    case Part::variables:
        part.differs = false;
        return part;
    case Part::feed:
    case Part::speed:
    case Part::speed_limit:
        return part;
    default:
        return std::nullopt; // Places are another check's
    }
}

} // namespace

std::vector<Inherited> inherited_by(const SequenceFacts& facts, const Span& span, const Across& across,
                                    const machine::Settings& settings) {
    std::vector<Inherited> out;
    if (!span.sequence || span.program->is_subprogram || span.program->sequences.size() < 2) return out;
    for (const SequenceFacts::FirstRead& read : facts.first_reads) {
        for (int bit = 0; bit < static_cast<int>(Part::count_); ++bit) {
            if (!(read.parts >> bit & 1u)) continue;
            auto part = bit < static_cast<int>(codes::group_count)
                            ? modal_part(static_cast<Group>(bit), facts, across, settings)
                            : value_part(static_cast<Part>(bit), facts);
            if (!part) continue;
            part->bit = bit;
            part->block = read.block;
            out.push_back(std::move(*part));
        }
    }
    return out;
}

std::string describe(const Inherited& inherited) {
    std::string text(machine::part_title(inherited.bit));
    if (!inherited.now.empty()) text += " " + inherited.now;
    if (!inherited.elsewhere.empty()) text += " (" + inherited.elsewhere + " elsewhere in this program)";
    return text + ": " + inherited.outcome;
}

std::string describe(const std::vector<Inherited>& parts) {
    constexpr std::size_t told_in_full = 3;
    std::string text;
    if (parts.size() <= told_in_full) {
        for (const Inherited& part : parts) text += (text.empty() ? "" : "; ") + describe(part);
        return text;
    }
    // The worst first: what moves, and by which tool.
    auto weight = [](const Inherited& part) {
        constexpr int worst[] = {static_cast<int>(Part::tool),         static_cast<int>(Group::distance),
                                 static_cast<int>(Group::drill_cycle), static_cast<int>(Group::spindle_mode),
                                 static_cast<int>(Group::units),       static_cast<int>(Group::feed_mode),
                                 static_cast<int>(Group::motion)};
        return std::find(std::begin(worst), std::end(worst), part.bit) - std::begin(worst);
    };
    std::vector<Inherited> sorted = parts;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [&](const Inherited& a, const Inherited& b) { return weight(a) < weight(b); });
    for (std::size_t i = 0; i < sorted.size(); ++i)
        text += (i == 0                   ? ""
                 : i + 1 == sorted.size() ? " and "
                                          : ", ") +
                std::string(machine::part_title(sorted[i].bit)) +
                (sorted[i].now.empty() ? "" : " " + sorted[i].now);
    for (std::size_t i = 0; i < told_in_full; ++i) text += (i == 0 ? ": " : "; ") + sorted[i].outcome;
    return text;
}

Across across_of(std::span<const Span> spans, const shop::Shop& shop, codes::System system) {
    Across across;
    const FileFacts* fullest = nullptr;
    for (const Span& span : spans) {
        for (std::size_t g = 0; g < codes::group_count; ++g) across.seen[g] |= span.facts->seen[g];
        if (!span.sequence || span.program->is_subprogram) continue;
        ++across.sequences;
        for (Parts set = span.facts->safety_set; set != 0; set &= set - 1)
            ++across.set_at_entry[static_cast<std::size_t>(std::countr_zero(set))];
        if (!fullest || span.facts->safety_line.size() > fullest->safety_line.size()) fullest = span.facts;
    }
    for (const std::string& written : shop.house.safety_line)
        for (const codes::Code& row : codes::all_codes())
            if (row.written() == written && row.letter == 'G' && row.is_modal() &&
                (row.systems & (1u << static_cast<unsigned>(system))))
                across.safety_line.push_back(row.meaning);
    if (!across.safety_line.empty() || !fullest) return across;
    for (Meaning meaning : fullest->safety_line) {
        std::size_t group = static_cast<std::size_t>(codes::group_of(meaning));
        bool common = across.set_at_entry[group] * 3 >= across.sequences * 2 && across.sequences >= 2;
        bool there = std::any_of(across.safety_line.begin(), across.safety_line.end(), [&](Meaning other) {
            return codes::group_of(other) == codes::group_of(meaning);
        });
        bool is_line = codes::group_of(meaning) != Group::motion;
        if (common && !there && is_line) across.safety_line.push_back(meaning);
    }
    return across;
}

namespace {

/// Place of a group in the house order; groups the house does not write come last, in the order of the trade.
int rank_in(const Across& across, Group group) {
    for (std::size_t i = 0; i < across.safety_line.size(); ++i)
        if (codes::group_of(across.safety_line[i]) == group) return static_cast<int>(i);
    constexpr Group usual[] = {
        Group::datum, Group::plane,       Group::distance,          Group::spindle_mode,
        Group::units, Group::drill_cycle, Group::nose_compensation, Group::feed_mode};
    for (int i = 0; i < static_cast<int>(std::size(usual)); ++i)
        if (usual[i] == group) return 100 + i;
    return 200;
}

/// Puts a code into the safety block in front of the first one that the house writes behind it.
Edit put_in_order(const machine::Reader& reader, const EntryContext& context, BlockPlace line, Group group,
                  const std::string& text) {
    const syntax::Run& run = reader.line(line);
    const syntax::Block& block = run.blocks[line.block];
    int rank = rank_in(context.across, group);
    for (const syntax::Item& item : run.items_of(block)) {
        if (item.kind != syntax::ItemKind::word || item.letter != 'G') continue;
        const codes::Code* row = codes::find(context.settings.system, 'G', item.value);
        if (!row || !row->is_modal() || rank_in(context.across, row->group()) <= rank) continue;
        return {line, item.begin - block.begin, item.begin - block.begin, text + " "};
    }
    const syntax::Item* last = nullptr;
    for (const syntax::Item& item : run.items_of(block))
        if (item.is_word() && item.letter == 'G') last = &item;
    if (!last) return insert_last(reader, line, text);
    return {line, last->end() - block.begin, last->end() - block.begin, " " + text};
}

} // namespace

namespace {

/// The T words that brought today's tool and offset, as written: "T0101". Empty where they are computed.
std::string tool_call_in_force(const machine::Reader& reader, BlockPlace place) {
    const machine::Analysis& file = reader.whole(machine::Whole::text);
    auto at = file.origin(place, machine::part(Part::tool));
    if (!at) return {};
    const syntax::Item* item = find_letter(reader, *at, 'T');
    if (!item || !item->is_word()) return {};
    auto offset_at = file.origin(place, machine::part(Part::offset));
    if (offset_at != at) return {};
    return text_of(reader, *at, *item);
}

bool is_part(const Inherited& inherited, Part part) {
    return inherited.bit == static_cast<int>(part);
}

/// Collects what a sequence lacks where each piece belongs: in its safety line, before the block that reads
/// it, or in that block.
class Mend {
public:
    Mend(const machine::Reader& reader, const EntryContext& context)
        : reader_(reader), context_(context), sequence_(*context.span.sequence), facts_(context.facts) {}

    /// False: there is no one right place for it.
    bool add(const Inherited& part) {
        BlockPlace read_at = context_.span.place(part.block);
        if (is_part(part, Part::tool)) {
            call_ = tool_call_in_force(reader_, read_at);
            return !call_.empty() && !sequence_.calls_tool;
        }
        // The call in force brings its offset.
        if (is_part(part, Part::offset) && !call_.empty()) return true;
        if (part.now.empty()) return false;
        if (is_part(part, Part::feed)) {
            edits_.push_back(insert_last(reader_, read_at, part.now));
            return true;
        }
        if (is_part(part, Part::speed_limit)) {
            BlockPlace at = facts_.surface_speed ? context_.span.place(*facts_.surface_speed) : read_at;
            before_[std::min(at, read_at)].limit =
                code(context_.settings, Meaning::speed_limit) + " " + part.now;
            return true;
        }
        if (is_part(part, Part::speed)) {
            before_[read_at].speed = part.now;
            return true;
        }
        switch (static_cast<Group>(part.bit)) {
        case Group::units:
        case Group::distance:
        case Group::plane:
        case Group::feed_mode:
        case Group::datum:
        case Group::nose_compensation:
        case Group::return_level:
            safety_line(part);
            return true;
        case Group::drill_cycle:
            if (part.now != code(context_.settings, Meaning::drill_cycle_off)) return false;
            safety_line(part);
            return true;
        case Group::spindle_mode:
            before_[read_at].mode = part.now;
            return true;
        case Group::spindle_direction:
            before_[read_at].direction = part.now;
            return true;
        case Group::coolant:
            before_[read_at].coolant = part.now;
            return true;
        case Group::motion:
            if (part.now != code(context_.settings, Meaning::rapid) &&
                part.now != code(context_.settings, Meaning::feed_line))
                return false; // An arc or a cycle needs words of its own
            before_[read_at].motion = part.now;
            return true;
        default:
            return false;
        }
    }

    std::vector<Edit> edits() {
        for (const auto& [place, pieces] : before_) put_before(place, pieces);
        if (sequence_.calls_tool) {
            if (!new_line_.empty())
                edits_.push_back(insert_block_before(reader_, sequence_.tool_call, new_line_));
            return std::move(edits_);
        }
        // The call stands behind the safety line, where the other sequences have it.
        if (facts_.safety_block && !call_.empty() &&
            context_.span.place(*facts_.safety_block) != sequence_.first) {
            edits_.push_back(insert_block_after(reader_, context_.span.place(*facts_.safety_block), call_));
            call_.clear();
        }
        if (!new_line_.empty() && !call_.empty()) new_line_ += line_end(run_of(sequence_.first));
        if (!new_line_.empty() || !call_.empty())
            edits_.push_back(
                insert_block_after(reader_, sequence_.note.value_or(sequence_.first), new_line_ + call_));
        return std::move(edits_);
    }

private:
    struct Pieces {
        std::string limit, mode, speed, direction, coolant; ///< On blocks of their own, in this order
        std::string motion;                                 ///< In the block itself
    };

    const syntax::Run& run_of(BlockPlace place) const { return reader_.line(place); }

    void safety_line(const Inherited& part) {
        if (facts_.safety_block)
            edits_.push_back(put_in_order(reader_, context_, context_.span.place(*facts_.safety_block),
                                          static_cast<Group>(part.bit), part.now));
        else
            new_line_ += (new_line_.empty() ? "" : " ") + part.now;
    }

    /// The mode alone is a code of the safety line; with its speed it is a block of the spindle's.
    bool belongs_in_safety_line(const Pieces& pieces) const {
        return !pieces.mode.empty() && pieces.speed.empty() &&
               pieces.mode == code(context_.settings, Meaning::constant_rpm);
    }

    void put_before(BlockPlace place, Pieces pieces) {
        if (belongs_in_safety_line(pieces)) {
            Inherited part;
            part.bit = static_cast<int>(Group::spindle_mode);
            part.now = std::move(pieces.mode);
            pieces.mode.clear();
            safety_line(part);
        }
        std::string spindle;
        for (const std::string* piece : {&pieces.mode, &pieces.speed, &pieces.direction})
            if (!piece->empty()) spindle += (spindle.empty() ? "" : " ") + *piece;
        std::string blocks;
        for (const std::string* block : {&pieces.limit, &spindle, &pieces.coolant})
            if (!block->empty())
                blocks += (blocks.empty() ? "" : std::string(line_end(run_of(place)))) + *block;
        if (blocks.empty() && pieces.motion.empty()) return;
        Edit edit = insert_block_before(reader_, place, blocks);
        if (blocks.empty()) edit.text.resize(edit.text.size() - line_end(run_of(place)).size());
        if (!pieces.motion.empty()) edit.text += pieces.motion + " ";
        edits_.push_back(std::move(edit));
    }

    const machine::Reader& reader_;
    const EntryContext& context_;
    const machine::Sequence& sequence_;
    const SequenceFacts& facts_;
    std::vector<Edit> edits_;
    std::map<BlockPlace, Pieces> before_;
    std::string new_line_, call_;
};

} // namespace

std::vector<Edit> edits_for(const machine::Reader& reader, const EntryContext& context,
                            const std::vector<Inherited>& parts) {
    std::vector<Inherited> ordered = parts;
    std::stable_sort(ordered.begin(), ordered.end(), [&](const Inherited& a, const Inherited& b) {
        return rank_in(context.across, static_cast<Group>(a.bit)) <
               rank_in(context.across, static_cast<Group>(b.bit));
    });
    Mend mend(reader, context);
    for (const Inherited& part : ordered)
        if (!mend.add(part)) return {};
    return mend.edits();
}

std::vector<RestartRow> restart_table(const machine::Analysis& analysis, std::span<const Span> spans,
                                      const shop::Shop& shop) {
    std::vector<RestartRow> rows;
    Across across = across_of(spans, shop, analysis.settings().system);
    for (const Span& span : spans) {
        if (!span.sequence) continue;
        const SequenceFacts& facts = entry_facts(span);
        RestartRow row;
        row.first = span.first;
        row.number = span.sequence->number;
        row.tool = span.sequence->tool;
        row.offset = span.sequence->offset;
        row.set_at_entry = facts.sets_at_entry;
        for (const Inherited& part : inherited_by(facts, span, across, analysis.settings()))
            row.inherited |= Parts{1} << part.bit;
        auto leave = [&](Group group, Meaning off) {
            const Modal& end = facts.at_exit[static_cast<std::size_t>(group)];
            if (!end.known() || end.is(off)) return;
            row.left.push_back(
                {group, codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(end.possible)))});
        };
        leave(Group::drill_cycle, Meaning::drill_cycle_off);
        leave(Group::nose_compensation, Meaning::compensation_off);
        leave(Group::spindle_mode, Meaning::constant_rpm);
        leave(Group::spindle_direction, Meaning::spindle_stop);
        leave(Group::coolant, Meaning::coolant_off);
        row.safe = row.inherited == 0 && !facts.moves_by_from_unknown;
        rows.push_back(std::move(row));
    }
    return rows;
}

} // namespace turnwright::checks
