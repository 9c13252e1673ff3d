// What a cut asks of spindle and surface, estimated, in words: for the hover and the setup sheet.
#pragma once

#include "features/document.h"

namespace turnwright::features {

struct BlockLoad {
    enum class Known : std::uint8_t {
        not_a_cut,     ///< No feed move, a thread, a live tool
        cuts,          ///< `estimate` has a depth
        takes_nothing, ///< The stock is known and is not touched
        depth_varies,  ///< It cuts, and how deep changes along the way
        depth_unknown, ///< `why` says it
    } known = Known::not_a_cut;
    stock::Estimate estimate;
    std::string why; ///< "neither the shop file nor a stock note gives the stock"
};
BlockLoad load_of(const Document& document, machine::BlockPlace place, const machine::BlockView& view,
                  const motion::BlockPath& path);

/// Of the program that holds the place; nullptr: in none that is followed.
const stock::ProgramCourse* stock_course_at(const Document& document, machine::BlockPlace place);
/// "C45" as the shop file or the stock note gives it; empty when neither does.
std::string material_given(const Document& document, machine::BlockPlace place);
/// Why there is no row for the material; empty when there is one.
std::string why_no_material(const Document& document, machine::BlockPlace place);

/// "4.7 kW at the spindle, 5.9 of the motor's 11 kW"
std::string power_words(const stock::Estimate& load, const shop::Machine& machine);
/// "62 Nm of 140"
std::string torque_words(const stock::Estimate& load, const shop::Machine& machine);
/// "101 cm3/min", "6.2 in3/min"
std::string removal_words(double cm3_per_min, bool inch);
/// "9.8 um", "385 uin", with the proper signs
std::string height_words(double um, bool inch);
std::string depth_words(double mm, bool inch);

} // namespace turnwright::features
