// SPDX-License-Identifier: MIT
#include "libdamper/numerics/estimate_bounds.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

const double due = std::sqrt(chi_square_95);
constexpr int most_steps_out = 8;
constexpr int most_steps_in = 5;
constexpr double least_step = 1e-4;  // of a range
constexpr double sharp = 0.03;       // of 1.96: 1.5 % of the interval's half width

}  // namespace

EstimateBound profile_bound(EstimateSearch& search, const Eigen::VectorXd& best, double least,
                            const Eigen::MatrixXd& covariance, Eigen::Index unknown, bool upward) {
    const double end = upward ? 1.0 : 0.0;
    const double middle = best[unknown];
    const double room = std::abs(end - middle);
    if (room < 1e-9) return {end, true};
    const Eigen::VectorXd along =
        covariance(unknown, unknown) > 0.0
            ? Eigen::VectorXd(covariance.col(unknown) / covariance(unknown, unknown))
            : Eigen::VectorXd::Zero(best.size());
    Eigen::VectorXd inside = best;
    // Root of what chi-square rises by: goes straight where the model is linear.
    const auto rise = [&](double distance, Eigen::VectorXd& x) {
        const double at = middle + (upward ? distance : -distance);
        x = (inside + (at - inside[unknown]) * along).cwiseMax(0.0).cwiseMin(1.0);
        x[unknown] = at;
        auto found = search.climb(x, unknown, true);
        if (!found) {  // the guess of the others may be where the model gives nothing
            x = inside;
            x[unknown] = at;
            found = search.climb(x, unknown, true);
        }
        if (!found) return std::numeric_limits<double>::infinity();
        x = found->x;
        return std::sqrt(std::max(0.0, found->sum_of_squares - least));
    };
    const double deviation = std::sqrt(std::max(covariance(unknown, unknown), 0.0));
    double distance = std::clamp(due * deviation, least_step, room);
    double in = 0.0, in_rise = 0.0, out = room, out_rise = std::numeric_limits<double>::infinity();
    Eigen::VectorXd x;
    bool bracketed = false;
    for (int i = 0; i < most_steps_out && !bracketed; ++i) {
        const double here = rise(distance, x);
        if (here > due) {
            bracketed = true;
            out = distance;
            out_rise = here;
            break;
        }
        in = distance;
        in_rise = here;
        inside = x;
        if (distance >= room) return {end, true};
        distance *= std::clamp(due / std::max(here, 1e-9), 1.2, 3.0);
        if (distance > 0.9 * room || i + 2 == most_steps_out) distance = room;
    }
    if (!bracketed) return {end, true};
    for (int i = 0; i < most_steps_in; ++i) {
        if (out - in < 0.01 * out || out_rise - due < sharp || due - in_rise < sharp) break;
        const double share = std::isfinite(out_rise) ? (due - in_rise) / (out_rise - in_rise) : 0.5;
        distance = std::lerp(in, out, std::clamp(share, 0.1, 0.9));
        const double here = rise(distance, x);
        if (here > due) {
            out = distance;
            out_rise = here;
        } else {
            in = distance;
            in_rise = here;
            inside = x;
        }
    }
    const double share =
        std::isfinite(out_rise) ? (due - in_rise) / std::max(out_rise - in_rise, 1e-12) : 1.0;
    distance = std::lerp(in, out, std::clamp(share, 0.0, 1.0));
    return {middle + (upward ? distance : -distance), false};
}

}  // namespace damper
