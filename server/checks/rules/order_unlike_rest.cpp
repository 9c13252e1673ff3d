// A sequence whose blocks stand in another order than in all the others: two of them have changed places.
//
// What such an order does at the machine: common practice, no source.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::order_unlike_rest {

namespace {

/// What a sequence goes through, where it stands: place among its acts; -1: not in it.
struct Order {
    const ToolOfSpan* tool = nullptr;
    double last_call = 0; ///< P of the program that it calls behind its last cut; 0: none
    int last_call_at = -1;
    int call = -1, speed = -1, approach = -1, cut = -1, last_cut = -1, way_home = -1;
    const Act* act(int at) const { return &tool->work->acts[static_cast<std::size_t>(at)]; }
};

/// The slide of a second spindle alone cuts nothing.
bool is_cut(const Acts& work, const Act& act) {
    if (!act.moves() && slide_word(work, act)) return false;
    const bool moves_at_rapid = act.motion == MotionKind::none || act.motion == MotionKind::rapid ||
                                machine::is_return(act.motion) || act.motion == MotionKind::from_reference;
    return !moves_at_rapid && !act.in_contour;
}

Order order_of(const ToolOfSpan& tool) {
    Order order{&tool};
    int at = -1;
    for (const Act& act : tool.work->acts) {
        ++at;
        const bool first_call = act.calls_tool && order.call < 0;
        if (first_call) order.call = at;
        if (order.call < 0 && act.moves()) order.speed = -1; // Of what moves there
        if (order.speed < 0 && act.gives_speed && act.spindle == machine::Spindle::main) order.speed = at;
        if (const ActWord* number = act.calls_program ? tool.work->word(act, 'P') : nullptr) {
            order.last_call = number->number;
            order.last_call_at = at;
        }
        if (order.call < 0) continue;
        if (order.approach < 0 && act.motion == MotionKind::rapid && act.moves()) order.approach = at;
        if (is_cut(*tool.work, act)) {
            if (order.cut < 0) order.cut = at;
            order.last_cut = at;
        }
        if (order.cut >= 0 && act.moves() && !is_cut(*tool.work, act) && !act.in_contour) order.way_home = at;
    }
    return order;
}

/// One thing before another in all sequences but one.
struct Pair {
    int Order::*before;
    int Order::*behind;
    std::size_t least_others; ///< That keep it
};

using Orders = std::vector<Order>;

/// The only one that has them the other way round; nullptr: none, or it is a habit.
const Order* odd_one(const Orders& orders, const Pair& pair) {
    const Order* odd = nullptr;
    std::size_t kept = 0;
    for (const Order& order : orders) {
        if (order.*pair.before < 0 || order.*pair.behind < 0) continue;
        if (order.*pair.before <= order.*pair.behind) {
            ++kept;
            continue;
        }
        if (odd) return nullptr;
        odd = &order;
    }
    return odd && kept >= pair.least_others ? odd : nullptr;
}

Report::Entry at(Report& report, const Order& order, int place) {
    return report.at(order.tool->place(*order.act(place)));
}

void look_at_speed(const Orders& orders, Report& report) {
    if (const Order* odd = odd_one(orders, {&Order::call, &Order::speed, 3}))
        at(report, *odd, odd->speed)
            .message(said("S{} is stated in front of the call of T{:02}; all others here call their tool "
                          "first. The turret turns with the spindle at the new speed, and whoever starts at "
                          "the tool call has none. Have two blocks changed places?",
                          spoken(odd->act(odd->speed)->speed), odd->tool->station));
}

/// All others end with the call of one program, the way home mostly.
void look_at_call(const Orders& orders, Report& report) {
    const double usual =
        orders[0].last_call == orders[1].last_call ? orders[0].last_call : orders[2].last_call;
    const Order* odd = nullptr;
    for (const Order& order : orders) {
        if (order.last_call_at < order.last_cut || order.last_call == 0) return;
        if (order.last_call == usual) continue;
        if (odd) return;
        odd = &order;
    }
    if (odd && odd->way_home < odd->last_call_at)
        at(report, *odd, odd->last_call_at)
            .message(said("T{:02} ends with the call of P{}; all others here end with that of P{}. What that "
                          "one does, the way home mostly, is not done, and the other runs with this tool. Is "
                          "P{} meant?",
                          odd->tool->station, spoken(odd->last_call), spoken(usual), spoken(usual)));
}

void look_at_cut(const Orders& orders, Report& report) {
    if (const Order* odd = odd_one(orders, {&Order::approach, &Order::cut, 1}))
        at(report, *odd, odd->cut)
            .message(said("T{:02} cuts here before any rapid has brought it to the part, and the rapid comes "
                          "behind: from the place of the change it would go through everything at the feed. "
                          "Have two blocks changed places?",
                          odd->tool->station));
    if (orders.empty()) return;
    const Order* odd = nullptr;
    std::size_t kept = 0;
    for (const Order& order : orders) {
        if (order.last_cut < 0) continue;
        // A program that is called there may go home.
        if (order.way_home > order.last_cut || order.last_call_at > order.last_cut) {
            ++kept;
        } else {
            if (odd) return;
            odd = &order;
        }
    }
    // Behind the last tool the program may end where it stands.
    if (!odd || kept < 2 || odd == &orders.back()) return;
    // A tool may feed its way out; a cycle behind the way out has changed places with it.
    const Act *cut = odd->act(odd->last_cut), *before = cut == odd->act(0) ? nullptr : cut - 1;
    if (!machine::is_cycle(cut->motion) || !before || !before->moves() || is_cut(*odd->tool->work, *before))
        return;
    // The same tool goes on behind a stop, to measure mostly.
    if (odd[1].tool->station == odd->tool->station) return;
    at(report, *odd, odd->last_cut)
        .message(said("T{:02} ends with this cut, and no move takes it away from the part; all others here "
                      "go away behind their last cut. Have two blocks changed places, or is one lost?",
                      odd->tool->station));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(std::span(tools), [&](std::span<const ToolOfSpan> program) {
        if (program[0].span->program->is_subprogram) return;
        Orders orders;
        for (const ToolOfSpan& tool : program) {
            if (!tool.span->sequence || tool.station <= 0) continue;
            orders.push_back(order_of(tool));
        }
        look_at_cut(orders, report);
        if (orders.size() < 3) return;
        look_at_speed(orders, report);
        look_at_call(orders, report);
    });
}

} // namespace

extern const Check check{
    .id = "order_unlike_rest",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Blocks of a sequence in another order than everywhere else",
    .documentation =
        "All sequences of the program but one go through the same steps in the same order: tool call, speed, "
        "approach, cut, way home. In this one two of them stand the other way round, or it ends with a cut "
        "and nothing goes away behind it: mostly two blocks have changed places when "
        "lines were moved, or one is lost. It is told only where at least two or three others agree and no "
        "second one differs.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
T0202
G97 S900 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
T0303
G97 S700 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
G97 S600 M03
;^^^^^^^^^^^ information: order_unlike_rest
T0404
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M30
)"},
            // The cycle stands in front of its approach.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 X0 Z0
M01
T0202
G97 S600 M03
G78 X19. Z-22. F1.5
;^^^^^^^^^^^^^^^^^^ information: order_unlike_rest
G00 X24. Z5.
G28 X0 Z0
M01
T0303
G97 S700 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 X0 Z0
M30
)"},
            // The way out and the cut have changed places.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
G00 X200. Z100.
M01
T0202
G97 S600 M03
G00 X0 Z5.
G00 X200. Z100.
G81 Z-22. F.15
;^^^^^^^^^^^^^ information: order_unlike_rest
M01
T0303
G97 S700 M03
G00 X52. Z1.
G01 Z-30. F0.2
G00 X200. Z100.
M30
)"},
            // The way out is fed.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 X0 Z0
M01
T0202
G97 S600 M03
G00 X20. Z5.
G01 Z-20. F0.1
X18.
Z100. F2.
M01
T0303
G97 S700 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 X0 Z0
M30
)"},
            // Another program than the way home.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
M98 P8900
M01
T0404
G97 S900 M03
G00 X52. Z-20.
G01 X40. F0.1
X52. F0.4
M98 P8001
;^^^^^^^^^ information: order_unlike_rest
M01
T0606
G97 S700 M03
G00 X52. Z1.
M98 P8001
M98 P8900
M30
O8001
G78 X49. Z-20. F1.5
M99
O8900
G28 X0 Z0
M99
)"},
            // Two of four: a habit.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
G97 S900 M03
T0202
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
T0303
G97 S700 M03
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M01
G97 S600 M03
T0404
G00 X52. Z1.
G01 Z-30. F0.2
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // The slide of the second spindle comes before the blade.
            {System::A, R"(
G20 G99
T0101
G97 S1000 M03
G00 X1.2 Z.1
G01 Z-1. F.006
G28 U0
G28 W0
T0202
G97 S1000 M03
G00 X1.1 Z.1
G01 Z-1. F.006
G28 U0
G28 W0
T0505
G97 S1000 M03
G00 A.2
G98 G01 A-1.15 F30.
G99
G00 Z-1.765
X1.35
G01 X.34 F.003
G00 X1.35
G28 U0
G28 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules::order_unlike_rest
