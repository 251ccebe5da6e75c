// SPDX-License-Identifier: MIT
// Complaints with hidden causes, for tests and measurements of the diagnosis.
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/diagnosis/answer_table.hpp"
#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/diagnose.hpp"
#include "libdamper/studies/judge_repair.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper::testing {

/// How the world of the complaints differs from what the diagnosis believes of it.
struct InventedWorld {
    double missing = 0.25;         ///< Share of answers that nobody gave.
    double wrong = 0.10;           ///< Share of given answers that are any other choice.
    double figures_missing = 0.2;  ///< Share of figures that no recording shows.
    /// Weights of answers differ from those of the tables by a factor, log-normal with this sigma:
    /// the trade's tables are not the truth.
    double answer_error = 0.4;
    /// Every vehicle differs from its model beyond the scatter that the diagnosis draws, as well:
    /// inertias, shafts and engine torque, which it takes as known.
    double model_error = 0.05;
    /// Gives the figures of a run by way of recordings (workshop_waveforms.hpp) instead of its
    /// measures and a noise; or empty. The number is a seed.
    std::function<std::vector<SeenFigure>(const ComplaintKind&, const VehiclesAsked&,
                                          const std::vector<std::pair<std::string, std::string>>&,
                                          std::uint64_t)>
        recorded;
};

/// One complaint with what was put in.
struct InventedCase {
    std::size_t kind = 0;
    std::string vehicle, vehicle_class;
    std::string truth;
    std::string seat;  ///< Of the truth.
    bool truth_is_of_clutch = false;
    std::vector<std::pair<std::string, std::string>> answers;
    std::vector<std::pair<std::string, std::string>> opened;  ///< Answers with the gearbox off.
    std::vector<SeenFigure> seen;
    bool has_run = false;
};

/// What a diagnosis is given beside the answers.
enum class CaseEvidence {
    answers,  ///< Nothing.
    vehicle,  ///< Recordings of the run, and gauges on the vehicle: nothing removed.
    bench     ///< Gearbox off: what is seen then, and cover and disc on the bench.
};

struct CaseOutcome {
    std::vector<std::pair<std::string, double>> ranking;  ///< Name, probability.
    std::string first_seat;
    std::size_t place = 0;       ///< Of the truth, from 0.
    bool blames_clutch = false;  ///< The leading cause is the clutch's, and more likely than not.
};

/// What became of a case whose leading cause was mended.
struct RepairOutcome {
    bool is_cured = false;  ///< The leading cause was the true one.
    RepairRecord record;
};

class ComplaintMaker {
  public:
    ComplaintMaker(const Knowledge& knowledge, std::filesystem::path models,
                   const InventedWorld& world)
        : knowledge_(knowledge), models_(std::move(models)), world_(world) {}

    [[nodiscard]] InventedCase make(std::uint64_t seed);
    /// May be changed between cases; what was simulated for a diagnosis stays.
    [[nodiscard]] CaseOutcome diagnose(const InventedCase& one, CaseEvidence evidence);
    /// Mends what leads with this evidence, its part renewed, and measures on the vehicle again.
    [[nodiscard]] RepairOutcome repair(const InventedCase& one, CaseEvidence evidence,
                                       std::uint64_t seed);
    /// Whether a diagnosis with this evidence sees more than one with less.
    [[nodiscard]] bool has(const InventedCase& one, CaseEvidence evidence);

  private:
    struct Prepared {
        ComplaintKind kind;
        VehiclesAsked asked;
        CauseVehicles vehicles;
        std::vector<FigureGroup> groups;
    };
    Prepared& prepared(std::size_t kind, const std::string& vehicle);
    [[nodiscard]] std::vector<RankedCause> ranked(const InventedCase& one, CaseEvidence evidence);
    /// What is measured of the vehicle with a cause, or sound; `noise` draws the errors.
    [[nodiscard]] std::vector<SeenFigure> measured(const Prepared& place,
                                                   std::optional<std::size_t> cause,
                                                   std::uint64_t seed, std::uint64_t noise) const;
    [[nodiscard]] std::vector<double> figures_with(const Prepared& place,
                                                   std::optional<std::size_t> cause,
                                                   std::uint64_t seed) const;
    [[nodiscard]] bool by_recordings(const Prepared& place, const std::string& shown_by) const;

    const Knowledge& knowledge_;
    std::filesystem::path models_;
    InventedWorld world_;
    std::map<std::pair<std::size_t, std::string>, std::unique_ptr<Prepared>> known_;
};

inline double normal_from(std::uint64_t seed, std::uint64_t place) {
    const double a = counted_random(seed, 1, 2 * place), b = counted_random(seed, 1, 2 * place + 1);
    return std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b);
}

inline ComplaintMaker::Prepared& ComplaintMaker::prepared(std::size_t kind,
                                                          const std::string& vehicle) {
    auto& place = known_[{kind, vehicle}];
    if (place) return *place;
    place = std::make_unique<Prepared>();
    place->asked.models = models_;
    place->asked.scenarios = models_.parent_path() / "scenarios";
    place->asked.vehicle = vehicle;
    const Vehicle read = take_vehicle({}, place->asked);
    std::vector<std::string> left_out;
    place->kind = applicable(knowledge_.kinds[kind], knowledge_.causes, read, left_out);
    place->vehicles = simulate_causes(place->kind, knowledge_.causes, place->asked);
    place->groups = figure_groups(place->vehicles.rows, place->vehicles.shown_by);
    return *place;
}

inline InventedCase ComplaintMaker::make(std::uint64_t seed) {
    static constexpr std::array<const char*, 4> vehicles{"car_petrol", "van_diesel", "medium_truck",
                                                         "heavy_truck"};
    const auto even = [&](std::uint64_t place) { return counted_random(seed, 0, place); };
    InventedCase out;
    out.kind = static_cast<std::size_t>(even(0) * static_cast<double>(knowledge_.kinds.size()));
    out.vehicle = vehicles[static_cast<std::size_t>(even(1) * 4.0)];
    // The car with mounts in its model where mounts may be the cause.
    const auto& causes = knowledge_.kinds[out.kind].causes;
    const bool has_mounts =
        std::ranges::find(causes, "torque_rod_torn", &CandidateCause::cause) != causes.end();
    if (has_mounts && out.vehicle == std::string("car_petrol")) out.vehicle = "car_on_mounts";
    Prepared& place = prepared(out.kind, out.vehicle);
    out.vehicle_class = place.asked.vehicle_class;
    out.has_run = !place.vehicles.measures.empty();

    // The cause, as often as it occurs.
    const auto ranking =
        rank_causes(place.kind, knowledge_.questions, out.vehicle_class, {}, {}, {});
    std::vector<double> prior(ranking.size());
    for (const RankedCause& one : ranking) prior[one.cause] = one.prior;
    std::size_t truth = 0;
    for (double left = even(2); truth + 1 < prior.size() && left > prior[truth]; ++truth) {
        left -= prior[truth];
    }
    const CandidateCause& cause = place.kind.causes[truth];
    out.truth = cause.name();
    out.seat = cause.seat;
    out.truth_is_of_clutch = is_of_clutch(cause.seat);

    // Answers: by tables that are not quite those of the diagnosis.
    for (std::size_t q = 0; q < place.kind.questions.size(); ++q) {
        const Question& question = *knowledge_.questions.find(place.kind.questions[q]);
        const std::uint64_t at = 100 + 10 * q;
        if (even(at) < world_.missing) continue;
        std::vector<double> weights;
        const auto said = std::ranges::find(cause.answers, question.name, &CauseAnswers::question);
        double sum = 0.0;
        for (std::size_t c = 0; c < question.choices.size(); ++c) {
            double weight = said == cause.answers.end() ? question.choices[c].usual.si() : 0.0;
            if (said != cause.answers.end()) {
                for (const auto& [name, value] : said->choices) {
                    if (name == question.choices[c].name) weight = value;
                }
            }
            // The same for all cases of this cause, question and choice.
            const std::uint64_t world = mixed(mixed(out.kind * 1000 + truth) + q * 10 + c);
            weight *= std::exp(world_.answer_error * normal_from(world, 7));
            sum += weight;
            weights.push_back(weight);
        }
        std::size_t choice = 0;
        for (double left = even(at + 1) * sum;
             choice + 1 < weights.size() && left > weights[choice]; ++choice) {
            left -= weights[choice];
        }
        if (even(at + 2) < world_.wrong) {
            const auto others = static_cast<double>(weights.size() - 1);
            choice =
                (choice + 1 + static_cast<std::size_t>(even(at + 3) * others)) % weights.size();
        }
        auto& answers = question.kind == "opened" ? out.opened : out.answers;
        answers.emplace_back(question.name, question.choices[choice].name);
    }
    if (out.has_run) out.seen = measured(place, truth, seed, seed);
    return out;
}

inline std::vector<SeenFigure> ComplaintMaker::measured(const Prepared& place,
                                                        std::optional<std::size_t> cause,
                                                        std::uint64_t seed,
                                                        std::uint64_t noise) const {
    const std::vector<double> figures = figures_with(place, cause, seed);
    const bool simulated = !cause || place.vehicles.simulated[*cause];
    // A cause outside the model shows in some figures what any other would: another one's.
    std::vector<double> others = figures;
    if (!simulated) {
        const auto& known = place.vehicles.simulated;
        auto other = static_cast<std::size_t>(counted_random(seed, 0, 4) *
                                              static_cast<double>(known.size()));
        for (std::size_t i = 0; i < known.size() && !known[other]; ++i) {
            other = (other + 1) % known.size();
        }
        if (known[other]) others = figures_with(place, other, seed);
    }
    std::vector<SeenFigure> out;
    for (std::size_t f = 0; f < place.vehicles.measures.size(); ++f) {
        const bool as_other = !simulated && shows_as_any(place.kind, place.kind.causes[*cause],
                                                         place.vehicles.shown_by[f]);
        const double value = as_other ? others[f] : figures[f];
        const bool missing = counted_random(noise, 0, 3000 + f) < world_.figures_missing;
        if (!std::isfinite(value) || missing) continue;
        const FigureScale& scale = place.vehicles.scales[f];
        const bool read = by_recordings(place, place.vehicles.shown_by[f]);
        const double error = read ? 0.0 : std::hypot(scale.error * value, scale.floor);
        out.push_back(
            {place.vehicles.measures[f], value + error * normal_from(noise, 800 + f), "invented"});
    }
    return out;
}

/// Whether figures shown by this come from recordings of the run.
inline bool ComplaintMaker::by_recordings(const Prepared& place,
                                          const std::string& shown_by) const {
    const ComplaintRun* run = run_for(place.kind, place.asked.vehicle_class);
    return world_.recorded && shown_by == "run" && run != nullptr && !run->scenario.empty();
}

/// Figures of another vehicle than those that the diagnosis draws; NaN where it cannot be run.
inline std::vector<double> ComplaintMaker::figures_with(const Prepared& place,
                                                        std::optional<std::size_t> number,
                                                        std::uint64_t seed) const {
    VehiclesAsked other = place.asked;
    other.seed = seed + 1'000'000;
    const CandidateCause* cause = number ? &place.kind.causes[*number] : nullptr;
    const bool simulated = cause != nullptr && place.vehicles.simulated[*number] &&
                           knowledge_.causes.contains(cause->cause);
    const Cause* model = simulated ? &knowledge_.causes.at(cause->cause) : nullptr;
    auto changes = changes_of_vehicle(place.kind, cause, model, other, seed);
    const auto off = [&](const char* key, std::uint64_t place_in_seed) {
        const double factor = std::exp(world_.model_error * normal_from(seed, 500 + place_in_seed));
        changes.emplace_back(key, "times " + std::to_string(factor));
    };
    off("engine.inertia", 0);
    off("gearbox.input_inertia", 1);
    off("body.mass", 2);
    try {
        std::vector<double> out = figures_of(place.kind, place.vehicles, other, changes);
        if (!by_recordings(place, "run")) return out;
        const std::vector<SeenFigure> seen = world_.recorded(place.kind, other, changes, seed);
        for (std::size_t f = 0; f < out.size(); ++f) {
            if (place.vehicles.shown_by[f] != "run") continue;
            const auto found =
                std::ranges::find(seen, place.vehicles.measures[f], &SeenFigure::measure);
            out[f] = found != seen.end() ? found->value : std::numeric_limits<double>::quiet_NaN();
        }
        return out;
    } catch (const std::exception&) {
        return std::vector<double>(place.vehicles.measures.size(),
                                   std::numeric_limits<double>::quiet_NaN());
    }
}

inline bool sees(CaseEvidence evidence, const std::string& shown_by) {
    if (evidence == CaseEvidence::answers) return false;
    return evidence == CaseEvidence::bench || shown_by == "run" || shown_by == "gauges";
}

inline bool ComplaintMaker::has(const InventedCase& one, CaseEvidence evidence) {
    const Prepared& place = prepared(one.kind, one.vehicle);
    return std::ranges::any_of(one.seen, [&](const SeenFigure& seen) {
        const auto at = std::ranges::find(place.vehicles.measures, seen.measure) -
                        place.vehicles.measures.begin();
        return sees(evidence, place.vehicles.shown_by[static_cast<std::size_t>(at)]);
    });
}

inline std::vector<RankedCause> ComplaintMaker::ranked(const InventedCase& one,
                                                       CaseEvidence evidence) {
    Prepared& place = prepared(one.kind, one.vehicle);
    SeenFigures seen;
    for (std::size_t f = 0; f < place.vehicles.measures.size(); ++f) {
        const auto found =
            std::ranges::find(one.seen, place.vehicles.measures[f], &SeenFigure::measure);
        const bool there = found != one.seen.end() && sees(evidence, place.vehicles.shown_by[f]);
        seen.values.push_back(
            there ? std::optional(on_scale(found->value, place.vehicles.scales[f])) : std::nullopt);
        seen.errors.push_back(there ? error_on_scale(found->value, place.vehicles.scales[f]) : 0.0);
    }
    auto answers = one.answers;
    if (evidence == CaseEvidence::bench) {
        answers.insert(answers.end(), one.opened.begin(), one.opened.end());
    }
    std::vector<std::string> measures;
    for (std::size_t f = 0; f < seen.values.size(); ++f) {
        if (seen.values[f]) measures.push_back(place.vehicles.measures[f]);
    }
    return rank_causes(place.kind, knowledge_.questions, one.vehicle_class,
                       beside_measures(answers, knowledge_.questions, measures), place.groups,
                       seen);
}

inline CaseOutcome ComplaintMaker::diagnose(const InventedCase& one, CaseEvidence evidence) {
    Prepared& place = prepared(one.kind, one.vehicle);
    const std::vector<RankedCause> ranking = ranked(one, evidence);
    CaseOutcome out;
    for (std::size_t i = 0; i < ranking.size(); ++i) {
        const CandidateCause& cause = place.kind.causes[ranking[i].cause];
        if (cause.name() == one.truth) out.place = i;
        out.ranking.emplace_back(cause.name(), ranking[i].probability);
    }
    const CandidateCause& first = place.kind.causes[ranking.front().cause];
    out.first_seat = first.seat;
    out.blames_clutch = is_of_clutch(first.seat) && ranking.front().probability > 0.5;
    return out;
}

inline RepairOutcome ComplaintMaker::repair(const InventedCase& one, CaseEvidence evidence,
                                            std::uint64_t seed) {
    const Prepared& place = prepared(one.kind, one.vehicle);
    const std::vector<RankedCause> before = ranked(one, evidence);
    const CandidateCause& mended = place.kind.causes[before.front().cause];
    RepairOutcome out;
    out.is_cured = mended.name() == one.truth;
    const auto truth = static_cast<std::size_t>(
        std::ranges::find(place.kind.causes, one.truth, &CandidateCause::name) -
        place.kind.causes.begin());
    RepairedState state{.complaint = {}, .repair = {}, .asked = place.asked, .given = {}};
    state.repair.renewed = {mended.seat};
    // One driver of four says nothing, and one of ten is wrong.
    const bool right = counted_random(seed, 5, 0) > world_.wrong;
    const bool says = counted_random(seed, 5, 1) > world_.missing;
    state.repair.complaint = !says ? "unknown" : right == out.is_cured ? "gone" : "still there";
    const std::uint64_t noise = seed + 2'000'000;
    for (SeenFigure& figure :
         measured(place, out.is_cured ? std::nullopt : std::optional(truth), seed, noise)) {
        const auto f =
            static_cast<std::size_t>(std::ranges::find(place.vehicles.measures, figure.measure) -
                                     place.vehicles.measures.begin());
        if (sees(CaseEvidence::vehicle, place.vehicles.shown_by[f])) {
            state.given.seen.push_back(std::move(figure));
        }
    }
    out.record = judge_repair(state, place.kind, knowledge_.questions, before, place.vehicles, {});
    return out;
}

}  // namespace damper::testing
