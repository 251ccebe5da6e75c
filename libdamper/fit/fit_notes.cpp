// SPDX-License-Identifier: MIT
#include "libdamper/fit/fit_notes.hpp"

namespace damper {

std::vector<std::string> fit_notes(const DiscFit&) {
    return {};
}

}  // namespace damper
