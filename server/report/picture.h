// Inside the report room: the moves of a program as strokes on paper, before they become SVG or a page.
#pragma once

#include "features/assumed.h"
#include "report/report.h"
#include "report/round_axis.h"
#include "report/walk.h"
#include "stock/passes.h"

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace turnwright::report {

enum class Stroke : std::uint8_t { rapid, feed, pass, link, finish, thread, live, count_ };
std::string_view stroke_class(Stroke stroke); ///< "rapid"

/// What one block does, with what holds behind it. Texts are indices in Picture::texts, 0 is "".
struct PictureStep {
    std::size_t line = 0; ///< From 0
    std::size_t span = 0;
    std::uint32_t tool = 0, spindle = 0, rpm = 0, feed = 0, position = 0, other = 0, open = 0;
    std::uint32_t load = 0;
    std::uint32_t called = 0; ///< Where it stands in a called program, with its text: "O7100 line 4: ..."
    double seconds = 0;       ///< From the top to the end of this block
    std::uint32_t without_time = 0;   ///< Blocks so far whose time is not known
    std::optional<motion::Point> end; ///< Where the tool stands; nullopt: not known
    std::size_t first_segment = 0, segment_count = 0;
    int station = -1, offset = -1; ///< -1: not known
    bool stands = false;           ///< The part does
    bool live = false;             ///< The tool turns and the work stands: what it feeds is no turned cut
};

struct PictureSpan {
    std::string name, note;
    std::size_t first_line = 0, last_line = 0; ///< From 0, both in
    motion::Totals totals;
    std::size_t open_blocks = 0; ///< Blocks with moves that could not be drawn
};

struct Extents {
    double z_min = 0, z_max = 0, x_min = 0, x_max = 0;
    bool empty = true;
    void take(double z_mm, double x_radius_mm);
};

/// What one picture holds: no browser shows more of it, and a cycle can make a hundred thousand moves.
constexpr std::size_t most_picture_steps = most_blocks_told, most_picture_segments = most_moves_told;

struct Picture {
    std::vector<PictureStep> steps;
    std::vector<PictureSpan> spans;
    std::vector<motion::Segment> segments;
    std::vector<float> segment_seconds;                    ///< Of each; 0 where it is not known
    std::map<stock::RunBlock, std::size_t> first_segments; ///< Of every block whose moves are drawn
    std::size_t round_axis = 0; ///< Blocks that work round the axis: no section of turned work
    std::map<std::size_t, std::vector<RoundMove>> round;      ///< By step: the way round the axis
    std::set<int> round_stations;                             ///< Whose tools work there: live ones
    std::map<std::size_t, std::vector<motion::Segment>> nose; ///< By step: centre of a compensated nose
    std::vector<std::string> texts;
    Extents cut, all; ///< Of what is cut (dwells and rapids left out), and of every move
    LengthUnit unit = LengthUnit::unknown;
    bool diameter = true; ///< X is written as a diameter
    std::size_t open_blocks = 0;
    std::optional<std::size_t> last_line; ///< Drawn down to here, where that is not all; from 0
    std::string why_open;                 ///< Reason of the first of them
    bool about = false;                   ///< Times rest on something assumed
    bool has_deleted = false;             ///< Blocks with a block delete, which are drawn as read
    std::size_t turned_holes = 0;         ///< Blocks that drill where the work is turned to: drawn, not cut
    std::vector<PickedJump> jumps;        ///< Whose condition is not known
    /// What a tool would do in a block that such a jump leads past: not drawn.
    struct PassedOver {
        int station;
        std::vector<motion::Segment> segments;
    };
    std::vector<PassedOver> passed_over;
    std::vector<std::string> aside;         ///< Programs that are not at hand, called where no tool works
    std::size_t waiting = 0;                ///< Blocks whose time is that of a spindle which stands in them
    std::optional<std::size_t> second_line; ///< From 0: the first cut of the second spindle's work
    std::size_t ways_home = 0;              ///< From and to places that the program does not tell: not drawn
    std::string fingerprint;                ///< Of what the whole program does
    /// Nothing from this line on is drawn.
    void end_at(std::size_t line) { last_line = std::min(last_line.value_or(line), line - 1); }
};
Picture make_picture(const features::Document& document);
/// On a walk that others make along; without the fingerprint.
Gathering<Picture> gather_picture(const features::Document& document);

using Outline = std::vector<motion::Point>;
/// What the path is drawn over, mm, X as radius. Empty or nullopt: not known.
struct PictureParts {
    std::vector<Outline> before, after;
    bool after_exact = true;          ///< False: more was taken off than the tools may take
    bool before_parting = false;      ///< `after` is what stood when the parting tool came
    bool to_plus = false;             ///< Z grows into `after`
    std::string why_not;              ///< Why `after` is empty
    std::vector<std::string> assumed; ///< Of stock and tools, with reasons; empty: all is given
    struct Holder {
        double z_mm = 0, from_radius_mm = 0, to_radius_mm = 0;
    };
    std::optional<Holder> jaws, tailstock;
    std::vector<stock::Zone> zones;   ///< Everything beside the part that is told of
    std::vector<Outline> second_jaws; ///< As `second_jaws_of` has them
    bool in_second = false;           ///< `after` lies between those, or all that is cut does
    /// From 0: from there on its other end is in front, and what it is held by is not told.
    std::optional<std::size_t> turned_line;
};
/// The main program in the stock that is drawn: in its own, or where that is not known, in an assumed one.
struct DrawnStock {
    const stock::ProgramCourse* course = nullptr; ///< nullptr: not followed
    const shop::Shop* shop = nullptr;             ///< Whose tools and stock it is followed with
    std::vector<std::string> assumed;             ///< What is, each with its reason
    std::string
        assumed_stock; ///< Behind "stock", the first of these: " diameter 50 mm ..."; empty: it is told
    bool stock_by_note = false;          ///< Its diameter, and not a bound by the moves
    std::set<int> unsized_drills;        ///< Stations of drills whose diameter nothing tells
    std::map<int, shop::ToolKind> kinds; ///< Of assumed tools by station, also of those that are not drawn
    /// The same of stock and tools as it stands in a list of all that is assumed, but for what notes alone
    /// tell; the stock is first.
    std::vector<features::AssumedHere> by_moves;
    std::vector<stock::Setup::TurnedRound> turned_round; ///< Where notes say so
    std::shared_ptr<const shop::Shop> assumed_shop;
    std::shared_ptr<const machine::Outline> assumed_outline; ///< The course points into it
    std::shared_ptr<const stock::Course> assumed_course;
    std::string stock_told() const { return "stock" + assumed_stock; }
};
DrawnStock drawn_stock(const features::Document& document, const Picture& picture,
                       std::size_t most_moves = stock::most_moves);
/// What is assumed of stock and tools, by notes and by moves.
std::vector<features::AssumedHere> setup_here(const features::Document& document, const DrawnStock& drawn);
std::vector<features::AssumedHere> setup_here(const features::Document& document);
/// The main program followed anew, with the tools and the stock of another shop file.
DrawnStock followed_with(const features::Document& document, shop::Shop shop, bool is_drawn_only = true,
                         std::vector<stock::Setup::TurnedRound> turned_round = {},
                         std::size_t most_moves = stock::most_moves);
/// Why there is none to draw.
std::string why_no_stock(const stock::ProgramCourse* course);
PictureParts parts_of(const features::Document& document, const DrawnStock& stock);
/// The same with the second spindle's jaws, where it works and the shop file says where they stand.
PictureParts parts_of(const features::Document& document, const DrawnStock& stock, const Picture& picture);
/// What names them.
std::string second_jaws_name();
struct LeftStock {
    stock::RegionPointer region; ///< nullptr: the stock is not followed to the end
    bool before_parting = false;
};
LeftStock left_of(const DrawnStock& stock);
/// How the finished part lies where it has been turned round or taken over; nullptr: as the program begins.
const stock::Setup::TurnedRound* lies_last(const DrawnStock& stock);

/// From mm in the half-plane to the sheet: Z to the right, X up.
struct Frame {
    Extents shown;
    double scale = 1;   ///< Sheet units a mm
    double stretch = 1; ///< X is drawn so many times as large
    double left = 0, top = 0, width = 0, height = 0;
    double across(double z_mm) const { return left + (z_mm - shown.z_min) * scale; }
    double down(double x_radius_mm) const { return top + (shown.x_max - x_radius_mm) * scale * stretch; }
};
/// What is worth showing of them, without margins.
Extents shown_of(const Picture& picture, const PictureParts& parts);
Frame fit(const Picture& picture, const PictureParts& parts);
/// The same with X stretched where it would be a thin strip.
Frame fit_stretched(const Picture& picture, const PictureParts& parts);

/// Path data of a chain of segments; starts anew wherever a segment does not begin where the last one ended.
std::string path_data(std::span<const motion::Segment> segments, const Frame& frame);
/// A length on the sheet, as SVG takes it.
std::string on_sheet(double length);
/// Path data of a closed outline.
std::string outline_data(const Outline& outline, const Frame& frame);
/// The same for the segments of one kind of stroke.
std::vector<std::pair<Stroke, std::string>> strokes_of(const Picture& picture, const PictureStep& step,
                                                       const Frame& frame);

/// What stands under the title: file, system, unit, and what of the program is not drawn or is assumed. The
/// page says beside its drawing what the drawing alone must say here.
std::string picture_remarks(const features::Document& document, const Picture& picture, bool on_page);
/// Empty where there are moves to draw.
std::string why_nothing(const Picture& picture);

Stroke stroke_of(const motion::Segment& segment, bool live);

/// The page's script, the files of report/page in order, and what the page's security policy knows it by:
/// base64 of its SHA-256. Made by the build.
extern const std::string_view page_script;
extern const std::string_view page_script_hash;
extern const std::string_view page_style;

} // namespace turnwright::report
