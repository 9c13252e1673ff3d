// A document as it was when something was asked about it, for work beside the server.
#pragma once

#include "features/document.h"
#include "protocol/places.h"

namespace turnwright::protocol {

struct Snapshot {
    std::string uri;
    std::int64_t version;
    text::Buffer text;
    text::Encoding encoding;

    WorkspaceEdit edit(const features::Rewrite& rewrite) const {
        WorkspaceEdit all;
        all.versioned = true;
        for (const features::FileEdits& file : rewrite.files) {
            DocumentEdits edits{uri, version, {}};
            const auto place = [&](const text::Position& at) {
                return Position{at.line, text.to_client(at, encoding)};
            };
            for (const features::TextEdit& edit : file.edits)
                edits.edits.push_back({{place(edit.range.begin), place(edit.range.end)}, edit.text});
            all.documents.push_back(std::move(edits));
        }
        return all;
    }
};

} // namespace turnwright::protocol
