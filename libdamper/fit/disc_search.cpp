// SPDX-License-Identifier: MIT
#include "libdamper/fit/disc_search.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/fit/first_guess.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace damper {

namespace {

constexpr int most_stages = 6;
constexpr std::size_t guesses = 2;   // with and without stop, of each number of stages
constexpr double hopeless = 1000.0;  // of the criterion of the straight pieces, behind the best
/// Steps of a search, and how many times the least sum of squares so far makes it hopeless then.
struct Look {
    int steps = 0;
    double far_behind = 0.0;
};
constexpr std::array<Look, 3> looks{{{3, 300.0}, {5, 10.0}, {25, 0.0}}};
constexpr double enough_to_compare = 1e-4;  // of the sum of squares, from step to step
constexpr double near_enough = 100.0;       // of the criterion, to be weighed again
constexpr std::size_t weighed_again = 5;
// Of the criterion: strong evidence by R. E. Kass, A. E. Raftery, Bayes factors, J. Am. Stat.
// Assoc. 90, 1995, 773–795, where 6 to 10 is strong (citation recalled).
constexpr double clearly_better = 6.0;

struct Tried {
    TriedDisc disc;
    FirstGuess at;  ///< Where the search ended
    double likeness = 0.0;
};

/// `known`: sum of squares of the best disc so far, or 0; what stays far behind it is given up.
Tried attempt(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
              const FirstGuess& guess, const LoopExtras& extras, double known) {
    const LoopProblem problem(runs, errors, guess.shape, guess.zero_twist, guess.reach, extras);
    const auto groups = static_cast<Eigen::Index>(problem.groups());
    LeastSquaresResult found =
        problem.solve(problem.start(), looks.front().steps, enough_to_compare);
    for (std::size_t i = 0; i + 1 < looks.size() && !found.found; ++i) {
        const double sum = found.residuals.head(groups).squaredNorm();
        if (known > 0.0 && sum > looks[i].far_behind * known) break;
        found = problem.solve(found.x, looks[i + 1].steps, enough_to_compare);
    }
    Tried out;
    out.disc = {.stages = static_cast<int>(guess.shape.stages.size()),
                .reach = guess.reach,
                .extras = extras,
                .sum_of_squares = found.residuals.head(groups).squaredNorm(),
                .unknowns = static_cast<int>(problem.unknowns().size())};
    out.at = {problem.shape(found.x), guess.reach, problem.zero_twist(found.x)};
    out.likeness = likeness_of_neighbours(found.residuals.data(), problem.groups());
    return out;
}

/// Sets the criterion of each and sorts them, the best first.
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

/// The simplest disc that the best one does not clearly beat comes first.
void prefer_simple(std::vector<Tried>& all) {
    const double best = all.front().disc.criterion;
    auto simplest = all.begin();
    for (auto one = all.begin(); one != all.end(); ++one) {
        const bool as_good = one->disc.criterion < best + clearly_better;
        if (as_good && one->disc.unknowns < simplest->disc.unknowns) simplest = one;
    }
    std::rotate(all.begin(), simplest, simplest + 1);
}

/// The best few again, with errors by the slopes of the best disc instead of those of the skeleton.
void weigh_again(const std::vector<GroupedRun>& runs, BenchErrors& errors, std::size_t groups,
                 std::vector<Tried>& all) {
    const FirstGuess& best = all.front().at;
    const LoopProblem problem(runs, errors, best.shape, best.zero_twist, best.reach,
                              all.front().disc.extras);
    for (std::size_t r = 0; r < runs.size(); ++r) {
        // The larger of both: a disc that is not the right one may be flat where the loop is steep.
        const std::vector<double> by_law =
            group_errors(runs[r], problem.law_at_groups(best.shape, best.zero_twist, r));
        for (std::size_t g = 0; g < by_law.size(); ++g) {
            errors.group[r][g] = std::max(errors.group[r][g], by_law[g]);
        }
    }
    std::vector<Tried> again;
    for (const Tried& one : all) {
        const bool near = one.disc.criterion < all.front().disc.criterion + near_enough;
        if (near && again.size() < weighed_again) {
            again.push_back(attempt(runs, errors, one.at, one.disc.extras, 0.0));
        }
    }
    all = std::move(again);
    judge(all, groups);
}

/// The same disc without one of its stages, whose travel the next one takes; or with its last stage
/// as its stop, if no stop was reached.
std::vector<FirstGuess> one_stage_less(const FirstGuess& from) {
    std::vector<FirstGuess> out;
    const std::size_t stages = from.shape.stages.size();
    if (stages < 2) return out;
    for (std::size_t s = 0; s < stages; ++s) {
        FirstGuess less = from;
        const LoopShape::Stage gone = less.shape.stages[s];
        less.shape.stages.erase(less.shape.stages.begin() + static_cast<std::ptrdiff_t>(s));
        LoopShape::Stage& next = less.shape.stages[std::min(s, stages - 2)];
        next.drive_width += gone.drive_width;
        next.coast_width += gone.coast_width;
        const auto piece = static_cast<int>(s) + 1;
        if (less.reach.drive >= piece) --less.reach.drive;
        if (less.reach.coast >= piece) --less.reach.coast;
        out.push_back(std::move(less));
    }
    const auto count = static_cast<int>(stages);
    if (from.reach.drive <= count && from.reach.coast <= count) {
        FirstGuess stopped = from;
        const LoopShape::Stage& last = stopped.shape.stages.back();
        stopped.shape.stop_stiffness = std::max(last.drive_stiffness, last.coast_stiffness);
        stopped.shape.stages.pop_back();
        out.push_back(std::move(stopped));
    }
    return out;
}

/// Takes stages away as long as no clear loss comes of it.
void take_stages_away(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
                      std::size_t groups, std::vector<Tried>& all) {
    for (bool less = true; less;) {
        const Tried best = all.front();
        for (const FirstGuess& guess : one_stage_less(best.at)) {
            try {
                all.push_back(
                    attempt(runs, errors, guess, best.disc.extras, best.disc.sum_of_squares));
            } catch (const ModelError&) {
                continue;
            }
        }
        judge(all, groups);
        prefer_simple(all);
        less = all.front().disc.stages < best.disc.stages;
    }
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

FoundDisc search_disc(const std::vector<GroupedRun>& runs, const BenchErrors& rough,
                      const Skeleton& skeleton, int stages) {
    std::size_t groups = 0;
    for (const GroupedRun& run : runs) groups += run.groups.size();
    std::vector<FirstGuess> guessed;
    for (int s = stages > 0 ? stages : 1; s <= (stages > 0 ? stages : most_stages); ++s) {
        for (FirstGuess& guess : first_guesses(skeleton, s, guesses)) {
            guessed.push_back(std::move(guess));
        }
    }
    // The most promising first: what is far behind it is given up early.
    std::stable_sort(guessed.begin(), guessed.end(),
                     [](const auto& a, const auto& b) { return a.score < b.score; });
    std::vector<Tried> all;
    BenchErrors errors = rough;
    double known = 0.0;
    for (const FirstGuess& guess : guessed) {
        if (guess.score > guessed.front().score + hopeless) break;
        try {
            all.push_back(attempt(runs, errors, guess, {}, known));
        } catch (const ModelError&) {
            continue;  // no disc has such pieces
        }
        const double sum = all.back().disc.sum_of_squares;
        known = known > 0.0 ? std::min(known, sum) : sum;
    }
    if (all.empty()) {
        throw InputError({{{runs.front().name, 0, 0, ""},
                           "",
                           "too few points along the loop for any disc",
                           "a loop of some dozen points each way",
                           "Record the loop with more points."}});
    }
    judge(all, groups);
    weigh_again(runs, errors, groups, all);
    prefer_simple(all);
    if (stages == 0) take_stages_away(runs, errors, groups, all);
    for (const LoopExtras& extras : {LoopExtras{.play = true}, LoopExtras{.first_preload = true}}) {
        try {
            std::vector<Tried> both{all.front(),
                                    attempt(runs, errors, all.front().at, extras, 0.0)};
            judge(both, groups);
            if (both[0].disc.extras == extras &&
                both[1].disc.criterion - both[0].disc.criterion > clearly_better) {
                all.insert(all.begin(), both[0]);
            }
        } catch (const ModelError&) {
            continue;
        }
    }
    FoundDisc out{all.front().at.shape,
                  all.front().at.zero_twist,
                  all.front().disc.reach,
                  all.front().disc.extras,
                  {}};
    for (const Tried& one : all) out.tried.push_back(one.disc);
    return out;
}

}  // namespace damper
