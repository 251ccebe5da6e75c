// SPDX-License-Identifier: MIT
// The loops of the kernel, written once. Included by kernel.cpp inside a namespace for each target,
// with DAMPER_TARGET set to its attribute: a function is compiled for a target only if everything
// that is inlined into it is.

/// Four lanes side by side. A plain vector type of the compiler: the same code becomes two
/// registers of two lanes or one of four.
using Four = double __attribute__((vector_size(32)));

DAMPER_TARGET __attribute__((always_inline)) static inline Four load(const double* p) {
    Four v;
    __builtin_memcpy(&v, p, sizeof v);
    return v;
}
DAMPER_TARGET __attribute__((always_inline)) static inline void store(double* p, Four v) {
    __builtin_memcpy(p, &v, sizeof v);
}
DAMPER_TARGET __attribute__((always_inline)) static inline Four all(double x) {
    return Four{x, x, x, x};
}
DAMPER_TARGET __attribute__((always_inline)) static inline Four magnitude(Four v) {
    return v < 0.0 ? -v : v;
}
DAMPER_TARGET __attribute__((always_inline)) static inline Four larger(Four a, Four b) {
    return a > b ? a : b;
}
DAMPER_TARGET __attribute__((always_inline)) static inline double largest_lane(Four v) {
    const double a = v[0] > v[1] ? v[0] : v[1];
    const double b = v[2] > v[3] ? v[2] : v[3];
    return a > b ? a : b;
}

/// α −= K·θ + C·ω in a trunk of 4·blocks lanes.
template <unsigned blocks>
DAMPER_TARGET __attribute__((always_inline)) static inline void add_trunk(const CoreShape& shape,
                                                                          const double* theta,
                                                                          const double* omega,
                                                                          double* alpha) {
    Four sum[blocks];
    for (unsigned i = 0; i < blocks; ++i) sum[i] = load(alpha + 4 * i);
    for (int j = 0; j < shape.trunk_columns; ++j) {
        const Four th = all(theta[j]);
        const Four om = all(omega[j]);
        for (unsigned i = 0; i < blocks; ++i) {
            const long at = 4L * (static_cast<long>(j) * blocks + i);
            sum[i] -= load(shape.k + at) * th + load(shape.c + at) * om;
        }
    }
    for (unsigned i = 0; i < blocks; ++i) store(alpha + 4 * i, sum[i]);
}

DAMPER_TARGET __attribute__((always_inline)) static inline void add_leaves(const CoreShape& shape,
                                                                           const double* theta,
                                                                           const double* omega,
                                                                           double* alpha) {
    for (int b = 0; b < shape.blocks; ++b) {
        const double* const own = shape.leaves + static_cast<long>(b) * CoreShape::block_size;
        const int lane = shape.first_leaf + 4 * b;
        const int centre = shape.centre[b];
        const Four to_centre = load(own);
        const Four to_leaf = load(own + 4);
        const Four th = load(theta + lane);
        const Four om = load(omega + lane);
        const Four twist = to_centre * all(theta[centre]) + to_leaf * th;
        const Four rate = to_centre * all(omega[centre]) + to_leaf * om;
        const Four torque = load(own + 8) * twist + load(own + 12) * rate;
        const Four ground = load(own + 16) * th + load(own + 20) * om;
        store(alpha + lane, load(alpha + lane) - load(own + 24) * (to_leaf * torque + ground));
        const Four back = to_centre * torque;
        alpha[centre] -= shape.centre_inverse[b] * ((back[0] + back[1]) + (back[2] + back[3]));
    }
}

DAMPER_TARGET __attribute__((always_inline)) static inline void add_all(const CoreShape& shape,
                                                                        const double* theta,
                                                                        const double* omega,
                                                                        double* alpha) {
    if (shape.trunk_width == 4) {
        add_trunk<1>(shape, theta, omega, alpha);
    } else if (shape.trunk_width == 8) {
        add_trunk<2>(shape, theta, omega, alpha);
    }
    add_leaves(shape, theta, omega, alpha);
}

DAMPER_TARGET static void accelerate(const CoreShape& shape, const double* theta,
                                     const double* omega, double* alpha) {
    add_all(shape, theta, omega, alpha);
}

DAMPER_TARGET static double advance(const CoreShape& shape, int width, double f,
                                    const double* omega_before, const double* alpha_before,
                                    double* theta, double* omega, double* alpha) {
    Four top = all(0.0);
    for (int i = 0; i < width; i += 4) {
        const Four om = all(f) * load(alpha_before + i);
        store(theta + i, all(f) * load(omega_before + i));
        store(omega + i, om);
        store(alpha + i, all(0.0));
        top = larger(top, magnitude(om));
    }
    add_all(shape, theta, omega, alpha);
    return largest_lane(top);
}

DAMPER_TARGET static void subtract(const double* k, const double* c, int columns, int width,
                                   const double* x, const double* y, double* out) {
    for (int i = 0; i < width; i += 4) {
        Four sum = load(out + i);
        for (int j = 0; j < columns; ++j) {
            const long at = static_cast<long>(j) * width + i;
            sum -= load(k + at) * all(x[j]) + load(c + at) * all(y[j]);
        }
        store(out + i, sum);
    }
}

DAMPER_TARGET static void values(const double* coefficients, int orders, int width, double s,
                                 double* out) {
    // Even and odd orders apart: two chains side by side instead of one twice as long.
    const Four s1 = all(s);
    const Four s2 = all(s * s);
    for (int i = 0; i < width; i += 4) {
        Four even = all(0.0);
        Four odd = all(0.0);
        int n = orders;
        if (n % 2 == 0) even = load(coefficients + static_cast<long>(n--) * width + i);
        for (; n > 0; n -= 2) {
            odd = odd * s2 + load(coefficients + static_cast<long>(n) * width + i);
            even = even * s2 + load(coefficients + static_cast<long>(n - 1) * width + i);
        }
        store(out + i, odd * s1 + even);
    }
}

/// `blocks` registers of places at once, one polynomial after the other.
template <unsigned blocks>
DAMPER_TARGET __attribute__((always_inline)) static inline void values_in_blocks(
    const double* coefficients, int orders, int width, int rows, const double* s, double* out) {
    Four at[blocks];
    for (unsigned q = 0; q < blocks; ++q) at[q] = load(s + 4 * q);
    for (int i = 0; i < rows; ++i) {
        Four sum[blocks];
        for (unsigned q = 0; q < blocks; ++q) sum[q] = all(0.0);
        for (int n = orders; n >= 0; --n) {
            const Four c = all(coefficients[static_cast<long>(n) * width + i]);
            for (unsigned q = 0; q < blocks; ++q) sum[q] = sum[q] * at[q] + c;
        }
        for (unsigned q = 0; q < blocks; ++q) {
            store(out + 4L * (static_cast<long>(i) * blocks + q), sum[q]);
        }
    }
}

DAMPER_TARGET static void values_at_many(const double* coefficients, int orders, int width,
                                         int rows, const double* s, int count, double* out) {
    if (count <= 4) {
        values_in_blocks<1>(coefficients, orders, width, rows, s, out);
    } else if (count <= 8) {
        values_in_blocks<2>(coefficients, orders, width, rows, s, out);
    } else if (count <= 12) {
        values_in_blocks<3>(coefficients, orders, width, rows, s, out);
    } else {
        values_in_blocks<4>(coefficients, orders, width, rows, s, out);
    }
}

DAMPER_TARGET static void transpose(const double* coefficients, int orders, int width, int stride,
                                    double* out) {
    for (int i = 0; i < width; i += 4) {
        for (int n = 0; n <= orders; n += 4) {
            Four row[4];
            for (int r = 0; r < 4; ++r) {
                row[r] = n + r <= orders ? load(coefficients + static_cast<long>(n + r) * width + i)
                                         : all(0.0);
            }
            const Four ab = __builtin_shufflevector(row[0], row[1], 0, 4, 2, 6);
            const Four ba = __builtin_shufflevector(row[0], row[1], 1, 5, 3, 7);
            const Four cd = __builtin_shufflevector(row[2], row[3], 0, 4, 2, 6);
            const Four dc = __builtin_shufflevector(row[2], row[3], 1, 5, 3, 7);
            double* const at = out + static_cast<long>(i) * stride + n;
            store(at, __builtin_shufflevector(ab, cd, 0, 1, 4, 5));
            store(at + stride, __builtin_shufflevector(ba, dc, 0, 1, 4, 5));
            store(at + 2L * stride, __builtin_shufflevector(ab, cd, 2, 3, 6, 7));
            store(at + 3L * stride, __builtin_shufflevector(ba, dc, 2, 3, 6, 7));
        }
    }
}

DAMPER_TARGET static void add_scaled(double f, const double* x, int n, double* y) {
    for (int k = 0; k < n; k += 4) store(y + k, load(y + k) + all(f) * load(x + k));
}

DAMPER_TARGET static void swings(const double* c, int n, double* sum, double* weighted) {
    Four plain = all(0.0);
    Four by_order = all(0.0);
    Four order = {0.0, 1.0, 2.0, 3.0};
    for (int k = 0; k < n; k += 4) {
        Four m = magnitude(load(c + k));
        if (k == 0) m[0] = 0.0;
        plain += m;
        by_order += order * m;
        order += all(4.0);
    }
    *sum = (plain[0] + plain[1]) + (plain[2] + plain[3]);
    *weighted = (by_order[0] + by_order[1]) + (by_order[2] + by_order[3]);
}

DAMPER_TARGET static void slope_bounds(const double* coefficients, int orders, int width,
                                       double* out) {
    for (int i = 0; i < width; i += 4) {
        Four sum = all(0.0);
        for (int n = 1; n <= orders; ++n) {
            sum += all(static_cast<double>(n)) *
                   magnitude(load(coefficients + static_cast<long>(n) * width + i));
        }
        store(out + i, sum);
    }
}

DAMPER_TARGET static void harmonics(const double* orders, int count, int k, const double* w,
                                    int last, double* a, double* b, double* sums) {
    const int most = k < last ? k : last;
    const Four share = all(1.0 / static_cast<double>(k));
    Four sum = all(0.0);
    Four slope = all(0.0);
    Four size = all(0.0);
    for (int i = 0; i < count; i += 4) {
        Four sum_a = all(0.0);
        Four sum_b = all(0.0);
        for (int j = 1; j <= most; ++j) {
            const Four weight = all(w[j]);
            const long at = static_cast<long>(k - j) * count + i;
            sum_a += weight * load(b + at);
            sum_b += weight * load(a + at);
        }
        const Four n = load(orders + i);
        sum_a = sum_a * n * share;
        sum_b = sum_b * -n * share;
        const long here = static_cast<long>(k) * count + i;
        store(a + here, sum_a);
        store(b + here, sum_b);
        sum += sum_a;
        slope += n * sum_b;
        size += magnitude(sum_a) + magnitude(sum_b);
    }
    sums[0] = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    sums[1] = (slope[0] + slope[1]) + (slope[2] + slope[3]);
    sums[2] = (size[0] + size[1]) + (size[2] + size[3]);
}

/// Four lanes of Horner's scheme end with the powers 1, s, s², s³.
DAMPER_TARGET __attribute__((always_inline)) static inline double close_lanes(Four v, double s) {
    return (v[0] + v[1] * s) + (v[2] + v[3] * s) * (s * s);
}

DAMPER_TARGET static void local(const double* c, int n, double s, double* out) {
    const Four fourth = all((s * s) * (s * s));
    Four value = all(0.0);
    Four slope = all(0.0);
    Four half_bend = all(0.0);
    // k + 1 and (k + 1)(k + 2)/2 in each lane, from the last block down.
    const int last = (n - 1) / 4 * 4;
    Four order = Four{1.0, 2.0, 3.0, 4.0} + all(static_cast<double>(last));
    for (int k = last; k >= 0; k -= 4, order -= all(4.0)) {
        value = value * fourth + load(c + k);
        slope = slope * fourth + load(c + k + 1) * order;
        half_bend = half_bend * fourth + load(c + k + 2) * (order * (order + all(1.0)));
    }
    out[0] = close_lanes(value, s);
    out[1] = close_lanes(slope, s);
    out[2] = 0.5 * close_lanes(half_bend, s);
}

DAMPER_TARGET static void rest(const double* c, int n, double to, double* out) {
    const Four fourth = all((to * to) * (to * to));
    Four terms = all(0.0);
    Four third = all(0.0);
    const int last = (n - 1) / 4 * 4;
    Four order = Four{1.0, 2.0, 3.0, 4.0} + all(static_cast<double>(last));
    for (int k = last; k >= 0; k -= 4, order -= all(4.0)) {
        const Four size = magnitude(load(c + k + 3));
        terms = terms * fourth + size;
        third = third * fourth + size * (order * (order + all(1.0)) * (order + all(2.0)));
    }
    out[0] = close_lanes(terms, to);
    out[1] = 0.5 * close_lanes(third, to);
}

static Kernel table(const char* name) {
    return {.advance = advance,
            .accelerate = accelerate,
            .subtract = subtract,
            .values = values,
            .values_at_many = values_at_many,
            .slope_bounds = slope_bounds,
            .harmonics = harmonics,
            .transpose = transpose,
            .add_scaled = add_scaled,
            .swings = swings,
            .local = local,
            .rest = rest,
            .name = name};
}
