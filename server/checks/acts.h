// What a sequence's tool does, short enough to keep: rules that compare tools with each other, with the notes
// that name them and with what the trade knows read this and nothing else.
#pragma once

#include "checks/named_tool.h"
#include "checks/noted_jaws.h"

namespace turnwright::checks {

/// A value that is not known.
inline constexpr float not_known = -1e30F;
inline bool known(float value) {
    return value > not_known;
}

struct ActWord {
    char letter = 0;
    bool has_point = false;
    std::int8_t p = -1; ///< Of an M word: the P of its block, a spindle or a path; -1: none
    double number = 0;
    bool operator==(const ActWord&) const = default;
};

/// One block that is read and has words. Lengths in program units, X as radius.
struct Act {
    Near place;
    machine::MotionKind motion = machine::MotionKind::none;
    codes::Meaning meaning = codes::Meaning::rapid; ///< Of the motion; dwell; valid with `motion` or `dwells`
    bool dwells = false, ends_program = false, returns = false; ///< G04; M02 M30; M99
    bool moves_x = false, moves_z = false, in_contour = false, deleted = false;
    bool calls_program = false; ///< M98, G65 ...: its words are handed over
    bool gives_feed = false, gives_speed = false, gives_limit = false, calls_tool = false,
         incremental = false, by_u = false, by_w = false;
    std::uint8_t unit = 0, feed_mode = 0, spindle_mode = 0; ///< Possible members of their groups
    std::uint8_t direction = 0, coolant = 0;                ///< The same
    std::uint16_t datum = 0;                                ///< The same
    /// Which one direction, speed, mode and limit are of; nullopt: not known.
    std::optional<machine::Spindle> spindle = machine::Spindle::main;
    bool polar = false, cylinder = false; ///< X and C are a plane, Z and C lie on a cylinder
    bool part_stands = false;             ///< Behind it, for certain
    bool turns_part = false; ///< Its C or H turns the part: no chamfer, no letter of another code
    float to_c = not_known, to_y = not_known;
    std::int32_t number = -1; ///< N
    std::uint32_t groups = 0; ///< A bit a group that a code in the block sets
    float from_x = not_known, from_z = not_known;
    float to_x = not_known, to_z = not_known; ///< Target: of a cycle, where it cuts to
    float feed = not_known, speed = not_known, speed_limit = not_known;
    std::uint32_t first_word = 0,
                  words = 0; ///< M T B C H Y V, P beside M03; all but N of cycle, dwell or call
    bool operator==(const Act&) const = default;

    bool states(codes::Group group) const { return groups >> static_cast<unsigned>(group) & 1u; }
    static bool only(std::uint8_t possible, codes::Meaning meaning) {
        return possible == 1u << codes::member_of(meaning);
    }
    bool inch() const { return only(unit, codes::Meaning::inch); }
    bool millimetre() const { return only(unit, codes::Meaning::millimetre); }
    bool per_rev() const { return only(feed_mode, codes::Meaning::feed_per_rev); }
    bool per_minute() const { return only(feed_mode, codes::Meaning::feed_per_minute); }
    bool rpm() const { return only(spindle_mode, codes::Meaning::constant_rpm); }
    bool surface_speed() const { return only(spindle_mode, codes::Meaning::surface_speed); }
    bool stopped() const { return only(direction, codes::Meaning::spindle_stop); }
    bool turns() const {
        return only(direction, codes::Meaning::spindle_forward) ||
               only(direction, codes::Meaning::spindle_reverse);
    }
    bool moves() const { return moves_x || moves_z; }
    bool taps() const {
        return motion == machine::MotionKind::drill_cycle &&
               (meaning == codes::Meaning::tap_face || meaning == codes::Meaning::tap_side);
    }
    bool drills() const;  ///< A drilling cycle, or pecks on the face on the centre
    bool threads() const; ///< A pass or a cycle; of a cycle in two lines the second
    bool cuts() const;    ///< Any cut at a feed that its F gives, no thread
};

/// More blocks, or notes, than a hand writes for one tool: of a sequence no more is kept, to bound the
/// memory, and so many are compared with what other tools do (features/hover_parts.h tells it).
inline constexpr std::size_t most_acts = 2000;

struct Acts {
    std::vector<Act> acts;
    std::vector<ActWord> words;
    NamedTool named;                                        ///< By the notes above its first cut
    std::vector<std::pair<std::int32_t, NamedTool>> listed; ///< Stations that its notes speak of
    std::vector<MachineCode> codes;                         ///< M codes whose meaning a note tells
    std::vector<std::string> thread_names;                  ///< In any of its notes
    std::vector<NotedJaws> jaws;                            ///< What its notes tell of them
    bool has_threads = false, has_taps = false, has_drilling = false, has_dwells = false,
         calls_programs = false;
    bool cuts_not_by_turns = false;      ///< At a feed that is not by the revolution
    bool cuts_turning_by_minute = false; ///< By the minute, and not with the spindle stopped
    bool speaks_to_second = false;       ///< Some block's S, M03 or mode is the second spindle's
    bool has_tailstock = false;          ///< A note speaks of tailstock, quill or live centre
    // So that a rule need not go over spans that do not concern it.
    bool states_inch = false, states_millimetre = false;
    float largest_feed = 0; ///< Of cuts, not by the minute
    /// Feeds by the revolution under inches, those above 0.06 in of them, and the first such.
    std::uint32_t inch_feeds = 0, large_inch_feeds = 0;
    float large_inch_feed = 0;
    bool has_large_feed = false; ///< Above 3 mm or 0.12 in a revolution
    bool by_minute = false;      ///< Feeds by the minute stand in it
    std::uint32_t tool_calls = 0;
    bool whole = true; ///< False: longer than is kept
    bool operator==(const Acts&) const = default;

    std::span<const ActWord> words_of(const Act& act) const {
        return std::span(words).subspan(act.first_word, act.words);
    }
    const ActWord* word(const Act& act, char letter) const;
    /// Whether one of these letters stands, also where its value is not known.
    bool has_letter(const Act& act, std::string_view letters) const;
    bool has_code(const Act& act, char letter, double number) const;
};

class ActsFolder {
public:
    ActsFolder(Acts& work, BlockPlace first) : work_(work), first_(first) {}
    void take(const machine::BlockView& view);
    void finish();

private:
    void list(std::int32_t station, NamedTool tool);
    /// The only M code of a block and the P beside it; -1: none, or several.
    struct MCode {
        int number = -1;
        std::int8_t p = -1;
    };
    MCode keep(Act act, const machine::Reading& reading);
    void sum_up(const Act& act);
    Acts& work_;
    BlockPlace first_;
    std::string above_; ///< Notes above the first cut
    std::vector<std::string> notes_;
    bool has_cut_ = false;
};

/// The tool of a span: by its own notes, by the tool list of its program's head or the first of the file.
struct ToolOfSpan {
    const Span* span = nullptr;
    const Acts* work = nullptr;
    const NamedTool* own = nullptr;    ///< Never nullptr
    const NamedTool* listed = nullptr; ///< Never nullptr; empty where no list speaks of it
    std::int32_t station = -1;
    /// The first of them that tells it, its own first; nullptr: neither.
    template <class Tells>
    const NamedTool* that(Tells&& tells) const {
        if (tells(*own)) return own;
        return tells(*listed) ? listed : nullptr;
    }
    bool is(NamedTool::Kind kind) const {
        return own->kind == kind || (own->kind == NamedTool::Kind::none && listed->kind == kind);
    }
    BlockPlace place(const Act& act) const { return span->place(act.place); }
};
/// The code word of an act's motion, else its whole block.
Report::Entry report_at_code(Report& report, const FileContext& context, const ToolOfSpan& tool,
                             const Act& act);
/// False for a file longer than a hand writes; else the whole text is logged, for rules that look at the
/// acts.
bool reads_acts(const FileContext& context);
/// Every span with its tool, heads too, in order. Of a file longer than a hand writes none, unless
/// `any_length`: what rules compare over it would be gone through at every key. A rule of any length that
/// looks at the acts of a tool, and not only at what is held of them in short, asks for the whole text
/// before.
std::vector<ToolOfSpan> tools_of(const FileContext& context, bool any_length = false);
std::vector<ToolOfSpan> tools_of(std::span<const Span> spans);
/// The number that M98 or G65 calls, with a count packed before it or not; nullopt: the block calls none so.
std::optional<int> number_called(const Acts& work, const Act& act);
/// Calls `look` with the tools of each program in turn, subprograms too.
template <class Look>
void for_each_program(std::span<const ToolOfSpan> tools, Look&& look) {
    for (std::size_t first = 0, end = 0; first < tools.size(); first = end) {
        while (end < tools.size() && tools[end].span->program == tools[first].span->program) ++end;
        look(tools.subspan(first, end - first));
    }
}
/// The same without subprograms.
template <class Look>
void for_each_main_program(std::span<const ToolOfSpan> tools, Look&& look) {
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (!program[0].span->program->is_subprogram) look(program);
    });
}
/// What the shop file says of machine codes, and of the others all that the notes of the file say, the
/// head's first.
std::vector<MachineCode> codes_told(const FileContext& context);
std::vector<MachineCode> codes_told(std::span<const Span> spans, const shop::Machine& machine);
/// What the code of an M word does; nullptr: it tells nothing, or two things.
const MachineCode* told_code(const ActWord& word, const std::vector<MachineCode>& codes);
/// Places among the spans of those with a block whose code does this.
std::vector<std::size_t> spans_giving(std::span<const Span> spans, const shop::Machine& machine,
                                      MachineCode::Does does);
/// The thread that a span cuts, by its notes, its tool's, or the only one the file speaks of.
struct NamedThread {
    std::string name;
    double lead_mm = 0, major_mm = 0; ///< Major 0: not told
    bool tapered = false;
    int starts = 1;
    double pitch_mm() const { return lead_mm / starts; }
};
std::optional<NamedThread> thread_of(const ToolOfSpan& tool, const std::vector<ToolOfSpan>& tools);
/// mm in a program unit: as stated, else as assumed of the whole program; nullopt where neither tells, or the
/// feeds speak against it.
std::optional<double> unit_of_file(const FileContext& context, std::span<const ToolOfSpan> tools);
/// Of an act, the stated one first.
std::optional<double> mm_of(const Act& act, std::optional<double> of_file);
/// How a feed counts: as stated, else as assumed of the program. Neither tells: neither of the two.
bool goes_by_turn(const Act& act, const machine::Settings& settings);
bool goes_by_minute(const Act& act, const machine::Settings& settings);

} // namespace turnwright::checks
