// For a process in which nobody edits: what is kept there is never asked whether it still holds.
#pragma once

namespace turnwright::machine {

/// From here on no reader logs what it was asked. Before the first program is read, and for good: after an
/// edit every program would have to be read anew.
void log_no_reads();

} // namespace turnwright::machine
