// A tool that goes on, from home, with work that it cannot do: the line that calls the next one is lost, or
// its number is that of another.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <map>
#include <set>

namespace turnwright::checks::rules::tool_call_lost {

namespace {

using Kind = NamedTool::Kind;

enum class Sort : std::uint8_t { none, turn, plunge, drill, tap, thread, mixed };

/// What is done from one way home to the next.
struct Piece {
    const ToolOfSpan* tool = nullptr;
    const Act* first = nullptr; ///< Its call, or the first block behind the way home
    bool called = false, behind_optional_stop = false, gives_speed = false;
    bool looked_at_before = false; ///< A stop to measure or to turn the part, or a block delete, before it
    bool inside = false, outside = false;   ///< Cuts along Z that it leaves toward the axis, or away from it
    bool from_front = false;                ///< Turns along Z from in front of the part
    bool goes_in = false, goes_out = false; ///< Plunges behind the face: toward the axis, or away from it
    Sort sort = Sort::none;

    bool only_bores() const { return inside && !outside && sort == Sort::turn; }
    bool only_turns_outside() const { return outside && !inside && sort == Sort::turn; }
    /// A tool for turning, as nothing before it has made a groove to begin in; a blade.
    bool is_turning_tool() const { return from_front && !goes_in && sort == Sort::turn; }
    bool is_blade() const { return goes_in && sort == Sort::plunge; }
};

Sort sort_of(const Act& act) {
    const bool on_centre = act.from_x == 0 && act.to_x == 0;
    if (act.stopped() || act.deleted) return Sort::none;
    if (act.taps() || (act.threads() && on_centre)) return Sort::tap;
    if (act.threads()) return Sort::thread;
    if (!act.cuts()) return Sort::none;
    if (act.drills() || (on_centre && act.moves_z)) return Sort::drill;
    if (act.motion == MotionKind::contour_cycle) return Sort::turn;
    if (!known(act.from_x) || !known(act.to_x)) return Sort::mixed;
    const bool plunges = act.motion == MotionKind::peck_cycle
                             ? act.meaning != Meaning::peck_face
                             : act.motion == MotionKind::feed && act.moves_x && act.from_z == act.to_z;
    if (!plunges) return Sort::turn;
    return act.to_z < 0 ? Sort::plunge : Sort::none; // A face by any of them
}
/// By what it cuts, and where it goes from the end of a straight cut along Z: a chamfer of a blade goes both
/// ways.
void see_side(Piece& piece, const Act* before, const Act& act) {
    if (act.stopped() || act.deleted || !known(act.from_x) || !known(act.to_x)) return;
    if (sort_of(act) == Sort::plunge) {
        if (act.to_x < act.from_x) piece.goes_in = true;
        if (act.to_x > act.from_x) piece.goes_out = true;
    } else if (sort_of(act) == Sort::turn && act.moves_z && known(act.from_z) && known(act.to_z)) {
        constexpr float long_mm = 10;
        const float way = (act.from_z - act.to_z) * (act.inch() ? 25.4F : 1);
        if (act.from_z > 0 && way > long_mm && act.to_x > 0) piece.from_front = true;
    }
    if (act.motion == MotionKind::single_cycle && act.meaning == Meaning::single_turning && act.moves_x) {
        if (act.to_x > act.from_x) piece.inside = true;
        if (act.to_x < act.from_x) piece.outside = true;
    }
    const bool cut_along = before && before->motion == MotionKind::feed && !before->stopped() &&
                           before->moves_z && !before->moves_x && known(before->from_z) &&
                           known(before->to_z) && before->to_z < before->from_z && before->to_z < 0 &&
                           known(before->to_x) && before->to_x > 0;
    if (!cut_along || !act.moves_x || act.moves_z) return;
    if (act.to_x < act.from_x) piece.inside = true;
    if (act.to_x > act.from_x) piece.outside = true;
}

Sort together(Sort one, Sort other) {
    if (one == Sort::none || one == other) return other;
    if (other == Sort::none) return one;
    if (one == Sort::thread || other == Sort::thread) return Sort::thread; // It cuts its chamfer, too
    const bool both_turn =
        (one == Sort::turn && other == Sort::plunge) || (one == Sort::plunge && other == Sort::turn);
    return both_turn ? Sort::turn : Sort::mixed;
}
bool is_told(Sort sort) {
    return sort != Sort::none && sort != Sort::mixed;
}
/// Whether one tool does both. Called anew for it, a drill with inserts bores under another offset.
bool may_be_one(Sort one, Sort other, bool called) {
    if (!is_told(one) || !is_told(other) || one == other) return true;
    const auto either = [&](Sort sort) { return one == sort || other == sort; };
    if (either(Sort::tap) || either(Sort::thread)) return false;
    return called || !either(Sort::drill);
}
std::string_view does(Sort sort) {
    switch (sort) {
    case Sort::plunge:
        return said("plunges in X");
    case Sort::drill:
        return said("drills on the centre");
    case Sort::tap:
        return said("taps");
    case Sort::thread:
        return said("cuts a thread");
    default:
        return said("turns");
    }
}
Kind kind_of(Sort sort) {
    switch (sort) {
    case Sort::plunge:
        return Kind::groove;
    case Sort::drill:
        return Kind::drill;
    case Sort::tap:
        return Kind::tap;
    case Sort::thread:
        return Kind::thread;
    default:
        return Kind::none;
    }
}

/// A station is called, not an offset taken away.
bool calls_station(const Acts& work, const Act& act) {
    const ActWord* word = act.calls_tool ? work.word(act, 'T') : nullptr;
    if (!word) return act.calls_tool;
    const auto number = machine::whole_number(word->number);
    return number > 0 && (number < 100 || number % 100 != 0);
}

/// Places in plain coordinates that the tools are called at, twice or more.
std::map<std::pair<float, float>, std::size_t> places_of_calls(std::span<const ToolOfSpan> tools) {
    std::map<std::pair<float, float>, std::size_t> places;
    const Act* last = nullptr; // Move
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (last && calls_station(*tool.work, act) && last->motion == MotionKind::rapid &&
                known(last->to_x) && known(last->to_z))
                ++places[{last->to_x, last->to_z}];
            if (act.moves()) last = &act;
        }
    return places;
}

/// Numbers of the called programs of the file whose last ways are ways home.
std::set<int> programs_home(std::span<const ToolOfSpan> all) {
    std::set<int> numbers;
    for (const ToolOfSpan& tool : all) {
        if (!tool.span->program->is_subprogram) continue;
        for (const Act& act : tool.work->acts) {
            if (!act.moves()) continue;
            if (is_return(act.motion))
                numbers.insert(tool.span->program->number);
            else
                numbers.erase(tool.span->program->number);
        }
    }
    return numbers;
}
bool calls_home(const Acts& work, const Act& act, const std::set<int>& programs) {
    const auto number = act.calls_program ? number_called(work, act) : std::nullopt;
    return number && programs.contains(*number);
}

std::vector<Piece> pieces_of(const FileContext& context, std::span<const ToolOfSpan> tools,
                             const std::set<int>& home_by_call) {
    std::vector<Piece> pieces;
    const auto has_note = [&](BlockPlace place) {
        return !notes_between(context.reader(), place, place).empty();
    };
    const auto places = places_of_calls(tools);
    const auto is_home = [&](const Act& act) {
        if (is_return(act.motion)) return true;
        const auto place = places.find({act.to_x, act.to_z});
        return act.motion == MotionKind::rapid && place != places.end() && place->second >= 2;
    };
    bool home = false, optional_stop = false, looked_at = false;
    const Act* before = nullptr; // Move
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return {};
        for (const Act& act : tool.work->acts) {
            const bool call = calls_station(*tool.work, act);
            const bool returns = (act.moves() && is_home(act)) || calls_home(*tool.work, act, home_by_call);
            // The last words before the way home are those of the tool that goes.
            const bool begins = call || (home && !returns && (act.gives_speed || act.moves()));
            if (begins && !(pieces.empty() && !call)) {
                pieces.push_back({&tool, &act, call, optional_stop, false, looked_at || act.deleted});
                home = optional_stop = looked_at = false;
                before = nullptr;
            }
            if (returns && !call && !pieces.empty()) home = true; // In a block with its call it stands there
            optional_stop = optional_stop || tool.work->has_code(act, 'M', 1);
            looked_at = looked_at || act.deleted || tool.work->has_code(act, 'M', 0) ||
                        (tool.work->has_code(act, 'M', 1) && has_note(tool.place(act)));
            if (pieces.empty()) continue;
            see_side(pieces.back(), before, act);
            if (act.moves()) before = &act;
            pieces.back().sort = together(pieces.back().sort, sort_of(act));
            pieces.back().gives_speed = pieces.back().gives_speed || act.gives_speed;
        }
    }
    return pieces;
}

/// ", T04 by the list": of the stations that nothing calls the one for such work.
std::string listed_for(std::span<const ToolOfSpan> tools, Sort sort) {
    for (const ToolOfSpan& list : tools)
        for (const auto& [station, named] : list.work->listed) {
            const bool is_called =
                std::any_of(tools.begin(), tools.end(), [&, at = station](const ToolOfSpan& tool) {
                    return tool.span->sequence && tool.station == at;
                });
            if (!is_called && named.kind != Kind::none && named.kind == kind_of(sort))
                return said(" In the list T{:02} is the {}.", station, kind_title(named.kind));
        }
    return "";
}

/// The only station of the lists that nothing calls, where they speak of three or more; 0: none such.
std::int32_t only_one_not_called(std::span<const ToolOfSpan> tools) {
    std::set<std::int32_t> listed;
    for (const ToolOfSpan& list : tools)
        for (const auto& [station, named] : list.work->listed) listed.insert(station);
    if (listed.size() < 3) return 0;
    std::int32_t only = 0;
    for (std::int32_t station : listed) {
        if (std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
                return tool.span->sequence && tool.station == station;
            }))
            continue;
        if (only != 0) return 0;
        only = station;
    }
    return only;
}

Kind listed_kind(std::span<const ToolOfSpan> tools, std::int32_t station) {
    for (const ToolOfSpan& list : tools)
        for (const auto& [listed, named] : list.work->listed)
            if (listed == station) return named.kind;
    return Kind::none;
}

/// All others that give a speed have their own call, and no tool is called twice: each does its work at
/// once.
bool is_only_one_not_called(std::span<const Piece> pieces, const Piece& piece) {
    constexpr std::size_t enough = 4;
    std::set<std::int32_t> stations;
    std::size_t called = 0;
    if (!piece.gives_speed || !piece.first->gives_speed) return false;
    for (const Piece& other : pieces) {
        if (&other == &piece) continue;
        if (!other.called || !stations.insert(other.tool->station).second) return false;
        called += other.gives_speed;
    }
    return called >= enough && called + 1 == pieces.size();
}

bool turns_along(const ToolOfSpan& tool) {
    constexpr float long_mm = 20;
    return std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [&](const Act& act) {
        const float way = std::abs(act.to_z - act.from_z) * (act.inch() ? 25.4F : 1);
        return act.cuts() && !act.drills() && act.moves_z && known(act.from_z) && known(act.to_z) &&
               known(act.to_x) && act.to_x > 0 && way > long_mm;
    });
}

/// One station is called for two works by their notes, and the list gives one of them to the only station
/// that nothing calls.
bool tell_wrong_station(std::span<const ToolOfSpan> tools, Report& report) {
    const std::int32_t missed = only_one_not_called(tools);
    if (missed <= 0) return false;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.span->sequence || !tool.span->sequence->calls_tool || tool.station <= 0) continue;
        const Kind own = tool.own->kind, listed = tool.listed->kind;
        // Long cuts along Z are no work of a blade.
        const bool is_blade = listed == Kind::groove || listed == Kind::part_off;
        const bool is_other = own == Kind::none ? is_blade && turns_along(tool) : own != listed;
        if (listed == Kind::none || !is_other) continue;
        // Its other call goes with the list.
        const bool other_fits = std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& other) {
            return &other != &tool && other.span->sequence && other.station == tool.station &&
                   other.own->kind == listed;
        });
        if (!other_fits) continue;
        report.at_letter(tool.span->sequence->tool_call, 'T')
            .message(said("T{0:02} is the {1} by the list, and its other sequence is such work: this one is "
                          "not, and T{2:02}, which the list has too, is never called. Is T{2:02} meant?",
                          tool.station, kind_title(listed), missed));
        return true;
    }
    return false;
}

/// Stations that the notes above the first call speak of, whatever they say of them: "T6 BARRE D20".
std::set<std::int32_t> stations_noted(const FileContext& context, const std::vector<Piece>& pieces) {
    std::set<std::int32_t> stations;
    const auto first =
        std::find_if(pieces.begin(), pieces.end(), [](const Piece& piece) { return piece.called; });
    if (first == pieces.end()) return stations;
    constexpr std::size_t longest = 3; // "T12"
    for (const NoteAt& note : notes_between(context.reader(), first->tool->span->program->first,
                                            first->tool->place(*first->first))) {
        const NotedWords words = noted_words(note.text);
        for (const std::string& word : words.words)
            if (word.size() >= 2 && word.size() <= longest && word[0] == 'T' &&
                std::all_of(word.begin() + 1, word.end(), is_digit))
                stations.insert(std::stoi(word.substr(1)));
    }
    stations.erase(0);
    return stations;
}

/// Every tool of the list comes once, but one of them twice and one never: one of the two calls has its
/// number.
bool tell_twice_for_another(const FileContext& context, std::span<const ToolOfSpan> tools,
                            const std::vector<Piece>& pieces, Report& report) {
    constexpr std::size_t enough = 3;
    const std::set<std::int32_t> listed = stations_noted(context, pieces);
    if (listed.size() < enough) return false;
    std::int32_t missed = 0;
    for (const std::int32_t station : listed)
        if (std::none_of(pieces.begin(), pieces.end(), [&](const Piece& piece) {
                return piece.called && piece.tool->station == station;
            })) {
            if (missed != 0) return false;
            missed = station;
        }
    if (missed == 0 || tools.empty()) return false;
    std::map<std::int32_t, std::vector<const Piece*>> calls;
    for (const Piece& piece : pieces) {
        if (!piece.called) continue;
        if (!listed.contains(piece.tool->station)) return false;
        calls[piece.tool->station].push_back(&piece);
    }
    const std::vector<const Piece*>* twice = nullptr;
    for (const auto& [station, its] : calls) {
        if (its.size() > 2 || (its.size() == 2 && twice)) return false;
        if (its.size() == 2) twice = &its;
    }
    if (!twice || calls.size() + 1 != listed.size()) return false;
    const Piece &first = *twice->front(), &second = *twice->back();
    // Where the numbers follow each other the missing one tells its place.
    const auto stands_between = [&](const Piece& piece) {
        const Piece* before = nullptr;
        const Piece* behind = nullptr;
        for (const Piece& other : pieces) {
            if (!other.called || &other == &piece) continue;
            if (&other < &piece) before = &other;
            if (&other > &piece && !behind) behind = &other;
        }
        return (!before || before->tool->station < missed) && (!behind || behind->tool->station > missed);
    };
    const Kind kind = listed_kind(tools, missed);
    const bool first_fits = kind != Kind::none && kind_of(first.sort) == kind,
               second_fits = kind != Kind::none && kind_of(second.sort) == kind;
    const bool is_first =
        first_fits != second_fits ? first_fits : stands_between(first) && !stands_between(second);
    const Piece &odd = is_first ? first : second, &other = is_first ? second : first;
    report.at_letter(odd.tool->place(*odd.first), 'T')
        .message(said("T{0:02} is called twice, and T{1:02} of the list never; each other tool of it comes "
                      "once. Is T{1:02} meant here?",
                      odd.tool->station, missed))
        .related(other.tool->place(*other.first), said("the other call"));
    return true;
}

/// The stations of a program that goes through its turret in a row: "01, 05, 07".
std::string row_of(const std::vector<const Piece*>& calls) {
    std::string row;
    for (const Piece* call : calls) {
        if (!row.empty()) row += ", ";
        row += fmt::format("{:02}", call->tool->station);
    }
    return row;
}
/// The one number that is left out of an even row behind its call `at`; 0: the row is not even, or has none
/// left out there.
std::int32_t left_out_behind(const std::vector<const Piece*>& row, std::size_t at) {
    constexpr std::size_t fewest = 3;
    constexpr std::int32_t widest = 2; ///< Turrets that hold tools outside and inside in turn
    if (row.size() < fewest || at + 1 >= row.size()) return 0;
    std::int32_t step = 0;
    for (std::size_t i = 0; i + 1 < row.size(); ++i) {
        const std::int32_t difference = row[i + 1]->tool->station - row[i]->tool->station;
        if (i == at) continue;
        if (difference < 1 || difference > widest) return 0;
        step = std::max(step, difference);
    }
    const std::int32_t gap = row[at + 1]->tool->station - row[at]->tool->station;
    return gap == 2 * step ? row[at]->tool->station + step : 0;
}

/// The tools come in a row, 1 3 5 7, but that one comes twice, or goes on without a call, and the number
/// between is left out.
bool tell_left_out(const std::vector<Piece>& pieces, Report& report) {
    std::vector<const Piece*> row;
    const Piece* odd = nullptr;
    std::size_t at = 0; ///< In the row: of the call before the odd one
    for (const Piece& piece : pieces) {
        if (piece.tool->own->kind == Kind::stop) continue;
        const bool again = piece.called && !row.empty() && row.back()->tool->station == piece.tool->station;
        if (piece.called && !again) {
            row.push_back(&piece);
            continue;
        }
        if (row.empty() || odd || !is_told(piece.sort) || !piece.gives_speed || piece.looked_at_before)
            return false;
        odd = &piece;
        at = row.size() - 1;
    }
    if (!odd) return false;
    std::int32_t missed = left_out_behind(row, at);
    const Piece* other = row[at];
    if (missed == 0 && odd->called && at > 0) {
        missed = left_out_behind(row, at - 1);
        std::swap(odd, other);
    }
    // Faced in one sequence, turned by the same tool in the next.
    if (missed == 0 || !is_told(other->sort) || !is_told(odd->sort)) return false;
    const int station = other->tool->station;
    if (odd->called)
        report.at_letter(odd->tool->place(*odd->first), 'T')
            .message(said(
                "T{0:02} is called for two sequences in a row. The calls go {1}, and {2:02} is left out: is "
                "T{2:02} meant here? As it stands T{0:02} does its work.",
                station, row_of(row), missed))
            .related(other->tool->place(*other->first), said("the other call"));
    else
        report.at(odd->tool->place(*odd->first))
            .message(said(
                "No tool is called behind the way home: T{0:02} is still in. The calls go {1}, and {2:02} "
                "is left out: is the line with T{2:02} lost?",
                station, row_of(row), missed))
            .related(other->tool->place(*other->first), said("called here"));
    return true;
}

/// What no one tool does, apart from sorts of work: "bores" and "turns outside".
struct TwoSides {
    std::string_view one, other;
};
std::optional<TwoSides> two_sides(const Piece& one, const Piece& other) {
    const std::string_view bores = said("bores"), outside = said("turns outside"),
                           plunges = said("plunges from outside"), turns = said("turns along from the front");
    if (one.only_bores() && other.only_turns_outside()) return TwoSides{bores, outside};
    // A drill with inserts bores as well, but it has no edge outside.
    if (one.only_turns_outside() && other.sort == Sort::drill) return TwoSides{outside, does(Sort::drill)};
    if (one.only_bores() && other.is_blade()) return TwoSides{bores, plunges};
    if (one.is_turning_tool() && other.is_blade()) return TwoSides{turns, plunges};
    return std::nullopt;
}

/// One station bores, and turns outside in another sequence; it turns, and plunges as a blade does.
bool tell_two_sides(const std::vector<Piece>& pieces, Report& report) {
    const Piece* in = nullptr; ///< Called last
    for (const Piece& piece : pieces) {
        const Piece* before = in;
        if (piece.called) {
            in = &piece;
            for (const Piece& other : pieces)
                if (&other < &piece && other.called && other.tool->station == piece.tool->station)
                    before = &other;
        }
        if (!before || before->tool->station != piece.tool->station || piece.tool->station <= 0 ||
            piece.looked_at_before || !piece.gives_speed)
            continue;
        auto sides = two_sides(*before, piece);
        if (!sides) {
            sides = two_sides(piece, *before);
            if (sides) std::swap(sides->one, sides->other);
        }
        if (!sides) continue;
        if (piece.called)
            report.at_letter(piece.tool->place(*piece.first), 'T')
                .message(
                    said("T{:02} {} here, and {} in its other sequence: no tool does both. One of the two "
                         "calls has the number of another tool.{}",
                         piece.tool->station, sides->other, sides->one, ""))
                .related(before->tool->place(*before->first), said("the other call"));
        else
            report.at(piece.tool->place(*piece.first))
                .message(said("No tool is called behind the way home: {} still in, which {} above, and what "
                              "follows {}. The line that calls the tool is lost, perhaps.{}",
                              said("T{:02} is", piece.tool->station), sides->one, sides->other, ""))
                .related(before->tool->place(*before->first), said("called here"));
        return true;
    }
    return false;
}

/// One station is called for two sorts of work, and the only one of the list that nothing calls is for one of
/// them.
void look_at_works_of_two(std::span<const ToolOfSpan> tools, const std::vector<Piece>& pieces,
                          Report& report) {
    const std::int32_t missed = only_one_not_called(tools);
    const Kind kind = missed > 0 ? listed_kind(tools, missed) : Kind::none;
    if (kind == Kind::none) return;
    for (const Piece& piece : pieces)
        for (const Piece& other : pieces) {
            const int station = piece.tool->station;
            if (!piece.called || !other.called || station <= 0 || other.tool->station != station ||
                !is_told(piece.sort) || !is_told(other.sort) || piece.sort == other.sort ||
                kind_of(piece.sort) != kind || kind_of(other.sort) == kind)
                continue;
            report.at_letter(piece.tool->place(*piece.first), 'T')
                .message(
                    said("T{:02} {} here, and {} in its other sequence. The list has T{:02} as the {}, and "
                         "nothing calls it. Is T{:02} meant?",
                         station, does(piece.sort), does(other.sort), missed, kind_title(kind), missed))
                .related(other.tool->place(*other.first), said("the other call"));
            return;
        }
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, const std::set<int>& home_by_call,
             Report& report) {
    if (tell_wrong_station(tools, report)) return;
    const std::vector<Piece> pieces = pieces_of(context, tools, home_by_call);
    std::size_t calls = 0, stops = 0, called_behind_stop = 0;
    for (const Piece& piece : pieces) {
        calls += piece.called;
        stops += piece.behind_optional_stop;
        called_behind_stop += piece.called && piece.behind_optional_stop;
    }
    if (calls < 2) return;
    const Piece* last_call = nullptr;
    Sort sort = Sort::none; ///< Of the tool that is in, up to here
    for (const Piece& piece : pieces) {
        if (piece.called) {
            last_call = &piece;
            sort = piece.sort;
            continue;
        }
        if (!last_call || !is_told(piece.sort)) continue;
        const int station = last_call->tool->station;
        const std::string in = station > 0 ? said("T{:02} is", station) : said("the tool before is");
        if (!may_be_one(sort, piece.sort, false)) {
            report.at(piece.tool->place(*piece.first))
                .message(said("No tool is called behind the way home: {} still in, which {} above, and what "
                              "follows {}. The line that calls the tool is lost, perhaps.{}",
                              in, does(sort), does(piece.sort), listed_for(tools, piece.sort)))
                .related(last_call->tool->place(*last_call->first), said("called here"));
            return;
        }
        if (const std::int32_t missed = only_one_not_called(tools); missed > 0 && piece.gives_speed) {
            report.at(piece.tool->place(*piece.first))
                .message(
                    said("No tool is called behind the way home: {} still in. The list has T{:02}, which "
                         "nothing calls. Is the line lost?",
                         in, missed))
                .related(last_call->tool->place(*last_call->first), said("called here"));
            return;
        }
        // All others behind a stop call theirs.
        if (piece.behind_optional_stop && piece.gives_speed && called_behind_stop >= 3 &&
            stops == called_behind_stop + 1) {
            report.at(piece.tool->place(*piece.first))
                .message(said("No tool is called behind the way home and the stop: {} still in. All {} other "
                              "stops are followed by a call. Is the line lost?",
                              in, called_behind_stop))
                .related(last_call->tool->place(*last_call->first), said("called here"));
            return;
        }
        if (is_only_one_not_called(pieces, piece)) {
            report.at(piece.tool->place(*piece.first))
                .message(said("A new speed behind the way home, and no tool is called: {} still in. All {} "
                              "other sequences of the program begin with their call. Is the line lost?",
                              in, calls))
                .related(last_call->tool->place(*last_call->first), said("called here"));
            return;
        }
        sort = together(sort, piece.sort);
    }
    if (tell_twice_for_another(context, tools, pieces, report)) return;
    if (tell_left_out(pieces, report) || tell_two_sides(pieces, report)) return;
    for (std::size_t i = 0; i < pieces.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) {
            const Piece &one = pieces[k], &other = pieces[i];
            const int station = other.tool->station;
            if (!one.called || !other.called || station <= 0 || one.tool->station != station ||
                may_be_one(one.sort, other.sort, true))
                continue;
            report.at_letter(other.tool->place(*other.first), 'T')
                .message(
                    said("T{:02} {} here, and {} in its other sequence: no tool does both. One of the two "
                         "calls has the number of another tool.{}",
                         station, does(other.sort), does(one.sort), listed_for(tools, other.sort)))
                .related(one.tool->place(*one.first), said("the other call"));
            return;
        }
    look_at_works_of_two(tools, pieces, report);
}

/// The program cuts before it calls its first tool, and calls all others.
void look_at_first(std::span<const ToolOfSpan> tools, Report& report) {
    const ToolOfSpan* at = nullptr;
    const Act *begin = nullptr, *cut = nullptr;
    std::size_t calls = 0;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (calls_station(*tool.work, act)) ++calls;
            if (calls > 0 && !cut) return;
            if (cut) continue;
            if (act.calls_program) return;
            if (is_return(act.motion) && act.moves()) begin = nullptr;
            const bool begins = act.gives_speed || (act.moves() && !is_return(act.motion));
            if (begins && !begin) {
                begin = &act;
                at = &tool;
            }
            if (sort_of(act) != Sort::none) cut = &act;
        }
    }
    if (!cut || !begin || calls < 2) return;
    report.at(at->place(*begin))
        .message(
            said("The program cuts here before it calls a tool: the one that is in from the last job does "
                 "it, with its offset. {} others are called. Is the line with T lost?",
                 calls));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at_first(program, report); });
    const std::set<int> home = programs_home(tools);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> program) { look_at(context, program, home, report); });
}

} // namespace

extern const Check check{
    .id = "tool_call_lost",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "One tool for two sorts of work",
    .documentation =
        "Behind the way home no tool is called, and the work that follows is of a sort that the tool which "
        "is "
        "still in the cutting position cannot do: a grooving tool that threads, a turning tool that drills "
        "on "
        "the centre. The line with the call is lost; the offset with it. It is told, too, where every other "
        "optional stop of the program is followed by a call and a single one is not, where the tool list has "
        "a single "
        "station that nothing calls, and where one station "
        "is "
        "called for two sorts of work that no tool does both of; and where the program cuts before it calls "
        "its "
        "first tool, and calls two others or more; where all other sequences, four or more, begin with their "
        "call and one begins with a new speed alone; and where a station is called twice and by the list "
        "only one of the two works is its own, while another station of the list is never called."
        " So is a tool of the list that is called twice where another one is never called; a tool that has "
        "two "
        "sequences in a row, with no stop to measure between, where the numbers of the calls go up evenly "
        "and "
        "the one that comes next is left out; and one that bores and, called again, turns outside, or that "
        "turns along and, called again, plunges as a blade does.",
    .file = file,
    .examples =
        {
            // A groove in the face and one in the diameter, by one blade of two.
            {System::C, R"(
(T1 ROUGHER)
(T7 GROOVE TOOL 3 MM)
(T9 FACE GROOVE TOOL 4 MM)
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G00 X100. Z100.
T0909
;^^^^ warning: tool_call_lost
G97 S600 M03
G00 X53. Z-8.
G77 R0.2
G77 X44. Z-10. P1500 Q2000 F0.07
G00 X100. Z100.
T0909
G97 S450 M03
G00 X30. Z5.
G76 R0.2
G76 X28. Z-4. P1000 Q1500 F0.06
G00 Z100.
X100.
M30
)"},
            {System::C, R"(
(T1 ROUGHER)
(T7 GROOVE TOOL 3 MM)
(T9 FACE GROOVE TOOL 4 MM)
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G00 X100. Z100.
T0707
G97 S600 M03
G00 X53. Z-8.
G77 R0.2
G77 X44. Z-10. P1500 Q2000 F0.07
G00 X100. Z100.
T0909
G97 S450 M03
G00 X30. Z5.
G76 R0.2
G76 X28. Z-4. P1000 Q1500 F0.06
G00 Z100.
X100.
M30
)"},
            {System::C, R"(
(T1 ROUGH, T3 FINISH, T5 BORE)
G70 G90 G95
M98 P8100
T0101
G97 S400 M03
G00 X3.6 Z.2
G01 Z-1. F.012
X4.
M98 P8100
N30 (FINISH)
G97 S500 M03
;^^^^^^^^^^^ warning: tool_call_lost
G00 X3.2 Z.2
G01 Z-1. F.006
X4.
M98 P8100
T0505
G97 S700 M03
G00 X1.5 Z.1
G01 Z-1. F.006
X1.4
G00 Z.2
M98 P8100
M30
O8100
G91 G28 X0
G28 Z0
G90
M5
M99
)"},
            {System::C, R"(
G70 G90 G95
N3 T0303 (GROOVE .094)
G97 S1200 M03
G00 X1.2 Z.1
Z-.5
G01 X.663 F.003
G00 X2.
G91 G28 X0 Z0
G90
M01
G97 S1000 M03
;^^^^^^^^^^^^^ warning: tool_call_lost
G00 X.85 Z.25
G78 P010060 Q20 R.001
G78 X.6733 Z-.45 P383 Q100 F.0625
G00 X2. Z1.
G91 G28 X0 Z0
G90
M01
N5 T0505
G97 S900 M03
G00 X1.2 Z-1.
G01 X-.03 F.004
M30
)"},
            {System::A, R"(
(T1 TURN, T3 DRILL 20, T5 BORE)
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-30. F.2
X56.
G28 U0 W0
T0100
G97 S1000 M03
;^^^^^^^^^^^^^ warning: tool_call_lost
G00 X0 Z5.
G01 Z-40. F.15
G00 Z5.
G28 U0 W0
T0505
G97 S900 M03
G00 X22. Z2.
G01 Z-30. F.1
X20.
G00 Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-30. F.2
G28 U0 W0
T0303
G97 S800 M03
G00 X56. Z-20.
G01 X40. F.1
G00 X56.
G28 U0 W0
T0303
;^^^^ warning: tool_call_lost
G97 S600 M03
G00 X54. Z5.
G78 X49. Z-18. F2.
X48.
X47.4
G28 U0 W0
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
G28 U0 W0
M01
T0202
G97 S800 M03
G00 X1.8 Z.1
G01 Z-1. F.006
G28 U0 W0
M01
G97 S700 M03
;^^^^^^^^^^^ warning: tool_call_lost
G00 X1.6 Z.1
G01 Z-.8 F.004
G28 U0 W0
M01
T0404
G97 S700 M03
G00 X1.4 Z.1
G01 Z-.6 F.004
G28 U0 W0
M01
T0505
G97 S700 M03
G00 X1.2 Z.1
G01 Z-.5 F.004
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-30. F.2
X56.
G28 U0 W0
M00 (MEASURE)
G97 S900 M03
G00 X50. Z2.
G01 Z-30. F.1
X56.
G28 U0 W0
T0303
G97 S500 M03
G00 X0 Z5.
G01 Z-30. F.2
G28 U0 W0
M30
)"},
            {System::B, R"(
(DRILL WITH INSERTS, BORES UNDER OFFSET 15)
G21 G90 G95
T0505
G97 S800 M03
G00 X0 Z2.
G01 Z-30. F.1
G00 Z5.
G28 U0 W0
T0515
G00 X26. Z2.
G01 Z-30. F.1
X24.
G00 Z5.
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X30. Z5.
X28.5
G01 Z0 F.2
X30. Z-1.
G00 Z5.
G92 X29.4 Z-20. F1.5
X29.
X28.4
G28 U0 W0
T0909
G97 S800 M03
G00 X32. Z-25.
G01 X-.5 F.05
G28 U0 W0
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X3.5 Z.1
G01 X3. F.01
Z-1.
G00 X8. Z8.
M01
G97 S1400 M03
;^^^^^^^^^^^^ warning: tool_call_lost
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.2
X8. Z8.
M01
T0404
G00 X.85 Z.1
G01 Z-2. F.008
G00 X.8
Z.1
X8. Z8.
T0505
G00 X3.2 Z-1.
G01 X2.8 F.004
G00 X8.
M30
)"},
            // The first of all.
            {System::C, R"(
G71 G90 G95
G28 X0 Z0
G96 S180 M03
;^^^^^^^^^^^ warning: tool_call_lost
G00 X52. Z2.
G01 Z-30. F0.2
G28 X0 Z0
T0202
G00 X50. Z2.
G01 Z-30. F0.1
G28 X0 Z0
X52.
G28 X0 Z0
M01
T0303
G00 X48. Z2.
G01 Z-10. F0.1
X52.
G28 X0 Z0
M01
T0404
G00 X52. Z2.
Z-20.
G01 X40. F0.1
X52. F.5
G28 X0 Z0
M30
)"},
            // The call of the part-off is lost: the sort of work is the same, the speed is another.
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X28. Z0
G01 X-1.6 F0.1
G00 X100. Z50.
T0202
G97 S1500 M03
G00 X27. Z-20.
G01 X9. F0.05
G00 X27.
X100. Z50.
T0303
G97 S1200 M03
G00 X11. Z5.
G78 X7.5 Z-18.3 F1.25
X7.15
G00 X100. Z50.
T0505
G97 S1500 M03
G00 X27. Z-24.
G01 X23. F0.05
G00 X27.
X100. Z50.
G97 S1000 M03
;^^^^^^^^^^^^ warning: tool_call_lost
G00 X28. Z-35.
G01 X-.5 F0.05
G00 X28.
X100. Z50.
M30
)"},
            // The list has a station for it, which nothing calls.
            {System::A, R"(
(T1 CNMG R1.2 / T3 BORING BAR D25 / T5 GROOVE 4 WIDE)
G21 G99
T0101
G97 S600 M03
G00 X142. Z0
G01 X34. F0.3
G28 U0
G28 W0
T0505 (BORE D40 H7)
;^^^^ warning: tool_call_lost
G97 S1000 M03
G00 X35. Z3.
G01 Z-82. F0.2
U-1.
G00 Z10.
G28 U0
G28 W0
M01
T0505 (GROOVES)
G97 S230 M03
G00 X150. Z-12.
G01 X119. F0.08
G00 X150.
G28 U0
G28 W0
M30
)"},
            // One tool of the list comes twice, and one never; and twice with none that never comes.
            {System::A, R"(
(T1 TURN  T3 DRILL 28  T5 FINISH  T7 BORE)
G21 G99
T0101
G97 S900 M03
G00 X64. Z0
G01 X-1.6 F0.2
G00 X60. Z2.
G01 Z-40. F0.25
X64.
G00 X100. Z100.
T0303
G00 X0 Z3.
G01 Z-50. F0.2
G00 Z100.
X100.
T0505
G00 X58. Z2.
G01 Z-40. F0.1
X64.
G00 X100. Z100.
T0505
;^^^^ warning: tool_call_lost
G00 X30. Z2.
G01 Z-42. F0.1
X28.
G00 Z100.
X100.
M30
)"},
            {System::A, R"(
(T1 TURN  T3 DRILL 28  T5 FINISH)
G21 G99
T0101
G97 S900 M03
G00 X64. Z0
G01 X-1.6 F0.2
G00 X60. Z2.
G01 Z-40. F0.25
X64.
G00 X100. Z100.
T0303
G00 X0 Z3.
G01 Z-50. F0.2
G00 Z100.
X100.
T0505
G00 X58. Z2.
G01 Z-40. F0.1
X64.
G00 X100. Z100.
T0101
G00 X58. Z2.
G01 X64. Z-1. F0.1
G00 X100. Z100.
M30
)"},
            // The number between is left out of the row; its line is lost; with a stop to measure it is
            // right.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F.2
G00 X50.4 Z2.
G01 Z-40. F.25
X56.
G28 U0 W0
M01
T0101
;^^^^ warning: tool_call_lost
G97 S1200 M03
G00 X50. Z2.
G01 Z-40. F.1
X56.
G28 U0 W0
M01
T0505
G97 S600 M03
G00 X56. Z-30.
G01 X44. F.08
G00 X56.
G28 U0 W0
M01
T0707
G97 S800 M03
G00 X56. Z-44.
G01 X-.5 F.06
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X2.1 Z0
G01 X-.06 F.008
G00 X2. Z.1
G01 Z-1.5 F.01
X2.2
G28 U0 W0
G97 S1200 M03
;^^^^^^^^^^^^^ warning: tool_call_lost
G00 X1.96 Z.1
G01 Z-1.5 F.004
X2.2
G28 U0 W0
T0606
G97 S600 M03
G00 X2.2 Z-1.
G01 X1.7 F.003
G00 X2.2
G28 U0 W0
T0808
G97 S800 M03
G00 X2.2 Z-1.7
G01 X-.02 F.003
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F.2
G00 X50.4 Z2.
G01 Z-40. F.25
X56.
G28 U0 W0
M00 (MEASURE, CORRECT OFFSET 01)
T0101
G97 S1200 M03
G00 X50. Z2.
G01 Z-40. F.1
X56.
G28 U0 W0
M01
T0505
G97 S600 M03
G00 X56. Z-30.
G01 X44. F.08
G00 X56.
G28 U0 W0
M01
T0707
G97 S800 M03
G00 X56. Z-44.
G01 X-.5 F.06
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z0
G01 X-1.6 F.2
G28 U0 W0
T0101
G97 S1200 M03
G00 X50. Z2.
G01 Z-40. F.1
X56.
G28 U0 W0
T0303
G97 S600 M03
G00 X56. Z-30.
G01 X44. F.08
G00 X56.
G28 U0 W0
T0505
G97 S800 M03
G00 X56. Z-44.
G01 X-.5 F.06
M30
)"},
            // The boring bar outside.
            {System::C, R"(
G70 G90 G95
T0202
G97 S800 M03
G00 X3. Z.1
G01 Z-1. F.008
X3.2
G28 U0 W0
T0404
G97 S900 M03
G00 X1.5 Z.1
G01 Z-1. F.006
X1.46
G00 Z.2
G28 U0 W0
T0404
;^^^^ warning: tool_call_lost
G97 S1000 M03
G00 X2.96 Z.1
G01 Z-1. F.004
X3.2
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X80. Z2.
G01 Z-20. F.2
X84.
G28 U0 W0
T0303
G97 S900 M03
G00 X40. Z2.
G01 Z-30. F.15
X39.
G00 Z5.
G28 U0 W0
M01
T0303
G97 S1100 M03
G00 X40.5 Z2.
G01 Z-30. F.1
X39.
G00 Z5.
G28 U0 W0
M30
)"},
            // A blade's work by the tool that has turned; a blade that turns in its groove, and parts off.
            {System::B, R"(
G21 G90 G95
T0202
G97 S800 M03
G00 X42. Z0
G01 X-1.6 F.2
G00 X40. Z2.
G77 X36. Z-30. F.2
X34.
X32.
G00 X60.
G28 U0 W0
T0202
;^^^^ warning: tool_call_lost
G97 S600 M03
G00 X44. Z-30.
G01 X28. F.08
G00 X44.
G28 U0 W0
T0909
G97 S500 M03
G00 X34. Z4.
G78 X31. Z-27. F1.5
X30.16
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1.5 F.01
X2.2
G28 U0 W0
T0404
G97 S600 M03
G00 X2.1 Z-.5
G01 X1.5 F.003
G00 X2.1
Z-.6
G01 X1.5
Z-.5
G00 X2.1
G28 U0 W0
T0404
G97 S500 M03
G00 X2.1 Z-1.4
G01 X-.02 F.003
G28 U0 W0
M30
)"},
            // A turning tool cannot drill, whatever calls it; a drill with inserts bores.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X36. Z0
G01 X-1.6 F.2
G00 X32. Z2.
G01 Z-30. F.2
X36.
G28 U0 W0
T0101
;^^^^ warning: tool_call_lost
G97 S900 M03
G00 X0 Z5.
G01 Z-30. F.15
G00 Z5.
G28 U0 W0
T0303
G97 S1200 M03
G00 X32. Z2.
G01 Z-28. F.1
X36.
G28 U0 W0
M30
)"},
            {System::C, R"(
G70 G90 G95
T0505
G97 S900 M03
G00 X0 Z.2
G01 Z-1.2 F.006
G00 Z.2
G28 X0 Z0
T0505
G97 S1100 M03
G00 X1. Z.1
G01 Z-1. F.006
X.96
G00 Z.2
G28 X0 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_call_lost
