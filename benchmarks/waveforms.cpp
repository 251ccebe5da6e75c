// SPDX-License-Identifier: MIT
// waveforms [SYMPTOM] [VEHICLES]: figures that recordings of a complaint's run give, against the
// measures of that run, for the sound vehicle and for each cause; how far they are apart in
// standard deviations of the measurement as the complaint's file states it.
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include "tests/support/workshop_waveforms.hpp"

#include <chrono>
#include <cstdlib>
#include <fmt/format.h>
#include <map>

using namespace damper;
using namespace damper::testing;

namespace {

struct Apart {
    std::vector<double> off;  ///< In standard deviations
    int both = 0, run_only = 0, recording_only = 0;
    double worst = 0.0, seen = 0.0, measured = 0.0;
    std::string where;
};

const MeasureValue* find(const RunRecord& run, const std::string& name) {
    const auto found = std::ranges::find(run.measures, name, &MeasureValue::name);
    return found != run.measures.end() ? &*found : nullptr;
}

}  // namespace

int main(int argc, char** argv) {
    const std::string only = argc > 1 ? argv[1] : "";
    const int vehicles = argc > 2 ? std::atoi(argv[2]) : 1;
    const bool every = argc > 3;
    const std::filesystem::path models = std::filesystem::path(DAMPER_SOURCE_DIR) / "models";
    const Knowledge knowledge = read_knowledge(models);
    const std::map<std::string, std::string> of_class{{"car", "car_petrol"},
                                                      {"light van", "van_diesel"},
                                                      {"medium truck", "medium_truck"},
                                                      {"heavy truck", "heavy_truck"}};
    for (const ComplaintKind& kind : knowledge.kinds) {
        if (!only.empty() && kind.symptom != only) continue;
        for (const ComplaintRun& run : kind.runs) {
            if (run.scenario.empty()) continue;
            const auto began = std::chrono::steady_clock::now();
            VehiclesAsked asked;
            asked.models = models;
            asked.scenarios = models.parent_path() / "scenarios";
            asked.vehicle = of_class.at(run.vehicle_class);
            const bool mounts = std::ranges::find(kind.causes, "torque_rod_torn",
                                                  &CandidateCause::cause) != kind.causes.end();
            if (mounts && asked.vehicle == "car_petrol") asked.vehicle = "car_on_mounts";
            const Vehicle plain = take_vehicle({}, asked);
            std::vector<std::string> left_out;
            const ComplaintKind mine = applicable(kind, knowledge.causes, plain, left_out);
            std::map<std::string, Apart> apart;
            int runs = 0;
            std::vector<const CandidateCause*> causes{nullptr};
            for (const CandidateCause& one : mine.causes) {
                if (!one.cause.empty()) causes.push_back(&one);
            }
            for (const CandidateCause* cause : causes) {
                for (int v = 0; v < vehicles; ++v) {
                    const auto number = static_cast<std::uint64_t>(v);
                    const Cause* model =
                        cause != nullptr ? &knowledge.causes.at(cause->cause) : nullptr;
                    Vehicle vehicle;
                    RunRecord record;
                    try {
                        record = run_of_complaint(
                            run, asked, changes_of_vehicle(mine, cause, model, asked, number), 5.5,
                            vehicle);
                    } catch (const std::exception& refused) {
                        fmt::print("  {}: {}\n", cause != nullptr ? cause->name() : "sound",
                                   std::string(refused.what()).substr(0, 100));
                        continue;
                    }
                    ++runs;
                    const Waveforms waves =
                        waveforms_of(record, kind.symptom, vehicle, 17 * number + 3);
                    const RecordedFigures seen =
                        figures_in(waves.recordings, waves.request, kind.symptom,
                                   vehicle.engine.idle_speed.si());
                    if (every) {
                        for (const std::string& text : seen.notes) fmt::print("    {}\n", text);
                    }
                    std::vector<ComplaintFigure> figures = kind.figures;
                    if (waves.request.manoeuvre == RecordedManoeuvre::take_up) {
                        figures.push_back(figures.front());
                        figures.back().measure = "judder_rms";
                        figures.back().floor = "0.02 m/s2";
                    }
                    for (const ComplaintFigure& figure : figures) {
                        if (figure.shown_by != "run") continue;
                        Apart& one = apart[figure.measure];
                        const MeasureValue* measured = find(record, figure.measure);
                        const auto found =
                            std::ranges::find(seen.seen, figure.measure, &SeenFigure::measure);
                        const bool there = found != seen.seen.end();
                        if (measured == nullptr || !there) {
                            one.run_only += measured != nullptr ? 1 : 0;
                            one.recording_only += there ? 1 : 0;
                            continue;
                        }
                        ++one.both;
                        const auto floor = read_in_units(figure.floor, measured->units);
                        const double sigma = std::hypot(figure.error.si() * measured->value,
                                                        std::get<double>(floor));
                        const double off = (found->value - measured->value) / sigma;
                        one.off.push_back(off);
                        if (every) {
                            fmt::print(
                                "    {:<34} {:<32} run {:>10.4g} recording {:>10.4g} off "
                                "{:.2f}\n",
                                cause != nullptr ? cause->name() : "sound", figure.measure,
                                measured->value, found->value, off);
                        }
                        if (std::abs(off) > std::abs(one.worst)) {
                            one.worst = off;
                            one.seen = found->value;
                            one.measured = measured->value;
                            one.where = cause != nullptr ? cause->name() : "sound";
                        }
                    }
                }
            }
            const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
            fmt::print("{} / {} ({} runs, {:.2f} s each)\n", kind.symptom, run.vehicle_class, runs,
                       took.count() / std::max(1, runs));
            for (const auto& [measure, one] : apart) {
                double mean = 0.0, squares = 0.0;
                for (const double off : one.off) {
                    mean += off / static_cast<double>(one.off.size());
                }
                for (const double off : one.off) squares += (off - mean) * (off - mean);
                fmt::print(
                    "  {:<40} {:>3} both {:>3} run only; bias {:>6.2f} scatter {:>6.2f} "
                    "worst {:>7.2f} ({}: run {:.4g}, recording {:.4g})\n",
                    measure, one.both, one.run_only, mean,
                    std::sqrt(squares / std::max<double>(1.0, static_cast<double>(one.both))),
                    one.worst, one.where, one.measured, one.seen);
            }
            std::fflush(stdout);
        }
    }
    return 0;
}
