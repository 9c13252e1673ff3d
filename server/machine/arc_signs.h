// Arcs that tell how X is written: read one way their ends lie on the circle, read the other way they do not.
#pragma once

#include "syntax/syntax.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace turnwright::machine {

/// Where an axis stands in the text, program units as written.
struct ArcPlace {
    enum class From : std::uint8_t { entry, zero, unknown } from = From::entry;
    double value = 0; ///< From where the run was entered, or from the datum
    ArcPlace resolved(const ArcPlace& entry) const;
    std::optional<double> to(const ArcPlace& end) const; ///< How far it is, where that can be told
};
struct TextArc {
    std::size_t block = 0;
    ArcPlace from_x, from_z, to_x, to_z;
    std::optional<double> i, k, r;
};
/// What a run tells by itself, and its arcs that wait for where it is entered. Runs are added in their order;
/// the sum does not hang on where they begin.
struct ArcRun {
    ArcPlace x, z; ///< Behind it
    std::uint32_t by_radius = 0, by_diameter = 0;
    std::vector<TextArc> waiting;
    bool incremental = false; ///< G91 stands there: X may be a way
};
ArcRun arcs_in(const syntax::Run& run);

/// Whether the arcs of a program tell that X is a radius: two at least, and none that X is a diameter.
bool arcs_tell_radius(const std::vector<ArcRun>& runs);
/// The reverse.
bool arcs_tell_diameter(const std::vector<ArcRun>& runs);
/// The first that tells that X is a radius.
struct ArcAt {
    std::size_t run = 0, block = 0;
};
std::optional<ArcAt> first_radius_arc(const syntax::Forest& forest);

} // namespace turnwright::machine
