// A job file written from what is assumed of a program's stock and tools.
#pragma once

#include "features/document.h"

#include <string>

namespace turnwright::report {

/// Stock and tools as the notes and the moves of the program tell them, in the program's unit, each with its
/// reason; empty where nothing is assumed. What a file tells already is left to it.
std::string job_file_text(const features::Document& document);
/// Whether it may hold anything: no file tells the stock, or a station that the program calls.
bool may_write_job(const features::Document& document);

} // namespace turnwright::report
