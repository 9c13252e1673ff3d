// A variable that is doubled in one X word, a radius, and stands alone in another.
#include "checks/rule.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cctype>
#include <set>

namespace turnwright::checks::rules::radius_not_doubled {

namespace {

struct XWord {
    BlockPlace place;
    std::string inside; ///< Capitals, without blanks
    bool doubled = false, plain = false;
    std::set<std::string> variables;
};

/// "#5+#3": variables and their sums alone.
bool is_sum(const std::string& text) {
    return std::all_of(text.begin(), text.end(), [](char c) {
        return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '#' || c == '+' || c == '-' ||
               c == '[' || c == ']' || c == '.';
    });
}
std::set<std::string> variables_in(const std::string& text) {
    std::set<std::string> found;
    for (std::size_t at = text.find('#'); at != std::string::npos; at = text.find('#', at + 1)) {
        std::size_t end = at + 1;
        while (end < text.size() && std::isdigit(static_cast<unsigned char>(text[end])) != 0) ++end;
        if (end > at + 1) found.insert(text.substr(at, end - at));
    }
    return found;
}

/// The X words of a block that are computed.
void add_words(const std::string& statement, BlockPlace place, std::vector<XWord>& words) {
    for (std::size_t at = statement.find("X["); at != std::string::npos; at = statement.find("X[", at + 1)) {
        if (at > 0 && std::isalpha(static_cast<unsigned char>(statement[at - 1])) != 0) continue; // MAX[
        int depth = 0;
        std::size_t end = at + 1;
        for (; end < statement.size(); ++end) {
            depth += statement[end] == '[' ? 1 : statement[end] == ']' ? -1 : 0;
            if (depth == 0) break;
        }
        XWord word;
        word.place = place;
        word.inside = statement.substr(at + 2, end - at - 2);
        const std::string& text = word.inside;
        word.doubled = text.starts_with("2*") || text.starts_with("2.*") || text.ends_with("*2") ||
                       text.ends_with("*2.");
        word.plain = is_sum(text);
        word.variables = variables_in(text);
        words.push_back(std::move(word));
    }
}

void look_at(const FileContext& context, const machine::ProgramPart& program, Report& report) {
    const machine::Reader& reader = context.reader();
    std::vector<XWord> words;
    for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
         at = reader.neighbour(*at, true))
        if (const std::string statement = statement_of(reader, *at);
            statement.find("X[") != std::string::npos)
            add_words(statement, *at, words);
    const XWord* odd = nullptr;
    const XWord* doubled = nullptr;
    std::string shared;
    for (const XWord& word : words) {
        if (!word.plain) continue;
        for (const XWord& other : words)
            for (const std::string& variable : other.variables)
                if (other.doubled && word.variables.contains(variable)) {
                    if (odd && odd != &word) return;
                    odd = &word;
                    doubled = &other;
                    shared = variable;
                }
    }
    if (!odd) return;
    report.at_letter(odd->place, 'X')
        .message(
            said("X[{}] takes {} as it is, and X[{}] doubles it: there it is a radius, and X is written as a "
                 "diameter. The cut goes to half of what is meant. Is it X[2*[{}]]?",
                 odd->inside, shared, doubled->inside, odd->inside))
        .related(doubled->place, said("doubled here"));
}

void file(const FileContext& context, Report& report) {
    if (context.settings().machine.x != shop::XReading::diameter || context.runs() > most_runs_of_works)
        return;
    context.reader().whole(machine::Whole::text);
    for (const machine::ProgramPart& program : context.outline().programs) look_at(context, program, report);
}

} // namespace

extern const Check check{
    .id = "radius_not_doubled",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Radius written where a diameter is meant",
    .documentation = "In a macro a variable is a radius: one X word doubles it, X[2*#3]. Another X word of "
                     "the same program takes "
                     "it as it is: X is written as a diameter, so the cut goes to half of what is meant, far "
                     "into the part. Only "
                     "one such word is told; where several take it plain, the variable has two meanings.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
#1=20.
#3=14.
WHILE [#3 GE 0] DO1
#4=#1
G00 X[2*#3] Z2.
WHILE [#4 GE 0] DO2
#5=15.*SQRT[#1*#1-#4*#4]/#1
G01 X[#5+#3] Z[#4-#1] F0.1
;   ^^^^^^^^ warning: radius_not_doubled
#4=#4-0.5
END2
#3=#3-2.
END1
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S1000 M03
#3=.5
G00 X[#3*2.] Z.1
G01 Z-.5 F.01
X[#3+.1]
;^^^^^^^ warning: radius_not_doubled
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S1000 M03
#3=14.
#4=3.
G00 X[2*#3] Z2.
G01 X[2*[#3+#4]] Z-5. F0.1
X[#7+1.]
M30
)"},
            // Diameters alone.
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
#3=14.
G00 X[#3+2.] Z2.
G01 X[#3] Z-5. F0.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::radius_not_doubled
