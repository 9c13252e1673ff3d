// turnwright picture: the tool path as SVG, or as a page that steps through the blocks.
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <iostream>
#include <memory>

namespace turnwright::commands {
namespace {

struct PictureOptions {
    std::string file, out, format, shop;
    bool force = false;
};

int run_picture(const PictureOptions& options) {
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    std::string format = options.format;
    if (format.empty())
        format = options.out.ends_with(".html") || options.out.ends_with(".htm") ? "html" : "svg";
    const ReportPlace place{options.out, options.file, options.force};
    if (format != "html") return write_report(place, {".svg"}, report::picture_svg(*opened.document));
    if (options.out.empty() || options.out == "-")
        return write_report(place, {".html", ".htm"}, report::picture_page(*opened.document));
    const std::filesystem::path first = host::path_of(options.out);
    const std::vector<report::PictureFile> files =
        report::picture_pages(*opened.document, first.filename().string());
    for (const report::PictureFile& file : files) {
        const std::string path = (first.parent_path() / host::path_of(file.name)).string();
        if (const int status =
                write_report({path, options.file, options.force}, {".html", ".htm"}, file.text);
            status != done)
            return status;
        if (files.size() > 1)
            std::cerr << path << said(": lines ") << file.first_line + 1 << said(" to ") << file.last_line + 1
                      << '\n';
    }
    return done;
}

} // namespace

void add_picture(CLI::App& app, int& status) {
    auto options = std::make_shared<PictureOptions>();
    CLI::App* picture = app.add_subcommand(
        "picture", said("Draw the tool path of a program as SVG, or as a page to step through"));
    picture->add_option("file", options->file, said("Program; - reads standard input"))->required();
    picture->add_option("-o,--out", options->out,
                        said("File to write, .svg or .html (default: standard output)"));
    picture
        ->add_option("--format", options->format,
                     said("svg or html (default: by the ending of --out, else svg)"))
        ->check(CLI::IsMember({"svg", "html"}));
    picture->add_flag("--force", options->force, said("Write over a file that is no report, too"));
    picture->add_option("--shop", options->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    picture->callback([options, &status] { status = run_picture(*options); });
}

} // namespace turnwright::commands
