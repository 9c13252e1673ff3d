// What a rule's file includes: the contract, edits for fixes, and the few words many rules share.
#pragma once

#include "checks/mend.h"
#include "checks/right_programs.h"
#include "language/said.h"

#include <fmt/core.h>

namespace turnwright::checks {

/// Moves that take material off at the programmed feed (no thread: its F is the lead).
bool cuts_at_feed(const Step& step);
/// M codes of three digits alone in their blocks above, as two turrets wait for each other: the program of
/// the other one may have cut, drilled or started the spindle.
bool waits_above(const machine::Reader& reader, BlockPlace place);
/// Any cutting move, threads too.
bool cuts(const Step& step);
/// The code word of a block, or the whole block when the code stands in another one.
Report::Entry report_at_code(Report& report, const machine::Reader& reader, BlockPlace place,
                             codes::Meaning meaning);
/// "G21, G99 and S500".
template <class Text>
std::string list_of(const std::vector<Text>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? said(" and ") : ", ";
        out += words[i];
    }
    return out;
}
/// A step's code word, or its whole block when the code stands in another block.
Report::Entry report_at_code(Report& report, const SequenceContext& context, const Step& step,
                             codes::Meaning meaning);
/// "G99" as this program's system writes it.
std::string code(const machine::Settings& settings, codes::Meaning meaning);
std::string code(const BlockView& view, codes::Meaning meaning);
/// A word as the program writes it: "X52.".
std::string text_of(const BlockView& view, const syntax::Item& item);
std::string text_of(const machine::Reader& reader, BlockPlace place, const syntax::Item& item);
/// A block in capitals, without blanks, notes, N number and block delete: "#1=#1+2", "WHILE[#1LT28]DO1".
std::string statement_of(const machine::Reader& reader, BlockPlace place);
/// A note, without its parentheses.
struct NoteAt {
    BlockPlace place;
    std::string_view text;
};
/// The notes of the blocks `[first, last]`, in order.
std::vector<NoteAt> notes_between(const machine::Reader& reader, BlockPlace first, BlockPlace last);
/// The unit of length in force at a step: "mm", "in", or "".
std::string_view unit_of(const Step& step);
/// X of a radius as the program writes it, for a message.
std::string spoken_x(double x_radius, const machine::Settings& settings);
/// Is a habit a rule of this program? By the shop file, else by the majority: at least two of three, and
/// three sequences or more.
bool keeps_habit(shop::Rule rule, std::size_t with, std::size_t total);
/// The same of a habit whose breach harms nothing by itself: four or more keep it, and one alone does not.
bool keeps_style(shop::Rule rule, std::size_t with, std::size_t total);
/// The name a message gives a sequence: "N3", or "the sequence of T03" when it has no number.
std::string name_of(const machine::Sequence& sequence);
/// The shop's tool that a state has in; nullptr when not known.
const shop::Tool* tool_in(const machine::State& state, const shop::Shop& shop);
/// rpm the spindle is told to turn at under constant rpm; nullopt otherwise.
std::optional<double> constant_rpm(const machine::State& state);
bool is_tool_call(const BlockView& view);
/// The block itself makes a cut (and is no contour block, which is not run in passing).
bool cuts_in(const BlockView& view);
bool threads_in(const BlockView& view);
/// The blocks that a contour cycle names; nullopt: P or Q is not known.
std::optional<machine::ContourPlace> contour_named_in(const BlockView& view, const machine::Reader& reader);
/// In mm, when the unit is known.
std::optional<double> to_mm(double length, const machine::State& state);
std::optional<double> to_mm(double length, const machine::Modal& units);
/// In mm; where nothing states the unit, as mm: the smaller reading, for one who says that it is too much.
std::optional<double> at_least_mm(double length, const machine::State& state);

} // namespace turnwright::checks

namespace turnwright::checks::rules {
using codes::Group;
using codes::Meaning;
using codes::Quantity;
using codes::System;
using machine::MotionKind;
using machine::part;
using machine::Part;
using machine::Why;
} // namespace turnwright::checks::rules
