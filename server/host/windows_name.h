// What Windows says of an open file. Only for the files of this room that are built there.
#pragma once

#include <string>
#include <windows.h>

namespace turnwright::host {

/// Its full name with a small drive letter, no links in it; empty on failure.
std::wstring final_name(HANDLE file);

} // namespace turnwright::host
