// A thread by its name.
#include "calculate/thread.h"
#include "language/said.h"

#include "motion/thread_names.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

using codes::Meaning;

int thread_passes(double height_mm, double first_mm) {
    return static_cast<int>(std::ceil(height_mm / first_mm * (height_mm / first_mm) - 1e-9));
}

// Lead x rpm / 1800 x 3.2, and three leads at least (common practice, no source).
double run_in_mm(double lead_mm, double rpm) {
    return std::ceil(std::max({lead_mm * rpm / 1800 * 3.2, 3 * lead_mm, 1.0}) * 2) / 2;
}

double first_pass_mm(double height_mm, bool inch) {
    const double passes = std::ceil(6.5 * height_mm + 2), step_mm = inch ? 0.0254 : 0.01;
    return std::ceil(height_mm / std::sqrt(passes) / step_mm - 1e-6) * step_mm;
}

std::vector<Block> thread_cycle(const ThreadCut& cut, bool inch) {
    const double least_mm = inch ? 0.0508 : 0.05, finish_mm = inch ? 0.0254 : 0.02;
    Block first{Meaning::thread_cycle,
                {{'P', Written::text, 0, fmt::format("0100{:02.0f}", cut.flank_angle_deg)},
                 {'Q', Written::increments, least_mm},
                 {'R', Written::length, finish_mm}}};
    Block second = move_to(Meaning::thread_cycle, cut.root_radius_mm, cut.end_z_mm);
    if (cut.rise_mm > 0) second.words.push_back({'R', Written::length, -cut.rise_mm});
    second.words.push_back({'P', Written::increments, cut.height_mm});
    second.words.push_back({'Q', Written::increments, first_pass_mm(cut.height_mm, inch)});
    second.words.push_back({'F', Written::lead, cut.lead_mm});
    return {std::move(first), std::move(second)};
}

namespace thread {
namespace {

constexpr Place places[] = {
    {"", Measure::name, "the thread's name, such as M24X1.5, 3/4-16 or G1/2", true},
    {"LENGTH", Measure::length, "from the face to the end of the full thread", true},
    {"INSIDE", Measure::sign, "in a bore"},
    {"STARTS", Measure::number, "starts, where it has more than one"},
    {"Z", Measure::position, "the face where it begins, where that is not Z0"},
};

struct Profile {
    double major_mm, root_mm, height_mm, pitch_mm, begin_mm; ///< Diameters; of the bore or bar it begins with
    double flank_angle_deg = 60;
    double rise = 0; ///< On radius, for 1 mm along Z
};

std::optional<Profile> profile_of(const Question& question) {
    if (const auto size = motion::thread_size(question.name())) {
        if (question.has("INSIDE"))
            return Profile{size->major_mm,        size->minor_inside_mm + 2 * size->depth_inside_mm,
                           size->depth_inside_mm, size->pitch_mm,
                           size->minor_inside_mm, size->flank_angle_deg};
        return Profile{size->major_mm, size->minor_outside_mm, size->depth_outside_mm,
                       size->pitch_mm, size->major_mm,         size->flank_angle_deg};
    }
    const auto pipe = motion::taper_pipe(question.name());
    if (!pipe || question.has("INSIDE")) return std::nullopt;
    // 1 in 16 on diameter; the root at the small end is E0 less the height.
    return Profile{pipe->outside_mm, pipe->pitch_diameter_at_end_mm - pipe->height_mm, pipe->height_mm,
                   pipe->pitch_mm,   pipe->pitch_diameter_at_end_mm + pipe->height_mm, pipe->flank_angle_deg,
                   1.0 / 32};
}

Answer answer(const Question& question, const Here& here) {
    const std::optional<Profile> thread = profile_of(question);
    if (!thread)
        return refuse(said("{} is no name of a thread{} that is known here.", question.name(),
                           question.has("INSIDE") ? said(" inside") : ""));
    const double starts = question.value("STARTS").value_or(motion::starts_of(question.name()));
    constexpr double most_starts = 12;
    if (starts != std::floor(starts) || starts > most_starts)
        return refuse(said("{} starts: whole numbers from 1 to {} are reckoned.", starts, most_starts));
    Answer answer;
    const std::optional<double> given_face = face_of(question, here, answer);
    if (!given_face) return answer;
    const double lead = thread->pitch_mm * starts, face = *given_face;
    const double rpm = here.rpm.value_or(1000.0);
    if (!here.rpm) answer.remarks.push_back(said("The run-in is for 1000 rpm: no rpm is in force here."));
    const double run_in = run_in_mm(lead, rpm), first = first_pass_mm(thread->height_mm, here.inch);
    const double end = face - *question.value("LENGTH");
    if (motion::is_left_hand(question.name()))
        answer.remarks.emplace_back(said(
            "Left-hand: toward the chuck it is cut with the spindle turning backward (M04), with an insert "
            "that "
            "cuts that way; with M03 the same blocks cut a right-hand thread. Else cut it with M03 from the "
            "relief outward."));
    answer.results = {{said("major diameter"), thread->major_mm, Measure::diameter},
                      {thread->rise > 0         ? said("root diameter at the small end")
                       : question.has("INSIDE") ? said("root diameter, the largest")
                                                : said("root diameter"),
                       thread->root_mm, Measure::diameter, true},
                      {said("height"), thread->height_mm, Measure::length, true},
                      {said("pitch"), thread->pitch_mm, Measure::length},
                      {said("lead"), lead, Measure::length},
                      {said("passes, about"), static_cast<double>(thread_passes(thread->height_mm, first)),
                       Measure::number},
                      {said("run-in"), run_in, Measure::length},
                      {question.has("INSIDE") ? said("bore before") : said("diameter before"),
                       thread->begin_mm, Measure::diameter}};
    if (thread->rise == 0)
        answer.results.push_back({said("relief, at least as wide"), 2 * lead, Measure::length});
    const double beside =
        question.has("INSIDE")
            ? thread->begin_mm / 2 - 1
            : std::max(here.stock_known ? here.outside_radius_mm : 0.0, thread->major_mm / 2) + 2;
    if (beside <= 0)
        return refuse(said("A tool finds no room in a bore of {}.", here.spoken(thread->begin_mm)));
    const double begin = std::max(face, here.stock_known ? here.front_mm : face) + run_in;
    // In front of the face before it comes to the diameter.
    answer.blocks.push_back(move_to(Meaning::rapid, std::nullopt, begin));
    answer.blocks.push_back(move_to(Meaning::rapid, beside, std::nullopt));
    for (int start = 0; start < static_cast<int>(starts); ++start) {
        if (start > 0)
            answer.blocks.push_back(move_to(Meaning::rapid, std::nullopt, begin + start * thread->pitch_mm));
        ThreadCut cut{thread->root_mm / 2 + thread->rise * (face - end),
                      end,
                      0,
                      thread->height_mm,
                      lead,
                      thread->flank_angle_deg};
        cut.rise_mm = thread->rise * (begin - end);
        for (Block& block : thread_cycle(cut, here.inch)) answer.blocks.push_back(std::move(block));
    }
    return answer;
}

} // namespace

extern const Calculator calculator{
    "THREAD",
    "thread by its name",
    places,
    "Metric and unified threads have the profile of ISO 68-1 and ASME B1.1: H = sqrt(3)/2 x pitch. Inside "
    "the height is 5/8 H and the bore before it major - 5/4 H; outside the height is 17/24 H (the rounded "
    "root of DIN 13) and the root diameter major - 17/12 H. Taper pipe threads NPT go by ASME B1.20.1. "
    "Pipe threads G go by ISO 228-1 and taper ones R by ISO 7-1: 55 degrees, height 0.640327 x pitch. "
    "Trapezoidal ones (TR20X4, with two starts TR40X14P7) go by ISO 2904: 30 degrees, height 0.5 x pitch + "
    "clearance. LH behind a name is a left-hand thread. Passes of equal area end at first pass x "
    "sqrt(number); about 6.5 x height in mm + 2 of them are taken (common practice). Run-in: lead x rpm x "
    "3.2 / 1800, three leads at least; "
    "relief two leads wide (common practice). More starts: each begins a pitch further in front.",
    "M24X1.5 LENGTH 20",
    answer};

} // namespace thread
} // namespace turnwright::calculate
