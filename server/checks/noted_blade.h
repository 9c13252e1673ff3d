// What notes say of the blade of a work: how wide it is, and which of its corners is set.
#pragma once

#include "checks/noted_tool.h"
#include "checks/works.h"

namespace turnwright::checks {

struct NotedBlade {
    std::optional<double> width; ///< In program units
    BladeCorner corner = BladeCorner::unknown;
    /// Whole ways along Z that it takes in with its corner at a Z; nullopt: width or corner is not told.
    struct Stretch {
        double low = 0, high = 0;
    };
    std::optional<Stretch> at(double z) const {
        if (!width || corner == BladeCorner::unknown) return std::nullopt;
        return corner == BladeCorner::left ? Stretch{z, z + *width} : Stretch{z - *width, z};
    }
};

/// By the list of a head first, where a note says of a tool how it is set: a groove's own note gives the size
/// of the groove.
NotedBlade noted_blade(const machine::Reader& reader, std::span<const Span> spans, const Span& own,
                       int station, double mm_per_unit);
inline NotedBlade noted_blade(const WorksContext& context, const Work& work) {
    return noted_blade(context.reader, context.spans, context.spans[work.span], work.tool, work.unit_mm);
}

/// In capitals, what a note of a list says of a station: up to the next one, commas and all.
std::vector<std::string> listed_of(const machine::Reader& reader, const Span& head, int station);

/// The part is cut off with it: by its own notes, or else by the list.
bool is_part_off(const WorksContext& context, const Work& work);

} // namespace turnwright::checks
