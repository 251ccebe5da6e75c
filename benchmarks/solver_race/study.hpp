// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

namespace damper::benchmarks {

struct StudySettings {
    std::size_t variants = 2000;
    std::size_t general_variants = 40;     ///< That the general solver is timed on.
    std::size_t one_thread_variants = 50;  ///< That are done again by one thread.
    std::size_t threads = 0;               ///< 0: as many as there are processors.
};

/// Many variants of one disc, exact against general, and prints what they cost.
///
/// Each part runs in a process of its own, so that its largest memory is its own. Returns false if
/// a part failed, or if the results of one thread and of many differ in a single bit.
[[nodiscard]] bool print_study(const StudySettings& settings);

}  // namespace damper::benchmarks
