// A measured part: which offset, how much, which sign, on diameter or radius.
#include "features/speech.h"
#include "language/said.h"
#include "report/offsets.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace turnwright::report {
namespace {

using motion::Segment;
using motion::SegmentKind;

/// How far the programmed size may lie from the wanted one: more is another surface of the part.
constexpr double nearest_mm = 0.5;
constexpr double same_mm = 0.0006; ///< Two sizes of one surface: a rounded inch apart
/// What a roughing cycle leaves is no finished size, unless it is the very one that is wanted.
constexpr double roughed_to_size_mm = 0.02;
/// More than this is no wear (common practice, no source).
constexpr double most_wear_mm = 0.5;

struct Cut {
    std::size_t line = 0;
    double size_mm = 0;
    bool roughs = false; ///< A pass of a roughing cycle
    std::optional<int> station, offset;
};

/// The size that a straight move leaves: a diameter along Z, a face or shoulder along X.
std::optional<double> size_left(const Segment& segment, bool length) {
    if (segment.kind != SegmentKind::feed || segment.is_arc) return std::nullopt;
    const double x = segment.to.x_radius_mm - segment.from.x_radius_mm;
    const double z = segment.to.z_mm - segment.from.z_mm;
    const double along = length ? x : z, across = length ? z : x;
    if (std::abs(across) > 1e-6 || std::abs(along) < 1e-6) return std::nullopt;
    return length ? -segment.to.z_mm : 2 * segment.to.x_radius_mm;
}

class Corrector {
public:
    Corrector(const features::Document& document, int station) : station_(station) {
        result_.on_diameter = document.settings().machine.x == shop::XReading::diameter;
        const LengthUnit unit = unit_of(document);
        result_.inch = unit == LengthUnit::inch;
        result_.unit_known = unit != LengthUnit::unknown;
        result_.within = result_.inch ? 0.0004 : 0.01;
        walk(document, [this](const WalkedBlock& block) { look(block); });
    }

    Corrections answer(std::span<const Measured> measured) {
        for (const Measured& one : measured) result_.all.push_back(correct(one));
        return std::move(result_);
    }

private:
    void look(const WalkedBlock& block) {
        const machine::State& state = block.view.after;
        Cut cut{.line = block.line + 1, .size_mm = 0, .roughs = false, .station = {}, .offset = {}};
        if (state.tool.known()) cut.station = static_cast<int>(state.tool.number);
        if (state.offset.known()) cut.offset = static_cast<int>(state.offset.number);
        if (station_ > 0 && cut.station != station_) return;
        for (const Segment& segment : block.path.segments)
            for (const bool length : {false, true})
                if (const auto size = size_left(segment, length)) {
                    cut.size_mm = *size;
                    cut.roughs = segment.role == motion::SegmentRole::cycle_pass;
                    (length ? lengths_ : diameters_).push_back(cut);
                }
    }

    /// The last of those that lie nearest to what is wanted: a finish behind its roughing.
    const Cut* find(const std::vector<Cut>& cuts, double wanted_mm) const {
        const Cut* best = nullptr;
        for (const Cut& cut : cuts) {
            const double off = std::abs(cut.size_mm - wanted_mm);
            if (off <= nearest_mm && (!best || off <= std::abs(best->size_mm - wanted_mm) + same_mm))
                best = &cut;
        }
        return best;
    }

    Correction correct(const Measured& measured) const {
        Correction answer;
        answer.measured = measured;
        const double mm = result_.inch ? motion::mm_per_inch : 1;
        const Cut* cut = find(measured.length ? lengths_ : diameters_, measured.wanted * mm);
        if (!result_.unit_known)
            answer.problem = said("the program never states its unit of length");
        else if (!cut)
            answer.problem =
                said("no cut {} leaves a size near it", measured.length ? said("along X") : said("along Z"));
        else if (cut->roughs && std::abs(cut->size_mm - measured.wanted * mm) > roughed_to_size_mm)
            answer.problem = said("no finishing cut leaves a size near it; the nearest, {}, is what "
                                  "roughing leaves in line {}. An "
                                  "offset would not make the part right",
                                  features::plain(cut->size_mm / mm, result_.inch ? 5 : 4), cut->line);
        else if (std::abs(measured.measured - measured.wanted) * mm > most_wear_mm)
            answer.problem = said(
                "{} off is no wear, and no correction is told: is a digit wrong, another size measured, or "
                "another "
                "tool in the turret",
                features::plain(std::abs(measured.measured - measured.wanted), result_.inch ? 5 : 4));
        else if (!cut->station || *cut->station < 1)
            answer.problem = said("line {} cuts it, and its tool is not known", cut->line);
        if (!answer.problem.empty()) return answer;
        answer.line = cut->line;
        answer.programmed = cut->size_mm / mm;
        answer.station = *cut->station;
        answer.offset = cut->offset;
        // More X is a larger diameter, outside and in a bore; a length is counted against Z.
        const double off = measured.wanted - measured.measured;
        answer.add = measured.length ? -off : result_.on_diameter ? off : off / 2;
        return answer;
    }

    int station_;
    Corrections result_;
    std::vector<Cut> diameters_, lengths_;
};

std::string signed_number(double number, int places) {
    const std::string text = features::plain(number, places);
    return number > 0 ? "+" + text : text;
}

class CorrectionWords {
public:
    explicit CorrectionWords(const Corrections& of) : of_(of), places_(of.inch ? 5 : 4) {}

    std::string all() {
        for (const Correction& one : of_.all) tell(one);
        for (const auto& [offset, rows] : by_offset_) compare(offset, rows);
        if (of_.all.empty()) return {};
        const auto is_told = [](const Correction& one) { return one.problem.empty(); };
        if (std::none_of(of_.all.begin(), of_.all.end(), is_told)) return out_;
        if (std::any_of(of_.all.begin(), of_.all.end(),
                        [&](const Correction& one) { return is_told(one) && !one.measured.length; }))
            out_ += of_.on_diameter
                        ? said("X is entered on diameter, as the program writes it. Where the control "
                               "holds offsets on "
                               "radius, enter half.\n")
                        : said("X is entered on radius, as the program writes it.\n");
        return out_ +
               said("Look at the sign at the machine before the next part, and measure that part again.\n");
    }

private:
    std::string number(double value) const { return features::plain(value, places_); }

    void tell(const Correction& one) {
        const bool length = one.measured.length;
        out_ += said("{} {}, measured {}: ", length ? said("Length") : said("Diameter"),
                     number(one.measured.wanted), number(one.measured.measured));
        if (!one.problem.empty()) {
            out_ += one.problem + ".\n";
            return;
        }
        out_ += said("cut last in line {} by T{:02}", one.line, one.station);
        if (std::abs(one.programmed - one.measured.wanted) > of_.within / 20)
            out_ += said(", programmed {}", number(one.programmed));
        out_ += ".\n";
        const double off = one.measured.measured - one.measured.wanted;
        if (std::abs(off) < of_.within / 1000) {
            out_ += said("  It is as wanted: nothing to add.\n");
        } else if (!one.offset || *one.offset < 1) {
            out_ += said("  Which offset was in force is not known. Add {} to its {}.\n",
                         signed_number(one.add, places_), length ? 'Z' : 'X');
        } else {
            out_ += said(
                "  {} too {}: add {} to {} of wear offset {}{}: G10 P{} {}{}\n", number(std::abs(off)),
                off > 0 ? (length ? said("long") : said("large")) : (length ? said("short") : said("small")),
                signed_number(one.add, places_), length ? 'Z' : 'X', *one.offset,
                length            ? ""
                : of_.on_diameter ? said(", on diameter")
                                  : said(", on radius"),
                *one.offset, length ? 'W' : 'U', block_number(one.add));
        }
        if (one.offset && *one.offset > 0) by_offset_[{*one.offset, length}].push_back(&one);
    }

    std::string block_number(double value) const {
        const std::string text = number(value);
        return text.find('.') == text.npos ? text + "." : text;
    }

    /// Sizes of one offset that ask for different corrections cannot all become right by it.
    void compare(std::pair<int, bool> offset, const std::vector<const Correction*>& rows) {
        if (rows.size() < 2) return;
        const auto [least, most] = std::minmax_element(
            rows.begin(), rows.end(), [](const auto* a, const auto* b) { return a->add < b->add; });
        const double apart = (*most)->add - (*least)->add;
        if (apart <= of_.within * (of_.on_diameter || offset.second ? 1 : 0.5)) {
            double sum = 0;
            for (const Correction* row : rows) sum += row->add;
            out_ += said("Offset {}: the sizes agree; one correction of {} serves them all.\n", offset.first,
                         signed_number(sum / static_cast<double>(rows.size()), places_));
            return;
        }
        const double middle = ((*most)->add + (*least)->add) / 2;
        out_ += said("Offset {}: the sizes disagree by {}, and one offset moves them all alike.\n"
                     "  {} leaves each end {} off. Or correct for the size with the closer tolerance and "
                     "change the other in the program:\n",
                     offset.first, number(apart), signed_number(middle, places_), number(apart / 2));
        const Correction& keep = **least;
        for (const Correction* row : rows) {
            if (row == &keep) continue;
            const double change = row->add - keep.add;
            // A length is counted against Z, a diameter along X.
            const double word = offset.second
                                    ? -row->programmed + change
                                    : (of_.on_diameter ? row->programmed : row->programmed / 2) + change;
            out_ += said("  with {} in the offset, {}{} for line {}.\n", signed_number(keep.add, places_),
                         offset.second ? 'Z' : 'X', block_number(word), row->line);
        }
        out_ += said(
            "  What makes them differ: the part or the tool bends away from the cut, most at the thin or far "
            "end; the tip is off centre height, which tells most on small diameters; depth of cut or feed "
            "are not the same; or one of them was measured warm.\n");
    }

    const Corrections& of_;
    int places_;
    std::string out_;
    std::map<std::pair<int, bool>, std::vector<const Correction*>> by_offset_;
};

} // namespace

Corrections correct_offsets(const features::Document& document, std::span<const Measured> measured,
                            int station) {
    return Corrector(document, station).answer(measured);
}

std::string corrections_text(const Corrections& corrections) {
    return CorrectionWords(corrections).all();
}

} // namespace turnwright::report
