// A way home in both axes at once, or Z first, beside a tailstock, where the others go in X first; a way in
// with X first, where the others go in Z first.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::home_order_at_tailstock {

namespace {

enum class Order : std::uint8_t { none, x_first, both, z_first };

struct Return {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr; ///< The first move of the way home
    Order order = Order::none;
};

bool is_home(const Act& act) {
    return is_return(act.motion) && act.moves();
}
/// The way home behind the last cut.
Return return_of(const ToolOfSpan& tool) {
    Return found;
    bool cut = false;
    for (const Act& act : tool.work->acts) {
        if ((act.cuts() || act.threads() || act.taps()) && !act.in_contour) {
            cut = true;
            found = {};
        }
        if (!cut || found.act || !is_home(act)) continue;
        found = {&tool, &act,
                 act.moves_x && act.moves_z ? Order::both
                 : act.moves_x              ? Order::x_first
                                            : Order::z_first};
    }
    return found;
}

/// The first way from home to the part, in one axis and then the other.
Return approach_of(const ToolOfSpan& tool) {
    if (!tool.span->sequence) return {}; // The head goes to the change position
    const Act* first = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool && !act.moves()) first = nullptr;
        if (!act.moves()) continue;
        if (is_home(act)) {
            first = nullptr;
            continue;
        }
        if (act.motion != MotionKind::rapid || (act.moves_x && act.moves_z)) return {};
        if (first && first->moves_x != act.moves_x)
            return {&tool, first, first->moves_x ? Order::x_first : Order::z_first};
        if (first) return {};
        first = &act;
    }
    return {};
}

/// From home the turret has to come past the tailstock in Z before it goes in.
void look_at_approaches(const std::vector<ToolOfSpan>& tools, Report& report) {
    std::vector<Return> x_first;
    int z_first = 0;
    for (const ToolOfSpan& tool : tools) {
        const Return found = approach_of(tool);
        if (found.order == Order::x_first) x_first.push_back(found);
        if (found.order == Order::z_first) ++z_first;
    }
    if (x_first.size() != 1 || z_first < 3) return;
    report.at_letter(x_first[0].tool->place(*x_first[0].act), 'X')
        .message(said("X goes in first here, beside the tailstock: the {} other tools come past it in Z "
                      "first. The turret runs into the centre or the quill. Write Z before X.",
                      z_first));
}

/// Where a tool comes past the tailstock along Z: X there, and the block that has brought it.
struct Passage {
    const ToolOfSpan* tool = nullptr;
    const Act* x = nullptr;
};
Passage passage_of(const ToolOfSpan& tool) {
    if (!tool.span->sequence) return {};
    const Act* x = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool && !act.moves()) x = nullptr;
        if (!act.moves()) continue;
        if (is_home(act)) {
            x = nullptr;
            continue;
        }
        if (act.motion != MotionKind::rapid || act.moves_x == act.moves_z || !known(act.to_x)) return {};
        if (act.moves_z) return x ? Passage{&tool, x} : Passage{};
        x = &act;
    }
    return {};
}

/// All others stay well out in X until Z is there; one goes in before.
void look_at_passages(const std::vector<ToolOfSpan>& tools, Report& report) {
    constexpr float much = 0.75F;
    constexpr std::size_t enough = 3;
    std::vector<Passage> passages;
    for (const ToolOfSpan& tool : tools)
        if (const Passage found = passage_of(tool); found.x) passages.push_back(found);
    if (passages.size() <= enough) return;
    const auto x_of = [](const Passage& one) { return one.x->to_x; };
    const auto nearest =
        std::min_element(passages.begin(), passages.end(),
                         [&](const Passage& one, const Passage& other) { return x_of(one) < x_of(other); });
    float others = HUGE_VALF;
    for (const Passage& one : passages)
        if (&one != &*nearest) others = std::min(others, x_of(one));
    if (x_of(*nearest) >= much * others) return;
    report.at_letter(nearest->tool->place(*nearest->x), 'X')
        .message(
            said("X goes in here before Z is at the part, beside the tailstock: the {} other tools come "
                 "past it farther out. The tool or the turret runs into the centre or the quill. Write Z "
                 "before X.",
                 passages.size() - 1));
}

/// The first rapid behind the last cut.
Return retract_of(const ToolOfSpan& tool) {
    Return found;
    bool cut = false;
    for (const Act& act : tool.work->acts) {
        if ((act.cuts() || act.threads() || act.taps()) && !act.in_contour) {
            cut = act.from_x != 0; // Nothing is clamped by the quill while the centre is drilled
            found = {};
        }
        if (!cut || found.act || act.motion != MotionKind::rapid || act.in_contour || !act.moves()) continue;
        found = {&tool, &act,
                 act.moves_x && act.moves_z ? Order::both
                 : act.moves_x              ? Order::x_first
                                            : Order::z_first};
    }
    return found;
}

/// Off the part along Z alone, so far that it is no clearance.
void look_at_retracts(const std::vector<ToolOfSpan>& tools, std::optional<double> of_file, Report& report) {
    constexpr double far_mm = 15;
    std::vector<Return> out_in_z;
    int x_first = 0;
    for (const ToolOfSpan& tool : tools) {
        const Return found = retract_of(tool);
        x_first += found.order == Order::x_first;
        if (found.order != Order::z_first) continue;
        const auto per_unit = mm_of(*found.act, of_file);
        if (per_unit && known(found.act->to_z) && found.act->to_z * *per_unit > far_mm)
            out_in_z.push_back(found);
    }
    if (out_in_z.size() != 1 || x_first < 2) return;
    report.at_letter(out_in_z[0].tool->place(*out_in_z[0].act), 'Z')
        .message(said("Leaves the part along Z to Z{} beside the tailstock, X still in: the {} other "
                      "tools go out in X first. The tool or the turret runs into the centre or the "
                      "quill. Write X before Z.",
                      written(out_in_z[0].act->to_z), x_first));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    bool tailstock = false;
    for (const ToolOfSpan& tool : tools) tailstock = tailstock || tool.work->has_tailstock;
    if (!tailstock) return;
    look_at_approaches(tools, report);
    look_at_passages(tools, report);
    look_at_retracts(tools, unit_of_file(context, tools), report);
    std::vector<Return> returns;
    int x_first = 0, z_first = 0;
    for (const ToolOfSpan& tool : tools) {
        const Return found = return_of(tool);
        if (!found.act) continue;
        returns.push_back(found);
        if (found.order == Order::x_first) ++x_first;
        if (found.order == Order::z_first) ++z_first;
    }
    for (const Return& found : returns) {
        if (found.order == Order::x_first) continue;
        if (x_first < 2 || x_first * 3 < static_cast<int>(returns.size()) * 2) {
            // Tools before the quill may go in both axes at once; nobody leaves it in Z first, but who always
            // does.
            if (found.order == Order::z_first && z_first == 1 && returns.size() > 2)
                report.at(found.tool->place(*found.act))
                    .message(said(
                        "Z goes home before X beside the tailstock, and none of the {} other ways home does "
                        "so. The turret runs into the centre or the quill. Write X in a block of its own "
                        "before.",
                        returns.size() - 1));
            continue;
        }
        report.at(found.tool->place(*found.act))
            .message(said(
                "{} beside the tailstock: {} of {} ways home go in X first. The turret runs into the "
                "centre or the quill. Write X in a block of its own before.",
                found.order == Order::both ? said("X and Z go home at once") : said("Z goes home before X"),
                x_first, returns.size()));
    }
}

} // namespace

extern const Check check{
    .id = "home_order_at_tailstock",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Way along a tailstock in the wrong order",
    .documentation =
        "The notes speak of a tailstock, a quill or a live centre, and most tools go home in X "
        "first, out of its way. "
        "This one goes in both axes at once, or in Z first: the turret meets the centre, the "
        "quill or the tailstock. "
        "Two of three ways home must keep the order for it to be a habit; a single one in Z "
        "first among three "
        "or more is told as well. So is a single way to the part in X first, where three other tools or more "
        "come past the tailstock in Z first, and a single retract along Z past the face, where two others or "
        "more go out in X.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(TAILSTOCK FORWARD)
G21 G99
N1 T0101
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G00 Z60. M09
;   ^^^^ warning: home_order_at_tailstock
G28 U0.
G28 W0.
N2 T0303
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G00 X80. M09
G28 U0.
G28 W0.
N3 T0505
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G00 X80. M09
G28 U0.
G28 W0.
M30
)"},
            {System::B, R"(
(TAILSTOCK FORWARD BEHIND T1)
G20 G90 G95
N1 T0101 (CENTRE DRILL)
G97 S2000 M03
G00 X0 Z.2
G01 Z-.2 F.003
G00 Z4.
G53 X0
G53 Z0
N2 T0303
G96 S200 M03
G00 Z.1
X2.
G01 Z-2. F.01
G00 X3.
G53 X0
G53 Z0
N3 T0505
G96 S200 M03
G00 Z.1
X2.
G01 Z-2. F.01
G00 X3.
G53 X0
G53 Z0
M30
)"},
            {System::A, R"(
(CHUCK AND LIVE CENTRE, TAILSTOCK STANDS)
G21 G99
N1 T0101
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G28 U0. W0.
;^^^^^^^^^^ warning: home_order_at_tailstock
N2 T0303
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G28 U0.
N3 T0505
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G28 U0.
G28 W0.
M30
)"},
            {System::B, R"(
(M21 QUILL OUT)
G20 G90 G95
N1 T0101
G96 S200 M03
G00 Z.1
X2.
G01 Z-2. F.01
G53 X0
G53 Z0
N2 T0303
G96 S200 M03
G00 Z.1
X2.
G01 Z-2. F.01
G53 Z0
;^^^^^ warning: home_order_at_tailstock
G53 X0
N3 T0505
G96 S200 M03
G00 Z.1
X2.
G01 Z-2. F.01
G53 X0
G53 Z0
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G00 X52. Z1.
G01 X0. F.2
G28 U0. W0.
N2 T0303
G00 X0. Z1.
G01 Z-5. F.1
G28 U0. W0.
M00 (RUN QUILL IN)
N3 T0505
G00 Z1.
X52.
G01 Z-20. F.3
G00 X54.
G28 W0.
;^^^^^^ warning: home_order_at_tailstock
G28 U0.
M30
)"},
            {System::B, R"(
G21 G90 G95
(TAILSTOCK)
N1 T0101
G00 X52. Z1.
G01 Z-20. F.3
G53 Z0
G53 X0
N2 T0303
G00 X52. Z1.
G01 Z-20. F.3
G53 X0 Z0
N3 T0505
G00 X52. Z1.
G01 Z-20. F.3
G53 Z0
G53 X0
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G00 X52. Z1.
G01 Z-20. F.3
G28 U0. W0.
N2 T0303
G00 X52. Z1.
G01 Z-20. F.3
G28 U0.
N3 T0505
G00 X52. Z1.
G01 Z-20. F.3
G28 U0.
M30
)"},
            {System::C, R"(
(TAILSTOCK WITH QUILL)
G71 G90 G95
N1 T0101
G00 X52. Z1.
G01 Z-20. F.3
G28 X0
G28 Z0
N2 T0303
G00 X52. Z1.
G01 Z-20. F.3
G28 X0
G28 Z0
M30
)"},
            {System::B, R"(
(CHUCK AND LIVE CENTRE, TAILSTOCK STANDS)
G21 G90 G95
N1 T0101
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G28 X60.
G28 Z1.
N2 T0303
G96 S200 M03
G00 X50.
;   ^^^^ warning: home_order_at_tailstock
Z1.
G01 Z-10. F.3
G28 X60.
G28 Z1.
N3 T0505
G96 S200 M03
G00 Z-30.
X52.
G01 X40. F.1
G28 X60.
G28 Z-30.
N4 T0707
G97 S600 M03
G00 Z-8.
X52.
G01 X48. F.1
G28 X60.
G28 Z-8.
M30
)"},
            {System::B, R"(
(CHUCK AND LIVE CENTRE, TAILSTOCK STANDS)
G21 G90 G95
N1 T0101
G96 S200 M03
G00 Z1.
X52.
G01 Z-20. F.3
G28 X60.
G28 Z1.
N2 T0303
G96 S200 M03
G00 Z1.
X50.
G01 Z-10. F.3
G28 X60.
G28 Z1.
N3 T0505
G96 S200 M03
G00 Z-30.
X52.
G01 X40. F.1
G28 X60.
G28 Z-30.
N4 T0707
G97 S600 M03
G00 Z-8.
X52.
G01 X48. F.1
G28 X60.
G28 Z-8.
M30
)"},
            {System::A, R"(
(LIVE CENTRE)
G21 G99
G00 X300.
Z40.
N1 T0101
G97 S600 M03
G00 Z3.
X54.
G01 Z-20. F.3
G00 X300.
Z40.
N2 T0303
G97 S600 M03
G00 Z6.
X54.
G01 Z-20. F.3
G00 X300.
Z40.
N3 T0505
G97 S600 M03
G00 Z-14.
X54.
G01 X40. F.1
G00 X300.
Z40.
M30
)"},
            // A centre that turns with the part.
            {System::A, R"(
(3 BACKEN, MITLAUFENDE SPITZE)
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z1.
G01 Z-20. F.3
G00 X80. M09
G28 U0.
G28 W0.
N2 T0303
G96 S200 M03
G00 X52. Z1.
G01 Z-20. F.3
G00 X80. M09
G28 W0.
;^^^^^^ warning: home_order_at_tailstock
G28 U0.
N3 T0505
G96 S200 M03
G00 X52. Z1.
G01 Z-20. F.3
G00 X80. M09
G28 U0.
G28 W0.
M30
)"},
            // Each comes past the centre at X100., and one has gone in before.
            {System::B, R"(
(LIVE CENTRE)
G21 G90 G95
T0101
G97 S800 M03
G00 X100.
Z2.
X40.
G01 Z-60. F0.2
G00 X100.
Z200.
T0303
G97 S800 M03
G00 X100.
X40.
;^^^ warning: home_order_at_tailstock
Z1.
G01 Z-60. F0.2
G00 X100.
Z200.
T0505
G97 S800 M03
G00 X100.
Z-20.
X42.
G01 X35. F0.1
G00 X100.
Z200.
T0707
G97 S800 M03
G00 X100.
Z-40.
X42.
G01 X35. F0.1
G00 X100.
Z200.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::home_order_at_tailstock
