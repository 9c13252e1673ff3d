// The codes of the safety line stand in another order than in the other sequences.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <unordered_map>

namespace turnwright::checks::rules::safety_line_order {

namespace {

using Order = std::vector<Group>;

/// Group 0 is that of codes without a mode, so 0 ends the row.
Order unpacked(std::uint64_t packed) {
    Order order;
    for (; packed != 0; packed >>= 5) order.push_back(static_cast<Group>(packed & 31));
    return order;
}

Order order_of(const std::vector<Meaning>& line) {
    Order order;
    for (Meaning meaning : line) {
        Group group = codes::group_of(meaning);
        if (std::find(order.begin(), order.end(), group) == order.end()) order.push_back(group);
    }
    return order;
}

/// The members of `order` that `other` has too, in the order of `order`.
Order shared(const Order& order, const Order& other) {
    Order both;
    std::copy_if(order.begin(), order.end(), std::back_inserter(both),
                 [&](Group group) { return std::find(other.begin(), other.end(), group) != other.end(); });
    return both;
}

Order house_order(const LandmarkContext& context) {
    std::vector<Meaning> line;
    for (const std::string& written : context.shop.house.safety_line)
        for (const codes::Code& row : codes::all_codes())
            if (row.written() == written && row.letter == 'G' && row.is_modal() &&
                codes::code_for(context.settings().system, row.meaning) == &row)
                line.push_back(row.meaning);
    return order_of(line);
}

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram &&
           span.facts->safety_order >> 10 != 0; // Three or more
}

std::string written_in(const LandmarkContext& context, const Order& order, const std::vector<Meaning>& line) {
    std::string text;
    for (Group group : order)
        for (Meaning meaning : line)
            if (codes::group_of(meaning) == group) {
                text += (text.empty() ? "" : " ") + code(context.settings(), meaning);
                break;
            }
    return text;
}

void landmarks(const LandmarkContext& context, Report& report) {
    Order wanted = house_order(context);
    bool from_shop = !wanted.empty();
    std::unordered_map<std::uint64_t, std::size_t> habits;
    std::size_t total = 0, with = 0;
    std::uint64_t most = 0;
    for (const Span& span : context.spans())
        if (counts(span)) {
            ++total;
            ++habits[span.facts->safety_order];
        }
    if (!from_shop) {
        for (const auto& [order, count] : habits)
            if (count > with || (count == with && order < most)) {
                most = order;
                with = count;
            }
        if (!keeps_habit(shop::Rule::unset, with, total)) return;
        wanted = unpacked(most);
    }
    for (const Span& span : context.spans()) {
        if (!counts(span) || (!from_shop && span.facts->safety_order == most)) continue;
        const std::vector<Meaning>& line = span.facts->safety_line;
        Order here = unpacked(span.facts->safety_order);
        Order right = shared(wanted, here);
        if (shared(here, wanted) == right || !span.facts->safety_block) continue;
        std::string why = from_shop ? std::string(said("as the shop file does"))
                                    : said("as {} of {} sequences do", with, total);
        report.at(span.place(*span.facts->safety_block))
            .message(said("{} states its codes in another order. Write {}, {}.", name_of(*span.sequence),
                          written_in(context, right, line), why));
    }
}

} // namespace

extern const Check check{
    .id = "safety_line_order",
    .family = Family::house,
    .severity = Severity::hint,
    .title = "Safety line in another order than elsewhere",
    .documentation =
        "Most sequences of this program state their modal codes in one order, and this one in another. The "
        "machine does not mind; a reader who runs an eye down the safety lines does, and overlooks the one "
        "that lacks a code. The order is learned when two of three sequences keep it; `safety_line` under "
        "`[house]` in the shop file fixes it.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
N1 (FACE)
G54 G97 G21 G80 G40 G99
T0101
G00 X50. Z2.
N2 (DRILL)
G54 G97 G21 G80 G40 G99
T0202
G00 X0. Z2.
N3 (GROOVE)
G54 G97 G40 G80 G21 G99
;^^^ hint: safety_line_order
T0303
G00 X50. Z-5.
M30
)"},
            {System::B, R"(
N1 (FACE)
G54 G90 G40 G97
;^^^ hint: safety_line_order
T0101
G00 X2. Z.1
M30
)",
             "[house]\nsafety_line = [\"G54\", \"G97\", \"G40\"]\n"},
            {System::C, R"(
N1 G71 G40 G97 T0101
G00 X50. Z2.
N2 G40 G71 G97 T0202
G00 X50. Z2.
M30
)"},
            {System::A, R"(
N1 (FACE)
G54 G97 G21 G80 G40 G99
T0101
G00 X50. Z2.
N2 (DRILL)
G54 G97 G21 G80 G40 G99
T0202
G97 S800 M03
G00 X0. Z2.
N3 (GROOVE)
G54 G97 G80 G40
T0303
G00 X50. Z-5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::safety_line_order
