#include "protocol/open_document.h"
#include "language/said.h"

#include "host/host.h"
#include "protocol/uri.h"
#include "report/report.h"

#include <algorithm>
#include <system_error>
#include <utility>

namespace turnwright::protocol {
namespace {

// A late change follows its successor at once; what is older is no reordering.
constexpr std::size_t changes_remembered = 8;

/// Without links, as the programs of the workspace are known by.
std::filesystem::path real_path(const std::string& uri) {
    const auto path = path_of_uri(uri);
    if (!path) return {};
    std::error_code failed;
    auto real = host::weakly_canonical(*path, failed);
    return failed ? *path : real;
}

// A shorter text is read whatever its lines are (report/read_program.cpp); a longer one is judged again when
// an eighth of it is new, so that it costs little at a key.
constexpr std::size_t never_refused = 800'000, judged_again = 8;

// Of a change at a key, a completion or a word put in; more is another text.
constexpr std::size_t longest_typed = 400;

text::Position behind(text::Position begin, std::string_view text) {
    const auto lines = static_cast<std::uint32_t>(std::count(text.begin(), text.end(), '\n'));
    if (lines == 0) return {begin.line, begin.column + static_cast<std::uint32_t>(text.size())};
    return {begin.line + lines, static_cast<std::uint32_t>(text.size() - text.rfind('\n') - 1)};
}

/// What a change does; some editors send whole lines where one letter is another.
Calm::Edit typed_edit(const text::Buffer& buffer, text::Range range, std::string_view with) {
    Calm::Edit edit{range.begin, range.end, behind(range.begin, with), false};
    if (range.end.line - range.begin.line > 2 || with.size() > longest_typed) return edit;
    const std::string old = buffer.slice(range);
    if (old.size() > longest_typed) return edit;
    std::string_view gone = old;
    const auto front = static_cast<std::size_t>(
        std::mismatch(gone.begin(), gone.end(), with.begin(), with.end()).first - gone.begin());
    edit.begin = behind(range.begin, gone.substr(0, front));
    gone.remove_prefix(front);
    with.remove_prefix(front);
    while (!gone.empty() && !with.empty() && gone.back() == with.back()) {
        gone.remove_suffix(1);
        with.remove_suffix(1);
    }
    edit.old_end = behind(edit.begin, gone);
    edit.new_end = behind(edit.begin, with);
    edit.typed = edit.old_end.line <= edit.begin.line + 1 && edit.new_end.line <= edit.begin.line + 1;
    return edit;
}

} // namespace

OpenDocument::OpenDocument(std::string uri, std::int64_t version, std::string_view text,
                           text::Encoding encoding, std::shared_ptr<const shop::Shop> shop,
                           std::shared_ptr<const features::ProgramFiles> programs)
    : uri_(std::move(uri)), version_(std::make_shared<std::atomic<std::int64_t>>(version)),
      encoding_(encoding), called_(std::make_shared<CalledPrograms>(std::move(programs))),
      document_(readable(text), std::move(shop), real_path(uri_), called_,
                features::Document::Begin::with_first_part) {}

std::string OpenDocument::why_lost() const {
    if (!not_read_.empty() && !lost_)
        return said("This is ") + not_read_ + said(": nothing is checked here until that is taken out.");
    return said(
        "The editor's changes no longer fit the text that was read: nothing is checked here until the "
        "file "
        "is closed and opened again.");
}

std::string_view OpenDocument::readable(std::string_view whole) {
    changed_ = 0;
    not_read_ = report::why_too_many_lines(whole);
    if (not_read_.empty())
        held_.reset();
    else
        held_.emplace(whole);
    return held_ ? std::string_view() : whole;
}

/// A text may grow into what would not have been read, and shrink again.
void OpenDocument::judge_again() {
    const std::size_t bytes = text().byte_count();
    if (changed_ < bytes / judged_again || (!held_ && bytes <= never_refused)) return;
    const std::string whole = text().whole();
    changed_ = 0;
    const std::string why = report::why_too_many_lines(whole);
    if (why.empty() && !held_) return;
    if (!why.empty() && held_)
        not_read_ = why;
    else
        replace_all(whole);
}

void OpenDocument::replace_all(std::string_view whole) {
    document_.replace_all(readable(whole));
    publication.calm.restart();
}

ChangeOutcome OpenDocument::change(std::int64_t version, const In& content_changes) {
    publication.dirty = true;
    publication.told_of_blocks.clear();
    if (!content_changes.json().is_array()) lost_ = true; // something changed, and there is no telling what
    const std::vector<In> changes = content_changes.array();
    const auto is_full = [](const In& change) {
        return change.json().is_object() && !change.json().contains("range");
    };
    const bool has_full = std::any_of(changes.begin(), changes.end(), is_full);
    if (std::exchange(suspected_, false) && version != this->version() + 1) lost_ = true;
    if (version < this->version()) {
        if (has_full && !lost()) return ChangeOutcome::ignored;
        if (!has_full) return put_in_order(version, content_changes);
    }
    if (lost_ && !has_full) {
        *version_ = std::max(this->version(), version);
        return ChangeOutcome::lost;
    }
    if (has_full) {
        lost_ = false; // whatever stands before the full text in this change is overwritten by it
        forget_history();
    } else {
        remember(version, content_changes);
    }
    *version_ = version;
    return apply(content_changes) ? ChangeOutcome::applied : ChangeOutcome::lost;
}

void OpenDocument::reopen(std::int64_t version, std::string_view text) {
    was_evaluated_ = false;
    replace_all(text);
    *version_ = version;
    lost_ = suspected_ = false;
    publication.dirty = true;
    forget_history();
}

void OpenDocument::use_shop(std::shared_ptr<const shop::Shop> shop) {
    document_.use_shop(std::move(shop));
    publication.calm.restart();
    publication.dirty = true;
}

const features::Document& OpenDocument::evaluated() {
    checked_with_ = called_->stamp();
    document_.evaluate();
    was_evaluated_ = true;
    return document_;
}

bool OpenDocument::evaluate_blocks() {
    return was_evaluated_ && checked_with_ == called_->stamp() && document_.evaluate_blocks();
}

bool OpenDocument::apply(const In& content_changes) {
    lost_ = true; // until all of it is read and fits
    for (const In& change : content_changes.array())
        if (!apply_one(change)) return false;
    lost_ = false;
    judge_again();
    return true;
}

bool OpenDocument::apply_one(const In& change) {
    const std::string text = change["text"].string();
    const auto range = change.find("range");
    if (!range) {
        replace_all(text);
        return true;
    }
    const Range asked = read_range(*range);
    // Past the end of a line is clamped, as the protocol says; a start past the last line, or an end before
    // the start, shows that the client speaks of another text. One line past the end is an editor's way to
    // append.
    if (asked.start.line > this->text().line_count() || asked.end < asked.start) return false;
    const text::Range place = from_client(asked);
    const std::size_t before = this->text().byte_count();
    if (held_) {
        held_->replace(place, text);
        changed_ += before + 2 * text.size() - held_->byte_count(); // What went and what came
        return true;
    }
    publication.calm.edited(typed_edit(document_.buffer(), place, text), Calm::Clock::now());
    document_.edit(place, text);
    changed_ += before + 2 * text.size() - document_.buffer().byte_count();
    return true;
}

ChangeOutcome OpenDocument::put_in_order(std::int64_t version, const In& content_changes) {
    if (!before_gap_ || lost() || version <= gap_after_) {
        lost_ = true;
        return ChangeOutcome::lost;
    }
    const auto later = std::find_if(since_gap_.begin(), since_gap_.end(),
                                    [&](const Applied& applied) { return applied.version >= version; });
    if (later != since_gap_.end() && later->version == version) { // told twice
        lost_ = true;
        return ChangeOutcome::lost;
    }
    since_gap_.insert(later, {version, content_changes.json()});
    replace_all(before_gap_->whole());
    for (const Applied& applied : since_gap_)
        if (!apply(In(applied.content_changes, content_changes.path()))) return ChangeOutcome::lost;
    return ChangeOutcome::reordered;
}

void OpenDocument::remember(std::int64_t version, const In& content_changes) {
    if (held_) return forget_history();
    if (since_gap_.size() >= changes_remembered) forget_history();
    if (!before_gap_) {
        if (version <= this->version() + 1) return; // nothing is missing between
        before_gap_ = document_.buffer();
        gap_after_ = this->version();
    }
    since_gap_.push_back({version, content_changes.json()});
}

void OpenDocument::forget_history() {
    before_gap_.reset();
    since_gap_.clear();
}

text::Position OpenDocument::from_client(Position position) const {
    return text().from_client(position.line, position.character, encoding_);
}

text::Range OpenDocument::from_client(Range range) const {
    text::Range converted{from_client(range.start), from_client(range.end)};
    if (converted.end < converted.begin) std::swap(converted.begin, converted.end);
    return converted;
}

Position OpenDocument::to_client(text::Position position) const {
    return {position.line, text().to_client(position, encoding_)};
}

Range OpenDocument::to_client(text::Range range) const {
    return {to_client(range.begin), to_client(range.end)};
}

} // namespace turnwright::protocol
