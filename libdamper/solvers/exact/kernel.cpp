// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/kernel.hpp"

namespace damper {

namespace {

inline __attribute__((always_inline)) void accelerate_body(const double* __restrict k,
                                                           const double* __restrict c, int columns,
                                                           int width, const double* __restrict x,
                                                           const double* __restrict y,
                                                           double* __restrict out) {
    for (int j = 0; j < columns; ++j) {
        const double xj = x[j];
        const double yj = y[j];
        const double* __restrict kj = k + static_cast<long>(j) * width;
        const double* __restrict cj = c + static_cast<long>(j) * width;
        for (int i = 0; i < width; i += 4) {
            for (int l = 0; l < 4; ++l) out[i + l] -= kj[i + l] * xj + cj[i + l] * yj;
        }
    }
}

void accelerate_portable(const double* k, const double* c, int columns, int width, const double* x,
                         const double* y, double* out) {
    accelerate_body(k, c, columns, width, x, y, out);
}

#if defined(__x86_64__)
__attribute__((target("avx2"))) void accelerate_avx2(const double* k, const double* c, int columns,
                                                     int width, const double* x, const double* y,
                                                     double* out) {
    accelerate_body(k, c, columns, width, x, y, out);
}
#endif

}  // namespace

Kernel portable_kernel() {
    return {accelerate_portable, "portable"};
}

Kernel best_kernel() {
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx2")) return {accelerate_avx2, "avx2"};
#endif
    return portable_kernel();
}

}  // namespace damper
