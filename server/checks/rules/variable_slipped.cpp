// A variable that nothing sets is read, or one that nothing reads is set, and one slip of its number makes it
// of another that the program works with.
//
// That a variable is set to be read: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"
#include "machine/whole_number.h"
#include "text/letters.h"

#include <map>
#include <set>

namespace turnwright::checks::rules::variable_slipped {

namespace {

/// From here on a control keeps them: the operator or another program may set them.
constexpr int first_kept = 500;

struct Uses {
    std::vector<BlockPlace> set, read;
    std::vector<BlockPlace> all() const {
        std::vector<BlockPlace> places = set;
        places.insert(places.end(), read.begin(), read.end());
        return places;
    }
};

class Variables {
public:
    explicit Variables(const FileContext& context) : context_(context) {}

    /// False: other programs, or numbers that are worked out, may use any of them.
    bool collect() {
        for (const Span& span : context_.spans()) {
            for (std::optional<BlockPlace> at = span.first; at && *at <= span.last;
                 at = context_.reader().neighbour(*at, true)) {
                const syntax::Run& run = context_.reader().line(*at);
                for (const syntax::Item& item : run.items_of(run.blocks[at->block])) {
                    if (item.kind == syntax::ItemKind::word && hands_over(*at, item)) return false;
                    if (syntax::holds_expression(item.kind))
                        take(run, static_cast<std::int32_t>(item.expression), false, *at);
                }
            }
        }
        return !computed_ && !uses_.empty() && !is_called_from_elsewhere();
    }

    void look(Report& report) const {
        for (const auto& [number, uses] : uses_) {
            if (number >= first_kept) {
                if (uses.read.empty() && uses.set.size() == 1) look_at_kept(report, number, uses.set.front());
                continue;
            }
            if (uses.set.empty() && uses.read.size() == 1)
                look_at(report, number, uses.read.front(), true);
            else if (uses.read.empty() && uses.set.size() == 1 &&
                     !look_at(report, number, uses.set.front(), false))
                look_at_noted(report, number, uses.set.front());
        }
    }

private:
    /// G65 and G66 hand values over, and so may the call of a program that is not here.
    bool hands_over(BlockPlace place, const syntax::Item& item) {
        if (item.letter == 'G') return item.value == 65 || item.value == 66;
        if (item.letter != 'M' || item.value != 98) return false;
        const syntax::Item* p = find_letter(context_.reader(), place, 'P');
        const long called = p ? machine::program_called(p->value) : -1;
        called_.insert(called);
        return std::none_of(context_.spans().begin(), context_.spans().end(),
                            [&](const Span& span) { return span.program->number == called; });
    }
    /// A subprogram that nothing here calls is given its values by one that is not here.
    bool is_called_from_elsewhere() const {
        return std::any_of(context_.spans().begin(), context_.spans().end(), [&](const Span& span) {
            return span.program->is_subprogram && !called_.contains(span.program->number);
        });
    }

    void take(const syntax::Run& run, std::int32_t at, bool is_set, BlockPlace place) {
        if (at < 0) return;
        const syntax::Expression& expression = run.expressions[static_cast<std::size_t>(at)];
        if (expression.operation == syntax::Operation::variable) {
            const int number = expression.left < 0 ? -1 : number_at(run, expression.left);
            if (number < 0)
                computed_ = true;
            else
                (is_set ? uses_[number].set : uses_[number].read).push_back(place);
            return;
        }
        take(run, expression.left, expression.operation == syntax::Operation::assign, place);
        take(run, expression.right, false, place);
    }
    static int number_at(const syntax::Run& run, std::int32_t at) {
        const syntax::Expression& index = run.expressions[static_cast<std::size_t>(at)];
        return index.operation == syntax::Operation::number ? machine::whole_number(index.number) : -1;
    }

    /// A note tells what it is for: somebody else gives it its value.
    bool is_noted(int number) const {
        const std::string name = fmt::format("#{}", number);
        for (const Span& span : context_.spans())
            for (std::optional<BlockPlace> at = span.first; at && *at <= span.last;
                 at = context_.reader().neighbour(*at, true))
                for (const syntax::Item& item : context_.reader().items(*at)) {
                    if (item.kind != syntax::ItemKind::note) continue;
                    const auto note = std::string(context_.reader().line(*at).text_of(item));
                    const std::size_t found = note.find(name);
                    const std::size_t behind = found + name.size();
                    if (found != std::string::npos &&
                        (behind >= note.size() || !text::is_digit(note[behind])))
                        return true;
                }
        return false;
    }

    /// All places of the one are among those of the other, as of #1=#1+2.
    static bool only_by_itself(const std::vector<BlockPlace>& places, const std::vector<BlockPlace>& among) {
        return std::all_of(places.begin(), places.end(), [&](BlockPlace place) {
            return std::find(among.begin(), among.end(), place) != among.end();
        });
    }

    /// The one that is meant: a slip away, set and read elsewhere; without this place it may lack either.
    bool look_at(Report& report, int number, BlockPlace place, bool is_read) const {
        int meant = -1;
        std::size_t most = 1;
        for (const auto& [other, uses] : uses_) {
            if (other == number || slip_between(double(number), double(other)) != Slip::other_digit) continue;
            // What is set here was meant for one that nothing else sets, or that the same block goes on with.
            const bool in_same_block =
                std::find(uses.read.begin(), uses.read.end(), place) != uses.read.end() ||
                std::find(uses.set.begin(), uses.set.end(), place) != uses.set.end();
            const bool fits =
                is_read ? !uses.set.empty() && (in_same_block || only_by_itself(uses.read, uses.set))
                        : !uses.read.empty() && (in_same_block || only_by_itself(uses.set, uses.read));
            const std::size_t count = uses.all().size();
            if (!fits || count < most) continue;
            most = count + 1;
            meant = other;
        }
        if (meant < 0 || (is_read && is_noted(number))) return false;
        report.at(place).message(
            is_read
                ? said("#{} is read here and set nowhere in the program, and #{} is: #{} is empty, or holds "
                       "what another job has left. Is #{} meant?",
                       number, meant, number, meant)
                : said("#{} is set here and read nowhere in the program, and #{} is: that one keeps what it "
                       "had, or is empty. Is #{} meant?",
                       number, meant, meant));
        return true;
    }

    /// A note beside it says what it steers, as notes do beside others that are read.
    void look_at_noted(Report& report, int number, BlockPlace place) const {
        constexpr std::size_t shortest = 4;
        const auto note_at = [&](BlockPlace at) {
            const auto notes = notes_between(context_.reader(), at, at);
            return notes.size() == 1 ? notes.front().text : std::string_view();
        };
        const std::string_view note = note_at(place);
        if (note.size() < shortest) return;
        std::size_t others = 0;
        for (const auto& [other, uses] : uses_) {
            if (uses.set.empty() || note_at(uses.set.front()).size() < shortest) continue;
            if (other != number && uses.read.empty()) return; // Such is the habit of this program
            others += uses.read.empty() ? 0 : 1;
        }
        if (others < 2) return;
        report.at(place).message(
            said("#{} is noted as \"{}\" here, and nothing in the program reads it: another value, or "
                 "another variable, stands where it should, and what is changed here changes "
                 "nothing. Is a # lost or a number wrong below?",
                 number, note));
    }

    /// Of the rest of the program it may be there for another one. Where the one before it or behind it is
    /// both a loop's limit and a step of something else, it was meant in the one of the two: a count is no
    /// length.
    void look_at_kept(Report& report, int number, BlockPlace place) const {
        for (const int other : {number - 1, number + 1}) {
            const auto found = uses_.find(other);
            if (found == uses_.end() || found->second.set.size() != 1 || found->second.read.size() != 2)
                continue;
            const std::string name = fmt::format("#{}", other);
            std::optional<BlockPlace> limit, step;
            for (const BlockPlace read : found->second.read) {
                const std::string block = statement_of(context_.reader(), read);
                const bool compares = block.starts_with("IF") || block.starts_with("WHILE");
                if (compares) limit = read;
                if (!compares && block.ends_with(name) && steps(block)) step = read;
            }
            if (!limit || !step) continue;
            report.at(*step)
                .message(
                    said("#{} ends the loop and is taken as a step here, and #{}, which stands beside it, is "
                         "read nowhere in the program: a count is taken for a length. Is #{} meant?",
                         other, number, number))
                .related(place, said("set here"));
            return;
        }
    }
    /// "#2=#2-#500"
    static bool steps(const std::string& block) {
        const std::size_t equals = block.find('=');
        if (equals == std::string::npos || equals == 0 || block[0] != '#') return false;
        const std::string variable = block.substr(0, equals);
        const std::size_t behind = equals + 1 + variable.size();
        return block.compare(equals + 1, variable.size(), variable) == 0 && behind < block.size() &&
               (block[behind] == '+' || block[behind] == '-');
    }

    const FileContext& context_;
    std::map<int, Uses> uses_;
    std::set<long> called_;
    bool computed_ = false;
};

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    Variables variables(context);
    if (variables.collect()) variables.look(report);
}

} // namespace

extern const Check check{
    .id = "variable_slipped",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Variable by a wrong number",
    .documentation =
        "A variable is set once and read nowhere, or read once and set nowhere, and another "
        "digit makes it of "
        "one that the program works with: #121=50. above a loop that counts #120. The loop runs "
        "with what the "
        "other one holds, never ends, or goes to places that nobody meant. Programs that call "
        "others which are "
        "not at hand, or that hand values over with G65, are left out, and so are variables "
        "from #500 on, which "
        "the control keeps. A variable whose note says what it steers, and that nothing reads, is told, "
        "too, where two others with notes are read.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
#101=60. (STOCK DIAMETER)
#102=40. (FINISH DIAMETER)
;^^^^^^^^ warning: variable_slipped
#103=45. (LENGTH)
T0101
G97 S800 M03
G00 X#101 Z2.
G01 X41. F.2
Z-#103
G00 X80.
M30
)"},
            {System::C, R"(
G71 G90 G95
#101=60. (STOCK DIAMETER)
#102=40. (FINISH DIAMETER)
#103=45. (LENGTH)
T0101
G97 S800 M03
G00 X#101 Z2.
G01 X#102 F.2
Z-#103
G00 X80.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
#121=50.
;^^^^^^^ warning: variable_slipped
N480 #120=#120-2.
G01 X#120 F.08
IF[#120GT40.]GOTO480
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S200 M03
#102=31.4
WHILE[#102GT24.9]DO2
G00 X#102
G33 Z-20. F2.
G00 X36. Z5.
#102=#103-.2
;^^^^^^^^^^^ warning: variable_slipped
END2
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
#100=2.
WHILE[#100GT1.]DO1
G00 X#100
G01 Z-1. F.01
G00 Z.1
#100=#100-.1
END1
M30
)"},
            // One that the operator sets, and two that are used each by itself.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
#101=50.
#102=40.
G00 X#101
G00 X[#102+#503]
#104=1.
M30
)"},
            // Given by the program that calls it.
            {System::C, R"(
O7311 (#100 HOW MANY)
#102=0
WHILE[#102LT#100]DO1
G01 U-2. F0.06
#102=#102+1
END1
M99
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
#101=2.
G65 P9101 A1.
G00 X#102
M30
)"},
            // A count for a pitch.
            {System::C, R"(
G71 G90 G95
#500=5 (NUMBER OF GROOVES)
#501=8. (PITCH)
T0303
G97 S900 M03
G00 X46. Z2.
#1=1
#2=-13.
N50 IF [#1 GT #500] GOTO 80
G00 Z#2
G01 X36. F0.08
G00 X46.
#2=#2-#500
;^^^^^^^^^ warning: variable_slipped
#1=#1+1
GOTO 50
N80 G00 X100. Z100.
M30
)"},
            {System::A, R"(
G20 G99
#510=.25
#511=4
T0303
G97 S900 M03
G00 X2.2 Z.1
#1=0
#2=-.5
WHILE [#1 LT #511] DO1
G00 Z#2
G01 X1.8 F.003
G00 X2.2
#2=#2-#511
;^^^^^^^^^ warning: variable_slipped
#1=#1+1
END1
G00 X4. Z4.
M30
)"},
            {System::B, R"(
G21 G90 G95
#500=5
#501=8.
#502=36.
T0303
G97 S900 M03
G00 X46. Z2.
#1=1
#2=-13.
WHILE [#1 LE #500] DO1
G00 Z#2
G01 X#502 F0.08
G00 X46.
#2=#2-#501
#1=#1+1
END1
G00 X100. Z100.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::variable_slipped
