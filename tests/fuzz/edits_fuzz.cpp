// Any edits of a program: after every one of them the results are those of a fresh start, in syntax, state,
// sequences, times, tokens and warnings.
//
// Input: a program, 0xFE, then edits of six bytes (line, column, lines and columns taken away, what is put
// in, whether the next edit comes before the evaluation). The last byte chooses the shop file and how often
// the program stands behind itself, since results are kept by runs of 64 lines.
#include "features/features.h"
#include "fuzz/fuzz.h"
#include "fuzz/shops.h"
#include "syntax/shown.h"

#include <cmath>
#include <sstream>

using namespace turnwright;
using fuzz::require;

namespace {

constexpr std::string_view pieces[] = {"G01 Z-5.\n",
                                       "G96 S200 M03\n",
                                       "G50 S2500\n",
                                       "G92 S1500\n",
                                       "T0404\n",
                                       "T5\n",
                                       "N7 (NEW SEQUENCE)\n",
                                       "M30\n",
                                       "M99\n",
                                       "M99 P7\n",
                                       "(TURNWRIGHT: ACCEPT feed_missing)\n",
                                       "(TURNWRIGHT: ACCEPT IN FILE units_missing)\n",
                                       "(MACHINE: LONG BED)\n",
                                       "X52\n",
                                       "U-2. W.5\n",
                                       "G71 P101 Q102 U0.4 W0.1 F0.28\n",
                                       "N101 G00 X20.\n",
                                       "N102 G01 Z-90.\n",
                                       "GOTO 7\n",
                                       "IF[#1EQ2]GOTO 101\n",
                                       "WHILE[#1LT5]DO1\n",
                                       "END1\n",
                                       "#1=#1+1\n",
                                       "#100=5.\n",
                                       "G41 X20. ,R2.\n",
                                       "G40\n",
                                       "O0009\n",
                                       "M98 P0009\n",
                                       "G65 P9 A1.\n",
                                       "G66 P9\n",
                                       "G67\n",
                                       "\n",
                                       "\n\n\n\n",
                                       "\r",
                                       "\r\n",
                                       "(",
                                       ")",
                                       "%\n",
                                       "%",
                                       "/",
                                       "G91\n",
                                       "G90\n",
                                       "G20\n",
                                       "G21\n",
                                       "G98 F100\n",
                                       "G28 U0 W0\n",
                                       "G54\n",
                                       "G10 P1 X1.\n",
                                       "M01\n",
                                       "G83 Z-20. Q5. F.1\n",
                                       "G80\n",
                                       "G76 X18. Z-20. P1 Q.2 F1.5\n",
                                       "G0",
                                       "1",
                                       "-",
                                       ".",
                                       "X",
                                       ";",
                                       "#",
                                       "[",
                                       "]",
                                       "T",
                                       "N",
                                       " "};

struct Edit {
    text::Range range;
    std::string with;
    bool wait;
};

Edit read_edit(const text::Buffer& buffer, std::string_view bytes) {
    const auto at = [&](std::size_t k) { return static_cast<std::uint8_t>(bytes[k]); };
    Edit edit;
    const auto line = static_cast<std::uint32_t>((at(0) << 8 | at(1)) % buffer.line_count());
    edit.range.begin = buffer.clamp({line, at(2) % 128U});
    edit.range.end = {line + at(3) / 16U, edit.range.begin.column + at(3) % 16U};
    if (at(3) >= 16) edit.range.end.column = at(3) % 16U;
    edit.with = at(4) < std::size(pieces) ? std::string(pieces[at(4)]) : std::string(1, bytes[4]);
    edit.wait = at(5) % 4 == 1;
    return edit;
}

void put(std::ostream& out, const text::Buffer& buffer, std::size_t run, const machine::Problem& problem) {
    out << buffer.first_line_of_leaf(run) + problem.block << ' ' << static_cast<int>(problem.kind) << ' '
        << problem.begin << '+' << problem.length << ' ' << problem.number << '\n';
}

void put(std::ostream& out, const text::Buffer& buffer, std::size_t run, const checks::Finding& finding) {
    out << buffer.first_line_of_leaf(run) + finding.block << ':' << finding.begin << '+' << finding.length
        << ' ' << finding.check->id << ' ' << static_cast<int>(finding.severity) << ' ' << finding.message
        << ' ' << finding.origin_of;
    for (const checks::Related& related : finding.related)
        out << " [" << buffer.first_line_of_leaf(related.block.run) + related.block.block << ' '
            << related.text << ']';
    out << '\n';
}

std::string shown(const text::Buffer& buffer, const checks::Results& results) {
    std::ostringstream out;
    for (const auto& placed : results.all()) put(out, buffer, placed.run, *placed.finding);
    for (const auto& placed : results.silenced()) {
        out << "silenced by " << buffer.first_line_of_leaf(placed.by.run) + placed.by.block << ' ';
        put(out, buffer, placed.run, *placed.finding);
    }
    return out.str();
}

std::string shown(const text::Buffer& buffer, const machine::Analysis& analysis) {
    std::ostringstream out;
    for (std::size_t run = 0; run < analysis.size(); ++run) {
        const machine::RunResult& result = *analysis.result(run);
        out << "run " << run << ' ' << result.reads_first << ' ' << result.sets << ' ' << result.may_set
            << ' ' << result.shape->landmarks.size() << ' ' << result.shape->labels.size() << ' '
            << result.shape->flow.size() << ' ' << result.shape->code_blocks << '\n';
        for (const machine::Problem& problem : result.problems) put(out, buffer, run, problem);
    }
    for (const auto& placed : analysis.flow_problems()) {
        out << "flow ";
        put(out, buffer, placed.run, placed.problem);
    }
    const std::map<std::int32_t, std::uint32_t> labels(analysis.label_counts().begin(),
                                                       analysis.label_counts().end());
    for (const auto& [number, count] : labels)
        if (count > 0) out << "label " << number << ' ' << count << '\n';
    return out.str();
}

std::string shown(const features::Document& document) {
    std::ostringstream out;
    for (const features::Warning& warning : features::all_warnings(document)) {
        out << warning.range.begin.line << ':' << warning.range.begin.column << '-' << warning.range.end.line
            << ':' << warning.range.end.column << ' ' << warning.id << ' ' << warning.message;
        for (const auto& related : warning.related)
            out << " [" << related.range.begin.line << ' ' << related.message << ']';
        out << '\n';
    }
    for (const features::Token& token : features::semantic_tokens(document))
        out << token.at.line << ':' << token.at.column << '+' << token.length << ' '
            << static_cast<int>(token.type) << ' ' << token.modifiers << '\n';
    for (const features::Symbol& symbol : features::document_symbols(document)) {
        out << symbol.name << ' ' << symbol.detail << ' ' << symbol.range.begin.line << ' '
            << symbol.range.end.line << '\n';
        for (const features::Symbol& inner : symbol.children)
            out << "  " << inner.name << ' ' << inner.detail << ' ' << inner.range.begin.line << ' '
                << inner.range.end.line << '\n';
    }
    return out.str();
}

void require_equal(const std::string& followed, const std::string& fresh, const char* claim) {
    if (followed == fresh) return;
    const auto [at, other] = std::mismatch(followed.begin(), followed.end(), fresh.begin(), fresh.end());
    const std::size_t from = static_cast<std::size_t>(at - followed.begin());
    const std::size_t line = from == 0 ? 0 : followed.rfind('\n', from - 1) + 1;
    require(false, claim,
            "followed: " + followed.substr(line, 400) +
                "\nfresh: " + fresh.substr(std::min(line, fresh.size()), 400));
}

void require_near(double followed, double fresh) {
    require(std::abs(followed - fresh) <= 1e-9 * std::max(1.0, std::abs(fresh)) ||
                (std::isnan(followed) && std::isnan(fresh)) || followed == fresh,
            "times are those of a fresh start", std::to_string(followed) + " and " + std::to_string(fresh));
}

void compare_times(const features::Document& followed, const features::Document& fresh) {
    const auto whole = [](const features::Document& document) {
        return document.times().between({0, 0}, document.place_of_line(document.buffer().line_count() - 1));
    };
    const motion::Totals a = whole(followed), b = whole(fresh);
    require_near(a.cut_seconds, b.cut_seconds);
    require_near(a.rapid_seconds, b.rapid_seconds);
    require_near(a.dwell_seconds, b.dwell_seconds);
    require_near(a.change_seconds, b.change_seconds);
    require_near(a.cut_mm, b.cut_mm);
    require_near(a.rapid_mm, b.rapid_mm);
    require(a.blocks_without_time == b.blocks_without_time && a.min_z_mm == b.min_z_mm &&
                a.max_z_mm == b.max_z_mm && a.min_x_radius_mm == b.min_x_radius_mm &&
                a.max_x_radius_mm == b.max_x_radius_mm,
            "extents are those of a fresh start");
}

void compare(const features::Document& document) {
    const text::Buffer& buffer = document.buffer();
    const syntax::Forest& forest = document.forest();
    require(forest.size() == buffer.leaf_count(), "a run for every leaf");
    for (std::size_t run = 0; run < forest.size(); ++run) {
        const std::string differs =
            syntax::test::difference(*forest.run(run), *syntax::parse_run(buffer.leaf(run)));
        require(differs.empty(), "runs are those of a fresh parse", differs);
    }

    // Over the same runs: state and findings.
    machine::Analysis analysis;
    analysis.rebuild(forest, document.settings(), nullptr);
    for (std::size_t run = 0; run < forest.size(); ++run) {
        const machine::RunResult &followed = *document.analysis().result(run), &fresh = *analysis.result(run);
        require(followed.in == fresh.in && followed.out == fresh.out, "states are those of a fresh start",
                "run " + std::to_string(run));
    }
    require_equal(shown(buffer, document.analysis()), shown(buffer, analysis),
                  "facts are those of a fresh start");
    checks::Results results;
    results.rebuild(analysis, document.shop());
    require_equal(shown(buffer, document.results()), shown(buffer, results),
                  "findings are those of a fresh start");

    // From the text alone, whose leaves may be cut elsewhere.
    const features::Document fresh(buffer.whole(), document.shop_pointer());
    require(document.settings().system == fresh.settings().system &&
                document.settings().system_from == fresh.settings().system_from &&
                document.settings().machine.name == fresh.settings().machine.name,
            "the system is that of a fresh start");
    require_equal(shown(document), shown(fresh), "what is shown is that of a fresh start");
    compare_times(document, fresh);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    std::string_view bytes(reinterpret_cast<const char*>(data), size - 1);
    const std::uint8_t choice = data[size - 1];
    const std::size_t mark = bytes.find('\xFE');
    const std::string_view text = bytes.substr(0, mark);
    const std::string_view edits =
        mark == std::string_view::npos ? std::string_view{} : bytes.substr(mark + 1);
    std::string whole;
    for (unsigned i = 0; i <= choice / 8U % 8U; ++i) whole += text;

    features::Document document(whole, fuzz::shop_number(choice));
    for (std::size_t at = 0; at + 6 <= edits.size() && at < 16 * 6; at += 6) {
        const Edit edit = read_edit(document.buffer(), edits.substr(at, 6));
        document.edit(edit.range, edit.with);
        if (edit.wait) continue;
        document.evaluate();
        compare(document);
    }
    document.evaluate();
    compare(document);
    return 0;
}
