// SPDX-License-Identifier: MIT
// Harmonic balance and continuation against closed forms.
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/orbit/orbit_curve.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// One inertia of 1 kg m² held to the ground by elements, under amplitude·sin ωt.
PeriodicProblem held(const LineBuilder& built, double amplitude, double omega) {
    LineBuilder line = built;
    line.input(0, SineTorque{.amplitude = amplitude, .frequency = omega});
    PeriodicProblem out{.line = line.done(), .start = start_state(line.done())};
    out.omega = omega;
    return out;
}

PeriodicMotion solved(const PeriodicProblem& problem, int harmonics) {
    // From what an exact run settles to: dry friction is hard to slide into from rest.
    const SettledMotion settled = settled_motion(problem, problem.start, 60, harmonics);
    REQUIRE(settled.why_not.empty());
    const SolvedMotion out = solve_motion(
        problem, settled.motion,
        {.least_harmonics = harmonics, .most_harmonics = harmonics, .truncation = 1.0});
    CAPTURE(out.why_not);
    REQUIRE(out.found);
    return out.motion;
}

double largest_angle(const PeriodicMotion& motion) {
    double most = 0.0;
    for (int k = 0; k < 4000; ++k) {
        const double t = motion.basis.period() * k / 4000.0;
        most = std::max(most, std::abs(evaluate(motion.basis, motion.angle(0), t).value));
    }
    return most;
}

/// Amplitude of x'' + 2ζx' + x + f·sgn x' = sin rt. A slider's spring makes it differ by the
/// inverse root of its stiffness (measured: 0.26 % at 5000, 0.13 % at 20000, r = 0.7), which two
/// stiffnesses of one to four extrapolate away; 60 harmonics leave 1e-3 to 2e-3 of the amplitude.
double amplitude_with_rigid_friction(double r, double f, double zeta) {
    const auto amplitude = [&](double grip) {
        LineBuilder line;
        line.mass("disc", 1.0)
            .element("spring", {{0, 1.0}}, linear_spring(1.0, 2.0 * zeta))
            .element("friction", {{0, 1.0}}, slider({.limit = f, .grip = grip}));
        return largest_angle(solved(held(line, 1.0, r), 60));
    };
    return 2.0 * amplitude(2e4) - amplitude(5e3);
}

/// Coefficients of the torque of an element under A·cos ωt, settled.
BranchCourse course_of(const Law& law, double a, int harmonics, double omega) {
    const Branch branch{.name = "bench",
                        .kind = "test",
                        .row = {{0, 1.0}},
                        .damping = 0.0,
                        .chain = {{{{"bench", law}}}}};
    BranchWalker walker(branch, 0.0, {law.start}, {0.0});
    const FourierBasis basis{.harmonics = harmonics, .omega = omega};
    Eigen::VectorXd twist = Eigen::VectorXd::Zero(basis.size());
    twist(1) = a;
    return walker.walk(basis, FourierGrid(harmonics, 256), twist);
}

}  // namespace

TEST_CASE("Den Hartog: continuous motion with dry friction over the whole frequency range") {
    // J. P. Den Hartog, Forced vibrations with combined Coulomb and viscous friction, Trans. ASME
    // 53 (1931), APM-53-9, 107–115 (recalled; the rows recomputed from the closed form): x/(P/k) =
    // √(V² − (F/P)²·U²), V = 1/(1 − r²), U = sin(π/r)/(r·(1 + cos(π/r))).
    struct Row {
        double r, f;
    };
    // The closed form holds while the motion has no stops.
    for (const Row& row :
         {Row{0.7, 0.3}, {0.8, 0.5}, {0.9, 0.5}, {1.25, 0.3}, {1.5, 0.3}, {2.0, 0.2}, {3.0, 0.1}}) {
        CAPTURE(row.r);
        const double v = 1.0 / (1.0 - row.r * row.r);
        const double u = std::sin(pi / row.r) / (row.r * (1.0 + std::cos(pi / row.r)));
        CHECK(amplitude_with_rigid_friction(row.r, row.f, 0.0) ==
              near(std::sqrt(v * v - row.f * row.f * u * u), 3e-3));
    }
}

TEST_CASE("Den Hartog: dry and viscous friction together") {
    // The same paper; amplitudes of x'' + 2ζx' + x + (F/P)·sgn x' = cos rt from the half-cycle
    // boundary value problem, confirmed by a run in time to 0.1 %.
    struct Row {
        double r, f, zeta, expected;
    };
    for (const Row& row : {Row{0.7, 0.3, 0.05, 1.767068},
                           {1.0, 0.5, 0.10, 1.812089},
                           {1.0, 0.3, 0.05, 6.179135},
                           {1.25, 0.3, 0.10, 1.246206}}) {
        CAPTURE(row.r);
        CHECK(amplitude_with_rigid_friction(row.r, row.f, row.zeta) == near(row.expected, 3e-3));
    }
}

TEST_CASE("a Jenkins element under a sine: both parts of its first harmonic") {
    // k_d = 500 N m/rad behind a slider of 10 N m, A = 0.1 rad: K' = (k_d/π)(q − sin 2q/2),
    // K'' = (k_d/π)·sin² q, q = acos(1 − 2x_s/A): 71.18925 and 101.85916 N m/rad (closed form;
    // background W. D. Iwan, J. Appl. Mech. 33(4), 1966, 893–900, recalled).
    const BranchCourse course = course_of(slider({.limit = 10.0, .grip = 500.0}), 0.1, 5, 7.0);
    REQUIRE(course.repeats);
    CHECK(course.torque(1) / 0.1 == near(71.18925, 1e-6));
    CHECK(-course.torque(2) / 0.1 == near(101.85916, 1e-6));
}

TEST_CASE("an Iwan element of many sliders: backbone work and its first harmonic") {
    // Uniform slip displacements 0 … x_m: ΔW = (2/3)·k·A³/x_m. k = 500 N m/rad, x_m = 0.05 rad,
    // A = 0.03 rad: 0.18 J (W. D. Iwan, 1966, recalled). The quadrature part is ΔW/(π·A). With 200
    // sliders at midpoints the rule leaves (1/200)²/8 of the integral, a few 1e-5.
    constexpr int count = 200;
    Branch branch{
        .name = "bench", .kind = "test", .row = {{0, 1.0}}, .damping = 0.0, .chain = {{}}};
    for (int i = 0; i < count; ++i) {
        const double slips_at = 0.05 * (i + 0.5) / count;
        const double grip = 500.0 / count;
        branch.chain[0].parts.push_back(
            {"slider", slider({.limit = grip * slips_at, .grip = grip})});
    }
    BranchWalker walker(branch, 0.0, std::vector<int>(count, 0), std::vector<double>(count, 0.0));
    const FourierBasis basis{.harmonics = 3, .omega = 5.0};
    Eigen::VectorXd twist = Eigen::VectorXd::Zero(basis.size());
    twist(1) = 0.03;
    const BranchCourse course = walker.walk(basis, FourierGrid(3, 256), twist);
    REQUIRE(course.repeats);
    CHECK(-course.torque(2) * pi * 0.03 == near(0.18, 1e-4));
}

TEST_CASE("a dead zone under a sine: its describing function") {
    // N/k = 1 − (2/π)·(asin r + r·√(1 − r²)), r half the gap over the amplitude (closed form;
    // background R. J. Comparin and R. Singh, J. Sound Vib. 134(2), 1989, 259–290, recalled).
    struct Row {
        double r, expected;
    };
    for (const Row& row : {Row{0.1, 0.872889},
                           {0.25, 0.685038},
                           {0.5, 0.391002},
                           {0.75, 0.144294},
                           {0.9, 0.0373861}}) {
        CAPTURE(row.r);
        const BranchCourse course =
            course_of(lash({.gap = 2.0 * row.r, .stiffness = 1000.0, .damping = 0.0}), 1.0, 5, 3.0);
        REQUIRE(course.repeats);
        CHECK(course.torque(1) / 1000.0 == near(row.expected, 3e-6));
        CHECK(std::abs(course.torque(2)) < 1e-9);
    }
}

TEST_CASE("a bilinear oscillator is loudest where its halves say") {
    // ω_b = 2ω₁ω₂/(ω₁ + ω₂): J = 0.1 kg m², 1000 and 4000 N m/rad: 133.3333 rad/s (S. W. Shaw and
    // P. J. Holmes, J. Sound Vib. 90(1), 1983, 129–155, recalled; exact in closed form). Damping of
    // 0.5 % moves the peak by its square.
    LineBuilder line;
    line.mass("disc", 0.1)
        .element("springs", {{0, 1.0}},
                 piecewise_spring({{"coast", 1000.0}, {"drive", 4000.0}}, {0.0}))
        .element("damping", {{0, 1.0}}, linear_spring(0.0, 0.15));
    const PeriodicFamily family = [&](double omega) { return held(line, 1.0, omega); };
    CurveSettings settings{.from = 128.0, .to = 138.0};
    settings.least_harmonics = settings.most_harmonics = 12;
    settings.truncation = 1.0;
    settings.largest_step = 0.005;
    const OrbitCurve curve = follow_orbits(family, solved(family(128.0), 12), settings);
    CAPTURE(curve.why_not);
    REQUIRE(curve.complete);
    const auto loudest = std::max_element(
        curve.points.begin(), curve.points.end(), [](const CurvePoint& a, const CurvePoint& b) {
            return largest_angle(a.motion) < largest_angle(b.motion);
        });
    const double at = loudest->parameter;
    CHECK(at == near(133.3333, 1e-3));
}

namespace {

/// J = 1, a spring of 1 N m/rad, another of 3 N m/rad beyond ±1 rad, damping 2ζ, torque 0.3 N m.
constexpr double zeta = 0.02;
constexpr double push = 0.3;
LineBuilder hardening() {
    LineBuilder line;
    line.mass("disc", 1.0)
        .element("spring", {{0, 1.0}}, linear_spring(1.0, 2.0 * zeta))
        .element("stops", {{0, 1.0}}, lash({.gap = 2.0, .stiffness = 3.0, .damping = 0.0}));
    return line;
}

/// Squares of the two frequencies at which one harmonic of amplitude a balances; the describing
/// function of the stops is that of the dead zone above.
std::vector<double> one_term(double a) {
    const double r = std::min(1.0 / a, 1.0);
    const double k = 1.0 + 3.0 * (1.0 - 2.0 / pi * (std::asin(r) + r * std::sqrt(1.0 - r * r)));
    // (k − w)² + 4ζ²w = (push/a)², w = ω².
    const double half = k - 2.0 * zeta * zeta;
    const double inside = half * half - k * k + push * push / (a * a);
    if (inside < 0.0) return {};
    return {half - std::sqrt(inside), half + std::sqrt(inside)};
}

/// Down- and up-sweep jumps of the one-term balance: lowest frequency of the branch on which the
/// response is behind, and the highest of the same branch at larger amplitudes.
std::pair<double, double> one_term_jumps() {
    double down = 1e9;
    double up = 0.0;
    for (double a = 1.0; a < 20.0; a += 1e-4) {
        const std::vector<double> w = one_term(a);
        if (w.empty()) break;
        const double omega = std::sqrt(w[1]);
        if (omega < down) {
            down = omega;
            up = 0.0;
        }
        up = std::max(up, omega);
    }
    return {down, up};
}

OrbitCurve curve(int harmonics) {
    const PeriodicFamily family = [](double omega) { return held(hardening(), push, omega); };
    CurveSettings settings{.from = 0.6, .to = 3.0};
    settings.least_harmonics = settings.most_harmonics = harmonics;
    settings.truncation = 1.0;
    settings.largest_step = 0.01;
    settings.angle_scale = 2.0;
    return follow_orbits(family, resting_motion(family(0.6), harmonics), settings);
}

}  // namespace

TEST_CASE("one harmonic: the curve folds where the closed form says") {
    const OrbitCurve found = curve(1);
    CAPTURE(found.why_not);
    REQUIRE(found.complete);
    REQUIRE(found.folds.size() == 2);
    const auto [down, up] = one_term_jumps();
    // Interpolated by a parabola; at the lower fold the stops have just been met, where stiffness
    // grows like a power of one and a half.
    CHECK(found.folds[0].parameter == near(up, 1e-4));
    CHECK(found.folds[1].parameter == near(down, 5e-4));
}

TEST_CASE("many harmonics: slow sweeps in time jump at the folds") {
    const OrbitCurve found = curve(11);
    REQUIRE(found.complete);
    REQUIRE(found.folds.size() == 2);
    // Stepped sweeps of exact runs from a point of the curve before the fold: the amplitude over
    // the last of 100 periods at every frequency.
    const auto sweep = [&](const CurvePoint& from, double step, int most) {
        const PeriodicProblem first = held(hardening(), push, from.parameter);
        State state = time_problem(first, from.motion).start;
        double before = -1.0;
        for (int k = 0; k < most; ++k) {
            const double omega = from.parameter + k * step;
            const PeriodicProblem problem = held(hardening(), push, omega);
            const double period = 2.0 * pi / omega;
            state.time = 0.0;
            State last = solve_exact(problem.line, state,
                                     {.end = 100.0 * period, .sample_step = period}, nullptr)
                             .end;
            last.time = 0.0;
            AngleTrace trace;
            state = solve_exact(problem.line, last, {.end = period, .sample_step = period / 64.0},
                                &trace)
                        .end;
            double a = 0.0;
            for (const double angle : trace.angle) a = std::max(a, std::abs(angle));
            if (before > 0.0 && (a > 1.2 * before || a < before / 1.2)) return omega - 0.5 * step;
            before = a;
        }
        return 0.0;
    };
    /// The last point before the fold that is 2 % away from it.
    const auto before_fold = [&](std::size_t fold) {
        std::size_t k = found.folds[fold].point;
        const double at = found.folds[fold].parameter;
        while (k > 0 && std::abs(found.points[k].parameter - at) < 0.02 * at) --k;
        return found.points[k];
    };
    const auto after_fold = [&](std::size_t fold) {
        std::size_t k = found.folds[fold].point;
        const double at = found.folds[fold].parameter;
        while (std::abs(found.points[k].parameter - at) < 0.02 * at) ++k;
        return found.points[k];
    };
    const double up = found.folds[0].parameter;
    const double down = found.folds[1].parameter;
    CAPTURE(up);
    CAPTURE(down);
    CHECK(sweep(before_fold(0), 0.002 * up, 60) == near(up, 5e-3));
    CHECK(sweep(after_fold(1), -0.002 * down, 60) == near(down, 5e-3));
}
