#include "protocol/basic.h"

#include <fmt/compile.h>
#include <iterator>

namespace turnwright::protocol {

Position read_position(const In& in) {
    return {in["line"].uinteger(), in["character"].uinteger()};
}

Range read_range(const In& in) {
    return {read_position(in["start"]), read_position(in["end"])};
}

FormattingOptions read_formatting_options(const In& in) {
    return {in["tabSize"].uinteger(), in["insertSpaces"].boolean()};
}

void write(std::string& out, const Range& range) {
    fmt::format_to(
        std::back_inserter(out),
        FMT_COMPILE(R"({{"start":{{"line":{},"character":{}}},"end":{{"line":{},"character":{}}}}})"),
        range.start.line, range.start.character, range.end.line, range.end.character);
}

void to_json(Json& out, const Position& in) {
    out = Json{{"line", in.line}, {"character", in.character}};
}

void to_json(Json& out, const Range& in) {
    out = Json{{"start", in.start}, {"end", in.end}};
}

void to_json(Json& out, const Location& in) {
    out = Json{{"uri", in.uri}, {"range", in.range}};
}

void to_json(Json& out, const LocationLink& in) {
    out = Json{{"targetUri", in.target_uri},
               {"targetRange", in.target},
               {"targetSelectionRange", in.target_selection}};
    put(out, "originSelectionRange", in.origin);
}

void to_json(Json& out, const TextEdit& in) {
    out = Json{{"range", in.range}, {"newText", in.text}};
}

void to_json(Json& out, const WorkspaceEdit& in) {
    out = Json::object();
    if (!in.versioned) {
        Json changes = Json::object();
        for (const DocumentEdits& document : in.documents) changes[document.uri] = document.edits;
        out["changes"] = std::move(changes);
        return;
    }
    Json changes = Json::array();
    for (const DocumentEdits& document : in.documents) {
        const Json version = document.version ? Json(*document.version) : Json(nullptr);
        changes.push_back(Json{{"textDocument", Json{{"uri", document.uri}, {"version", version}}},
                               {"edits", document.edits}});
    }
    out["documentChanges"] = std::move(changes);
}

void to_json(Json& out, const Command& in) {
    out = Json{{"title", in.title}, {"command", in.command}};
    put(out, "arguments", in.arguments);
}

void to_json(Json& out, const Markup& in) {
    out = Json{{"kind", in.kind == MarkupKind::markdown ? "markdown" : "plaintext"}, {"value", in.text}};
}

void to_json(Json& out, const Hover& in) {
    out = Json{{"contents", in.contents}};
    put(out, "range", in.range);
}

void to_json(Json& out, const RenamePlace& in) {
    out = Json{{"range", in.range}, {"placeholder", in.placeholder}};
}

} // namespace turnwright::protocol
