// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/kernel.hpp"

// Vectors are never passed from this file to another, so their calling convention does not matter.
#pragma GCC diagnostic ignored "-Wpsabi"

namespace damper {

namespace {

namespace portable {
#define DAMPER_TARGET
#include "libdamper/solvers/exact/kernel_loops.hpp"
#undef DAMPER_TARGET
}  // namespace portable

#if defined(__x86_64__)
namespace avx2 {
#define DAMPER_TARGET __attribute__((target("avx2")))
#include "libdamper/solvers/exact/kernel_loops.hpp"
#undef DAMPER_TARGET
}  // namespace avx2
#endif

}  // namespace

const Kernel& portable_kernel() {
    static const Kernel kernel = portable::table("portable");
    return kernel;
}

const Kernel& best_kernel() {
#if defined(__x86_64__)
    static const Kernel wide = avx2::table("avx2");
    if (__builtin_cpu_supports("avx2")) return wide;
#endif
    return portable_kernel();
}

}  // namespace damper
