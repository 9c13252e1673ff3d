// One thing the machine does: whether two are the same, and how it is told.
#include "features/block_at.h"
#include "features/speech.h"
#include "language/said.h"
#include "report/compare.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using features::plain;

namespace {

std::string length(double mm, LengthUnit unit) {
    return checks::written(unit == LengthUnit::inch ? mm / motion::mm_per_inch : mm);
}

std::string setting_text(const Action& action, const features::Document& document, LengthUnit unit) {
    const bool inch = unit == LengthUnit::inch;
    const auto& number = action.numbers;
    switch (action.subject) {
    case tool:
        if (number[0] < 0 || number[1] < 0) return said("tool ") + action.words;
        return said("tool T{:02.0f} with offset {:.0f}", number[0], number[1]);
    case spindle: {
        if (number[0] < 0) return said("spindle speed: G96 or G97 not known");
        if (number[0] == 0)
            return number[2] < 0 ? said("G97, rpm not known") : said("G97 {} rpm", plain(number[2]));
        if (number[1] < 0) return said("G96, surface speed not known");
        return inch ? fmt::format("G96 {} ft/min", plain(number[1] / (12 * motion::mm_per_inch / 1000), 2))
                    : fmt::format("G96 {} m/min", plain(number[1], 2));
    }
    case speed_limit:
        return number[0] < 0    ? said("speed limit not known")
               : number[0] == 0 ? said("no speed limit")
                                : said("speed limit {} rpm", plain(number[0], 0));
    case feed: {
        if (number[1] < 0) return said("feed not known");
        const auto mode = static_cast<motion::Feed::Mode>(static_cast<int>(number[0]));
        if (mode == motion::Feed::Mode::inverse_time)
            return said("feed {} inverse time", plain(number[1], 5));
        return said("feed {} {}{}", plain(inch ? number[1] / motion::mm_per_inch : number[1], 5),
                    inch ? "in" : "mm",
                    mode == motion::Feed::Mode::per_rev      ? said("/rev")
                    : mode == motion::Feed::Mode::per_minute ? "/min"
                                                             : said(", a turn or a minute not known"));
    }
    default:
        break;
    }
    const Group group = compared_groups[action.subject - first_group];
    const machine::Modal modal{static_cast<std::uint16_t>(number[0]), machine::Why::known};
    if (modal.possible == 0) return said("{} not known", codes::group_title(group));
    return features::modal_text(modal, group, document.settings());
}

} // namespace

bool same_action(const Action& a, const Action& b, Nearness nearness) {
    if (a.kind != b.kind || a.subject != b.subject || a.block_delete != b.block_delete) return false;
    const auto same_values = [&] {
        return std::equal(a.values.begin(), a.values.end(), b.values.begin(), b.values.end(),
                          [&](double x, double y) { return std::abs(x - y) <= nearness.z_mm; });
    };
    const auto near = [&](std::size_t i, double within) {
        return std::abs(a.numbers[i] - b.numbers[i]) <= within;
    };
    // One and the same cycle or end has several forms: with other letters its moves tell.
    if (a.kind == Action::Kind::cycle)
        return a.numbers[0] == b.numbers[0] &&
               (a.words == b.words ? same_values() : near(1, nearness.x_mm) && near(2, nearness.z_mm));
    if (a.words != b.words) return false;
    switch (a.kind) {
    case Action::Kind::rapid:
    case Action::Kind::line:
        return near(0, nearness.x_mm) && near(1, nearness.z_mm);
    case Action::Kind::arc: // I and K are rounded: the middle of the same arc may lie a little off.
        return near(0, nearness.x_mm) && near(1, nearness.z_mm) && near(2, nearness.x_mm + 0.001) &&
               near(3, nearness.z_mm + 0.001);
    case Action::Kind::thread:
        return near(0, nearness.x_mm) && near(1, nearness.z_mm) && near(4, 1e-5);
    case Action::Kind::dwell:
        return near(5, 1e-6);
    case Action::Kind::setting:
        for (std::size_t i = 0; i < a.numbers.size(); ++i)
            if (!near(i, 1e-6 + std::abs(a.numbers[i]) * 1e-6)) return false;
        return true;
    case Action::Kind::as_written:
        return same_values();
    case Action::Kind::cycle:
        break;
    }
    return false;
}

std::string action_text(const Action& action, const features::Document& document, LengthUnit unit) {
    const bool diameter = document.settings().machine.x == shop::XReading::diameter;
    const auto point = [&] {
        return fmt::format("X{} Z{}", length(action.numbers[0] * (diameter ? 2 : 1), unit),
                           length(action.numbers[1], unit));
    };
    std::string out = action.block_delete == 0   ? ""
                      : action.block_delete == 1 ? said("with block delete off: ")
                                                 : said("with block delete {} off: ", action.block_delete);
    switch (action.kind) {
    case Action::Kind::rapid:
        return out + said("rapid to ") + point();
    case Action::Kind::line:
        return out + said("feed to ") + point();
    case Action::Kind::arc:
        return out + said("arc to {} by way of X{} Z{}", point(),
                          length(action.numbers[2] * (diameter ? 2 : 1), unit),
                          length(action.numbers[3], unit));
    case Action::Kind::thread:
        return out + said("thread to {}, lead {}", point(), length(action.numbers[4], unit));
    case Action::Kind::dwell:
        return out + said("dwell {} s", plain(action.numbers[5], 3));
    case Action::Kind::as_written:
        return out + (action.shown.empty() ? action.words : action.shown);
    case Action::Kind::cycle:
        return out + action.shown;
    case Action::Kind::setting:
        return out + setting_text(action, document, unit);
    }
    return out;
}

} // namespace turnwright::report
