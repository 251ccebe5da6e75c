// SPDX-License-Identifier: MIT
#include "libdamper/parts/two_mass_flywheel.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

namespace damper {

namespace {

void check_end(std::size_t i, std::string_view key, const Angle& before, const Angle& here,
               std::vector<Finding>& findings) {
    if (here > before) return;
    const std::string what =
        i == 0 ? "half the free angle is" : fmt::format("stages[{}] ends at", i - 1);
    findings.push_back(
        {{},
         fmt::format("stages[{}].{}", i, key),
         fmt::format("{}, but {} {}", write_quantity(here), what, write_quantity(before)),
         "more than " + write_quantity(before),
         "Twists are measured from the middle of the free angle; each stage ends further out than "
         "the one before."});
}

void check_springs(const ArcStage& stage, std::size_t i, std::vector<Finding>& findings) {
    if (stage.springs_broken == 0 || stage.springs_broken < stage.springs) return;
    const bool unknown = stage.springs == 0;
    findings.push_back(
        {{},
         fmt::format("stages[{}].springs_broken", i),
         fmt::format("{} of {}", stage.springs_broken,
                     unknown ? "an unknown number" : fmt::format("{}", stage.springs)),
         unknown ? "0, or the number of springs as well" : "fewer broken springs than springs",
         unknown ? "Add springs = N to the stage."
                 : "With every arc spring torn nothing carries the torque but the stops: such a "
                   "flywheel does not drive."});
}

}  // namespace

std::vector<Finding> check(const TwoMassFlywheel& flywheel) {
    std::vector<Finding> findings;
    if (flywheel.stages.empty()) {
        findings.push_back({{}, "stages", "no stage", "1 to 4 stages", "Add a table [[stages]]."});
        return findings;
    }
    Angle drive = Angle::from_si(0.5 * flywheel.free_angle.si());
    Angle coast = drive;
    for (std::size_t i = 0; i < flywheel.stages.size(); ++i) {
        const ArcStage& stage = flywheel.stages[i];
        check_end(i, "drive_end", drive, stage.drive_end, findings);
        check_end(i, "coast_end", coast, stage.coast_end, findings);
        check_springs(stage, i, findings);
        drive = stage.drive_end;
        coast = stage.coast_end;
    }
    for (std::size_t i = 0; i < flywheel.stages.size(); ++i) {
        const Stiffness hardest =
            std::max(flywheel.stages[i].stiffness, flywheel.stages[i].coast_stiffness);
        if (flywheel.stop_stiffness >= hardest) continue;
        findings.push_back(
            {{},
             "stop_stiffness",
             write_quantity(flywheel.stop_stiffness),
             fmt::format("at least the stiffness of stages[{}], which is {}", i,
                         write_quantity(hardest)),
             "The stops are metal on metal: 10 times the last stage and more is usual."});
        break;
    }
    return findings;
}

}  // namespace damper
