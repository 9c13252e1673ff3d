// The calculators in the order of the help, and what is made of the table.
#include "calculate/calculate.h"
#include "language/said.h"

#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

#define TURNWRIGHT_CALCULATORS(X)                                                                            \
    X(thread)                                                                                                \
    X(starts)                                                                                                \
    X(taper)                                                                                                 \
    X(nose)                                                                                                  \
    X(chamfer)                                                                                               \
    X(round)                                                                                                 \
    X(tangent)                                                                                               \
    X(blend)                                                                                                 \
    X(groove)                                                                                                \
    X(contour)                                                                                               \
    X(drill)                                                                                                 \
    X(peck)                                                                                                  \
    X(speed)
#define TURNWRIGHT_DECLARE(name)                                                                             \
    namespace name {                                                                                         \
    extern const Calculator calculator;                                                                      \
    }
TURNWRIGHT_CALCULATORS(TURNWRIGHT_DECLARE)
#undef TURNWRIGHT_DECLARE

std::span<const Calculator* const> all() {
#define TURNWRIGHT_ROW(name) &name::calculator,
    static const Calculator* const rows[] = {TURNWRIGHT_CALCULATORS(TURNWRIGHT_ROW)};
#undef TURNWRIGHT_ROW
    return rows;
}

const Calculator* find(std::string_view name) {
    const auto same = [](char a, char b) { return text::upper(a) == b; };
    for (const Calculator* row : all())
        if (std::equal(name.begin(), name.end(), row->name.begin(), row->name.end(), same)) return row;
    return nullptr;
}

std::string form_of(const Calculator& calculator) {
    return fmt::format("({} {})", calculator.name, calculator.example);
}

std::string page() {
    constexpr std::string_view units[] = {"length", "diameter",           "place along Z", "degrees",
                                          "number", "surface speed",      "rpm",           "feed a turn",
                                          "name",   "stands there or not"};
    std::string text = said(
        "# From the drawing to blocks\n\n"
        "A note that is a question is answered where the blocks shall stand. Type it on a line of its own "
        "and "
        "take the action *Write the blocks* there (quick fix, code action):\n\n"
        "    (TAPER D30 D40 LENGTH 25)\n\n"
        "becomes\n\n"
        "    (TAPER D30 D40 LENGTH 25 = ANGLE TO THE AXIS 11.31 DEGREES)\n    G01 X30. Z0. F0.12\n"
        "    G01 X40. Z-25.\n\n"
        "The blocks are in the program's G-code system, unit, diameter or radius, and writing, with block "
        "numbers "
        "where every block has one. What is known there is used: where the tool stands, the tool, its limits "
        "and "
        "the stock by the shop file or the notes. Lengths are in the program's unit, and D is a diameter on "
        "every "
        "machine. Places stand in any order but for the D and Z of points, with or without a blank in front "
        "of the number. Completion "
        "offers "
        "the questions by their first letters, in a note too, and after the name the places that are left. "
        "Where there is no answer, the reason is told with its numbers, and nothing is written.\n\n"
        "In a terminal, with or without a program:\n\n"
        "    turnwright calculate taper D30 D40 LENGTH 25\n"
        "    turnwright calculate thread M24x1.5 LENGTH 20 --system B\n"
        "    turnwright calculate thread 1-12 UNF LENGTH 0.8 --inch\n"
        "    turnwright calculate groove D20 WIDTH 4 BREAK 0.3 FROM 24 TOOL 3 Z-25\n\n"
        "Feeds, speeds, passes, allowances and pecks are values to start with. What is written is not tried: "
        "see "
        "its picture and its warnings, and prove it out as any other block. CHAMFER and ROUND stand in or "
        "after "
        "the block that ends at the sharp corner; that block is made shorter, and the note goes. At such a "
        "block an editor offers both in usual sizes without a note; turnwright.breakCorner takes any "
        "size.\n");
    for (const Calculator* row : all()) {
        text += said("\n## {}: {}\n\n    {}\n\n{}\n\n| place | what | unit |\n|---|---|---|\n", row->name,
                     row->title, form_of(*row), row->formula);
        for (const Place& place : row->places)
            text +=
                fmt::format("| {} | {}{} | {} |\n", place.word.empty() ? said("after the name") : place.word,
                            place.meaning, place.required ? said(", must be there") : "",
                            units[static_cast<std::size_t>(place.measure)]);
    }
    return text;
}

std::string Here::spoken(double mm) const {
    const double scale = inch ? 1e4 : 1e3;
    const double shown = std::round((inch ? mm / motion::mm_per_inch : mm) * scale) / scale;
    return fmt::format("{} {}", shown + 0.0, inch ? "in" : "mm");
}

std::optional<double> face_of(const Question& question, const Here& here, Answer& answer) {
    if (question.has("Z")) return question.value("Z");
    constexpr double most_raw_mm = 10; // That stands in front of a part
    if (here.stock_known && std::abs(here.front_mm) > most_raw_mm) {
        answer = refuse(said("The stock's front stands at Z {}: give Z, the face of the part.",
                             here.spoken(here.front_mm)));
        return std::nullopt;
    }
    answer.remarks.push_back(said("The part's face is taken to be Z0: else give Z."));
    return 0.0;
}

Answer refuse(std::string reason) {
    Answer answer;
    answer.refused = std::move(reason);
    return answer;
}

Block move_to(codes::Meaning code, std::optional<double> x_radius_mm, std::optional<double> z_mm) {
    Block block{code, {}};
    if (x_radius_mm) block.words.push_back({'X', Written::x, *x_radius_mm});
    if (z_mm) block.words.push_back({'Z', Written::z, *z_mm});
    return block;
}

Block arc_to(bool clockwise, Point to, double radius_mm) {
    Block block = move_to(clockwise ? codes::Meaning::arc_clockwise : codes::Meaning::arc_counterclockwise,
                          to.x_radius_mm, to.z_mm);
    block.words.push_back({'R', Written::z, radius_mm});
    return block;
}

} // namespace turnwright::calculate
