// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/crank_series.hpp"

#include <cmath>
#include <cstddef>
#include <numeric>

namespace damper {

namespace {

long half_orders(const CrankHarmonic& harmonic) {
    return std::lround(2.0 * harmonic.order);
}

}  // namespace

CrankSeries::CrankSeries(const CrankTorque& torque) {
    long common = 0;
    for (const CrankHarmonic& h : torque.harmonics) common = std::gcd(common, half_orders(h));
    if (common == 0) common = 1;
    step_ = 0.5 * static_cast<double>(common);
    fours_.resize(1);
    fours_[0].real[0] = torque.mean;
    for (const CrankHarmonic& h : torque.harmonics) {
        const auto at = static_cast<std::size_t>(half_orders(h) / common);
        if (at / 4 >= fours_.size()) fours_.resize(at / 4 + 1);
        fours_[at / 4].real[at % 4] += h.cosine;
        fours_[at / 4].imaginary[at % 4] -= h.sine;
    }
}

double CrankSeries::at(double angle) const {
    const double c1 = std::cos(step_ * angle), s1 = std::sin(step_ * angle);
    const double c2 = c1 * c1 - s1 * s1, s2 = 2.0 * c1 * s1;
    const double c3 = c2 * c1 - s2 * s1, s3 = s2 * c1 + c2 * s1;
    const double c4 = c2 * c2 - s2 * s2, s4 = 2.0 * c2 * s2;
    Four sum = fours_.back();
    for (std::size_t m = fours_.size() - 1; m-- > 0;) {
        const Four& next = fours_[m];
        for (std::size_t j = 0; j < 4; ++j) {
            const double real = sum.real[j], imaginary = sum.imaginary[j];
            sum.real[j] = next.real[j] + (real * c4 - imaginary * s4);
            sum.imaginary[j] = next.imaginary[j] + (real * s4 + imaginary * c4);
        }
    }
    return (sum.real[0] + (sum.real[1] * c1 - sum.imaginary[1] * s1)) +
           ((sum.real[2] * c2 - sum.imaginary[2] * s2) +
            (sum.real[3] * c3 - sum.imaginary[3] * s3));
}

SpeedSeries::SpeedSeries(const SpeedTorque& torque) : places_(torque) {
    for (SpeedTorque::Map& map : places_.maps) {
        series_.emplace_back(map.at.begin(), map.at.end());
        map.at.clear();
    }
}

double SpeedSeries::at(double t, double angle, double speed) const {
    const auto map = static_cast<std::size_t>(&places_.map_at(t) - places_.maps.data());
    const std::vector<CrankSeries>& at = series_[map];
    const std::size_t piece = places_.piece_of(speed);
    if (piece == 0) return at.front().at(angle);
    if (piece == at.size()) return at.back().at(angle);
    const double low = places_.speeds[piece - 1];
    return std::lerp(at[piece - 1].at(angle), at[piece].at(angle),
                     (speed - low) / (places_.speeds[piece] - low));
}

}  // namespace damper
