// One value that breaks a row: pecks that go deeper, passes that go further in, but for one.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <cmath>
#include <utility>

namespace turnwright::checks::rules::value_out_of_row {

namespace {

/// Of three nobody can tell which one is wrong.
constexpr std::size_t enough = 4;

struct Step {
    const Act* act; ///< Where the value is written
    double value;   ///< X as radius, or Z
};
struct Row {
    char letter = 'Z';
    TableText does; ///< "pecks go deeper"
    std::vector<Step> steps;
};

bool goes_one_way(const std::vector<Step>& steps, std::size_t without, double way) {
    const Step* last = nullptr;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (i == without) continue;
        if (last && (steps[i].value - last->value) * way < 0) return false;
        last = &steps[i];
    }
    return true;
}

/// The only step without which the row goes one way; of two beside each other the one that lies farther from
/// what stands around it.
std::optional<std::size_t> odd_one(const std::vector<Step>& steps) {
    if (steps.size() < enough) return std::nullopt;
    int up = 0;
    for (std::size_t i = 1; i < steps.size(); ++i)
        up += steps[i].value > steps[i - 1].value ? 1 : steps[i].value < steps[i - 1].value ? -1 : 0;
    if (up == 0 || goes_one_way(steps, steps.size(), up)) return std::nullopt;
    std::optional<std::size_t> odd;
    double farthest = -1;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (!goes_one_way(steps, i, up)) continue;
        const double before = steps[i == 0 ? 1 : i - 1].value;
        const double behind = steps[i + 1 == steps.size() ? i - 1 : i + 1].value;
        const double off = std::abs(steps[i].value - (before + behind) / 2);
        if (off > farthest) odd = i;
        farthest = std::max(farthest, off);
    }
    return odd;
}

/// The only step between two others without which all are one distance apart, and that one slip has made of
/// where it belongs.
struct Uneven {
    std::size_t at;
    double meant, distance;
};
std::optional<Uneven> uneven_one(const std::vector<Step>& steps, double per_value) {
    constexpr double same = 2e-4; // Values of acts are floats
    if (steps.size() < enough + 1) return std::nullopt;
    for (std::size_t odd = 1; odd + 1 < steps.size(); ++odd) {
        const double distance = (steps[odd + 1].value - steps[odd - 1].value) / 2;
        const double meant = steps[odd - 1].value + distance;
        bool even = std::abs(distance) > same && std::abs(meant - steps[odd].value) > same;
        for (std::size_t i = 1; even && i < steps.size(); ++i)
            if (i != odd && i != odd + 1)
                even = std::abs(steps[i].value - steps[i - 1].value - distance) < same;
        const auto as_written = [&](double value) { return std::round(value * per_value * 1e4) / 1e4; };
        if (even && slip_between(as_written(steps[odd].value), as_written(meant)) != Slip::none)
            return Uneven{odd, meant, std::abs(distance * per_value)};
    }
    return std::nullopt;
}

class Rows {
public:
    Rows(const FileContext& context, const ToolOfSpan& tool, Report& report)
        : context_(context), tool_(tool), report_(report) {}

    void look() {
        for (const Act& act : tool_.work->acts) {
            if (act.calls_tool || act.deleted || is_return(act.motion) ||
                act.motion == MotionKind::contour_cycle) {
                for (Row* row : all_) end(*row);
                sides_.clear();
                continue;
            }
            if (act.turns_part) { // Another side of it
                if (passes_.steps.size() > 1) sides_.push_back(passes_.steps);
                for (Row* row : all_) end(*row);
                if (!act.moves()) continue;
            }
            cycle(act);
            thread(act);
            if (!act.moves() || act.in_contour) continue;
            peck(act);
            plunge(act);
            groove(act);
            stair(act);
            pass(act);
            was_rapid_ = act.motion == MotionKind::rapid;
        }
        if (passes_.steps.size() > 1) sides_.push_back(passes_.steps);
        for (Row* row : all_) end(*row);
        compare_sides();
    }

private:
    /// Flats that are cut in the same passes at each angle of C, but for one pass.
    void compare_sides() {
        const std::vector<std::vector<Step>> sides = std::exchange(sides_, {});
        const std::vector<Step>* odd = nullptr;
        const Step* pass = nullptr;
        double meant = 0;
        std::size_t differ = 0, count = 0;
        for (std::size_t i = 1; i < sides.size(); ++i) {
            if (sides[i].size() != sides[0].size()) return;
            for (std::size_t k = 0; k < sides[i].size(); ++k) {
                if (sides[i][k].value == sides[0][k].value) continue;
                ++count;
                if (odd != &sides[i]) ++differ;
                odd = &sides[i];
                pass = &sides[i][k];
                meant = sides[0][k].value;
            }
        }
        if (count != 1 || differ != 1) return;
        report_.at_letter(tool_.place(*pass->act), 'X')
            .message(
                said("This pass goes to {} and the same pass at the other angle of C to {}: the flats come "
                     "out of unequal depth. Is a digit wrong in one of them?",
                     spoken_x(pass->value, context_.settings()), spoken_x(meant, context_.settings())));
    }

    void peck(const Act& act) {
        const bool feeds = act.motion == MotionKind::feed;
        if ((!feeds && act.motion != MotionKind::rapid) || act.moves_x || act.from_x != 0) return end(pecks_);
        // A feed that begins behind a rapid goes in, whatever its sign says.
        const bool in = known(act.from_z) && known(act.to_z) && (act.to_z < act.from_z || was_rapid_);
        if (feeds && in && !act.by_w && !act.incremental) pecks_.steps.push_back({&act, act.to_z});
    }

    void plunge(const Act& act) {
        const bool feeds = act.motion == MotionKind::feed;
        const bool stays = !act.moves_z || (known(act.to_z) && act.to_z == act.from_z);
        if ((!feeds && act.motion != MotionKind::rapid) || !stays || !known(act.from_z)) return end(plunges_);
        if (!feeds || !known(act.from_x) || !known(act.to_x) || act.by_u || act.incremental) return;
        // Back through the groove to just short of its bottom, and on from there.
        const auto& acts = tool_.work->acts;
        const Act* next = &act + 1 < acts.data() + acts.size() ? &act + 1 : nullptr;
        const bool comes_back = was_rapid_ && !plunges_.steps.empty() &&
                                act.to_x > plunges_.steps.back().value && next &&
                                next->motion == MotionKind::feed && !next->moves_z && next->to_x < act.to_x;
        if (act.to_z < 0 && act.to_x < act.from_x && !comes_back) plunges_.steps.push_back({&act, act.to_x});
    }

    /// Plunges of one depth, each from its own place in Z.
    void groove(const Act& act) {
        if (act.motion == MotionKind::rapid && act.moves_z)
            to_z_word_ = act.by_w || act.incremental ? nullptr : &act;
        if (act.motion != MotionKind::feed || !known(act.to_x) || !known(act.from_z)) return;
        if (act.moves_z || act.to_x >= act.from_x || act.from_z >= 0) return;
        if (!grooves_.steps.empty() && act.to_x != groove_x_) end(grooves_);
        groove_x_ = act.to_x;
        if (!to_z_word_ || to_z_word_->to_z != act.from_z) return end(grooves_);
        if (grooves_.steps.empty() || grooves_.steps.back().act != to_z_word_)
            grooves_.steps.push_back({to_z_word_, act.from_z});
    }

    /// Plunges beside each other that open a shape step by step.
    void stair(const Act& act) {
        if (act.motion != MotionKind::feed || !known(act.to_x) || !known(act.from_z) || !known(act.from_x))
            return;
        if (act.moves_z || act.by_u || act.incremental || act.to_x >= act.from_x || act.from_z >= 0)
            return end(stairs_);
        const double way = act.from_z - stair_z_;
        const bool beside = std::abs(way) > 0 && std::abs(way) < stair_share * act.to_x;
        if (!stairs_.steps.empty() && (!beside || (stairs_.steps.size() > 1 && way * stair_way_ <= 0)))
            end(stairs_);
        stairs_.steps.push_back({&act, act.to_x});
        stair_z_ = act.from_z;
        stair_way_ = way;
    }

    void cycle(const Act& act) {
        if (act.motion != MotionKind::single_cycle) {
            if (act.moves()) end(cycles_);
            return;
        }
        const bool turns = act.meaning == Meaning::single_turning;
        if (!turns && act.meaning != Meaning::single_facing) return end(cycles_);
        if (turns ? act.moves_z : act.moves_x) end(cycles_);
        const float value = turns ? act.to_x : act.to_z;
        if (act.by_u || act.by_w || act.incremental || !known(value)) return end(cycles_);
        if (turns ? !act.moves_x : !act.moves_z) return;
        cycles_.letter = turns ? 'X' : 'Z';
        cycles_.steps.push_back({&act, value});
    }

    /// Passes of one threading cycle, to one Z.
    void thread(const Act& act) {
        if (act.motion != MotionKind::single_cycle || act.meaning != Meaning::single_threading) {
            if (act.moves()) end(threads_);
            return;
        }
        if (!threads_.steps.empty() && act.to_z != thread_z_) end(threads_);
        thread_z_ = act.to_z;
        if (act.by_u || act.by_w || act.incremental || !known(act.to_x)) return end(threads_);
        if (act.moves_x) threads_.steps.push_back({&act, act.to_x});
    }

    void pass(const Act& act) {
        if (act.motion == MotionKind::rapid && act.moves_x && !act.moves_z) to_x_ = &act;
        if (act.motion != MotionKind::feed || act.moves_x || !to_x_) return;
        if (!known(act.from_x) || act.from_x != to_x_->to_x || to_x_->by_u || to_x_->incremental) return;
        if (!known(act.from_z) || !known(act.to_z) || act.to_z >= act.from_z) return;
        if (!passes_.steps.empty() && (act.from_z != from_z_ || act.to_z != to_z_)) end(passes_);
        from_z_ = act.from_z;
        to_z_ = act.to_z;
        if (act.from_x != 0) passes_.steps.push_back({to_x_, act.from_x});
        to_x_ = nullptr;
    }

    std::string spoken_value(const Row& row, double value) const {
        return row.letter == 'X' ? spoken_x(value, context_.settings()) : "Z" + written(value);
    }

    void end(Row& row) {
        const bool few = &row == &stairs_ && row.steps.size() < enough + 1;
        if (const auto odd = few ? std::nullopt : odd_one(row.steps)) {
            const auto& steps = row.steps;
            const std::string value = spoken_value(row, steps[*odd].value);
            const std::string before = *odd > 0 ? spoken_value(row, steps[*odd - 1].value) : "";
            const std::string behind =
                *odd + 1 < steps.size() ? spoken_value(row, steps[*odd + 1].value) : "";
            report_.at_letter(tool_.place(*steps[*odd].act), row.letter)
                .message(said("{} breaks its row: {} step by step, and it stands {}{}{}. Is a digit, "
                              "the point or the sign wrong?",
                              value, row.does,
                              before.empty()   ? said("before ") + behind
                              : behind.empty() ? said("behind ") + before
                                               : said("between ") + before,
                              before.empty() || behind.empty() ? "" : said(" and "),
                              before.empty() || behind.empty() ? "" : behind));
        } else if (const auto uneven =
                       uneven_one(row.steps, row.letter == 'X' ? x_as_written(1, context_.settings()) : 1)) {
            report_.at_letter(tool_.place(*row.steps[uneven->at].act), row.letter)
                .severity(Severity::information)
                .message(said("{} breaks its row: all other steps from one to the next are {}, and {} "
                              "would lie between {} and {}. Is a digit wrong?",
                              spoken_value(row, row.steps[uneven->at].value),
                              spoken(std::round(uneven->distance * 1e4) / 1e4),
                              spoken_value(row, uneven->meant),
                              spoken_value(row, row.steps[uneven->at - 1].value),
                              spoken_value(row, row.steps[uneven->at + 1].value)));
        }
        row.steps.clear();
    }

    const FileContext& context_;
    const ToolOfSpan& tool_;
    Report& report_;
    Row pecks_{'Z', "the pecks around it go deeper", {}},
        plunges_{'X', "the plunges around it go further in", {}},
        cycles_{'X', "the passes around it go one way", {}},
        passes_{'X', "the passes around it go one way", {}},
        grooves_{'Z', "the grooves around it go one way", {}},
        threads_{'X', "the passes around it go one way", {}};
    /// As far from each other as a staircase is wide, at most, of its radius.
    static constexpr double stair_share = 0.25;
    Row stairs_{'X', "the plunges beside it go one way", {}};
    Row* const all_[7] = {&pecks_, &plunges_, &cycles_, &passes_, &grooves_, &threads_, &stairs_};
    std::vector<std::vector<Step>> sides_; ///< Passes at each angle of C
    double stair_z_ = 0, stair_way_ = 0;
    const Act* to_z_word_ = nullptr;
    float groove_x_ = 0, thread_z_ = 0;
    const Act* to_x_ = nullptr;
    float from_z_ = 0, to_z_ = 0;
    bool was_rapid_ = false;
};

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) Rows(context, tool, report).look();
}

} // namespace

extern const Check check{
    .id = "value_out_of_row",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One value that breaks its row",
    .documentation =
        "Pecks on the centre go deeper step by step, plunges at one Z go further in, and passes of one "
        "length, of a thread, too, go to smaller X, or to larger ones: four values or more, and without one "
        "of them the row would go "
        "one way. The point slipped in it, a digit or the minus is lost, or two digits changed places: the "
        "drill goes far too deep in one peck, the pass takes all at once.",
    .file = file,
    .examples =
        {
            // Passes of a thread.
            {System::B, R"(
G21 G90 G95
T0707
G97 S850 M03
G00 X34. Z6.
G78 X29.2 Z-28.5 F1.5
X28.8
X28.5
X28.3
X26.18
;^^^^^ warning: value_out_of_row
X28.16
G00 X120.
M30
)"},
            {System::A, R"(
G20 G99
T0707
G97 S850 M03
G00 X1.3 Z.2
G92 X1.21 Z-.9 F.0625
X1.19
X1.18
X1.175
X1.173
X1.173
G00 Z.2313
G92 X1.21 Z-.9 F.0625
X1.19
X1.18
X1.175
X1.173
G00 X3.
M30
)"},
            // Flats in two passes each.
            {System::C, R"(
(M14 C ON, M15 C OFF, M33 MILL ON, M35 MILL OFF)
G70 G90 G94
M14
T0404
G97 S1800 M33
G00 X1.4 Z.5 C0
X.87
G01 Z-.8 F9.
G00 X1.2
Z.5
X.75
G01 Z-.8
G00 X1.4
Z.5
C180.
X.87
G01 Z-.8
G00 X1.2
Z.5
X.57
;^^^ warning: value_out_of_row
G01 Z-.8
G00 X1.4
M35
M30
)"},
            {System::B, R"(
(M14 C ON, M15 C OFF, M33 MILL ON, M35 MILL OFF)
G21 G90 G94
M14
T0404
G97 S1800 M33
G00 X40. Z5. C0.
X22.
G01 Z-20. F220.
G00 X30.
Z5.
X19.
G01 Z-20.
G00 X40.
Z5.
C180.
X22.
G01 Z-20.
G00 X30.
Z5.
X19.
G01 Z-20.
G00 X40.
M35
M30
)"},
            // Grooves of one depth, and a staircase.
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X62.
Z-13.
G01 X54. F0.08
G00 X62.
Z-19.
G01 X54.
G00 X62.
Z-52.
;^^^^ warning: value_out_of_row
G01 X54.
G00 X62.
Z-31.
G01 X54.
G00 X62.
Z-37.
G01 X54.
G00 X62.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S800 M03
G00 X62.
Z-13.
G01 X54. F0.08
G00 X62.
Z-19.
G01 X54.
G00 X62.
Z-28.
;^^^^ information: value_out_of_row
G01 X54.
G00 X62.
Z-31.
G01 X54.
G00 X62.
Z-37.
G01 X54.
G00 X62.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S1000 M03
G00 X33. Z-32.
G01 X16. F0.08
G00 X33.
Z-30.5
G01 X20.3
G00 X33.
Z-29.
G01 X13.4
;   ^^^^^ warning: value_out_of_row
G00 X33.
Z-27.
G01 X26.4
G00 X33.
Z-25.
G01 X28.5
G00 X33.
M30
)"},
            // Grooves far from each other, each of its own depth, and a row with a narrower last step.
            {System::C, R"(
G71 G90 G95
T0303
G97 S1000 M03
G00 X33. Z-52.
G01 X16. F0.08
G00 X33.
Z-40.5
G01 X20.3
G00 X33.
Z-29.
G01 X13.4
G00 X33.
Z-17.
G01 X26.4
G00 X33.
Z-5.
G01 X28.5
G00 X33.
Z-60.
G01 X28.5
G00 X33.
Z-63.
G01 X28.5
G00 X33.
Z-66.
G01 X28.5
G00 X33.
Z-68.
G01 X28.5
G00 X33.
M30
)"},
            {System::A, R"(
G20 G99
T0606
G97 S1600 M03
G00 X0 Z.1
G01 Z-.4 F.005
G00 Z.1
Z-.38
G01 Z-7.
;   ^^^^ warning: value_out_of_row
G00 Z.1
Z-.68
G01 Z-.95
G00 Z.1
Z-.93
G01 Z-1.2
G00 Z.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0606
G97 S800 M03
G00 X0 Z2.
G01 Z-10. F.1
G00 Z2.
Z-9.
G01 Z-20.
G00 Z2.
Z-19.
G01 Z30.
;   ^^^^ warning: value_out_of_row
G00 Z2.
Z-29.
G01 Z-40.
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G20 X46. Z-30. F.2
X42.
X83.
;^^^ warning: value_out_of_row
X34.
X30.
G00 X60. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
X46.
G01 Z-30. F.2
X50.
G00 Z2.
X24.
;^^^ warning: value_out_of_row
G01 Z-30.
X50.
G00 Z2.
X38.
G01 Z-30.
X50.
G00 Z2.
X34.
G01 Z-30.
X50.
G00 Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S800 M03
G00 X2.1 Z-1.5
G01 X1.7 F.003
G00 X2.1
X1.72
G01 X.13
;   ^^^^ warning: value_out_of_row
G00 X2.1
X1.32
G01 X.9
G00 X2.1
X.92
G01 X.5
G00 X2.1
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X0 Z2.
G01 Z-10. F.1
G00 Z2.
Z-9.
G01 Z-20.
G00 Z2.
Z-19.
G01 Z-30.
G00 Z2.
G01 Z-30. F.3
G00 Z2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G77 X46. Z-30. F.2
X42.
X38.
X44. Z-15.
X40.
X36.
X32.
G00 X60. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X2.1 Z-1.5
G01 X1.7 F.003
G00 X2.1
Z-1.55
G01 X1.9 Z-1.5
X1.3
G00 X2.1
M30
)"},
            // Out for the chips, and back to just short of the bottom.
            {System::B, R"(
G20 G90 G95
T0707
G96 S350 M03
G00 X3.1 Z-.5625
G01 X2.79 F.02
X2.55 F.004
X2.
G00 X2.2
G04 P500
G01 X2.02 F.01
X1.3 F.003
X1.08 F.002
G00 X3.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::value_out_of_row
