// SPDX-License-Identifier: MIT
#include "libdamper/outputs/thin.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

Thinned thin(std::span<const double> x, std::span<const double> y, std::size_t bins) {
    const std::size_t count = std::min(x.size(), y.size());
    Thinned out;
    if (count <= 2 * bins || bins == 0) {
        out.x.assign(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(count));
        out.y.assign(y.begin(), y.begin() + static_cast<std::ptrdiff_t>(count));
        return out;
    }
    for (std::size_t bin = 0; bin < bins; ++bin) {
        const std::size_t first = bin * count / bins;
        const std::size_t end = (bin + 1) * count / bins;
        std::size_t low = end;
        std::size_t high = end;
        for (std::size_t i = first; i < end; ++i) {
            if (!std::isfinite(y[i])) continue;
            if (low == end || y[i] < y[low]) low = i;
            if (high == end || y[i] > y[high]) high = i;
        }
        const double nothing = std::numeric_limits<double>::quiet_NaN();
        out.x.insert(out.x.end(), {x[first], x[first + (end - first) / 2]});
        if (low == end) {
            out.y.insert(out.y.end(), {nothing, nothing});
        } else {
            out.y.insert(out.y.end(), {y[std::min(low, high)], y[std::max(low, high)]});
        }
    }
    return out;
}

}  // namespace damper
