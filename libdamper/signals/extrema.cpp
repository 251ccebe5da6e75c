// SPDX-License-Identifier: MIT
#include "libdamper/signals/extrema.hpp"

namespace damper {
namespace {

Extremum refined(std::span<const double> values, std::size_t index, bool top) {
    const double left = values[index - 1];
    const double middle = values[index];
    const double right = values[index + 1];
    Extremum point{index, static_cast<double>(index), middle, top};
    const double bend = left - 2.0 * middle + right;
    if (bend == 0.0) return point;
    const double shift = 0.5 * (left - right) / bend;
    // A plateau or a kink may throw the vertex out of its interval; the sample is then the best
    // guess.
    if (shift < -1.0 || shift > 1.0) return point;
    point.position += shift;
    point.value = middle - 0.25 * (left - right) * shift;
    return point;
}

}  // namespace

std::vector<Extremum> find_extrema(std::span<const double> values, double least_swing) {
    std::vector<Extremum> points;
    if (values.size() < 3) return points;
    std::size_t highest = 0;
    std::size_t lowest = 0;
    int direction = 0;  // of the move that is under way; 0: not known yet
    for (std::size_t i = 1; i < values.size(); ++i) {
        if (values[i] > values[highest]) highest = i;
        if (values[i] < values[lowest]) lowest = i;
        const bool fell = values[highest] - values[i] > least_swing;
        const bool rose = values[i] - values[lowest] > least_swing;
        if (direction >= 0 && fell) {
            if (highest > 0) points.push_back(refined(values, highest, true));
            direction = -1;
            lowest = i;
        } else if (direction <= 0 && rose) {
            if (lowest > 0) points.push_back(refined(values, lowest, false));
            direction = 1;
            highest = i;
        }
    }
    return points;
}

std::vector<double> derivative(std::span<const double> values, double step) {
    const std::size_t count = values.size();
    std::vector<double> out(count, 0.0);
    if (count < 2) return out;
    const std::size_t last = count - 1;
    if (count == 2) {
        out[0] = out[1] = (values[1] - values[0]) / step;
        return out;
    }
    out[0] = (-3.0 * values[0] + 4.0 * values[1] - values[2]) / (2.0 * step);
    out[last] = (3.0 * values[last] - 4.0 * values[last - 1] + values[last - 2]) / (2.0 * step);
    for (std::size_t i = 1; i < last; ++i) {
        const double near = values[i + 1] - values[i - 1];
        out[i] = i >= 2 && i + 2 <= last
                     ? (8.0 * near - (values[i + 2] - values[i - 2])) / (12.0 * step)
                     : near / (2.0 * step);
    }
    return out;
}

}  // namespace damper
