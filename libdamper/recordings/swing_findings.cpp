// SPDX-License-Identifier: MIT
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"
#include "libdamper/signals/batch_means.hpp"
#include "libdamper/signals/damped_sine.hpp"
#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/filter.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>
#include <optional>
#include <span>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double even_step = 0.004;                              // [s], for swings below 30 Hz
constexpr double slowest_shuffle = 1.0, fastest_shuffle = 12.0;  // [Hz]; common practice
constexpr double slowest_judder = 4.0, fastest_judder = 25.0;    // [Hz]; common practice
constexpr double fewest_a_period = 5.0;                          // values of the recording

struct Even {
    double start = 0.0, step = even_step;
    std::vector<double> value;
};

/// At even steps: means of what falls into one, or cubics where the recording is coarser.
Even evened(const std::vector<double>& time, const std::vector<double>& value) {
    Even out;
    out.start = time.front();
    const double spacing = (time.back() - time.front()) / static_cast<double>(time.size() - 1);
    out.step = std::max(even_step, spacing);
    const auto count =
        static_cast<std::size_t>(std::floor((time.back() - time.front()) / out.step));
    std::size_t i = 0, hint = 0;
    for (std::size_t n = 0; n < count; ++n) {
        const double from = time.front() + static_cast<double>(n) * out.step;
        double sum = 0.0, times = 0.0;
        for (; i < time.size() && time[i] < from + out.step; ++i) {
            sum += value[i];
            times += 1.0;
        }
        constexpr double many = 3.0;  // values that make a mean worth more than a cubic
        out.value.push_back(times >= many ? sum / times
                                          : four_point(time, value, from + 0.5 * out.step, hint));
    }
    return out;
}

/// 95 % half widths of decay and circular frequency: least squares about the fitted curve. After a
/// low-pass only two values a period of its corner are independent.
struct SwingWidths {
    double decay = std::numeric_limits<double>::infinity();
    double frequency = std::numeric_limits<double>::infinity();  ///< [rad/s]
};

SwingWidths widths_of(std::span<const double> values, double step, const DampedSine& fit,
                      double corner) {
    constexpr Eigen::Index unknowns = 6;
    Eigen::Matrix<double, unknowns, unknowns> normal;
    normal.setZero();
    double squares = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double t = static_cast<double>(i) * step;
        const double fade = std::exp(-fit.decay * t);
        const double at = turn * fit.frequency * t + fit.phase;
        const double c = fade * std::cos(at), s = fade * std::sin(at);
        Eigen::Matrix<double, unknowns, 1> slope;
        slope << 1.0, t, c, -fit.amplitude * s, -fit.amplitude * t * c, -fit.amplitude * t * s;
        normal += slope * slope.transpose();
        const double rest = values[i] - fit.level - fit.slope * t - fit.amplitude * c;
        squares += rest * rest;
    }
    const auto count = static_cast<double>(values.size());
    const double independent = std::min(count, 2.0 * corner * count * step);
    SwingWidths out;
    if (independent < 8.0) return out;
    const Eigen::Matrix<double, unknowns, unknowns> inverse =
        normal.ldlt().solve(Eigen::Matrix<double, unknowns, unknowns>::Identity());
    const double variance = squares / count * independent / (independent - unknowns);
    const double factor =
        student_t(0.95, independent - unknowns) * std::sqrt(variance * count / independent);
    out.decay = factor * std::sqrt(std::max(0.0, inverse(4, 4)));
    out.frequency = factor * std::sqrt(std::max(0.0, inverse(5, 5)));
    return out;
}

void find_shuffle(const Even& even, const char* units, RecordingFindings& findings) {
    constexpr double longest = 2.5;  // [s]
    const double corner = std::min(15.0, 0.4 / even.step);
    const std::vector<double> smooth = low_pass_zero_phase(even.value, even.step, corner);
    const std::vector<double> slope = derivative(smooth, even.step);
    const auto steepest =
        std::ranges::max_element(slope, {}, [](double one) { return std::abs(one); });
    auto begin = static_cast<std::size_t>(steepest - slope.begin());
    const auto [low, high] = std::ranges::minmax_element(smooth);
    constexpr double least = 0.03;  // of the whole change
    for (const Extremum& one : find_extrema(smooth, least * (*high - *low))) {
        if (one.index > begin) {
            begin = one.index;
            break;
        }
    }
    const auto most = static_cast<std::size_t>(longest / even.step);
    const std::size_t count = std::min(most, smooth.size() - begin);
    const std::span<const double> part = std::span(smooth).subspan(begin, count);
    const auto fit = fit_damped_sine(part, even.step, slowest_shuffle, fastest_shuffle);
    constexpr double convincing = 0.5, explains_well = 0.8;
    if (!fit || fit->explained < convincing || !(fit->amplitude > 0.0)) {
        note(findings, QualityWeight::remark, "shuffle",
             "After the steepest change nothing swings that a dying sine describes.");
        return;
    }
    if (fit->explained < explains_well) {
        note(
            findings, QualityWeight::doubt, "shuffle",
            fmt::format("A dying sine describes only {:.0f} % of what follows the steepest change.",
                        100.0 * fit->explained));
    }
    const SwingWidths widths = widths_of(part, even.step, *fit, corner);
    const double natural = std::hypot(fit->decay, turn * fit->frequency);
    add_figure(findings, "shuffle_frequency", fit->frequency, "Hz", widths.frequency / turn);
    add_figure(findings, "shuffle_damping", fit->damping_ratio(), "1", widths.decay / natural);
    add_figure(findings, "shuffle_amplitude", fit->amplitude, units,
               std::numeric_limits<double>::infinity());
}

struct Line {
    double slope = 0.0;
    double half_width = std::numeric_limits<double>::infinity();
};

Line line_through(const std::vector<double>& x, const std::vector<double>& y) {
    const auto n = static_cast<double>(x.size());
    double mx = 0.0, my = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        mx += x[i] / n;
        my += y[i] / n;
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
        xx += (x[i] - mx) * (x[i] - mx);
        xy += (x[i] - mx) * (y[i] - my);
        yy += (y[i] - my) * (y[i] - my);
    }
    Line out;
    if (!(xx > 0.0) || n < 3.0) return out;
    out.slope = xy / xx;
    out.half_width =
        student_t(0.95, n - 2.0) * std::sqrt(std::max(0.0, yy - out.slope * xy) / (n - 2.0) / xx);
    return out;
}

void find_judder(const Even& even, const char* units, RecordingFindings& findings) {
    const double corner = std::min(1.2 * fastest_judder, 0.4 / even.step);
    const std::vector<double> fast = low_pass_zero_phase(even.value, even.step, corner);
    const std::vector<double> slow =
        low_pass_zero_phase(even.value, even.step, 0.75 * slowest_judder);
    std::vector<double> swing(fast.size());
    for (std::size_t i = 0; i < fast.size(); ++i) swing[i] = fast[i] - slow[i];
    const auto largest =
        std::ranges::max_element(swing, {}, [](double one) { return std::abs(one); });
    if (largest == swing.end() || !(std::abs(*largest) > 0.0)) return;
    const std::vector<Extremum> turns = find_extrema(swing, 0.1 * std::abs(*largest));
    std::vector<double> at, amplitude, spacing;
    for (std::size_t i = 1; i < turns.size(); ++i) {
        at.push_back(0.5 * even.step * (turns[i].position + turns[i - 1].position));
        amplitude.push_back(0.5 * std::abs(turns[i].value - turns[i - 1].value));
    }
    constexpr std::size_t fewest = 6;  // half swings
    if (amplitude.size() < fewest) {
        note(findings, QualityWeight::remark, "judder",
             "Nothing swings more than three times in a row.");
        return;
    }
    const auto top =
        static_cast<std::size_t>(std::ranges::max_element(amplitude) - amplitude.begin());
    constexpr double part_of_it = 0.3;
    for (std::size_t i = 0; i < amplitude.size(); ++i) {
        if (amplitude[i] < part_of_it * amplitude[top]) continue;
        spacing.push_back(even.step * (turns[i + 1].position - turns[i].position));
    }
    double half_period = 0.0, squares = 0.0;
    const auto n = static_cast<double>(spacing.size());
    for (const double one : spacing) half_period += one / n;
    for (const double one : spacing) squares += (one - half_period) * (one - half_period);
    const double frequency = 0.5 / half_period;
    constexpr double uneven = 0.35;  // scatter of the half periods over their mean
    const double scatter = n > 1.0 ? std::sqrt(squares / (n - 1.0)) : half_period;
    if (n < 4.0 || scatter > uneven * half_period || frequency < slowest_judder ||
        frequency > fastest_judder) {
        note(findings, QualityWeight::remark, "judder",
             fmt::format("Between {:g} Hz and {:g} Hz nothing swings evenly.", slowest_judder,
                         fastest_judder));
        return;
    }
    add_figure(findings, "judder_frequency", frequency, "Hz",
               frequency * student_t(0.95, n - 1.0) * scatter / half_period / std::sqrt(n));
    add_figure(findings, "judder_amplitude", amplitude[top], units,
               std::numeric_limits<double>::infinity());
    // Growth up to the largest swing; where that comes at once, decay behind it.
    constexpr double from_share = 0.15;
    std::vector<double> x, y;
    std::size_t first = top;
    while (first > 0 && amplitude[first - 1] > from_share * amplitude[top]) --first;
    std::size_t last = top;
    if (top - first + 1 < fewest) {
        first = top;
        while (last + 1 < amplitude.size() && amplitude[last + 1] > from_share * amplitude[top]) {
            ++last;
        }
    }
    for (std::size_t i = first; i <= last; ++i) {
        x.push_back(at[i]);
        y.push_back(std::log(amplitude[i]));
    }
    const Line line = line_through(x, y);
    if (!std::isfinite(line.half_width)) return;
    add_figure(findings, "judder_damping", -line.slope / (turn * frequency), "1",
               line.half_width / (turn * frequency));
}

}  // namespace

void find_swing(const std::vector<double>& time, const std::vector<double>& value,
                const char* units, RecordedManoeuvre manoeuvre, RecordingFindings& findings) {
    const double length = time.back() - time.front();
    const double rate = static_cast<double>(time.size() - 1) / length;
    const bool judder = manoeuvre == RecordedManoeuvre::take_up;
    const double fastest = judder ? fastest_judder : fastest_shuffle;
    if (rate < fewest_a_period * 0.5 * fastest) {
        note(findings, QualityWeight::doubt, "sampling",
             fmt::format("{:.3g} values a second show swings up to {:.3g} Hz only.", rate,
                         rate / fewest_a_period));
    }
    constexpr double shortest = 1.0;  // [s]
    if (length < shortest || time.size() < 32) {
        note(findings, QualityWeight::unusable, "too short",
             fmt::format("It is {:.3g} s long with {} values; a swing takes at least {:.0f} s.",
                         length, time.size(), shortest));
        return;
    }
    const Even even = evened(time, value);
    if (even.value.size() < 32) return;
    if (judder) {
        find_judder(even, units, findings);
    } else {
        find_shuffle(even, units, findings);
    }
}

}  // namespace damper
