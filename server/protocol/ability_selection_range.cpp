// textDocument/selectionRange
#include "features/outline.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::selection_range {
namespace {

// Far more than a person has cursors. The answer to one is a hundred times as long as the question.
constexpr std::size_t most_positions = 10'000;

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const std::vector<In> positions = params["positions"].array();
    if (positions.size() > most_positions)
        throw rpc::Error(rpc::code::invalid_params,
                         "params.positions: more than " + std::to_string(most_positions));
    Json all = Json::array();
    for (const In& asked : positions) {
        const text::Position at = document.from_client(read_position(asked));
        const auto ranges = features::selection_ranges(document.evaluated(), at);
        // The answer has one for each position, whatever stands there.
        Json chain{{"range", document.to_client(text::Range{at, at})}};
        for (std::size_t i = ranges.size(); i-- > 0;) {
            Json inner{{"range", document.to_client(ranges[i])}};
            if (i + 1 < ranges.size()) inner["parent"] = std::move(chain);
            chain = std::move(inner);
        }
        all.push_back(std::move(chain));
    }
    return all;
}

void announce(Json& capabilities, const Client& client) {
    if (client.has({"textDocument", "selectionRange"})) capabilities["selectionRangeProvider"] = true;
}

} // namespace

extern const Feature selection_range_feature{"textDocument/selectionRange", handle, announce,
                                             WhenTextWaits::answer, true};

} // namespace turnwright::protocol::selection_range
