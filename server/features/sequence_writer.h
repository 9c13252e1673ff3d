// A new sequence while it is written, in the program's own words. Lengths in mm, X on radius, until they are
// written.
#pragma once

#include "features/block_writer.h"
#include "features/new_sequence.h"
#include "features/templates.h"

namespace turnwright::features {

/// Lines of an existing sequence that a new one begins and ends with.
struct House {
    std::string safety;             ///< "G54 G18 G97 G21 G80 G40 G99", without its N number
    std::vector<std::string> end;   ///< From the return to the change position on, without N numbers
    bool numbers = false;           ///< Sequences begin with N
    bool number_in_safety = false;  ///< "N1 G21 G40 G99 G54": the safety line is the first one
    std::int32_t station = -1;      ///< Of the sequence that `end` was taken from
    std::optional<double> end_x_mm; ///< The change position where it is one in plain coordinates, on radius
    std::optional<double> end_z_mm;
};

/// Learned from the last whole sequence above the cursor, else from the first one.
House house_of(const Typing& typing);

/// Starting values to be typed over, not advice: common practice, no source. mm and mm a turn.
struct Cut {
    double step, finish_step, rough_feed, finish_feed, groove_feed, past_centre, width, rpm_limit;
};
Cut cut_of(const shop::Tool* tool, const shop::Machine& machine);

/// The shop's own, else the usual codes of the system.
std::string safety_line(const Typing& typing);

constexpr double near_mm = 2; ///< In front of the stock and beside it

class SequenceWriter : public BlockWriter {
public:
    SequenceWriter(const Typing& typing, const House& house, const Ground& ground, const Taken& taken,
                   checks::NamedTool::Kind kind, std::string_view word);

    double clear_mm() const; ///< The first approach of two
    const Cut& cut() const { return cut_; }
    /// So far behind the front, or as far as the chuck lets a tool come.
    double back_to(double length_mm) const { return std::max(ground_.front_mm - length_mm, ground_.back_mm); }
    double rpm_for(double radius_mm) const;

    void line(const std::string& text) { text_ += text + '\n'; }
    void line(const calculate::Block& block) { line(text(block)); }
    /// Number and note, safety line, tool, limit, spindle, approach in front of the stock.
    void head(const std::string& title, double rpm, bool limited, double x_mm, double near_z_mm);
    /// Back to rpm, in front of the stock, home and stop.
    Template finish(TemplateName name, std::string detail);

private:
    std::string surface() const;

    const House& house_;
    const Ground& ground_;
    const Taken& taken_;
    FreeTool tool_;
    Cut cut_;
    bool is_limited_ = false;
    std::string rpm_, text_;
};

} // namespace turnwright::features
