// Between G-code systems A, B and C, and X between diameter and radius.
//
// A code keeps its meaning and takes the other system's number. System A says by the letter (U, W) what B and
// C say by a mode (G91), so distances change their form as well.
#include "features/equal_moves.h"
#include "features/rewriting.h"
#include "features/speech.h"
#include "features/word_edits.h"

#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;
using codes::System;
using machine::BlockView;
using machine::Word;

namespace {

/// Decimals of a written length in the block's unit.
int places_in(const BlockView& view) {
    return view.after.is(Meaning::inch) ? 4 : 3;
}

bool is_plain_move(machine::MotionKind kind) {
    using machine::MotionKind;
    return kind == MotionKind::rapid || kind == MotionKind::feed || kind == MotionKind::arc ||
           kind == MotionKind::thread;
}

class SystemConverter {
public:
    SystemConverter(const Document& document, System to)
        : document_(document), edits_(document), from_(document.settings().system), to_(to) {}

    Rewrite convert() {
        edits_.each([&](const BlockView& view) { block(view); });
        return edits_.finish(shop_with(document_, to_, std::nullopt));
    }

private:
    void block(const BlockView& view) {
        bool gives_modal_code = false;
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            if (word.letter == 'G' && !word.after_comma) code(view, word);
            if (word.code && word.letter == 'G' && word.code->is_modal()) gives_modal_code = true;
            if (from_ == System::A && to_ != System::A) to_position(view, word);
            if (from_ != System::A && to_ == System::A) to_distance(view, word);
        }
        if (from_ == System::A && to_ != System::A && gives_modal_code) state_absolute(view);
    }

    void code(const BlockView& view, const Word& word) {
        if (!word.value.known()) return edits_.refuse(view, "a macro computes which code this is.");
        if (!word.code) {
            // A number the table does not hold may mean something else over there.
            if (codes::find(to_, 'G', word.value.number))
                edits_.refuse(view,
                              fmt::format("{} is not known in system {} and means something in system {}.",
                                          compact(view.run.text_of(*word.item)), codes::system_letter(from_),
                                          codes::system_letter(to_)));
            return;
        }
        const Meaning meaning = word.code->meaning;
        if (codes::group_of(meaning) == codes::Group::distance && to_ == System::A)
            return edits_.remove(view, *word.item);
        if (meaning == Meaning::return_initial_level && to_ == System::A)
            return edits_.remove(view, *word.item);
        const std::string written = codes::written_as(to_, meaning);
        if (written.empty())
            return edits_.refuse(view, fmt::format("system {} has no code for {}.", codes::system_letter(to_),
                                                   codes::title(meaning)));
        if (written != codes::written_as(from_, meaning)) edits_.word(view, *word.item, written);
    }

    /// U and W of a move as X and Z, for systems where the letters are no distances.
    void to_position(const BlockView& view, const Word& word) {
        const bool x = word.quantity == Quantity::increment_x, z = word.quantity == Quantity::increment_z;
        if ((!x && !z) || word.after_comma || !moves_by(view, word)) return;
        if (word.letter != 'U' && word.letter != 'W')
            return edits_.refuse(view, fmt::format("{} is a distance here that system {} writes otherwise.",
                                                   word.letter, codes::system_letter(to_)));
        const machine::Value& end = x ? view.reading.target_x_radius : view.reading.target_z;
        if (!end.known())
            return edits_.refuse(view,
                                 fmt::format("where {} ends is {}.", compact(view.run.text_of(*word.item)),
                                             unknown_text(end.why)));
        if (computes(view)) return edits_.refuse(view, "a macro computes in this block.");
        const double shown = x ? checks::x_as_written(end.number, document_.settings()) : end.number;
        edits_.word(view, *word.item, std::string(1, x ? 'X' : 'Z') + with_point(shown, places_in(view) + 1));
    }

    /// Whether U or W is the move's own end and no allowance or depth.
    static bool moves_by(const BlockView& view, const Word&) {
        using machine::MotionKind;
        return is_plain_move(view.reading.motion) || view.reading.motion == MotionKind::single_cycle ||
               view.reading.motion == MotionKind::machine_rapid ||
               view.reading.motion == MotionKind::drill_cycle;
    }

    /// Under G91 the letters X and Z of a move become U and W.
    void to_distance(const BlockView& view, const Word& word) {
        if (word.after_comma || (word.letter != 'X' && word.letter != 'Z')) return;
        if (view.after.is(Meaning::absolute) || view.reading.motion == machine::MotionKind::none) return;
        if (!view.after.is(Meaning::incremental)) {
            if (view.after.of(codes::Group::distance).surely_unset()) return; // absolute by common practice
            return edits_.refuse(view, "whether positions are absolute or incremental is not known here.");
        }
        if (!is_plain_move(view.reading.motion))
            return edits_.refuse(view, "a cycle with incremental distances has no like in system A.");
        const std::string_view text = view.run.text_of(*word.item);
        edits_.word(view, *word.item,
                    std::string(1, word.letter == 'X' ? 'U' : 'W') + std::string(text.substr(1)));
    }

    /// G90 in the head and in every sequence's first block with a code that stays, so that each may be
    /// entered.
    void state_absolute(const BlockView& view) {
        const machine::Sequence* sequence = sequence_at(document_, {view.run_index, view.block});
        if (stated_ && sequence == stated_for_) return;
        stated_ = true;
        stated_for_ = sequence;
        edits_.insert(view, codes::written_as(to_, Meaning::absolute));
    }

    const Document& document_;
    WordEdits edits_;
    System from_, to_;
    bool stated_ = false;
    const machine::Sequence* stated_for_ = nullptr;
};

} // namespace

Rewrite convert_system(const Document& document, System to) {
    if (document.settings().system == to)
        return {{}, fmt::format("The program is read in system {} already.", codes::system_letter(to))};
    return SystemConverter(document, to).convert();
}

Rewrite convert_x_reading(const Document& document, shop::XReading to) {
    if (document.settings().machine.x == to)
        return {{},
                to == shop::XReading::diameter ? "X is read as a diameter already."
                                               : "X is read as a radius already."};
    const double factor = to == shop::XReading::radius ? 0.5 : 2;
    WordEdits edits(document);
    edits.each([&](const BlockView& view) {
        if (computes(view))
            return edits.refuse(view, "a macro computes here, and which numbers are X cannot be told.");
        for (const Word& word : view.reading.words) {
            if (word.quantity == Quantity::argument)
                return edits.refuse(view, "a macro is called, and what its values mean cannot be told.");
            if (word.quantity != Quantity::length_x && word.quantity != Quantity::increment_x) continue;
            if (!word.value.known())
                return edits.refuse(view, fmt::format("{} has a value that is {}.",
                                                      compact(view.run.text_of(*word.item)),
                                                      unknown_text(word.value.why)));
            if (word.value.number != 0)
                edits.number(view, *word.item, with_point(word.value.number * factor, places_in(view) + 1));
        }
    });
    return edits.finish(shop_with(document, std::nullopt, to));
}

// --- Absolute and incremental
// -------------------------------------------------------------------------------

namespace {

class DistanceConverter {
public:
    DistanceConverter(const Document& document, Range range, Meaning to)
        : document_(document), edits_(document), incremental_(to == Meaning::incremental),
          by_letter_(document.settings().system == System::A),
          first_(document.place_of_line(range.begin.line)), last_(document.place_of_line(range.end.line)) {}

    Rewrite convert() {
        edits_.each_in(first_, last_, [&](const BlockView& view) { block(view); });
        if (mode_stated_) state_behind();
        return edits_.finish(document_.shop_pointer());
    }

private:
    void block(const BlockView& view) {
        if (view.reading.motion == machine::MotionKind::none) return;
        if (!is_plain_move(view.reading.motion)) {
            if (!by_letter_ && mode_stated_)
                edits_.refuse(
                    view, "this block moves otherwise than in a line or arc, and the mode would change it.");
            return;
        }
        bool changed = false;
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            changed = convert(view, word) || changed;
        }
        if (!by_letter_ && !mode_stated_ && changed) {
            mode_stated_ = true;
            edits_.insert(view, codes::written_as(document_.settings().system,
                                                  incremental_ ? Meaning::incremental : Meaning::absolute));
        }
    }

    bool convert(const BlockView& view, const Word& word) {
        if (word.after_comma) return false;
        if (word.code && codes::group_of(word.code->meaning) == codes::Group::distance) {
            edits_.refuse(view, "the block changes between absolute and incremental itself.");
            return false;
        }
        const bool x = word.letter == 'X' || word.letter == 'U', z = word.letter == 'Z' || word.letter == 'W';
        if (!x && !z) return false;
        const bool is_distance =
            by_letter_ ? word.letter == 'U' || word.letter == 'W' : view.before.is(Meaning::incremental);
        if (!by_letter_ && !is_distance && !view.before.is(Meaning::absolute)) {
            edits_.refuse(view, "whether positions are absolute or incremental is not known here.");
            return false;
        }
        if (is_distance == incremental_) return false;
        const machine::Value& from = x ? view.before.x_radius : view.before.z;
        const machine::Value& to = x ? view.reading.target_x_radius : view.reading.target_z;
        for (const machine::Value& value : {from, to})
            if (!value.known()) {
                edits_.refuse(view, fmt::format("the position is {}.", unknown_text(value.why)));
                return false;
            }
        if (word.item->kind != syntax::ItemKind::word) {
            edits_.refuse(view, "a macro computes this value.");
            return false;
        }
        const double number = incremental_ ? to.number - from.number : to.number;
        const double shown = x ? checks::x_as_written(number, document_.settings()) : number;
        const char letter = !by_letter_ ? word.letter : incremental_ ? (x ? 'U' : 'W') : (x ? 'X' : 'Z');
        edits_.word(view, *word.item, std::string(1, letter) + with_point(shown, places_in(view) + 1));
        return true;
    }

    /// The mode that held before, stated again in the next block with words.
    void state_behind() {
        bool done = false;
        const BlockPlace end = document_.place_of_line(document_.buffer().line_count());
        BlockPlace next = document_.place_of_line(document_.line_of(last_) + 1);
        if (next <= last_) return;
        edits_.each_in(next, end, [&](const BlockView& view) {
            if (done || view.reading.words.empty()) return;
            done = true;
            const Meaning back = incremental_ ? Meaning::absolute : Meaning::incremental;
            for (const Word& word : view.reading.words)
                if (word.code && codes::group_of(word.code->meaning) == codes::Group::distance) return;
            edits_.insert(view, codes::written_as(document_.settings().system, back));
        });
    }

    const Document& document_;
    WordEdits edits_;
    bool incremental_, by_letter_;
    BlockPlace first_, last_;
    bool mode_stated_ = false;
};

} // namespace

Rewrite convert_distance(const Document& document, Range range, Meaning to) {
    if (to != Meaning::absolute && to != Meaning::incremental)
        return {{}, "Distances are absolute or incremental."};
    range = {document.buffer().clamp(range.begin), document.buffer().clamp(range.end)};
    return DistanceConverter(document, range, to).convert();
}

// --- Commands
// -----------------------------------------------------------------------------------------------

std::vector<std::string> command_names() {
    return {"turnwright.fixAll",        "turnwright.renumber", "turnwright.convertUnits",
            "turnwright.convertSystem", "turnwright.convertX", "turnwright.convertDistance"};
}

namespace {

/// A whole number from 0 to 9 digits; -1 when it is none.
std::int32_t whole_number(const std::string& text) {
    if (text.empty() || text.size() > 9 || text.find_first_not_of("0123456789") != std::string::npos)
        return -1;
    return std::stoi(text);
}

Rewrite run_renumber(const Document& document, const std::vector<std::string>& arguments) {
    Renumbering how;
    if (arguments.size() > 0) {
        if (arguments[0] == "all_blocks")
            how.what = Renumbering::What::all_blocks;
        else if (arguments[0] == "by_tool")
            how.what = Renumbering::What::by_tool;
        else if (arguments[0] != "sequences")
            return {{}, "Renumber takes sequences, all_blocks or by_tool."};
    }
    if (how.what == Renumbering::What::sequences) how.start = how.step = 1;
    if (arguments.size() > 1) how.start = whole_number(arguments[1]);
    if (arguments.size() > 2) how.step = whole_number(arguments[2]);
    return renumber(document, how);
}

Rewrite run_distance(const Document& document, const std::vector<std::string>& arguments) {
    if (arguments.size() != 3 || whole_number(arguments[1]) < 0 || whole_number(arguments[2]) < 0)
        return {{}, "Give absolute or incremental, the first line and the last line."};
    const auto first = static_cast<std::uint32_t>(whole_number(arguments[1]));
    const auto last = static_cast<std::uint32_t>(whole_number(arguments[2]));
    if (arguments[0] != "absolute" && arguments[0] != "incremental")
        return {{}, "Distances are absolute or incremental."};
    return convert_distance(document, {{first, 0}, {last, 0}},
                            arguments[0] == "absolute" ? Meaning::absolute : Meaning::incremental);
}

} // namespace

Rewrite run_command(const Document& document, std::string_view name,
                    const std::vector<std::string>& arguments) {
    const std::string first = arguments.empty() ? std::string{} : arguments[0];
    if (name == "turnwright.fixAll") return fix_all(document, first);
    if (name == "turnwright.renumber") return run_renumber(document, arguments);
    if (name == "turnwright.convertDistance") return run_distance(document, arguments);
    if (name == "turnwright.convertUnits") {
        if (first == "mm") return convert_units(document, Meaning::millimetre);
        if (first == "inch") return convert_units(document, Meaning::inch);
        return {{}, "Units are inch or mm."};
    }
    if (name == "turnwright.convertSystem") {
        if (first == "A") return convert_system(document, System::A);
        if (first == "B") return convert_system(document, System::B);
        if (first == "C") return convert_system(document, System::C);
        return {{}, "Systems are A, B and C."};
    }
    if (name == "turnwright.convertX") {
        if (first == "diameter") return convert_x_reading(document, shop::XReading::diameter);
        if (first == "radius") return convert_x_reading(document, shop::XReading::radius);
        return {{}, "X is a diameter or a radius."};
    }
    return {{}, fmt::format("There is no command {}.", name)};
}

} // namespace turnwright::features
