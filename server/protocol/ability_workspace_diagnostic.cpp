// workspace/diagnostic: the warnings of every program in the folders, open or not.
#include "protocol/feature.h"
#include "protocol/progress.h"
#include "protocol/server.h"
#include "protocol/uri.h"

#include <algorithm>
#include <map>
#include <set>

namespace turnwright::protocol {
namespace {

constexpr std::size_t reports_a_part = 20;

/// Gathers reports, and sends them in parts where the client takes them so.
class Reports {
public:
    Reports(Server& server, const In& params) : parts_(server.endpoint(), params) {
        for (const In& previous : params["previousResultIds"].array())
            known_[normal_uri(previous["uri"].string())] = previous["value"].string();
    }

    void add(const std::string& uri, Json version, const std::string& result_id, const Json& diagnostics) {
        const std::string key = normal_uri(uri);
        const auto known = known_.find(key);
        const bool same = known != known_.end() && known->second == result_id;
        if (known != known_.end()) known_.erase(known);
        Json report = same ? unchanged_report(result_id) : full_report(result_id, diagnostics);
        put(uri, std::move(version), std::move(report));
    }

    /// What was told of files that are gone is taken back.
    void take_back_the_rest() {
        for (const auto& [uri, id] : known_) put(uri, nullptr, full_report("", Json::array()));
    }

    Json answer() {
        if (parts_.wanted()) flush();
        return Json{{"items", std::move(items_)}};
    }

private:
    void put(const std::string& uri, Json version, Json report) {
        report["uri"] = uri;
        report["version"] = std::move(version);
        items_.push_back(std::move(report));
        if (parts_.wanted() && items_.size() >= reports_a_part) flush();
    }
    void flush() {
        if (!items_.empty()) parts_.send(Json{{"items", std::move(items_)}});
        items_ = Json::array();
    }

    Parts parts_;
    std::map<std::string, std::string> known_;
    Json items_ = Json::array();
};

Json handle(Server& server, const In& params, rpc::Call& call) {
    Reports reports(server, params);
    WorkDone work(server.endpoint(), params, "Checking the programs of the workspace");
    std::set<std::filesystem::path> open;
    for (auto& [key, document] : server.documents()) {
        call.cancel.throw_if_cancelled();
        open.insert(document->as_it_is().path());
        server.bring_up_to_date(*document);
        reports.add(document->uri(), document->version(), document->result_id, document->reported);
    }
    const auto files = server.workspace().files();
    server.closed_programs().keep_only(files);
    for (std::size_t i = 0; i < files.size(); ++i) {
        call.cancel.throw_if_cancelled();
        if (open.contains(files[i].path)) continue;
        work.report(static_cast<unsigned>(i * 100 / files.size()), files[i].path.filename().string());
        const auto& report = server.closed_programs().report(server, files[i]);
        reports.add(uri_of_path(files[i].path), nullptr, report.result_id, report.diagnostics);
    }
    reports.take_back_the_rest();
    return reports.answer();
}

} // namespace

extern const Feature workspace_diagnostic_feature{"workspace/diagnostic", handle, nullptr};

} // namespace turnwright::protocol
