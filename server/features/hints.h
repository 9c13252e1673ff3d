// Values shown between the words and above the sequences.
#pragma once

#include "features/warnings.h"

namespace turnwright::features {

/// Which hints are shown; each can be switched.
struct HintOptions {
    bool rpm = true;             ///< Speed in rpm where G96 sets or a move changes it
    bool feed_per_minute = true; ///< Where F is written
    bool sequence_time = false;
    bool increments = true;      ///< A value without a decimal point, as read
    bool absolute_result = true; ///< Where an incremental move ends
};
struct InlayHint {
    Position at;
    std::string text;
    std::string tooltip;
    bool left_pad = true;
};
std::vector<InlayHint> inlay_hints(const Document& document, Range range, const HintOptions& options = {});

struct CodeLens {
    Range range;
    std::string title; ///< "T0303, 1 min 12 s, sets all it reads"
    Command command;   ///< What a click does: turnwright.explainSequence [line from 0]
};
std::vector<CodeLens> code_lenses(const Document& document);
/// A plain text about the sequence in a line, for the command behind a lens. Empty when there is none.
std::string sequence_report(const Document& document, std::size_t line);

/// Whether a sequence may be entered after a stop, what it would take over, and its time.
struct SequenceSummary {
    bool may_restart = false;     ///< It sets everything that it reads
    machine::Parts inherited = 0; ///< Read before set, and not the same wherever the machine comes from
    std::vector<codes::Meaning> left_on; ///< On at its end
    motion::Totals totals;
};
SequenceSummary summarise(const Document& document, const machine::Sequence& sequence);
/// For every sequence: tool, time, what it sets before its first move, takes over and leaves on. Aligned text
/// in Markdown, for the command turnwright.restartTable.
std::string restart_report(const Document& document);
/// "42 s", "3 min 05 s", "1 h 12 min"
std::string time_text(double seconds);
/// "3 min 20 s"; "about 3 min 20 s" where it rests on something assumed; "at least ..." where not all is
/// known.
std::string time_text(const motion::Totals& totals);
/// "units, feed mode and datum"
std::string list_parts(machine::Parts parts);

} // namespace turnwright::features
