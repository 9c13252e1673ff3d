// Any bytes as a shop file: no crash, no hang, and every problem lies inside the text.
#include "shop/shop.h"

#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace turnwright::shop;
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const Shop shop = parse_shop(text, "/shop/turnwright.toml");
    if (shop.machines.empty() || shop.problems.size() > most_problems) std::abort();
    for (const Problem& problem : shop.problems) {
        std::string_view rest = text;
        for (std::size_t line = 0; line < problem.line; ++line) {
            const std::size_t end = rest.find('\n');
            if (end == std::string_view::npos) std::abort();
            rest.remove_prefix(end + 1);
        }
        if (problem.column > rest.substr(0, rest.find('\n')).size() || problem.message.empty()) std::abort();
    }
    for (const Machine& machine : shop.machines)
        if (machine.max_rpm && !(*machine.max_rpm > 0)) std::abort();
    for (const Tool& tool : shop.tools)
        if (tool.station < 1 || (tool.nose_radius_mm && !(*tool.nose_radius_mm >= 0))) std::abort();
    (void)shop.machine_for("/shop/jobs/p.nc", "long bed");
    return 0;
}
