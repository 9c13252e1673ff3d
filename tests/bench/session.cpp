#include "bench/session.h"

#include <unistd.h>

namespace bench {
namespace {

double milliseconds(Clock::time_point from, Clock::time_point to) {
    return std::chrono::duration<double, std::milli>(to - from).count();
}

json to_json(Position position) {
    return {{"line", position.line}, {"character", position.column}};
}

json client_capabilities(Diagnostics diagnostics) {
    json text_document = {
        {"publishDiagnostics", {{"versionSupport", true}, {"relatedInformation", true}}},
        {"documentSymbol", {{"hierarchicalDocumentSymbolSupport", true}}},
        {"hover", {{"contentFormat", {"markdown", "plaintext"}}}},
        {"completion", {{"completionItem", {{"snippetSupport", true}}}}},
        {"semanticTokens",
         {{"requests", {{"full", {{"delta", true}}}, {"range", true}}},
          {"tokenTypes",
           {"keyword", "number", "comment", "variable", "function", "operator", "parameter", "macro",
            "label"}},
          {"tokenModifiers", {"deprecated", "definition"}},
          {"formats", {"relative"}}}},
    };
    // A server may hold back its own messages from a client that asks, so each way gets a session of its own.
    if (diagnostics == Diagnostics::pull) text_document["diagnostic"] = {{"dynamicRegistration", false}};
    return {{"textDocument", text_document}, {"general", {{"positionEncodings", {"utf-16"}}}}};
}

std::size_t count_warnings(const json& message) {
    for (const char* holder : {"params", "result"})
        for (const char* list : {"diagnostics", "items"})
            if (message.contains(holder) && message[holder].is_object() && message[holder].contains(list))
                return message[holder][list].size();
    return 0;
}

} // namespace

Session::Session(const std::vector<std::string>& command, Diagnostics diagnostics, std::string language,
                 std::string uri)
    : born_(Clock::now()), process_(command), diagnostics_(diagnostics), language_(std::move(language)),
      uri_(std::move(uri)) {
    const int id = ++next_id_;
    process_.send(request_text(id, "initialize",
                               {{"processId", static_cast<int>(getpid())},
                                {"rootUri", nullptr},
                                {"capabilities", client_capabilities(diagnostics)}}));
    Clock::time_point at;
    capabilities_ = wait_answer(id, at)["result"]["capabilities"];
    start_ms_ = milliseconds(born_, at);
    notify("initialized", json::object());
}

std::string Session::request_text(int id, const std::string& method, json parameters) const {
    return json{{"jsonrpc", "2.0"}, {"id", id}, {"method", method}, {"params", std::move(parameters)}}.dump();
}

void Session::notify(const std::string& method, json parameters) {
    process_.send(json{{"jsonrpc", "2.0"}, {"method", method}, {"params", std::move(parameters)}}.dump());
}

json Session::receive(Clock::time_point until, Clock::time_point& at) {
    while (auto message = process_.receive(until)) {
        at = message->at; // before our own reading of the JSON
        json parsed = json::parse(message->body);
        if (!parsed.contains("method") || !parsed.contains("id")) return parsed;
        // The server asks us something: settings are empty, all else is granted.
        json result = nullptr;
        if (parsed["method"] == "workspace/configuration")
            result = json::array_t(parsed["params"]["items"].size(), nullptr);
        process_.send(json{{"jsonrpc", "2.0"}, {"id", parsed["id"]}, {"result", result}}.dump());
    }
    throw NoAnswer("no answer in " + std::to_string(patience.count()) + " s");
}

json Session::wait_answer(int id, Clock::time_point& at) {
    const auto until = Clock::now() + patience;
    while (true) {
        json message = receive(until, at);
        if (!message.contains("id") || message["id"] != id) continue;
        if (message.contains("error")) throw NoAnswer(message["error"].dump());
        return message;
    }
}

json Session::settle(int version, Clock::time_point& at) {
    const auto until = Clock::now() + patience;
    while (true) {
        json message = receive(until, at);
        if (message.value("method", "") != "textDocument/publishDiagnostics") continue;
        const json& parameters = message["params"];
        if (parameters.value("uri", "") == uri_ && parameters.value("version", -1) == version) return message;
    }
}

double Session::open(const std::string& text) {
    const std::string opening =
        json{{"jsonrpc", "2.0"},
             {"method", "textDocument/didOpen"},
             {"params",
              {{"textDocument",
                {{"uri", uri_}, {"languageId", language_}, {"version", ++version_}, {"text", text}}}}}}
            .dump();
    const int id = ++next_id_;
    const std::string pull = request_text(id, "textDocument/diagnostic", {{"textDocument", document()}});
    Clock::time_point at;
    const auto start = opened_ = Clock::now();
    process_.send(opening);
    if (diagnostics_ == Diagnostics::pull) process_.send(pull);
    warning_count_ =
        count_warnings(diagnostics_ == Diagnostics::pull ? wait_answer(id, at) : settle(version_, at));
    return milliseconds(start, at);
}

std::string Session::change_text(const Edit& edit) {
    const json change = {{"range", {{"start", to_json(edit.range.begin)}, {"end", to_json(edit.range.end)}}},
                         {"text", edit.text}};
    const json parameters = {{"textDocument", {{"uri", uri_}, {"version", ++version_}}},
                             {"contentChanges", {change}}};
    return json{{"jsonrpc", "2.0"}, {"method", "textDocument/didChange"}, {"params", parameters}}.dump();
}

double Session::opened_whole() {
    constexpr std::chrono::milliseconds silence{500};
    // The answer comes only when the whole program is known; warnings may still follow it.
    request("textDocument/hover", {{"textDocument", document()}, {"position", to_json({})}});
    Clock::time_point last = Clock::now();
    try {
        while (true) {
            Clock::time_point at;
            const json message = receive(Clock::now() + silence, at);
            if (message.value("method", "") != "textDocument/publishDiagnostics") continue;
            warning_count_ = count_warnings(message);
            last = at;
        }
    } catch (const NoAnswer&) { // silence
    }
    return milliseconds(opened_, last);
}

double Session::keys(const std::vector<Edit>& edits) {
    std::vector<std::string> messages;
    for (const Edit& edit : edits) messages.push_back(change_text(edit));
    const int id = ++next_id_;
    const std::string pull = request_text(id, "textDocument/diagnostic", {{"textDocument", document()}});
    Clock::time_point at;
    const auto start = Clock::now();
    for (const auto& message : messages) process_.send(message);
    if (diagnostics_ == Diagnostics::pull) process_.send(pull);
    warning_count_ =
        count_warnings(diagnostics_ == Diagnostics::pull ? wait_answer(id, at) : settle(version_, at));
    return milliseconds(start, at);
}

double Session::key_then(const Edit& edit, const std::string& method, json parameters) {
    const std::string change = change_text(edit);
    const int id = ++next_id_;
    const std::string message = request_text(id, method, std::move(parameters));
    Clock::time_point at;
    const auto start = Clock::now();
    process_.send(change);
    process_.send(message);
    wait_answer(id, at);
    return milliseconds(start, at);
}

double Session::request(const std::string& method, json parameters) {
    const int id = ++next_id_;
    const std::string message = request_text(id, method, std::move(parameters));
    Clock::time_point at;
    const auto start = Clock::now();
    process_.send(message);
    wait_answer(id, at);
    return milliseconds(start, at);
}

} // namespace bench
