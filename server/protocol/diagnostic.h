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
    Json data; ///< null for none
};

void to_json(Json& out, const RelatedInformation& in);
void to_json(Json& out, const Diagnostic& in);

Json publish_params(const std::string& uri, std::optional<std::int64_t> version, Json diagnostics);
Json full_report(const std::string& result_id, Json diagnostics);
Json unchanged_report(const std::string& result_id);

} // namespace turnwright::protocol
