// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/signals/event_table.hpp"

#include <vector>

namespace damper {

/// Writes down mode changes and, for parts that count them, impacts: from touching a face to
/// being free again. A contact that exists when the run starts is not an impact.
class ContactLog {
  public:
    explicit ContactLog(const Stacked& stacked);

    /// Before and after a mode change of `part`. `rate` is the twist rate of its branch [rad/s],
    /// `impulse` and `heat` are what its books stand at (heat with the drop of stored energy).
    void change(double time, std::size_t part, int from, int to, double rate, double impulse,
                double heat);

    /// While a contact lasts: its torque somewhere inside a step [N m].
    void torque(std::size_t part, double torque);

    /// Parts that count impacts and are in a contact that is being recorded.
    [[nodiscard]] const std::vector<std::size_t>& open() const { return open_; }

    /// Whether a contact of this part is being recorded.
    [[nodiscard]] bool is_open(std::size_t part) const { return contacts_[part].open; }

    /// Closes what is open at the end of the run.
    void finish(double time, std::size_t part, double impulse, double heat);

    [[nodiscard]] EventTable take();

  private:
    struct Contact {
        bool open = false;
        Impact impact;
        double impulse_before = 0.0;
        double heat_before = 0.0;
    };
    [[nodiscard]] int mode_index(std::size_t part, int mode) const;

    const Stacked* stacked_;
    EventTable table_;
    std::vector<int> first_mode_;  ///< Of each part in table_.modes.
    std::vector<Contact> contacts_;
    std::vector<std::size_t> open_;
};

}  // namespace damper
