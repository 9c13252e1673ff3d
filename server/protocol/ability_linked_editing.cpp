// textDocument/linkedEditingRange
#include "features/navigation.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::linked_editing {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    Json ranges = Json::array();
    for (const text::Range& range : features::linked_ranges(document.evaluated(), at))
        ranges.push_back(document.to_client(range));
    if (ranges.size() < 2) return nullptr;
    return Json{{"ranges", std::move(ranges)}, {"wordPattern", "[0-9]+"}};
}

void announce(Json& capabilities, const Client& client) {
    if (client.has({"textDocument", "linkedEditingRange"})) capabilities["linkedEditingRangeProvider"] = true;
}

} // namespace

extern const Feature linked_editing_feature{
    "textDocument/linkedEditingRange", handle, announce, WhenTextWaits::refuse, false, true};

} // namespace turnwright::protocol::linked_editing
