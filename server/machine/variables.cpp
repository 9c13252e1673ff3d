// A tree of fixed fan-out over the variables' numbers; a change copies the few nodes above the variable that
// another state holds as well.
#include "machine/variables.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <utility>
#include <vector>

namespace turnwright::machine {

namespace {
constexpr int bits = 5; ///< 32 ways at each level
constexpr unsigned ways = 1u << bits;
} // namespace

struct Variables::Node {
    std::uint32_t present = 0; ///< A bit a way
    std::vector<Value> values; ///< At the lowest level: of the ways that are present
    std::vector<std::shared_ptr<Node>> below;

    bool has(unsigned way) const { return present >> way & 1u; }
    std::size_t index(unsigned way) const {
        return static_cast<std::size_t>(std::popcount(present & ((1u << way) - 1)));
    }
};

namespace {

using Node = Variables::Node;
using NodePointer = std::shared_ptr<Node>;

unsigned way_at(int number, int level) {
    return static_cast<unsigned>(number) >> (bits * level) & (ways - 1);
}

bool reaches(int levels, int number) {
    return static_cast<std::uint64_t>(number) >> (bits * (levels + 1)) == 0;
}

Node& own(NodePointer& node) {
    if (!node)
        node = std::make_shared<Node>();
    else if (node.use_count() > 1)
        node = std::make_shared<Node>(*node);
    return *node;
}

void put(NodePointer& at, int level, int number, Value value) {
    Node& node = own(at);
    const unsigned way = way_at(number, level);
    const auto index = static_cast<std::ptrdiff_t>(node.index(way));
    const bool is_new = !node.has(way);
    node.present |= 1u << way;
    if (level == 0) {
        if (is_new) node.values.insert(node.values.begin() + index, value);
        node.values[static_cast<std::size_t>(index)] = value;
        return;
    }
    if (is_new) node.below.insert(node.below.begin() + index, nullptr);
    put(node.below[static_cast<std::size_t>(index)], level - 1, number, value);
}

/// The same tree with more levels above it.
NodePointer lifted(NodePointer root, int levels, int wanted) {
    for (; root && levels < wanted; ++levels) {
        auto above = std::make_shared<Node>();
        above->present = 1;
        above->below.push_back(std::move(root));
        root = std::move(above);
    }
    return root;
}

bool same(const NodePointer& a, const NodePointer& b, int level) {
    if (a == b) return true;
    if (!a || !b || a->present != b->present) return false;
    if (level == 0) return a->values == b->values;
    for (std::size_t i = 0; i < a->below.size(); ++i)
        if (!same(a->below[i], b->below[i], level - 1)) return false;
    return true;
}

/// A tree with what the variables hold that are not in it.
struct Side {
    const NodePointer& node;
    bool locals_unknown = false, commons_unknown = false;
    bool has(unsigned way) const { return node && node->has(way); }
    Value value(unsigned way, std::int64_t number) const {
        if (has(way)) return node->values[node->index(way)];
        const bool unknown = number <= Variables::last_local ? locals_unknown : commons_unknown;
        return Value::unknown(unknown ? Why::computed : Why::never_set);
    }
    Side below(unsigned way) const {
        static const NodePointer none;
        return {has(way) ? node->below[node->index(way)] : none, locals_unknown, commons_unknown};
    }
};

/// Whichever side holds more than the other stays the same object.
template <class Meet>
NodePointer merged(Side a, Side b, int level, std::int64_t from, const Meet& meet) {
    if (a.node == b.node) return a.node;
    auto made = std::make_shared<Node>();
    made->present = (a.node ? a.node->present : 0) | (b.node ? b.node->present : 0);
    bool as_a = a.node && made->present == a.node->present, as_b = b.node && made->present == b.node->present;
    for (unsigned way = 0; way < ways; ++way) {
        if (!made->has(way)) continue;
        const std::int64_t number = from + (std::int64_t{way} << (bits * level));
        if (level == 0) {
            const std::size_t i = made->values.size();
            made->values.push_back(meet(a, b, way, number));
            as_a = as_a && made->values[i] == a.node->values[i];
            as_b = as_b && made->values[i] == b.node->values[i];
        } else {
            const std::size_t i = made->below.size();
            made->below.push_back(merged(a.below(way), b.below(way), level - 1, number, meet));
            as_a = as_a && made->below[i] == a.node->below[i];
            as_b = as_b && made->below[i] == b.node->below[i];
        }
    }
    return as_a ? a.node : as_b ? b.node : made;
}

/// Of the numbers from `from` to before `end`, those below `border` or the others.
NodePointer part_of(const NodePointer& node, int level, std::int64_t from, std::int64_t border, bool below) {
    if (!node) return nullptr;
    const std::int64_t width = std::int64_t{1} << (bits * level), end = from + width * ways;
    if (end <= border) return below ? node : nullptr;
    if (from >= border) return below ? nullptr : node;
    auto made = std::make_shared<Node>();
    for (unsigned way = 0; way < ways; ++way) {
        if (!node->has(way)) continue;
        const std::int64_t at = from + width * way;
        if (level == 0) {
            if ((at < border) != below) continue;
            made->values.push_back(node->values[node->index(way)]);
        } else {
            NodePointer kept = part_of(node->below[node->index(way)], level - 1, at, border, below);
            if (!kept) continue;
            made->below.push_back(std::move(kept));
        }
        made->present |= 1u << way;
    }
    return made->present == 0 ? nullptr : made;
}

} // namespace

Value Variables::value(int number) const {
    const bool unknown = number <= last_local ? locals_unknown_ : commons_unknown_;
    const Value missing = Value::unknown(unknown ? Why::computed : Why::never_set);
    if (number < 0 || !root_ || !reaches(levels_, number)) return missing;
    const Node* node = root_.get();
    for (int level = levels_;; --level) {
        const unsigned way = way_at(number, level);
        if (!node->has(way)) return missing;
        if (level == 0) return node->values[node->index(way)];
        node = node->below[node->index(way)].get();
    }
}

void Variables::set(int number, Value to) {
    if (number < 0 || value(number) == to) return;
    int levels = levels_;
    while (!reaches(levels, number)) ++levels;
    root_ = lifted(std::move(root_), levels_, levels);
    levels_ = levels;
    put(root_, levels_, number, to);
}

Variables Variables::unknown() {
    Variables variables;
    variables.locals_unknown_ = variables.commons_unknown_ = true;
    return variables;
}

bool Variables::operator==(const Variables& other) const {
    if (locals_unknown_ != other.locals_unknown_ || commons_unknown_ != other.commons_unknown_) return false;
    if (root_ == other.root_) return true;
    const int levels = std::max(levels_, other.levels_);
    return same(lifted(root_, levels_, levels), lifted(other.root_, other.levels_, levels), levels);
}

Variables join(const Variables& a, const Variables& b) {
    Variables out;
    out.levels_ = std::max(a.levels_, b.levels_);
    out.locals_unknown_ = a.locals_unknown_ || b.locals_unknown_;
    out.commons_unknown_ = a.commons_unknown_ || b.commons_unknown_;
    const NodePointer left = lifted(a.root_, a.levels_, out.levels_);
    const NodePointer right = lifted(b.root_, b.levels_, out.levels_);
    out.root_ = merged(Side{left, a.locals_unknown_, a.commons_unknown_},
                       Side{right, b.locals_unknown_, b.commons_unknown_}, out.levels_, 0,
                       [](const Side& left_side, const Side& right_side, unsigned way, std::int64_t number) {
                           return join(left_side.value(way, number), right_side.value(way, number));
                       });
    return out;
}

Variables combine(const Variables& locals, const Variables& commons) {
    constexpr std::int64_t border = Variables::last_local + 1;
    Variables out;
    out.locals_unknown_ = locals.locals_unknown_;
    out.commons_unknown_ = commons.commons_unknown_;
    out.levels_ = std::max(locals.levels_, commons.levels_);
    const NodePointer mine =
        part_of(lifted(locals.root_, locals.levels_, out.levels_), out.levels_, 0, border, true);
    const NodePointer theirs =
        part_of(lifted(commons.root_, commons.levels_, out.levels_), out.levels_, 0, border, false);
    out.root_ = merged(Side{mine}, Side{theirs}, out.levels_, 0,
                       [](const Side& left, const Side& right, unsigned way, std::int64_t number) {
                           return (left.has(way) ? left : right).value(way, number);
                       });
    return out;
}

} // namespace turnwright::machine
