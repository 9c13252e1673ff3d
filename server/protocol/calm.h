// What is shown of a program's warnings while a line of it is typed.
//
// Half a word is wrong in many ways, and none of them is meant. While a line is typed, a finding on it is
// held back, and so is one elsewhere that the half line brings; those that were told stay where they are.
// Another line's first key tells what the line before it has left behind. What hangs on the end of the
// sequence or program that is written (checks::open_end) waits until nothing has been typed for a while.
//
// A pause to look at the drawing is no end. A finding on a block with the cursor behind its last word, and
// where the program is being written at its end what hangs on that, waits until it is saved or the cursor
// goes elsewhere.
#pragma once

#include "features/warnings.h"

#include <chrono>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace turnwright::protocol {

class Calm {
public:
    using Clock = std::chrono::steady_clock;
    /// Nothing is held back any longer than this after the last key.
    static constexpr std::chrono::milliseconds patience{1500};

    struct Edit {
        text::Position begin, old_end, new_end;
        bool typed = true; ///< A key, a completion; not a paste of lines or another text
    };
    void edited(const Edit& edit, Clock::time_point now);
    /// All of the text is another one.
    void restart();
    /// The cursor is somewhere else, or the program was saved: all is to be told. True when something may
    /// have been held back.
    bool release();
    /// The same when the cursor is not in the line that is typed.
    bool cursor_at(std::uint32_t line);

    bool is_typing() const { return typed_line_.has_value(); }
    std::uint32_t typed_line() const { return typed_line_.value_or(0); }
    /// When what is held back is to be told though no key comes.
    std::optional<Clock::time_point> wakes_at() const;

    /// Where the sequence and the program begin whose line is typed.
    struct Open {
        std::uint32_t sequence = 0;
        std::uint32_t program = 0;
        std::uint32_t block = 0;         ///< The last block with words, at the typed line or above it
        std::uint32_t line_length = ~0u; ///< Of the typed line
        bool is_being_written = false;   ///< Nothing but the program's end stands below the typed line
    };
    static Open open_at(const features::Document& document, std::uint32_t line);
    /// What is to be told now, of all that is found now; in order.
    std::vector<features::Warning> shown(std::vector<features::Warning> all, Open open,
                                         Clock::time_point now);

    /// What was told, moved along with every edit since; false when another text came.
    bool knows_told() const { return was_shown_; }
    /// What blocks show now, in order, with what was told and hangs on the file.
    std::vector<features::Warning> with_told_of_file(std::vector<features::Warning> of_blocks) const;

private:
    using Key = std::pair<std::uint32_t, std::string>; ///< Line and id
    using Keys = std::multiset<Key>;
    struct Left {
        std::uint32_t line;
        Clock::time_point since;
    };
    static Key key_of(const features::Warning& warning);
    bool is_on_typed_line(const features::Warning& warning) const;
    static bool hangs_on_end(const features::Warning& warning, Open open);
    bool is_unfinished(const features::Warning& warning, Open open) const;
    bool may_be_told(const features::Warning& warning, Open open, Clock::time_point now) const;

    std::optional<std::uint32_t> typed_line_;
    text::Position cursor_; ///< Behind the last key
    Clock::time_point last_key_;
    bool was_shown_ = false;  ///< Anything of this text
    bool rests_ = false;      ///< A pause has told all but what is not written to its end
    bool line_begun_ = false; ///< Nothing was shown since another line was begun
    std::vector<Left> left_;  ///< Lines typed before
    std::vector<features::Warning> told_;
    Keys found_; ///< Of all that was found when something was last shown
};

} // namespace turnwright::protocol
