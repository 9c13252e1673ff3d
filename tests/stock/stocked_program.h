// Programs in tests: text and shop file in, the course through the stock out.
#pragma once

#include "stock/stock.h"

#include <algorithm>
#include <catch2/catch.hpp>

namespace turnwright::stock {

struct StockedProgram {
    StockedProgram(std::string_view program, std::string_view shop_file,
                   codes::System system = codes::System::A)
        : shop(shop::parse_shop(shop_file, "turnwright.toml")), buffer(program), forest(buffer),
          settings(machine::choose_settings(shop.machines.front(), {})) {
        for (const shop::Problem& problem : shop.problems) FAIL(problem.message);
        settings.system = system;
        analysis.rebuild(forest, settings, nullptr);
        outline = machine::outline(analysis);
        course.follow(analysis, shop, outline);
    }

    /// Replaces the first `what` of the text by `with`, as an editor would.
    void edit(std::string_view what, std::string_view with) {
        std::string text = buffer.whole();
        std::size_t at = text.find(what);
        REQUIRE(at != std::string::npos);
        auto place = [&](std::size_t byte) {
            auto line = std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(byte), '\n');
            std::size_t start = byte == 0 ? std::string::npos : text.rfind('\n', byte - 1);
            std::size_t column = start == std::string::npos ? byte : byte - start - 1;
            return text::Position{static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(column)};
        };
        text::Splice splice = buffer.replace({place(at), place(at + what.size())}, with);
        forest.update(buffer, splice);
        analysis.update(forest, splice);
        outline = machine::outline(analysis);
        course.follow(analysis, shop, outline);
    }

    const ProgramCourse& program() const { return course.programs().front(); }
    const SequenceCourse& sequence(std::size_t index) const { return program().sequences.at(index); }
    /// Line from 1 as an editor shows it.
    std::size_t line(BlockPlace place) const {
        return buffer.first_line_of_leaf(place.run) + place.block + 1;
    }
    std::vector<std::pair<std::size_t, Event>> events() const {
        std::vector<std::pair<std::size_t, Event>> all;
        for (const ProgramCourse& each : course.programs())
            for (const SequenceCourse& sequence : each.sequences)
                for (const Event& event : sequence.events)
                    all.emplace_back(line(sequence.place(event.block)), event);
        return all;
    }
    bool has(EventKind kind, std::size_t at_line) const {
        for (const auto& [line, event] : events())
            if (event.kind == kind && line == at_line) return true;
        return false;
    }
    const Event& only_event() const {
        for (const SequenceCourse& sequence : program().sequences)
            if (!sequence.events.empty()) return sequence.events.front();
        FAIL("no event");
        throw 0;
    }

    shop::Shop shop;
    text::Buffer buffer;
    syntax::Forest forest;
    machine::Settings settings;
    machine::Analysis analysis;
    machine::Outline outline;
    Course course;
};

/// A shop with the usual tools: 1 rougher, 2 drill, 3 finisher, 4 boring bar, 5 groover, 7 threader, 9
/// parter.
inline constexpr std::string_view tools_and_stock = R"(
units = "mm"
[[machine]]
name = "m"
no_point = "whole units"
[[tool]]
station = 1
kind = "turning"
hand = "right"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
max_depth = 4
[[tool]]
station = 2
kind = "drill"
diameter = 8.5
point_angle = 118
[[tool]]
station = 3
kind = "turning"
hand = "right"
nose_radius = 0.4
tip_direction = 3
approach_angle = 93
back_angle = 32
[[tool]]
station = 4
kind = "boring"
hand = "right"
nose_radius = 0.4
tip_direction = 2
approach_angle = 95
back_angle = 5
diameter = 16
[[tool]]
station = 5
kind = "grooving"
width = 3
nose_radius = 0
tip_direction = 3
[[tool]]
station = 7
kind = "threading"
[[tool]]
station = 9
kind = "parting"
width = 3
nose_radius = 0.2
tip_direction = 3
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -140
jaw_front_z = -92
jaw_diameter = 160
material = "C45"
)";

} // namespace turnwright::stock
