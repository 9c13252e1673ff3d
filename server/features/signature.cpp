// The words of the code in charge of a block, while they are typed.
#include "features/completion.h"
#include "features/speech.h"
#include "features/typing.h"
#include "language/said.h"

#include <fmt/format.h>

namespace turnwright::features {

std::optional<SignatureHelp> signature_help(const Document& document, Position at) {
    const std::optional<Typing> typing = typing_at(document, at);
    if (!typing) return std::nullopt;
    const codes::Code* code = nullptr;
    for (const machine::Word& word : typing->block.reading.words)
        if (word.code && !word.implied && !word.code->words.empty()) code = word.code;
    if (!code) return std::nullopt;
    SignatureHelp help;
    help.label = code->written();
    help.documentation = fmt::format("{}. {}", code->title, code->text);
    std::optional<std::uint32_t> missing;
    for (const codes::WordUse& use : code->words) {
        help.label += ' ';
        const auto begin = static_cast<std::uint32_t>(help.label.size());
        help.label += use.letter;
        const auto index = static_cast<std::uint32_t>(help.parameters.size());
        help.parameters.push_back({begin, begin + 1,
                                   fmt::format("{}: {} ({}{})", use.letter, use.meaning,
                                               translated(codes::quantity_title(use.quantity)),
                                               use.required ? said(", required") : "")});
        if (typing->letter == use.letter) help.active = index;
        if (use.required && !has_word(typing->block, use.letter) && !missing) missing = index;
    }
    if (!help.active) help.active = missing;
    return help;
}

} // namespace turnwright::features
