// A rapid through what the program's own cuts show to be metal.
#include "checks/head_stock.h"
#include "checks/noted_words.h"
#include "checks/tool_of_work.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

namespace turnwright::checks::rules::rapid_into_metal {

namespace {

/// Deeper than a shaving that an allowance or a nose explains.
constexpr double least_depth_mm = 0.2999;
/// As wide as blades are: what stands beside a plunge is not known so far to either side.
constexpr double widest_blade_mm = 6;
/// Bar behind the last cut is taken to stand as far as a part-off is wide and clear.
constexpr double bar_behind_mm = 8;

/// In front of this nothing is taken to stand: the face is at Z0, or raw.
constexpr double front_mm = -0.5;

// Of a bar that a note gives. Common practice, no source.
constexpr double least_depth_in_bar_mm = 0.5; ///< Bars are not round, nor of their size
constexpr double beside_cut_mm = 0.5;         ///< What a nose takes off beside the way of its tip
constexpr double deepest_first_cut_mm = 6;    ///< Deeper nobody begins: the part came in turned

struct Hit {
    Point at;
    double surface;
    double depth;
};

/// In program units, X as radius.
struct Bar {
    double x_radius = 0;
    double back_z = 0; ///< Behind it nothing is said
    bool is_solid = false;
    bool turned_round = false; ///< It is what the clamping before left at the other end
    bool is_hexagon = false;
};

/// The part as the cuts above have left it, and where they have not been yet, as the cuts below will leave
/// it.
class Standing {
public:
    explicit Standing(const Workpiece& part)
        : part_(part), outside_(part.z_min, part.z_max), turned_(outside_), bore_(outside_) {
        for (double z = part.z_min; z < part.z_max && !last_; z += part.outside.step())
            last_ = part.outside.at(z);
    }

    void cut(const Work& work, const Leg& leg, bool is_blade) {
        if (work.where == Work::Where::inside) {
            bore_.raise(leg);
        } else {
            is_blade ? outside_.lower(leg) : outside_.face(leg);
            if (work.where == Work::Where::outside) turned_.lower(leg);
            if (is_blade && is_plunge(leg)) plunges_.push_back(leg.to);
        }
    }

    std::optional<double> outside(double z, double unit_mm) const {
        if (auto now = outside_.at(z)) return now;
        if (z < part_.z_min && z > part_.z_min - bar_behind_mm / unit_mm) return last_;
        return part_.outside.at(z);
    }
    double step() const { return 1.5 * outside_.step(); }
    /// Only what tools that are outside for certain have cut so far.
    std::optional<double> turned(double z) const { return turned_.at(z); }
    /// The same where a blade stands, whichever of its corners is set: the smaller of what lies beside it.
    std::optional<double> turned_beside(double z, double unit_mm) const {
        constexpr double beside_mm = 1;
        std::optional<double> least;
        for (const double side : {-beside_mm, 0.0, beside_mm})
            if (const auto x = turned_.at(z + side / unit_mm)) least = std::min(least.value_or(*x), *x);
        return least;
    }
    std::optional<double> bore(double z) const {
        if (auto now = bore_.at(z)) return now;
        return part_.bore.at(z);
    }
    /// Where no tool has cut so far, nor beside it.
    std::optional<double> bar(const Bar& bar, double z, double unit_mm) const {
        const double beside = beside_cut_mm / unit_mm;
        if (z < bar.back_z) return std::nullopt;
        for (double near : {z - beside, z, z + beside})
            if (outside_.at(near)) return std::nullopt;
        return bar.x_radius;
    }
    /// Any tool that goes straight in may be a blade.
    void widen(const Work& work, const Leg& leg) {
        if (work.where != Work::Where::inside && is_plunge(leg) && leg.dx() < 0 &&
            leg.to.z_mm * work.unit_mm < front_mm)
            plunges_.push_back(leg.to);
    }
    /// Nothing has cut there so far, nor beside it.
    bool is_uncut(double z, double unit_mm) const {
        const double beside = beside_cut_mm / unit_mm;
        return !outside_.at(z - beside) && !outside_.at(z) && !outside_.at(z + beside);
    }
    /// A contour may be cut by a cycle that stands elsewhere.
    void cut_contours() {
        for (const Work* work : part_.works)
            for (const Leg& leg : work->legs)
                if (leg.in_contour && leg.cuts() && leg.known && work->where != Work::Where::inside)
                    outside_.face(leg);
    }
    bool beside_plunge(Point p, double unit_mm) const {
        return std::any_of(plunges_.begin(), plunges_.end(), [&](Point plunge) {
            return std::abs(p.z_mm - plunge.z_mm) * unit_mm < widest_blade_mm &&
                   p.x_radius_mm > plunge.x_radius_mm - least_depth_mm / unit_mm;
        });
    }

private:
    const Workpiece& part_;
    Profile outside_, turned_, bore_;
    std::vector<Point> plunges_;
    std::optional<double> last_;
};

/// Through the bar, else through what the program itself shows.
void look_along(const Standing& standing, const Work& work, const Bar* bar, Point from, Point to,
                std::optional<Hit>& hit) {
    constexpr int samples = 200;
    const double least = bar ? least_depth_in_bar_mm : least_depth_mm;
    for (int i = 1; i <= samples; ++i) {
        const Point at = from + (to - from) * (static_cast<double>(i) / samples);
        if (at.z_mm * work.unit_mm > front_mm) continue;
        const bool inside = work.where == Work::Where::inside;
        auto surface = bar      ? standing.bar(*bar, at.z_mm, work.unit_mm)
                       : inside ? standing.bore(at.z_mm)
                                : standing.outside(at.z_mm, work.unit_mm);
        if (!surface) continue;
        // A face stands within a step of where it is noted.
        if (!bar)
            for (const double beside : {-standing.step(), standing.step()}) {
                const auto near = inside ? standing.bore(at.z_mm + beside)
                                         : standing.outside(at.z_mm + beside, work.unit_mm);
                if (near) surface = inside ? std::max(*surface, *near) : std::min(*surface, *near);
            }
        const double depth =
            (inside ? at.x_radius_mm - *surface : *surface - std::abs(at.x_radius_mm)) * work.unit_mm;
        if (depth < least || standing.beside_plunge(at, work.unit_mm)) continue;
        if (!hit || depth > hit->depth) hit = {at, *surface, depth};
    }
}

/// Axes at equal rates do not go straight: the shorter way is done first.
std::optional<Hit> hit_by(const Standing& standing, const Work& work, const Leg& leg,
                          const Bar* bar = nullptr) {
    std::optional<Hit> hit;
    if (std::min(leg.from.z_mm, leg.to.z_mm) * work.unit_mm > front_mm) return hit;
    look_along(standing, work, bar, leg.from, leg.to, hit);
    const double both = std::min(std::abs(leg.dx()), std::abs(leg.dz()));
    if (hit || both == 0) return hit;
    const Point corner = leg.from + Point{std::copysign(both, leg.dx()), std::copysign(both, leg.dz())};
    look_along(standing, work, bar, leg.from, corner, hit);
    look_along(standing, work, bar, corner, leg.to, hit);
    return hit;
}

/// On the second spindle, and cut from in front of the face to plus: the part stands on that side.
bool stands_at_plus(const WorksContext& context, const Workpiece& part) {
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (leg.kind == Leg::Kind::feed && leg.known && leg.from.z_mm < 0 && leg.to.z_mm > 0 &&
                leg.dx() != 0 &&
                context.reader.after(context.place(*work, leg)).spoken_to() == machine::Spindle::second)
                return true;
    return false;
}

/// A stop and a note between them say that the other end is in front now.
bool is_turned_round(const WorksContext& context, const Workpiece& before, const Workpiece& part,
                     bool first_time) {
    const Work &last = *before.works.back(), &first = *part.works.front();
    if (last.legs.empty() || first.legs.empty()) return false;
    return turned_round_between(context.reader, context.place(last, last.legs.front()),
                                context.place(first, first.legs.front()), first_time);
}

/// The first cut outside, and the way to it.
struct FirstCut {
    const Work* work = nullptr;
    double x_radius = 0, z = 0; ///< Where it begins; of a contour where its cycle does
};
std::optional<FirstCut> first_cut_of(const Workpiece& part) {
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != Work::Where::outside) continue;
        const Leg* before = nullptr;
        for (const Leg& leg : work->legs) {
            if (leg.in_contour && (!before || !before->arrives)) return std::nullopt;
            if (leg.in_contour) return FirstCut{work, before->to.x_radius_mm, before->to.z_mm};
            if (leg.cuts() && !leg.known) return std::nullopt;
            if (leg.cuts()) return FirstCut{work, leg.from.x_radius_mm, leg.from.z_mm};
            before = &leg;
        }
    }
    return std::nullopt;
}

/// Somewhere the part is turned down from a size as large as that.
bool turns_from(const Workpiece& part, double x_radius) {
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (!work->driven_tool && work->where == Work::Where::outside && leg.cuts() && leg.known &&
                std::abs(leg.dz()) > std::abs(leg.dx()) && leg.from.x_radius_mm >= x_radius)
                return true;
    return false;
}

/// What two faces are sawn too long, at the most.
constexpr double longest_allowance_mm = 6;

/// Across the corners of a hexagon bar that a note of the head gives by its flats: "1.5 HEX", "SW 41".
std::optional<double> hexagon_mm(const WorksContext& context, const machine::ProgramPart& program,
                                 double mm_per_unit) {
    constexpr double corners_per_flats = 1.1547; // 2 / sqrt(3)
    constexpr std::size_t longest_head = 60;
    const BlockPlace end = program.sequences.empty() ? program.last : program.sequences.front().tool_call;
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = program.first; at && *at <= end && looked_at < longest_head;
         at = context.reader.neighbour(*at, true), ++looked_at)
        for (const syntax::Item& item : context.reader.items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const NotedWords note = noted_words(syntax::note_text(context.reader.line(*at).text_of(item)));
            for (std::size_t i = 0; i < note.size(); ++i) {
                const std::string_view word = note.at(i);
                const bool hexagon = word == "HEX" || word == "HEXAGON" || word == "SECHSKANT" ||
                                     word == "ESAGONO" || word == "HEXAGONAL" || word == "HEXAGONE";
                if (!hexagon) continue;
                for (const std::size_t beside : {i + 1, i - 1, i + 2}) // "SECHSKANT SW 41"
                    if (beside < note.size())
                        if (const auto flats = plain_number(note.at(beside)); flats && *flats > 0)
                            return *flats * mm_per_unit * corners_per_flats;
            }
        }
    return std::nullopt;
}

/// The bar that a note gives, where the program's cuts go with it: none lies outside of it, and the first is
/// no deeper than one takes it off. `before`: the clampings before, whose cuts it was turned round behind.
std::optional<Bar> bar_of(const WorksContext& context, const Workpiece& part,
                          std::span<const Workpiece* const> before) {
    const auto first = first_cut_of(part);
    if (!first || (before.empty() && part.works.front()->behind_stop)) return std::nullopt;
    if (!before.empty() && !is_turned_round(context, *before.back(), part, before.size() == 1))
        return std::nullopt;
    const Span& span = context.spans[part.works.front()->span];
    const machine::Reader assumed = context.reader.of_assumed();
    const machine::State state = assumed.after(context.place(*first->work, first->work->legs.front()));
    const auto mm = motion::mm_per_unit(state);
    if (!mm) return std::nullopt;
    const HeadStock head = head_stock(context.reader, span.program->first, *span.program, mm);
    const auto hexagon = before.empty() ? hexagon_mm(context, *span.program, *mm) : std::nullopt;
    if (!hexagon && (!head.stock.diameter_mm || !head.is_plain_bar)) return std::nullopt;
    const double x_radius = hexagon.value_or(head.stock.diameter_mm.value_or(0)) / 2 / *mm,
                 deepest = deepest_first_cut_mm / *mm;
    // A first cut that begins behind the face in the middle of the bar is what a slip leaves, where others
    // begin at the bar's size; in front of the face it shows that the part came in turned.
    const bool deep = first->x_radius < x_radius - deepest;
    if (deep && (first->z * *mm > front_mm || !turns_from(part, x_radius - deepest))) return std::nullopt;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (work->where != Work::Where::inside && leg.cuts() && leg.known && leg.dz() != 0 &&
                leg.dx() == 0 && leg.to.z_mm * *mm < front_mm && leg.from.x_radius_mm > x_radius + 0.1 / *mm)
                return std::nullopt;
    if (!before.empty()) {
        if (!head.stock.length_mm) return std::nullopt;
        double turned_z = 0;
        bool is_solid = !head.stock.bore_mm;
        for (const Workpiece* one : before) {
            turned_z = std::min(turned_z, one->z_min);
            for (const Work* work : one->works) is_solid = is_solid && work->where == Work::Where::outside;
        }
        const double left = (*head.stock.length_mm - longest_allowance_mm) / *mm + turned_z;
        if (left * *mm < -2 * front_mm) return std::nullopt;
        return Bar{x_radius, -left, is_solid, true};
    }
    const double back =
        head.stock.length_mm ? part.z_max - *head.stock.length_mm / *mm : part.z_min - bar_behind_mm / *mm;
    return Bar{x_radius, std::max(back, part.z_min - bar_behind_mm / *mm), !head.stock.bore_mm, false,
               hexagon.has_value()};
}

/// What of a solid bar a hole may have taken away so far. A drill that no note measures may be as thick as
/// any.
class Hollow {
public:
    explicit Hollow(const WorksContext& context, const Workpiece& part) : context_(context) {
        for (const Work* work : part.works)
            for (const Leg& leg : work->legs)
                if (leg.in_contour && leg.cuts()) add(*work, leg); // It may be cut by a cycle above
    }
    void cut(const Work& work, const Leg& leg) {
        if (!leg.in_contour) add(work, leg);
    }
    bool may_reach(Point at, double unit_mm) const {
        return std::any_of(taken_.begin(), taken_.end(), [&](const Taken& taken) {
            return taken.least_z < at.z_mm + least_depth_in_bar_mm / unit_mm &&
                   at.x_radius_mm > taken.inner && at.x_radius_mm < taken.outer;
        });
    }

private:
    struct Taken {
        double least_z, inner, outer; ///< X as radius
    };
    void add(const Work& work, const Leg& leg) {
        constexpr double far = 1e9, widest_drill_mm = 80;
        const double low = std::min(leg.from.x_radius_mm, leg.to.x_radius_mm);
        const double high = std::max(leg.from.x_radius_mm, leg.to.x_radius_mm);
        const double nose = beside_cut_mm / work.unit_mm, blade = widest_blade_mm / work.unit_mm;
        Taken taken{std::min(leg.from.z_mm, leg.to.z_mm), 0, far};
        if (!leg.known)
            taken.least_z = -far;
        else if (work.driven_tool)
            ;
        else if (work.where == Work::Where::outside)
            taken.inner = low - nose;
        else if (work.where == Work::Where::inside)
            taken.outer = high + nose;
        else if (work.where == Work::Where::on_centre)
            taken.outer = drill_mm(work).value_or(widest_drill_mm) / 2 / work.unit_mm + nose;
        else
            taken.inner = low - blade, taken.outer = high + blade;
        taken_.push_back(taken);
    }
    std::optional<double> drill_mm(const Work& work) const {
        const NamedTool* named =
            tool_of_work(context_, work, [](const NamedTool& tool) { return tool.diameter > 0; });
        return named ? named->diameter_mm(work.unit_mm) : std::nullopt;
    }

    const WorksContext& context_;
    std::vector<Taken> taken_;
};

/// Straight into the face of the bar, beside the axis, where nothing has been taken away.
std::optional<Hit> hit_in_face(const Hollow& hollow, const Bar& bar, const Work& work, const Leg& leg) {
    if (leg.dx() != 0 || leg.dz() >= 0 || leg.from.z_mm < 0 || leg.to.z_mm * work.unit_mm > front_mm)
        return std::nullopt;
    const double x = leg.to.x_radius_mm;
    if (x <= 0 || (bar.x_radius - x) * work.unit_mm < least_depth_in_bar_mm || leg.to.z_mm < bar.back_z ||
        hollow.may_reach(leg.to, work.unit_mm))
        return std::nullopt;
    return Hit{leg.to, bar.x_radius, -leg.to.z_mm * work.unit_mm};
}

/// The first feed of a tool that plunges goes in along X: it stands outside, whatever lies under it.
bool plunges_in(const Work& work) {
    const auto cut =
        std::find_if(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    return cut != work.legs.end() && is_plunge(*cut) && cut->dx() < 0;
}

/// The rapid ends in what is turned there so far, wherever it comes from: deeper than that, and in no hole
/// that has been made.
std::optional<Hit> ends_in_turned(const Standing& standing, const Hollow& hollow, const Work& work,
                                  const Leg& leg) {
    const bool outside = work.where == Work::Where::outside || plunges_in(work);
    const bool is_followed = leg.known && work.where != Work::Where::unknown && !plunges_in(work);
    if (leg.kind != Leg::Kind::rapid || !leg.arrives || leg.of_cycle || leg.in_contour || leg.by_letters ||
        is_followed || work.where == Work::Where::inside || work.where == Work::Where::on_centre ||
        plunges_into_face(work)) // In a recess that is not seen
        return std::nullopt;
    const Point at = leg.to;
    if (at.z_mm * work.unit_mm > front_mm || at.x_radius_mm <= 0) return std::nullopt;
    const auto surface =
        plunges_in(work) ? standing.turned_beside(at.z_mm, work.unit_mm) : standing.turned(at.z_mm);
    if (!surface || (*surface - at.x_radius_mm) * work.unit_mm < least_depth_mm ||
        standing.beside_plunge(at, work.unit_mm) || (!outside && hollow.may_reach(at, work.unit_mm)))
        return std::nullopt;
    return Hit{at, *surface, *surface - at.x_radius_mm};
}

/// Faces cut so far: each shows metal behind it as far in as it goes, but for the holes.
struct Face {
    double z = 0, from_x = 0, to_x = 0;
};
bool is_face(const Work& work, const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && leg.dz() == 0 && leg.dx() < 0 &&
           work.where != Work::Where::inside;
}
/// It faces the front to the centre, which no blade does, though it may do nothing but face.
bool is_facing(const Work& work) {
    return !work.driven_tool && std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
        return is_face(work, leg) && leg.to.x_radius_mm <= 0 && leg.to.z_mm * work.unit_mm > front_mm;
    });
}
void add_face(const Work& work, const Leg& leg, std::vector<Face>& faces) {
    if (is_face(work, leg) && !is_blade(work))
        faces.push_back({leg.to.z_mm, leg.from.x_radius_mm, leg.to.x_radius_mm});
}
/// A tool in the hole goes out at rapid behind a face that shows metal there.
std::optional<Face> behind_face(const std::vector<Face>& faces, const Hollow& hollow, const Work& work,
                                const Leg& leg) {
    constexpr double least_mm = 0.5, most_behind_mm = 15;
    if (leg.kind != Leg::Kind::rapid || !leg.arrives || leg.in_contour || leg.by_letters ||
        work.where != Work::Where::inside || (leg.known && leg.dx() <= 0) || (!leg.known && leg.of_cycle))
        return std::nullopt;
    const Point at = leg.to;
    const double mm = work.unit_mm;
    if (at.z_mm * mm > front_mm || hollow.may_reach(at, mm)) return std::nullopt;
    for (const Face& face : faces) {
        const double behind = (face.z - at.z_mm) * mm;
        if (behind > least_mm && behind < most_behind_mm && face.z * mm > front_mm &&
            (at.x_radius_mm - face.to_x) * mm > least_mm && at.x_radius_mm < face.from_x)
            return face;
    }
    return std::nullopt;
}

/// What cuts further down show of metal where nothing has cut so far: ways along Z that each go deeper than
/// the one before, or a contour whose cycle begins farther out. One way alone may pass over a groove that the
/// part came in with.
class CutLater {
public:
    explicit CutLater(const Workpiece& part) {
        for (const Work* work : part.works) {
            const bool turns = !work->driven_tool && work->where == Work::Where::outside && !is_blade(*work);
            const Leg* start = nullptr; ///< In front of a contour
            const bool turns_or_faces = turns || is_facing(*work);
            for (const Leg& leg : work->legs) {
                if (!leg.in_contour) start = &leg;
                const bool faces = turns_or_faces && is_face(*work, leg);
                const bool along = std::abs(leg.dz()) > std::abs(leg.dx());
                if (turns && leg.kind == Leg::Kind::feed && leg.known && along) {
                    const bool outward = leg.from.z_mm > leg.to.z_mm;
                    Way way{&leg, outward ? leg.to : leg.from, outward ? leg.from : leg.to, std::nullopt};
                    if (leg.in_contour && start && start->arrives) way.starts_x = start->to.x_radius_mm;
                    if (!leg.in_contour || way.starts_x) ways_.push_back(way);
                }
                if (faces) faces_.push_back({leg.to.z_mm, leg.from.x_radius_mm, leg.to.x_radius_mm});
                order_.push_back({&leg, ways_.size(), faces_.size()});
            }
        }
        std::sort(order_.begin(), order_.end(),
                  [](const Row& a, const Row& b) { return std::less<>()(a.leg, b.leg); });
    }
    /// A face that is cut further down, in front of that place and far across it.
    std::optional<Face> face_before(const Leg& before, Point at, double unit_mm) const {
        constexpr double least_mm = 1, most_behind_mm = 15, clear_mm = 2, clear_share = 0.1;
        const Row* row = row_of(before);
        if (!row) return std::nullopt;
        for (std::size_t i = row->faces; i < faces_.size(); ++i) {
            const Face& face = faces_[i];
            const double behind = (face.z - at.z_mm) * unit_mm;
            if (behind >= least_mm && behind < most_behind_mm &&
                (at.x_radius_mm - face.to_x) * unit_mm > least_mm &&
                (face.from_x * (1 - clear_share) - at.x_radius_mm) * unit_mm > clear_mm)
                return face;
        }
        return std::nullopt;
    }
    /// The least that certainly stands at this Z before the move, on radius; nullopt: nothing shows it.
    std::optional<double> surface(const Leg& before, double z, double unit_mm) const {
        constexpr double within_mm = 0.5, least_step_mm = 0.3, most_step_mm = 12;
        const Row* row = row_of(before);
        if (!row) return std::nullopt;
        std::optional<double> surface, last;
        for (std::size_t i = row->ways; i < ways_.size(); ++i) {
            const Way& way = ways_[i];
            if (z < way.low.z_mm + within_mm / unit_mm || z > way.high.z_mm - within_mm / unit_mm) continue;
            const double along = (z - way.low.z_mm) / (way.high.z_mm - way.low.z_mm);
            const double x = way.low.x_radius_mm + along * (way.high.x_radius_mm - way.low.x_radius_mm);
            if (way.starts_x) {
                // It begins clear of the metal, and goes down in more than one pass.
                constexpr double clear_mm = 3;
                const double from = *way.starts_x - clear_mm / unit_mm;
                if ((from - x) * unit_mm > clear_mm) surface = std::max(surface.value_or(from), from);
            } else if (last && (*last - x) * unit_mm >= least_step_mm &&
                       (*last - x) * unit_mm <= most_step_mm) {
                surface = std::max(surface.value_or(*last), *last);
            }
            last = x;
        }
        return surface;
    }

private:
    struct Way {
        const Leg* leg;
        Point low, high; ///< By Z
        std::optional<double> starts_x;
    };
    /// Of each move how many ways and faces lie before it.
    struct Row {
        const Leg* leg;
        std::size_t ways, faces;
    };
    const Row* row_of(const Leg& leg) const {
        const auto at =
            std::lower_bound(order_.begin(), order_.end(), &leg,
                             [](const Row& row, const Leg* one) { return std::less<>()(row.leg, one); });
        return at != order_.end() && at->leg == &leg ? &*at : nullptr;
    }
    std::vector<Way> ways_;
    std::vector<Face> faces_;
    std::vector<Row> order_;
};

/// Through what only cuts further down take away, by a tool outside.
std::optional<Hit> hit_before_cut(const Standing& standing, const CutLater& later, const Work& work,
                                  const Leg& leg) {
    constexpr double least_mm = 1;
    constexpr int samples = 40;
    if (leg.kind != Leg::Kind::rapid || !leg.arrives || leg.of_cycle || leg.in_contour || leg.by_letters ||
        leg.run_at || work.driven_tool || work.where != Work::Where::outside ||
        (leg.known ? std::min(leg.from.z_mm, leg.to.z_mm) : leg.to.z_mm) * work.unit_mm > front_mm)
        return std::nullopt;
    std::optional<Hit> hit;
    for (int i = leg.known ? 1 : samples; i <= samples; ++i) {
        const Point at =
            leg.known ? leg.from + (leg.to - leg.from) * (static_cast<double>(i) / samples) : leg.to;
        if (at.z_mm * work.unit_mm > front_mm || at.x_radius_mm <= 0 ||
            !standing.is_uncut(at.z_mm, work.unit_mm))
            continue;
        const auto surface = later.surface(leg, at.z_mm, work.unit_mm);
        if (!surface || (*surface - at.x_radius_mm) * work.unit_mm < least_mm) continue;
        const double depth = (*surface - at.x_radius_mm) * work.unit_mm;
        if (!hit || depth > hit->depth) hit = {at, *surface, depth};
    }
    return hit;
}

/// An outside tool comes at rapid to behind a face that is cut only further down, in metal that shows there.
std::optional<Face> goes_behind_face(const Standing& standing, const Hollow& hollow, const CutLater& later,
                                     const Work& work, const Leg& leg) {
    if (leg.kind != Leg::Kind::rapid || !leg.arrives || leg.of_cycle || leg.in_contour || leg.by_letters ||
        leg.run_at || work.driven_tool || work.where != Work::Where::outside ||
        leg.to.z_mm * work.unit_mm > front_mm || leg.to.x_radius_mm <= 0 ||
        !standing.is_uncut(leg.to.z_mm, work.unit_mm) || hollow.may_reach(leg.to, work.unit_mm))
        return std::nullopt;
    const auto face = later.face_before(leg, leg.to, work.unit_mm);
    return face && is_blade(work) && !is_facing(work) ? std::nullopt : face;
}

/// Nobody has worked on the part before, as far as the program tells.
bool begins_raw(const WorksContext& context, const Workpiece& part,
                std::span<const Workpiece* const> before) {
    if (!before.empty() || part.works.front()->behind_stop) return false;
    const machine::ProgramPart& program = *context.spans[part.works.front()->span].program;
    return head_stock(context.reader, program.first, program, part.works.front()->unit_mm).is_plain_bar;
}

std::string before_cut(const WorksContext& context, const Hit& hit) {
    return said("This rapid goes through {} {}, where no tool has cut so far: the part is turned down there "
                "from {} on further down. Unless it comes in with that shape, the tool is driven into metal "
                "at full rate. Come in from in front of the face, or put this move behind those cuts.",
                context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
                context.x(hit.surface));
}

std::string behind_later_face(const WorksContext& context, const Leg& leg, const Face& face) {
    return said("This rapid goes to {} {}, behind the face that is cut at {} further down, from {} in to {}: "
                "metal stands there, and the tool is driven into it at full rate. Stay in front of the face; "
                "the sign or a digit of Z is wrong, perhaps.",
                context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm), context.z(face.z),
                context.x(face.from_x), context.x(face.to_x));
}

std::string in_metal(const WorksContext& context, const Work& work, const Hit& hit) {
    const bool inside = work.where == Work::Where::inside;
    return said("This rapid goes through {} {}, where the {} stands at {} by the program's own cuts: the "
                "tool is driven into metal at full rate. Feed there (G01), or go {} first.",
                context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
                inside ? said("bore") : said("part"), context.x(hit.surface),
                inside ? said("inward in X, then out in Z") : said("round it"));
}

std::string in_bar(const WorksContext& context, const Hit& hit, const Bar& bar) {
    if (bar.turned_round)
        return said(
            "This rapid goes through {} {}, where nothing has been turned so far. If the part was turned "
            "round here and its other end is still the stock that the note at the head gives ({}), the "
            "tool is driven into it at full rate. Feed there (G01), or go round it first.",
            context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
            context.x(hit.surface));
    return said("This rapid goes through {} {}, where nothing has been turned so far. If the stock is the "
                "one that the note at the head gives ({}), the tool is driven into it at full rate. Feed "
                "there (G01), or go round it first.",
                context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
                context.x(hit.surface));
}

std::string in_face(const WorksContext& context, const Hit& hit, const Bar& bar) {
    if (bar.turned_round)
        return said(
            "This rapid goes into the face at {} down to {}, where nothing has been drilled, bored or turned "
            "from either end. If the part was turned round here and its other end is still the solid bar "
            "that the note at the head gives ({}), the tool is driven into it at full rate. Feed there "
            "(G01), or make the hole first.",
            context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
            context.x(hit.surface));
    return said(
        "This rapid goes into the face at {} down to {}, where nothing has been drilled, bored or turned so "
        "far. If the stock is the solid bar that the note at the head gives ({}), the tool is driven into it "
        "at full rate. Feed there (G01), or make the hole first.",
        context.x(hit.at.x_radius_mm), context.z(std::round(hit.at.z_mm * 1000) / 1000),
        context.x(hit.surface));
}

/// Straight out in front of the face again behind a cut that came in from there, inward: the chamfer of a
/// hole that a tool for outside breaks the edge of.
bool leaves_dish(const Work& work, const Leg& leg) {
    if (leg.dx() != 0 || leg.dz() <= 0 || &leg == work.legs.data()) return false;
    const Leg& cut = *(&leg - 1);
    return cut.cuts() && cut.known && !cut.in_contour && cut.from.z_mm > 0 && cut.dz() < 0 && cut.dx() < 0;
}

/// Off a face that it has just cut, into what it has come through in front of it.
bool leaves_face(const Work& work, const Leg& leg) {
    if (leg.dz() <= 0 || leg.dx() < leg.dz() / 2 || &leg == work.legs.data()) return false;
    const Leg& cut = *(&leg - 1);
    return cut.cuts() && cut.known && !cut.in_contour && cut.dx() < 0 &&
           std::abs(cut.dz()) < -0.1 * cut.dx() && leg.to.x_radius_mm <= cut.from.x_radius_mm;
}

/// A turning cycle comes in at rapid, along X, before its first cut along Z.
bool comes_in(const Work& work, const Leg& leg) {
    const Leg* cut = next_of(work, leg);
    return leg.of_cycle && !leg.in_contour && leg.kind == Leg::Kind::rapid && leg.dz() == 0 && leg.dx() < 0 &&
           cut && cut->of_cycle && cut->kind == Leg::Kind::feed && cut->dz() < 0 && cut->block == leg.block;
}

void tell_cycle(const WorksContext& context, const Work& work, const Leg& leg, const Hit& hit, const Bar& bar,
                Report& report) {
    const Leg* start = &leg;
    while (start != work.legs.data() && (start->of_cycle || !start->moves_z)) --start;
    auto entry = context.at(report, work, start->of_cycle ? leg : *start, "ZW");
    if (bar.turned_round) {
        entry.message(
            said("The cycle begins at {}, and its pass comes in at rapid to {} there, where nothing has "
                 "been turned so far. If the part was turned round here and its other end is still the "
                 "stock that the note at the head gives ({}), the tool is driven into it at full rate. "
                 "Begin in front of the face.",
                 context.z(leg.from.z_mm), context.x(hit.at.x_radius_mm), context.x(hit.surface)));
        return;
    }
    entry.message(
        said("The cycle begins at {}, and its pass comes in at rapid to {} there, where nothing has "
             "been turned so far. If the stock is the one that the note at the head gives ({}), the "
             "tool is driven into it at full rate. Begin in front of the face.",
             context.z(leg.from.z_mm), context.x(hit.at.x_radius_mm), context.x(hit.surface)));
}

/// From a place that is not known.
bool ends_rapid_behind_face(const Work& work, const Leg& leg) {
    return !leg.known && leg.arrives && leg.kind == Leg::Kind::rapid && !leg.of_cycle && !leg.in_contour &&
           !leg.by_letters && leg.to.z_mm * work.unit_mm < front_mm;
}

/// From home it goes along Z first and then in along X: it comes from outside, wherever home is.
bool comes_along_x(const Work& work, const Leg& leg) {
    const Leg* before = &leg == work.legs.data() ? nullptr : &leg - 1;
    return ends_rapid_behind_face(work, leg) && leg.moves_x && !leg.moves_z && before && !before->known &&
           before->kind == Leg::Kind::rapid && !before->by_letters && before->moves_z && !before->moves_x;
}

/// Behind the face and clear of what is turned there; or it was before, and has not left what is turned.
bool is_beside(const Standing& standing, Point at, double unit_mm, bool was_beside) {
    if (at.z_mm * unit_mm > front_mm) return false;
    const auto surface = standing.turned(at.z_mm);
    return surface && (was_beside || at.x_radius_mm >= *surface);
}

void look_at(const WorksContext& context, const Workpiece& part, std::span<const Workpiece* const> before,
             Report& report) {
    if (part.outside.empty() || stands_at_plus(context, part)) return;
    Standing standing(part), below(part);
    const std::optional<Bar> bar = bar_of(context, part, before);
    below.cut_contours();
    Hollow hollow(context, part);
    const bool is_raw = begins_raw(context, part, before);
    const CutLater later(part);
    std::vector<Face> faces;
    for (const Work* work : part.works) {
        const bool blade = is_blade(*work);
        const bool followed =
            !work->driven_tool && (work->where == Work::Where::inside || work->where == Work::Where::outside);
        bool told = false;
        bool beside = false; ///< It has come in along X beside what is turned, so it is outside
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return; // What it has left is not known
            const bool was_beside = beside;
            beside = !work->driven_tool && work->where != Work::Where::inside && leg.arrives &&
                     leg.kind != Leg::Kind::home && is_beside(standing, leg.to, work->unit_mm, was_beside);
            // A round bar may have been milled there, or turned by what is not seen.
            const bool outside =
                bar && bar->is_hexagon && !work->driven_tool &&
                (work->where == Work::Where::outside || (blade && work->where == Work::Where::unknown));
            if (!leg.known && bar && outside && !told && leg.arrives && leg.kind == Leg::Kind::rapid &&
                !leg.of_cycle && !leg.in_contour) {
                // Wherever it comes from, it ends there.
                std::optional<Hit> hit;
                look_along(below, *work, &*bar, leg.to, leg.to, hit);
                if (hit) {
                    told = true;
                    context.at(report, *work, leg, "XU").message(in_bar(context, *hit, *bar));
                }
            }
            if (!told && !work->driven_tool && work->where != Work::Where::inside &&
                comes_along_x(*work, leg)) {
                std::optional<Hit> hit;
                look_along(standing, *work, nullptr, leg.to, leg.to, hit);
                if (hit) {
                    told = true;
                    context.at(report, *work, leg, "XU").message(in_metal(context, *work, *hit));
                }
            }
            if (!told && !work->driven_tool) {
                if (const auto hit = ends_in_turned(standing, hollow, *work, leg)) {
                    told = true;
                    context.at(report, *work, leg, "XU").message(in_metal(context, *work, *hit));
                } else if (const auto face = behind_face(faces, hollow, *work, leg)) {
                    told = true;
                    const Leg* start = &leg;
                    while (start != work->legs.data() && (start->of_cycle || !start->moves_z)) --start;
                    context.at(report, *work, *start, "ZX")
                        .message(said("This rapid goes to {} {}, and the face in front of it has been cut in "
                                      "to {}: no hole so wide is there so far, and the tool is driven into "
                                      "metal at full rate. Begin in front of the face.",
                                      context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm),
                                      context.x(face->to_x)));
                }
            }
            if (!told && is_raw && !leg.known)
                if (const auto hit = hit_before_cut(standing, later, *work, leg)) {
                    told = true;
                    context.at(report, *work, leg, "ZX").message(before_cut(context, *hit));
                }
            if (!told && is_raw)
                if (const auto face = goes_behind_face(standing, hollow, later, *work, leg)) {
                    told = true;
                    context.at(report, *work, leg, "ZX").message(behind_later_face(context, leg, *face));
                }
            if (!leg.known || leg.kind == Leg::Kind::home) continue;
            if (leg.cuts()) {
                hollow.cut(*work, leg);
                add_face(*work, leg, faces);
                if (work->driven_tool || work->where == Work::Where::on_centre) continue;
                const bool goes_in = blade || was_beside; // Before it something may stand
                standing.cut(*work, leg, goes_in);
                below.cut(*work, leg, goes_in);
                below.widen(*work, leg);
                continue;
            }
            if (followed && !told && bar && work->where == Work::Where::outside && comes_in(*work, leg))
                if (const auto hit = hit_by(below, *work, leg, &*bar)) {
                    told = true;
                    tell_cycle(context, *work, leg, *hit, *bar, report);
                }
            if (told || leg.of_cycle || leg.in_contour) continue;
            const bool beside_axis =
                work->where == Work::Where::inside || work->where == Work::Where::unknown;
            if (bar && bar->is_solid && beside_axis && !work->driven_tool)
                if (const auto hit = hit_in_face(hollow, *bar, *work, leg)) {
                    told = true;
                    context.at(report, *work, leg, "ZW").message(in_face(context, *hit, *bar));
                    continue;
                }
            if (!followed || leaves_dish(*work, leg) || (!blade && leaves_face(*work, leg))) continue;
            // Sideways in its groove is told by its own rule; deeper than it has plunged is metal.
            const bool goes_deeper = leg.dz() == 0 && leg.dx() < 0;
            // Out of it, clear of what is turned there, it may still go on into a shoulder.
            const auto turned = standing.turned(leg.from.z_mm);
            const bool is_clear = turned && !leg.run_at && leg.dx() == 0 && leg.from.x_radius_mm > *turned;
            if (blade && !goes_deeper && !is_clear && standing.beside_plunge(leg.from, work->unit_mm))
                continue;
            const bool by_bar = bar && work->where == Work::Where::outside;
            auto hit = hit_by(standing, *work, leg);
            std::string text = hit ? in_metal(context, *work, *hit) : std::string();
            if (!hit && by_bar) hit = hit_by(below, *work, leg, &*bar);
            if (hit && text.empty()) text = in_bar(context, *hit, *bar);
            if (!hit && is_raw) {
                hit = hit_before_cut(standing, later, *work, leg);
                if (hit) text = before_cut(context, *hit);
            }
            if (!hit) continue;
            told = true;
            context.at(report, *work, leg, leg.dx() != 0 ? "XU" : "ZW").message(text);
        }
    }
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // It tells more, and the same
    const machine::ProgramPart* program = nullptr;
    std::vector<const Workpiece*> before; // Of the same program
    for (const Workpiece& part : context.parts) {
        if (part.works.empty()) continue;
        const machine::ProgramPart* its = context.spans[part.works.front()->span].program;
        if (std::exchange(program, its) != its) before.clear();
        look_at(context, part, before, report);
        before.push_back(&part);
    }
}

} // namespace

extern const Check check{
    .id = "rapid_into_metal",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid into metal that the program itself shows",
    .documentation =
        "The rapid goes where the program's own cuts leave metal: deeper than what an outside tool has "
        "turned so far or will turn at all, or into the wall that a boring bar has just cut. A G00 in place "
        "of G01, a retract block left out, or a digit lost. Feed there, or take the tool out in the free "
        "direction first: outside X up, inside X down and then Z out. Where a note at the head tells the bar "
        "(STOCK 60X120, 2.5 DIA BAR) and the first cut goes with it, a rapid of an outside tool through what "
        "nothing has turned so far is told too, with an \"if\": by the tip of the tool alone and in the "
        "first clamping, and behind a stop where a note says that the part is turned round, as far as the "
        "note gives its length and nothing was turned from the other end; not where the notes speak of a "
        "casting, a second side or a part that was worked "
        "on before. So is a turning cycle that begins behind the face of such a bar and comes in at rapid, "
        "and "
        "a tool beside the axis that goes straight into a face where nothing is drilled, bored or turned. "
        "Nothing else is known: the holder and the turret are not looked at."
        " So is a rapid from anywhere that ends deeper than what is turned there, and one that goes "
        "outward in a hole behind a face that has been cut farther in, and one of an outside tool through "
        "what cuts further down turn away pass by pass, or to behind a face that is cut further down, with "
        "nothing noted at all: not where the notes speak "
        "of a casting, a second side or a part that was worked on before.",
    .works = works,
    .examples =
        {
            // Before anything is cut, through what is roughed further down; with nothing noted.
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X62. Z2.
X40. Z-25.
;^^^ warning: rapid_into_metal
X62. Z2.
X56.
G01 Z-30. F0.3
X62.
G00 Z2.
X48.
G01 Z-30.
X62.
G00 Z2.
X40.
G01 Z-30.
X62.
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0101 (ROUGH)
G96 S180 M03
G00 X62. Z2.
G00 X30. Z-25.
;   ^^^^ warning: rapid_into_metal
G00 X62. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X20.
G01 Z-30.
N20 X62.
G28 U0 W0
M30
)"},
            // Off a shoulder into what the next pass still cuts; the same in a bore, and by a bar that only
            // its note tells.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X40. Z2.
G01 Z-25. F.16
X44.
G00 X36.
;   ^^^^ warning: rapid_into_metal
Z2.
G01 Z-20. F.16
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101 (DRILL .75)
G97 S900 M03
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.2
X4. Z4.
T0202
G97 S900 M03
G00 X.95 Z.1
G01 Z-1.6 F.006
X.8
G00 X1.1
;   ^^^^ warning: rapid_into_metal
Z.1
X1.03
G01 Z-1.6 F.006
X.8
G00 Z.1
X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101 (DRILL 20)
G97 S900 M03
G00 X0 Z5.
G01 Z-50. F.2
G00 Z5.
X100. Z100.
T0202 (BORING BAR 12)
G97 S900 M03
G00 X24. Z2.
G01 Z-40. F.15
G00 X28.
;   ^^^^ warning: rapid_into_metal
Z2.
X100. Z100.
M30
)"},
            // An undercut in a bore that goes on smaller behind it, and one outside; the same way twice.
            {System::A, R"(
G21 G99
T0101 (DRILL 34)
G97 S500 M03
G00 X0 Z5.
G01 Z-60. F.2
G00 Z5.
X100. Z100.
T0202
G97 S800 M03
G00 X40. Z2.
G01 Z-25. F.16
X44. F.05
G00 X36.
G01 Z-50. F.16
X34.
G00 Z2.
X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X40. Z2.
G01 Z-25. F.16
X44.
G00 Z2.
X36.
G01 Z-20. F.16
X38.
Z-25.
G01 X35. F.05
G00 X46.
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101 (DRILL .75)
G97 S900 M03
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.2
X4. Z4.
T0202 (BORING BAR .5)
G97 S900 M03
G00 X.95 Z.1
G01 Z-1.6 F.006
G01 X1.02 F.003
G00 X.9
Z.1
X.95
G01 Z-1.6 F.004
G00 X.9
Z.1
X4. Z4.
M30
)"},
            // Behind a face that is cut further down; in front of it, and outside of it.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X54. Z5.
G00 X20. Z-2.
;       ^^^^ warning: rapid_into_metal
X54.
Z0
G01 X-1. F.2
G00 X54. Z2.
Z-3.
G01 X-1. F.2
G00 X100. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X2.1 Z.2
X.8 Z-.08
;   ^^^^^ warning: rapid_into_metal
X2.1
Z0
G01 X-.04 F.008
G00 X2.1 Z.1
Z-.12
G01 X-.04 F.008
G00 X4. Z4.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X54. Z5.
G00 X20. Z2.
X54.
Z-2.
Z0
G01 X-1. F.2
G00 X54. Z2.
Z-3.
G01 X-1. F.2
G00 X100. Z100.
M30
)"},
            // Down to the face at feed and in along it, then through what is turned further down.
            {System::A, R"(
T0101
G97 S900 M03
G99
G00 X52. Z2.
G01 Z0. F.2
X-1.
G00 X40. Z2.
G00 Z-20.
;   ^^^^ warning: rapid_into_metal
G01 X42. F.15
G00 Z2.
X46.
G01 Z-30. F.2
X52.
G00 X100. Z100.
T0202 (FINISH)
G97 S900 M03
G00 X38. Z2.
G01 Z-20. F.1
X44.
Z-30.
X52.
G00 X100. Z100.
M30
)"},
            // Deep into a noted bar whose size is turned elsewhere; a part that came in turned begins in
            // front.
            {System::A, R"(
O0101 (PIN)
(STOCK 60X120 C45)
G21 G99
T0101
G97 S800 M03
G00 X64. Z2.
Z-27.
X40.
;^^^ warning: rapid_into_metal
G01 Z-25. F0.25
Z-30.
X62.
G00 Z2.
X57.
G01 Z-20.
X62.
G00 X100. Z100.
M30
)"},
            {System::C, R"(
O0101 (PIN, SECOND CUT)
(STOCK 60X120 C45)
G71 G90 G95
T0101
G97 S800 M03
G00 X64. Z2.
X40.
G01 Z-20. F0.25
X62.
G00 Z-18.
X42.
G01 X38. Z-22.
X62.
G00 X100. Z100.
M30
)"},
            // In front of the face, to the side of the stock, and in what was turned before.
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X30. Z2.
X62.
Z-25.
Z2.
X56.
G01 Z-30. F0.3
X62.
G00 Z2.
X50.
G01 Z-30.
X62.
G00 X54. Z-20.
G01 X44.
X62.
G28 U0 W0
M30
)"},
            // A casting has that shape already, and one way may pass over a groove of it.
            {System::B, R"(
O0101 (PULLEY, CASTING)
G21 G90 G95
T0101
G96 S180 M03
G00 X62. Z2.
Z-17.
X40.
G01 Z-15. F0.3
Z-20.
G00 X62.
Z2.
X56.
G01 Z-30.
X62.
G00 Z2.
X54.
G01 Z-30.
X62.
G00 X150. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X62. Z2.
Z-15.
X40.
G01 Z-20. F0.3
G00 X62.
Z2.
X56.
G01 Z-30.
X62.
G00 X150. Z100.
M30
)"},
            // A turning cycle begun behind the face of a bar that a note gives.
            {System::A, R"(
(TOOL STEEL BAR 1.250 DIA, STICK OUT 3.60)
G20 G99
T0101
G96 S350 M03
G00 X1.35 Z.1
G94 X-.062 Z0 F.008
G00 X1.3 Z-.1
;        ^^^^ warning: rapid_into_metal
G90 X1.145 Z-3.15 F.012
X1.05 Z-1.99
G00 X1.5
G28 U0 W0
M30
)"},
            {System::A, R"(
(TOOL STEEL BAR 1.250 DIA, STICK OUT 3.60)
G20 G99
T0101
G96 S350 M03
G00 X1.35 Z.1
G94 X-.062 Z0 F.008
G00 X1.3 Z.1
G90 X1.145 Z-3.15 F.012
X1.05 Z-1.99
G00 X1.5
G28 U0 W0
M30
)"},
            // Turned round behind a stop: the other end is the bar as it was.
            {System::A, R"(
(MATERIAL C45 D80 X 62)
G21 G99
T0101
G96 S190 M03
G00 X84. Z0.
G01 X-1.6 F0.2
G00 X70. Z2.
G01 Z-25. F0.3
X84.
G28 U0 W0
M05
M00 (TURN THE PART ROUND, SOFT JAWS ON DIA 70)
T0101
G96 S190 M03
G00 X84. Z0.
G01 X-1.6 F0.2
G00 X76.4 Z-2.
;   ^^^^^ warning: rapid_into_metal
G01 Z-22. F0.3
X84.
G28 U0 W0
M30
)"},
            {System::B, R"(
(STOCK 3.0 DIA X 2.5 LONG 4140)
G20 G90 G95
T0101
G96 S450 M03
G00 X3.2 Z0
G01 X-.06 F.008
G00 X2.75 Z.1
G01 Z-1. F.012
X3.2
G00 X8. Z6.
M00
(SECOND SIDE)
T0101
G96 S450 M03
G00 X3.2 Z0
G01 X-.06 F.008
G00 X3.1 Z.1
X2.75
G00 Z-.5
;   ^^^^ warning: rapid_into_metal
G01 Z-.9 F.012
X3.2
G00 X8. Z6.
M30
)"},
            // As far as the first side was turned nothing is said, nor where no note says so.
            {System::A, R"(
(MATERIAL C45 D80 X 62)
G21 G99
T0101
G96 S190 M03
G00 X84. Z0.
G01 X-1.6 F0.2
G00 X70. Z2.
G01 Z-50. F0.3
X84.
G28 U0 W0
M05
M00 (TURN THE PART ROUND, SOFT JAWS ON DIA 70)
T0101
G96 S190 M03
G00 X84. Z0.
G01 X-1.6 F0.2
G00 Z2.
X84.
Z-8.
X76.
Z-12.
G01 Z-16. F0.3
X84.
G28 U0 W0
M30
)"},
            {System::C, R"(
(MATERIAL C45 D80 X 62)
G71 G90 G95
T0101
G96 S190 M03
G00 X84. Z0.
G01 X-1.6 F0.2
G00 X70. Z2.
G01 Z-25. F0.3
X84.
G00 X200. Z150.
M00 (MEASURE)
T0303
G96 S190 M03
G00 X72. Z-2.
G01 Z-20. F0.3
X84.
G00 X200. Z150.
M30
)"},
            // Bored by a cycle, and left through the wall.
            {System::A, R"(
G21 G99
T0707
G97 S400 M03
G00 X36. Z3.
G90 X41. Z-66. F0.2
X43.5
X44.6
G00 G41 X53.012
G01 X45.012 Z-1. F0.1
Z-66.
X42.
G40 G00 X150.
;       ^^^^^ warning: rapid_into_metal
G28 U0 W0
M30
)"},
            // A groove in the face beside a bored hub: each plunge goes out again along Z.
            {System::C, R"(
G71 G90 G95
T0101
G97 S600 M03
G00 X150. Z2.
G01 Z-27. F0.2
X154.
G00 Z2.
T0303
G00 X0 Z5.
G01 Z-50. F0.2
G00 Z5.
T0404
G00 X40. Z2.
G01 Z-18. F0.1
X38.
G00 Z2.
T0606
G00 X110. Z2.
Z-13.
G01 Z-18. F0.08
G00 Z-13.
X108.
G01 Z-18.
G00 Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X0. Z2.
G01 Z-40. F0.1
G00 Z5.
T0606
G00 X18. Z2.
G01 Z-38. F0.15
X17.
G00 Z2.
X19.
G01 Z-38.
X18.
G00 Z2.
X22.
G01 X20. Z-1.
Z-38.
G00 X23.
;   ^^^^ warning: rapid_into_metal
G00 Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.2 Z.1
X1.9
G01 Z-2. F.01
X2.2
G00 Z.1
X1.7
G00 Z-1.5
;   ^^^^^ warning: rapid_into_metal
G01 X2.2
G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
T0909
G00 X50. Z-58.
G00 X10.
;   ^^^^ warning: rapid_into_metal
G01 X-.5 F0.05
G00 X50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-40. F0.25
X52.
G00 Z1.
X40.
G01 Z-20.
X52.
G00 Z-30.
G01 X46.
X40. Z-33.
G00 X60.
Z20.
T0505
G00 X50. Z-10.
G01 X34. F0.08
G00 X42.
Z-12.
G01 X34.
G00 X50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0. Z2.
G01 Z-40. F0.1
G00 Z5.
T0606
G00 X26. Z2.
G01 X20. Z-1. F0.1
Z-38.
G00 X19.
Z2.
T0101
G00 X52. Z0.
G01 X18.
G00 Z2.
M30
)"},
            // A relief in the corner of a bore: outward at feed and back is no way off an outside.
            {System::A, R"(
G21 G99
T0808
G97 S450 M03
G00 X68. Z3.
G90 X72. Z-11.9 F0.12
X74.
X78.
X79.4
G00 X76. Z3.
G00 Z60.
T1010
G97 S350 M03
G00 X74. Z3.
Z-10.
G01 Z-12. F0.2
X81. F0.05
X76. F0.2
G00 Z10.
M30
)"},
            // The second spindle has a datum of its own, whose Z grows into the part.
            {System::A, R"(
G21 G99 G54
T0101
G97 S800 M03
G00 X49. Z0.
G01 X-1.6 F0.2
G00 X38. Z2.
G01 Z-35. F0.2
X46.
G28 U0 W0
G55
T0606
G97 S800 M03
G00 Z-3.
X49.
Z0.
G01 X-1.6 F0.2
G00 Z-2.
X37.
G01 Z0. F0.15
X38. Z0.5
Z15.
X46.
G00 Z-3.
G28 U0 W0
M30
)"},
            // The bar of a note, where nothing of the program shows it.
            {System::A, R"(
O0101 (PIN)
(STOCK 60X120 C45)
G21 G99
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-40. F0.25
X62.
G00 Z-60.
X45.
;^^^ warning: rapid_into_metal
G01 Z-70.
X62.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
(MATERIAL 2.5 DIA 4140)
G20 G90 G95
T0101
G97 S800 M03
G00 X2.7 Z0
G01 X-.06 F.008
G00 X2.3 Z.1
G01 Z-1. F.01
X2.7
G00 Z-2.
X1.9
;^^^ warning: rapid_into_metal
G01 Z-2.5
X2.7
G00 X4. Z4.
M30
)"},
            {System::C, R"(
(BAR D60 C45)
G71 G90 G95
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-40. F0.25
X62.
G00 Z-60.
G00 X58.
;   ^^^^ warning: rapid_into_metal
G01 X45. F0.1
G00 X62.
G00 X100. Z100.
M30
)"},
            // Beside the axis, into a face that nothing has opened.
            {System::A, R"(
(BAR D60 C45)
G21 G99
N1 (FACE AND TURN)
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-30. F0.25
G00 X62.
G00 X100. Z100.
N2 (FACE GROOVE)
T0404
G97 S500 M03
G00 X40. Z2.
G00 Z-3.
;   ^^^ warning: rapid_into_metal
G01 Z-5. F0.05
G00 Z2.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
(MATERIAL 2.5 DIA 4140)
G20 G90 G95
N1 (FACE)
T0101
G97 S800 M03
G00 X2.7 Z0
G01 X-.06 F.008
G00 X2.4 Z.1
G01 Z-1. F.01
G00 X2.6
G00 X8. Z4.
N2 (DRILL .75)
T0202
G97 S600 M03
G00 X0 Z.2
G01 Z-2. F.006
G00 Z4.
N3 (BORE)
T0303
G97 S900 M03
G00 X1.2 Z.1
G00 Z-.5
;   ^^^^ warning: rapid_into_metal
G01 Z-1.5 F.006
G00 X1.1
G00 Z4.
M30
)"},
            {System::C, R"(
(BAR D60 C45)
G71 G90 G95
N1 (FACE)
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-30. F0.25
G00 X62.
G00 X100. Z100.
N2 (DRILL 30)
T0202
G97 S600 M03
G00 X0 Z5.
G01 Z-50. F0.2
G00 Z100.
N3 (BORE)
T0303
G97 S900 M03
G00 X29. Z2.
G00 Z-10.
G01 X34. F0.1
G01 Z-30.
G00 X29.
G00 Z100.
N4 (FACE GROOVE OUT OF THE BORE)
T0404
G00 X33. Z2.
G00 Z-12.
G00 Z2.
M30
)"},
            // A part that comes in turned, and a blade back in the groove that it has cut.
            {System::B, R"(
(BAR D60 C45)
(OP 20 SECOND SIDE)
G21 G90 G95
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-20. F0.25
X62.
G00 Z-60.
X45.
G01 Z-70.
X62.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
(BAR D60 C45)
G21 G99
T0101
G97 S800 M03
G00 X64. Z0.
G01 X-1.6 F0.2
G00 X57. Z2.
G01 Z-70. F0.25
G00 X62.
G00 X100. Z100.
T0505
G97 S600 M03
G00 X64. Z-30.
G01 X44. F0.1
G00 X58.
W-2.5
G01 X44.
G00 X46.
W2.
G01 X44.
G00 X62.
G00 X100. Z100.
M30
)"},
            // A hexagon bar: its corners stand farther out than its flats.
            {System::A, R"(
(ADAPTER FROM 1.5 HEX BRASS BAR)
G20 G99
T0101
G97 S900 M03
G00 X1.85 Z.1
X1.35
G01 Z-1. F.01
X1.85
G28 U0 W0
T0404
G97 S900 M03
G00 X1.58 Z-2.
;   ^^^^^ warning: rapid_into_metal
G01 X.8 F.003
G00 X2.
G28 U0 W0
M30
)"},
            {System::B, R"(
(NIPPEL, SECHSKANT SW 41)
G21 G90 G95
T0101
G97 S900 M03
G00 X50. Z2.
X34.
G01 Z-25. F.2
X50.
G28 X60. Z50.
T0404
G97 S900 M03
G00 X50. Z-50.
G01 X20. F.08
G00 X60.
G28 X60. Z50.
M30
)"},
            // A tool that nothing tells of but that it comes in along X, beside what is turned.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X62. Z1.
G71 U2. R.5
G71 P110 Q120 U0.8 W0.15 F0.35
N110 G00 X14.85
G01 X19.85 Z-1.5 F0.18
Z-28.
X25.
Z-70.
N120 X62.
G00 X120.
Z100.
T0505
G97 S800 M03
G00 Z-28.
X3.
;^^ warning: rapid_into_metal
G01 X17.4 F0.06
G04 X0.3
G00 X40.
M30
)"},
            // The letter of the other axis on the way out of a plunge.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X44. Z2.
X38.
G01 Z-25.5 F.2
X43.
G00 X120. Z100.
T0202
G97 S450 M03
G00 X0 Z3.
G01 Z-33. F.15
G00 Z5.
X120. Z100.
T0505
G97 S900 M03
G00 X44. Z-23.1
G01 X36. F.08
G00 Z40.
;   ^^^^ warning: rapid_into_metal
Z-21.1
G01 X36. Z-23.1 F.06
X26.
G00 X44.
X120. Z100.
M30
)"},
            // Back into the slot of a part-off, deeper than it has been cut; and as far as it is.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X36. Z0
G01 X-1.6 F0.2
G00 X32. Z2.
G01 Z-93. F0.2
X36.
G00 X200. Z150.
T0909
G97 S600 M03
G00 X40. Z-86.3
G01 X20. F0.08
G00 X34.
X12.
;^^ warning: rapid_into_metal
G01 X-.5 F0.05
G00 X40.
X200. Z150.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1.6 Z0
G01 X-.06 F.008
G00 X1.5 Z.1
G01 Z-3.2 F.01
X1.6
G00 X8. Z6.
T0909
G97 S600 M03
G00 X1.7 Z-3.
G01 X.9 F.003
G00 X1.55
X.92
G01 X.4
G00 X1.55
X.41
G01 X-.02
G00 X1.7
X8. Z6.
M30
)"},
            {System::A, R"(
(A RING, ITS BORE CHAMFERED BY THE TOOL FOR OUTSIDE)
G21 G99
T0202
G97 S60 M03
G00 X612. Z2.
G01 Z0 F.4
X474.
G00 X601. Z1.
G01 Z-17. F.4
X604.
G00 X612.
Z2.
X488.05
G01 Z1.
X478. Z-4.025 F.2
G00 Z20.
X800. Z400.
M30
)"},
            // In along X to what is turned lower, and to its surface.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X44. Z2.
X38.
G01 Z-25.5 F.2
X43.
Z-40.
X45.
G00 X120. Z100.
T0505
G97 S900 M03
G00 X46. Z-23.1
X38.4
G01 X36. F.08
G00 X46.
Z2.
X30.
Z1.
G01 X32. F.1
X38. Z-2.
G00 X120. Z100.
M30
)"},
            // The same from home, whose place is not known.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X62. Z1.
X30.
G01 Z-70. F.3
X62.
G00 G53 X0
G53 Z-200.
T0505
G97 S800 M03
G00 Z-28.
X3.
;^^ warning: rapid_into_metal
G01 X17.4 F0.06
G00 X40.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X62. Z1.
X30.
G01 Z-70. F.3
X62.
G00 G53 X0
G53 Z-200.
T0505
G97 S800 M03
G00 Z-28.
X32.
G01 X17.4 F0.06
G00 X40.
G53 X0
G53 Z-200.
T0202
G97 S800 M03
G00 X0 Z3.
G01 Z-40. F.1
G00 Z3.
G53 X0
G53 Z-200.
T0303
G97 S800 M03
G00 X10.
Z-20.
G01 X14. F.05
G00 X10.
Z5.
G53 X0
M30
)"},
            // The turret turns in the block that goes away; off a face that drains outward.
            {System::A, R"(
G21 G99
T0505
G96 S80 M04
G00 X186. Z-40.
G01 X150. F.1
G00 X186.
G00 X250. Z150. T0707
G96 S100 M04
G00 X36. Z3.
G01 Z-62. F.25
X34.
G00 Z3.
X45.
G01 Z-62.
X44.
G00 Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S280 M03
G00 X9.5 Z-1.25
G79 X4.3 Z-1.36 R-.05 F.008
Z-1.485
G00 Z.1
X4.5
G77 X4.03 Z-1.485 F.012
G00 X9.5
Z-1.4
G77 X9.06 Z-2.2 F.01
G28 X12. Z4.
T0505
G96 S380 M03
G00 X9.3 Z-1.4
G01 X9.2 Z-1.552 F.03
X4.04 Z-1.5 F.008
G00 X4.24 Z-1.4
Z.1
G28 X12. Z4.
M30
)"},
            // Out of a groove and on along Z, into a shoulder; and to a groove in front of it.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X1. Z.1
G01 Z-1.5 F.008
X1.58
Z-2.5
X2.2
G00 X4. Z4.
T0505
S700 M03
G00 X1.3 Z-.8
G01 X.88 F.003
G00 X1.3
Z-1.6
;^^^^ warning: rapid_into_metal
G01 X.88
G00 X4.
Z4.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X1. Z.1
G01 Z-1.5 F.008
X1.58
Z-2.5
X2.2
G00 X4. Z4.
T0505
S700 M03
G00 X1.3 Z-.8
G01 X.88 F.003
G00 X1.3
Z-1.2
G01 X.88
G00 X4.
Z4.
M30
)"},
            // From home, inside of what is turned there; a part-off inside of the bar beside it; a bar that
            // begins behind the face; and all three as they are meant.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X2.05 Z.1
G01 X1.27 F.02
Z-.87 F.01
X2.1
G28 X4.
G28 Z2.
T0202
G00 X1.03 Z-.06
;   ^^^^^ warning: rapid_into_metal
G01 X1.25 F.005
Z-.875
X2.1
G28 X4.
G28 Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X30. Z2.
X26.5
G01 Z-22. F0.2
X31.
G00 X100. Z80.
T0505
G00 X24. Z-22.5
;   ^^^^ warning: rapid_into_metal
G01 X-0.5 F0.06
G00 X34.
X100. Z80.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S900 M03
G00 X94. Z0.
G01 X36. F0.2
G00 X92. Z2.
G01 Z-44. F0.2
X94.
G00 X250. Z150.
T0202
G00 X36. Z-3.
;       ^^^^ warning: rapid_into_metal
G20 X42. Z-71. F0.2
X44.6
G00 Z150.
X250.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X30. Z2.
X26.5
G01 Z-22. F0.2
X31.
G00 X100. Z80.
T0505
G00 X32. Z-22.5
G01 X-0.5 F0.06
G00 X34.
X100. Z80.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S900 M03
G00 X94. Z0.
G01 X36. F0.2
G00 X92. Z2.
G01 Z-44. F0.2
X94.
G00 X250. Z150.
T0202
G00 X36. Z3.
G20 X42. Z-71. F0.2
X44.6
G00 Z150.
X250.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_into_metal
