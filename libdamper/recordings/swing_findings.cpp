// SPDX-License-Identifier: MIT
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/enough.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"
#include "libdamper/signals/batch_means.hpp"
#include "libdamper/signals/damped_sine.hpp"
#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/filter.hpp"
#include "libdamper/signals/judder.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>
#include <optional>
#include <span>
#include <string_view>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double even_step = 0.004;                              // [s], for swings below 30 Hz
constexpr double slowest_shuffle = 1.0, fastest_shuffle = 12.0;  // [Hz]; common practice
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
    const auto most = static_cast<std::size_t>(enough::of_shuffle / even.step);
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

/// Value from which on the vehicle moves, by its acceleration, from value `slips` on; what it shows
/// before is a grade, or an offset.
std::size_t moves_from(const Even& even, std::size_t slips) {
    double rest = 0.0, speed = 0.0;
    for (std::size_t i = 0; i < slips; ++i) rest += even.value[i] / static_cast<double>(slips);
    for (std::size_t i = slips; i < even.value.size(); ++i) {
        if (speed > judder_moves) return i;
        speed += even.step * (even.value[i] - rest);
    }
    return slips;
}

/// The judder of a run, by the run's own definitions (signals/judder.hpp), in what swings while the
/// clutch slips; without that, in the whole recording.
void find_judder(const Even& even, const char* units, const std::optional<SlipTime>& slip,
                 RecordingFindings& findings) {
    constexpr double fewest = 3.0;  // swings
    const auto index = [&](double time) {
        const double at = std::round((time - even.start) / even.step);
        return static_cast<std::size_t>(
            std::clamp(at, 0.0, static_cast<double>(even.value.size())));
    };
    const bool of_vehicle = std::string_view(units) == "m/s2";
    std::size_t first = slip ? index(slip->begins) : 0;
    if (slip && of_vehicle) first = moves_from(even, first);
    const std::size_t last = slip ? index(slip->ends) : even.value.size();
    const auto trim = static_cast<std::size_t>(std::lround(judder_left_out / even.step));
    if (last < first + 2 * trim ||
        static_cast<double>(last - first) * even.step < fewest / judder_low) {
        note(findings, QualityWeight::remark, "judder",
             "The clutch slips too briefly in it for judder to be looked for.");
        return;
    }
    const std::vector<double> band =
        judder_band(std::span(even.value).subspan(first, last - first), even.step);
    const std::span<const double> seen = std::span(band).subspan(slip ? trim : 0);
    double largest = 0.0;
    for (const double one : seen) largest = std::max(largest, std::abs(one));
    if (!(largest > 0.0)) return;
    const auto sine = judder_sine(seen, even.step);
    if (!sine) {
        note(
            findings, QualityWeight::remark, "judder",
            fmt::format("Between {:g} Hz and {:g} Hz no single growing or dying swing explains it.",
                        judder_low, judder_high));
    } else {
        const SwingWidths widths =
            widths_of(even_part(seen), even.step, *sine, judder_high - judder_low);
        const double natural = std::hypot(sine->decay, turn * sine->frequency);
        add_figure(findings, "judder_frequency", sine->frequency, "Hz", widths.frequency / turn);
        add_figure(findings, "judder_damping", sine->damping_ratio(), "1", widths.decay / natural);
    }
    add_figure(findings, "judder_amplitude", largest, units,
               std::numeric_limits<double>::infinity());
    note(findings, QualityWeight::remark, "judder",
         slip ? fmt::format("Judder is looked for while the clutch slips, {:.2f} s to {:.2f} s.",
                            slip->begins, slip->ends)
              : "Without the speeds of both shafts beside it, it is not known when the clutch "
                "slips: judder is looked for in all of it, and what swings once the clutch has "
                "caught counts as well.");
}

}  // namespace

void find_swing(const std::vector<double>& time, const std::vector<double>& value,
                const char* units, RecordedManoeuvre manoeuvre, const std::optional<SlipTime>& slip,
                RecordingFindings& findings) {
    const double length = time.back() - time.front();
    const double rate = static_cast<double>(time.size() - 1) / length;
    const bool judder = manoeuvre == RecordedManoeuvre::take_up;
    const double fastest = judder ? judder_high : fastest_shuffle;
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
        find_judder(even, units, slip, findings);
    } else {
        find_shuffle(even, units, findings);
    }
}

}  // namespace damper
