// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/solver.hpp"

#include <span>
#include <vector>

namespace damper {

/// Tells a sink of mode changes and, for parts that count them, of impacts: from touching a face to
/// being free again. A contact that exists when the run starts is not an impact. Keeps only what is
/// open, and allocates nothing after construction.
class ContactLog {
  public:
    /// Keeps references. `sink` may be null; `crank` as in TimeSettings.
    ContactLog(const Stacked& stacked, Sink* sink, int crank);

    /// Before and after a mode change of `part`. `angle` are the deviations of all inertias [rad],
    /// `rate` is the twist rate of its branch [rad/s], `impulse` and `heat` are what its books
    /// stand at (heat with the drop of stored energy).
    void change(double time, std::span<const double> angle, std::size_t part, int from, int to,
                double rate, double impulse, double heat);

    /// Rubbing faces change their mode.
    void rub(double time, std::size_t face, int from, int to);

    /// While a contact lasts: its torque somewhere inside a step [N m].
    void torque(std::size_t part, double torque);

    /// Parts that count impacts and are in a contact that is being recorded.
    [[nodiscard]] const std::vector<std::size_t>& open() const { return open_; }

    /// Whether a contact of this part is being recorded.
    [[nodiscard]] bool is_open(std::size_t part) const { return contacts_[part].open; }

    /// Closes what is open at the end of the run.
    void finish(double time, std::size_t part, double impulse, double heat);

  private:
    struct Contact {
        bool open = false;
        Impact impact;
        double impulse_before = 0.0;
        double heat_before = 0.0;
    };
    [[nodiscard]] double crank_angle(double time, std::span<const double> angle) const;

    const Stacked* stacked_;
    Sink* sink_;
    int crank_;
    std::vector<int> first_mode_;  ///< Of each part, in the numbering of event_names().
    int modes_of_parts_ = 0;       ///< Modes of rubbing faces come after these.
    std::vector<Contact> contacts_;
    std::vector<std::size_t> open_;
};

}  // namespace damper
