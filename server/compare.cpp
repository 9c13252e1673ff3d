// turnwright compare: what changed for the machine between two programs.
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

struct CompareOptions {
    std::string before, after, out, format, shop;
    bool force = false;
};

/// What comes by standard input is another version of the other program: read with its shop file, and calling
/// what stands beside it.
report::OpenedProgram open_version(const std::string& file, const std::string& other,
                                   const std::string& shop) {
    if (file != "-") return report::open_program(host::path_of(file), host::path_of(shop));
    const report::FileText read = report::read_program(host::path_of(file));
    if (!read.problem.empty()) return {nullptr, read.problem};
    return report::open_program_text(read.text, host::path_of(other), host::path_of(shop));
}

int run_compare(const CompareOptions& options) {
    if (options.before == "-" && options.after == "-")
        return say_trouble("-", said("can be only one of the two programs"));
    const report::OpenedProgram before = open_version(options.before, options.after, options.shop);
    if (!before.document) return say_trouble(options.before, before.problem);
    const report::OpenedProgram after = open_version(options.after, options.before, options.shop);
    if (!after.document) return say_trouble(options.after, after.problem);
    const report::Comparison comparison = report::compare(*before.document, *after.document);
    const ReportPlace place{options.out, options.after, options.force};
    int written = done;
    if (options.format == "html" || (options.format.empty() && options.out.ends_with(".html")))
        written = write_report(place, {".html", ".htm"},
                               report::comparison_page(*before.document, *after.document, comparison));
    else if (options.format == "json")
        written = write_report(place, {".json"}, report::comparison_json(comparison));
    else
        written = write_report(place, {".txt"},
                               options.format == "note" ? report::change_note(comparison)
                                                        : report::comparison_text(comparison));
    if (written != done) return written;
    return comparison.same() ? 0 : 1;
}

} // namespace

void add_compare(CLI::App& app, int& status) {
    auto options = std::make_shared<CompareOptions>();
    CLI::App* compare = app.add_subcommand(
        "compare", said("Tell what changed for the machine between two programs. Exit status: 0 nothing, 1 "
                        "something, 2 a file could not be read"));
    compare
        ->add_option("old", options->before,
                     said("Old program; - reads standard input, as a version of the new one"))
        ->required();
    compare->add_option("new", options->after, said("New program; - reads standard input"))->required();
    compare
        ->add_option(
            "--format", options->format,
            said(
                "text, json, note: notes for the head of the new program, or html: both ways of the tool and "
                "what material differs, drawn (default: html where --out ends so, else text)"))
        ->check(CLI::IsMember({"text", "json", "note", "html"}));
    compare->add_option("-o,--out", options->out, said("File to write (default: standard output)"));
    compare->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    compare->add_option("--shop", options->shop,
                        said("Shop file for both, instead of the nearest turnwright.toml of each"));
    compare->callback([options, &status] { status = run_compare(*options); });
}

} // namespace turnwright::commands
