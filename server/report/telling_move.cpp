#include "report/telling_move.h"
#include "language/said.h"

#include "checks/checks.h"
#include "features/hints.h"
#include "features/hover_parts.h"
#include "features/speech.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Meaning;
using features::plain;
using machine::MotionKind;
using motion::Segment;
using motion::SegmentKind;

namespace {

constexpr double nothing_mm = 1e-6;

/// In a sentence "in" would be another word.
std::string_view unit_word(const machine::State& state) {
    return features::length_unit(state) == "in" ? said("inch") : features::length_unit(state);
}

class MoveTeller {
public:
    MoveTeller(const features::Document& document, const WalkedBlock& block)
        : document_(document), block_(block), view_(block.view), reading_(view_.reading),
          settings_(document.settings()), unit_(unit_word(view_.after)) {}

    std::string tell() const {
        switch (reading_.motion) {
        case MotionKind::none:
            return {};
        case MotionKind::unknown_motion:
            return said("How the tool moves is ") +
                   features::modal_text(view_.before.of(codes::Group::motion), codes::Group::motion,
                                        settings_) +
                   ".";
        case MotionKind::reference:
        case MotionKind::machine_rapid:
            return home();
        default:
            break;
        }
        if (reading_.sets_up_cycle) return setting_words();
        if (reading_.in_contour) return contour_line();
        if (machine::is_cycle(reading_.motion)) return cycle();
        if (reading_.moves_other) return with_others();
        if (block_.path.segments.empty()) return block_.path.complete ? std::string() : to_known_end();
        return one_move(block_.path.segments);
    }

private:
    // --- Other axes than X and Z --------------------------------------------------------------------------

    /// As written, "X-27. C7.794"; `own`: X and Z too.
    std::string axis_words(bool own) const {
        std::string text;
        for (const machine::Word& word : reading_.words) {
            const bool is_own = std::string_view("XZUW").find(word.letter) != std::string_view::npos;
            const bool is_other = std::string_view("ABCHVY").find(word.letter) != std::string_view::npos;
            if (!word.item || word.after_comma || !(is_other || (own && is_own))) continue;
            text += (text.empty() ? "" : " ") + features::compact(view_.run.text_of(*word.item));
        }
        return text;
    }

    /// Where a move goes that turns the part or goes across: as written.
    std::string with_others() const {
        const bool feeds = reading_.motion != MotionKind::rapid;
        const std::string end = feeds ? ", " + feed_here() + pace() + "." : pace() + ".";
        if (view_.after.is_laid_out())
            return (view_.after.is(Meaning::polar_on)
                        ? said("{} in the plane that X and C make, to {}", doing(), axis_words(true))
                        : said("{} on the cylinder, to {}", doing(), axis_words(true))) +
                   end;
        if (!reading_.moves_x && !reading_.moves_z)
            return (feeds ? said("At feed to {}: X and Z stay where they are", axis_words(false))
                          : said("At rapid to {}: X and Z stay where they are", axis_words(false))) +
                   end;
        const std::vector<Segment>& moves = block_.path.segments;
        std::string way_words;
        if (moves.empty()) {
            way_words = said("to {}", axis_words(true));
        } else {
            way_words = said("{}, and with it {}", way(moves.front(), moves.back()), axis_words(false));
        }
        return fmt::format("{} {}{}", doing(), way_words, end);
    }

    std::string length(double mm) const {
        const std::string number =
            plain(features::from_mm(std::abs(mm), view_.after), unit_ == translated("inch") ? 4 : 3);
        return unit_.empty() ? number : fmt::format("{} {}", number, unit_);
    }
    std::string_view x_word() const {
        return settings_.machine.x == shop::XReading::diameter ? said("diameter") : said("radius");
    }
    std::string x_place(double x_radius) const {
        return fmt::format("{} {}", x_word(), plain(checks::x_as_written(x_radius, settings_)));
    }
    std::string x_at(double x_radius_mm) const {
        return x_place(features::from_mm(x_radius_mm, view_.after));
    }
    std::string z_at(double z_mm) const { return "Z" + plain(features::from_mm(z_mm, view_.after)); }

    std::string_view doing() const {
        switch (reading_.motion) {
        case MotionKind::rapid:
            return said("The tool goes at rapid");
        case MotionKind::thread:
            return said("The tool cuts a thread");
        case MotionKind::skip:
            return said("The tool feeds until it is stopped by a signal");
        default:
            return said("The tool feeds");
        }
    }

    /// From place to place: which way, how far.
    std::string way(const Segment& from, const Segment& to) const {
        const double dx = to.to.x_radius_mm - from.from.x_radius_mm, dz = to.to.z_mm - from.from.z_mm;
        const bool along_x = std::abs(dx) > nothing_mm, along_z = std::abs(dz) > nothing_mm;
        const double x0 = from.from.x_radius_mm, x1 = to.to.x_radius_mm;
        const std::string_view z_way = dz < 0 ? said("towards the chuck") : said("away from the chuck");
        const std::string_view x_way =
            std::abs(x1) < std::abs(x0) ? said("in towards the centre") : said("out from the centre");
        if (!along_x && !along_z) return said("nowhere: it stands there already");
        if (!along_x) return said("{} {} to {}, at {}", length(dz), z_way, z_at(to.to.z_mm), x_at(x1));
        if (!along_z) return said("{} from {} to {}, at {}", x_way, x_at(x0), x_at(x1), z_at(to.to.z_mm));
        return said("{} and {}, from {} {} to {} {}", x_way, z_way, x_at(x0), z_at(from.from.z_mm), x_at(x1),
                    z_at(to.to.z_mm));
    }

    /// " in an arc of radius 2, clockwise as the drawing shows it"
    std::string shape(const Segment& segment) const {
        if (!segment.is_arc) return {};
        const double radius = std::hypot(segment.from.x_radius_mm - segment.centre.x_radius_mm,
                                         segment.from.z_mm - segment.centre.z_mm);
        return said(" in an arc of radius {} (G0{}),", length(radius),
                    reading_.motion_meaning == Meaning::arc_clockwise ? 2 : 3);
    }

    std::string one_move(const std::vector<Segment>& moves) const {
        // A corner written with ,C or ,R: the line, then the chamfer or the arc.
        const Segment& first = moves.front();
        std::string text = fmt::format("{}{} {}", doing(), moves.size() == 1 ? shape(first) : "",
                                       way(first, moves.size() == 1 ? first : moves.back()));
        if (moves.size() > 1) text += said(" in {} moves, the corner with them", moves.size());
        if (first.kind == SegmentKind::thread)
            text += said(", {} in each turn", length(first.lead_mm));
        else if (first.kind == SegmentKind::feed)
            text += ", " + feed_here();
        return text + pace() + open_end() + ".";
    }

    /// Of the moves themselves: a finishing cycle takes the feeds that stand in its contour.
    std::string feed_here() const {
        using Mode = motion::Feed::Mode;
        std::optional<double> low, high;
        Mode mode = Mode::unknown;
        for (const Segment& segment : block_.path.segments) {
            if (segment.kind != SegmentKind::feed) continue;
            const motion::Feed& feed = segment.feed;
            const bool told = feed.mode == Mode::per_rev || feed.mode == Mode::per_minute;
            if (!told || !feed.mm || unit_.empty() || (low && feed.mode != mode))
                return feed_words(view_.after);
            mode = feed.mode;
            low = std::min(low.value_or(*feed.mm), *feed.mm);
            high = std::max(high.value_or(*feed.mm), *feed.mm);
        }
        if (!low) return feed_words(view_.after);
        const auto number = [&](double mm) { return plain(features::from_mm(mm, view_.after), 5); };
        const bool assumed = view_.after.of(codes::Group::units).is_assumed() ||
                             view_.after.of(codes::Group::feed_mode).is_assumed();
        return fmt::format("{}{} {} {}{}", *high - *low < nothing_mm ? "" : number(*low) + said(" to "),
                           number(*high), unit_, mode == Mode::per_rev ? said("a turn") : said("a minute"),
                           assumed ? said(" (assumed)") : "");
    }

    std::string pace() const {
        std::string text;
        if (reading_.motion != MotionKind::rapid) text += features::rpm_span(view_, block_.path.segments);
        const motion::Totals& totals = block_.totals;
        const bool is_open = totals.blocks_without_time || totals.blocks_waiting;
        if (!is_open && totals.seconds() >= 1) text += ", " + features::time_text(totals);
        if (is_open) text += ", " + features::why_no_time(view_, block_.path);
        return text;
    }

    std::string open_end() const {
        return block_.path.complete ? std::string()
                                    : said("; part of the way is ") + features::unknown_text(block_.path.why);
    }

    /// Where it comes from is not told, as behind a tool change: where it goes to may be.
    std::string to_known_end() const {
        std::string text(doing());
        std::string end;
        if (reading_.moves_x) end += " " + x_end(reading_.target_x_radius);
        if (reading_.moves_z) end += std::string(end.empty() ? " " : ", ") + z_end(reading_.target_z);
        if (end.empty()) return text + said(": the way is ") + features::unknown_text(block_.path.why) + ".";
        text += said(" to") + end;
        if (block_.path.is_way_home) return text + said(", from where it stood at the tool change.");
        if (reading_.motion == MotionKind::feed) text += ", " + feed_words(view_.after);
        if (block_.path.why == machine::Why::no_point) return text + ".";
        return text + said("; the way there is ") + features::unknown_text(block_.path.why) + ".";
    }
    std::string x_end(const machine::Value& x_radius) const {
        if (x_radius.known()) return x_place(x_radius.number);
        return x_radius.why == machine::Why::no_point
                   ? written_end('X', 'U')
                   : said("an X that is ") + features::unknown_text(x_radius.why);
    }
    std::string z_end(const machine::Value& z) const {
        if (z.known()) return "Z" + plain(z.number);
        return z.why == machine::Why::no_point ? written_end('Z', 'W')
                                               : said("a Z that is ") + features::unknown_text(z.why);
    }
    /// "X50 (with no point 50 mm or 0.05 mm, as the control is set)"
    std::string written_end(char place, char distance) const {
        const machine::Word* word = reading_.word(place) ? reading_.word(place) : reading_.word(distance);
        if (!word || !word->item) return said("the {} above", place);
        std::string text = features::compact(view_.run.text_of(*word->item));
        if (word->item->kind != syntax::ItemKind::word || word->item->has_point) return text;
        const shop::Machine& machine = settings_.machine;
        const double least =
            unit_ == translated("inch") ? machine.least_increment_inch : machine.least_increment_mm;
        return text + said("{}{} {} or {} {}{}", no_point_begin, plain(word->item->value), unit_,
                           plain(word->item->value * least, 5), unit_, no_point_end);
    }

    std::string home() const {
        std::string axes = reading_.moves_x && reading_.moves_z ? said("X and Z")
                           : reading_.moves_x                   ? "X"
                                                                : "Z";
        if (!reading_.moves_x && !reading_.moves_z) {
            const std::string others = axis_words(false);
            if (reading_.motion == MotionKind::reference && !others.empty())
                return said("{} goes home at rapid; X and Z stay where they are.", others.substr(0, 1));
            axes = said("no axis of the turning plane");
        }
        if (reading_.motion == MotionKind::machine_rapid)
            return said("The tool goes at rapid, in {}, to a place counted from the machine's own zero, "
                        "not the part's.",
                        axes);
        return said("The tool goes home at rapid, in {}, {}.", axes, way_by());
    }

    /// By which point a return goes: the written one, or none where only noughts of U and W stand.
    std::string way_by() const {
        std::string places, distances;
        bool nought = true;
        for (const machine::Word& word : reading_.words) {
            if (!word.item || std::string_view("XZUW").find(word.letter) == std::string_view::npos) continue;
            const bool by = word.letter == 'U' || word.letter == 'W' || view_.after.is(Meaning::incremental);
            nought = nought && by && word.value.is(0);
            std::string& list = by ? distances : places;
            list += (list.empty() ? "" : " ") + features::compact(view_.run.text_of(*word.item));
        }
        if (nought) return said("straight from where it stands");
        std::string out = places.empty() ? std::string() : said("by way of ") + places;
        if (!distances.empty())
            out += said("{}first by {} from where it stands", out.empty() ? "" : ", ", distances);
        return out;
    }

    std::string contour_line() const {
        machine::Reading own = reading_;
        own.in_contour = false;
        const machine::BlockView alone{view_.run,    view_.run_index, view_.block, view_.text,
                                       view_.before, view_.after,     own,         view_.settings};
        const motion::BlockPath path = motion::path_of(alone, block_.analysis);
        if (path.segments.empty())
            return path.complete ? std::string()
                                 : said("its way is ") + features::unknown_text(path.why) + ".";
        return (path.segments.size() == 1
                    ? shape(path.segments.front()).substr(path.segments.front().is_arc ? 1 : 0)
                    : std::string(said("with its corner"))) +
               (path.segments.front().is_arc || path.segments.size() > 1 ? " " : "") +
               way(path.segments.front(), path.segments.back()) + ".";
    }

    std::string cycle() const {
        const codes::Code* code = nullptr;
        for (const machine::Word& word : reading_.words)
            if (word.code && word.code->meaning == reading_.motion_meaning) code = word.code;
        const bool again = !code;
        if (!code) code = codes::code_for(settings_.system, reading_.motion_meaning);
        std::string text(code ? std::string_view(code->title) : codes::title(reading_.motion_meaning));
        if (code) text += fmt::format(" ({}{})", code->written(), again ? said(", still on") : "");
        const motion::BlockPath& path = block_.path;
        if (path.passes > 0)
            text += fmt::format(": {} {}", path.passes, path.passes == 1 ? said("pass") : said("passes"));
        // Where C or Y stands for a hole is told with its words.
        const bool told =
            path.passes > 0 && reading_.moves_other && path.why == machine::Why::machine_specific;
        if (!path.complete && !told)
            text += (path.passes > 0 ? said("; the rest is ") : said(": its moves are ")) +
                    features::unknown_text(path.why);
        for (const Segment& segment : path.segments)
            if (segment.kind == SegmentKind::thread) {
                text += said(", {} in each turn", length(segment.lead_mm));
                break;
            } else if (segment.kind == SegmentKind::feed) {
                text += ", " + feed_here();
                break;
            }
        text += pace() + "." + shape_words() + words(code);
        if (!path.segments.empty() && path.complete) {
            const motion::Point& begin = path.segments.front().from;
            const motion::Point& end = path.segments.back().to;
            const bool back = std::hypot(begin.x_radius_mm - end.x_radius_mm, begin.z_mm - end.z_mm) < 1e-4;
            text +=
                back ? said(" At the end the tool stands where it began.")
                     : said(" At the end the tool stands at {} {}.", x_at(end.x_radius_mm), z_at(end.z_mm));
        }
        return text;
    }

    /// The first line of a cycle in two.
    std::string setting_words() const {
        for (const machine::Word& word : reading_.words)
            if (word.code && word.code->meaning == reading_.motion_meaning) {
                std::string text = depth_words() + words(word.code);
                return text.empty() ? text : text.substr(1);
            }
        return {};
    }

    /// Its value as a length, without its sign; empty where it is not there or not known.
    std::string size(char letter) const {
        const machine::Word* word = reading_.word(letter);
        if (!word || !word->value.known()) return {};
        const std::string number = plain(std::abs(word->value.number), unit_ == translated("inch") ? 4 : 3);
        return unit_.empty() ? number : fmt::format("{} {}", number, unit_);
    }
    bool is_negative(char letter) const {
        const machine::Word* word = reading_.word(letter);
        return word && word->value.known() && word->value.number < 0;
    }
    bool is_nought(char letter) const {
        const machine::Word* word = reading_.word(letter);
        return word && word->value.is(0);
    }

    /// Words that `shape_words` and `depth_words` tell in a sentence.
    bool tells_in_sentence(char letter) const {
        const bool rough = reading_.motion_meaning == Meaning::rough_turning ||
                           reading_.motion_meaning == Meaning::rough_facing;
        if (reading_.sets_up_cycle)
            return rough &&
                   (letter == 'R' ||
                    letter == (reading_.motion_meaning == Meaning::rough_turning ? 'U' : 'W')) &&
                   !size(letter).empty();
        if (!names_contour()) return false;
        if (letter == 'P' || letter == 'Q') return true;
        return (letter == 'U' || letter == 'W') && !size(letter).empty();
    }
    bool names_contour() const {
        return reading_.motion == MotionKind::contour_cycle && !reading_.sets_up_cycle &&
               reading_.value('P').known() && reading_.value('Q').known();
    }

    /// " It goes down to the shape in N80 to N130 and leaves 0.5 mm on the diameter and 0.1 mm on the faces."
    std::string shape_words() const {
        if (!names_contour()) return {};
        const std::string blocks =
            said("N{} to N{}", plain(reading_.value('P').number), plain(reading_.value('Q').number));
        if (reading_.motion_meaning == Meaning::finish_cycle)
            return said(" It follows the shape in {} once.", blocks);
        std::string left;
        if (const std::string x = size('U'); !x.empty() && !is_nought('U'))
            left = said("{} on the {}{}", x, x_word(), is_negative('U') ? said(", as in a bore,") : "");
        if (const std::string z = size('W'); !z.empty() && !is_nought('W'))
            left += said("{}{} on the faces{}", left.empty() ? "" : said(" and "), z,
                         is_negative('W') ? said(" towards the chuck") : "");
        return said(" It goes down to the shape in {}{}.", blocks,
                    left.empty() ? std::string(said(" and leaves nothing for finishing"))
                                 : said(" and leaves ") + left + said(" for finishing"));
    }

    /// " Each cut is 2 mm deep on radius, and the tool lifts 1 mm behind it."
    std::string depth_words() const {
        const bool turning = reading_.motion_meaning == Meaning::rough_turning;
        const std::string depth = tells_in_sentence(turning ? 'U' : 'W') ? size(turning ? 'U' : 'W') : "";
        const std::string lift = tells_in_sentence('R') ? size('R') : "";
        if (depth.empty() && lift.empty()) return {};
        if (depth.empty()) return said(" Behind each cut the tool lifts {}.", lift);
        std::string text = said(" Each cut is {} deep {}", depth, turning ? said("on radius") : "in Z");
        return text + (lift.empty() ? "." : said(", and the tool lifts {} behind it.", lift));
    }

    /// What each other word of the cycle is, as the table says.
    std::string words(const codes::Code* code) const {
        std::string text;
        for (const machine::Word& word : reading_.words) {
            const codes::WordUse* use =
                word.after_comma || !word.item ? nullptr : codes::word_use(code, word.letter);
            if (!use || word.letter == 'F' || tells_in_sentence(word.letter)) continue;
            // The sign stands there.
            std::string meaning(use->meaning);
            const std::string_view with_sign = translated(", with sign");
            if (const std::size_t sign = meaning.find(with_sign); sign != meaning.npos)
                meaning.erase(sign, with_sign.size());
            text += fmt::format("{} {}: {}", text.empty() ? "" : ";",
                                features::compact(view_.run.text_of(*word.item)), meaning);
        }
        return text.empty() ? text : text + ".";
    }

    const features::Document& document_;
    const WalkedBlock& block_;
    const machine::BlockView& view_;
    const machine::Reading& reading_;
    const machine::Settings& settings_;
    std::string_view unit_;
};

} // namespace

std::string move_sentence(const features::Document& document, const WalkedBlock& block) {
    return MoveTeller(document, block).tell();
}

std::string dwell_sentence(const WalkedBlock& block) {
    double seconds = 0;
    for (const Segment& segment : block.path.segments) seconds += segment.dwell_seconds;
    if (seconds <= 0) return said("A wait whose time is not known here.");
    return said("The slides wait {} s.", plain(seconds));
}

std::string feed_words(const machine::State& state) {
    std::string text = feed_text(state);
    for (const auto& [sign, words] : {std::pair<std::string_view, std::string_view>{" in/", said(" inch/")},
                                      {said("/rev"), said(" a turn")},
                                      {"/min", said(" a minute")}})
        if (const std::size_t at = text.find(sign); at != text.npos) text.replace(at, sign.size(), words);
    if (!state.feed.known()) return said("the feed is ") + text;
    return text;
}

} // namespace turnwright::report
