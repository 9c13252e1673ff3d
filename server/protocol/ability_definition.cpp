// textDocument/definition and textDocument/references
#include "features/navigation.h"
#include "protocol/feature.h"
#include "protocol/places.h"

namespace turnwright::protocol::definition {
namespace {

Json converted(Server& server, const OpenDocument& document, const std::vector<features::Location>& found) {
    Places places(server, document);
    Json all = Json::array();
    for (const features::Location& location : found) all.push_back(places.location(location));
    return all;
}

rpc::Content define(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    return converted(server, document, features::definition(document.evaluated(), at, &server.workspace()));
}

rpc::Content refer(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const bool with_definition = params["context"]["includeDeclaration"].boolean();
    return converted(server, document,
                     features::references(document.evaluated(), at, with_definition, &server.workspace()));
}

void announce_definition(Json& capabilities, const Client&) {
    capabilities["definitionProvider"] = true;
}
void announce_references(Json& capabilities, const Client&) {
    capabilities["referencesProvider"] = true;
}

} // namespace

extern const Feature definition_feature{"textDocument/definition", define, announce_definition,
                                        WhenTextWaits::answer, true};
extern const Feature references_feature{"textDocument/references", refer, announce_references,
                                        WhenTextWaits::answer, true};

} // namespace turnwright::protocol::definition
