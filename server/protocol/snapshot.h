// A document as it was when something was asked about it, for work beside the server.
#pragma once

#include "features/program_files.h"
#include "protocol/live_version.h"
#include "protocol/places.h"
#include "protocol/uri.h"

#include <algorithm>
#include <map>

namespace turnwright::protocol {

/// An open document as it was then.
struct OpenVersion {
    std::string uri;
    std::int64_t version;
    LiveVersion now;
    bool is_current() const {
        const auto held = now.lock();
        return held && held->load() == version;
    }
};

struct Snapshot : OpenVersion {
    text::Buffer text;
    text::Encoding encoding;
    bool versioned; ///< The client takes edits of a version, and refuses those of another

    /// Of the document alone.
    WorkspaceEdit edit(const features::Rewrite& rewrite) const {
        WorkspaceEdit all;
        all.versioned = versioned;
        for (const features::FileEdits& file : rewrite.files)
            all.documents.push_back({uri, version, converted(file.edits, text)});
        return all;
    }
    /// And of other files; a client refuses those of one that is another version by then.
    WorkspaceEdit edit(const features::Rewrite& rewrite, const features::ProgramFiles& files,
                       const std::map<std::filesystem::path, OpenVersion>& opened) const {
        WorkspaceEdit all;
        all.versioned = versioned;
        for (const features::FileEdits& file : rewrite.files) {
            if (file.path.empty()) {
                all.documents.push_back({uri, version, converted(file.edits, text)});
                continue;
            }
            const auto open = opened.find(file.path);
            for (const features::WorkspaceFile& held : files.files())
                if (held.path == file.path)
                    all.documents.push_back(
                        {open == opened.end() ? uri_of_path(file.path) : open->second.uri,
                         open == opened.end() ? std::nullopt : std::optional(open->second.version),
                         converted(file.edits, *held.buffer)});
        }
        return all;
    }

    /// Edits of no version would go into whatever the text is by now.
    bool may_apply(const WorkspaceEdit& edit,
                   const std::map<std::filesystem::path, OpenVersion>& opened = {}) const {
        if (versioned) return true;
        const auto edits = [&](const OpenVersion& open) {
            return std::any_of(edit.documents.begin(), edit.documents.end(),
                               [&](const DocumentEdits& document) { return document.uri == open.uri; });
        };
        return is_current() && std::all_of(opened.begin(), opened.end(), [&](const auto& other) {
                   return !edits(other.second) || other.second.is_current();
               });
    }

private:
    std::vector<TextEdit> converted(const std::vector<features::TextEdit>& edits,
                                    const text::Buffer& of) const {
        const auto place = [&](const text::Position& at) {
            return Position{at.line, of.to_client(at, encoding)};
        };
        std::vector<TextEdit> out;
        out.reserve(edits.size());
        for (const features::TextEdit& edit : edits)
            out.push_back({{place(edit.range.begin), place(edit.range.end)}, edit.text});
        return out;
    }
};

} // namespace turnwright::protocol
