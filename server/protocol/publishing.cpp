// Warnings on their way to the client.
#include "protocol/server.h"
#include "protocol/uri.h"

#include <algorithm>
#include <system_error>

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

std::string Server::page_of_warning(const std::string& id) {
    if (options_.docs_folder.empty()) return {};
    const auto [known, is_new] = pages_.try_emplace(id);
    if (is_new) {
        const auto page = options_.docs_folder / "warnings" / (id + ".md");
        std::error_code failed;
        if (std::filesystem::is_regular_file(page, failed)) known->second = uri_of_path(page);
    }
    return known->second;
}

Diagnostic Server::diagnostic_of(const OpenDocument& document, features::Warning warning) {
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

std::string Server::diagnostics(OpenDocument& document) {
    if (document.lost())
        return written(
            {about_the_file(DiagnosticSeverity::warning,
                            "The editor's changes no longer fit the text that was read: nothing is "
                            "checked here until the file is closed and opened again.")});
    return diagnostics_of(document, features::warnings(evaluate(document)));
}

std::string Server::diagnostics_of(const OpenDocument& document, std::vector<features::Warning> warnings) {
    const std::size_t shown = std::min(warnings.size(), most_warnings);
    std::vector<Diagnostic> all;
    all.reserve(shown + 1);
    if (shown < warnings.size())
        all.push_back(about_the_file(DiagnosticSeverity::information,
                                     "Only the first " + std::to_string(shown) + " of " +
                                         std::to_string(warnings.size()) + " warnings are shown."));
    for (std::size_t i = 0; i < shown; ++i) all.push_back(diagnostic_of(document, std::move(warnings[i])));
    return written(all);
}

std::optional<std::string> Server::first_part(OpenDocument& document) {
    if (!is_known_in_part(document) || !client_.can({"workspace", "diagnostics", "refreshSupport"}))
        return std::nullopt;
    document.told_in_part = true;
    return diagnostics_of(document, features::warnings(document.as_it_is()));
}

void Server::bring_up_to_date(OpenDocument& document) {
    std::string now = diagnostics(document);
    document.dirty = false;
    if (!document.result_id.empty() && now == document.reported) return;
    document.result_id = new_result_id();
    document.reported = std::move(now);
}

void Server::tell_diagnostics(const std::string& uri, std::optional<std::int64_t> version,
                              std::string_view diagnostics) {
    endpoint_.notify("textDocument/publishDiagnostics",
                     rpc::Written(publish_params(uri, version, diagnostics)));
}

void Server::publish_shop_problems() {
    // Asked after every change of a program; shop files change seldom.
    if (shop_files_.stamp() == shop_stamp_told_) return;
    shop_stamp_told_ = shop_files_.stamp();
    std::map<std::string, std::string> now;
    for (const auto& [path, problems] : shop_files_.problems()) {
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
        if (!now.contains(uri)) tell_diagnostics(uri, std::nullopt, written({}));
    for (const auto& [uri, all] : now) {
        const auto told = shop_problems_.find(uri);
        if (told == shop_problems_.end() || told->second != all) tell_diagnostics(uri, std::nullopt, all);
    }
    shop_problems_ = std::move(now);
}

bool Server::publish_one() {
    if (phase_ != Phase::running) return false;
    publish_shop_problems();
    const auto is_dirty = [](const auto& entry) { return entry.second->dirty; };
    const auto next = std::find_if(documents_.begin(), documents_.end(), is_dirty);
    if (next == documents_.end()) return false;
    publish(*next->second);
    return true;
}

void Server::publish(OpenDocument& document) {
    // What the first part of a very long program shows is told before the rest is looked at.
    if (is_known_in_part(document) && !document.first_part_told) {
        document.first_part_told = true;
        if (!client_.pulls_diagnostics())
            tell_diagnostics(document.uri(), document.version(),
                             diagnostics_of(document, features::warnings(document.as_it_is())));
        return;
    }
    document.dirty = false; // first: a check that throws must not be tried for ever
    if (client_.pulls_diagnostics()) {
        evaluate(document); // ready when it is asked for
        if (document.told_in_part) ask_to_refresh();
        document.told_in_part = false;
        return;
    }
    tell_diagnostics(document.uri(), document.version(), diagnostics(document));
}

} // namespace turnwright::protocol
