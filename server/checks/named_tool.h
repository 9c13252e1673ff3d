// What notes call a tool, a thread, a machine code.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks {

struct NamedTool {
    enum class Kind : std::uint8_t {
        none,
        turn, ///< Rough, finish, face
        bore,
        groove, ///< Undercuts and reliefs, too
        part_off,
        thread,
        drill,
        centre, ///< Centre and spot drills
        tap,
        ream,
        stop, ///< Bar stop, bar puller
    } kind = Kind::none;
    bool live = false, high_speed_steel = false, carbide = false, through = false;
    double diameter = 0;               ///< Drill, tap, reamer; 0: not told
    bool diameter_in_inch = false;     ///< Certainly; else the program's unit
    std::string thread;                ///< As written
    double pitch_mm = 0, major_mm = 0; ///< Of the thread; 0: not told
    bool pointed = false;              ///< An insert with the angle of its corner, and no kind: "35 DEG"
    bool tapered = false, many_starts = false, left_hand = false;
    std::string word; ///< The word that tells the kind
    bool operator==(const NamedTool&) const = default;
    bool is_empty() const {
        return kind == Kind::none && thread.empty() && diameter == 0 && pitch_mm == 0 && !pointed;
    }
    std::optional<double> diameter_mm(double mm_per_unit) const;
};
NamedTool tool_named(std::string_view note);
/// A word for a bar puller.
bool names_puller(std::string_view word);
/// "drill", "tap": for a message.
std::string_view kind_title(NamedTool::Kind kind);

/// What a note says of stations: "T1 ROUGH R0.8 / T3 FINISH".
std::vector<std::pair<std::int32_t, NamedTool>> tools_listed(std::string_view note);

/// An M code of the machine's builder, as the shop file or a note tells it: "M10 COLLET OPEN".
struct MachineCode {
    enum class Does : std::uint8_t {
        other,
        clamp_open,
        clamp_close,
        quill_out,
        quill_back,
        bar_feed, ///< Of the shop file alone
        second_open,
        second_close,
        c_on,
        c_off,
        brake_on,
        brake_off,
        live_on,
        live_off,
        joined, ///< Both spindles turn together
        parted,
        catcher_out,
        catcher_back,
        pushes_out,    ///< The part, out of the second chuck
        puller_closed, ///< On the bar; this and below of the shop file alone
        puller_open,
        stop_out, ///< Of the bar
        stop_in,
    } does = Does::other;
    int number = 0;
    std::string words; ///< "COLLET OPEN"
    bool by_shop_file = false;
    int p = -1;             ///< With this P alone; -1: whatever stands beside it
    bool of_second = false; ///< A C axis: of the second spindle
    bool operator==(const MachineCode&) const = default;
};
MachineCode::Does does_of(codes::Meaning meaning);
/// `alone`: the M code of the note's own block, for a note that names none, and the P beside it; -1: none.
std::vector<MachineCode> codes_named(std::string_view note, int alone, int alone_p = -1);

bool speaks_of_tailstock(std::string_view note);

/// Names of threads in a note: "M48X2", "3/4-16 UNF".
std::vector<std::string> threads_named(std::string_view note);

} // namespace turnwright::checks
