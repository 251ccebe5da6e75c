// SPDX-License-Identifier: MIT
#pragma once

#include <boost/numeric/odeint/algebra/default_operations.hpp>
#include <boost/numeric/odeint/algebra/range_algebra.hpp>
#include <cmath>
#include <limits>
#include <vector>

namespace damper {

/// Largest error of a step relative to what is allowed.
class ErrorMeasure {
  public:
    // Names that the stepper asks for.
    using value_type = double;  // NOLINT(readability-identifier-naming)
    using algebra_type =        // NOLINT(readability-identifier-naming)
        boost::numeric::odeint::range_algebra;
    using operations_type =  // NOLINT(readability-identifier-naming)
        boost::numeric::odeint::default_operations;

    ErrorMeasure() = default;
    explicit ErrorMeasure(const std::vector<double>* allowed) : allowed_(allowed) {}

    template <typename Algebra, typename Old, typename Slope, typename Err, typename Time>
    double error(Algebra&, const Old&, const Slope&, Err& err, Time) const {
        double worst = 0.0;
        for (std::size_t i = 0; i < err.size(); ++i) {
            const double share = std::abs(err[i]) / (*allowed_)[i];
            // A comparison with a NaN is false: it must count as worst, not as none.
            if (!(share <= worst)) worst = share;
            if (std::isnan(share)) return std::numeric_limits<double>::max();
        }
        return worst;
    }

  private:
    const std::vector<double>* allowed_ = nullptr;
};

}  // namespace damper
