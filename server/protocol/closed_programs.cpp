#include "protocol/closed_programs.h"

#include "protocol/server.h"
#include "protocol/uri.h"

#include <algorithm>
#include <set>

namespace turnwright::protocol {

const ClosedPrograms::Report& ClosedPrograms::report(Server& server, const features::WorkspaceFile& file) {
    auto shop = server.shop_for(file.path);
    Entry& entry = entries_[file.path];
    const std::uint64_t others = server.programs_stamp();
    const bool same =
        entry.text == file.buffer && entry.shop == shop && (!entry.calls || entry.others == others);
    if (same && !entry.report.result_id.empty()) return entry.report;
    entry = {file.buffer, shop, others, false, {}};
    OpenDocument document =
        server.closed_document(uri_of_path(file.path), file.buffer->whole(), std::move(shop));
    entry.report.diagnostics = server.publishing().all_of(document);
    entry.calls = document.called().was_asked();
    entry.report.result_id = server.new_result_id();
    return entry.report;
}

void ClosedPrograms::keep_only(const std::vector<features::WorkspaceFile>& files) {
    std::set<std::filesystem::path> named;
    for (const features::WorkspaceFile& file : files) named.insert(file.path);
    std::erase_if(entries_, [&](const auto& entry) { return !named.contains(entry.first); });
}

} // namespace turnwright::protocol
