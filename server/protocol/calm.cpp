#include "protocol/calm.h"

#include "checks/open_end.h"
#include "features/block_at.h"

#include <algorithm>
#include <iterator>

namespace turnwright::protocol {
namespace {

using features::Warning;

/// Where a place is after the edit.
text::Position moved(text::Position at, const Calm::Edit& edit) {
    if (at < edit.begin) return at;
    if (at < edit.old_end) return edit.begin;
    if (at.line > edit.old_end.line) return {at.line - edit.old_end.line + edit.new_end.line, at.column};
    return {edit.new_end.line, at.column - edit.old_end.column + edit.new_end.column};
}

void move(text::Range& range, const Calm::Edit& edit) {
    range = {moved(range.begin, edit), moved(range.end, edit)};
}

bool has_words(const features::Document& document, std::uint32_t line) {
    const auto items = document.items(document.place_of_line(line));
    return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) { return item.is_word(); });
}

/// Whether only blanks, notes and the end of the program stand below the line.
bool is_written_at_end(const features::Document& document, const machine::ProgramPart& program,
                       std::uint32_t line) {
    constexpr std::size_t most_looked_at = 20;
    const std::size_t last = document.line_of(program.last);
    const std::size_t end = program.end ? document.line_of(*program.end) : last + 1;
    if (last > line + most_looked_at || end <= line) return false;
    for (std::size_t below = line + 1; below <= last; ++below)
        if (below != end && has_words(document, static_cast<std::uint32_t>(below))) return false;
    return true;
}

bool by_place(const Warning& a, const Warning& b) {
    return a.range.begin < b.range.begin;
}

} // namespace

Calm::Open Calm::open_at(const features::Document& document, std::uint32_t line) {
    const machine::BlockPlace place = document.place_of_line(line);
    const auto line_of = [&](machine::BlockPlace first) {
        return static_cast<std::uint32_t>(document.line_of(first));
    };
    Open open;
    open.line_length = document.buffer().clamp({line, ~0u}).column;
    const auto* program = features::program_at(document, place);
    // What its callers above have behind the call hangs on how a subprogram ends.
    if (program && program->is_subprogram && program != &document.outline().programs.front()) return open;
    if (program) open.sequence = open.program = line_of(program->first);
    if (const auto* sequence = features::sequence_at(document, place))
        open.sequence = line_of(sequence->first);
    for (open.block = line; open.block > open.sequence && !has_words(document, open.block);) --open.block;
    open.is_being_written = program && is_written_at_end(document, *program, line);
    return open;
}

Calm::Key Calm::key_of(const Warning& warning) {
    return {warning.range.begin.line, warning.id};
}

void Calm::edited(const Edit& edit, Clock::time_point now) {
    if (!edit.typed) return restart();
    const std::uint32_t line = edit.new_end.line;
    const auto line_after = [&](std::uint32_t at) {
        if (at <= edit.begin.line) return at;
        return at > edit.old_end.line ? at - edit.old_end.line + edit.new_end.line : line;
    };
    for (Warning& warning : told_) {
        move(warning.range, edit);
        for (features::RelatedWarning& related : warning.related) move(related.range, edit);
    }
    for (Left& left : left_) left.line = line_after(left.line);
    Keys found;
    for (const Key& key : found_) found.insert({line_after(key.first), key.second});
    found_ = std::move(found);

    const std::uint32_t before = typed_line_ ? line_after(*typed_line_) : edit.begin.line;
    if (before != line) {
        if (typed_line_ || edit.begin.line != edit.new_end.line) left_.push_back({before, now});
        line_begun_ = true;
    }
    std::erase_if(left_, [&](const Left& left) { return left.line == line; });
    typed_line_ = line;
    cursor_ = edit.new_end;
    rests_ = false;
    last_key_ = now;
}

void Calm::restart() {
    release();
    was_shown_ = false;
}

bool Calm::release() {
    const bool was_typing = is_typing();
    typed_line_.reset();
    rests_ = false;
    line_begun_ = false;
    left_.clear();
    return was_typing;
}

bool Calm::cursor_at(std::uint32_t line) {
    return typed_line_ && *typed_line_ != line && release();
}

std::optional<Calm::Clock::time_point> Calm::wakes_at() const {
    if (!typed_line_ || rests_) return std::nullopt;
    Clock::time_point when = last_key_ + patience;
    for (const Left& left : left_) when = std::min(when, left.since + patience);
    return when;
}

bool Calm::is_on_typed_line(const Warning& warning) const {
    return warning.range.begin.line <= *typed_line_ && *typed_line_ <= warning.range.end.line;
}

bool Calm::hangs_on_end(const Warning& warning, Open open) {
    const std::uint32_t line = warning.range.begin.line;
    switch (checks::open_end(warning.id)) {
    case checks::OpenEnd::block:
        return line >= open.block;
    case checks::OpenEnd::sequence:
        return line >= open.sequence;
    case checks::OpenEnd::program:
        return line >= open.program;
    case checks::OpenEnd::file:
        return true;
    case checks::OpenEnd::none:
        break;
    }
    return false;
}

bool Calm::is_unfinished(const Warning& warning, Open open) const {
    // Written at its end, the block may still get the word that is missing.
    const bool is_open = is_on_typed_line(warning) && cursor_.column >= open.line_length;
    return is_open || (open.is_being_written && hangs_on_end(warning, open));
}

bool Calm::may_be_told(const Warning& warning, Open open, Clock::time_point now) const {
    if (is_on_typed_line(warning) || hangs_on_end(warning, open)) return false;
    const std::uint32_t line = warning.range.begin.line;
    // It stands in a line that was typed and left.
    const auto left =
        std::find_if(left_.begin(), left_.end(), [&](const Left& one) { return one.line == line; });
    if (left != left_.end() && now >= left->since + patience) return true;
    // The line before has brought it; but below all hangs on what is still being written here.
    return line_begun_ && found_.contains(key_of(warning)) && (line < *typed_line_ || left != left_.end());
}

std::vector<Warning> Calm::shown(std::vector<Warning> all, Open open, Clock::time_point now) {
    const bool pauses = typed_line_ && now >= last_key_ + patience;
    rests_ = pauses && std::any_of(all.begin(), all.end(),
                                   [&](const Warning& warning) { return is_unfinished(warning, open); });
    if (!was_shown_ || (pauses && !rests_)) release();
    was_shown_ = true;
    Keys found;
    for (const Warning& warning : all) found.insert(key_of(warning));
    if (!typed_line_) {
        told_ = all;
        found_ = std::move(found);
        return all;
    }
    std::multimap<Key, const Warning*> told;
    for (const Warning& warning : told_) told.emplace(key_of(warning), &warning);
    // What hangs on the end moves along with it.
    const auto take = [&](const Warning& warning) -> const Warning* {
        auto at = told.find(key_of(warning));
        if (at == told.end() && checks::open_end(warning.id) != checks::OpenEnd::none)
            at = std::find_if(told.begin(), told.end(), [&](const auto& entry) {
                return entry.first.second == warning.id && !found.contains(entry.first);
            });
        if (at == told.end()) return nullptr;
        const Warning* before = at->second;
        told.erase(at);
        return before;
    };
    std::vector<Warning> shown;
    for (Warning& warning : all) {
        if (const Warning* before = take(warning)) {
            // Its words may change with every letter elsewhere.
            const bool as_it_was =
                !rests_ && !line_begun_ && !is_on_typed_line(warning) && key_of(warning) == key_of(*before);
            if (as_it_was) warning = *before;
            shown.push_back(std::move(warning));
        } else if (rests_ ? !is_unfinished(warning, open) : may_be_told(warning, open, now)) {
            shown.push_back(std::move(warning));
        }
    }
    for (const auto& [key, warning] : told) {
        const bool is_gone = rests_ || is_on_typed_line(*warning) || (line_begun_ && !found_.contains(key));
        if (!is_gone) shown.push_back(*warning);
    }
    std::stable_sort(shown.begin(), shown.end(), by_place);
    std::erase_if(left_, [&](const Left& left) { return now >= left.since + patience; });
    line_begun_ = false;
    found_ = std::move(found);
    told_ = shown;
    return shown;
}

std::vector<Warning> Calm::with_told_of_file(std::vector<Warning> of_blocks) const {
    std::erase_if(of_blocks, [](const Warning& warning) { return checks::hangs_on_file(warning.id); });
    std::copy_if(told_.begin(), told_.end(), std::back_inserter(of_blocks),
                 [](const Warning& warning) { return checks::hangs_on_file(warning.id); });
    std::stable_sort(of_blocks.begin(), of_blocks.end(), by_place);
    return of_blocks;
}

} // namespace turnwright::protocol
