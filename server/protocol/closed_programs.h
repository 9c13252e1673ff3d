// Warnings of programs that are not open, for reports about the whole workspace.
#pragma once

#include "features/features.h"
#include "protocol/in.h"

#include <map>

namespace turnwright::protocol {

class Server;

/// Keeps what was found in each file until the file, its shop file or a program it may call changes.
class ClosedPrograms {
public:
    struct Report {
        std::string result_id;
        std::string diagnostics; ///< As JSON text
    };
    const Report& report(Server& server, const features::WorkspaceFile& file);
    /// Drops what is kept of files that are not named.
    void keep_only(const std::vector<features::WorkspaceFile>& files);

private:
    struct Entry {
        std::shared_ptr<const text::Buffer> text;
        std::shared_ptr<const shop::Shop> shop;
        std::uint64_t others = 0; ///< Stamp of the programs that it calls
        bool calls = false;
        Report report;
    };
    std::map<std::filesystem::path, Entry> entries_;
};

} // namespace turnwright::protocol
