// Inside the checks room: what a sequence takes over when the program is entered there.
#pragma once

#include "checks/rule.h"

namespace turnwright::checks {

/// A part a sequence reads before it sets it.
struct Inherited {
    int bit = 0;           ///< Of machine::Parts
    Near block;            ///< First block that reads it
    bool differs = false;  ///< This program itself leaves another value in force somewhere
    bool milder = false;   ///< What this program leaves elsewhere breaks nothing: lower, slower
    std::string now;       ///< "G99", "F0.2", "G50 S2500": today's value; empty when not known
    std::string elsewhere; ///< "G98"
    std::string outcome;   ///< What would happen at the machine
};
/// Parts that could be another when the machine comes from somewhere else, in order of their blocks. Parts
/// that nothing in the file sets are not inherited from it and have checks of their own.
std::vector<Inherited> inherited_by(const FileFacts& facts, const Span& span, const Across& across,
                                    const machine::Settings& settings);

/// All facts of a span of the results'.
inline const SequenceFacts& entry_facts(const Span& span) {
    return static_cast<const SequenceFacts&>(*span.facts);
}
/// The first sequence of a program: who enters it enters the head above it, too.
bool is_first_of_program(const Span& span);

/// "N3 and N5", "the sequences of T02 and T03", "5 sequences below".
std::string names_of(std::span<const Span* const> sequences);

/// One sentence a part, for a message.
std::string describe(const Inherited& inherited);
/// All of them for one message: each with its outcome when they are few, else all named, with the worst
/// outcomes.
std::string describe(const std::vector<Inherited>& parts);

/// "Write G50 S2500 behind the call of T01."
std::string what_to_write(const Span& span, const std::vector<Inherited>& parts);

/// Edits that give the sequence what it inherits; empty when one of the parts has no one right place.
std::vector<Edit> edits_for(const machine::Reader& reader, const EntryContext& context,
                            const std::vector<Inherited>& parts);

} // namespace turnwright::checks
