#include "language/said.h"
#include "report/report.h"

#include "features/assumed.h"
#include "features/each_warning.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "host/host.h"
#include "machine/read_once.h"
#include "report/folder_programs.h"
#include "report/likeness.h"
#include "report/picture.h"
#include "shop/job_file.h"

#include <fmt/format.h>

namespace turnwright::report {

const TableText caution = "A check reads the program; it is no proof that it is safe. Prove it out at the "
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

constexpr std::size_t longest_block_told = 200;
/// Of a line; blanks and the number go from it before it is told.
constexpr std::size_t longest_line_read = 10 * longest_block_told;
/// Of one kind in one file.
constexpr std::size_t most_listed = 10'000;

CheckedFile check_text(std::string name, std::string_view text, std::shared_ptr<const shop::Shop> shop,
                       const std::filesystem::path& path,
                       std::shared_ptr<const machine::ProgramLibrary> library, bool with_fingerprint) {
    CheckedFile checked;
    checked.name = std::move(name);
    checked.problem = why_not_a_program(text);
    if (!checked.problem.empty()) return checked;
    checked.shop_file = shop->path.string();
    const machine::ReadOnce here;
    features::Document document(text, std::move(shop), path, std::move(library));
    checked.system = codes::system_letter(document.settings().system);
    checked.system_assumed = document.settings().system_from == machine::SystemFrom::assumed;
    checked.assumed = features::assumed_in_short(document, setup_here(document));
    checked.blocks = document.buffer().line_count();
    checked.long_sequences = features::long_sequences(document);
    if (with_fingerprint) checked.fingerprint = fingerprint_text(likeness_of(course_of(document)));
    auto column = [&](text::Position at) {
        return document.buffer().to_client(at, text::Encoding::utf32) + std::size_t{1};
    };
    auto shown_at = [&](const text::Range& range, checks::Severity severity, std::string id,
                        std::string message) {
        // Without its N number, which renumbering changes, and its blanks.
        std::string block =
            features::readable(document.buffer().line(range.begin.line).substr(0, longest_line_read));
        std::erase(block, ' ');
        if (const std::size_t digits = block.find_first_not_of("0123456789", 1);
            block.starts_with('N') && digits != block.npos)
            block.erase(0, digits);
        return CheckedWarning{.line = range.begin.line + std::size_t{1},
                              .column = column(range.begin),
                              .end_line = range.end.line + std::size_t{1},
                              .end_column = column(range.end),
                              .severity = severity,
                              .id = std::move(id),
                              .message = std::move(message),
                              .block = block.substr(0, longest_block_told),
                              .related = {},
                              .more = 0};
    };
    struct Listed {
        std::size_t count = 0, last = 0;
    };
    std::map<const checks::Check*, Listed> listed;
    const auto wanted = [&](const checks::Finding& finding) {
        Listed& of_kind = listed[finding.check];
        if (of_kind.count == most_listed) {
            ++checked.warnings[of_kind.last].more;
            return false;
        }
        ++of_kind.count;
        of_kind.last = checked.warnings.size();
        return true;
    };
    features::each_warning(document, wanted, [&](features::Warning warning) {
        CheckedWarning shown =
            shown_at(warning.range, warning.severity, std::move(warning.id), std::move(warning.message));
        for (const auto& related : warning.related)
            shown.related.push_back(
                {related.range.begin.line + std::size_t{1}, column(related.range.begin), related.message});
        checked.warnings.push_back(std::move(shown));
    });
    for (CheckedWarning& warning : checked.warnings)
        if (warning.more > 0)
            warning.message +=
                said(" {} more of this kind follow in this file, too many to be listed.", warning.more);
    for (const checks::Results::Silenced& hidden : document.results().silenced()) {
        const checks::Finding& finding = *hidden.finding;
        CheckedWarning shown = shown_at(document.range_of(hidden.run, finding), finding.severity,
                                        std::string(finding.check->id), finding.message);
        const text::Position by = document.range_of(hidden.by).begin;
        shown.related.push_back({by.line + std::size_t{1}, column(by), said("silenced by the note here")});
        checked.silenced.push_back(std::move(shown));
    }
    return checked;
}

CheckedFile check_file(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop,
                       FolderPrograms* folders, bool with_fingerprint) {
    FileText read = read_program(path);
    if (!read.problem.empty()) {
        CheckedFile failed;
        failed.name = path.string();
        failed.problem = std::move(read.problem);
        return failed;
    }
    shop = shop_for_job(path, std::move(shop));
    FolderPrograms alone;
    auto beside = (folders ? *folders : alone).beside(path, *shop);
    CheckedFile checked =
        check_text(path.string(), read.text, std::move(shop), path, std::move(beside), with_fingerprint);
    checked.job_file = shop::find_job_file(path, host::root_of(path)).string();
    return checked;
}

namespace {

CheckedFile with_problems(std::string name, const std::vector<shop::Problem>& problems) {
    CheckedFile checked;
    checked.name = std::move(name);
    checked.is_shop_file = true;
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
    return with_problems(job_file.string(), load_job(job_file, *nearest_shop(job_file)).problems);
}

void add(Counts& counts, const CheckedFile& file) {
    ++(!file.problem.empty() ? counts.not_checked : file.is_shop_file ? counts.shop_files : counts.files);
    counts.left_out += file.left_out;
    counts.known_before += file.known_before;
    for (const CheckedWarning& warning : file.warnings) {
        const std::size_t times = 1 + warning.more;
        counts.by_check[warning.id] += times;
        if (warning.severity == checks::Severity::error)
            counts.errors += times;
        else if (warning.severity == checks::Severity::warning)
            counts.warnings += times;
        else
            counts.notes += times;
    }
}

Counts count(std::span<const CheckedFile> files) {
    Counts counts;
    for (const CheckedFile& file : files) add(counts, file);
    return counts;
}

int exit_status(const Counts& counts) {
    if (counts.not_checked > 0) return 2;
    return counts.errors + counts.warnings > 0 ? 1 : 0;
}

} // namespace turnwright::report
