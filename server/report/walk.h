// Inside the report room: a program walked with everything that its blocks do, called programs at each call.
#pragma once

#include "features/document.h"
#include "machine/picked_way.h"

#include <functional>
#include <span>

namespace turnwright::report {

/// A jump whose condition is not known: what follows is drawn and timed as if it were made, or not; or a loop
/// that is gone through once.
struct PickedJump {
    std::size_t line; ///< From 0
    machine::PickedWay::Turn turn;
};

struct WalkedBlock {
    const machine::BlockView& view;
    const machine::Analysis& analysis; ///< Of the file that the block stands in
    std::size_t line;                  ///< From 0; in a called program of another file the line of the call
    std::size_t own_line;              ///< From 0, in the file that it stands in
    std::size_t span;       ///< Index in document.results().spans(): a head or a sequence, that of the caller
    motion::BlockPath path; ///< No moves for contour blocks: the cycle that calls them makes the moves
    motion::Totals totals;
    std::string called;   ///< "O7100 line 4" in a called program, empty outside
    bool elsewhere;       ///< In a called program of another file
    std::string not_gone; ///< A call whose moves do not follow: why
    bool turn_by_turn;    ///< In a loop or called program, where each way and value is known
    /// "O9001": a program that is not at hand, called in front of the first tool or behind the last move. It
    /// is assumed to cut nothing and to take no time; `not_gone` tells it too.
    std::string aside = {};
    std::optional<PickedJump> picked = {};
    bool passed_over = false; ///< A jump that is picked leads past it: it takes no time
};
/// Blocks the control reads, in the order that it runs them: a called program follows each call, with the
/// state of that call, and a loop is run turn by turn. Of a jump below whose condition is not known one way
/// is picked (machine/picked_way.h), and the other is not drawn and takes no time; a loop whose condition is
/// not known is gone through once, and said so; a subprogram that no call reached comes last, as it stands.
void walk(const features::Document& document, const std::function<void(const WalkedBlock&)>& visit);

/// More than anybody writes by hand: what is printed for the machine goes no further, so that nobody waits.
inline constexpr std::size_t most_blocks_told = 100'000, most_moves_told = 300'000,
                             most_sequences_told = 5'000;
/// The heads and sequences that it comes to.
std::span<const checks::Span> spans_told(const features::Document& document);
/// The same up to there. The line in front of which it stops, from 0; nullopt: it went through all.
std::optional<std::size_t> walk_what_is_told(const features::Document& document,
                                             const std::function<void(const WalkedBlock&)>& visit);

/// What is made of the blocks of a walk, several things on one walk.
template <class T>
struct Gathering {
    std::function<void(const WalkedBlock&)> see;
    std::function<T()> finish; ///< Behind the last block, once
};
/// `maker` has see(block) and finish().
template <class Maker>
auto gathering_by(std::shared_ptr<Maker> maker) -> Gathering<decltype(maker->finish())> {
    return {[maker](const WalkedBlock& block) { maker->see(block); }, [maker] { return maker->finish(); }};
}

/// "behind line 3 as if its jump were not made (its condition is not known)"; "" for none.
std::string picked_words(const std::vector<PickedJump>& jumps);

/// "N3 T0303", "T0303", "Head of O1002".
std::string span_name(const features::Document& document, const checks::Span& span);
/// The sequence note, "" when there is none.
std::string span_note(const features::Document& document, const checks::Span& span);

/// Both: "N3 T0303 FINISH TURN".
std::string span_title(const features::Document& document, const checks::Span& span);

/// The unit the program's lengths are in: of the first block that moves with a known unit.
enum class LengthUnit : std::uint8_t { unknown, mm, inch };
LengthUnit unit_of(const features::Document& document);
/// A length, mm, as a number in the unit: an inch has one place more.
std::string length_number(LengthUnit unit, double mm, int places_mm = 3);
/// The same with the unit: "12.5 mm".
std::string length_text(LengthUnit unit, double mm, int places_mm = 3);

/// The first program of the file that is no subprogram, or the first; nullptr for none.
const machine::ProgramPart* main_program(const features::Document& document);
/// "O1002"; "program without a number".
std::string program_name(const features::Document& document);
/// The note beside the program number, "" when there is none.
std::string program_note(const features::Document& document);
/// File name without its folders; "" for none.
std::string file_name(const features::Document& document);

/// "G96 180 m/min forward", or the reason why it is not known.
std::string spindle_text(const machine::State& state);
std::string feed_text(const machine::State& state);
/// "3 min 20 s", "about 3 min 20 s" where it rests on something assumed; "at least 3 min 20 s (4 blocks
/// without a known time)"; "not known: ..."
std::string time_or_unknown(const motion::Totals& totals);

} // namespace turnwright::report
