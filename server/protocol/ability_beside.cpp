// turnwright/state and turnwright/sequences: what an editor shows beside the text. Both take a document and a
// position, as a hover does; neither is part of the protocol, so that an editor has to ask of its own.
#include "features/beside.h"
#include "features/navigation.h"
#include "features/two_paths.h"
#include "protocol/feature.h"
#include "protocol/places.h"
#include "protocol/server.h"

namespace turnwright::protocol::beside {
namespace {

std::size_t line_of(const OpenDocument& document, const In& params) {
    return document.from_client(read_position(params["position"])).line;
}

/// [{part, name, brief, whole}], always tool, spindle, feed and units; all but the part in the chosen
/// language.
rpc::Content state(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const features::Document& program = document.evaluated();
    constexpr const char* parts[] = {"tool", "spindle", "feed", "units"};
    Json all = Json::array();
    for (const features::StateCell& cell : features::state_cells(program, line_of(document, params)))
        all.push_back(Json{
            {"part", parts[all.size()]}, {"name", cell.name}, {"brief", cell.brief}, {"whole", cell.whole}});
    return all;
}

/// [{range, name, time, restart, takesOver, holdsLine}]
rpc::Content sequences(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const features::Document& program = document.evaluated();
    Json all = Json::array();
    for (const features::SequenceRow& row : features::sequence_rows(program, line_of(document, params)))
        all.push_back(Json{{"range", document.to_client(row.range)},
                           {"name", row.name},
                           {"time", row.time},
                           {"restart", row.restart},
                           {"takesOver", row.takes_over},
                           {"holdsLine", row.holds_line}});
    return all;
}

/// [{name, location, rows: [{to, own: {range, tools, time}, other: {...}, ownWaits, otherWaits}]}]: the
/// outline of a program of two turrets beside that of its partner, from wait to wait; waits in seconds.
rpc::Content paths(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const features::Document& program = document.evaluated();
    Places places(server, document);
    Json all = Json::array();
    for (const features::TimedPaths& timed : features::paths_of(program)) {
        const std::size_t own = timed.two.paths[0].program.is_here() ? 0 : 1;
        const checks::PathProgram& partner = timed.two.paths[1 - own].program;
        Json rows = Json::array();
        const auto outline = features::paths_outline(timed, features::outlines_of(timed, program.outline()));
        for (std::size_t k = 0; k < outline.size(); ++k) {
            const features::TimedPaths::Stretch& time = timed.stretches[k];
            const auto side = [&](std::size_t p) {
                const features::PathsRow::Side& row = outline[k].sides[p];
                Json made{{"tools", row.tools}, {"time", features::stretch_seconds(time, p)}};
                if (!row.is_empty)
                    made["range"] = Json{{"start", {{"line", row.first_line}, {"character", 0}}},
                                         {"end", {{"line", row.last_line}, {"character", 0}}}};
                return made;
            };
            Json row{{"to", outline[k].code < 0 ? std::string() : checks::written_wait(outline[k].code)},
                     {"own", side(own)},
                     {"other", side(1 - own)}};
            if (time.is_known() && outline[k].code >= 0) {
                row["ownWaits"] = time.waits(own);
                row["otherWaits"] = time.waits(1 - own);
            }
            rows.push_back(std::move(row));
        }
        Json made{{"name", partner.name}, {"rows", std::move(rows)}};
        // Where it begins, as the number of the program leads there.
        const text::Position here{program.range_of(timed.two.paths[own].program.first).begin};
        const auto found = features::definition(program, here, &server.workspace());
        if (found.size() == 1) made["location"] = places.location(found.front());
        all.push_back(std::move(made));
    }
    return all;
}

} // namespace

extern const Feature state_feature{"turnwright/state", state, nullptr, WhenTextWaits::refuse, false, true};
extern const Feature sequences_feature{"turnwright/sequences", sequences, nullptr, WhenTextWaits::refuse};
extern const Feature paths_feature{"turnwright/paths", paths, nullptr, WhenTextWaits::refuse};

} // namespace turnwright::protocol::beside
