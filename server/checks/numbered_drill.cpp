// Drills that go by a number or a letter.
#include "checks/noted_tool.h"
#include "checks/noted_words.h"
#include "motion/motion.h"

namespace turnwright::checks {

std::optional<double> numbered_drill_mm(std::string_view name) {
    // ANSI B94.11M, from memory; thousandths of an inch times ten, number 1 to 60 and A to Z.
    constexpr int numbers[] = {2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890,
                               1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610, 1590, 1570, 1540, 1520,
                               1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160, 1130, 1110, 1100, 1065,
                               1040, 1015, 995,  980,  960,  935,  890,  860,  820,  810,  785,  760,
                               730,  700,  670,  635,  595,  550,  520,  465,  430,  420,  410,  400};
    constexpr int letters[] = {2340, 2380, 2420, 2460, 2500, 2570, 2610, 2660, 2720, 2770, 2810, 2900, 2950,
                               3020, 3160, 3230, 3320, 3390, 3480, 3580, 3680, 3770, 3860, 3970, 4040, 4130};
    if (name.size() == 1 && name[0] >= 'A' && name[0] <= 'Z')
        return letters[name[0] - 'A'] / 1e4 * motion::mm_per_inch;
    const auto size = size_in(name);
    if (!size || size->unit != Size::Unit::none || name.find('.') != std::string_view::npos)
        return std::nullopt;
    const int number = size->number <= 60 ? static_cast<int>(size->number) : 0;
    if (number < 1) return std::nullopt;
    return numbers[number - 1] / 1e4 * motion::mm_per_inch;
}

} // namespace turnwright::checks
