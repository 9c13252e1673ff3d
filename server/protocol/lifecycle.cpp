// initialize to exit.
#include "protocol/feature.h"
#include "protocol/server.h"
#include "protocol/uri.h"

namespace turnwright::protocol {
namespace {

bool is_trace_value(const std::string& value) {
    return value == "off" || value == "messages" || value == "verbose";
}

} // namespace

void Server::register_lifecycle() {
    endpoint_.on_request("initialize", [this](const Json& params, rpc::Call&) { return initialize(params); });
    endpoint_.on_notification("initialized", [this](const Json&) { initialized(); });
    endpoint_.on_request("shutdown", [this](const Json&, rpc::Call&) {
        phase_ = Phase::after_shutdown;
        pictures_beside_.close_all();
        return Json();
    });
    endpoint_.on_notification("exit", [this](const Json&) { endpoint_.stop(); });
    endpoint_.on_notification("$/setTrace", [this](const Json& params) { set_trace(In(params, "params")); });
    endpoint_.set_observer([this](std::string_view method, std::chrono::microseconds took) {
        if (client_.trace == "off" || phase_ != Phase::running) return;
        Json params{{"message", std::string(method) + " answered"}};
        if (client_.trace == "verbose")
            params["verbose"] = "took " + std::to_string(took.count()) + " microseconds";
        endpoint_.notify("$/logTrace", std::move(params));
    });
}

Json Server::initialize(const Json& params) {
    client_ = read_client(In(params, "params"));
    if (!is_trace_value(client_.trace)) client_.trace = "off";
    default_settings_ = settings_ = Settings(client_.initialization_options);
    choose_language();
    use_folders();
    if (const auto process = client_.process_id; process > 0)
        endpoint_.set_watch([process] { return !rpc::process_is_alive(process); });
    phase_ = Phase::running;
    log("serving " + client_.name + ", positions in " + std::string(encoding_name(client_.encoding)) +
        (client_.pulls_diagnostics() ? ", warnings when asked" : ", warnings after each change"));
    return Json{{"capabilities", capabilities()},
                {"serverInfo", Json{{"name", "turnwright"}, {"version", options_.version}}}};
}

Json Server::capabilities() const {
    Json all{
        {"positionEncoding", encoding_name(client_.encoding)},
        {"textDocumentSync", Json{{"openClose", true},
                                  {"change", 2},
                                  {"willSaveWaitUntil", true},
                                  {"save", Json{{"includeText", false}}}}},
        {"workspace", Json{{"workspaceFolders", Json{{"supported", true}, {"changeNotifications", true}}}}}};
    for (const Feature* feature : feature_table())
        if (feature->announce) feature->announce(all, client_);
    return all;
}

void Server::initialized() {
    Json wanted = Json::array();
    if (client_.can({"workspace", "didChangeWatchedFiles", "dynamicRegistration"}))
        wanted.push_back(
            Json{{"id", "files"},
                 {"method", "workspace/didChangeWatchedFiles"},
                 {"registerOptions",
                  Json{{"watchers", Json::array({Json{{"globPattern", "**/turnwright.toml"}},
                                                 Json{{"globPattern", "**/*.turnwright.toml"}},
                                                 Json{{"globPattern", "**/*.{nc,cnc,tap,eia}"}},
                                                 Json{{"globPattern", "**/*.{NC,CNC,TAP,EIA}"}}})}}}});
    if (client_.can({"workspace", "didChangeConfiguration", "dynamicRegistration"}))
        wanted.push_back(Json{{"id", "settings"},
                              {"method", "workspace/didChangeConfiguration"},
                              {"registerOptions", Json{{"section", "turnwright"}}}});
    if (!wanted.empty())
        endpoint_.request("client/registerCapability", Json{{"registrations", std::move(wanted)}},
                          [this](const Json&, const rpc::Error* error) {
                              if (error) log("the client refused a registration: " + error->message);
                          });
    register_by_settings();
    ask_for_configuration();
}

void Server::set_trace(const In& params) {
    const std::string value = params["value"].string();
    if (!is_trace_value(value)) params["value"].fail("off, messages or verbose");
    client_.trace = value;
}

} // namespace turnwright::protocol
