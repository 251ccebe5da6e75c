// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/schema.hpp"
#include "libdamper/scenario/study_file.hpp"

#include <filesystem>

namespace damper {

/// The shape of a study file, of all kinds together.
[[nodiscard]] const PartSchema& study_schema();

/// Reads a study file:
///
///     study = "vary"                        # or scatter, tune, compare
///     scenarios = ["car_idle_hot"]          # names, or files beside this one
///     causes = ["idle_friction_stuck"]
///     [set]                                 # KEY = VALUE, as --set takes it
///     vary:     [over] KEY = RANGE; design, count, seed, measures
///     scatter:  [spread] KEY = SPREAD; count, seed, measures
///     tune:     [free] KEY = LOW..HIGH or "usual"; [[conditions]], leave_out, front, evaluations,
///               seed, method; [packaging] drive_twist, coast_twist, stop_torque,
///               coast_stop_torque, spring_work
///     compare:  [[discs]] and [[conditions]] with name, part (discs), causes and [….set]
///
/// Throws InputError with every finding, FileError.
[[nodiscard]] StudyFile read_study(const std::filesystem::path& file);

}  // namespace damper
