// workspace/diagnostic: the warnings of every program in the folders, open or not.
#include "language/said.h"
#include "protocol/feature.h"
#include "protocol/progress.h"
#include "protocol/server.h"
#include "protocol/uri.h"

#include <algorithm>
#include <map>
#include <set>

namespace turnwright::protocol::workspace_diagnostic {
namespace {

constexpr std::size_t reports_a_part = 20;

/// Gathers reports, and sends them in parts where the client takes them so.
class Reports {
public:
    Reports(Server& server, const In& params) : parts_(server.endpoint(), params) {
        for (const In& previous : params["previousResultIds"].array())
            known_[normal_uri(previous["uri"].string())] = previous["value"].string();
    }

    void add(const ReportedFile& file, const std::string& result_id, std::string_view diagnostics) {
        const std::string key = normal_uri(file.uri);
        const auto known = known_.find(key);
        const bool same = known != known_.end() && known->second == result_id;
        if (known != known_.end()) known_.erase(known);
        put(same ? unchanged_report(result_id, &file) : full_report(result_id, diagnostics, &file));
    }

    /// What was told of files that are gone is taken back.
    void take_back_the_rest() {
        for (const auto& [uri, id] : known_) {
            const ReportedFile gone{uri, std::nullopt};
            put(full_report("", written({}), &gone));
        }
    }

    rpc::Written answer() {
        if (parts_.wanted()) flush();
        return gathered();
    }

private:
    void put(const std::string& report) {
        if (count_++ > 0) items_ += ',';
        items_ += report;
        if (parts_.wanted() && count_ >= reports_a_part) flush();
    }
    void flush() {
        if (count_ > 0) parts_.send(gathered());
        items_.clear();
        count_ = 0;
    }
    rpc::Written gathered() const { return rpc::Written(R"({"items":[)" + items_ + "]}"); }

    Parts parts_;
    std::map<std::string, std::string> known_;
    std::string items_; ///< JSON texts with commas between
    std::size_t count_ = 0;
};

rpc::Content handle(Server& server, const In& params, rpc::Call& call) {
    Reports reports(server, params);
    WorkDone work(server.endpoint(), params, said("Checking the programs of the workspace"));
    std::set<std::filesystem::path> open;
    for (auto& [key, document] : server.documents()) {
        call.cancel.throw_if_cancelled();
        open.insert(document->as_it_is().path());
        server.publishing().bring_up_to_date(*document);
        reports.add({document->uri(), document->version()}, document->publication.result_id,
                    document->publication.reported);
    }
    const auto files = server.workspace().files();
    server.closed_programs().keep_only(files);
    for (std::size_t i = 0; i < files.size(); ++i) {
        call.cancel.throw_if_cancelled();
        if (open.contains(files[i].path)) continue;
        work.report(static_cast<unsigned>(i * 100 / files.size()), files[i].path.filename().string());
        const auto& report = server.closed_programs().report(server, files[i]);
        reports.add({uri_of_path(files[i].path), std::nullopt}, report.result_id, report.diagnostics);
    }
    reports.take_back_the_rest();
    return reports.answer();
}

} // namespace

extern const Feature workspace_diagnostic_feature{"workspace/diagnostic", handle, nullptr};

} // namespace turnwright::protocol::workspace_diagnostic
