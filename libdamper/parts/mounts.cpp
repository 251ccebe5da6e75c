// SPDX-License-Identifier: MIT
#include "libdamper/parts/mounts.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <string_view>

namespace damper {

std::vector<Finding> check(const Mounts& mounts) {
    std::vector<Finding> findings;
    const auto check_stop = [&](std::string_view key, const Angle& stop) {
        if (stop.si() == 0.0 || stop.si() > 0.5 * mounts.free_play.si()) return;
        findings.push_back({{},
                            std::string(key),
                            write_quantity(stop),
                            "more than half the free play, which is " +
                                write_quantity(Angle::from_si(0.5 * mounts.free_play.si())),
                            "The stop would be met before the mount carries anything: give a "
                            "wider stop, or less free_play."});
    };
    check_stop("drive_stop", mounts.drive_stop);
    check_stop("coast_stop", mounts.coast_stop);
    const bool stops = mounts.drive_stop.si() > 0.0 || mounts.coast_stop.si() > 0.0;
    const Stiffness soft =
        Stiffness::from_si(mounts.roll_stiffness.si() * mounts.stiffness_factor.si());
    if (stops && mounts.stop_stiffness < soft) {
        findings.push_back({{},
                            "stop_stiffness",
                            write_quantity(mounts.stop_stiffness),
                            "at least the roll stiffness, which is " + write_quantity(soft),
                            "A mount on its stop is stiffer than before: 3 to 20 times is usual."});
    }
    return findings;
}

}  // namespace damper
