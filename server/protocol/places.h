// Places and edits in the document asked about and in other files, as the client counts.
#pragma once

#include "protocol/server.h"

namespace turnwright::protocol {

/// Converts what features say about several files of the workspace, for one request.
class Places {
public:
    Places(Server& server, const OpenDocument& document) : server_(server), document_(&document) {}
    /// For what is asked about no document: paths are never empty.
    explicit Places(Server& server) : server_(server) {}

    /// An empty path is the document itself.
    std::string uri_of(const std::filesystem::path& path) const;
    /// In the file at a path; an empty range at its top when it is gone.
    Range range(const std::filesystem::path& path, text::Range range);
    Location location(const features::Location& location);
    WorkspaceEdit edit(const features::Rewrite& rewrite);

private:
    const OpenDocument* open_document(const std::filesystem::path& path) const;
    const text::Buffer* buffer_of(const std::filesystem::path& path);

    Server& server_;
    const OpenDocument* document_ = nullptr;
    std::optional<std::vector<features::WorkspaceFile>> files_;
};

std::vector<TextEdit> to_client(const OpenDocument& document, const std::vector<features::TextEdit>& edits);

} // namespace turnwright::protocol
