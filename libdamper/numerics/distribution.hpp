// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// A distribution of one number, had by its inverse: the value below which a share of all lies.
struct Distribution {
    enum class Kind { normal, uniform, triangular };
    Kind kind = Kind::uniform;
    double low = 0.0;        ///< Uniform, triangular; normal: cut off below, −∞ if not.
    double high = 1.0;       ///< Likewise above, +∞ if not.
    double mean = 0.0;       ///< Of the normal before it is cut; of the triangular its peak.
    double deviation = 1.0;  ///< Standard deviation of the normal before it is cut.

    [[nodiscard]] static Distribution normal(double mean, double deviation);
    /// What lies outside low…high is left out, the rest keeps its proportions.
    [[nodiscard]] static Distribution cut_normal(double mean, double deviation, double low,
                                                 double high);
    [[nodiscard]] static Distribution uniform(double low, double high);
    [[nodiscard]] static Distribution triangular(double low, double peak, double high);
};

/// Why a distribution makes no sense ("the deviation must be more than 0"); empty if it does.
[[nodiscard]] std::string fault_of(const Distribution& distribution);

/// The value below which the share 0 < share < 1 of the distribution lies. Share 0 and 1 give the
/// ends, which may be infinite. Throws ModelError for a share outside 0…1.
[[nodiscard]] double quantile(const Distribution& distribution, double share);

}  // namespace damper
