// SPDX-License-Identifier: MIT
#include "libdamper/numerics/binomial_interval.hpp"

#include "libdamper/base/error.hpp"

#include <boost/math/distributions/binomial.hpp>

namespace damper {

ShareInterval share_interval(std::int64_t hits, std::int64_t trials, double confidence) {
    if (hits < 0 || hits > trials || !(confidence > 0.0 && confidence < 1.0)) {
        throw ModelError("a share needs 0 ≤ hits ≤ trials and a confidence between 0 and 1");
    }
    if (trials == 0) return {};
    using Binomial = boost::math::binomial_distribution<double>;
    const auto n = static_cast<double>(trials);
    const auto k = static_cast<double>(hits);
    const double one_side = 0.5 * (1.0 - confidence);
    return {k / n, hits == 0 ? 0.0 : Binomial::find_lower_bound_on_p(n, k, one_side),
            hits == trials ? 1.0 : Binomial::find_upper_bound_on_p(n, k, one_side)};
}

}  // namespace damper
