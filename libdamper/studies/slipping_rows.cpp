// SPDX-License-Identifier: MIT
#include "libdamper/studies/slipping_rows.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_faces.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/studies/slipping_modes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

namespace damper {

namespace {

constexpr double no_swing = 1e-3;  // Hz; slower than that is the turning of the whole line
constexpr double not_felt = 1e-9;  // of what is felt most: rounding
constexpr double same_mode = 0.5;  // likeness (modal assurance) of a mode with and without gradient

/// MAC of two complex shapes with the masses as weights, 0…1.
double likeness(const Eigen::VectorXcd& a, const Eigen::VectorXcd& b, const Eigen::VectorXd& mass) {
    const std::complex<double> product = a.dot(mass.cast<std::complex<double>>().cwiseProduct(b));
    const double own = (a.cwiseAbs2().cwiseProduct(mass)).sum();
    const double other = (b.cwiseAbs2().cwiseProduct(mass)).sum();
    return std::norm(product) / (own * other);
}

SlippingRow row_of(const SlippingMode& mode, const Eigen::VectorXd& mass) {
    SlippingRow row;
    row.frequency = mode.lambda.imag() / (2.0 * std::numbers::pi);
    row.growth = mode.lambda.real();
    row.damping_ratio = -mode.lambda.real() / std::abs(mode.lambda);
    Eigen::Index peak = 0;
    mode.shape.cwiseAbs().maxCoeff(&peak);
    const Eigen::VectorXd energy = mode.shape.cwiseAbs2().cwiseProduct(mass);
    for (Eigen::Index i = 0; i < mode.shape.size(); ++i) {
        const std::complex<double> angle = mode.shape(i) / mode.shape(peak);
        row.shape_real.push_back(angle.real());
        row.shape_imaginary.push_back(angle.imag());
        row.kinetic_share.push_back(energy(i) / energy.sum());
    }
    return row;
}

/// Growth of the like mode without the gradient.
double flat_growth(const SlippingMode& mode, const std::vector<SlippingMode>& flat,
                   const Eigen::VectorXd& mass) {
    double best = same_mode;
    double growth = std::numeric_limits<double>::quiet_NaN();
    for (const SlippingMode& one : flat) {
        const double like = likeness(mode.shape, one.shape, mass);
        if (!(like > best)) continue;
        best = like;
        growth = one.lambda.real();
    }
    return growth;
}

void add_modes(const Assembled& slipping, const SlippingAt& at, SlippingModes& out) {
    const Driveline& line = slipping.line;
    Eigen::VectorXd mass(static_cast<Eigen::Index>(line.masses.size()));
    for (std::size_t i = 0; i < line.masses.size(); ++i) {
        mass(static_cast<Eigen::Index>(i)) = line.masses[i].inertia;
        out.inertias.push_back(line.masses[i].name);
    }
    std::vector<SlippingMode> modes = slipping_modes(slipping, at);
    const std::vector<SlippingMode> flat = slipping_modes(slipping, at, 0.0);
    const std::optional<SlippingMode> judder = judder_mode(modes);
    std::ranges::sort(modes, {}, [](const SlippingMode& one) { return one.lambda.imag(); });
    double most = 0.0;
    for (const SlippingMode& one : modes) most = std::max(most, one.felt);
    for (const SlippingMode& one : modes) {
        if (one.lambda.imag() < 2.0 * std::numbers::pi * no_swing) continue;
        SlippingRow& row = out.modes.emplace_back(row_of(one, mass));
        row.flat_growth = flat_growth(one, flat, mass);
        row.felt = one.felt > not_felt * most ? one.felt / most : 0.0;
        if (judder && judder->lambda == one.lambda) row.name = "judder";
    }
}

}  // namespace

std::vector<SlippingModes> slipping_rows(const Scenario& scenario, const TakeUp& take_up) {
    const Vehicle& vehicle = scenario.vehicle;
    const double held =
        take_up.speed.si() > 0.0 ? take_up.speed.si() : vehicle.engine.idle_speed.si();
    const Assembled slipping =
        assemble_slipping(vehicle, take_up, scenario.conditions, shaft_looked_at * held);
    std::vector<SlippingModes> out;
    for (int i = 1; i <= clamp_steps; ++i) {
        SlippingModes one;
        one.gear = take_up.gear;
        one.clamp_share = static_cast<double>(i) / clamp_steps;
        one.clamp = one.clamp_share * full_clamp_load(vehicle);
        one.slip_speed = slip_looked_at;
        FrictionFaces law =
            slipping.line.faces[static_cast<std::size_t>(slipping.clutch_faces)].law;
        law.load = {{0.0}, {one.clamp}};
        one.torque = limit(law, 0.0, one.slip_speed);
        one.gradient =
            law.friction.line_of(law.friction.piece_of(one.slip_speed), one.slip_speed).slope;
        one.face_damping = slip_damping(law, 0.0, one.slip_speed / law.radius);
        try {
            add_modes(slipping, {.clamp = one.clamp, .slip_speed = one.slip_speed}, one);
        } catch (const ModelError&) {
            continue;  // tyres that cannot carry so much: the driveline never gets there
        }
        out.push_back(std::move(one));
    }
    return out;
}

}  // namespace damper
