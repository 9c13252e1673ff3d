// textDocument/codeAction
#include "protocol/action.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol {
namespace {

CodeAction converted(Server& server, const OpenDocument& document, const features::CodeAction& action) {
    CodeAction out;
    out.title = action.title;
    out.kind = action.kind;
    out.preferred = action.preferred;
    for (const features::Warning& warning : action.mends)
        out.diagnostics.push_back(server.diagnostic_of(document, warning));
    DocumentEdits edits{document.uri(), document.version(), {}};
    for (const features::TextEdit& edit : action.edits)
        edits.edits.push_back({document.to_client(edit.range), edit.text});
    out.edit = WorkspaceEdit{{std::move(edits)},
                             server.client().can({"workspace", "workspaceEdit", "documentChanges"})};
    return out;
}

Json handle(Server& server, const In& params, rpc::Call&) {
    const In context = params["context"];
    context["diagnostics"].array();
    std::vector<std::string> only;
    if (const auto kinds = context.find("only"))
        for (const In& kind : kinds->array()) only.push_back(kind.string());
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range range = document.from_client(read_range(params["range"]));
    Json actions = Json::array();
    // Without literals a client takes commands only, and an edit cannot be one.
    if (!server.client().has({"textDocument", "codeAction", "codeActionLiteralSupport"})) return actions;
    for (const features::CodeAction& action : features::code_actions(document.evaluated(), range))
        if (kind_is_wanted(action.kind, only)) actions.push_back(converted(server, document, action));
    return actions;
}

void announce(Json& capabilities, const Client& client) {
    if (!client.has({"textDocument", "codeAction", "codeActionLiteralSupport"})) return;
    capabilities["codeActionProvider"] =
        Json{{"codeActionKinds", Json::array({"quickfix", "refactor.rewrite", "source.fixAll"})}};
}

} // namespace

extern const Feature code_action_feature{"textDocument/codeAction", handle, announce};

} // namespace turnwright::protocol
