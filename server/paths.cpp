// turnwright paths: the two programs of a lathe with two turrets, followed side by side from wait to wait.
#include "paths.h"
#include "host/host.h"
#include "language/said.h"
#include "report/path_chart.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <iostream>
#include <memory>

namespace turnwright::commands {
namespace {

struct PathsOptions {
    std::vector<std::string> files;
    std::string shop, format, out;
    bool force = false;
};

std::string form_of(const PathsOptions& options) {
    if (!options.format.empty()) return options.format;
    if (options.out.ends_with(".svg")) return "svg";
    if (options.out.ends_with(".html") || options.out.ends_with(".htm")) return "html";
    return options.out.ends_with(".json") ? "json" : "text";
}

int write_pair(const PathsOptions& options, const report::ChartedPaths& paths) {
    const std::string form = form_of(options);
    const ReportPlace place{options.out, options.files[0], options.force};
    int status = done;
    if (form == "svg")
        status = write_report(place, {".svg"}, report::paths_svg(paths));
    else if (form == "html")
        status = write_report(place, {".html", ".htm"}, report::paths_page(paths));
    else
        status = write_report(place, {".txt", ".json"},
                              form == "json" ? report::paths_json(paths.timed) : report::paths_text(paths));
    return status != done ? status : paths.timed.two.findings.empty() ? 0 : 1;
}

/// Both programs of a pair that the shop file tells, from one of them.
int run_with_partner(const PathsOptions& options, const features::Document& document) {
    checks::OtherPrograms others;
    const std::vector<checks::PathPair> pairs =
        checks::path_pairs(document.analysis(), document.outline(), others);
    if (pairs.empty())
        return say_trouble(
            options.files[0],
            document.settings().machine.has_paths()
                ? said("the program of the other turret was not found: the shop file says where it "
                       "stands; or give both files")
                : said("give the programs of both turrets, or let the shop file say which belong "
                       "together (path_numbers, path_marks, path_endings or path_folders)"));
    int worst = 0;
    for (const checks::PathPair& pair : pairs) {
        std::unique_ptr<features::Document> opened;
        std::array<const features::Document*, 2> documents{&document, &document};
        for (std::size_t p = 0; p < 2; ++p) {
            if (pair[p].is_here()) continue;
            opened = std::make_unique<features::Document>(pair[p].other->text(), document.shop_pointer(),
                                                          pair[p].other->file, document.library());
            documents[p] = opened.get();
        }
        const features::TimedPaths timed = features::timed_paths(pair, documents[0]->shop(), documents);
        const int status = write_pair(options, {timed, documents});
        if (status == in_trouble) return status;
        worst = std::max(worst, status);
        if (form_of(options) == "text" && options.out.empty()) continue;
        if (pairs.size() > 1)
            std::cerr << options.files[0] << said(": holds programs of ") << pairs.size()
                      << said(" pairs; this is the first\n");
        break;
    }
    return worst;
}

int run_paths(const PathsOptions& options) {
    std::array<std::unique_ptr<features::Document>, 2> opened;
    for (std::size_t p = 0; p < options.files.size(); ++p) {
        report::OpenedProgram program =
            report::open_program(host::path_of(options.files[p]), host::path_of(options.shop));
        if (!program.document) return say_trouble(options.files[p], program.problem);
        opened[p] = std::move(program.document);
    }
    if (options.files.size() == 1) return run_with_partner(options, *opened[0]);
    checks::PathPair pair;
    for (std::size_t p = 0; p < 2; ++p)
        pair[p] =
            checks::whole_file(opened[p]->analysis(), host::path_of(options.files[p]).filename().string());
    const std::array<const features::Document*, 2> documents{opened[0].get(), opened[1].get()};
    const features::TimedPaths timed = features::timed_paths(pair, documents[0]->shop(), documents);
    for (std::size_t p = 0; p < 2; ++p)
        if (timed.two.paths[p].blocks.empty())
            return say_trouble(pair[p].name, said("has no blocks that do anything"));
    return write_pair(options, {timed, documents});
}

} // namespace

void add_paths(CLI::App& app, int& status) {
    auto options = std::make_shared<PathsOptions>();
    CLI::App* paths = app.add_subcommand(
        "paths",
        said("Follow the two programs of a lathe with two turrets from wait to wait: waits that never meet, "
             "who waits for whom, what one does while the other cuts. Exit status as check"));
    paths
        ->add_option(
            "file", options->files,
            said("The program of the first turret and that of the second; one of them where the shop file "
                 "says which belong together"))
        ->required()
        ->expected(1, 2);
    paths->add_option(
        "-o,--out", options->out,
        said("File to write: .svg a chart over time, .html a page with both tools drawn (default: "
             "standard output)"));
    paths
        ->add_option("--format", options->format,
                     said("text, json, svg or html (default: by the ending of --out, else text)"))
        ->check(CLI::IsMember({"text", "json", "svg", "html"}));
    paths->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    paths->add_option("--shop", options->shop,
                      said("Shop file to use instead of the nearest turnwright.toml"));
    paths->callback([options, &status] { status = run_paths(*options); });
}

} // namespace turnwright::commands
