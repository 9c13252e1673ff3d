// Clamps, quill, C axis and live tools through a main program: what is open, what turns, what is engaged.
// Meanings of M codes by the shop file, else by the notes.
#pragma once

#include "checks/acts.h"

namespace turnwright::checks {

/// What one code of a pair sets and the other takes back.
struct Held {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    const MachineCode* code =
        nullptr;         ///< The last of the two; nullptr: none came yet, or block delete may leave it out
    bool is_set = false; ///< With a code
    bool surely() const { return code && is_set; }
    /// Set, or nobody can tell: block delete may leave the code out.
    bool may_be() const { return act && (!code || is_set); }
};
/// The pairs that are followed; with the code that sets first.
enum class HeldBy : std::uint8_t {
    second_chuck_open,
    c_axis,
    c_brake,
    live_tool,
    joined_spindles,
    catcher,
    count_
};

/// A block with a code that a note or the shop file tells, and what holds then.
struct ClampAct {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    const MachineCode* code = nullptr;
    bool turning = false;                  ///< For certain; with `left_out` where that block is not run
    bool from_loop_end = false;            ///< Turning since the end of the bar loop
    const ToolOfSpan* stop_tool = nullptr; ///< A stop that block delete leaves out
    const Act* stop = nullptr;
    std::array<Held, static_cast<std::size_t>(HeldBy::count_)> held{}; ///< Before the block's own codes
    const Held& of(HeldBy which) const { return held[static_cast<std::size_t>(which)]; }
};
/// What happens between clamp acts, for rules that walk.
struct ClampEvent {
    enum class Kind : std::uint8_t {
        code,
        starts_spindle,
        cuts,
        feeds_stopped,
        positions_c, ///< C or H in a block that does not turn
        moves_slide, ///< B
        ends
    } kind;
    ClampAct at;
};
/// Pair and side of a code; nullopt: it is none of these.
std::optional<std::pair<HeldBy, bool>> held_by(MachineCode::Does does);
/// The main programs of a file, or what they call, whose clamp, quill, C axis or live tool codes are told.
struct ClampingPrograms {
    std::vector<MachineCode> codes;
    std::vector<ToolOfSpan> tools; ///< The events point into both
    /// Events of each in order; of a bar loop (M99) twice, so that its end meets its top.
    std::vector<std::vector<ClampEvent>> programs;
};
/// Calls `look(events, codes)` for every one of them.
template <class Look>
void for_each_clamping_program(const FileContext& context, Look&& look) {
    const ClampingPrograms& clamping = context.clamping();
    for (const std::vector<ClampEvent>& events : clamping.programs) look(events, clamping.codes);
}
/// The first code that does it; nullptr: none is told, or none by the shop file where only that counts.
const MachineCode* code_that(const std::vector<MachineCode>& codes, MachineCode::Does does,
                             bool by_shop_file_only = false);
/// The slide of the second spindle is fed somewhere else than home.
bool comes_to_part(const ClampAct& at);
/// "M10 (COLLET OPEN)".
std::string with_words(const MachineCode& code);
/// The M word of the code.
Report::Entry report_at_code(Report& report, const FileContext& context, const ClampAct& at);

} // namespace turnwright::checks
