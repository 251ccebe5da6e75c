// SPDX-License-Identifier: MIT
#include "libdamper/studies/fit_study.hpp"

#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

// Of the built-in car: a bench that turns slowly sees no inertia and no viscous damping.
constexpr double usual_facing_inertia = 0.0042, usual_hub_inertia = 0.0009;  // [kg m2]

const char* word(Known known) {
    return known == Known::measured ? "measured" : known == Known::none ? "none" : "open";
}

const char* word(Standing standing) {
    switch (standing) {
        case Standing::within:
            return "within";
        case Standing::edge:
            return "edge";
        case Standing::outside:
            return "outside";
        case Standing::open:
            break;
    }
    return "open";
}

FitFigure figure(std::string key, const char* name, int stage, const char* units,
                 const Estimate& estimate) {
    FitFigure out;
    out.key = std::move(key);
    out.name = name;
    out.stage = stage;
    out.units = units;
    out.value = estimate.value;
    out.low = estimate.low;
    out.high = estimate.high;
    out.known = word(estimate.known);
    return out;
}

std::vector<FitFigure> figures_of(const DiscFit& fit) {
    std::vector<FitFigure> out;
    for (std::size_t s = 0; s < fit.stages.size(); ++s) {
        const FittedStage& stage = fit.stages[s];
        const int number = static_cast<int>(s) + 1;
        const auto add = [&](const char* field, const char* name, const char* units,
                             const Estimate& estimate) {
            out.push_back(
                figure(fmt::format("stages[{}].{}", s, field), name, number, units, estimate));
        };
        add("stiffness", "drive stiffness", "N.m/rad", stage.drive_stiffness);
        add("coast_stiffness", "coast stiffness", "N.m/rad", stage.coast_stiffness);
        add("drive_end", "drive end", "rad", stage.drive_end);
        add("coast_end", "coast end", "rad", stage.coast_end);
        add("travel", "from coast to drive end", "rad", stage.travel);
        add("hysteresis", "hysteresis", "N.m", stage.hysteresis);
        add("preload", "preload", "N.m", stage.preload);
    }
    out.push_back(figure("stop_stiffness", "stop stiffness", 0, "N.m/rad", fit.stop_stiffness));
    out.push_back(figure("friction_grip", "grip of friction", 0, "1", fit.friction_grip));
    out.push_back(figure("spline_play", "play", 0, "rad", fit.spline_play));
    return out;
}

void take_comparison(const DiscComparison& comparison, FitRecord& record) {
    record.within = comparison.within;
    record.findings = comparison.findings;
    for (const Deviation& one : comparison.deviations) {
        const auto found = std::ranges::find(record.figures, one.key, &FitFigure::key);
        if (found == record.figures.end()) continue;
        found->nominal = one.nominal;
        found->tolerance = one.tolerance;
        found->relative = one.relative;
        found->standing = word(one.standing);
        if (one.standing == Standing::open) continue;
        found->deviation = one.deviation;
        found->error = one.error;
    }
}

FitRun run_of(const FittedRun& run) {
    FitRun out{.name = run.name,
               .loops = run.loops,
               .samples = static_cast<int>(run.samples),
               .groups = static_cast<int>(run.groups),
               .left_out = static_cast<int>(run.left_out),
               .torque_noise = run.torque_noise,
               .twist_noise = run.twist_noise,
               .torque_zero = run.torque_zero,
               .drift = run.drift,
               .misfit = run.misfit,
               .twist = run.twist,
               .torque = run.torque,
               .law = run.law,
               .rising = {}};
    for (const char rising : run.rising) out.rising.push_back(rising);
    return out;
}

/// The fitted disc with all that a description needs, and remarks on what is not measured.
Disc complete(const DiscFit& fit, const std::optional<Disc>& nominal, const FitSettings& settings,
              std::vector<std::string>& remarks) {
    Disc disc = disc_of(fit.shape);
    disc.title = settings.title;
    const bool alike = nominal && nominal->stages.size() == disc.stages.size();
    for (std::size_t s = 0; s < disc.stages.size(); ++s) {
        disc.stages[s].name = alike ? nominal->stages[s].name : fmt::format("{}", s + 1);
        if (alike) disc.stages[s].springs = nominal->stages[s].springs;
    }
    if (nominal) {
        disc.assembly = alike ? nominal->assembly : "lumped";
        disc.flywheel = alike ? nominal->flywheel : "any";
        disc.facing_inertia = nominal->facing_inertia;
        disc.flange_inertia = nominal->flange_inertia;
        disc.hub_inertia = nominal->hub_inertia;
        disc.damping = nominal->damping;
        remarks.push_back(
            fmt::format("Inertias and viscous damping are not seen on a slow bench: "
                        "they are those of \"{}\".",
                        nominal->title));
    } else {
        disc.facing_inertia = Inertia::from_si(usual_facing_inertia);
        disc.hub_inertia = Inertia::from_si(usual_hub_inertia);
        remarks.emplace_back(
            "Inertias are not seen on a slow bench: those in the file are invented, typical of a "
            "car; "
            "give --nominal DISC to take them from there. Viscous damping is left at zero.");
    }
    disc.origin = fmt::format("fitted to the loops of a bench: {}", settings.name);
    return disc;
}

}  // namespace

FitOutcome fit_bench(const std::vector<BenchTable>& tables, const std::optional<Disc>& nominal,
                     const FitSettings& settings) {
    std::vector<BenchRun> runs;
    Scenario nothing;
    nothing.title = settings.title;
    nothing.name = settings.name;
    nothing.origin = "measured on a bench";
    for (const BenchTable& table : tables) {
        runs.push_back(table.run);
        nothing.inputs.emplace_back(table.run.name, table.sha256);
    }
    const DiscFit fit = fit_disc(runs, settings.options);
    FitOutcome out;
    FitRecord& record = out.record;
    record.identity = identity_of(nothing, "bench", settings.command_line);
    record.name = settings.name;
    record.stages = static_cast<int>(fit.stages.size());
    record.zero_twist = fit.zero_twist;
    record.figures = figures_of(fit);
    for (const FittedRun& run : fit.runs) record.runs.push_back(run_of(run));
    for (const TriedDisc& one : fit.tried) {
        record.tried.push_back({one.stages, one.reach.drive, one.reach.coast, one.extras.play,
                                one.extras.first_preload, one.sum_of_squares, one.unknowns,
                                one.criterion});
    }
    record.notes = fit.notes;
    out.disc = complete(fit, nominal, settings, out.remarks);
    record.notes.insert(record.notes.end(), out.remarks.begin(), out.remarks.end());
    record.loop = quasi_static_loop(out.disc);
    if (nominal) {
        record.nominal = nominal->title;
        record.identity.disc = nominal->title;
        record.nominal_loop = quasi_static_loop(*nominal);
        take_comparison(compare_disc(fit, *nominal, settings.tolerances), record);
    }
    return out;
}

}  // namespace damper
