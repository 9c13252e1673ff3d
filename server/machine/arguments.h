// The letters of a macro call.
#pragma once

namespace turnwright::machine {

/// The local variable that a letter of a macro call becomes; 0: none.
int argument_variable(char letter);

} // namespace turnwright::machine
