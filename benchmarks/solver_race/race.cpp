// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/race.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>
#include <utility>

namespace damper::benchmarks {

namespace {

constexpr double fixed_tolerance = 1e-6;  // at which CVODE is compared whatever its error

/// A run with samples as far as the timed one and the errors need; nothing if it gives up.
std::optional<Course> sampled(const Prepared& prepared, const Entrant& entrant,
                              const RaceSettings& settings) {
    try {
        return run(prepared, entrant, std::max(settings.span, long_span), error_step);
    } catch (const std::runtime_error&) {
        return std::nullopt;
    }
}

RaceRow row_of(const Entrant& entrant, const std::optional<Course>& course, const Course& exact,
               const std::optional<Course>& best) {
    RaceRow row{.entrant = entrant, .ended = course.has_value()};
    if (!course) return row;
    row.steps = course->steps;
    row.switches = course->switches;
    row.short_error = error(course->input_speed, exact.input_speed, short_span);
    row.long_error = error(course->input_speed, exact.input_speed, long_span);
    if (best) {
        row.short_from_best = error(course->input_speed, best->input_speed, short_span);
        row.long_from_best = error(course->input_speed, best->input_speed, long_span);
    }
    return row;
}

std::vector<RaceRow> rows_of(const Prepared& prepared, Family family, const Course& exact,
                             const RaceSettings& settings) {
    std::vector<double> tolerances = {fixed_tolerance};
    if (settings.every_tolerance) tolerances = tolerances_of(family);
    const std::optional<double> match = matching_tolerance(prepared, family, exact.input_speed);
    const auto same = [&](double t) { return match && std::abs(std::log(t / *match)) < 1e-6; };
    if (match && std::none_of(tolerances.begin(), tolerances.end(), same)) {
        tolerances.push_back(*match);
    }
    std::sort(tolerances.begin(), tolerances.end(), std::greater<>());
    const double tightest = std::min(tolerances_of(family).back(), tolerances.back());
    const std::optional<Course> best = sampled(prepared, {family, tightest}, settings);
    std::vector<RaceRow> rows;
    for (const double tolerance : tolerances) {
        const Entrant entrant{family, tolerance};
        rows.push_back(row_of(entrant, sampled(prepared, entrant, settings), exact, best));
        rows.back().is_match = same(tolerance) && rows.back().ended;
    }
    return rows;
}

}  // namespace

const RaceRow* RaceResult::match(Family family) const {
    for (const RaceRow& row : rows) {
        if (row.entrant.family == family && row.is_match) return &row;
    }
    return nullptr;
}

const RaceRow* RaceResult::at(Family family, double tolerance) const {
    for (const RaceRow& row : rows) {
        const bool same = std::abs(row.entrant.tolerance / tolerance - 1.0) < 1e-6;
        if (row.entrant.family == family && same) return &row;
    }
    return nullptr;
}

RaceResult race(const RaceCase& entry, const RaceSettings& settings) {
    const Prepared prepared(entry.scenario);
    RaceResult out{.entry = entry,
                   .exact = run(prepared, {}, std::max(settings.span, long_span), error_step),
                   .rows = {}};
    out.rows.push_back(row_of({}, out.exact, out.exact, out.exact));
    for (const Family family : peers_of_exact()) {
        std::vector<RaceRow> rows = rows_of(prepared, family, out.exact, settings);
        out.rows.insert(out.rows.end(), rows.begin(), rows.end());
    }
    std::vector<RaceRow*> timed;
    std::vector<std::function<void()>> works;
    for (RaceRow& row : out.rows) {
        if (!row.ended) continue;
        timed.push_back(&row);
        works.emplace_back([&prepared, &settings, entrant = row.entrant] {
            run_silently(prepared, entrant, settings.span);
        });
    }
    const std::vector<double> times = interleaved_medians(works, settings.rounds);
    for (std::size_t i = 0; i < times.size(); ++i) timed[i]->time = times[i];
    return out;
}

}  // namespace damper::benchmarks
