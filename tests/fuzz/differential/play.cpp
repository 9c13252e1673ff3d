#include "fuzz/differential/play.h"

#include "fuzz/differential/client.h"
#include "fuzz/fuzz.h"

#include <algorithm>
#include <fstream>
#include <memory>
#include <set>
#include <unistd.h>

namespace turnwright::fuzz {
namespace {

namespace files = std::filesystem;

constexpr const char* pushed_diagnostics = "textDocument/publishDiagnostics";
constexpr const char* told_anew = "textDocument/diagnostic";
constexpr const char* tokens_by_delta = "textDocument/semanticTokens/full/delta";

/// Gone with the scenario.
struct Folder {
    files::path path;
    Folder() {
        std::string name = (files::temp_directory_path() / "turnwright-differential-XXXXXX").string();
        require(mkdtemp(name.data()) != nullptr, "a folder can be made", name);
        path = files::canonical(name);
        files::create_directory(path / "sub");
    }
    ~Folder() {
        std::error_code ignored;
        files::remove_all(path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

/// As an old machine wrote it: a byte a character.
std::string as_bytes(const std::string& text) {
    std::string bytes;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const bool is_pair = (byte == 0xC2 || byte == 0xC3) && i + 1 < text.size();
        bytes += is_pair ? static_cast<char>((byte & 0x03) << 6 | (text[++i] & 0x3F)) : text[i];
    }
    return bytes;
}

class Player {
public:
    explicit Player(const Scenario& scenario)
        : scenario_(scenario), followed_(std::make_unique<Client>(scenario, folder_.path)) {}

    std::optional<Difference> play(std::size_t& batches) {
        for (std::size_t i = 0; i < scenario_.batches.size(); ++i) {
            for (const Step& step : scenario_.batches[i]) take(step);
            const bool is_last = i + 1 == scenario_.batches.size();
            if (is_last || scenario_.ask_all) {
                ++batches;
                if (auto differs = compare(i, is_last ? scenario_.question : Question{})) return differs;
            } else {
                followed_->send();
            }
        }
        return std::nullopt;
    }

private:
    void take(const Step& step) {
        follow(step, scenario_.encoding, open_, order_);
        switch (step.kind) {
        case Step::Kind::open:
            touched_ = {step.file, 0};
            return followed_->open(step.file, 1, step.text);
        case Step::Kind::change:
            if (!step.edits.empty()) touched_ = {step.file, step.edits.back().begin.line};
            return followed_->change(step.file, open_[step.file].version, step.edits);
        case Step::Kind::close:
            return followed_->tell("textDocument/didClose", about(step.file));
        case Step::Kind::save:
            if (!open_.contains(step.file)) return;
            change_file(step.file, as_bytes(open_[step.file].text.whole()), 2);
            return followed_->tell("textDocument/didSave", about(step.file));
        case Step::Kind::write:
            return change_file(step.file, as_bytes(step.text), 2);
        case Step::Kind::erase:
            return change_file(step.file, std::nullopt, 3);
        case Step::Kind::ask:
            if (!open_.contains(step.file)) return;
            for (const Question& question : some_questions(step.file))
                followed_->ask(question.method, question.params);
        }
    }

    Json about(const std::string& file) const {
        return {{"textDocument", {{"uri", followed_->uri_of(file)}}}};
    }

    void change_file(const std::string& file, const std::optional<std::string>& bytes, int kind) {
        const files::path path = folder_.path / file;
        if (bytes) {
            std::ofstream(path, std::ios::binary | std::ios::trunc) << *bytes;
            // Writing twice in a moment may leave the time as it was.
            files::last_write_time(path, written_ += std::chrono::seconds(2));
        } else {
            files::remove(path);
        }
        followed_->tell("workspace/didChangeWatchedFiles",
                        {{"changes", Json::array({{{"uri", followed_->uri_of(file)}, {"type", kind}}})}});
    }

    std::optional<Difference> compare(std::size_t batch, const Question& only) {
        Client fresh(scenario_, folder_.path);
        for (const std::string& file : order_)
            fresh.open(file, open_[file].version, open_[file].text.whole());
        if (scenario_.push) {
            const auto of_followed = followed_->pushed(), of_fresh = fresh.pushed();
            if (only.method.empty() || only.method == pushed_diagnostics)
                if (auto differs = compare_pushed(batch, of_followed, of_fresh)) return differs;
        }
        if (only.method == pushed_diagnostics) return std::nullopt;
        for (const std::string& file : order_) {
            const auto wanted = [&](const char* method) {
                return only.method.empty() || (only.method == method && only.file == file);
            };
            if (wanted(told_anew) && !scenario_.push)
                if (auto differs = compare_diagnostics(batch, file, fresh)) return differs;
            if (wanted(tokens_by_delta))
                if (auto differs = compare_tokens(batch, file, fresh)) return differs;
        }
        if (only.method == told_anew || only.method == tokens_by_delta) return std::nullopt;
        if (!only.method.empty()) return ask(batch, {only}, fresh);
        Random random(scenario_.seed * 1000 + static_cast<std::uint32_t>(batch));
        for (const std::string& file : order_)
            if (auto differs = ask(batch, all_questions(file, random), fresh)) return differs;
        return std::nullopt;
    }

    /// As editors pull them: only when they are not those that they have.
    std::optional<Difference> compare_diagnostics(std::size_t batch, const std::string& file, Client& fresh) {
        Remembered& held = remembered_[file];
        const Json now =
            followed_->ask_at_once(told_anew, with(about(file), "previousResultId", held.diagnostics_id));
        if (now["kind"] == "full") held.diagnostics = now["items"];
        held.diagnostics_id = now["resultId"].get<std::string>();
        const Json other = fresh.ask_at_once(told_anew, about(file))["items"];
        if (held.diagnostics == other) return std::nullopt;
        return Difference{batch, {told_anew, file, Json::object()}, held.diagnostics.dump(), other.dump()};
    }

    std::optional<Difference> compare_tokens(std::size_t batch, const std::string& file, Client& fresh) {
        Remembered& held = remembered_[file];
        const Json now =
            followed_->ask_at_once(tokens_by_delta, with(about(file), "previousResultId", held.tokens_id));
        if (now.contains("data")) held.tokens = now["data"].get<std::vector<std::uint32_t>>();
        for (const Json& edit : now.value("edits", Json::array())) {
            const auto at = held.tokens.begin() + edit["start"].get<std::ptrdiff_t>();
            const auto put = edit["data"].get<std::vector<std::uint32_t>>();
            const auto behind = held.tokens.erase(at, at + edit["deleteCount"].get<std::ptrdiff_t>());
            held.tokens.insert(behind, put.begin(), put.end());
        }
        held.tokens_id = now["resultId"].get<std::string>();
        const Json other = fresh.ask_at_once("textDocument/semanticTokens/full", about(file))["data"];
        if (Json(held.tokens) == other) return std::nullopt;
        return Difference{
            batch, {tokens_by_delta, file, Json::object()}, Json(held.tokens).dump(), other.dump()};
    }

    static Json with(Json params, const char* member, Json value) {
        params[member] = std::move(value);
        return params;
    }

    std::optional<Difference> compare_pushed(std::size_t batch,
                                             const std::map<std::string, std::string>& of_followed,
                                             const std::map<std::string, std::string>& of_fresh) const {
        std::set<std::string> uris;
        for (const auto& [uri, told] : of_followed) uris.insert(uri);
        for (const auto& [uri, told] : of_fresh) uris.insert(uri);
        const auto told = [](const auto& all, const std::string& uri) {
            const auto found = all.find(uri);
            return found == all.end() ? std::string("0 []") : found->second;
        };
        for (const std::string& uri : uris)
            if (told(of_followed, uri) != told(of_fresh, uri))
                return Difference{
                    batch,
                    {pushed_diagnostics, uri.substr(followed_->uri_of("").size()), Json::object()},
                    told(of_followed, uri),
                    told(of_fresh, uri)};
        return std::nullopt;
    }

    std::optional<Difference> ask(std::size_t batch, const std::vector<Question>& questions, Client& fresh) {
        std::vector<std::int64_t> ids, fresh_ids;
        for (const Question& question : questions) {
            ids.push_back(followed_->ask(question.method, with_uri(question)));
            fresh_ids.push_back(fresh.ask(question.method, with_uri(question)));
        }
        followed_->send();
        fresh.send();
        std::vector<Question> more;
        std::optional<Difference> differs;
        for (std::size_t i = 0; i < questions.size(); ++i) {
            std::string one = followed_->answer(ids[i]), other = fresh.answer(fresh_ids[i]);
            if (differs) continue; // every answer is taken, so that the clients may go on
            if (one != other)
                differs = Difference{batch, questions[i], std::move(one), std::move(other)};
            else
                resolve(questions[i], other, more);
        }
        if (differs || more.empty()) return differs;
        return ask(batch, more, fresh);
    }

    Json with_uri(const Question& question) const {
        Json params = question.params;
        if (question.file.empty()) return params;
        if (!question.method.ends_with("esolve"))
            params["textDocument"] = {{"uri", followed_->uri_of(question.file)}};
        return params;
    }

    /// What is asked about an answer: one item or action of a list.
    static void resolve(const Question& question, const std::string& answer, std::vector<Question>& more) {
        const bool is_action = question.method == "textDocument/codeAction";
        if (!is_action && question.method != "textDocument/completion") return;
        if (answer.find(R"("data":)") == std::string::npos) return;
        Json list = Json::parse(answer);
        if (!is_action) list = list["items"];
        if (list.empty()) return;
        const Json& one = list[answer.size() % list.size()];
        if (one.contains("data"))
            more.push_back({is_action ? "codeAction/resolve" : "completionItem/resolve", question.file, one});
    }

    std::vector<Question> some_questions(const std::string& file) const;
    std::vector<Question> all_questions(const std::string& file, Random& random) const;

    Folder folder_;
    const Scenario& scenario_;
    std::unique_ptr<Client> followed_;
    OpenTexts open_;
    std::vector<std::string> order_;
    struct {
        std::string file;
        std::size_t line = 0;
    } touched_; ///< Last
    /// What the client has of a document, to which it is told what is new.
    struct Remembered {
        std::string diagnostics_id, tokens_id;
        Json diagnostics;
        std::vector<std::uint32_t> tokens;
    };
    std::map<std::string, Remembered> remembered_;
    files::file_time_type written_ = files::file_time_type::clock::now();
};

std::vector<Question> Player::some_questions(const std::string& file) const {
    return {{"textDocument/semanticTokens/full", file, about(file)},
            {"textDocument/documentLink", file, about(file)},
            {"textDocument/documentSymbol", file, about(file)}};
}

std::vector<Question> Player::all_questions(const std::string& file, Random& random) const {
    const ClientText& text = open_.at(file).text;
    const auto some_place = [&] {
        const std::size_t lines = text.line_count();
        std::size_t line = random.below(lines);
        if (touched_.file == file && !random.one_in(3))
            line = std::min(touched_.line + random.below(9), lines + 3) -
                   std::min<std::size_t>(touched_.line, 4);
        line = std::min(line, lines - 1);
        const std::size_t byte = random.below(text.line(line).size() + 1);
        return Place{static_cast<std::uint32_t>(line), text.characters_before(line, byte)};
    };
    const auto json = [](Place place) { return Json{{"line", place.line}, {"character", place.character}}; };
    const auto range = [&](Place begin, Place end) {
        return Json{{"start", json(std::min(begin, end))}, {"end", json(std::max(begin, end))}};
    };
    const Json options{{"tabSize", 4}, {"insertSpaces", true}};
    const Json everything = range({}, text.end());
    std::vector<Question> all;
    const auto add = [&](const std::string& method, Json params = Json::object()) {
        all.push_back({"textDocument/" + method, file, std::move(params)});
    };
    for (const char* method : {"documentSymbol", "foldingRange", "codeLens", "documentLink"}) add(method);
    add("inlayHint", {{"range", everything}});
    add("formatting", {{"options", options}});
    if (file == order_.back()) {
        all.push_back({"workspace/symbol", "", {{"query", ""}}});
        if (!scenario_.push)
            all.push_back({"workspace/diagnostic", "", {{"previousResultIds", Json::array()}}});
    }
    for (int i = 0; i < 6; ++i) add("hover", {{"position", json(some_place())}});
    for (int i = 0; i < 2; ++i) {
        const Json position = json(some_place());
        for (const char* method : {"completion", "signatureHelp", "definition", "documentHighlight",
                                   "prepareRename", "linkedEditingRange", "prepareCallHierarchy"})
            add(method, {{"position", position}});
        add("references", {{"position", position}, {"context", {{"includeDeclaration", true}}}});
        add("rename", {{"position", position}, {"newName", "77"}});
        add("onTypeFormatting", {{"position", position}, {"ch", "\n"}, {"options", options}});
        const Place one = some_place();
        const Json some = range(one, some_place());
        add("codeAction", {{"range", some}, {"context", {{"diagnostics", Json::array()}}}});
        add("semanticTokens/range", {{"range", some}});
        add("rangeFormatting", {{"range", some}, {"options", options}});
    }
    Json positions = Json::array();
    for (int i = 0; i < 3; ++i) positions.push_back(json(some_place()));
    add("selectionRange", {{"positions", std::move(positions)}});
    return all;
}

} // namespace

std::optional<Difference> play(const Scenario& scenario, std::size_t& batches) {
    return Player(scenario).play(batches);
}

std::string shown(const Difference& difference) {
    const std::string &a = difference.followed, &b = difference.fresh;
    const auto at = static_cast<std::size_t>(
        std::mismatch(a.begin(), a.begin() + static_cast<std::ptrdiff_t>(std::min(a.size(), b.size())),
                      b.begin())
            .first -
        a.begin());
    const std::size_t from = at > 160 ? at - 160 : 0;
    return "batch " + std::to_string(difference.batch) + ", " + difference.question.method + ' ' +
           difference.question.file + ' ' + difference.question.params.dump() + "\n  followed: ..." +
           a.substr(from, 480) + "\n  fresh:    ..." + b.substr(from, 480) + '\n';
}

} // namespace turnwright::fuzz
