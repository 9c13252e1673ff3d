#include "protocol/places.h"

#include "protocol/uri.h"

namespace turnwright::protocol {

const OpenDocument* Places::open_document(const std::filesystem::path& path) const {
    if (path.empty()) return document_;
    for (const auto& [key, open] : server_.documents())
        if (open->as_it_is().path() == path) return open.get();
    return nullptr;
}

std::string Places::uri_of(const std::filesystem::path& path) const {
    const OpenDocument* open = open_document(path);
    return open ? open->uri() : uri_of_path(path);
}

const text::Buffer* Places::buffer_of(const std::filesystem::path& path) {
    if (!files_) files_ = server_.workspace().files();
    for (const features::WorkspaceFile& file : *files_)
        if (file.path == path) return file.buffer.get();
    return nullptr;
}

Range Places::range(const std::filesystem::path& path, text::Range range) {
    if (path.empty()) return document_ ? document_->to_client(range) : Range{};
    const text::Buffer* buffer = buffer_of(path);
    if (!buffer) return {};
    const text::Encoding encoding = server_.client().encoding;
    return {{range.begin.line, buffer->to_client(range.begin, encoding)},
            {range.end.line, buffer->to_client(range.end, encoding)}};
}

Location Places::location(const features::Location& location) {
    return {uri_of(location.path), range(location.path, location.range)};
}

WorkspaceEdit Places::edit(const features::Rewrite& rewrite) {
    WorkspaceEdit all;
    all.versioned = server_.client().can({"workspace", "workspaceEdit", "documentChanges"});
    for (const features::FileEdits& file : rewrite.files) {
        const OpenDocument* open = open_document(file.path);
        DocumentEdits edits{uri_of(file.path), std::nullopt, {}};
        if (open) edits.version = open->version();
        for (const features::TextEdit& edit : file.edits)
            edits.edits.push_back({range(file.path, edit.range), edit.text});
        all.documents.push_back(std::move(edits));
    }
    return all;
}

std::vector<TextEdit> to_client(const OpenDocument& document, const std::vector<features::TextEdit>& edits) {
    std::vector<TextEdit> converted;
    converted.reserve(edits.size());
    for (const features::TextEdit& edit : edits)
        converted.push_back({document.to_client(edit.range), edit.text});
    return converted;
}

} // namespace turnwright::protocol
