// turnwright sheet: the setup sheet of a program.
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>

namespace turnwright::commands {
namespace {

struct SheetOptions {
    std::string file, out, format, shop;
    bool force = false;
};

std::string form_of(const SheetOptions& options) {
    if (!options.format.empty()) return options.format;
    if (options.out.ends_with(".html") || options.out.ends_with(".htm")) return "html";
    return options.out.ends_with(".md") || options.out.ends_with(".markdown") ? "markdown" : "text";
}

int run_sheet(const SheetOptions& options) {
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    const ReportPlace place{options.out, options.file, options.force};
    const std::string form = form_of(options);
    if (form == "html")
        return write_report(place, {".html", ".htm"}, report::sheet_page(*opened.document, host::today()));
    return write_report(place, {".md", ".markdown", ".txt"},
                        form == "text" ? report::sheet_text(*opened.document, host::today())
                                       : report::sheet_markdown(*opened.document, host::today()));
}

} // namespace

void add_sheet(CLI::App& app, int& status) {
    auto options = std::make_shared<SheetOptions>();
    CLI::App* sheet = app.add_subcommand("sheet", said("Write the setup sheet of a program: sketch, tools, "
                                                       "times, what to measure, restart table, warnings"));
    sheet->add_option("file", options->file, said("Program; - reads standard input"))->required();
    sheet->add_option("-o,--out", options->out, said("File to write (default: standard output)"));
    sheet
        ->add_option("--format", options->format,
                     said("text, html or markdown (default: by the ending of --out, else text)"))
        ->check(CLI::IsMember({"text", "html", "markdown"}));
    sheet->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    sheet->add_option("--shop", options->shop,
                      said("Shop file to use instead of the nearest turnwright.toml"));
    sheet->callback([options, &status] { status = run_sheet(*options); });
}

} // namespace turnwright::commands
