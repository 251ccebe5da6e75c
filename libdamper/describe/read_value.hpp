// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/source_map.hpp"
#include "libdamper/describe/tree.hpp"
#include "libdamper/parts/field.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Turns single values of the tree into numbers and texts. What is wrong becomes a finding, and
/// the result is empty.
class ValueReader {
  public:
    ValueReader(SourceMap& map, std::vector<Finding>& findings) : map_(map), findings_(findings) {}

    /// SI value of a quantity inside its range. Plain numbers may stand without quotation marks.
    [[nodiscard]] std::optional<double> quantity(const TreeNode& node, const std::string& path,
                                                 const Dimension& due, const Range& range);
    [[nodiscard]] std::optional<int> integer(const TreeNode& node, const std::string& path,
                                             const Range& range);
    /// One of the words of `range` if it has any.
    [[nodiscard]] std::optional<std::string> text(const TreeNode& node, const std::string& path,
                                                  const Range& range);

    void refuse(const Spot& spot, const std::string& path, std::string found, std::string expected,
                std::string mend = "");

  private:
    SourceMap& map_;
    std::vector<Finding>& findings_;
};

/// The range in words: "more than 0 kg m2 and at most 50 kg m2".
[[nodiscard]] std::string in_words(const Range& range);

/// What a key with this dimension should hold: "a torque, for example \"150 N m\"".
[[nodiscard]] std::string example_of(const Dimension& due);

}  // namespace damper
