// LSP diagnostics, pushed and pulled.
#pragma once

#include "protocol/basic.h"

namespace turnwright::protocol {

enum class DiagnosticSeverity { error = 1, warning = 2, information = 3, hint = 4 };
enum class DiagnosticTag { unnecessary = 1, deprecated = 2 };

struct RelatedInformation {
    Location location;
    std::string message;
};
struct Diagnostic {
    Range range;
    DiagnosticSeverity severity = DiagnosticSeverity::warning;
    std::string code;
    std::string code_href; ///< Page that explains the code; may be empty
    std::string message;
    std::vector<DiagnosticTag> tags;
    std::vector<RelatedInformation> related;
};

// As JSON text: all of a program's are told again after every key.
std::string written(const std::vector<Diagnostic>& diagnostics);
void to_json(Json& out, const Diagnostic& in);

// `diagnostics` is a list as JSON text.
std::string publish_params(const std::string& uri, std::optional<std::int64_t> version,
                           std::string_view diagnostics);
/// Of a file that a report about the workspace names.
struct ReportedFile {
    std::string uri;
    std::optional<std::int64_t> version;
};
std::string full_report(const std::string& result_id, std::string_view diagnostics,
                        const ReportedFile* file = nullptr);
std::string unchanged_report(const std::string& result_id, const ReportedFile* file = nullptr);

} // namespace turnwright::protocol
