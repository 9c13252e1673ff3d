// Inside two_paths: where the tools of both paths are at each moment between two waits, and whether whole
// tools meet there.
#pragma once

#include "checks/two_paths.h"
#include "stock/solid.h"

namespace turnwright::checks {

struct Moment {
    double from = 0, to = 0; ///< s since the wait
};
/// The way of one tool point.
struct PathWay {
    /// One straight piece; a tool that stands goes nowhere.
    struct Leg {
        Moment time;
        motion::Point from, to;
        std::optional<std::size_t> block; ///< Of the path; nullopt: from before the wait
        int station = -1;                 ///< -1: where it is, is not known
        std::uint16_t datum = 0;
        double slack_s = 0; ///< How much earlier or later it may come than is counted
    };
    std::vector<Leg> legs;       ///< In order of time; places between them are not known
    std::vector<Moment> moments; ///< Of each block, as far as times are known
    bool is_timed = true;        ///< To the end
    bool stays = false;          ///< In one known place, whatever the times
    /// Where it is at a time, as it stays behind the last leg; nullopt: not known.
    const Leg* leg_at(double seconds) const;
    static motion::Point place_in(const Leg& leg, double seconds);
};
PathWay way_of(const TwoPaths& two, const PathStretch& stretch, std::size_t p, const machine::Reader& reader);

/// Whether the shop file tells bodies of tools of both.
bool may_have_bodies(const TwoPaths& two, const PathStretch& stretch, const shop::Shop& shop);
struct BodiesSeen {
    std::optional<PathsApart> apart;
    struct Hit {
        double depth_mm = 0;
        std::optional<double> seconds;
        std::array<std::optional<std::size_t>, 2> block;
        std::array<stock::SolidPart::What, 2> part{};
        std::array<int, 2> station{}, beside{};
        std::array<motion::Point, 2> at{};
        std::array<bool, 2> by_note{}; ///< A drill of which the note alone tells
    };
    std::optional<Hit> hit; ///< The first
};
BodiesSeen look_at_bodies_of(const PathWay& one, const PathWay& other, const TwoPaths& two,
                             const PathStretch& stretch, const shop::Shop& shop);
/// "the holder of T03".
std::string body_title(stock::SolidPart::What what, int station, int beside);

} // namespace turnwright::checks
