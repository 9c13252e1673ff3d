// An arc whose words belong to another plane than the one in force, or whose centre does not fit there.
#include "checks/rule.h"
#include "language/said.h"
#include "motion/geometry.h"

#include <cmath>

namespace turnwright::checks::rules::arc_of_other_plane {

namespace {

/// Letters of the two axes of a plane, absolute and incremental, and of its centre.
struct Plane {
    Meaning meaning;
    std::string_view axes, centre;
    TableText name;
};
constexpr Plane planes[] = {
    {Meaning::plane_xy, "XUYV", "IJ", "X and Y"},
    {Meaning::plane_zx, "ZWXU", "IK", "Z and X"},
    {Meaning::plane_yz, "YVZW", "JK", "Y and Z"},
};

/// The letters of a block that tell which plane its arc is of.
struct Letters {
    std::string text;
    bool has(char letter) const { return text.find(letter) != std::string::npos; }
    bool fits(const Plane& plane) const {
        for (char letter : std::string_view("XUYVZW"))
            if (has(letter) && plane.axes.find(letter) == std::string_view::npos) return false;
        for (char letter : std::string_view("IJK"))
            if (has(letter) && plane.centre.find(letter) == std::string_view::npos) return false;
        return true;
    }
    bool mills() const { return has('Y') || has('V') || has('J'); }
    /// With C in it the letters are others.
    bool turns_part() const { return has('C') || has('H'); }
};
Letters letters_of(std::span<const syntax::Item> items) {
    Letters letters;
    for (const syntax::Item& item : items)
        if (item.is_word()) letters.text += item.letter;
    return letters;
}

/// The offset of start and end from the centre differ: in mm. nullopt: something of it is not known.
std::optional<double> mismatch_mm(const BlockView& view) {
    const machine::Reading& reading = view.reading;
    if (!view.after.is(Meaning::plane_yz) || reading.has('R')) return std::nullopt;
    const machine::Value values[] = {view.before.y, view.before.z, view.after.y, view.after.z};
    for (const machine::Value& value : values)
        if (!value.known()) return std::nullopt;
    for (char letter : std::string_view("JK"))
        if (reading.has(letter) && !reading.value(letter).known()) return std::nullopt;
    const double j = reading.has('J') ? reading.value('J').number : 0;
    const double k = reading.has('K') ? reading.value('K').number : 0;
    const double from = std::hypot(j, k);
    const double to =
        std::hypot(values[2].number - values[0].number - j, values[3].number - values[1].number - k);
    return at_least_mm(std::abs(from - to), view.after);
}

Report::Entry at_code(Report& report, const BlockView& view) {
    const machine::Word* word = view.reading.code(view.reading.motion_meaning);
    return word ? report.at(view, *word->item) : report.at(BlockPlace{view.run_index, view.block});
}

/// X and C, or Z and C, are a plane of their own.
bool is_rolled_out(const machine::State& after) {
    const machine::Value& cylinder = after.cylinder_radius; // It is ended by a nought
    return (!cylinder.surely_unset() && !cylinder.is(0)) || !after.may_be(Meaning::polar_off);
}

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (reading.motion != MotionKind::arc || is_rolled_out(view.after)) return;
    const Letters letters = letters_of(view.run.items_of(view.text));
    if (letters.turns_part() || !view.after.is(Meaning::plane_yz) || !letters.fits(planes[2])) return;
    const double allowed = view.settings.machine.arc_tolerance_mm.value_or(motion::default_arc_tolerance_mm);
    const auto apart = mismatch_mm(view);
    if (!apart || *apart <= allowed) return;
    at_code(report, view)
        .message(said("The end of the arc lies {:.3f} mm nearer to or farther from its centre than its "
                      "start: the control alarms, or cuts into the part. Look at the signs of J and K.",
                      *apart));
}

/// Arcs of a sequence that do not fit the plane in force, all of one other.
struct Unlike {
    std::vector<const Step*> steps;
    const Plane *in_force = nullptr, *meant = nullptr;
    bool some_fit = false; ///< Another arc of the same plane does
};

Unlike unlike_plane(const SequenceContext& context) {
    Unlike found;
    for (const Step& step : context.steps) {
        if (step.motion != MotionKind::arc) continue;
        const bool out_of_turning = step.is(Meaning::plane_xy) || step.is(Meaning::plane_yz);
        if (!step.moves_other && !out_of_turning && step.is(Meaning::plane_zx) &&
            context.reader.items(step.place).size() < 2)
            continue;
        const Letters letters = letters_of(context.reader.items(step.place));
        if (letters.turns_part() || (!letters.mills() && !out_of_turning)) continue;
        const Plane *in_force = nullptr, *meant = nullptr;
        for (const Plane& plane : planes) {
            if (step.is(plane.meaning)) in_force = &plane;
            if (letters.fits(plane)) meant = &plane;
        }
        if (!in_force || is_rolled_out(context.reader.after(step.place))) continue;
        if (letters.fits(*in_force)) {
            found.some_fit = found.some_fit || (in_force == found.in_force);
            continue;
        }
        if (!found.steps.empty() && (in_force != found.in_force || meant != found.meant)) break;
        found.in_force = in_force;
        found.meant = meant;
        found.steps.push_back(&step);
    }
    return found;
}

/// Where the plane was stated, else where the tool comes to the part: the code is missing there. nullptr: at
/// the arc itself.
const Step* where_lost(const SequenceContext& context, const Unlike& unlike) {
    const Step *stated = nullptr, *called = nullptr, *comes = nullptr;
    for (const Step& step : context.steps) {
        if (&step == unlike.steps.front()) break;
        if (step.calls_tool) called = &step, stated = comes = nullptr;
        if (step.gives(unlike.in_force->meaning)) stated = &step;
        if (called && !comes && step.moves() && !is_return(step.motion)) comes = &step;
    }
    if (unlike.steps.size() < 2 || unlike.some_fit) return nullptr;
    return stated ? stated : comes;
}

void sequence(const SequenceContext& context, Report& report) {
    const Unlike unlike = unlike_plane(context);
    if (unlike.steps.empty()) return;
    const Step* lost = where_lost(context, unlike);
    const Step& arc = *unlike.steps.front();
    const machine::Settings& settings = context.settings();
    const syntax::Item* word =
        find_code(context.reader, (lost ? *lost : arc).place, lost ? unlike.in_force->meaning : arc.meaning);
    const BlockPlace place = (lost ? *lost : arc).place;
    auto entry = word ? report.at(place, *word) : report.at(place);
    const std::string in_force = code(settings, unlike.in_force->meaning);
    const std::string words =
        unlike.meant ? said("those of {}", unlike.meant->name) : std::string(said("of no one plane"));
    const bool here = lost && lost->gives(unlike.in_force->meaning);
    const std::string meant = unlike.meant ? code(settings, unlike.meant->meaning) : std::string();
    const std::string advice = !unlike.meant ? std::string()
                               : here        ? said(" Write {} here.", meant)
                                             : said(" Write {} before it.", meant);
    entry
        .message(lost ? said("The plane of {} ({}) is in force, and the words of the arcs below are {}: the "
                             "control alarms, or makes other arcs.{}",
                             unlike.in_force->name, in_force, words, advice)
                      : said("The plane of {} ({}) is in force, and the words of this arc are {}: the "
                             "control alarms, or makes another arc.{}",
                             unlike.in_force->name, in_force, words, advice))
        .origin(part(Group::plane));
    if (lost) entry.related(arc.place, said("the arc"));
}

} // namespace

extern const Check check{
    .id = "arc_of_other_plane",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Arc that does not fit its plane",
    .documentation =
        "An arc with Y in it is made in the plane of X and Y or of Y and Z, and another plane is in force: "
        "the control alarms, or makes another arc. Or the plane fits and the centre does not: start and end "
        "have another distance from it. Where several arcs of a tool have the words of one other plane, its "
        "code is lost where the plane was stated or the tool comes: told there, once. On a face the plane is "
        "that of X and Y (G17), on a flat at the side "
        "that of Y and Z (G19), and turning has Z and X (G18).",
    .block = block,
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0909
S2000 M03
G00 X44. Y0. Z-20.
G17
G01 X35. F50
G01 Y6. F120
Z-14.
G03 Y-6. Z-14. J-6. K0.
;^^ warning: arc_of_other_plane
G18
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0909
S2000 M03
G00 X44. Y0. Z-20.
G19
G01 X35. F50
G01 Y6. F120
Z-14.
G03 Y-6. Z-14. J-6. K0.
G01 Z-26.
G03 Y6. Z-26. J6. K0.
G01 Z-14.
G03 Y-6. Z-14. J6. K0.
;^^ warning: arc_of_other_plane
G18
M30
)"},
            // The plane is lost: once, where the tool comes.
            {System::B, R"(
G21 G90 G94 G97 G18
T0505
S3200 M03
G00 Y0 Z-57.
;^^^^^^^^^^^ warning: arc_of_other_plane
X50. M08
G01 X38. Z-43. F120
G41 Y2. Z-56. F180
G03 Y8. Z-50. J0 K6.
G01 Z-43.
G03 Y3. Z-38. J-5. K0
G01 Y-3.
G03 Y-8. Z-43. J0 K-5.
G01 G40 Y0 Z-50.
G00 X80.
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0505
S3200 M03
G00 Y0. Z-2.
X2.
G17
;^^ warning: arc_of_other_plane
G01 X1.4 F4.
Y.3
G03 Y-.3 Z-2. J-.3 K0
G01 Z-2.5
G03 Y.3 Z-2.5 J.3 K0
G18
G00 X3.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0909
S2000 M03
G00 X44. Y6. Z-14.
G19
G01 X35. F50
G03 Y-6. Z-14. J-6. K0. F120
G03 Y6. Z-14. R6.
G18
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0909
S2000 M03
G17
G00 X20. Y0. Z2.
G01 Z-2. F50
G03 X20. Y0. I-10. J0. F120
G18
M30
)"},
            {System::A, R"(
G21 G99
T0303
G96 S180 M03
G50 S2000
G00 X20. Z0.
G01 Z-10. F.2
G02 X26. Z-13. R3.
G03 X30. Z-15. I0. K-2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_of_other_plane
