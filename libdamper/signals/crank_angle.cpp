// SPDX-License-Identifier: MIT
#include "libdamper/signals/crank_angle.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <bit>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double fewest_a_period = 2.5;  // values of a recording that show an order at all
constexpr double highest_share = 0.499;  // of the values a revolution of the grid

double slope_at(std::span<const double> t, std::span<const double> v, std::size_t i) {
    const std::size_t last = t.size() - 1;
    if (i == 0) return (v[1] - v[0]) / (t[1] - t[0]);
    if (i == last) return (v[last] - v[last - 1]) / (t[last] - t[last - 1]);
    const double before = t[i] - t[i - 1], after = t[i + 1] - t[i];
    return ((v[i + 1] - v[i]) / after * before + (v[i] - v[i - 1]) / before * after) /
           (before + after);
}

}  // namespace

std::vector<double> turned_angle(std::span<const double> time, std::span<const double> speed) {
    if (time.size() < 4 || time.size() != speed.size()) {
        throw ModelError("an angle needs at least four times with a speed each");
    }
    std::vector<double> out{0.0};
    out.reserve(time.size());
    double slope = slope_at(time, speed, 0);
    for (std::size_t i = 1; i < time.size(); ++i) {
        const double h = time[i] - time[i - 1];
        const double next = slope_at(time, speed, i);
        out.push_back(out.back() + 0.5 * h * (speed[i - 1] + speed[i]) +
                      h * h / 12.0 * (slope - next));
        slope = next;
    }
    return out;
}

int steps_a_revolution(double sampled_per_revolution) {
    const double wanted = std::clamp(std::ceil(sampled_per_revolution), 8.0, 1024.0);
    return static_cast<int>(std::bit_ceil(static_cast<unsigned>(wanted)));
}

AngleSeries over_angle(std::span<const double> time, std::span<const double> angle,
                       std::span<const double> value, int per_revolution, double from, double to) {
    AngleSeries out;
    out.per_revolution = per_revolution;
    if (time.size() < 4 || time.size() != angle.size() || time.size() != value.size()) {
        throw ModelError("an angle series needs at least four values");
    }
    for (std::size_t i = 1; i < angle.size(); ++i) {
        if (!(angle[i] > angle[i - 1]) || !(time[i] > time[i - 1])) {
            throw ModelError(
                fmt::format("at {:.6g} s the shaft stands still or turns back", time[i]));
        }
    }
    out.sampled_per_revolution =
        static_cast<double>(time.size() - 1) * turn / (angle.back() - angle.front());
    std::size_t hint = 0;
    const double low = from > time.front() ? four_point(time, angle, from, hint) : angle.front();
    const double high = to < time.back() ? four_point(time, angle, to, hint) : angle.back();
    const double step = turn / per_revolution;
    const double first = std::ceil(low / step - 1e-9);
    const double last = std::floor(high / step + 1e-9);
    if (!(last - first >= 4.0)) throw ModelError("less than four steps of the angle are left");
    out.first_angle = first * step;
    std::size_t at_time = 0, at_value = 0;
    for (double i = first; i <= last; i += 1.0) {
        const double at = std::clamp(i * step, angle.front(), angle.back());
        out.time.push_back(four_point(angle, time, at, at_time));
        out.speed.push_back(four_point(angle, value, at, at_value));
    }
    return out;
}

AngleSeries speed_of_pulses(std::span<const double> time, std::span<const double> angle) {
    std::vector<double> middle_time, middle_angle, speed;
    for (std::size_t i = 1; i < time.size(); ++i) {
        const double passed = time[i] - time[i - 1], way = angle[i] - angle[i - 1];
        if (!(passed > 0.0) || !(way > 0.0)) {
            throw ModelError(
                fmt::format("the pulses at {:.9g} s and {:.9g} s do not follow each "
                            "other",
                            time[i - 1], time[i]));
        }
        speed.push_back(way / passed);
        middle_time.push_back(0.5 * (time[i - 1] + time[i]));
        middle_angle.push_back(0.5 * (angle[i - 1] + angle[i]));
    }
    if (speed.size() < 4) throw ModelError("a speed needs at least five pulses");
    const double mean_way = (angle.back() - angle.front()) / static_cast<double>(speed.size());
    AngleSeries out =
        over_angle(middle_time, middle_angle, speed, steps_a_revolution(turn / mean_way),
                   middle_time.front(), middle_time.back());
    std::vector<double> ways;
    for (std::size_t i = 1; i < angle.size(); ++i) ways.push_back(angle[i] - angle[i - 1]);
    const auto middle = ways.begin() + static_cast<std::ptrdiff_t>(ways.size() / 2);
    std::nth_element(ways.begin(), middle, ways.end());
    out.averaged_over = *middle;
    return out;
}

std::size_t order_index(double order) {
    return static_cast<std::size_t>(std::lround(2.0 * order)) - 1;
}

OrderBlocks order_blocks(const AngleSeries& series, double highest, int cycles) {
    OrderBlocks out;
    out.cycles = cycles;
    const auto rows = static_cast<std::size_t>(2 * cycles * series.per_revolution);
    if (rows == 0 || series.speed.size() < rows) return out;
    const double most = std::min({highest, series.sampled_per_revolution / fewest_a_period,
                                  highest_share * series.per_revolution});
    const auto orders = static_cast<Eigen::Index>(std::floor(2.0 * most + 1e-9));
    if (orders < 1) return out;
    const double step = turn / series.per_revolution;
    Eigen::MatrixXd basis(static_cast<Eigen::Index>(rows), 3 + 2 * orders);
    for (Eigen::Index i = 0; i < basis.rows(); ++i) {
        const double x = (static_cast<double>(i) + 0.5) / static_cast<double>(rows) * 2.0 - 1.0;
        basis(i, 0) = 1.0;
        basis(i, 1) = x;
        basis(i, 2) = x * x - 1.0 / 3.0;
        for (Eigen::Index k = 0; k < orders; ++k) {
            const double at = 0.5 * static_cast<double>(k + 1) * step * static_cast<double>(i);
            basis(i, 3 + 2 * k) = std::cos(at);
            basis(i, 4 + 2 * k) = std::sin(at);
        }
    }
    const Eigen::LDLT<Eigen::MatrixXd> normal(basis.transpose() * basis);
    for (std::size_t begin = 0; begin + rows <= series.speed.size(); begin += rows) {
        const Eigen::Map<const Eigen::VectorXd> values(series.speed.data() + begin,
                                                       static_cast<Eigen::Index>(rows));
        const Eigen::VectorXd p = normal.solve(basis.transpose() * values);
        OrderBlock& block = out.block.emplace_back();
        block.mean_speed = p(0);
        block.time = series.time[begin + rows / 2];
        const double start = series.first_angle + static_cast<double>(begin) * step;
        for (Eigen::Index k = 0; k < orders; ++k) {
            const double order = 0.5 * static_cast<double>(k + 1);
            const double half = 0.5 * order * series.averaged_over;
            const double kept = half > 1e-6 ? std::sin(half) / half : 1.0;
            block.amplitude.push_back(std::complex<double>(p(3 + 2 * k), -p(4 + 2 * k)) *
                                      std::polar(1.0 / kept, -order * start));
        }
    }
    return out;
}

}  // namespace damper
