// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/timing.hpp"

#include <algorithm>
#include <chrono>
#include <ctime>

namespace damper::benchmarks {

namespace {

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

double read_clock(clockid_t clock) {
    timespec now{};
    clock_gettime(clock, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

}  // namespace

double processor_time() {
    return read_clock(CLOCK_THREAD_CPUTIME_ID);
}

double process_time() {
    return read_clock(CLOCK_PROCESS_CPUTIME_ID);
}

double wall_time() {
    using Clock = std::chrono::steady_clock;
    return std::chrono::duration<double>(Clock::now().time_since_epoch()).count();
}

std::vector<double> interleaved_medians(const std::vector<std::function<void()>>& works,
                                        const Rounds& rounds) {
    std::vector<std::vector<double>> times(works.size());
    std::vector<double> spent(works.size(), 0.0);
    for (std::size_t round = 0; round < rounds.most; ++round) {
        for (std::size_t w = 0; w < works.size(); ++w) {
            if (round >= rounds.least && spent[w] > rounds.budget) continue;
            const double from = processor_time();
            double took = 0.0;
            int count = 0;
            while (took < rounds.shortest) {
                works[w]();
                took = processor_time() - from;
                ++count;
            }
            times[w].push_back(took / count);
            spent[w] += took;
        }
    }
    std::vector<double> out;
    for (std::vector<double>& t : times) out.push_back(median(std::move(t)));
    return out;
}

}  // namespace damper::benchmarks
