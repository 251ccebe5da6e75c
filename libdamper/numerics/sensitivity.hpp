// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace damper {

/// A number with its 95 % interval.
struct EstimatedShare {
    double value = 0.0;
    double low = 0.0;
    double high = 0.0;
};

/// Shares of the variance of a result that come from one input.
struct VarianceShares {
    EstimatedShare first;  ///< By the input alone.
    EstimatedShare total;  ///< With all its interactions.
};

/// How the values lie that variance_shares() takes: for base row j the results at A_j, at B_j, and
/// for each input i at A_j with column i from B_j: inputs + 2 values a row.
/// Sources: A. Saltelli et al., "Variance based sensitivity analysis of model output", Comput.
/// Phys. Commun. 181 (2010) 259–270, table 2: (b) for first order; (f) for total effect, that of
/// M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35–43.
///
/// Intervals: percentiles of `resamples` bootstrap resamples of whole rows (G. E. B. Archer,
/// A. Saltelli, I. M. Sobol, J. Stat. Comput. Simul. 58 (1997) 99–120). Rows with a value that is
/// not a number are left out; fewer than 8 rows left, or no variance: all zero.
[[nodiscard]] std::vector<VarianceShares> variance_shares(std::size_t inputs,
                                                          std::span<const double> values,
                                                          std::size_t resamples = 500,
                                                          std::uint64_t seed = 1);

/// Share of the variance of y that x explains by itself, from any sample of independent inputs: the
/// correlation ratio over bins of equal counts, less what chance alone would give (adjusted as an
/// R²; not below 0). Source: E. Plischke, E. Borgonovo, C. L. Smith, "Global sensitivity measures
/// from given data", Eur. J. Oper. Res. 226 (2013) 536–550. Pairs that are not finite are left out;
/// fewer than 40 pairs: 0.
[[nodiscard]] double explained_share(std::span<const double> x, std::span<const double> y);

/// Correlation of two samples, −1…1; 0 if one of them does not vary.
[[nodiscard]] double correlation(std::span<const double> x, std::span<const double> y);

}  // namespace damper
