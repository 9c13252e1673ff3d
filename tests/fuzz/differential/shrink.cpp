#include "fuzz/differential/shrink.h"

#include <algorithm>
#include <chrono>
#include <functional>

namespace turnwright::fuzz {
namespace {

using Clock = std::chrono::steady_clock;

class Shrinker {
public:
    Shrinker(Scenario scenario, Clock::time_point end) : best_(std::move(scenario)), end_(end) {}

    bool differs(const Scenario& scenario) const {
        std::size_t batches = 0;
        return play(scenario, batches).has_value();
    }
    /// Whether the shorter one still fails, which makes it the one to go on with.
    bool take(Scenario shorter) {
        if (Clock::now() > end_ || !differs(shorter)) return false;
        best_ = std::move(shorter);
        return true;
    }

    /// Everything up to batch `last` as it is then, opened at once.
    Scenario from_batch(std::size_t last) const {
        Scenario shorter = best_;
        OpenTexts open;
        std::vector<std::string> order;
        Batch scene;
        for (std::size_t b = 0; b <= last; ++b)
            for (const Step& step : best_.batches[b]) {
                follow(step, best_.encoding, open, order);
                if (step.kind == Step::Kind::write || step.kind == Step::Kind::erase) scene.push_back(step);
                if (step.kind == Step::Kind::save)
                    scene.push_back({Step::Kind::write, step.file, open[step.file].text.whole(), {}});
            }
        for (const std::string& file : order)
            scene.push_back({Step::Kind::open, file, open[file].text.whole(), {}});
        shorter.batches.erase(shorter.batches.begin(),
                              shorter.batches.begin() + static_cast<std::ptrdiff_t>(last + 1));
        shorter.batches.insert(shorter.batches.begin(), std::move(scene));
        return shorter;
    }

    void drop_batches() {
        for (std::size_t step = best_.batches.size() / 2; step > 0; step /= 2)
            while (step < best_.batches.size() && take(from_batch(step))) {
            }
        for (std::size_t b = best_.batches.size(); b-- > 1;) {
            Scenario shorter = best_;
            shorter.batches.erase(shorter.batches.begin() + static_cast<std::ptrdiff_t>(b));
            take(std::move(shorter));
        }
    }

    void drop_steps() {
        for (std::size_t b = best_.batches.size(); b-- > 0;) {
            for (std::size_t s = best_.batches[b].size(); s-- > 0;) {
                Scenario shorter = best_;
                shorter.batches[b].erase(shorter.batches[b].begin() + static_cast<std::ptrdiff_t>(s));
                if (take(std::move(shorter))) continue;
                for (std::size_t e = best_.batches[b][s].edits.size(); e-- > 0;) {
                    Scenario fewer = best_;
                    std::vector<Edit>& edits = fewer.batches[b][s].edits;
                    edits.erase(edits.begin() + static_cast<std::ptrdiff_t>(e));
                    if (!edits.empty()) take(std::move(fewer));
                }
            }
        }
    }

    void drop_lines() {
        for (std::size_t b = 0; b < best_.batches.size(); ++b)
            for (std::size_t s = 0; s < best_.batches[b].size(); ++s) {
                const auto lines = [&] {
                    return ClientText(best_.batches[b][s].text, best_.encoding).line_count();
                };
                for (std::size_t count = lines() / 2; count > 0; count /= 2)
                    for (std::size_t first = lines(); first > 0;) {
                        first -= std::min(first, count);
                        take(without_lines(best_, b, s, first, count));
                    }
            }
    }

    /// Lines of what edits put in.
    void drop_lines_of_edits() {
        for (std::size_t b = 0; b < best_.batches.size(); ++b)
            for (std::size_t s = 0; s < best_.batches[b].size(); ++s)
                for (std::size_t e = 0; e < best_.batches[b][s].edits.size(); ++e) {
                    const auto text = [&] {
                        return ClientText(best_.batches[b][s].edits[e].text, best_.encoding);
                    };
                    for (std::size_t line = text().line_count(); line-- > 0;) {
                        const ClientText now = text();
                        Scenario shorter = best_;
                        shorter.batches[b][s].edits[e].text =
                            std::string(now.lines(0, line)) +
                            std::string(now.lines(line + 1, now.line_count()));
                        take(std::move(shorter));
                    }
                }
    }

    Scenario shrunk() {
        std::size_t before = 0;
        for (int round = 0; round < 3 && before != size(); ++round) {
            before = size();
            drop_batches();
            drop_steps();
            drop_lines();
            drop_lines_of_edits();
        }
        return best_;
    }

    std::size_t size() const { return written(best_).dump().size(); }

private:
    Scenario best_;
    Clock::time_point end_;
};

} // namespace

Scenario shrink(Scenario scenario, const Difference& difference, std::chrono::seconds patience) {
    const auto end = Clock::now() + patience;
    scenario.batches.resize(difference.batch + 1);
    Scenario asked = scenario;
    asked.question = difference.question;
    for (const bool ask_all : {false, true}) {
        asked.ask_all = ask_all;
        Shrinker shrinker(asked, end);
        if (shrinker.differs(asked)) return shrinker.shrunk();
    }
    return scenario; // only in this whole course
}

} // namespace turnwright::fuzz
