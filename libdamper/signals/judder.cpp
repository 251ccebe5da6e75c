// SPDX-License-Identifier: MIT
#include "libdamper/signals/judder.hpp"

#include "libdamper/signals/filter.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace damper {

std::vector<double> judder_band(std::span<const double> values, double step) {
    std::vector<double> band = low_pass_zero_phase(values, step, judder_high, 4);
    const std::vector<double> slow = low_pass_zero_phase(values, step, judder_low, 4);
    for (std::size_t i = 0; i < band.size(); ++i) band[i] -= slow[i];
    return band;
}

std::span<const double> even_part(std::span<const double> band) {
    constexpr double late = 0.4, half = 0.5, twentieth = 0.05;
    const auto size = [](double a, double b) { return std::abs(a) < std::abs(b); };
    const auto top = std::ranges::max_element(band, size);
    const auto at = static_cast<std::size_t>(top - band.begin());
    const double largest = std::abs(*top);
    if (static_cast<double>(at) > late * static_cast<double>(band.size())) {
        std::size_t end = 0;
        while (std::abs(band[end]) < half * largest) ++end;
        return band.first(end);
    }
    std::size_t end = band.size();
    while (end > at && std::abs(band[end - 1]) < twentieth * largest) --end;
    return band.subspan(at, end - at);
}

std::optional<DampedSine> judder_sine(std::span<const double> band, double step) {
    constexpr double explained_at_least = 0.6;
    const auto sine = fit_damped_sine(even_part(band), step, judder_low, judder_high);
    if (!sine || !(sine->explained > explained_at_least)) return std::nullopt;
    return sine;
}

}  // namespace damper
