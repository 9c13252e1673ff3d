// turnwright library: what stands in folders of programs, what of it clashes or is there twice, and an index.
#include "report/library.h"
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "many_files.h"
#include "report/folder_programs.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <memory>

namespace turnwright::commands {
namespace {

struct LibraryOptions {
    std::vector<std::string> files;
    std::string format, out, shop;
    unsigned jobs = 0;
    bool force = false;
};

/// By the ending of --out where --format does not say it.
std::string form_of(const LibraryOptions& options) {
    if (!options.format.empty()) return options.format;
    const std::string ending = host::path_of(options.out).extension().string();
    if (ending == ".csv") return "csv";
    if (ending == ".md") return "markdown";
    return ending == ".html" || ending == ".htm" ? "html" : "text";
}

int write_index(const LibraryOptions& options, const std::string& form,
                std::span<const report::LibraryProgram> programs) {
    const ReportPlace place{options.out, "-", options.force};
    if (form == "csv") return write_report(place, {".csv"}, report::library_csv(programs));
    if (form == "markdown") return write_report(place, {".md"}, report::library_markdown(programs));
    if (form == "html") return write_report(place, {".html", ".htm"}, report::library_page(programs));
    return write_report(place, {".txt"}, report::library_text(programs));
}

int run_library(const LibraryOptions& options) {
    std::string problem;
    const std::shared_ptr<const shop::Shop> shop = shop_for_all(options.shop, problem);
    if (!problem.empty()) return say_trouble(options.shop, problem);
    const std::string form = form_of(options);
    const std::vector<std::string> files = report::files_meant(options.files).files;
    std::vector<report::LibraryProgram> programs(files.size());
    report::FolderPrograms folders;
    for_each_file(files.size(), options.jobs, [&](std::size_t i) {
        const auto opened = report::open_program(host::path_of(files[i]), shop, folders);
        if (opened.document)
            programs[i] = report::library_program(*opened.document, files[i], form == "html");
        else
            programs[i].name = files[i], programs[i].problem = opened.problem;
    });
    const int written = write_index(options, form, programs);
    if (written != done) return written;
    if (std::any_of(programs.begin(), programs.end(), [](const auto& of) { return !of.problem.empty(); }))
        return in_trouble;
    const report::LibraryFindings found = report::find_in_library(programs);
    return found.clashes.empty() && found.nowhere.empty() ? done : 1;
}

} // namespace

void add_library(CLI::App& app, int& status) {
    auto options = std::make_shared<LibraryOptions>();
    CLI::App* library = app.add_subcommand(
        "library",
        said("Tell of folders of programs which share a number, which do the same work and which are "
             "called and nowhere; or write an index of them. Exit status: 0, 1 a number stands in "
             "two files or a called program is nowhere, 2 a file could not be read"));
    library->add_option("file", options->files, said("Folders, files or patterns such as \"jobs/**/*.nc\""))
        ->required();
    library
        ->add_option("--format", options->format,
                     said("text, csv, markdown or html (default: by the ending of --out, else text)"))
        ->check(CLI::IsMember({"text", "csv", "markdown", "html"}));
    library->add_option("-o,--out", options->out, said("File to write (default: standard output)"));
    library->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    library->add_option("--shop", options->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    library->add_option("--jobs", options->jobs, said("Files read at once (default: one a processor)"));
    library->callback([options, &status] { status = run_library(*options); });
}

} // namespace turnwright::commands
