// Edges, bars and hours of a lot, from what the program makes the tools do.
#include "report/lot.h"
#include "language/said.h"
#include "motion/work.h"

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

class LotMaker {
public:
    LotMaker(const features::Document& document, const LotQuestion& question)
        : document_(document), question_(question), mm_per_unit_(features::mm_per_unit_of(document)),
          bar_mm_(question.bar_mm ? question.bar_mm : document.shop().stock.bar_length_mm),
          remnant_mm_(question.remnant_mm ? question.remnant_mm : document.shop().stock.bar_remnant_mm) {
        lot_.title = program_name(document_);
        lot_.unit = unit_of(document_);
        lot_.parts = question_.parts;
    }

    void see(const WalkedBlock& block) {
        lot_.part += block.totals;
        const machine::State& state = block.view.after;
        if (!state.tool.known() || state.tool.number < 1) return;
        const int station = machine::whole_number(state.tool.number);
        bool cuts = !block.path.complete && !block.path.is_way_home &&
                    block.view.reading.motion != machine::MotionKind::rapid;
        bool moves_at_feed = false;
        for (const Segment& segment : block.path.segments) {
            const bool feeds = segment.kind == SegmentKind::feed || segment.kind == SegmentKind::thread;
            moves_at_feed = moves_at_feed || feeds;
            if (feeds && tool_of(station).kind == shop::ToolKind::parting) take_part_off(station, segment);
        }
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
        for (auto& [station, edge] : edges_) add_life(edge);
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

    /// Several parts of one run are cut off one behind the other.
    void take_part_off(int station, const Segment& segment) {
        constexpr double same_place_mm = 0.01, pip_mm = 0.3;
        PartOff here;
        if (!here.take(station, segment)) return;
        if (!offs_.empty() && here.x_radius_mm < offs_.front().x_radius_mm - pip_mm) offs_.clear();
        const bool is_first = offs_.empty();
        if (!is_first && here.x_radius_mm > offs_.front().x_radius_mm + pip_mm) return;
        for (PartOff& known : offs_)
            if (std::abs(known.z_mm - here.z_mm) < same_place_mm) {
                known.x_radius_mm = std::min(known.x_radius_mm, here.x_radius_mm);
                return;
            }
        offs_.push_back(here);
    }
    /// The one at the chuck; of grooves that a blade leaves, and nothing on the centre, the first.
    PartOff last_off() const {
        constexpr double on_centre_mm = 0.6;
        if (!offs_.empty() && offs_.front().x_radius_mm > on_centre_mm) return offs_.front();
        const auto deepest = std::min_element(
            offs_.begin(), offs_.end(), [](const PartOff& a, const PartOff& b) { return a.z_mm < b.z_mm; });
        return deepest == offs_.end() ? PartOff{} : *deepest;
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
        bar.parts_of_run = off.station > 0 && off.z_mm < offs_.front().z_mm ? offs_.size() : std::size_t{1};
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
        bar.step_mm = front.value_or(0) - far_side_z;
        bar.step_from = said(
            "from the front of the stock, Z{}{}, to the far side of the part-off of T{:02} at Z{}, {} wide, "
            "programmed by its {} corner{}",
            features::plain(in_unit(front.value_or(0))), front ? "" : said(" (assumed: nothing tells it)"),
            off.station, features::plain(in_unit(off.z_mm)), length(*tool.width_mm),
            by_right ? said("right") : said("left"), tool.tip_direction ? "" : said(" (assumed)"));
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
            bar.parts = runs * bar.parts_of_run;
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
    std::vector<PartOff> offs_; ///< As near to the centre as each other
};

/// "A part takes".
std::string taker_of(const LotBar& bar) {
    return bar.parts_of_run > 1 ? said("The {} parts of one run take", bar.parts_of_run)
                                : std::string(said("A part takes"));
}

std::string edge_words(const LotEdge& edge, LengthUnit unit) {
    std::string out = edge.minutes <= 0
                          ? said("time in cut not known")
                          : said("{}{}{} min in cut", edge.at_least ? said("at least ") : "",
                                 edge.about ? said("about ") : "", features::plain(edge.minutes, 2));
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
