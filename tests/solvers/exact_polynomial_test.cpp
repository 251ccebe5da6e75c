// SPDX-License-Identifier: MIT
// The search for the first root of a guard, and the loops of the kernel. The roots are known
// because the polynomials are made from them; Eigen's eigenvalues of the companion matrix, an
// independent library, say the same of polynomials that are drawn by their coefficients.
#include "libdamper/solvers/exact/kernel.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <doctest/doctest.h>
#include <limits>
#include <optional>
#include <random>
#include <vector>

using namespace damper;

namespace {

using Poly = std::vector<double>;

constexpr double never = std::numeric_limits<double>::infinity();

Poly times(const Poly& a, const Poly& b) {
    Poly out(a.size() + b.size() - 1, 0.0);
    for (std::size_t i = 0; i < a.size(); ++i) {
        for (std::size_t k = 0; k < b.size(); ++k) out[i + k] += a[i] * b[k];
    }
    return out;
}

/// Σ|c_k|: what rounding of a value is judged against.
double size_of(const Poly& c) {
    double sum = 0.0;
    for (const double v : c) sum += std::abs(v);
    return sum;
}

/// The first place where a dense scan and then bisection find it negative.
double scanned(const Poly& c, double from, double to) {
    constexpr int places = 4000;
    double before = from;
    for (int i = 1; i <= places; ++i) {
        const double s = from + (to - from) * i / places;
        if (value_at(c, s) >= 0.0) {
            before = s;
            continue;
        }
        double low = before, high = s;
        while (high - low > 1e-15) {
            const double middle = 0.5 * (low + high);
            (value_at(c, middle) < 0.0 ? high : low) = middle;
        }
        return high;
    }
    return never;
}

/// Smallest real root in (from, to] by eigenvalues of the companion matrix.
double first_eigenvalue(Poly c, double from, double to) {
    while (c.size() > 1 && c.back() == 0.0) c.pop_back();
    const auto n = static_cast<Eigen::Index>(c.size()) - 1;
    if (n < 1) return never;
    Eigen::MatrixXd companion = Eigen::MatrixXd::Zero(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
        companion(i, n - 1) = -c[static_cast<std::size_t>(i)] / c.back();
        if (i > 0) companion(i, i - 1) = 1.0;
    }
    double first = never;
    const Eigen::VectorXcd roots = companion.eigenvalues();
    for (Eigen::Index i = 0; i < n; ++i) {
        const double real = roots(i).real();
        if (std::abs(roots(i).imag()) < 1e-9 && real > from && real <= to) {
            first = std::min(first, real);
        }
    }
    return first;
}

}  // namespace

TEST_CASE("polynomials: no root of polynomials drawn by lot is passed") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    int with_root = 0;
    for (int round = 0; round < 4000; ++round) {
        CAPTURE(round);
        const std::size_t n = 2 + random() % 20;
        const double shrink = 0.3 + 1.2 * (0.5 + 0.5 * around(random));
        Poly c(n);
        double factor = 1.0;
        for (double& v : c) {
            v = factor * around(random);
            factor *= shrink;
        }
        c[0] = std::abs(c[0]) + 1e-6;
        const double from = round % 3 == 0 ? 0.3 * std::abs(around(random)) : 0.0;
        if (value_at(c, from) <= 1e-9) continue;
        const std::optional<double> found = first_fall(c, from, 1.0, 0.0);
        const double seen = scanned(c, from, 1.0);
        const double own = first_eigenvalue(c, from, 1.0);
        if (found) {
            ++with_root;
            REQUIRE(*found >= from);
            REQUIRE(*found <= 1.0);
            // It is a root, and nothing negative lies before it.
            CHECK(std::abs(value_at(c, *found)) < 1e-14 * size_of(c));
            CHECK(*found <= seen + 1e-12);
            CHECK(std::abs(*found - own) < 1e-6);
        } else {
            CHECK(seen == never);
            CHECK((own == never || own > 1.0 - 1e-9 ||
                   std::abs(value_slope_at(c, own).slope) < 1e-6));
        }
    }
    CHECK(with_root > 500);
}

TEST_CASE("polynomials: two roots close together are not passed, nor is one made up") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> any(0.05, 0.95);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    for (int round = 0; round < 3000; ++round) {
        CAPTURE(round);
        const double at = any(random);
        // Something that stays positive: 1 + small terms, twice or thrice.
        Poly rest{1.0};
        for (unsigned i = 0; i < 1 + random() % 4; ++i) {
            rest = times(rest, {1.0, 0.4 * around(random), 0.3 * around(random)});
        }
        for (const double apart : {1e-2, 1e-4, 1e-6, 1e-7}) {
            CAPTURE(apart);
            const double half = 0.5 * apart;
            const Poly pair{at * at - half * half, -2.0 * at, 1.0};
            const Poly c = times(pair, rest);
            const std::optional<double> found = first_fall(c, 0.0, 1.0, 0.0);
            // Rounding moves the double root by the root of it over its distance.
            REQUIRE(found.has_value());
            CHECK(std::abs(*found - (at - half)) < 1e-15 * size_of(c) * 20.0 / apart);
            // Lifted off the axis by the same: nothing is there to be found.
            const Poly lifted = times({at * at + half * half, -2.0 * at, 1.0}, rest);
            if (apart >= 1e-6) CHECK_FALSE(first_fall(lifted, 0.0, 1.0, 0.0).has_value());
        }
        // Closer than rounding can tell: found or not, but at the right place, and soon.
        for (const double apart : {1e-9, 1e-12, 0.0}) {
            const double half = 0.5 * apart;
            const Poly c = times({at * at - half * half, -2.0 * at, 1.0}, rest);
            const std::optional<double> found = first_fall(c, 0.0, 1.0, 0.0);
            if (found) CHECK(std::abs(*found - at) < 1e-6);
        }
    }
}

TEST_CASE("polynomials: what the series of a swing are like") {
    // offset + cos(a·s + b): many terms, large in the middle, cancelling.
    std::mt19937 random(3);
    std::uniform_real_distribution<double> any(0.0, 1.0);
    for (int round = 0; round < 2000; ++round) {
        CAPTURE(round);
        const double a = 0.1 + 8.0 * any(random), b = 6.3 * any(random);
        const double offset = 2.4 * any(random) - 1.2;
        Poly c(46);
        double term = 1.0;
        for (std::size_t k = 0; k < c.size(); ++k) {
            c[k] = term * std::cos(b + 0.5 * 3.14159265358979323846 * static_cast<double>(k));
            term *= a / static_cast<double>(k + 1);
        }
        c[0] += offset;
        if (c[0] < 1e-6) continue;
        const std::optional<double> found = firing(c, 0.0, 1.0, 1e-13, 0.0);
        // cos falls through −offset where a·s + b = 2πn + arccos(−offset), from above.
        double expected = never;
        if (std::abs(offset) < 1.0) {
            const double angle = std::acos(-offset);
            for (int n = -1; n < 4; ++n) {
                const double s = (angle + 2.0 * 3.14159265358979323846 * n - b) / a;
                if (s > 0.0) expected = std::min(expected, s);
            }
        }
        if (std::abs(std::abs(offset) - 1.0) < 1e-6 || std::abs(expected - 1.0) < 1e-9) continue;
        CHECK(found.has_value() == (expected < 1.0));
        if (found) CHECK(std::abs(*found - expected) < 1e-10);
    }
}

TEST_CASE("polynomials: a guard that is zero or negative where the search begins") {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> any(0.1, 0.9);
    for (int round = 0; round < 2000; ++round) {
        const double from = round % 2 == 0 ? 0.0 : 0.05;
        const double root = any(random), bend = any(random);
        // Rises from zero at `from`, falls through zero again at `root`.
        const Poly rising = times(times({-from, 1.0}, {root, -1.0}), {1.0, 0.2 * bend, 0.1});
        const std::optional<double> again = firing(rising, from, 1.0, 1e-13);
        REQUIRE(again.has_value());
        CHECK(std::abs(*again - root) < 1e-12);
        // Falls from zero: fires there.
        Poly falling = rising;
        for (double& v : falling) v = -v;
        CHECK(firing(falling, from, 1.0, 1e-13) == from);
        // Touches zero at `from` from above and stays up: never.
        const Poly touch = times({from * from, -2.0 * from, 1.0}, {1.0, bend});
        CHECK_FALSE(firing(touch, from, 1.0, 1e-13).has_value());
        // Negative before, rising through zero, falling again later.
        const Poly through = times(times({-(from + 0.02), 1.0}, {root, -1.0}), {1.0, 0.2 * bend});
        const std::optional<double> later = firing(through, from, 1.0, 1e-13);
        REQUIRE(later.has_value());
        CHECK(std::abs(*later - root) < 1e-12);
        // Negative and falling: at once. Zero all along: never.
        CHECK(firing(Poly{-0.1, -1.0, 0.3}, from, 1.0, 1e-13) == from);
        CHECK_FALSE(firing(Poly{0.0, 0.0, 0.0}, from, 1.0, 1e-13).has_value());
    }
}

TEST_CASE("polynomials: hard ones end, and never at a value that is not small") {
    std::mt19937 random(9);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    for (int round = 0; round < 3000; ++round) {
        CAPTURE(round);
        // Chebyshev-like swings: large coefficients, many near touches.
        Poly a{1.0}, b{0.0, 1.0};
        const auto degree = 3 + random() % 14;
        for (std::size_t k = 1; k < degree; ++k) {
            Poly next = times({0.0, 2.0}, b);
            for (std::size_t i = 0; i < a.size(); ++i) next[i] -= a[i];
            a = b;
            b = next;
        }
        const double lift = 1.0 + (round % 2 == 0 ? 1e-3 : 1e-7) * around(random);
        b[0] += lift;
        if (value_at(b, 0.0) <= 0.0) continue;
        const std::optional<double> found = first_fall(b, 0.0, 1.0, 0.0);
        const double seen = scanned(b, 0.0, 1.0);
        if (found) {
            CHECK(std::abs(value_at(b, *found)) < 1e-6);
            CHECK(*found <= seen + 1e-9);
        } else {
            CHECK(seen == never);
        }
    }
}

TEST_CASE("kernel: every loop gives the same bits with and without wide registers") {
    const Kernel &wide = best_kernel(), &plain = portable_kernel();
    MESSAGE("compared: ", wide.name, " and ", plain.name);
    std::mt19937 random(1);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    const auto numbers = [&](std::size_t n) {
        Poly out(n);
        for (double& v : out) v = around(random) * std::exp(20.0 * around(random));
        return out;
    };
    const auto same = [](const Poly& a, const Poly& b) {
        return std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
    };
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        const int orders = 1 + static_cast<int>(random() % 46);
        for (const int width : {4, 8, 12, 24}) {
            CAPTURE(width);
            const auto w = static_cast<std::size_t>(width);
            const Poly c = numbers(48 * w);
            const double s = 0.5 + 0.5 * around(random);
            const auto both = [&](std::size_t size, auto&& call) {
                Poly a(size, 0.25), b(size, 0.25);
                call(wide, a.data());
                call(plain, b.data());
                CHECK(same(a, b));
            };
            both(w,
                 [&](const Kernel& k, double* out) { k.values(c.data(), orders, width, s, out); });
            both(w, [&](const Kernel& k, double* out) {
                k.slope_bounds(c.data(), orders, width, out);
            });
            both(48 * w, [&](const Kernel& k, double* out) {
                k.transpose(c.data(), orders, width, 48, out);
            });
            const Poly places = numbers(16);
            for (const int count : {4, 8, 12, 16}) {
                both(16 * w, [&](const Kernel& k, double* out) {
                    k.values_at_many(c.data(), orders, width, width, places.data(), count, out);
                });
            }
            const Poly stiff = numbers(64), damp = numbers(64), theta = numbers(w);
            const Poly omega = numbers(w), leaves = numbers(28 * w);
            both(w, [&](const Kernel& k, double* out) {
                k.subtract(leaves.data(), leaves.data() + 12 * w, 11, width, stiff.data(),
                           damp.data(), out);
            });
            const std::vector<int> centre = {1, 0, 2, 3, 1};
            const Poly inverse = numbers(5);
            for (const int trunk : {0, 4, 8}) {
                if (trunk > width) continue;
                const int first = std::max(trunk, 4);
                const CoreShape shape{.trunk_width = trunk,
                                      .trunk_columns = trunk == 0 ? 0 : trunk - 1,
                                      .first_leaf = first,
                                      .blocks = (width - first) / 4,
                                      .k = stiff.data(),
                                      .c = damp.data(),
                                      .leaves = leaves.data(),
                                      .centre = centre.data(),
                                      .centre_inverse = inverse.data()};
                both(w, [&](const Kernel& k, double* out) {
                    k.accelerate(shape, theta.data(), omega.data(), out);
                });
                both(3 * w + 1, [&](const Kernel& k, double* out) {
                    out[3 * w] = k.advance(shape, width, s, theta.data(), omega.data(), out,
                                           out + w, out + 2 * w);
                });
            }
            both(w,
                 [&](const Kernel& k, double* out) { k.add_scaled(s, theta.data(), width, out); });
            both(2, [&](const Kernel& k, double* out) { k.swings(c.data(), width, out, out + 1); });
            const Poly turns = numbers(24), rows = numbers(24 * w);
            both(48 * w + 3, [&](const Kernel& k, double* out) {
                std::copy(rows.begin(), rows.end(), out);
                std::copy(rows.begin(), rows.end(), out + 24 * w);
                k.harmonics(damp.data(), width, 23, turns.data(), 11, out, out + 24 * w,
                            out + 48 * w);
            });
            Poly padded = numbers(56);
            std::fill(padded.begin() + orders, padded.end(), 0.0);
            both(3, [&](const Kernel& k, double* out) { k.local(padded.data(), orders, s, out); });
            both(2, [&](const Kernel& k, double* out) { k.rest(padded.data(), orders, s, out); });
        }
    }
    // And they are what they say they are.
    const Poly c = numbers(48);
    double sum = 0.0, weighted = 0.0, expected = 0.0, expected_weighted = 0.0;
    plain.swings(c.data(), 40, &sum, &weighted);
    for (std::size_t k = 1; k < 40; ++k) {
        expected += std::abs(c[k]);
        expected_weighted += static_cast<double>(k) * std::abs(c[k]);
    }
    CHECK(sum == doctest::Approx(expected).epsilon(1e-13));
    CHECK(weighted == doctest::Approx(expected_weighted).epsilon(1e-13));

    // A harmonic along a straight angle is a sine of time: A = sin(n·w·s) has nothing but its own
    // Taylor series, and so has B = cos(n·w·s).
    const double n = 3.0, turn = 0.4;
    const Poly order = {n, 0.0, 0.0, 0.0}, w = {0.0, turn};
    Poly a(4 * 12, 0.0), b(4 * 12, 0.0), sums(3);
    b[0] = 1.0;
    double term = 1.0;
    for (int k = 1; k < 12; ++k) {
        plain.harmonics(order.data(), 4, k, w.data(), 1, a.data(), b.data(), sums.data());
        term *= n * turn / k;
        const double sign = k % 4 < 2 ? 1.0 : -1.0;
        CHECK(sums[0] == doctest::Approx(k % 2 == 1 ? sign * term : 0.0).epsilon(1e-14));
        const double slope = k % 2 == 0 ? (k % 4 == 0 ? n * term : -n * term) : 0.0;
        CHECK(sums[1] == doctest::Approx(slope).epsilon(1e-14));
    }
}
