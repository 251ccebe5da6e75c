// SPDX-License-Identifier: MIT
#pragma once

namespace damper::test {

/// Engine, gearbox, wheels and vehicle in a row. Typical values put together for four classes, no
/// vehicle's; SI units. The frequencies [Hz] were computed from the chain referred to the engine
/// shaft by an independent eigenvalue routine (derived).
struct SeedDriveline {
    const char* name;
    double engine, hub, output, final_inertia, wheels, ratio, final_drive, main, shafts, tyre,
        radius, mass;
    double expected[3];
};

// clang-format off
inline constexpr SeedDriveline seed_drivelines[] = {
    {"car 1", 0.17, 0.006, 0.014, 0.031, 2, 3.5, 3.7, 950, 5e3, 4e4, 0.32, 1400, {2.111, 23.97, 59.4}},
    {"car top", 0.17, 0.006, 0.014, 0.031, 2, 0.8, 3.7, 950, 5e3, 4e4, 0.32, 1400, {6.771, 23.36, 36.8}},
    {"van 1", 0.30, 0.010, 0.03, 0.08, 4, 4.2, 3.9, 1500, 9e3, 7e4, 0.34, 3500, {1.691, 22.43, 58.0}},
    {"van top", 0.30, 0.010, 0.03, 0.08, 4, 0.72, 3.9, 1500, 9e3, 7e4, 0.34, 3500, {6.814, 21.62, 31.2}},
    {"medium 1", 1.0, 0.04, 0.10, 0.3, 20, 6.5, 4.3, 3500, 3e4, 24e4, 0.40, 10000, {1.113, 18.57, 46.7}},
    {"medium top", 1.0, 0.04, 0.10, 0.3, 20, 0.8, 4.3, 3500, 3e4, 24e4, 0.40, 10000, {5.660, 18.01, 27.7}},
    {"heavy 1", 2.6, 0.09, 0.31, 0.8, 52.4, 11.06, 2.579, 9000, 65e3, 6e5, 0.506, 15000, {1.027, 18.02, 50.5}},
    {"heavy top", 2.6, 0.09, 0.31, 0.8, 52.4, 1.0, 2.579, 9000, 65e3, 6e5, 0.506, 15000, {6.411, 17.50, 31.3}},
};
// clang-format on

}  // namespace damper::test
