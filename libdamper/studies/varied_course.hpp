// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/orbit_family.hpp"

#include <functional>
#include <map>
#include <memory>
#include <string>

namespace damper {

/// A key of the description, varied at a held engine speed.
struct OrbitVary {
    std::string key;
    std::string units;            ///< Of the values, UDUNITS; "1" where they multiply.
    bool multiplies = false;      ///< The value is a factor on what the files say.
    double from = 0.0, to = 0.0;  ///< Different.
    double speed = 0.0;           ///< Of the engine [rad/s], > 0
    /// The scenario with that value. Throws InputError where there can be none.
    std::function<Scenario(double value)> scenario_at;
};

/// Drivelines at one engine speed, assembled anew for every value of a key. What is assembled must
/// be alike over the range: a value that takes an element out (no friction, no play) or brings one
/// in is refused with an InputError.
class VariedCourse final : public OrbitCourse {
  public:
    /// `request` says how the engine is run; its speeds are not used. Throws InputError.
    VariedCourse(OrbitVary vary, OrbitRequest request);

    [[nodiscard]] PeriodicProblem at(double value) const override;
    [[nodiscard]] double engine_speed(double) const override { return vary_.speed; }
    [[nodiscard]] double mean_torque(double value) const override;
    [[nodiscard]] const Assembled& assembled() const override { return first_->assembled(); }
    [[nodiscard]] double first_order() const override { return first_->first_order(); }

  private:
    [[nodiscard]] std::shared_ptr<const OrbitFamily> family(double value) const;
    [[nodiscard]] std::shared_ptr<const OrbitFamily> assembled_at(double value) const;

    OrbitVary vary_;
    OrbitRequest request_;
    std::shared_ptr<const OrbitFamily> first_;
    /// A search asks again and again for the same values.
    mutable std::map<double, std::shared_ptr<const OrbitFamily>> known_;
};

}  // namespace damper
