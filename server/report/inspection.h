// Inside the report room: what to measure on the first part, from what the program leaves of its stock.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

/// The last three are made by live tools.
enum class Feature : std::uint8_t {
    diameter,
    bore,
    groove,
    length,
    chamfer,
    taper,
    radius,
    thread,
    holes,
    flats,
    slot
};

/// One size of the finished part, mm, X as radius.
struct Inspected {
    Feature feature = Feature::diameter;
    /// Diameter, bore, groove: its diameter. Length: from the front. Radius: it. Chamfer: along Z. Taper: the
    /// diameter at its front end. Thread: the lead.
    double size_mm = 0;
    /// Groove: its width. Chamfer, taper: degrees to the axis. Taper at its back end: `other_mm`. Thread: the
    /// diameter of its root, and `other_mm` that of what it is cut into; 0: not known.
    double second = 0, other_mm = 0;
    // Holes: diameter (0: not known), of the circle that they stand on; `other_mm` is where those from the
    // side end, as a diameter. Flats: distance from the centre. Slot: width (0: not known), length, diameter
    // at its bottom.
    std::size_t count = 1;
    double each_deg = 0;            ///< Evenly round the part; 0: not, or one alone
    std::optional<double> depth_mm; ///< From the turned surface; nullopt: that is not known
    bool from_side = false, tapped = false;
    std::string thread;                   ///< That is tapped, where a note tells it
    bool inside = false;                  ///< Of a bore
    double front_z_mm = 0, back_z_mm = 0; ///< Where it begins and ends, seen from the front
    motion::Point at;                     ///< On it: where its number stands in the sketch
    std::string tool, offset;             ///< "T03", "3": what makes it last; empty: not known
    std::size_t line = 0;                 ///< From 1; 0: not known
    /// The Z that is programmed where it is made, from the Z here, which grows toward the front.
    struct AsWritten {
        double sign = 1, offset_mm = 0;
        bool on_first_side = false;
        double z_mm(double here_mm) const { return sign * here_mm + offset_mm; }
        double here_mm(double written_mm) const { return sign * (written_mm - offset_mm); }
    } as_written;
};
struct Inspection {
    std::vector<Inspected> rows; ///< From the front to the back, outside first
    LengthUnit unit = LengthUnit::unknown;
    std::string why_not;              ///< Why there are none
    std::vector<std::string> remarks; ///< What the sizes rest on, whole sentences
};
Inspection inspect(const features::Document& document, const Picture& picture, const DrawnStock& drawn);

std::string name_text(const Inspected& row); ///< "Diameter", "Chamfer in the bore"
/// "21.6, width 4", in the program's unit.
std::string size_text(const Inspected& row, LengthUnit unit);
std::string line_text(const Inspected& row); ///< Empty where it is not known
/// "Z0 to Z-25"
std::string place_text(const Inspected& row, LengthUnit unit);

/// A drawing for paper: stock, jaws and the finished part, with the numbers of the rows at their places.
std::string sheet_sketch(const PictureParts& parts, const Picture& picture, const Inspection& inspection);

} // namespace turnwright::report
