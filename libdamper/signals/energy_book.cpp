// SPDX-License-Identifier: MIT
#include "libdamper/signals/energy_book.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

double EnergyBook::unbalanced() const {
    double sum = 0.0;
    for (const Entry& entry : entries) {
        sum += entry.supplied - entry.dissipated - entry.stored_change;
    }
    return sum;
}

double EnergyBook::turnover() const {
    double supplied = 0.0;
    double dissipated = 0.0;
    for (const Entry& entry : entries) {
        supplied += std::abs(entry.supplied);
        dissipated += std::abs(entry.dissipated);
    }
    return std::max(supplied, dissipated);
}

double EnergyBook::residual() const {
    const double scale = turnover();
    return scale > 0.0 ? std::abs(unbalanced()) / scale : 0.0;
}

}  // namespace damper
