// turnwright check: the warnings of files, folders or standard input, for people and other programs.
#include "commands.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "many_files.h"
#include "report/folder_programs.h"
#include "report/selection.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <iostream>
#include <memory>
#include <optional>
#include <set>

namespace turnwright::commands {
namespace {

struct CheckOptions {
    std::vector<std::string> files;
    std::string format = "text";
    std::string shop, baseline, new_baseline;
    std::string name = "<standard input>";
    std::string at_least = "hint";
    report::Selection selection;
    unsigned jobs = 0;
    bool silenced = false, all = false, totals = false, fingerprint = false;
};

report::CheckedFile unchecked(std::string name, std::string problem) {
    report::CheckedFile failed;
    failed.name = std::move(name);
    failed.problem = std::move(problem);
    return failed;
}

report::CheckedFile check_one(const std::string& name, const CheckOptions& options,
                              const std::shared_ptr<const shop::Shop>& shop,
                              report::FolderPrograms& folders) {
    if (name == "-") {
        const report::FileText read = report::read_program("-");
        if (!read.problem.empty()) return unchecked(options.name, read.problem);
        auto used = shop ? shop : report::nearest_shop(std::filesystem::current_path() / "program");
        return report::check_text(options.name, read.text, used, {}, nullptr, options.fingerprint);
    }
    const std::filesystem::path path = host::path_of(name);
    const std::string file = path.filename().string();
    if (path.extension() == ".toml") { // A shop file may lie elsewhere by another name, for --shop
        const report::FileText read = report::read_program(path);
        if (!read.problem.empty()) return unchecked(name, read.problem);
        return file.ends_with(".turnwright.toml") ? report::check_job(path)
                                                  : report::check_shop(*report::load_shop(path));
    }
    report::CheckedFile checked = report::check_file(path, shop, &folders, options.fingerprint);
    std::error_code failed;
    if (std::filesystem::is_directory(path, failed))
        checked.problem = said("a folder with no part program in it");
    return checked;
}

std::vector<report::CheckedFile> check_all(const std::vector<std::string>& files, const CheckOptions& options,
                                           const std::shared_ptr<const shop::Shop>& shop) {
    std::vector<report::CheckedFile> checked(files.size());
    report::FolderPrograms folders;
    for_each_file(files.size(), options.jobs,
                  [&](std::size_t i) { checked[i] = check_one(files[i], options, shop, folders); });
    return checked;
}

/// What is wrong with a shop or a job file is told once, beside the programs it is used for.
void add_settings(std::vector<report::CheckedFile>& checked) {
    std::set<std::string> told;
    for (const report::CheckedFile& file : checked)
        if (file.is_shop_file) told.insert(file.name);
    for (std::size_t i = 0, programs = checked.size(); i < programs; ++i) {
        for (const bool is_job : {false, true}) {
            const std::string path = is_job ? checked[i].job_file : checked[i].shop_file;
            if (path.empty() || !told.insert(path).second) continue;
            report::CheckedFile problems = is_job
                                               ? report::check_job(host::path_of(path))
                                               : report::check_shop(*report::load_shop(host::path_of(path)));
            if (!problems.warnings.empty()) checked.push_back(std::move(problems));
        }
    }
}

std::filesystem::path folder_of(const std::string& file) {
    std::error_code failed;
    return std::filesystem::absolute(host::path_of(file), failed).lexically_normal().parent_path();
}

int write_baseline(const CheckOptions& options, const std::vector<report::CheckedFile>& checked) {
    const std::string text = report::Baseline::written(checked, folder_of(options.new_baseline));
    const host::FileRead old =
        host::read_file(host::path_of(options.new_baseline), report::largest_file_bytes);
    const bool is_other =
        old.problem.empty() && !old.bytes.empty() && !report::Baseline::is_baseline(old.bytes);
    if (is_other)
        return say_trouble(options.new_baseline, said("is there and is no baseline: it was left as it is"));
    return write_back(options.new_baseline, text);
}

/// The baseline that was asked for; `problem` when it cannot be read.
std::optional<report::Baseline> read_baseline(const std::string& path, std::string& problem) {
    if (path.empty()) return std::nullopt;
    host::FileRead read = host::read_file(host::path_of(path), report::largest_file_bytes);
    problem = std::move(read.problem);
    if (problem.empty() && !report::Baseline::is_baseline(read.bytes)) problem = said("is no baseline");
    if (!problem.empty()) {
        problem += said("; --new-baseline writes one");
        return std::nullopt;
    }
    return report::Baseline(read.bytes, folder_of(path));
}

std::string text_of(const std::vector<report::CheckedFile>& checked, const CheckOptions& options,
                    const std::string& passed_over, const std::optional<report::Baseline>& baseline) {
    if (options.format == "json") return report::as_json(checked);
    if (options.format == "sarif") return report::as_sarif(checked);
    if (options.format == "junit") return report::as_junit(checked);
    if (options.silenced) return report::silenced_text(checked);
    std::string text = options.totals ? report::totals_text(checked) : report::as_text(checked, options.all);
    text += passed_over;
    if (baseline && baseline->left() > 0)
        text += std::to_string(baseline->left()) +
                said(" of the baseline were not found any more: --new-baseline ") +
                said("writes one without them.\n");
    return text;
}

int run_check(const CheckOptions& options) {
    std::string problem;
    const std::shared_ptr<const shop::Shop> shop = shop_for_all(options.shop, problem);
    if (!problem.empty()) return say_trouble(options.shop, problem);
    for (const auto& ids : {options.selection.only, options.selection.without})
        for (const std::string& id : ids)
            if (const std::string why = report::why_no_check(id); !why.empty()) return say_trouble(id, why);
    std::optional<report::Baseline> baseline = read_baseline(options.baseline, problem);
    if (!problem.empty()) return say_trouble(options.baseline, problem);
    const report::FilesMeant meant = report::files_meant(options.files);
    std::vector<report::CheckedFile> checked = check_all(meant.files, options, shop);
    add_settings(checked);
    for (report::CheckedFile& file : checked) {
        report::select(file, options.selection);
        if (baseline) baseline->take_from(file);
    }
    if (!options.new_baseline.empty()) {
        const int status = write_baseline(options, checked);
        if (status != done) return status;
    }
    const int written = write_out(text_of(checked, options, report::passed_over_text(meant), baseline));
    return written == done ? report::exit_status(report::count(checked)) : written;
}

} // namespace

void add_check(CLI::App& app, int& status) {
    auto options = std::make_shared<CheckOptions>();
    CLI::App* check = app.add_subcommand(
        "check",
        said("Print the warnings of programs. Exit status: 0 none, 1 some, 2 a file could not be checked"));
    check
        ->add_option("file", options->files,
                     said("Files, folders or patterns such as \"jobs/**/*.nc\"; - reads standard input"))
        ->required();
    check->add_option("--format", options->format, said("text, json, sarif or junit"))
        ->check(CLI::IsMember({"text", "json", "sarif", "junit"}));
    check->add_option("--shop", options->shop,
                      said("Shop file to use instead of the nearest turnwright.toml"));
    check->add_option("--name", options->name, said("Name to show for standard input"));
    check->add_option("--only", options->selection.only, said("Only these checks: ids with commas between"))
        ->delimiter(',');
    check->add_option("--without", options->selection.without, said("Not these checks"))->delimiter(',');
    check
        ->add_option("--at-least", options->at_least,
                     said("error, warning, information or hint (default: hint)"))
        ->check(CLI::IsMember({"error", "warning", "information", "hint"}));
    check->add_option(
        "--baseline", options->baseline,
        said("Tell only what is not in this file, which --new-baseline wrote: for programs that ran "
             "before they were ever checked"));
    check->add_option("--new-baseline", options->new_baseline,
                      said("Write all that is found now to this file"));
    check->add_option("--jobs", options->jobs, said("Files checked at once (default: one a processor)"));
    check->add_flag("--all", options->all, said("Every finding, also of a kind that is on very many blocks"));
    check->add_flag("--totals", options->totals,
                    said("Totals by check and by folder instead of each finding"));
    check->add_flag(
        "--fingerprint", options->fingerprint,
        said("Tell a fingerprint of what the machine does in each program: notes, blanks and N numbers "
             "change nothing of it"));
    check->add_flag("--silenced", options->silenced, said("List what notes in the programs silence instead"));
    check->callback([options, &status] {
        for (const auto severity : {checks::Severity::error, checks::Severity::warning,
                                    checks::Severity::information, checks::Severity::hint})
            if (options->at_least == report::severity_name(severity)) options->selection.at_least = severity;
        status = run_check(*options);
    });
}

} // namespace turnwright::commands
