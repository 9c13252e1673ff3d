// Inside the checks room: what a note says of a tool beside the word for it, and what it says of other
// things.
#pragma once

#include "checks/noted_tool.h"
#include "checks/noted_words.h"

#include <optional>
#include <string>
#include <string_view>

namespace turnwright::checks {

/// The note of a drill or a reamer without what the hole is for ("FUER M10", "POUR TARAUD M8") and how deep
/// it goes, where the depth stands behind its word ("TIEF 30", "LG 90"). Any other note as it is.
std::string without_asides(std::string_view note);

/// What the kind's own words left open: the hand, the point of a spot drill, the width of a blade by its name
/// or letter, a bar by its word or name, a round insert, the nose by a phrase.
void add_asides(const NotedWords& note, std::optional<double> mm_per_unit, NotedTool& noted);

} // namespace turnwright::checks
