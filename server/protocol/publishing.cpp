#include "protocol/publishing.h"
#include "language/said.h"

#include "protocol/client.h"
#include "protocol/uri.h"

#include <algorithm>
#include <system_error>
#include <utility>

namespace turnwright::protocol {
namespace {

// An editor shows no more with profit; a program of a million faulty blocks must not cost it its memory.
constexpr std::size_t most_warnings = 5000;

DiagnosticSeverity severity_of(shop::Severity severity) {
    switch (severity) {
    case shop::Severity::error:
        return DiagnosticSeverity::error;
    case shop::Severity::warning:
        return DiagnosticSeverity::warning;
    case shop::Severity::information:
        return DiagnosticSeverity::information;
    case shop::Severity::hint:
    case shop::Severity::off:
        break;
    }
    return DiagnosticSeverity::hint;
}

Diagnostic about_the_file(DiagnosticSeverity severity, std::string message) {
    Diagnostic diagnostic;
    diagnostic.severity = severity;
    diagnostic.message = std::move(message);
    return diagnostic;
}

/// A very long program of which only the first part has been looked at.
bool is_known_in_part(const OpenDocument& document) {
    return !document.lost() && !document.was_evaluated() && document.as_it_is().is_in_part();
}

} // namespace

std::string Publishing::page_of_warning(const std::string& id) {
    if (around_.docs_folder.empty()) return {};
    const auto [known, is_new] = pages_.try_emplace(id);
    if (is_new) {
        // Beside a program that was handed out stand pages for a browser.
        for (const char* ending : {".html", ".md"}) {
            const auto page = around_.docs_folder / "warnings" / (id + ending);
            std::error_code failed;
            if (!std::filesystem::is_regular_file(page, failed)) continue;
            known->second = uri_of_path(page);
            break;
        }
    }
    return known->second;
}

Diagnostic Publishing::diagnostic_of(const OpenDocument& document, features::Warning warning) {
    Diagnostic diagnostic;
    diagnostic.range = document.to_client(warning.range);
    diagnostic.severity = severity_of(warning.severity);
    diagnostic.code_href = page_of_warning(warning.id);
    diagnostic.code = std::move(warning.id);
    diagnostic.message = std::move(warning.message);
    if (warning.tag == checks::Tag::unnecessary) diagnostic.tags.push_back(DiagnosticTag::unnecessary);
    if (warning.tag == checks::Tag::deprecated) diagnostic.tags.push_back(DiagnosticTag::deprecated);
    for (features::RelatedWarning& related : warning.related)
        diagnostic.related.push_back(
            {{document.uri(), document.to_client(related.range)}, std::move(related.message)});
    return diagnostic;
}

std::string Publishing::diagnostics(OpenDocument& document) {
    Calm& calm = document.publication.calm;
    if (document.lost()) {
        calm.restart();
        return written({about_the_file(DiagnosticSeverity::warning, document.why_lost())});
    }
    const features::Document& program = around_.evaluate(document);
    document.publication.told_with = document.checked_with();
    return shown(document, features::warnings(program), calm);
}

std::optional<std::string> Publishing::diagnostics_of_blocks(OpenDocument& document) {
    Calm calm = document.publication.calm; // The whole, which follows, is told as if this had not been
    if (document.lost() || !calm.knows_told() || !document.evaluate_blocks()) return std::nullopt;
    return shown(document, calm.with_told_of_file(features::warnings(document.as_it_is())), calm);
}

std::string Publishing::shown(const OpenDocument& document, std::vector<features::Warning> all, Calm& calm) {
    // So many are told in part anyway, and are much to look through after every key.
    if (all.size() > most_warnings || !around_.settings.flag({"warnings", "calm"}, true)) calm.restart();
    const Calm::Open open =
        calm.is_typing() ? Calm::open_at(document.as_it_is(), calm.typed_line()) : Calm::Open{};
    return written_of(document, calm.shown(std::move(all), open, Calm::Clock::now()));
}

std::string Publishing::all_of(OpenDocument& document) {
    return written_of(document, features::warnings(around_.evaluate(document)));
}

std::string Publishing::written_of(const OpenDocument& document, std::vector<features::Warning> warnings) {
    const std::size_t shown = std::min(warnings.size(), most_warnings);
    std::vector<Diagnostic> all;
    all.reserve(shown + 1);
    if (shown < warnings.size())
        all.push_back(about_the_file(DiagnosticSeverity::information,
                                     said("Only the first ") + std::to_string(shown) + " of " +
                                         std::to_string(warnings.size()) + said(" warnings are shown.")));
    for (std::size_t i = 0; i < shown; ++i) all.push_back(diagnostic_of(document, std::move(warnings[i])));
    return written(all);
}

std::optional<std::string> Publishing::first_part(OpenDocument& document) {
    if (!is_known_in_part(document) || !around_.client.can({"workspace", "diagnostics", "refreshSupport"}))
        return std::nullopt;
    document.publication.told_in_part = true;
    return written_of(document, features::warnings(document.as_it_is()));
}

void Publishing::bring_up_to_date(OpenDocument& document) {
    Publication& publication = document.publication;
    std::optional<std::string> of_blocks;
    if (around_.client.can({"workspace", "diagnostics", "refreshSupport"}))
        of_blocks = diagnostics_of_blocks(document);
    // The client is asked to pull again when what follows is another.
    publication.dirty = publication.may_be_held = of_blocks.has_value();
    std::string now = of_blocks ? std::move(*of_blocks) : diagnostics(document);
    wake_in_time();
    if (!publication.result_id.empty() && now == publication.reported) return;
    publication.result_id = new_result_id();
    publication.reported = std::move(now);
}

void Publishing::cursor_at(OpenDocument& document, std::uint32_t line) {
    if (document.publication.calm.cursor_at(line)) document.publication.hold_back_no_more();
}

void Publishing::saved(OpenDocument& document) {
    if (document.publication.calm.release()) document.publication.hold_back_no_more();
}

void Publishing::take_back(const OpenDocument& document) {
    if (!around_.client.pulls_diagnostics()) tell(document.uri(), std::nullopt, written({}));
}

void Publishing::ask_to_refresh() {
    around_.endpoint.request("workspace/diagnostic/refresh", nullptr, [](const Json&, const rpc::Error*) {});
}

void Publishing::tell(const std::string& uri, std::optional<std::int64_t> version,
                      std::string_view diagnostics) {
    around_.endpoint.notify("textDocument/publishDiagnostics",
                            rpc::Written(publish_params(uri, version, diagnostics)));
}

void Publishing::tell_shop_problems() {
    // Asked after every change of a program; shop files change seldom.
    if (around_.shop_files.stamp() == shop_stamp_told_) return;
    shop_stamp_told_ = around_.shop_files.stamp();
    std::map<std::string, std::string> now;
    for (const auto& [path, problems] : around_.shop_files.problems()) {
        std::vector<Diagnostic> all;
        for (const shop::Problem& problem : problems) {
            Diagnostic diagnostic;
            const auto line = static_cast<std::uint32_t>(problem.line);
            const auto column = static_cast<std::uint32_t>(problem.column);
            diagnostic.range = {{line, column}, {line, column + static_cast<std::uint32_t>(problem.length)}};
            diagnostic.code = "shop_file";
            diagnostic.message = problem.message;
            all.push_back(std::move(diagnostic));
        }
        if (!all.empty()) now.emplace(uri_of_path(path), written(all));
    }
    if (now == shop_problems_) return;
    for (const auto& [uri, told] : shop_problems_)
        if (!now.contains(uri)) tell(uri, std::nullopt, written({}));
    for (const auto& [uri, all] : now) {
        const auto told = shop_problems_.find(uri);
        if (told == shop_problems_.end() || told->second != all) tell(uri, std::nullopt, all);
    }
    shop_problems_ = std::move(now);
}

bool Publishing::tell_one() {
    tell_shop_problems();
    const auto now = Calm::Clock::now();
    OpenDocument* next = nullptr;
    for (auto& [key, document] : around_.documents) {
        const auto wakes = document->publication.calm.wakes_at();
        if (wakes && *wakes <= now) document->publication.hold_back_no_more();
        // The one that is typed in comes first.
        if (document->publication.dirty && (!next || wakes)) next = document.get();
    }
    if (next) publish(*next);
    wake_in_time();
    return next != nullptr;
}

void Publishing::wake_in_time() {
    std::optional<Calm::Clock::time_point> first;
    for (const auto& [key, document] : around_.documents)
        if (const auto wakes = document->publication.calm.wakes_at())
            first = std::min(first.value_or(*wakes), *wakes);
    if (first) around_.endpoint.wake_at(*first);
}

void Publishing::publish(OpenDocument& document) {
    Publication& publication = document.publication;
    // What the first part of a very long program shows is told before the rest is looked at.
    if (is_known_in_part(document) && !publication.first_part_told) {
        publication.first_part_told = true;
        if (!around_.client.pulls_diagnostics())
            tell(document.uri(), document.version(),
                 written_of(document, features::warnings(document.as_it_is())));
        return;
    }
    if (!around_.client.pulls_diagnostics())
        if (auto of_blocks = diagnostics_of_blocks(document)) {
            tell(document.uri(), document.version(), *of_blocks);
            publication.told_of_blocks = std::move(*of_blocks);
            return;
        }
    publication.dirty = false; // first: a check that throws must not be tried for ever
    if (!around_.client.pulls_diagnostics()) {
        const std::string all = diagnostics(document);
        if (std::exchange(publication.told_of_blocks, {}) != all)
            tell(document.uri(), document.version(), all);
        return;
    }
    around_.evaluate(document); // ready when it is asked for
    const bool more =
        std::exchange(publication.may_be_held, false) && diagnostics(document) != publication.reported;
    if (std::exchange(publication.told_in_part, false) || more) ask_to_refresh();
}

} // namespace turnwright::protocol
