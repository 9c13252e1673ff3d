#include "report/likeness.h"
#include "language/said.h"

#include <bit>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {
namespace {

/// A row of numbers and words as one number: the same on every system and in every run.
class Digest {
public:
    void add(std::uint64_t value) {
        // The mixing steps of splitmix64: every bit of the row moves every bit of the result.
        std::uint64_t mixed = state_ + value + 0x9e3779b97f4a7c15U;
        mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9U;
        mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebU;
        state_ = mixed ^ (mixed >> 31);
    }
    void add(std::string_view words) {
        for (const char c : words) add(static_cast<std::uint64_t>(static_cast<unsigned char>(c)));
        add(words.size());
    }
    /// In steps of 0.0001. The border between two steps lies where neither a least increment in millimetres
    /// nor one in inches, nor half of one, ever falls: the last bits of a sum do not matter.
    void add(double number) {
        if (!std::isfinite(number) || std::abs(number) > 1e12)
            add(std::bit_cast<std::uint64_t>(number));
        else
            add(static_cast<std::uint64_t>(static_cast<std::int64_t>(std::floor(number * 1e4 + 0.55))));
    }
    std::uint64_t value() const { return state_; }

private:
    std::uint64_t state_ = 0;
};

struct Digests {
    Digest moves, tools, settings, order;
    std::size_t move_count = 0; ///< So far: a feed that changes one move later is another program
};

void add_setting(Digests& row, const Action& action) {
    bool of_moves = false;
    if (action.subject >= first_group) {
        const codes::Group about = compared_groups[action.subject - std::size_t{first_group}];
        of_moves = about != codes::Group::spindle_direction && about != codes::Group::coolant;
    }
    Digest& to = action.subject == tool ? row.tools : of_moves ? row.moves : row.settings;
    to.add(std::uint64_t{action.subject});
    to.add(row.move_count);
    to.add(static_cast<std::uint64_t>(action.block_delete));
    for (const double number : action.numbers) to.add(number);
    to.add(action.words);
    if (action.subject == tool) {
        row.order.add(std::uint64_t{action.subject});
        row.order.add(action.numbers[0]);
    }
}

void add(Digests& row, const Action& action) {
    using Kind = Action::Kind;
    if (action.kind == Kind::setting) return add_setting(row, action);
    // The moves of a cycle follow it; its words say nothing beside them.
    if (action.kind == Kind::cycle) return;
    Digest& to = action.kind == Kind::dwell ? row.settings : row.moves;
    to.add(static_cast<std::uint64_t>(action.kind));
    to.add(row.move_count);
    to.add(static_cast<std::uint64_t>(action.block_delete));
    for (const double number : action.numbers) to.add(number);
    to.add(action.words);
    for (const double number : action.values) to.add(number);
    row.order.add(static_cast<std::uint64_t>(action.kind));
    row.move_count += action.kind == Kind::rapid || action.kind == Kind::line || action.kind == Kind::arc ||
                      action.kind == Kind::thread;
}

bool near(const std::optional<double>& a, const std::optional<double>& b, double mm) {
    return a.has_value() == b.has_value() && (!a || std::abs(*a - *b) <= mm);
}

} // namespace

bool Likeness::nearly(const Likeness& other) const {
    constexpr double least_mm = 0.1, share = 0.002;
    const motion::Totals &a = totals, &b = other.totals;
    return order == other.order && near(a.min_x_radius_mm, b.min_x_radius_mm, least_mm) &&
           near(a.max_x_radius_mm, b.max_x_radius_mm, least_mm) && near(a.min_z_mm, b.min_z_mm, least_mm) &&
           near(a.max_z_mm, b.max_z_mm, least_mm) &&
           std::abs(a.cut_mm - b.cut_mm) <= std::max(least_mm, share * a.cut_mm);
}

Likeness likeness_of(const Course& course) {
    Likeness likeness;
    Digests row;
    for (const ActionSpan& span : course.spans)
        for (const Action& action : span.actions) add(row, action);
    likeness.move_count = row.move_count;
    likeness.moves = row.moves.value();
    likeness.tools = row.tools.value();
    likeness.settings = row.settings.value();
    likeness.order = row.order.value();
    likeness.open = course.as_written > 0 || course.calls_lost || course.moves_without_unit > 0;
    likeness.totals = course.totals;
    if (course.as_written > 1)
        likeness.open_words =
            said("{} and {} more are taken by their words", course.first_as_written, course.as_written - 1);
    else if (course.as_written > 0)
        likeness.open_words = course.first_as_written + said(" is taken by its words");
    else if (course.calls_lost)
        likeness.open_words = said("a program that it calls is not here");
    else if (course.moves_without_unit > 0)
        likeness.open_words = said("its unit of length is not stated");
    return likeness;
}

Likeness likeness_of(const Course& course, const features::Document& document,
                     std::optional<std::size_t> stopped_at) {
    Likeness likeness = likeness_of(course);
    if (!stopped_at) return likeness;
    Digest rest;
    rest.add(likeness.settings);
    const text::Buffer& buffer = document.buffer();
    for (std::size_t line = *stopped_at; line < buffer.line_count(); ++line) rest.add(buffer.line(line));
    likeness.settings = rest.value();
    likeness.open = true;
    likeness.open_words = said("from line {} on it is taken by its text", *stopped_at + 1);
    return likeness;
}

std::string fingerprint(const Likeness& likeness) {
    constexpr std::string_view letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"; // None that is read as another
    constexpr int count = 12, of_a_group = 4, bits = 5;
    Digest all;
    for (const std::uint64_t part : {likeness.moves, likeness.tools, likeness.settings}) all.add(part);
    std::string out;
    for (int i = 0; i < count; ++i) {
        if (i > 0 && i % of_a_group == 0) out += '-';
        out += letters[all.value() >> (bits * i) & (letters.size() - 1)];
    }
    return out;
}

std::string fingerprint_text(const Likeness& likeness) {
    return fingerprint(likeness) + (likeness.open ? said(", but ") + likeness.open_words : "");
}

} // namespace turnwright::report
