// A size in the note of a sequence that no move goes to, and a move that a slip keeps from it.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>
#include <vector>

namespace turnwright::checks::rules::cut_unlike_note {

namespace {

/// Where a tool comes to a place beside its cut, it differs in a digit of three.
constexpr int many_digits = 4;

struct Noted {
    double size = 0;
    int digits = 0;
    bool along_x = false; ///< A diameter, else a Z
    std::string text;
};

bool is_diameter_word(std::string_view word) {
    constexpr std::string_view words[] = {"DIA",    "DIAM",        "DIAMETER", "D",
                                          "DURCHM", "DURCHMESSER", "DIAMETRO", "DIAMETRE"};
    return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

/// "1.166 DIA", "DIA 1.166", "D47.2", "X47.2", "Z-26.5": sizes of three digits and more with what they are.
void read_note(std::string_view text, std::vector<Noted>& noted) {
    const NotedWords words = noted_words(text);
    for (std::size_t i = 0; i < words.size(); ++i) {
        std::string_view word = words.at(i);
        bool x = false, z = false;
        if (word.size() > 1 && (word[0] == 'D' || word[0] == 'X')) {
            x = true;
            word.remove_prefix(1);
        } else if (word.size() > 1 && word[0] == 'Z') {
            z = true;
            word.remove_prefix(word[1] == '-' && word.size() > 2 ? 2 : 1);
        } else {
            x = is_diameter_word(words.at(i + 1)) || (i > 0 && is_diameter_word(words.at(i - 1)));
        }
        const auto number = x || z ? plain_number(word) : std::nullopt;
        const auto digits = static_cast<int>(std::count_if(word.begin(), word.end(), is_digit));
        if (number && *number > 0 && digits >= 3) noted.push_back({*number, digits, x, std::string(word)});
    }
}

using Key = std::int64_t;
Key key_of(double value) {
    return std::llround(std::abs(value) * 1e4);
}

struct Place {
    const Act* act = nullptr;
    double value = 0;
    std::size_t count = 0;
};

/// All sizes that the moves of the file go to; put together when the first note asks.
class WrittenSizes {
public:
    WrittenSizes(const FileContext& context, std::span<const ToolOfSpan> tools)
        : context_(context), tools_(tools) {}
    bool contains(double size) {
        if (!std::exchange(are_read_, true)) read();
        return std::binary_search(sizes_.begin(), sizes_.end(), key_of(size));
    }

private:
    void read() {
        // Where nothing says how X is written, the size may stand there as its half.
        const shop::Machine& machine = context_.settings().machine;
        const bool may_be_radius = !machine.x_told || machine.x == shop::XReading::radius;
        for (const ToolOfSpan& tool : tools_)
            for (const Act& act : tool.work->acts) {
                if (act.moves_x && known(act.to_x)) {
                    const double x = x_as_written(act.to_x, context_.settings());
                    sizes_.push_back(key_of(x));
                    if (may_be_radius) sizes_.push_back(key_of(2 * x));
                }
                if (act.moves_z && known(act.to_z)) sizes_.push_back(key_of(act.to_z));
            }
        std::sort(sizes_.begin(), sizes_.end());
    }
    const FileContext& context_;
    std::span<const ToolOfSpan> tools_;
    std::vector<Key> sizes_;
    bool are_read_ = false;
};

void look_at(const FileContext& context, const ToolOfSpan& tool, WrittenSizes& written_somewhere,
             Report& report) {
    std::vector<Noted> noted;
    const double of_x = context.settings().machine.x == shop::XReading::radius ? 2 : 1;
    for (const NoteAt& at : notes_between(context.reader(), tool.span->first, tool.span->last))
        read_note(at.text, noted);
    for (const Noted& size : noted) {
        if (written_somewhere.contains(size.size)) continue;
        std::vector<Place> near; // Each number once
        for (const Act& act : tool.work->acts) {
            const bool goes = size.along_x ? act.moves_x : act.moves_z;
            const float to = size.along_x ? act.to_x : act.to_z;
            if (!goes || !known(to) || act.motion == MotionKind::none || act.by_u || act.by_w) continue;
            const double value =
                std::round((size.along_x ? x_as_written(to, context.settings()) : to) * 1e4) / 1e4;
            const Slip slip = slip_between(std::abs(value) * (size.along_x ? of_x : 1), size.size);
            if (slip != Slip::digits_swapped && !(slip == Slip::other_digit && size.digits >= many_digits))
                continue;
            const auto same = std::find_if(near.begin(), near.end(),
                                           [&](const Place& place) { return place.value == value; });
            if (same != near.end())
                ++same->count;
            else
                near.push_back({&act, value, 1});
        }
        if (near.size() != 1 || near.front().count > 2) continue;
        const Place& place = near.front();
        // Noted, too: it is another size; or it lies between the limits that the note gives.
        if (std::any_of(noted.begin(), noted.end(), [&](const Noted& other) {
                const bool limits =
                    other.size != size.size && slip_between(other.size, size.size) == Slip::other_digit;
                return limits || key_of(other.size) == key_of(place.value);
            }))
            continue;
        const char letter = size.along_x ? 'X' : 'Z';
        report.at_letter(tool.place(*place.act), letter)
            .message(
                said("The note of this sequence says {}{}, no move of the program goes there, and this one "
                     "goes to {}{}: a digit is wrong, here or in the note.",
                     size.along_x ? said("diameter ") : std::string("Z-"), size.text, letter,
                     written(place.value)));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    WrittenSizes written_somewhere(context, tools);
    for (const ToolOfSpan& tool : tools)
        if (tool.span->sequence && tool.work->whole) look_at(context, tool, written_somewhere, report);
}

} // namespace

extern const Check check{
    .id = "cut_unlike_note",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Size of a note that no cut goes to",
    .documentation =
        "A note of the sequence gives a diameter or a Z (1.166 DIA, D47.2, Z-26.5), no move of the program "
        "goes "
        "there, and one goes to the number that two swapped digits, or one other of four, make of it: the "
        "size comes out wrong, or the note is old. Numbers of three digits and more that say what "
        "they are alone are looked at, and none where the other number is noted, too, as with a size and its "
        "limits.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G99
T0606 (BORE FOR THE TAP, 1.166 DIA)
G97 S800 M03
G00 X1.34 Z.1
G01 Z.02 F.02
X1.116 Z-.067 F.005
;^^^^^ warning: cut_unlike_note
Z-1.35 F.006
X1.05
G00 Z.5
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303 (SCHULTER Z-36.8, D52.4)
G97 S900 M03
G00 X52.4 Z2.
G01 Z-38.6 F0.15
;   ^^^^^^ warning: cut_unlike_note
X60.
G00 X100. Z50.
M30
)"},
            // The middle of its limits; and a size that another tool cuts.
            {System::C, R"(
G70 G90 G95
T0303 (FINISH D1.7505 - D1.7508)
G97 S900 M03
G00 X1.7506 Z.1
G01 Z-1.386 F.006
G00 X4. Z2.
T0505 (GROOVE BEHIND Z-1.368)
G97 S600 M03
G00 X2. Z-1.386
G01 X1.6 F.003
G00 X4. Z2.
T0707 (FACE AT Z-1.368)
G00 X2. Z-1.368
G01 X1.8
G00 X4. Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0606 (BORE D29.16)
G97 S800 M03
G00 X29.16 Z2.
G01 Z-35. F0.1
X28.
G00 Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cut_unlike_note
