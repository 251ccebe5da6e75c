// SPDX-License-Identifier: MIT
#include "libdamper/measures/measured.hpp"

#include <utility>

namespace damper {

void add_measure(Measured& measured, std::string name, std::string units, Better better,
                 double value, std::string definition) {
    measured.measures.push_back(
        {std::move(name), std::move(units), std::move(definition), better, value, std::nullopt});
}

}  // namespace damper
