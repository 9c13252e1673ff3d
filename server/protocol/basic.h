// LSP's small types: positions, ranges, locations, edits, commands.
#pragma once

#include "protocol/in.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace turnwright::protocol {

/// As the client counts: characters in the negotiated encoding. Only `OpenDocument` converts.
struct Position {
    std::uint32_t line = 0;
    std::uint32_t character = 0;
    auto operator<=>(const Position&) const = default;
};
struct Range {
    Position start;
    Position end;
    auto operator<=>(const Range&) const = default;
};
struct Location {
    std::string uri;
    Range range;
};
struct LocationLink {
    std::optional<Range> origin;
    std::string target_uri;
    Range target;
    Range target_selection;
};

struct TextEdit {
    Range range;
    std::string text;
};
/// Edits of documents, with the version they were made for where the document is open.
struct DocumentEdits {
    std::string uri;
    std::optional<std::int64_t> version;
    std::vector<TextEdit> edits;
};
struct WorkspaceEdit {
    std::vector<DocumentEdits> documents;
    bool versioned = true; ///< `documentChanges`; otherwise the older `changes`
};

struct Command {
    std::string title;
    std::string command;
    Json arguments; ///< Array, or null for none
};

enum class MarkupKind { plain, markdown };
struct Markup {
    MarkupKind kind = MarkupKind::markdown;
    std::string text;
};
struct Hover {
    Markup contents;
    std::optional<Range> range;
};
/// Answers `textDocument/prepareRename`.
struct RenamePlace {
    Range range;
    std::string placeholder;
};
/// Options as the client gives them for formatting.
struct FormattingOptions {
    std::uint32_t tab_size = 4;
    bool insert_spaces = true;
};

Position read_position(const In& in);
Range read_range(const In& in);
FormattingOptions read_formatting_options(const In& in);

/// As JSON text.
void write(std::string& out, const Range& range);

void to_json(Json& out, const Position& in);
void to_json(Json& out, const Range& in);
void to_json(Json& out, const Location& in);
void to_json(Json& out, const LocationLink& in);
void to_json(Json& out, const TextEdit& in);
void to_json(Json& out, const WorkspaceEdit& in);
void to_json(Json& out, const Command& in);
void to_json(Json& out, const Markup& in);
void to_json(Json& out, const Hover& in);
void to_json(Json& out, const RenamePlace& in);

/// Sets a member only where there is something to say.
template <class T>
void put(Json& out, const char* key, const std::optional<T>& value) {
    if (value) out[key] = *value;
}
inline void put(Json& out, const char* key, const std::string& value) {
    if (!value.empty()) out[key] = value;
}
inline void put(Json& out, const char* key, const Json& value) {
    if (!value.is_null()) out[key] = value;
}

} // namespace turnwright::protocol
