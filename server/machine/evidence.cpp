// Which G-code system a program is written in, from what only one of them means.

#include "machine/evidence.h"
#include "language/language.h"
#include "machine/note_words.h"

#include <algorithm>
#include <tuple>

namespace turnwright::machine {

using codes::System;
using syntax::ItemKind;

SystemEvidence& SystemEvidence::operator+=(const SystemEvidence& other) {
    for_a += other.for_a;
    for_b += other.for_b;
    for_c += other.for_c;
    return *this;
}

SystemEvidence& SystemEvidence::operator-=(const SystemEvidence& other) {
    for_a -= other.for_a;
    for_b -= other.for_b;
    for_c -= other.for_c;
    return *this;
}

namespace {

/// Letters of a block as a bit each.
using Letters = std::uint32_t;
constexpr Letters bit(char letter) {
    return Letters{1} << (letter - 'A');
}
constexpr Letters coordinates = bit('X') | bit('Z');
constexpr Letters shifts = bit('X') | bit('Z') | bit('U') | bit('W');

constexpr Letters drilling = bit('R') | bit('Z') | bit('X');

struct Row {
    int code;      ///< G number
    Letters needs; ///< At least one of them stands in the block (0: no matter)
    Letters lacks; ///< None of them stands in the block
    int a, b, c;   ///< Weight for each system
    TableText text;
    bool foreign = true; ///< Where the weight for a system is 0, nobody writes it so in that system
};

// Trade facts, common practice, no source.
constexpr Row rows[] = {
    {50, bit('S'), 0, 2, 0, 0, "G50 with S is the speed limit of system A"},
    {92, bit('S'), coordinates, 0, 2, 2, "G92 with S is the speed limit of systems B and C"},
    {92, bit('X'), bit('S'), 2, 0, 0, "G92 with X is the threading cycle of system A", false},
    // In B and C they stand beside a drilling cycle.
    {99, 0, drilling, 3, 0, 0, "G99 is feed per revolution in system A", false},
    {98, 0, drilling, 3, 0, 0, "G98 is feed per minute in system A", false},
    {94, 0, coordinates, 0, 2, 2, "G94 without X or Z is feed per minute in systems B and C"},
    {95, 0, 0, 0, 3, 3, "G95 is feed per revolution in systems B and C"},
    {90, 0, shifts, 0, 2, 2, "G90 without X or Z is absolute in systems B and C"},
    {91, 0, 0, 0, 3, 3, "G91 is incremental in systems B and C"},
    {90, coordinates, 0, 1, 1, 1, ""},
    {32, 0, 0, 3, 0, 0, "G32 is threading in system A"},
    {33, 0, 0, 0, 3, 3, "G33 is threading in systems B and C"},
    {77, coordinates, bit('P') | bit('Q') | bit('K'), 0, 2, 0,
     "G77 with X or Z is the turning cycle of system B"},
    {77, bit('K'), 0, 0, 0, 2, "G77 with K is grooving in X of system C", false},
    {77, bit('P') | bit('Q'), bit('K'), 0, 0, 2, "G77 with P and Q is grooving in X of system C", false},
    // A thread has P, or the depth of its thread.
    {76, bit('Q'), bit('P') | bit('X') | bit('U') | bit('K') | bit('D') | bit('I'), 0, 0, 2,
     "G76 with Z and Q alone is drilling with pecks of system C", false},
    {78, coordinates, bit('P') | bit('Q') | bit('K') | bit('D'), 0, 2, 0,
     "G78 with X or Z is the threading cycle of system B"},
    {78, bit('K') | bit('D'), 0, 0, 0, 3, "G78 with K or D is threading in many passes of system C", false},
    {78, bit('P'), bit('K') | bit('D'), 0, 0, 1, "G78 with P is threading in many passes of system C", false},
    {72, bit('P'), shifts | bit('D') | bit('R') | bit('I') | bit('K'), 0, 0, 2,
     "G72 with P and Q alone is the finishing cycle of system C", false},
    {70, bit('P'), 0, 1, 1, 0, "G70 with P and Q is the finishing cycle of systems A and B", false},
    {79, coordinates, 0, 0, 3, 0, "G79 is the facing cycle of system B"},
    {70, 0, bit('P') | bit('Q'), 0, 0, 3, "G70 without P and Q is inch in system C"},
    {71, 0, bit('P') | bit('Q') | bit('U') | bit('W') | bit('D') | bit('R'), 0, 0, 3,
     "G71 without P and Q is millimetre in system C"},
    {20, 0, shifts, 2, 2, 0, "G20 without X or Z is inch in systems A and B"},
    {21, 0, shifts, 2, 2, 0, "G21 without X or Z is millimetre in systems A and B"},
    {20, coordinates, 0, 0, 0, 2, "G20 with X or Z is the turning cycle of system C"},
    {21, coordinates, 0, 0, 0, 2, "G21 with X or Z is the threading cycle of system C"},
    {24, coordinates, 0, 0, 0, 3, "G24 is the facing cycle of system C"},
};

/// Where G92 has no F and its Z lies in front of the part.
constexpr Row datum_row{92,
                        coordinates,
                        bit('S') | bit('F'),
                        0,
                        2,
                        2,
                        "G92 with X and Z and no F sets the datum in systems B and C",
                        false};

/// What a note says weighs more than codes that several systems have.
constexpr Row note_rows[] = {
    {-1, 0, 0, 20, 0, 0, "a note names system A", false},
    {-1, 0, 0, 0, 20, 0, "a note names system B", false},
    {-1, 0, 0, 0, 0, 20, "a note names system C", false},
};
/// "G-CODE SYSTEM C", or "SYSTEM C" at the beginning of a note: other things have systems, too.
const Row* system_named(std::string_view note) {
    std::string last;
    bool first = true, names = false;
    const Row* row = nullptr;
    each_word(note, [&](std::string_view word) {
        if (names && word.size() == 1 && word[0] >= 'A' && word[0] <= 'C') row = &note_rows[word[0] - 'A'];
        const bool system = word == "SYSTEM" || word == "SISTEMA" || word == "SYSTEME";
        names = system && (first || last == "CODE" || last == "G-CODE" || last == "GCODE");
        first = false;
        last = word;
    });
    return row;
}

/// "G92 X150. Z200.": no thread ends in front of the part.
bool sets_datum(std::span<const syntax::Item> items, Letters letters) {
    if ((letters & datum_row.lacks) || (letters & coordinates) != coordinates) return false;
    return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.kind == ItemKind::word && item.letter == 'Z' && item.value > 0;
    });
}

template <class Found>
void look(const syntax::Run& run, const syntax::Block& block, Found&& found) {
    auto items = run.items_of(block);
    Letters letters = 0;
    bool has_code = false;
    for (const syntax::Item& item : items) {
        if (!item.is_word() || item.letter < 'A' || item.letter > 'Z') continue;
        letters |= bit(item.letter);
        has_code |= item.letter == 'G';
    }
    if (block.has_note)
        for (const syntax::Item& item : items)
            if (item.kind == ItemKind::note)
                if (const Row* row = system_named(syntax::note_text(run.text_of(item)))) found(*row, item);
    // U and W move by increments in system A only.
    if (!has_code) return;
    for (const syntax::Item& item : items) {
        if (item.kind != ItemKind::word || item.letter != 'G') continue;
        for (const Row& row : rows) {
            if (item.value != row.code) continue;
            if (row.needs != 0 && !(letters & row.needs)) continue;
            if (letters & row.lacks) continue;
            found(row.code == 92 && sets_datum(items, letters) ? datum_row : row, item);
        }
    }
}

System system_of(const Row& row) {
    return row.a >= row.b && row.a >= row.c ? System::A : row.b >= row.c ? System::B : System::C;
}

} // namespace

std::optional<ForeignSign> foreign_sign(const syntax::Run& run, const syntax::Block& block, System system) {
    std::optional<ForeignSign> sign;
    std::size_t g_codes = 0;
    bool has_feed = false;
    for (const syntax::Item& item : run.items_of(block)) {
        g_codes += item.is_word() && item.letter == 'G';
        has_feed = has_feed || (item.is_word() && item.letter == 'F');
    }
    look(run, block, [&](const Row& row, const syntax::Item& item) {
        const int here = system == System::A ? row.a : system == System::B ? row.b : row.c;
        if (here != 0 || !row.foreign || sign) return;
        // Beside another code, or with no F, it is no cycle.
        if (row.needs == coordinates && (g_codes > 1 || !has_feed)) return;
        sign = ForeignSign{&item, row.text, system_of(row)};
    });
    return sign;
}

SystemEvidence evidence_in(const syntax::Run& run) {
    SystemEvidence evidence;
    for (const syntax::Block& block : run.blocks)
        look(run, block, [&](const Row& row, const syntax::Item&) {
            evidence.for_a += static_cast<std::uint32_t>(row.a);
            evidence.for_b += static_cast<std::uint32_t>(row.b);
            evidence.for_c += static_cast<std::uint32_t>(row.c);
        });
    return evidence;
}

std::vector<EvidenceLine> list_evidence(const syntax::Forest& forest, const text::Buffer& buffer) {
    std::vector<EvidenceLine> lines;
    std::vector<const Row*> seen;
    for (std::size_t run = 0; run < forest.size(); ++run) {
        const syntax::Run& blocks = *forest.run(run);
        for (std::size_t block = 0; block < blocks.blocks.size(); ++block)
            look(blocks, blocks.blocks[block], [&](const Row& row, const syntax::Item&) {
                if (row.text.empty() || std::find(seen.begin(), seen.end(), &row) != seen.end()) return;
                seen.push_back(&row);
                lines.push_back(
                    {buffer.first_line_of_leaf(run) + block, system_of(row), std::string(row.text)});
            });
        if (seen.size() >= 8) break; // Enough to show; a long program repeats itself.
    }
    return lines;
}

Settings choose_settings(const shop::Machine& machine, const SystemEvidence& evidence) {
    Settings settings;
    settings.machine = machine;
    if (machine.system) {
        settings.system = *machine.system;
        settings.system_from = SystemFrom::shop_file;
        return settings;
    }
    auto [a, b, c] = std::tuple(evidence.for_a, evidence.for_b, evidence.for_c);
    if (a == b && b == c) return settings; // No evidence: A is the commonest (common practice, no source).
    settings.system_from = SystemFrom::program;
    settings.system = a >= b && a >= c ? System::A : b >= c ? System::B : System::C;
    return settings;
}

namespace {

/// A lathe of middle size, for times that are told as "about": common practice, no source.
constexpr double rapid_x_mm_per_min = 12000, rapid_z_mm_per_min = 16000, tool_change_seconds = 1.5,
                 spindle_ramp_rpm_per_second = 1000, way_home_seconds = 1.2; // 200 to 300 mm

bool is_stated(const shop::Machine& machine, codes::Group group) {
    if (group == codes::Group::units && machine.units) return true;
    return std::any_of(machine.power_on.begin(), machine.power_on.end(),
                       [&](codes::Meaning meaning) { return codes::group_of(meaning) == group; });
}

} // namespace

Settings choose_settings(const shop::Machine& machine, const SystemEvidence& evidence,
                         const SignCounts& signs) {
    Settings settings = choose_settings(machine, evidence);
    settings.assumed = choose_assumptions(settings.system, signs);
    for (auto [group, part] : {std::pair{codes::Group::units, &Assumptions::units},
                               {codes::Group::feed_mode, &Assumptions::feed_mode},
                               {codes::Group::spindle_mode, &Assumptions::spindle_mode},
                               {codes::Group::plane, &Assumptions::plane},
                               {codes::Group::distance, &Assumptions::distance}})
        if (is_stated(machine, group)) settings.assumed.*part = {};
    if (machine.no_point != shop::NoPoint::unknown) {
        settings.assumed.no_point = shop::NoPoint::unknown;
        settings.assumed.few_without_point = settings.assumed.by_sense = false;
    }
    if (machine.x_told) settings.assumed.x_radius = false;
    if (settings.assumed.x_radius) settings.machine.x = shop::XReading::radius;
    if (machine.tool_digits) settings.assumed.stations_alone = false;
    if (settings.assumed.stations_alone) settings.machine.tool_digits = 1;
    for (const auto& [number, does] : settings.assumed.noted) {
        if (number < 0) continue; // Of no M code
        shop::CodeEffect effect;
        effect.does = {does};
        effect.by_note = true;
        settings.machine.effects.emplace(std::pair('M', number),
                                         std::move(effect)); // The shop file comes first
    }
    settings.assumed_way_home_seconds = way_home_seconds;
    if (machine.rapid_x_mm_per_min && machine.rapid_z_mm_per_min && machine.tool_change_seconds)
        return settings;
    shop::Machine& rates = settings.assumed_rates.emplace(settings.machine);
    if (!rates.rapid_x_mm_per_min) rates.rapid_x_mm_per_min = rapid_x_mm_per_min;
    if (!rates.rapid_z_mm_per_min) rates.rapid_z_mm_per_min = rapid_z_mm_per_min;
    if (!rates.tool_change_seconds) rates.tool_change_seconds = tool_change_seconds;
    if (!rates.spindle_ramp_rpm_per_second) rates.spindle_ramp_rpm_per_second = spindle_ramp_rpm_per_second;
    return settings;
}

} // namespace turnwright::machine
