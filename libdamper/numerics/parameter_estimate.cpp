// SPDX-License-Identifier: MIT
#include "libdamper/numerics/parameter_estimate.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/numerics/estimate_bounds.hpp"
#include "libdamper/numerics/estimate_search.hpp"
#include "libdamper/numerics/sobol_sequence.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <Eigen/SVD>
#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <fmt/format.h>
#include <mutex>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double two_sided_95 = 1.959964;
constexpr double prior_information = 12.0;  // of an unknown anywhere in its range: 1/variance

class Estimator {
  public:
    Estimator(const EstimateProblem& problem, const EstimateSettings& settings,
              const Progress& progress)
        : problem_(problem), settings_(settings), progress_(progress), step_(settings.step) {
        require_sense();
        stop_.stop_requested = progress.stop_requested;
        out_.errors = problem.errors;
        out_.scatter = Eigen::VectorXd::Zero(problem.seen.size());
        const auto n = static_cast<double>(problem.unknowns);
        const double search = settings.climbs * 4.0 * (2.0 * n + 2.0);
        foreseen_ = strewn() + search + (settings.bounds ? 2.0 * n * 5.0 * (2.0 * n + 4.0) : 0.0);
    }

    ParameterEstimate found() {
        if (!look_everywhere() || !climb_from_best()) return finished(false);
        if (settings_.scatter) {
            if (!find_scatter()) return finished(false);
            if (!climb_again()) return finished(false);
        }
        if (!describe()) return finished(false);
        if (settings_.bounds && !find_bounds()) return finished(false);
        return finished(true);
    }

  private:
    void require_sense() const {
        if (problem_.unknowns < 1) throw ModelError("an estimate without unknowns");
        bool any = false;
        for (Eigen::Index i = 0; i < problem_.seen.size(); ++i) {
            if (!std::isfinite(problem_.seen[i])) continue;
            any = true;
            if (!(problem_.errors[i] > 0.0)) {
                throw ModelError("a measured figure without an error above zero");
            }
        }
        if (!any) throw ModelError("an estimate without measured figures");
    }

    [[nodiscard]] double strewn() const {
        const auto usual =
            static_cast<int>(std::clamp<Eigen::Index>(16 * problem_.unknowns, 32, 256));
        return settings_.strewn > 0 ? settings_.strewn : usual;
    }

    /// Jobs on threads; whatever they try is kept in the order of the jobs.
    bool jobs(std::size_t count, const std::function<void(EstimateSearch&, std::size_t)>& job) {
        std::vector<std::vector<EstimateTrial>> tried(count);
        std::mutex guard;
        in_parallel(
            count, thread_count(settings_.threads, count),
            [&](std::size_t k, std::size_t worker) {
                EstimateSearch search(problem_, out_.errors, step_, settings_.enough, worker,
                                      stop_);
                job(search, k);
                tried[k] = std::move(search.trials);
                const std::lock_guard lock(guard);
                done_ += static_cast<double>(tried[k].size());
                progress_.tell(std::min(0.99, done_ / foreseen_));
            },
            stop_.stop_requested);
        for (auto& some : tried) {
            for (EstimateTrial& one : some) trials_.push_back(std::move(one));
        }
        return !stop_.must_stop();
    }

    bool look_everywhere() {
        const auto n = static_cast<std::size_t>(problem_.unknowns);
        std::vector<Eigen::VectorXd> points = problem_.starts;
        const SobolSequence sobol(n);
        for (std::uint64_t k = 1; k <= static_cast<std::uint64_t>(strewn()); ++k) {
            Eigen::VectorXd x(problem_.unknowns);
            for (std::size_t j = 0; j < n; ++j) {
                x[static_cast<Eigen::Index>(j)] = sobol.coordinate(k, j);
            }
            points.push_back(std::move(x));
        }
        const bool through = jobs(points.size(), [&](EstimateSearch& search, std::size_t k) {
            search.figures(points[k]);
        });
        take_best();
        if (through && !std::isfinite(out_.chi_square)) {
            throw ModelError("the model gives the measured figures at none of the points tried");
        }
        return through;
    }

    /// The best of all that was tried; the earlier of two alike.
    void take_best() {
        out_.chi_square = std::numeric_limits<double>::infinity();
        for (const EstimateTrial& one : trials_) {
            const double here = chi_square_of(problem_, out_.errors, one.figures);
            if (here < out_.chi_square || out_.x.size() == 0) {
                out_.chi_square = here;
                out_.x = one.x;
                out_.figures = one.figures;
            }
        }
    }

    bool climb_from_best() {
        std::vector<std::pair<double, std::size_t>> order;
        for (std::size_t k = 0; k < trials_.size(); ++k) {
            const double here = chi_square_of(problem_, out_.errors, trials_[k].figures);
            if (std::isfinite(here)) order.emplace_back(here, k);
        }
        std::ranges::sort(order);
        constexpr double apart = 0.15;
        std::vector<Eigen::VectorXd> starts;
        for (const auto& [ignored, k] : order) {
            if (static_cast<int>(starts.size()) == settings_.climbs) break;
            const bool near = std::ranges::any_of(starts, [&](const Eigen::VectorXd& other) {
                return (other - trials_[k].x).cwiseAbs().maxCoeff() < apart;
            });
            if (!near) starts.push_back(trials_[k].x);
        }
        const bool through = jobs(starts.size(), [&](EstimateSearch& search, std::size_t k) {
            (void)search.climb(starts[k], -1, false);
        });
        take_best();
        return through;
    }

    /// How far figures jump about between points that are next to each other: what is left over of
    /// a plane through them.
    bool find_scatter() {
        const Eigen::Index n = problem_.unknowns, count = 2 * n + 8;
        const SobolSequence sobol(static_cast<std::size_t>(n));
        const Eigen::VectorXd centre =
            out_.x.cwiseMax(settings_.step).cwiseMin(1.0 - settings_.step);
        Eigen::MatrixXd points(count, n);
        for (Eigen::Index k = 0; k < count; ++k) {
            for (Eigen::Index j = 0; j < n; ++j) {
                const double share = sobol.coordinate(static_cast<std::uint64_t>(k) + 1,
                                                      static_cast<std::size_t>(j));
                points(k, j) = centre[j] + settings_.step * (2.0 * share - 1.0);
            }
        }
        std::vector<Eigen::VectorXd> figures(static_cast<std::size_t>(count));
        const bool through =
            jobs(static_cast<std::size_t>(count), [&](EstimateSearch& search, std::size_t k) {
                figures[k] = search.figures(points.row(static_cast<Eigen::Index>(k)).transpose());
            });
        if (!through) return false;
        for (Eigen::Index i = 0; i < out_.scatter.size(); ++i) {
            Eigen::MatrixXd plane(count, n + 1);
            Eigen::VectorXd values(count);
            Eigen::Index rows = 0;
            for (Eigen::Index k = 0; k < count; ++k) {
                const double value = figures[static_cast<std::size_t>(k)][i];
                if (!std::isfinite(value)) continue;
                plane(rows, 0) = 1.0;
                plane.row(rows).tail(n) = (points.row(k) - centre.transpose()) / settings_.step;
                values[rows++] = value;
            }
            if (rows < n + 4) continue;
            const Eigen::MatrixXd used = plane.topRows(rows);
            const Eigen::VectorXd right = values.head(rows);
            const Eigen::VectorXd left = right - used * used.colPivHouseholderQr().solve(right);
            out_.scatter[i] = left.norm() / std::sqrt(static_cast<double>(rows - n - 1));
        }
        return true;
    }

    bool climb_again() {
        double most = 0.0;
        for (Eigen::Index i = 0; i < out_.errors.size(); ++i) {
            if (!(out_.errors[i] > 0.0)) continue;
            const double whole = std::hypot(problem_.errors[i], out_.scatter[i]);
            if (std::isfinite(problem_.seen[i])) most = std::max(most, out_.scatter[i] / whole);
            out_.errors[i] = whole;
        }
        // Differences over a step h carry √2/2·scatter/h: the step is to keep that below one error
        // in a whole range, else the scatter alone would tell the unknowns.
        constexpr double widest = 0.25;
        step_ = std::clamp(std::numbers::sqrt2 / 2.0 * most, settings_.step, widest);
        constexpr double little = 0.1;
        if (most < little) {
            take_best();
            return true;
        }
        take_best();
        return climb_from_best();
    }

    [[nodiscard]] Eigen::VectorXd in_errors(Eigen::Index figure) const {
        return out_.slopes.row(figure).transpose() / out_.errors[figure];
    }

    /// A derivative that the model's scatter may have made counts as none.
    void leave_out_scatter() {
        constexpr double sure = 3.0;  // standard deviations; there are dozens of derivatives
        for (Eigen::Index i = 0; i < out_.slopes.rows(); ++i) {
            const double noise = out_.scatter[i] / (std::numbers::sqrt2 * step_);
            for (double& one : out_.slopes.row(i)) {
                if (std::abs(one) < sure * noise) one = 0.0;
            }
        }
    }

    bool describe() {
        jobs(1,
             [&](EstimateSearch& search, std::size_t) { out_.slopes = search.slopes(out_.x, -1); });
        if (stop_.must_stop()) return false;
        leave_out_scatter();
        const Eigen::Index n = problem_.unknowns;
        std::vector<Eigen::Index> rows;
        for (Eigen::Index i = 0; i < problem_.seen.size(); ++i) {
            if (std::isfinite(problem_.seen[i])) rows.push_back(i);
        }
        Eigen::MatrixXd jacobian(static_cast<Eigen::Index>(rows.size()), n);
        Eigen::VectorXd off(jacobian.rows());
        for (std::size_t k = 0; k < rows.size(); ++k) {
            const auto row = static_cast<Eigen::Index>(k);
            jacobian.row(row) = in_errors(rows[k]).transpose();
            off[row] = (out_.figures[rows[k]] - problem_.seen[rows[k]]) / out_.errors[rows[k]];
        }
        jacobian =
            jacobian.unaryExpr([](double one) { return std::isfinite(one) ? one : 0.0; }).eval();
        const Eigen::JacobiSVD<Eigen::MatrixXd> parts(jacobian, Eigen::ComputeFullV);
        out_.covariance = Eigen::MatrixXd::Zero(n, n);
        constexpr double least_singular = 1e-3;  // a deviation of a thousand ranges is none
        for (Eigen::Index k = 0; k < n; ++k) {
            const double singular =
                k < parts.singularValues().size() ? parts.singularValues()[k] : 0.0;
            EstimateDirection direction{.along = parts.matrixV().col(k)};
            const double kept = std::max(singular, least_singular);
            direction.deviation = 1.0 / kept;
            direction.told = 2.0 * two_sided_95 * direction.deviation < 1.0;
            out_.covariance += direction.along * direction.along.transpose() / (kept * kept);
            out_.directions.push_back(std::move(direction));
        }
        count_freedom(jacobian, off);
        look_further(jacobian);
        return true;
    }

    void count_freedom(const Eigen::MatrixXd& jacobian, const Eigen::VectorXd& off) {
        // An unknown that is pressed against the end of its range takes no freedom.
        const Eigen::VectorXd gradient = jacobian.transpose() * off;
        Eigen::MatrixXd free(jacobian.rows(), 0);
        for (Eigen::Index j = 0; j < jacobian.cols(); ++j) {
            constexpr double at_end = 1e-6;
            const bool pressed = (out_.x[j] < at_end && gradient[j] > 0.0) ||
                                 (out_.x[j] > 1.0 - at_end && gradient[j] < 0.0);
            if (pressed) continue;
            free.conservativeResize(Eigen::NoChange, free.cols() + 1);
            free.rightCols(1) = jacobian.col(j);
        }
        int told = 0;
        if (free.cols() > 0) {
            const Eigen::JacobiSVD<Eigen::MatrixXd> parts(free);
            for (const double one : parts.singularValues()) told += one > 2.0 * two_sided_95;
        }
        out_.freedom = static_cast<int>(jacobian.rows()) - told;
        if (out_.freedom > 0) {
            out_.chance = boost::math::gamma_q(0.5 * out_.freedom, 0.5 * out_.chi_square);
        }
    }

    void look_further(const Eigen::MatrixXd& jacobian) {
        const Eigen::Index n = problem_.unknowns;
        const Eigen::MatrixXd known =
            jacobian.transpose() * jacobian + prior_information * Eigen::MatrixXd::Identity(n, n);
        const auto deviations = [&](const Eigen::MatrixXd& information) -> Eigen::VectorXd {
            return information.ldlt().solve(Eigen::MatrixXd::Identity(n, n)).diagonal().cwiseSqrt();
        };
        out_.deviations = deviations(known);
        for (Eigen::Index i = 0; i < problem_.seen.size(); ++i) {
            if (std::isfinite(problem_.seen[i]) || !(out_.errors[i] > 0.0)) continue;
            const Eigen::VectorXd slope = in_errors(i);
            if (!slope.allFinite()) continue;
            out_.further.push_back({i, std::log1p(slope.dot(known.ldlt().solve(slope))),
                                    deviations(known + slope * slope.transpose())});
        }
        std::ranges::stable_sort(out_.further, std::greater<>(), &FurtherFigure::gain);
    }

    /// Intervals by profile; begins anew where a profile comes upon a better point.
    bool find_bounds() {
        constexpr int most_rounds = 2;
        for (int round = 0; round < most_rounds; ++round) {
            const Eigen::Index n = problem_.unknowns;
            std::vector<EstimateBound> bounds(static_cast<std::size_t>(2 * n));
            const double before = out_.chi_square;
            const bool through = jobs(bounds.size(), [&](EstimateSearch& search, std::size_t k) {
                bounds[k] = profile_bound(search, out_.x, out_.chi_square, out_.covariance,
                                          static_cast<Eigen::Index>(k / 2), k % 2 == 1);
            });
            if (!through) return false;
            take_best();
            constexpr double better = 0.5;
            if (before - out_.chi_square > better && round + 1 < most_rounds) {
                out_.directions.clear();
                out_.further.clear();
                if (!climb_from_best() || !describe()) return false;
                continue;
            }
            out_.intervals.clear();
            for (Eigen::Index j = 0; j < n; ++j) {
                const EstimateBound& low = bounds[static_cast<std::size_t>(2 * j)];
                const EstimateBound& high = bounds[static_cast<std::size_t>(2 * j + 1)];
                out_.intervals.push_back(widened(j, {low.at, high.at, low.open, high.open, false}));
            }
            return true;
        }
        return true;
    }

    /// Whatever was tried on the way and meets the figures belongs to the interval.
    [[nodiscard]] EstimateInterval widened(Eigen::Index unknown, EstimateInterval out) const {
        constexpr double hair = 0.02;  // of the range: the profile is no sharper
        const double low = out.low, high = out.high;
        for (const EstimateTrial& one : trials_) {
            const double here = chi_square_of(problem_, out_.errors, one.figures);
            if (here > out_.chi_square + chi_square_95) continue;
            out.low = std::min(out.low, one.x[unknown]);
            out.high = std::max(out.high, one.x[unknown]);
        }
        out.widened = low - out.low > hair || out.high - high > hair;
        return out;
    }

    ParameterEstimate finished(bool complete) {
        out_.complete = complete;
        out_.evaluations = trials_.size();
        if (out_.x.size() == 0) out_.x = Eigen::VectorXd::Constant(problem_.unknowns, 0.5);
        if (out_.figures.size() == 0) {
            out_.figures = Eigen::VectorXd::Constant(problem_.seen.size(), std::nan(""));
        }
        return std::move(out_);
    }

    const EstimateProblem& problem_;
    const EstimateSettings& settings_;
    const Progress& progress_;
    Progress stop_;
    double step_;
    double foreseen_ = 1.0, done_ = 0.0;
    ParameterEstimate out_;
    std::vector<EstimateTrial> trials_;
};

}  // namespace

ParameterEstimate estimate_parameters(const EstimateProblem& problem,
                                      const EstimateSettings& settings, const Progress& progress) {
    return Estimator(problem, settings, progress).found();
}

}  // namespace damper
