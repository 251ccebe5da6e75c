// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// The one hot loop: out −= K·x + C·y for column-major K, C with `width` rows (a multiple of four,
/// 32-byte aligned) and `columns` columns. Both versions add in the same order and never fuse, so
/// that a result does not depend on the processor.
using Accelerate = void (*)(const double* k, const double* c, int columns, int width,
                            const double* x, const double* y, double* out);

/// The fastest version that this processor runs, and its name ("avx2", "portable").
struct Kernel {
    Accelerate accelerate = nullptr;
    std::string name;
};
[[nodiscard]] Kernel best_kernel();
[[nodiscard]] Kernel portable_kernel();

}  // namespace damper
