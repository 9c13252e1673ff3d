// Inside the checks room: what rules on lathes with more axes look at beside the clamp events.
#pragma once

#include "checks/clamping.h"

namespace turnwright::checks {

/// An M code that the table does not hold: what it does only the builder knows.
inline bool is_of_builder(const ActWord& word) {
    if (word.letter != 'M') return false;
    const codes::Code* row = codes::find(codes::System::A, 'M', word.number);
    return !row || row->meaning == codes::Meaning::machine_specific;
}

/// Set for certain, and no code has come since that nothing tells: none may have taken it back. Tools of one
/// program stand in a row.
inline bool surely_still(const ClampAct& at, HeldBy which, const std::vector<MachineCode>& codes) {
    const Held& held = at.of(which);
    if (!held.surely() || !held.tool || held.tool > at.tool) return false;
    for (const ToolOfSpan* tool = held.tool; tool <= at.tool; ++tool)
        for (const Act& act : tool->work->acts) {
            if (tool == held.tool && &act <= held.act) continue;
            if (tool == at.tool && &act >= at.act) break;
            for (const ActWord& word : tool->work->words_of(act))
                if (is_of_builder(word) && !told_code(word, codes)) return false;
        }
    return true;
}

/// The word that moves the slide of the second spindle, under the letter that the program has for it: B, or A
/// or E alone; nullptr: none stands there. What a call hands over moves nothing; beside X or Z an A is the
/// angle of a line, and E a lead.
inline const ActWord* slide_word(const Acts& work, const Act& act) {
    if (act.calls_program) return nullptr;
    if (act.moves() || act.threads()) return work.word(act, 'B');
    for (const char letter : {'B', 'A', 'E'})
        if (const ActWord* word = work.word(act, letter)) return word;
    return nullptr;
}

/// A program of this file that gives no spindle, slide or clamp another state and calls no tool: it only cuts.
inline bool only_cuts(std::span<const ToolOfSpan> all, int number) {
    bool found = false;
    for (const ToolOfSpan& tool : all) {
        if (tool.span->program->number != number) continue;
        found = true;
        for (const Act& act : tool.work->acts) {
            if (act.states(codes::Group::spindle_direction) || act.calls_program || act.calls_tool ||
                slide_word(*tool.work, act))
                return false;
            for (const ActWord& word : tool.work->words_of(act))
                if (is_of_builder(word)) return false;
        }
    }
    return found;
}

} // namespace turnwright::checks
