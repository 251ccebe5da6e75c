// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// A root between two places where a function has opposite signs: false position that halves the
/// weight of an end that stays twice (the Illinois rule: M. Dowell and P. Jarratt, A modified
/// regula falsi method, BIT 11, 1971, 168–174, recalled).
///
/// Whoever looks evaluates the function at next(), decides whether that is near enough, and tells
/// it to take() if not.
struct FalsePosition {
    double a = 0.0, b = 0.0;        ///< Ends, in any order.
    double at_a = 0.0, at_b = 0.0;  ///< Values there, of opposite signs.
    int stayed = 0;                 ///< 1 if b was kept last, −1 if a was.

    [[nodiscard]] double next() const { return (a * at_b - b * at_a) / (at_b - at_a); }
    /// The value at a place between the ends puts it in the place of one of them.
    void take(double place, double value) {
        if (value * at_b > 0.0) {
            b = place;
            at_b = value;
            if (stayed == -1) at_a *= 0.5;
            stayed = -1;
        } else {
            a = place;
            at_a = value;
            if (stayed == 1) at_b *= 0.5;
            stayed = 1;
        }
    }
};

}  // namespace damper
