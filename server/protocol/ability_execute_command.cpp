// workspace/executeCommand. The first argument of every command is the document's URI. Edits go to the client
// through workspace/applyEdit; texts are shown and returned.
#include "features/hints.h"
#include "features/rewriting.h"
#include "language/language.h"
#include "language/said.h"
#include "protocol/feature.h"
#include "protocol/job_writing.h"
#include "protocol/learning.h"
#include "protocol/reports.h"
#include "protocol/restarting.h"
#include "protocol/server.h"

#include <algorithm>

namespace turnwright::protocol::execute_command {
namespace {

constexpr const char* explain_sequence = "turnwright.explainSequence"; // [uri, line from 0]

std::string title_of(const std::string& command) {
    static const std::pair<const char*, TableText> titles[] = {
        {"turnwright.fixAll", "Mend all"},
        {"turnwright.renumber", "Renumber"},
        {"turnwright.convertUnits", "Convert units"},
        {"turnwright.convertSystem", "Convert the G-code system"},
        {"turnwright.convertX", "Convert X"},
        {"turnwright.convertDistance", "Convert distances"},
        {"turnwright.explainRestart", "Telling how to go on"},
        {"turnwright.repeatCut", "Telling how to go on"},
        {"turnwright.restartProgram", "Writing how to go on"},
        {"turnwright.insertRestart", "Insert a restart head"},
        {"turnwright.writeBlocks", "Write the blocks of a note"},
        {"turnwright.breakCorner", "Break a corner"},
        {"turnwright.transfer", "For another lathe"}};
    for (const auto& [name, title] : titles)
        if (command == name) return title;
    return command;
}

Json show(Server& server, const std::string& text) {
    if (text.empty()) {
        server.show_message(3, said("There is no sequence here."));
        return nullptr;
    }
    server.show_message(3, text);
    return text;
}

rpc::Content handle(Server& server, const In& params, rpc::Call& call) {
    const std::string command = params["command"].string();
    const auto names = features::command_names();
    const bool edits = std::find(names.begin(), names.end(), command) != names.end();
    if (!edits && command != explain_sequence && !runs_beside(command) && command != learn_command &&
        command != write_job_command && !is_report_command(command))
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
    if (command == write_job_command) return write_job_file(server, *document);
    if (runs_beside(command))
        return run_beside(server, command, std::move(arguments), title_of(command), *document, params, call);
    const features::Document& program = server.evaluate(*document);
    if (command == explain_sequence) {
        const bool number = !arguments.empty() && !arguments[0].empty() && arguments[0].size() < 10 &&
                            arguments[0].find_first_not_of("0123456789") == std::string::npos;
        if (!number) params["arguments"].fail("the line as second argument");
        return show(server, features::sequence_report(program, std::stoul(arguments[0])));
    }
    server.apply(*document, title_of(command), features::run_command(program, command, arguments));
    return nullptr;
}

void announce(Json& capabilities, const Client& client) {
    const bool takes_edits = client.can({"workspace", "applyEdit"});
    std::vector<std::string> names = restart_commands(takes_edits);
    names.emplace_back(explain_sequence);
    names.emplace_back(learn_command);
    names.emplace_back(write_job_command);
    for (std::string_view name : report_commands()) names.emplace_back(name);
    if (takes_edits)
        for (std::string& name : features::command_names()) names.push_back(std::move(name));
    capabilities["executeCommandProvider"] = Json{{"commands", names}};
}

} // namespace

extern const Feature execute_command_feature{"workspace/executeCommand", handle, announce};

} // namespace turnwright::protocol::execute_command
