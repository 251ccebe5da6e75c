// SPDX-License-Identifier: MIT
#include "libdamper/measures/block_roll.hpp"

#include <cmath>
#include <limits>

namespace damper {

BlockRoll::BlockRoll(const RunFacts& facts)
    : rolls_(facts.on_mounts),
      drive_stop_(facts.roll_drive_stop),
      coast_stop_(facts.roll_coast_stop) {}

void BlockRoll::add(double roll) {
    if (!rolls_) return;
    roll_.add(roll);
    close(roll);
}

void BlockRoll::close(double roll) {
    if (!rolls_) return;
    const bool stopped = roll >= drive_stop_ || roll <= coast_stop_;
    if (stopped && !stopped_ && samples_ > 0.0) contacts_ += 1.0;
    if (stopped) at_stop_ += 1.0;
    stopped_ = stopped;
    samples_ += 1.0;
}

void BlockRoll::tell(double step, Measured& measured) const {
    if (!rolls_ || roll_.count() < 2.0 || !(step > 0.0)) return;
    add_measure(measured, "roll_mean", "rad", Better::neither, roll_.mean(),
                "Mean roll of the power unit on its mounts over the time that is measured; as a "
                "driving torque rolls it positive.");
    add_measure(measured, "roll_rms", "rad", Better::less, roll_.deviation(),
                "Root mean square of the roll about its mean over the time that is measured.");
    add_measure(measured, "roll_peak_to_peak", "rad", Better::less, roll_.high() - roll_.low(),
                "Largest less smallest roll over the time that is measured.");
    add_measure(measured, "roll_max", "rad", Better::neither, roll_.high(),
                "Largest roll over the time that is measured; drive side positive.");
    add_measure(measured, "roll_min", "rad", Better::neither, roll_.low(),
                "Smallest roll over the time that is measured; coast side negative.");
    if (!std::isfinite(drive_stop_) && !std::isfinite(coast_stop_)) return;
    add_measure(measured, "roll_time_at_stop", "1", Better::less, at_stop_ / samples_,
                "Share of the measured time that a mount lies against its stop.");
    add_measure(measured, "roll_stop_contacts", "1", Better::less, contacts_,
                "How often a mount runs onto its stop over the time that is measured.");
}

}  // namespace damper
