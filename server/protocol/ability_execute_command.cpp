// workspace/executeCommand. The first argument of every command is the document's URI. Edits go to the client
// through workspace/applyEdit; texts are shown and returned.
#include "features/hints.h"
#include "features/rewriting.h"
#include "protocol/feature.h"
#include "protocol/learning.h"
#include "protocol/reports.h"
#include "protocol/server.h"
#include "report/restart.h"

#include <algorithm>

namespace turnwright::protocol::execute_command {
namespace {

constexpr const char* explain_sequence = "turnwright.explainSequence"; // [uri, line from 0]
constexpr const char* explain_restart = "turnwright.explainRestart";   // [uri, line from 0]
constexpr const char* insert_restart = "turnwright.insertRestart";     // [uri, line from 0]

std::string title_of(const std::string& command) {
    static const std::pair<const char*, const char*> titles[] = {
        {"turnwright.fixAll", "Mend all"},
        {"turnwright.renumber", "Renumber"},
        {"turnwright.convertUnits", "Convert units"},
        {"turnwright.convertSystem", "Convert the G-code system"},
        {"turnwright.convertX", "Convert X"},
        {"turnwright.convertDistance", "Convert distances"},
        {insert_restart, "Insert a restart head"},
        {"turnwright.writeBlocks", "Write the blocks of a note"},
        {"turnwright.transfer", "For another lathe"}};
    for (const auto& [name, title] : titles)
        if (command == name) return title;
    return command;
}

Json show(Server& server, const std::string& text) {
    if (text.empty()) {
        server.show_message(3, "There is no sequence here.");
        return nullptr;
    }
    server.show_message(3, text);
    return text;
}

rpc::Content handle(Server& server, const In& params, rpc::Call& call) {
    const std::string command = params["command"].string();
    const auto names = features::command_names();
    const bool edits = std::find(names.begin(), names.end(), command) != names.end();
    const bool at_line =
        command == explain_sequence || command == explain_restart || command == insert_restart;
    if (!edits && !at_line && command != learn_command && !is_report_command(command))
        throw rpc::Error(rpc::code::invalid_params, "no such command: " + command);
    const std::vector<In> given = params["arguments"].array();
    if (given.empty()) params["arguments"].fail("the document's URI as first argument");
    OpenDocument* document = server.find_document(given[0].string());
    if (!document) throw rpc::Error(rpc::code::invalid_params, "not open: " + given[0].string());
    if (document->lost())
        throw rpc::Error(rpc::code::content_modified, "the text is out of step with the editor");
    std::vector<std::string> arguments;
    for (std::size_t i = 1; i < given.size(); ++i)
        arguments.push_back(given[i].json().is_number_integer() ? std::to_string(given[i].integer())
                                                                : given[i].string());
    if (is_report_command(command)) return run_report_command(server, command, *document, params, call);
    if (command == learn_command) return learn_shop_file(server, *document, params, call);
    const features::Document& program = server.evaluate(*document);
    if (at_line) {
        const bool number = !arguments.empty() && !arguments[0].empty() && arguments[0].size() < 10 &&
                            arguments[0].find_first_not_of("0123456789") == std::string::npos;
        if (!number) params["arguments"].fail("the line as second argument");
        const std::size_t line = std::stoul(arguments[0]);
        if (command == explain_sequence) return show(server, features::sequence_report(program, line));
        const report::Restart restart = report::restart_at(program, {line, false});
        if (command == explain_restart) return show(server, report::restart_text(program, restart));
        server.apply(*document, title_of(command), report::insert_restart(program, restart));
        return nullptr;
    }
    server.apply(*document, title_of(command), features::run_command(program, command, arguments));
    return nullptr;
}

void announce(Json& capabilities, const Client& client) {
    std::vector<std::string> names{explain_sequence, explain_restart, std::string(learn_command)};
    for (std::string_view name : report_commands()) names.emplace_back(name);
    if (client.can({"workspace", "applyEdit"})) {
        names.emplace_back(insert_restart);
        for (std::string& name : features::command_names()) names.push_back(std::move(name));
    }
    capabilities["executeCommandProvider"] = Json{{"commands", names}};
}

} // namespace

extern const Feature execute_command_feature{"workspace/executeCommand", handle, announce};

} // namespace turnwright::protocol::execute_command
