// SPDX-License-Identifier: MIT
#include "libdamper/numerics/local_search.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <exception>
#include <fmt/format.h>
#include <limits>
#include <memory>
#include <nlopt.h>

namespace damper {

namespace {

nlopt_algorithm algorithm_of(SearchMethod method) {
    switch (method) {
        case SearchMethod::subplex:
            return NLOPT_LN_SBPLX;
        case SearchMethod::nelder_mead:
            return NLOPT_LN_NELDERMEAD;
        case SearchMethod::cobyla:
            return NLOPT_LN_COBYLA;
        case SearchMethod::bobyqa:
            return NLOPT_LN_BOBYQA;
    }
    throw ModelError("a search has no such method");
}

/// What goes through the library, which is C: exceptions wait here until it has returned.
struct Course {
    const std::function<double(const std::vector<double>&)>& function;
    const std::function<bool()>& stop;
    nlopt_opt search = nullptr;
    LocalOptimum best;
    std::exception_ptr thrown;

    double evaluate(unsigned count, const double* at) noexcept {
        constexpr double lowest = std::numeric_limits<double>::lowest();
        if (thrown || (stop && stop())) {
            nlopt_force_stop(search);
            return lowest;
        }
        try {
            const std::vector<double> point(at, at + count);
            const double value = function(point);
            if (best.evaluations++ == 0 || value > best.value) {
                best.value = value;
                best.at = point;
            }
            return value;
        } catch (...) {
            thrown = std::current_exception();
            nlopt_force_stop(search);
            return lowest;
        }
    }
};

double evaluate(unsigned count, const double* at, double* /*gradient*/, void* course) {
    return static_cast<Course*>(course)->evaluate(count, at);
}

void check(const LocalSearch& search, const std::vector<double>& start) {
    const std::size_t n = start.size();
    const std::size_t fewest = search.method == SearchMethod::bobyqa ? 2 : 1;
    if (n < fewest || search.low.size() != n || search.high.size() != n ||
        search.step.size() != n || search.evaluations < 1) {
        throw ModelError("a search needs bounds and a step for each unknown, and an evaluation");
    }
    for (std::size_t i = 0; i < n; ++i) {
        if (!(search.low[i] < search.high[i]) || !(search.step[i] > 0.0) ||
            !(start[i] >= search.low[i] && start[i] <= search.high[i])) {
            throw ModelError(fmt::format("a search cannot begin: unknown {} is {}, from {} to {}",
                                         i + 1, start[i], search.low[i], search.high[i]));
        }
    }
}

}  // namespace

std::string_view name_of(SearchMethod method) {
    switch (method) {
        case SearchMethod::subplex:
            return "subplex";
        case SearchMethod::nelder_mead:
            return "nelder-mead";
        case SearchMethod::cobyla:
            return "cobyla";
        case SearchMethod::bobyqa:
            return "bobyqa";
    }
    return "";
}

LocalOptimum climb(const LocalSearch& search, const std::vector<double>& start,
                   const std::function<double(const std::vector<double>& at)>& function,
                   const std::function<bool()>& stop) {
    check(search, start);
    const std::unique_ptr<nlopt_opt_s, decltype(&nlopt_destroy)> owner(
        nlopt_create(algorithm_of(search.method), static_cast<unsigned>(start.size())),
        &nlopt_destroy);
    if (owner == nullptr) throw ModelError("a search cannot begin: no memory");
    nlopt_opt opt = owner.get();
    Course course{function, stop, opt, {start, 0.0, 0, false}, nullptr};
    nlopt_set_lower_bounds(opt, search.low.data());
    nlopt_set_upper_bounds(opt, search.high.data());
    nlopt_set_max_objective(opt, evaluate, &course);
    nlopt_set_maxeval(opt, static_cast<int>(search.evaluations));
    nlopt_set_xtol_rel(opt, 0.0);
    nlopt_set_xtol_abs1(opt, search.enough);
    nlopt_set_initial_step(opt, search.step.data());
    std::vector<double> at = start;
    double value = 0.0;
    const nlopt_result result = nlopt_optimize(opt, at.data(), &value);
    if (course.thrown) std::rethrow_exception(course.thrown);
    // A method that cannot go on for rounding has found what it can.
    course.best.settled = result == NLOPT_XTOL_REACHED || result == NLOPT_SUCCESS ||
                          result == NLOPT_FTOL_REACHED || result == NLOPT_ROUNDOFF_LIMITED;
    if (result == NLOPT_INVALID_ARGS || result == NLOPT_OUT_OF_MEMORY) {
        throw ModelError("a search cannot begin: the method refuses it");
    }
    return course.best;
}

}  // namespace damper
