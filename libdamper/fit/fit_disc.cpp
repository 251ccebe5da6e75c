// SPDX-License-Identifier: MIT
#include "libdamper/fit/fit_disc.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/fit/confidence.hpp"
#include "libdamper/fit/fit_notes.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

// The widest run is cut finest: it holds most of the corners.
constexpr std::size_t groups_to_search = 200, groups_to_fit = 800;
constexpr double inner_share = 0.4;
constexpr int steps_to_fit = 30;
constexpr double enough_to_fit = 1e-8;  // of the sum of squares, from step to step
constexpr int rounds = 2;               // noise and disc in turn
constexpr double median_to_sigma = 1.4826;

std::vector<GroupedRun> all_grouped(const std::vector<BenchRun>& runs, std::size_t groups) {
    std::size_t widest = 0;
    double range = 0.0;
    for (std::size_t r = 0; r < runs.size(); ++r) {
        const auto [low, high] = std::minmax_element(runs[r].twist.begin(), runs[r].twist.end());
        if (runs[r].twist.empty() || *high - *low <= range) continue;
        range = *high - *low;
        widest = r;
    }
    std::vector<GroupedRun> out;
    for (std::size_t r = 0; r < runs.size(); ++r) {
        const double share = r == widest ? 1.0 : inner_share;
        out.push_back(
            grouped(runs[r], static_cast<std::size_t>(static_cast<double>(groups) * share)));
    }
    return out;
}

double spread_of(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return median_to_sigma * *middle;
}

/// Noise of torque and twist from what the disc leaves: where the slope is small it is the
/// torque's.
void learn_noise(GroupedRun& run, const std::vector<PathMeans::Mean>& law,
                 const std::vector<double>& left) {
    std::vector<std::size_t> order(left.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return law[a].slope < law[b].slope; });
    const std::size_t third = order.size() / 3;
    const auto part = [&](std::size_t begin, std::size_t end, double& slope) {
        std::vector<double> values;
        for (std::size_t i = begin; i < end; ++i) {
            values.push_back(std::abs(left[order[i]]) * std::sqrt(run.groups[order[i]].samples));
        }
        slope = law[order[(begin + end) / 2]].slope;
        return spread_of(std::move(values));
    };
    double soft = 0.0, hard = 0.0;
    const double at_soft = part(0, third, soft);
    const double at_hard = part(order.size() - third, order.size(), hard);
    const double by_twist = soft * run.twist_noise;
    run.torque_noise =
        std::sqrt(std::max(at_soft * at_soft - by_twist * by_twist, 0.25 * at_soft * at_soft));
    if (hard > 3.0 * soft && at_hard > 1.2 * at_soft) {
        const double rest = at_hard * at_hard - run.torque_noise * run.torque_noise;
        run.twist_noise = std::sqrt(std::max(rest, 0.0)) / hard;
    }
}

/// Takes the errors of the groups anew from the disc found.
void learn_errors(std::vector<GroupedRun>& runs, BenchErrors& errors, const LoopProblem& problem,
                  const Eigen::VectorXd& x) {
    const LoopShape shape = problem.shape(x);
    for (std::size_t r = 0; r < runs.size(); ++r) {
        GroupedRun& run = runs[r];
        const auto law = problem.law_at_groups(shape, problem.zero_twist(x), r);
        std::vector<double> left;
        for (std::size_t g = 0; g < run.groups.size(); ++g) {
            left.push_back(run.groups[g].torque - law[g].torque -
                           problem.torque_zero(x, r, run.groups[g].position));
        }
        if (run.groups.size() >= 30) learn_noise(run, law, left);
        errors.group[r] = group_errors(run, law);
    }
}

FittedRun outcome_of(const GroupedRun& run, std::size_t r, const LoopProblem& problem,
                     const BenchErrors& errors, const Eigen::VectorXd& x) {
    FittedRun out;
    out.name = run.name;
    out.loops = run.loops;
    out.groups = run.groups.size();
    out.left_out = run.left_out;
    out.passed_over = run.passed_over;
    out.torque_noise = run.torque_noise;
    out.twist_noise = run.twist_noise;
    const double zero_twist = problem.zero_twist(x);
    const auto law = problem.law_at_groups(problem.shape(x), zero_twist, r);
    double lowest = 1e300, highest = -1e300, sum = 0.0;
    for (std::size_t g = 0; g < run.groups.size(); ++g) {
        const BenchGroup& group = run.groups[g];
        const double zero = problem.torque_zero(x, r, group.position);
        lowest = std::min(lowest, zero);
        highest = std::max(highest, zero);
        out.samples += static_cast<std::size_t>(group.samples);
        out.torque_zero += zero / static_cast<double>(run.groups.size());
        out.twist.push_back(group.twist - zero_twist);
        out.torque.push_back(group.torque - zero);
        out.law.push_back(law[g].torque);
        out.rising.push_back(run.branches[group.branch].rising() ? 1 : 0);
        const double left = (out.torque.back() - out.law.back()) / errors.group[r][g];
        sum += left * left;
    }
    out.drift = std::max(0.0, highest - lowest);
    out.misfit = std::sqrt(sum / std::max(1.0, static_cast<double>(run.groups.size())));
    return out;
}

}  // namespace

DiscFit fit_disc(const std::vector<BenchRun>& runs, const FitOptions& options) {
    std::vector<GroupedRun> coarse = all_grouped(runs, groups_to_search);
    std::vector<double> zeros;
    for (const BenchRun& run : runs) {
        double largest = 0.0;
        for (const double torque : run.torque) largest = std::max(largest, std::abs(torque));
        zeros.push_back(std::max(options.zero_error, 1e-6) * largest);
    }
    const BenchErrors rough = first_errors(coarse, zeros);
    std::vector<GroupedRun> fine = all_grouped(runs, groups_to_fit);
    const FoundDisc found = search_disc(coarse, rough, skeleton_of_all(fine), options.stages);

    BenchErrors errors = first_errors(fine, zeros);
    const LoopProblem problem(fine, errors, found.shape, found.zero_twist, found.reach,
                              found.extras);
    LeastSquaresResult best = problem.solve(problem.start(), steps_to_fit, enough_to_fit);
    for (int round = 0; round < rounds; ++round) {
        learn_errors(fine, errors, problem, best.x);
        best = problem.solve(best.x, steps_to_fit, enough_to_fit);
    }

    DiscFit fit;
    fit.shape = problem.shape(best.x);
    fit.reach = found.reach;
    fit.zero_twist = problem.zero_twist(best.x);
    fit.tried = found.tried;
    estimate(problem, fine, best, fit);
    for (std::size_t r = 0; r < fine.size(); ++r) {
        fit.runs.push_back(outcome_of(fine[r], r, problem, errors, best.x));
    }
    fit.notes = fit_notes(fit);
    return fit;
}

}  // namespace damper
