#include "machine/arc_signs.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace turnwright::machine {
namespace {

using syntax::Item;
using syntax::ItemKind;
using From = ArcPlace::From;

constexpr ArcPlace nowhere{From::unknown, 0};

/// Of one block, what moves it or makes another of its words.
struct BlockWords {
    const Item *x = nullptr, *z = nullptr, *u = nullptr, *w = nullptr, *i = nullptr, *k = nullptr,
               *r = nullptr;
    bool arc = false, line = true, moves = false, forgets = false, cycle = false, stands = false;
    bool incremental = false, odd = false;
    /// G90, G94, G20 and their kind with an axis are cycles in one system and something else in another.
    bool may_be_single = false;

    explicit BlockWords(std::span<const Item> items) {
        for (const Item& item : items) take(item);
    }

private:
    void take(const Item& item) {
        if (item.kind == ItemKind::tape_mark) forgets = true;
        if (item.kind == ItemKind::comma_word || item.kind == ItemKind::comma_computed) odd = true;
        if (!item.is_word()) return;
        const auto keep = [&](const Item*& place) {
            odd = odd || place;
            place = &item;
        };
        switch (item.letter) {
        case 'X':
            return keep(x);
        case 'Z':
            return keep(z);
        case 'U':
            return keep(u);
        case 'W':
            return keep(w);
        case 'I':
            return keep(i);
        case 'K':
            return keep(k);
        case 'R':
            return keep(r);
        case 'A': // The angle of a line: the other axis follows from it
        case 'C':
        case 'H':
        case 'Y':
            odd = true;
            return;
        case 'O':
            forgets = true;
            return;
        case 'G':
            return take_g(item);
        case 'M':
            for (const int code : {2, 30, 97, 98, 99}) forgets = forgets || item.value == code;
            return;
        default:
            return;
        }
    }
    void take_g(const Item& item) {
        if (item.kind != ItemKind::word) {
            forgets = true;
            return;
        }
        const auto is_one_of = [&](std::initializer_list<int> codes) {
            return std::find(codes.begin(), codes.end(), item.value) != codes.end();
        };
        if (is_one_of({2, 3})) arc = true;
        if (item.value != 1) line = false;
        if (is_one_of({0, 1, 2, 3, 32, 33})) moves = true;
        // The tool goes back to where it stood.
        if (is_one_of({70, 71, 72, 73, 74, 75, 76})) cycle = true;
        if (item.value == 4) stands = true;
        if (is_one_of(
                {17, 19, 10, 28, 30, 50, 51, 52, 53, 65, 66, 67, 68, 69, 83, 84, 85, 86, 87, 88, 89, 92}))
            forgets = true;
        if (item.value >= 54 && item.value < 60) forgets = true;
        if (is_one_of({20, 21, 24, 77, 78, 79, 90, 94})) may_be_single = true;
        if (item.value == 91) incremental = true;
    }
};

/// Follows the words of X and Z through a text, with no regard to jumps.
class ArcReader {
public:
    ArcReader(ArcPlace x, ArcPlace z) : x_(x), z_(z) {}
    template <class Found>
    void read(const syntax::Run& run, Found&& found) {
        for (std::size_t at = 0; at < run.blocks.size(); ++at) {
            const syntax::Block& block = run.blocks[at];
            if (block.item_count == 0) continue;
            const BlockWords words(run.items_of(block));
            incremental_ = incremental_ || words.incremental;
            if (words.forgets) {
                x_ = z_ = nowhere;
                continue;
            }
            if (words.stands || words.cycle || !(words.x || words.z || words.u || words.w)) continue;
            const ArcPlace to_x = moved(x_, words.x, words.u), to_z = moved(z_, words.z, words.w);
            TextArc arc{at, x_, z_, to_x, to_z, number(words.i), number(words.k), number(words.r)};
            // U and W are the way wherever the arc begins.
            if (!words.x) go_by(arc.from_x, arc.to_x, words.u);
            if (!words.z) go_by(arc.from_z, arc.to_z, words.w);
            if (words.odd || (words.may_be_single && !words.moves)) {
                x_ = z_ = nowhere;
                continue;
            }
            const bool computed = is_computed(words.i) || is_computed(words.k) || is_computed(words.r);
            x_ = to_x;
            z_ = to_z;
            const bool round = arc.i || arc.k || arc.r;
            if (!computed && round == words.arc && (words.arc || words.line)) found(arc);
        }
    }
    const ArcPlace& x() const { return x_; }
    const ArcPlace& z() const { return z_; }
    bool incremental() const { return incremental_; }

private:
    static bool is_computed(const Item* item) {
        return item && (item->kind != ItemKind::word || item->odd_number);
    }
    static std::optional<double> number(const Item* item) {
        return item && !is_computed(item) ? std::optional(item->value) : std::nullopt;
    }
    static void go_by(ArcPlace& from, ArcPlace& to, const Item* by) {
        if (is_computed(by)) return;
        from = {From::zero, 0};
        to = {From::zero, by ? by->value : 0};
    }
    static ArcPlace moved(const ArcPlace& from, const Item* to, const Item* by) {
        if (is_computed(to) || is_computed(by) || (to && by)) return nowhere;
        if (to) return {From::zero, to->value};
        if (by && from.from != From::unknown) return {from.from, from.value + by->value};
        return from;
    }

    ArcPlace x_, z_;
    bool incremental_ = false;
};

/// So many arcs, or chamfers, tell it: one alone may be a slip.
constexpr std::uint32_t enough = 2;

enum class Tells : std::uint8_t { nothing, later, radius, diameter, line_by_radius, line_by_diameter };

/// Ends of an arc and its centre agree to this part of the radius, or to what points are rounded to.
bool agree(double one, double other, double size) {
    constexpr double part = 1e-3, rounding = 2e-3;
    return std::abs(one - other) <= std::max(part * size, std::min(rounding, size / 50));
}

/// Edges are broken by 45 degrees: common practice, no source.
Tells told_by_line(double dx, double dz) {
    constexpr double largest = 3; // In either unit
    if (dz == 0 || dz > largest) return Tells::nothing;
    if (agree(dx, dz, dz)) return Tells::line_by_radius;
    return agree(dx, 2 * dz, dz) ? Tells::line_by_diameter : Tells::nothing;
}

Tells told_by(const TextArc& arc) {
    const auto waits = [](const ArcPlace& from, const ArcPlace& to) {
        return from.from != From::unknown && to.from != From::unknown && from.from != to.from;
    };
    const bool later = waits(arc.from_x, arc.to_x) || waits(arc.from_z, arc.to_z);
    const auto dx = arc.from_x.to(arc.to_x), dz = arc.from_z.to(arc.to_z);
    if (!dx || !dz) return later ? Tells::later : Tells::nothing;
    if (*dx == 0) return Tells::nothing;
    if (!arc.i && !arc.k && !arc.r) return told_by_line(std::abs(*dx), std::abs(*dz));
    bool radius = false, diameter = false;
    if (arc.i || arc.k) {
        const double i = arc.i.value_or(0), k = arc.k.value_or(0), size = std::hypot(i, k);
        if (size == 0) return Tells::nothing;
        radius = agree(std::hypot(*dx - i, *dz - k), size, size);
        diameter = agree(std::hypot(*dx / 2 - i, *dz - k), size, size);
    } else {
        // A quarter of a circle; others close either way. A chord longer than the circle is none.
        const double r = std::abs(*arc.r);
        if (r == 0) return Tells::nothing;
        const bool quarter = agree(std::abs(*dz), r, r);
        radius = quarter && agree(std::abs(*dx), r, r);
        diameter = std::hypot(*dx, *dz) > 2 * r * 1.001 && std::hypot(*dx / 2, *dz) <= 2 * r * 1.001;
    }
    if (radius == diameter) return Tells::nothing;
    return radius ? Tells::radius : Tells::diameter;
}

} // namespace

ArcPlace ArcPlace::resolved(const ArcPlace& entry) const {
    if (from != From::entry) return *this;
    if (entry.from == From::unknown) return entry;
    return {entry.from, entry.value + value};
}

std::optional<double> ArcPlace::to(const ArcPlace& end) const {
    if (from == From::unknown || from != end.from) return std::nullopt;
    return end.value - value;
}

ArcRun arcs_in(const syntax::Run& run) {
    ArcRun out;
    ArcReader reader({}, {});
    reader.read(run, [&](const TextArc& arc) {
        switch (told_by(arc)) {
        case Tells::radius:
            ++out.by_radius;
            break;
        case Tells::diameter:
            ++out.by_diameter;
            break;
        case Tells::later:
        case Tells::line_by_radius: // Counted with those of all runs
        case Tells::line_by_diameter:
            out.waiting.push_back(arc);
            break;
        case Tells::nothing:
            break;
        }
    });
    out.x = reader.x();
    out.z = reader.z();
    out.incremental = reader.incremental();
    return out;
}

namespace {

struct ArcsTell {
    std::uint32_t radius = 0, diameter = 0, lines_by_radius = 0, lines_by_diameter = 0;
    bool incremental = false;
};
ArcsTell told_by_all(const std::vector<ArcRun>& runs) {
    ArcsTell all;
    ArcPlace x = nowhere, z = nowhere;
    for (const ArcRun& run : runs) {
        all.incremental = all.incremental || run.incremental;
        all.radius += run.by_radius;
        all.diameter += run.by_diameter;
        for (TextArc arc : run.waiting) {
            for (ArcPlace* place : {&arc.from_x, &arc.to_x}) *place = place->resolved(x);
            for (ArcPlace* place : {&arc.from_z, &arc.to_z}) *place = place->resolved(z);
            const Tells told = told_by(arc);
            all.radius += told == Tells::radius;
            all.diameter += told == Tells::diameter;
            all.lines_by_radius += told == Tells::line_by_radius;
            all.lines_by_diameter += told == Tells::line_by_diameter;
        }
        x = run.x.resolved(x);
        z = run.z.resolved(z);
    }
    return all;
}

} // namespace

bool arcs_tell_radius(const std::vector<ArcRun>& runs) {
    const ArcsTell all = told_by_all(runs);
    if (all.incremental || all.diameter > 0) return false;
    return all.radius >= enough || (all.lines_by_radius >= enough && all.lines_by_diameter == 0);
}

bool arcs_tell_diameter(const std::vector<ArcRun>& runs) {
    const ArcsTell all = told_by_all(runs);
    if (all.incremental || all.radius > 0) return false;
    return all.diameter >= enough || (all.lines_by_diameter >= enough && all.lines_by_radius == 0);
}

std::optional<ArcAt> first_radius_arc(const syntax::Forest& forest) {
    ArcReader reader(nowhere, nowhere);
    std::optional<ArcAt> first, line;
    std::uint32_t arcs = 0;
    for (std::size_t run = 0; run < forest.size() && arcs < enough; ++run)
        reader.read(*forest.run(run), [&](const TextArc& arc) {
            const Tells told = told_by(arc);
            arcs += told == Tells::radius;
            if (!first && told == Tells::radius) first = {run, arc.block};
            if (!line && told == Tells::line_by_radius) line = {run, arc.block};
        });
    return arcs >= enough || !line ? first : line;
}

} // namespace turnwright::machine
