// SPDX-License-Identifier: MIT
// Toothed wheels and orders over the crank's angle, against known errors, closed forms and SciPy.
#include "libdamper/signals/crank_angle.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/recordings/workshop_like.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;

namespace {

constexpr double turn = 2.0 * std::numbers::pi;

struct Trace {
    std::vector<double> time, speed;
};

template <typename Speed>
Trace trace(double rate, double length, Speed speed) {
    Trace out;
    const int count = static_cast<int>(rate * length);
    for (int i = 0; i < count; ++i) {
        out.time.push_back(i / rate);
        out.speed.push_back(speed(out.time.back()));
    }
    return out;
}

/// Idle of four cylinders with a weak one: orders ½, 1 and 2 of an angle that runs evenly.
double idle(double t) {
    const double a = 84.0 * t;
    return 84.0 + 0.3 * std::cos(0.5 * a + 0.7) + 0.2 * std::cos(a) + 2.0 * std::cos(2.0 * a - 0.4);
}

AngleSeries series_of(const Trace& from) {
    const std::vector<double> angle = turned_angle(from.time, from.speed);
    return over_angle(from.time, angle, from.speed, 128, from.time.front(), from.time.back());
}

double worst_of(const std::vector<double>& a, const std::vector<double>& b) {
    double out = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) out = std::max(out, std::abs(a[i] - b[i]));
    return out;
}

}  // namespace

TEST_CASE("the orders of a run-up are those that SciPy finds in it") {
    // orders_by_scipy.py beside this file, NumPy 1.24.2, SciPy 1.10.1: angle by quadrature of the
    // known speed, cubic splines, least squares. Here the angle comes from the sampled speed, and
    // the cubics are of four points: at 28 to 70 values a revolution, order 4 loses at most
    // cubic_error(2π·4/28) = 1.2e-2 of its amplitude at the fast end, 4e-4 at the slow one.
    const Trace run_up = trace(1000.0, 8.0, [](double t) {
        const double a = 90.0 * t + 10.0 * t * t;
        return 90.0 + 20.0 * t + 0.6 * std::cos(0.5 * a + 0.3) + 0.4 * std::cos(a - 1.1) +
               (5.0 - 0.4 * t) * std::cos(2.0 * a) + 1.5 * std::sin(4.0 * a);
    });
    struct Row {
        double half, first, second, fourth;
    };
    const std::array expected{
        Row{0.5993562, 0.3822827, 4.9399372, 1.5006399},
        Row{0.5996563, 0.3863461, 4.5503484, 1.5003987},
        Row{0.5997995, 0.3888377, 4.2182701, 1.5003323},
        Row{0.5998794, 0.3905650, 3.9240182, 1.5002880},
        Row{0.5999292, 0.3918554, 3.6570598, 1.5002284},
        Row{0.5999609, 0.3928644, 3.4109877, 1.5001413},
        Row{0.5999834, 0.3936832, 3.1815641, 1.5000232},
        Row{0.5999995, 0.3943642, 2.9658118, 1.4998730},
        Row{0.6000135, 0.3949431, 2.7615519, 1.4996908},
        Row{0.6000202, 0.3954402, 2.5671167, 1.4994769},
        Row{0.6000229, 0.3958757, 2.3812165, 1.4992324},
        Row{0.6000266, 0.3962600, 2.2028222, 1.4989544},
        Row{0.6000384, 0.3966097, 2.0311060, 1.4986428},
        Row{0.6000362, 0.3969123, 1.8653369, 1.4982970},
    };
    const OrderBlocks blocks = order_blocks(series_of(run_up), 8.0, 2);
    REQUIRE(blocks.block.size() >= 4 * (expected.size() - 1) + 1);
    REQUIRE(blocks.orders() == 16);
    for (std::size_t i = 0; i < expected.size(); ++i) {
        const OrderBlock& block = blocks.block[4 * i];
        CHECK(std::abs(block.amplitude[0]) == doctest::Approx(expected[i].half).epsilon(1e-3));
        CHECK(std::abs(block.amplitude[1]) == doctest::Approx(expected[i].first).epsilon(1e-3));
        CHECK(std::abs(block.amplitude[3]) == doctest::Approx(expected[i].second).epsilon(1e-3));
        CHECK(std::abs(block.amplitude[7]) == doctest::Approx(expected[i].fourth).epsilon(1.2e-2));
    }
}

TEST_CASE("uneven teeth are found and taken out, the engine's orders stay") {
    // 58 of 60 teeth with errors of 0.05° rms: at 84 rad/s and 6° pitch, 1.2 rad/s of false speed
    // at high orders. Known errors less what their own orders 1 and 2 hold, since those are left to
    // the motion; told to 95 % by 70 revolutions with 1 µs jitter (8e-5 rad): some 2e-5 rad.
    Pickup pickup{.wheel = {60, 2}, .pitch_error = 0.05 * turn / 360.0, .jitter = 1e-6};
    const Trace run = trace(4000.0, 6.0, idle);
    const std::vector<double> pulses = pulse_times(run.time, run.speed, pickup);
    const ToothWheel found = find_wheel(pulses);
    CHECK(found.teeth == 60);
    CHECK(found.missing == 2);
    const PlacedPulses placed = place_pulses(pulses, found);
    CHECK(placed.lost + placed.added + placed.misplaced_marks == 0);
    const std::array kept{1, 2, 4};
    const ToothPattern pattern = tooth_pattern(placed, kept);
    std::vector<double> known = pitch_errors(pickup);
    const std::vector<double> bare = known;
    // Least squares of level and the kept orders, by repeated projection on the nearly orthogonal.
    for (int pass = 0; pass < 60; ++pass) {
        for (const int order : {0, 1, 2, 4}) {
            double c = 0.0, s = 0.0, cc = 0.0, ss = 0.0;
            for (std::size_t k = 0; k < known.size(); ++k) {
                const double a = order * turn * static_cast<double>(k) / 60.0;
                c += known[k] * std::cos(a), s += known[k] * std::sin(a);
                cc += std::cos(a) * std::cos(a), ss += std::sin(a) * std::sin(a);
            }
            for (std::size_t k = 0; k < known.size(); ++k) {
                const double a = order * turn * static_cast<double>(k) / 60.0;
                known[k] -= c / cc * std::cos(a) + (ss > 0.0 ? s / ss * std::sin(a) : 0.0);
            }
        }
    }
    known.resize(60, 0.0);
    const double left = worst_of(known, pattern.error);
    CHECK(left < 1e-4);
    CHECK(pattern.half_width < 2e-4);
    CHECK(pattern.half_width > 5e-6);
    CHECK(pattern.rms == doctest::Approx(0.05 * turn / 360.0).epsilon(0.25));

    const auto orders = [&](const ToothPattern* corrected) {
        return order_blocks(speed_of_pulses(placed.time, pulse_angles(placed, corrected)), 12.0, 2);
    };
    const OrderBlocks raw = orders(nullptr), clean = orders(&pattern);
    const auto at = [](const OrderBlocks& blocks, double order) {
        return order_magnitude(blocks, order).value;
    };
    CHECK(at(clean, 0.5) == doctest::Approx(0.3).epsilon(0.02));
    // Left to the motion: order 2 keeps the wheel's own share, rms/√29·ω·2 = 0.03 rad/s.
    CHECK(at(clean, 2.0) == doctest::Approx(2.0).epsilon(0.04));
    double false_raw = 0.0, false_clean = 0.0;
    for (const double order : {3.0, 5.0, 6.0, 7.0, 9.0, 10.0, 11.0}) {
        false_raw += at(raw, order);
        false_clean += at(clean, order);
    }
    CHECK(false_clean < 0.1 * false_raw);

    // A run-down without firing tells all of it.
    const Trace fall = trace(4000.0, 6.0, [](double t) { return 200.0 - 15.0 * t; });
    const ToothPattern whole =
        tooth_pattern(place_pulses(pulse_times(fall.time, fall.speed, pickup), found), {});
    std::vector<double> centred = bare;
    centred.resize(60, 0.0);
    CHECK(worst_of(centred, whole.error) < 1e-4);
    CHECK(at(orders(&whole), 2.0) == doctest::Approx(2.0).epsilon(0.005));
}

TEST_CASE("lost pulses and pulses too many are counted over, a wrong count is noticed") {
    Pickup pickup{.wheel = {36, 0}, .pitch_error = 0.1 * turn / 360.0, .jitter = 1e-6};
    const Trace run = trace(2000.0, 5.0, idle);
    std::vector<double> pulses = pulse_times(run.time, run.speed, pickup);
    const std::size_t count = pulses.size();
    pulses.erase(pulses.begin() + 500);
    pulses.insert(pulses.begin() + 900, 0.7 * pulses[899] + 0.3 * pulses[900]);
    const PlacedPulses placed = place_pulses(pulses, {36, 0});
    CHECK(placed.lost == 1);
    CHECK(placed.added == 1);
    CHECK(placed.time.size() == count - 1);
    CHECK(placed.place.back() - placed.place.front() == static_cast<long long>(count - 1));
    CHECK(better_count(placed) == 0);
    const PlacedPulses wrong = place_pulses(pulses, {35, 0});
    CHECK(better_count(wrong) == 36);
    CHECK(find_wheel(pulses).teeth == 0);  // no mark, no count
    CHECK_THROWS_AS(static_cast<void>(place_pulses(pulses, {3, 0})), ModelError);
    CHECK_THROWS_AS(static_cast<void>(place_pulses(std::vector<double>{0.0, 0.1}, {36, 0})),
                    ModelError);
}

TEST_CASE("a drifting angle is aligned, what stays is told from what comes and goes") {
    // Speed read 0.2 % high: order ½ turns by 0.2 %·π a cycle, 0.9 rad over the recording.
    const Trace run = trace(1000.0, 30.0, [](double t) { return 1.002 * idle(t); });
    const OrderBlocks blocks = order_blocks(series_of(run), 8.0, 2);
    const OrderBlocks still = aligned(blocks, 2.0);
    CHECK(steady_magnitude(still, 0.5).value == doctest::Approx(1.002 * 0.3).epsilon(0.01));
    CHECK(steady_magnitude(still, 0.5).half_width < 0.01);
    CHECK(steady_magnitude(blocks, 2.0).value < 1.5);  // without: it smears
    // Noise alone: the magnitude is chance, the steady one is not told from 0.
    const Trace noise = trace(1000.0, 30.0, [](double t) {
        const auto n = static_cast<std::uint64_t>(std::lround(t * 1000.0));
        return 84.0 + 2.0 * std::cos(168.0 * t) + 0.5 * normal_random(5, n);
    });
    const OrderBlocks chance = aligned(order_blocks(series_of(noise), 8.0, 2), 2.0);
    const BlockFigure steady = steady_magnitude(chance, 0.5);
    CHECK(order_magnitude(chance, 0.5).value > 2.0 * steady.value);
    CHECK(steady.value < 3.0 * steady.half_width);
}

TEST_CASE("a gain and a lag between two shafts come back, with a coherence that noise lowers") {
    const auto blocks_of = [](double gain, double lag, double noise) {
        const Trace run = trace(1000.0, 20.0, [&](double t) {
            const auto n = static_cast<std::uint64_t>(std::lround(t * 1000.0));
            return 84.0 + gain * 2.0 * std::cos(168.0 * t - lag) + noise * normal_random(9, n);
        });
        AngleSeries out;
        out.per_revolution = 128;
        out.sampled_per_revolution = 75.0;
        std::vector<double> angle;
        for (const double t : run.time) angle.push_back(84.0 * t);
        return order_blocks(over_angle(run.time, angle, run.speed, 128, 0.0, 20.0), 4.0, 2);
    };
    const OrderTransfer clean =
        order_transfer(blocks_of(1.0, 0.0, 0.0), blocks_of(0.4, 0.9, 0.0), 2.0);
    CHECK(clean.ratio == doctest::Approx(0.4).epsilon(1e-4));
    CHECK(clean.lag == doctest::Approx(0.9).epsilon(1e-4));
    CHECK(clean.coherence == doctest::Approx(1.0).epsilon(1e-6));
    // Noise of variance 4 in the output: a stretch of 300 samples gives an order the variance
    // 2·4/300 per part, |y|² = 0.64 + 4·4/300: coherence 0.64/(0.64 + 0.0533) = 0.923.
    const OrderTransfer noisy =
        order_transfer(blocks_of(1.0, 0.0, 0.0), blocks_of(0.4, 0.9, 2.0), 2.0);
    CHECK(noisy.coherence == doctest::Approx(0.923).epsilon(0.02));
    CHECK(std::abs(noisy.ratio - 0.4) < 1.5 * noisy.half_width);
    CHECK(noisy.half_width ==
          doctest::Approx(0.4 * 2.0 * std::sqrt(0.077 / (2 * 0.923 * 65))).epsilon(0.2));
}
