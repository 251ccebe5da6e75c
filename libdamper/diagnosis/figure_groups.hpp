// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/figure_cloud.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// Figures that are measured together, and what they are with each cause.
struct FigureGroup {
    std::string shown_by;  ///< "run", "gauges", "press" or "disc bench".
    std::vector<Eigen::Index> columns;
    std::vector<FigureCloud> clouds;  ///< By cause, over those columns.
    /// What is measured counts by this power of its density: runs of one model share its faults.
    double trust = 1.0;

    /// Trusted log p of those of its figures that were seen, with a cause; `values` and `errors`
    /// over all figures. 0 if none of them was.
    [[nodiscard]] double log_density(std::size_t cause,
                                     const std::vector<std::optional<double>>& values,
                                     const std::vector<double>& errors) const;
    [[nodiscard]] bool seen_in(const std::vector<std::optional<double>>& values) const;
};

/// Groups of figures by what shows each (`shown_by` by column). `rows` by cause. Groups are taken
/// as independent given the cause: what they share, the scatter of the series, is small beside what
/// causes change.
[[nodiscard]] std::vector<FigureGroup> figure_groups(const std::vector<FigureRows>& rows,
                                                     const std::vector<std::string>& shown_by);

}  // namespace damper
