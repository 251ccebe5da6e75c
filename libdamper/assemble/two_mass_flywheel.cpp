// SPDX-License-Identifier: MIT
#include "libdamper/assemble/two_mass_flywheel.hpp"

#include <utility>

namespace damper {

namespace {

double springs_left(const ArcStage& stage) {
    if (stage.springs == 0) return 1.0;
    return static_cast<double>(stage.springs - stage.springs_broken) / stage.springs;
}

}  // namespace

StagedSpring staged_spring(const TwoMassFlywheel& flywheel, double speed) {
    StagedSpring out{
        .name = "two-mass flywheel", .stages = {}, .stop_stiffness = flywheel.stop_stiffness.si()};
    const double half_free = 0.5 * flywheel.free_angle.si();
    const double worn = flywheel.friction_factor.si();
    const double grip = flywheel.friction_grip.si();
    if (half_free > 0.0) {
        out.stages.push_back({.name = "free",
                              .drive_end = half_free,
                              .coast_end = half_free,
                              .friction_limit = 0.5 * flywheel.base_hysteresis.si() * worn,
                              .friction_grip = grip * flywheel.stages.front().stiffness.si()});
    }
    const double turning = speed / flywheel.arc_reference_speed.si();
    const double width =
        flywheel.arc_hysteresis.si() + flywheel.arc_hysteresis_growth.si() * turning * turning;
    for (const ArcStage& stage : flywheel.stages) {
        const double left = springs_left(stage);
        SpringStage s{.name = stage.name,
                      .drive_stiffness = left * stage.stiffness.si(),
                      .drive_end = stage.drive_end.si(),
                      .coast_end = stage.coast_end.si(),
                      .friction_limit = 0.5 * width * worn};
        s.coast_stiffness = stage.coast_stiffness.si() > 0.0 ? left * stage.coast_stiffness.si()
                                                             : s.drive_stiffness;
        s.friction_grip = grip * s.drive_stiffness;
        out.stages.push_back(std::move(s));
    }
    return out;
}

Branch flywheel_branch(const TwoMassFlywheel& flywheel, double speed, int primary, int secondary) {
    return {.name = "two-mass flywheel",
            .kind = "two-mass flywheel",
            .row = {{primary, 1.0}, {secondary, -1.0}},
            .damping = flywheel.damping.si(),
            .chain = staged_cells(staged_spring(flywheel, speed))};
}

double crankshaft_inertia(const Vehicle& vehicle) {
    const Engine& engine = vehicle.engine;
    if (!vehicle.two_mass_flywheel) return engine.inertia.si();
    return engine.inertia.si() - engine.flywheel_inertia.si() +
           vehicle.two_mass_flywheel->primary_inertia.si();
}

}  // namespace damper
