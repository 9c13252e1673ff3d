// What notes say of one tool, word by word: its own notes, and its entry in the tool list.
#pragma once

#include "checks/acts.h"

#include <initializer_list>

namespace turnwright::checks {

/// Text of notes, in capitals.
struct ToolNotes {
    std::vector<std::string> own;    ///< Of its sequence
    std::vector<std::string> listed; ///< What the head says behind its station, up to the next one
    std::vector<std::string> head;   ///< All of the head's

    /// One of these begins a word of its own or listed notes.
    bool speak_of(std::initializer_list<std::string_view> beginnings) const;
};
ToolNotes notes_about(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                      const ToolOfSpan& tool);
/// From `at` to where a note goes on to another tool.
std::string_view phrase_from(std::string_view note, std::size_t at);
/// One of these begins a word of the text.
bool speaks_of(std::string_view text, std::initializer_list<std::string_view> beginnings);

} // namespace turnwright::checks
