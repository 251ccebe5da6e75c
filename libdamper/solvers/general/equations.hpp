// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace damper {

/// The driveline in its present modes as a first-order system. Besides angles and speeds it
/// integrates the books: heat per element, work per input, impulse per contact.
///
///     y = [ angles n | speeds n | heat of branches | heat of smooth branches | work of inputs |
///           impulse of contacts ]
class Equations {
  public:
    /// Keeps references; both must outlive it.
    Equations(const Driveline& line, const Stacked& stacked, const State& state);

    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] std::size_t masses() const { return n_; }
    [[nodiscard]] std::size_t heat_at(std::size_t branch) const { return 2 * n_ + branch; }
    [[nodiscard]] std::size_t smooth_heat_at(std::size_t s) const { return smooth_heat_ + s; }
    [[nodiscard]] std::size_t work_at(std::size_t input) const { return work_ + input; }
    /// Index of the impulse of a part that counts impacts; 0 for any other part.
    [[nodiscard]] std::size_t impulse_at(std::size_t part) const { return impulse_of_part_[part]; }

    /// y' at time t.
    void operator()(const std::vector<double>& y, std::vector<double>& slope, double t) const;

    /// Torque of each input at time t [N m].
    void inputs(std::span<const double> angle, double t, std::span<double> torque) const;

    [[nodiscard]] std::int64_t evaluations() const { return evaluations_; }

  private:
    void add_branches(std::span<const double> angle, std::span<const double> speed, double t,
                      std::vector<double>& slope) const;
    void add_smooth(std::span<const double> speed, std::vector<double>& slope) const;
    void add_inputs(std::span<const double> angle, std::span<const double> speed, double t,
                    std::vector<double>& slope) const;

    const Driveline* line_;
    const Stacked* stacked_;
    const State* state_;
    std::size_t n_;
    std::size_t smooth_heat_, work_, size_;
    std::vector<std::size_t> impulse_of_part_;
    std::vector<std::size_t> contact_part_of_branch_;  ///< One past the parts if none.
    mutable std::int64_t evaluations_ = 0;
};

}  // namespace damper
