// SPDX-License-Identifier: MIT
#include "libdamper/outputs/slipping_words.hpp"

#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <cmath>
#include <fmt/format.h>

namespace damper {

std::string slipping_words(const ModesRecord& record) {
    if (record.slipping.empty()) return {};
    const SlippingModes& first = record.slipping.front();
    const std::string friction =
        first.gradient == 0.0
            ? "friction the same at every slip speed"
            : fmt::format("friction {} by {:.4f} a m/s",
                          first.gradient < 0.0 ? "falling" : "rising", std::abs(first.gradient));
    return fmt::format(
        "Taking up in gear {}, {:g} m/s of slip at the mean radius, {}. Engine and gearbox are "
        "coupled by the friction of the faces alone. A mode that grows swells by itself; \"flat\" "
        "is the same mode if friction did not change with slip. Felt: how much of it the vehicle's "
        "acceleration takes from a torque of the faces, of the mode that it takes most from. "
        "Friction inside the disc, left out here, damps a real take-up more.",
        first.gear, first.slip_speed, friction);
}

std::vector<std::vector<std::string>> slipping_cells(const ModesRecord& record) {
    std::vector<std::vector<std::string>> rows;
    const double highest = highest_met(record);
    for (const SlippingModes& point : record.slipping) {
        std::string clamp = fmt::format("{:.0f} % ({:.0f} N, {:.0f} N m)",
                                        100.0 * point.clamp_share, point.clamp, point.torque);
        for (std::size_t m = 0; m < point.modes.size(); ++m) {
            const SlippingRow& mode = point.modes[m];
            if (mode.frequency > highest) break;
            rows.push_back(
                {clamp, mode.name.empty() ? fmt::format("mode {}", m + 1) : mode.name,
                 number_text(mode.frequency), fmt::format("{:+.3g}", mode.growth),
                 std::isfinite(mode.flat_growth) ? fmt::format("{:+.3g}", mode.flat_growth) : "–",
                 percent_text(mode.damping_ratio), percent_text(mode.felt),
                 moving_text(point, mode)});
            clamp.clear();
        }
    }
    return rows;
}

}  // namespace damper
