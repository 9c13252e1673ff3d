#include "fuzz/differential/client.h"

#include "fuzz/fuzz.h"
#include "protocol/uri.h"

#include <chrono>

namespace turnwright::fuzz {
namespace {

// Generous: a sanitizer on a busy machine.
constexpr std::chrono::seconds patience{120};

/// A document of no file that stands behind all others, since a server tells diagnostics in the order of the
/// URIs: when its own have come, so have theirs.
constexpr const char* last_document = "untitled:~";

Json capabilities(const Scenario& scenario) {
    Json document{{"completion",
                   {{"completionItem",
                     {{"snippetSupport", true}, {"documentationFormat", Json::array({"markdown"})}}}}},
                  {"hover", {{"contentFormat", Json::array({"markdown"})}}},
                  {"codeAction",
                   {{"dataSupport", true},
                    {"resolveSupport", {{"properties", Json::array({"edit"})}}},
                    {"codeActionLiteralSupport",
                     {{"codeActionKind", {{"valueSet", Json::array({"quickfix", "refactor"})}}}}}}},
                  {"publishDiagnostics", {{"relatedInformation", true}, {"versionSupport", true}}},
                  {"documentSymbol", {{"hierarchicalDocumentSymbolSupport", true}}}};
    if (!scenario.push) document["diagnostic"] = Json::object();
    return {{"general", {{"positionEncodings", Json::array({scenario.encoding})}}},
            {"workspace",
             {{"applyEdit", true},
              {"diagnostics", {{"refreshSupport", !scenario.push}}},
              {"workspaceEdit", {{"documentChanges", true}}}}},
            {"textDocument", std::move(document)}};
}

Json position(Place place) {
    return {{"line", place.line}, {"character", place.character}};
}

protocol::ServerOptions server_options() {
    protocol::ServerOptions options;
    options.version = "differential";
    options.log = [](std::string_view line) {
        require(line.find("failed: ") == std::string_view::npos, "nothing fails inside", std::string(line));
    };
    return options;
}

/// Takes out `"resultId":"17"`.
std::string without_result_ids(std::string body) {
    constexpr std::string_view member = R"("resultId":")";
    for (std::size_t at = 0; (at = body.find(member, at)) != std::string::npos;)
        body.erase(at, body.find('"', at + member.size()) + 1 - at);
    return body;
}

} // namespace

std::size_t Conversation::read(char* to, std::size_t room) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return !input_.empty() || closed_; });
    const std::size_t count = std::min(room, input_.size());
    input_.copy(to, count);
    input_.erase(0, count);
    return count;
}

bool Conversation::readable() {
    const std::lock_guard lock(mutex_);
    return !input_.empty();
}

void Conversation::close() {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    changed_.notify_all();
}

void Conversation::say(std::string_view bytes) {
    const std::lock_guard lock(mutex_);
    input_ += bytes;
    changed_.notify_all();
}

void Conversation::write(std::string_view bytes) {
    const std::lock_guard lock(mutex_);
    frames_.feed(bytes);
    while (auto event = frames_.next()) {
        require(event->kind == rpc::FrameReader::Event::Kind::body, "the server sends frames", event->text);
        take(std::move(event->text));
    }
    changed_.notify_all();
}

void Conversation::take(std::string body) {
    // Long lists are compared as they are: reading all of them would take most of the time.
    constexpr std::string_view id = R"({"id":)";
    if (body.starts_with(id)) {
        std::size_t read = 0;
        const std::int64_t number = std::stoll(body.substr(id.size(), 20), &read);
        constexpr std::string_view result = R"(,"jsonrpc":"2.0","result":)";
        if (body.compare(id.size() + read, result.size(), result) == 0) {
            body.pop_back(); // of the message
            return void(replies_.emplace(number, body.substr(id.size() + read + result.size())));
        }
    }
    const Json message = Json::parse(body);
    if (message.contains("error")) {
        require(message["error"]["code"] != rpc::code::internal_error, "no request fails inside", body);
        if (message["id"].is_number_integer())
            replies_.emplace(message["id"].get<std::int64_t>(), "error " + message["error"].dump());
    } else if (message.value("method", "") == "textDocument/publishDiagnostics") {
        const Json& params = message["params"];
        pushed_[params["uri"].get<std::string>()] = {params.value("version", std::int64_t{0}),
                                                     params["diagnostics"].dump()};
    }
}

std::string Conversation::reply(std::int64_t id) {
    std::unique_lock lock(mutex_);
    const bool came = changed_.wait_for(lock, patience, [&] { return replies_.contains(id); });
    require(came, "a request is answered", std::to_string(id));
    std::string body = std::move(replies_[id]);
    replies_.erase(id);
    return body;
}

std::map<std::string, std::string> Conversation::pushed(const std::string& uri, std::int64_t version) {
    std::unique_lock lock(mutex_);
    const bool came = changed_.wait_for(
        lock, patience, [&] { return pushed_.contains(uri) && pushed_[uri].version == version; });
    require(came, "diagnostics are pushed");
    std::map<std::string, std::string> all;
    for (const auto& [of, told] : pushed_)
        if (of != uri) all.emplace(of, std::to_string(told.version) + ' ' + told.diagnostics);
    return all;
}

Client::Client(const Scenario& scenario, std::filesystem::path folder)
    : folder_(std::move(folder)), push_(scenario.push), server_(server_options()) {
    const std::string root = protocol::uri_of_path(folder_);
    ask("initialize", {{"processId", nullptr},
                       {"rootUri", root},
                       {"workspaceFolders", Json::array({{{"uri", root}, {"name", "shop"}}})},
                       {"capabilities", capabilities(scenario)},
                       // Nothing is held back while a line is typed.
                       {"initializationOptions", {{"warnings", {{"calm", false}}}}}});
    tell("initialized", Json::object());
    thread_ = std::thread([this] { server_.run(conversation_); });
    if (!push_) return;
    tell("textDocument/didOpen",
         {{"textDocument",
           {{"uri", last_document}, {"languageId", "turning"}, {"version", last_look_}, {"text", "%\n"}}}});
}

Client::~Client() {
    ask("shutdown", nullptr);
    tell("exit", nullptr);
    send();
    thread_.join();
}

std::string Client::uri_of(const std::string& file) const {
    return protocol::uri_of_path(folder_ / file);
}

void Client::tell(const char* method, Json params) {
    waiting_ += rpc::frame(rpc::notification_body(method, std::move(params)));
}

std::int64_t Client::ask(const std::string& method, Json params) {
    waiting_ += rpc::frame(rpc::request_body(++last_id_, method, std::move(params)));
    return last_id_;
}

void Client::open(const std::string& file, std::int64_t version, const std::string& text) {
    tell("textDocument/didOpen",
         {{"textDocument",
           {{"uri", uri_of(file)}, {"languageId", "turning"}, {"version", version}, {"text", text}}}});
}

void Client::change(const std::string& file, std::int64_t version, const std::vector<Edit>& edits) {
    Json changes = Json::array();
    for (const Edit& edit : edits) {
        Json change{{"text", edit.text}};
        if (!edit.whole) change["range"] = {{"start", position(edit.begin)}, {"end", position(edit.end)}};
        changes.push_back(std::move(change));
    }
    tell("textDocument/didChange",
         {{"textDocument", {{"uri", uri_of(file)}, {"version", version}}}, {"contentChanges", changes}});
}

void Client::send() {
    conversation_.say(waiting_);
    waiting_.clear();
}

std::string Client::answer(std::int64_t id) {
    return without_result_ids(conversation_.reply(id));
}

Json Client::ask_at_once(const char* method, Json params) {
    const std::int64_t id = ask(method, std::move(params));
    send();
    const std::string result = conversation_.reply(id);
    require(result.starts_with('{'), "the request has a result", result);
    return Json::parse(result);
}

std::map<std::string, std::string> Client::pushed() {
    ++last_look_;
    tell("textDocument/didChange", {{"textDocument", {{"uri", last_document}, {"version", last_look_}}},
                                    {"contentChanges", Json::array({{{"text", "%\n"}}})}});
    send();
    return conversation_.pushed(last_document, last_look_);
}

} // namespace turnwright::fuzz
