#include "fuzz/session.h"

#include "fuzz/session_folder.h"

#include <chrono>

namespace turnwright::fuzz {
namespace {

// Requests by one set of parameters that holds what any of them reads.
constexpr const char* requests[] = {
    "textDocument/hover",
    "textDocument/completion",
    "textDocument/documentSymbol",
    "textDocument/diagnostic",
    "workspace/diagnostic",
    "textDocument/codeAction",
    "codeAction/resolve",
    "completionItem/resolve",
    "textDocument/signatureHelp",
    "textDocument/definition",
    "textDocument/references",
    "textDocument/documentHighlight",
    "textDocument/rename",
    "textDocument/prepareRename",
    "textDocument/formatting",
    "textDocument/rangeFormatting",
    "textDocument/onTypeFormatting",
    "textDocument/semanticTokens/full",
    "textDocument/semanticTokens/full/delta",
    "textDocument/semanticTokens/range",
    "textDocument/foldingRange",
    "textDocument/selectionRange",
    "textDocument/inlayHint",
    "textDocument/codeLens",
    "textDocument/documentLink",
    "textDocument/linkedEditingRange",
    "textDocument/prepareCallHierarchy",
    "callHierarchy/incomingCalls",
    "callHierarchy/outgoingCalls",
    "workspace/symbol",
    "workspace/executeCommand",
    "shutdown",
    "initialize",
};
constexpr const char* notifications[] = {
    "initialized",
    "textDocument/didSave",
    "workspace/didChangeConfiguration",
    "workspace/didChangeWatchedFiles",
    "workspace/didChangeWorkspaceFolders",
    "$/setTrace",
    "$/cancelRequest",
    "textDocument/didClose",
    "$/unheardOf",
    "exit",
};
constexpr const char* commands[] = {"turnwright.fixAll",        "turnwright.renumber",
                                    "turnwright.convertUnits",  "turnwright.convertSystem",
                                    "turnwright.convertX",      "turnwright.convertDistance",
                                    "turnwright.restartTable",  "turnwright.explainSequence",
                                    "turnwright.learnShopFile", "turnwright.compare",
                                    "turnwright.sheet",         "turnwright.library",
                                    "turnwright.tell",          "turnwright.writeBlocks",
                                    "turnwright.transfer",      "turnwright.pictureBeside",
                                    "turnwright.picture",       "turnwright.compareDrawn",
                                    "turnwright.repeatCut",     "turnwright.restartProgram",
                                    "turnwright.breakCorner",   "turnwright.changeNote",
                                    "turnwright.lot",           "turnwright.offsets",
                                    "turnwright.correct",       "turnwright.writeJobFile"};
constexpr const char* command_arguments[] = {"sequences", "all_blocks",  "by_tool", "inch",   "mm",
                                             "A",         "B",           "C",       "radius", "diameter",
                                             "absolute",  "incremental", "3",       "text"};

/// JSON text may hold valid UTF-8 only.
std::string readable(std::string_view text) {
    return Json::parse(Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace))
        .get<std::string>();
}

/// One record: its first bytes choose, the rest is text.
struct Record {
    std::string_view bytes;
    std::uint8_t next() {
        if (bytes.empty()) return 0;
        const auto first = static_cast<std::uint8_t>(bytes.front());
        bytes.remove_prefix(1);
        return first;
    }
};

Json position(std::uint8_t line, std::uint8_t character) {
    // The ends of what a client may write, and past them.
    static const std::int64_t odd[] = {-1, 2147483647, 2147483648, 4294967296};
    const auto number = [](std::uint8_t byte) { return byte < 252 ? std::int64_t{byte} : odd[byte - 252]; };
    return {{"line", number(line)}, {"character", number(character)}};
}

Json capabilities(std::uint8_t choice) {
    const bool all = choice & 1;
    Json given{
        {"general", {{"positionEncodings", Json::array({choice & 2 ? "utf-8" : "utf-16", "utf-16"})}}}};
    if (choice & 4) given["general"]["positionEncodings"] = Json::array({"utf-32"});
    given["workspace"] = {{"applyEdit", all},
                          {"configuration", all},
                          {"workspaceEdit", {{"documentChanges", (choice & 8) != 0}}},
                          {"didChangeWatchedFiles", {{"dynamicRegistration", all}}},
                          {"diagnostics", {{"refreshSupport", all}}},
                          {"semanticTokens", {{"refreshSupport", all}}}};
    given["textDocument"] = {
        {"completion", {{"completionItem", {{"snippetSupport", all}}}}},
        {"codeAction",
         {{"dataSupport", all},
          {"resolveSupport", {{"properties", Json::array({"edit"})}}},
          {"codeActionLiteralSupport",
           {{"codeActionKind", {{"valueSet", Json::array({"quickfix", "refactor"})}}}}}}},
        {"publishDiagnostics", {{"relatedInformation", all}, {"versionSupport", all}}},
        {"documentSymbol", {{"hierarchicalDocumentSymbolSupport", all}}},
        {"definition", {{"linkSupport", all}}}};
    if (choice & 16) given["textDocument"]["diagnostic"] = {{"dynamicRegistration", false}};
    return {{"processId", nullptr},
            {"rootUri", choice & 128 ? Json() : Json(session_folder().uri())},
            {"capabilities", std::move(given)},
            {"trace", choice & 32 ? "verbose" : "off"}};
}

/// What any request of ours reads, at the places that the record names.
Json parameters(Record& record) {
    const std::uint8_t document = record.next(), line = record.next(), character = record.next(),
                       more = record.next();
    const std::string& uri = uri_of_session(document);
    const Json at = position(line, character);
    const Json range{{"start", at}, {"end", position(static_cast<std::uint8_t>(line + more % 16), more)}};
    const std::string text = readable(record.bytes);
    const char* command = commands[more % std::size(commands)];
    const char* argument = command_arguments[character % std::size(command_arguments)];
    const Json item{
        {"name", "O9"},
        {"kind", 2},
        {"uri", uri},
        {"range", range},
        {"selectionRange", range},
        {"data",
         {{"origin", uri}, {"uri", uri}, {"number", more}, {"range", {line, character, more, more}}}}};
    return {{"textDocument", {{"uri", uri}, {"version", more}}},
            {"position", at},
            {"positions", Json::array({at, range["end"]})},
            {"range", range},
            {"item", item},
            {"label", "G76"},
            {"title", "Renumber"},
            {"kind", 1},
            {"data",
             {{"uri", uri},
              {"key", text},
              {"version", more},
              {"command", command},
              {"arguments", Json::array({argument})}}},
            {"context",
             {{"includeDeclaration", true},
              {"triggerKind", 1},
              {"diagnostics", Json::array({{{"range", range}, {"message", text}}})}}},
            {"options", {{"tabSize", 4}, {"insertSpaces", true}}},
            {"ch", "\n"},
            {"newName", text},
            {"query", text},
            {"previousResultId", std::to_string(more)},
            {"previousResultIds", Json::array({{{"uri", uri}, {"value", std::to_string(more)}}})},
            {"command", command},
            {"arguments", Json::array({uri, argument, line})},
            {"settings", {{"turnwright", {{"inlayHints", {{"rpm", false}}}, {"other", text}}}}},
            {"changes", Json::array({{{"uri", uri}, {"type", 1 + more % 3}}})},
            {"event",
             {{"added", Json::array({{{"uri", session_folder().uri()}, {"name", "shop"}}})},
              {"removed", Json::array()}}},
            {"value", more & 1 ? "verbose" : "messages"},
            {"id", more}};
}

std::size_t count_leaves(const Json& value) {
    std::size_t count = 0;
    if (value.is_structured())
        for (const Json& inner : value) count += 1 + count_leaves(inner);
    return count;
}

/// Puts another type in the place of member number `leaf`.
bool swap_leaf(Json& value, std::size_t& leaf, const Json& substitute) {
    if (!value.is_structured()) return false;
    for (Json& inner : value) {
        if (leaf-- == 0) {
            inner = substitute;
            return true;
        }
        if (swap_leaf(inner, leaf, substitute)) return true;
    }
    return false;
}

void swap_some_leaf(Json& value, std::uint8_t which, std::uint8_t by) {
    static const Json substitutes[] = {nullptr,
                                       true,
                                       17,
                                       -1.5,
                                       "text",
                                       Json::array(),
                                       Json::object(),
                                       Json::array({Json::array({Json::object()})}),
                                       Json{{"turnwright", 5}},
                                       4294967296};
    const std::size_t leaves = count_leaves(value);
    if (leaves == 0) return;
    std::size_t leaf = which % leaves;
    swap_leaf(value, leaf, substitutes[by % std::size(substitutes)]);
}

void say(Said& said, const char* method, Json params, bool is_request) {
    if (!is_request) {
        said.bytes += rpc::frame(rpc::notification_body(method, std::move(params)));
        return;
    }
    const std::int64_t id = static_cast<std::int64_t>(said.asked.size()) + 1000;
    said.asked[id] = method;
    said.bytes += rpc::frame(rpc::request_body(id, method, std::move(params)));
}

void open(Said& said, Record record) {
    const std::uint8_t choice = record.next();
    std::string text;
    for (int i = 0; i <= choice / 32; ++i) text += readable(record.bytes);
    say(said, "textDocument/didOpen",
        {{"textDocument",
          {{"uri", uri_of_session(choice)}, {"languageId", "turning"}, {"version", 1}, {"text", text}}}},
        false);
}

void change(Said& said, Record record, std::int64_t version) {
    const std::uint8_t choice = record.next(), line = record.next(), character = record.next(),
                       more = record.next();
    if (choice & 64) version -= more % 4; // late, or twice
    Json edit{{"text", readable(record.bytes)}};
    if (!(choice & 128))
        edit["range"] = {{"start", position(line, character)},
                         {"end", position(static_cast<std::uint8_t>(line + more / 64),
                                          static_cast<std::uint8_t>(character + more % 64))}};
    say(said, "textDocument/didChange",
        {{"textDocument", {{"uri", uri_of_session(choice)}, {"version", version}}},
         {"contentChanges", Json::array({edit})}},
        false);
}

/// A file with the record's bytes, and what an editor tells of it: that it was saved, that it changed, or
/// nothing.
void write_file(Said& said, Record record) {
    const std::uint8_t choice = record.next();
    std::int64_t answered = 0;
    if (!said.broken && !said.ends) {
        // No server knows the method: the answer only tells that it came so far.
        say(said, "$/upToHere", nullptr, true);
        answered = said.asked.rbegin()->first;
    }
    const std::size_t file = choice % SessionFolder::file_count;
    said.writings.push_back({said.bytes.size(), answered, file, std::string(record.bytes)});
    const std::string& uri = session_folder().uri_of(file);
    if (choice & 64) say(said, "textDocument/didSave", {{"textDocument", {{"uri", uri}}}}, false);
    if (choice & 128)
        say(said, "workspace/didChangeWatchedFiles",
            {{"changes", Json::array({{{"uri", uri}, {"type", 2}}})}}, false);
}

void any(Said& said, Record record, bool swapped, bool is_request) {
    const std::uint8_t which = record.next();
    const std::uint8_t leaf = swapped ? record.next() : 0, by = swapped ? record.next() : 0;
    const char* method =
        is_request ? requests[which % std::size(requests)] : notifications[which % std::size(notifications)];
    Json params = method == std::string_view("initialize") ? capabilities(which) : parameters(record);
    if (swapped) swap_some_leaf(params, leaf, by);
    if (method == std::string_view("exit") ||
        (swapped && params.contains("processId") && !params["processId"].is_null()))
        said.ends = true;
    say(said, method, std::move(params), is_request);
}

void reply(Said& said, Record record) {
    const std::int64_t id = 1 + record.next() % 6;
    const std::uint8_t kind = record.next();
    Json message{{"jsonrpc", "2.0"}, {"id", id}};
    if (kind % 4 == 0)
        message["error"] = {{"code", -32601}, {"message", readable(record.bytes)}};
    else if (kind % 4 == 1)
        message["result"] = Json::array({{{"turnwright", {{"inlayHints", {{"rpm", true}}}}}}});
    else
        message["result"] = Json{{"success", true}, {"applied", kind & 8}};
    if (kind & 128) swap_some_leaf(message, record.next(), record.next());
    if (kind & 128) said.broken = true; // it may have become a request
    said.bytes += rpc::frame(message.dump());
}

void read_record(Said& said, Record record, std::int64_t version) {
    switch (record.next() % 16) {
    case 0: // a body as it is
        said.broken = said.ends = true;
        said.bytes += rpc::frame(std::string(record.bytes));
        return;
    case 1: // bytes as they are
        said.broken = said.ends = true;
        said.bytes += record.bytes;
        return;
    case 2:
    case 3:
        return open(said, record);
    case 4:
    case 5:
    case 6:
        return change(said, record, version);
    case 7:
        return reply(said, record);
    case 8:
        return any(said, record, true, true);
    case 9:
        return any(said, record, false, false);
    case 10:
        return any(said, record, true, false);
    case 11:
        return write_file(said, record);
    case 12: // links are what makes a server look into other files
        return say(said, "textDocument/documentLink",
                   {{"textDocument", {{"uri", uri_of_session(record.next())}}}}, true);
    default:
        return any(said, record, false, true);
    }
}

} // namespace

std::size_t Script::read(char* to, std::size_t room) {
    for (; written_ < writings_.size() && writings_[written_].at <= at_; ++written_)
        write_file(writings_[written_]);
    const std::size_t end = written_ < writings_.size() ? writings_[written_].at : input_.size();
    const std::size_t count = std::min({room, piece_, end - at_});
    input_.copy(to, count, at_);
    at_ += count;
    return count;
}

void Script::write_file(const Writing& writing) {
    const std::string reply = "\"id\":" + std::to_string(writing.answered) + ',';
    std::unique_lock lock(mutex_);
    // Not for ever: the server may have ended.
    changed_.wait_for(lock, std::chrono::seconds(5), [&] {
        return closed_ || writing.answered == 0 || told_.find(reply) != std::string::npos;
    });
    session_folder().write(writing.file, writing.bytes);
}

void Script::write(std::string_view bytes) {
    const std::lock_guard lock(mutex_);
    told_ += bytes;
    changed_.notify_all();
}

void Script::close() {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    changed_.notify_all();
}

std::vector<Json> Script::told() const {
    rpc::FrameReader frames{rpc::Limits{}};
    frames.feed(told_);
    std::vector<Json> messages;
    while (auto event = frames.next()) {
        require(event->kind == rpc::FrameReader::Event::Kind::body, "the server sends frames", event->text);
        messages.push_back(Json::parse(event->text));
    }
    require(!frames.half_way(), "the server sends whole frames");
    return messages;
}

Said read_records(std::string_view input) {
    Said said;
    Record record{input};
    const std::uint8_t how = record.next();
    session_folder().begin();
    if (how == 255) { // the whole stream as it is
        said.broken = said.ends = true;
        said.bytes = record.bytes;
        return said;
    }
    if (how < 240) {
        say(said, "initialize", capabilities(how), true);
        say(said, "initialized", Json::object(), false);
    }
    std::int64_t version = 1;
    std::string_view rest = record.bytes;
    while (!rest.empty() && version < 64) {
        const std::size_t end = rest.find('\xFE');
        read_record(said, {rest.substr(0, end)}, ++version);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    }
    return said;
}

} // namespace turnwright::fuzz
