// Inside the report room: holes, flats and slots that live tools make, from their way round the axis.
#pragma once

#include "report/inspection.h"

#include <functional>

namespace turnwright::report {

/// `surface_mm`: radius of the turned part at Z; nullopt: not known. `front_z_mm`: its face. What is not
/// plain from the way of the tool is left out.
std::vector<Inspected> round_features(const features::Document& document, const Picture& picture,
                                      const std::function<std::optional<double>(double z_mm)>& surface_mm,
                                      std::optional<double> front_z_mm);

} // namespace turnwright::report
