// SPDX-License-Identifier: MIT
// Engine excitation, tyre slip and oil against series, identities and tables.
#include "libdamper/elements/crank_torque.hpp"
#include "libdamper/elements/smooth_law.hpp"
#include "libdamper/elements/viscosity.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using damper::test::near;

namespace {

constexpr double pi = std::numbers::pi;

/// Crank of radius 1 m with 1 kg at 1 rad/s: the torque is Σ B_n sin nθ itself.
CrankGeometry unit_crank(double lambda) {
    return {.bore = 1.0,
            .stroke = 2.0,
            .rod_length = 1.0 / lambda,
            .compression_ratio = 10.0,
            .reciprocating_mass = 1.0};
}

template <typename Function>
std::pair<double, double> fourier(Function f, int order) {
    constexpr int points = 4096;
    double sine = 0.0, cosine = 0.0;
    for (int i = 0; i < points; ++i) {
        const double angle = 2.0 * pi * i / points;
        sine += 2.0 / points * f(angle) * std::sin(order * angle);
        cosine += 2.0 / points * f(angle) * std::cos(order * angle);
    }
    return {sine, cosine};
}

CylinderSet even_engine(int cylinders) {
    CylinderSet set;
    set.geometry = {.bore = 0.08,
                    .stroke = 0.08,
                    .rod_length = 0.14,
                    .compression_ratio = 10.5,
                    .reciprocating_mass = 0.5};
    set.burning = {.intake_pressure = 0.4e5,
                   .exhaust_pressure = 1.05e5,
                   .ambient_pressure = 101325.0,
                   .compression_exponent = 1.32,
                   .expansion_exponent = 1.28,
                   .start = -0.2,
                   .duration = 1.0,
                   .shape = 2.0,
                   .completeness = 6.9};
    for (int i = 0; i < cylinders; ++i) set.firing_angles.push_back(4.0 * pi * i / cylinders);
    set.gains.assign(static_cast<std::size_t>(cylinders), 1.0);
    return set;
}

}  // namespace

TEST_CASE("the slider-crank's inertia torque has the tabulated harmonics") {
    // Torque = m·r²·ω²·Σ B_n sin nθ. Classical series in λ = r/l as in J. P. Den Hartog, Mechanical
    // Vibrations (recalled); the table is the Fourier transform of the exact kinematics (derived
    // independently). Cosines vanish.
    struct Row {
        double lambda;
        double b[6];
    };
    const Row rows[] = {
        {0.25, {0.0635063, -0.5001301, -0.1920556, -0.0161290, 0.0025923, 0.0003903}},
        {1.0 / 3.5, {0.0729449, -0.5002266, -0.2211636, -0.0212766, 0.0039436, 0.0006793}},
        {0.30, {0.0767627, -0.5002779, -0.2330021, -0.0235602, 0.0046035, 0.0008331}}};
    for (const Row& row : rows) {
        CAPTURE(row.lambda);
        const double l = row.lambda;
        const double series[] = {l / 4 + std::pow(l, 3) / 16 + 15 * std::pow(l, 5) / 512,
                                 -0.5 - std::pow(l, 4) / 32 - std::pow(l, 6) / 32,
                                 -(3 * l / 4 + 9 * std::pow(l, 3) / 32 + 81 * std::pow(l, 5) / 512),
                                 -(l * l / 4 + std::pow(l, 4) / 8 + std::pow(l, 6) / 16),
                                 5 * std::pow(l, 3) / 32 + 75 * std::pow(l, 5) / 512,
                                 3 * std::pow(l, 4) / 32 + 3 * std::pow(l, 6) / 32};
        for (int n = 1; n <= 6; ++n) {
            CAPTURE(n);
            const auto [sine, cosine] =
                fourier([&](double angle) { return inertia_torque(unit_crank(l), angle, 1.0); }, n);
            CHECK(std::abs(sine - row.b[n - 1]) < 1e-6);
            CHECK(sine == near(series[n - 1], n < 5 ? 1e-3 : 2e-2));
            CHECK(std::abs(cosine) < 1e-12);
        }
    }
}

TEST_CASE("an in-line four with a flat crank keeps only the even orders of its inertia torque") {
    // Odd orders cancel; order 2 is 4·0.50013·m·r²·ω² at λ = 0.25 (derived).
    const auto four = [](double angle) {
        double sum = 0.0;
        for (const double throw_at : {0.0, pi, pi, 0.0}) {
            sum += inertia_torque(unit_crank(0.25), angle - throw_at, 1.0);
        }
        return sum;
    };
    CHECK(fourier(four, 2).first == near(-4.0 * 0.5001301, 1e-6));
    for (const int odd : {1, 3, 5}) CHECK(std::abs(fourier(four, odd).first) < 1e-12);
}

TEST_CASE("even firing leaves only multiples of half the number of cylinders") {
    // Orders N/2, N, 3N/2 … of a four-stroke engine; all others add up to nothing (identity).
    for (const int cylinders : {3, 4, 5, 6, 8}) {
        CAPTURE(cylinders);
        const CrankTorque torque = engine_torque(even_engine(cylinders), 90.0, 20.0);
        REQUIRE(torque.harmonics.size() >= 3);
        CHECK(torque.harmonics.front().order == 0.5 * cylinders);
        for (const CrankHarmonic& h : torque.harmonics) {
            CHECK(std::fmod(h.order, 0.5 * cylinders) == 0.0);
        }
    }
}

TEST_CASE("one weak cylinder brings order one half and its multiples") {
    CylinderSet engine = even_engine(4);
    const CrankTorque healthy = engine_torque(engine, 90.0, 20.0);
    engine.gains[2] = 0.7;
    const CrankTorque weak = engine_torque(engine, 90.0, 20.0);
    CHECK(healthy.harmonics.front().order == 2.0);
    REQUIRE(weak.harmonics.size() > 6);
    const double due = std::hypot(healthy.harmonics[0].cosine, healthy.harmonics[0].sine);
    for (int i = 0; i < 3; ++i) {
        const CrankHarmonic& h = weak.harmonics[static_cast<std::size_t>(i)];
        CHECK(h.order == 0.5 * (i + 1));
        CHECK(std::hypot(h.cosine, h.sine) > 0.02 * due);
    }
    // The three strong ones make the missing torque good: the missing share (q4 − q3)·a of one
    // cylinder, turned by its firing angle, is all there is at order one half.
    CylinderSet opposite = even_engine(4);
    opposite.gains[0] = 0.7;
    const CrankTorque turned = engine_torque(opposite, 90.0, 20.0);
    const double turn = 0.5 * engine.firing_angles[2];
    const CrankHarmonic& a = turned.harmonics[0];
    const CrankHarmonic& b = weak.harmonics[0];
    CHECK(b.cosine == near(a.cosine * std::cos(turn) - a.sine * std::sin(turn), 1e-9));
    CHECK(b.sine == near(a.cosine * std::sin(turn) + a.sine * std::cos(turn), 1e-9));
}

TEST_CASE("a tyre in small slip is a damper C·r²/v") {
    // C = 60000 N, r = 0.32 m, v = 10 m/s: 614.4 N m s/rad (derived).
    const TyreSlip tyre{.slip_stiffness = 60000.0, .grip = 4000.0, .radius = 0.32};
    const double wheel = 10.0 / 0.32;
    CHECK(damping(tyre, 0.0, wheel) == near(614.4, 1e-12));
    CHECK(torque(tyre, 1e-4, wheel) == near(0.06144, 1e-6));
    CHECK(torque(tyre, 1e4, wheel) == near(4000.0 * 0.32, 1e-12));
}

TEST_CASE("oils of the ISO grades are as thin at 50 °C as the tables of equivalents give") {
    // ISO 3448 grades of paraffinic oils (index 95): viscosity at 40, 100 and, as the older grades
    // of DIN 51501 ff. are set beside them, at 50 °C in mm²/s. All recalled, not read in the
    // source; the 50 °C figures are rounded grades, so the check is a coarse one.
    struct Row {
        double at40, at100, at50;
    };
    for (const Row& row : {Row{46.0, 6.7, 30.0}, Row{68.0, 8.6, 43.0}, Row{100.0, 11.1, 61.0},
                           Row{150.0, 14.6, 88.0}, Row{220.0, 18.8, 125.0}}) {
        CAPTURE(row.at40);
        const ViscosityLine line(313.15, row.at40 * 1e-6, 373.15, row.at100 * 1e-6);
        CHECK(line.at(323.15) * 1e6 == near(row.at50, 0.04));
    }
}

TEST_CASE("a viscosity line meets both points given and is straight on the standard's chart") {
    // ASTM D341: log10(log10(ν + 0.7)) over log10 T is a straight line.
    const ViscosityLine line(313.15, 75.0e-6, 373.15, 10.5e-6);
    CHECK(line.at(313.15) == near(75.0e-6, 1e-12));
    CHECK(line.at(373.15) == near(10.5e-6, 1e-12));
    const auto height = [&](double t) { return std::log10(std::log10(line.at(t) * 1e6 + 0.7)); };
    const double mid = std::sqrt(258.15 * 353.15);
    CHECK(height(mid) == near(0.5 * (height(258.15) + height(353.15)), 1e-12));
}

TEST_CASE("a pressure that stays gives the torque of the slider-crank's own series") {
    // T = (p − p0)·A·dx/dθ; dx/dθ = r·(sin θ + λ/2·sin 2θ + …), the classical expansion
    // (J. P. Den Hartog, Mechanical Vibrations; recalled), here by quadrature of the exact motion.
    const double lambda = 0.3;
    CrankGeometry g = unit_crank(lambda);
    g.reciprocating_mass = 0.0;
    MeasuredCycle cycle{.angle = {}, .pressure = {}, .ambient_pressure = 1e5};
    for (int i = 0; i < 144; ++i) {
        cycle.angle.push_back(i * 5.0 / 180.0 * pi);
        cycle.pressure.push_back(4e5);
    }
    const CrankTorque torque = engine_torque(g, cycle, {0.0}, 100.0);
    const double force = 3e5 * pi / 4.0;
    CHECK(std::abs(torque.mean) < 1e-6 * force);
    const auto slope = [&](double angle) { return piston_motion(g, angle).slope; };
    for (const int order : {1, 2, 4}) {
        CAPTURE(order);
        const double sine = fourier(slope, order).first;
        const auto found = std::find_if(torque.harmonics.begin(), torque.harmonics.end(),
                                        [&](const CrankHarmonic& h) { return h.order == order; });
        REQUIRE(found != torque.harmonics.end());
        CHECK(found->sine == near(force * sine, 1e-9));
        CHECK(std::abs(found->cosine) < 1e-9 * force);
    }
    CHECK(torque.harmonics.front().order == 1.0);
}

TEST_CASE("the mean torque of a measured cycle is its area in the pressure-volume diagram") {
    // A rectangle: 5 bar over the air's pressure through the expansion stroke. W = (p − p0)·V_h per
    // cycle and cylinder; the mean torque is z·W/(4π) (definition of indicated work).
    CrankGeometry g{.bore = 0.08,
                    .stroke = 0.09,
                    .rod_length = 0.15,
                    .compression_ratio = 10.0,
                    .reciprocating_mass = 0.6};
    MeasuredCycle cycle{.angle = {}, .pressure = {}, .ambient_pressure = 1e5};
    for (int i = -720; i < 720; ++i) {
        const double degrees = 0.5 * i;
        cycle.angle.push_back(degrees / 180.0 * pi);
        cycle.pressure.push_back(degrees > 0.0 && degrees < 180.0 ? 6e5 : 1e5);
    }
    const std::vector<double> firing = {0.0, 3.0 * pi, pi, 2.0 * pi};
    const double swept = pi / 4.0 * 0.08 * 0.08 * 0.09;
    for (const double speed : {50.0, 300.0}) {  // the pistons' mass has no mean
        const CrankTorque torque = engine_torque(g, cycle, firing, speed);
        CHECK(torque.mean == near(4.0 * 5e5 * swept / (4.0 * pi), 2e-4));
        for (const CrankHarmonic& h : torque.harmonics) CHECK(std::fmod(h.order, 2.0) == 0.0);
    }
}
