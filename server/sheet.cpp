// turnwright sheet: the setup sheet of a program.
#include "commands.h"
#include "host/host.h"
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

int run_sheet(const SheetOptions& options) {
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    std::string format = options.format;
    if (format.empty())
        format = options.out.ends_with(".html") || options.out.ends_with(".htm") ? "html" : "markdown";
    const ReportPlace place{options.out, options.file, options.force};
    return format == "html"
               ? write_report(place, {".html", ".htm"}, report::sheet_page(*opened.document, host::today()))
               : write_report(place, {".md", ".markdown", ".txt"},
                              report::sheet_markdown(*opened.document, host::today()));
}

} // namespace

void add_sheet(CLI::App& app, int& status) {
    auto options = std::make_shared<SheetOptions>();
    CLI::App* sheet = app.add_subcommand(
        "sheet",
        "Write the setup sheet of a program: sketch, tools, times, what to measure, restart table, warnings");
    sheet->add_option("file", options->file, "Program; - reads standard input")->required();
    sheet->add_option("-o,--out", options->out, "File to write (default: standard output)");
    sheet
        ->add_option("--format", options->format,
                     "html or markdown (default: by the ending of --out, else markdown)")
        ->check(CLI::IsMember({"html", "markdown"}));
    sheet->add_flag("--force", options->force, "Write over a file that is no report, too");
    sheet->add_option("--shop", options->shop, "Shop file to use instead of the nearest turnwright.toml");
    sheet->callback([options, &status] { status = run_sheet(*options); });
}

} // namespace turnwright::commands
