// SPDX-License-Identifier: MIT
#include "libdamper/studies/operating_point.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/disc.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double slowest = 200.0 * rpm;  // ranges of the same keys of a manoeuvre
constexpr double fastest = 10000.0 * rpm;
constexpr double lowest_torque = -5000.0;   // N m
constexpr double highest_torque = 10000.0;  // N m
constexpr double idle_to_drive = 3.0;       // common practice, no source
constexpr double share_of_peak = 0.5;       // common practice, no source

std::string gear_asked(const Scenario& scenario, const std::string& gear) {
    if (gear.empty()) {
        const TorqueChange* change = torque_change_of(scenario.manoeuvre);
        return change == nullptr ? std::string(neutral) : change->gear;
    }
    const std::vector<std::string> known = gears_of(scenario);
    if (std::find(known.begin(), known.end(), gear) != known.end()) return gear;
    const std::string near = nearest_word(gear, known);
    throw InputError(fmt::format("no gear \"{}\"; expected one of {}{}", gear,
                                 fmt::join(known, ", "),
                                 near.empty() ? "" : fmt::format("; did you mean {}?", near)));
}

void check_values(const OperatingSettings& settings) {
    if (settings.speed && !(*settings.speed >= slowest && *settings.speed <= fastest)) {
        throw InputError(fmt::format("an engine speed of {:.4g} rpm; expected 200 rpm to 10000 rpm",
                                     *settings.speed / rpm));
    }
    if (settings.torque &&
        !(*settings.torque >= lowest_torque && *settings.torque <= highest_torque)) {
        throw InputError(
            fmt::format("an engine torque of {:.4g} N m; expected -5000 N m to "
                        "10000 N m",
                        *settings.torque));
    }
}

Assembled in_neutral(const Scenario& scenario, const OperatingSettings& settings) {
    const auto* given = std::get_if<Idle>(&scenario.manoeuvre);
    Idle idle;
    if (given != nullptr) idle = *given;  // else the pedal is up: anything but "down"
    if (settings.speed) idle.speed = AngularSpeed::from_si(*settings.speed);
    return assemble_idle(scenario.vehicle, idle, scenario.conditions);
}

Assembled in_gear(const Scenario& scenario, const std::string& gear,
                  const OperatingSettings& settings) {
    const Engine& engine = scenario.vehicle.engine;
    const TorqueChange* given = torque_change_of(scenario.manoeuvre);
    TorqueChange change = given != nullptr ? *given : TorqueChange{};
    if (given == nullptr) {
        change.speed = AngularSpeed::from_si(idle_to_drive * engine.idle_speed.si());
        change.to = Torque::from_si(share_of_peak * engine.peak_torque.si());
    }
    change.gear = gear;
    if (settings.speed) change.speed = AngularSpeed::from_si(*settings.speed);
    if (settings.torque) change.to = Torque::from_si(*settings.torque);
    change.from = change.to;
    return assemble_in_gear(scenario.vehicle, change, scenario.conditions);
}

/// The driveline with the mean of its engine torque alone: a linear analysis is made about a
/// uniform motion, not about one instant of an engine cycle.
Driveline with_mean_torque(const Assembled& assembled, const std::optional<double>& asked,
                           double& torque) {
    Driveline line = assembled.line;
    torque = 0.0;
    for (Input& input : line.inputs) {
        if (input.inertia != assembled.engine) continue;
        double mean = 0.0;
        if (const auto* crank = std::get_if<CrankTorque>(&input.source)) mean = crank->mean;
        if (const auto* ramp = std::get_if<TorqueRamp>(&input.source)) mean = ramp->from;
        input.source = ConstantTorque{asked.value_or(mean)};
        torque += asked.value_or(mean);
    }
    return line;
}

bool is_disc(const Branch& branch) {
    return branch.kind == "disc";
}

/// Torque in the middle of a stage, on the side of `torque`.
double middle_of(const Disc& disc, int stage, double torque) {
    const std::vector<StageCorners> corners = stage_corners(disc);
    const StageCorners& s = corners[static_cast<std::size_t>(stage - 1)];
    return torque < 0.0 ? -0.5 * (s.coast_start_torque + s.coast_end_torque)
                        : 0.5 * (s.drive_start_torque + s.drive_end_torque);
}

void check_stage(const Disc& disc, int stage) {
    const auto count = static_cast<int>(disc.stages.size());
    if (stage >= 0 && stage <= count) return;
    std::vector<std::string> names;
    for (int i = 0; i < count; ++i) {
        names.push_back(
            fmt::format("{} ({})", i + 1, disc.stages[static_cast<std::size_t>(i)].name));
    }
    throw InputError(fmt::format("the disc has no stage {}; expected {}", stage,
                                 fmt::join(names, count == 2 ? " or " : ", ")));
}

/// Puts the disc, and nothing else, where it carries `torque`.
void put_disc_at(double torque, const Driveline& line, State& state) {
    std::size_t part = 0;
    for (const Branch& branch : line.branches) {
        if (is_disc(branch)) settle(branch, torque, state, part);
        for (const Cell& cell : branch.chain) part += cell.parts.size();
    }
}

/// Which stage moves: its springs are off their seats and off their stops.
void find_stage(OperatingPoint& point, const Disc& disc) {
    std::size_t part = 0;
    bool all_stopped = true;
    int stage = 0;
    const std::vector<StageCorners> corners = stage_corners(disc);
    std::vector<std::pair<std::size_t, const Part*>> springs;
    for (const Branch& branch : point.assembled.line.branches) {
        std::vector<std::pair<std::size_t, const Part*>> here;
        for (const Cell& cell : branch.chain) {
            for (const Part& p : cell.parts) {
                if (is_disc(branch) && p.law.kind == "spring") here.emplace_back(part, &p);
                ++part;
            }
        }
        // Stages in series stand outer ones first.
        springs.insert(springs.begin(), here.begin(), here.end());
    }
    for (const auto& [at, spring] : springs) {
        const auto mode = static_cast<std::size_t>(point.state.mode[at]);
        const std::string& label = spring->law.modes[mode].label;
        const bool moves = label == "drive side" || label == "coast side";
        ++stage;
        if (moves && point.stage == 0) point.stage = stage;
        all_stopped = all_stopped && label.ends_with("stop");
    }
    if (point.stage > 0) {
        point.stage_name = disc.stages[static_cast<std::size_t>(point.stage - 1)].name;
    } else {
        point.stage_name = all_stopped ? "stop" : "between stages";
    }
}

/// Branches of the disc in series share the torque.
double stiffness_of_disc(const OperatingPoint& point) {
    double compliance = 0.0;
    for (std::size_t b = 0; b < point.assembled.line.branches.size(); ++b) {
        if (is_disc(point.assembled.line.branches[b])) {
            compliance += 1.0 / point.linear.elements[b].stiffness;
        }
    }
    return 1.0 / compliance;
}

OperatingPoint find_point(const Scenario& scenario, std::string gear,
                          const OperatingSettings& settings) {
    OperatingPoint point;
    point.assembled =
        gear == neutral ? in_neutral(scenario, settings) : in_gear(scenario, gear, settings);
    point.gear = std::move(gear);
    point.friction = settings.friction;
    const Driveline line = with_mean_torque(point.assembled, settings.torque, point.torque);
    SteadyState steady = steady_state(line);
    point.state = std::move(steady.state);
    point.disc_torque = steady.torque[static_cast<std::size_t>(point.assembled.disc_to_input)];
    if (settings.stage > 0) {
        point.disc_torque = middle_of(scenario.vehicle.disc, settings.stage, point.disc_torque);
        put_disc_at(point.disc_torque, line, point.state);
        point.stage_asked = true;
    }
    if (point.assembled.flywheel >= 0) {
        point.flywheel_torque = steady.torque[static_cast<std::size_t>(point.assembled.flywheel)];
    }
    const auto engine = static_cast<std::size_t>(point.assembled.engine);
    point.speed = line.masses[engine].reference_speed;
    find_stage(point, scenario.vehicle.disc);
    point.linear = linearise(line, point.state, point.friction);
    point.disc_stiffness = stiffness_of_disc(point);
    return point;
}

}  // namespace

std::vector<std::string> gears_of(const Scenario& scenario) {
    std::vector<std::string> gears = {neutral};
    for (const GearPair& gear : scenario.vehicle.gearbox.gears) gears.push_back(gear.name);
    return gears;
}

OperatingPoint operating_point(const Scenario& scenario, const OperatingSettings& settings) {
    std::string gear = gear_asked(scenario, settings.gear);
    check_values(settings);
    check_stage(scenario.vehicle.disc, settings.stage);
    const std::string where = gear == neutral ? gear : fmt::format("gear {}", gear);
    try {
        return find_point(scenario, std::move(gear), settings);
    } catch (const ModelError& error) {
        throw InputError(
            fmt::format("in {} there is no steady state to look at: {}. To mend: less "
                        "torque, another gear, or parts that can carry it",
                        where, error.what()));
    }
}

}  // namespace damper
