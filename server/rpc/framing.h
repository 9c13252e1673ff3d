// The header and body frames of the base protocol, from bytes that come in any pieces.
#pragma once

#include "rpc/message.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace turnwright::rpc {

/// Header and body, ready to be sent.
std::string frame(std::string body);

class FrameReader {
public:
    struct Event {
        enum class Kind {
            body,     ///< `text` is the body of one frame.
            skipped,  ///< A body over the limit was left out; the reader is in step.
            malformed ///< Not a frame; the reader looks for the next header, or is `dead`.
        };
        Kind kind;
        std::string text; ///< The body, or what was wrong.
    };

    explicit FrameReader(Limits limits) : limits_(limits) {}

    void feed(std::string_view bytes);
    /// The next thing that is complete.
    std::optional<Event> next();
    /// A malformed frame ended it (only without resynchronisation).
    bool dead() const { return state_ == State::dead; }
    /// Part of a frame waits for the rest.
    bool half_way() const { return state_ == State::body || state_ == State::skip || at_ < bytes_.size(); }

private:
    enum class State { header, body, skip, search, dead };

    std::optional<Event> read_header();
    std::optional<Event> read_header_line(std::string_view line);
    std::optional<Event> end_header();
    std::optional<Event> read_body();
    bool search();
    std::optional<Event> fail(std::string problem);
    void drop_consumed();

    Limits limits_;
    State state_ = State::header;
    std::string bytes_;
    std::size_t at_ = 0;     ///< Start of the present header block or body.
    std::size_t line_ = 0;   ///< Start of the header line that is not read yet.
    std::size_t looked_ = 0; ///< No line end before this.
    std::optional<std::uint64_t> length_;
    std::string fault_; ///< Of a header that is a header all the same; told at its end.
    std::uint64_t skip_left_ = 0;
    bool told_ = false; ///< One report for a stretch of garbage, however long.
};

} // namespace turnwright::rpc
