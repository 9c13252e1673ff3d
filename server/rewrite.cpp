// turnwright rewrite: programs of whole folders mended, renumbered, formatted or converted; what would change
// is shown, and nothing is written without being asked.
#include "commands.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "many_files.h"
#include "report/folder_programs.h"
#include "report/learn.h"
#include "report/rewritten.h"
#include "report/selection.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <memory>

namespace turnwright::commands {
namespace {

struct RewriteOptions {
    std::vector<std::string> files;
    std::string only, renumber, start, step, units, system, x, shop;
    bool mends = false, format = false, write = false;
    unsigned jobs = 0;
};

/// What came of one file.
struct Outcome {
    std::string problem, changes, note, left; ///< `left`: errors that are not mended, line by line
    bool changed = false, refused = false;
};

/// The one thing that is asked for; `problem` when it is none or several.
report::RewriteOrder order_of(const RewriteOptions& options, std::string& problem) {
    std::vector<report::RewriteOrder> orders;
    if (options.mends) orders.push_back({"turnwright.fixAll", {options.only}});
    if (options.format) orders.push_back({"", {}});
    if (!options.units.empty()) orders.push_back({"turnwright.convertUnits", {options.units}});
    if (!options.system.empty()) orders.push_back({"turnwright.convertSystem", {options.system}});
    if (!options.x.empty()) orders.push_back({"turnwright.convertX", {options.x}});
    if (!options.renumber.empty()) {
        const std::string usual = options.renumber == "sequences" ? "1" : "10";
        report::RewriteOrder order{"turnwright.renumber", {options.renumber}};
        if (!options.start.empty() || !options.step.empty())
            order.arguments = {options.renumber, options.start.empty() ? usual : options.start,
                               options.step.empty() ? usual : options.step};
        orders.push_back(std::move(order));
    }
    if (orders.size() == 1) return orders[0];
    problem = said("ask for one of --mend, --format, --renumber, --units, --system and --x");
    return {};
}

/// Errors that are left when all is mended that is certain.
std::string errors_left(const features::Document& was, const std::string& text,
                        const std::filesystem::path& path) {
    constexpr std::size_t most_told = 10;
    features::Document document(text, was.shop_pointer(), path, was.library());
    document.evaluate();
    std::string told;
    std::size_t count = 0;
    for (const auto& [run, finding] : document.results().shown()) {
        if (finding->severity != checks::Severity::error || ++count > most_told) continue;
        told += said("  not mended, for a person to decide: line {}: {} [{}]\n",
                     document.line_of({run, finding->block}) + 1, finding->message, finding->check->id);
    }
    if (count > most_told) told += said("  and {} more errors\n", count - most_told);
    return told;
}

Outcome rewrite_one(const std::string& name, const report::RewriteOrder& order, bool write,
                    const std::shared_ptr<const shop::Shop>& shop, report::FolderPrograms& folders) {
    Outcome outcome;
    const std::filesystem::path path = host::path_of(name);
    const report::OpenedProgram opened = report::open_program(path, shop, folders);
    outcome.problem = opened.problem;
    if (!opened.document) return outcome;
    const report::Rewritten rewritten = report::rewrite(*opened.document, order);
    outcome.refused = !rewritten.refused.empty();
    outcome.note = rewritten.refused;
    if (order.command == "turnwright.fixAll" && !outcome.refused)
        outcome.left = errors_left(
            *opened.document, rewritten.changed() ? rewritten.text : opened.document->buffer().whole(), path);
    if (!rewritten.changed()) return outcome;
    const std::string before = opened.document->buffer().whole();
    outcome.changes = report::line_changes(before, rewritten.text);
    outcome.changed = true;
    if (rewritten.warnings_before != rewritten.warnings_after)
        outcome.note = said("warnings {}, then {}", rewritten.warnings_before, rewritten.warnings_after);
    if (!write) return outcome;
    // Whoever saved it meanwhile keeps what was saved.
    if (report::read_program(path).text != before)
        outcome.problem = said("changed while it was rewritten: left as it is");
    else
        outcome.problem = host::replace_file(path, rewritten.text);
    return outcome;
}

std::string told(const std::vector<std::string>& files, const std::vector<Outcome>& outcomes, bool write) {
    std::string out;
    std::size_t changed = 0, refused = 0, trouble = 0;
    for (std::size_t i = 0; i < files.size(); ++i) {
        const Outcome& outcome = outcomes[i];
        changed += outcome.changed && outcome.problem.empty();
        refused += outcome.refused;
        trouble += !outcome.problem.empty();
        const std::string name = host::shown_name(files[i]);
        if (!outcome.problem.empty()) out += name + ": " + outcome.problem + "\n";
        if (outcome.refused) out += name + said(": left as it is: ") + outcome.note + "\n";
        if (!outcome.changed && outcome.left.empty()) continue;
        out += name + (outcome.note.empty() ? "" : " (" + outcome.note + ")") + ":\n";
        if (outcome.changed && !write) out += outcome.changes;
        out += outcome.left;
    }
    out += said("{} of {} {} {}{}.", changed, files.size(),
                files.size() == 1 ? said("program") : said("programs"),
                write ? said("rewritten") : said("would change"),
                refused > 0 ? said(", {} left as {} for the reason above", refused,
                                   refused == 1 ? said("it is") : said("they are"))
                            : "");
    if (trouble > 0) out += said(" {} not done.", trouble);
    if (!write && changed > 0) out += said(" Nothing was written: --write writes them.");
    return out + "\n";
}

int run_rewrite(const RewriteOptions& options) {
    std::string problem;
    const report::RewriteOrder order = order_of(options, problem);
    if (!problem.empty()) return say_trouble("rewrite", problem);
    if (!options.only.empty())
        if (const std::string why = report::why_no_check(options.only); !why.empty())
            return say_trouble(options.only, why);
    const std::shared_ptr<const shop::Shop> shop = shop_for_all(options.shop, problem);
    if (!problem.empty()) return say_trouble(options.shop, problem);
    const std::vector<std::string> files = report::files_meant(options.files).files;
    std::vector<Outcome> outcomes(files.size());
    report::FolderPrograms folders;
    for_each_file(files.size(), options.jobs, [&](std::size_t i) {
        outcomes[i] = rewrite_one(files[i], order, options.write, shop, folders);
    });
    const int written = write_out(told(files, outcomes, options.write));
    if (written != done) return written;
    bool changed = false;
    for (const Outcome& outcome : outcomes) {
        if (!outcome.problem.empty()) return in_trouble;
        changed = changed || outcome.changed;
    }
    return changed && !options.write ? 1 : done;
}

} // namespace

void add_rewrite(CLI::App& app, int& status) {
    auto options = std::make_shared<RewriteOptions>();
    CLI::App* rewrite = app.add_subcommand(
        "rewrite",
        said("Mend, format, renumber or convert programs of whole folders. Shows what would change; "
             "writes only with --write. Exit status: 0 nothing to change or written, 1 something "
             "would change, 2 a file could not be read or written"));
    rewrite
        ->add_option("file", options->files, said("Programs, folders or patterns such as \"jobs/**/*.nc\""))
        ->required();
    rewrite->add_flag("--mend", options->mends, said("Make the safe fixes of warnings"));
    rewrite->add_option("--only", options->only, said("With --mend those of this check alone"));
    rewrite->add_flag("--format", options->format, said("Write them by the [format] rules of the shop file"));
    rewrite
        ->add_option("--renumber", options->renumber, said("New N numbers: sequences, by_tool or all_blocks"))
        ->check(CLI::IsMember({"sequences", "by_tool", "all_blocks"}));
    rewrite->add_option("--start", options->start, said("First N number"));
    rewrite->add_option("--step", options->step, said("From N number to N number"));
    rewrite->add_option("--units", options->units, said("Convert to inch or mm"))
        ->check(CLI::IsMember({"inch", "mm"}));
    rewrite->add_option("--system", options->system, said("Convert to G-code system A, B or C"))
        ->check(CLI::IsMember({"A", "B", "C"}));
    rewrite->add_option("--x", options->x, said("Convert X to diameter or radius"))
        ->check(CLI::IsMember({"diameter", "radius"}));
    rewrite->add_flag("--write", options->write,
                      said("Write the files themselves, each whole or not at all"));
    rewrite->add_option("--shop", options->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    rewrite->add_option("--jobs", options->jobs, said("Files rewritten at once (default: one a processor)"));
    rewrite->callback([options, &status] { status = run_rewrite(*options); });
}

} // namespace turnwright::commands
