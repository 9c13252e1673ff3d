// One open program: its text as the client has it, its version, and the one place that converts positions.
#pragma once

#include "features/features.h"
#include "protocol/basic.h"
#include "protocol/called_programs.h"
#include "protocol/calm.h"
#include "protocol/document_outline.h"
#include "protocol/live_version.h"

#include <deque>

namespace turnwright::protocol {

/// What became of a change.
enum class ChangeOutcome {
    applied,
    reordered, ///< It came after a later one; both are applied now, in the order of their versions.
    ignored,   ///< Older than the whole text that is held.
    lost,      ///< It does not fit: the text is no longer the client's, until the next full text.
};

/// What the client was told of a program's warnings; kept by `Publishing`.
struct Publication {
    bool dirty = true;            ///< Until they were sent or pulled in their present state
    bool first_part_told = false; ///< Pushed, or left to a client that pulls
    bool told_in_part = false;    ///< The client has pulled the first part and is to be asked to pull again
    bool may_be_held = false;     ///< What was held back is not any more: the client may have to pull again
    std::string told_of_blocks;   ///< Pushed of the present text before what hangs on the file was found
    std::uint64_t told_with = 0;  ///< Stamp of the called programs behind what was told; 0: nothing was
    std::string result_id;        ///< Of the last pulled report
    std::string reported;         ///< Its diagnostics, as JSON text
    Calm calm;
    void hold_back_no_more() { dirty = may_be_held = true; }
};

class OpenDocument {
public:
    OpenDocument(std::string uri, std::int64_t version, std::string_view text, text::Encoding encoding,
                 std::shared_ptr<const shop::Shop> shop,
                 std::shared_ptr<const features::ProgramFiles> programs = nullptr);

    const std::string& uri() const { return uri_; } ///< As the client writes it
    std::int64_t version() const { return version_->load(); }
    /// For work beside the server; it ends with the document.
    LiveVersion live_version() const { return version_; }
    /// The text held is not the client's: say nothing about it.
    bool lost() const { return lost_ || held_; }
    /// Why, for a person.
    std::string why_lost() const;

    /// `content_changes` of `didChange`. Throws invalid_params, and is lost, when they cannot be read.
    ChangeOutcome change(std::int64_t version, const In& content_changes);
    /// A change could not even be read.
    void lose() { lost_ = publication.dirty = true; }
    /// A message could not be read that may have been a change of this text: lost when the next one leaves
    /// out a version.
    void suspect() { suspected_ = true; }
    void reopen(std::int64_t version, std::string_view text);
    void use_shop(std::shared_ptr<const shop::Shop> shop);

    /// Brings the results up to date and gives them.
    const features::Document& evaluated();
    /// Document::evaluate_blocks; false too where called programs are not those of the last evaluation.
    bool evaluate_blocks();
    const features::Document& as_it_is() const { return document_; }
    /// With the text alone brought up to date.
    const features::Document& read() {
        document_.read();
        return document_;
    }
    const CalledPrograms& called() const { return *called_; }
    /// Stamp of the called programs that the results were made with.
    std::uint64_t checked_with() const { return checked_with_; }
    bool was_evaluated() const { return was_evaluated_; } ///< At any time since it was opened

    // Positions.
    text::Position from_client(Position position) const;
    text::Range from_client(Range range) const;
    Position to_client(text::Position position) const;
    Range to_client(text::Range range) const;

    Publication publication;

    OutlineText outline_text;

    // The last semantic tokens told, which the next ones may be told as a difference to.
    std::string tokens_id;
    std::vector<std::uint32_t> tokens;

private:
    std::string_view readable(std::string_view whole);
    const text::Buffer& text() const { return held_ ? *held_ : document_.buffer(); }
    void judge_again();
    void replace_all(std::string_view whole);
    bool apply(const In& content_changes);
    bool apply_one(const In& change);
    ChangeOutcome put_in_order(std::int64_t version, const In& content_changes);
    void remember(std::int64_t version, const In& content_changes);
    void forget_history();

    std::string uri_;
    std::shared_ptr<std::atomic<std::int64_t>> version_;
    text::Encoding encoding_;
    std::shared_ptr<const CalledPrograms> called_;
    std::string not_read_;             ///< Why the client's text is followed and not read; empty: it is read
    std::optional<text::Buffer> held_; ///< That text
    std::size_t changed_ = 0; ///< Bytes that came or went since it was last judged whether to read it
    features::Document document_;
    std::uint64_t checked_with_ = 0;
    bool was_evaluated_ = false;
    bool lost_ = false;
    bool suspected_ = false;

    // A gap in the versions may be filled later: the text before it and the changes since.
    struct Applied {
        std::int64_t version;
        Json content_changes;
    };
    std::int64_t gap_after_ = 0;
    std::optional<text::Buffer> before_gap_;
    std::deque<Applied> since_gap_;
};

} // namespace turnwright::protocol
