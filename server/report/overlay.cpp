#include "report/overlay.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/ranges.h>
#include <tuple>

namespace turnwright::report {

namespace {

bool same_stock(const stock::Setup& a, const stock::Setup& b) {
    const auto near = [](double one, double other) { return std::abs(one - other) < 1e-6; };
    return near(a.radius_mm, b.radius_mm) && near(a.bore_radius_mm, b.bore_radius_mm) &&
           near(a.front_z_mm, b.front_z_mm) && a.back_is_known == b.back_is_known &&
           (!a.back_is_known || near(a.back_z_mm, b.back_z_mm));
}

shop::Stock as_written(const stock::Setup& setup) {
    shop::Stock written;
    written.diameter_mm = 2 * setup.radius_mm;
    written.bore_mm = 2 * setup.bore_radius_mm;
    written.front_z_mm = setup.front_z_mm;
    if (setup.back_is_known) written.back_z_mm = setup.back_z_mm;
    written.jaw_front_z_mm = setup.jaw_z_mm;
    if (setup.jaw_radius_mm) written.jaw_diameter_mm = 2 * *setup.jaw_radius_mm;
    written.tailstock_z_mm = setup.tail_z_mm;
    if (setup.tail_radius_mm) written.tailstock_diameter_mm = 2 * *setup.tail_radius_mm;
    const auto diameter = [](std::optional<double> radius_mm) {
        return radius_mm ? std::optional(2 * *radius_mm) : std::nullopt;
    };
    written.quill_z_mm = setup.quill_z_mm;
    written.quill_diameter_mm = diameter(setup.quill_radius_mm);
    written.tailstock_body_z_mm = setup.tail_body_z_mm;
    written.tailstock_body_diameter_mm = diameter(setup.tail_body_radius_mm);
    written.steady_z_mm = setup.steady_z_mm;
    written.steady_width_mm = setup.steady_width_mm;
    written.steady_diameter_mm = diameter(setup.steady_radius_mm);
    written.material = setup.material;
    return written;
}

/// One program with the stock that it is drawn in.
struct ComparedSide {
    const features::Document& document;
    DrawnStock drawn;
    bool has_stock() const { return drawn.course && drawn.course->setup; }
};

/// Stock that is only assumed is the other program's: else two guesses would differ and not the programs.
void share_stock(ComparedSide& old_side, ComparedSide& new_side, std::vector<std::string>& remarks) {
    if (!old_side.has_stock() || !new_side.has_stock()) return;
    const stock::Setup &old_setup = *old_side.drawn.course->setup, &new_setup = *new_side.drawn.course->setup;
    if (same_stock(old_setup, new_setup)) return;
    if (old_side.drawn.assumed_stock.empty() && new_side.drawn.assumed_stock.empty()) {
        remarks.emplace_back(
            said("The two programs begin with different stock; that is part of what differs."));
        return;
    }
    const bool takes_old =
        old_side.drawn.assumed_stock.empty() ||
        (!new_side.drawn.assumed_stock.empty() && old_setup.radius_mm >= new_setup.radius_mm);
    ComparedSide& other = takes_old ? new_side : old_side;
    shop::Shop shop = *other.drawn.shop;
    shop.stock = as_written(takes_old ? old_setup : new_setup);
    DrawnStock followed = followed_with(other.document, std::move(shop), true, other.drawn.turned_round);
    followed.assumed = std::move(other.drawn.assumed);
    std::erase(followed.assumed, other.drawn.stock_told());
    other.drawn = std::move(followed);
}

void tell_assumed(const ComparedSide& side, std::string_view name, std::vector<std::string>& remarks) {
    if (!side.drawn.assumed.empty())
        remarks.push_back(said("Assumed of the {} program: {}.", name, fmt::join(side.drawn.assumed, "; ")));
}

/// Without the slivers that two followings of the same curve leave.
stock::Region without_slivers(const stock::Region& area) {
    stock::Region kept;
    for (const stock::Region& piece : stock::pieces(area))
        if (stock::is_wider(piece, least_difference_mm))
            kept.loops.insert(kept.loops.end(), piece.loops.begin(), piece.loops.end());
    return kept;
}

} // namespace

Overlay overlay_of(const features::Document& before, const Picture& old_picture,
                   const features::Document& after, const Picture& new_picture) {
    Overlay overlay;
    ComparedSide old_side{before, drawn_stock(before, old_picture)},
        new_side{after, drawn_stock(after, new_picture)};
    share_stock(old_side, new_side, overlay.remarks);
    overlay.parts = parts_of(after, new_side.drawn);
    const LeftStock old_left = left_of(old_side.drawn), new_left = left_of(new_side.drawn);
    for (const auto& [side, left, name] :
         {std::tuple(&old_side, &old_left, said("old")), {&new_side, &new_left, said("new")}}) {
        if (left->region || !overlay.why_not.empty()) continue;
        overlay.why_not = std::string(said("In the ")) + name + said(" program: ") +
                          parts_of(side->document, side->drawn).why_not;
    }
    if (!overlay.why_not.empty()) return overlay;
    overlay.only_old = without_slivers(stock::subtract(*old_left.region, *new_left.region));
    overlay.only_new = without_slivers(stock::subtract(*new_left.region, *old_left.region));
    overlay.both = stock::intersect(*old_left.region, *new_left.region);
    tell_assumed(old_side, said("old"), overlay.remarks);
    tell_assumed(new_side, said("new"), overlay.remarks);
    for (const ComparedSide* side : {&old_side, &new_side})
        if (!parts_of(side->document, side->drawn).after_exact) {
            overlay.remarks.emplace_back(
                said("Of some tools only a part is known: more is taken off here than they may take."));
            break;
        }
    if (old_left.before_parting || new_left.before_parting)
        overlay.remarks.emplace_back(said("The part is compared as it is before it is parted off."));
    return overlay;
}

} // namespace turnwright::report
