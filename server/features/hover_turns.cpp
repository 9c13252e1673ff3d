// A block that is run more than once: what it says and where it ends, turn by turn.
#include "checks/checks.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "language/said.h"
#include "machine/execution.h"

#include <fmt/format.h>

namespace turnwright::features {

namespace {

constexpr std::size_t most_blocks = 20'000; ///< Run for one hover: some milliseconds
constexpr std::size_t most_told = 6;

/// Different ones in the order that they come; a row of the same is one.
struct InTurn {
    std::vector<std::string> told;
    bool more = false;
    void add(std::string text) {
        if (!told.empty() && told.back() == text) return;
        if (told.size() < most_told)
            told.push_back(std::move(text));
        else
            more = true;
    }
    std::string text() const {
        std::string out;
        for (std::size_t i = 0; i < told.size(); ++i) out += (i == 0 ? "" : ", ") + told[i];
        return out + (more ? said(" and so on") : "");
    }
};

/// A computed word as a plain one: "Z-3.".
std::string word_text(const Asked& asked, const machine::Reading& reading) {
    for (const machine::Word& word : reading.words) {
        if (!word.item || word.item->begin != asked.item.begin) continue;
        return word.value.known() ? fmt::format("{}{}", word.letter, checks::written(word.value.number))
                                  : said("{} not known", word.letter);
    }
    return {};
}

} // namespace

std::string turns_text(const Asked& asked) {
    const machine::Analysis& analysis = asked.document.analysis();
    if (!analysis.has_flow()) return {};
    const bool computed = syntax::holds_expression(asked.item.kind) && asked.item.letter != 0;
    const bool moves =
        asked.block.reading.motion != machine::MotionKind::none && !asked.block.reading.in_contour;
    if (!computed && !moves) return {};
    InTurn words, ends;
    std::size_t turns = 0;
    machine::Execution execution(analysis, most_blocks);
    execution.turns_of(asked.block.place, [&](const machine::Executed& executed) {
        ++turns;
        if (computed) words.add(word_text(asked, executed.view.reading));
        const machine::State& after = executed.view.after;
        if (moves && after.x_radius.known() && after.z.known())
            ends.add(point_text(after.x_radius, after.z, asked.settings()));
        return (!computed || !words.more) && (!moves || !ends.more);
    });
    if (turns < 2) return {};
    std::string text;
    if (words.told.size() > 1) text += said("Run more than once: {} in turn.\n\n", words.text());
    if (ends.told.size() > 1) text += said("Run more than once, it ends in turn at {}.\n\n", ends.text());
    return text;
}

} // namespace turnwright::features
