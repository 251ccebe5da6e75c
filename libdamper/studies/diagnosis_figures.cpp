// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnosis_figures.hpp"

#include "libdamper/studies/recorded_bench.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <limits>
#include <numbers>
#include <optional>

namespace damper {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

double off_scale(double value, const FigureScale& scale) {
    return scale.floor * std::sinh(value);
}

/// Whether what was seen is hardly less likely with a sound vehicle than with a cause: by less than
/// a factor of √10, "not worth more than a bare mention" (H. Jeffreys, Theory of Probability, 1961,
/// appendix B; recalled). A few vehicles of each do not tell them apart more finely.
bool sound_is_hardly_less_likely(const CauseVehicles& vehicles, SeenFigures seen,
                                 std::size_t cause) {
    for (std::size_t f = 0; f < seen.values.size(); ++f) {  // what sound vehicles do not have
        const auto column = vehicles.healthy.col(static_cast<Eigen::Index>(f)).array();
        if (!column.isFinite().any()) seen.values[f].reset();
    }
    std::vector<FigureRows> rows = vehicles.rows;
    rows.push_back(vehicles.healthy);
    double weight = 0.0;
    for (const FigureGroup& group : figure_groups(rows, vehicles.shown_by)) {
        if (!group.seen_in(seen.values)) continue;
        weight += group.log_density(rows.size() - 1, seen.values, seen.errors) -
                  group.log_density(cause, seen.values, seen.errors);
    }
    constexpr double bare_mention = 0.5 * std::numbers::ln10;
    return weight >= -bare_mention;
}

}  // namespace

RecordedFigures all_figures(const Complaint& complaint, std::vector<SeenFigure> given,
                            const Vehicle& vehicle, double reference) {
    RecordedFigures out;
    out.seen = std::move(given);
    for (RecordedFigures one : {figures_in_recordings(complaint, vehicle),
                                figures_of_bench(complaint, vehicle, reference)}) {
        std::ranges::move(one.seen, std::back_inserter(out.seen));
        std::ranges::move(one.notes, std::back_inserter(out.notes));
    }
    return out;
}

FigureSpread spread_of(const FigureRows& rows, const std::vector<FigureScale>& scales) {
    FigureSpread out;
    for (std::size_t f = 0; f < scales.size(); ++f) {
        std::vector<double> column;
        for (Eigen::Index r = 0; r < rows.rows(); ++r) {
            const double value = rows(r, static_cast<Eigen::Index>(f));
            if (std::isfinite(value)) column.push_back(off_scale(value, scales[f]));
        }
        std::ranges::sort(column);
        const auto at = [&](double share) {
            if (column.empty()) return none;
            const double place = share * static_cast<double>(column.size() - 1);
            const auto below = static_cast<std::size_t>(place);
            const std::size_t above = std::min(below + 1, column.size() - 1);
            return std::lerp(column[below], column[above], place - static_cast<double>(below));
        };
        out.middle.push_back(at(0.5));
        out.low.push_back(at(0.025));
        out.high.push_back(at(0.975));
    }
    return out;
}

std::vector<std::string> measures_used(const std::vector<SeenFigure>& seen,
                                       const CauseVehicles& vehicles) {
    std::vector<std::string> out;
    for (const SeenFigure& one : seen) {
        if (std::ranges::find(vehicles.measures, one.measure) != vehicles.measures.end()) {
            out.push_back(one.measure);
        }
    }
    return out;
}

SeenFigures on_scales(const std::vector<SeenFigure>& seen, const CauseVehicles& vehicles) {
    SeenFigures out;
    for (std::size_t f = 0; f < vehicles.measures.size(); ++f) {
        const auto found = std::ranges::find(seen, vehicles.measures[f], &SeenFigure::measure);
        std::optional<double> value;
        double error = error_on_scale(0.0, vehicles.scales[f]);
        if (found != seen.end()) {
            value = on_scale(found->value, vehicles.scales[f]);
            error = error_on_scale(found->value, vehicles.scales[f]);
        }
        out.values.push_back(value);
        out.errors.push_back(error);
    }
    return out;
}

std::vector<double> errors_expected(const CauseVehicles& vehicles) {
    std::vector<double> out;
    const FigureSpread sound = spread_of(vehicles.healthy, vehicles.scales);
    for (std::size_t f = 0; f < vehicles.scales.size(); ++f) {
        out.push_back(error_on_scale(std::isfinite(sound.middle[f]) ? sound.middle[f] : 0.0,
                                     vehicles.scales[f]));
    }
    return out;
}

void take_figures(const CauseVehicles& vehicles, const std::vector<SeenFigure>& seen,
                  DiagnosisRecord& record) {
    const FigureSpread sound = spread_of(vehicles.healthy, vehicles.scales);
    for (std::size_t f = 0; f < vehicles.measures.size(); ++f) {
        DiagnosisFigure figure{.name = vehicles.measures[f],
                               .units = vehicles.units[f],
                               .definition = vehicles.definitions[f],
                               .shown_by = vehicles.shown_by[f],
                               .seen = {},
                               .error = 0.0,
                               .from = {},
                               .healthy = sound.middle[f],
                               .healthy_low = sound.low[f],
                               .healthy_high = sound.high[f],
                               .better = vehicles.better[f]};
        const auto found = std::ranges::find(seen, figure.name, &SeenFigure::measure);
        if (found != seen.end()) {
            figure.seen = found->value;
            figure.from = found->from;
            figure.error =
                std::hypot(vehicles.scales[f].error * found->value, vehicles.scales[f].floor);
        }
        record.figures.push_back(std::move(figure));
    }
    for (const SeenFigure& one : seen) {
        const bool used =
            std::ranges::find(vehicles.measures, one.measure) != vehicles.measures.end();
        if (!used && one.from == given_by_person) {  // a recording shows more than is asked
            record.notes_on_data.push_back(
                fmt::format("{} ({}) was measured, but nothing is concluded from it here: {}",
                            words_of(one.measure), one.measure,
                            vehicles.run.empty() ? "there is no run of this complaint for the class"
                                                 : "this complaint does not show in it"));
        }
    }
}

void note_strangers(DiagnosisRecord& record) {
    constexpr double sigmas = 3.0;
    for (std::size_t f = 0; f < record.figures.size(); ++f) {
        const DiagnosisFigure& figure = record.figures[f];
        if (!figure.seen) continue;
        double low = figure.healthy_low, high = figure.healthy_high;
        for (const DiagnosisCause& cause : record.causes) {
            low = std::fmin(low, cause.low[f]);
            high = std::fmax(high, cause.high[f]);
        }
        const double off = std::fmax(low - *figure.seen, *figure.seen - high);
        if (!(off > sigmas * figure.error)) continue;
        record.strange.push_back(words_of(figure.name));
        record.notes_on_data.push_back(fmt::format(
            "{} as measured is far from every simulated vehicle, with whatever cause: look at the "
            "measurement again, or at whether {} stands for this vehicle; the ranking is less sure "
            "than it says",
            capital(words_of(figure.name)), record.vehicle));
    }
}

void note_sound(const CauseVehicles& vehicles, const SeenFigures& seen, std::size_t leading,
                DiagnosisRecord& record) {
    bool recorded = false;
    for (const DiagnosisFigure& figure : record.figures) {
        // What sound vehicles do not have cannot be as theirs; what else there is tells.
        if (!figure.seen || !std::isfinite(figure.healthy)) continue;
        recorded = recorded || figure.shown_by == "run";
        if (!figure.is_as_sound()) return;
    }
    record.as_sound = recorded && sound_is_hardly_less_likely(vehicles, seen, leading);
}

}  // namespace damper
