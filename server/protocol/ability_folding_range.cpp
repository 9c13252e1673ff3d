// textDocument/foldingRange
#include "features/outline.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::folding_range {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    std::size_t most = SIZE_MAX;
    if (const Json* limit =
            look(server.client().capabilities, {"textDocument", "foldingRange", "rangeLimit"});
        limit && limit->is_number_unsigned())
        most = limit->get<std::size_t>();
    Json all = Json::array();
    for (const features::FoldingRange& fold : features::folding_ranges(document.evaluated())) {
        if (all.size() >= most) break;
        Json out{{"startLine", fold.first_line}, {"endLine", fold.last_line}};
        if (fold.kind == features::FoldingRange::Kind::notes) out["kind"] = "comment";
        if (fold.kind == features::FoldingRange::Kind::program ||
            fold.kind == features::FoldingRange::Kind::sequence)
            out["kind"] = "region";
        all.push_back(std::move(out));
    }
    return all;
}

void announce(Json& capabilities, const Client& client) {
    if (client.has({"textDocument", "foldingRange"})) capabilities["foldingRangeProvider"] = true;
}

} // namespace

extern const Feature folding_range_feature{"textDocument/foldingRange", handle, announce,
                                           WhenTextWaits::refuse, true};

} // namespace turnwright::protocol::folding_range
