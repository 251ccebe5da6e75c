// SPDX-License-Identifier: MIT
#include "libdamper/studies/heat_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/starter.hpp"
#include "libdamper/verdict/clutch_verdict.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <optional>

namespace damper {

namespace {

using Eigen::VectorXd;

constexpr int most_counted = 1000;  // starts; then it has settled

HeatStart single_start(const Starter& starter, const std::string& name, double grade) {
    HeatStart one;
    one.name = name;
    one.grade = grade;
    one.load_torque = starter.behind().load(grade);
    one.clutch_torque = starter.torque_wanted(grade);
    const StartHeat heat = heat_of(starter.start(one.clutch_torque, grade));
    if (!heat.sticks || heat.input_speed <= 0.0) {
        throw InputError(fmt::format(
            "on a grade of {:.3g} % the clutch would have to carry more than {:.0f} N m to move "
            "the "
            "vehicle in gear {}; it carries {:.0f} N m\n    To mend: a lower gear, a larger "
            "--torque, a smaller --grade, or a lighter vehicle.",
            100.0 * grade, one.load_torque, starter.gear(), one.clutch_torque));
    }
    const double area = starter.facing_area();
    one.slip_time = heat.slip_time;
    one.energy = heat.energy;
    one.first_power = heat.first_power;
    one.specific_energy = heat.energy / area;
    one.specific_power = heat.first_power / area;
    one.speed = heat.input_speed * starter.behind().radius;
    const HeatNetwork& network = starter.network();
    const VectorXd cold = VectorXd::Zero(network.size());
    one.face_rise = starter.hottest_face(heat, cold).rise;
    const VectorXd flow = starter.heat().share * heat.first_power;
    one.bulk_rise = network.after(cold, heat.slip_time, flow, cold).maxCoeff();
    one.one_mass_rise = heat.energy / starter.heat().capacity.sum();
    return one;
}

/// Hill starts in a row. State: degrees of the plates above the surroundings.
class Row {
  public:
    Row(const Starter& starter, const HeatSettings& settings)
        : starter_(starter),
          settings_(settings),
          lumped_(VectorXd::Constant(1, starter.heat().capacity.sum()),
                  VectorXd::Constant(1, starter.heat().to_air.sum()), Eigen::MatrixXd::Zero(1, 1)),
          theta_(VectorXd::Zero(starter.network().size())),
          one_(VectorXd::Zero(1)) {}

    /// The next start, with what the heat has left of the friction; nothing if it cannot be.
    std::optional<HeatStep> next(std::string& why_not) {
        HeatStep step;
        step.number = ++number_;
        step.time = (number_ - 1) * settings_.interval;
        step.before = temperatures(theta_);
        step.capacity = starter_.capacity(settings_.surroundings + theta_.maxCoeff());
        step.clutch_torque = std::min(starter_.torque_wanted(settings_.grade), step.capacity);
        heat_ = heat_of(starter_.start(step.clutch_torque, settings_.grade));
        if (!heat_.sticks || heat_.input_speed <= 0.0 || heat_.slip_time >= settings_.interval) {
            why_not = fmt::format(
                "Start {} could not be finished: at {:.0f} °C the faces hold {:.0f} N m, and the "
                "hill alone takes {:.0f} N m.",
                number_, settings_.surroundings + theta_.maxCoeff() - 273.15, step.capacity,
                starter_.behind().load(settings_.grade));
            return std::nullopt;
        }
        step.energy = heat_.energy;
        step.slip_time = heat_.slip_time;
        step.face_temperature = starter_.hottest_face(heat_, theta_).temperature;
        begin_ = theta_;
        flow_ = starter_.heat().share * heat_.first_power;
        const VectorXd none = VectorXd::Zero(theta_.size());
        const HeatNetwork& network = starter_.network();
        lost_ = network.heat_lost(theta_, heat_.slip_time, flow_, none);
        theta_ = network.after(theta_, heat_.slip_time, flow_, none);
        one_ = lumped_.after(one_, heat_.slip_time, VectorXd::Constant(1, heat_.first_power),
                             VectorXd::Zero(1));
        step.after = temperatures(theta_);
        step.one_mass = settings_.surroundings + one_(0);
        return step;
    }

    /// Cools until the next start is due.
    void wait() {
        const double pause = settings_.interval - heat_.slip_time;
        const VectorXd none = VectorXd::Zero(theta_.size());
        lost_ += starter_.network().heat_lost(theta_, pause, none, none);
        theta_ = starter_.network().cooled(theta_, pause);
        one_ = lumped_.cooled(one_, pause);
    }

    /// Temperatures some time into the present start, or after it.
    [[nodiscard]] std::vector<double> at(double time) const {
        const double slip = heat_.slip_time;
        const HeatNetwork& network = starter_.network();
        const VectorXd none = VectorXd::Zero(theta_.size());
        if (time < slip) {
            return temperatures(network.after(begin_, time, flow_, flow_ * (1.0 - time / slip)));
        }
        return temperatures(network.cooled(network.after(begin_, slip, flow_, none), time - slip));
    }

    [[nodiscard]] const VectorXd& theta() const { return theta_; }
    [[nodiscard]] double lost() const { return lost_; }
    [[nodiscard]] double slip_time() const { return heat_.slip_time; }

  private:
    [[nodiscard]] std::vector<double> temperatures(const VectorXd& theta) const {
        std::vector<double> all;
        for (const double one : theta) all.push_back(settings_.surroundings + one);
        return all;
    }

    const Starter& starter_;
    const HeatSettings& settings_;
    HeatNetwork lumped_;
    VectorXd theta_, one_, begin_, flow_;
    StartHeat heat_;
    int number_ = 0;
    double lost_ = 0.0;  ///< To the air since the present start began [J].
};

void add_steps(HeatRecord& record, const Starter& starter, const HeatSettings& settings) {
    constexpr int points_in_slip = 8;
    constexpr int points_in_pause = 24;
    Row row(starter, settings);
    const auto note = [&](double start, double into) {
        record.history.time.push_back(start + into);
        record.history.temperature.push_back(row.at(into));
    };
    while (static_cast<int>(record.steps.size()) < settings.starts) {
        auto step = row.next(record.ended);
        if (!step) break;
        record.energy_in += step->energy;
        for (int n = 0; n < points_in_slip; ++n) {
            note(step->time, step->slip_time * n / points_in_slip);
        }
        const bool last = static_cast<int>(record.steps.size()) + 1 == settings.starts;
        const double end = last ? step->slip_time : settings.interval;
        for (int n = 0; n < points_in_pause && !last; ++n) {
            note(step->time, step->slip_time + (end - step->slip_time) * n / points_in_pause);
        }
        record.steps.push_back(std::move(*step));
        if (!last) row.wait();
        record.energy_lost += row.lost();
    }
    record.energy_stored = starter.network().stored(row.theta());

    // How long until every plate has cooled down: the sum of decays falls in the end.
    const HeatNetwork& network = starter.network();
    const double cool = settings.cool - settings.surroundings;
    const auto hot = [&](double time) {
        return network.cooled(row.theta(), time).maxCoeff() > cool;
    };
    if (!(cool > 0.0) || !std::isfinite(network.slowest())) {
        record.time_to_cool = std::numeric_limits<double>::infinity();
    } else {
        double high = 0.1 * network.slowest();
        while (hot(high)) high *= 2.0;
        double low = 0.0;
        for (int n = 0; n < 60 && hot(0.0); ++n) {
            const double middle = 0.5 * (low + high);
            (hot(middle) ? low : high) = middle;
        }
        record.time_to_cool = hot(0.0) ? high : 0.0;
    }
    if (record.steps.empty()) return;
    const double begin = record.steps.back().time + record.steps.back().slip_time;
    const double longest = std::isfinite(record.time_to_cool)
                               ? std::max(1.2 * record.time_to_cool, settings.interval)
                               : 10.0 * settings.interval;
    constexpr int points_in_cooling = 80;
    for (int n = 0; n <= points_in_cooling && record.ended.empty(); ++n) {
        const double into = longest * n / points_in_cooling;
        record.history.time.push_back(begin + into);
        std::vector<double> all;
        for (const double one : network.cooled(row.theta(), into)) {
            all.push_back(settings.surroundings + one);
        }
        record.history.temperature.push_back(std::move(all));
    }
}

/// How many starts until a plate is hotter than the limit, and what they settle to.
void count_starts(HeatRecord& record, const Starter& starter, const HeatSettings& settings) {
    Row row(starter, settings);
    std::string why_not;
    double last = 0.0;
    record.settled = std::numeric_limits<double>::quiet_NaN();
    for (int n = 1; n <= most_counted; ++n) {
        const auto step = row.next(why_not);
        if (!step) {
            record.starts_to_fade = n;
            record.settled = std::numeric_limits<double>::quiet_NaN();
            return;
        }
        const double hottest = *std::max_element(step->after.begin(), step->after.end());
        if (hottest > settings.limit) {
            record.starts_to_limit = n;
            return;
        }
        record.settled = hottest;
        if (n > 1 && std::abs(hottest - last) < 1e-6) return;
        last = hottest;
        row.wait();
    }
}

std::vector<MeasureValue> figures_of(const HeatRecord& record, const Starter& starter,
                                     const HeatSettings& settings) {
    std::vector<MeasureValue> figures;
    const auto add = [&](std::string name, std::string units, Better better, double value,
                         std::string what) {
        figures.push_back({std::move(name), std::move(units), std::move(what), better, value});
    };
    add("slip_energy_level", "J/m2", Better::less, record.starts.front().specific_energy,
        "heat of one start on the level over the area of all facings");
    add("slip_energy_hill", "J/m2", Better::less, record.starts.back().specific_energy,
        "heat of the first start on the hill over the area of all facings");
    double plate = settings.surroundings;
    double face = settings.surroundings;
    for (const HeatStep& step : record.steps) {
        for (const double one : step.after) plate = std::max(plate, one);
        face = std::max(face, step.face_temperature);
    }
    add("plate_temperature", "K", Better::less, plate,
        "hottest plate in its bulk when the clutch sticks, of all starts");
    add("face_temperature", "K", Better::less, face,
        "hottest face: bulk before the start and the largest rise of a thick plate's surface");
    add("capacity_factor_after_starts", "1", Better::more,
        starter.capacity(plate) / starter.peak_torque(),
        "torque that the clutch holds at that bulk temperature, over the engine's peak torque");
    add("starts", "1", Better::neither, static_cast<double>(record.steps.size()),
        "starts in a row");
    add("starts_to_limit", "1", Better::neither, record.starts_to_limit,
        "starts until a plate is above the limit; 0: never");
    add("settled_temperature", "K", Better::neither, record.settled,
        "hottest plate after endless starts, if the limit is not reached");
    add("limit_temperature", "K", Better::neither, settings.limit,
        "limit that starts are counted to");
    add("starts_to_fade", "1", Better::neither, record.starts_to_fade,
        "the start that the clutch can no longer finish; 0: none before the limit");
    add("cool_temperature", "K", Better::neither, settings.cool, "temperature to cool to");
    add("time_to_cool", "s", Better::neither, record.time_to_cool,
        "from the end of the last start until all plates are below the temperature to cool to");
    return figures;
}

}  // namespace

HeatRecord study_heat(const Scenario& scenario, const HeatSettings& settings) {
    const Starter starter(scenario.vehicle, settings);
    HeatRecord record;
    record.identity = identity_of(scenario, "heat of starts", settings.command_line);
    record.gear = starter.gear();
    record.engine_speed = starter.engine_speed();
    record.engine_inertia = starter.engine_inertia();
    record.vehicle_inertia = starter.behind().inertia;
    record.interval = settings.interval;
    record.surroundings = settings.surroundings;
    record.limit = settings.limit;
    record.cool = settings.cool;
    record.plates = starter.heat().plates;
    for (const double share : starter.heat().share) record.slip_share.push_back(share);
    record.facing_area = starter.facing_area();
    record.starts.push_back(single_start(starter, "level", 0.0));
    record.starts.push_back(single_start(starter, "hill", settings.grade));
    if (record.starts.back().slip_time >= settings.interval) {
        throw InputError(fmt::format(
            "--interval: found {:.3g} s, expected more than the slip of one start, {:.3g} s",
            settings.interval, record.starts.back().slip_time));
    }
    add_steps(record, starter, settings);
    count_starts(record, starter, settings);
    record.figures = figures_of(record, starter, settings);
    record.verdict = judge_heat(record.identity.vehicle_class, record.figures, record.ended);
    return record;
}

}  // namespace damper
