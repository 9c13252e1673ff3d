// textDocument/completion and completionItem/resolve
#include "features/completion.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::completion {
namespace {

/// The protocol's numbers, none newer than its oldest clients know.
int kind_of(features::CompletionKind kind) {
    switch (kind) {
    case features::CompletionKind::code:
        return 3; // function
    case features::CompletionKind::word:
        return 10; // property
    case features::CompletionKind::value:
        return 12; // value
    case features::CompletionKind::tool:
        return 11; // unit
    case features::CompletionKind::variable:
        return 6; // variable
    case features::CompletionKind::label:
        return 18; // reference
    case features::CompletionKind::program:
        return 9; // module
    case features::CompletionKind::snippet:
        return 15; // snippet
    case features::CompletionKind::keyword:
        break;
    }
    return 14; // keyword
}

Json converted(const OpenDocument& document, const features::CompletionItem& item, bool snippets) {
    const bool as_snippet = item.is_snippet && snippets;
    Json out{{"label", item.label}, {"kind", kind_of(item.kind)}};
    out["textEdit"] = TextEdit{document.to_client(item.edit.range),
                               item.is_snippet && !snippets ? item.plain : item.edit.text};
    if (as_snippet) out["insertTextFormat"] = 2;
    if (item.preselect) out["preselect"] = true;
    put(out, "detail", item.detail);
    put(out, "filterText", item.filter);
    put(out, "sortText", item.sort);
    if (!item.key.empty()) out["data"] = Json{{"uri", document.uri()}, {"key", item.key}};
    return out;
}

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const bool snippets =
        server.client().can({"textDocument", "completion", "completionItem", "snippetSupport"});
    Json items = Json::array();
    for (const features::CompletionItem& item : features::complete(document.evaluated(), at))
        items.push_back(converted(document, item, snippets));
    // What is offered depends on what is typed of the word: the client asks again with each letter.
    return Json{{"isIncomplete", true}, {"items", std::move(items)}};
}

void announce(Json& capabilities, const Client&) {
    capabilities["completionProvider"] =
        Json{{"triggerCharacters", Json::array({"#", "["})}, {"resolveProvider", true}};
}

rpc::Content resolve(Server& server, const In& item, rpc::Call&) {
    Json out = item.json();
    item["label"].string();
    const auto data = item.find("data");
    if (!data) return out;
    OpenDocument* document = server.find_document((*data)["uri"].string());
    if (!document) return out;
    const std::string text =
        features::completion_documentation(server.evaluate(*document), (*data)["key"].string());
    if (text.empty()) return out;
    const bool markdown = server.client().wants_markdown(
        {"textDocument", "completion", "completionItem", "documentationFormat"});
    out["documentation"] = Markup{markdown ? MarkupKind::markdown : MarkupKind::plain, text};
    return out;
}

} // namespace

extern const Feature completion_feature{"textDocument/completion", handle, announce,
                                        WhenTextWaits::answer,     false,  true};
extern const Feature completion_resolve_feature{"completionItem/resolve", resolve, nullptr};

} // namespace turnwright::protocol::completion
