// The page around the drawing. Works from a file, asks nothing of any network.
#include "features/hints.h"
#include "language/said.h"
#include "report/likeness.h"
#include "report/markup.h"
#include "report/page_data.h"

#include <fmt/format.h>

namespace turnwright::report {

namespace {

constexpr std::string_view page_body = R"HTML(<main>
<section id="figure" aria-label="Drawing">
<div id="tools" role="toolbar" aria-label="View">
<button type="button" id="zoom-in" title="+">Zoom in</button><button type="button" id="zoom-out" title="-">Zoom out</button>
<button type="button" id="fit" title="0">Fit</button>
<label>X stretched <select id="stretch"><option value="1">no</option><option value="2">2 times</option>
<option value="4">4 times</option><option value="8">8 times</option></select></label>
<label><input type="checkbox" id="halves"> both halves</label>
<label><input type="checkbox" id="alone" checked> this sequence's path only</label>
<label id="sizes-label" hidden><input type="checkbox" id="sizes"> sizes of the finished part</label>
<label id="look-label" hidden>view <select id="look"><option value="section">section</option>
<option value="axis">along the axis</option><option value="unrolled">unrolled</option></select></label>
<button type="button" id="measure" aria-pressed="false" title="M">Measure</button>
<output id="told"></output><span id="parts"></span></div>
<canvas id="sheet" tabindex="0" role="application" aria-label="Tool path" aria-roledescription="drawing" aria-describedby="spoken"></canvas>
<p id="measured" role="status"></p>
</section>
<aside>
<section id="state"><h2>After this block</h2><dl>
<dt>sequence</dt><dd id="sequence"></dd><dt>tool</dt><dd id="tool"></dd><dt>spindle</dt><dd id="spindle"></dd>
<dt>feed</dt><dd id="feed"></dd><dt>position</dt><dd id="position"></dd><dt>cut</dt><dd id="load"></dd>
<dt>stock</dt><dd id="left"></dd><dt>modes</dt><dd id="other"></dd><dt>time so far</dt><dd id="time"></dd></dl>
<p id="called"></p><p id="open"></p>
<details id="assumed" hidden><summary id="assumed-count"></summary><ul id="assumed-list"></ul></details></section>
<section id="hits"><h2>Warnings <span id="hit-count"></span></h2>
<div class="row-of-buttons"><button type="button" id="hit-back" title="P">Previous</button>
<button type="button" id="hit-on" title="N">Next</button></div><ol id="hit-list"></ol></section>
<section id="list"><h2>Sequences</h2><div id="sequences"></div></section>
<section id="text"><h2>Program</h2><div id="program" role="list"></div></section>
</aside>
</main>
<div id="controls" role="toolbar" aria-label="Steps">
<button type="button" id="back" title="Left arrow">Previous block</button><button type="button" id="on" title="Right arrow">Next block</button>
<button type="button" id="pass-back" title="Up arrow">Previous move</button><button type="button" id="pass-on" title="Down arrow">Next move</button>
<button type="button" id="run" title="Space">Play</button>
<label>by <select id="pace" aria-label="Play by"><option value="1">time</option><option value="4">time, 4 times as fast</option>
<option value="16" selected>time, 16 times</option><option value="64">time, 64 times</option><option value="block">block</option></select></label>
<input type="range" id="slider" min="0" max="0" value="0" aria-label="Block">
<output id="place" aria-live="off"></output>
<details><summary>Keys</summary><p>Left, right: block. Up, down: move or pass. Page up, page down: sequence. Home, End: first and last block.
Space: play and halt. N, P: next and previous warning. + and -: zoom, 0: fit. Shift and arrows: shift the view. M: measure. V: another view of work round the axis.</p></details>
</div>
<p id="spoken" aria-live="polite"></p>
)HTML";

} // namespace

namespace {

std::string page_around(const features::Document& document, const Picture& picture, const PagePart& part,
                        std::string_view follows) {
    const std::string note = program_note(document);
    std::string title = program_name(document);
    if (!note.empty()) title += " " + note;
    std::string out = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{}\"{}>\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'; script-src 'sha256-{}'{}; base-uri 'none'; form-action 'none'\">\n"
        "<meta name=\"generator\" content=\"Turnwright\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta name=\"color-scheme\" content=\"light dark\">\n"
        "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n",
        language::chosen(),
        follows.empty() ? "" : fmt::format(" data-follows=\"{}\"", markup_escaped(follows)), page_script_hash,
        follows.empty() ? "" : "; connect-src 'self'", said("{}: tool path", markup_escaped(title)),
        page_style);
    out += fmt::format("<header><h1>{}</h1><p>{}</p></header>\n", markup_escaped(title),
                       markup_escaped(picture_remarks(document, picture, true)));
    out += html_in_language(page_body);
    out +=
        said("<footer>{} The picture shows the programmed way. Of tools, holders and stock what is dashed is "
             "assumed. Fingerprint of what it does: {}.</footer>\n",
             markup_escaped(caution), picture.fingerprint);
    out +=
        said("<noscript>This page draws by its own script, which is switched off here. The same picture as a "
             "plain drawing: turnwright picture --format svg.</noscript>\n");
    out += "<script type=\"application/json\" id=\"data\">" + part.json + "</script>\n";
    out += "<script>" + std::string(page_script) + "</script>\n</body>\n</html>\n";
    return out;
}

} // namespace

std::string picture_page(const features::Document& document, std::string_view follows) {
    const Picture picture = make_picture(document);
    const DrawnStock stock = drawn_stock(document, picture);
    return page_around(document, picture, page_parts(document, picture, stock, {}, false).front(), follows);
}

std::vector<PictureFile> picture_pages(const features::Document& document, std::string_view file) {
    const Picture picture = make_picture(document);
    const DrawnStock stock = drawn_stock(document, picture);
    std::vector<PictureFile> files;
    for (const PagePart& part : page_parts(document, picture, stock, file, true))
        files.push_back(
            {part.file, page_around(document, picture, part, {}), part.first_line, part.last_line});
    return files;
}

} // namespace turnwright::report
