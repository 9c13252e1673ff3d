// What a sequence takes over when the program is entered there, and the table of it.

#include "checks/restart.h"
#include "checks/acts.h"
#include "language/said.h"

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

/// One of two readings where both values are known to be single ones, else either.
std::string_view outcome_of(Group group, const Modal& now, std::uint16_t others) {
    const Modal other{others, machine::Why::known};
    const auto turns = [&](Meaning from, Meaning to) { return now.is(from) && other.is(to); };
    switch (group) {
    case Group::units:
        if (turns(Meaning::millimetre, Meaning::inch))
            return said("every length would be 25.4 times too long");
        if (turns(Meaning::inch, Meaning::millimetre))
            return said("every length would be 25.4 times too short");
        return said("every length would be 25.4 times too long or too short");
    case Group::distance:
        if (turns(Meaning::absolute, Meaning::incremental))
            return said("coordinates would be read as distances");
        if (turns(Meaning::incremental, Meaning::absolute))
            return said("distances would be read as coordinates");
        return said("coordinates would be read as distances, or the other way round");
    case Group::feed_mode:
        if (turns(Meaning::feed_per_rev, Meaning::feed_per_minute))
            return said("F would be read by the minute");
        if (turns(Meaning::feed_per_minute, Meaning::feed_per_rev))
            return said("F would be read by the revolution");
        return said("F would be read by the minute instead of by the revolution, or the other way round");
    case Group::spindle_mode:
        if (turns(Meaning::surface_speed, Meaning::constant_rpm)) return said("S would be read as rpm");
        if (turns(Meaning::constant_rpm, Meaning::surface_speed))
            return said("S would be read as surface speed");
        return said("S would be read as surface speed instead of rpm, or the other way round");
    case Group::datum:
        return said("every move would go to another datum");
    case Group::nose_compensation:
        return said("the path would be shifted by the nose radius");
    case Group::motion:
        return said("the first move would be made in another mode, a rapid for a cut");
    case Group::plane:
        return said("arcs would be read in another plane");
    case Group::spindle_direction:
        return other.possible == 1u << codes::member_of(Meaning::spindle_stop)
                   ? said("after a stop or a reset the spindle stands, and would not be started")
                   : said("the spindle would stand still or turn the other way");
    case Group::coolant:
        return said("the tool would cut dry");
    case Group::drill_cycle:
        return said("each X or Z would run the cycle");
    case Group::return_level:
        return said("the drill would come back to another level");
    default:
        return said("the block would do something else");
    }
}

std::string_view outcome_of(Part part) {
    switch (part) {
    case Part::feed:
        return said("it would cut with another tool's feed");
    case Part::speed:
        return said("the spindle would run at another tool's speed");
    case Part::speed_limit:
        return said("the spindle would have another limit, or none, under constant surface speed");
    case Part::tool:
        return said("another tool would make these moves");
    case Part::offset:
        return said("the moves would go by another tool's offset");
    case Part::variables:
        return said("the variables would be empty or hold values of another job");
    default:
        return said("the block would do something else");
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

/// nullopt: nothing to tell. What a program that is not to be seen, or a code of the machine, may have
/// changed is no reason to warn.
std::optional<Inherited> modal_part(Group group, const FileFacts& facts, const Across::Program& left,
                                    const machine::Settings& settings) {
    Inherited part;
    std::size_t index = static_cast<std::size_t>(group);
    const Modal& now = facts.at_entry[index];
    if (now.possible == 0) return std::nullopt;
    std::uint16_t others = left.left[index] & static_cast<std::uint16_t>(~now.possible);
    bool known = now.known();
    if (group == Group::coolant && !now.may_be(Meaning::coolant_on) && !now.may_be(Meaning::coolant_mist))
        return std::nullopt; // Cuts dry today too
    if (group == Group::spindle_direction && now.is(Meaning::spindle_stop))
        return std::nullopt; // Told elsewhere
    if (group == Group::nose_compensation && !now.is(Meaning::compensation_off))
        return std::nullopt; // It was left on, and is told where the tool is called
    if (group == Group::distance && now.is(Meaning::incremental))
        return std::nullopt; // Told where the tool is called, and G91 is nothing to write there
    if (known && others == 0 && is_usual_at_power_on(group, now, settings)) return std::nullopt;
    // Whoever enters a program in the middle has stopped it before, and the spindle with it.
    part.differs = others != 0 || !known || group == Group::spindle_direction;
    part.now = known ? list_members(group, now.possible, settings.system) : "";
    // What stops the spindle is mostly the program's end, and no code that anybody finds.
    const bool only_stops =
        group == Group::spindle_direction && others == 1u << codes::member_of(Meaning::spindle_stop);
    if (!only_stops) part.elsewhere = list_members(group, others, settings.system);
    part.outcome = outcome_of(group, now, others);
    // F by the minute instead of by the turn, S as rpm instead of surface speed: slow, and seen at once.
    const auto turns = [&](Meaning from, Meaning to) {
        return group == codes::group_of(from) && now.is(from) && others == 1u << codes::member_of(to);
    };
    part.milder = turns(Meaning::feed_per_rev, Meaning::feed_per_minute) ||
                  turns(Meaning::surface_speed, Meaning::constant_rpm) ||
                  // A reset brings the first datum back on most controls: common practice, no source.
                  (group == Group::datum && now.is(Meaning::datum_1));
    return part;
}

std::string value_text(char letter, const machine::Value& value) {
    if (!value.known()) return "";
    return letter + (letter == 'F' ? written(value.number) : spoken(value.number));
}

std::optional<Inherited> value_part(Part which, const FileFacts& facts, const Across::Program& left,
                                    codes::System system) {
    struct Row {
        Part part;
        const machine::Value& now;
        const Across::Values& values;
        std::string written;
    };
    const machine::Value &tool = facts.tool_at_entry, &limit = facts.speed_limit_at_entry;
    const Row rows[] = {
        {Part::feed, facts.feed_at_entry, left.feed, value_text('F', facts.feed_at_entry)},
        {Part::speed, facts.speed_at_entry, left.speed, value_text('S', facts.speed_at_entry)},
        {Part::speed_limit, limit, left.speed_limit,
         limit.known() ? codes::written_as(system, Meaning::speed_limit) + " " + value_text('S', limit) : ""},
        {Part::tool, tool, left.tool, tool.known() ? fmt::format("T{:02}", tool.number) : ""},
        {Part::offset, facts.offset_at_entry, left.offset, ""},
    };
    Inherited part;
    part.outcome = outcome_of(which);
    if (which == Part::variables) return part;
    for (const Row& row : rows) {
        if (row.part != which) continue;
        if (!row.now.known() && row.now.why != machine::Why::joined &&
            row.now.why != machine::Why::mode_changed)
            return std::nullopt;
        // The highest of several (left_by).
        if (which == Part::speed_limit && row.now.known() && row.values.several && row.values.one.known() &&
            row.values.one.number <= row.now.number)
            return std::nullopt;
        part.now = row.written;
        part.differs = !row.now.known() || row.values.several || row.values.one != row.now;
        if (which == Part::speed_limit && row.now.known() && left.highest_limit <= row.now.number) {
            part.milder = true;
            part.outcome =
                said("the spindle would have a lower limit, or none where the machine was switched on since");
        }
        return part;
    }
    return std::nullopt; // Places are another check's
}

/// With C engaged, S at a live tool or at the second spindle, or both spindles as one: what is done there
/// belongs to the sequence that begins it, and nobody enters or leaves the program in its middle.
template <class Modals>
bool is_within_stretch(const Modals& modals) {
    const auto of = [&](Group group) -> const Modal& { return modals[static_cast<std::size_t>(group)]; };
    const auto spindle = machine::spoken_to(of(Group::spoken_to));
    return of(Group::c_axis).is(Meaning::c_axis_on) || of(Group::c_axis).is(Meaning::second_c_axis_on) ||
           of(Group::spindles_together).is(Meaning::spindles_joined) ||
           of(Group::second_chuck).is(Meaning::second_chuck_closed) ||
           (spindle && *spindle != machine::Spindle::main);
}

/// What is wrong is seen at once and breaks nothing: the coolant; a spindle that stands and holds a tool that
/// is fed by its turns, where hardly a sequence of the program starts it, so that whoever enters in the
/// middle does so by hand. Or a tool is fed with the spindle stopped, as a bar puller is: by its turns it
/// would stand.
bool is_seen_at_once(Group group, const FileFacts& facts, const Across& across) {
    if (group == Group::coolant) return true;
    // Of those behind the first, which begins with it anyway.
    const std::size_t stating = across.set_by_itself[static_cast<std::size_t>(group)];
    const bool habit = stating == 0 || (stating - 1) * 2 + 1 < across.sequences;
    // A driven tool would be torn off.
    if (group == Group::feed_mode)
        return facts.acts.held->named.kind == NamedTool::Kind::stop &&
               facts.at_entry[static_cast<std::size_t>(group)].is(Meaning::feed_per_minute) &&
               !facts.acts.held->cuts_turning_by_minute;
    return group == Group::spindle_direction && habit && !facts.acts.held->cuts_not_by_turns;
}

} // namespace

std::vector<Inherited> inherited_by(const FileFacts& facts, const Span& span, const Across& across,
                                    const machine::Settings& settings) {
    std::vector<Inherited> out;
    if (!span.sequence || span.program->is_subprogram || span.program->sequences.size() < 2) return out;
    if (is_within_stretch(facts.at_entry)) return out;
    const Across::Program& left = across.programs[span.program_at];
    for (const FileFacts::FirstRead& read : facts.first_reads) {
        for (Parts parts = read.parts; parts != 0; parts &= parts - 1) {
            const int bit = std::countr_zero(parts);
            auto part = bit < static_cast<int>(codes::group_count)
                            ? modal_part(static_cast<Group>(bit), facts, left, settings)
                            : value_part(static_cast<Part>(bit), facts, left, settings.system);
            if (!part) continue;
            part->bit = bit;
            if (bit == static_cast<int>(Part::speed_limit) && facts.stays_below_limit) part->milder = true;
            // Called again behind a stop, to measure mostly: nobody enters there but to go on.
            const bool same_tool = span.sequence->calls_tool && facts.tool_at_entry.known() &&
                                   facts.tool_at_entry.number == span.sequence->tool;
            part->milder = part->milder || same_tool ||
                           (bit < static_cast<int>(codes::group_count) &&
                            is_seen_at_once(static_cast<Group>(bit), facts, across));
            part->block = read.block;
            out.push_back(std::move(*part));
        }
    }
    return out;
}

bool is_first_of_program(const Span& span) {
    return span.sequence && span.sequence == &span.program->sequences.front();
}

std::string names_of(std::span<const Span* const> sequences) {
    constexpr std::size_t most_named = 3;
    const std::size_t count = sequences.size();
    if (count > most_named) return said("{} sequences below", count);
    std::vector<std::string> names, stations;
    for (const Span* span : sequences) {
        const machine::Sequence& sequence = *span->sequence;
        names.push_back(name_of(sequence));
        if (sequence.number < 0 && sequence.tool >= 0)
            stations.push_back(fmt::format("T{:02}", sequence.tool));
    }
    return count > 1 && stations.size() == count ? said("the sequences of ") + list_of(stations)
                                                 : list_of(names);
}

std::string describe(const Inherited& inherited) {
    std::string text(machine::part_title(inherited.bit));
    if (!inherited.now.empty()) text += " " + inherited.now;
    if (!inherited.elsewhere.empty()) text += said(" (another sequence leaves ") + inherited.elsewhere + ")";
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
                 : i + 1 == sorted.size() ? said(" and ")
                                          : ", ") +
                std::string(machine::part_title(sorted[i].bit)) +
                (sorted[i].now.empty() ? "" : " " + sorted[i].now);
    for (std::size_t i = 0; i < told_in_full; ++i) text += (i == 0 ? ": " : "; ") + sorted[i].outcome;
    return text;
}

namespace {

/// C was engaged in it, or a live tool, the second spindle or both were spoken to.
bool works_apart(const FileFacts& facts) {
    const auto seen = [&](Meaning meaning) {
        return (facts.seen[static_cast<std::size_t>(codes::group_of(meaning))] >> codes::member_of(meaning) &
                1u) != 0;
    };
    return seen(Meaning::c_axis_on) || seen(Meaning::second_c_axis_on) || seen(Meaning::spindles_joined) ||
           seen(Meaning::live_spoken_to) || seen(Meaning::second_spoken_to) ||
           seen(Meaning::second_chuck_closed);
}

std::vector<Across::Program> left_by(std::span<const Span> spans) {
    std::vector<Across::Program> out(spans.empty() ? 0 : spans.back().program_at + 1);
    // Where sequences do not each state their limit only the highest counts: a lower one holds the part as
    // well. It stands beside `several` then.
    const auto add_limit = [](Across::Values& values, const machine::Value& limit) {
        if (!limit.known() || values.one == limit) return;
        values.several = values.several || values.one.known();
        if (!values.one.known() || values.one.number < limit.number) values.one = limit;
    };
    std::vector<std::size_t> fast(out.size()), limited(out.size());
    for (const Span& span : spans) {
        if (!span.sequence || !span.facts->surface_speed) continue;
        ++fast[span.program_at];
        if (span.facts->sets & machine::part(Part::speed_limit)) ++limited[span.program_at];
    }
    const auto each_states_limit = [&](std::size_t program) {
        return limited[program] * 5 >= fast[program] * 4; // Fewer state it where it changes
    };
    // `apart`: C, a live tool or the second spindle works in it or behind it. What is put back there, or made
    // ready for it, is left in the middle of that work, where nobody stops to enter elsewhere.
    Across::Program called; // A subprogram may be run by any of the file's programs
    // What the next sequence puts back before it reads it, as G90 behind the way home, is not left.
    const auto put_back = [](const FileFacts& next, Group group) {
        const bool inherits =
            std::any_of(next.first_reads.begin(), next.first_reads.end(),
                        [&](const FileFacts::FirstRead& read) { return read.parts & machine::part(group); });
        return !inherits && (next.sets & machine::part(group));
    };
    const auto add = [&](Across::Program& program, const FileFacts& facts, bool by_limits, bool apart,
                         bool last_cut, const FileFacts* next = nullptr) {
        if (!facts.ends_program && is_within_stretch(facts.at_exit)) return;
        for (std::size_t g = 0; g < codes::group_count; ++g) {
            // Where the program ends, or nothing is turned behind, the coolant goes off in any program.
            if ((facts.ends_program || last_cut || apart) && g == static_cast<std::size_t>(Group::coolant))
                continue;
            if (apart && !facts.ends_program && g == static_cast<std::size_t>(Group::datum)) continue;
            // What a subprogram does not set its caller has in force, in the middle of its own sequence.
            if (&program == &called && (facts.sets >> g & 1u) == 0) continue;
            if (next && g == static_cast<std::size_t>(Group::distance) && put_back(*next, Group::distance))
                continue;
            program.left[g] |= facts.at_exit[g].possible;
        }
        if (facts.speed_limit_at_exit.known())
            program.highest_limit = std::max(program.highest_limit, facts.speed_limit_at_exit.number);
        program.feed.add(facts.feed_at_exit);
        program.speed.add(facts.speed_at_exit);
        if (by_limits)
            program.speed_limit.add(facts.speed_limit_at_exit);
        else
            add_limit(program.speed_limit, facts.speed_limit_at_exit);
        program.tool.add(facts.tool_at_exit);
        program.offset.add(facts.offset_at_exit);
    };
    const std::uint16_t by_main = [&] {
        std::uint16_t members = 0;
        for (const Span& span : spans)
            if (!span.program->is_subprogram)
                members |= span.facts->at_exit[static_cast<std::size_t>(Group::distance)].possible;
        return members;
    }();
    for (const Span& span : spans)
        if (span.program->is_subprogram) add(called, *span.facts, true, false, false);
    // G91 of a few steps that are called: who calls them goes on with what it states behind them.
    called.left[static_cast<std::size_t>(Group::distance)] &= by_main;
    const auto add_values = [](Across::Values& to, const Across::Values& from) {
        to.add(from.one);
        to.several |= from.several;
        if (to.several) to.one = {};
    };
    for (std::size_t i = 0; i < spans.size(); ++i) {
        const Span& span = spans[i];
        if (span.program->is_subprogram) continue;
        bool apart = works_apart(*span.facts), last_cut = true;
        if (i + 1 < spans.size() && spans[i + 1].program == span.program)
            apart = apart || works_apart(*spans[i + 1].facts);
        for (std::size_t j = i + 1; j < spans.size() && last_cut && spans[j].program == span.program; ++j)
            last_cut = !spans[j].facts->cuts_turning;
        const bool goes_on = i + 1 < spans.size() && spans[i + 1].program == span.program;
        add(out[span.program_at], *span.facts, each_states_limit(span.program_at), apart, last_cut,
            goes_on ? spans[i + 1].facts : nullptr);
    }
    for (std::size_t i = 0; i < out.size(); ++i) {
        Across::Program& program = out[i];
        for (std::size_t g = 0; g < codes::group_count; ++g) program.left[g] |= called.left[g];
        program.highest_limit = std::max(program.highest_limit, called.highest_limit);
        add_values(program.feed, called.feed);
        add_values(program.speed, called.speed);
        if (each_states_limit(i))
            add_values(program.speed_limit, called.speed_limit);
        else
            add_limit(program.speed_limit, called.speed_limit.one);
        add_values(program.tool, called.tool);
        add_values(program.offset, called.offset);
    }
    return out;
}

} // namespace

Across across_of(std::span<const Span> spans, const shop::Shop& shop, codes::System system) {
    Across across;
    across.programs = left_by(spans);
    const FileFacts* fullest = nullptr;
    for (const Span& span : spans) {
        if (!span.sequence || span.program->is_subprogram) continue;
        ++across.sequences;
        for (Parts set = span.facts->safety_set; set != 0; set &= set - 1)
            ++across.set_at_entry[static_cast<std::size_t>(std::countr_zero(set))];
        Parts reads_first = 0;
        for (const FileFacts::FirstRead& read : span.facts->first_reads) reads_first |= read.parts;
        constexpr Parts groups = (Parts{1} << codes::group_count) - 1;
        for (Parts set = span.facts->sets & ~reads_first & groups; set != 0; set &= set - 1)
            ++across.set_by_itself[static_cast<std::size_t>(std::countr_zero(set))];
        if (!fullest || span.facts->safety_line.size() > fullest->safety_line.size()) fullest = span.facts;
    }
    for (const std::string& written : shop.house.safety_line)
        for (const codes::Code& row : codes::all_codes())
            if (row.written() == written && row.letter == 'G' && row.is_modal() &&
                (row.systems & (1u << static_cast<unsigned>(system))))
                across.safety_line.push_back(row.meaning);
    const bool from_shop = !across.safety_line.empty();
    if (from_shop || fullest)
        for (Meaning meaning : from_shop ? across.safety_line : fullest->safety_line)
            across.safety_order.push_back(codes::group_of(meaning));
    if (from_shop || !fullest) return across;
    for (Meaning meaning : fullest->safety_line) {
        std::size_t group = static_cast<std::size_t>(codes::group_of(meaning));
        bool common = across.set_at_entry[group] * 3 >= across.sequences * 2 && across.sequences >= 2;
        bool there = std::any_of(across.safety_line.begin(), across.safety_line.end(), [&](Meaning other) {
            return codes::group_of(other) == codes::group_of(meaning);
        });
        bool is_line = codes::group_of(meaning) != Group::motion;
        // Where some state G96 and some G97 there is no habit of either.
        const auto stating = std::count_if(spans.begin(), spans.end(), [&](const Span& span) {
            return span.sequence && !span.program->is_subprogram &&
                   std::find(span.facts->safety_line.begin(), span.facts->safety_line.end(), meaning) !=
                       span.facts->safety_line.end();
        });
        common &= static_cast<std::size_t>(stating) * 3 >= across.sequences * 2;
        if (common && !there && is_line) across.safety_line.push_back(meaning);
    }
    return across;
}

namespace {

/// Place of a group in the house order; groups the house does not write come last, in the order of the trade.
int rank_in(const Across& across, Group group) {
    const auto& order = across.safety_order;
    if (const auto at = std::find(order.begin(), order.end(), group); at != order.end())
        return static_cast<int>(at - order.begin());
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
            before_[std::min(at, read_at)].limit = part.now;
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

std::string what_to_write(const Span& span, const std::vector<Inherited>& parts) {
    const machine::Sequence& sequence = *span.sequence;
    std::vector<Inherited> ordered = parts;
    // In the order of the blocks they would stand in: limit, safety line, spindle, coolant, feed.
    auto place = [](const Inherited& part) {
        if (is_part(part, Part::speed_limit)) return 0;
        constexpr int late[] = {static_cast<int>(Group::spindle_mode),
                                static_cast<int>(Part::speed),
                                static_cast<int>(Group::spindle_direction),
                                static_cast<int>(Group::coolant),
                                static_cast<int>(Group::motion),
                                static_cast<int>(Part::feed)};
        auto at = std::find(std::begin(late), std::end(late), part.bit);
        return at == std::end(late) ? 1 : 2 + static_cast<int>(at - std::begin(late));
    };
    std::stable_sort(ordered.begin(), ordered.end(),
                     [&](const Inherited& a, const Inherited& b) { return place(a) < place(b); });
    std::string codes, untold;
    for (const Inherited& part : ordered) {
        if (part.now.empty())
            untold += (untold.empty() ? "" : ", ") + std::string(machine::part_title(part.bit));
        else
            codes += (codes.empty() ? "" : " ") + part.now;
    }
    std::string text;
    const std::string where = sequence.calls_tool && sequence.tool >= 0
                                  ? said("after the call of T{:02}", sequence.tool)
                                  : "in " + name_of(sequence);
    if (!codes.empty()) text += said("Write ") + codes + " " + where + ".";
    if (!untold.empty())
        text += (text.empty() ? "" : " ") + said("Give {} its own {}.", name_of(sequence), untold);
    return text;
}

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
                                      const shop::Shop& shop, std::size_t most_spans) {
    std::vector<RestartRow> rows;
    Across across = across_of(spans, shop, analysis.settings().system);
    for (const Span& span : spans.first(std::min(spans.size(), most_spans))) {
        if (!span.sequence) continue;
        const SequenceFacts& facts = entry_facts(span);
        RestartRow row;
        row.first = span.first;
        row.number = span.sequence->number;
        row.tool = span.sequence->tool;
        row.offset = span.sequence->offset;
        row.set_at_entry = facts.sets_at_entry;
        bool differs = false;
        for (const Inherited& part : inherited_by(facts, span, across, analysis.settings())) {
            row.inherited |= Parts{1} << part.bit;
            differs = differs || part.differs;
        }
        auto leave = [&](Group group, Meaning off) {
            const Modal& end = facts.at_exit[static_cast<std::size_t>(group)];
            if (!end.known() || end.is(off)) return;
            row.left.push_back(
                {group, codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(end.possible)))});
        };
        leave(Group::drill_cycle, Meaning::drill_cycle_off);
        leave(Group::nose_compensation, Meaning::compensation_off);
        leave(Group::spindle_mode, Meaning::constant_rpm);
        constexpr std::pair<Meaning, Meaning> turns[] = {{Meaning::spindle_forward, Meaning::spindle_reverse},
                                                         {Meaning::second_forward, Meaning::second_reverse},
                                                         {Meaning::live_tool_on, Meaning::live_tool_reverse}};
        for (std::size_t i = 0; i < std::size(turns); ++i) {
            const Modal& end = facts.turns_at_exit[i];
            if (end.is(Meaning::spindle_forward))
                row.left.push_back({Group::spindle_direction, turns[i].first});
            if (end.is(Meaning::spindle_reverse))
                row.left.push_back({Group::spindle_direction, turns[i].second});
        }
        leave(Group::coolant, Meaning::coolant_off);
        row.safe = row.inherited == 0 && !facts.moves_by_from_unknown;
        row.safe_behind_head = row.inherited != 0 && !differs && !facts.moves_by_from_unknown;
        rows.push_back(std::move(row));
    }
    return rows;
}

} // namespace turnwright::checks
