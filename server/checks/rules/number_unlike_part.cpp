// A number of a coordinate that nothing else in the program agrees with, where one slip of a hand makes it of
// a number that several moves agree with.
//
// How many have to agree was counted on right programs, slip by slip: common practice, no source.
#include "checks/head_stock.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace turnwright::checks::rules::number_unlike_part {

namespace {

/// Longer ones are written by a program, which swaps no digits.
constexpr std::size_t most_numbers = 800;
/// Of radius, that a cycle begins within its contour.
constexpr double least_within_mm = 1.5;

using Key = std::int64_t;
Key key_of(double value) {
    return std::llround(value * 1e4);
}
using Corner = std::pair<Key, Key>; ///< X as radius, Z

/// A place that a move leads to along one axis.
struct Number {
    std::size_t work = 0;
    BlockPlace block;
    const Leg* leg = nullptr;
    bool along_x = false;
    double value = 0; ///< As written: of X a diameter or a radius
    Corner corner;    ///< Where the block ends
    bool cuts = false, alone = false;
    /// Both are moves of one kind, along one axis alone or along both.
    bool moves_as(const Number& other) const {
        return leg->kind == other.leg->kind && leg->of_cycle == other.leg->of_cycle && alone == other.alone;
    }
};

/// What a place along an axis is told by.
struct Place {
    std::string text; ///< Without its sign
    double value = 0;
    std::vector<const Number*> numbers;
};

class PartNumbers {
public:
    PartNumbers(const WorksContext& context, const Workpiece& part)
        : context_(context), part_(part), per_radius_(x_as_written(1, context.reader.settings())) {
        for (std::size_t w = 0; w < part.works.size() && numbers_.size() <= most_numbers; ++w) collect(w);
        if (numbers_.size() > most_numbers) return;
        for (const Number& number : numbers_) {
            Place& place = places_[number.along_x][key_of(number.value)];
            place.value = number.value;
            place.numbers.push_back(&number);
            corners_[number.corner].push_back(&number);
        }
        for (auto& axis : places_)
            for (auto& [key, place] : axis) place.text = written(std::abs(place.value));
    }

    void look(Report& report) const {
        if (numbers_.size() > most_numbers) return;
        for (const auto& axis : places_)
            for (const auto& [key, place] : axis)
                if (is_alone(place)) look_at(axis, place, report);
        look_at_notes(report);
        for (std::size_t i = 0; i < part_.works.size(); ++i) look_at_starts(*part_.works[i], report);
        for (const bool along_x : {true, false}) {
            look_at_ways_out(along_x, report);
            look_at_begins(along_x, report);
        }
    }

private:
    void collect(std::size_t w) {
        const Work& work = *part_.works[w];
        for (std::size_t first = 0, end = 0; first < work.legs.size(); first = end) {
            const Leg& leg = work.legs[first];
            end = first + 1;
            const auto of_block = [&](const Leg& other) {
                return leg.of_cycle && other.block == leg.block && other.run_at == leg.run_at;
            };
            while (end < work.legs.size() && of_block(work.legs[end])) ++end;
            if (leg.kind == Leg::Kind::home || !leg.arrives) continue;
            Number number;
            number.work = w;
            number.block = context_.place(work, leg);
            number.leg = &leg;
            number.cuts = leg.of_cycle || leg.cuts();
            number.alone = !leg.moves_x || !leg.moves_z;
            // Of a cycle the farthest that it comes to.
            Point to = leg.to;
            if (leg.of_cycle)
                for (std::size_t l = first; l < end; ++l) {
                    const Point at = work.legs[l].to;
                    const auto farther = [](double one, double other, double from) {
                        return std::abs(one - from) > std::abs(other - from) ? one : other;
                    };
                    to = {farther(at.x_radius_mm, to.x_radius_mm, leg.from.x_radius_mm),
                          farther(at.z_mm, to.z_mm, leg.from.z_mm)};
                }
            number.corner = {key_of(to.x_radius_mm), key_of(to.z_mm)};
            for (bool along_x : {true, false}) {
                if (!(along_x ? leg.moves_x : leg.moves_z)) continue;
                number.along_x = along_x;
                number.value = along_x ? to.x_radius_mm * per_radius_ : to.z_mm;
                numbers_.push_back(number);
            }
        }
    }

    /// One block goes there, by a number of its own.
    bool is_alone(const Place& place) const {
        const Number& one = *place.numbers.front();
        return !one.leg->by_letters && !part_.works[one.work]->driven_tool &&
               std::all_of(place.numbers.begin(), place.numbers.end(),
                           [&](const Number* other) { return other->block == one.block; });
    }

    /// How much of the program says that a move leads to this place; each sort counts three times at most.
    std::size_t agreement(const Number& one, const Place& place) const {
        std::set<BlockPlace> alike, corners, cuts;
        std::set<std::size_t> alike_tools, corner_tools;
        std::set<BlockPlace> seen; // A block of a called program says it once
        for (const Number* other : place.numbers) {
            if (other->block == one.block) return 0;
            if (!seen.insert(other->block).second) continue;
            const bool own = other->work == one.work;
            if (own && one.cuts && other->cuts && !other->moves_as(one)) cuts.insert(other->block);
            if (!other->moves_as(one)) continue;
            if (own)
                alike.insert(other->block);
            else
                alike_tools.insert(other->work);
        }
        Corner corner = one.corner;
        (one.along_x ? corner.first : corner.second) =
            key_of(one.along_x ? place.value / per_radius_ : place.value);
        seen.clear();
        if (const auto at = corners_.find(corner); at != corners_.end())
            for (const Number* other : at->second) {
                if (one.leg->of_cycle || other->leg->of_cycle || !seen.insert(other->block).second) continue;
                if (other->work == one.work)
                    corners.insert(other->block);
                else
                    corner_tools.insert(other->work);
            }
        // One tool may go on by steps that look like slips of each other.
        if (alike_tools.empty() && corner_tools.empty()) return 0;
        std::size_t sum = 0;
        for (std::size_t count :
             {alike.size(), corners.size(), cuts.size(), alike_tools.size(), corner_tools.size()})
            sum += std::min<std::size_t>(count, 3);
        return sum;
    }

    /// Two numbers are apart by one other digit by chance far more often than by two that are swapped.
    static std::size_t enough(Slip slip, bool cuts) {
        switch (slip) {
        case Slip::digits_swapped:
            return cuts ? 5 : 7;
        case Slip::point_moved:
            return 5;
        case Slip::digit_lost:
            return cuts ? 6 : 9;
        case Slip::digit_added:
            return 7;
        default:
            return 9;
        }
    }

    /// To where the face is cut at once: an allowance, that no other move goes to.
    bool is_face_begun(const Number& one) const {
        const Leg* next = one.leg + 1;
        const std::vector<Leg>& legs = part_.works[one.work]->legs;
        return !one.along_x && !one.cuts && one.value >= 0 && next < legs.data() + legs.size() &&
               next->kind == Leg::Kind::feed && next->dx() < 0 && next->dz() == 0;
    }

    void look_at(const std::map<Key, Place>& axis, const Place& place, Report& report) const {
        const Number& one = *place.numbers.front();
        if (is_face_begun(one)) return;
        const Place* best = nullptr;
        Slip best_slip = Slip::none;
        std::size_t most = 0;
        for (const auto& [key, other] : axis) {
            if (other.numbers.size() < 2) continue;
            const bool sign = place.value != 0 && std::abs(place.value + other.value) < 1e-5;
            if (!sign && place.value * other.value < 0) continue;
            const Slip slip = sign ? Slip::none : slip_between(place.text, other.text);
            if (!sign && slip == Slip::none) continue;
            const std::size_t agrees = agreement(one, other);
            const std::size_t least = sign ? 5 : enough(slip, one.cuts);
            if (agrees < least || agrees <= most) continue;
            most = agrees;
            best = &other;
            best_slip = slip;
        }
        if (best) tell(one, *best, best_slip, report);
    }

    /// A size of the part in the title, that nothing goes to, and a cut that two swapped digits keep from it.
    void look_at_notes(Report& report) const {
        constexpr std::ptrdiff_t fewest_digits = 3;
        if (part_.works.empty()) return;
        const Work& first = *part_.works.front();
        const machine::ProgramPart& program = *context_.spans[first.span].program;
        const HeadStock head = head_stock(context_.reader, program.first, program, first.unit_mm);
        const auto is_of_stock = [&](double size) {
            const auto same = [&](std::optional<double> mm) {
                return mm && std::abs(*mm - size * first.unit_mm) < 1e-3;
            };
            return same(head.stock.diameter_mm) || same(head.stock.length_mm) || same(head.stock.bore_mm);
        };
        const BlockPlace second = context_.reader.neighbour(program.first, true).value_or(program.first);
        for (const NoteAt& note : notes_between(context_.reader, program.first, second))
            for (const std::string& word : noted_words(note.text).words) {
                const auto size = plain_number(word.starts_with('D') ? word.substr(1) : word);
                if (!size || *size <= 0 || is_of_stock(*size) || places_[true].contains(key_of(*size)))
                    continue;
                const std::string text = written(*size);
                if (std::count_if(text.begin(), text.end(), is_digit) < fewest_digits) continue;
                for (const auto& [key, place] : places_[true]) {
                    const Number& one = *place.numbers.front();
                    if (!is_alone(place) || !one.cuts || one.leg->of_cycle || one.leg->is_arc ||
                        slip_between(place.text, text) != Slip::digits_swapped)
                        continue;
                    const syntax::Item* item = find_letter(context_.reader, one.block, 'X');
                    if (!item || item->kind != syntax::ItemKind::word) continue;
                    report.at(one.block, *item)
                        .message(
                            said("The note has {}, and nothing goes to it: this cut goes to {}, and nothing "
                                 "else does. Are two digits swapped?",
                                 text, spoken_place(true, one.value)))
                        .related(note.place, said("the note"));
                    return;
                }
            }
    }

    std::string spoken_place(bool along_x, double value) const {
        return (along_x ? "X" : "Z") + written(value);
    }

    static std::string question(Slip slip) {
        switch (slip) {
        case Slip::digits_swapped:
            return said("Are two digits swapped?");
        case Slip::point_moved:
            return said("Is the point a place off?");
        case Slip::digit_lost:
            return said("Is a digit lost?");
        case Slip::digit_added:
            return said("Is it a digit too many?");
        case Slip::other_digit:
            return said("Is a digit wrong?");
        case Slip::none:
            break;
        }
        return said("Is the sign wrong?");
    }

    void tell(const Number& one, const Place& meant, Slip slip, Report& report) const {
        const char letter = one.along_x ? 'X' : 'Z';
        // Farther out on the way home.
        const Leg* next = next_of(*part_.works[one.work], *one.leg);
        const bool outward = one.along_x ? one.leg->dx() > 0 : one.leg->dz() > 0;
        if (!one.cuts && next && next->kind == Leg::Kind::home && outward && one.value > meant.value) return;
        // What a macro works out is no slip of a digit.
        const syntax::Item* item = find_letter(context_.reader, one.block, letter);
        if (!item || item->kind != syntax::ItemKind::word) return;
        std::set<BlockPlace> blocks;
        for (const Number* other : meant.numbers) blocks.insert(other->block);
        const std::string now = spoken_place(one.along_x, one.value),
                          then = spoken_place(one.along_x, meant.value);
        auto entry = report.at(one.block, *item);
        if (!one.cuts || slip == Slip::digit_lost || slip == Slip::digit_added || slip == Slip::other_digit)
            entry.severity(Severity::information);
        entry
            .message(
                said("Nothing else in the program goes to {}, and {} blocks go to {}, in moves like this "
                     "one or from the same corner of the part. {} As it stands the tool {} to {}.",
                     now, blocks.size(), then, question(slip),
                     one.cuts ? said("cuts") : said("goes at rapid"), now))
            .related(meant.numbers.front()->block, then);
    }

    /// A roughing cycle begins where its contour ends in X; one that begins within it, by a slip, is told.
    void look_at_starts(const Work& work, Report& report) const {
        for (std::size_t i = 1; i < work.legs.size(); ++i) {
            const Leg &start = work.legs[i - 1], &first = work.legs[i];
            if (!first.in_contour || start.in_contour || start.kind != Leg::Kind::rapid || !start.arrives ||
                !start.moves_x || start.by_letters)
                continue;
            double least = HUGE_VAL, most = -HUGE_VAL, last = 0;
            for (std::size_t l = i; l < work.legs.size() && work.legs[l].in_contour; ++l) {
                if (!work.legs[l].arrives) return;
                last = work.legs[l].to.x_radius_mm;
                least = std::min(least, last);
                most = std::max(most, last);
            }
            const double x = start.to.x_radius_mm;
            // A bore's cycle may begin a little outside of the hole.
            if (x < least + 1e-6 || (most - x) * work.unit_mm < least_within_mm || last != most) continue;
            if (slip_between(x * per_radius_, last * per_radius_) == Slip::none) continue;
            context_.at(report, work, start, "X")
                .message(said("The cycle begins at {}, and its contour goes from {} to {}: the passes beyond "
                              "begin in full metal, at rapid. Does it begin at {}?",
                              context_.x(x), context_.x(least), context_.x(most), context_.x(last)));
        }
    }

    static bool is_rapid(const Leg& leg) {
        return leg.kind == Leg::Kind::rapid && leg.arrives && !leg.of_cycle && !leg.in_contour &&
               !leg.by_letters;
    }
    static double along(const Leg& leg, bool x) { return x ? leg.to.x_radius_mm : leg.to.z_mm; }

    /// Where a tool is left behind its last cut, by numbers of its own.
    static const Leg* way_out(const Work& work, bool x) {
        const Leg* out = nullptr;
        for (const Leg& leg : work.legs) {
            if (leg.cuts()) out = nullptr;
            if (is_rapid(leg) && (x ? leg.moves_x : leg.moves_z)) out = &leg;
        }
        return out;
    }

    /// All other tools are left at one place.
    void look_at_ways_out(bool x, Report& report) const {
        std::vector<std::pair<const Work*, const Leg*>> outs;
        for (const Work* work : part_.works)
            if (const Leg* out = way_out(*work, x)) outs.emplace_back(work, out);
        constexpr std::size_t fewest = 3;
        if (outs.size() < fewest) return;
        // The odd one is among three that are not all the same.
        const auto at = [&](std::size_t i) { return key_of(along(*outs[i].second, x)); };
        const Key most = at(0) == at(1) || at(0) == at(2) ? at(0) : at(1);
        const auto odd = std::find_if(outs.begin(), outs.end(),
                                      [&](const auto& out) { return key_of(along(*out.second, x)) != most; });
        if (odd == outs.end() || std::any_of(odd + 1, outs.end(), [&](const auto& out) {
                return key_of(along(*out.second, x)) != most;
            }))
            return;
        const auto& [work, leg] = *odd;
        const double rest = double(most) / 1e4, value = along(*leg, x), per = x ? per_radius_ : 1;
        const Slip slip = slip_between(value * per, rest * per);
        const bool plain = slip == Slip::digits_swapped ||
                           (slip == Slip::digit_added &&
                            key_of(without_doubled(std::abs(value * per))) == key_of(std::abs(rest * per)));
        constexpr double far_off = 3; // By one other digit a drill is left farther out, too
        if (!plain && (slip != Slip::other_digit || outs.size() <= fewest || value < far_off * rest)) return;
        if (value * rest <= 0 || std::abs(value) < 1.5 * std::abs(rest))
            return; // Nearer it is told otherwise
        context_.at(report, *work, *leg, x ? "X" : "Z")
            .severity(Severity::information)
            .message(said("{} of {} tools are left at {}, and this one goes to {}: the slide runs on to the "
                          "end of its travel, or the control alarms. {}",
                          outs.size() - 1, outs.size(), spoken_place(x, rest * per),
                          spoken_place(x, value * per), question(slip)));
    }

    /// Without the one of two equal digits that it begins with; 0: it does not.
    static double without_doubled(double value) {
        const std::string text = written(value);
        return text.size() > 2 && text[0] == text[1] && text[0] != '0' ? std::stod(text.substr(1)) : 0;
    }

    /// A digit is doubled where a cut begins: the tool cuts air from far off.
    void look_at_begins(bool x, Report& report) const {
        constexpr double times = 2, least_mm = 8;
        struct Begin {
            const Work* work;
            const Leg* leg;
            double value;
        };
        std::vector<Begin> begins;
        for (const Work* work : part_.works) {
            const Leg* last = nullptr;
            for (const Leg& leg : work->legs) {
                if (is_rapid(leg) && (x ? leg.moves_x : leg.moves_z)) last = &leg;
                if (!is_rapid(leg) && last && !work->driven_tool && leg.kind != Leg::Kind::home)
                    begins.push_back({work, last, along(*last, x) * (x ? per_radius_ : 1)});
                if (!is_rapid(leg)) last = nullptr;
            }
        }
        for (const Begin& begin : begins) {
            const double meant = begin.value > 0 ? without_doubled(begin.value) : 0;
            if (meant == 0 || (begin.value - meant) * begin.work->unit_mm < least_mm) continue;
            std::set<BlockPlace> as_meant;
            const BlockPlace place = context_.place(*begin.work, *begin.leg);
            double farthest = 0;
            // X: of all numbers, where tools are left too; Z: of those that a cut begins at.
            for (const Begin& other : begins) {
                const BlockPlace at = context_.place(*other.work, *other.leg);
                if (at == place) continue;
                farthest = std::max(farthest, other.value);
                if (key_of(other.value) == key_of(meant)) as_meant.insert(at);
            }
            if (x)
                for (const auto& [key, other] : places_[true])
                    if (other.value != begin.value) farthest = std::max(farthest, std::abs(other.value));
            if (begin.value < times * farthest || (!x && as_meant.size() < 2)) continue;
            if (x && meant > farthest) continue;
            context_.at(report, *begin.work, *begin.leg, x ? "X" : "Z")
                .severity(Severity::information)
                .message(said("The next cut begins from {}, and no other of this part beyond {}: the tool "
                              "feeds through air from there. Is a digit doubled ({})?",
                              spoken_place(x, begin.value), spoken_place(x, farthest),
                              spoken_place(x, meant)));
        }
    }

    const WorksContext& context_;
    const Workpiece& part_;
    double per_radius_;
    std::vector<Number> numbers_;
    std::map<Key, Place> places_[2]; ///< Along Z, along X
    std::map<Corner, std::vector<const Number*>> corners_;
};

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) PartNumbers(context, part).look(report);
}

} // namespace

extern const Check check{
    .id = "number_unlike_part",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Number that nothing else agrees with",
    .documentation =
        "No other block goes to the X or Z of this one, and one slip of a hand (two digits swapped, a digit "
        "lost, added or another, the point a place off, the sign) makes it of a place that several blocks go "
        "to, in moves like this one or from the same corner of the part: shoulders, diameters and clearances "
        "that other tools and passes have in common. How many must agree depends on the slip. Or a roughing "
        "cycle begins within its contour, where one slip makes it of the X that the contour ends at. Or all "
        "other tools are left at one "
        "place and this one far beyond it, by a digit; or a cut begins far outside of all others, with the "
        "first "
        "digit of the place doubled. Write the "
        "place that is meant; numbers that a macro works out are left alone, and so are parts with more than "
        "800 numbers."
        " A size in the title that nothing goes to, and that two swapped digits make of a cut, is told, "
        "too.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
X46.
G01 Z-30. F0.2
X50.
G00 Z2.
X100. Z80.
T0303
G00 X46. Z2.
X42.
G01 Z-30. F0.2
X45.
G00 Z2.
X38.
G01 Z-30.
X41.
G00 Z20.
;   ^^^^ information: number_unlike_part
X34.
G01 Z-30.
X37.
G00 Z2.
X31.
G01 Z-30.
X34.
G00 Z2.
X100. Z80.
T0505
G00 X34. Z2.
X30.
G01 Z-30. F0.1
X52.
G00 Z2.
X100. Z80.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X58. Z2.
;   ^^^^ warning: number_unlike_part
G73 U2. R1.
G73 P100 Q200 U0.4 W0.1 F0.3
N100 G00 X40.
G01 Z-20. F0.1
X50.
Z-35.
X80.
N200 X85.
G00 X100. Z80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.65 Z.1
G71 U.08 R.02
G71 P100 Q200 U.02 W.004 F.01
N100 G00 X1.
G01 Z-.8 F.006
X1.5
N200 X1.55
G00 X4. Z4.
M30
)"},
            // All other tools are left at Z180, and cuts begin at Z2.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z22.
;        ^^^^ information: number_unlike_part
G01 Z-30. F0.2
X56.
G00 X260. Z180.
T0303
G00 X46. Z2.
G01 Z-20. F0.2
X56.
G00 X260. Z1180.
;        ^^^^^^ information: number_unlike_part
T0505
G00 X40. Z2.
G01 Z-10. F0.1
X56.
G00 X260. Z180.
M30
)"},
            // One tool goes down by steps, and comes twice where it goes without cutting deeper.
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X34. Z5.
G92 X29.2 Z-23. F1.5
X28.6
X28.3
X28.16
X28.16
X28.16
G00 X100. Z80.
M30
)"},
            // A size of the title; and a cut that goes to it.
            {System::A, R"(
O1702 (SPACER .687 X .390 X .375)
G20 G99
T0404
G97 S2500 M03
G00 X0 Z.1
G01 Z-.62 F.006
G00 Z.5
X.9
T0202
G97 S2000 M03
G00 X.8 Z0.
G01 X-.03 F.005
G00 Z.05
X.557
G01 X.678 Z-.015 F.004
;   ^^^^^ warning: number_unlike_part
Z-.48 F.006
X.78
G00 X.9 Z.5
M30
)"},
            {System::C, R"(
(HUELSE D28.5 X 40)
G71 G90 G95
T0303
G97 S900 M03
G00 X0 Z3.
G01 Z-42. F.12
G00 Z50.
X100.
T0101
G97 S1500 M03
G00 X34. Z0
G01 X-1. F.15
G00 X100. Z50.
T0202
G97 S2000 M03
G00 X20. Z1.
G01 X25.8 Z-1. F.1
;   ^^^^^ warning: number_unlike_part
Z-38.
X32.
G00 X100. Z50.
M30
)"},
            {System::A, R"(
O1702 (SPACER .687 X .390 X .375)
G20 G99
T0404
G97 S2500 M03
G00 X0 Z.1
G01 Z-.62 F.006
G00 Z.5
X.9
T0202
G97 S2000 M03
G00 X.8 Z0.
G01 X-.03 F.005
G00 Z.05
X.557
G01 X.687 Z-.015 F.004
Z-.48 F.006
X.78
G00 X.9 Z.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::number_unlike_part
