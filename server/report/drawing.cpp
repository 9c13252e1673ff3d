// The picture as SVG. What a line is shows in its dashes and width as well as in its colour, so that it reads
// on a black and white printer.
#include "checks/second_sides.h"
#include "features/assumed.h"
#include "features/hints.h"
#include "features/noted.h"
#include "features/speech.h"
#include "language/said.h"
#include "motion/work.h"
#include "report/assumed_setup.h"
#include "report/drawing_parts.h"
#include "report/likeness.h"
#include "report/markup.h"
#include "report/picture.h"
#include "report/report.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace turnwright::report {

namespace {

constexpr double most_width = 1000, most_height = 560, least_height = 130, least_width = 420;
constexpr double margin_left = 64, margin_top = 60, margin_right = 28, margin_bottom = 46;
constexpr double legend_height = 64, width_of_letter = 6.8;

class Drawing {
public:
    Drawing(const features::Document& document, const Picture& picture, const PictureParts& parts,
            const Frame& frame)
        : document_(document), picture_(picture), parts_(parts), frame_(frame) {}

    std::string draw() {
        const double width = frame_.left + frame_.width + margin_right;
        // The legend first: how many rows it takes tells the height of the sheet.
        const double legend_top = frame_.top + frame_.height + margin_bottom;
        const double legend_bottom = add_legend(legend_top);
        const std::string legend = std::exchange(out_, {});
        const double height = std::max(legend_top + legend_height, legend_bottom + 14);
        out_ = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" "
                           "width=\"{0}\" height=\"{1}\" data-generator=\"Turnwright\" role=\"img\" "
                           "aria-labelledby=\"picture-title\">\n",
                           on_sheet(width), on_sheet(height));
        const std::string name = program_name(document_), note = program_note(document_);
        out_ += said("<title id=\"picture-title\">Tool path of {}</title>\n",
                     markup_escaped(note.empty() ? name : name + " " + note));
        out_ += fmt::format("<style>{}</style>\n", drawing_style);
        add_patterns();
        out_ += fmt::format("<rect class=\"sheet\" width=\"{}\" height=\"{}\"/>\n", on_sheet(width),
                            on_sheet(height));
        out_ += text_element("heading", 16, 26, note.empty() ? name : name + "  " + note);
        out_ += text_element("small", 16, 44, picture_remarks(document_, picture_, false));
        out_ += grid_of(frame_, picture_.unit, picture_.diameter);
        out_ += "<g clip-path=\"url(#frame)\">\n";
        add_shapes();
        out_ += axis_of(frame_);
        add_moves();
        out_ += "</g>\n";
        out_ += border_of(frame_);
        return out_ + legend + "</svg>\n";
    }

private:
    void add_patterns() {
        out_ += "<defs>\n"
                "<pattern id=\"stock-hatch\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" "
                "patternTransform=\"rotate(45)\"><path class=\"hatch\" d=\"M0 0V9\"/></pattern>\n"
                "<pattern id=\"part-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" "
                "patternTransform=\"rotate(45)\"><path class=\"hatch\" d=\"M0 0V6\"/></pattern>\n"
                "<pattern id=\"jaw-hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
                "patternTransform=\"rotate(45)\"><path class=\"hatch\" d=\"M0 0V7M0 0H7\"/></pattern>\n";
        out_ += clip_of(frame_) + "</defs>\n";
    }

    void add_outlines(std::string_view css, std::string_view title, const std::vector<Outline>& outlines) {
        std::string data;
        for (const Outline& outline : outlines) data += outline_data(outline, frame_);
        out_ += shape_element(css, title, data);
    }

    std::string left_words() const {
        const bool assumed = !parts_.assumed.empty();
        return std::string(assumed              ? said("what is left, as assumed")
                           : parts_.after_exact ? said("what is left")
                                                : said("what is surely left")) +
               (parts_.before_parting ? said(" before parting off") : "");
    }

    void add_shapes() {
        add_outlines("stock", said("stock before the first cut"), parts_.before);
        add_outlines("part", left_words(), parts_.after);
        const auto add = [&](Outline outline, std::string_view name) {
            for (motion::Point& point : outline) {
                point.z_mm = std::clamp(point.z_mm, frame_.shown.z_min - 10, frame_.shown.z_max + 10);
                point.x_radius_mm = std::max(point.x_radius_mm, frame_.shown.x_min - 10);
            }
            out_ += shape_element("jaw", name, outline_data(outline, frame_));
        };
        for (const stock::Zone& zone : parts_.zones)
            for (const Outline& outline : zone.area.outlines()) add(outline, title(zone.body));
        // Over a part of the first side they would stand in it.
        if (parts_.in_second)
            for (const Outline& outline : parts_.second_jaws) add(outline, second_jaws_name());
    }

    void add_moves() {
        if (picture_.segments.empty()) {
            out_ += text_element("empty", frame_.left + 20, frame_.top + 40, why_nothing(picture_));
            return;
        }
        std::size_t open = picture_.spans.size();
        for (std::size_t i = 0; i < picture_.steps.size(); ++i) {
            const PictureStep& step = picture_.steps[i];
            if (step.segment_count == 0) continue;
            if (step.span != open) {
                if (open != picture_.spans.size()) out_ += "</g>\n";
                open = step.span;
                out_ += fmt::format("<g class=\"sequence\" data-sequence=\"{}\" data-name=\"{}\">\n", open,
                                    markup_escaped(picture_.spans[open].name));
            }
            const std::string title = title_of(step);
            for (const auto& [stroke, data] : strokes_of(picture_, step, frame_))
                out_ += fmt::format("<path class=\"{}\" data-line=\"{}\" data-step=\"{}\" "
                                    "d=\"{}\"><title>{}</title></path>\n",
                                    stroke_class(stroke), step.line + 1, i, data, title);
            if (const auto nose = picture_.nose.find(i); nose != picture_.nose.end())
                out_ += said("<path class=\"nose\" data-line=\"{}\" data-step=\"{}\" "
                             "d=\"{}\"><title>centre of the nose, {}</title></path>\n",
                             step.line + 1, i, path_data(nose->second, frame_), title);
        }
        if (open != picture_.spans.size()) out_ += "</g>\n";
    }

    /// A block of another file is found by its call.
    std::string title_of(const PictureStep& step) const {
        const std::string& called = picture_.texts[step.called];
        if (called.find(": ") != std::string::npos)
            return said("line {}: calls {}", step.line + 1, markup_escaped(called));
        return said("line {}: {}", step.line + 1,
                    markup_escaped(document_.buffer().line(step.line).substr(0, 200)));
    }

    /// Returns where its last row stands.
    double add_legend(double top) {
        struct Sample {
            std::string_view css, text;
            bool shown;
        };
        bool seen[static_cast<std::size_t>(Stroke::count_)] = {};
        for (const PictureStep& step : picture_.steps)
            for (std::size_t i = 0; i < step.segment_count; ++i) {
                const motion::Segment& segment = picture_.segments[step.first_segment + i];
                if (segment.kind != motion::SegmentKind::dwell)
                    seen[static_cast<std::size_t>(stroke_of(segment, step.live))] = true;
            }
        const Sample samples[] = {
            {"rapid", said("rapid"), seen[0]},
            {"feed", said("feed"), seen[1]},
            {"pass", said("pass of a cycle"), seen[2]},
            {"link", said("rapid inside a cycle"), seen[3]},
            {"finish", said("finishing pass"), seen[4]},
            {"thread", said("thread"), seen[5]},
            {"live", said("live tool, no turned cut"), seen[6]},
            {"nose", said("centre of the compensated nose"), !picture_.nose.empty()},
        };
        double x = frame_.left, y = top + 8;
        const auto place = [&](double width) {
            if (x + width > frame_.left + frame_.width) {
                x = frame_.left;
                y += 22;
            }
        };
        for (const Sample& sample : samples) {
            if (!sample.shown) continue;
            place(52 + 7.0 * static_cast<double>(sample.text.size()));
            out_ += line_element(sample.css, x, y, x + 40, y);
            out_ += text_element("small", x + 46, y + 4, sample.text);
            x += 66 + width_of_letter * static_cast<double>(sample.text.size());
        }
        const auto add_box = [&](std::string_view css, std::string_view text) {
            place(52 + 7.0 * static_cast<double>(text.size()));
            out_ += fmt::format("<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"26\" height=\"13\"/>\n", css,
                                on_sheet(x), on_sheet(y - 7));
            out_ += text_element("small", x + 32, y + 4, text);
            x += 52 + width_of_letter * static_cast<double>(text.size());
        };
        if (!parts_.before.empty()) add_box("stock", said("stock before"));
        if (!parts_.after.empty()) add_box("part", left_words());
        std::string beside;
        for (const stock::Zone& zone : parts_.zones)
            beside += (beside.empty() ? "" : ", ") + std::string(title(zone.body));
        if (parts_.in_second && !parts_.second_jaws.empty())
            beside += (beside.empty() ? "" : ", ") + second_jaws_name();
        if (!beside.empty()) add_box("jaw", beside);
        if (!parts_.why_not.empty()) {
            place(7.0 * static_cast<double>(parts_.why_not.size()));
            out_ += text_element("small", x, y + 4, parts_.why_not);
        }
        std::vector<std::string> assumed = parts_.assumed;
        if (std::string all = features::assumed_in_short(document_); !all.empty())
            assumed.push_back(std::move(all)); // Behind what is drawn
        if (assumed.empty()) return y;
        const std::string all = said("assumed: {}", fmt::join(assumed, "; "));
        for (std::string_view rest = all; !rest.empty();) {
            const std::size_t room =
                std::max<std::size_t>(20, static_cast<std::size_t>(frame_.width / width_of_letter));
            std::size_t end = rest.size() <= room ? rest.size() : rest.rfind(' ', room);
            if (end == std::string_view::npos || end == 0) end = rest.size();
            y += 18;
            out_ += text_element("small", frame_.left, y + 4, rest.substr(0, end));
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
        return y;
    }

    const features::Document& document_;
    const Picture& picture_;
    const PictureParts& parts_;
    const Frame& frame_;
    std::string out_;
};

const stock::ProgramCourse* course_of_main(const features::Document& document,
                                           const stock::Course& followed) {
    const machine::ProgramPart* program = main_program(document);
    const auto& programs = followed.programs();
    const auto course = std::find_if(programs.begin(), programs.end(), [&](const auto& held) {
        return program && held.program && held.program->first == program->first;
    });
    return course == programs.end() ? nullptr : &*course;
}

} // namespace

LeftStock left_of(const DrawnStock& drawn) {
    if (!drawn.course || !drawn.course->setup || drawn.course->sequences.empty()) return {};
    // Parted off, the part is no longer what is held: the bar alone would be left to see. Behind it may come
    // what cuts nothing: a stop for the bar, a tool that is only called.
    const auto& course = *drawn.course;
    // What the second spindle works on is the part, and not what it leaves of the bar or begins of the next.
    std::size_t end = course.sequences.size();
    for (const stock::Setup::TurnedRound& row : course.setup->turned_round)
        if (row.how == stock::Setup::TurnedRound::How::next_part)
            for (std::size_t i = 0; i < course.sequences.size(); ++i)
                if (course.sequences[i].first == row.at && i > 0 && course.sequences[i - 1].out) end = i;
    const std::span sequences(course.sequences.data(), end);
    // Called or run in a loop as one: the part has fallen in it, and what came behind is its puller or stop.
    const auto has_parted = [&](const stock::SequenceCourse& sequence) {
        constexpr double shortest_part_mm = 2;
        return sequence.before_parting && sequence.out && !sequence.out->loops.empty() &&
               sequence.out->box().z_max <= course.setup->front_z_mm - shortest_part_mm;
    };
    const auto cuts_or_parts = [&](const stock::SequenceCourse& sequence) {
        const shop::Tool* tool = drawn.shop->tool(sequence.station);
        // It is fed, and cuts nothing.
        if (tool && tool->kind == shop::ToolKind::bar_puller && sequence.stop == stock::Stop::none)
            return has_parted(sequence);
        return sequence.stop != stock::Stop::none || sequence.cutting_blocks > 0 ||
               (tool && tool->kind == shop::ToolKind::parting);
    };
    auto cut = std::find_if(sequences.rbegin(), sequences.rend(), cuts_or_parts);
    // What is not followed behind the part-off, as a second side in another datum, leaves the first as it is.
    if (cut != sequences.rend() && cut->stop != stock::Stop::none) {
        const auto parts = std::find_if(cut, sequences.rend(), [&](const stock::SequenceCourse& sequence) {
            const shop::Tool* tool = drawn.shop->tool(sequence.station);
            return tool && tool->kind == shop::ToolKind::parting && sequence.in &&
                   sequence.stop == stock::Stop::none && sequence.cutting_blocks > 0;
        });
        if (parts != sequences.rend()) cut = parts;
    }
    const shop::Tool* tool = cut == sequences.rend() ? nullptr : drawn.shop->tool(cut->station);
    const bool parts = (tool && tool->kind == shop::ToolKind::parting) ||
                       (cut != sequences.rend() && cut->stop == stock::Stop::none && has_parted(*cut));
    if (!parts || !cut->in) return {sequences.back().out, false};
    return {cut->before_parting ? cut->before_parting : cut->in, true};
}

namespace {

/// A second spindle goes on with what the program has made: followed for a picture alone.
bool goes_over(const features::Document& document) {
    const machine::ProgramPart* main = main_program(document);
    const checks::SecondSpindle second =
        checks::second_spindle_of(document.results().spans(), document.shop(), document.settings().machine);
    return main && std::any_of(second.sides.begin(), second.sides.end(), [&](const auto& side) {
               return side.is_made_above && main->first <= side.first && side.first <= main->last;
           });
}

} // namespace

const stock::Setup::TurnedRound* lies_last(const DrawnStock& drawn) {
    using How = stock::Setup::TurnedRound::How;
    const stock::Setup::TurnedRound* last = nullptr;
    if (!drawn.course || !drawn.course->setup) return last;
    for (const stock::Setup::TurnedRound& row : drawn.course->setup->turned_round) {
        if (row.how == How::next_part && last && last->how == How::taken_over) break;
        if (row.turns() && row.is_known) last = &row;
    }
    return last;
}

std::string picture_remarks(const features::Document& document, const Picture& picture, bool on_page) {
    std::string text = file_name(document);
    const auto add = [&](std::string_view part) {
        if (!text.empty()) text += " \xC2\xB7 ";
        text += part;
    };
    const auto add_blocks = [&](std::string_view what, std::size_t count) {
        if (count > 0) add(fmt::format("{}: {}", what, plural(count, "block")));
    };
    add(said("system {}", codes::system_letter(document.settings().system)));
    add(picture.unit == LengthUnit::inch ? said("inch")
        : picture.unit == LengthUnit::mm ? "mm"
                                         : said("unit of length not stated"));
    if (!on_page) add(said("path of the programmed tool point, upper half"));
    add_blocks(said("not drawn in full"), picture.open_blocks);
    add_blocks(on_page && !picture.round.empty() ? said("work round the axis in views of its own")
                                                 : said("work round the axis is not drawn"),
               picture.round_axis);
    if (picture.last_line)
        add(said("cut short at line {}{}", *picture.last_line + 1,
                 on_page ? "" : said(": the program is too long for one picture")));
    if (!on_page) add(said("fingerprint ") + picture.fingerprint);
    if (picture.has_deleted) add(said("blocks with a block delete are drawn as read"));
    if (!picture.jumps.empty()) add(said("drawn ") + picked_words(picture.jumps));
    add_blocks(said("timed as if the stopped spindle turned"), picture.waiting);
    for (const std::string& program : picture.aside)
        add(program + said(" is not at hand; called where no tool works, it is assumed to cut nothing"));
    if (picture.ways_home > 0) add(said("without the ways from and to the tool change"));
    // A drawing alone has it in its legend, where lines are broken.
    if (const std::string assumed = features::assumed_in_short(document); on_page && !assumed.empty())
        add(said("assumed: ") + assumed);
    return text;
}

std::string why_nothing(const Picture& picture) {
    if (!picture.segments.empty()) return {};
    return picture.why_open.empty() ? said("No block of this program moves the tool.")
                                    : said("No move can be drawn. ") + picture.why_open;
}

std::string why_no_stock(const stock::ProgramCourse* course) {
    if (course && course->stop == stock::Stop::bad_note) return said("Stock not drawn: ") + course->wrong;
    if (!course || course->missing.empty())
        return said(
            "Stock not drawn: its diameter and length are neither in the shop file nor in a stock note.");
    std::string why = said("Stock not drawn: the shop file lacks");
    for (const std::string_view key : course->missing)
        why += fmt::format("{} {}", key.data() == course->missing.front().data() ? "" : ",", key);
    return why;
}

DrawnStock followed_with(const features::Document& document, shop::Shop shop, bool is_drawn_only,
                         std::vector<stock::Setup::TurnedRound> turned_round, std::size_t most_moves) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    // Of several programs in the file each has stock of its own: this is that of the one drawn.
    const auto drawn = std::make_shared<machine::Outline>(document.outline());
    const machine::ProgramPart* main = main_program(document);
    std::erase_if(drawn->programs, [&](const machine::ProgramPart& program) {
        return !program.is_subprogram && (!main || program.first != main->first);
    });
    DrawnStock stock;
    stock.assumed_outline = drawn;
    stock.assumed_shop = std::make_shared<const shop::Shop>(std::move(shop));
    stock.shop = stock.assumed_shop.get();
    const auto followed = std::make_shared<stock::Course>();
    followed->turn_round(turned_round);
    if (is_drawn_only) followed->pick_way(document.picked_way());
    stock.turned_round = std::move(turned_round);
    followed->follow(document.analysis(), *stock.shop, *drawn, most_moves, is_drawn_only,
                     document.results().joint_stock());
    stock.assumed_course = followed;
    stock.course = course_of_main(document, *followed);
    return stock;
}

namespace {

/// "diameter 58 mm (52 mm at least ...), STEEL (note STEEL)", where the notes do not tell its size, or one
/// that is too small for what is turned.
features::AssumedHere stock_by_moves(const features::Document& document, const AssumedSetup& setup) {
    features::AssumedHere here{said("stock"), setup.stock.substr(setup.stock.find_first_not_of(' ')), "", ""};
    here.by_program = true;
    here.by_moves = setup.stock_from == StockFrom::moves;
    const std::optional<double> mm_per_unit = features::mm_per_unit_of(document);
    const features::StockInNotes noted = features::noted_stock(document, mm_per_unit);
    if (!noted.stock.material.empty()) here.value += ", " + noted.stock.material;
    if (here.by_moves && noted.stock.diameter_mm)
        here.value += said("; {} of the note {} are too small for it",
                           length_text(mm_per_unit.value_or(1) > 1 ? LengthUnit::inch : LengthUnit::mm,
                                       *noted.stock.diameter_mm),
                           noted.note);
    else if (!noted.stock.material.empty())
        here.value += fmt::format(" ({})", said("note {}", noted.note));
    return here;
}

std::vector<features::AssumedHere> told_by_moves(const features::Document& document,
                                                 const AssumedSetup& setup) {
    std::vector<features::AssumedHere> all;
    if (setup.stock_from == StockFrom::hexagon || setup.stock_from == StockFrom::moves)
        all.push_back(stock_by_moves(document, setup));
    for (const AssumedTool& tool : setup.tools) {
        std::string name = tool.name;
        if (name.ends_with(':')) name.pop_back(); // "the tool that no T calls:"
        all.push_back({std::move(name), tool.what, tool.why, "", true});
        all.back().by_moves = true;
    }
    return all;
}

} // namespace

std::vector<features::AssumedHere> setup_here(const features::Document& document, const DrawnStock& drawn) {
    std::vector<features::AssumedHere> all = features::noted_here(document);
    for (const features::AssumedHere& here : drawn.by_moves) {
        const auto noted =
            std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == here.name; });
        if (noted != all.end())
            *noted = here;
        else
            all.insert(here.name == translated("stock") ? all.begin() : all.end(), here);
    }
    return all;
}

std::vector<features::AssumedHere> setup_here(const features::Document& document) {
    constexpr std::size_t most_lines = 5'000; // Of more it would keep an editor waiting
    if (document.buffer().line_count() > most_lines) return features::noted_here(document);
    // What is assumed is told before the first move takes anything off.
    return setup_here(document, drawn_stock(document, make_picture(document), 0));
}

DrawnStock drawn_stock(const features::Document& document, const Picture& picture, std::size_t most_moves) {
    DrawnStock own;
    own.shop = &document.shop();
    own.course = course_of_main(document, document.results().stock());
    const auto& programs = document.results().stock().programs();
    const bool bad_note = std::any_of(programs.begin(), programs.end(), [](const auto& course) {
        return course.stop == stock::Stop::bad_note;
    });
    const LeftStock left = left_of(own);
    if (bad_note || (left.region && !left.region->loops.empty() && !goes_over(document))) return own;
    std::optional<AssumedSetup> setup =
        assume_setup(document, picture, own.course && own.course->setup.has_value());
    if (!setup) return own;
    DrawnStock assumed =
        followed_with(document, std::move(setup->shop), true, std::move(setup->turned_round), most_moves);
    assumed.by_moves = told_by_moves(document, *setup);
    assumed.stock_by_note = setup->stock_from == StockFrom::note;
    assumed.kinds = std::move(setup->kinds);
    assumed.unsized_drills = std::move(setup->unsized_drills);
    assumed.assumed = std::move(setup->told);
    assumed.assumed_stock = std::move(setup->stock);
    if (picture.open_blocks + picture.round_axis + picture.aside.size() > 0)
        assumed.assumed.push_back(said("what is not drawn of the moves takes nothing off"));
    if (picture.turned_holes > 0)
        assumed.assumed.push_back(said("holes that the work is turned to take nothing off"));
    if (!assumed.course || !assumed.course->setup) return own;
    const auto& sequences = assumed.course->sequences;
    if (std::any_of(sequences.begin(), sequences.end(), [](const auto& one) { return one.bar_renewed; }))
        assumed.assumed.push_back(
            said("the bar that is pulled behind a part-off stands as the first one did"));
    return assumed;
}

PictureParts parts_of(const features::Document& document, const DrawnStock& drawn) {
    PictureParts parts;
    parts.assumed = drawn.assumed;
    const stock::ProgramCourse* course = drawn.course;
    if (!course || !course->setup) {
        parts.why_not = why_no_stock(course);
        return parts;
    }
    const stock::Setup& setup = *course->setup;
    parts.before = stock::raw_stock(setup).outlines();
    const stock::Setup::TurnedRound* lies = lies_last(drawn);
    const bool in_second = parts.in_second = lies && lies->how == stock::Setup::TurnedRound::How::taken_over;
    parts.to_plus = lies && lies->to_plus;
    if (setup.jaw_z_mm && setup.jaw_radius_mm && !in_second)
        parts.jaws = {*setup.jaw_z_mm, setup.radius_mm, *setup.jaw_radius_mm};
    if (setup.tail_z_mm && setup.tail_radius_mm && !in_second)
        parts.tailstock = {*setup.tail_z_mm, 0, *setup.tail_radius_mm};
    parts.zones = stock::zones_of(setup);
    const auto turned = std::find_if(setup.turned_round.begin(), setup.turned_round.end(),
                                     [](const auto& row) { return row.turns() && row.is_known; });
    if (turned != setup.turned_round.end()) parts.turned_line = document.line_of(turned->at);
    parts.why_not = said("What is left is not drawn: the stock is not followed.");
    for (const stock::SequenceCourse& sequence : course->sequences) {
        parts.after_exact = parts.after_exact && sequence.exact;
        if (sequence.stop != stock::Stop::none && sequence.stop != stock::Stop::above)
            parts.why_not = said("What is left is not drawn: the stock cannot be followed beyond line {}.",
                                 document.line_of(sequence.place(sequence.stopped_at)) + 1);
    }
    const LeftStock left = left_of(drawn);
    parts.before_parting = left.before_parting;
    if (left.region) {
        parts.after = left.region->outlines();
        parts.why_not.clear();
    }
    return parts;
}

std::string second_jaws_name() {
    return said("jaws of the second spindle");
}

namespace {

bool cuts(const Picture& picture, const PictureStep& step) {
    const std::span segments(picture.segments.data() + step.first_segment, step.segment_count);
    return std::any_of(segments.begin(), segments.end(), [](const motion::Segment& segment) {
        return segment.kind == motion::SegmentKind::feed || segment.kind == motion::SegmentKind::thread;
    });
}

} // namespace

PictureParts parts_of(const features::Document& document, const DrawnStock& drawn, const Picture& picture) {
    PictureParts parts = parts_of(document, drawn);
    const shop::Stock& told = document.shop().stock;
    // The sign of their Z tells which way the part lies: away from its new face.
    if (!picture.second_line || !told.second_jaw_front_z_mm || !told.second_jaw_diameter_mm ||
        *told.second_jaw_front_z_mm == 0)
        return parts;
    parts.in_second = parts.in_second ||
                      std::none_of(picture.steps.begin(), picture.steps.end(), [&](const PictureStep& step) {
                          return step.line < *picture.second_line && cuts(picture, step);
                      });
    constexpr double as_deep_mm = 40; // How deep they are is not told: as much as is seen
    const double front = *told.second_jaw_front_z_mm;
    const double back = front + (front > 0 ? as_deep_mm : -as_deep_mm);
    const double outside = *told.second_jaw_diameter_mm / 2;
    const double inside = std::min(told.diameter_mm.value_or(0) / 2, outside * 0.9);
    parts.second_jaws =
        stock::rectangle(std::min(front, back), std::max(front, back), inside, outside).outlines();
    return parts;
}

Extents shown_of(const Picture& picture, const PictureParts& parts) {
    Extents shown = picture.cut.empty ? picture.all : picture.cut;
    // Of a bar without a known end as much is shown as is cut.
    const double back = shown.empty ? -100 : shown.z_min - 5;
    for (const Outline& outline : parts.before)
        for (const motion::Point& point : outline) shown.take(std::max(point.z_mm, back), point.x_radius_mm);
    for (const Outline& outline : parts.after)
        for (const motion::Point& point : outline) shown.take(std::max(point.z_mm, back), point.x_radius_mm);
    // Of a large chuck the inner part is enough to see what comes near it.
    const double enough = std::max(shown.x_max * 1.3, shown.x_max + 5);
    if (parts.jaws) shown.take(parts.jaws->z_mm - 12, std::min(parts.jaws->to_radius_mm, enough));
    if (parts.tailstock) shown.take(parts.tailstock->z_mm, std::min(parts.tailstock->to_radius_mm, enough));
    constexpr double seen_mm = 12;
    for (const Outline& jaws : parts.in_second ? parts.second_jaws : std::vector<Outline>()) {
        double nearest = jaws.front().z_mm;
        for (const motion::Point& point : jaws)
            if (std::abs(point.z_mm) < std::abs(nearest)) nearest = point.z_mm;
        for (const motion::Point& point : jaws)
            shown.take(nearest + (nearest > 0 ? seen_mm : -seen_mm), std::min(point.x_radius_mm, enough));
    }
    for (const stock::Zone& zone : parts.zones)
        if (zone.body == stock::Body::steady)
            shown.take(zone.area.box().z_max, std::min(zone.area.box().x_max, enough));
    if (shown.empty) shown = {-50, 10, 0, 30, false};
    shown.take(0, 0);
    return shown;
}

namespace {

Frame fit(const Picture& picture, const PictureParts& parts, bool stretched) {
    Frame frame;
    Extents& shown = frame.shown = shown_of(picture, parts);
    const double margin =
        std::max(0.05 * std::max(shown.z_max - shown.z_min, shown.x_max - shown.x_min), 0.5);
    shown.z_min -= margin;
    shown.z_max += margin;
    shown.x_max += margin;
    shown.x_min -= margin * 0.6;
    double z = shown.z_max - shown.z_min, x = shown.x_max - shown.x_min;
    frame.scale = std::min(most_width / z, most_height / x);
    if (stretched && x * frame.scale < most_height / 4) {
        shown.x_max -= margin; // Along X the margin is not stretched
        shown.x_min += margin * 0.6;
        x = shown.x_max - shown.x_min;
        for (const double stretch : {2.0, 4.0, 8.0}) // As the page of a picture offers it
            if ((x * stretch + margin * 1.6) * frame.scale <= most_height) frame.stretch = stretch;
        shown.x_max += margin / frame.stretch;
        shown.x_min -= margin * 0.6 / frame.stretch;
        x = shown.x_max - shown.x_min;
    }
    if (const double least = least_height / (frame.scale * frame.stretch); x < least) {
        shown.x_max += least - x;
        x = least;
    }
    if (z * frame.scale < least_width) {
        const double more = (least_width / frame.scale - z) / 2;
        shown.z_min -= more;
        shown.z_max += more;
        z = least_width / frame.scale;
    }
    frame.left = margin_left;
    frame.top = margin_top + 18;
    frame.width = z * frame.scale;
    frame.height = x * frame.scale * frame.stretch;
    return frame;
}

} // namespace

Frame fit(const Picture& picture, const PictureParts& parts) {
    return fit(picture, parts, false);
}

Frame fit_stretched(const Picture& picture, const PictureParts& parts) {
    return fit(picture, parts, true);
}

std::string picture_svg(const features::Document& document) {
    const Picture picture = make_picture(document);
    const PictureParts parts = parts_of(document, drawn_stock(document, picture), picture);
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
           Drawing(document, picture, parts, fit(picture, parts)).draw();
}

} // namespace turnwright::report
