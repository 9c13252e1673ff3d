// A program run block by block in the order of the control: called programs here and in other files, loops,
// jumps with known values, macro calls, repeats. What it costs is bounded by the work it makes.
#pragma once

#include "machine/machine.h"

namespace turnwright::machine {

/// Whether a call was followed, and if not, why.
enum class Followed : std::uint8_t {
    no_call,
    yes,
    unknown_program, ///< Which program, or how often, is not known
    not_found,
    calls_itself,
    undecided, ///< A jump or loop in it hangs on a value that is not known
    cut_short, ///< It takes more work than it may
};

/// A block that the control runs.
struct Executed {
    BlockView view;             ///< `after`: behind the block's own words, before what it calls
    const syntax::Forest& file; ///< That the block stands in
    bool is_own;                ///< The file of the analysis
    std::int32_t program = 0;   ///< O number of the program it belongs to
    BlockPlace program_start;   ///< Its first block
    std::size_t depth = 0;      ///< Calls that it stands under
    Followed call = Followed::no_call;
};
using Look = std::function<bool(const Executed&)>; ///< False: no more blocks are wanted

class Execution {
public:
    /// `blocks`: the most that are run in all.
    Execution(const Analysis& analysis, std::size_t blocks);
    ~Execution();

    /// What the block of a visit calls, run turn by turn if all of it can be. `look` sees its blocks.
    Followed call(const BlockView& view, const Look& look);
    /// A loop that begins at the block, if it can be run turn by turn: the first block behind it. `look`
    /// sees its blocks.
    std::optional<BlockPlace> loop(BlockPlace start, const Look& look);
    /// Every turn of one block that stands in a loop or in a called program of the file.
    void turns_of(BlockPlace place, const Look& look);
    std::size_t blocks_left() const;

private:
    struct Implementation;
    std::unique_ptr<Implementation> implementation_;
};

} // namespace turnwright::machine
