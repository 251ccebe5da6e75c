// SPDX-License-Identifier: MIT
#include "libdamper/solvers/response/transfer.hpp"

#include "libdamper/base/error.hpp"

#include <fmt/format.h>

namespace damper {

std::complex<double> amplitude_at(const Pickup& pickup, const Linearised& linear,
                                  const Eigen::VectorXcd& angles, double frequency) {
    const std::size_t count = of_inertia(pickup.observed) ? static_cast<std::size_t>(angles.size())
                                                          : linear.elements.size();
    if (pickup.index >= count) {
        throw ModelError(fmt::format("there are {} places to look at, not one of number {}", count,
                                     pickup.index));
    }
    const std::complex<double> rate(0.0, frequency);  // d/dt
    if (of_inertia(pickup.observed)) {
        const std::complex<double> angle = angles(static_cast<Eigen::Index>(pickup.index));
        if (pickup.observed == Observed::angle) return angle;
        return pickup.observed == Observed::speed ? rate * angle : -frequency * frequency * angle;
    }
    const LinearElement& element = linear.elements[pickup.index];
    const std::complex<double> twist = element.row.cast<std::complex<double>>().dot(angles);
    if (pickup.observed == Observed::twist) return twist;
    if (pickup.observed == Observed::twist_rate) return rate * twist;
    return (element.stiffness + rate * element.damping) * twist;
}

Transfer::Transfer(const Linearised& linear)
    : linear_(linear), stiffness_(linear.mass, linear.damping, linear.stiffness) {}

Eigen::VectorXcd Transfer::angles(std::size_t inertia) const {
    const Eigen::Index n = linear_.mass.size();
    if (inertia >= static_cast<std::size_t>(n)) {
        throw ModelError(fmt::format("there are {} inertias, not one of number {}", n, inertia));
    }
    return stiffness_.angles(Eigen::VectorXcd::Unit(n, static_cast<Eigen::Index>(inertia)));
}

std::vector<std::complex<double>> transfer_function(const Linearised& linear, std::size_t from,
                                                    const Pickup& to,
                                                    std::span<const double> frequencies) {
    Transfer transfer(linear);
    std::vector<std::complex<double>> out;
    out.reserve(frequencies.size());
    for (const double frequency : frequencies) {
        transfer.set(frequency);
        out.push_back(transfer.between(from, to));
    }
    return out;
}

}  // namespace damper
