// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"

#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// A place in one of the sources of a SourceMap. Lines and columns count from 1; 0: as a whole.
struct Spot {
    std::size_t source = 0;
    int line = 0;
    int column = 0;
};

/// The texts that were read, and where in them each key got its value. Kept beside the parts, not
/// in them, so that parts made in C++ get the same messages, only without a place.
class SourceMap {
  public:
    /// Takes in a text under the name that messages give it. Returns its number.
    std::size_t add(std::string name, std::string_view text);

    [[nodiscard]] const std::string& name(std::size_t source) const;
    /// With the line quoted, shortened where it is long.
    [[nodiscard]] Place place(const Spot& spot) const;
    /// "file:line", or the name alone if there is no line.
    [[nodiscard]] std::string where(const Spot& spot) const;

    void note(const std::string& key_path, const Spot& spot);
    /// Where the key got its value; if it is not known, that of the key around it. Null if neither.
    [[nodiscard]] const Spot* find(std::string key_path) const;

  private:
    struct Source {
        std::string name;
        std::vector<std::string> lines;
    };
    std::vector<Source> sources_;
    std::map<std::string, Spot> spots_;
};

}  // namespace damper
