// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnose.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/diagnosis/answer_table.hpp"
#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/recorded_bench.hpp"
#include "libdamper/studies/recorded_figures.hpp"
#include "libdamper/studies/suit_discs.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace damper {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

double off_scale(double value, const FigureScale& scale) {
    return scale.floor * std::sinh(value);
}

const Choice* choice_of(const Question& question, const std::string& name) {
    const auto found = std::ranges::find(question.choices, name, &Choice::name);
    return found != question.choices.end() ? &*found : nullptr;
}

/// Middle and 95 % of simulated vehicles, figure by figure.
void take_spread(const FigureRows& rows, const std::vector<FigureScale>& scales,
                 std::vector<double>& middle, std::vector<double>& low, std::vector<double>& high) {
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
        middle.push_back(at(0.5));
        low.push_back(at(0.025));
        high.push_back(at(0.975));
    }
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

/// What would be measured of a vehicle that is not there yet: errors of a middling sound one.
std::vector<double> errors_expected(const CauseVehicles& vehicles) {
    std::vector<double> out;
    std::vector<double> middle, low, high;
    take_spread(vehicles.healthy, vehicles.scales, middle, low, high);
    for (std::size_t f = 0; f < vehicles.scales.size(); ++f) {
        out.push_back(
            error_on_scale(std::isfinite(middle[f]) ? middle[f] : 0.0, vehicles.scales[f]));
    }
    return out;
}

/// What was measured, of a group of figures.
std::string measured_words(const std::string& shown_by) {
    if (shown_by == "run") return "What recordings show";
    if (shown_by == "gauges") return "What was measured on the vehicle";
    if (shown_by == "press") return "What cover and facings show on the bench";
    return "What the disc shows on the torsion bench";
}

void take_causes(const std::vector<RankedCause>& ranking, const ComplaintKind& kind,
                 const DiagnosisRequest& request, const Knowledge& knowledge,
                 const CauseVehicles& vehicles, DiagnosisRecord& record) {
    for (const RankedCause& ranked : ranking) {
        const CandidateCause& known = kind.causes[ranked.cause];
        DiagnosisCause cause{.name = known.name(),
                             .title = known.title,
                             .seat = known.seat,
                             .is_of_clutch = is_of_clutch(known.seat),
                             .is_simulated = vehicles.simulated[ranked.cause],
                             .prior = ranked.prior,
                             .probability = ranked.probability,
                             .evidence = {},
                             .look = known.look,
                             .mend = known.mend,
                             .beware = known.beware,
                             .middle = {},
                             .low = {},
                             .high = {}};
        for (const EvidenceWeight& one : ranked.evidence) {
            DiagnosisEvidence evidence{one.what, "", "", one.weight};
            if (const Question* question = knowledge.questions.find(one.what)) {
                evidence.asks = question->asks;
                for (const auto& [name, choice] : request.complaint.answers) {
                    if (name == one.what) evidence.answer = choice_of(*question, choice)->says;
                }
            } else {
                evidence.asks = measured_words(one.what);
            }
            cause.evidence.push_back(std::move(evidence));
        }
        std::ranges::stable_sort(cause.evidence, std::greater<>(),
                                 [](const auto& one) { return std::abs(one.weight); });
        take_spread(vehicles.rows[ranked.cause], vehicles.scales, cause.middle, cause.low,
                    cause.high);
        if (cause.is_of_clutch) record.clutch_probability += cause.probability;
        record.causes.push_back(std::move(cause));
    }
}

void take_figures(const CauseVehicles& vehicles, const std::vector<SeenFigure>& seen,
                  DiagnosisRecord& record) {
    std::vector<double> middle, low, high;
    take_spread(vehicles.healthy, vehicles.scales, middle, low, high);
    for (std::size_t f = 0; f < vehicles.measures.size(); ++f) {
        DiagnosisFigure figure{.name = vehicles.measures[f],
                               .units = vehicles.units[f],
                               .definition = vehicles.definitions[f],
                               .shown_by = vehicles.shown_by[f],
                               .seen = {},
                               .error = 0.0,
                               .from = {},
                               .healthy = middle[f],
                               .healthy_low = low[f],
                               .healthy_high = high[f]};
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
        if (std::ranges::find(vehicles.measures, one.measure) == vehicles.measures.end()) {
            record.notes_on_data.push_back(fmt::format(
                "{} was measured, but nothing is concluded from it here: {}", one.measure,
                vehicles.run.empty() ? "there is no run of this complaint for the class"
                                     : "this complaint does not show in it"));
        }
    }
}

/// Tells of figures that no vehicle of any cause comes near: then the measurement is doubtful, or
/// the model is not that of the vehicle.
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
        record.strange.push_back(figure.name);
        record.notes_on_data.push_back(fmt::format(
            "{} as measured is far from every simulated vehicle, with whatever cause: look at the "
            "measurement again, or at whether {} stands for this vehicle; the ranking is less sure "
            "than it says",
            figure.name, record.vehicle));
    }
}

/// Tells where all that was recorded lies where sound vehicles' figures do: after a repair the case
/// can be closed by it.
void note_sound(DiagnosisRecord& record) {
    constexpr double sigmas = 2.0;
    bool recorded = false;
    for (const DiagnosisFigure& figure : record.figures) {
        if (!figure.seen) continue;
        recorded = recorded || figure.shown_by == "run";
        const double room = sigmas * figure.error;
        const bool inside =
            *figure.seen >= figure.healthy_low - room && *figure.seen <= figure.healthy_high + room;
        if (!inside) return;
    }
    if (!recorded) return;
    record.notes_on_data.emplace_back(
        "All that was measured is what sound vehicles show as well: after a repair that speaks for "
        "closing the case; before one, record again while the complaint is there");
}

/// What it takes to measure a group of figures. Minutes are common practice, no source.
DiagnosisTest test_of(const FigureGroup& group, const CauseVehicles& vehicles) {
    std::string names;
    for (const Eigen::Index column : group.columns) {
        if (!names.empty()) names += ", ";
        names += vehicles.measures[static_cast<std::size_t>(column)];
    }
    DiagnosisTest out{.name = group.shown_by,
                      .asks = {},
                      .kind = "measured",
                      .how = {},
                      .caution = {},
                      .minutes = 0.0,
                      .bits = 0.0,
                      .outcomes = {}};
    if (group.shown_by == "run") {
        out.name = "recordings";
        out.asks = "Record what this complaint shows and give it as [recordings] or [measured]";
        out.how =
            fmt::format("In the state of \"{}\"{}: {}.", vehicles.run,
                        vehicles.state.empty() ? "" : fmt::format(" ({})", vehicles.state), names);
        out.minutes = 45.0;
    } else if (group.shown_by == "gauges") {
        out.asks = "Measure on the vehicle, nothing removed, and give it as [measured]";
        out.how = fmt::format("Any of: {}.", names);
        out.minutes = 20.0;
    } else {
        const bool press = group.shown_by == "press";
        out.kind = "opened";
        out.asks = press ? "Put the cover into a press and measure the disc; give it as "
                           "[measured] or [recordings]"
                         : "Turn the disc slowly on a torsion bench and give the loop as "
                           "[recordings] loop";
        out.how = fmt::format("Gearbox off. {}.", names);
        out.caution =
            "A gearbox jack, by the vehicle maker's procedure; old dust is wiped up damp, "
            "never blown off. Springs of a cover are under load.";
        out.minutes = 300.0;
    }
    return out;
}

/// Questions that are open, by what they are expected to tell for the time they take.
void take_tests(const ComplaintKind& kind, const std::vector<double>& probabilities,
                const DiagnosisRequest& request, const Knowledge& knowledge,
                const CauseVehicles& vehicles, const std::vector<FigureGroup>& groups,
                const SeenFigures& seen, DiagnosisRecord& record) {
    constexpr double least_bits = 0.02;
    for (const std::string& name : kind.questions) {
        const Question& question = *knowledge.questions.find(name);
        const bool answered = std::ranges::any_of(
            request.complaint.answers, [&](const auto& one) { return one.first == name; });
        if (answered) continue;
        ++record.unanswered;
        DiagnosisTest test{.name = name,
                           .asks = question.asks,
                           .kind = question.kind,
                           .how = question.how,
                           .caution = question.caution,
                           .minutes = question.minutes.si(),
                           .bits = expected_information(probabilities, kind, question),
                           .outcomes = {}};
        if (test.bits < least_bits) continue;
        for (std::size_t a = 0; a < question.choices.size(); ++a) {
            std::vector<double> joint(kind.causes.size());
            double whole = 0.0;
            for (std::size_t c = 0; c < joint.size(); ++c) {
                joint[c] = probabilities[c] * answer_chances(question, kind.causes[c])[a];
                whole += joint[c];
            }
            const auto lead = std::ranges::max_element(joint) - joint.begin();
            const auto index = static_cast<std::size_t>(lead);
            test.outcomes.push_back(
                {question.choices[a].says, whole, kind.causes[index].title, joint[index] / whole});
        }
        record.tests.push_back(std::move(test));
    }
    const std::vector<double> errors = errors_expected(vehicles);
    for (const FigureGroup& group : groups) {
        if (group.seen_in(seen.values)) continue;
        DiagnosisTest test = test_of(group, vehicles);
        test.bits = expected_information(probabilities, group, vehicles.rows, errors);
        if (test.bits >= least_bits) record.tests.push_back(std::move(test));
    }
    constexpr double least_minutes = 2.0;  // to ask, and to write the answer down
    std::ranges::stable_sort(record.tests, std::greater<>(), [](const DiagnosisTest& test) {
        return test.bits / (test.minutes + least_minutes);
    });
}

/// Discs of the class in the run of the complaint and in those of other complaints at idle and
/// under changes of load: what another disc would bring, and cost.
void try_discs(const ComplaintKind& kind, const VehiclesAsked& asked, const Knowledge& knowledge,
               const Progress& progress, DiagnosisRecord& record) {
    DiscsAsked discs{.complaint = &kind, .others = {}, .cause = nullptr, .vehicles = asked};
    for (const char* other : {"rattle at idle", "clunk"}) {
        if (const ComplaintKind* one = knowledge.find(other)) discs.others.push_back(one);
    }
    // With a cause outside the disc another one might hide it, or be the way to live with it.
    constexpr double likely = 0.5;
    const DiagnosisCause& first = record.causes.front();
    const auto known = knowledge.causes.find(first.name);
    if (known != knowledge.causes.end() && first.is_simulated && first.probability >= likely &&
        first.seat != "facings" && first.seat != "cover" && first.seat != "release") {
        const bool in_disc = std::ranges::any_of(
            known->second.changes, [](const auto& one) { return one.first.starts_with("disc"); });
        if (!in_disc) discs.cause = &known->second;
    }
    suit_discs(discs, progress, record);
}

/// Progress of a part of the work.
Progress part_of(const Progress& whole, double from, double to) {
    return {.report = [&whole, from, to](double share) { whole.tell(std::lerp(from, to, share)); },
            .stop_requested = whole.stop_requested};
}

}  // namespace

const ComplaintKind* Knowledge::find(const std::string& symptom) const {
    const auto found = std::ranges::find(kinds, symptom, &ComplaintKind::symptom);
    return found != kinds.end() ? &*found : nullptr;
}

std::vector<std::string> Knowledge::symptoms() const {
    std::vector<std::string> out;
    for (const ComplaintKind& kind : kinds) out.push_back(kind.symptom);
    return out;
}

Knowledge read_knowledge(const std::filesystem::path& models) {
    Knowledge out;
    const std::filesystem::path folder = models / "complaints";
    out.questions = read_questions(folder / "questions.toml");
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() == ".toml" && entry.path().filename() != "questions.toml") {
            files.push_back(entry.path());
        }
    }
    std::ranges::sort(files);
    for (const auto& file : files) {
        out.kinds.push_back(read_complaint_kind(file, out.questions));
        for (CandidateCause& candidate : out.kinds.back().causes) {
            if (candidate.cause.empty()) continue;
            auto found = out.causes.find(candidate.cause);
            if (found == out.causes.end()) {
                const auto path = models / "causes" / (candidate.cause + ".toml");
                if (!std::filesystem::exists(path)) {
                    throw InputError(fmt::format("{}: it names the cause {}, but there is no {}",
                                                 file.string(), candidate.cause, path.string()));
                }
                found = out.causes.emplace(candidate.cause, read_cause(path)).first;
            }
            if (candidate.title.empty()) candidate.title = found->second.title;
            if (candidate.seat.empty()) candidate.seat = found->second.seat;
        }
    }
    return out;
}

ComplaintKind applicable(const ComplaintKind& kind, const std::map<std::string, Cause>& causes,
                         const Vehicle& vehicle, std::vector<std::string>& left_out) {
    ComplaintKind out = kind;
    out.causes.clear();
    for (const CandidateCause& candidate : kind.causes) {
        const auto cause = causes.find(candidate.cause);
        std::string lacks;
        if (!candidate.cause.empty() && cause != causes.end()) {
            for (const auto& [key, value] : cause->second.changes) {
                if (key.starts_with("two_mass_flywheel") && !vehicle.two_mass_flywheel) {
                    lacks = "two-mass flywheel";
                }
            }
        }
        const bool never = std::ranges::any_of(candidate.classes, [&](const auto& one) {
            return one.first == vehicle.vehicle_class && !(one.second > 0.0);
        });
        if (!lacks.empty()) {
            left_out.push_back(fmt::format("{}: this vehicle has no {}", candidate.title, lacks));
        } else if (never) {
            left_out.push_back(
                fmt::format("{}: not in a {}", candidate.title, vehicle.vehicle_class));
        } else {
            out.causes.push_back(candidate);
        }
    }
    return out;
}

DiagnosisRecord diagnose(const DiagnosisRequest& request, const Knowledge& knowledge,
                         const Progress& progress) {
    const Complaint& complaint = request.complaint;
    const ComplaintKind* known = knowledge.find(complaint.symptom);
    if (known == nullptr) {
        const std::string near = nearest_word(complaint.symptom, knowledge.symptoms());
        throw InputError(fmt::format("nothing is known of the symptom \"{}\"{}", complaint.symptom,
                                     near.empty() ? "" : "; did you mean " + near + "?"));
    }
    const Vehicle vehicle =
        read_vehicle(vehicle_file(request.vehicles),
                     {.models = request.vehicles.models, .changes = {}, .measures = {}});
    VehiclesAsked asked = request.vehicles;
    asked.vehicle_class = vehicle.vehicle_class;
    asked.cylinders = vehicle.engine.cylinders;
    asked.changes = complaint.changes;
    asked.two_mass_flywheel = vehicle.two_mass_flywheel.has_value();
    for (const auto& [key, value] : complaint.changes) {
        if (key == "two_mass_flywheel") asked.two_mass_flywheel = value != "none";
    }

    DiagnosisRecord record;
    Scenario named;
    named.name = complaint.name;
    named.title = complaint.title;
    named.origin = complaint.origin;
    named.vehicle = vehicle;
    record.identity = identity_of(named, "diagnosis", request.command_line);
    record.title = complaint.title;
    record.origin = complaint.origin;
    record.vehicle = vehicle.title;
    record.vehicle_class = vehicle.vehicle_class;
    record.symptom = complaint.symptom;
    record.words = known->words;
    record.mileage = complaint.mileage;
    record.notes = complaint.notes;
    record.truth = complaint.truth;
    std::vector<SeenFigure> given = request.seen;  // what a person gave comes before a recording
    RecordedFigures recorded = figures_in_recordings(complaint, vehicle);
    given.insert(given.end(), recorded.seen.begin(), recorded.seen.end());
    record.notes_on_data = std::move(recorded.notes);
    for (const auto& [name, choice] : complaint.answers) {
        const Question& question = *knowledge.questions.find(name);
        record.answers.emplace_back(question.asks, choice_of(question, choice)->says);
    }
    const ComplaintKind kind = applicable(*known, knowledge.causes, vehicle, record.left_out);
    if (kind.causes.empty()) throw InputError("no known cause of this complaint fits this vehicle");

    // Tables of benches are read before the long simulation: what is wrong in them is told at once.
    const auto run = run_of_vehicle(kind, asked);
    const double reference = run ? FigureBench(source_of(kind, *run, asked)).reference_torque()
                                 : vehicle.engine.peak_torque.si();
    RecordedFigures bench = figures_of_bench(complaint, vehicle, reference);
    given.insert(given.end(), bench.seen.begin(), bench.seen.end());
    record.notes_on_data.insert(record.notes_on_data.end(), bench.notes.begin(), bench.notes.end());

    const double causes = request.try_discs ? 0.85 : 1.0;  // of the time, about
    const CauseVehicles vehicles =
        simulate_causes(kind, knowledge.causes, asked, part_of(progress, 0.0, causes));
    record.run = vehicles.run;
    record.vehicles = static_cast<int>(vehicles.healthy.rows());
    record.notes_on_data.insert(record.notes_on_data.end(), vehicles.notes.begin(),
                                vehicles.notes.end());
    std::vector<FigureGroup> groups;
    if (!vehicles.measures.empty()) groups = figure_groups(vehicles.rows, vehicles.shown_by);
    const SeenFigures seen = on_scales(given, vehicles);
    const std::vector<RankedCause> ranking = rank_causes(
        kind, knowledge.questions, vehicle.vehicle_class, complaint.answers, groups, seen);
    take_figures(vehicles, given, record);
    take_causes(ranking, kind, request, knowledge, vehicles, record);
    note_strangers(record);
    note_sound(record);
    take_tests(kind, in_order(ranking), request, knowledge, vehicles, groups, seen, record);
    if (request.try_discs && !progress.must_stop()) {
        try_discs(kind, asked, knowledge, part_of(progress, causes, 1.0), record);
    }
    return record;
}

}  // namespace damper
