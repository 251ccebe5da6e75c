// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/general/equations.hpp"
#include "libdamper/solvers/general/step.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace damper {

/// Finds when rubbing faces stick or slip. See Rubbing.
class FaceWatch {
  public:
    struct Change {
        std::size_t face = 0;
        Rubbing to = Rubbing::sticking;
        bool up = true;  ///< Which of the two guards of stuck faces.
        double time = 0.0;
    };

    explicit FaceWatch(std::size_t masses);

    /// The first change inside the step at hand.
    [[nodiscard]] std::optional<Change> first(const Step& step, Equations& equations,
                                              double top_speed);
    /// Faces that cannot hold where they stand: their slip went through zero.
    [[nodiscard]] static std::optional<Change> torn(const Equations::Row& now,
                                                    const Equations& equations, double time);
    /// Value of the guard of a change.
    [[nodiscard]] static double value(const Change& change, const Equations::Row& row);
    /// Below this a value is what rounding leaves of zero.
    [[nodiscard]] static double rounding(const Change& change, const Equations::Row& row,
                                         const Equations& equations, double top_speed);

  private:
    [[nodiscard]] double at(const Change& change, const Step& step, Equations& equations, double t);
    [[nodiscard]] static std::vector<Change> guards(const Equations& equations);

    std::vector<double> y_, slope_;
};

}  // namespace damper
