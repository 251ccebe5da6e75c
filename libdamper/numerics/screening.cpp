// SPDX-License-Identifier: MIT
#include "libdamper/numerics/screening.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace damper {

MorrisDesign::MorrisDesign(std::size_t inputs, std::size_t trajectories, std::uint64_t seed)
    : inputs_(inputs), trajectories_(trajectories), seed_(seed) {
    if (inputs == 0 || trajectories == 0) {
        throw ModelError("screening needs at least one input and one trajectory");
    }
}

std::vector<double> MorrisDesign::point(std::uint64_t index) const {
    const std::uint64_t trajectory = index / (inputs_ + 1);
    const std::uint64_t steps = index % (inputs_ + 1);
    std::vector<double> x(inputs_);
    for (std::size_t i = 0; i < inputs_; ++i) {
        // From one of the two lower levels the step leads up, from the two upper ones down.
        const double pick = counted_random(seed_, trajectory, i);
        x[i] = 0.125 + 0.25 * std::floor(4.0 * pick);
    }
    std::vector<std::size_t> order(inputs_);
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = inputs_; i > 1; --i) {
        const double pick = counted_random(seed_, trajectory, inputs_ + i);
        std::swap(order[i - 1], order[static_cast<std::size_t>(pick * static_cast<double>(i))]);
    }
    for (std::size_t s = 0; s < steps; ++s) {
        double& moved = x[order[s]];
        moved += moved < 0.5 ? step : -step;
    }
    return x;
}

std::vector<ElementaryEffects> elementary_effects(const MorrisDesign& design, std::size_t inputs,
                                                  std::span<const double> values) {
    if (values.size() != design.points()) {
        throw ModelError("elementary effects need one value a point");
    }
    std::vector<std::vector<double>> effects(inputs);
    for (std::size_t p = 0; p + 1 < values.size(); ++p) {
        if ((p + 1) % (inputs + 1) == 0) continue;  // the next point begins another trajectory
        const auto from = design.point(p);
        const auto to = design.point(p + 1);
        for (std::size_t i = 0; i < inputs; ++i) {
            if (from[i] == to[i]) continue;
            const double effect = (values[p + 1] - values[p]) / (to[i] - from[i]);
            if (std::isfinite(effect)) effects[i].push_back(effect);
        }
    }
    std::vector<ElementaryEffects> out(inputs);
    for (std::size_t i = 0; i < inputs; ++i) {
        const auto n = static_cast<double>(effects[i].size());
        out[i].effects = effects[i].size();
        if (effects[i].empty()) continue;
        for (const double effect : effects[i]) {
            out[i].mean += effect / n;
            out[i].mean_absolute += std::abs(effect) / n;
        }
        double squares = 0.0;
        for (const double e : effects[i]) squares += (e - out[i].mean) * (e - out[i].mean);
        out[i].deviation = effects[i].size() > 1 ? std::sqrt(squares / (n - 1.0)) : 0.0;
    }
    return out;
}

}  // namespace damper
