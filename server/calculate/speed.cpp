// Rpm and feed to start with.
#include "calculate/calculate.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate::speed {
namespace {

constexpr Place places[] = {
    {"D", Measure::diameter, "that is cut, if not where the tool stands"},
    {"SURFACE", Measure::surface, "surface speed, if not the usual one of the material"},
    {"LIMIT", Measure::turns, "rpm that are not gone over, if neither program nor shop file tells them"},
};

Answer answer(const Question& question, const Here& here) {
    std::optional<double> diameter = question.value("D");
    if (!diameter && here.x_radius_mm) diameter = 2 * *here.x_radius_mm;
    if (!diameter) return refuse(said("The diameter is not known here: give D."));
    if (*diameter <= 0)
        return refuse(said("At the centre every rpm gives no surface speed: give D of what is cut."));
    Answer answer;
    const double surface = question.value("SURFACE").value_or(here.surface_m_per_min);
    if (!question.has("SURFACE")) answer.remarks.push_back(said("Surface speed ") + here.surface_from + ".");
    const double wanted = motion::rpm_for(surface, *diameter);
    const std::optional<double> limit = question.has("LIMIT") ? question.value("LIMIT") : here.limit_rpm;
    const double rpm = std::max(1.0, std::floor(limit ? std::min(wanted, *limit) : wanted));
    answer.results = {{said("surface speed"), surface, Measure::surface},
                      {said("rpm"), rpm, Measure::turns, true}};
    if (limit && wanted > *limit)
        answer.remarks.push_back(said(
            "It would be {:.0f} rpm; the limit is {:.0f}, which gives {:.0f} {}.", wanted, *limit,
            motion::surface_for(rpm, *diameter) / (here.inch ? 0.3048 : 1), here.inch ? "ft/min" : "m/min"));
    if (!limit)
        answer.remarks.push_back(
            said("No limit is known: neither LIMIT, nor the program, nor the shop file tells one."));
    answer.results.push_back({said("feed to rough with"), here.rough_feed, Measure::feed, true});
    answer.results.push_back({said("feed to finish with"), here.finish_feed, Measure::feed, true});
    if (!here.nose_radius_mm)
        answer.remarks.push_back(said("The nose radius is not known: the feeds are those of a usual one."));
    answer.blocks.push_back({codes::Meaning::constant_rpm, {{'S', Written::whole, rpm}}});
    return answer;
}

} // namespace

extern const Calculator calculator{
    "SPEED",
    "rpm and feed to start with",
    places,
    "rpm = 1000 x surface speed / (pi x diameter) in m/min and mm, 12 x surface speed / (pi x diameter) in "
    "ft/min "
    "and inch, not above the limit. Surface speeds are those of coated carbide by the material's group, "
    "feeds at "
    "most 0.3 and 0.15 of the nose radius: published cutting data and common practice, to start with.",
    "D40 SURFACE 180 LIMIT 3000",
    answer};

} // namespace turnwright::calculate::speed
