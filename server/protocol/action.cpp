#include "protocol/action.h"

#include <algorithm>

namespace turnwright::protocol {

void to_json(Json& out, const CodeAction& in) {
    out = Json{{"title", in.title}};
    put(out, "kind", in.kind);
    if (!in.diagnostics.empty()) out["diagnostics"] = in.diagnostics;
    if (in.preferred) out["isPreferred"] = true;
    put(out, "edit", in.edit);
    put(out, "command", in.command);
    if (!in.disabled_reason.empty()) out["disabled"] = Json{{"reason", in.disabled_reason}};
    put(out, "data", in.data);
}

Command command_of(const std::string& uri, const features::Command& command) {
    Json arguments = Json::array({uri});
    for (const std::string& argument : command.arguments) arguments.push_back(argument);
    return {command.title, command.name, std::move(arguments)};
}

bool kind_is_wanted(const std::string& kind, const std::vector<std::string>& only) {
    if (only.empty()) return true;
    return std::any_of(only.begin(), only.end(), [&](const std::string& wanted) {
        return wanted.empty() || kind == wanted || kind.starts_with(wanted + ".");
    });
}

} // namespace turnwright::protocol
