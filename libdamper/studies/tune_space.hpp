// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/study_variable.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace damper {

/// A key that a search may choose, and from where to where.
struct TuneKey {
    StudyVariable variable;
    double low = 0.0, high = 0.0;  ///< SI, or factors.
    double fitted = 0.0;           ///< Not a number if the files do not tell.
    bool logarithmic = false;      ///< Searched by its logarithm: stiffness, friction.
    std::string follower;          ///< Keeps its ratio: the coast side's stiffness. May be empty.
    double follower_ratio = 1.0;
    std::string why;
};

/// The free keys as a cube with sides from 0 to 1, and back as values that a description can hold.
class TuneSpace {
  public:
    explicit TuneSpace(std::vector<TuneKey> keys);

    [[nodiscard]] const std::vector<TuneKey>& keys() const { return keys_; }
    /// Values at a point of the cube, rounded to four digits in the units of a description, so that
    /// what is tried is what a file can say.
    [[nodiscard]] std::vector<double> values(const std::vector<double>& cube) const;
    [[nodiscard]] std::vector<double> cube(const std::vector<double>& values) const;
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> changes(
        const std::vector<double>& values) const;

  private:
    std::vector<TuneKey> keys_;
};

/// Keys for stiffness, ends and friction of every stage of the fitted disc, with the ranges that
/// are usual for the class of the vehicle (recalled, no source), widened to take in the fitted
/// disc. Where the coast side has a stiffness of its own, it keeps its ratio to the drive side.
[[nodiscard]] std::vector<TuneKey> usual_keys(const Disc& fitted, std::string_view vehicle_class);

/// What the user asks for: "KEY=LOW..HIGH", or "KEY" with its usual range; an empty list means all
/// usual keys. Throws InputError with `option` named.
[[nodiscard]] std::vector<TuneKey> free_keys(const std::vector<std::string>& asked,
                                             const Scenario& scenario, const std::string& option);

}  // namespace damper
