// What a nose radius does to a taper that is programmed by the sharp tip.
#include "calculate/calculate.h"
#include "language/said.h"

#include <fmt/format.h>

namespace turnwright::calculate::nose {
namespace {

constexpr Place places[] = {
    {"R", Measure::length, "nose radius, if not the one of the tool in use"},
    {"ANGLE", Measure::angle, "of the flank to the axis", true},
};

Answer answer(const Question& question, const Here& here) {
    const std::optional<double> radius = question.has("R") ? question.value("R") : here.nose_radius_mm;
    if (!radius) return refuse(said("The nose radius is not known here: give R."));
    const double angle = *question.value("ANGLE");
    if (angle >= 90) return refuse(said("ANGLE {}: the angle to the axis is less than 90 degrees.", angle));
    const motion::NoseShift shift = motion::nose_shift(*radius, angle);
    Answer answer;
    answer.results = {{said("toward the chuck along Z"), shift.z_mm, Measure::length, true},
                      {said("or toward the centre, on radius"), shift.x_radius_mm, Measure::length, true},
                      {said("left standing with no shift"), shift.normal_mm, Measure::length}};
    return answer;
}

} // namespace

extern const Calculator calculator{
    "NOSE",
    "nose radius shift for a taper programmed by the sharp tip",
    places,
    "Along Z: radius x (1 - tan(angle / 2)). On radius: radius x (1 - tan(45 - angle / 2)). For a taper "
    "outside that rises toward the chuck, cut toward the chuck. Either of the two, not both. Exact.",
    "R0.8 ANGLE 30",
    answer};

} // namespace turnwright::calculate::nose
