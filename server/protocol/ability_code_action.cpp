// textDocument/codeAction and codeAction/resolve
#include "features/rewriting.h"
#include "features/shop_gain.h"
#include "language/said.h"
#include "protocol/action.h"
#include "protocol/feature.h"
#include "protocol/job_writing.h"
#include "protocol/learning.h"
#include "protocol/places.h"
#include "protocol/reports.h"
#include "protocol/restarting.h"
#include "protocol/shop_writing.h"

#include <algorithm>

namespace turnwright::protocol::code_action {
namespace {

/// The client asks for the edit of an action when it is chosen, and keeps `data` until then.
bool can_resolve(const Client& client) {
    const auto late =
        look_strings(client.capabilities, {"textDocument", "codeAction", "resolveSupport", "properties"});
    return client.can({"textDocument", "codeAction", "dataSupport"}) &&
           std::find(late.begin(), late.end(), "edit") != late.end();
}

bool has_literals(const Client& client) {
    return client.has({"textDocument", "codeAction", "codeActionLiteralSupport"});
}

CodeAction converted(Server& server, const OpenDocument& document, const features::CodeAction& action) {
    CodeAction out;
    out.title = action.title;
    out.kind = action.kind;
    out.preferred = action.preferred;
    for (const features::Warning& warning : action.mends)
        out.diagnostics.push_back(server.publishing().diagnostic_of(document, warning));
    if (!action.command) {
        out.edit = Places(server, document).edit({{{{}, action.edits}}, {}});
    } else if (can_resolve(server.client())) {
        out.data = Json{{"uri", document.uri()},
                        {"version", document.version()},
                        {"command", action.command->name},
                        {"arguments", action.command->arguments}};
    } else {
        out.command = command_of(document.uri(), *action.command);
    }
    return out;
}

constexpr const char* mend_one_kind = "source.turnwright.mendOneKind";
constexpr const char* learn_kind = "source.turnwright.learnShopFile";
constexpr const char* job_kind = "source.turnwright.writeJobFile";
/// Of no kind that an editor runs by itself, as it does source actions when a file is saved.
constexpr const char* restart_kind = "turnwright.restart";
constexpr const char* picture_kind = "source.turnwright.pictureBeside";

/// At the head of a program that no shop file holds for: what one would make known of this very program.
std::optional<Command> offer_to_learn(const Server& server, const OpenDocument& document,
                                      const text::Range& range) {
    const features::Document& program = document.as_it_is();
    const std::string gains = gains_in_short(program);
    if (gains.empty() || folder_to_learn(server, program).empty() ||
        !features::is_at_head(program, range.begin.line))
        return std::nullopt;
    return Command{(root_of(server, program.path()).empty()
                        ? said("Learn a shop file from this program (")
                        : said("Learn a shop file from the programs here (")) +
                       gains + ")",
                   std::string(learn_command), Json::array({document.uri()})};
}

/// A command as an action of its own, for whoever takes this kind.
void offer(Json& actions, const Server& server, const char* kind, std::optional<Command> command) {
    if (!command) return;
    if (!has_literals(server.client())) return actions.push_back(*command);
    CodeAction action;
    action.title = command->title;
    action.kind = kind;
    action.command = std::move(command);
    actions.push_back(action);
}

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    const In context = params["context"];
    context["diagnostics"].array();
    std::vector<std::string> only;
    if (const auto kinds = context.find("only"))
        for (const In& kind : kinds->array()) only.push_back(kind.string());
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range range = document.from_client(read_range(params["range"]));
    const bool commands = can_resolve(server.client()) || server.client().can({"workspace", "applyEdit"});
    Json actions = Json::array();
    for (features::CodeAction action : features::code_actions(document.evaluated(), range, !only.empty())) {
        // "Mend all of this kind" stands among a warning's fixes, and among source actions when those are
        // asked for.
        if (action.command && action.kind == "quickfix" && !kind_is_wanted(action.kind, only))
            action.kind = mend_one_kind;
        if (!kind_is_wanted(action.kind, only) || (action.command && !commands)) continue;
        if (has_literals(server.client()))
            actions.push_back(converted(server, document, action));
        else if (action.command) // without literals a client takes commands only
            actions.push_back(command_of(document.uri(), *action.command));
    }
    if (kind_is_wanted("refactor.rewrite", only) && has_literals(server.client()))
        for (const Json& action : shop_writing_actions(server, document, range)) actions.push_back(action);
    if (kind_is_wanted(restart_kind, only)) {
        const auto names = restart_commands(server.client().can({"workspace", "applyEdit"}));
        for (const Command& offered : restart_offers(document, range.begin.line))
            if (std::find(names.begin(), names.end(), offered.command) != names.end())
                offer(actions, server, restart_kind, offered);
    }
    if (kind_is_wanted(learn_kind, only))
        offer(actions, server, learn_kind, offer_to_learn(server, document, range));
    if (kind_is_wanted(job_kind, only))
        offer(actions, server, job_kind, offer_job_file(server, document, range));
    if (kind_is_wanted(picture_kind, only) && server.pictures_beside().are_offered())
        offer(actions, server, picture_kind,
              Command{said("Show the picture beside the editor"), std::string(picture_beside_command),
                      Json::array({document.uri()})});
    return actions;
}

void announce(Json& capabilities, const Client& client) {
    if (!has_literals(client)) {
        capabilities["codeActionProvider"] = true;
        return;
    }
    Json options{{"codeActionKinds",
                  Json::array({"quickfix", "refactor.rewrite", "source.fixAll", "source.fixAll.turnwright",
                               mend_one_kind, learn_kind, job_kind, picture_kind, restart_kind})}};
    if (can_resolve(client)) options["resolveProvider"] = true;
    capabilities["codeActionProvider"] = std::move(options);
}

rpc::Content resolve(Server& server, const In& action, rpc::Call&) {
    Json out = action.json();
    const std::string title = action["title"].string();
    const auto data = action.find("data");
    if (!data) return out;
    OpenDocument& document = server.document(*data);
    if ((*data)["version"].integer() != document.version())
        throw rpc::Error(rpc::code::content_modified, "the text has changed since");
    std::vector<std::string> arguments;
    for (const In& argument : (*data)["arguments"].array()) arguments.push_back(argument.string());
    const features::Rewrite rewrite =
        features::run_command(document.evaluated(), (*data)["command"].string(), arguments);
    if (rewrite.done()) {
        out["edit"] = Places(server, document).edit(rewrite);
        return out;
    }
    server.show_message(2, title + ": " + rewrite.refused);
    if (server.client().can({"textDocument", "codeAction", "disabledSupport"}))
        out["disabled"] = Json{{"reason", rewrite.refused}};
    return out;
}

} // namespace

extern const Feature code_action_feature{"textDocument/codeAction", handle, announce,
                                         WhenTextWaits::answer,     true,   true};
extern const Feature code_action_resolve_feature{"codeAction/resolve", resolve, nullptr};

} // namespace turnwright::protocol::code_action
