// Where the starts of a thread with several begin.
#include "calculate/calculate.h"
#include "language/said.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate::starts {
namespace {

constexpr Place places[] = {
    {"", Measure::number, "number of starts", true},
    {"PITCH", Measure::length, "from one crest to the next", true},
};
constexpr std::size_t most = 12;
constexpr std::string_view angles[most] = {"start 1 at", "start 2 at",  "start 3 at",  "start 4 at",
                                           "start 5 at", "start 6 at",  "start 7 at",  "start 8 at",
                                           "start 9 at", "start 10 at", "start 11 at", "start 12 at"};

Answer answer(const Question& question, const Here&) {
    const double count = *question.value("");
    if (count != std::floor(count) || count > static_cast<double>(most))
        return refuse(said("{} starts: whole numbers from 1 to {} are reckoned.", count, most));
    const double pitch = *question.value("PITCH");
    Answer answer;
    answer.results.push_back({said("lead"), pitch * count, Measure::length, true});
    for (std::size_t start = 0; start < static_cast<std::size_t>(count); ++start)
        answer.results.push_back(
            {angles[start], 360.0 * static_cast<double>(start) / count, Measure::angle, start > 0});
    answer.results.push_back({said("or each further in front by"), pitch, Measure::length, true});
    return answer;
}

} // namespace

extern const Calculator calculator{
    "STARTS",
    "start angles of a thread with several starts",
    places,
    "lead = starts x pitch; the starts stand 360 / starts degrees apart, which is the same as beginning each "
    "one a pitch further in front (exact).",
    "3 PITCH 1.5",
    answer};

} // namespace turnwright::calculate::starts
