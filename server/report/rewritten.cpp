#include "report/rewritten.h"
#include "language/said.h"

#include "features/equal_moves.h"
#include "features/formatting.h"

#include <algorithm>

namespace turnwright::report {
namespace {

using features::Document;

constexpr std::string_view mend_command = "turnwright.fixAll", renumber_command = "turnwright.renumber";
constexpr int most_rounds = 10; ///< A mend may open the way for another one, and never for so many

std::size_t warning_count(const Document& document) {
    const auto warnings = features::all_warnings(document);
    return static_cast<std::size_t>(
        std::count_if(warnings.begin(), warnings.end(), [](const features::Warning& warning) {
            return warning.severity >= checks::Severity::warning;
        }));
}

std::unique_ptr<Document> with_text(const Document& document, std::string_view text) {
    return std::make_unique<Document>(text, document.shop_pointer(), document.path(), document.library());
}

Rewritten mended(const Document& document, const RewriteOrder& order) {
    Rewritten rewritten;
    rewritten.warnings_before = rewritten.warnings_after = warning_count(document);
    const Document* at = &document;
    std::unique_ptr<Document> held;
    for (int round = 0; round < most_rounds; ++round) {
        // A refusal says that there is nothing to mend.
        const features::Rewrite rewrite = features::run_command(*at, order.command, order.arguments);
        if (!rewrite.done() || rewrite.files.empty()) break;
        rewritten.text = features::edited(*at, rewrite.files[0].edits);
        held = with_text(document, rewritten.text);
        at = held.get();
    }
    if (held) rewritten.warnings_after = warning_count(*held);
    return rewritten;
}

/// A program that stands so already is no refusal: in a folder most are.
bool is_so_already(const Document& document, const RewriteOrder& order) {
    if (order.arguments.empty()) return false;
    const std::string& to = order.arguments[0];
    if (order.command == "turnwright.convertSystem")
        return to == std::string(1, codes::system_letter(document.settings().system));
    const bool diameter = document.settings().machine.x == shop::XReading::diameter;
    return order.command == "turnwright.convertX" && to == (diameter ? "diameter" : "radius");
}

} // namespace

Rewritten rewrite(const Document& document, const RewriteOrder& order) {
    if (order.command == mend_command) return mended(document, order);
    Rewritten rewritten;
    if (is_so_already(document, order)) return rewritten;
    std::vector<features::TextEdit> edits;
    if (order.command.empty()) {
        edits = features::format(document);
    } else {
        features::Rewrite rewrite = features::run_command(document, order.command, order.arguments);
        if (rewrite.refused != features::written_so_already()) rewritten.refused = rewrite.refused;
        if (!rewrite.done() || rewrite.files.empty()) return rewritten;
        edits = std::move(rewrite.files[0].edits);
    }
    if (edits.empty()) return rewritten;
    std::string text = features::edited(document, edits);
    if (text == document.buffer().whole()) return rewritten;
    const bool must_do_the_same = order.command.empty() || order.command == renumber_command;
    if (must_do_the_same && !compare(document, *with_text(document, text)).same()) {
        rewritten.refused = said("the machine would do something else");
        return rewritten;
    }
    rewritten.text = std::move(text);
    return rewritten;
}

} // namespace turnwright::report
