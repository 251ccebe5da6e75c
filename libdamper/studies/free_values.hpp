// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/studies/study_variable.hpp"

#include <Eigen/Core>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// One number that is free within a range. Factors over more than an octave go by their logarithm.
struct FreeValue {
    std::string name;  ///< The key, with its place where it stands in a list.
    StudyVariable variable;
    bool logarithmic = false;

    /// Value at a share 0…1 of the range, and back.
    [[nodiscard]] double at(double share) const;
    [[nodiscard]] double share_of(double value) const;
};

/// Numbers of a description that are free, and the changes that set them.
class FreeValues {
  public:
    /// "KEY=LOW..HIGH", "KEY=times 0.5..2" or a list with ranges in it, "KEY=[1, 0.3..1, 1, 1]".
    /// Throws InputError for anything else, or a key that comes twice.
    explicit FreeValues(const std::vector<std::string>& texts,
                        const std::string& option = "--free");

    [[nodiscard]] const std::vector<FreeValue>& values() const { return values_; }
    /// Key and value, as --set takes them, at shares of the ranges.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> changes(
        const Eigen::VectorXd& shares) const;

  private:
    struct Key {
        std::string key;
        std::vector<std::string> pieces;  ///< Text around its values, one more than there are.
        std::vector<std::size_t> values;
    };
    void take_list(const std::string& key, const std::string& list, const std::string& option);

    std::vector<FreeValue> values_;
    std::vector<Key> keys_;
};

}  // namespace damper
