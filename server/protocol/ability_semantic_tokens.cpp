// textDocument/semanticTokens: full, full/delta and range
#include "features/tokens.h"
#include "protocol/feature.h"
#include "protocol/server.h"

#include <algorithm>

namespace turnwright::protocol::semantic_tokens {
namespace {

/// Counts characters along the lines of a document, token after token.
class LineCounter {
public:
    LineCounter(const text::Buffer& buffer, text::Encoding encoding) : buffer_(buffer), encoding_(encoding) {}

    std::uint32_t count(std::uint32_t line, std::uint32_t column) {
        if (line != line_) {
            line_ = line;
            text_ = buffer_.line(line);
            plain_ = encoding_ == text::Encoding::utf8 ||
                     std::none_of(text_.begin(), text_.end(),
                                  [](char c) { return static_cast<unsigned char>(c) >= 0x80; });
        }
        return plain_ ? column : text::count_characters(text_, column, encoding_);
    }

private:
    const text::Buffer& buffer_;
    text::Encoding encoding_;
    std::uint32_t line_ = UINT32_MAX;
    std::string_view text_;
    bool plain_ = true;
};

/// The protocol's five numbers a token, lines and starts as differences.
std::vector<std::uint32_t> encoded(const Server& server, const OpenDocument& document,
                                   const std::vector<features::Token>& tokens) {
    LineCounter counter(document.as_it_is().buffer(), server.client().encoding);
    std::vector<std::uint32_t> numbers;
    numbers.reserve(tokens.size() * 5);
    std::uint32_t line = 0, start = 0;
    for (const features::Token& token : tokens) {
        const std::uint32_t from = counter.count(token.at.line, token.at.column);
        const std::uint32_t to = counter.count(token.at.line, token.at.column + token.length);
        if (to <= from) continue;
        if (token.at.line != line) start = 0;
        numbers.insert(numbers.end(), {token.at.line - line, from - start, to - from,
                                       static_cast<std::uint32_t>(token.type), token.modifiers});
        line = token.at.line;
        start = from;
    }
    return numbers;
}

Json keep(Server& server, OpenDocument& document, std::vector<std::uint32_t> numbers) {
    document.tokens = std::move(numbers);
    document.tokens_id = server.new_result_id();
    return Json{{"resultId", document.tokens_id}, {"data", document.tokens}};
}

rpc::Content full(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    return keep(server, document, encoded(server, document, features::semantic_tokens(document.evaluated())));
}

rpc::Content delta(Server& server, const In& params, rpc::Call&) {
    const std::string previous = params["previousResultId"].string();
    OpenDocument& document = server.document(params["textDocument"]);
    auto now = encoded(server, document, features::semantic_tokens(document.evaluated()));
    if (previous != document.tokens_id) return keep(server, document, std::move(now));
    const std::vector<std::uint32_t>& before = document.tokens;
    const std::size_t shorter = std::min(now.size(), before.size());
    std::size_t head = 0, tail = 0;
    while (head < shorter && now[head] == before[head]) ++head;
    while (tail < shorter - head && now[now.size() - 1 - tail] == before[before.size() - 1 - tail]) ++tail;
    Json edits = Json::array();
    if (head < now.size() || head < before.size())
        edits.push_back(
            Json{{"start", head},
                 {"deleteCount", before.size() - head - tail},
                 {"data", std::vector<std::uint32_t>(now.begin() + static_cast<std::ptrdiff_t>(head),
                                                     now.end() - static_cast<std::ptrdiff_t>(tail))}});
    document.tokens = std::move(now);
    document.tokens_id = server.new_result_id();
    return Json{{"resultId", document.tokens_id}, {"edits", std::move(edits)}};
}

rpc::Content range(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Range asked = document.from_client(read_range(params["range"]));
    return Json{{"data", encoded(server, document, features::semantic_tokens(document.evaluated(), asked))}};
}

void announce(Json& capabilities, const Client& client) {
    if (!client.has({"textDocument", "semanticTokens", "requests"})) return;
    const auto wants = [&](std::string_view what) {
        return client.can({"textDocument", "semanticTokens", "requests", what}) ||
               client.has({"textDocument", "semanticTokens", "requests", what});
    };
    Json options{{"legend", Json{{"tokenTypes", features::token_type_names()},
                                 {"tokenModifiers", features::token_modifier_names()}}}};
    if (client.can({"textDocument", "semanticTokens", "requests", "full", "delta"}))
        options["full"] = Json{{"delta", true}};
    else if (wants("full"))
        options["full"] = true;
    if (wants("range")) options["range"] = true;
    if (options.size() > 1) capabilities["semanticTokensProvider"] = std::move(options);
}

} // namespace

extern const Feature semantic_tokens_feature{"textDocument/semanticTokens/full", full, announce,
                                             WhenTextWaits::refuse};
extern const Feature semantic_tokens_delta_feature{"textDocument/semanticTokens/full/delta", delta, nullptr,
                                                   WhenTextWaits::refuse};
extern const Feature semantic_tokens_range_feature{"textDocument/semanticTokens/range", range, nullptr,
                                                   WhenTextWaits::refuse};

} // namespace turnwright::protocol::semantic_tokens
