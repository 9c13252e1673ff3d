// Going on in the middle of a program after a break: what holds there, where it is safe to enter, and a head
// that leads into one block. A head is run through the stock and through the guard before it is shown.
#pragma once

#include "report/report.h"
#include "report/walk.h"

namespace turnwright::report {

struct RestartQuestion {
    std::size_t line = 0;                 ///< From 0
    bool repeat = false;                  ///< To the end of its sequence alone; of a thread its last pass
    std::optional<std::size_t> done = {}; ///< Passes of the cycle there that are done
    std::string reached = {}; ///< The same by the place of the tool as it is shown: "X42.5", "Z-30"
};
/// A pass of the cycle that a restart is asked at.
struct RestartPass {
    std::size_t line = 0; ///< From 0
    std::string at;       ///< "X42.5 Z-30."
    std::string deeper;   ///< Than the pass before, on radius or along Z; empty: not known
    bool remains = true;
};
struct RestartEntry {
    std::size_t line = 0; ///< From 0
    std::string name;
    bool safe = false;
    bool safe_behind_head = false; ///< Once the head of the program was run
    std::string reason;
};
struct Restart {
    std::size_t line = 0; ///< The block that the head leads into, from 0
    std::size_t last = 0; ///< The last one of what is run then
    std::string moved;    ///< Why it is not the line that was asked for; else empty
    std::string program, sequence;
    std::vector<std::pair<std::string, std::string>> state;
    std::string stock;
    std::vector<RestartEntry> entries; ///< Nearest first
    std::string refused;               ///< Why there is no head; `head` is empty then
    std::vector<std::string> head;
    std::string block;     ///< The block itself, with the words that it took over from blocks above
    std::string completed; ///< Those words; empty: it stands as it is
    std::string cycle;     ///< "G71", where it has passes
    std::vector<RestartPass> passes;
    std::vector<std::string> remaining; ///< Moves of the passes that remain, instead of `block`
    std::size_t behind = 0;             ///< The line that the program goes on at behind them, from 0
    /// Leads to another start, from which the cycle at `cycle_line` cuts only what remains; empty: there is
    /// none.
    std::vector<std::string> cycle_head;
    std::size_t cycle_line = 0; ///< From 0
    bool repeat = false;
    /// The first line of a loop around whole sequences, from 0: one turn of it is run, to `last`.
    std::optional<std::size_t> loop_line;
    bool sets_locals = false; ///< The head gives values to #1 to #33
    std::vector<std::string> before, cautions;
    /// The first line of the program that is run as it stands.
    std::size_t goes_on_at() const { return remaining.empty() ? line + 1 : behind; }
};
Restart restart_at(const features::Document& document, const RestartQuestion& question);

/// What to key in, with all that is to be known before it.
std::string restart_text(const features::Document& document, const Restart& restart);
/// A program of its own: the head and what is run then, with the contours that it names. `number` 0: one more
/// than that of the program. Instead of a text the reason why there is none.
FileText restart_program(const features::Document& document, const Restart& restart, int number);
/// The head in front of its block behind block delete: with the switch on the program is as it was.
features::Rewrite insert_restart(const features::Document& document, const Restart& restart);

} // namespace turnwright::report
