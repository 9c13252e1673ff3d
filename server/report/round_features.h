// Inside the report room: holes, flats and slots that live tools make, from their way round the axis.
#pragma once

#include "report/inspection.h"

#include <functional>

namespace turnwright::report {

/// How the part lies for what is looked at of it.
struct RoundView {
    std::function<std::optional<double>(double z_mm)>
        surface_mm;                   ///< Radius of the turned part at Z; nullopt: not known
    std::optional<double> front_z_mm; ///< Its face
    std::function<bool(const PictureStep&)> takes;
    bool to_plus = false; ///< Z grows into it; what is found has Z the other way round, as all here
};
/// What is not plain from the way of the tool is left out.
std::vector<Inspected> round_features(const features::Document& document, const Picture& picture,
                                      const RoundView& view);

} // namespace turnwright::report
