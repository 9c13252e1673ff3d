// What the programs of a folder have in common, as lines of a shop file and as questions.
#include "language/said.h"
#include "report/learn.h"
#include "report/report.h"

#include "checks/tool_notes.h"

#include "features/speech.h"
#include "machine/noted_codes.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

using Programs = std::vector<ProgramShows>;

std::string toml_text(std::string_view text) {
    std::string out = "\"";
    for (const char c : features::readable(text)) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

/// What an M code does by the name that notes give it; empty: the name does not tell for certain.
std::string effect_by_name(int number, const std::string& name) {
    for (const machine::NotedCode& code : machine::codes_named(name, number)) {
        if (code.number != number || !code.does) continue;
        for (const codes::Effect& effect : codes::effects())
            if (effect.code.meaning == *code.does) return std::string(effect.words);
    }
    const auto names = [&](std::initializer_list<std::string_view> words) {
        return checks::speaks_of(name, words);
    };
    // M13 and M14 are the usual pair: common practice, no source.
    const bool told = names({"CW", "FORWARD", "FWD", "CCW", "REVERSE"});
    const bool forward = told ? names({"CW", "FORWARD", "FWD"}) : number == 13;
    const bool reverse = told ? names({"CCW", "REVERSE"}) : number == 14;
    if (!names({"SPINDLE"}) || !names({"COOLANT"}) || names({"OFF", "STOP"}) || forward == reverse) return "";
    return reverse ? "M04 M08" : "M03 M08";
}

std::string of_programs(std::size_t some, std::size_t all) {
    return all == 1 ? said("{} of {} program", some, all) : said("{} of {} programs", some, all);
}
/// "3000 in 2 programs"
std::string value_in(std::string_view value, std::size_t programs) {
    return programs == 1 ? said("{} in {} program", value, programs)
                         : said("{} in {} programs", value, programs);
}

/// How many programs show each value; a program that shows none is not counted.
template <class Value>
class Tally {
public:
    void add(const Value& value, const std::string& program) {
        ++counts_[value];
        names_[value].push_back(program);
        ++shown_;
    }
    bool empty() const { return counts_.empty(); }
    std::size_t shown() const { return shown_; }
    std::size_t values() const { return counts_.size(); }
    const std::map<Value, std::size_t>& counts() const { return counts_; }
    const Value& most() const {
        return std::max_element(counts_.begin(), counts_.end(),
                                [](const auto& a, const auto& b) { return a.second < b.second; })
            ->first;
    }
    std::size_t of_most() const { return counts_.at(most()); }
    /// "41 of 44 programs", and who does otherwise.
    std::string why(std::size_t programs) const {
        std::string text = of_programs(of_most(), programs);
        std::string others;
        std::size_t told = 0, all = shown_ - of_most();
        for (const auto& [value, names] : names_)
            if (value != most())
                for (const std::string& name : names)
                    if (told < 3) others += (told++ == 0 ? "" : ", ") + features::readable(name);
        if (all > 0) text += said("; otherwise in {}{}", others, all > told ? ", ..." : "");
        return text;
    }
    /// Nobody, or one in ten, does otherwise, and it was seen more than once where there is more than one.
    bool is_clear(std::size_t programs, bool strictly = false) const {
        if (empty()) return false;
        const std::size_t most = of_most();
        return (strictly ? most == shown_ : most * 10 >= shown_ * 9) && (most >= 2 || programs == 1);
    }

private:
    std::map<Value, std::size_t> counts_;
    std::map<Value, std::vector<std::string>> names_;
    std::size_t shown_ = 0;
};

/// Lengths of the file are in the unit of most programs.
struct FileUnit {
    bool known = false, inch = false;
    std::string written(double mm) const {
        return features::plain(inch ? mm / motion::mm_per_inch : mm, inch ? 4 : 3);
    }
};

class Learner {
public:
    explicit Learner(const Programs& programs) : programs_(programs), all_(programs.size()) {}

    LearntParts learn() {
        learn_units();
        learn_machine();
        learn_codes();
        learn_tools();
        learn_house();
        std::stable_sort(
            parts_.questions.begin(), parts_.questions.end(),
            [](const ShopQuestion& a, const ShopQuestion& b) { return a.programs > b.programs; });
        return std::move(parts_);
    }

private:
    void entry(std::string section, std::string key, std::string value, std::string why, bool active) {
        parts_.entries.push_back(
            {std::move(section), std::move(key), std::move(value), std::move(why), active});
    }
    template <class Does>
    std::size_t count(Does&& does) const {
        return static_cast<std::size_t>(std::count_if(programs_.begin(), programs_.end(), does));
    }
    /// A question that would help some programs; `{}` is how many of all.
    void ask(std::size_t programs, std::string_view text) {
        if (programs > 0)
            parts_.questions.push_back(
                {programs, fmt::format(fmt::runtime(text), of_programs(programs, all_))});
    }

    void learn_units() {
        Tally<std::string> units;
        for (const ProgramShows& program : programs_)
            if (program.states_mm != program.states_inch)
                units.add(program.states_mm ? "mm" : "inch", program.name);
        for (const ProgramShows& program : programs_)
            if (program.assumed_unit)
                assumed_units_.add(*program.assumed_unit == codes::Meaning::inch ? "inch" : "mm",
                                   program.name);
        // Where none states a unit, by what all of them show.
        // One program that states the other unit is not what the shop measures in.
        const bool by_signs = assumed_units_.is_clear(all_, true) &&
                              (units.empty() || units.of_most() < assumed_units_.of_most());
        unit_ = {!units.empty() || by_signs,
                 (by_signs ? assumed_units_.most() == "inch" : !units.empty() && units.most() == "inch")};
        entry("", "units", toml_text(unit_.inch ? "inch" : "mm"),
              said("of the lengths in this file; ") +
                  (by_signs && !units.empty() ? said("by feeds and sizes so in ") + assumed_units_.why(all_)
                   : !units.empty()           ? said("stated in ") + units.why(all_)
                   : by_signs                 ? said("no program states a unit; by feeds and sizes so in ") +
                                    assumed_units_.why(all_)
                              : std::string(said("no program states a unit"))),
              true);
        unit_name_ = unit_.inch ? "inch" : "mm";
        ask(count([](const ProgramShows& p) { return p.moves_without_units; }),
            said("In which unit does the control read a program that states none? {} state none before they "
                 "move: "
                 "power_on_units."));
    }

    void learn_machine() {
        Tally<std::string> systems;
        Tally<int> digits;
        Tally<double> limits;
        int last_station = 0;
        for (const ProgramShows& program : programs_) {
            if (program.system)
                systems.add(std::string(1, codes::system_letter(*program.system)), program.name);
            if (program.tool_digits.size() == 1) digits.add(*program.tool_digits.begin(), program.name);
            for (const double limit : program.speed_limits) limits.add(limit, program.name);
            if (!program.stations.empty())
                last_station = std::max(last_station, program.stations.rbegin()->first);
        }
        if (!systems.empty())
            entry("machine", "system", toml_text(systems.most()), systems.why(all_),
                  systems.is_clear(all_, true));
        if (systems.values() > 1)
            ask(systems.shown(),
                said("Which programs run on which machine? {} show their G-code system, and not "
                     "all the same one: write one [[machine]] for each, with its folders."));
        else
            ask(all_ - systems.shown(),
                said("Which G-code system does the control have, A, B or C? {} do not "
                     "show it: system."));
        // One unit in every program that states none.
        const bool unit_shown = assumed_units_.is_clear(all_, true) &&
                                assumed_units_.shown() == count([](const ProgramShows& p) {
                                    return !p.states_mm && !p.states_inch && p.moves_without_units;
                                });
        entry(
            "machine", "power_on_units", toml_text(unit_shown ? assumed_units_.most() : unit_name_),
            said("the unit of a program that states none") +
                (unit_shown ? said("; by feeds and sizes so in ") + assumed_units_.why(all_) : std::string()),
            unit_shown);
        const std::size_t open = count([](const ProgramShows& p) { return p.feed_mode_open; });
        ask(open,
            said("Is the feed by the turn or by the minute after switching on? {} cut without stating it: "
                 "power_on."));
        Tally<codes::Meaning> feeds;
        for (const ProgramShows& program : programs_)
            if (program.assumed_feed_mode) feeds.add(*program.assumed_feed_mode, program.name);
        const bool one_system = !systems.empty() && systems.is_clear(all_, true);
        const std::string feed_code =
            !feeds.empty() && one_system
                ? codes::written_as(static_cast<codes::System>(systems.most()[0] - 'A'), feeds.most())
                : std::string();
        if (feed_code.empty() || !feeds.is_clear(all_, true))
            entry("machine", "power_on", "[\"G40\"]", said("codes in force after switching on"), false);
        else
            entry("machine", "power_on", "[" + toml_text(feed_code) + "]",
                  said("codes in force after switching on; by feeds and speeds so in ") + feeds.why(all_),
                  true);
        const std::size_t bare = count([](const ProgramShows& p) { return p.without_point > 0; });
        ask(bare,
            said("Is X10 ten least increments or ten whole units? {} hold lengths without a decimal point: "
                 "no_point."));
        entry("machine", "no_point", toml_text("least increments"), said("or \"whole units\""), false);
        std::string in_use;
        std::size_t told = 0;
        for (const auto& [limit, programs] : limits.counts())
            if (++told <= 8)
                in_use += (in_use.empty() ? "" : ", ") + value_in(features::plain(limit, 0), programs);
        if (told > 8) in_use += ", ...";
        ask(count([](const ProgramShows& p) { return p.surface_speed; }),
            said("What speed is the chuck with its jaws marked for? {} run at constant surface speed: "
                 "chuck_max_rpm."));
        const std::string used =
            in_use.empty() ? said("no speed limit is stated") : said("speed limits in use: ") + in_use;
        entry("machine", "chuck_max_rpm", "", used, false);
        entry("machine", "max_rpm", "", said("highest speed of the spindle"), false);
        ask(count([](const ProgramShows& p) { return p.own_time; }),
            said("How fast are the rapids, and how long does a tool change take? The times of {} are exact "
                 "with "
                 "it: rapid_x, rapid_z, tool_change_seconds, spindle_ramp."));
        const std::string unit(unit_.inch ? said("inch") : Said("mm"));
        entry("machine", "rapid_x", "", unit + said(" a minute, the slide's own rate"), false);
        entry("machine", "rapid_z", "", unit + said(" a minute"), false);
        entry("machine", "tool_change_seconds", "", said("one index of the turret"), false);
        entry("machine", "spindle_ramp", "", said("rpm gained in a second"), false);
        if (last_station > 0)
            entry("machine", "stations", std::to_string(last_station), said("the highest station called"),
                  false);
        if (!digits.empty())
            entry("machine", "tool_digits", std::to_string(digits.most()), digits.why(all_),
                  (digits.most() == 2 || digits.most() == 4) && digits.is_clear(all_, true) &&
                      digits.shown() == count([](const ProgramShows& p) { return !p.tool_digits.empty(); }));
    }

    void learn_codes() {
        std::map<std::pair<char, int>, Tally<std::string>> named;
        std::map<std::pair<char, int>, std::size_t> used;
        for (const ProgramShows& program : programs_)
            for (const auto& [code, words] : program.own_codes) {
                ++used[code];
                if (!words.empty()) named[code].add(words, program.name);
            }
        std::string nameless;
        std::size_t without_name = 0;
        for (const auto& [code, programs] : used) {
            const std::string key = fmt::format("{}{:02}", code.first, code.second);
            const std::string section = code.first == 'M' ? "machine.m_codes" : "machine.g_codes";
            if (const auto told = named.find(code); told != named.end()) {
                entry(section, key, toml_text(told->second.most()),
                      said("in {}; so called in {}", plural(programs, "program"), told->second.why(programs)),
                      told->second.is_clear(programs));
                const std::string name = told->second.most();
                const std::string does = code.first == 'M' ? effect_by_name(code.second, name) : "";
                if (!does.empty())
                    entry(section, key,
                          fmt::format("{{ name = {}, does = {} }}", toml_text(name), toml_text(does)),
                          said("what it does by its name: put it for the line above, if so"), false);
                continue;
            }
            entry(section, key, "", said("in {}; no note tells what it does", plural(programs, "program")),
                  false);
            nameless += (nameless.empty() ? "" : ", ") + key;
            without_name = std::max(without_name, programs);
        }
        if (without_name > 0)
            ask(without_name, said("What do these codes do on this machine: ") + nameless +
                                  said("? No note tells it, and {} use the commonest: m_codes, g_codes."));
    }

    void learn_tools() {
        struct Station {
            Tally<std::string> kinds, notes;
            Tally<double> diameters, nose_radii, widths, points;
            std::map<int, std::size_t> offsets;
            std::size_t programs = 0;
        };
        std::map<int, Station> stations;
        for (const ProgramShows& program : programs_)
            for (const auto& [number, shown] : program.stations) {
                Station& station = stations[number];
                ++station.programs;
                if (shown.kinds.size() == 1) station.kinds.add(*shown.kinds.begin(), program.name);
                for (const std::string& kind : shown.kinds)
                    if (shown.kinds.size() > 1) station.kinds.add(kind, program.name);
                const auto size = [&](Tally<double>& sizes, const std::set<double>& seen) {
                    if (seen.size() == 1) sizes.add(*seen.begin(), program.name);
                };
                size(station.diameters, shown.diameters_mm);
                size(station.nose_radii, shown.nose_radii_mm);
                size(station.widths, shown.widths_mm);
                size(station.points, shown.point_angles_deg);
                if (!shown.note.empty()) station.notes.add(shown.note, program.name);
                for (const int offset : shown.offsets) ++station.offsets[offset];
            }
        ask(count([](const ProgramShows& p) {
                return std::any_of(p.stations.begin(), p.stations.end(),
                                   [](const auto& station) { return station.second.compensated; });
            }),
            said("Which nose radius and tip direction has each turning tool? {} cut with nose radius "
                 "compensation: nose_radius, tip_direction."));
        for (const auto& [number, station] : stations) {
            const std::string section = fmt::format("tool {}", number);
            entry(section, "station", std::to_string(number),
                  said("called in ") + plural(station.programs, "program"), true);
            if (!station.notes.empty()) {
                std::string others;
                for (const auto& [note, programs] : station.notes.counts())
                    if (note != station.notes.most() && others.size() < 60)
                        others += "; " + features::readable(note);
                entry(section, "note", toml_text(station.notes.most()),
                      of_programs(station.notes.of_most(), station.programs) + others,
                      // The note of one job is no name for the tool in all others.
                      station.notes.is_clear(all_, true) && station.notes.of_most() * 10 >= all_ * 9);
            }
            if (!station.kinds.empty()) {
                std::string met;
                for (const auto& [kind, programs] : station.kinds.counts())
                    met += (met.empty() ? "" : ", ") + value_in(kind, programs);
                entry(section, "kind", toml_text(station.kinds.most()), met,
                      station.kinds.is_clear(all_, true) && station.kinds.shown() == station.programs);
            }
            const auto size = [&, &met_at = station](std::string key, const Tally<double>& sizes) {
                if (sizes.empty()) return;
                entry(section, std::move(key), unit_.written(sizes.most()), sizes.why(met_at.programs),
                      sizes.is_clear(all_, true) && sizes.shown() == met_at.programs);
            };
            size("diameter", station.diameters);
            size("nose_radius", station.nose_radii);
            size("width", station.widths);
            if (!station.points.empty())
                entry(section, "point_angle", features::plain(station.points.most()),
                      station.points.why(station.programs),
                      station.points.is_clear(all_, true) && station.points.shown() == station.programs);
            std::string offsets, why;
            for (const auto& [offset, programs] : station.offsets) {
                offsets += (offsets.empty() ? "" : ", ") + std::to_string(offset);
                why += (why.empty() ? "" : ", ") + value_in(std::to_string(offset), programs);
            }
            if (station.offsets.size() > 1 || (!offsets.empty() && !station.offsets.contains(number)))
                entry(section, "offsets", "[" + offsets + "]", why, false);
        }
    }

    void learn_habit(std::string_view key, Habit ProgramShows::*habit) {
        Tally<bool> kept;
        for (const ProgramShows& program : programs_)
            if (const auto value = (program.*habit).kept()) kept.add(*value, program.name);
        if (!kept.empty())
            // What half of the programs show is no habit of the shop yet.
            entry("house", std::string(key), kept.most() ? "true" : "false", kept.why(all_),
                  kept.is_clear(all_) && kept.of_most() * 3 >= all_ * 2);
    }

    void learn_distance(std::string_view key, std::optional<double> ProgramShows::*distance) {
        Tally<double> distances;
        for (const ProgramShows& program : programs_)
            if (program.*distance) distances.add(*(program.*distance), program.name);
        if (distances.empty()) return;
        std::string others;
        for (const auto& [mm, programs] : distances.counts())
            if (mm != distances.most() && others.size() < 60)
                others += ", " + value_in(unit_.written(mm), programs);
        entry("house", std::string(key), unit_.written(distances.most()),
              of_programs(distances.of_most(), all_) + others,
              unit_.known && distances.of_most() * 3 >= distances.shown() * 2 &&
                  // As of habits: what half of the programs show is none yet.
                  distances.of_most() * 3 >= all_ * 2 && (distances.of_most() >= 2 || all_ == 1));
    }

    void learn_safety_line() {
        std::size_t with = 0;
        const std::vector<std::string>* fullest = nullptr;
        std::map<std::string, std::size_t> codes;
        for (const ProgramShows& program : programs_) {
            if (program.safety_line.size() < 2) continue;
            ++with;
            for (const std::string& code : std::set(program.safety_line.begin(), program.safety_line.end()))
                ++codes[code];
            if (!fullest || program.safety_line.size() > fullest->size()) fullest = &program.safety_line;
        }
        if (!fullest) return;
        std::string line;
        std::size_t in_all = 0, least = with;
        for (const std::string& code : *fullest) {
            if (codes[code] * 10 < with * 9) continue;
            line += (in_all++ == 0 ? "" : ", ") + toml_text(code);
            least = std::min(least, codes[code]);
        }
        if (in_all < 2) return;
        entry("house", "safety_line", "[" + line + "]",
              said("{}; {} have a safety line", of_programs(least, all_), with), least >= 2 || all_ == 1);
    }

    void learn_house() {
        learn_safety_line();
        learn_habit("number_is_tool", &ProgramShows::number_is_tool);
        learn_habit("optional_stop", &ProgramShows::optional_stop);
        learn_habit("sequence_note", &ProgramShows::sequence_note);
        learn_habit("two_step_approach", &ProgramShows::two_steps);
        learn_distance("first_approach", &ProgramShows::first_approach_mm);
        learn_distance("second_approach", &ProgramShows::second_approach_mm);
        learn_habit("return_in_machine_datum", &ProgramShows::machine_return);
        learn_habit("coolant_off_first", &ProgramShows::coolant_first);
    }

    const Programs& programs_;
    std::size_t all_;
    FileUnit unit_;
    std::string unit_name_;
    Tally<std::string> assumed_units_; ///< Of programs that state none
    LearntParts parts_;
};

} // namespace

LearntParts learnt_from(const Programs& programs) {
    return Learner(programs).learn();
}

} // namespace turnwright::report
