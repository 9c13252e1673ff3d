// Values of macro expressions, in degrees, with the empty variable (#0) kept apart from zero.

#include "machine/machine.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace turnwright::machine {

namespace {

using syntax::Expression;
using syntax::Operation;

// Deeper trees than this are no program that a control would run.
constexpr int deepest = 200;

double degrees(double radians) {
    return radians * 180.0 / std::numbers::pi;
}
double radians(double degrees) {
    return degrees * std::numbers::pi / 180.0;
}

struct Evaluator {
    const syntax::Run& run;
    std::size_t block;
    const State& state;
    std::vector<Problem>& problems;

    void problem(ProblemKind kind, const Expression& at, double number = 0) {
        problems.push_back({kind, static_cast<std::uint16_t>(block), at.begin, at.length, number});
    }

    /// The variable's number, from #5 or #[...].
    Value variable_number(const Expression& variable, int depth) {
        Value number = value_of(variable.left, depth + 1);
        if (number.why == Why::never_set) return Value::of(0);
        return number;
    }

    Value read_variable(const Expression& variable, int depth) {
        Value number = variable_number(variable, depth);
        if (!number.known()) return Value::unknown(Why::computed);
        int index = static_cast<int>(std::lround(std::min(std::max(number.number, -1.0), 1e6)));
        if (index == 0) return Value::unknown(Why::never_set);
        if (index < 0) {
            problem(ProblemKind::bad_expression, variable, number.number);
            return Value::unknown(Why::computed);
        }
        Value held = state.variable(index);
        // Locals are empty when a program starts; commons keep what an earlier program left.
        if (held.surely_unset() && index > 33) return Value::unknown(Why::other_program);
        return held;
    }

    bool names_empty(std::int32_t index) {
        if (index < 0) return false;
        const Expression& e = run.expressions[static_cast<std::size_t>(index)];
        if (e.operation != Operation::variable || e.left < 0) return false;
        const Expression& number = run.expressions[static_cast<std::size_t>(e.left)];
        return number.operation == Operation::number && number.number == 0;
    }

    Value compare_with_empty(const Expression& e, int depth) {
        std::int32_t other = names_empty(e.left) ? e.right : e.left;
        Value held = value_of(other, depth + 1);
        if (!held.known() && held.why != Why::never_set) return Value::unknown(Why::computed);
        bool same = held.why == Why::never_set;
        return Value::of((e.operation == Operation::equal) == same ? 1 : 0);
    }

    Value binary(const Expression& e, int depth) {
        bool tests_equality = e.operation == Operation::equal || e.operation == Operation::not_equal;
        if (tests_equality && (names_empty(e.left) || names_empty(e.right)))
            return compare_with_empty(e, depth);
        Value left = number_of(e.left, depth);
        Value right = number_of(e.right, depth);
        if (e.operation == Operation::divide && right.known() && right.number == 0) {
            problem(ProblemKind::division_by_zero, e);
            return Value::unknown(Why::computed);
        }
        if (!left.known() || !right.known()) return Value::unknown(Why::computed);
        return Value::of(apply(e, left.number, right.number));
    }

    double apply(const Expression& e, double a, double b) {
        auto bits = [](double number) {
            return static_cast<long long>(std::llround(std::fmod(number, 4294967296.0)));
        };
        // Steps are written in decimals, and their sums meant so: 34 and six times 1.1 are 40.6. In binary
        // they are a little more, and a loop up to there would have a turn less than it is written for.
        constexpr double rounding = 1e-9;
        const bool same = std::abs(a - b) <= rounding * std::max(std::abs(a), std::abs(b));
        switch (e.operation) {
        case Operation::add:
            return a + b;
        case Operation::subtract:
            return a - b;
        case Operation::multiply:
            return a * b;
        case Operation::divide:
            return a / b;
        case Operation::modulo:
            return b == 0 ? a : std::fmod(a, b);
        case Operation::equal:
            return same;
        case Operation::not_equal:
            return !same;
        case Operation::greater:
            return a > b && !same;
        case Operation::greater_equal:
            return a > b || same;
        case Operation::less:
            return a < b && !same;
        case Operation::less_equal:
            return a < b || same;
        case Operation::logic_and:
            return static_cast<double>(bits(a) & bits(b));
        case Operation::logic_or:
            return static_cast<double>(bits(a) | bits(b));
        case Operation::logic_xor:
            return static_cast<double>(bits(a) ^ bits(b));
        case Operation::arc_tangent_two: {
            double angle = degrees(std::atan2(a, b));
            return angle < 0 ? angle + 360 : angle;
        }
        default:
            return 0;
        }
    }

    Value unary(const Expression& e, const Value& inner) {
        if (!inner.known()) return Value::unknown(Why::computed);
        double a = inner.number;
        bool outside = (e.operation == Operation::square_root && a < 0) ||
                       (e.operation == Operation::natural_log && a <= 0) ||
                       ((e.operation == Operation::arc_sine || e.operation == Operation::arc_cosine) &&
                        std::abs(a) > 1) ||
                       (e.operation == Operation::tangent && std::abs(std::cos(radians(a))) < 1e-12) ||
                       ((e.operation == Operation::to_bcd || e.operation == Operation::to_binary) && a < 0);
        if (outside) {
            problem(ProblemKind::value_out_of_domain, e, a);
            return Value::unknown(Why::computed);
        }
        double result = function(e.operation, a);
        if (!std::isfinite(result)) {
            problem(ProblemKind::value_out_of_domain, e, a);
            return Value::unknown(Why::computed);
        }
        return Value::of(result);
    }

    static double function(Operation operation, double a) {
        switch (operation) {
        case Operation::negate:
            return -a;
        case Operation::plus:
            return a;
        case Operation::sine:
            return std::sin(radians(a));
        case Operation::cosine:
            return std::cos(radians(a));
        case Operation::tangent:
            return std::tan(radians(a));
        case Operation::arc_tangent:
            return degrees(std::atan(a));
        case Operation::arc_sine:
            // As the two-value arc tangent: from 270 over 0 to 90. A parameter of the control may say
            // otherwise for both.
            return a < 0 ? degrees(std::asin(a)) + 360 : degrees(std::asin(a));
        case Operation::arc_cosine:
            return degrees(std::acos(a));
        case Operation::square_root:
            return std::sqrt(a);
        case Operation::absolute:
            return std::abs(a);
        case Operation::round:
            return std::round(a);
        case Operation::fix:
            return std::trunc(a);
        case Operation::fix_up:
            return a < 0 ? std::floor(a) : std::ceil(a);
        case Operation::natural_log:
            return std::log(a);
        case Operation::exponential:
            return std::exp(a);
        case Operation::to_bcd:
            return recode(a, 10, 16);
        case Operation::to_binary:
            return recode(a, 16, 10);
        default:
            return 0;
        }
    }

    /// The digits of `a` in one base, weighted in the other.
    static double recode(double a, double from, double to) {
        double result = 0;
        double weight = 1;
        for (double rest = std::trunc(a); rest >= 1 && weight < 1e15; rest = std::trunc(rest / from)) {
            result += std::fmod(rest, from) * weight;
            weight *= to;
        }
        return result;
    }

    /// A value for arithmetic: an empty variable counts as zero.
    Value number_of(std::int32_t index, int depth) {
        Value value = value_of(index, depth + 1);
        return value.why == Why::never_set ? Value::of(0) : value;
    }

    Value value_of(std::int32_t index, int depth) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size() || depth > deepest)
            return Value::unknown(Why::computed);
        const Expression& e = run.expressions[static_cast<std::size_t>(index)];
        switch (e.operation) {
        case Operation::number:
            return Value::of(e.number);
        case Operation::variable:
            return read_variable(e, depth);
        case Operation::named_variable:
            return Value::unknown(Why::machine_specific);
        case Operation::invalid:
            problem(ProblemKind::bad_expression, e);
            return Value::unknown(Why::computed);
        case Operation::negate:
        case Operation::plus: {
            // X-#1 with #1 empty is no word at all, as X#1 is none.
            Value inner = value_of(e.left, depth + 1);
            if (inner.why == Why::never_set) return inner;
            return unary(e, inner);
        }
        default:
            return e.right >= 0 ? binary(e, depth) : unary(e, number_of(e.left, depth));
        }
    }
};

} // namespace

Value evaluate(const syntax::Run& run, std::size_t block, std::int32_t expression, const State& state,
               std::vector<Problem>& problems) {
    return Evaluator{run, block, state, problems}.value_of(expression, 0);
}

} // namespace turnwright::machine
