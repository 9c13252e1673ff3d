#include "protocol/diagnostic.h"

#include "rpc/message.h"

#include <fmt/compile.h>
#include <iterator>

namespace turnwright::protocol {
namespace {

constexpr std::size_t usual_length = 400, frame_length = 512;

void write_number(std::string& out, std::int64_t number) {
    fmt::format_to(std::back_inserter(out), FMT_COMPILE("{}"), number);
}

void write(std::string& out, const RelatedInformation& in) {
    out += R"({"location":{"uri":)";
    rpc::write_text(out, in.location.uri);
    out += R"(,"range":)";
    write(out, in.location.range);
    out += R"(},"message":)";
    rpc::write_text(out, in.message);
    out += '}';
}

void write(std::string& out, const Diagnostic& in) {
    out += R"({"range":)";
    write(out, in.range);
    out += R"(,"severity":)";
    write_number(out, static_cast<int>(in.severity));
    out += R"(,"source":"turnwright","message":)";
    rpc::write_text(out, in.message);
    if (!in.code.empty()) {
        out += R"(,"code":)";
        rpc::write_text(out, in.code);
    }
    if (!in.code_href.empty()) {
        out += R"(,"codeDescription":{"href":)";
        rpc::write_text(out, in.code_href);
        out += '}';
    }
    if (!in.tags.empty()) {
        out += R"(,"tags":[)";
        for (const DiagnosticTag& tag : in.tags) {
            if (&tag != &in.tags.front()) out += ',';
            write_number(out, static_cast<int>(tag));
        }
        out += ']';
    }
    if (!in.related.empty()) {
        out += R"(,"relatedInformation":[)";
        for (const RelatedInformation& related : in.related) {
            if (&related != &in.related.front()) out += ',';
            write(out, related);
        }
        out += ']';
    }
    out += '}';
}

void write(std::string& out, const ReportedFile* file) {
    if (!file) return;
    out += R"(,"uri":)";
    rpc::write_text(out, file->uri);
    out += R"(,"version":)";
    if (file->version)
        write_number(out, *file->version);
    else
        out += "null";
}

std::string report_of(std::string_view kind, const std::string& result_id, std::size_t room) {
    std::string out;
    out.reserve(room + frame_length);
    out += R"({"kind":)";
    rpc::write_text(out, kind);
    if (result_id.empty()) return out;
    out += R"(,"resultId":)";
    rpc::write_text(out, result_id);
    return out;
}

} // namespace

std::string written(const std::vector<Diagnostic>& diagnostics) {
    std::string out;
    out.reserve(diagnostics.size() * usual_length);
    out += '[';
    for (const Diagnostic& diagnostic : diagnostics) {
        if (&diagnostic != &diagnostics.front()) out += ',';
        write(out, diagnostic);
    }
    out += ']';
    return out;
}

void to_json(Json& out, const Diagnostic& in) {
    std::string text;
    write(text, in);
    out = Json::parse(text);
}

std::string publish_params(const std::string& uri, std::optional<std::int64_t> version,
                           std::string_view diagnostics) {
    std::string out;
    out.reserve(diagnostics.size() + uri.size() + frame_length);
    out += R"({"uri":)";
    rpc::write_text(out, uri);
    if (version) {
        out += R"(,"version":)";
        write_number(out, *version);
    }
    out += R"(,"diagnostics":)";
    out += diagnostics;
    out += '}';
    return out;
}

std::string full_report(const std::string& result_id, std::string_view diagnostics,
                        const ReportedFile* file) {
    std::string out = report_of("full", result_id, diagnostics.size());
    write(out, file);
    out += R"(,"items":)";
    out += diagnostics;
    out += '}';
    return out;
}

std::string unchanged_report(const std::string& result_id, const ReportedFile* file) {
    std::string out = report_of("unchanged", result_id, 0);
    write(out, file);
    out += '}';
    return out;
}

} // namespace turnwright::protocol
