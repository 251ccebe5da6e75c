// SPDX-License-Identifier: MIT
// Envelopes, their spectra and knocks, against closed forms and SciPy.
#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/workshop_like.hpp"
#include "libdamper/signals/knocks.hpp"
#include "libdamper/signals/modulation.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <span>
#include <vector>

using namespace damper;

namespace {

constexpr double turn = 2.0 * std::numbers::pi;

/// The signal of envelope_by_scipy.py: a swinging tone of 3 kHz, one below the band, one above.
double scipy_signal(std::size_t n) {
    const double t = static_cast<double>(n) / 20000.0;
    return (1.0 + 0.6 * std::cos(turn * 27.0 * t) + 0.3 * std::sin(turn * 13.5 * t)) *
               std::cos(turn * 3000.0 * t + 0.4) +
           0.8 * std::sin(turn * 90.0 * t) + 0.5 * std::cos(turn * 8200.0 * t);
}

Envelope envelope_of(double (*signal)(std::size_t), std::size_t count, double rate, double low,
                     double high) {
    std::vector<double> values(count);
    for (std::size_t n = 0; n < count; ++n) values[n] = signal(n);
    return band_envelope(values, 1.0 / rate, low, high);
}

}  // namespace

TEST_CASE("an amplitude-modulated tone in a band has the envelope that SciPy's Hilbert gives") {
    // envelope_by_scipy.py beside this file (NumPy 1.24.2, SciPy 1.10.1): scipy.signal.hilbert of
    // the band cut out with the same flanks; values at 0.25, 0.5, … 1.75 s of 2 s. The block here
    // is longer than SciPy's 2 s and filled with zeros, whose edges ring into the band filter: 2e-3
    // of the envelope, checked there with a filled signal too.
    const Envelope envelope = envelope_of(scipy_signal, 40000, 20000.0, 1000.0, 6000.0);
    const std::array expected{1.21213203, 0.1, 1.21213203, 1.6, 0.787867966, 0.7, 0.787867966};
    for (std::size_t k = 0; k < expected.size(); ++k) {
        const double at = 0.25 * static_cast<double>(k + 1);
        const auto i = static_cast<std::size_t>(std::lround(at / envelope.step));
        CHECK(static_cast<double>(i) * envelope.step == doctest::Approx(at).epsilon(1e-12));
        CHECK(envelope.value[i] == doctest::Approx(expected[k]).epsilon(2e-3));
    }
    // Closed form: depth 0.6 at 27 Hz and 0.3 at half of it; nothing beside.
    const auto lost = static_cast<std::size_t>(envelope.lost / envelope.step);
    const auto inner = std::span(envelope.value).subspan(lost, envelope.value.size() - 2 * lost);
    const Modulation firing = modulation_at(inner, envelope.step, 27.3, 0.03);
    CHECK(firing.depth == doctest::Approx(0.6).epsilon(0.01));
    CHECK(firing.frequency == doctest::Approx(27.0).epsilon(0.01));
    CHECK(firing.floor < 0.01);
    const Modulation half = modulation_at(envelope.value, envelope.step, 13.5, 0.0);
    CHECK(half.depth == doctest::Approx(0.3).epsilon(0.02));
}

TEST_CASE("a long signal in blocks has the envelope of the whole") {
    const Envelope envelope = envelope_of(scipy_signal, 600000, 20000.0, 1000.0, 6000.0);
    double worst = 0.0;
    for (std::size_t i = 0; i < envelope.value.size(); ++i) {
        const double t = static_cast<double>(i) * envelope.step;
        if (t < 0.05 || t > 29.95) continue;
        const double due = 1.0 + 0.6 * std::cos(turn * 27.0 * t) + 0.3 * std::sin(turn * 13.5 * t);
        worst = std::max(worst, std::abs(envelope.value[i] - due));
    }
    CHECK(envelope.value.size() > 280000);
    CHECK(worst < 5e-3);  // tails of the filter at the blocks' ends
}

TEST_CASE("knocks that die away give the harmonics of an exponential train, and their own number") {
    // Train of e^(−b·t), one every T: mean 1/(b·T)·(1 − e^(−bT)), harmonic k 2/(T·|b + j·k·2π/T|)·
    // (1 − e^(−bT)), so that depth k is 2·b/√(b² + (k·2π/T)²). A band from 1 to 7 kHz smears each
    // knock over some 0.3 ms, which lowers depth by less than 1 % at 3 harmonics of 30 Hz.
    constexpr double rate = 40000.0, period = 1.0 / 30.0, decay = 220.0;
    std::vector<double> values(static_cast<std::size_t>(8.0 * rate));
    for (std::size_t n = 0; n < values.size(); ++n) {
        const double t = static_cast<double>(n) / rate;
        for (int back = 0; back < 4; ++back) {
            const double since = std::fmod(t, period) + back * period;
            if (since > t) break;
            values[n] += std::exp(-decay * since) * std::cos(turn * 4000.0 * since);
        }
        values[n] += 1e-3 * normal_random(7, n);
    }
    const Envelope envelope = band_envelope(values, 1.0 / rate, 1000.0, 7000.0);
    const auto due = [&](double k) { return 2.0 * decay / std::hypot(decay, k * turn / period); };
    for (const double k : {1.0, 2.0, 3.0}) {
        const Modulation at = modulation_at(envelope.value, envelope.step, k / period, 0.0);
        CHECK(at.depth == doctest::Approx(due(k)).epsilon(0.02));
    }
    const Knocks knocks = find_knocks(envelope);
    CHECK(knocks.time.size() >= 237);  // 240 less those in the lost ends
    CHECK(knocks.time.size() <= 241);
    // In the spectrum, under Hann's window and at its own lines, up to 15 % less.
    const EnvelopeSpectrum spectrum = envelope_spectrum(envelope.value, envelope.step, 2.0, 120.0);
    const auto top = std::ranges::max_element(spectrum.depth);
    const auto at = static_cast<std::size_t>(top - spectrum.depth.begin());
    CHECK(spectrum.frequency[at] == doctest::Approx(30.0).epsilon(0.02));
    CHECK(*top <= due(1.0) * 1.01);
    CHECK(*top >= due(1.0) * 0.85);
    // Between the knocks next to nothing is left; the loud quarter holds nearly all.
    const PhaseLevels levels = phase_levels(envelope.value, envelope.step, 30.0);
    CHECK(levels.quiet < 0.03 * levels.loud);
}

TEST_CASE("knocks under a load that turns have the sidebands of a damaged bearing") {
    // Impacts at f_d whose strength goes with 1 + m·cos(2π·f_s·t), each e^(−b·t): P. D. McFadden,
    // J. D. Smith, Model for the vibration produced by a single point defect in a rolling element
    // bearing, J. Sound Vib. 96, 1984, 69–82 (recalled): lines at k·f_d with sidebands at k·f_d ±
    // f_s, and one at f_s. Each stands over the mean as the Fourier series of the train times the
    // response b/(b + j·2π·f): 2·H(k·f_d), m·H(k·f_d ± f_s), m·H(f_s). The band smears a
    // knock over some 0.4 ms, which takes (2π·f·0.4 ms)²/2 off.
    constexpr double rate = 40000.0, defect = 50.0, load = 12.5, m = 0.6, decay = 900.0;
    std::vector<double> values(static_cast<std::size_t>(8.0 * rate), 0.0);
    for (int hit = 0; hit < static_cast<int>(8.0 * defect); ++hit) {
        const double at = hit / defect;
        const double strength = 1.0 + m * std::cos(turn * load * at);
        const auto first = static_cast<std::size_t>(std::ceil(at * rate));
        for (std::size_t n = first; n < std::min(values.size(), first + 800); ++n) {
            const double since = static_cast<double>(n) / rate - at;
            values[n] += strength * std::exp(-decay * since) * std::cos(turn * 4000.0 * since);
        }
    }
    const Envelope envelope = band_envelope(values, 1.0 / rate, 1000.0, 7000.0);
    const auto response = [&](double f) { return decay / std::hypot(decay, turn * f); };
    const auto lost = static_cast<std::size_t>(envelope.lost / envelope.step);
    const EnvelopeSpectrum spectrum =
        envelope_spectrum(std::span(envelope.value).subspan(lost, envelope.value.size() - 2 * lost),
                          envelope.step, 2.0, 150.0);
    // Lines of 0.5 Hz: every frequency here is one of them, but for the rounding of the steps.
    const auto depth = [&](double f) {
        double best = 0.0;
        for (std::size_t i = 0; i < spectrum.frequency.size(); ++i) {
            if (std::abs(spectrum.frequency[i] - f) < 0.3) best = spectrum.depth[i];
        }
        return best;
    };
    const auto holds = [&](double f, double height) {
        const double smeared = 0.5 * std::pow(turn * f * 0.45e-3, 2.0);
        CHECK(depth(f) == test::near(height * response(f), 0.003 + smeared));
    };
    for (const double f : {defect, 2.0 * defect}) {
        holds(f, 2.0);
        holds(f - load, m);
        holds(f + load, m);
    }
    holds(load, m);
    CHECK(depth(0.5 * (defect + load)) < 0.01);  // nothing between
}

TEST_CASE("noise alone has few knocks, no modulation, and a level that is there all the time") {
    // Level of white noise of variance 1 in a band B: √(2·B/rate); flanks of 10 % inside the band's
    // half-amplitude points take 0.6 % of its power. 1 % for chance (4·10⁵ independent values).
    constexpr double rate = 40000.0;
    std::vector<double> values(static_cast<std::size_t>(12.0 * rate));
    for (std::size_t n = 0; n < values.size(); ++n) values[n] = normal_random(3, n);
    const Envelope envelope = band_envelope(values, 1.0 / rate, 1000.0, 6000.0);
    const Modulation at = modulation_at(envelope.value, envelope.step, 27.0, 0.02);
    CHECK(at.depth < 0.04);
    CHECK(find_knocks(envelope).time.size() <= 18);  // 6 expected; Poisson, far tail
    const PhaseLevels levels = phase_levels(envelope.value, envelope.step, 27.0);
    const double level = std::sqrt(2.0 * 5000.0 / rate);
    CHECK(levels.quiet == doctest::Approx(level).epsilon(0.03));
    CHECK(levels.loud == doctest::Approx(level).epsilon(0.03));
}

TEST_CASE("a band that does not fit is refused") {
    const std::vector<double> values(100, 1.0);
    CHECK_THROWS_AS(static_cast<void>(band_envelope(values, 1e-3, 100.0, 600.0)), ModelError);
    CHECK_THROWS_AS(static_cast<void>(band_envelope(values, 1e-3, 100.0, 100.0)), ModelError);
    CHECK_THROWS_AS(static_cast<void>(band_envelope(values, 0.0, 1.0, 2.0)), ModelError);
    CHECK(band_envelope({}, 1e-3, 100.0, 200.0).value.empty());
}

TEST_CASE("interpolation of a sine is never further off than its closed form says") {
    // Cubic through four points and straight lines; every phase and place in steps of 1/64.
    for (const double steps : {3.0, 5.0, 8.0, 20.0, 60.0}) {
        const double h = turn / steps;
        double worst_cubic = 0.0, worst_line = 0.0;
        for (int p = 0; p < 64; ++p) {
            std::vector<double> x, y;
            for (int i = 0; i < 4; ++i) {
                x.push_back(i);
                y.push_back(std::cos(h * i + turn * p / 64.0));
            }
            for (int s = 0; s <= 64; ++s) {
                const double at = 1.0 + s / 64.0;
                std::size_t hint = 0;
                const double due = std::cos(h * at + turn * p / 64.0);
                worst_cubic = std::max(worst_cubic, std::abs(four_point(x, y, at, hint) - due));
                const double line = y[1] + (y[2] - y[1]) * (at - 1.0);
                worst_line = std::max(worst_line, std::abs(line - due));
            }
        }
        // The worst case is within the 1/64 grid's reach of the closed form, and not above it.
        CHECK(worst_cubic <= cubic_error(h) * (1.0 + 1e-9));
        CHECK(worst_cubic >= cubic_error(h) * 0.99);
        CHECK(worst_line <= linear_error(h) * (1.0 + 1e-9));
        CHECK(worst_line >= linear_error(h) * 0.99);
        // And it stays under the remainder of Lagrange's formula, 3/128·h⁴.
        CHECK(cubic_error(h) <= 3.0 / 128.0 * h * h * h * h);
    }
}
