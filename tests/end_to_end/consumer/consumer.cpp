// SPDX-License-Identifier: MIT
#include <cstdio>
#include <libdamper/base/error.hpp>
#include <libdamper/results/result_file.hpp>
#include <libdamper/studies/run_one.hpp>

/// Uses a disc made in C++ and the whole way from it to a loop; and a reader that needs HDF5.
int main() {
    damper::DiscStage stage;
    stage.name = "main";
    stage.stiffness = damper::Stiffness::from_si(1000.0);
    stage.drive_end = damper::Angle::from_si(0.2);
    stage.coast_end = damper::Angle::from_si(0.1);
    stage.hysteresis = damper::Torque::from_si(10.0);
    stage.friction_factor = damper::Ratio::from_si(1.0);
    damper::Disc disc;
    disc.title = "made in C++";
    disc.assembly = "lumped";
    disc.stages = {stage};
    disc.stop_stiffness = damper::Stiffness::from_si(20000.0);
    disc.friction_grip = damper::Ratio::from_si(40.0);
    const damper::DiscLoop loop = damper::quasi_static_loop(disc);
    std::printf("%zu points\n", loop.twist.size());

    try {
        (void)damper::read_result("/no/such/result.h5");
    } catch (const damper::InputError&) {
        return loop.twist.size() > 10 ? 0 : 1;
    }
    return 1;
}
