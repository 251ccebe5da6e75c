// SPDX-License-Identifier: MIT
#include "libdamper/studies/slipping_modes.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_faces.hpp"
#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/driveline/linearise.hpp"
#include "libdamper/driveline/row_vector.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"
#include "libdamper/signals/judder.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr double lowest = 0.6 * judder_low, highest = 1.25 * judder_high;  // Hz

/// Torque of its faces in the place of the faces, on a line that turns.
Driveline pulled_by_faces(const Assembled& slipping, const SlippingAt& at) {
    Driveline line = slipping.line;
    const std::vector<FaceBranch> faces = std::move(line.faces);
    line.faces.clear();
    for (std::size_t f = 0; f < faces.size(); ++f) {
        FrictionFaces law = faces[f].law;
        const bool is_clutch = static_cast<int>(f) == slipping.clutch_faces;
        if (is_clutch) law.load = {{0.0}, {at.clamp}};
        const double speed = is_clutch ? at.slip_speed : 0.0;
        for (const RowEntry& entry : faces[f].row) {
            line.inputs.push_back(
                {.name = faces[f].name,
                 .inertia = entry.inertia,
                 .source = ConstantTorque{-entry.factor * limit(law, 0.0, speed)}});
        }
        if (!is_clutch) continue;
        // What holds the engine's speed meanwhile.
        line.inputs.push_back({.name = "engine torque",
                               .inertia = slipping.engine,
                               .source = ConstantTorque{limit(law, 0.0, speed)}});
    }
    return line;
}

}  // namespace

std::vector<SlippingMode> slipping_modes(const Assembled& slipping, const SlippingAt& at,
                                         double face_damping) {
    using Complex = std::complex<double>;
    const Driveline line = pulled_by_faces(slipping, at);
    const SteadyState steady = steady_state(line);
    const Linearised linear = linearise(line, steady.state, Friction::slips);
    const Eigen::Index n = linear.mass.size();
    const Eigen::VectorXd row =
        row_vector(slipping.line.faces[static_cast<std::size_t>(slipping.clutch_faces)].row, n);
    // In y = √M·θ the matrices are symmetric, which keeps the digits of slow modes beside stiff
    // teeth.
    const Eigen::VectorXd root = linear.mass.cwiseSqrt().cwiseInverse();
    const Eigen::MatrixXd k = root.asDiagonal() * linear.stiffness * root.asDiagonal();
    const Eigen::MatrixXd c =
        root.asDiagonal() * Eigen::MatrixXd(linear.damping + face_damping * row * row.transpose()) *
        root.asDiagonal();
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(2 * n, 2 * n);
    // The scale of time makes both halves alike.
    const double scale = std::sqrt(std::max(k.cwiseAbs().maxCoeff(), 1.0));
    a.topRightCorner(n, n) = scale * Eigen::MatrixXd::Identity(n, n);
    a.bottomLeftCorner(n, n) = -k / scale;
    a.bottomRightCorner(n, n) = -c;
    const EigenPairs pairs = eigen_pairs(a);
    const Eigen::VectorXd pull = root.cwiseProduct(row);
    std::vector<SlippingMode> out;
    for (Eigen::Index i = 0; i < 2 * n; ++i) {
        SlippingMode mode;
        mode.lambda = pairs.values(i);
        if (!(mode.lambda.imag() > 0.0)) continue;
        const Eigen::VectorXcd y = pairs.vectors.col(i).head(n).normalized();
        mode.shape = root.cast<Complex>().cwiseProduct(y);
        if (slipping.vehicle >= 0) {
            // With D = yᵀ·(2λ + c)·y, not conjugated, the residue of the acceleration is
            // λ²·y_vehicle·(g·y)/D.
            const Complex d = 2.0 * mode.lambda * (y.transpose() * y)(0) +
                              (y.transpose() * c.cast<Complex>() * y)(0);
            const Complex moved =
                mode.shape(slipping.vehicle) * (pull.cast<Complex>().transpose() * y)(0);
            mode.felt = std::abs(mode.lambda * moved / d);
        }
        out.push_back(std::move(mode));
    }
    std::ranges::sort(out, [](const SlippingMode& x, const SlippingMode& y) {
        return x.lambda.real() > y.lambda.real();
    });
    return out;
}

std::vector<SlippingMode> slipping_modes(const Assembled& slipping, const SlippingAt& at) {
    FrictionFaces law = slipping.line.faces[static_cast<std::size_t>(slipping.clutch_faces)].law;
    law.load = {{0.0}, {at.clamp}};
    return slipping_modes(slipping, at, slip_damping(law, 0.0, at.slip_speed / law.radius));
}

std::optional<SlippingMode> judder_mode(const std::vector<SlippingMode>& modes) {
    std::optional<SlippingMode> most;
    for (const SlippingMode& one : modes) {
        const double frequency = one.lambda.imag() / (2.0 * std::numbers::pi);
        if (!(frequency > lowest && frequency < highest)) continue;
        if (!most || one.felt > most->felt) most = one;
    }
    return most;
}

ClutchFacts clutch_facts(const Scenario& scenario, const TakeUp& take_up,
                         const Assembled& assembled) {
    const Vehicle& vehicle = scenario.vehicle;
    const ClutchModel model = clutch_model(vehicle);
    const HeatModel heat = heat_model(vehicle);
    const FrictionFaces& law =
        assembled.line.faces[static_cast<std::size_t>(assembled.clutch_faces)].law;
    const double held =
        assembled.line.masses[static_cast<std::size_t>(assembled.engine)].reference_speed;
    ClutchFacts facts;
    facts.starts = take_up.start.si();
    facts.grade = scenario.conditions.grade.si();
    facts.held_speed = held;
    facts.full_clamp = full_clamp_load(vehicle);
    facts.capacity = law.stiction * law.lever * law.friction(0.0) * facts.full_clamp;
    facts.face_area = model.faces * facing_area(model.outer_diameter, model.inner_diameter);
    facts.face_temperature = take_up.face_temperature.si();
    facts.uneven_slip = vehicle.facing->slip_modulation.si();
    facts.uneven_shaft = vehicle.facing->shaft_modulation.si();
    facts.uneven_engine = vehicle.facing->engine_modulation.si();
    facts.friction_gradient =
        law.friction.line_of(law.friction.piece_of(slip_looked_at), slip_looked_at).slope;
    for (Eigen::Index i = 0; i < heat.capacity.size(); ++i) {
        facts.plates.push_back({.name = heat.plates[static_cast<std::size_t>(i)],
                                .capacity = heat.capacity(i),
                                .share = heat.share(i),
                                .face_area = heat.face_area(i),
                                .effusivity = heat.effusivity(i)});
    }
    const Assembled slipping =
        assemble_slipping(vehicle, take_up, scenario.conditions, shaft_looked_at * held);
    for (int i = 1; i <= clamp_steps; ++i) {
        const SlippingAt at{.clamp = facts.full_clamp * i / clamp_steps,
                            .slip_speed = slip_looked_at};
        std::optional<SlippingMode> mode, flat;
        try {
            mode = judder_mode(slipping_modes(slipping, at));
            flat = judder_mode(slipping_modes(slipping, at, 0.0));
        } catch (const ModelError&) {
            continue;  // tyres that cannot carry so much: the driveline never gets there
        }
        if (!mode || !flat) continue;
        facts.slipping.push_back({.clamp = at.clamp,
                                  .growth = mode->lambda.real(),
                                  .flat = flat->lambda.real(),
                                  .frequency = mode->lambda.imag() / (2.0 * std::numbers::pi)});
    }
    return facts;
}

}  // namespace damper
