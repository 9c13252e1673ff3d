#include "protocol/diagnostic.h"

namespace turnwright::protocol {

void to_json(Json& out, const RelatedInformation& in) {
    out = Json{{"location", in.location}, {"message", in.message}};
}

void to_json(Json& out, const Diagnostic& in) {
    out = Json{{"range", in.range},
               {"severity", static_cast<int>(in.severity)},
               {"source", "turnwright"},
               {"message", in.message}};
    put(out, "code", in.code);
    if (!in.code_href.empty()) out["codeDescription"] = Json{{"href", in.code_href}};
    for (const DiagnosticTag tag : in.tags) out["tags"].push_back(static_cast<int>(tag));
    if (!in.related.empty()) out["relatedInformation"] = in.related;
    put(out, "data", in.data);
}

Json publish_params(const std::string& uri, std::optional<std::int64_t> version, Json diagnostics) {
    Json params{{"uri", uri}, {"diagnostics", std::move(diagnostics)}};
    put(params, "version", version);
    return params;
}

Json full_report(const std::string& result_id, Json diagnostics) {
    Json report{{"kind", "full"}, {"items", std::move(diagnostics)}};
    put(report, "resultId", result_id);
    return report;
}

Json unchanged_report(const std::string& result_id) {
    return Json{{"kind", "unchanged"}, {"resultId", result_id}};
}

} // namespace turnwright::protocol
