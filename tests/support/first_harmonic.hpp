// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <complex>
#include <cstddef>
#include <vector>

namespace damper::test {

/// The part of `values` at circular frequency `w` [rad/s] over the last whole `cycles`, as the
/// complex amplitude a of Im(a·exp(i·w·t)): its argument is the phase against sin(w·t). The
/// spacing of `time` should divide the period, so that other harmonics drop out.
[[nodiscard]] inline std::complex<double> harmonic_at_end(const std::vector<double>& time,
                                                          const std::vector<double>& values,
                                                          double w, int cycles) {
    const double step = (time.back() - time.front()) / static_cast<double>(time.size() - 1);
    const double period = 6.283185307179586476925 / w;
    const auto count = static_cast<std::size_t>(std::llround(cycles * period / step));
    std::complex<double> sum = 0.0;
    for (std::size_t i = time.size() - count; i < time.size(); ++i) {
        sum += values[i] * std::polar(1.0, -w * time[i]);
    }
    return std::complex<double>(0.0, 2.0) * sum / static_cast<double>(count);
}

}  // namespace damper::test
