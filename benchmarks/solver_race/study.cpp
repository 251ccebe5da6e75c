// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/study.hpp"

#include "benchmarks/own_process.hpp"
#include "benchmarks/solver_race/errors.hpp"
#include "benchmarks/solver_race/timing.hpp"
#include "benchmarks/solver_race/variants.hpp"
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstring>
#include <fmt/format.h>
#include <new>
#include <optional>
#include <span>
#include <string>
#include <sys/mman.h>
#include <thread>
#include <vector>

namespace damper::benchmarks {

namespace {

/// Numbers that a child process leaves to its parent.
class SharedNumbers {
  public:
    explicit SharedNumbers(std::size_t count) : bytes_(std::max<std::size_t>(count, 1) * 8) {
        void* place =
            ::mmap(nullptr, bytes_, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
        if (place == MAP_FAILED) throw std::bad_alloc();
        numbers_ = {static_cast<double*>(place), bytes_ / 8};
    }
    ~SharedNumbers() { ::munmap(numbers_.data(), bytes_); }
    SharedNumbers(const SharedNumbers&) = delete;
    SharedNumbers& operator=(const SharedNumbers&) = delete;
    [[nodiscard]] std::span<double> all() const { return numbers_; }

  private:
    std::size_t bytes_;
    std::span<double> numbers_;
};

struct Plan {
    std::string solver;
    double tolerance = 1e-8;
    std::size_t variants = 0;
    std::size_t threads = 1;
};

struct Outcome {
    double seconds = 0.0;    ///< Wall time.
    double processor = 0.0;  ///< Time of all threads on all processors [s].
    long memory = 0;         ///< Largest resident [kB]; 0: it failed.
    std::vector<double> measures;
    [[nodiscard]] double per_second(std::size_t variants) const {
        return static_cast<double>(variants) / seconds;
    }
};

/// Threads take the next variant from a common counter; each writes where its variant belongs.
void work_off(const Scenario& base, const Plan& plan, const std::vector<std::string>& names,
              std::span<double> out) {
    std::atomic<std::size_t> next{0};
    const auto worker = [&] {
        for (std::size_t v = next++; v < plan.variants; v = next++) {
            const std::vector<double> measures =
                measures_of(variant(base, v), plan.solver, plan.tolerance, names);
            std::copy(measures.begin(), measures.end(),
                      out.begin() + static_cast<std::ptrdiff_t>(v * names.size()));
        }
    };
    std::vector<std::thread> threads;
    for (std::size_t t = 1; t < plan.threads; ++t) threads.emplace_back(worker);
    worker();
    for (std::thread& thread : threads) thread.join();
}

Outcome carry_out(const Scenario& base, const Plan& plan, const std::vector<std::string>& names) {
    const SharedNumbers shared(2 + plan.variants * names.size());
    Outcome out;
    out.memory = in_own_process([&] {
        const double from = wall_time();
        work_off(base, plan, names, shared.all().subspan(2));
        shared.all()[0] = wall_time() - from;
        shared.all()[1] = process_time();
    });
    out.seconds = shared.all()[0];
    out.processor = shared.all()[1];
    const std::span<double> measures = shared.all().subspan(2, plan.variants * names.size());
    out.measures.assign(measures.begin(), measures.end());
    return out;
}

bool same_bits(const Outcome& few, const Outcome& many) {
    return few.measures.size() <= many.measures.size() &&
           std::memcmp(few.measures.data(), many.measures.data(),
                       few.measures.size() * sizeof(double)) == 0;
}

std::size_t not_finished(const Outcome& outcome, std::size_t measures) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < outcome.measures.size(); i += measures) {
        if (std::isnan(outcome.measures[i])) ++count;
    }
    return count;
}

void print_row(const char* what, const Plan& plan, const Outcome& outcome) {
    fmt::print("| {} | {} | {} | {} | {:.1f} | {:.2f} | {:.2f} | {:.1f} |\n", what,
               plan.solver == "exact" ? std::string("–") : fmt::format("{:.1e}", plan.tolerance),
               plan.variants, plan.threads, outcome.seconds, outcome.processor / outcome.seconds,
               outcome.per_second(plan.variants), static_cast<double>(outcome.memory) / 1024.0);
    std::fflush(stdout);
}

/// At which the general solver is as near to the exact one as the comparison asks, on the base.
double matched_tolerance(const Scenario& base) {
    const Prepared prepared(base);
    const Course exact = run(prepared, {}, short_span, error_step);
    return matching_tolerance(prepared, Family::general, exact.input_speed).value_or(1e-12);
}

}  // namespace

bool print_study(const StudySettings& settings) {
    const Scenario base = study_base();
    const std::vector<std::string> names = measure_names(base);
    const std::size_t cores =
        settings.threads > 0 ? settings.threads : std::max(1U, std::thread::hardware_concurrency());
    const std::size_t n = settings.variants;
    const Plan one{"exact", 0.0, std::min(settings.one_thread_variants, n), 1};
    const Plan tenth{"exact", 0.0, std::max<std::size_t>(n / 10, 1), cores};
    const Plan whole{"exact", 0.0, n, cores};
    const Plan general{"general", matched_tolerance(base), std::min(settings.general_variants, n),
                       cores};
    fmt::print(
        "### Study: {} variants of one disc, {} measures each, no signals kept\n\n"
        "| run | tolerance | variants | threads | wall time [s] | processors got | variants per s "
        "| memory [MB] |\n"
        "|---|---|---|---|---|---|---|---|\n",
        n, names.size());
    const Outcome by_one = carry_out(base, one, names);
    print_row("exact, one thread", one, by_one);
    const Outcome by_tenth = carry_out(base, tenth, names);
    print_row("exact, a tenth", tenth, by_tenth);
    const Outcome by_all = carry_out(base, whole, names);
    print_row("exact, all", whole, by_all);
    const Outcome by_general = carry_out(base, general, names);
    print_row("general, matched error", general, by_general);

    const bool ran =
        by_one.memory > 0 && by_tenth.memory > 0 && by_all.memory > 0 && by_general.memory > 0;
    const bool same = same_bits(by_one, by_all) && same_bits(by_tenth, by_all);
    fmt::print(
        "\n| all cores over one | exact over general | memory of all over that of a tenth | "
        "results "
        "of one thread and many | not finished |\n|---|---|---|---|---|\n"
        "| {:.2f} | {:.2f} | {:.2f} | {} | {} |\n\n",
        by_all.per_second(n) / by_one.per_second(one.variants),
        by_all.per_second(n) / by_general.per_second(general.variants),
        static_cast<double>(by_all.memory) / static_cast<double>(by_tenth.memory),
        same ? "the same bits" : "DIFFER", not_finished(by_all, names.size()));
    return ran && same;
}

}  // namespace damper::benchmarks
