// SPDX-License-Identifier: MIT
#include "libdamper/fit/disc_search.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/fit/first_guess.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace damper {

namespace {

constexpr int most_stages = 6;
constexpr std::size_t guesses = 2;  // with and without stop, of each number of stages
constexpr int steps_to_compare = 25;
constexpr double extra_must_gain = 4.0;  // of the criterion, for what is not usual in a disc

struct Tried {
    TriedDisc disc;
    LoopShape shape;
    double zero_twist = 0.0;
    double likeness = 0.0;
};

Tried attempt(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
              const LoopShape& start, double zero_twist, const LoopReach& reach,
              const LoopExtras& extras) {
    const LoopProblem problem(runs, errors, start, zero_twist, reach, extras);
    const LeastSquaresResult found = problem.solve(steps_to_compare);
    Tried out;
    const auto groups = static_cast<Eigen::Index>(problem.groups());
    out.disc = {.stages = static_cast<int>(start.stages.size()),
                .reach = reach,
                .extras = extras,
                .sum_of_squares = found.residuals.head(groups).squaredNorm(),
                .unknowns = static_cast<int>(problem.unknowns().size())};
    out.shape = problem.shape(found.x);
    out.zero_twist = problem.zero_twist(found.x);
    out.likeness = likeness_of_neighbours(found.residuals.data(), problem.groups());
    return out;
}

void judge(std::vector<Tried>& all, std::size_t groups) {
    const auto best = std::min_element(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.disc.sum_of_squares < b.disc.sum_of_squares;
    });
    const double rho = best->likeness;
    const auto n = static_cast<double>(groups);
    const double independent = std::max(n * (1.0 - rho) / (1.0 + rho), 10.0);
    for (Tried& one : all) {
        one.disc.criterion = independent * std::log(one.disc.sum_of_squares / n + 1e-12) +
                             one.disc.unknowns * std::log(independent);
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.disc.criterion < b.disc.criterion;
    });
}

double slope_at(const Skeleton& skeleton, double twist) {
    const auto& bins = skeleton.bins;
    if (bins.size() < 2) return 0.0;
    const auto next =
        std::lower_bound(bins.begin() + 1, bins.end() - 1, twist,
                         [](const Skeleton::Bin& bin, double value) { return bin.twist < value; });
    const auto& before = *(next - 1);
    return std::max(0.0, (next->torque - before.torque) / (next->twist - before.twist));
}

}  // namespace

double likeness_of_neighbours(const double* residuals, std::size_t count) {
    double both = 0.0, own = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        own += residuals[i] * residuals[i];
        if (i > 0) both += residuals[i] * residuals[i - 1];
    }
    return own > 0.0 ? std::clamp(both / own, 0.0, 0.95) : 0.0;
}

BenchErrors first_errors(const std::vector<GroupedRun>& runs,
                         const std::vector<double>& torque_zero) {
    BenchErrors errors{torque_zero, {}};
    for (const GroupedRun& run : runs) {
        const Skeleton skeleton = skeleton_of(run);
        std::vector<double>& out = errors.group.emplace_back();
        const double least = 1e-5 * run.torque_range;
        for (const BenchGroup& group : run.groups) {
            const double by_twist = slope_at(skeleton, group.twist) * run.twist_noise;
            out.push_back(std::sqrt((run.torque_noise * run.torque_noise + by_twist * by_twist) /
                                        group.samples +
                                    least * least));
        }
    }
    return errors;
}

FoundDisc search_disc(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
                      const Skeleton& skeleton, int stages) {
    std::size_t groups = 0;
    for (const GroupedRun& run : runs) groups += run.groups.size();
    std::vector<Tried> all;
    int worse = 0;  // numbers of stages in a row that were no better than the best before
    for (int s = stages > 0 ? stages : 1; s <= (stages > 0 ? stages : most_stages); ++s) {
        for (const FirstGuess& guess : first_guesses(skeleton, s, guesses)) {
            try {
                all.push_back(
                    attempt(runs, errors, guess.shape, guess.zero_twist, guess.reach, {}));
            } catch (const ModelError&) {
                continue;  // no disc has such pieces
            }
        }
        if (all.empty()) continue;
        judge(all, groups);
        const bool better = all.front().disc.stages == s;
        worse = better ? 0 : worse + 1;
        if (worse == 2) break;
    }
    if (all.empty()) {
        throw InputError({{{runs.front().name, 0, 0, ""},
                           "",
                           "too few points along the loop for any disc",
                           "a loop of some dozen points each way",
                           "Record the loop with more points."}});
    }
    judge(all, groups);
    for (const LoopExtras& extras : {LoopExtras{.play = true}, LoopExtras{.first_preload = true}}) {
        const Tried best = all.front();
        try {
            Tried more =
                attempt(runs, errors, best.shape, best.zero_twist, best.disc.reach, extras);
            std::vector<Tried> both{best, more};
            judge(both, groups);
            const bool better = both[0].disc.unknowns == more.disc.unknowns &&
                                both[1].disc.criterion - both[0].disc.criterion > extra_must_gain;
            if (better) all.push_back(std::move(more));
        } catch (const ModelError&) {
            continue;
        }
        judge(all, groups);
    }
    FoundDisc out{all.front().shape,
                  all.front().zero_twist,
                  all.front().disc.reach,
                  all.front().disc.extras,
                  {}};
    for (const Tried& one : all) out.tried.push_back(one.disc);
    return out;
}

}  // namespace damper
