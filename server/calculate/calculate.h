// From a drawing's numbers to blocks: small calculators, each a row of one table in a file of its own.
//
// A question is a note such as (TAPER D30 D40 LENGTH 25): the calculator's name and its places in any order.
// Inside this room lengths are mm, D is a diameter, angles are degrees, speeds m/min and rpm, feeds mm a
// turn. A question that has no answer is refused with the reason and its numbers; nothing is guessed, and
// what is assumed stands among the remarks.
#pragma once

#include "language/language.h"
#include "motion/motion.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::calculate {

using motion::Point;

enum class Measure : std::uint8_t {
    length,   ///< Above zero, in the program's unit
    diameter, ///< The same, whatever X is in the program
    position, ///< Along Z, of either sign
    angle,    ///< Degrees
    number,   ///< A ratio, a count
    surface,  ///< m/min, or ft/min in inch
    turns,    ///< rpm
    feed,     ///< A turn
    name,     ///< Text up to the next place
    sign      ///< Stands there or not
};

struct Place {
    std::string_view word; ///< "LENGTH"; empty: what follows the calculator's name
    Measure measure;
    TableText meaning;
    bool required = false;
    std::size_t most = 1; ///< So often it may be given
};

struct Calculator;

struct Given {
    const Place* place;
    double value = 0;
    std::string text; ///< Of a name
};
struct Question {
    const Calculator* calculator = nullptr;
    std::vector<Given> given; ///< In the order of the note
    bool answered = false;    ///< "=" and results stand behind it

    std::optional<double> value(std::string_view word, std::size_t nth = 0) const;
    std::string name() const;
    bool has(std::string_view word) const;
    std::size_t count(std::string_view word) const;
};
struct Read {
    std::optional<Question> question;
    std::string trouble; ///< What keeps a question from being read: an unknown word, a missing place
};
/// A note's text without its parentheses. Neither question nor trouble: its first word is no calculator.
Read read_question(std::string_view text, double mm_per_unit);

/// What is known where the blocks shall stand.
struct Here {
    bool inch = false;
    std::optional<double> x_radius_mm, z_mm; ///< Where the tool stands
    /// The move that ends at the note's block and the next one, where both are known.
    std::optional<motion::Segment> move_before, move_behind;
    std::string why_no_corner; ///< When one of them is not
    bool feed_in_force = false;
    std::optional<double> rpm, limit_rpm; ///< In force; the lower of program's and machine's
    std::optional<double> nose_radius_mm, tool_width_mm, point_angle_deg, tool_diameter_mm;
    std::optional<int> tip_direction;
    double surface_m_per_min = 150;
    std::string surface_from; ///< "to start with in steel, assumed"
    double step_mm = 2, rough_feed = 0.25, finish_feed = 0.12, groove_feed = 0.06;
    double outside_radius_mm = 25, front_mm = 0;
    bool stock_known = false;
    std::optional<double> cylinder_radius_mm; ///< That the program cut last
    int first_label = 101, last_label = 102;  ///< Free numbers for a contour
    std::string spoken(double mm) const;      ///< "12.5 mm", "0.5 in"
};

struct Result {
    std::string_view what; ///< "angle"
    double value = 0;
    Measure measure = Measure::length;
    bool in_note = false; ///< Goes into the note, too
};

enum class Written : std::uint8_t {
    x,          ///< Radius in mm, written as the program reads X
    z,          ///< A place along Z or a length
    length,     ///< The same with a place more behind the point
    increments, ///< mm in least increments
    lead,       ///< A turn, as F of a thread
    feed,       ///< mm a turn, written in the feed mode in force
    whole,      ///< As it is
    text        ///< Of `digits`
};
struct Word {
    char letter;
    Written as;
    double value = 0;
    std::string digits = {};
};
struct Block {
    std::optional<codes::Meaning> code;
    std::vector<Word> words;
    int number = 0; ///< Of its own; 0: as the program numbers
};

struct Answer {
    std::string refused; ///< Why there is none; then nothing else is set
    std::vector<Result> results;
    std::vector<std::string> remarks;
    std::vector<Block> blocks;          ///< None: the results are the answer
    std::optional<Point> corner_begins; ///< The move of the note's block ends here
};

struct Calculator {
    std::string_view name; ///< "TAPER"
    TableText title;       ///< "taper by two of diameter, length, angle, ratio"
    std::span<const Place> places;
    TableText formula;        ///< With what it rests on, for people
    std::string_view example; ///< A question in mm that has an answer: "D30 D40 LENGTH 25"
    Answer (*answer)(const Question&, const Here&);
    bool at_corner = false; ///< Its note stands in or behind the block that ends at a corner
};
/// In the order of the help.
std::span<const Calculator* const> all();
const Calculator* find(std::string_view name); ///< In any case; nullptr when there is none
/// "TAPER D D LENGTH ANGLE RATIO Z NOSE"
std::string form_of(const Calculator& calculator);
/// The page of all calculators for people, Markdown.
std::string page();

/// Z of a question, else the part's front, which is Z0 where the stock does not contradict it; nullopt: the
/// answer is refused.
std::optional<double> face_of(const Question& question, const Here& here, Answer& answer);

Answer refuse(std::string reason);
/// G00 or G01 to a place; what is nullopt is not written.
Block move_to(codes::Meaning code, std::optional<double> x_radius_mm, std::optional<double> z_mm);
/// An arc of at most half a circle.
Block arc_to(bool clockwise, Point to, double radius_mm);

} // namespace turnwright::calculate
