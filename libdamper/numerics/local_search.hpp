// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <string_view>
#include <vector>

namespace damper {

/// Gradient-free methods, all as NLopt holds them (S. G. Johnson, The NLopt nonlinear-optimization
/// package).
enum class SearchMethod {
    subplex,      ///< Nelder and Mead's simplex in subspaces (T. Rowan, thesis, Austin 1990).
    nelder_mead,  ///< J. A. Nelder, R. Mead, Computer Journal 7 (1965) 308–313.
    cobyla,       ///< Linear models, M. J. D. Powell 1994.
    bobyqa,       ///< Quadratic models, M. J. D. Powell 2009; needs two unknowns or more.
};
[[nodiscard]] std::string_view name_of(SearchMethod method);

/// A search for a maximum inside a box.
struct LocalSearch {
    SearchMethod method = SearchMethod::subplex;
    std::vector<double> low, high;
    std::vector<double> step;       ///< Of the first moves, one an unknown. > 0
    std::size_t evaluations = 100;  ///< At most.
    double enough = 1e-4;           ///< Ends when all moves are smaller than this.
};

struct LocalOptimum {
    std::vector<double> at;
    double value = 0.0;
    std::size_t evaluations = 0;
    bool settled = false;  ///< Ended because moves became small.
};

/// Climbs from `start` to the highest value that `function` gives. `function` may return the lowest
/// double where a point means nothing, and nothing is asked of its smoothness but what the method
/// can use. The same calls in the same order every time: no random numbers beyond fixed ones.
///
/// `stop` is asked before each evaluation; true ends the search with what was found. What
/// `function` throws ends the search and is thrown to the caller. ModelError if the box, the start
/// or the steps do not fit.
[[nodiscard]] LocalOptimum climb(
    const LocalSearch& search, const std::vector<double>& start,
    const std::function<double(const std::vector<double>& at)>& function,
    const std::function<bool()>& stop = {});

}  // namespace damper
