// SPDX-License-Identifier: MIT
#include "libdamper/studies/find_modes.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/parts/top_speed.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/solvers/modes/natural_modes.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/mode_names.hpp"
#include "libdamper/studies/slipping_rows.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double hertz = 0.5 / std::numbers::pi;  // from rad/s
constexpr std::size_t influences_told = 5;
constexpr double firing_multiples = 3.0;

std::vector<EngineOrder> orders_of(double firing) {
    std::vector<EngineOrder> orders;
    for (const double order : {0.5, 1.0}) {
        if (order < firing) orders.push_back({order, fmt::format("{:g}", order)});
    }
    for (double times = 1.0; times <= firing_multiples; times += 1.0) {
        orders.push_back(
            {times * firing, times == 1.0 ? "firing" : fmt::format("{:g} × firing", times)});
    }
    return orders;
}

std::vector<double> list_of(const Eigen::VectorXd& values) {
    return {values.data(), values.data() + values.size()};
}

void add_damped(ModeRow& row, const NaturalMode& mode, std::size_t elements) {
    const std::size_t n = row.shape.size();
    row.shape_real.assign(n, 0.0);
    row.shape_imaginary.assign(n, 0.0);
    row.damping_share.assign(elements, 0.0);
    if (!mode.damped) return;
    const DampedCounterpart& damped = *mode.damped;
    row.damped_frequency = hertz * damped.lambda.imag();
    row.damping_ratio = damped.damping_ratio();
    row.likeness = damped.likeness;
    row.damping_share = list_of(damped.damping_share);
    Eigen::Index peak = 0;
    damped.shape.cwiseAbs().maxCoeff(&peak);
    for (std::size_t i = 0; i < n; ++i) {
        const std::complex<double> angle =
            damped.shape(static_cast<Eigen::Index>(i)) / damped.shape(peak);
        row.shape_real[i] = angle.real();
        row.shape_imaginary[i] = angle.imag();
    }
}

ModeRow row_of(const NaturalMode& mode) {
    ModeRow row;
    row.frequency = hertz * mode.frequency;
    row.gap = mode.gap;
    row.repeated = mode.repeated;
    Eigen::Index peak = 0;
    mode.shape.cwiseAbs().maxCoeff(&peak);
    const double largest = mode.shape(peak);
    row.modal_inertia = 1.0 / (largest * largest);
    row.shape = list_of(mode.shape / largest);
    row.kinetic_share = list_of(mode.kinetic_share);
    row.strain_share = list_of(mode.strain_share);
    row.change_by_inertia = list_of(hertz * mode.by_inertia);
    row.change_by_stiffness = list_of(hertz * mode.by_stiffness);
    add_damped(row, mode, row.strain_share.size());
    return row;
}

GearModes gear_modes(const OperatingPoint& point) {
    GearModes out;
    out.gear = point.gear;
    out.engine_speed = point.speed;
    out.engine_torque = point.torque;
    out.disc_torque = point.disc_torque;
    out.disc_stiffness = point.disc_stiffness;
    out.disc_stage = point.stage_name;
    out.stage_asked = point.stage_asked;
    const Driveline& line = point.assembled.line;
    for (const RotatingMass& mass : line.masses) {
        out.inertias.push_back({mass.name, mass.inertia, mass.reference_speed / point.speed});
    }
    if (point.assembled.vehicle >= 0) {
        const auto vehicle = static_cast<std::size_t>(point.assembled.vehicle);
        out.ratio = point.speed / line.masses[vehicle].reference_speed;
    }
    for (const LinearElement& element : point.linear.elements) {
        out.elements.push_back(
            {element.name, element.stiffness, element.damping, list_of(element.row)});
    }
    const NaturalModes modes = natural_modes(point.linear);
    out.rigid_bodies = modes.rigid_bodies;
    for (const NaturalMode& mode : modes.modes) out.modes.push_back(row_of(mode));
    for (std::size_t m = 0; m < out.modes.size(); ++m) {
        out.modes[m].name = mode_name(out, m);
        out.influences.push_back(influences_on(out, m, influences_told));
    }
    return out;
}

RunIdentity identity_for(const Scenario& scenario, const ModesSettings& settings) {
    RunIdentity identity = identity_of(scenario, "modes", settings.command_line);
    identity.conditions = {{"gearbox oil", write_quantity(scenario.conditions.gearbox_oil)},
                           {"gearbox oil grade", scenario.vehicle.gearbox.oil.title}};
    return identity;
}

}  // namespace

ModesRecord find_modes(const Scenario& scenario, const ModesSettings& settings) {
    ModesRecord record;
    record.identity = identity_for(scenario, settings);
    record.friction = settings.point.friction == Friction::sticks ? "sticks" : "slips";
    record.lowest_speed = scenario.vehicle.engine.idle_speed.si();
    record.highest_speed = settings.highest_speed.value_or(top_speed_of(scenario.vehicle).si());
    if (!(record.highest_speed > record.lowest_speed)) {
        throw InputError(fmt::format(
            "the engine's usable range would end at {:.4g} rpm, below its idle speed of {:.4g} rpm",
            record.highest_speed / rpm, record.lowest_speed / rpm));
    }
    record.firing_order = 0.5 * scenario.vehicle.engine.cylinders;
    record.orders = orders_of(record.firing_order);
    const std::vector<std::string> gears =
        settings.gears.empty() ? gears_of(scenario) : settings.gears;
    for (const std::string& gear : gears) {
        OperatingSettings point = settings.point;
        point.gear = gear;
        // Standing, a torque asked for the gears would only race the engine.
        if (gears.size() > 1 && gear == neutral) {
            point.torque.reset();
            point.speed.reset();
        }
        record.gears.push_back(gear_modes(operating_point(scenario, point)));
    }
    const auto* take_up = std::get_if<TakeUp>(&scenario.manoeuvre);
    if (take_up != nullptr && std::ranges::find(gears, take_up->gear) != gears.end()) {
        record.slipping = slipping_rows(scenario, *take_up);
    }
    return record;
}

}  // namespace damper
