// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/numerics/screening.hpp"
#include "libdamper/numerics/sobol_sequence.hpp"
#include "libdamper/studies/study_variable.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// How a study chooses its variants.
enum class StudyDesign {
    grid,       ///< All levels of all keys with each other, the last key changing fastest.
    sobol,      ///< Evenly strewn, by the Sobol sequence from its second point on.
    random,     ///< Independent, as a crowd of vehicles is.
    screening,  ///< Trajectories that change one key at a time.
    indices,    ///< Rows A, B and A with one column of B, for shares of variance.
};
[[nodiscard]] std::string name_of(StudyDesign design);

/// Which values each variant has. A variant depends on its number alone: not on threads, shards or
/// the order of the work.
class StudyPlan {
  public:
    /// `asked`: points, vehicles, trajectories or rows; a grid does not need it. Throws InputError
    /// if there are no keys, one key twice, or too many variants.
    StudyPlan(StudyDesign design, std::vector<StudyVariable> variables, std::int64_t asked,
              std::uint64_t seed);

    static constexpr std::int64_t most_variants = 20'000'000;

    [[nodiscard]] StudyDesign design() const { return design_; }
    [[nodiscard]] const std::vector<StudyVariable>& variables() const { return variables_; }
    [[nodiscard]] std::int64_t asked() const { return asked_; }
    [[nodiscard]] std::uint64_t seed() const { return seed_; }
    [[nodiscard]] std::int64_t total() const { return total_; }

    [[nodiscard]] std::vector<double> values(std::uint64_t variant) const;
    /// The same as changes of a description, KEY and VALUE.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> changes(
        const std::vector<double>& values) const;

  private:
    [[nodiscard]] double share(std::uint64_t variant, std::size_t key) const;

    StudyDesign design_;
    std::vector<StudyVariable> variables_;
    std::int64_t asked_;
    std::uint64_t seed_;
    std::int64_t total_ = 0;
    std::optional<SobolSequence> sequence_;
    std::optional<MorrisDesign> trajectories_;
};

}  // namespace damper
