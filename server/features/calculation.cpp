#include "features/calculation.h"
#include "language/said.h"

#include "features/block_writer.h"
#include "features/hover_load.h"
#include "features/noted.h"
#include "features/sequence_writer.h"
#include "features/speech.h"
#include "features/warnings.h"
#include "features/word_edits.h"
#include "motion/geometry.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <tuple>

namespace turnwright::features {

using calculate::Answer;
using calculate::Here;
using calculate::Measure;
using calculate::Question;
using codes::Group;
using codes::Meaning;

namespace {

bool has_code_of(const machine::Reading& reading, Group group) {
    return std::any_of(reading.words.begin(), reading.words.end(), [&](const machine::Word& word) {
        return word.code && !word.implied && codes::group_of(word.code->meaning) == group;
    });
}

/// The next block that holds words, behind a place.
std::optional<BlockAt> block_behind(const Document& document, BlockPlace place, bool forward) {
    constexpr int farthest = 50;
    std::size_t line = document.line_of(place);
    for (int step = 0; step < farthest; ++step) {
        if (forward ? ++line >= document.buffer().line_count() : line-- == 0) return std::nullopt;
        std::optional<BlockAt> block = block_at(document, document.place_of_line(line));
        if (block && !block->reading.words.empty()) return block;
    }
    return std::nullopt;
}

/// The one line or arc that a block is; nullopt for all else.
std::optional<motion::Segment> cut_of_block(const Document& document, const BlockAt& block) {
    const motion::BlockPath path = motion::path_of(block.view(document), document.analysis());
    if (!path.complete || path.segments.size() != 1) return std::nullopt;
    const motion::Segment& segment = path.segments.front();
    return segment.kind == motion::SegmentKind::feed ? std::optional(segment) : std::nullopt;
}

void add_corner(const Document& document, BlockPlace corner, Here& here) {
    const std::optional<BlockAt> first = block_at(document, corner);
    const std::optional<BlockAt> second = block_behind(document, corner, true);
    if (first) here.move_before = cut_of_block(document, *first);
    if (second) here.move_behind = cut_of_block(document, *second);
    const auto why = [&](std::string_view which) {
        return said("The block {} the corner is no line or arc that is known from end to end.", which);
    };
    if (!here.move_before)
        here.why_no_corner = why(said("in front of"));
    else if (!here.move_behind)
        here.why_no_corner = why(said("after"));
}

Here here_at(const Typing& typing, std::optional<BlockPlace> corner) {
    const Document& document = typing.document;
    const machine::State& state = typing.block.before;
    Here here;
    here.inch = writes_inch(typing);
    const double unit = here.inch ? motion::mm_per_inch : 1;
    if (state.x_radius.known()) here.x_radius_mm = state.x_radius.number * unit;
    if (state.z.known()) here.z_mm = state.z.number * unit;
    here.feed_in_force = state.feed.known();
    const motion::Spindle spindle = motion::spindle_of(state, typing.settings());
    if (spindle.surface_speed == false) here.rpm = spindle.rpm;
    here.limit_rpm = spindle.limit_rpm;
    const machine::Value& station = state.tool;
    const int tool_station = station.known() ? static_cast<int>(station.number) : 0;
    const shop::Tool* tool = station.known() ? document.shop().tool(tool_station) : nullptr;
    const checks::NotedTool noted =
        tool_station > 0 ? noted_tool(document, tool_station, unit) : checks::NotedTool{};
    if (!tool && !noted.is_empty()) tool = &noted.tool;
    if (tool) {
        here.nose_radius_mm = tool->nose_radius_mm;
        here.tool_width_mm = tool->width_mm;
        here.tool_diameter_mm = tool->diameter_mm;
        here.point_angle_deg = tool->point_angle_deg;
        here.tip_direction = tool->tip_direction;
    }
    const Cut cut = cut_of(tool, typing.settings().machine);
    here.step_mm = cut.step;
    here.rough_feed = cut.rough_feed;
    here.finish_feed = cut.finish_feed;
    here.groove_feed = cut.groove_feed;
    const std::string material = material_given(document, typing.place);
    here.surface_m_per_min = surface_m_per_min(document, typing.place);
    here.surface_from =
        said("to start with in {}", stock::material(material) ? readable(material) : said("steel, assumed"));
    const Ground ground = ground_at(typing);
    here.stock_known = ground.known;
    here.outside_radius_mm = ground.outside_mm;
    here.front_mm = ground.front_mm;
    if (const auto cylinder = last_cylinder(typing)) here.cylinder_radius_mm = cylinder->radius_mm;
    std::tie(here.first_label, here.last_label) = free_contour(document);
    if (corner) add_corner(document, *corner, here);
    return here;
}

/// Behind the words of a block, where it has any.
Typing typing_behind(const Document& document, BlockPlace place) {
    Typing typing = *typing_at(document, {static_cast<std::uint32_t>(document.line_of(place)), 0});
    typing.block.before = typing.block.after;
    return typing;
}

/// Where every block has a number, so have new ones: between those around, where there is room.
class Numbers {
public:
    Numbers(const Document& document, BlockPlace place, std::size_t count) {
        std::size_t with = 0, all = 0;
        for (const BlockSpan& span : spans_around(document, place))
            for (std::size_t block = span.first; block < span.end; ++block) {
                const bool numbered = number_of(document, {span.run, static_cast<std::uint32_t>(block)}) > 0;
                const auto items = document.items({span.run, static_cast<std::uint32_t>(block)});
                with += numbered;
                all += std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
                    return item.kind == syntax::ItemKind::word;
                });
            }
        constexpr std::size_t most_without = 5; // Of ten
        if (all < 3 || with * 10 < all * most_without) return;
        int before = 0, behind = 0;
        for (const bool forward : {false, true}) {
            int& number = forward ? behind : before;
            std::optional<BlockAt> block = block_at(document, place);
            if (!forward && block) number = number_of(document, place);
            if (number == 0)
                if (const auto next = block_behind(document, place, forward))
                    number = number_of(document, next->place);
        }
        const auto wanted = static_cast<int>(count);
        if (before <= 0 || (behind > 0 && behind - before <= wanted)) return;
        step_ = behind > 0 ? std::min(10, (behind - before) / (wanted + 1)) : 1;
        const auto& taken = document.analysis().label_counts();
        for (int i = 1; i <= wanted; ++i)
            if (taken.contains(before + i * step_)) return;
        next_ = before;
    }
    int next() { return next_ > 0 ? next_ += step_ : 0; }

private:
    static int number_of(const Document& document, BlockPlace place) {
        for (const syntax::Item& item : document.items(place))
            if (item.kind == syntax::ItemKind::word && item.letter == 'N' && item.value < 1e6)
                return static_cast<int>(item.value);
        return 0;
    }
    int next_ = 0, step_ = 1;
};

/// The words of the two moves at a corner that are written otherwise when it is cut off.
class CornerEdits {
public:
    CornerEdits(const Document& document, const Here& here, const Answer& answer)
        : document_(document), here_(here), begins_(*answer.corner_begins),
          ends_(ends_of(answer.blocks.back())) {}

    std::string why_not;
    std::vector<TextEdit> edits;

    void shorten_first(const BlockAt& block) {
        bool has_x = false, has_z = false;
        for (const machine::Word& word : block.reading.words) {
            const bool x = word.letter == 'X' || word.letter == 'U',
                       z = word.letter == 'Z' || word.letter == 'W';
            if (!x && !z) continue;
            const bool is_place = word.letter == 'X' || word.letter == 'Z';
            write(block, word, along(x, is_place ? begins_ : begins_ - here_.move_before->from));
            (x ? has_x : has_z) = true;
        }
        // A line keeps to the axis that it leaves out; an arc does not.
        if (here_.move_before->is_arc && has_x != has_z)
            why_not = said("The arc in front of the corner is written with one axis alone: write X and Z.");
    }
    void shorten_second(const BlockAt& block) {
        const motion::Segment& move = *here_.move_behind;
        bool has_i = false, has_k = false;
        for (const machine::Word& word : block.reading.words) {
            if (word.letter == 'U' || word.letter == 'W')
                write(block, word, along(word.letter == 'U', move.to - ends_));
            if (move.is_arc && (word.letter == 'I' || word.letter == 'K')) {
                (word.letter == 'I' ? has_i : has_k) = true;
                const double mm = word.letter == 'I' ? move.centre.x_radius_mm - ends_.x_radius_mm
                                                     : move.centre.z_mm - ends_.z_mm;
                write(block, word, mm / unit());
            }
        }
        if (has_i != has_k)
            why_not = said("The arc after the corner is written with I or K alone: write both, or R.");
    }

private:
    static motion::Point ends_of(const calculate::Block& block) {
        motion::Point point;
        for (const calculate::Word& word : block.words)
            if (word.letter == 'X')
                point.x_radius_mm = word.value;
            else if (word.letter == 'Z')
                point.z_mm = word.value;
        return point;
    }
    double unit() const { return here_.inch ? motion::mm_per_inch : 1; }
    double along(bool x, motion::Point point) const {
        return x ? checks::x_as_written(point.x_radius_mm / unit(), document_.settings())
                 : point.z_mm / unit();
    }
    void write(const BlockAt& block, const machine::Word& word, double number) {
        if (word.after_comma || !word.item) return;
        if (word.item->kind != syntax::ItemKind::word) {
            why_not = said("A macro computes {} at the corner.", word.letter);
            return;
        }
        const std::string written = with_point(number, here_.inch ? 4 : 3);
        // In the letter's own case.
        const std::string_view text = document_.run(block.place.run).text_of(*word.item);
        edits.push_back(
            {document_.range_of(block.place, *word.item), std::string(text.substr(0, 1)) + written});
    }

    const Document& document_;
    const Here& here_;
    motion::Point begins_, ends_;
};

/// A block that relies on the motion code in force gets its own when the new blocks leave another.
std::optional<TextEdit> keep_motion(const Document& document, const BlockWriter& writer,
                                    const std::vector<calculate::Block>& blocks, const BlockAt& next) {
    std::optional<Meaning> left;
    for (const calculate::Block& block : blocks)
        if (block.code && codes::group_of(*block.code) == Group::motion) left = *block.code;
    const machine::Modal& before = next.before.of(Group::motion);
    if (!left || !before.known() || next.before.is(*left) || has_code_of(next.reading, Group::motion) ||
        next.reading.motion == machine::MotionKind::none)
        return std::nullopt;
    for (const Meaning meaning :
         {Meaning::rapid, Meaning::feed_line, Meaning::arc_clockwise, Meaning::arc_counterclockwise}) {
        if (!next.before.is(meaning)) continue;
        for (const machine::Word& word : next.reading.words)
            if (word.item && word.letter != 'N' && !word.implied) {
                const Position at = document.range_of(next.place, *word.item).begin;
                return TextEdit{{at, at}, writer.code(meaning) + ' '};
            }
    }
    return std::nullopt;
}

std::string result_size(const calculate::Result& result, bool inch) {
    const double size = inch ? result.value / motion::mm_per_inch : result.value;
    const int places = inch ? 4 : 3;
    switch (result.measure) {
    case Measure::length:
    case Measure::diameter:
    case Measure::position:
        return plain(size, places) + (inch ? " in" : " mm");
    case Measure::feed:
        return plain(size, places) + (inch ? said(" in a turn") : said(" mm a turn"));
    case Measure::angle:
        return plain(result.value, 3) + said(" degrees");
    case Measure::surface:
        return plain(inch ? result.value / 0.3048 : result.value, 0) + (inch ? " ft/min" : " m/min");
    default:
        return plain(result.value, 3);
    }
}

std::string results_table(const Answer& answer, bool inch) {
    std::vector<std::pair<std::string, std::string>> rows;
    for (const calculate::Result& result : answer.results)
        rows.emplace_back(result.what, result_size(result, inch));
    return aligned(rows);
}

/// "= ROOT DIAMETER 22.16, HEIGHT 0.92"
std::string results_for_note(const Answer& answer, bool inch) {
    std::string out;
    for (const calculate::Result& result : answer.results)
        if (result.in_note)
            out += (out.empty() ? " = " : ", ") +
                   in_capitals(fmt::format("{} {}", result.what, result_size(result, inch)));
    return out.empty() ? " =" : out;
}

/// The block whose end a note at a corner means: its own, else the one above.
std::optional<BlockPlace> corner_of(const Document& document, BlockPlace note) {
    const std::optional<BlockAt> own = block_at(document, note);
    if (own && !own->reading.words.empty()) return note;
    const std::optional<BlockAt> above = block_behind(document, note, false);
    return above ? std::optional(above->place) : std::nullopt;
}

struct AnsweredNote {
    std::optional<BlockPlace> corner; ///< Of a note at a corner
    Calculation made;
};
AnsweredNote answer_of(const Document& document, const QuestionNote& note) {
    const BlockPlace place = document.place_of_line(note.line);
    AnsweredNote answered;
    if (note.question.calculator->at_corner) answered.corner = corner_of(document, place).value_or(place);
    answered.made = calculate_at(document, note.question, place, answered.corner);
    return answered;
}

/// What is assumed stands in the program, under the question.
std::string as_note(std::string text) {
    std::erase_if(text, [](char c) { return c == '(' || c == ')'; });
    if (text.ends_with('.')) text.pop_back();
    return '(' + in_capitals(std::move(text)) + ')';
}

std::string why_not_here(const Typing& typing, const Question& question) {
    if (typing.block.before.is(Meaning::incremental))
        return said("Positions are distances here ({}): the blocks would be written with places.",
                    codes::written_as(typing.settings().system, Meaning::incremental));
    if (question.answered) return said("It is answered already.");
    return {};
}

} // namespace

std::optional<QuestionNote> question_at(const Document& document, std::uint32_t line) {
    if (line >= document.buffer().line_count()) return std::nullopt;
    const BlockPlace place = document.place_of_line(line);
    if (!document.block(place).has_note) return std::nullopt;
    const std::optional<Typing> typing = typing_at(document, {line, 0});
    if (!typing) return std::nullopt;
    const double unit = writes_inch(*typing) ? motion::mm_per_inch : 1;
    for (const syntax::Item& item : document.items(place)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const std::string_view text = syntax::note_text(document.run(place.run).text_of(item));
        calculate::Read read = calculate::read_question(text, unit);
        if (read.question && !read.question->answered)
            return QuestionNote{line, document.range_of(place, item), std::move(*read.question)};
    }
    return std::nullopt;
}

Calculation calculate_at(const Document& document, const Question& question, BlockPlace place,
                         std::optional<BlockPlace> corner) {
    const Typing typing = typing_behind(document, place);
    Calculation made;
    made.inch = writes_inch(typing);
    std::string why_not = why_not_here(typing, question);
    if (!why_not.empty()) {
        made.answer = calculate::refuse(std::move(why_not));
        return made;
    }
    made.answer = question.calculator->answer(question, here_at(typing, corner));
    const BlockWriter writer(typing);
    Numbers numbers(document, place, made.answer.blocks.size());
    bool leaves_feed_out = false;
    for (calculate::Block& block : made.answer.blocks) {
        if (const int number = numbers.next(); block.number == 0) block.number = number;
        for (const calculate::Word& word : block.words)
            leaves_feed_out |= word.as == calculate::Written::feed && !writer.knows_feed();
        made.blocks.push_back(without_fields(writer.text(block)));
    }
    // What is assumed is said.
    const machine::State state = document.analysis().after(place, machine::Assumed::left_out);
    if (length_unit(state).empty())
        made.answer.remarks.push_back(
            said("Nothing states the unit here: {} is assumed.", made.inch ? said("inch") : "mm"));
    if (typing.settings().system != codes::System::A && !made.blocks.empty() && !state.is(Meaning::absolute))
        made.answer.remarks.push_back(
            said("Nothing states it here: X and Z are taken to be places, not distances."));
    if (leaves_feed_out)
        made.answer.remarks.push_back(
            said("No F is written: whether feeds are a turn or a minute, or the rpm, is not "
                 "known here."));
    return made;
}

namespace {

std::string below(const Calculation& made) {
    std::string blocks;
    for (const std::string& remark : made.answer.remarks) blocks += '\n' + as_note(remark);
    for (const std::string& block : made.blocks) blocks += '\n' + block;
    return blocks;
}

/// What stands around the new blocks: the moves of a corner, and the motion that holds behind them. In order
/// of their places.
Rewrite finished(const Document& document, std::uint32_t line, BlockPlace place, const Calculation& made,
                 const BlockPlace* corner, std::vector<TextEdit> edits) {
    const Typing typing = typing_behind(document, place);
    const BlockWriter writer(typing);
    if (corner) {
        const Here here = here_at(typing, *corner);
        CornerEdits changed(document, here, made.answer);
        changed.shorten_first(*block_at(document, *corner));
        changed.shorten_second(*block_behind(document, *corner, true));
        if (!changed.why_not.empty()) return {{}, changed.why_not};
        edits.insert(edits.end(), changed.edits.begin(), changed.edits.end());
    }
    const std::optional<BlockAt> next = block_behind(document, corner ? *corner : place, true);
    if (next)
        if (auto edit = keep_motion(document, writer, made.answer.blocks, *next)) edits.push_back(*edit);
    for (TextEdit& edit : edits) edit.text = with_line_ends_of(document, line, edit.text);
    std::sort(edits.begin(), edits.end(),
              [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    return {{{{}, std::move(edits)}}, {}};
}

} // namespace

Rewrite write_blocks(const Document& document, std::uint32_t line) {
    const std::optional<QuestionNote> note = question_at(document, line);
    if (!note) return {{}, said("There is no question for a calculator in this line.")};
    const BlockPlace place = document.place_of_line(line);
    const auto [corner, made] = answer_of(document, *note);
    if (!made.answer.refused.empty()) return {{}, made.answer.refused};
    std::vector<TextEdit> edits;
    const std::string blocks = below(made);
    const std::string_view whole = document.buffer().line(line);
    const Position line_end{line, static_cast<std::uint32_t>(whole.size())};
    const bool alone = block_at(document, place)->reading.words.empty();
    if (corner) {
        Range gone = note->note;
        if (alone) gone.begin.column = 0;
        while (gone.begin.column > 0 && text::is_blank(whole[gone.begin.column - 1])) --gone.begin.column;
        edits.push_back({gone, alone ? blocks.substr(1) : std::string{}});
        if (!alone) edits.push_back({{line_end, line_end}, blocks});
    } else {
        const Position inside{line, note->note.end.column - 1};
        edits.push_back({{inside, inside}, results_for_note(made.answer, made.inch)});
        if (!blocks.empty()) edits.push_back({{line_end, line_end}, blocks});
    }
    return finished(document, line, place, made, corner ? &*corner : nullptr, std::move(edits));
}

std::vector<CornerOffer> corner_offers(const Document& document, std::uint32_t line) {
    std::vector<CornerOffer> offers;
    if (line >= document.buffer().line_count()) return offers;
    const BlockPlace place = document.place_of_line(line);
    const std::optional<BlockAt> block = block_at(document, place);
    // Cheap first: an editor asks at every step of the cursor.
    const bool cuts = block && (block->reading.motion == machine::MotionKind::feed ||
                                block->reading.motion == machine::MotionKind::arc);
    if (!cuts || block->after.is(Meaning::incremental)) return offers;
    Here here;
    add_corner(document, place, here);
    if (!here.move_before || !here.move_behind) return offers;
    const Typing typing = typing_behind(document, place);
    here.inch = writes_inch(typing);
    constexpr double usual_mm[] = {0.5, 1}, usual_in[] = {0.02, 0.04};
    for (const std::string_view name : {"CHAMFER", "ROUND"})
        for (const double size : here.inch ? usual_in : usual_mm) {
            const calculate::Calculator* const calculator = calculate::find(name);
            const double mm = size * (here.inch ? motion::mm_per_inch : 1);
            const Question question{calculator, {{&calculator->places.front(), mm, {}}}, false};
            if (!calculator->answer(question, here).refused.empty()) continue;
            offers.push_back({calculator, size,
                              said("{} the corner after this block, {}",
                                   name == "CHAMFER" ? said("Chamfer") : said("Round"), here.spoken(mm))});
        }
    return offers;
}

Rewrite break_corner(const Document& document, std::uint32_t line, std::string_view name, double size) {
    const calculate::Calculator* const calculator = calculate::find(name);
    if (!calculator || !calculator->at_corner) return {{}, said("A corner takes CHAMFER or ROUND.")};
    if (!(size > 0)) return {{}, said("The size of a corner is above 0.")};
    if (line >= document.buffer().line_count()) return {{}, said("There is no such line.")};
    const BlockPlace place = document.place_of_line(line);
    const std::optional<Typing> typing = typing_at(document, {line, 0});
    if (!typing) return {{}, said("There is no block in this line.")};
    const double mm = size * (writes_inch(typing_behind(document, place)) ? motion::mm_per_inch : 1);
    const Question question{calculator, {{&calculator->places.front(), mm, {}}}, false};
    const Calculation made = calculate_at(document, question, place, place);
    if (!made.answer.refused.empty()) return {{}, made.answer.refused};
    const Position line_end{line, static_cast<std::uint32_t>(document.buffer().line(line).size())};
    return finished(document, line, place, made, &place, {{{line_end, line_end}, below(made)}});
}

std::string question_hover(const Document& document, const QuestionNote& note) {
    const calculate::Calculator& calculator = *note.question.calculator;
    std::string text = fmt::format("**{}**\n\n", calculator.title);
    const Calculation made = answer_of(document, note).made;
    if (!made.answer.refused.empty()) return text + in_markdown(made.answer.refused) + "\n\n";
    constexpr std::size_t most_lines = 12;
    text += fenced(results_table(made.answer, made.inch)) + "\n\n";
    for (const std::string& remark : made.answer.remarks) text += in_markdown(remark) + "\n\n";
    std::string lines;
    std::size_t count = 0;
    for (const std::string& block : made.blocks)
        if (++count <= most_lines) lines += block + '\n';
    if (count > most_lines) lines += said("... {} blocks in all\n", count);
    if (!lines.empty()) text += said("The action *Write the blocks* writes:\n\n") + fenced(lines) + "\n\n";
    return text + std::string(calculator.formula) + "\n\n";
}

std::string calculation_text(const Question& question, const Calculation& calculation) {
    const Answer& answer = calculation.answer;
    if (!answer.refused.empty()) return answer.refused + '\n';
    std::string text = results_table(answer, calculation.inch);
    for (const std::string& remark : answer.remarks) text += remark + '\n';
    if (!calculation.blocks.empty()) text += '\n';
    for (const std::string& block : calculation.blocks) text += block + '\n';
    return text + '\n' + std::string(question.calculator->formula) + '\n';
}

} // namespace turnwright::features
