// SPDX-License-Identifier: MIT
#include "libdamper/studies/match_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/diagnosis/possible_values.hpp"
#include "libdamper/numerics/parameter_estimate.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/studies/free_values.hpp"
#include "libdamper/studies/refusal.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <memory>
#include <mutex>
#include <numbers>
#include <optional>
#include <variant>

namespace damper {

namespace {

[[noreturn]] void refuse(const std::string& what, const QuantityFault& fault) {
    throw InputError(fmt::format("{}: found {}; expected {}{}", what, fault.found, fault.expected,
                                 fault.mend.empty() ? "" : "\n    To mend: " + fault.mend));
}

double number_of(const std::string& what, const std::string& text, const std::string& units) {
    const auto read = read_in_units(text, units);
    if (const auto* fault = std::get_if<QuantityFault>(&read)) refuse(what, *fault);
    return std::get<double>(read);
}

/// "5 %" of the value, or a quantity of the figure's own unit.
double error_from(const std::string& what, const std::string& text, double value,
                  const std::string& units) {
    const bool share = text.ends_with('%');
    const double error =
        share ? std::abs(value) * number_of(what, text, "1") : number_of(what, text, units);
    if (!(error > 0.0)) {
        throw InputError(fmt::format(
            "{}: found an error of {}; expected more than zero, such as 5 %", what, text));
    }
    return error;
}

class Match {
  public:
    Match(const MatchRequest& request, const Progress& progress)
        : request_(request), progress_(progress), free_(request.free) {
        stop_.stop_requested = progress.stop_requested;
        if (free_.values().empty()) {
            throw InputError(
                "nothing is free\n    To mend: name keys and ranges, such as --free "
                "'disc.stages[0].hysteresis=times 0.3..5'.");
        }
    }

    MatchRecord found() {
        described_ = FigureBench(request_.source).figures({}, stop_);
        record_.identity = request_.identity;
        record_.run = request_.run;
        record_.state = request_.source.options.changes;
        record_.notes = request_.notes;
        compare_speed();
        collect_figures();
        require_enough();
        EstimateProblem problem = posed();
        try_the_keys(problem);
        const std::size_t threads = thread_count(request_.threads, 1U << 16U);
        for (std::size_t t = 0; t < threads; ++t) {
            benches_.push_back(std::make_unique<FigureBench>(request_.source));
        }
        EstimateSettings settings;
        settings.threads = threads;
        try {
            fill(estimate_parameters(problem, settings, progress_));
        } catch (const ModelError&) {
            if (refused_.empty()) refused_ = "the run gives not all measured figures";
            throw InputError(fmt::format(
                "no vehicle in these ranges could be simulated with all measured figures: {}",
                refused_));
        }
        return std::move(record_);
    }

  private:
    void compare_speed() {
        constexpr double tolerated = 0.03;  // common practice, no source
        const double own = described_.engine_speed, recorded = request_.recorded_speed;
        if (!(own > 0.0) || !(recorded > 0.0) || std::abs(recorded / own - 1.0) < tolerated) return;
        constexpr double rpm = std::numbers::pi / 30.0;
        record_.notes.push_back(
            fmt::format("the recording was made at {:.0f} rpm, {} is at {:.0f} rpm: bring them "
                        "together, or the values answer for the difference",
                        recorded / rpm, request_.run, own / rpm));
    }

    /// What was measured, and what could be: figures of the run whose error is known.
    void collect_figures() {
        for (const MeasureValue& named : described_.all()) {
            MatchFigure figure;
            figure.name = named.name;
            figure.units = named.units;
            figure.definition = named.definition;
            figure.described = named.value;
            const auto given = std::ranges::find(request_.given, named.name, &GivenFigure::measure);
            if (given != request_.given.end()) {
                take(*given, figure);
            } else if (const auto known = request_.known.find(named.name);
                       known != request_.known.end() && std::isfinite(named.value)) {
                figure.error = known_error(known->second, named.value, figure);
            }
            if (figure.seen || figure.error > 0.0) record_.figures.push_back(std::move(figure));
        }
        std::ranges::stable_partition(record_.figures,
                                      [](const MatchFigure& one) { return one.seen.has_value(); });
        for (const GivenFigure& given : request_.given) {
            if (described_.find(given.measure) != nullptr) continue;
            if (given.text.empty()) {
                record_.notes.push_back(fmt::format("{} is in {}, but {} does not give it",
                                                    given.measure, given.from, request_.run));
                continue;
            }
            std::vector<std::string> names;
            for (const MeasureValue& one : described_.all()) names.push_back(one.name);
            const std::string near = nearest_word(given.measure, names);
            throw InputError(fmt::format("{}: {} does not give {}{}", given.from, request_.run,
                                         given.measure,
                                         near.empty() ? "" : "; did you mean " + near + "?"));
        }
        for (const auto& [measure, text] : request_.errors) {
            const bool used = std::ranges::any_of(
                request_.given, [&](const GivenFigure& one) { return one.measure == measure; });
            if (!used) {
                throw InputError(
                    fmt::format("--error {}={}: {} was not measured; expected one of "
                                "the measured figures",
                                measure, text, measure));
            }
        }
    }

    static double known_error(const KnownError& known, double value, const MatchFigure& figure) {
        return std::hypot(known.share * value, number_of(figure.name, known.floor, figure.units));
    }

    void take(const GivenFigure& given, MatchFigure& figure) {
        const std::string what = fmt::format("{}, {}", given.from, given.measure);
        figure.seen = given.text.empty() ? given.value : number_of(what, given.text, figure.units);
        if (!given.text.empty()) {
            const auto wrong = impossible(given.measure, given.text, *figure.seen, figure.units);
            if (wrong) refuse(what, *wrong);
        }
        figure.from = given.from;
        const auto own = request_.errors.find(given.measure);
        const std::string text = own != request_.errors.end() ? own->second : given.error;
        if (!text.empty()) {
            figure.error = error_from(what, text, *figure.seen, figure.units);
            return;
        }
        const auto known = request_.known.find(given.measure);
        if (known != request_.known.end()) {
            figure.error = known_error(known->second, *figure.seen, figure);
            return;
        }
        if (given.text.empty()) {
            record_.notes.push_back(
                fmt::format("{} is not used: no error of measurement is known of it; give one with "
                            "--error {}='5 %'",
                            given.measure, given.measure));
            figure.seen.reset();
            return;
        }
        throw InputError(fmt::format(
            "{}: no error of measurement is known of it\n    To mend: Give its standard "
            "deviation: '{} +- 5 %'.",
            what, given.text));
    }

    void require_enough() {
        std::size_t seen = 0;
        std::string could;
        for (const MatchFigure& one : record_.figures) {
            seen += one.seen.has_value();
            if (!one.seen) could += (could.empty() ? "" : ", ") + one.name;
        }
        if (seen >= free_.values().size()) return;
        std::string notes;
        for (const std::string& one : record_.notes) notes += "\n    Note: " + one;
        throw InputError(fmt::format(
            "{} {} free, but only {} measured: they cannot be told\n    To mend: Free "
            "fewer keys, or measure more of what {} gives: {}.{}",
            free_.values().size(), free_.values().size() == 1 ? "value is" : "values are",
            seen == 1 ? std::string("1 figure was") : fmt::format("{} figures were", seen),
            request_.run, could.empty() ? "see damper run" : could, notes));
    }

    EstimateProblem posed() {
        EstimateProblem problem;
        problem.unknowns = static_cast<Eigen::Index>(free_.values().size());
        const auto count = static_cast<Eigen::Index>(record_.figures.size());
        problem.seen.resize(count);
        problem.errors.resize(count);
        for (Eigen::Index i = 0; i < count; ++i) {
            const MatchFigure& figure = record_.figures[static_cast<std::size_t>(i)];
            problem.seen[i] = figure.seen.value_or(std::nan(""));
            problem.errors[i] = figure.error;
        }
        problem.figures = [this](const Eigen::VectorXd& x, std::size_t worker) {
            return simulated(x, *benches_[worker]);
        };
        // Where factors are free, the description itself is a place to begin at.
        Eigen::VectorXd start = Eigen::VectorXd::Constant(problem.unknowns, 0.5);
        for (Eigen::Index j = 0; j < problem.unknowns; ++j) {
            const FreeValue& value = free_.values()[static_cast<std::size_t>(j)];
            const double share = value.variable.key.multiplies ? value.share_of(1.0) : 0.5;
            if (share >= 0.0 && share <= 1.0) start[j] = share;
        }
        problem.starts = {start};
        return problem;
    }

    /// A key that is not there is told as such, before hundreds of runs fail by it. Not every place
    /// of the ranges has to be a vehicle: middle and both ends have to be wrong.
    void try_the_keys(const EstimateProblem& problem) {
        FigureBench bench(request_.source);
        const Eigen::VectorXd low = Eigen::VectorXd::Zero(problem.unknowns);
        const Eigen::VectorXd high = Eigen::VectorXd::Ones(problem.unknowns);
        std::optional<InputError> wrong;
        for (const Eigen::VectorXd& x : {problem.starts.front(), low, high}) {
            try {
                (void)bench.figures(free_.changes(x), stop_);
                return;
            } catch (const InputError& here) {
                if (!wrong) wrong = here;
            } catch (const SolverError&) {
                return;  // the search will find out where it can be run
            }
        }
        std::vector<Finding> findings = wrong->findings();
        if (findings.empty()) throw *wrong;
        for (Finding& one : findings) one.place = {"--free", 0, 0, ""};
        throw InputError(std::move(findings));
    }

    Eigen::VectorXd simulated(const Eigen::VectorXd& x, FigureBench& bench) {
        Eigen::VectorXd out = Eigen::VectorXd::Constant(
            static_cast<Eigen::Index>(record_.figures.size()), std::nan(""));
        const std::string why = refusal_of([&] {
            const BenchFigures run = bench.figures(free_.changes(x), stop_);
            if (!run.complete) return;
            for (Eigen::Index i = 0; i < out.size(); ++i) {
                const MeasureValue* named =
                    run.find(record_.figures[static_cast<std::size_t>(i)].name);
                if (named != nullptr) out[i] = named->value;
            }
        });
        if (!why.empty()) {
            const std::lock_guard lock(guard_);
            if (refused_.empty() || why < refused_) refused_ = why;
        }
        return out;
    }

    void fill(const ParameterEstimate& found) {
        record_.complete = found.complete;
        record_.evaluations = found.evaluations;
        record_.chi_square = found.chi_square;
        record_.freedom = found.freedom;
        record_.chance = found.chance;
        record_.changes = free_.changes(found.x);
        for (std::size_t i = 0; i < record_.figures.size(); ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            MatchFigure& figure = record_.figures[i];
            figure.matched = found.figures[at];
            figure.scatter = found.scatter[at];
            if (!figure.seen) continue;
            figure.off = (figure.matched - *figure.seen) / found.errors[at];
            const double before = (figure.described - *figure.seen) / found.errors[at];
            record_.chi_square_described += before * before;
        }
        for (std::size_t j = 0; j < free_.values().size(); ++j) {
            const FreeValue& value = free_.values()[j];
            const auto at = static_cast<Eigen::Index>(j);
            EstimateInterval interval;
            if (found.complete) interval = found.intervals[j];
            record_.values.push_back({.name = value.name,
                                      .units = value.variable.key.units,
                                      .multiplies = value.variable.key.multiplies,
                                      .range_low = value.at(0.0),
                                      .range_high = value.at(1.0),
                                      .value = value.at(found.x[at]),
                                      .low = value.at(interval.low),
                                      .high = value.at(interval.high),
                                      .low_open = interval.low_open,
                                      .high_open = interval.high_open});
        }
        if (!found.complete) return;
        for (const EstimateDirection& direction : found.directions) {
            if (!direction.told) record_.ties.push_back(tie_of(direction, found.x));
        }
        take_further(found);
        if (!refused_.empty()) {
            record_.notes.push_back("some vehicles in these ranges cannot be: " +
                                    refused_.substr(0, refused_.find('\n')));
        }
    }

    [[nodiscard]] MatchTie tie_of(const EstimateDirection& direction,
                                  const Eigen::VectorXd& x) const {
        constexpr double counts = 0.3;  // of the largest part
        constexpr double walk = 0.2;    // of a range; below one error, as 1.96 of them are > 0.5
        const double largest = direction.along.cwiseAbs().maxCoeff();
        MatchTie out;
        Eigen::Index lead = 0;
        direction.along.cwiseAbs().maxCoeff(&lead);
        // Walk towards where there is more room.
        const double sign = (direction.along[lead] > 0.0) == (x[lead] < 0.5) ? 1.0 : -1.0;
        for (Eigen::Index j = 0; j < x.size(); ++j) {
            const double share = sign * direction.along[j];
            if (std::abs(share) < counts * largest) continue;
            const FreeValue& value = free_.values()[static_cast<std::size_t>(j)];
            out.parts.push_back({static_cast<std::size_t>(j), share, value.at(x[j]),
                                 value.at(x[j] + walk * share / largest)});
        }
        std::ranges::stable_sort(out.parts, std::greater<>(),
                                 [](const auto& one) { return std::abs(one.share); });
        return out;
    }

    void take_further(const ParameterEstimate& found) {
        constexpr double worth = 0.8;  // narrower by a fifth at least
        constexpr std::size_t most = 3;
        for (const FurtherFigure& one : found.further) {
            if (record_.further.size() == most) break;
            Eigen::Index helped = 0;
            const double ratio =
                (one.deviations.array() / found.deviations.array()).minCoeff(&helped);
            if (ratio > worth) continue;
            const MatchFigure& figure = record_.figures[static_cast<std::size_t>(one.figure)];
            record_.further.push_back({.measure = figure.name,
                                       .units = figure.units,
                                       .error = figure.error,
                                       .value = static_cast<std::size_t>(helped),
                                       .from = found.deviations[helped],
                                       .to = one.deviations[helped]});
        }
    }

    const MatchRequest& request_;
    const Progress& progress_;
    Progress stop_;
    FreeValues free_;
    BenchFigures described_;
    std::vector<std::unique_ptr<FigureBench>> benches_;
    std::mutex guard_;
    std::string refused_;
    MatchRecord record_;
};

}  // namespace

std::map<std::string, KnownError> known_errors(const std::vector<ComplaintKind>& kinds,
                                               const std::string& scenario) {
    std::map<std::string, KnownError> out;
    std::map<std::string, bool> own;
    for (const ComplaintKind& kind : kinds) {
        const bool is_own = std::ranges::any_of(
            kind.runs, [&](const auto& run) { return run.scenario == scenario; });
        for (const ComplaintFigure& figure : kind.figures) {
            const auto known = out.find(figure.measure);
            const bool better =
                known == out.end() || (is_own && !own[figure.measure]) ||
                (is_own == own[figure.measure] && figure.error.si() > known->second.share);
            if (!better) continue;
            out[figure.measure] = {figure.error.si(), figure.floor};
            own[figure.measure] = is_own;
        }
    }
    return out;
}

MatchRecord match_model(const MatchRequest& request, const Progress& progress) {
    return Match(request, progress).found();
}

}  // namespace damper
