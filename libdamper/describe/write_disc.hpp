// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"

#include <map>
#include <string>
#include <vector>

namespace damper {

/// A disc as a description file that read_disc() takes, every quantity with its unit to six digits.
/// `comments` go behind the values, by key as messages name it ("stages[0].stiffness"); `remarks`
/// before the first key.
[[nodiscard]] std::string disc_toml(const Disc& disc,
                                    const std::map<std::string, std::string>& comments = {},
                                    const std::vector<std::string>& remarks = {});

}  // namespace damper
