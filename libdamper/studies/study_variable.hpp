// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/distribution.hpp"
#include "libdamper/quantity/quantity.hpp"
#include "libdamper/results/study_head.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>
#include <utility>

namespace damper {

/// A key of a description with the values that a study gives it.
struct StudyVariable {
    StudyKey key;
    Dimension dimension;        ///< Of the values; none where they multiply.
    Distribution distribution;  ///< Unless there are choices.
};

/// What is wrong with a range or a spread, apart, for whoever knows its place in a file.
class RangeFault : public InputError {
  public:
    RangeFault(const std::string& whole, std::string found, std::string expected)
        : InputError(whole), found_(std::move(found)), expected_(std::move(expected)) {}
    [[nodiscard]] const std::string& found() const { return found_; }
    [[nodiscard]] const std::string& expected() const { return expected_; }

  private:
    std::string found_, expected_;
};

/// "KEY=LOW..HIGH" or "KEY=LOW..HIGH:N" with N levels of a grid, "KEY=times 0.5..2:7" for factors
/// on what the files say, "KEY=one|another" for words and parts. LOW may leave out the unit of
/// HIGH. Throws RangeFault, which begins with `option`.
[[nodiscard]] StudyVariable read_range(const std::string& text,
                                       const std::string& option = "--over");

/// "KEY=normal(MEAN, SD)", "normal(MEAN, SD, LOW, HIGH)" cut off at both ends, "uniform(LOW,
/// HIGH)", "triangular(LOW, PEAK, HIGH)". `nominal` stands for what the files say, "times 0.9" for
/// 0.9 of it, and an SD in % is a share of the mean. Throws RangeFault, which begins with `option`.
[[nodiscard]] StudyVariable read_spread(const std::string& text, const Scenario& nominal,
                                        const std::string& option = "--spread");

/// The value below which a share of the distribution lies.
[[nodiscard]] double value_at(const StudyVariable& variable, double share);

/// The value as a description holds it, to the last bit: "0.45 N m/deg", "times 1.03", a choice.
[[nodiscard]] std::string text_of(const StudyVariable& variable, double value);

}  // namespace damper
