// What a client does, as data: files that come and go, programs that are opened, changed, saved and closed,
// in batches. A scenario comes from a seed or from a file, and a failing one is made shorter and written
// down.
#pragma once

#include "rpc/message.h"

#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::fuzz {

using rpc::Json;

/// The same numbers in every library, unlike the distributions of the standard one.
class Random {
public:
    explicit Random(std::uint32_t seed) : engine_(seed) {}
    std::size_t below(std::size_t count) { return engine_() % count; }
    bool one_in(std::size_t count) { return below(count) == 0; }
    template <class List>
    const auto& pick(const List& from) {
        return from[below(std::size(from))];
    }

private:
    std::mt19937 engine_;
};

/// Line and character as the client counts.
struct Place {
    std::uint32_t line = 0;
    std::uint32_t character = 0;
    auto operator<=>(const Place&) const = default;
};

/// One member of `contentChanges`.
struct Edit {
    bool whole = false; ///< The text takes the place of everything
    Place begin, end;
    std::string text;
};

struct Step {
    enum class Kind {
        open,   ///< `text` as a new document
        change, ///< `edits`, in one notification
        save,   ///< The document's text is written to its file
        close,
        write, ///< `text` goes into the file, each character up to U+00FF as one byte
        erase, ///< The file
        ask,   ///< Some requests, whose answers nobody looks at
    };
    Kind kind = Kind::open;
    std::string file; ///< Name in the folder
    std::string text;
    std::vector<Edit> edits;
};
using Batch = std::vector<Step>;

/// One request whose answers differed.
struct Question {
    std::string method; ///< textDocument/publishDiagnostics: what was pushed last
    std::string file;
    Json params;
};

struct Scenario {
    std::uint32_t seed = 0;
    std::string encoding = "utf-16";
    bool push = false; ///< The client takes diagnostics as they come and never asks
    /// Everything is asked after every batch, and not only after the last one.
    bool ask_all = true;
    std::vector<Batch> batches; ///< The first one sets the scene.
    /// Only this is asked in the end; any question when it has no method.
    Question question;
};

Json written(const Scenario& scenario);
/// Throws Json::exception for what is none.
Scenario read_scenario(const Json& json);

/// The text of a document as its client has it, which knows nothing of the server's buffer.
class ClientText {
public:
    ClientText() = default;
    ClientText(std::string text, std::string encoding);
    void apply(const Edit& edit);

    const std::string& whole() const { return text_; }
    std::size_t line_count() const { return starts_.size(); }
    /// Without its line end.
    std::string_view line(std::size_t line) const;
    std::string_view line_end(std::size_t line) const;
    /// With their line ends.
    std::string_view lines(std::size_t first, std::size_t count = 1) const;
    std::uint32_t characters_before(std::size_t line, std::size_t byte) const;
    /// The end of the text.
    Place end() const;

private:
    void find_lines();
    std::size_t byte_at(Place place) const;

    std::string text_, encoding_;
    std::vector<std::size_t> starts_{0};
};

/// Without lines [first, first + count) of the document that a step opens; later places in it move up.
Scenario without_lines(const Scenario& scenario, std::size_t batch, std::size_t step, std::size_t first,
                       std::size_t count);

/// Texts of the documents that are open after some batches, with their versions.
struct OpenText {
    ClientText text;
    std::int64_t version = 1;
};
using OpenTexts = std::map<std::string, OpenText>;
/// Keeps the order in which they were opened beside them.
void follow(const Step& step, const std::string& encoding, OpenTexts& open, std::vector<std::string>& order);

} // namespace turnwright::fuzz
