// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/polynomial.hpp"

#include "libdamper/solvers/exact/kernel.hpp"
#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace damper {

namespace {

constexpr int longest_walk = 400;   // safe steps before a touching minimum is called a touch
constexpr double touching = 1e-13;  // of the coefficients: what rounding leaves of a touch
constexpr int pieces = 4;  // that a polynomial is cut into if its bounds are too wide for a walk

using Terms = std::array<double, most_polynomial_terms>;

/// Coefficients with zeros behind them, so that the kernel can take four at a time.
struct Padded {
    explicit Padded(std::span<const double> from) : size(static_cast<int>(from.size())) {
        std::copy(from.begin(), from.end(), c.begin());
        std::fill_n(c.begin() + size, Kernel::padding, 0.0);
    }
    std::array<double, most_polynomial_terms + Kernel::padding> c;
    int size;
};

const Kernel& kernel() {
    static const Kernel& best = best_kernel();
    return best;
}

Local local_of(const Padded& poly, double s) {
    std::array<double, 3> out{};
    kernel().local(poly.c.data(), poly.size, s, out.data());
    return {out[0], out[1], out[2]};
}

/// What the terms from the third order on can do on [0, to]: Σ|c_k|·to^(k−3), a bound of what they
/// are over s³, and a bound of half the third derivative.
struct Rest {
    double terms = 0.0, half_third = 0.0;
};

Rest rest_of(const Padded& poly, double to) {
    std::array<double, 2> out{};
    kernel().rest(poly.c.data(), poly.size, to, out.data());
    return {out[0], out[1]};
}

/// First zero r > 0 of value + slope·r + a·r², value ≥ 0; `never` if there is none. Written so
/// that neither sign of the slope cancels.
double first_zero(double value, double slope, double a, double never) {
    const double inside = slope * slope - 4.0 * a * value;
    if (inside < 0.0) return never;
    const double root = std::sqrt(inside);
    if (slope < 0.0) return 2.0 * value / (root - slope);
    return a < 0.0 ? (slope + root) / (-2.0 * a) : never;
}

/// First place in [from, to] where the polynomial stops rising.
std::optional<double> first_top(std::span<const double> c, double from, double to) {
    Terms slope;
    for (std::size_t k = 1; k < c.size(); ++k) slope[k - 1] = static_cast<double>(k) * c[k];
    return first_fall({slope.data(), c.size() - 1}, from, to, 0.0);
}

/// How far from s the polynomial cannot have reached zero, at most `left`; more than `left` if it
/// cannot within it. ½·p'' cannot fall by more than `bend` times a distance within that distance.
/// First for all that is left, then again for twice what that allowed.
double safe_step(const Local& p, double bend, double left) {
    const double value = std::max(p.value, 0.0);
    const double beyond = 2.0 * left + 1.0;
    const double lowest = p.half_bend - bend * left;
    // A parabola open downwards is lowest at an end: no root to be found, no root to be drawn.
    if (lowest <= 0.0 && value > 0.0 && value + (p.slope + lowest * left) * left > 0.0) {
        return beyond;
    }
    const double r = first_zero(value, p.slope, lowest, beyond);
    if (r > left) return r;
    const double reach = std::min(left, 2.0 * r);
    return std::min(reach,
                    std::max(r, first_zero(value, p.slope, p.half_bend - bend * reach, beyond)));
}

/// p(at + width·u) as a polynomial of u, written into `out`.
void shift(std::span<const double> c, double at, double width, Terms& out) {
    std::copy(c.begin(), c.end(), out.begin());
    double scale = 1.0;
    for (std::size_t k = 0; k < c.size(); ++k) {
        for (std::size_t n = c.size() - 1; n-- > k;) out[n] += at * out[n + 1];
        out[k] *= scale;
        scale *= width;
    }
}

/// The same search from s on, piece by piece: over a short one the bounds are tight.
std::optional<double> fall_in_pieces(std::span<const double> c, double s, double to, double floor) {
    const double width = (to - s) / pieces;
    Terms piece;
    for (int i = 0; i < pieces; ++i) {
        const double start = s + i * width;
        shift(c, start, width, piece);
        const auto fall = first_fall({piece.data(), c.size()}, 0.0, 1.0, floor);
        if (fall) return std::min(start + *fall * width, to);
    }
    return std::nullopt;
}

}  // namespace

double value_at(std::span<const double> c, double s) {
    double even = 0.0, odd = 0.0;
    const double s2 = s * s;
    std::size_t n = c.size();
    if (n % 2 == 1) even = c[--n];
    for (; n > 0; n -= 2) {
        odd = odd * s2 + c[n - 1];
        even = even * s2 + c[n - 2];
    }
    return odd * s + even;
}

ValueSlope value_slope_at(std::span<const double> c, double s) {
    ValueSlope out;
    for (std::size_t k = c.size(); k-- > 0;) {
        out.slope = out.slope * s + out.value;
        out.value = out.value * s + c[k];
    }
    return out;
}

Local local_at(std::span<const double> c, double s) {
    return local_of(Padded(c), s);
}

double integral_to(std::span<const double> c, double s) {
    double v = 0.0;
    for (std::size_t k = c.size(); k-- > 0;) v = v * s + c[k] * one_over[k + 1];
    return v * s;
}

std::span<const double> trimmed(std::span<const double> c) {
    if (c.size() < 4) return c;
    const double size = std::abs(c[0]) + std::abs(c[1]) + std::abs(c[2]);
    std::size_t n = c.size();
    while (n > 3 && std::abs(c[n - 1]) <= 1e-17 * size) --n;
    return c.first(n);
}

double divide_out(std::span<const double> c, double at, std::span<double> q) {
    double carry = 0.0;
    double next = c.back();  // read before q, which may be c itself, overwrites it
    for (std::size_t k = c.size(); k-- > 1;) {
        carry = carry * at + next;
        next = c[k - 1];
        q[k - 1] = carry;
    }
    return carry * at + next;
}

std::optional<double> first_fall(std::span<const double> c, double from, double to, double floor) {
    const Padded poly(c);
    const Rest rest = rest_of(poly, to);
    double s = from;
    if (from == 0.0 && c.size() > 3 && c[0] > 0.0) {
        // From zero on the coefficients themselves tell most: the rest is at most Σ|c_k|·s³.
        s = safe_step({c[0], c[1], c[2]}, rest.terms, to);
        if (s > to) return std::nullopt;
    }
    for (int i = 0; i < longest_walk; ++i) {
        const Local p = local_of(poly, s);
        if (p.value <= floor && p.slope < 0.0) return s;
        const double left = to - s;
        double r = safe_step(p, rest.half_third, left);
        if (r < 1e-17 + 1e-16 * s) {
            // No room left: at the root, or at a touching minimum that rounding hides.
            if (p.slope < 0.0) return s;
            r = 1e-12;
        }
        if (r > left) return std::nullopt;
        s += r;
    }
    // A touch that neither falls through nor lets go within all these steps: it is one.
    double size = 0.0;
    for (const double v : c) size += std::abs(v);
    if (!(value_at(c, s) > touching * size)) return s;
    return fall_in_pieces(c, s, to, floor);
}

std::optional<double> firing(std::span<const double> c, double from, double to, double floor,
                             double slope_floor) {
    const std::size_t n = c.size();
    const double value = from == 0.0 ? c[0] : value_at(c, from);
    if (value > floor) return first_fall(c, from, to, 0.0);
    Terms q;
    if (n > 1) divide_out(c, from, q);
    if (n < 2) return std::nullopt;
    const std::span<double> rest(q.data(), n - 1);
    const double slope = value_at(rest, from);
    if (value < -floor) {
        // Negative from before (two guards at one instant): falling fires, rising may still turn.
        if (slope < 0.0) return from;
        const std::optional<double> top = first_top(c, from, to);
        if (!top) return std::nullopt;
        return value_at(c, *top) <= 0.0 ? top : first_fall(c, *top, to, 0.0);
    }
    // Zero at the start: divide the root out; the rest decides, and its rest if that is zero too.
    double size = 0.0;
    for (const double v : rest) size = std::max(size, std::abs(v));
    std::span<double> left = rest;
    double lead = slope;
    double zero = std::max(slope_floor, 1e-14 * size);
    while (std::abs(lead) <= zero) {
        if (left.size() < 2) return std::nullopt;
        divide_out(left, from, left);
        left = left.first(left.size() - 1);
        lead = value_at(left, from);
        zero = 1e-14 * size;
    }
    if (lead < 0.0) return from;
    return first_fall(left, from, to, 0.0);
}

}  // namespace damper
