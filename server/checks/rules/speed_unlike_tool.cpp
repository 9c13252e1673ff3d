// A speed that no tool of the sort takes, that the other tools of the program contradict, or that is read in
// the wrong mode.
//
// The bounds: common practice, no source.
#include "checks/noted_words.h"
#include "checks/others.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace turnwright::checks::rules::speed_unlike_tool {

namespace {

using Kind = NamedTool::Kind;

enum class Sort : std::uint8_t { turning, plunge, drill, ream, tap, thread };

struct Speed {
    const ToolOfSpan* tool;
    const ToolOfSpan* given_in; ///< The head, perhaps
    const Act* at;              ///< Gives the S
    Sort sort;
    double m_per_min;
    double other_m_per_min;      ///< With S read in the other mode; 0: not known
    double diameter_mm;          ///< The largest that is cut; 0: not known
    bool high_speed_steel, hard; ///< By a note
    bool surface = false;        ///< Constant surface speed
    bool inch = false;
    bool slow_by_note = false; ///< Known when asked for
    bool per_rev = false;      ///< Its feed; by the minute a mill goes
    double mm_per_min = 0;     ///< Of a thread under rpm, along it
};
/// Wide, so that a habit is no mistake (common practice, no source).
struct Bounds {
    double least, most;            ///< m/min
    double of_turning, to_turning; ///< Of the slowest and to the fastest turning tool of the program
    std::string_view title;
};
Bounds bounds_of(const Speed& speed) {
    switch (speed.sort) {
    case Sort::drill:
        if (speed.high_speed_steel) return {2, 140, 0.02, 1.5, said("a drill of high speed steel")};
        return speed.hard ? Bounds{10, 500, 0.05, 2, said("a carbide drill")}
                          : Bounds{2, 450, 0.02, 1.7, said("a drill")};
    case Sort::ream:
        return {1, 120, 0.005, 1, said("a reamer")};
    case Sort::tap:
        return {0.8, 90, 0.003, 0.8, said("a tap")};
    case Sort::thread:
        return {1.5, 320, 0.05, 1.9, said("a threading tool")};
    case Sort::plunge:
        return {3, 1800, 0.12, 3, said("a grooving tool")};
    case Sort::turning:
        break;
    }
    return {4, 1800, 0.22, 4, said("a turning tool")};
}

bool is_plunging(const Act& act) {
    // Its Z is where the last plunge goes in.
    if (act.motion == MotionKind::peck_cycle && act.meaning != Meaning::peck_face) return true;
    return act.moves_x && act.from_z == act.to_z &&
           (act.motion == MotionKind::feed || act.motion == MotionKind::peck_cycle) && act.from_z < 0;
}

/// A blade goes so far sideways in its groove.
constexpr double most_beside_plunges_mm = 5;

/// Of a cut whose length is not known more than any blade goes sideways.
double length_of(const Act& act) {
    const bool plain = act.motion == MotionKind::feed && known(act.from_x) && known(act.to_x) &&
                       known(act.from_z) && known(act.to_z);
    return plain ? std::hypot(act.to_x - act.from_x, act.to_z - act.from_z) : 1e9;
}

/// The last S of a program's head: its first tool turns by it.
const Act* speed_of_head(const ToolOfSpan* head) {
    const Act* giver = nullptr;
    if (head)
        for (const Act& act : head->work->acts)
            if (act.gives_speed && act.speed > 0) giver = &act;
    return giver;
}

/// The size of a hole by its fit, "25H7" or "9 H7": a tool on the centre that brings it is a reamer.
std::optional<double> size_by_fit(const FileContext& context, std::span<const ToolOfSpan> tools,
                                  const ToolOfSpan& tool) {
    if (tool.own->kind != Kind::none || tool.listed->kind != Kind::none) return std::nullopt;
    const std::vector<ToolOfSpan> all(tools.begin(), tools.end());
    for (const std::string& note : notes_about(context, all, tool).own) {
        const std::size_t h = note.find('H');
        if (h == std::string::npos || h + 1 >= note.size() || note[h + 1] < '6' || note[h + 1] > '9')
            continue;
        std::size_t end = h;
        while (end > 0 && note[end - 1] == ' ') --end;
        std::size_t begin = end;
        while (begin > 0 && (text::is_digit(note[begin - 1]) || note[begin - 1] == '.')) --begin;
        if (const auto size = plain_number(std::string_view(note).substr(begin, end - begin))) return size;
    }
    return std::nullopt;
}

/// Along the centre at feed, and at feed out again, as a reamer goes.
bool goes_as_reamer(const ToolOfSpan& tool, const Act& act) {
    const auto& acts = tool.work->acts;
    const Act* next = &act + 1 < acts.data() + acts.size() ? &act + 1 : nullptr;
    const auto on_centre = [](const Act& some) {
        return some.motion == MotionKind::feed && some.from_x == 0 && some.to_x == 0 && some.moves_z &&
               known(some.from_z) && known(some.to_z);
    };
    return on_centre(act) && act.to_z < act.from_z && act.to_z < 0 && next && on_centre(*next) &&
           next->to_z >= act.from_z;
}

/// How deep the drills before have gone on the centre; 0: none has.
double drilled_before(std::span<const ToolOfSpan> tools, const ToolOfSpan& tool) {
    double drilled = 0;
    for (const ToolOfSpan& before : tools) {
        if (&before == &tool) break;
        if (before.span->program != tool.span->program) continue;
        for (const Act& act : before.work->acts)
            if (act.from_x == 0 && known(act.to_z) &&
                (act.drills() || (act.motion == MotionKind::feed && act.to_x == 0)))
                drilled = std::min<double>(drilled, act.to_z);
    }
    return drilled;
}

/// What the tools before have bored last: along Z at feed, and off the wall inward. In mm, 0: nothing.
double bored_before(std::span<const ToolOfSpan> tools, const ToolOfSpan& tool, double per_unit) {
    double bored = 0;
    for (const ToolOfSpan& before : tools) {
        if (&before == &tool) break;
        if (before.span->program != tool.span->program) continue;
        const auto& acts = before.work->acts;
        for (std::size_t i = 0; i + 1 < acts.size(); ++i) {
            const Act &cut = acts[i], &off = acts[i + 1];
            if (cut.motion == MotionKind::feed && cut.moves_z && cut.from_x == cut.to_x && known(cut.to_x) &&
                cut.to_z < 0 && off.moves_x && !off.moves_z && known(off.to_x) && off.to_x < cut.to_x &&
                off.to_x > 0)
                bored = 2 * cut.to_x * per_unit;
        }
    }
    return bored;
}

/// Of passes of a thread in a subprogram: the S of the sequence that calls it.
std::pair<const ToolOfSpan*, const Act*> speed_of_caller(std::span<const ToolOfSpan> tools,
                                                         const ToolOfSpan& called) {
    const auto& acts = called.work->acts;
    const auto pass = std::find_if(acts.begin(), acts.end(), [](const Act& act) { return act.threads(); });
    if (!called.span->program->is_subprogram || pass == acts.end() || pass->speed <= 0) return {};
    for (const ToolOfSpan& tool : tools) {
        const Act* giver = nullptr;
        for (const Act& act : tool.work->acts) {
            if (act.gives_speed) giver = &act;
            if (act.calls_program && giver && giver->speed == pass->speed &&
                tool.span->program != called.span->program)
                return {&tool, giver};
        }
    }
    return {};
}

/// Each S with the cuts behind it. `head`: that of the program, in front of its first tool.
void add_speeds(const FileContext& context, std::span<const ToolOfSpan> tools, const ToolOfSpan& tool,
                const ToolOfSpan* head, std::optional<double> of_file, std::vector<Speed>& speeds) {
    if (tool.is(Kind::stop) || tool.own->live || tool.listed->live) return;
    const Act* giver = speed_of_head(head);
    const ToolOfSpan* given_in = head;
    if (!giver) std::tie(given_in, giver) = speed_of_caller(tools, tool);
    Speed now{};
    bool open = false, in_inch = false;
    double along_mm = 0; ///< All its cuts that are no plunges
    int plunges = 0;
    const Act* from_unknown = nullptr; ///< The S of a plunge that comes from somewhere farther out
    auto close = [&] {
        if (open) {
            const bool along = along_mm > (plunges >= 2 ? most_beside_plunges_mm : 0);
            if (now.sort == Sort::turning && (!along || tool.is(Kind::groove) || tool.is(Kind::part_off)))
                now.sort = Sort::plunge;
            if (now.diameter_mm > 0) {
                const double s = giver->speed * (in_inch ? 0.3048 : 1);
                now.other_m_per_min = now.surface ? motion::surface_for(giver->speed, now.diameter_mm) : s;
                if (!now.surface) now.m_per_min = motion::surface_for(giver->speed, now.diameter_mm);
            }
            now.inch = in_inch;
            speeds.push_back(now);
        }
        open = false;
        along_mm = plunges = 0;
    };
    for (const Act& act : tool.work->acts) {
        if (act.gives_speed && act.speed > 0) {
            close();
            giver = &act;
            given_in = &tool;
        }
        const bool cuts =
            act.cuts() || act.threads() || act.taps() || (act.in_contour && act.motion == MotionKind::feed);
        const auto per_unit = mm_of(act, of_file);
        if (!giver || !cuts || !per_unit || act.speed != giver->speed || act.stopped()) continue;
        if (!act.surface_speed() && !act.rpm()) continue;
        if (open && act.surface_speed() != now.surface) close();
        const bool on_centre = act.from_x == 0 && act.to_x == 0;
        const bool holes = act.drills() || act.taps() || (on_centre && act.moves_z);
        // Down the hole that a drill before has made a long one goes slowly.
        if (on_centre && act.motion == MotionKind::feed && tool.is(Kind::drill) && act.to_z < 0 &&
            act.to_z >= drilled_before(tools, tool))
            continue;
        if (holes && act.surface_speed()) continue; // Told as that
        if (!open) now = {&tool, given_in, giver, Sort::turning, 0, 0, 0, false, false, act.surface_speed()};
        in_inch = *per_unit > 1;
        now.per_rev = act.per_rev();
        if (act.threads() && !act.taps()) {
            now.sort = Sort::thread;
            if (!now.surface && act.feed > 0) now.mm_per_min = act.feed * *per_unit * act.speed;
        }
        double diameter = 0;
        if (holes) {
            const NamedTool* round = tool.that([&](const NamedTool& some) {
                return (some.kind == Kind::drill || some.kind == Kind::ream || some.kind == Kind::tap) &&
                       some.diameter_mm(*per_unit).has_value();
            });
            auto reamed = round || !on_centre ? std::nullopt : size_by_fit(context, tools, tool);
            if (!round && !reamed && goes_as_reamer(tool, act))
                if (const double bored = bored_before(tools, tool, *per_unit); bored > 0)
                    reamed = bored / *per_unit;
            if (!round && !reamed) continue;
            diameter = round ? *round->diameter_mm(*per_unit) : *reamed * *per_unit;
            now.sort = !round                       ? Sort::ream
                       : round->kind == Kind::drill ? Sort::drill
                       : round->kind == Kind::ream  ? Sort::ream
                                                    : Sort::tap;
            now.high_speed_steel = tool.own->high_speed_steel || tool.listed->high_speed_steel;
            now.hard = tool.own->carbide || tool.listed->carbide;
        } else {
            if (act.moves_x && !act.moves_z && !known(act.from_x)) from_unknown = giver;
            if (from_unknown == giver && act.rpm())
                continue; // At its largest diameter nobody knows the speed
            if (act.moves_x && !act.moves_z && !known(act.from_x)) continue; // In from somewhere farther out
            for (float x : {act.from_x, act.to_x})
                if (known(x)) diameter = std::max(diameter, 2.0 * std::abs(x) * *per_unit);
            if (is_plunging(act))
                ++plunges;
            else
                along_mm += length_of(act) * *per_unit;
        }
        if (now.surface) now.m_per_min = act.speed * (in_inch ? 0.3048 : 1);
        if (!now.surface && diameter <= 0) continue;
        now.diameter_mm = std::max(now.diameter_mm, diameter);
        open = true;
    }
    close();
}

/// Whether a speed fits those of the other tools.
bool hold(const Others& others, double m_per_min, double below, double above) {
    return others.count > 0 && m_per_min >= others.least * below && m_per_min <= others.most * above;
}

std::string as_spoken(const Speed& speed) {
    const double s = speed.at->speed;
    return speed.diameter_mm > 0 ? said("S{} at a diameter of {} mm is {:.0f} m/min", spoken(s),
                                        spoken(std::round(speed.diameter_mm * 100) / 100), speed.m_per_min)
                                 : said("S{} is {:.0f} m/min", spoken(s), speed.m_per_min);
}

std::string range_of(const Others& others) {
    return others.differ() ? said("{:.0f} to {:.0f} m/min", others.least, others.most)
                           : fmt::format("{:.0f} m/min", others.least);
}

/// What is odd about a speed, beside all others of the program.
struct Odd {
    bool mode = false;              ///< It fits in the mode that is not in force
    bool high = false, low = false; ///< Both false: nothing
    bool beside_others = false;     ///< Not by what any such tool takes
    std::string why;
    explicit operator bool() const { return mode || high || low; }
};

/// Its wheels run dry on their pins. Common practice: 20 to 60 m/min; no source.
constexpr double fastest_knurl = 120;

/// Of the slide along a thread, mm/min; and m/min of high speed steel in stainless: common practice, no
/// source.
constexpr double fastest_thread = 7000, fastest_in_stainless = 50;

Odd odd_of(const Speed& speed, const Others& same, const Others& turning) {
    Odd odd;
    const bool plunge = speed.sort == Sort::plunge;
    if ((plunge || speed.sort == Sort::turning) && speed.other_m_per_min > 0) {
        const double below = plunge ? (speed.inch ? 0.15 : 0.3) : 0.44;
        // A blade goes slower than turning, and not half as fast again.
        const double above = plunge && speed.surface && turning.count > 1 ? 1.4 : 2.5;
        odd.mode = turning.count > 0 && !hold(turning, speed.m_per_min, below, above) &&
                   hold(turning, speed.other_m_per_min, plunge ? 0.3 : 0.6, plunge ? 2 : 1.7);
        odd.beside_others = odd.mode;
        if (odd.mode) return odd;
    }
    const Bounds bounds = bounds_of(speed);
    const double now = speed.m_per_min;
    // One other tool alone may itself be the odd one.
    const double leave = turning.count > 1 ? 1 : 0.7;
    const bool drills = speed.sort == Sort::drill && same.count >= 2;
    odd.high = now > bounds.most;
    odd.low = now < bounds.least;
    if (odd) {
        odd.why =
            said("{} takes {} m/min at the {}", bounds.title, spoken(odd.high ? bounds.most : bounds.least),
                 odd.high ? said("most") : said("least"));
        return odd;
    }
    // So fast no drill goes that turns slower material: twice what is usual for steel.
    constexpr double fast_drill = 250;
    const double to_turning =
        speed.sort == Sort::drill && now > fast_drill && turning.count > 1 ? 1.4 : bounds.to_turning;
    odd.high = turning.count > 0 && now > 25 && now > turning.most * to_turning / leave;
    odd.low = turning.count > 0 && now < turning.least * bounds.of_turning * leave;
    odd.beside_others = odd.high || odd.low;
    if (odd) {
        odd.why = said("the {}turning tools here work at {}",
                       speed.sort == Sort::turning ? said("other ") : "", range_of(turning));
        return odd;
    }
    // A blade goes slower than turning: faster than twice that, and than all other blades, none is meant.
    const bool blade = plunge && speed.per_rev && turning.count > 1 && same.count > 0;
    odd.high = (drills && now >= 5 * same.most && now > 150) ||
               (blade && now > 2 * turning.most && now > 2.5 * same.most);
    odd.low = drills && now * 5 <= same.least;
    if (odd) {
        odd.why = said("the others of its sort here work at {}", range_of(same));
        return odd;
    }
    // A thread may be slow for its lead's sake: not where it is slow along its lead, too.
    odd.low = speed.sort == Sort::thread && !speed.slow_by_note && turning.count >= 2 && now < 15 &&
              now < 0.1 * turning.least && speed.mm_per_min > 0 && speed.mm_per_min < 200;
    odd.beside_others = odd.low;
    if (odd) odd.why = said("the {}turning tools here work at {}", "", range_of(turning));
    return odd;
}

/// Under rpm, where the same tool turns at a surface speed that S would be much like.
Others surface_speeds_of_tool(const Speed& speed, const std::vector<Speed>& speeds) {
    Others own;
    if (speed.surface || speed.sort != Sort::turning || speed.other_m_per_min <= 0) return own;
    for (const Speed& other : speeds)
        if (other.tool == speed.tool && other.surface && other.sort == Sort::turning)
            own.add(other.m_per_min);
    if (hold(own, speed.m_per_min, 0.5, 2) || !hold(own, speed.other_m_per_min, 0.6, 1.7)) return {};
    return own;
}

/// The same tool at the same sort of work: nobody goes on at a sixth.
constexpr double most_change_of_tool = 6;

Others speeds_of_same_work(const Speed& speed, const std::vector<Speed>& speeds) {
    Others own;
    for (const Speed& other : speeds)
        if (&other != &speed && other.tool == speed.tool && other.sort == speed.sort && !other.slow_by_note)
            own.add(other.m_per_min);
    return own;
}

/// The same tool turns at another S in the same mode that is not far off and goes with the others: the mode
/// is its own.
bool has_alike_in_mode(const Speed& speed, const std::vector<Speed>& speeds, const Others& turning) {
    constexpr double most_times = 2.5;
    return std::any_of(speeds.begin(), speeds.end(), [&](const Speed& other) {
        const double times = other.at->speed > 0 ? speed.at->speed / other.at->speed : 0;
        return &other != &speed && other.tool == speed.tool && other.surface == speed.surface &&
               other.sort == speed.sort && times < most_times && times > 1 / most_times &&
               hold(turning, other.m_per_min, 0.5, most_times);
    });
}

/// Of two turning tools that contradict each other the one that is nearer to what the blades of the program,
/// or turning at all, work at: the other is told.
bool is_nearer_of_two(const Speed& speed, const std::vector<Speed>& speeds) {
    double blades = 0, other_speed = 0;
    int count = 0;
    for (const Speed& other : speeds) {
        if (other.sort == Sort::plunge && !other.slow_by_note) {
            blades += std::log(other.m_per_min);
            ++count;
        }
        if (other.sort == Sort::turning && other.tool != speed.tool && !other.slow_by_note)
            other_speed = other.m_per_min;
    }
    // A blade goes slower; without any, common practice, no source.
    const double usual = count > 0 ? std::log(1.5) + blades / count : std::log(130.0);
    return std::abs(std::log(speed.m_per_min) - usual) < std::abs(std::log(other_speed) - usual);
}

/// From a surface speed the same tool changes over to rpm farther in, and turns no faster than it would have
/// gone on: a part-off before the part drops.
bool slows_at_end(const Speed& speed, const std::vector<Speed>& speeds) {
    if (speed.surface || !speed.at->states(Group::spindle_mode) || speed.given_in != speed.tool) return false;
    const auto before = std::find_if(speeds.begin(), speeds.end(), [&](const Speed& other) {
        return other.tool == speed.tool && other.surface && other.at < speed.at;
    });
    return before != speeds.end() && speed.diameter_mm > 0 && before->diameter_mm > speed.diameter_mm &&
           speed.m_per_min <= before->m_per_min;
}

/// A reamer that goes faster than the drill of its hole, which is a little smaller: common practice, no
/// source. Not one of carbide.
const Speed* drill_of_reamer(const Speed& speed, const std::vector<Speed>& speeds) {
    constexpr double faster = 1.15, least_of_size = 0.8;
    if (speed.sort != Sort::ream || speed.surface || speed.hard) return nullptr;
    for (const Speed& drill : speeds) {
        const bool of_hole = drill.sort == Sort::drill && !drill.surface && !drill.slow_by_note &&
                             drill.diameter_mm <= speed.diameter_mm &&
                             drill.diameter_mm > least_of_size * speed.diameter_mm;
        if (of_hole && speed.m_per_min > faster * drill.m_per_min) return &drill;
    }
    return nullptr;
}

void tell_mode(const FileContext& context, const Speed& speed, const Others& turning, Report& report) {
    const auto written_code = [&](bool surface) {
        return code(context.settings(), surface ? Meaning::surface_speed : Meaning::constant_rpm);
    };
    const bool surface = speed.surface;
    const std::string stated = speed.at->states(Group::spindle_mode)
                                   ? ""
                                   : said(" by the {} that is still in force", written_code(surface));
    report.at_letter(speed.given_in->place(*speed.at), 'S')
        .message(said("{}{}, and the turning tools here work at {}. Read under {} it would be {:.0f} "
                      "m/min: {} is meant, perhaps.",
                      as_spoken(speed), stated, range_of(turning), written_code(!surface),
                      speed.other_m_per_min, written_code(!surface)));
}

/// Where a program states its limits: each S of a turning spindle, with or without a limit of its own.
struct LimitHabit {
    std::size_t surface = 0;     ///< Under surface speed, with a limit
    std::size_t plain_rpm = 0;   ///< Under rpm, with none
    std::size_t limited_rpm = 0; ///< Under rpm, with one
};
bool has_own_limit(const ToolOfSpan& tool, const Act* giver) {
    bool limited = false;
    for (const Act& act : tool.work->acts) {
        limited = limited || act.gives_limit;
        if (&act == giver) return limited;
        if (act.gives_speed) limited = false;
    }
    return false;
}
LimitHabit limits_of_others(std::span<const ToolOfSpan> tools, const Speed& speed) {
    LimitHabit habit;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != speed.tool->span->program) continue;
        for (const Act& act : tool.work->acts) {
            if (!act.gives_speed || &act == speed.at || act.spindle != machine::Spindle::main) continue;
            const bool limited = has_own_limit(tool, &act);
            if (act.surface_speed())
                habit.surface += limited;
            else
                ++(limited ? habit.limited_rpm : habit.plain_rpm);
        }
    }
    return habit;
}

/// The limit that holds at a speed, where it is the first speed behind it and nothing cuts under surface
/// speed before the next limit: it limits nothing.
bool limits_nothing(std::span<const ToolOfSpan> tools, const Speed& speed) {
    bool limited = false, first = false, reached = false;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != speed.tool->span->program) continue;
        if (!tool.work->whole) return false;
        for (const Act& act : tool.work->acts) {
            if (act.gives_limit) {
                if (reached) return true;
                limited = first = true;
            }
            if (&act == speed.at) {
                if (!limited || !first) return false;
                reached = true;
            }
            if (act.calls_program && act.turns()) return false;
            if (reached && act.surface_speed() && act.moves()) return false;
            if (act.gives_speed && !act.stopped()) first = false;
        }
    }
    return reached;
}

/// Why an S under rpm seems to be one of a surface speed; empty: it does not.
std::string why_meant_as_surface(const FileContext& context, std::span<const ToolOfSpan> tools,
                                 const Speed& speed, const std::vector<Speed>& speeds) {
    constexpr double nearly = 1.25, below_limit = 0.5;
    const auto of_turning = [](const Speed& some) {
        return some.sort == Sort::turning || some.sort == Sort::plunge;
    };
    if (speed.surface || !of_turning(speed) || speed.given_in != speed.tool) return {};
    const std::string surface_code = code(context.settings(), Meaning::surface_speed);
    const double s = speed.at->speed;
    Others others;
    bool all = true;
    for (const Speed& other : speeds) {
        if (&other == &speed || !of_turning(other)) continue;
        if (other.surface && other.inch == speed.inch && other.tool != speed.tool) {
            if (other.at->speed == s && other.sort == speed.sort && speed.tool->station > 0 &&
                other.tool->station == speed.tool->station)
                return said("T{:02} has the same S under {} in its other sequence", speed.tool->station,
                            surface_code);
            others.add(other.at->speed);
        } else {
            all = false;
        }
    }
    constexpr double far_below_limit = 0.3, least_surface = 50, most_surface = 300; // m/min
    const double as_surface = s * (speed.inch ? 0.3048 : 1);
    if (known(speed.at->speed_limit) && s < far_below_limit * speed.at->speed_limit &&
        as_surface > least_surface && as_surface < most_surface && limits_nothing(tools, speed))
        return said("nothing turns at a surface speed under the limit of {} that stands in front of it",
                    spoken(speed.at->speed_limit));
    if (others.count == 0) return {};
    const std::string of_all = said("all other turning tools here have {}", surface_code);
    if (has_own_limit(*speed.tool, speed.at) && s < below_limit * speed.at->speed_limit) {
        const LimitHabit habit = limits_of_others(tools, speed);
        if (s >= 2 * others.most || habit.limited_rpm > 0) return {};
        if (all) return of_all;
        return habit.surface > 0 && habit.surface + habit.plain_rpm >= 3
                   ? said("a limit stands in front of it, as here only in front of {}", surface_code)
                   : std::string();
    }
    // Pecks into a face stay at one diameter, as a drill does.
    const auto& acts = speed.tool->work->acts;
    const bool only_pecks = std::none_of(acts.begin(), acts.end(), [](const Act& act) {
        return act.cuts() && act.motion != MotionKind::peck_cycle && act.motion != MotionKind::drill_cycle;
    });
    // In inches the numbers of both modes are alike.
    const bool is_like_theirs = !only_pecks && !speed.inch && speed.sort == Sort::turning &&
                                others.count > 1 && s * nearly > others.least && s < nearly * others.most;
    return all && is_like_theirs ? of_all : std::string();
}

void tell_lost_surface(const FileContext& context, const Speed& speed, const std::string& why,
                       Report& report) {
    report.at_letter(speed.tool->place(*speed.at), 'S')
        .severity(Severity::information)
        .message(said("S{} is read as rpm by {}, and {}: at a diameter of {} mm it is {:.0f} m/min, and less "
                      "toward the centre. Is {} S{} meant?",
                      spoken(speed.at->speed), code(context.settings(), Meaning::constant_rpm), why,
                      spoken(std::round(speed.diameter_mm * 100) / 100), speed.m_per_min,
                      code(context.settings(), Meaning::surface_speed), spoken(speed.at->speed)));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    std::vector<Speed> speeds;
    const ToolOfSpan* before = nullptr;
    for (const ToolOfSpan& tool : tools) {
        const bool behind_head =
            before && !before->span->sequence && before->span->program == tool.span->program;
        add_speeds(context, tools, tool, behind_head ? before : nullptr, of_file, speeds);
        before = &tool;
    }
    const auto compared = [&](const Speed& speed, Others& same, Others& turning, bool with_notes) {
        same = turning = {};
        for (const Speed& other : speeds) {
            if (&other == &speed || other.tool == speed.tool || (with_notes && other.slow_by_note)) continue;
            if (other.sort == speed.sort) same.add(other.m_per_min);
            if (other.sort == Sort::turning) turning.add(other.m_per_min);
        }
    };
    bool notes_read = false;
    for (const Speed& speed : speeds) {
        Others same, turning;
        if (const Others own = surface_speeds_of_tool(speed, speeds); own.count > 0) {
            tell_mode(context, speed, own, report);
            continue;
        }
        if (slows_at_end(speed, speeds)) continue;
        compared(speed, same, turning, notes_read);
        Odd odd = odd_of(speed, same, turning);
        if (odd.mode && has_alike_in_mode(speed, speeds, turning)) odd = {};
        if (!odd)
            if (const Speed* drill = drill_of_reamer(speed, speeds)) {
                report.at_letter(speed.given_in->place(*speed.at), 'S')
                    .message(said(
                        "S{} for a reamer of {} mm is {:.0f} m/min, and the drill of that hole goes at "
                        "{:.0f}: a "
                        "reamer goes slower than the drill, at a half to two thirds. So fast it chatters, "
                        "cuts oversize and burns. Is S of another tool meant?",
                        spoken(speed.at->speed), spoken(std::round(speed.diameter_mm * 100) / 100),
                        speed.m_per_min, drill->m_per_min))
                    .related(drill->given_in->place(*drill->at), said("the drill"));
                continue;
            }
        if (odd && !notes_read) { // Only now: notes are seldom needed
            notes_read = true;
            for (Speed& one : speeds)
                one.slow_by_note = notes_about(context, tools, *one.tool)
                                       .speak_of({"KNURL",     "FORM",    "BURNISH", "ROLL",      "HSS",
                                                  "DEBURR",    "POLISH",  "FILE ",   "RANDEL",    "RAENDEL",
                                                  "MOLET",     "GODRON",  "ZIGRIN",  "FORMSTAHL", "WELD",
                                                  "SCHWEISS",  "SALDA",   "SOLDA",   "SOUD",      "RECHARG",
                                                  "INTERRUPT", "UNTERBR", "KEYWAY",  "LUMPY",     "TREPAN"});
            compared(speed, same, turning, true);
            odd = odd_of(speed, same, turning);
        }
        if (const Others own = speeds_of_same_work(speed, speeds);
            !odd && own.count > 0 && speed.m_per_min * most_change_of_tool <= own.least) {
            odd.low = true;
            odd.why = said("this tool does the same sort of work at {}", range_of(own));
        }
        // Knurls, form tools and tools of high speed steel go far slower than the rest.
        const bool cuts = speed.sort == Sort::turning || speed.sort == Sort::plunge;
        if (!odd && cuts && speed.m_per_min > fastest_knurl &&
            notes_about(context, tools, *speed.tool)
                .speak_of({"KNURL", "RANDEL", "RAENDEL", "MOLET", "GODRON", "ZIGRIN"})) {
            odd.high = true;
            odd.why = said("a knurl is rolled at {} m/min at the most", spoken(fastest_knurl));
        }
        if (!odd && speed.sort == Sort::thread && speed.mm_per_min > fastest_thread) {
            report.at_letter(speed.given_in->place(*speed.at), 'S')
                .message(said(
                    "S{} with a lead of {} mm drives the slide at {:.0f} mm a minute: few follow that "
                    "in step, and none stops in front of a shoulder. A thread of such a lead is cut "
                    "at a tenth of it to a third. Is S of another tool meant?",
                    spoken(speed.at->speed),
                    spoken(std::round(speed.mm_per_min / speed.at->speed * 1e3) / 1e3), speed.mm_per_min));
            continue;
        }
        // Without carbide stainless steel burns the edge from 30 m/min on.
        if (!odd && speed.sort == Sort::drill && speed.high_speed_steel &&
            speed.m_per_min > fastest_in_stainless) {
            const ToolNotes notes = notes_about(context, tools, *speed.tool);
            const auto is_stainless = [](const std::string& note) {
                return speaks_of(note, {"STAINLESS", "INOX", "304 ", "316", "1.4301", "1.4404", "1.4571",
                                        "EDELSTAHL", "ROSTFREI", "17-4"});
            };
            if (std::any_of(notes.head.begin(), notes.head.end(), is_stainless)) {
                odd.high = true;
                odd.why = said("a drill of high speed steel takes {} m/min in stainless steel at the most",
                               spoken(fastest_in_stainless));
            }
        }
        if (const std::string why = odd ? "" : why_meant_as_surface(context, tools, speed, speeds);
            !why.empty())
            tell_lost_surface(context, speed, why, report);
        if (!odd || (cuts && speed.slow_by_note && !odd.high && speed.m_per_min >= 4)) continue;
        if (speed.sort == Sort::turning && turning.count == 1 && odd.beside_others &&
            is_nearer_of_two(speed, speeds))
            continue;
        if (odd.mode) {
            tell_mode(context, speed, turning, report);
            continue;
        }
        const double s = speed.at->speed;
        std::string text =
            said("{}: {}. {} S{} is meant, perhaps.", as_spoken(speed), odd.why,
                 odd.high ? said("The edge burns at the first touch, or the spindle runs far too fast.")
                          : said("The edge rubs or breaks."),
                 spoken(odd.high ? std::round(s / 10) : s * 10));
        if (!odd.beside_others && !speed.at->inch() && !speed.at->millimetre())
            text += said(" This holds if the program, which does not say so, means {}.",
                         codes::title(speed.inch ? Meaning::inch : Meaning::millimetre));
        report.at_letter(speed.given_in->place(*speed.at), 'S').message(std::move(text));
    }
}

} // namespace

extern const Check check{
    .id = "speed_unlike_tool",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Speed that no such tool takes",
    .documentation =
        "The cutting speed that S makes (under constant rpm with the largest diameter that is "
        "cut, or the drill's, "
        "reamer's or tap's that a note tells) is beyond any tool of the sort, or far from what the turning "
        "tools of the program work at (four times the fastest, a fifth of the slowest; "
        "grooving, threading and drills have wider bounds of their own): a digit too many or too "
        "few; a sixth of what the same tool does the same sort of work at is told, too. Where S would fit "
        "the others if it were read in the other mode, G96 or G97 is lost "
        "or mistaken, and that is said; so is S under rpm behind a speed limit that nothing else needs. "
        "Bounds are wide (drill of high speed steel 140 m/min, tap 90, turning 1800, a knurl by its note "
        "120).",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G99
T0404 (47/64 DRILL)
G97 S460 M3
G0 X0. Z.2
G83 Z-3.5 R-.1 Q6000 F.008
G80
G28 U0. W0.
T0808 (REAMER .750)
G97 S800 M3
;   ^^^^ warning: speed_unlike_tool
G0 X0. Z.2
G1 Z-3.45 F.012
Z.2 F.03
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404 (DRILL 9.8)
G97 S900 M03
G00 X0. Z5.
G01 Z-35. F.15
G00 Z5.
X100. Z100.
T0808 (REAMER 10H7)
G97 S350 M03
G00 X0. Z5.
G01 Z-30. F.3
Z5. F.6
M30
)"},
            // A thread with a digit lost, and one that is slow for its lead's sake.
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S900 M03
G00 X62. Z1.
G01 X60. F0.3
Z-30.
G28 X0 Z0
N2 T0202
G97 S1000 M03
G00 X62. Z1.
G01 X58. F0.1
Z-30.
G28 X0 Z0
N3 T0303
G97 S65 M03
;   ^^^ warning: speed_unlike_tool
G00 X62. Z5.
G21 X57.5 Z-20. F1.5
X57.2
G28 X0 Z0
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S900 M03
G00 X62. Z1.
G01 X60. F0.3
Z-30.
G28 U0 W0
N2 T0202
G97 S1000 M03
G00 X62. Z1.
G01 X58. F0.1
Z-30.
G28 U0 W0
N3 T0303
G97 S60 M03
G00 X62. Z25.
G92 X57.5 Z-20. F12.
X57.2
G28 U0 W0
M30
)"},
            // Rpm behind a limit, as here only surface speeds have one; the same S of the same tool.
            {System::B, R"(
G21 G90 G95
N1 T0101
G92 S2500
G96 S180 M03
G00 X62. Z1.
G01 Z-30. F0.3
G28 X0 Z0
N2 T0202
G97 S900 M03
G00 X62. Z-10.
G01 X50. F0.08
G00 X62.
G28 X0 Z0
N3 T0303
G97 S800 M03
G00 X62. Z5.
G78 X59.5 Z-8. F1.5
G28 X0 Z0
N4 T0404
G92 S2500
G97 S240 M03
;   ^^^^ information: speed_unlike_tool
G00 X160. Z1.
G01 Z-30. F0.1
G28 X0 Z0
M30
)"},
            // A limit that nothing needs; with a tool that does.
            {System::B, R"(
G20 G90 G95
G92 S2400
T0101
G97 S450 M03
;   ^^^^ information: speed_unlike_tool
G00 X1.1 Z0
G01 X-.06 F.008
G00 X1.05 Z.1
G01 Z-1. F.01
G28 X0 Z0
T0303
G97 S900 M03
G00 X1.1 Z-1.
G01 X.7 F.003
G28 X0 Z0
M30
)"},
            {System::C, R"(
G70 G90 G95
G92 S2400
T0101
G97 S450 M03
G00 X5.1 Z0
G01 X-.06 F.008
G00 X5. Z.1
G01 Z-1. F.01
G28 X0 Z0
T0303
G96 S400 M03
G00 X5.1 Z-1.
G01 X4.6 F.003
G28 X0 Z0
M30
)"},
            {System::A, R"(
G21 G99
G50 S3000
T0101
G97 S1200 M03
G00 X32. Z0
G01 X-1.6 F.2
G28 U0 W0
M30
)"},
            // A limit in front of rpm is for nothing.
            {System::A, R"(
G21 G99
N1 T0101
G50 S2500
G96 S180 M03
G00 X62. Z1.
G01 Z-30. F0.3
G28 U0 W0
N2 T0202
G50 S2500
G97 S220 M03
;   ^^^^ information: speed_unlike_tool
G00 X160. Z1.
G01 Z-30. F0.1
G28 U0 W0
M30
)"},
            // A hole to a fit is reamed.
            {System::A, R"(
G21 G99
N1 T1212 (25H7)
G50 S3000
G54 G40
G97 S2000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0. Z3. M08
G01 Z-32. F.4
Z3. F.8
G28 U0 W0
M30
)"},
            // The passes stand in a subprogram.
            {System::B, R"(
G21 G90 G95
N1 T0606
G97 S5000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X28. Z12. M08
M98 P8001
G28 X0 Z0
M30
O8001
G78 X23.35 Z-47. F6.
X22.8
M99
)"},
            {System::A, R"(
(T05 HSS DRILL D24)
G21 G99
N1 T0505
G97 S3000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0 Z5.
G74 R1.
G74 Z-60. Q8000 F.2
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G96 S400 M03
G00 X2. Z.1
G01 Z-1. F.01
N2 T0202
G96 S5000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X2. Z.1
G01 Z-1. F.01
N3 T0303
G96 S300 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 (TAP M12)
T0707
G97 S2500 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0 Z10.
G84 Z-15. R6. F1.75
G80
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S700 M03
G00 X60. Z0.
G01 X-1.6 F0.2
N2 T0303
G97 S100 M03
;   ^^^^ warning: speed_unlike_tool
G00 X40. Z2.
G01 Z-50. F0.1
N3 T0505
G97 S500 M03
G00 X45. Z-35.
G01 X27. F0.08
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G97 S240 M03
;   ^^^^ warning: speed_unlike_tool
G00 X48. Z1.
G01 Z-30. F0.1
N3 T0303
G96 S90 M03
G00 X52. Z-25.
G01 X40. F0.08
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 T0101
G97 S1500 M03
G00 X2.02 Z.1
G01 Z-1. F.01
N2 T0202
G96 S2500 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X.8 Z.1
G01 Z-1. F.005
N3 T0303
G97 S1400 M03
G00 X2. Z.1
G01 Z-1. F.005
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 T0101
G96 S180 M03
G00 X52. Z1.
G01 Z-30. F0.3
N2 T0202
G96 S220 M03
G00 X48. Z1.
G01 Z-30. F0.1
N3 (THREAD M48X2)
T0303
G97 S50 M03
;   ^^^ warning: speed_unlike_tool
G00 X50. Z6.
G78 X47. Z-25. F2.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G96 S180 M03
G00 X52. Z1.
G01 Z-30. F0.3
N2 (BORE D12)
T0202
G97 S1800 M03
G00 X12. Z1.
G01 Z-30. F0.1
N3 (THREAD M48X2)
T0303
G97 S300 M03
G00 X50. Z6.
G92 X47. Z-25. F2.
N4 (PART OFF)
T0404
G97 S300 M03
G00 X52. Z-40.
G01 X0 F0.08
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 (DRILL .500)
T0202
G97 S2400 M03
G00 X0 Z.2
G76 R.02
G76 Z-1.7 Q2500 F.007
N2 (TAP 3/8-16)
T0505
G97 S400 M03
G00 X0 Z.4
G84 Z-.75 F.0625
G80
M30
)"},
            {System::B, R"(
(T6 LIVE CROSS DRILL .125)
G20 G90 G95
N1 T0101
G96 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
N2 (PART OFF)
T0505
G97 S1500
G00 X.34 Z-1.
G01 X.2 F.002
M30
)"},
            {System::B, R"(
(T1 TURN, T3 KNURL, T5 HSS FORM TOOL)
G21 G90 G95
N1 T0101
G96 S220 M03
G00 X32. Z1.
G01 Z-30. F0.2
N2 T0303
G97 S200 M03
G00 X34. Z2.
G01 X29.5 F0.2
Z-20. F0.4
G00 X40.
N3 T0505
G97 S240 M03
G00 X34. Z-28.
G01 X24. F0.03
G00 X40.
M30
)"},
            // A groove wider than its tool, by the cycle.
            {System::B, R"(
G20 G90 G95
G92 S2400
T0101
G96 S600 M03
G00 X1.6 Z.1
G01 Z-3. F.012
X1.7
G00 Z.1
T0303
G96 S650 M03
G00 X1.5 Z.1
G01 Z-3. F.006
X1.7
G00 Z.1
T0505
G97 S800 M03
G00 Z-1.65
X1.2
G75 R.01
G75 X.84 Z-1.75 P500 Q800 F.004
G00 X3.
M30
)"},
            {System::B, R"(
G21 G90 G95
G92 S2500
T0101
G96 S160 M03
G00 X122. Z2.
X118.
G01 Z-30. F.25
X122.
G00 Z2.
X112.
G97 S180
;   ^^^^ warning: speed_unlike_tool
G01 X116. Z-1. F.15
Z-30.
X122.
M30
)"},
            {System::A, R"(
G21 G99
G50 S2500
T0101
G97 S480 M03
G00 X122. Z2.
G96 S160
X118.
G01 Z-30. F.25
X122.
G97 S420
G00 X200. Z100.
M30
)"},
            {System::A, R"(
(T05 DRILL 19.7 T09 REAMER 20H7)
G21 G40 G99
T0101
G96 S300 M03
G00 X92. Z2.
G01 Z-20. F.2
G28 U0 W0
T0909
G97 S3000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0 Z5.
G01 Z-50. F.3
G00 Z20.
M30
)"},
            {System::A, R"(
O0212
G20 G40 G99
G50 S2200
G96 S600 M3
G0 X2.2 Z.1 T0101
X1.8
G1 Z-1.65 F.012
X2.
G0 X8. Z6. T0100
M1
G50 S2200
G97 S450 M3
;   ^^^^ warning: speed_unlike_tool
G0 X.985 Z.1 T0505
G1 Z-1.66 F.007
G0 U-.03
Z.1
X8. Z6. T0500
M30
)"},
            {System::A, R"(
G21 G99
T0808
G97 S450 M03
G00 X68. Z3.
G90 X72. Z-11.9 F0.12
X74.
X79.4
G00 X76. Z3.
G97 S50 M03
;   ^^^ warning: speed_unlike_tool
G00 X84. Z1.
G01 X80. Z-1. F0.08
Z-12.
X66.
G00 Z5.
M30
)"},
            // A blade in a bore goes a little sideways and is no turning tool.
            {System::A, R"(
G21 G99
T0101
G97 S180 M03
;   ^^^^ warning: speed_unlike_tool
G00 X64. Z2.
Z0.
G01 X-1.6 F.2
G00 Z3.
X150.
T0404
G96 S160 M03
G00 X34.5 Z2.
G01 Z-22. F.1
X30.
G00 Z2.
T0808
G97 S600 M03
G00 X33. Z4.
Z-22.
G01 X36.8 F.05
X33. F.2
Z-20.
X36.8 F.05
Z-21.9
X33. F.2
G00 Z5.
M30
)"},
            // A knurl: a digit too many, and as it is rolled.
            {System::A, R"(
G21 G99
T0101
G97 S1400 M03
G00 X42. Z2.
G01 X40. F0.2
Z-52.
X44.
G00 X150. Z100.
T0707 (KNURL)
G97 S3000 M3
;   ^^^^^ warning: speed_unlike_tool
G00 X44. Z-31.
G01 X39.2 F0.1
Z-44. F0.3
G00 X60.
X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S1400 M03
G00 X1.6 Z.1
G01 X1.5 F.01
Z-2.
X1.7
G00 X6. Z4.
T0707 (KNURL)
G97 S300 M3
G00 X1.7 Z-1.2
G01 X1.47 F.004
Z-1.7 F.012
G00 X2.4
X6. Z4.
M30
)"},
            // A blade that goes far faster than all others, and than turning.
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X210. Z2.
X203.
G01 Z-40. F.3
X210.
T0202
G96 S160 M03
G00 X210. Z2.
X202.
G01 Z-40. F.2
X210.
T0606
G97 S150 M03
G00 X206. Z-22.
G01 X177. F.12
G00 X206.
T0808
G97 S600 M03
;    ^^^^ warning: speed_unlike_tool
G00 X206. Z-19.
G01 X174. F.06
G00 X206.
M30
)"},
            // In and out of a bore at feed: a reamer.
            {System::B, R"(
G21 G90 G95
T0404
G97 S2500 M03
G00 X25.8 Z2.
G01 X19.8 Z-1. F.12
Z-30.
G00 X19.
Z200.
T0505
G97 S2500 M03
;    ^^^^^ warning: speed_unlike_tool
G00 X0 Z3.
G01 Z-30. F.4
Z3. F.8
G00 Z200.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S2500 M03
G00 X25.8 Z2.
G01 X19.8 Z-1. F.12
Z-30.
G00 X19.
Z200.
T0505
G97 S250 M03
G00 X0 Z3.
G01 Z-30. F.4
Z3. F.8
G00 Z200.
M30
)"},
            // Before the part drops the blade goes over to rpm; into a hole that is there a long drill goes
            // slowly.
            {System::A, R"(
G21 G99
T0101
G96 S450 M03
G00 X86. Z0
G01 X-1. F0.25
G00 X80. Z1.
G01 Z-33. F0.2
X84.
G28 U0 W0
T0303
G96 S350 M03
G00 X24. Z1.
G01 Z-33. F0.2
X23.
G00 Z5.
G28 U0 W0
T0808
G50 S2000
G96 S220 M03
G00 X84. Z-32.
G01 X26. F0.1
G97 S900
X22.5 F0.05
G00 X90.
G28 U0 W0
M30
)"},
            {System::C, R"(
(T3 DRILL 6, T4 DRILL 6 LONG)
G71 G90 G95
T0303
G97 S1300 M03
G00 X0 Z3.
G83 Z-30. R3. Q8000 F0.1
G80
G28 X100. Z100.
T0404
G97 S200 M03
G00 X0 Z3.
G01 Z-29. F0.5
S1200
G01 Z-36. F0.08
G00 Z3.
G28 X100. Z100.
M30
)"},
            // A thread of a large lead at the speed of a blade.
            {System::B, R"(
G21 G90 G95
T0707 (TR36X12 P6)
G97 S900 M03
;   ^^^^ warning: speed_unlike_tool
G00 X44. Z24.
G78 X35.2 Z-55. F12.
X34.5
X33.8
G00 X80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707 (TR36X12 P6)
G97 S250 M03
G00 X44. Z24.
G78 X35.2 Z-55. F12.
X34.5
X33.8
G00 X80.
M30
)"},
            // A large drill of high speed steel in stainless steel.
            {System::A, R"(
(304 STAINLESS)
(T08 1-1/4 HSS DRILL)
G20 G99
T0808
G97 S900 M03
;   ^^^^ warning: speed_unlike_tool
G00 X0. Z.2
G01 Z-1.75 F.008
G00 Z2.
M30
)"},
            {System::A, R"(
(304 STAINLESS)
(T08 1-1/4 HSS DRILL)
G20 G99
T0808
G97 S180 M03
G00 X0. Z.2
G01 Z-1.75 F.008
G00 Z2.
M30
)"},
            // A core is trepanned slowly.
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X126. Z0
G01 X-1. F0.2
G00 X120. Z2.
G01 Z-20. F0.2
G00 X200. Z100.
T0707 (TREPAN 4 MM FOR THE CORE)
G97 S450 M03
G00 X40. Z2.
G01 Z-8. F0.06
G00 Z2.
G97 S300
G01 Z-19.7 F0.04
G00 Z10.
X200. Z100.
T0909 (BORING BAR)
G96 S150 M03
G00 X41. Z2.
G01 Z-21. F0.15
U-0.6
G00 Z5.
X200. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // A tiny part whose unit is not stated: it is assumed by its speeds.
            {System::A, R"(
O1
T0101
G50 S8000
G97 S5000 M03
G00 X6.5 Z.5
G01 X4. F.02
Z-12.5
X6.5
G00 X20. Z20.
M30
)"},
            // The unit is stated further down, for what follows it: F.2 above is none in inches.
            {System::A, R"(
O1
T0101
G97 S900 M03
G00 X31.75 Z2.5
G01 Z-20. F.2
G20
G00 X3.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::speed_unlike_tool
