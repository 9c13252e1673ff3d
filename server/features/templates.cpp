#include "features/templates.h"

#include "features/speech.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::System;

namespace {

/// Program text inside a snippet must not act as a mark.
std::string snippet_text(std::string_view text) {
    std::string out;
    for (char c : text) {
        if (c == '$' || c == '}' || c == '\\') out += '\\';
        out += c;
    }
    return out;
}

/// Fields out, their default text in: ${1:40.} -> 40.
std::string without_fields(std::string_view snippet) {
    std::string out;
    for (std::size_t i = 0; i < snippet.size(); ++i) {
        if (snippet[i] == '\\' && i + 1 < snippet.size()) {
            out += snippet[++i];
        } else if (snippet[i] == '$' && i + 1 < snippet.size() && snippet[i + 1] == '{') {
            const std::size_t colon = snippet.find(':', i), end = snippet.find('}', i);
            if (end == std::string_view::npos) break;
            if (colon != std::string_view::npos && colon < end)
                out += snippet.substr(colon + 1, end - colon - 1);
            i = end;
        } else if (snippet[i] == '$') {
            ++i; // $0
        } else {
            out += snippet[i];
        }
    }
    return out;
}

/// Lines of an existing sequence that a new one begins and ends with.
struct House {
    std::string safety;           ///< "G54 G18 G97 G21 G80 G40 G99"
    std::vector<std::string> end; ///< From the return to the change position on
    bool numbers = false;         ///< Sequences begin with N
};

std::string line_text(const Document& document, BlockPlace place) {
    return readable(document.buffer().line(document.line_of(place)));
}

/// Learned from the last whole sequence above the cursor, else from the first one.
House house_of(const Typing& typing) {
    const Document& document = typing.document;
    House house;
    const checks::Span* model = nullptr;
    for (const checks::Span& span : document.results().spans()) {
        if (!span.sequence || !span.facts || !span.facts->safety_block) continue;
        if (model && typing.place <= span.last) break;
        model = &span;
    }
    if (!model) return house;
    house.safety = line_text(document, model->place(*model->facts->safety_block));
    house.numbers = model->sequence->number >= 0;
    if (!model->facts->return_move) return house;
    constexpr std::size_t longest_end = 8;
    const std::size_t last = document.line_of(model->last);
    std::size_t line = document.line_of(model->place(*model->facts->return_move));
    for (std::size_t count = 0; line <= last && count < longest_end; ++line, ++count) {
        const std::string text = readable(document.buffer().line(line));
        if (text.find_first_not_of(" \t") == std::string::npos) break;
        // The program's own end belongs to its last sequence only.
        const std::string packed = compact(text);
        if (packed.find("M30") != std::string::npos || packed.find("M02") != std::string::npos ||
            packed[0] == '%')
            break;
        house.end.push_back(text);
    }
    return house;
}

struct Numbers {
    const char *clear, *near, *deep, *feed_rough, *feed_finish, *feed_groove, *surface, *rpm, *limit, *step;
};
// Starting values to be typed over, not advice: common practice, no source.
constexpr Numbers metric{"10.", "1.", "20.", "0.25", "0.12", "0.06", "150", "800", "2500", "2."};
constexpr Numbers inch{".5", ".04", ".75", ".010", ".005", ".003", "500", "800", "2500", ".08"};

class Writer {
public:
    explicit Writer(const Typing& typing)
        : typing_(typing), house_(house_of(typing)), system_(typing.settings().system),
          inch_(typing.block.before.is(Meaning::inch)), n_(inch_ ? inch : metric) {}

    std::vector<Template> all() {
        add("facing", "face at constant surface speed", true,
            {"G96 S${4:%surface}", "G01 Z0. F${5:%rough}", "X${6:%past}", "Z${7:%near} F${8:%rough}",
             "%rpmline"},
            "%past");
        add("rough turning", "roughing cycle with its contour", true,
            {"G96 S${4:%surface}", "%R71 U${5:%step} R${6:%relief}",
             "%R71 P${7:101} Q${8:102} U${9:%allow} W${10:%allowz} F${11:%rough}",
             "N${7:101} G00 X${12:%deep}", "G01 Z${13:-%deep}", "N${8:102} X${14:%deep}", "%rpmline"},
            "");
        add("finish turning", "finishing along a contour", true,
            {"G96 S${4:%surface}", "G00 G42 X${5:%deep} Z${6:%near}", "G01 Z${7:-%deep} F${8:%finish}",
             "G40 X${9:%deep}", "%rpmline"},
            "");
        add("drilling", "drill on the centreline", false,
            {"%DRILL Z${4:-%deep} Q${5:%peck} F${6:%finish}", "%CANCEL"}, "0.");
        add("boring", "bore at constant surface speed", true,
            {"G96 S${4:%surface}", "G01 Z${5:-%deep} F${6:%finish}", "X${7:%deep}", "G00 Z${8:%near}",
             "%rpmline"},
            "");
        add("grooving", "one plunge with a dwell", false,
            {"G01 X${4:%deep} F${5:%groove}", "G04 P${6:300}", "G00 X${7:%deep}"}, "");
        add_thread();
        add("tapping", "tap on the centreline", false, {"%TAP Z${4:-%deep} F${5:%lead}", "%CANCEL"}, "0.");
        add("part-off", "part off past the centre", true,
            {"G96 S${4:%surface}", "G01 X${5:%past} F${6:%groove}", "%rpmline"}, "");
        return std::move(templates_);
    }

private:
    std::string code(Meaning meaning) const {
        std::string written = codes::written_as(system_, meaning);
        if (!typing_.habits.leading_zeros && written.size() == 3 && written[1] == '0') written.erase(1, 1);
        return written;
    }

    std::string filled(std::string line, std::string_view lead) const {
        const std::pair<std::string_view, std::string> names[] = {
            {"%surface", n_.surface},
            {"%rough", n_.feed_rough},
            {"%finish", n_.feed_finish},
            {"%groove", n_.feed_groove},
            {"%near", n_.near},
            {"%deep", n_.deep},
            {"%step", n_.step},
            {"%relief", inch_ ? ".02" : "0.5"},
            {"%allowz", inch_ ? ".004" : "0.1"},
            {"%allow", inch_ ? ".016" : "0.4"},
            {"%past", inch_ ? "-.06" : "-1.6"},
            {"%peck", inch_ ? "1000" : "3000"},
            {"%lead", std::string(lead)},
            {"%R71", code(Meaning::rough_turning)},
            {"%DRILL", code(Meaning::drill_face)},
            {"%TAP", code(Meaning::tap_face)},
            {"%CANCEL", code(Meaning::drill_cycle_off)},
            {"%rpmline", fmt::format("{} S${{3:{}}}", code(Meaning::constant_rpm), n_.rpm)}};
        for (const auto& [name, text] : names)
            for (std::size_t at = line.find(name); at != std::string::npos;
                 at = line.find(name, at + text.size()))
                line.replace(at, name.size(), text);
        return line;
    }

    std::string tool_field() const {
        const std::size_t half = typing_.habits.tool_digits / 2;
        if (typing_.habits.tool_digits < 3) return "T${1:1}";
        return fmt::format("T${{1:{0:0{1}}{0:0{1}}}}", 1, half);
    }

    /// Number and note, safety line, tool, limit, spindle, approach in two steps.
    std::vector<std::string> head(const std::string& title, bool limited,
                                  const std::string& approach_x) const {
        std::string note = title;
        for (char& c : note) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
        std::vector<std::string> lines;
        lines.push_back((house_.numbers ? "N${2:1} (" : "(") + note + ")");
        lines.push_back(house_.safety.empty() ? safety_line() : snippet_text(house_.safety));
        lines.push_back(tool_field());
        if (limited) lines.push_back(fmt::format("{} S${{20:{}}}", code(Meaning::speed_limit), n_.limit));
        lines.push_back(fmt::format("{} S${{3:{}}} {}", code(Meaning::constant_rpm), n_.rpm,
                                    code(Meaning::spindle_forward)));
        const std::string x = approach_x.empty() ? filled("${21:%deep}", "") : approach_x;
        lines.push_back(fmt::format("{} X{} Z${{22:{}}}", code(Meaning::rapid), x, n_.clear));
        lines.push_back(fmt::format("{} Z${{23:{}}}", code(Meaning::rapid), n_.near));
        lines.push_back(code(Meaning::coolant_on));
        return lines;
    }

    std::string safety_line() const {
        std::string line;
        for (Meaning meaning : {Meaning::datum_1, Meaning::plane_zx, Meaning::constant_rpm,
                                inch_ ? Meaning::inch : Meaning::millimetre, Meaning::drill_cycle_off,
                                Meaning::compensation_off, Meaning::feed_per_rev}) {
            if (!line.empty()) line += ' ';
            line += code(meaning);
        }
        return system_ == System::A ? line : line + ' ' + code(Meaning::absolute);
    }

    std::vector<std::string> end() const {
        std::vector<std::string> lines;
        if (house_.end.empty()) {
            lines = {fmt::format("{} Z${{24:{}}}", code(Meaning::rapid), n_.clear),
                     fmt::format("{} {} X0. Z0.", code(Meaning::rapid), code(Meaning::machine_datum)),
                     code(Meaning::coolant_off), code(Meaning::spindle_stop), code(Meaning::optional_stop)};
        } else {
            lines.push_back(fmt::format("{} Z${{24:{}}}", code(Meaning::rapid), n_.clear));
            for (const std::string& line : house_.end) lines.push_back(snippet_text(line));
        }
        return lines;
    }

    void add(const std::string& title, std::string detail, bool limited, const std::vector<std::string>& body,
             const std::string& approach_x, std::string_view lead = {}) {
        Template made;
        made.label = "sequence: " + title;
        made.detail = std::move(detail) + (house_.safety.empty() ? "" : ", written as this program's others");
        const std::string pitch = lead.empty() ? (inch_ ? ".05" : "1.25") : std::string(lead);
        const std::string x = approach_x.starts_with('%') ? std::string{} : approach_x;
        for (const std::vector<std::string>& part : {head(title, limited, x), body, end()})
            for (const std::string& line : part) made.snippet += filled(line, pitch) + '\n';
        made.snippet += "$0";
        made.plain = without_fields(made.snippet);
        templates_.push_back(std::move(made));
    }

    /// The thread named in the notes around, else fields to fill in.
    void add_thread() {
        const auto thread = thread_named_around(typing_.document, typing_.place);
        const machine::State& state = typing_.block.before;
        const std::string g76 = code(Meaning::thread_cycle);
        std::string root = inch_ ? ".5" : "22.16", height = inch_ ? "307" : "920",
                    lead = inch_ ? ".05" : "1.5";
        if (thread && !length_unit(state).empty()) {
            const shop::Machine& machine = typing_.settings().machine;
            const double least =
                inch_ ? machine.least_increment_inch * motion::mm_per_inch : machine.least_increment_mm;
            root = plain(
                checks::x_as_written(from_mm(thread->size.minor_outside_mm, state) / 2, typing_.settings()),
                inch_ ? 4 : 3);
            if (root.find('.') == std::string::npos) root += '.';
            height = fmt::format("{:.0f}", thread->size.depth_outside_mm / least);
            lead = checks::written(from_mm(thread->size.pitch_mm, state));
        }
        add("threading", thread ? "external thread " + thread->name : "external thread in passes", false,
            {fmt::format("{} P${{4:010060}} Q${{5:{}}} R${{6:{}}}", g76, inch_ ? "20" : "50",
                         inch_ ? ".001" : "0.02"),
             fmt::format("{} X${{7:{}}} Z${{8:-{}}} P${{9:{}}} Q${{10:{}}} F${{11:{}}}", g76, root, n_.deep,
                         height, inch_ ? "100" : "250", lead)},
            "", lead);
    }

    const Typing& typing_;
    House house_;
    System system_;
    bool inch_;
    const Numbers& n_;
    std::vector<Template> templates_;
};

} // namespace

std::vector<Template> sequence_templates(const Typing& typing) {
    return Writer(typing).all();
}

} // namespace turnwright::features
