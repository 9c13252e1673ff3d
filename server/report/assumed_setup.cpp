// What the moves of each tool tell of it and of the stock, beside the notes.
#include "report/assumed_setup.h"
#include "language/said.h"

#include "checks/head_stock.h"
#include "checks/named_tool.h"
#include "checks/second_sides.h"
#include "features/block_at.h"
#include "features/noted.h"
#include "features/speech.h"
#include "stock/stock.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>
#include <set>
#include <utility>

namespace turnwright::report {

using motion::Segment;
using motion::SegmentKind;
using shop::Tool;
using shop::ToolKind;

namespace {

/// Nearer to the centre than this a tool is on it, mm on radius.
constexpr double on_centre_mm = 0.005;
/// An edge of middle shape: it can go down into most contours. A way that is steeper asks for a slim insert,
/// at the most one of 35 degrees that stands upright. Common practice, no source.
constexpr double usual_approach_deg = 95, usual_back_deg = 30;
constexpr double slimmest_insert_deg = 35, steepest_back_deg = (180 - slimmest_insert_deg) / 2;
/// Steeper than this to the axis no way of a turning tool goes down into the metal.
constexpr double straight_down_deg = 89;
/// An insert of a known shape is set so that it cuts walls square, from flush to this much clear of them.
constexpr double most_wall_clearance_deg = 5;
/// Facing begins no further outside of what is turned where that reaches the outside, mm on radius.
constexpr double shoulder_clearance_mm = 5;
/// From where a rapid ends to the face that is turned.
constexpr double longest_lead_mm = 5;
/// In one cut nobody takes so much off an outside, mm on radius.
constexpr double deepest_cut_mm = 5;
/// Nearer than this to what is turned a tool passes by nothing, mm on radius.
constexpr double least_clear_mm = 0.05;
/// A finish keeps within what was bored but for allowances, mm.
constexpr double within_mm = 1;
/// So far in front of a plunge the metal is looked at: behind the corner that a nose leaves, mm.
constexpr double in_front_mm = 0.5;
constexpr std::size_t most_looked_at = 500;
/// A stock of which nothing outside is turned is drawn so much larger than its widest bore.
constexpr double wall_round_bore = 1.5;
/// Width of a common blade, and of those for small bars: common practice, no source.
constexpr double usual_blade_mm = 3, usual_blade_in = 0.125;
constexpr struct { double thickest_mm, width_mm, width_in; } small_blades[] = {{6, 1, 0.04}, {14, 2, 0.08}};
/// What a drill that nothing measures leaves to the bar behind it, in the drawing alone, mm on diameter.
constexpr double left_to_bore_mm = 0.2;
/// Of a common drill's point: common practice, no source.
constexpr double usual_point_deg = 118;
/// Further down than this no groove goes into a face, mm; nearer to the face than this a bar stop ends, mm.
constexpr double deepest_face_groove_mm = 10, bar_sticks_out_mm = 3;

/// Of what is done before a tool is called.
constexpr int no_station = -1;

/// What one tool does, mm and radius.
struct Work {
    std::size_t order = 0; ///< Of its first step among the tools'
    bool cuts = false, threads = false, leaves_centre = false, goes_along = false;
    bool taps = false;            ///< By a cycle for it
    bool feeds_out = false;       ///< Of the hole, along the axis and with the spindle turning as before
    std::uint32_t spindle_in = 0; ///< Text of the spindle on the way in
    bool only_in_and_out = true;  ///< All its cuts go straight along the axis, and back the same way
    bool while_turning = false;   ///< It feeds while the part turns
    bool in_hole = false;         ///< By where it cuts: see mark_inside
    int outward = 0, inward = 0;  ///< Ways off the work behind a cut along it
    int plunges_out = 0, plunges_in = 0; ///< Of feeds behind a rapid
    Extents cut;
    std::optional<double> largest_along, smallest_along; ///< X of cuts along the axis
    std::optional<double> largest_plain;                 ///< The same of what no roughing cycle cuts
    std::optional<double> first_face_z, first_face_x; ///< Largest Z at which it faces to the centre or near
    /// Ways inward square to the axis, of which one that ends in a bore faces a ring.
    struct Facing {
        std::size_t clamping;
        double z, high, low;
    };
    std::vector<Facing> facings;
    /// Of each clamping, by its number.
    struct Side {
        std::optional<double> face_z;
        double deepest_z = 0;
    };
    std::map<std::size_t, Side> sides;
    std::optional<double> shoulder_z, shoulder_x;     ///< Deepest face, and the largest X where one begins
    bool goes_round = false;                          ///< Round the axis, with a spindle of its own
    double steepest_in_deg = 0, steepest_out_deg = 0; ///< To the axis, of cuts toward the chuck
    /// Where its rapids begin and end, with the deepest Z that it had turned to by then.
    struct Passed {
        motion::Point at;
        double turned_to_z;
    };
    std::vector<Passed> passed;
    double turned_to_z = std::numeric_limits<double>::infinity();

    bool is_inside() const { return in_hole || inward > outward; }
    /// All it does is to go from the middle outward and back.
    bool plunges_outward() const { return plunges_out > 0 && plunges_in == 0 && outward == 0; }
    bool is_drill() const { return cuts && !leaves_centre && !threads; }
};

void widen(std::optional<double>& most, double value, bool upward) {
    if (!most || (upward ? value > *most : value < *most)) most = value;
}

class Look {
public:
    Look(const features::Document& document, const Picture& picture,
         std::span<const stock::Setup::TurnedRound> turned)
        : document_(document), picture_(picture), turned_(turned) {}

    std::map<int, Work> works() {
        const std::span<const checks::Span> spans = document_.results().spans();
        const machine::ProgramPart* main = main_program(document_);
        const Work* last = nullptr;
        for (const PictureStep& step : picture_.steps) {
            if (step.span >= spans.size()) continue;
            const checks::Span& span = spans[step.span];
            if (!main || (span.program->first != main->first && !span.program->is_subprogram)) continue;
            if (!span.program->is_subprogram) {
                const auto clamping = static_cast<std::size_t>(
                    std::upper_bound(turned_.begin(), turned_.end(), document_.place_of_line(step.line),
                                     [](machine::BlockPlace at, const auto& row) { return at < row.at; }) -
                    turned_.begin());
                // What was turned at the other end stands in front of nothing here.
                if (std::exchange(clamping_, clamping) != clamping) in_front_.clear();
            }
            const int station = step.station > 0 ? step.station
                                : span.sequence  ? span.sequence->tool
                                                 : no_station;
            const auto [held, is_new] = works_.try_emplace(station);
            Work& work = held->second;
            if (is_new) work.order = works_.size();
            // A way there from an unknown place is no segment.
            if (std::exchange(last, &work) != &work) {
                cut_along_ = false;
                behind_rapid_ = true;
            }
            if (step.live && picture_.round_stations.contains(step.station)) {
                work.goes_round = true;
                continue;
            }
            for (std::size_t i = 0; i < step.segment_count; ++i) {
                const Segment segment = seen_from_face(picture_.segments[step.first_segment + i]);
                work.while_turning =
                    work.while_turning || (segment.kind == SegmentKind::feed && !step.stands);
                take(work, segment);
                if (work.cuts && taps(step.line)) work.taps = true;
                look_at_way_out(work, segment, step.spindle);
            }
        }
        look_at_passed_over();
        return std::move(works_);
    }

private:
    /// Where Z grows into the part, as if it did not.
    Segment seen_from_face(Segment segment) const {
        if (clamping_ == 0 || !turned_[clamping_ - 1].to_plus) return segment;
        for (motion::Point* point : {&segment.from, &segment.to, &segment.centre}) point->z_mm = -point->z_mm;
        segment.sweep = -segment.sweep;
        return segment;
    }

    /// Where a jump leads past everything that a tool does, that still tells which tool it is.
    void look_at_passed_over() {
        std::set<int> seen;
        for (const auto& [station, work] : works_) seen.insert(station);
        for (const Picture::PassedOver& passed : picture_.passed_over) {
            if (passed.station <= 0 || seen.contains(passed.station)) continue;
            const auto [held, is_new] = works_.try_emplace(passed.station);
            if (is_new) held->second.order = works_.size();
            for (const Segment& segment : passed.segments) take(held->second, segment);
        }
    }

    /// Out of the hole on the axis by feed.
    static void look_at_way_out(Work& work, const Segment& segment, std::uint32_t spindle) {
        const bool on_axis =
            segment.from.x_radius_mm <= on_centre_mm && segment.to.x_radius_mm <= on_centre_mm;
        if (segment.kind != SegmentKind::feed || !on_axis) return;
        if (segment.to.z_mm < segment.from.z_mm)
            work.spindle_in = spindle;
        else if (segment.from.z_mm < -on_centre_mm && segment.role == motion::SegmentRole::move)
            work.feeds_out = work.feeds_out || spindle == work.spindle_in;
    }

    bool taps(std::size_t line) const {
        const machine::BlockPlace place = document_.place_of_line(line);
        const machine::Reader reader(document_.analysis());
        const auto items = reader.items(place);
        return std::any_of(items.begin(), items.end(), [&](const syntax::Item& item) {
            if (item.kind != syntax::ItemKind::word || item.letter != 'G') return false;
            const codes::Code* row = codes::find(document_.settings().system, 'G', item.value);
            return row && row->meaning == codes::Meaning::tap_face;
        });
    }

    void take(Work& work, const Segment& segment) {
        if (segment.kind == SegmentKind::dwell) return;
        const double dx = segment.to.x_radius_mm - segment.from.x_radius_mm;
        const double dz = segment.to.z_mm - segment.from.z_mm;
        // A short feed to the face in front of the part, and then down it: nothing is turned by it.
        const Held held = std::exchange(held_, {});
        const bool faces = segment.kind == SegmentKind::feed && dx < 0 && std::abs(dx) > std::abs(dz);
        if (held.work && !(faces && held.work == &work))
            count_along(*held.work, held.high, held.low, held.is_pass);
        else if (held.work && !in_front_.empty())
            in_front_.pop_back(); // The facing behind it is no plunge
        const bool retracts = segment.kind == SegmentKind::rapid ||
                              segment.role == motion::SegmentRole::cycle_retract ||
                              segment.role == motion::SegmentRole::cycle_return;
        if (!retracts && dx != 0) work.only_in_and_out = false;
        if (retracts) {
            if (cut_along_ && std::abs(dx) > on_centre_mm) ++(dx > 0 ? work.outward : work.inward);
            // Off the wall by feed, and out along the axis.
            if (aside_ != 0 && std::abs(dx) <= on_centre_mm && dz > 0)
                ++(aside_ > 0 ? work.outward : work.inward);
            aside_ = 0;
            cut_along_ = false;
            behind_rapid_ = true;
            for (const motion::Point& at : {segment.from, segment.to})
                work.passed.push_back({at, work.turned_to_z});
            return;
        }
        if (!in_front_.empty() && parts_off(segment)) in_front_.clear(); // The next part is whole
        work.cuts = true;
        const bool leads_in = std::exchange(behind_rapid_, false);
        if (leads_in && std::abs(dx) > std::abs(dz)) ++(dx > 0 ? work.plunges_out : work.plunges_in);
        const double high = std::max(segment.from.x_radius_mm, segment.to.x_radius_mm);
        const double low = std::min(segment.from.x_radius_mm, segment.to.x_radius_mm);
        if (high > on_centre_mm) work.leaves_centre = true;
        work.cut.take(segment.from.z_mm, segment.from.x_radius_mm);
        work.cut.take(segment.to.z_mm, segment.to.x_radius_mm);
        Work::Side& side = work.sides[clamping_];
        if (high > on_centre_mm)
            side.deepest_z = std::min({side.deepest_z, segment.from.z_mm, segment.to.z_mm});
        if (segment.kind == SegmentKind::thread) work.threads = true;
        // Inward no further than off the wall of a bore: further in it faces.
        aside_ = cut_along_ && std::abs(dz) <= on_centre_mm && segment.to.z_mm < -in_front_mm &&
                         dx > -deepest_cut_mm
                     ? dx
                     : 0;
        cut_along_ = std::abs(dz) > std::abs(dx);
        const bool is_pass = segment.role == motion::SegmentRole::cycle_pass;
        // Toward the chuck and into the metal: the trailing edge must be clear of it. Square to the axis only
        // a plunge behind something is: facing has nothing there any more.
        if (segment.kind == SegmentKind::feed && (dz < 0 || (dz == 0 && stands_in_front(segment))) &&
            std::abs(dx) > on_centre_mm) {
            const double degrees = std::atan2(std::abs(dx), -dz) * 180 / std::numbers::pi;
            double& steepest = dx < 0 ? work.steepest_in_deg : work.steepest_out_deg;
            steepest = std::max(steepest, degrees);
        }
        if (segment.kind == SegmentKind::feed && std::abs(dx) <= std::abs(dz) && dz < 0)
            in_front_.push_back({segment.to.z_mm, segment.from.z_mm, low, high});
        if (cut_along_) {
            work.goes_along = true;
            work.turned_to_z = std::min(work.turned_to_z, segment.to.z_mm);
            if (leads_in && std::abs(dz) < longest_lead_mm && dx == 0)
                held_ = {&work, high, low, is_pass};
            else
                count_along(work, high, low, is_pass);
        } else if (dx < 0 && segment.kind == SegmentKind::feed) {
            if (low < high / 2 && (!work.first_face_z || segment.to.z_mm > *work.first_face_z)) {
                work.first_face_z = segment.to.z_mm;
                work.first_face_x = high;
            }
            if (low < high / 2) widen(side.face_z, segment.to.z_mm, true);
            if (dz == 0 && work.facings.size() < most_looked_at)
                work.facings.push_back({clamping_, segment.to.z_mm, high, low});
            widen(work.shoulder_z, segment.to.z_mm, false);
            widen(work.shoulder_x, high, true);
        }
    }

    /// Whether right in front of a way square to the axis something was turned that reaches past its end.
    bool stands_in_front(const Segment& segment) const {
        const double z = segment.from.z_mm + in_front_mm;
        const bool inward = segment.to.x_radius_mm < segment.from.x_radius_mm;
        std::optional<double> left; // By the last cut there
        std::size_t looked_at = 0;
        for (auto turned = in_front_.rbegin();
             turned != in_front_.rend() && !left && looked_at < most_looked_at; ++turned, ++looked_at)
            if (turned->z_min <= z && z <= turned->z_max) left = inward ? turned->x_low : turned->x_high;
        if (!left) return false;
        return inward ? *left > segment.to.x_radius_mm + within_mm
                      : *left < segment.to.x_radius_mm - within_mm;
    }

    /// Straight to the centre, behind all that was turned.
    bool parts_off(const Segment& segment) const {
        constexpr double least_part_mm = 2, widest_blade_mm = 8;
        const double z = segment.to.z_mm;
        if (segment.kind != SegmentKind::feed || segment.from.z_mm != z || z > -least_part_mm ||
            segment.to.x_radius_mm > in_front_mm || segment.from.x_radius_mm <= segment.to.x_radius_mm)
            return false;
        return std::all_of(in_front_.begin(), in_front_.end(),
                           [&](const Turned& turned) { return turned.z_min >= z - widest_blade_mm; }) &&
               std::any_of(in_front_.begin(), in_front_.end(),
                           [&](const Turned& turned) { return turned.z_max > z + least_part_mm; });
    }

    static void count_along(Work& work, double high, double low, bool is_pass) {
        widen(work.largest_along, high, true);
        if (!is_pass) widen(work.largest_plain, high, true);
        widen(work.smallest_along, low, false);
    }

    /// A way along the axis right behind a rapid, until the next one tells what it is.
    struct Held {
        Work* work = nullptr;
        double high = 0, low = 0;
        bool is_pass = false;
    };

    /// A cut along the axis toward the chuck.
    struct Turned {
        double z_min, z_max, x_low, x_high;
    };
    std::vector<Turned> in_front_;

    const features::Document& document_;
    const Picture& picture_;
    std::span<const stock::Setup::TurnedRound> turned_; ///< Where the part lies otherwise
    std::size_t clamping_ = 0;
    std::map<int, Work> works_;
    Held held_;
    bool cut_along_ = false, behind_rapid_ = false;
    double aside_ = 0; ///< Way square to the axis behind a cut along it
};

/// A tool that works in a hole may go in and out of it with no way to either side. Where it cuts tells:
/// within what a boring bar has bored, or, behind a drill that went as deep, far below all that was turned
/// outside.
void mark_inside(std::map<int, Work>& works) {
    std::vector<Work*> row;
    for (auto& [station, work] : works)
        if (work.cuts) row.push_back(&work);
    std::sort(row.begin(), row.end(), [](const Work* a, const Work* b) { return a->order < b->order; });
    std::optional<double> drilled_to_z, smallest_outside;
    std::vector<const Work*> inside;
    for (Work* work : row) {
        if (work->is_drill()) {
            widen(drilled_to_z, work->cut.z_min, false);
            continue;
        }
        const auto bored = [&](const Work* bar) {
            return work->cut.x_max <= bar->cut.x_max + within_mm &&
                   work->cut.x_min >= bar->cut.x_min - within_mm &&
                   work->cut.z_min >= bar->cut.z_min - within_mm;
        };
        const bool is_below = smallest_outside && work->cut.x_max < *smallest_outside - deepest_cut_mm;
        const bool behind_drill = drilled_to_z && work->cut.z_min >= *drilled_to_z - within_mm;
        const bool as_bored = std::any_of(inside.begin(), inside.end(), bored);
        if (!work->is_inside() && !work->leaves_centre) continue;
        if (!work->is_inside() && work->plunges_outward() && work->cut.z_max < -on_centre_mm &&
            (drilled_to_z || !inside.empty()))
            work->in_hole =
                behind_drill || as_bored || std::any_of(inside.begin(), inside.end(), [&](const Work* bar) {
                    return work->cut.x_min <= bar->cut.x_max && work->cut.z_min >= bar->cut.z_min - within_mm;
                });
        else if (!work->is_inside() && work->goes_along)
            work->in_hole = drilled_to_z
                                ? (behind_drill && is_below) || ((!smallest_outside || is_below) && as_bored)
                                : is_below && as_bored;
        if (work->is_inside())
            inside.push_back(work);
        else if (work->smallest_along && !work->threads)
            widen(smallest_outside, *work->smallest_along, false);
    }
}

class Assumer {
public:
    Assumer(const features::Document& document, const Picture& picture, bool stock_told)
        : document_(document), stock_told_(stock_told), turned_(turned_round_of(document)),
          works_(Look(document, picture, turned_).works()), mm_per_unit_(features::mm_per_unit_of(document)) {
        out_.shop = document.shop();
        mark_inside(works_);
        // Down to the centre of what nobody has drilled no bar works.
        if (!any_drills())
            for (auto& [station, work] : works_)
                if (work.cut.x_min <= on_centre_mm && work.goes_along && !work.threads)
                    work.outward = std::max(work.outward, work.inward);
    }

    std::optional<AssumedSetup> assume() {
        const bool calls_none = calls_no_tool();
        for (auto& [station, work] : works_) {
            if ((station > 0 || calls_none) && (work.cuts || work.goes_round)) add_tool(station, work);
            if (station > 0 && !work.cuts && lets_bar_against(work))
                tell_tool(
                    checks::tool_named(features::tool_note(document_, station)).kind ==
                            checks::NamedTool::Kind::stop
                        ? AssumedTool{fmt::format("T{:02}", station), said("bar stop"), said("its note")}
                        : AssumedTool{fmt::format("T{:02}", station), said("bar stop or puller"),
                                      said("by its moves")},
                    true);
        }
        if (!stock_told_ && !add_stock()) return std::nullopt;
        for (std::size_t i = 0; i < turned_.size(); ++i) add_turned_round(i + 1);
        return std::move(out_);
    }

private:
    /// One tool is in the post, and nothing calls it.
    bool calls_no_tool() const {
        const machine::ProgramPart* main = main_program(document_);
        return main && works_.size() == 1 && works_.begin()->first == no_station &&
               std::none_of(main->sequences.begin(), main->sequences.end(),
                            [](const machine::Sequence& sequence) { return sequence.calls_tool; });
    }

    // --- Tools -------------------------------------------------------------------------------------------

    static bool is_blade(ToolKind kind) {
        return kind == ToolKind::grooving || kind == ToolKind::parting || kind == ToolKind::face_grooving;
    }

    ToolKind kind_by_work(const Work& work, std::string& why) const {
        const bool on_centre = work.is_drill() || (work.cuts && !work.leaves_centre);
        why = on_centre ? said("by its moves, on the centre alone") : said("by its moves");
        if (work.cuts && !work.leaves_centre && (work.threads || work.taps)) return ToolKind::tap;
        if (work.threads) return work.is_inside() ? ToolKind::threading_inside : ToolKind::threading;
        if (work.is_drill())
            return reams(work) ? ToolKind::reamer : spots(work) ? ToolKind::centre_drill : ToolKind::drill;
        if (parts_off(work) || parts_off_into_hole(work)) return ToolKind::parting;
        if (grooves_face(work)) return ToolKind::face_grooving;
        if (work.is_inside() && work.plunges_outward() && work.cut.z_max < -on_centre_mm)
            return ToolKind::grooving;
        // Straight down into the metal goes a blade, which may go along the bottom then.
        const bool plunges = !work.goes_along || work.steepest_in_deg > straight_down_deg;
        if (plunges && work.cut.z_max < -on_centre_mm && !work.is_inside()) return ToolKind::grooving;
        return work.is_inside() ? ToolKind::boring : ToolKind::turning;
    }

    /// Not deep, where another drills much deeper behind it.
    bool spots(const Work& work) const {
        constexpr double deepest_mm = 7;
        return work.cut.z_min > -deepest_mm && std::any_of(works_.begin(), works_.end(), [&](const auto& of) {
                   const Work& other = of.second;
                   return other.is_drill() && other.order > work.order &&
                          other.cut.z_min < 2 * work.cut.z_min;
               });
    }

    /// Down a hole that is drilled as deep, and out of it by feed.
    bool reams(const Work& work) const {
        return work.feeds_out && std::any_of(works_.begin(), works_.end(), [&](const auto& of) {
                   const Work& other = of.second;
                   return other.is_drill() && other.order < work.order && !other.feeds_out &&
                          other.cut.z_min <= work.cut.z_min + within_mm;
               });
    }

    /// Straight in from the front, beside the axis and into metal that neither bore nor outside takes away.
    bool grooves_face(const Work& work) const {
        const double depth = std::min(work.cut.z_max, 0.0) - work.cut.z_min;
        if (!work.goes_along || !work.only_in_and_out || work.is_drill() || work.outward > 0 ||
            work.inward > 0 || work.cut.x_min <= 1 || work.cut.z_min >= -on_centre_mm ||
            depth > deepest_face_groove_mm)
            return false;
        bool within = false;
        for (const auto& [station, other] : works_) {
            if (&other == &work || !other.cuts || other.is_drill()) continue;
            if (other.is_inside() ? other.cut.x_max > work.cut.x_min && other.smallest_along
                                  : other.smallest_along && other.cut.z_min < work.cut.z_min &&
                                        *other.smallest_along < work.cut.x_max)
                return false;
            within = within || (!other.is_inside() && other.cut.x_max > work.cut.x_max);
        }
        return within;
    }

    /// To the axis close in front of the part and never farther: the bar is let out against it.
    bool lets_bar_against(const Work& work) const {
        std::optional<double> face_z;
        for (const auto& [station, other] : works_)
            if (other.first_face_z) widen(face_z, *other.first_face_z, true);
        bool is_there = false, others_turn = false;
        for (const auto& [station, other] : works_) others_turn = others_turn || other.while_turning;
        for (const Work::Passed& passed : work.passed) {
            if (!face_z || passed.at.z_mm < *face_z - on_centre_mm) return false;
            is_there = is_there || (passed.at.x_radius_mm <= on_centre_mm &&
                                    passed.at.z_mm <= *face_z + bar_sticks_out_mm);
        }
        return is_there && others_turn;
    }

    /// On the axis while the part stands, where other tools work while it turns: the bar is let in against
    /// it.
    bool moves_bar(const Work& work) const {
        return !work.while_turning && std::any_of(works_.begin(), works_.end(), [](const auto& of) {
            return of.second.cuts && of.second.while_turning;
        });
    }

    /// Never further in than where others face: a bar is let in against it.
    bool stays_in_front(const Work& work) const {
        std::optional<double> face_z;
        for (const auto& [station, other] : works_)
            if (other.first_face_z) widen(face_z, *other.first_face_z, true);
        return face_z && work.cut.z_min >= *face_z - on_centre_mm;
    }

    /// All of it behind the face, and down to the centre.
    static bool parts_off(const Work& work) {
        return work.cut.z_max < -on_centre_mm && !work.is_inside() && work.cut.x_min <= 0.5;
    }

    /// Z of the deepest part-off of the first clamping; nullopt: nothing is parted off, or the part is turned
    /// round.
    std::optional<double> parted_at() const {
        std::optional<double> deepest;
        if (!turned_.empty()) return deepest;
        for (const auto& [station, work] : works_) {
            const auto tool = std::find_if(out_.shop.tools.begin(), out_.shop.tools.end(),
                                           [at = station](const Tool& one) { return one.station == at; });
            if (work.cuts && tool != out_.shop.tools.end() && tool->kind == ToolKind::parting)
                widen(deepest, work.cut.z_min, false);
        }
        return deepest;
    }

    /// Behind all that other tools cut outside, and through to what is drilled or bored there.
    bool parts_off_into_hole(const Work& work) const {
        if (work.cut.z_max >= -on_centre_mm || work.is_inside() || work.threads) return false;
        bool hollow = false;
        for (const auto& [station, other] : works_) {
            if (&other == &work || !other.cuts) continue;
            if (other.is_drill())
                hollow = hollow || (other.cut.z_min <= work.cut.z_min && work.cut.x_min < work.cut.x_max / 2);
            else if (other.is_inside())
                hollow = hollow ||
                         (other.cut.z_min <= work.cut.z_min + within_mm && work.cut.x_min <= other.cut.x_max);
            else if (other.order > work.order || other.cut.z_min < work.cut.z_min - usual_blade_mm)
                return false;
        }
        return hollow;
    }

    void add_tool(int station, const Work& work) {
        const auto held = std::find_if(out_.shop.tools.begin(), out_.shop.tools.end(),
                                       [&](const Tool& tool) { return tool.station == station; });
        if (held != out_.shop.tools.end() && stock::shape_of(&*held).known) {
            // A drill that is told by its diameter alone is no flat one.
            if (held->kind == ToolKind::drill && !held->point_angle_deg) {
                held->point_angle_deg = usual_point_deg;
                out_.told.push_back(said("T{:02} with a point of {:.0f} degrees (common practice)", station,
                                         usual_point_deg));
            }
            return;
        }
        const checks::NotedTool noted = features::noted_tool(document_, station, mm_per_unit_);
        Tool tool = noted.tool;
        std::string why = said("its note");
        if (is_stop_by_note(station, noted.tool)) return tell_stop(station, held);
        if (work.goes_round && !work.cuts) {
            tool.kind = ToolKind::live;
            why = said("works round the axis");
        }
        if (tool.kind == ToolKind::unknown) tool.kind = kind_by_work(work, why);
        if (tool.kind == ToolKind::grooving && (parts_off(work) || parts_off_into_hole(work)))
            tool.kind = ToolKind::parting;
        if (tool.kind == ToolKind::turning && work.is_inside()) tool.kind = ToolKind::boring;
        // "ROUGH BAR": of the bar that is turned, where no drill came before and it goes off outward.
        if (tool.kind == ToolKind::boring && !work.is_inside() && work.outward > 0 && !any_drills())
            tool.kind = ToolKind::turning;
        if (tool.kind == ToolKind::threading && work.is_inside()) tool.kind = ToolKind::threading_inside;
        tool.station = station;
        const bool lets_bar_in = noted.tool.kind == ToolKind::unknown &&
                                 (tool.kind == ToolKind::drill || tool.kind == ToolKind::centre_drill) &&
                                 (moves_bar(work) || stays_in_front(work));
        if (lets_bar_in) why = said("by its moves");
        if (!lets_bar_in && station > 0) out_.kinds[station] = tool.kind;
        std::string told(lets_bar_in ? said("bar stop or puller") : translated(shop::kind_word(tool.kind)));
        complete(tool, work, noted.corner, told);
        if (tool.kind == ToolKind::drill && !noted.tool.diameter_mm) out_.unsized_drills.insert(station);
        const std::string name =
            station == no_station ? said("the tool that no T calls:") : fmt::format("T{:02}", station);
        const ToolKind by_note = noted.tool.kind;
        const bool other_side =
            by_note != tool.kind &&
            (by_note == ToolKind::turning || by_note == ToolKind::boring || by_note == ToolKind::threading);
        if (other_side) why = said("its note and its moves");
        tell_tool({name, told, why}, other_side || by_note == ToolKind::unknown);
        if (held != out_.shop.tools.end())
            *held = std::move(tool);
        else
            out_.shop.tools.push_back(std::move(tool));
    }

    /// "BAR STOP": what it is fed against is no cut.
    bool is_stop_by_note(int station, const Tool& noted) const {
        return station > 0 && noted.kind == ToolKind::unknown &&
               checks::tool_named(features::tool_note(document_, station)).kind ==
                   checks::NamedTool::Kind::stop;
    }
    void tell_stop(int station, std::vector<Tool>::iterator held) {
        Tool tool;
        tool.station = station;
        tool.kind = ToolKind::live; // It takes nothing off
        tell_tool({fmt::format("T{:02}", station), said("bar stop"), said("its note")}, true);
        if (held != out_.shop.tools.end())
            *held = std::move(tool);
        else
            out_.shop.tools.push_back(std::move(tool));
    }

    void tell_tool(AssumedTool tool, bool by_moves) {
        out_.told.push_back(fmt::format("{} {} ({})", tool.name, tool.what, tool.why));
        if (by_moves) out_.tools.push_back(std::move(tool));
    }

    LengthUnit unit() const {
        return mm_per_unit_ == motion::mm_per_inch ? LengthUnit::inch : LengthUnit::mm;
    }
    std::string length(double mm) const { return length_text(unit(), mm, 2); }
    void tell(std::string& told, std::string_view name, double mm) const {
        told += fmt::format(", {} {}", name, length_text(unit(), mm));
    }

    /// Both edges, so that the back is clear of the steepest way where the insert can be.
    void set_edges(Tool& tool, double steepest_deg, std::string& told) const {
        if (tool.approach_angle_deg && tool.back_angle_deg) return;
        if (tool.approach_angle_deg || tool.back_angle_deg) {
            if (!tool.approach_angle_deg) tool.approach_angle_deg = usual_approach_deg;
            if (!tool.back_angle_deg)
                tool.back_angle_deg = std::clamp(steepest_deg, usual_back_deg, steepest_back_deg);
            return;
        }
        const auto insert = features::noted_insert_angle(document_, tool.station);
        if (insert) {
            const double square = 90 - *insert;
            tool.back_angle_deg = std::clamp(steepest_deg, std::max(0.0, square - most_wall_clearance_deg),
                                             std::max(0.0, square));
            tool.approach_angle_deg = 180 - *insert - *tool.back_angle_deg;
            told += said(", insert of {:.0f} degrees", *insert);
            return;
        }
        tool.back_angle_deg = std::clamp(steepest_deg, usual_back_deg, steepest_back_deg);
        tool.approach_angle_deg =
            std::min(usual_approach_deg, 180 - slimmest_insert_deg - *tool.back_angle_deg);
    }

    void complete(Tool& tool, const Work& work, checks::BladeCorner corner, std::string& told) const {
        if (tool.kind == ToolKind::turning || tool.kind == ToolKind::boring) {
            const bool inside = tool.kind == ToolKind::boring;
            if (!tool.tip_direction)
                tool.tip_direction = tool.hand == shop::ToolHand::left ? (inside ? 1 : 4) : (inside ? 2 : 3);
            set_edges(tool, inside ? work.steepest_out_deg : work.steepest_in_deg, told);
            if (tool.nose_radius_mm) tell(told, said("nose radius"), *tool.nose_radius_mm);
        }
        if (is_blade(tool.kind)) {
            told += tool.width_mm ? "" : said(" as of a common blade");
            if (!tool.width_mm) tool.width_mm = usual_blade();
            tell(told, said("width"), *tool.width_mm);
            if (corner != checks::BladeCorner::unknown)
                told += fmt::format(", {}", checks::corner_words(corner));
            const bool in_bore = work.plunges_out > work.plunges_in;
            const bool right_corner = corner == checks::BladeCorner::right;
            tool.tip_direction = in_bore ? (right_corner ? 1 : 2) : (right_corner ? 4 : 3);
        }
        const bool drills = tool.kind == ToolKind::drill || tool.kind == ToolKind::centre_drill ||
                            tool.kind == ToolKind::tap || tool.kind == ToolKind::reamer;
        if (!drills) return;
        const bool is_told = tool.diameter_mm.has_value();
        if (!is_told && tool.kind == ToolKind::drill) tool.diameter_mm = drilled_before_boring();
        if (tool.diameter_mm) {
            tell(told, said("diameter"), *tool.diameter_mm);
            if (!is_told) {
                told += said(" at most, which is bored behind it");
                *tool.diameter_mm -= left_to_bore_mm; // So that the bar cuts
            }
            if (!tool.point_angle_deg && tool.kind == ToolKind::drill) tool.point_angle_deg = usual_point_deg;
        } else {
            // What it takes off cannot be told: the hole is left out.
            tool.kind = ToolKind::live;
            told += said(" of a diameter that is not told: its hole is not drawn");
        }
    }

    double usual_blade() const {
        std::optional<double> turned;
        for (const auto& [station, work] : works_)
            if (!work.is_inside() && !work.is_drill() && work.largest_along)
                widen(turned, *work.largest_along, true);
        const bool inch = unit() == LengthUnit::inch;
        for (const auto& row : small_blades)
            if (turned && 2 * *turned < row.thickest_mm)
                return inch ? row.width_in * motion::mm_per_inch : row.width_mm;
        return inch ? usual_blade_in * motion::mm_per_inch : usual_blade_mm;
    }

    bool any_drills() const {
        return std::any_of(works_.begin(), works_.end(), [](const auto& of) { return of.second.is_drill(); });
    }

    /// A boring bar begins in the hole of the drill: it is no wider than its first cut.
    std::optional<double> drilled_before_boring() const {
        std::optional<double> smallest;
        for (const auto& [station, work] : works_)
            if (work.is_inside() && work.smallest_along && *work.smallest_along > 1)
                widen(smallest, *work.smallest_along, false);
        return smallest ? std::optional(2 * *smallest) : std::nullopt;
    }

    // --- The other side ------------------------------------------------------------------------------------

    static std::vector<stock::Setup::TurnedRound> turned_round_of(const features::Document& document) {
        const machine::ProgramPart* main = main_program(document);
        if (!main) return {};
        std::vector<stock::Setup::TurnedRound> rows;
        for (const machine::BlockPlace at : checks::turned_round_places(document.analysis(), *main))
            rows.push_back({at});
        checks::add_second_spindle(rows, document.results().spans(), document.shop(),
                                   document.settings().machine);
        std::erase_if(rows, [&](const auto& row) { return row.at < main->first || main->last < row.at; });
        return rows;
    }
    std::optional<double> first_face_of(const Work& work, std::size_t clamping) const {
        if (turned_.empty()) return work.first_face_z;
        const auto side = work.sides.find(clamping);
        return side == work.sides.end() ? std::nullopt : side->second.face_z;
    }
    double depth_of(std::size_t clamping) const {
        double deepest_z = 0;
        for (const auto& [station, work] : works_)
            if (const auto side = work.sides.find(clamping); side != work.sides.end() && !work.is_inside())
                deepest_z = std::min(deepest_z, side->second.deepest_z);
        return -deepest_z;
    }
    void add_turned_round(std::size_t clamping) {
        using How = stock::Setup::TurnedRound::How;
        stock::Setup::TurnedRound row = turned_[clamping - 1];
        const auto line = document_.line_of(row.at) + 1;
        if (row.how == How::pulled)
            out_.told.push_back(said("the bar is pulled {} out in front of line {} (the way of the slide)",
                                     length(row.pull_mm), line));
        if (row.how == How::taken_over && !row.is_known)
            out_.told.push_back(said("what the second spindle holds in line {} was made before the program "
                                     "begins: it is not drawn",
                                     line));
        if (row.turns() && row.is_known) {
            std::optional<double> face_z;
            for (const auto& [station, work] : works_)
                if (!work.is_inside() && !work.is_drill())
                    if (const auto face = first_face_of(work, clamping)) widen(face_z, *face, true);
            const double sign = row.to_plus ? -1 : 1;
            row.front_z_mm = sign * face_z.value_or(0);
            row.least_length_mm = depth_of(clamping - 1) + depth_of(clamping);
            const std::string why =
                face_z ? said("at least (the first facing there)") : said("as no facing tells more");
            const std::string z = length_number(unit(), row.front_z_mm, 2);
            std::string told =
                row.how == How::by_hand
                    ? said("turned round in front of line {}: the other end at Z{}, {}", line, z, why)
                    : said("in the second spindle from line {}: the other end at Z{}, {}", line, z, why);
            if (row.to_plus) told += said(", Z grows into the part there");
            if (!out_.shop.stock.back_z_mm && !row.cut_off)
                told += said(", {} long at least (what both sides turn)", length(row.least_length_mm));
            out_.told.push_back(std::move(told));
        }
        out_.turned_round.push_back(row);
    }

    // --- Stock -------------------------------------------------------------------------------------------

    const Tool* tool(int station) const { return out_.shop.tool(station); }

    /// What bar that is turned to `turned` at its largest ends below.
    struct Bounds {
        std::optional<double>
            largest; ///< Facing begins there, or tools pass by it where nothing is turned yet
        bool by_facing = false;
        std::optional<double> nearest; ///< Tools pass by it anywhere
    };
    Bounds bounds_of(double turned, double face_z, std::optional<double> faced_from) const {
        Bounds bounds;
        const auto is_clear = [&](double x) { return x > turned + least_clear_mm; };
        if (faced_from && is_clear(*faced_from)) bounds.largest = faced_from;
        std::vector<const Work*> row;
        for (const auto& [station, work] : works_) {
            const Tool* used = tool(station);
            if (!work.cuts || work.is_inside() || work.is_drill()) continue;
            if (!used || used->kind != ToolKind::live) row.push_back(&work);
        }
        std::sort(row.begin(), row.end(), [](const Work* a, const Work* b) { return a->order < b->order; });
        double turned_to_z = face_z - on_centre_mm;
        for (const Work* work : row) {
            for (const Work::Passed& passed : work->passed) {
                const motion::Point& at = passed.at;
                if (at.z_mm >= face_z - on_centre_mm || !is_clear(at.x_radius_mm)) continue;
                widen(bounds.nearest, at.x_radius_mm, false);
                if (at.z_mm < std::min(turned_to_z, passed.turned_to_z) - on_centre_mm)
                    widen(bounds.largest, at.x_radius_mm, false);
            }
            turned_to_z = std::min(turned_to_z, work->turned_to_z);
        }
        bounds.by_facing = bounds.largest && bounds.largest == faced_from;
        return bounds;
    }

    std::string upper_words(const Bounds& bounds) const {
        if (!bounds.largest) return {};
        return said(", and {} at most, where {}", length(2 * *bounds.largest),
                    bounds.by_facing ? said("facing begins") : said("tools pass by"));
    }

    /// Nothing is turned outside of what a note gives, but for a first pass of a roughing cycle in the air.
    static bool fits_note(double noted_mm, double turned_mm, std::optional<double> plain_radius_mm) {
        constexpr double not_round_mm = 0.2, pass_in_air_mm = 1.2, pattern_in_air_mm = 4;
        const bool nearly = noted_mm >= turned_mm - (plain_radius_mm ? pattern_in_air_mm : pass_in_air_mm);
        return noted_mm >= turned_mm - not_round_mm ||
               (nearly && (!plain_radius_mm || noted_mm >= 2 * *plain_radius_mm - not_round_mm));
    }

    bool add_stock() {
        std::optional<double> turned, plain, faced, faced_from, plunged_from, face_z, bored, widest_bore,
            shoulder_z, shoulder_x;
        bool solid = false;
        for (const auto& [station, work] : works_) {
            if (!work.cuts) continue;
            const Tool* used = tool(station);
            const ToolKind kind = used ? used->kind : ToolKind::unknown;
            if (kind == ToolKind::drill || kind == ToolKind::centre_drill) solid = true;
            if (work.is_inside() || work.is_drill()) {
                solid = solid || work.is_drill();
                if (work.is_inside() && work.smallest_along) widen(bored, *work.smallest_along, false);
                if (work.is_inside()) widen(widest_bore, work.cut.x_max, true);
                continue;
            }
            if (kind == ToolKind::live) continue;
            if (work.largest_along) widen(turned, *work.largest_along, true);
            if (work.largest_plain) widen(plain, *work.largest_plain, true);
            if (is_blade(kind)) {
                widen(plunged_from, work.cut.x_max, true);
                continue;
            }
            if (work.shoulder_z) {
                widen(shoulder_z, *work.shoulder_z, false);
                widen(shoulder_x, *work.shoulder_x, true);
            }
            if (work.first_face_z) {
                if (const auto face = first_face_of(work, 0)) widen(face_z, *face, true);
                widen(faced, work.cut.x_max, true);
                widen(faced_from, *work.first_face_x, true);
                solid = solid || work.cut.x_min <= 0.5;
            }
        }
        // A ring is faced into its bore; how large it is the front of a hub does not tell.
        const bool ring = !face_z && bored && !solid && turned;
        if (ring)
            for (const auto& [station, work] : works_) {
                if (work.is_inside() || work.is_drill()) continue;
                for (const Work::Facing& facing : work.facings)
                    if (facing.clamping == 0 && facing.low <= *bored + within_mm &&
                        facing.high >= *turned - within_mm)
                        widen(face_z, facing.z, true);
            }
        const std::optional<double> least = turned ? turned : faced;
        // A shoulder that is faced behind the front has metal beside it, as far out as the facing begins.
        const bool by_shoulder = turned && shoulder_x && face_z && !ring && *shoulder_z < *face_z - 1 &&
                                 *shoulder_x > *turned + shoulder_clearance_mm;
        const features::StockInNotes noted = features::noted_stock(document_, mm_per_unit_);
        shop::Stock stock = out_.shop.stock;
        std::string told;
        const bool by_note = !stock.diameter_mm && noted.stock.diameter_mm &&
                             (!least || fits_note(*noted.stock.diameter_mm, 2 * *least, plain));
        // Over its corners; where something is milled round the axis the hexagon may be the part's.
        const std::optional<features::FlatsInNotes> flats =
            stock.diameter_mm || by_note ? std::nullopt : features::noted_flats(document_, mm_per_unit_);
        const double corners_mm = flats ? flats->mm * 2 / std::numbers::sqrt3 : 0;
        const bool mills =
            std::any_of(works_.begin(), works_.end(), [](const auto& of) { return of.second.goes_round; });
        const bool by_flats = flats && !mills && (!least || fits_note(corners_mm, 2 * *least, plain));
        const Bounds bounds =
            turned ? bounds_of(*turned, ring ? 0 : face_z.value_or(0), faced_from) : Bounds{};
        const std::optional<double> clear = bounds.largest ? bounds.largest : bounds.nearest;
        if (!stock.diameter_mm) {
            if (by_note)
                stock.diameter_mm = noted.stock.diameter_mm;
            else if (by_flats)
                stock.diameter_mm = corners_mm;
            else if (by_shoulder)
                stock.diameter_mm = 2 * *shoulder_x;
            else if (clear)
                stock.diameter_mm = *turned + std::min(*clear, *turned + 2 * deepest_cut_mm);
            else if (least)
                stock.diameter_mm = 2 * *least;
            else if (plunged_from)
                stock.diameter_mm = 2 * *plunged_from;
            else if (widest_bore)
                stock.diameter_mm = 2 * *widest_bore * wall_round_bore;
            else
                return false;
            told += by_note       ? said(" diameter {} (note {})", length(*stock.diameter_mm), noted.note)
                    : by_flats    ? said(" hexagon {} across flats, {} over its corners (note {})",
                                         length(flats->mm), length(corners_mm), flats->note)
                    : by_shoulder ? said(" diameter {} at most (where the facing of a shoulder begins)",
                                         length(*stock.diameter_mm))
                    : !least && !plunged_from
                        ? said(" diameter {} for the drawing alone (nothing outside is turned)",
                               length(*stock.diameter_mm))
                    : clear ? said(" diameter {} ({} at least, the largest that is turned{})",
                                   length(*stock.diameter_mm), length(2 * *turned), upper_words(bounds))
                    : !least
                        ? said(" diameter {} at most (where the grooving begins)", length(*stock.diameter_mm))
                        : said(" diameter {} at least (the largest that is {})", length(*stock.diameter_mm),
                               turned ? said("turned") : said("faced"));
        }
        if (!stock.front_z_mm) {
            stock.front_z_mm = face_z.value_or(0);
            told += said(", face at Z{} {}", length_number(unit(), *stock.front_z_mm, 2),
                         face_z ? said("at least (the first facing)") : said("(no facing: the datum)"));
        }
        if (!stock.bore_mm && by_note && noted.stock.bore_mm) {
            stock.bore_mm = noted.stock.bore_mm;
            told += said(", bore {} (the same note)", length(*stock.bore_mm));
        }
        if (!stock.bore_mm) {
            const bool hollow = bored && !solid && *bored > 1 && 2 * *bored < *stock.diameter_mm;
            stock.bore_mm = hollow ? 2 * *bored : 0;
            if (hollow) told += said(", bore {} at most (bored, never drilled)", length(*stock.bore_mm));
        }
        if (!stock.back_z_mm && noted.stock.length_mm && noted.stock.diameter_mm)
            stock.back_z_mm = *stock.front_z_mm - *noted.stock.length_mm;
        if (!stock.back_z_mm)
            if (const auto parted = parted_at())
                told += said(", length {} at least (parted off at Z{})", length(*stock.front_z_mm - *parted),
                             length_number(unit(), *parted, 3));
        if (*stock.diameter_mm <= 0 || *stock.bore_mm >= *stock.diameter_mm) return false;
        if (!out_.shop.stock.diameter_mm)
            out_.stock_from = by_note ? StockFrom::note : by_flats ? StockFrom::hexagon : StockFrom::moves;
        out_.shop.stock = std::move(stock);
        out_.told.insert(out_.told.begin(), std::string(said("stock")) + told);
        out_.stock = std::move(told);
        return true;
    }

    const features::Document& document_;
    const bool stock_told_;
    std::vector<stock::Setup::TurnedRound> turned_; ///< Where the part lies otherwise
    std::map<int, Work> works_;
    std::optional<double> mm_per_unit_;
    AssumedSetup out_;
};

} // namespace

std::optional<AssumedSetup> assume_setup(const features::Document& document, const Picture& picture,
                                         bool stock_told) {
    return Assumer(document, picture, stock_told).assume();
}

} // namespace turnwright::report
