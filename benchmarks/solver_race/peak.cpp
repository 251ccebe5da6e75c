// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/peak.hpp"

#include "benchmarks/solver_race/timing.hpp"
#include <algorithm>
#include <cstddef>

#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace damper::benchmarks {

namespace {

constexpr long turns = 2'000'000;
// Independent sums: enough to hide how long one takes, few enough to stay in the registers.
constexpr std::size_t chains = 14;
constexpr std::size_t many_chains = 28;  // unfused, where there are 32 registers
constexpr int trials = 5;
constexpr double factor = 0.999999;  // keeps every sum bounded
constexpr double term = 1e-6;

using Loop = double (*)();

template <unsigned lanes>
struct Register {
    typedef double Vector __attribute__((vector_size(8U * lanes)));  // NOLINT
};

/// Every lane: a ← a·factor + term, `turns` times in each chain. The sum keeps the chains alive.
template <unsigned lanes, std::size_t sums>
inline __attribute__((always_inline)) double unfused_body() {
    using Vector = typename Register<lanes>::Vector;
    Vector sum[sums];
    double first = 1.0;
    for (Vector& s : sum) s = Vector{} + (first += 1.0);
    for (long turn = 0; turn < turns; ++turn) {
        for (Vector& s : sum) s = s * factor + term;
    }
    double all = 0.0;
    for (const Vector& s : sum) {
        for (unsigned l = 0; l < lanes; ++l) all += s[l];
    }
    return all;
}

double portable_loop() {
    return unfused_body<2, chains>();
}

#if defined(__x86_64__)

__attribute__((target("avx2"))) double avx2_loop() {
    return unfused_body<4, chains>();
}

__attribute__((target("avx512f"))) double avx512_loop() {
    return unfused_body<8, many_chains>();
}

__attribute__((target("avx2,fma"))) double avx2_fused_loop() {
    __m256d sum[chains];
    double first = 1.0;
    for (__m256d& s : sum) s = _mm256_set1_pd(first += 1.0);
    const __m256d f = _mm256_set1_pd(factor);
    const __m256d t = _mm256_set1_pd(term);
    for (long turn = 0; turn < turns; ++turn) {
        for (__m256d& s : sum) s = _mm256_fmadd_pd(s, f, t);
    }
    for (std::size_t i = 1; i < chains; ++i) sum[0] = _mm256_add_pd(sum[0], sum[i]);
    return _mm256_cvtsd_f64(sum[0]);
}

__attribute__((target("avx512f"))) double avx512_fused_loop() {
    __m512d sum[chains];
    double first = 1.0;
    for (__m512d& s : sum) s = _mm512_set1_pd(first += 1.0);
    const __m512d f = _mm512_set1_pd(factor);
    const __m512d t = _mm512_set1_pd(term);
    for (long turn = 0; turn < turns; ++turn) {
        for (__m512d& s : sum) s = _mm512_fmadd_pd(s, f, t);
    }
    for (std::size_t i = 1; i < chains; ++i) sum[0] = _mm512_add_pd(sum[0], sum[i]);
    return _mm512_cvtsd_f64(sum[0]);
}

#endif

double rate_of(Loop loop, std::size_t lanes_in_all) {
    volatile double keep = 0.0;
    double best = 1e9;
    for (int i = 0; i < trials; ++i) {
        const double from = processor_time();
        keep = loop();
        best = std::min(best, processor_time() - from);
    }
    (void)keep;
    return static_cast<double>(turns) * static_cast<double>(lanes_in_all) / best;
}

}  // namespace

std::vector<Peak> measure_peaks() {
    std::vector<Peak> out = {
        {"portable, two at a time", rate_of(portable_loop, 2 * chains), false}};
#if defined(__x86_64__)
    const bool avx2 = __builtin_cpu_supports("avx2") != 0;
    const bool avx512 = __builtin_cpu_supports("avx512f") != 0;
    if (avx2) out.push_back({"AVX2", rate_of(avx2_loop, 4 * chains), false});
    if (avx512) out.push_back({"AVX-512", rate_of(avx512_loop, 8 * many_chains), false});
    if (avx2 && __builtin_cpu_supports("fma") != 0) {
        out.push_back({"AVX2, fused", rate_of(avx2_fused_loop, 4 * chains), true});
    }
    if (avx512) out.push_back({"AVX-512, fused", rate_of(avx512_fused_loop, 8 * chains), true});
#endif
    return out;
}

}  // namespace damper::benchmarks
