// SPDX-License-Identifier: MIT
#include "libdamper/measures/take_up.hpp"

#include "libdamper/measures/face_heat.hpp"
#include "libdamper/measures/turning_order.hpp"
#include "libdamper/signals/judder.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double stands = 1e-6;     // rad/s of slip below which the faces stick
constexpr double on_a_hill = 0.02;  // grade from which a start is one on a hill
constexpr double flux_bin = 0.01;   // s
constexpr double shortest_look =
    0.4;                           // s of slip that judder is looked for in: two periods at 5 Hz
constexpr double smallest = 1e-3;  // m/s² of judder that has a frequency

/// Between the two neighbours of a clamp load.
ClutchFacts::Slipping at_clamp(const std::vector<ClutchFacts::Slipping>& table, double clamp) {
    const auto above = std::ranges::find_if(
        table, [clamp](const ClutchFacts::Slipping& one) { return one.clamp > clamp; });
    if (above == table.begin()) return table.front();
    if (above == table.end()) return table.back();
    const ClutchFacts::Slipping& low = *std::prev(above);
    const double part = (clamp - low.clamp) / (above->clamp - low.clamp);
    return {.clamp = clamp,
            .growth = std::lerp(low.growth, above->growth, part),
            .flat = std::lerp(low.flat, above->flat, part),
            .frequency = std::lerp(low.frequency, above->frequency, part)};
}

}  // namespace

void TakeUpCourse::start() {
    for (std::vector<double>* one :
         {&time_, &acceleration_, &torque_, &slip_, &angle_, &clamp_, &vehicle_, &engine_}) {
        one->clear();
    }
}

void TakeUpCourse::add(const RunSample& sample) {
    time_.push_back(sample.time);
    acceleration_.push_back(sample.vehicle_acceleration);
    torque_.push_back(sample.clutch_torque);
    slip_.push_back(sample.slip_speed);
    angle_.push_back(sample.slip_angle);
    clamp_.push_back(sample.clamp_load);
    vehicle_.push_back(sample.vehicle_speed);
    engine_.push_back(sample.flywheel_speed);
}

/// From the first pressing until the faces stick for good, or to the end.
TakeUpCourse::Window TakeUpCourse::slips() const {
    Window window;
    while (window.first < clamp_.size() && !(clamp_[window.first] > 0.0)) ++window.first;
    window.last = slip_.size();
    while (window.last > window.first && std::abs(slip_[window.last - 1]) <= stands) --window.last;
    return window;
}

void TakeUpCourse::tell_slip(const RunFacts& facts, double step, Measured& measured) const {
    const Window window = slips();
    if (window.size() == 0) {
        measured.notes.emplace_back("The clutch does not begin to close in the run.");
        return;
    }
    double energy = 0.0, power = 0.0, before = 0.0, lowest = engine_[window.first];
    int caught = 0;
    for (std::size_t i = window.first; i < window.last; ++i) {
        const double now = torque_[i] * slip_[i];
        energy += 0.5 * step * (now + (i > window.first ? before : now));
        power = std::max(power, now);
        before = now;
        if (i > window.first && std::abs(slip_[i]) <= stands && std::abs(slip_[i - 1]) > stands) {
            ++caught;
        }
    }
    for (std::size_t i = window.first; i < engine_.size(); ++i) {
        lowest = std::min(lowest, engine_[i]);
    }
    const bool sticks = window.last < slip_.size();
    add_measure(measured, "slip_time", "s", Better::less, step * static_cast<double>(window.size()),
                "Time from the first clamp load until the clutch faces stick for good, or to the "
                "end of the run if they do not.");
    add_measure(measured, "clutch_sticks", "1", Better::more, sticks ? 1.0 : 0.0,
                "1 if the clutch faces stick at the end of the run, 0 if they still slip.");
    add_measure(measured, "slip_energy", "J", Better::less, energy,
                "Heat made by the clutch faces: torque times slip speed, summed over the slip.");
    add_measure(measured, "slip_power_peak", "W", Better::less, power,
                "Largest torque times slip speed of the clutch faces.");
    add_measure(measured, "caught_and_let_go", "1", Better::less, caught,
                "How often the faces stuck and slipped again before they stuck for good.");
    const bool hill = facts.clutch.grade > on_a_hill;
    add_measure(measured, hill ? "slip_energy_hill" : "slip_energy_level", "J/m2", Better::less,
                energy / facts.clutch.face_area,
                "Slip energy over the area of all facings; a grade above 2 % is a hill.");
    add_measure(measured, "engine_dip", "1", Better::more, lowest / facts.idle_speed,
                "Lowest engine speed from the first clamp load on, over its idle speed.");
    tell_heat(facts.clutch, step, energy, measured);
}

/// Estimates: all heat goes into the plates, the faces are those of thick plates, nothing cools.
void TakeUpCourse::tell_heat(const ClutchFacts& clutch, double step, double energy,
                             Measured& measured) const {
    const auto per_bin =
        std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(flux_bin / step)));
    std::vector<double> power;
    for (std::size_t i = 0; i < slip_.size(); i += per_bin) {
        const std::size_t end = std::min(i + per_bin, slip_.size());
        double sum = 0.0;
        for (std::size_t j = i; j < end; ++j) sum += torque_[j] * slip_[j];
        power.push_back(sum / static_cast<double>(per_bin));
    }
    double hottest = 0.0, plate = 0.0;
    for (const ClutchFacts::Plate& one : clutch.plates) {
        std::vector<double> flux = power;
        for (double& q : flux) q *= one.share / one.face_area;
        const std::vector<double> rise =
            surface_rise(flux, step * static_cast<double>(per_bin), one.effusivity);
        const double bulk = one.share * energy / one.capacity;
        plate = std::max(plate, bulk);
        hottest = std::max(hottest, bulk);
        if (!rise.empty()) hottest = std::max(hottest, *std::ranges::max_element(rise));
    }
    if (clutch.plates.empty()) return;
    add_measure(
        measured, "face_temperature", "K", Better::less, clutch.face_temperature + hottest,
        "Estimate of the hottest rubbing face during the slip: temperature at the "
        "beginning and the rise of a thick plate's face, at least that of the whole plate.");
    add_measure(measured, "plate_temperature", "K", Better::less, clutch.face_temperature + plate,
                "Estimate of the hottest plate after the slip, heat spread evenly in it, nothing "
                "cooled.");
}

/// What the linear theory says, at the mean clamp load under which the faces slip on the moving
/// vehicle.
void TakeUpCourse::tell_mode(const RunFacts& facts, Measured& measured) const {
    const ClutchFacts& clutch = facts.clutch;
    add_measure(measured, "friction_gradient", "s/m", Better::more, clutch.friction_gradient,
                "Rise of the friction coefficient with slip speed at small slip, at the "
                "temperature of the faces.");
    const Window window = slips();
    if (window.size() == 0) return;
    if (clutch.slipping.empty()) {
        measured.notes.emplace_back(
            "The slipping driveline has no mode in the judder band: there is no judder margin.");
        return;
    }
    double sum = 0.0, count = 0.0;
    for (std::size_t i = window.first; i < window.last; ++i) {
        if (!(vehicle_[i] > judder_moves) && vehicle_[window.last - 1] > judder_moves) continue;
        sum += clamp_[i];
        count += 1.0;
    }
    const double clamp = sum / count;
    const ClutchFacts::Slipping mode = at_clamp(clutch.slipping, clamp);
    add_measure(measured, "judder_margin", "1", Better::more, mode.growth / mode.flat,
                "Damping of the slipping driveline's judder mode over what it would be if friction "
                "did not change with slip, at the mean clamp load under which the clutch slips on "
                "the moving vehicle: 1 flat, 0 at the edge, below 0 judder grows.");
    add_measure(measured, "judder_mode_growth", "1/s", Better::less, mode.growth,
                "Growth rate of that mode, from the eigenvalue; negative: it dies away.");
    add_measure(measured, "judder_mode_frequency", "Hz", Better::neither, mode.frequency,
                "Frequency of that mode, from the eigenvalue.");
}

void TakeUpCourse::tell_judder(double step, Measured& measured) const {
    Window window = slips();
    while (window.first < window.last && !(vehicle_[window.first] > judder_moves)) ++window.first;
    const auto trim = static_cast<std::size_t>(std::lround(judder_left_out / step));
    if (static_cast<double>(window.size()) * step < shortest_look + judder_left_out) {
        measured.notes.emplace_back(
            "The clutch slips too briefly on the moving vehicle for judder to be looked for.");
        return;
    }
    const std::vector<double> band =
        judder_band(std::span(acceleration_).subspan(window.first, window.size()), step);
    window.first += trim;
    const std::span<const double> seen = std::span(band).subspan(trim);
    double largest = 0.0;
    for (const double a : seen) largest = std::max(largest, std::abs(a));
    add_measure(measured, "judder_acceleration", "m/s2", Better::less, largest,
                "Largest amplitude (0 to peak) of the vehicle's acceleration between 5 and 20 Hz "
                "(Butterworth, both ways) from a tenth of a second after it begins to move until "
                "the clutch sticks.");
    if (seen.size() > 2 * trim) {
        double squares = 0.0;
        for (const double a : seen.first(seen.size() - trim)) squares += a * a;
        add_measure(measured, "judder_rms", "m/s2", Better::less,
                    std::sqrt(squares / static_cast<double>(seen.size() - trim)),
                    "Root mean square of that acceleration, up to a tenth of a second before the "
                    "clutch sticks: it does not hang on the last swing.");
    }
    if (largest > smallest) {
        if (const auto sine = judder_sine(seen, step)) {
            add_measure(measured, "judder_frequency", "Hz", Better::neither, sine->frequency,
                        "Frequency of a damped sine fitted to the judder.");
            add_measure(measured, "judder_growth", "1/s", Better::less, -sine->decay,
                        "Growth rate of that sine; negative: it dies away.");
            add_measure(measured, "judder_decrement", "1", Better::more, sine->log_decrement(),
                        "Logarithm of the ratio of two successive tops; negative: it grows.");
        } else {
            measured.notes.emplace_back(
                "No single growing or dying swing explains the acceleration between 5 and 20 Hz.");
        }
    }
    tell_turning_orders(window, seen, step, measured);
}

void TakeUpCourse::tell_turning_orders(Window judder, std::span<const double> band, double step,
                                       Measured& measured) const {
    const std::span<const double> slip = std::span(slip_).subspan(judder.first, judder.size());
    const auto order =
        turning_order(band, slip, std::span(angle_).subspan(judder.first, judder.size()), step);
    if (order) {
        add_measure(measured, "slip_order_acceleration", "m/s2", Better::less, order->largest,
                    "Largest amplitude of that acceleration which turns with the slip, once per "
                    "revolution of it, over 0.3 s, while that is 5 to 20 per second.");
        add_measure(measured, "slip_order_share", "1", Better::neither, order->share,
                    "Share of the squares of the acceleration between 5 and 20 Hz which turns with "
                    "the slip, while that is 5 to 20 revolutions per second.");
        add_measure(measured, "slip_order_frequency", "Hz", Better::neither, order->frequency,
                    "Revolutions of slip per second where that amplitude is largest.");
    }
    std::vector<double> shaft(slip.size()), turned(slip.size());
    for (std::size_t i = 0; i < slip.size(); ++i) {
        shaft[i] = engine_[judder.first + i] - slip[i];
        if (i > 0) turned[i] = turned[i - 1] + 0.5 * step * (shaft[i - 1] + shaft[i]);
    }
    if (const auto with_shaft = turning_order(band, shaft, turned, step)) {
        add_measure(measured, "shaft_order_acceleration", "m/s2", Better::less, with_shaft->largest,
                    "Largest amplitude of that acceleration which turns with the gearbox input "
                    "shaft, over 0.3 s, while the shaft turns 5 to 20 times per second.");
        add_measure(measured, "shaft_order_share", "1", Better::neither, with_shaft->share,
                    "Share of the squares of the acceleration between 5 and 20 Hz which turns with "
                    "the gearbox input shaft, while that turns 5 to 20 times per second.");
    }
}

void TakeUpCourse::tell(const RunFacts& facts, double step, Measured& measured) const {
    if (time_.size() < 2) return;
    tell_slip(facts, step, measured);
    tell_mode(facts, measured);
    tell_judder(step, measured);
}

}  // namespace damper
