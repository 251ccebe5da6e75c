// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/gear_impacts.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/measures/stage_use.hpp"
#include "libdamper/signals/spectrum.hpp"
#include "libdamper/signals/speed_course.hpp"

#include <string>
#include <vector>

namespace damper {

/// All that is measured of a run.
struct Measured {
    std::vector<MeasureValue> measures;
    /// Idle and creep only, and only of stored signals: flywheel and input shaft acceleration.
    std::vector<OrderSpectrum> spectra;
    SpeedCourse course;  ///< Pull and overrun only: the firing order over engine speed.
    std::vector<StageUse> stage_use;        ///< From the coast stop to the drive stop.
    std::vector<GearImpacts> gear_impacts;  ///< Loose gears first, then the loaded lashes.
    std::vector<std::string> notes;         ///< Why a measure that belongs here is absent.
};

void add_measure(Measured& measured, std::string name, std::string units, Better better,
                 double value, std::string definition);

}  // namespace damper
