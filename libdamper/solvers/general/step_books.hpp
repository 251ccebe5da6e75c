// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/signals/energy_book.hpp"
#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/general/equations.hpp"
#include "libdamper/solvers/general/step.hpp"

#include <span>
#include <vector>

namespace damper {

/// Heat, work and impulse, summed up from what the stages of each step met, with the weights that
/// the pair gives them: to the same order as the motion, and without being a part of its state.
class StepBooks {
  public:
    /// Keeps references. `stacked` must have the modes of `state`, where the run starts.
    StepBooks(const Stacked& stacked, const State& state);

    /// Takes over how a branch heats in its present mode.
    void refresh(std::size_t branch, const State& state);

    /// Books a step, and peaks and impulses of the contacts open in `log`.
    void add(const Step& step, const Equations& equations, ContactLog& log);

    /// Heat that appears at once, for what a parting face still held [J].
    void add_heat(std::size_t branch, double heat) { heat_[branch] += heat; }

    [[nodiscard]] double heat(std::size_t branch) const { return heat_[branch]; }
    [[nodiscard]] double impulse(std::size_t part) const { return impulse_[part]; }

    /// The whole book, up to a state with these twists and speed deviations.
    [[nodiscard]] EnergyBook close(const State& state, std::span<const double> twist,
                                   std::span<const double> speed) const;

  private:
    void add_contact(std::size_t part, const Step& step, const Equations& equations,
                     ContactLog& log);
    [[nodiscard]] std::vector<double> stored(const State& state,
                                             std::span<const double> twist) const;

    const Stacked* stacked_;
    std::vector<double> constant_, rate_;  ///< How the branches heat: Stacked::HeatNow.
    std::vector<double> way_, square_;     ///< Integrals of rate and rate² over a step.
    std::vector<double> heat_, smooth_heat_, face_heat_, work_, impulse_;
    std::vector<double> start_stored_, start_speed_;
};

}  // namespace damper
