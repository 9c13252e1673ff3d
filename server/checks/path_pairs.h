// Which programs run at the same time on a lathe with two turrets, as the shop file says it: by their
// numbers, by marks in one file, by the ends of file names or by folders.
#pragma once

#include "checks/checks.h"
#include "motion/motion.h"

#include <map>
#include <optional>

namespace turnwright::checks {

struct PathRuns;  ///< In read_path.cpp: what was read of a path, run by run
struct KeptPaths; ///< The same of pairs

/// A program in another file, followed as if it were open.
struct OtherProgram {
    std::shared_ptr<const syntax::Forest> forest;
    std::filesystem::path file; ///< Empty: found by its number
    machine::Analysis analysis;
    machine::Outline outline;
    mutable std::shared_ptr<PathRuns> runs;
    /// Worked out where they are asked for. Not for several threads at once.
    const motion::Times& times() const;
    std::string text() const;

private:
    mutable std::optional<motion::Times> times_;
};
/// Kept as long as their text is the same one.
struct OtherPrograms {
    std::map<const syntax::Forest*, std::shared_ptr<const OtherProgram>> held;
    std::shared_ptr<KeptPaths> kept; ///< For the file that asks
};

/// One of two programs that run at the same time.
struct PathProgram {
    std::shared_ptr<const OtherProgram> other; ///< nullptr: in the file that was asked about
    const machine::Analysis* analysis = nullptr;
    BlockPlace first, last;  ///< Both in
    std::int32_t number = 0; ///< O; 0: none
    std::string name;        ///< "O0102", "LOWER.nc"
    bool is_here() const { return !other; }
};
using PathPair = std::array<PathProgram, 2>;

/// Every pair of which one or both stand in this file. Pairs whose partner is nowhere to be found are left
/// out.
std::vector<PathPair> path_pairs(const machine::Analysis& analysis, const machine::Outline& outline,
                                 OtherPrograms& others);
/// Of which path the programs of a file are, 1 or 2; nullopt: of both, or not known.
std::optional<int> own_path(const machine::Analysis& analysis);
/// The whole of a file as one path.
PathProgram whole_file(const machine::Analysis& analysis, std::string name);

} // namespace turnwright::checks
