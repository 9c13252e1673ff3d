// Gathers the setup sheet from the document.
#include "report/sheet.h"
#include "language/said.h"

#include "features/assumed.h"
#include "features/block_at.h"
#include "features/hints.h"
#include "features/hover_load.h"
#include "features/noted.h"
#include "features/speech.h"
#include "machine/whole_number.h"
#include "motion/work.h"
#include "report/lot.h"
#include "report/picture.h"
#include "report/tool_body.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>
#include <unordered_set>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::plain;

const TableText sheet_cautions[4] = {
    "This sheet is read from the program and the shop file; it is no proof that either is right or safe.",
    "Check stock, jaws, tools, offsets and datum at the machine, by a qualified person and the rules of your "
    "workplace.",
    "Prove the program out: dry run, single block, reduced rapid, guards closed, a hand on the feed hold.",
    "A restart in the middle needs the same proof: \"sets all it reads\" tells of modes, not of where the "
    "tool "
    "stands.",
};

namespace {

/// Different texts in the order they were met.
class Seen {
public:
    void add(const std::string& text) {
        if (!text.empty() && known_.insert(text).second) all_.push_back(text);
    }
    std::string joined(std::string_view nothing, std::size_t most = 6) const {
        if (all_.empty()) return std::string(nothing);
        std::string out;
        for (std::size_t i = 0; i < std::min(most, all_.size()); ++i) out += (i == 0 ? "" : "; ") + all_[i];
        if (all_.size() > most) out += said("; {} more", all_.size() - most);
        return out;
    }
    bool empty() const { return all_.empty(); }

private:
    std::vector<std::string> all_;
    std::unordered_set<std::string> known_;
};

struct Feeds {
    std::optional<double> least, most;
    void add(double value) {
        least = least ? std::min(*least, value) : value;
        most = most ? std::max(*most, value) : value;
    }
};

std::string_view kind_words(shop::ToolKind kind) {
    constexpr TableText words[] = {"",          "turning",          "boring", "grooving",     "parting",
                                   "threading", "threading inside", "drill",  "centre drill", "tap",
                                   "reamer",    "face grooving",    "knurl",  "bar puller",   "live tool"};
    return words[static_cast<std::size_t>(kind)];
}

std::string tip_data(const shop::Tool& tool, LengthUnit unit) {
    std::string out;
    const auto add = [&](const std::string& text) {
        if (!text.empty()) out += (out.empty() ? "" : ", ") + text;
    };
    const auto length = [&](std::string_view name, const std::optional<double>& mm) {
        if (mm) add(fmt::format("{} {}", name, length_text(unit, *mm)));
    };
    add(std::string(kind_words(tool.kind)));
    if (tool.hand == shop::ToolHand::right) add(said("right hand"));
    if (tool.hand == shop::ToolHand::left) add(said("left hand"));
    if (tool.hand == shop::ToolHand::neutral) add(said("neutral"));
    length(said("nose radius"), tool.nose_radius_mm);
    if (tool.tip_direction) add(said("tip direction {}", *tool.tip_direction));
    length(said("width"), tool.width_mm);
    length(said("diameter"), tool.diameter_mm);
    if (tool.point_angle_deg) add(said("point {}\xC2\xB0", plain(*tool.point_angle_deg)));
    length(said("reach"), tool.length_mm);
    if (tool.upside_down == true) add(said("upside down, cuts with M04"));
    if (tool.max_rpm) add(said("at most {} rpm", plain(*tool.max_rpm, 0)));
    return out;
}

class SheetMaker {
public:
    explicit SheetMaker(const features::Document& document)
        : document_(document), unit_(unit_of(document)), mm_per_unit_(features::mm_per_unit_of(document)) {}

    /// `also` sees the same walk.
    Sheet make(const std::function<void(const WalkedBlock&)>& also) {
        const Gathering<Lot> lot_on_walk = gather_lot(document_, {});
        const Gathering<Course> course_on_walk = gather_course(document_);
        sheet_.title = program_name(document_);
        sheet_.note = program_note(document_);
        sheet_.file = file_name(document_);
        add_sequences();
        loads_.resize(sheet_.sequences.size());
        sheet_.stopped_at = walk_what_is_told(document_, [&](const WalkedBlock& block) {
            look(block);
            lot_on_walk.see(block);
            course_on_walk.see(block);
            if (also) also(block);
        });
        sheet_.likeness = likeness_of(course_on_walk.finish(), document_, sheet_.stopped_at);
        if (sheet_.stopped_at) end_at(*sheet_.stopped_at);
        add_loads();
        add_assumed();
        add_program();
        add_stock();
        const Lot lot = lot_on_walk.finish();
        // Cut short, the last part is not whole.
        if (!sheet_.stopped_at) parts_ = lot.made;
        for (SheetSequence& row : sheet_.sequences) row.totals = for_one_part(row.totals, parts_);
        add_tools();
        add_times();
        sheet_.edges = edge_rows(lot);
        sheet_.bar = bar_rows(lot);
        add_warnings();
        return std::move(sheet_);
    }

private:
    struct Use {
        Seen called, offsets, speeds, sequences;
        std::map<std::string, Feeds> feeds; ///< By unit: "mm/rev"
        Seen other_feeds;
        motion::Totals totals;
    };

    /// Nothing from this line on, from 0, is told.
    void end_at(std::size_t line) {
        std::erase_if(sheet_.sequences, [&](const SheetSequence& row) { return row.line > line; });
        loads_.resize(std::min(loads_.size(), sheet_.sequences.size()));
        sheet_.totals.blocks_without_time +=
            static_cast<std::uint32_t>(document_.buffer().line_count() - line);
    }

    void add_sequences() {
        for (const checks::Span& span : spans_told(document_)) {
            SheetSequence row;
            row.name = span_name(document_, span);
            row.note = span_note(document_, span);
            row.line = document_.line_of(span.first) + 1;
            row.in_table = span.sequence != nullptr;
            sheet_.sequences.push_back(std::move(row));
        }
        const auto table = checks::restart_table(document_.analysis(), document_.results().spans(),
                                                 document_.shop(), most_sequences_told);
        std::size_t next = 0;
        for (const checks::RestartRow& row : table) {
            const std::size_t line = document_.line_of(row.first) + 1;
            while (next < sheet_.sequences.size() &&
                   (!sheet_.sequences[next].in_table || sheet_.sequences[next].line < line))
                ++next;
            if (next == sheet_.sequences.size() || sheet_.sequences[next].line != line) continue;
            SheetSequence& shown = sheet_.sequences[next];
            shown.safe = row.safe;
            shown.safe_behind_head = row.safe_behind_head;
            shown.at_entry = codes_at_entry(document_.results().spans()[next]); // Rows are as spans
            shown.inherited = row.inherited ? features::list_parts(row.inherited) : said("nothing");
            for (const auto& left : row.left)
                shown.left += (shown.left.empty() ? "" : ", ") + std::string(codes::title(left.meaning));
            if (shown.left.empty()) shown.left = said("nothing");
        }
    }

    /// The modal codes that stand before the first move, as this system writes them.
    std::string codes_at_entry(const checks::Span& span) const {
        std::string out;
        std::vector<Meaning> told; // G97 of the safety line and G97 S1000 below are one
        if (span.facts)
            for (const Meaning meaning : span.facts->safety_line) {
                if (std::find(told.begin(), told.end(), meaning) != told.end()) continue;
                told.push_back(meaning);
                out += (out.empty() ? "" : " ") + codes::written_as(document_.settings().system, meaning);
            }
        return out.empty() ? said("no codes") : out;
    }

    /// The heaviest of a sequence's cuts, and what its surfaces are left like.
    struct Load {
        std::optional<stock::Estimate> heaviest;
        double deepest_mm = 0;
        std::optional<double> finest_um, coarsest_um; ///< Roughness
        bool cuts = false, any_known = false;
        std::vector<std::string> gaps;
    };

    void look_at_load(const WalkedBlock& block) {
        if (block.span >= loads_.size()) return;
        using Known = features::BlockLoad::Known;
        Load& held = loads_[block.span];
        const machine::BlockPlace place{block.view.run_index, block.view.block};
        const auto gap = [&](std::string text) {
            if (!text.empty() && std::find(held.gaps.begin(), held.gaps.end(), text) == held.gaps.end())
                held.gaps.push_back(std::move(text));
        };
        if (!block.called.empty()) {
            const auto cuts = [](const motion::Segment& s) { return s.kind == motion::SegmentKind::feed; };
            if (std::any_of(block.path.segments.begin(), block.path.segments.end(), cuts)) {
                held.cuts = true;
                gap(said("the loads of a called program are not estimated"));
            }
            return;
        }
        const features::BlockLoad load = features::load_of(document_, place, block.view, block.path);
        if (load.known == Known::not_a_cut) return;
        held.cuts = true;
        if (load.known == Known::takes_nothing) return void(held.any_known = true);
        const stock::Estimate& estimate = load.estimate;
        if (estimate.roughness_um) {
            held.finest_um = std::min(held.finest_um.value_or(1e9), *estimate.roughness_um);
            held.coarsest_um = std::max(held.coarsest_um.value_or(0), *estimate.roughness_um);
        }
        gap(load.why);
        if (!estimate.material) gap(features::why_no_material(document_, place));
        if (load.known != Known::cuts) return;
        held.any_known = true;
        held.deepest_mm = std::max(held.deepest_mm, *estimate.depth_mm);
        if (estimate.power_kw && (!held.heaviest || *estimate.power_kw > *held.heaviest->power_kw))
            held.heaviest = estimate;
    }

    void add_loads() {
        const bool inch = unit_ == LengthUnit::inch;
        const shop::Machine& machine = document_.settings().machine;
        std::map<std::string, std::string> gaps; ///< Sequences by what is missing
        Seen sources;
        for (std::size_t i = 0; i < loads_.size(); ++i) {
            const Load& load = loads_[i];
            SheetSequence& row = sheet_.sequences[i];
            if (!load.cuts) continue;
            if (load.deepest_mm > 0) row.depth = features::depth_words(load.deepest_mm, inch);
            if (load.heaviest) {
                row.power = features::power_words(*load.heaviest, machine);
                // The column's head says where.
                const std::string_view where = translated(" at the spindle");
                if (const std::size_t at = row.power.find(where); at != std::string::npos)
                    row.power.erase(at, where.size());
                const double asked = load.heaviest->motor_kw.value_or(*load.heaviest->power_kw);
                row.power_over_limit = machine.max_power_kw && asked > *machine.max_power_kw;
                if (load.heaviest->material)
                    sources.add(fmt::format("{}: {}", translated(load.heaviest->material->name),
                                            load.heaviest->material->source));
            }
            if (load.coarsest_um) {
                row.surface = features::height_words(*load.coarsest_um, inch);
                if (*load.coarsest_um > *load.finest_um * 1.05) {
                    const std::string finest = features::height_words(*load.finest_um, inch);
                    row.surface = finest.substr(0, finest.find(' ')) + said(" to ") + row.surface;
                }
            }
            row.air = air_words(i);
            sheet_.has_loads =
                sheet_.has_loads || !row.depth.empty() || !row.surface.empty() || !row.air.empty();
            for (const std::string& gap : load.gaps)
                gaps[gap] += (gaps[gap].empty() ? "" : ", ") + short_name(i);
        }
        sheet_.load_source = sources.joined("");
        for (const auto& [gap, names] : gaps) sheet_.load_gaps.push_back(fmt::format("{}: {}", names, gap));
        add_tool_gaps();
        add_clearances();
        add_assumed_clearances();
    }

    /// Share of the way at feed that takes nothing off.
    std::string air_words(std::size_t span) const {
        const machine::BlockPlace first = document_.results().spans()[span].first;
        const stock::SequenceCourse* course = document_.results().stock().sequence_at(first);
        if (!course || course->stop != stock::Stop::none ||
            course->last < document_.results().spans()[span].last)
            return {};
        const double way = course->cut_mm + course->air_mm;
        if (way <= 0) return {};
        return fmt::format("{:.0f} %", 100 * course->air_mm / way);
    }

    /// Tools that are followed although the shop file does not describe them in full.
    void add_tool_gaps() {
        for (const stock::ProgramCourse& program : document_.results().stock().programs())
            for (const stock::SequenceCourse& course : program.sequences) {
                if (course.missing.empty() || course.stop == stock::Stop::tool_unknown || course.station < 0)
                    continue;
                std::string keys;
                for (const std::string_view key : course.missing)
                    keys += (keys.empty() ? "" : ", ") + std::string(key);
                std::replace(keys.begin(), keys.end(), '_', ' ');
                std::string gap = said("T{:02}: the shop file does not give {}, so that less is checked",
                                       course.station, keys);
                if (std::find(sheet_.load_gaps.begin(), sheet_.load_gaps.end(), gap) ==
                    sheet_.load_gaps.end())
                    sheet_.load_gaps.push_back(std::move(gap));
            }
    }

    /// The same of holders with no outline, as if they were plain ones of their kind: about, and no warning.
    void add_assumed_clearances() {
        const stock::Setup* setup = nullptr;
        const machine::ProgramPart* main = main_program(document_);
        for (const stock::ProgramCourse& course : document_.results().stock().programs())
            if (main && course.program && course.program->first == main->first && course.setup)
                setup = &*course.setup;
        if (!setup || !(setup->jaw_z_mm || setup->tail_z_mm)) return;
        shop::Shop shop = document_.shop();
        std::set<int> plain;
        for (shop::Tool& tool : shop.tools) {
            if (!tool.outline.empty()) continue;
            for (const BodyPart& part :
                 tool_body(&tool, setup->radius_mm, setup->bore_radius_mm, mm_per_unit_.value_or(1)).parts) {
                if (part.role != BodyPart::Role::holder || !part.assumed || !tool.outline.empty()) continue;
                for (const motion::Point point : part.points)
                    tool.outline.push_back({point.x_radius_mm, point.z_mm});
                plain.insert(tool.station);
            }
        }
        if (plain.empty()) return;
        const DrawnStock followed = followed_with(document_, std::move(shop), false);
        if (!followed.course) return;
        std::map<stock::Body, std::pair<const stock::SequenceCourse*, stock::Clearance>> closest; ///< Of all
        for (const stock::SequenceCourse& course : followed.course->sequences) {
            if (!plain.contains(course.station)) continue;
            std::set<stock::Body> met;
            for (const stock::Event& event : course.events) {
                if (event.kind != stock::EventKind::holder_hits || event.body == stock::Body::part ||
                    !met.insert(event.body).second)
                    continue;
                sheet_.clearances.push_back(said(
                    "T{:02}: a plain holder of its kind would meet the {} at line {}. The shop file gives no "
                    "outline: measure yours.",
                    course.station, stock::title(event.body),
                    document_.line_of(course.place(event.block)) + 1));
            }
            for (const stock::Clearance& clearance : course.clearances) {
                if (met.contains(clearance.body)) continue;
                const auto [best, is_first] = closest.try_emplace(clearance.body, &course, clearance);
                if (!is_first && clearance.mm < best->second.second.mm) best->second = {&course, clearance};
            }
        }
        for (const auto& [body, at] : closest)
            sheet_.clearances.push_back(
                said("T{:02}'s holder gets within about {} of the {} at line {}, as a plain one of its "
                     "kind: the shop file gives no outline.",
                     at.first->station, length_text(unit_, at.second.mm, unit_ == LengthUnit::inch ? 2 : 1),
                     stock::title(body), document_.line_of(at.first->place(at.second.block)) + 1));
    }

    /// Where a holder whose outline is known gets nearest to jaws and tailstock, without a hit.
    void add_clearances() {
        for (const stock::ProgramCourse& program : document_.results().stock().programs())
            for (const stock::SequenceCourse& course : program.sequences)
                for (const stock::Clearance& clearance : course.clearances) {
                    const bool hit = std::any_of(course.events.begin(), course.events.end(),
                                                 [&](const stock::Event& event) {
                                                     return event.kind == stock::EventKind::holder_hits &&
                                                            event.body == clearance.body;
                                                 });
                    if (hit || course.station < 0) continue;
                    sheet_.clearances.push_back(said("T{:02}'s holder gets within {} of the {} at line {}.",
                                                     course.station, length_words(clearance.mm),
                                                     stock::title(clearance.body),
                                                     document_.line_of(course.place(clearance.block)) + 1));
                }
    }

    /// Where the turret is indexed: the way home as it is written, else the place.
    void look_at_change(const WalkedBlock& block) {
        const machine::State &before = block.view.before, &after = block.view.after;
        if (block.view.reading.has('T') && before.tool.known() && after.tool != before.tool)
            changes_.add(way_home_.empty()
                             ? features::point_text(before.x_radius, before.z, document_.settings())
                             : way_home_);
        if (block.view.reading.motion == machine::MotionKind::none || block.view.reading.in_contour) return;
        way_home_ = block.path.is_way_home
                        ? features::readable(block.view.run.text_of(block.view.text)).substr(0, 40)
                        : "";
    }

    void look(const WalkedBlock& block) {
        sheet_.totals += block.totals;
        if (!block.aside.empty()) aside_.push_back(block.aside);
        if (block.picked) jumps_.push_back(*block.picked);
        const motion::Spindle spindle = motion::spindle_during(block.view);
        if (spindle.surface_speed == true && !spindle.limit_rpm && !spindle.limit_surely_missing &&
            block.totals.cut_seconds > 0)
            ++without_limit_;
        if (block.span < sheet_.sequences.size()) sheet_.sequences[block.span].totals += block.totals;
        look_at_load(block);
        const machine::State& state = block.view.after;
        if (const machine::Modal& datum = state.of(Group::datum);
            block.view.reading.motion != machine::MotionKind::none && datum.known())
            datums_.add(codes::written_as(
                document_.settings().system,
                codes::meaning_of(Group::datum, static_cast<unsigned>(std::countr_zero(datum.possible)))));
        if (block.view.reading.code(Meaning::work_shift)) work_shift_ = true;
        const auto named = machine::station_called(block.view.reading, document_.settings());
        if (named) called_ = *named;
        const int station = state.tool.known()          ? called_ = machine::whole_number(state.tool.number)
                            : state.tool.surely_unset() ? no_tool
                            : state.tool.why == machine::Why::other_program && called_ > 0
                                ? behind_call_of(block)
                                : unknown_tool;
        look_at_change(block);
        if (block.view.reading.has('T') && !machine::gives_arguments(block.view.reading)) {
            Use& use = uses_[station];
            use.called.add(features::compact(block.view.run.text_of(*block.view.reading.word('T')->item)));
            if (!state.offset.known())
                use.offsets.add(said("not known"));
            else if (state.offset.number > 0)
                use.offsets.add(plain(state.offset.number, 0));
        }
        const bool moves = !block.path.segments.empty() || block.path.turned;
        if ((station == no_tool || station == unknown_tool) && !moves &&
            block.totals.blocks_without_time == 0)
            return;
        Use& use = uses_[station];
        use.totals += block.totals;
        bool cuts = false;
        for (const motion::Segment& segment : block.path.segments) {
            cuts = cuts || segment.kind == motion::SegmentKind::feed ||
                   segment.kind == motion::SegmentKind::thread;
            if (segment.kind == motion::SegmentKind::thread)
                use.other_feeds.add(said("lead ") + length_words(segment.lead_mm));
            if (segment.kind == motion::SegmentKind::feed) add_feed(use, segment.feed);
        }
        if (block.path.segments.empty() && block.path.turned) {
            cuts = true;
            add_feed(use, motion::feed_of(state, document_.settings()));
        }
        if (!cuts) return;
        use.speeds.add(spindle_text(state));
        use.sequences.add(sheet_.sequences.empty() ? "" : short_name(block.span));
    }

    /// A program that is not at hand leaves the tool that was called before it, as the sequence goes on with
    /// it: told among what is assumed.
    int behind_call_of(const WalkedBlock& block) {
        assumed_tools_.emplace(called_, block.line + 1);
        return called_;
    }

    std::string short_name(std::size_t span) const {
        const std::string& name = sheet_.sequences[span].name;
        return name.substr(0, name.find(' '));
    }

    std::string length_words(double mm) const { return length_text(unit_, mm, 4); }

    void add_feed(Use& use, const motion::Feed& feed) const {
        using Mode = motion::Feed::Mode;
        if (!feed.mm) {
            use.other_feeds.add(said("not known"));
            return;
        }
        const bool inch = unit_ == LengthUnit::inch;
        if (feed.mode == Mode::inverse_time) {
            use.other_feeds.add(said("inverse time"));
            return;
        }
        const std::string unit =
            fmt::format("{}/{}", inch ? "in" : "mm",
                        feed.mode == Mode::per_rev      ? said("rev")
                        : feed.mode == Mode::per_minute ? "min"
                                                        : said("? (rev or min not known)"));
        use.feeds[unit].add(inch ? *feed.mm / motion::mm_per_inch : *feed.mm);
    }

    void add_program() {
        const machine::Settings& settings = document_.settings();
        const auto add = [&](std::string name, std::string value, bool unknown = false) {
            sheet_.program.push_back({std::move(name), std::move(value), unknown});
        };
        if (!sheet_.file.empty()) add(said("File"), sheet_.file);
        add(said("Fingerprint of what it does"), fingerprint_text(sheet_.likeness));
        add(said("Machine"),
            settings.machine.name.empty() ? said("not known: the shop file names none")
                                          : features::readable(settings.machine.name),
            settings.machine.name.empty());
        std::string system = std::string(1, codes::system_letter(settings.system));
        const std::vector<shop::Machine>& for_job = document_.shop().for_job;
        const bool by_job = !for_job.empty() && for_job.back().system;
        system += settings.system_from == machine::SystemFrom::shop_file
                      ? (by_job ? said(" (job file)") : said(" (shop file)"))
                  : settings.system_from == machine::SystemFrom::program ? said(" (by the program)")
                                                                         : said(" (assumed: nothing tells)");
        add(said("G-code system"), system, settings.system_from == machine::SystemFrom::assumed);
        add(said("Units"),
            std::string(unit_ == LengthUnit::inch ? said("inch")
                        : unit_ == LengthUnit::mm ? "mm"
                                                  : said("not known: no block states them")) +
                (is_assumed("units") ? said(", assumed") : "") +
                (settings.machine.x == shop::XReading::diameter ? said(", X on diameter")
                                                                : said(", X on radius")) +
                (features::is_diameter_assumed(document_) || settings.assumed.x_radius ? said(" (assumed)")
                                                                                       : ""),
            unit_ == LengthUnit::unknown);
        const bool no_datum = datums_.empty() && !work_shift_;
        const bool assumed_datum = no_datum && is_assumed(said("datum"));
        std::string datum =
            datums_.joined(work_shift_     ? ""
                           : assumed_datum ? said("assumed: the one in force at the machine, mostly G54")
                                           : said("not known: no block sets G54 to G59"));
        if (work_shift_)
            datum += datum.empty() ? said("shifted in the program") : said(", shifted in the program");
        add(said("Datum"), datum, no_datum && !assumed_datum);
        if (!changes_.empty()) add(said("Tool change at"), changes_.joined("", 3));
    }

    bool is_assumed(std::string_view name) const {
        return std::any_of(sheet_.assumed.begin(), sheet_.assumed.end(),
                           [&](const SheetRow& row) { return row.name == name && !row.unknown; });
    }

    void add_assumed() {
        for (const features::AssumedHere& assumed : features::assumed_here(document_))
            sheet_.assumed.push_back(
                {assumed.name,
                 fmt::format("{} ({}{})", assumed.value, assumed.reason,
                             assumed.code.empty() ? "" : said("; to state it write ") + assumed.code),
                 assumed.value == translated("not known")});
        for (const features::AssumedHere& noted : features::noted_here(document_))
            sheet_.assumed.push_back({noted.name, fmt::format("{} ({})", noted.value, noted.reason), false});
        for (const auto& [station, line] : assumed_tools_)
            sheet_.assumed.push_back(
                {said("tool from line {} on", line),
                 said("T{:02} (called before a program that is not at hand; to state it call it again)",
                      station),
                 false});
    }

    void add_stock() {
        const stock::Setup* setup = nullptr;
        const machine::ProgramPart* main = main_program(document_);
        for (const stock::ProgramCourse& course : document_.results().stock().programs())
            if (main && course.program && course.program->first == main->first && course.setup)
                setup = &*course.setup;
        if (setup) return add_stock(*setup);
        const shop::Stock& stock = document_.shop().stock;
        const std::string_view missing = document_.shop().path.empty()
                                             ? said("not known: there is no shop file")
                                             : said("not known: not in the shop file");
        const auto add = [&](std::string name, const std::optional<double>& mm) {
            sheet_.stock.push_back(
                {std::move(name), mm ? length_words(*mm) : std::string(missing), !mm.has_value()});
        };
        const features::StockInNotes noted = features::noted_stock(document_, mm_per_unit_);
        const std::string by_note = said(" (assumed: note {})", noted.note);
        if (!stock.diameter_mm && noted.stock.diameter_mm)
            sheet_.stock.push_back(
                {said("Diameter"), length_words(*noted.stock.diameter_mm) + by_note, false});
        else
            add(said("Diameter"), stock.diameter_mm);
        if (noted.stock.length_mm && !stock.diameter_mm)
            sheet_.stock.push_back({said("Length"), length_words(*noted.stock.length_mm) + by_note, false});
        if (stock.bore_mm) add(said("Bore"), stock.bore_mm);
        add(said("Front face at Z"), stock.front_z_mm);
        if (stock.back_z_mm) add(said("Back face at Z"), stock.back_z_mm);
        add(said("Jaws end at Z"), stock.jaw_front_z_mm);
        if (stock.jaw_diameter_mm) add(said("Jaw diameter"), stock.jaw_diameter_mm);
        if (stock.second_jaw_front_z_mm) add(said("Second spindle's jaws at Z"), stock.second_jaw_front_z_mm);
        if (stock.second_jaw_diameter_mm)
            add(said("Second spindle's jaw diameter"), stock.second_jaw_diameter_mm);
        if (stock.tailstock_z_mm) add(said("Tailstock at Z"), stock.tailstock_z_mm);
        if (stock.tailstock_diameter_mm) add(said("Centre's diameter"), stock.tailstock_diameter_mm);
        if (stock.quill_z_mm) add(said("Quill from Z"), stock.quill_z_mm);
        if (stock.quill_diameter_mm) add(said("Quill diameter"), stock.quill_diameter_mm);
        if (stock.tailstock_body_z_mm) add(said("Tailstock body from Z"), stock.tailstock_body_z_mm);
        if (stock.steady_z_mm) add(said("Steady rest at Z, middle"), stock.steady_z_mm);
        if (stock.steady_width_mm) add(said("Steady rest's width"), stock.steady_width_mm);
        if (stock.material.empty() && !noted.stock.material.empty())
            sheet_.stock.push_back({said("Material"), noted.stock.material + by_note, false});
        else
            sheet_.stock.push_back(
                {said("Material"),
                 stock.material.empty() ? std::string(missing) : features::readable(stock.material),
                 stock.material.empty()});
    }

    void add_stock(const stock::Setup& setup) {
        const std::string from = setup.note ? said("the stock note") : said("the shop file or job file");
        const auto add = [&](std::string name, double mm) {
            sheet_.stock.push_back({std::move(name), length_words(mm), false});
        };
        const auto lack = [&](std::string name) {
            sheet_.stock.push_back({std::move(name), said("not known: not in ") + from, true});
        };
        add(said("Diameter"), 2 * setup.radius_mm);
        if (setup.bore_radius_mm > 0) add(said("Bore"), 2 * setup.bore_radius_mm);
        add(said("Front face at Z"), setup.front_z_mm);
        if (setup.back_is_known) add(said("Back face at Z"), setup.back_z_mm);
        setup.jaw_z_mm ? add(said("Jaws end at Z"), *setup.jaw_z_mm) : lack(said("Jaws end at Z"));
        if (setup.jaw_radius_mm) add(said("Jaw diameter"), 2 * *setup.jaw_radius_mm);
        if (setup.tail_z_mm) add(said("Tailstock at Z"), *setup.tail_z_mm);
        if (setup.tail_radius_mm) add(said("Centre's diameter"), 2 * *setup.tail_radius_mm);
        if (setup.quill_z_mm) add(said("Quill from Z"), *setup.quill_z_mm);
        if (setup.quill_radius_mm) add(said("Quill diameter"), 2 * *setup.quill_radius_mm);
        if (setup.tail_body_z_mm) add(said("Tailstock body from Z"), *setup.tail_body_z_mm);
        if (setup.steady_z_mm) add(said("Steady rest at Z, middle"), *setup.steady_z_mm);
        if (setup.steady_width_mm) add(said("Steady rest's width"), *setup.steady_width_mm);
        if (setup.material.empty())
            lack(said("Material"));
        else
            sheet_.stock.push_back({said("Material"), features::readable(setup.material), false});
        sheet_.stock.push_back({said("From"), from, false});
    }

    std::string feeds_text(const Use& use) const {
        Seen out;
        for (const auto& [unit, feeds] : use.feeds)
            out.add(*feeds.least == *feeds.most
                        ? fmt::format("{} {}", plain(*feeds.least, 5), unit)
                        : said("{} to {} {}", plain(*feeds.least, 5), plain(*feeds.most, 5), unit));
        const std::string others = use.other_feeds.joined("");
        if (!others.empty()) out.add(others);
        return out.joined(said("no cut"));
    }

    void add_tools() {
        for (const auto& [station, use] : uses_) {
            SheetTool row;
            row.station = station >= 0         ? fmt::format("T{:02}", station)
                          : station == no_tool ? said("none called")
                                               : said("not known");
            if (station >= 0) {
                row.note = features::tool_note(document_, station);
                const shop::Tool* tool = document_.shop().tool(station);
                if (tool) row.tip = tip_data(*tool, unit_);
                row.tip_unknown = row.tip.empty();
                if (row.tip_unknown) {
                    const checks::NotedTool noted = features::noted_tool(document_, station, mm_per_unit_);
                    row.tip = tip_data(noted.tool, unit_);
                    row.tip_unknown = row.tip.empty();
                    if (noted.corner != checks::BladeCorner::unknown)
                        row.tip += fmt::format(", {}", checks::corner_words(noted.corner));
                    if (!row.tip_unknown) row.tip += said(" (assumed: by its note)");
                }
                if (row.tip_unknown)
                    row.tip = tool ? said("not known: the shop file says nothing of its tip")
                                   : said("not known: not in the shop file");
            } else {
                row.tip = said("not known");
                row.tip_unknown = true;
            }
            row.called = use.called.joined("");
            row.offset = use.offsets.joined(said("none"));
            row.speeds = use.speeds.joined(said("no cut"));
            row.feeds = feeds_text(use);
            row.sequences = use.sequences.joined("");
            row.totals = for_one_part(use.totals, parts_);
            sheet_.tools.push_back(std::move(row));
        }
        // Stations that nothing was seen to need come last: "none called" and "not known".
        std::stable_partition(sheet_.tools.begin(), sheet_.tools.end(),
                              [](const SheetTool& tool) { return tool.station.front() == 'T'; });
    }

    void add_times() {
        const motion::Totals totals = for_one_part(sheet_.totals, parts_);
        // With rates of a lathe of middle size: told among what is assumed.
        const std::string_view about = document_.settings().assumed_rates ? said("about ") : "";
        const auto add = [&](std::string name, std::string value, bool unknown = false) {
            sheet_.times.push_back({std::move(name), std::move(value), unknown});
        };
        add(said("In cut"), said("{} over {}", features::time_text(totals.cut_seconds),
                                 length_words(round_up(totals.cut_mm))));
        const bool none_known = totals.rapid_seconds <= 0 && totals.blocks_without_time > 0;
        add(said("In rapid"),
            none_known ? std::string(said("not known: no rapid can be reckoned"))
                       : said("{}{} over {}", about, features::time_text(totals.rapid_seconds),
                              length_words(round_up(totals.rapid_mm))),
            none_known);
        if (totals.dwell_seconds > 0) add(said("Dwell"), features::time_text(totals.dwell_seconds));
        add(said("Tool changes and spindle"),
            std::string(about) + features::time_text(totals.change_seconds));
        for (const std::string& program : aside_)
            add(said("Without ") + program,
                said("it is not at hand; called where no tool works, it is assumed to cut nothing"));
        if (!jumps_.empty()) add(said("As one way goes"), picked_words(jumps_));
        if (parts_ > 1)
            add(said("Parts of a run"),
                said("{}, cut off one after the other in {}: all times here are for one of them", parts_,
                     time_or_unknown(sheet_.totals)));
        if (sheet_.stopped_at)
            add(said("Cut short"),
                said("this sheet goes as far as line {}: what stands behind it is too much to be told here",
                     *sheet_.stopped_at),
                true);
        if (without_limit_)
            add(said("Of it as if no speed limit held"),
                said("{}: which one is in force there is not known",
                     plural((without_limit_ + parts_ - 1) / parts_, "block")));
        if (totals.blocks_waiting)
            add(said("Of it as if the spindle turned"),
                said("{}: a feed by the turn with the spindle stopped, where the control waits",
                     plural(totals.blocks_waiting, "block")));
        add(said("Total of what is known"), time_or_unknown(totals), totals.blocks_without_time > 0);
    }

    double round_up(double mm) const {
        const double unit = unit_ == LengthUnit::inch ? motion::mm_per_inch : 1;
        return std::round(mm / unit) * unit;
    }

    void add_warnings() {
        for (features::Warning& warning : features::all_warnings(document_))
            sheet_.warnings.push_back({warning.range.begin.line + std::size_t{1}, warning.severity,
                                       std::move(warning.message), std::move(warning.id)});
        std::stable_sort(sheet_.warnings.begin(), sheet_.warnings.end(),
                         [](const auto& a, const auto& b) { return a.severity > b.severity; });
    }

    static constexpr int no_tool = -2, unknown_tool = -1;
    int called_ = no_tool;
    std::map<int, std::size_t> assumed_tools_; ///< By station: the first line that it is assumed in

    const features::Document& document_;
    LengthUnit unit_;
    std::optional<double> mm_per_unit_; ///< For sizes in notes
    Sheet sheet_;
    std::vector<Load> loads_; ///< By span
    std::map<int, Use> uses_;
    Seen datums_;
    Seen changes_;                  ///< Where tools are changed
    std::size_t without_limit_ = 0; ///< Blocks cut at surface speed with a limit that is not known
    std::vector<PickedJump> jumps_;
    std::vector<std::string> aside_; ///< Programs that are not at hand, called where no tool works
    std::string way_home_;           ///< Of the last move; empty: it was another
    bool work_shift_ = false;
    std::size_t parts_ = 1; ///< That one run cuts off
};

} // namespace

Sheet make_sheet(const features::Document& document) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    return SheetMaker(document).make({});
}

std::pair<Sheet, Picture> make_sheet_and_picture(const features::Document& document) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    const Gathering<Picture> picture = gather_picture(document);
    Sheet sheet = SheetMaker(document).make(picture.see);
    std::pair<Sheet, Picture> both{std::move(sheet), picture.finish()};
    if (both.first.stopped_at) both.second.end_at(*both.first.stopped_at);
    return both;
}

std::string cut_cell(const motion::Totals& totals) {
    if (totals.cut_seconds > 0) return features::time_text(totals.cut_seconds);
    return totals.cut_mm > 0 ? said("not known") : "\xE2\x80\x93";
}

std::string rapid_cell(const motion::Totals& totals) {
    if (totals.rapid_seconds > 0)
        return (totals.about ? "~ " : "") + features::time_text(totals.rapid_seconds);
    return totals.rapid_mm > 0 ? said("not known") : "\xE2\x80\x93";
}

} // namespace turnwright::report
