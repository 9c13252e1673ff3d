#include "features/templates.h"
#include "language/said.h"

#include "calculate/thread.h"
#include "features/program_index.h"
#include "features/sequence_writer.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using Kind = checks::NamedTool::Kind;

namespace {

constexpr TableText facing_name = "facing", rough_turning_name = "rough turning",
                    finish_turning_name = "finish turning", drilling_name = "drilling",
                    boring_name = "boring", grooving_name = "grooving", part_off_name = "part-off",
                    tapping_name = "tapping", threading_name = "threading", new_program_name = "new program";

/// Of a thread by its name, in both languages.
TemplateName thread_name(const std::string& thread) {
    return {said("thread {}", thread), "thread " + thread};
}
TemplateName inside_thread_name(const std::string& thread) {
    return {said("thread {} inside", thread), "thread " + thread + " inside"};
}
TemplateName tap_name(const std::string& thread) {
    return {said("tap {}", thread), "tap " + thread};
}

/// "M8" where the table or the machine has such a code; any "R2".
bool reads_as_word(const Typing& typing, const std::string& word) {
    const char letter = text::upper(word[0]);
    if (word.find_first_not_of("0123456789 \t", 1) != word.npos) return false;
    if (letter != 'M' && letter != 'G') return true;
    const int number = std::atoi(word.c_str() + 1);
    const shop::Machine& machine = typing.settings().machine;
    const auto& own = letter == 'M' ? machine.m_codes : machine.g_codes;
    return codes::find(typing.settings().system, letter, number) || own.contains(number);
}

class Sequences {
public:
    explicit Sequences(const Typing& typing)
        : typing_(typing), house_(house_of(typing)), ground_(ground_at(typing)),
          taken_(taken_in(typing.document)) {}

    std::vector<Template> all() {
        facing();
        rough_turning();
        finish_turning();
        drilling();
        // A solid bar has nothing to bore or to tap.
        if (ground_.bore_mm > 0) boring();
        grooving();
        named_threading();
        if (ground_.bore_mm > 0) named_tapping();
        part_off();
        return std::move(templates_);
    }

    std::vector<Template> of_tap(const std::string& name) {
        tapping(name, tap_name(name));
        return std::move(templates_);
    }
    std::vector<Template> of_thread(const std::string& name) {
        if (!outside_thread(name, thread_name(name))) return {};
        // Into a hole that was made for it.
        if (const auto size = motion::thread_size(name);
            size &&
            (!ground_.known || std::abs(ground_.bore_mm - size->minor_inside_mm / 2) < size->pitch_mm))
            thread_inside(name, *size);
        return std::move(templates_);
    }

private:
    SequenceWriter writer(Kind kind, std::string_view word = "?") const {
        return {typing_, house_, ground_, taken_, kind, word};
    }
    void keep(SequenceWriter& made, TemplateName name, std::string detail) {
        templates_.push_back(made.finish(std::move(name), std::move(detail)));
    }
    double outside() const { return ground_.outside_mm + near_mm; }
    /// The second approach, in front of the stock.
    double front() const {
        return ground_.front_mm + typing_.document.shop().house.second_approach_mm.value_or(near_mm);
    }

    void facing() {
        SequenceWriter w = writer(Kind::turn, "FACE");
        w.head("face", w.rpm_for(ground_.outside_mm), true, outside(), std::min(0.0, ground_.front_mm));
        w.line(w.code(Meaning::feed_line) + ' ' + w.x(-w.cut().past_centre) + ' ' +
               w.feed(w.cut().rough_feed));
        w.line(w.z(std::min(0.0, ground_.front_mm) + near_mm) + ' ' + w.feed(w.cut().rough_feed));
        keep(w, facing_name, said("face at constant surface speed"));
    }
    void rough_turning() {
        SequenceWriter w = writer(Kind::turn, "ROUGH");
        const auto [first, last] = free_contour(typing_.document);
        const double radius =
            std::max(std::max(ground_.outside_mm - 2 * w.cut().step, ground_.outside_mm / 2),
                     ground_.bore_mm + near_mm);
        w.head("rough turn", w.rpm_for(ground_.outside_mm), true, outside(), front());
        const std::string cycle = w.code(Meaning::rough_turning);
        w.line(
            fmt::format("{} U{} R{}", cycle, w.field(w.length(w.cut().step, 3)), w.field(w.length(0.5, 3))));
        const std::string from = std::to_string(first), to = std::to_string(last);
        w.line(fmt::format("{} P{} Q{} U{} W{} {}", cycle, from, to, w.field(w.length(0.4, 3)),
                           w.field(w.length(0.1, 3)), w.feed(w.cut().rough_feed)));
        w.line(fmt::format("N{} {} {}", from, w.code(Meaning::rapid), w.x(radius)));
        w.line(w.code(Meaning::feed_line) + ' ' + w.z(w.back_to(20)));
        w.line(fmt::format("N{} {}", to, w.x(outside())));
        keep(w, rough_turning_name, said("roughing cycle with its contour"));
    }
    void finish_turning() {
        SequenceWriter w = writer(Kind::turn, "FINISH");
        const double radius = ground_.outside_mm - w.cut().finish_step;
        w.head("finish turn", w.rpm_for(ground_.outside_mm), true, outside(), front());
        w.line(w.code(Meaning::rapid) + " G42 " + w.x(radius) + ' ' + w.z(front()));
        w.line(w.code(Meaning::feed_line) + ' ' + w.z(w.back_to(20)) + ' ' + w.feed(w.cut().finish_feed));
        w.line(w.x(outside()));
        w.line(w.code(Meaning::rapid) + " G40 " + w.x(outside() + near_mm) + ' ' + w.z(front()));
        keep(w, finish_turning_name, said("along a contour with the nose radius"));
    }
    void drilling() {
        SequenceWriter w = writer(Kind::drill);
        w.head("drill", std::min(800.0, w.rpm_for(5)), false, 0, front());
        w.line(fmt::format("{} {} Q{} {}", w.code(Meaning::drill_face), w.z(w.back_to(20)),
                           w.field(w.increments(w.inch() ? 2.54 : 3)), w.feed(w.cut().finish_feed)));
        w.line(w.code(Meaning::drill_cycle_off));
        keep(w, drilling_name, said("drill on the centreline"));
    }
    void boring() {
        SequenceWriter w = writer(Kind::bore);
        const double radius = ground_.bore_mm + w.cut().finish_step;
        w.head("bore", w.rpm_for(radius), true, radius, front());
        w.line(w.code(Meaning::feed_line) + ' ' + w.z(w.back_to(5)) + ' ' + w.feed(w.cut().finish_feed));
        // Inward, off the wall, before the bar goes out.
        w.line(w.x(std::max(radius - 0.5, radius / 2)));
        w.line(w.code(Meaning::rapid) + ' ' + w.z(front()));
        keep(w, boring_name,
             ground_.known ? said("bore at constant surface speed, off the wall inward")
                           : said("bore at constant surface speed; the hole is assumed"));
    }
    void grooving() {
        SequenceWriter w = writer(Kind::groove);
        double place = w.back_to(10), radius = 0;
        if (const auto cylinder = last_cylinder(typing_)) {
            place = std::max((cylinder->z_right_mm + cylinder->z_left_mm) / 2, ground_.back_mm);
            radius = cylinder->radius_mm;
        }
        const double wall = ground_.outside_between(place - w.cut().width, place + w.cut().width);
        if (radius <= 0 || radius > wall) radius = wall > 0 ? wall : ground_.outside_mm;
        const double above = std::max({radius, wall, 0.0}) + near_mm;
        // A groove as deep as the tool is wide, if the wall is thick enough.
        const double depth = std::min(w.cut().width / 2, (radius - ground_.bore_mm) / 4);
        w.head("groove", w.rpm_for(radius), false, std::max(outside(), above), place);
        w.line(w.code(Meaning::feed_line) + ' ' + w.x(radius - depth) + ' ' + w.feed(w.cut().groove_feed));
        w.line("G04 P" + w.field("300"));
        w.line(w.code(Meaning::rapid) + ' ' + w.x(std::max(outside(), above)));
        keep(w, grooving_name, said("one plunge with a dwell"));
    }
    void part_off() {
        SequenceWriter w = writer(Kind::part_off);
        w.head("part off", w.rpm_for(ground_.outside_mm), true, outside(), w.back_to(30));
        w.line(w.code(Meaning::feed_line) + ' ' + w.x(-w.cut().past_centre) + ' ' +
               w.feed(w.cut().groove_feed));
        w.line(w.code(Meaning::rapid) + ' ' + w.x(outside()));
        keep(w, part_off_name, said("part off past the centre"));
    }
    /// The thread that a tap is noted for, else the one of the notes here.
    void named_tapping() {
        std::string name = checks::tool_named(note_of_free(Kind::tap)).thread;
        if (const auto thread = thread_named_around(typing_.document, typing_.place); name.empty() && thread)
            name = thread->name;
        if (motion::thread_size(name))
            tapping(name, tapping_name);
        else
            ask_for_name(tapping_name, said("tap"));
    }
    void tapping(const std::string& name, TemplateName shown) {
        SequenceWriter w = writer(Kind::tap);
        const double lead = motion::thread_size(name)->pitch_mm;
        w.head("tap " + name, std::min(300.0, w.rpm_for(10)), false, 0,
               ground_.front_mm + std::max(near_mm, 4 * lead));
        w.line(fmt::format("{} {} {}", w.code(Meaning::tap_face), w.z(w.back_to(15)),
                           "F" + w.field(with_point(w.inch() ? lead / motion::mm_per_inch : lead, 6))));
        w.line(w.code(Meaning::drill_cycle_off));
        keep(w, std::move(shown), said("tap on the centreline"));
    }
    /// No size is made up: the name is typed, and its sequence is then offered.
    void ask_for_name(TemplateName shown, std::string_view word) {
        templates_.push_back(
            {std::move(shown),
             said("asks for the thread: type its name behind it, as {0} M24x1.5 or {0} 1/2-13", word),
             fmt::format("{} ${{1:NAME}}", word), fmt::format("{} ", word)});
    }

    struct Thread {
        TemplateName name;
        std::string title;
        std::string_view word; ///< That the tool's note should hold
        double start_mm, root_mm, taper_mm, height_mm, lead_mm, length_mm, major_mm, flank_angle_deg;
    };
    void write_thread(const Thread& thread) {
        SequenceWriter w = writer(Kind::thread, thread.word);
        const double rpm = std::min(w.rpm_for(thread.major_mm / 2), 1000.0);
        const double run_in = calculate::run_in_mm(thread.lead_mm, rpm);
        const double end = w.back_to(thread.length_mm);
        const double first = calculate::first_pass_mm(thread.height_mm, w.inch());
        w.head(thread.title, rpm, false, thread.start_mm, ground_.front_mm + run_in);
        const calculate::ThreadCut cut{thread.root_mm + thread.taper_mm * (ground_.front_mm - end),
                                       end,
                                       thread.taper_mm * (ground_.front_mm + run_in - end),
                                       thread.height_mm,
                                       thread.lead_mm,
                                       thread.flank_angle_deg};
        for (const calculate::Block& block : calculate::thread_cycle(cut, w.inch())) w.line(block);
        const auto spoken = [&](double mm) {
            return plain(w.inch() ? mm / motion::mm_per_inch : mm, w.inch() ? 4 : 2);
        };
        std::string detail =
            said("root {}, height {}, lead {}, about {} passes, run-in {}", spoken(2 * thread.root_mm),
                 spoken(thread.height_mm), spoken(thread.lead_mm),
                 calculate::thread_passes(thread.height_mm, first), spoken(run_in));
        if (thread.taper_mm <= 0) detail += said(", relief {} wide", spoken(2 * thread.lead_mm));
        keep(w, thread.name, detail);
    }
    /// Of the station that a new sequence for this work takes.
    std::string note_of_free(Kind kind) const {
        return tool_note(typing_.document, free_tool(typing_.document, taken_, kind, "?").station);
    }
    /// The thread that its tool is noted for, else the one of the notes here.
    void named_threading() {
        for (const std::string& name : checks::threads_named(note_of_free(Kind::thread)))
            if (outside_thread(name, threading_name)) return;
        if (const auto thread = thread_named_around(typing_.document, typing_.place))
            if (outside_thread(thread->name, threading_name)) return;
        ask_for_name(threading_name, said("thread"));
    }
    bool outside_thread(const std::string& name, TemplateName shown) {
        if (const auto size = motion::thread_size(name))
            threading(name, *size, std::move(shown));
        else if (const auto pipe = motion::taper_pipe(name))
            pipe_thread(name, *pipe, std::move(shown));
        else
            return false;
        return true;
    }
    void threading(const std::string& name, const motion::ThreadSize& size, TemplateName shown) {
        const double above = std::max(ground_.outside_mm, size.major_mm / 2) + near_mm;
        write_thread({std::move(shown), "thread " + name, "?", above, size.minor_outside_mm / 2, 0,
                      size.depth_outside_mm, size.pitch_mm, 20, size.major_mm, size.flank_angle_deg});
    }
    void thread_inside(const std::string& name, const motion::ThreadSize& size) {
        const double below = std::min(size.minor_inside_mm / 2, ground_.known ? ground_.bore_mm : 1e9) - 1;
        if (below <= 0) return;
        write_thread({inside_thread_name(name), "thread " + name + " inside", "INSIDE", below,
                      size.major_mm / 2, 0, size.depth_inside_mm, size.pitch_mm, 20, size.major_mm,
                      size.flank_angle_deg});
    }
    /// 1 in 16 on diameter; the root at the small end is E0 less the height of the thread.
    void pipe_thread(const std::string& name, const motion::TaperPipe& pipe, TemplateName shown) {
        const double above = std::max(ground_.outside_mm, pipe.outside_mm / 2) + near_mm;
        write_thread({std::move(shown), "thread " + name, "?", above,
                      (pipe.pitch_diameter_at_end_mm - pipe.height_mm) / 2, 1.0 / 32, pipe.height_mm,
                      pipe.pitch_mm, pipe.effective_length_mm, pipe.outside_mm, pipe.flank_angle_deg});
    }

    const Typing& typing_;
    House house_;
    Ground ground_;
    Taken taken_;
    std::vector<Template> templates_;
};

} // namespace

std::vector<Template> sequence_templates(const Typing& typing) {
    return Sequences(typing).all();
}

std::optional<Template> program_template(const Typing& typing) {
    const Document& document = typing.document;
    for (std::size_t line = 0; line < document.buffer().line_count(); ++line)
        if (line != typing.at.line &&
            document.buffer().line(line).find_first_not_of(" \t") != std::string::npos)
            return std::nullopt;
    // A file that is named for its program's number has chosen it.
    const std::int32_t number = number_in_name(document.path()).value_or(1);
    std::string text = fmt::format("%\nO${{1:{:04}}} (${{2:PART}})\n", number);
    for (const shop::Tool& tool : document.shop().tools) {
        std::string note = readable(tool.note);
        std::erase_if(note, [](char c) { return c == '(' || c == ')'; });
        if (!note.empty())
            text += snippet_text(fmt::format("(T{:02} {})\n", tool.station, in_capitals(note)));
    }
    text += safety_line(typing) + "\n\n$0\n\nM30\n%\n";
    return Template{new_program_name, said("number, tools of the shop file, safety line, end"), text,
                    without_fields(text)};
}

std::vector<Template> thread_templates(const Typing& typing, std::string_view typed) {
    const std::string upper = in_capitals(std::string(typed));
    const auto behind = [&](std::string_view word) {
        return upper.starts_with(word) ? std::string(typed.substr(word.size())) : std::string{};
    };
    // Behind the word in either language.
    const auto behind_own = [&](std::string_view english, std::string_view own) {
        const std::string found = behind(english);
        return found.empty() ? behind(in_capitals(std::string(own) + ' ')) : found;
    };
    if (const std::string tap = behind_own("TAP ", said("tap")); motion::thread_size(tap))
        return Sequences(typing).of_tap(tap);
    const std::string thread = behind_own("THREAD ", said("thread"));
    const std::string name = thread.empty() ? std::string(typed) : thread;
    if (!motion::thread_size(name) && !motion::taper_pipe(name)) return {};
    // M8 is coolant and G1 a feed move: whoever types such a code wants no thread for it.
    if (thread.empty() && reads_as_word(typing, name)) return {};
    return Sequences(typing).of_thread(name);
}

} // namespace turnwright::features
