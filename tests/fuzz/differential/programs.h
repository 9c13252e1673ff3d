// Seeded scenarios: programs of lathes as they are written, and what happens to them in an editor.
#pragma once

#include "fuzz/differential/scenario.h"

#include <array>

namespace turnwright::fuzz {

/// Names of the files that scenarios have in their folder. Some call each other by number.
inline constexpr std::array<const char*, 3> document_names{"shaft.nc", "O9.nc", "sub/O2000.nc"};
inline constexpr std::array<const char*, 3> disk_names{"O3.nc", "library.cnc", "sub/5.tap"};

/// A program as text. `samples` are whole programs that may be taken instead of one made up.
std::string make_program(Random& random, std::size_t document, const std::vector<std::string>& samples);
/// Some lines to put in, without the last line end.
std::string make_lines(Random& random);
/// A file that lies in the folder and is not opened.
std::string make_library(Random& random);
std::string make_shop_file(Random& random);
std::string make_job_file(Random& random);

/// Always the same for a seed and the samples.
Scenario make_scenario(std::uint32_t seed, const std::vector<std::string>& samples);

} // namespace turnwright::fuzz
