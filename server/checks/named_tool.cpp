// What notes call a tool, a thread, a machine code. Words of the trade; a number alone tells nothing.

#include "checks/named_tool.h"
#include "language/said.h"

#include "checks/foreign_words.h"
#include "checks/glued_words.h"
#include "checks/noted_words.h"
#include "machine/noted_codes.h"
#include "motion/thread_names.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

namespace turnwright::checks {

namespace {

using Kind = NamedTool::Kind;
using NoteWords = std::vector<std::string>;

std::string upper(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return out;
}
/// Upper case, split at blanks and at signs that belong to no number, fraction or thread name. A sign that
/// ends a thought stays a word of its own.
NoteWords note_words(std::string_view note) {
    NoteWords words;
    std::string word;
    auto end = [&] {
        while (!word.empty() && (word.back() == '.' || word.back() == '-') && word.size() > 1 &&
               !is_digit(word[word.size() - 2]))
            word.pop_back();
        if (!word.empty()) add_unglued(word, words);
        word.clear();
    };
    const std::string text = upper(note);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool in_number = i > 0 && i + 1 < text.size() && is_digit(text[i - 1]) && is_digit(text[i + 1]);
        const bool full_stop = c == '.' && i > 0 && i + 1 < text.size() &&
                               std::isalpha(static_cast<unsigned char>(text[i - 1])) &&
                               std::isalpha(static_cast<unsigned char>(text[i + 1]));
        if (full_stop || std::isspace(static_cast<unsigned char>(c)) || c == '=' || c == ':' || c == '"' ||
            c == '\'') {
            end();
        } else if (c == ',' && in_number && (!word.starts_with('M') || word.find('X') != word.npos)) {
            word += '.'; // "8,5", "M30X1,5"; "M20,21" are two codes
        } else if (c == ',' || c == ';' || c == '+' || c == '(' || c == ')' || (c == '/' && !in_number)) {
            end();
            words.emplace_back(",");
        } else {
            word += c;
        }
    }
    end();
    return words;
}

/// "8.5", ".201", "14.", "7/8", "1-1/4"; the whole word. A fraction is in inches.
std::optional<double> number_in(std::string_view word, bool& is_fraction) {
    is_fraction = false;
    const std::size_t slash = word.find('/');
    if (slash == std::string_view::npos) return plain_number(word);
    std::string_view top = word.substr(0, slash);
    double whole = 0;
    if (const std::size_t dash = top.find('-'); dash != std::string_view::npos) {
        auto before = plain_number(top.substr(0, dash));
        if (!before) return std::nullopt;
        whole = *before;
        top = top.substr(dash + 1);
    }
    auto above = plain_number(top), below = plain_number(word.substr(slash + 1));
    if (!above || !below || *below < 2 || *above >= *below) return std::nullopt;
    is_fraction = true;
    return whole + *above / *below;
}

struct Diameter {
    double number = 0;
    bool in_inch = false;
};
/// A word that may be a diameter: "D24", "8.5MM", "24", "7/8". `next` tells what it counts.
std::optional<Diameter> diameter_in(std::string_view word, std::string_view next) {
    if (next == "DEG" || next == "DEGREE" || next == "DEGREES" || next == "HOLES" || next == "TIMES" ||
        next == "X" || next == "FLUTE" || next == "FLUTES" || next == "LONG" || next == "DEEP" ||
        next == "TPI")
        if (next != "X" || word.find('/') == std::string_view::npos) return std::nullopt;
    for (std::string_view front : {"DIA.", "DIA", "D"})
        if (word.starts_with(front) && word.size() > front.size() &&
            (is_digit(word[front.size()]) || word[front.size()] == '.')) {
            word.remove_prefix(front.size());
            // "PUNTA D.30" shortens the word, in inches it is a size: not known.
            if (front == "D" && word.size() == 3 && word[0] == '.') return std::nullopt;
            break;
        }
    // A hole's fit (ISO 286-1) stands behind its size: "20H7".
    if (const std::size_t fit = word.find_first_not_of("0123456789.");
        fit != 0 && fit != std::string_view::npos && fit + 1 < word.size() && fit + 3 >= word.size() &&
        std::string_view("EFGHKMNP").find(word[fit]) != std::string_view::npos &&
        word.find_first_not_of("0123456789", fit + 1) == std::string_view::npos)
        word = word.substr(0, fit);
    bool metric = false;
    if (word.ends_with("MM")) {
        word.remove_suffix(2);
        metric = true;
    }
    Diameter found;
    auto number = number_in(word, found.in_inch);
    if (!number || *number <= 0 || *number > 200) return std::nullopt;
    found.number = *number;
    if (metric || next == "MM") found.in_inch = false;
    return found;
}

struct KindWord {
    std::string_view front;
    Kind kind;
};
// The front of a word is enough: DRILL, DRILLING, DRILLED.
constexpr KindWord kind_words[] = {
    {"UNDERCUT", Kind::groove}, {"RELIEF", Kind::groove},   {"GROOV", Kind::groove},
    {"RECESS", Kind::groove},   {"CUTOFF", Kind::part_off}, {"CUT-OFF", Kind::part_off},
    {"PART", Kind::part_off},   {"TAPPING", Kind::tap},     {"CENTRE", Kind::centre},
    {"CENTER", Kind::centre},   {"SPOT", Kind::centre},     {"DRILL", Kind::drill},
    {"REAM", Kind::ream},       {"BORING", Kind::bore},     {"BORE", Kind::bore},
    {"BAR", Kind::bore},        {"THREAD", Kind::thread},   {"ROUGH", Kind::turn},
    {"FINISH", Kind::turn},     {"FACE", Kind::turn},       {"FACING", Kind::turn},
    {"TURN", Kind::turn},       {"STOP", Kind::stop},       {"CNMG", Kind::turn},
    {"DNMG", Kind::turn},       {"VNMG", Kind::turn},       {"LAYDOWN", Kind::thread},
    {"BLADE", Kind::groove},    {"TREPAN", Kind::groove},
};
/// A word behind which the note speaks of something the tool is for, or of where it stands.
bool ends_name(std::string_view word) {
    return word == "FOR" || word == "BEFORE" || word == "AFTER" || word == "UNDER" || word == "BY" ||
           word == "FROM" || word == "TO" || word == "BEHIND" || word == "WITH" || word == "FUER" ||
           word == "FUR" || word == "POUR" || word == "PARA" || word == "PER";
}

/// "T7"
bool is_station(std::string_view word) {
    return word.size() > 1 && word[0] == 'T' && std::all_of(word.begin() + 1, word.end(), is_digit);
}

/// Of a word of another language.
Kind foreign_kind_of(std::string_view word) {
    if (word.starts_with("BOHRUNG")) return Kind::none; // The hole
    switch (foreign_kind(word)) {
    case shop::ToolKind::turning:
        return Kind::turn;
    case shop::ToolKind::boring:
        return Kind::bore;
    case shop::ToolKind::grooving:
    case shop::ToolKind::face_grooving:
        return Kind::groove;
    case shop::ToolKind::parting:
        return Kind::part_off;
    case shop::ToolKind::threading:
    case shop::ToolKind::threading_inside:
        return Kind::thread;
    case shop::ToolKind::drill:
        return Kind::drill;
    case shop::ToolKind::centre_drill:
        return Kind::centre;
    case shop::ToolKind::tap:
        return Kind::tap;
    case shop::ToolKind::reamer:
        return Kind::ream;
    default:
        return Kind::none;
    }
}

/// "BETWEEN CHUCK AND CENTRE", "ON LIVE CENTRE": what holds the part, or where a tool is set.
bool is_no_tool(const NoteWords& words, std::size_t i) {
    if (i > 0)
        for (const std::string_view before : {"LIVE", "DEAD", "ON", "TAILSTOCK", "REVOLVING", "RUNNING"})
            if (words[i - 1] == before) return true;
    // "TIP CENTRE", "SET ON INSERT CENTRE", "CENTRE OF TIP": which point of the tool is set.
    constexpr std::string_view of_tool[] = {"TIP", "INSERT", "BLADE", "NOSE", "TOOL", "EDGE"};
    const auto names_tool = [&](std::size_t at) {
        return at < words.size() &&
               std::find(std::begin(of_tool), std::end(of_tool), words[at]) != std::end(of_tool);
    };
    if (i > 0 && names_tool(i - 1) && !(i + 1 < words.size() && words[i + 1].starts_with("DRILL")))
        return true;
    if (i + 2 < words.size() && words[i + 1] == "OF" && names_tool(i + 2)) return true;
    return std::find(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(i), "BETWEEN") !=
           words.begin() + static_cast<std::ptrdiff_t>(i);
}

/// "NO BORING BAR", "WITHOUT CENTRE DRILL": the tool is not there. Behind PART or TOOL it counts: "TOOL NO
/// DRILL".
bool is_denied(const NoteWords& words, std::size_t i) {
    constexpr std::size_t most_words = 2; // Of the tool's name
    for (std::size_t back = 1; back <= most_words && back <= i; ++back) {
        const std::string_view word = words[i - back];
        if (denies(word))
            return i == back || (words[i - back - 1] != "TOOL" && words[i - back - 1] != "PART");
        const bool of_name = word.starts_with("BOR") || word.starts_with("CENT") || word == "SPOT";
        if (!of_name) return false;
    }
    return false;
}

Kind kind_of(const NoteWords& words, std::size_t i) {
    const std::string& word = words[i];
    if (is_denied(words, i)) return Kind::none;
    const std::string_view next = i + 1 < words.size() ? std::string_view(words[i + 1]) : std::string_view();
    if (word == "TAP") return Kind::tap;
    if (word == "TURNED" && (next == "OVER" || next == "ROUND" || next == "AROUND" || next == "UPSIDE"))
        return Kind::none; // How it is held
    if (names_puller(word)) return Kind::stop;
    if (word == "CUT" && next == "OFF") return Kind::part_off;
    if (word == "BAR" && (next == "OUT" || next == "TO" || next.starts_with("PULL") || next == "STOP" ||
                          next == "FEED" || next == "END"))
        return Kind::stop;
    for (const KindWord& known : kind_words)
        if (word.starts_with(known.front)) {
            const bool whole = known.front == "PART" || known.front == "STOP" || known.front == "BAR" ||
                               known.front == "FACE" || known.front == "BORE";
            if (whole && word != known.front && word != "PARTING" && word != "PART-OFF" && word != "STOPS")
                continue;
            const bool is_first = i == 0 || (i == 2 && words[1] == "," && is_station(words[0]));
            if (known.kind == Kind::part_off && word == "PART" && next != "OFF" && next != "TOOL" &&
                !is_first)
                continue;
            if (known.kind == Kind::centre && is_no_tool(words, i)) continue;
            return known.kind;
        }
    // Italian for a drill, and elsewhere the point of a tool or a live centre: what follows tells.
    if (word == "PUNTA") {
        // "RAGGIO PUNTA 0.8": the nose of an insert
        for (std::size_t back = 1; back <= 2 && back <= i; ++back)
            if (words[i - back] == "RADIO" || words[i - back] == "RAGGIO") return Kind::none;
        const bool of_drill = next.starts_with("ELICOID") || (!next.empty() && is_digit(next.back()));
        const std::string_view behind =
            i + 2 < words.size() ? std::string_view(words[i + 2]) : std::string_view();
        if (behind.starts_with("GRAD") || behind.starts_with("DEG"))
            return Kind::none; // Of an insert's point
        if (!of_drill && next != "DA" && next != "PER" && !next.starts_with("CENTR")) return Kind::none;
    }
    return foreign_kind_of(word);
}

void take_thread(NamedTool& tool, std::string_view name) {
    tool.thread = name;
    if (auto size = motion::thread_size(name)) {
        tool.pitch_mm = size->pitch_mm * motion::starts_of(name);
        tool.major_mm = size->major_mm;
    } else if (auto pipe = motion::taper_pipe(name)) {
        tool.pitch_mm = pipe->pitch_mm;
        tool.tapered = true;
    }
}

/// Threads per inch without a size: "16 TPI", "12TPI".
double pitch_by_count(const NoteWords& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        std::string_view word = words[i];
        const bool joined = word.size() > 3 && word.ends_with("TPI");
        if (joined) word.remove_suffix(3);
        const bool named =
            joined || (i + 1 < words.size() && (words[i + 1] == "TPI" || words[i + 1] == "NPT"));
        bool is_fraction = false;
        auto count = named ? number_in(word, is_fraction) : std::nullopt;
        if (count && !is_fraction && *count >= 3 && *count <= 100) return motion::mm_per_inch / *count;
    }
    return 0;
}

bool is_station(std::string_view word, std::int32_t& station) {
    if (word.size() < 2 || word.size() > 5 || word[0] != 'T') return false;
    int number = 0;
    auto [end, error] = std::from_chars(word.data() + 1, word.data() + word.size(), number);
    if (error != std::errc() || end != word.data() + word.size()) return false;
    station = number > 99 ? number / 100 : number;
    return station > 0;
}
/// "M20X1.5 LH", "LH THREAD", "LEFT HAND THREAD".
bool speaks_of_left_hand_thread(const NoteWords& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i].starts_with("LINKSGEW")) return true;
        const bool in_two = words[i] == "LEFT" && i + 1 < words.size() && words[i + 1] == "HAND";
        if (!in_two && words[i] != "LH" && words[i] != "LEFT-HAND") continue;
        const std::size_t next = i + (in_two ? 2 : 1);
        if (next < words.size() && words[next].starts_with("THREAD")) return true;
    }
    return false;
}

/// "1 1/2-12" is one size; in "2 1/2-13" the first number counts holes, since 1/2-13 is a thread of its own.
NoteWords with_whole_inches(NoteWords words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        const std::string &whole = words[i], &part = words[i + 1];
        // "1-11 1/2 NPT": the half belongs to the threads per inch.
        if (part == "1/2" && whole.ends_with("-11") && i + 2 < words.size() &&
            words[i + 2].starts_with("NPT") && motion::taper_pipe(whole + ".5 NPT")) {
            words[i] += ".5";
            words.erase(words.begin() + static_cast<std::ptrdiff_t>(i) + 1);
            continue;
        }
        if (whole.size() != 1 || !is_digit(whole[0]) || part.find('/') == std::string::npos) continue;
        std::string joined = whole;
        joined += '-';
        joined += part;
        if (!motion::thread_size(joined) || motion::thread_size(part + "UNC") ||
            motion::thread_size(part + "UNF"))
            continue;
        words[i] = std::move(joined);
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    }
    return words;
}

std::vector<std::string> threads_in(const NoteWords& all) {
    const NoteWords words = with_whole_inches(all);
    const bool left_hand = speaks_of_left_hand_thread(words);
    std::vector<std::string> names;
    for (std::size_t i = 0; i < words.size(); ++i) {
        std::string name = words[i];
        const std::string_view next =
            i + 1 < words.size() ? std::string_view(words[i + 1]) : std::string_view();
        if (name == "G" && next.find('/') != next.npos) name += next;
        if (name == "TR" && !next.empty() && is_digit(next[0])) name += next;
        if (name.size() < 2 || name == ",") continue;
        // R1/16 is a radius.
        if (name[0] == 'R') continue;
        std::size_t behind = i + (name.size() > words[i].size() ? 2 : 1);
        if (name[0] == 'M' && is_digit(name[1]) && next.starts_with('X')) {
            // "M20 X 1.5", "M20 X1.5"
            if (next.size() > 1 && (is_digit(next[1]) || next[1] == '.' || next.starts_with("XPH"))) {
                name += next;
                behind = i + 2;
            } else if (next == "X" && i + 2 < words.size() &&
                       (is_digit(words[i + 2][0]) || words[i + 2][0] == '.' ||
                        words[i + 2].starts_with("PH"))) {
                name += "X" + words[i + 2];
                behind = i + 3;
            }
        }
        // The pitch of a thread with more starts: "M36X6 P2".
        if (behind < words.size() && words[behind].size() > 1 && words[behind][0] == 'P' &&
            is_digit(words[behind][1]) && motion::thread_size(name + words[behind]))
            name += words[behind++];
        // "M10" and "G1" alone may be codes.
        const bool may_be_code = (name[0] == 'M' && name.find('X') == std::string::npos) ||
                                 (name[0] == 'G' && name.find('/') == std::string::npos);
        auto near = [&](std::size_t at) {
            if (at >= words.size()) return false;
            const Kind foreign = foreign_kind_of(words[at]);
            return words[at].starts_with("TAP") || words[at].starts_with("THREAD") || foreign == Kind::tap ||
                   foreign == Kind::thread;
        };
        if (may_be_code && !near(i - 1) && !near(i + 1)) continue;
        // "TAP 10-32": a size by number, without its sign.
        if (is_digit(name[0]) && name.find('/') == std::string::npos && near(i - 1) &&
            motion::thread_size("#" + name))
            name.insert(0, "#");
        if (i + 1 < words.size())
            for (std::string_view with : {"UNF", "UNC", "UN", "NPT", "BSP", "ACME"})
                if (words[i + 1].starts_with(with)) {
                    name += " " + words[i + 1];
                    behind = i + 2;
                    break;
                }
        if (const bool is_named = motion::thread_size(name).has_value();
            is_named && !motion::is_left_hand(name) &&
            (left_hand || (behind < words.size() && words[behind] == "LH")))
            names.push_back(name + " LH");
        else if (is_named || motion::taper_pipe(name))
            names.push_back(name);
    }
    return names;
}

/// "80 DEG", "35 GRAD PLATTE": a blade has no such angle, and a thread has 55 or 60.
bool names_corner(const NoteWords& words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        const auto angle = plain_number(words[i]);
        const bool is_angle = words[i + 1].starts_with("DEG") || words[i + 1].starts_with("GRAD");
        if (is_angle && angle && (*angle == 80 || *angle == 35 || *angle == 25)) return true;
    }
    return false;
}

NamedTool tool_in(const NoteWords& words) {
    NamedTool tool;
    std::size_t at = words.size();
    for (std::size_t i = 0; i < words.size() && at == words.size(); ++i) {
        const Kind kind = kind_of(words, i);
        if (kind == Kind::none) continue;
        tool.kind = kind;
        const bool is_puller = words[i] == "BAR" && i + 1 < words.size() &&
                               (names_puller(words[i + 1]) || words[i + 1].starts_with("PULL"));
        tool.word = words[is_puller ? i + 1 : i];
        at = i;
    }
    // THREAD RELIEF, BORE AND THREAD, CENTRE DRILL, DRILL AND TAP: the work is not the first word's alone.
    for (std::size_t i = at + 1; i < words.size() && !ends_name(words[i]) && words[i] != ","; ++i) {
        const Kind kind = kind_of(words, i);
        if (kind == Kind::none) continue;
        if (kind == Kind::groove && tool.kind != Kind::part_off) tool.kind = Kind::groove;
        if (kind == Kind::bore && tool.kind == Kind::thread) tool.kind = Kind::bore;
        if (kind == Kind::stop && tool.kind != Kind::turn) tool.kind = Kind::stop;
        if (kind == Kind::thread && tool.kind == Kind::bore) tool.kind = Kind::none;
        if (kind == Kind::tap && tool.kind == Kind::drill) tool.kind = Kind::none;
        if (kind == Kind::drill && tool.kind == Kind::tap) {
            tool.kind = i == at + 1 ? Kind::drill : Kind::none;
            if (i == at + 1) { // "TAP DRILL 6.8"
                tool.word = words[i];
                at = i;
            }
        }
    }
    // "BAR PULL BY SUB AND PART OFF .125 WIDE": the bar is drawn, and this tool cuts.
    for (std::size_t i = 1; i < words.size() && at < words.size(); ++i) {
        const bool draws = tool.kind == Kind::stop || words[at] == "BAR";
        const bool goes_on =
            i > at && (words[i - 1] == "AND" || words[i - 1] == "&" || words[i - 1] == "THEN" ||
                       words[i - 1] == "UND" || words[i - 1] == "ET" || words[i - 1] == "Y");
        if (!draws || !goes_on || kind_of(words, i) != Kind::part_off) continue;
        tool.kind = Kind::part_off;
        tool.word = words[i];
        at = i;
        break;
    }
    // "BORE WITH DRILL 16": the work, and the tool that does it.
    for (std::size_t i = at + 1; i + 1 < words.size() && tool.kind == Kind::bore; ++i)
        if (joins_tool(words[i]) && kind_of(words, i + 1) == Kind::drill) {
            tool.kind = Kind::drill;
            tool.word = words[i + 1];
            at = i + 1;
        }
    // "BROCA DE CENTRO", "FORET A CENTRER"
    for (std::size_t i = at + 1; i < words.size() && tool.kind == Kind::drill && words[i] != ","; ++i)
        if (centres(words[i])) tool.kind = Kind::centre;
    for (const std::string& word : words) {
        const bool mills = word.starts_with("ENDMILL") || word.starts_with("END-MILL") || word == "MILL" ||
                           word.starts_with("MILLING") || word.starts_with("FRAES") ||
                           word.starts_with("FRES");
        if (word == "LIVE" || word == "CROSS" || word == "DRIVEN" || mills) tool.live = true;
        if (word == "HSS") tool.high_speed_steel = true;
        if (word == "CARBIDE" || word == "INSERT" || word == "SOLID") tool.carbide = true;
        if (word == "THROUGH" || word == "THRU") tool.through = true;
        if (word.starts_with("START") || word == "DOUBLE" || word == "MULTI" || word == "TRIPLE")
            tool.many_starts = true;
        if (word == "LEFT" || word == "LH" || word.starts_with("LEFT-HAND")) tool.left_hand = true;
    }
    tool.pointed = tool.kind == Kind::none && names_corner(words);
    const bool round = tool.kind == Kind::drill || tool.kind == Kind::ream || tool.kind == Kind::tap;
    if (tool.kind == Kind::thread || tool.kind == Kind::tap) {
        if (auto names = threads_in(words); !names.empty()) take_thread(tool, names.front());
        if (tool.pitch_mm == 0) tool.pitch_mm = pitch_by_count(words);
    }
    if (tool.kind == Kind::tap) {
        tool.diameter = 0;
        return tool;
    }
    if (!round) return tool;
    auto word = [&](std::size_t i) {
        return i < words.size() ? std::string_view(words[i]) : std::string_view();
    };
    std::size_t behind = at + 1;
    while (word(behind) == "DIA" || word(behind) == "DIA." || word(behind) == "D" || word(behind) == "HSS" ||
           word(behind) == "HOLE" || word(behind) == "BIT")
        ++behind;
    auto found = diameter_in(word(behind), word(behind + 1));
    if (!found && at > 0) {
        std::size_t before = at - 1;
        while (before > 0 && (word(before) == "MM" || word(before) == "HSS" || word(before) == "CARBIDE" ||
                              word(before) == "INSERT" || word(before) == "LIVE" || word(before) == "DIA" ||
                              word(before) == "CORE" || word(before) == "IN"))
            --before;
        found = diameter_in(word(before), word(before + 1));
    }
    if (found) {
        tool.diameter = found->number;
        tool.diameter_in_inch = found->in_inch;
    }
    return tool;
}

} // namespace

std::optional<double> NamedTool::diameter_mm(double mm_per_unit) const {
    if (major_mm > 0) return major_mm;
    if (diameter <= 0) return std::nullopt;
    // A whole number in an inch program is a size by number or in mm.
    if (!diameter_in_inch && mm_per_unit > 2 && diameter > 4) return std::nullopt;
    return diameter * (diameter_in_inch ? motion::mm_per_inch : mm_per_unit);
}

// Of five languages: common practice, no source.
bool names_puller(std::string_view word) {
    for (const std::string_view front : {"PULLER", "TIRADOR", "TIREUR", "TIRE-BARRE", "TIRABARRA",
                                         "TIRA-BARRA", "STANGENZIEHER", "STANGENGREIF", "ZIEHER", "GRIPPER"})
        if (word.starts_with(front)) return true;
    return false;
}

NamedTool tool_named(std::string_view note) {
    return tool_in(note_words(note));
}

std::string_view kind_title(Kind kind) {
    switch (kind) {
    case Kind::turn:
        return said("turning tool");
    case Kind::bore:
        return said("boring bar");
    case Kind::groove:
        return said("grooving tool");
    case Kind::part_off:
        return said("part-off tool");
    case Kind::thread:
        return said("threading tool");
    case Kind::drill:
        return said("drill");
    case Kind::centre:
        return said("centre drill");
    case Kind::tap:
        return said("tap");
    case Kind::ream:
        return said("reamer");
    case Kind::stop:
        return said("bar stop");
    case Kind::none:
        break;
    }
    return said("tool");
}

std::vector<std::pair<std::int32_t, NamedTool>> tools_listed(std::string_view note) {
    const NoteWords words = note_words(note);
    std::vector<std::pair<std::int32_t, NamedTool>> listed;
    std::int32_t station = 0;
    for (std::size_t i = 0; i < words.size();) {
        if (!is_station(words[i], station)) {
            ++i;
            continue;
        }
        std::size_t end = i + 1;
        std::int32_t next = 0;
        while (end < words.size() && !is_station(words[end], next)) ++end;
        NamedTool tool = tool_in(NoteWords(words.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                                           words.begin() + static_cast<std::ptrdiff_t>(end)));
        if (!tool.is_empty()) listed.emplace_back(station, std::move(tool));
        i = end;
    }
    return listed;
}

MachineCode::Does does_of(codes::Meaning meaning) {
    using codes::Meaning;
    using Does = MachineCode::Does;
    static constexpr std::pair<Meaning, Does> senses[] = {
        {Meaning::chuck_open, Does::clamp_open},
        {Meaning::chuck_closed, Does::clamp_close},
        {Meaning::quill_out, Does::quill_out},
        {Meaning::quill_in, Does::quill_back},
        {Meaning::bar_feed, Does::bar_feed},
        {Meaning::second_chuck_open, Does::second_open},
        {Meaning::second_chuck_closed, Does::second_close},
        {Meaning::c_axis_on, Does::c_on},
        {Meaning::second_c_axis_on, Does::c_on},
        {Meaning::c_axis_off, Does::c_off},
        {Meaning::c_brake_on, Does::brake_on},
        {Meaning::c_brake_off, Does::brake_off},
        {Meaning::live_tool_on, Does::live_on},
        {Meaning::live_tool_reverse, Does::live_on},
        {Meaning::live_tool_off, Does::live_off},
        {Meaning::spindles_joined, Does::joined},
        {Meaning::spindles_parted, Does::parted},
        {Meaning::catcher_out, Does::catcher_out},
        {Meaning::catcher_in, Does::catcher_back},
        {Meaning::part_pushed_out, Does::pushes_out},
        {Meaning::puller_closed, Does::puller_closed},
        {Meaning::puller_open, Does::puller_open},
        {Meaning::bar_stop_out, Does::stop_out},
        {Meaning::bar_stop_in, Does::stop_in},
    };
    for (const auto& [each, does] : senses)
        if (each == meaning) return does;
    return Does::other;
}

std::vector<MachineCode> codes_named(std::string_view note, int alone, int alone_p) {
    std::vector<MachineCode> codes;
    for (machine::NotedCode& code : machine::codes_named(note, alone, alone_p))
        codes.push_back({code.does ? does_of(*code.does) : MachineCode::Does::other, code.number,
                         std::move(code.words), false, code.p,
                         code.does == codes::Meaning::second_c_axis_on});
    return codes;
}

namespace {

/// "TOWARDS THE TAILSTOCK" tells a direction, "OHNE REITSTOCK" that there is none.
bool is_there(std::string_view before) {
    while (before.ends_with(' ')) before.remove_suffix(1);
    for (std::string_view article : {" THE", " DEN", " DER", " DEM", " LA", " LE", " EL", " IL"})
        if (before.ends_with(article)) {
            before.remove_suffix(article.size());
            break;
        }
    constexpr std::string_view elsewhere[] = {"TOWARDS", "TOWARD", "NO",    "WITHOUT", "RICHTUNG", "OHNE",
                                              "KEIN",    "KEINE",  "VERS",  "SANS",    "VERSO",    "SENZA",
                                              "HACIA",   "SIN",    "GEGEN", "ZUM"};
    return std::none_of(std::begin(elsewhere), std::end(elsewhere), [&](std::string_view word) {
        return before.ends_with(word) &&
               (before.size() == word.size() || before[before.size() - word.size() - 1] == ' ');
    });
}

} // namespace

bool speaks_of_tailstock(std::string_view note) {
    const std::string text = upper(note);
    for (std::string_view word :
         {"TAILSTOCK", "QUILL", "LIVE CENTRE", "LIVE CENTER", "POINT CENTER", "POINT CENTRE", "REITSTOCK",
          "PINOLE", "KOERNERSPITZE", "CONTREPOINT", "CONTRE-POINT", "CONTRAPUNT", "CONTROPUNT",
          // What turns with the part, and what it is held between.
          "MITLAUFENDE SPITZE", "MITLAUFENDER SPITZE", "ZENTRIERSPITZE", "ZWISCHEN SPITZEN", "REVOLVING CENT",
          "ROTATING CENT", "RUNNING CENT", "BETWEEN CENT", "POINTE TOURNANTE", "ENTRE POINTES",
          "PUNTO GIRATORIO", "ENTRE PUNTOS", "PUNTA ROTANTE", "PUNTA GIREVOLE", "TRA LE PUNTE",
          "FRA LE PUNTE", "FUTTER UND SPITZE", "CHUCK AND CENT", "MANDRIN ET POINTE", "PLATO Y PUNTO",
          "MANDRINO E PUNTA"})
        if (const std::size_t at = text.find(word);
            at != std::string::npos && is_there(std::string_view(text).substr(0, at)))
            return true;
    // "MANDRIN + POINTE"; a tip of a tool is called so too, with its angle or beside a tool's name.
    const NoteWords words = note_words(note);
    for (std::size_t i = 0; i < words.size(); ++i)
        if (words[i] == "POINTE" && (i == 0 || foreign_kind(words[i - 1]) == shop::ToolKind::unknown) &&
            std::any_of(words.begin(), words.end(), [](const std::string& word) {
                return word == "MANDRIN" || word == "AVANT" || word == "ARRIERE" || word == "TOURNANTE";
            }))
            return true;
    return false;
}

std::vector<std::string> threads_named(std::string_view note) {
    return threads_in(note_words(note));
}

} // namespace turnwright::checks
