#include "machine/state.h"
#include "language/said.h"

#include <algorithm>
#include <bit>
#include <cstddef>
#include <iterator>
#include <optional>

namespace turnwright::machine {

using codes::Group;

std::string_view explain(Why why) {
    switch (why) {
    case Why::known:
        return said("known");
    case Why::never_set:
        return said("not set by any block above");
    case Why::restarted:
        return said("whatever was in force when the sequence was entered");
    case Why::joined:
        return said("blocks arrive here with different values");
    case Why::computed:
        return said("depends on a variable whose value is not known");
    case Why::no_point:
        return said("no decimal point, so it depends on how the control reads such numbers");
    case Why::mode_changed:
        return said("last set under another mode");
    case Why::datum_changed:
        return said("not known after the datum or offset changed");
    case Why::at_reference:
        return said("at the machine's own position, not known in program coordinates");
    case Why::other_program:
        return said("a program that is not at hand may have set it");
    case Why::machine_specific:
        return said("a code special to the machine may have set it");
    case Why::units_unknown:
        return said("the unit of length is not stated");
    case Why::data_set:
        return said("offsets or datums are changed by the program");
    case Why::measured:
        return said("the move ends where it meets the part");
    case Why::jumped_over:
        return said("a jump passes over this block");
    case Why::no_rapid_rate:
        return said("no rapid rates of the machine are given");
    case Why::next_line:
        return said("the line ends where the next block's line meets it");
    case Why::out_of_reach:
        return said("the value is out of any machine's reach");
    case Why::cut_short:
        return said("it is more than is followed here");
    }
    return said("not known");
}

namespace {
/// Of two reasons the one that says more: a definite "never set" only where both ways say so. In whichever
/// order ways are joined, the same comes out.
Why join_reasons(Why a, Why b) {
    if (a == b) return a;
    const auto says_more = [](Why why) {
        return why != Why::known && why != Why::never_set && why != Why::joined;
    };
    if (says_more(a) && says_more(b)) return std::max(a, b);
    return says_more(a) ? a : says_more(b) ? b : Why::joined;
}
} // namespace

Value join(const Value& a, const Value& b) {
    if (a == b) return a;
    if (a.known() && b.known()) return Value::unknown(Why::joined);
    return {a.number == b.number ? a.number : 0, join_reasons(a.why, b.why)};
}

Modal join(const Modal& a, const Modal& b) {
    if (a == b) return a;
    const bool stated = a.why == Why::known && b.why == Why::known;
    if (a.possible != 0 && b.possible != 0)
        return {static_cast<std::uint16_t>(a.possible | b.possible),
                stated ? Why::known : join_reasons(a.why, b.why)};
    return Modal::unknown(join_reasons(a.why, b.why));
}

std::string_view part_title(int bit) {
    if (bit < static_cast<int>(Part::first_value)) return codes::group_title(static_cast<codes::Group>(bit));
    switch (static_cast<Part>(bit)) {
    case Part::feed:
        return said("feed");
    case Part::speed:
        return said("spindle speed");
    case Part::speed_limit:
        return said("speed limit");
    case Part::tool:
        return said("tool");
    case Part::offset:
        return said("tool offset");
    case Part::x:
        return said("X position");
    case Part::z:
        return said("Z position");
    case Part::y:
        return said("Y position");
    case Part::c:
        return said("C position");
    case Part::cycle_words:
        return said("cycle words");
    case Part::variables:
        return said("variables");
    case Part::cylinder:
        return said("cylinder surface");
    case Part::count_:
        break;
    }
    return "";
}

namespace {
/// The values of a state in one row, so that comparing, joining and filling never forget one.
constexpr Value State::*all_values[] = {
    &State::feed,
    &State::speed,
    &State::speed_limit,
    &State::tool,
    &State::offset,
    &State::x_radius,
    &State::z,
    &State::y,
    &State::c,
    &State::machine_x_radius,
    &State::machine_z,
    &State::cycle_x_radius,
    &State::cycle_z,
    &State::cycle_r,
    &State::cycle_q,
    &State::cycle_p,
    &State::cylinder_radius,
    &State::modal_program,
};
// All that stand between the first and the last of them: a value that has no row does not compile.
static_assert(offsetof(State, modal_arguments) - offsetof(State, feed) ==
              std::size(all_values) * sizeof(Value));
} // namespace

bool Contour::operator==(const Contour& other) const {
    if (stage != other.stage || first_label != other.first_label || last_label != other.last_label)
        return false;
    return around == other.around || (around && other.around && *around == *other.around);
}

namespace {
bool same_deleted(const State& a, const State& b) {
    return a.deleted == b.deleted || (a.deleted && b.deleted && *a.deleted == *b.deleted);
}
} // namespace

std::string_view spindle_title(Spindle spindle) {
    switch (spindle) {
    case Spindle::second:
        return said("second spindle");
    case Spindle::live:
        return said("live tool");
    default:
        return said("spindle");
    }
}

SpindleState join(const SpindleState& a, const SpindleState& b) {
    return {join(a.mode, b.mode), join(a.direction, b.direction), join(a.speed, b.speed),
            join(a.speed_limit, b.speed_limit)};
}

std::optional<Spindle> spoken_to(const Modal& modal) {
    // A program that is not to be seen is no reason to doubt it on a lathe with one.
    const bool in_doubt = modal.why == Why::joined || modal.why == Why::machine_specific;
    if (modal.possible == 0) return in_doubt ? std::nullopt : std::optional(Spindle::main);
    if (!modal.known()) return std::nullopt;
    return static_cast<Spindle>(std::countr_zero(modal.possible));
}

std::optional<Spindle> State::spoken_to() const {
    return machine::spoken_to(of(Group::spoken_to));
}

SpindleState State::spindle(Spindle which) const {
    const std::optional<Spindle> now = spoken_to();
    if (now == which) return {of(Group::spindle_mode), of(Group::spindle_direction), speed, speed_limit};
    if (!now && !spindles) return SpindleState::unknown(of(Group::spoken_to).why);
    return spindles ? spindles->of[static_cast<std::size_t>(which)] : SpindleState{};
}

bool State::is_axis() const {
    return is(codes::Meaning::c_axis_on) || is(codes::Meaning::second_c_axis_on);
}

bool State::part_stands() const {
    return is_axis() || spindle(turning_spindle()).direction.is(codes::Meaning::spindle_stop);
}

void State::set_spindle(Spindle which, const SpindleState& to) {
    if (spoken_to() == which) {
        of(Group::spindle_mode) = to.mode;
        of(Group::spindle_direction) = to.direction;
        speed = to.speed;
        speed_limit = to.speed_limit;
        return;
    }
    MoreSpindles more = spindles ? *spindles : MoreSpindles{};
    more.of[static_cast<std::size_t>(which)] = to;
    spindles = std::make_shared<const MoreSpindles>(more);
}

void State::speak_to(Spindle which) {
    const std::optional<Spindle> now = spoken_to();
    if (now == which) return;
    MoreSpindles more = spindles ? *spindles : MoreSpindles{};
    const SpindleState of_now{of(Group::spindle_mode), of(Group::spindle_direction), speed, speed_limit};
    if (now)
        more.of[static_cast<std::size_t>(*now)] = of_now;
    else if (!spindles)
        more.of.fill(SpindleState::unknown(of(Group::spoken_to).why));
    SpindleState next = more.of[static_cast<std::size_t>(which)];
    // A speed or limit written before may be meant for this one already, and one mode may hold for all of
    // them: controls differ. S is turns a minute in any case where it was that before.
    if (next.mode.surely_unset() && next.mode.possible == 0 && !of_now.mode.surely_unset())
        next.mode = of_now.mode.is(codes::Meaning::constant_rpm) ? of_now.mode
                                                                 : Modal::unknown(Why::machine_specific);
    // And where another one was stated in between, it may hold for this one since.
    else if (next.mode.why == Why::known && of_now.mode.why == Why::known && next.mode != of_now.mode)
        next.mode = Modal::unknown(Why::machine_specific);
    if (next.speed.surely_unset() && !of_now.speed.surely_unset())
        next.speed = Value::unknown(Why::machine_specific);
    // The limit stands above the code that starts the spindle it is meant for.
    if (next.speed_limit.surely_unset()) next.speed_limit = of_now.speed_limit;
    if (which != Spindle::live) more.turning = which;
    spindles = std::make_shared<const MoreSpindles>(more);
    // The main one is what is spoken to where nothing says otherwise, so that ways meet as one.
    of(Group::spoken_to) = which == Spindle::main
                               ? Modal{}
                               : Modal::of(codes::meaning_of(Group::spoken_to, static_cast<unsigned>(which)));
    set_spindle(which, next);
}

namespace {
/// Those not spoken to, as one row.
MoreSpindles more_of(const State& state) {
    MoreSpindles more;
    for (std::size_t i = 0; i < spindle_count; ++i) more.of[i] = state.spindle(static_cast<Spindle>(i));
    if (state.spindles) more.turning = state.spindles->turning;
    return more;
}
bool same_spindles(const State& a, const State& b) {
    return a.spindles == b.spindles || (a.spindles && b.spindles && *a.spindles == *b.spindles);
}
std::shared_ptr<const MoreSpindles> join_spindles(const State& a, const State& b) {
    if (same_spindles(a, b) && a.of(Group::spoken_to) == b.of(Group::spoken_to)) return a.spindles;
    MoreSpindles joined = more_of(a);
    const MoreSpindles other = more_of(b);
    for (std::size_t i = 0; i < spindle_count; ++i) joined.of[i] = join(joined.of[i], other.of[i]);
    if (joined.turning != other.turning) joined.turning = Spindle::main;
    return std::make_shared<const MoreSpindles>(joined);
}
} // namespace

bool State::operator==(const State& other) const {
    if (modal != other.modal) return false;
    for (auto value : all_values)
        if (this->*value != other.*value) return false;
    return at_reference_x == other.at_reference_x && at_reference_z == other.at_reference_z &&
           reachable == other.reachable && ended == other.ended && contour == other.contour &&
           same_deleted(*this, other) && same_spindles(*this, other) && variables == other.variables &&
           modal_arguments == other.modal_arguments;
}

void State::leave_assumed_out() {
    for (Group group : {Group::units, Group::feed_mode, Group::spindle_mode, Group::spindle_direction,
                        Group::plane, Group::distance})
        of(group) = of(group).stated();
    speed = speed.stated();
    speed_limit = speed_limit.stated();
}

Parts State::unstated() const {
    Parts parts = 0;
    for (const Group group : assumable_groups)
        if (of(group).surely_unset()) parts |= part(group);
    return parts;
}

Parts State::kept_assumed() const {
    Parts parts = 0;
    for (const Group group : assumable_groups)
        if (of(group).is_assumed() && !of(group).surely_unset()) parts |= part(group);
    if (of(Group::spindle_direction).is_assumed()) parts |= part(Group::spindle_direction);
    if (speed.is_assumed()) parts |= part(Part::speed);
    if (speed_limit.is_assumed()) parts |= part(Part::speed_limit);
    return parts;
}

State unknown_state(Why why) {
    State state;
    for (Modal& modal : state.modal) modal = Modal::unknown(why);
    for (auto value : all_values) state.*value = Value::unknown(why);
    state.variables = Variables::unknown();
    return state;
}

State join(const State& a, const State& b) {
    if (!a.reachable) return b;
    if (!b.reachable) return a;
    State joined = a;
    for (std::size_t group = 0; group < joined.modal.size(); ++group)
        joined.modal[group] = join(a.modal[group], b.modal[group]);
    for (auto value : all_values) joined.*value = join(a.*value, b.*value);
    joined.at_reference_x = a.at_reference_x && b.at_reference_x;
    joined.at_reference_z = a.at_reference_z && b.at_reference_z;
    joined.ended = a.ended && b.ended;
    if (a.contour != b.contour) joined.contour = {};
    if (!same_deleted(a, b)) joined.deleted.reset();
    if (a.spindles || b.spindles) joined.spindles = join_spindles(a, b);
    joined.variables = join(a.variables, b.variables);
    joined.modal_arguments = join(a.modal_arguments, b.modal_arguments);
    return joined;
}

} // namespace turnwright::machine
