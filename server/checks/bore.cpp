#include "checks/bore.h"

#include "checks/head_stock.h"
#include "checks/noted_words.h"
#include "checks/tool_of_work.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks {

namespace {

/// The first part of its program: nothing of it has been worked on before.
bool is_first_clamping(const WorksContext& context, const Workpiece& part) {
    const Work& work = *part.works.front();
    const machine::ProgramPart* program = context.spans[work.span].program;
    if (work.behind_stop || !work.same_datum || program->is_subprogram) return false;
    for (const Workpiece& other : context.parts) {
        if (&other == &part) return true;
        if (!other.works.empty() && context.spans[other.works.front()->span].program == program) return false;
    }
    return true;
}

/// "ROHTEIL 120 X 36, BOHRUNG 30 DURCH", "CASTING, CORED BORE 2.3", "FORO GREZZO 74": in the languages of
/// some shops, common practice, no source.
std::optional<double> hole_in_note(std::string_view text) {
    const NotedWords note = noted_words(text);
    bool blank = false, jaws = false;
    std::optional<double> hole;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        blank = blank ||
                is_one_of(word, {"ROHTEIL", "ROHLING", "ROHGUSS", "ROH", "BLANK", "STOCK", "BRUT", "BRUTO",
                                 "GREZZO", "GREZZA", "CORED", "VORGEGOSSEN", "VORGEBOHRT", "FORGING"}) ||
                begins_with_one_of(word, {"CAST", "GUSS", "FUSION", "SCHMIEDE"});
        if (word == ",") jaws = false;
        jaws = jaws || begins_with_one_of(word, {"JAW", "BACKE", "MORDAZA", "GRIFF", "MORS", "GARRA", "PLUG",
                                                 "DRILL", "BOHRER"});
        const bool names = is_one_of(word, {"BOHRUNG", "BORE", "BORED", "CORED", "FORO", "AGUJERO", "TROU",
                                            "ALESAGE", "VORGEGOSSEN", "VORGEBOHRT", "PREDRILLED"});
        if (!names || jaws) continue;
        for (std::size_t at = i + 1; at < note.size() && at < i + 4 && note.at(at) != ","; ++at) {
            std::string_view size = note.at(at);
            for (const std::string_view front : {"DIA", "D"})
                if (size.size() > front.size() && size.starts_with(front) && size[front.size()] >= '.' &&
                    size[front.size()] <= '9') {
                    size.remove_prefix(front.size());
                    break;
                }
            const auto value = plain_number(size);
            if (!value || *value <= 0) continue;
            if (hole && *hole != *value) return std::nullopt;
            hole = *value;
            break;
        }
    }
    return blank ? hole : std::nullopt;
}

/// The only one of a program's head, program units.
std::optional<double> noted_hole(const WorksContext& context, const machine::ProgramPart& program) {
    constexpr std::size_t longest_head = 60;
    const BlockPlace end = program.sequences.empty() ? program.last : program.sequences.front().tool_call;
    std::optional<double> found;
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = program.first; at && *at <= end && looked_at < longest_head;
         at = context.reader.neighbour(*at, true), ++looked_at)
        for (const syntax::Item& item : context.reader.items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const auto hole = hole_in_note(syntax::note_text(context.reader.line(*at).text_of(item)));
            if (hole && found && *found != *hole) return std::nullopt;
            if (hole) found = hole;
        }
    return found;
}

/// Of the hole that the part comes with, by the notes of the head, on radius; 0: a plain bar.
std::optional<double> radius_at_first(const WorksContext& context, const Workpiece& part, double mm) {
    if (!is_first_clamping(context, part)) return std::nullopt;
    const machine::ProgramPart& program = *context.spans[part.works.front()->span].program;
    const HeadStock head = head_stock(context.reader, program.first, program, mm);
    if (head.stock.bore_mm) return *head.stock.bore_mm / 2 / mm;
    if (const auto hole = noted_hole(context, program)) return *hole / 2;
    // A casting, or a part that another program has worked on, may have any hole.
    return head.stock.diameter_mm && head.is_plain_bar ? std::optional(0.0) : std::nullopt;
}

} // namespace

Bore::Bore(const WorksContext& context, const Workpiece& part, double x_times)
    : part_(part), x_times_(x_times) {
    if (!part.works.empty()) first_radius_ = radius_at_first(context, part, part.works.front()->unit_mm);
    for (std::size_t i = 0; i < part.works.size() && !is_too_long_; ++i) take(context, *part.works[i], i);
    if (is_too_long_) openings_.clear();
}

void Bore::take(const WorksContext& context, const Work& work, std::size_t index) {
    const bool cuts =
        std::any_of(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    if (!cuts || work.driven_tool || work.where == Work::Where::outside) return;
    const auto end_known = [&] { known_ = std::min(known_.value_or(index), index); };
    if (work.where == Work::Where::unknown) return end_known();
    double radius = 0;
    if (work.where == Work::Where::on_centre) {
        const NamedTool* kind = tool_of_work(
            context, work, [](const NamedTool& named) { return named.kind != NamedTool::Kind::none; });
        if (kind && kind->kind != NamedTool::Kind::drill && kind->kind != NamedTool::Kind::ream)
            return; // A spot, a tap, a stop
        const NamedTool* drill = tool_of_work(context, work, [&](const NamedTool& named) {
            return named.diameter_mm(work.unit_mm).has_value();
        });
        if (!drill) return end_known();
        radius = *drill->diameter_mm(work.unit_mm) / work.unit_mm / 2;
    }
    for (const Leg& leg : work.legs) {
        if (!leg.cuts()) continue;
        if (!leg.known) return end_known();
        const bool toward_back = leg.dz() <= 0;
        const Point &front = toward_back ? leg.from : leg.to, &back = toward_back ? leg.to : leg.from;
        Opening opening{&work,
                        &leg,
                        work.where == Work::Where::on_centre,
                        front.z_mm,
                        back.z_mm,
                        x_times_ * front.x_radius_mm,
                        x_times_ * back.x_radius_mm};
        if (opening.drilled) opening.from_x = opening.to_x = radius;
        // Each move of a bar asks all of them.
        constexpr std::size_t most = 500;
        is_too_long_ = openings_.size() == most;
        if (is_too_long_) return;
        openings_.emplace_back(index, opening);
    }
}

std::size_t Bore::index_of(const Work& work) const {
    return static_cast<std::size_t>(std::find(part_.works.begin(), part_.works.end(), &work) -
                                    part_.works.begin());
}

std::vector<const Opening*> Bore::openings_before(const Work& work, const Leg* leg) const {
    const std::size_t index = index_of(work);
    std::vector<const Opening*> found;
    for (const auto& [at, opening] : openings_)
        if (at < index || (at == index && leg && opening.leg < leg)) found.push_back(&opening);
    return found;
}

const Opening* Bore::deepest_of_width(double radius, const Work& work, const Leg* leg) const {
    const Opening* deepest = nullptr;
    for (const Opening* opening : openings_before(work, leg))
        if (opening->least_x() >= radius && (!deepest || opening->to_z < deepest->to_z)) deepest = opening;
    return deepest;
}

Bore::Width Bore::before(const Work& work, const Leg* leg, double z) const {
    Width width;
    for (const Opening* opening : openings_before(work, leg)) {
        const bool reaches =
            opening->drilled ? z >= opening->to_z : opening->to_z <= z && z <= opening->from_z;
        if (!reaches) continue;
        const double length = opening->from_z - opening->to_z;
        double radius = std::max(opening->from_x, opening->to_x);
        if (!opening->drilled && opening->leg->is_arc) { // The chords lie within what a hollow opens
            const motion::Segment arc = opening->leg->segment();
            constexpr int chords = 24;
            radius = 0;
            for (int i = 0; i <= chords; ++i) {
                const Point at = motion::point_at(arc, static_cast<double>(i) / chords);
                if (std::abs(at.z_mm - z) <= length / chords + 1e-9)
                    radius = std::max(radius, x_times_ * at.x_radius_mm);
            }
        } else if (length > 0) {
            radius = opening->to_x + (opening->from_x - opening->to_x) * (z - opening->to_z) / length;
        }
        if (radius > width.radius) width = {radius, opening, true, std::nullopt};
    }
    width.is_known = is_known_before(work);
    if (width.is_known && first_radius_) width.most = std::max(width.radius, *first_radius_);
    return width;
}

} // namespace turnwright::checks
