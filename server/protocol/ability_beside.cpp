// turnwright/state and turnwright/sequences: what an editor shows beside the text. Both take a document and a
// position, as a hover does; neither is part of the protocol, so that an editor has to ask of its own.
#include "features/beside.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::beside {
namespace {

std::size_t line_of(const OpenDocument& document, const In& params) {
    return document.from_client(read_position(params["position"])).line;
}

/// [{name, brief, whole}], always tool, spindle, feed and units.
rpc::Content state(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const features::Document& program = document.evaluated();
    Json all = Json::array();
    for (const features::StateCell& cell : features::state_cells(program, line_of(document, params)))
        all.push_back(Json{{"name", cell.name}, {"brief", cell.brief}, {"whole", cell.whole}});
    return all;
}

/// [{range, name, time, restart, holdsLine}]
rpc::Content sequences(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const features::Document& program = document.evaluated();
    Json all = Json::array();
    for (const features::SequenceRow& row : features::sequence_rows(program, line_of(document, params)))
        all.push_back(Json{{"range", document.to_client(row.range)},
                           {"name", row.name},
                           {"time", row.time},
                           {"restart", row.restart},
                           {"holdsLine", row.holds_line}});
    return all;
}

} // namespace

extern const Feature state_feature{"turnwright/state", state, nullptr, WhenTextWaits::refuse, false, true};
extern const Feature sequences_feature{"turnwright/sequences", sequences, nullptr, WhenTextWaits::refuse};

} // namespace turnwright::protocol::beside
