#include "report/report.h"

#include "features/program_files.h"
#include "host/host.h"
#include "shop/job_file.h"

#include <fstream>

namespace turnwright::report {

const std::string_view caution =
    "A check reads the program; it is no proof that it is safe. Prove it out at the "
    "machine (dry run, single block,\nreduced rapid) by a qualified person, by the "
    "rules of your workplace.";

std::string_view severity_name(checks::Severity severity) {
    switch (severity) {
    case checks::Severity::off:
        return "off";
    case checks::Severity::hint:
        return "hint";
    case checks::Severity::information:
        return "information";
    case checks::Severity::warning:
        return "warning";
    case checks::Severity::error:
        return "error";
    }
    return "warning";
}

CheckedFile check_text(std::string name, std::string_view text, std::shared_ptr<const shop::Shop> shop,
                       const std::filesystem::path& path,
                       std::shared_ptr<const machine::ProgramLibrary> library) {
    CheckedFile checked;
    checked.name = std::move(name);
    checked.problem = why_not_a_program(text);
    if (!checked.problem.empty()) return checked;
    checked.shop_file = shop->path.string();
    features::Document document(text, std::move(shop), path, std::move(library));
    document.evaluate();
    checked.system = codes::system_letter(document.settings().system);
    checked.system_assumed = document.settings().system_from == machine::SystemFrom::assumed;
    checked.blocks = document.buffer().line_count();
    auto column = [&](text::Position at) {
        return document.buffer().to_client(at, text::Encoding::utf32) + std::size_t{1};
    };
    auto shown_at = [&](const text::Range& range, checks::Severity severity, std::string id,
                        std::string message) {
        return CheckedWarning{.line = range.begin.line + std::size_t{1},
                              .column = column(range.begin),
                              .end_line = range.end.line + std::size_t{1},
                              .end_column = column(range.end),
                              .severity = severity,
                              .id = std::move(id),
                              .message = std::move(message),
                              .related = {}};
    };
    for (features::Warning& warning : features::warnings(document)) {
        CheckedWarning shown =
            shown_at(warning.range, warning.severity, std::move(warning.id), std::move(warning.message));
        for (const auto& related : warning.related)
            shown.related.push_back(
                {related.range.begin.line + std::size_t{1}, column(related.range.begin), related.message});
        checked.warnings.push_back(std::move(shown));
    }
    for (const checks::Results::Silenced& hidden : document.results().silenced()) {
        const checks::Finding& finding = *hidden.finding;
        CheckedWarning shown = shown_at(document.range_of(hidden.run, finding), finding.severity,
                                        std::string(finding.check->id), finding.message);
        const text::Position by = document.range_of(hidden.by).begin;
        shown.related.push_back({by.line + std::size_t{1}, column(by), "silenced by the note here"});
        checked.silenced.push_back(std::move(shown));
    }
    return checked;
}

CheckedFile check_file(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop) {
    FileText read = read_program(path);
    if (!read.problem.empty()) {
        CheckedFile failed;
        failed.name = path.string();
        failed.problem = std::move(read.problem);
        return failed;
    }
    shop = shop_for_job(path, std::move(shop));
    auto beside = std::make_shared<features::ProgramFiles>();
    std::error_code failed;
    beside->set_folders({std::filesystem::absolute(path, failed).parent_path()});
    CheckedFile checked = check_text(path.string(), read.text, std::move(shop), path, std::move(beside));
    checked.job_file = shop::find_job_file(path, host::root_of(path)).string();
    return checked;
}

namespace {

CheckedFile with_problems(std::string name, const std::vector<shop::Problem>& problems) {
    CheckedFile checked;
    checked.name = std::move(name);
    checked.blocks = 1;
    for (const shop::Problem& problem : problems) {
        CheckedWarning shown;
        shown.line = shown.end_line = problem.line + 1;
        shown.column = problem.column + 1;
        shown.end_column = problem.column + 1 + problem.length;
        shown.severity = checks::Severity::warning;
        shown.id = "shop_file";
        shown.message = problem.message;
        checked.warnings.push_back(std::move(shown));
    }
    return checked;
}

} // namespace

CheckedFile check_shop(const shop::Shop& shop) {
    return with_problems(shop.path.string(), shop.problems);
}

CheckedFile check_job(const std::filesystem::path& job_file) {
    std::ifstream file(job_file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    return with_problems(job_file.string(), shop::parse_job(text, job_file).problems);
}

Counts count(std::span<const CheckedFile> files) {
    Counts counts;
    for (const CheckedFile& file : files) {
        ++(file.problem.empty() ? counts.files : counts.not_checked);
        for (const CheckedWarning& warning : file.warnings) {
            if (warning.severity == checks::Severity::error)
                ++counts.errors;
            else if (warning.severity == checks::Severity::warning)
                ++counts.warnings;
            else
                ++counts.notes;
        }
    }
    return counts;
}

int exit_status(const Counts& counts) {
    if (counts.not_checked > 0) return 2;
    return counts.errors + counts.warnings > 0 ? 1 : 0;
}

} // namespace turnwright::report
