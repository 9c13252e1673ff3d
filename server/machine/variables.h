// Values of macro variables by number.
#pragma once

#include "machine/value.h"

#include <memory>

namespace turnwright::machine {

/// Copies share what they have in common: a program that sets a new variable in every block keeps as many
/// states, each with all the variables set so far.
class Variables {
public:
    static constexpr int last_local = 33; ///< #1 to #33 belong to one call of a macro

    Value value(int number) const;
    void set(int number, Value value);
    /// Every one could hold anything.
    static Variables unknown();

    bool operator==(const Variables& other) const;
    friend Variables join(const Variables& a, const Variables& b);
    /// The locals of one and the common variables of the other.
    friend Variables combine(const Variables& locals, const Variables& commons);

    struct Node;

private:
    std::shared_ptr<Node> root_; ///< None: no variable was set
    int levels_ = 0;             ///< Below the root
    /// A variable that no block has set could hold anything; else it is empty (#0).
    bool locals_unknown_ = false, commons_unknown_ = false;
};
Variables join(const Variables& a, const Variables& b);
Variables combine(const Variables& locals, const Variables& commons);

} // namespace turnwright::machine
