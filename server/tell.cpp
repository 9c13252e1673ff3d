// turnwright tell: a program block by block in plain words.
#include "report/tell.h"
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "usage.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>

namespace turnwright::commands {
namespace {

struct TellOptions {
    std::string file, out, format, shop, sequence;
    std::size_t line = 0;
    bool force = false;
};

std::string form_of(const TellOptions& options) {
    if (!options.format.empty()) return options.format;
    if (options.out.ends_with(".html") || options.out.ends_with(".htm")) return "html";
    return options.out.ends_with(".md") || options.out.ends_with(".markdown") ? "markdown" : "text";
}

int run_tell(const TellOptions& options) {
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    report::TellWhat what;
    what.sequence = options.sequence;
    if (options.line > 0) what.line = options.line - 1;
    const report::Telling telling = report::tell(*opened.document, what);
    if (telling.is_part && telling.sequences.empty())
        return say_trouble(options.file,
                           options.sequence.empty()
                               ? said("line ") + std::to_string(options.line) + said(" does nothing")
                               : said("no sequence ") + options.sequence +
                                     said(": give an N number or a tool, such as N7 or T07"));
    const ReportPlace place{options.out, options.file, options.force};
    const std::string form = form_of(options);
    if (form == "html")
        return write_report(place, {".html", ".htm"}, report::telling_page(*opened.document, telling));
    return write_report(place, {".md", ".markdown", ".txt"},
                        form == "text" ? report::telling_text(telling) : report::telling_markdown(telling));
}

} // namespace

void add_tell(CLI::App& app, int& status) {
    auto options = std::make_shared<TellOptions>();
    CLI::App* tell =
        app.add_subcommand("tell", said("Tell in plain words what the machine does, block by block"));
    tell->add_option("file", options->file, said("Program; - reads standard input"))->required();
    tell->add_option("-o,--out", options->out, said("File to write (default: standard output)"));
    tell->add_option("--format", options->format,
                     said("text, html or markdown (default: by the ending of --out, else text)"))
        ->check(CLI::IsMember({"text", "html", "markdown"}));
    auto* line = tell->add_option("--line", options->line, said("Tell this line alone"))->check(above_zero());
    tell->add_option("--sequence", options->sequence, said("Tell this sequence alone: N7, T07"))
        ->excludes(line);
    tell->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    tell->add_option("--shop", options->shop,
                     said("Shop file to use instead of the nearest turnwright.toml"));
    tell->callback([options, &status] { status = run_tell(*options); });
}

} // namespace turnwright::commands
