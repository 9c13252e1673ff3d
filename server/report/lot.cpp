// Edges, bars and hours of a lot, from what the program makes the tools do.
#include "report/lot.h"
#include "language/said.h"
#include "motion/work.h"

#include "checks/second_sides.h"
#include "features/block_at.h"
#include "features/hints.h"
#include "features/noted.h"
#include "features/speech.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {
namespace {

using motion::Segment;
using motion::SegmentKind;

constexpr double nearly_whole = 1e-9; ///< 2800 / 50 is 56 parts, whatever its last bit is

std::size_t whole_times(double all, double each) {
    return static_cast<std::size_t>(std::max(0.0, std::floor(all / each + nearly_whole)));
}

std::size_t needed(std::size_t parts, std::size_t each) {
    return each == 0 ? 0 : (parts + each - 1) / each;
}

/// The way of a bar in a puller, by one tool: from the grip, the deepest Z that it comes to, outward.
class PullerWay {
public:
    using Does = checks::MachineCode::Does;

    explicit PullerWay(std::vector<checks::MachineCode> codes) : codes_(std::move(codes)) {
        for (const checks::MachineCode& code : codes_) {
            tells_open_ = tells_open_ || code.does == Does::clamp_open;
            tells_close_ = tells_close_ || code.does == Does::clamp_close;
        }
    }
    /// How far the bar has been drawn when it is clamped again, mm.
    std::optional<double> see(const WalkedBlock& block, bool is_puller) {
        const machine::Reading& reading = block.view.reading;
        bool has_code = false, opens = false, closes = false;
        for (const machine::Word& word : reading.words) {
            if (word.letter != 'M' || !word.value.known()) continue;
            has_code = true;
            const checks::ActWord said_word{.letter = 'M', .number = word.value.number};
            const checks::MachineCode* code = checks::told_code(said_word, codes_);
            opens = opens || (code && code->does == Does::clamp_open);
            closes = closes || (code && code->does == Does::clamp_close);
        }
        if (opens) was_opened_ = true;
        if (!is_puller) {
            grip_ = out_ = {};
            return std::nullopt;
        }
        if (tells_open_ && tells_close_) {
            if (opens) is_open_ = true;
            if (is_open_) go(block);
            if (!closes || !is_open_) return std::nullopt;
            is_open_ = false;
            return taken();
        }
        // Nothing tells the codes: it grips where it goes in to, a code or dwell opens, one closes.
        const bool waits = !reading.moves_x && !reading.moves_z && (has_code || has_dwell(block));
        if (waits && out_) return taken();
        if (waits && deepest_) grip_ = deepest_;
        for (const Segment& segment : block.path.segments) {
            if (segment.kind == SegmentKind::dwell) continue;
            const bool along = segment.from.x_radius_mm == segment.to.x_radius_mm;
            const bool inward = segment.to.z_mm < segment.from.z_mm;
            if (along && inward && segment.kind == SegmentKind::feed) {
                deepest_ = segment.to.z_mm;
                grip_ = out_ = {};
            } else if (along && grip_ && segment.kind == SegmentKind::feed) {
                out_ = segment.to.z_mm;
            } else {
                deepest_ = grip_ = out_ = {};
            }
        }
        return std::nullopt;
    }
    /// The bar may have been let go since this was asked last.
    bool was_opened() { return std::exchange(was_opened_, false); }

private:
    static bool has_dwell(const WalkedBlock& block) {
        return std::any_of(block.path.segments.begin(), block.path.segments.end(),
                           [](const Segment& segment) { return segment.kind == SegmentKind::dwell; });
    }
    void go(const WalkedBlock& block) {
        for (const Segment& segment : block.path.segments) {
            if (segment.kind == SegmentKind::dwell || segment.from.z_mm == segment.to.z_mm) continue;
            grip_ = std::min(grip_.value_or(segment.from.z_mm), std::min(segment.from.z_mm, segment.to.z_mm));
            out_ = segment.to.z_mm;
        }
    }
    std::optional<double> taken() {
        constexpr double least_pull_mm = 0.5;
        const auto grip = std::exchange(grip_, {}), out = std::exchange(out_, {});
        deepest_.reset();
        if (!grip || !out || *out - *grip < least_pull_mm) return std::nullopt;
        return *out - *grip;
    }

    std::vector<checks::MachineCode> codes_;
    bool tells_open_ = false, tells_close_ = false, is_open_ = false, was_opened_ = false;
    std::optional<double> deepest_, grip_, out_;
};

class LotMaker {
public:
    LotMaker(const features::Document& document, const LotQuestion& question)
        : document_(document), question_(question), mm_per_unit_(features::mm_per_unit_of(document)),
          bar_mm_(question.bar_mm ? question.bar_mm : document.shop().stock.bar_length_mm),
          remnant_mm_(question.remnant_mm ? question.remnant_mm : document.shop().stock.bar_remnant_mm),
          puller_(checks::codes_told(document.results().spans(), document.settings().machine)),
          slide_pulls_(checks::second_spindle_of(document.results().spans(), document.shop(),
                                                 document.settings().machine)
                           .pulls) {
        lot_.title = program_name(document_);
        lot_.unit = unit_of(document_);
        lot_.parts = question_.parts;
    }

    void see(const WalkedBlock& block) {
        lot_.run += block.totals;
        const machine::State& state = block.view.after;
        if (!state.tool.known() || state.tool.number < 1) return;
        const int station = machine::whole_number(state.tool.number);
        see_pull(block, station);
        bool cuts = !block.path.complete && !block.path.is_way_home &&
                    block.view.reading.motion != machine::MotionKind::rapid;
        bool moves_at_feed = false;
        for (const Segment& segment : block.path.segments) {
            const bool feeds = segment.kind == SegmentKind::feed || segment.kind == SegmentKind::thread;
            moves_at_feed = moves_at_feed || feeds;
            if (feeds && may_part_off(station, segment)) take_part_off(station, segment);
        }
        const bool opened = puller_.was_opened();
        if (moves_at_feed || opened)
            for (Off& off : offs_) off.passed = off.passed || opened || off.off.station != station;
        cuts = cuts && block.view.reading.motion != machine::MotionKind::none;
        if (!moves_at_feed && !cuts) return;
        LotEdge& edge = edges_[station];
        edge.station = station;
        edge.minutes += block.totals.cut_seconds / 60;
        edge.metres += block.totals.cut_mm / 1000;
        edge.at_least = edge.at_least || cuts || block.totals.blocks_without_time > 0;
        edge.about = edge.about || block.totals.about;
    }

    Lot finish() {
        drop_facings();
        lot_.made = 0;
        for (const Off& off : offs_) lot_.made += off.times;
        lot_.made = std::max<std::size_t>(lot_.made, 1);
        lot_.part = for_one_part(lot_.run, lot_.made);
        for (auto& [station, edge] : edges_) {
            edge.minutes /= static_cast<double>(lot_.made);
            edge.metres /= static_cast<double>(lot_.made);
            add_life(edge);
        }
        for (auto& [station, edge] : edges_) lot_.edges.push_back(std::move(edge));
        for (std::size_t i = 0; i < lot_.edges.size(); ++i)
            if (const auto& parts = lot_.edges[i].parts;
                parts && (!lot_.first_to_end || *parts < *lot_.edges[*lot_.first_to_end].parts))
                lot_.first_to_end = i;
        if (bar_mm_) add_bar();
        if (question_.parts > 0) add_hours();
        return std::move(lot_);
    }

private:
    const shop::Tool& tool_of(int station) {
        const auto [at, is_new] = tools_.try_emplace(station);
        if (is_new) {
            const shop::Tool* known = document_.shop().tool(station);
            at->second = known ? *known : features::noted_tool(document_, station, mm_per_unit_).tool;
        }
        return at->second;
    }

    /// Where a part is cut off, and how often: behind another tool, or a clamp that was open, it is another
    /// part.
    struct Off {
        PartOff off;
        std::size_t times = 1;
        bool passed = false; ///< Something came since
    };
    static constexpr double on_centre_mm = 0.6, same_place_mm = 0.01;

    /// Of a tool that nothing tells, what goes to the centre deep behind the face can be nothing else.
    bool may_part_off(int station, const Segment& segment) {
        constexpr double deepest_face_mm = 3;
        const shop::Tool& tool = tool_of(station);
        if (tool.kind == shop::ToolKind::parting) return true;
        return tool.kind == shop::ToolKind::unknown && segment.to.x_radius_mm <= on_centre_mm &&
               segment.to.z_mm < -deepest_face_mm;
    }

    /// Several parts of one run are cut off one behind the other, or one after the other.
    void take_part_off(int station, const Segment& segment) {
        constexpr double pip_mm = 0.3;
        PartOff here;
        if (!here.take(station, segment)) return;
        if (!offs_.empty() && here.x_radius_mm < offs_.front().off.x_radius_mm - pip_mm) offs_.clear();
        if (!offs_.empty() && here.x_radius_mm > offs_.front().off.x_radius_mm + pip_mm) return;
        for (Off& known : offs_)
            if (std::abs(known.off.z_mm - here.z_mm) < same_place_mm) {
                known.off.x_radius_mm = std::min(known.off.x_radius_mm, here.x_radius_mm);
                if (!std::exchange(known.passed, false)) return;
                ++known.times;
                note_pull();
                return;
            }
        offs_.push_back({here});
        note_pull();
    }
    /// A blade that faces the front cuts no part off.
    void drop_facings() {
        const double front = front_z_mm().value_or(0);
        if (std::all_of(offs_.begin(), offs_.end(),
                        [&](const Off& off) { return off.off.z_mm >= front - same_place_mm; }))
            return;
        std::erase_if(offs_, [&](const Off& off) {
            return off.off.near_side_z_mm(tool_of(off.off.station)) >= front - same_place_mm;
        });
    }
    /// The one at the chuck; of grooves that a blade leaves, and nothing on the centre, the first.
    PartOff last_off() const {
        if (!offs_.empty() && offs_.front().off.x_radius_mm > on_centre_mm) return offs_.front().off;
        const auto deepest = std::min_element(
            offs_.begin(), offs_.end(), [](const Off& a, const Off& b) { return a.off.z_mm < b.off.z_mm; });
        return deepest == offs_.end() ? PartOff{} : deepest->off;
    }

    void see_pull(const WalkedBlock& block, int station) {
        const bool is_puller = tool_of(station).kind == shop::ToolKind::bar_puller;
        if (const auto mm = puller_.see(block, is_puller)) {
            pulled_mm_ += *mm;
            puller_station_ = station;
        }
        if (block.elsewhere) return;
        for (const checks::BarPull& pull : slide_pulls_)
            if (pull.at == machine::BlockPlace{block.view.run_index, block.view.block})
                pulled_mm_ += pull.mm.value_or(0); // Of an unknown one the blade tells
    }
    /// At a part-off: how far the bar was drawn since the one before.
    void note_pull() {
        const double drawn = std::exchange(pulled_mm_, 0);
        if (drawn > 0) (is_first_off_ ? first_pull_mm_ : pulls_mm_.emplace_back()) = drawn;
        is_first_off_ = false;
    }
    /// How far the bar is drawn from one part to the next; nullopt: it is not, or not evenly. What is drawn
    /// in front of the first part-off and behind the last one belongs to one part of a bar loop.
    std::optional<double> pull_mm() const {
        constexpr double alike_mm = 0.02;
        if (pulls_mm_.empty()) {
            const double drawn = first_pull_mm_ + pulled_mm_;
            return drawn > 0 ? std::optional(drawn) : std::nullopt;
        }
        const auto [least, most] = std::minmax_element(pulls_mm_.begin(), pulls_mm_.end());
        return *most - *least < alike_mm ? std::optional(*most) : std::nullopt;
    }

    void add_life(LotEdge& edge) {
        const std::string note = features::tool_note(document_, edge.station);
        edge.tool = fmt::format("T{:02}{}{}", edge.station, note.empty() ? "" : " ", note);
        const auto given = question_.life_minutes.find(edge.station);
        const auto trial = question_.trial_parts.find(edge.station);
        const shop::Tool* held = document_.shop().tool(edge.station);
        if (given != question_.life_minutes.end()) {
            edge.life_minutes = given->second;
            edge.life_from = said("given");
        } else if (trial != question_.trial_parts.end()) {
            // Right also where the time in cut is not known.
            edge.parts = static_cast<std::size_t>(trial->second);
            if (edge.minutes > 0 && !edge.at_least) edge.life_minutes = trial->second * edge.minutes;
            edge.life_from = said("by a trial");
        } else if (held && held->life_minutes) {
            edge.life_minutes = held->life_minutes;
            edge.life_from = said("by the shop file");
        }
        if (edge.life_minutes && !edge.parts && edge.minutes > 0)
            edge.parts = whole_times(*edge.life_minutes, edge.minutes);
        if (edge.parts) edge.edges = needed(question_.parts, *edge.parts);
    }

    std::optional<double> front_z_mm() const {
        const machine::ProgramPart* main = main_program(document_);
        for (const stock::ProgramCourse& course : document_.results().stock().programs())
            if (main && course.program && course.program->first == main->first && course.setup)
                return course.setup->front_z_mm;
        return document_.shop().stock.front_z_mm;
    }

    std::string length(double mm) const { return length_text(lot_.unit, mm); }

    /// The part, the groove and what is faced off: from the stock's front to the far side of the groove.
    void find_step(LotBar& bar) {
        if (question_.step_mm) {
            bar.step_mm = question_.step_mm;
            bar.step_from = said("given");
            return;
        }
        const PartOff off = last_off();
        bar.parts_at_once =
            off.station > 0 && off.z_mm < offs_.front().off.z_mm ? offs_.size() : std::size_t{1};
        const std::optional<double> drawn = pull_mm();
        if (drawn && puller_station_ > 0) {
            bar.step_mm = drawn;
            bar.step_from = said("the puller T{:02} draws it as far as that", puller_station_);
            return;
        }
        if (off.station == 0) {
            bar.step_from =
                said("no part-off of a known tool is in the program: --step says what a part takes");
            return;
        }
        const shop::Tool& tool = tool_of(off.station);
        if (!tool.width_mm) {
            bar.step_from = said("the width of the parting tool T{:02} is not known: --step says what "
                                 "a part takes",
                                 off.station);
            return;
        }
        const bool by_right = PartOff::by_right_corner(tool);
        const double far_side_z = off.near_side_z_mm(tool) - *tool.width_mm;
        const std::optional<double> front = front_z_mm();
        // What is left behind the part-off stands in front of the face again: nothing else moves the bar.
        constexpr double on_face_mm = 0.02;
        if (drawn && far_side_z >= -on_face_mm) {
            bar.step_mm = drawn;
            bar.step_from = said("the slide of the second spindle draws it as far as that");
            return;
        }
        bar.step_mm = front.value_or(0) - far_side_z + drawn.value_or(0);
        bar.step_from = said(
            "from the front of the stock, Z{}{}, to the far side of the part-off of T{:02} at Z{}, {} wide, "
            "programmed by its {} corner{}",
            features::plain(in_unit(front.value_or(0))), front ? "" : said(" (assumed: nothing tells it)"),
            off.station, features::plain(in_unit(off.z_mm)), length(*tool.width_mm),
            by_right ? said("right") : said("left"), tool.tip_direction ? "" : said(" (assumed)"));
        if (drawn)
            bar.step_from += said(", and {} that the slide of the second spindle draws it", length(*drawn));
    }

    double in_unit(double mm) const { return lot_.unit == LengthUnit::inch ? mm / motion::mm_per_inch : mm; }

    void add_bar() {
        LotBar bar;
        bar.bar_mm = *bar_mm_;
        find_step(bar);
        if (!bar.step_mm || *bar.step_mm <= 0) {
            bar.why_not = bar.step_mm ? said("a part would take nothing of the bar") : bar.step_from;
        } else if (!remnant_mm_) {
            bar.why_not = said(
                "what must be left of a bar is not given: --remnant or bar_remnant in the shop file says it");
        } else {
            const std::size_t runs = whole_times(*bar_mm_ - *remnant_mm_, *bar.step_mm);
            bar.parts = runs * bar.parts_at_once;
            bar.left_mm = *bar_mm_ - static_cast<double>(runs) * *bar.step_mm;
            add_stick_out(bar);
            if (bar.parts && *bar.parts == 0) bar.why_not = said("the bar is too short for one part");
            if (bar.parts) bar.bars = needed(question_.parts, *bar.parts);
        }
        lot_.bar = std::move(bar);
    }

    /// Behind the last part-off some of what is left stands out of the jaws; the rest of it is held.
    void add_stick_out(LotBar& bar) const {
        const std::optional<double> jaws = document_.shop().stock.jaw_front_z_mm;
        const std::optional<double> front = front_z_mm();
        if (!jaws || !front) return;
        const double stands_out = *front - *jaws - *bar.step_mm;
        if (*remnant_mm_ > stands_out) return;
        bar.parts.reset();
        bar.why_not = said("after the part-off {} of the bar stand out of the jaws: with {} left "
                           "nothing of it would be held",
                           length(stands_out), length(*remnant_mm_));
    }

    void add_hours() {
        const auto parts = static_cast<double>(question_.parts);
        lot_.seconds = parts * (lot_.part.seconds() + question_.part_change_seconds.value_or(0));
        if (!question_.part_change_seconds)
            lot_.left_out.emplace_back(said("loading and unloading (--part-change SECONDS)"));
        const auto changes = [](std::size_t needed_ones) { return needed_ones > 0 ? needed_ones - 1 : 0; };
        std::size_t edges = 0;
        for (const LotEdge& edge : lot_.edges) edges += changes(edge.edges);
        add_changes(edges, said("edge"), question_.edge_change_minutes, "--edge-change MINUTES");
        if (lot_.bar)
            add_changes(changes(lot_.bar->bars), said("bar"), question_.bar_change_minutes,
                        "--bar-change MINUTES");
    }

    void add_changes(std::size_t count, std::string_view what, std::optional<double> minutes,
                     std::string_view option) {
        if (count == 0) return;
        if (minutes)
            lot_.seconds += static_cast<double>(count) * *minutes * 60;
        else
            lot_.left_out.push_back(fmt::format("{} {} {} ({})", count, what,
                                                count == 1 ? said("change") : said("changes"), option));
    }

    const features::Document& document_;
    const LotQuestion& question_;
    std::optional<double> mm_per_unit_;
    Lot lot_;
    std::map<int, LotEdge> edges_;
    std::map<int, shop::Tool> tools_;
    std::optional<double> bar_mm_, remnant_mm_;
    std::vector<Off> offs_; ///< As near to the centre as each other
    PullerWay puller_;
    std::vector<checks::BarPull> slide_pulls_;
    double pulled_mm_ = 0;     ///< Since the last part-off
    double first_pull_mm_ = 0; ///< In front of the first
    bool is_first_off_ = true;
    std::vector<double> pulls_mm_;
    int puller_station_ = 0;
};

/// "A part takes".
std::string taker_of(const LotBar& bar) {
    return bar.parts_at_once > 1
               ? said("The {} parts that are cut off one behind the other take", bar.parts_at_once)
               : std::string(said("A part takes"));
}

std::string edge_words(const LotEdge& edge, LengthUnit unit) {
    std::string out = edge.minutes <= 0 ? said("time in cut not known")
                                        : said("{}{}{} min in cut", edge.at_least ? said("at least ") : "",
                                               edge.about ? said("about ") : "",
                                               features::plain(edge.minutes, edge.minutes < 0.1 ? 3 : 2));
    const bool inch = unit == LengthUnit::inch;
    // Below a metre or a foot the number would be a nought.
    const double feet = edge.metres / 0.3048;
    if (inch)
        out += feet < 1 ? said(", {} in of way", features::plain(feet * 12, 1))
                        : said(", {} ft of way", features::plain(feet, 1));
    else
        out += edge.metres < 1 ? said(", {} mm of way", features::plain(edge.metres * 1000, 0))
                               : said(", {} m of way", features::plain(edge.metres, 1));
    if (edge.parts)
        out += said("; an edge makes {}{} ({})",
                    edge.at_least && edge.life_from != translated("by a trial") ? said("at most ") : "",
                    plural(*edge.parts, "part"),
                    edge.life_minutes
                        ? said("life {} min {}", features::plain(*edge.life_minutes, 1), edge.life_from)
                        : edge.life_from);
    return out;
}

} // namespace

bool PartOff::take(int by, const Segment& segment) {
    if (segment.kind != SegmentKind::feed || std::abs(segment.to.z_mm - segment.from.z_mm) > 1e-6)
        return false;
    if (segment.to.x_radius_mm >= std::min(segment.from.x_radius_mm, x_radius_mm)) return false;
    *this = {by, segment.to.z_mm, segment.to.x_radius_mm};
    return true;
}

bool PartOff::by_right_corner(const shop::Tool& tool) {
    const int tip = tool.tip_direction.value_or(0);
    return tip == 1 || tip == 4 || tip == 5; // On the side that looks away from the chuck
}

double PartOff::near_side_z_mm(const shop::Tool& tool) const {
    return z_mm + (by_right_corner(tool) ? 0 : tool.width_mm.value_or(0));
}

motion::Totals for_one_part(motion::Totals totals, std::size_t parts) {
    if (parts < 2) return totals;
    const auto share = static_cast<double>(parts);
    for (double* value : {&totals.cut_seconds, &totals.rapid_seconds, &totals.dwell_seconds,
                          &totals.change_seconds, &totals.cut_mm, &totals.rapid_mm})
        *value /= share;
    const auto count = static_cast<std::uint32_t>(parts);
    for (std::uint32_t* blocks :
         {&totals.blocks_without_time, &totals.blocks_by_assumed, &totals.blocks_waiting})
        *blocks = (*blocks + count - 1) / count;
    return totals;
}

Gathering<Lot> gather_lot(const features::Document& document, const LotQuestion& question) {
    return gathering_by(std::make_shared<LotMaker>(document, question));
}

Lot reckon_lot(const features::Document& document, const LotQuestion& question) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    LotMaker maker(document, question);
    walk(document, [&](const WalkedBlock& block) { maker.see(block); });
    return maker.finish();
}

std::vector<SheetRow> edge_rows(const Lot& lot) {
    std::vector<SheetRow> rows;
    for (std::size_t i = 0; i < lot.edges.size(); ++i)
        rows.push_back({lot.edges[i].tool,
                        edge_words(lot.edges[i], lot.unit) +
                            (lot.first_to_end == i && lot.edges.size() > 1 ? said("; ends first") : ""),
                        lot.edges[i].minutes <= 0});
    return rows;
}

std::vector<SheetRow> bar_rows(const Lot& lot) {
    if (!lot.bar) return {};
    const LotBar& bar = *lot.bar;
    std::vector<SheetRow> rows{{"Bar", length_text(lot.unit, bar.bar_mm) + said(" long"), false}};
    if (bar.step_mm)
        rows.push_back({taker_of(bar),
                        fmt::format("{}: {}", length_text(lot.unit, *bar.step_mm), bar.step_from), false});
    const bool is_known = bar.parts && bar.why_not.empty();
    rows.push_back({said("Parts of a bar"),
                    is_known ? said("{}, {} are left", *bar.parts, length_text(lot.unit, bar.left_mm))
                             : said("not known: ") + bar.why_not,
                    !is_known});
    return rows;
}

std::string lot_text(const Lot& lot) {
    std::string out = said("{}: one part takes {}.\n", lot.title, time_or_unknown(lot.part));
    if (lot.made > 1)
        out += said("A run of the program cuts off {} parts in {}: what follows is for one of them.\n",
                    lot.made, time_or_unknown(lot.run));
    for (const LotEdge& edge : lot.edges) {
        out += "  " + edge.tool + ": " + edge_words(edge, lot.unit);
        if (edge.edges > 0) out += said("; {} for the lot", plural(edge.edges, "edge"));
        out += "\n";
    }
    if (lot.first_to_end) {
        const LotEdge& first = lot.edges[*lot.first_to_end];
        out += said("First to end of those whose life is known: {}, after {}{}.\n", first.tool,
                    plural(*first.parts, "part"),
                    first.at_least && first.life_from != translated("by a trial") ? said(" at most") : "");
    }
    if (lot.bar) {
        const auto length = [&](double mm) { return length_text(lot.unit, mm); };
        if (lot.bar->step_mm)
            out += said("{} {} of the bar: {}.\n", taker_of(*lot.bar), length(*lot.bar->step_mm),
                        lot.bar->step_from);
        if (lot.bar->parts && lot.bar->why_not.empty())
            out += said("A bar gives {}, {} are left of it{}.\n", plural(*lot.bar->parts, "part"),
                        length(lot.bar->left_mm),
                        lot.bar->bars > 0 ? said("; {} for the lot", plural(lot.bar->bars, "bar")) : "");
        else
            out += said("Parts of a bar: not known: {}.\n", lot.bar->why_not);
    }
    if (lot.parts > 0) {
        const bool at_least = lot.part.blocks_without_time > 0 || !lot.left_out.empty();
        out += fmt::format("{}: {}{}{} h", plural(lot.parts, "part"), at_least ? said("at least ") : "",
                           lot.part.about ? said("about ") : "", features::plain(lot.seconds / 3600, 1));
        for (std::size_t i = 0; i < lot.left_out.size(); ++i)
            out += (i == 0 ? said(", without ") : ", ") + lot.left_out[i];
        out += ".\n";
    }
    return out + said("Reckoned from the program: wear, chips and the machine decide. Look at the edges.\n");
}

} // namespace turnwright::report
