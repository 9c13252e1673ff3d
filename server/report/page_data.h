// Inside the report room: what the picture's page draws from, as JSON.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

/// Safe inside a script element. Lengths in thousandths of a millimetre, X as radius, lines from 0.
std::string page_data(const features::Document& document, const Picture& picture, const DrawnStock& stock);

} // namespace turnwright::report
