// Threads by name.
//
// Profile: ISO 68-1, H = sqrt(3)/2 P, pitch diameter d - 2 x 3/8 H, internal minor d - 2 x 5/8 H. External
// minor d - 17/12 H (the rule of DIN 13 and the ISO 724 family, from memory). Unified threads have the same
// profile and are given by the same rule. Pipe threads of ISO 228-1 and ISO 7-1: 55 degrees, height 0.640327
// P on both sides (from memory). Trapezoidal threads of ISO 2901 to 2904: 30 degrees, outside minor
// d - P - 2 ac, inside d - P to d + 2 ac, ac by the pitch (from memory). LH behind a name, and Ph for the
// lead of a thread with more starts: ISO 965-1, from memory.
#include "motion/thread_names.h"

#include "motion/motion.h"
#include "text/letters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace turnwright::motion {
namespace {

struct Coarse {
    double diameter_mm, pitch_mm, drill_mm; ///< Drill 0: not in the table
};
// Pitches: ISO 261, from memory. Drills: utilitiesbunker.com; they differ between sources.
constexpr Coarse coarse[] = {
    {1.6, 0.35, 0}, {2, 0.4, 0},   {2.5, 0.45, 0}, {3, 0.5, 2.5},   {3.5, 0.6, 0},  {4, 0.7, 3.3},
    {5, 0.8, 4.2},  {6, 1, 5.0},   {7, 1, 0},      {8, 1.25, 6.8},  {10, 1.5, 8.5}, {12, 1.75, 10.2},
    {14, 2, 0},     {16, 2, 14.0}, {18, 2.5, 0},   {20, 2.5, 17.5}, {22, 2.5, 0},   {24, 3, 21.0},
    {27, 3, 0},     {30, 3.5, 0},  {33, 3.5, 0},   {36, 4, 0},      {39, 4, 0},     {42, 4.5, 0},
    {45, 4.5, 0},   {48, 5, 0},    {52, 5, 0},     {56, 5.5, 0},    {60, 5.5, 0},   {64, 6, 0},
};

struct Unified {
    std::string_view size;
    double diameter_inch;
    double coarse, fine; ///< Threads per inch; 0: none
};
// ASME B1.1, from memory.
constexpr Unified unified[] = {
    {"#4", 0.112, 40, 48},   {"#5", 0.125, 40, 44},    {"#6", 0.138, 32, 40},   {"#8", 0.164, 32, 36},
    {"#10", 0.190, 24, 32},  {"#12", 0.216, 24, 28},   {"1/4", 0.25, 20, 28},   {"5/16", 0.3125, 18, 24},
    {"3/8", 0.375, 16, 24},  {"7/16", 0.4375, 14, 20}, {"1/2", 0.5, 13, 20},    {"9/16", 0.5625, 12, 18},
    {"5/8", 0.625, 11, 18},  {"3/4", 0.75, 10, 16},    {"7/8", 0.875, 9, 14},   {"1", 1, 8, 12},
    {"1-1/8", 1.125, 7, 12}, {"1-1/4", 1.25, 7, 12},   {"1-3/8", 1.375, 6, 12}, {"1-1/2", 1.5, 6, 12},
    {"1-5/8", 1.625, 0, 0},  {"1-3/4", 1.75, 5, 0},    {"1-7/8", 1.875, 0, 0},  {"2", 2, 4.5, 0},
    {"2-1/4", 2.25, 4.5, 0}, {"2-1/2", 2.5, 4, 0},     {"2-3/4", 2.75, 4, 0},   {"3", 3, 4, 0},
};

struct ParallelPipe {
    std::string_view size;
    double major_mm, threads_per_inch;
    double gauge_mm = 0, useful_mm = 0; ///< Of the taper thread of this size; 0: there is none
};
// ISO 228-1, with gauge length and useful thread of ISO 7-1; from memory.
constexpr ParallelPipe parallel_pipes[] = {
    {"1/16", 7.723, 28, 4, 6.5},
    {"1/8", 9.728, 28, 4, 6.5},
    {"1/4", 13.157, 19, 6, 9.7},
    {"3/8", 16.662, 19, 6.4, 10.1},
    {"1/2", 20.955, 14, 8.2, 13.2},
    {"5/8", 22.911, 14},
    {"3/4", 26.441, 14, 9.5, 14.5},
    {"7/8", 30.201, 14},
    {"1", 33.249, 11, 10.4, 16.8},
    {"1-1/8", 37.897, 11},
    {"1-1/4", 41.910, 11, 12.7, 19.1},
    {"1-1/2", 47.803, 11, 12.7, 19.1},
    {"1-3/4", 53.746, 11},
    {"2", 59.614, 11, 15.9, 23.4},
    {"2-1/4", 65.710, 11},
    {"2-1/2", 75.184, 11, 17.5, 26.7},
    {"2-3/4", 81.534, 11},
    {"3", 87.884, 11, 20.6, 29.8},
    {"3-1/2", 100.330, 11},
    {"4", 113.030, 11, 25.4, 35.8},
};
constexpr double pipe_height = 0.640327; ///< Of the pitch

struct Pipe {
    std::string_view size;
    double outside_inch, threads_per_inch;
};
// ASME B1.20.1, from memory.
constexpr Pipe pipes[] = {
    {"1/16", 0.3125, 27},   {"1/8", 0.405, 27}, {"1/4", 0.540, 18},  {"3/8", 0.675, 18},
    {"1/2", 0.840, 14},     {"3/4", 1.050, 14}, {"1", 1.315, 11.5},  {"1-1/4", 1.660, 11.5},
    {"1-1/2", 1.900, 11.5}, {"2", 2.375, 11.5}, {"2-1/2", 2.875, 8}, {"3", 3.5, 8},
};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Upper case, no blanks; "1 1/4" is "1-1/4".
std::string normal_form(std::string_view name) {
    std::string out;
    for (std::size_t i = 0; i < name.size(); ++i) {
        const char c = name[i];
        if (c != ' ' && c != '\t') {
            out += text::upper(c);
        } else if (!out.empty() && is_digit(out.back()) && name.find('/', i) == i + 2 &&
                   is_digit(name[i + 1])) {
            out += '-';
        }
    }
    return out;
}

bool take_end(std::string_view& text, std::string_view end) {
    if (!text.ends_with(end)) return false;
    text.remove_suffix(end.size());
    return true;
}

/// A plain decimal number at the front of `text`, taken off it.
std::optional<double> take_number(std::string_view& text) {
    std::size_t length = 0;
    while (length < text.size() && (text[length] == '.' || is_digit(text[length]))) ++length;
    std::string digits(text.substr(0, length));
    char* end = nullptr;
    double value = std::strtod(digits.c_str(), &end);
    if (length == 0 || end != digits.c_str() + length) return std::nullopt;
    text.remove_prefix(length);
    return value;
}

ThreadSize size_of(double major, double pitch) {
    double height = std::sqrt(3.0) / 2 * pitch;
    ThreadSize size{};
    size.major_mm = major;
    size.pitch_mm = pitch;
    size.pitch_diameter_mm = major - 2 * 3.0 / 8 * height;
    size.minor_inside_mm = major - 2 * 5.0 / 8 * height;
    size.minor_outside_mm = major - 17.0 / 12 * height;
    size.depth_outside_mm = 17.0 / 24 * height;
    size.depth_inside_mm = 5.0 / 8 * height;
    return size;
}

const Coarse* coarse_row(double diameter) {
    for (const Coarse& row : coarse)
        if (std::abs(row.diameter_mm - diameter) < 1e-9) return &row;
    return nullptr;
}

/// A tolerance class behind the size: "-6G".
bool is_class(std::string_view rest) {
    return rest.empty() || (rest.size() > 1 && rest[0] == '-' && rest[1] >= '1' && rest[1] <= '9');
}

struct LeadAndPitch {
    double lead, pitch;
    int starts() const { return static_cast<int>(std::lround(lead / pitch)); }
};

/// What stands behind the X of a name, taken off it: "4", with more starts "14(P7)", "14P7", "PH14P7".
std::optional<LeadAndPitch> take_lead(std::string_view& text) {
    if (text.starts_with("PH")) text.remove_prefix(2);
    const auto lead = take_number(text);
    std::optional<double> pitch = lead;
    const bool in_brackets = text.starts_with("(P");
    if (in_brackets || text.starts_with('P')) {
        text.remove_prefix(in_brackets ? 2 : 1);
        pitch = take_number(text);
        if (in_brackets && !text.starts_with(')')) return std::nullopt;
        text.remove_prefix(in_brackets ? 1 : 0);
    }
    if (!lead || !pitch || *pitch <= 0) return std::nullopt;
    const double starts = *lead / *pitch;
    if (starts < 1 || std::abs(starts - std::round(starts)) > 1e-9) return std::nullopt;
    return LeadAndPitch{*lead, *pitch};
}

struct LedThread {
    double diameter_mm;
    LeadAndPitch lead_mm;
};

std::optional<LedThread> metric(std::string_view text) {
    if (!text.starts_with('M')) return std::nullopt;
    text.remove_prefix(1);
    const auto diameter = take_number(text);
    if (!diameter || *diameter < 1 || *diameter > 1000) return std::nullopt;
    std::optional<LeadAndPitch> lead;
    if (!text.empty() && (text[0] == 'X' || text[0] == '*')) {
        text.remove_prefix(1);
        lead = take_lead(text);
        if (lead && (lead->pitch < 0.2 || lead->pitch > 8 || lead->pitch > *diameter / 3))
            return std::nullopt;
    } else if (const Coarse* row = coarse_row(*diameter)) {
        lead = LeadAndPitch{row->pitch_mm, row->pitch_mm};
    }
    if (!lead || !is_class(text)) return std::nullopt;
    return LedThread{*diameter, *lead};
}

/// Pitches of ISO 2902.
constexpr double trapezoidal_pitches[] = {1.5, 2,  3,  4,  5,  6,  7,  8,  9,  10, 12,
                                          14,  16, 18, 20, 22, 24, 28, 32, 36, 40, 44};

/// "TR20X4", with more starts "TR40X14(P7)", a tolerance class behind it.
std::optional<LedThread> trapezoidal(std::string_view text) {
    if (!text.starts_with("TR")) return std::nullopt;
    text.remove_prefix(2);
    const auto diameter = take_number(text);
    if (!diameter || *diameter < 8 || *diameter > 300 || text.empty() || (text[0] != 'X' && text[0] != '*'))
        return std::nullopt;
    text.remove_prefix(1);
    const auto lead = take_lead(text);
    if (!lead || lead->pitch > 0.4 * *diameter || !is_class(text)) return std::nullopt;
    if (std::find(std::begin(trapezoidal_pitches), std::end(trapezoidal_pitches), lead->pitch) ==
        std::end(trapezoidal_pitches))
        return std::nullopt;
    return LedThread{*diameter, *lead};
}

ThreadSize trapezoidal_size(const LedThread& thread) {
    const double pitch = thread.lead_mm.pitch, major = thread.diameter_mm;
    const double clearance = pitch < 2 ? 0.15 : pitch < 6 ? 0.25 : pitch < 14 ? 0.5 : 1;
    const double height = pitch / 2 + clearance;
    return {major,  pitch, major - pitch / 2, major - pitch, major - pitch - 2 * clearance, height,
            height, 30};
}

/// The name without the letters of a left-hand thread.
bool take_left_hand(std::string& text) {
    if (!text.ends_with("LH")) return false;
    text.resize(text.size() - 2);
    if (text.ends_with('-')) text.pop_back();
    return true;
}

/// The size that stands at the front of a name, the longest that fits; what follows is left in `text`.
template <typename Row, std::size_t count>
const Row* take_size(const Row (&rows)[count], std::string_view& text) {
    const Row* best = nullptr;
    for (const Row& row : rows) {
        if (!text.starts_with(row.size)) continue;
        // "1" is not the size in "1/2" or "10".
        char next = text.size() > row.size.size() ? text[row.size.size()] : '-';
        if (next == '/' || next == '.' || is_digit(next)) continue;
        if (!best || row.size.size() > best->size.size()) best = &row;
    }
    if (best) text.remove_prefix(best->size.size());
    return best;
}

/// What stands behind a size may tell its threads per inch, and then tells the right ones: "-14".
bool has_count(std::string_view& text, double threads_per_inch) {
    if (!text.starts_with('-') || text.size() < 2 || !is_digit(text[1])) return true;
    text.remove_prefix(1);
    return take_number(text) == threads_per_inch;
}

/// "G1/2", "G1/2A", "1/2 BSP": of a pipe that seals elsewhere. With `taper` "R1/2", "1/2 BSPT".
const ParallelPipe* parallel_pipe(std::string_view text, bool taper) {
    if (text.starts_with(taper ? 'R' : 'G'))
        text.remove_prefix(1);
    else if (!(taper ? take_end(text, "BSPT") : take_end(text, "BSPP") || take_end(text, "BSP")))
        return nullptr;
    const ParallelPipe* row = take_size(parallel_pipes, text);
    if (!row || !has_count(text, row->threads_per_inch) || (taper && row->gauge_mm == 0)) return nullptr;
    const bool has_class = !taper && (text == "A" || text == "B" || text == "-A" || text == "-B");
    return text.empty() || has_class ? row : nullptr;
}

/// The series of one pitch for many diameters (ASME B1.1, from memory).
bool is_constant_pitch(double threads) {
    constexpr double series[] = {4, 6, 8, 12, 16, 20, 28, 32};
    return std::find(std::begin(series), std::end(series), threads) != std::end(series);
}

/// A size in decimals of an inch with its threads behind it, as ASME B1.1 names them: ".750-16".
const Unified* take_decimal_size(std::string_view& text) {
    std::string_view rest = text;
    if (rest.find('.') > 1) return nullptr;
    const auto diameter = take_number(rest);
    if (!diameter || !rest.starts_with('-')) return nullptr;
    const auto row = std::find_if(std::begin(unified), std::end(unified), [&](const Unified& one) {
        return std::abs(one.diameter_inch - *diameter) < 0.0006;
    });
    if (row == std::end(unified)) return nullptr;
    text = rest;
    return row;
}

/// "1-5ACME", "3/4-6ACME-2G": general purpose (ASME B1.5, from memory: height half a pitch and 0.010 in of
/// clearance, 0.005 from 10 threads per inch on; 1-5 ACME-2G has 0.780 in the screw, 0.800 and 1.020 in the
/// nut).
std::optional<ThreadSize> acme_size(std::string_view text) {
    const Unified* row = take_size(unified, text);
    if (!row) row = take_decimal_size(text);
    if (!row || !text.starts_with('-')) return std::nullopt;
    text.remove_prefix(1);
    const auto threads = take_number(text);
    if (!threads || *threads < 1 || *threads > 16 || !text.starts_with("ACME")) return std::nullopt;
    text.remove_prefix(4);
    const bool has_class =
        text.size() == 3 && text[0] == '-' && is_digit(text[1]) && (text[2] == 'G' || text[2] == 'C');
    if (!text.empty() && !has_class) return std::nullopt;
    const double major = row->diameter_inch * mm_per_inch, pitch = mm_per_inch / *threads;
    const double clearance = (*threads < 10 ? 0.010 : 0.005) * mm_per_inch, height = pitch / 2 + clearance;
    if (pitch > 0.4 * major) return std::nullopt;
    return ThreadSize{major,  pitch, major - pitch / 2, major - pitch, major - pitch - 2 * clearance, height,
                      height, 29};
}

std::optional<ThreadSize> unified_size(std::string_view text) {
    const Unified* row = take_size(unified, text);
    const bool is_decimal = !row;
    if (is_decimal) row = take_decimal_size(text);
    if (!row) return std::nullopt;
    std::optional<double> threads;
    if (text.starts_with('-')) {
        text.remove_prefix(1);
        threads = take_number(text);
        if (!threads) return std::nullopt;
    }
    bool is_coarse = text.starts_with("UNC"), is_fine = !is_coarse && text.starts_with("UNF");
    bool is_other = !is_coarse && !is_fine && text.starts_with("UN");
    text.remove_prefix(is_coarse || is_fine ? 3 : is_other ? 2 : 0);
    if (!is_class(text)) return std::nullopt;
    // "2-4" may count anything.
    if ((row->size == "2" || row->size == "3") && !is_decimal && !is_coarse && !is_other) return std::nullopt;
    double expected = is_coarse ? row->coarse : is_fine ? row->fine : 0;
    if (!threads && expected == 0) return std::nullopt;
    // A name that contradicts itself is no name.
    if (threads && expected != 0 && *threads != expected) return std::nullopt;
    double count = threads.value_or(expected);
    if (count != row->coarse && count != row->fine && !is_constant_pitch(count)) return std::nullopt;
    return size_of(row->diameter_inch * mm_per_inch, mm_per_inch / count);
}

} // namespace

std::optional<ThreadSize> thread_size(std::string_view name) {
    std::string text = normal_form(name);
    take_left_hand(text);
    if (text.empty()) return std::nullopt;
    if (const auto thread = trapezoidal(text)) return trapezoidal_size(*thread);
    if (const ParallelPipe* pipe = parallel_pipe(text, false)) {
        const double pitch = mm_per_inch / pipe->threads_per_inch, height = pipe_height * pitch;
        const double minor = pipe->major_mm - 2 * height;
        return ThreadSize{pipe->major_mm, pitch, pipe->major_mm - height, minor, minor, height, height, 55};
    }
    if (const auto thread = metric(text)) return size_of(thread->diameter_mm, thread->lead_mm.pitch);
    if (const auto acme = acme_size(text)) return acme;
    return unified_size(text);
}

bool is_left_hand(std::string_view name) {
    std::string text = normal_form(name);
    return take_left_hand(text) && thread_size(text);
}

int starts_of(std::string_view name) {
    std::string text = normal_form(name);
    take_left_hand(text);
    for (const auto& thread : {trapezoidal(text), metric(text)})
        if (thread) return thread->lead_mm.starts();
    return 1;
}

std::optional<double> tap_drill_mm(std::string_view name) {
    auto size = thread_size(name);
    if (!size) return std::nullopt;
    const Coarse* row = coarse_row(size->major_mm);
    if (row && row->pitch_mm == size->pitch_mm && row->drill_mm > 0) return row->drill_mm;
    return size->major_mm - size->pitch_mm;
}

// E0 = D - (0.05 D + 1.1) p, L2 = (0.8 D + 6.8) p, taper 1 in 16 on diameter: engineersedge.com page on ASME
// B1.20.1.
std::optional<TaperPipe> taper_pipe(std::string_view name) {
    std::string normal = normal_form(name);
    std::string_view text = normal;
    const double half_angle = taper_half_angle_deg(1.0 / 16, 0, 1);
    if (const ParallelPipe* of = parallel_pipe(text, true)) {
        const double pitch_mm = mm_per_inch / of->threads_per_inch, height_mm = pipe_height * pitch_mm;
        // The diameters of ISO 228-1 stand at the gauge plane, the gauge length behind the small end.
        return TaperPipe{
            of->major_mm,  pitch_mm,  of->threads_per_inch, of->major_mm - height_mm - of->gauge_mm / 16,
            of->useful_mm, height_mm, half_angle,           55};
    }
    const Pipe* row = take_size(pipes, text);
    if (!row || !has_count(text, row->threads_per_inch) || text != "NPT") return std::nullopt;
    double pitch = 1 / row->threads_per_inch, outside = row->outside_inch;
    TaperPipe pipe{};
    pipe.outside_mm = outside * mm_per_inch;
    pipe.pitch_mm = pitch * mm_per_inch;
    pipe.threads_per_inch = row->threads_per_inch;
    pipe.pitch_diameter_at_end_mm = (outside - (0.05 * outside + 1.1) * pitch) * mm_per_inch;
    pipe.effective_length_mm = (0.8 * outside + 6.8) * pitch * mm_per_inch;
    pipe.height_mm = 0.8 * pitch * mm_per_inch;
    pipe.half_angle_deg = half_angle;
    return pipe;
}

} // namespace turnwright::motion
