// SPDX-License-Identifier: MIT
#include "libdamper/parts/disc.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

namespace damper {

namespace {

void check_end(const Disc& disc, std::size_t i, std::string_view key, Angle DiscStage::*end,
               std::vector<Finding>& findings) {
    const Angle before = disc.stages[i - 1].*end;
    const Angle here = disc.stages[i].*end;
    if (here > before) return;
    findings.push_back(
        {{},
         fmt::format("stages[{}].{}", i, key),
         fmt::format("{}, but stages[{}] ends at {}", write_quantity(here), i - 1,
                     write_quantity(before)),
         "more than " + write_quantity(before),
         "Stages are listed from the inside out and give the twist of the whole disc; each must "
         "end further out than the one before. Give a larger twist, or swap the two stages."});
}

void check_springs(const DiscStage& stage, std::size_t i, std::vector<Finding>& findings) {
    if (stage.springs_broken == 0 || stage.springs_broken < stage.springs) return;
    const bool unknown = stage.springs == 0;
    findings.push_back(
        {{},
         fmt::format("stages[{}].springs_broken", i),
         fmt::format("{} of {}", stage.springs_broken,
                     unknown ? "an unknown number" : fmt::format("{}", stage.springs)),
         unknown ? "0, or the number of springs as well" : "fewer broken springs than springs",
         unknown ? "Add springs = N to the stage."
                 : "A stage without any spring is no stage: leave it out."});
}

void check_play(const DiscStage& stage, std::size_t i, const Angle& inner_drive,
                const Angle& inner_coast, std::vector<Finding>& findings) {
    const double travel =
        stage.drive_end.si() - inner_drive.si() + stage.coast_end.si() - inner_coast.si();
    if (stage.friction_play.si() == 0.0 || stage.friction_play.si() < travel) return;
    findings.push_back({{},
                        fmt::format("stages[{}].friction_play", i),
                        write_quantity(stage.friction_play),
                        "less than the travel of the stage from end to end, which is " +
                            write_quantity(Angle::from_si(travel)),
                        "With so much play the friction washer would never take hold."});
}

/// The preload step takes a narrow angle, preload over stop stiffness; the stage must be longer.
void check_preload(const Disc& disc, std::size_t i, const Angle& inner_drive,
                   const Angle& inner_coast, std::vector<Finding>& findings) {
    const DiscStage& stage = disc.stages[i];
    const double shortest =
        std::min(stage.drive_end.si() - inner_drive.si(), stage.coast_end.si() - inner_coast.si());
    if (stage.preload.si() < shortest * disc.stop_stiffness.si()) return;
    findings.push_back(
        {{},
         fmt::format("stages[{}].preload", i),
         write_quantity(stage.preload),
         fmt::format("less than stop_stiffness times the shorter travel of the stage, which is {}",
                     write_quantity(Torque::from_si(shortest * disc.stop_stiffness.si()))),
         "With so much preload the stage would end before it begins to move."});
}

}  // namespace

std::vector<Finding> check(const Disc& disc) {
    std::vector<Finding> findings;
    if (disc.stages.empty()) {
        findings.push_back({{}, "stages", "no stage", "1 to 6 stages", "Add a table [[stages]]."});
        return findings;
    }
    Angle inner_drive, inner_coast;
    for (std::size_t i = 0; i < disc.stages.size(); ++i) {
        if (i > 0) {
            check_end(disc, i, "drive_end", &DiscStage::drive_end, findings);
            check_end(disc, i, "coast_end", &DiscStage::coast_end, findings);
        }
        check_springs(disc.stages[i], i, findings);
        if (findings.empty()) check_play(disc.stages[i], i, inner_drive, inner_coast, findings);
        if (findings.empty()) check_preload(disc, i, inner_drive, inner_coast, findings);
        inner_drive = disc.stages[i].drive_end;
        inner_coast = disc.stages[i].coast_end;
    }
    for (std::size_t i = 0; i < disc.stages.size(); ++i) {
        const DiscStage& stage = disc.stages[i];
        const Stiffness hardest = std::max(stage.stiffness, stage.coast_stiffness);
        if (disc.stop_stiffness >= hardest) continue;
        findings.push_back(
            {{},
             "stop_stiffness",
             write_quantity(disc.stop_stiffness),
             fmt::format("at least the stiffness of stages[{}], which is {}", i,
                         write_quantity(hardest)),
             "The stops are metal on metal: 10 times the last stage and more is usual."});
        break;
    }
    if (disc.assembly == "series" && disc.flange_inertia.si() <= 0.0) {
        findings.push_back({{},
                            "flange_inertia",
                            write_quantity(disc.flange_inertia),
                            "more than 0 kg m2, because assembly is \"series\"",
                            "Give the inertia between first and second stage, or \"lumped\"."});
    }
    return findings;
}

}  // namespace damper
