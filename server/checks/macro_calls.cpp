#include "checks/macro_calls.h"
#include "checks/works.h"
#include "machine/arguments.h"

#include <algorithm>
#include <set>

namespace turnwright::checks {

const MacroCall::Argument* MacroCall::argument(char letter) const {
    const auto found = std::find_if(arguments.begin(), arguments.end(),
                                    [&](const Argument& one) { return one.letter == letter; });
    return found == arguments.end() ? nullptr : &*found;
}

std::vector<MacroCall> macro_calls_of(const FileContext& context) {
    std::vector<MacroCall> calls;
    if (context.runs() > most_runs_of_works) return calls;
    machine::Analysis::Passed passed;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            if (mark.kind != machine::FlowKind::macro_call || mark.number < 0) continue;
            MacroCall call{{run, mark.block}, mark.number, {}, false};
            context.reader().visit_span(call.place, call.place, passed, [&](const machine::BlockView& view) {
                std::set<char> seen;
                for (const machine::Word& word : view.reading.words) {
                    if (word.implied || word.own || machine::argument_variable(word.letter) == 0) continue;
                    call.second_list = !seen.insert(word.letter).second || call.second_list;
                    if (word.value.known()) call.arguments.push_back({word.letter, word.value.number});
                }
            });
            calls.push_back(std::move(call));
        }
    return calls;
}

} // namespace turnwright::checks
