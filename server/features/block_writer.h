// Blocks in the program's own writing: its system, unit, reading of X, blanks, letters and points. Lengths in
// mm, X on radius, until they are written.
#pragma once

#include "calculate/calculate.h"
#include "features/typing.h"

namespace turnwright::features {

/// Program text inside a snippet must not act as a mark.
std::string snippet_text(std::string_view text);
/// Fields out, their default text in: ${1:40.} -> 40.
std::string without_fields(std::string_view snippet);

/// As the program states it, else as the machine is switched on; mm when nothing is known.
bool writes_inch(const Typing& typing);

class BlockWriter {
public:
    explicit BlockWriter(const Typing& typing)
        : typing_(typing), system_(typing.settings().system), blanks_(typing.habits.blanks),
          lower_case_(typing.habits.lower_case), inch_(writes_inch(typing)) {}

    bool inch() const { return inch_; }
    std::string code(codes::Meaning meaning) const;
    std::string x(double radius_mm) const;
    std::string z(double at_mm) const;
    std::string feed(double mm) const;
    std::string length(double mm, int places) const;
    std::string increments(double mm) const; ///< Least increments
    /// To be typed over; fields are numbered as they stand in the text.
    static std::string field(const std::string& text) { return "${:" + text + '}'; }
    /// A block with its values as fields. A feed in a mode that is not known is left out.
    std::string text(const calculate::Block& block) const;
    /// Whether a feed can be written here.
    bool knows_feed() const { return feed_scale().has_value(); }

protected:
    std::string number(double value, int places) const;
    const Typing& typing_;
    codes::System system_;
    bool blanks_, lower_case_;

private:
    std::string value(const calculate::Word& word) const;
    /// From mm a turn to what F is here: a turn, or a minute at the rpm in force.
    std::optional<double> feed_scale() const;
    int places() const { return inch_ ? 4 : 3; }

    bool inch_;
};

} // namespace turnwright::features
