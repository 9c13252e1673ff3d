// textDocument/prepareCallHierarchy, callHierarchy/incomingCalls and outgoingCalls
#include "features/outline.h"
#include "protocol/feature.h"
#include "protocol/places.h"
#include "protocol/symbol.h"
#include "protocol/uri.h"

namespace turnwright::protocol::call_hierarchy {
namespace {

/// `data` of an item tells the program again: its number, and its range in bytes.
CallHierarchyItem converted(Places& places, const OpenDocument& origin, const features::CallItem& item) {
    CallHierarchyItem out;
    out.name = item.name;
    out.detail = item.detail;
    out.kind = SymbolKind::file;
    out.uri = places.uri_of(item.path);
    out.range = places.range(item.path, item.range);
    out.selection = places.range(item.path, item.selection);
    const text::Range& range = item.range;
    out.data = Json{
        {"origin", origin.uri()},
        {"number", item.number},
        {"range", Json::array({range.begin.line, range.begin.column, range.end.line, range.end.column})}};
    return out;
}

struct Asked {
    OpenDocument* origin = nullptr; ///< The open document to ask; nullptr when there is none any more
    features::CallItem item;
};
Asked read_asked(Server& server, const In& item) {
    Asked asked;
    const std::string uri = item["uri"].string();
    const In data = item["data"];
    asked.item.name = item["name"].string();
    asked.item.number = static_cast<std::int32_t>(data["number"].uinteger());
    const auto range = data["range"].array();
    if (range.size() != 4) data["range"].fail("four numbers");
    asked.item.range = {{range[0].uinteger(), range[1].uinteger()},
                        {range[2].uinteger(), range[3].uinteger()}};
    asked.origin = server.find_document(uri);
    if (asked.origin) return asked;
    asked.origin = server.find_document(data["origin"].string());
    asked.item.path = path_of_uri(uri).value_or(std::filesystem::path());
    return asked;
}

rpc::Content prepare(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const auto item = features::prepare_calls(document.evaluated(), at);
    if (!item) return nullptr;
    Places places(server, document);
    return Json::array({converted(places, document, *item)});
}

rpc::Content incoming(Server& server, const In& params, rpc::Call&) {
    const Asked asked = read_asked(server, params["item"]);
    if (!asked.origin) return nullptr;
    Places places(server, *asked.origin);
    Json all = Json::array();
    for (const features::Call& call :
         features::incoming_calls(server.evaluate(*asked.origin), asked.item, &server.workspace())) {
        CallHierarchyCall out{converted(places, *asked.origin, call.item), {}};
        for (const text::Range& range : call.ranges) out.from.push_back(places.range(call.item.path, range));
        all.push_back(incoming_call(out));
    }
    return all;
}

rpc::Content outgoing(Server& server, const In& params, rpc::Call&) {
    const Asked asked = read_asked(server, params["item"]);
    if (!asked.origin) return nullptr;
    Places places(server, *asked.origin);
    Json all = Json::array();
    for (const features::Call& call :
         features::outgoing_calls(server.evaluate(*asked.origin), asked.item, &server.workspace())) {
        CallHierarchyCall out{converted(places, *asked.origin, call.item), {}};
        // The call words stand in the caller.
        for (const text::Range& range : call.ranges) out.from.push_back(places.range(asked.item.path, range));
        all.push_back(outgoing_call(out));
    }
    return all;
}

void announce(Json& capabilities, const Client& client) {
    if (client.has({"textDocument", "callHierarchy"})) capabilities["callHierarchyProvider"] = true;
}

} // namespace

extern const Feature prepare_calls_feature{"textDocument/prepareCallHierarchy", prepare, announce};
extern const Feature incoming_calls_feature{"callHierarchy/incomingCalls", incoming, nullptr,
                                            WhenTextWaits::answer, true};
extern const Feature outgoing_calls_feature{"callHierarchy/outgoingCalls", outgoing, nullptr,
                                            WhenTextWaits::answer, true};

} // namespace turnwright::protocol::call_hierarchy
