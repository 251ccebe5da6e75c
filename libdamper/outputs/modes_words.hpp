// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

// What the text, the tables and the page say about natural modes in the same words.

/// "shuffle", or "mode 7" where no rule gave a name.
[[nodiscard]] std::string mode_title(const GearModes& gear, std::size_t mode);

/// "Neutral", "Gear 2".
[[nodiscard]] std::string gear_title(const GearModes& gear);

/// "850 rpm, 0.6 N m; disc on its idle stage (30 N m/rad)".
[[nodiscard]] std::string point_text(const GearModes& gear);

/// "12 %", or "does not swing".
[[nodiscard]] std::string damping_text(const ModeRow& mode);

/// Largest shares, both sides of the vehicle together: "half shaft 70 %, tyre carcass 17 %".
[[nodiscard]] std::string moving_text(const GearModes& gear, const ModeRow& mode);
[[nodiscard]] std::string moving_text(const SlippingModes& point, const SlippingRow& mode);
[[nodiscard]] std::string twisting_text(const GearModes& gear, const ModeRow& mode);

/// "half shaft stiffness +0.15 Hz"; all at +10 %.
[[nodiscard]] std::string influence_text(const GearModes& gear, std::size_t mode, std::size_t most);

/// Engine speed at which an order meets a mode: "1280"; outside the range in brackets, "(130)"; "–"
/// for a mode that does not swing.
[[nodiscard]] std::string critical_text(const ModesRecord& record, const ModeRow& mode,
                                        double order);

/// How many modes of a gear an order can meet; the rest is told by rest_text.
[[nodiscard]] std::size_t modes_met(const ModesRecord& record, const GearModes& gear);

/// "Above 650 Hz, where no order of the list reaches: gear 2, 7 modes from 878 to 4696 Hz; …." or
/// nothing.
[[nodiscard]] std::string rest_text(const ModesRecord& record);

/// What must be known to read the figures.
[[nodiscard]] std::vector<std::string> reading_notes(const ModesRecord& record);

}  // namespace damper
