// SPDX-License-Identifier: MIT
#include "libdamper/studies/frequency_response.hpp"

#include "libdamper/assemble/engine.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"
#include "libdamper/numerics/resonances.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/solvers/response/equivalent.hpp"
#include "libdamper/solvers/response/transfer.hpp"
#include "libdamper/studies/disc_in_stage.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/response_place.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <memory>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double points_a_decade = 200.0;
constexpr double same = 1e-9;           // frequencies nearer than that share are one
constexpr double agreed = 1e-6;         // swing answered and swing assumed
constexpr double least_damping = 1e-4;  // of a mode, for the points about it

/// The driveline at a frequency [Hz], ready to be asked.
using At = std::function<const Transfer&(double frequency)>;

At always(const Linearised& linear) {
    auto transfer = std::make_shared<Transfer>(linear);
    return [transfer](double frequency) -> const Transfer& {
        transfer->set(turn * frequency);
        return *transfer;
    };
}

/// What turns the torque of the swing into the swing of the disc.
struct Swinging {
    std::shared_ptr<EquivalentLine> line;
    Eigen::VectorXcd torque;

    /// The largest swing that is held.
    [[nodiscard]] EquivalentSwing largest(double frequency) const {
        return line->swings(turn * frequency, torque).back();
    }
};

At at_largest_swing(const Swinging& swinging) {
    auto now = std::make_shared<std::unique_ptr<Transfer>>();
    return [swinging, now](double frequency) -> const Transfer& {
        *now = std::make_unique<Transfer>(swinging.line->with(swinging.largest(frequency)));
        (*now)->set(turn * frequency);
        return **now;
    };
}

/// 1 N m on an inertia; a torque of the engine leans on the power unit.
Eigen::VectorXcd unit_torque(const Assembled& assembled, std::size_t inertia, bool of_engine) {
    const auto n = static_cast<Eigen::Index>(assembled.line.masses.size());
    Eigen::VectorXcd torque = Eigen::VectorXcd::Unit(n, static_cast<Eigen::Index>(inertia));
    if (of_engine && assembled.power_unit >= 0)
        torque(assembled.power_unit) -= assembled.torque_share;
    return torque;
}

std::complex<double> answer(const Transfer& transfer, const Eigen::VectorXcd& from,
                            const NamedPlace& to) {
    std::complex<double> sum = 0.0;
    for (const Pickup& pickup : to.pickups) sum += transfer.between(from, pickup);
    return sum;
}

/// Speed of the gearbox input over that of the flywheel, both under a torque of the engine.
double isolation(const Transfer& transfer, const Assembled& assembled) {
    const auto engine = static_cast<std::size_t>(assembled.engine);
    const auto input = static_cast<std::size_t>(assembled.input_shaft);
    const Eigen::VectorXcd torque = unit_torque(assembled, engine, true);
    return std::abs(transfer.between(torque, {Observed::angle, input}) /
                    transfer.between(torque, {Observed::angle, engine}));
}

void check_band(const ResponseSettings& settings) {
    if (settings.low >= 0.01 && settings.low <= 5000.0 && settings.high > settings.low &&
        settings.high >= 0.02 && settings.high <= 10000.0) {
        return;
    }
    throw InputError(fmt::format(
        "a band from {} Hz to {} Hz; expected the lower end first, from 0.01 Hz to 10000 Hz",
        settings.low, settings.high));
}

/// Even steps in the logarithm, and points on the flanks of each mode, so that none is missed.
std::vector<double> frequencies(const ResponseSettings& settings,
                                const std::vector<const Linearised*>& lines) {
    std::vector<double> f;
    const double decades = std::log10(settings.high / settings.low);
    const int steps = std::max(20, static_cast<int>(std::ceil(points_a_decade * decades)));
    for (int i = 0; i <= steps; ++i) {
        f.push_back(settings.low * std::pow(10.0, decades * i / steps));
    }
    f.back() = settings.high;
    for (const Linearised* line : lines) {
        for (const DampedMode& mode : damped_modes(line->mass, line->damping, line->stiffness)) {
            const double at = mode.damped_frequency / turn;
            const double wide = std::max(mode.damping_ratio, least_damping);
            for (const double share : {-4.0, -2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0, 4.0}) {
                const double here = at * (1.0 + share * wide);
                if (here > settings.low && here < settings.high) f.push_back(here);
            }
        }
    }
    std::sort(f.begin(), f.end());
    f.erase(std::unique(f.begin(), f.end(), [](double a, double b) { return b - a <= same * b; }),
            f.end());
    return f;
}

ResponseCurve curve_of(const At& at, const Eigen::VectorXcd& from, const NamedPlace& to,
                       const std::vector<double>& frequency) {
    ResponseCurve curve{.name = to.name,
                        .label = to.label,
                        .units = to.units,
                        .magnitude = {},
                        .phase = {},
                        .tops = {}};
    for (const double f : frequency) {
        const std::complex<double> h = answer(at(f), from, to);
        curve.magnitude.push_back(std::abs(h));
        curve.phase.push_back(std::arg(h));
    }
    const auto magnitude = [&](double f) { return std::abs(answer(at(f), from, to)); };
    for (const Resonance& top : resonances(magnitude, frequency)) {
        curve.tops.push_back(
            {.frequency = top.frequency, .peak = top.peak, .damping = top.damping});
    }
    return curve;
}

std::vector<double> isolation_over(const Linearised& linear, const Assembled& assembled,
                                   const std::vector<double>& frequency) {
    const At at = always(linear);
    std::vector<double> out;
    for (const double f : frequency) out.push_back(isolation(at(f), assembled));
    return out;
}

/// Amplitude of the engine's torque at an order; nothing if its cylinders cannot make the torque.
std::optional<double> torque_at_order(const Scenario& scenario, const OperatingPoint& point,
                                      double order) {
    const auto* idle = std::get_if<Idle>(&scenario.manoeuvre);
    const double consumers = idle != nullptr && point.gear == neutral ? idle->consumers.si() : 0.0;
    try {
        const CrankTorque torque =
            crank_torque(scenario.vehicle.engine, point.speed, point.torque, consumers);
        for (const CrankHarmonic& h : torque.harmonics) {
            if (std::abs(h.order - order) < 1e-9) return std::hypot(h.cosine, h.sine);
        }
        return 0.0;
    } catch (const ModelError&) {
        return {};
    }
}

EquivalentRow row_of(const Swinging& swinging, const Assembled& assembled, double frequency) {
    const std::vector<EquivalentSwing> swings =
        swinging.line->swings(turn * frequency, swinging.torque);
    const auto isolates = [&](const EquivalentSwing& swing) {
        Transfer transfer(swinging.line->with(swing));
        transfer.set(turn * frequency);
        return isolation(transfer, assembled);
    };
    const EquivalentSwing& largest = swings.back();
    EquivalentRow row{.frequency = frequency,
                      .twist = largest.amplitude,
                      .mean_twist = largest.mean_twist,
                      .stiffness = largest.stiffness,
                      .damping = largest.damping,
                      .isolation = isolates(largest),
                      .mismatch = largest.mismatch};
    if (swings.size() > 1 && !swings.front().passing) {
        row.smaller_twist = swings.front().amplitude;
        row.smaller_isolation = isolates(swings.front());
    }
    return row;
}

/// Stretches in which there are two swings, and swings that did not agree.
void remark_on(const std::vector<EquivalentRow>& rows, std::vector<std::string>& remarks) {
    double worst = 0.0;
    std::string stretches;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        worst = std::max(worst, rows[i].mismatch);
        if (rows[i].smaller_twist == 0.0 || (i > 0 && rows[i - 1].smaller_twist > 0.0)) continue;
        std::size_t end = i;
        while (end + 1 < rows.size() && rows[end + 1].smaller_twist > 0.0) ++end;
        stretches += fmt::format("{}from {:.4g} Hz to {:.4g} Hz", stretches.empty() ? "" : ", ",
                                 rows[i].frequency, rows[end].frequency);
    }
    if (!stretches.empty()) {
        remarks.push_back(stretches +
                          " there are two swings that hold, a small and a large one; which of "
                          "them comes depends on the way there, and it jumps from one to the "
                          "other. Curves show the large one");
    }
    if (worst > agreed) {
        remarks.push_back(
            fmt::format("the swing that is met did not settle everywhere: the worst difference "
                        "between the swing assumed and answered is {:.2g} of it",
                        worst));
    }
}

/// One response as it comes together.
class Study {
  public:
    Study(const Scenario& scenario, const ResponseSettings& settings)
        : scenario_(scenario), settings_(settings), point_(operating_point(scenario, slipping())) {
        from_ =
            unit_torque(point_.assembled,
                        static_cast<std::size_t>(inertia_called(point_.assembled, settings.from)),
                        settings.from == "engine torque");
    }

    std::optional<ResponseRecord> run(const Progress& progress) {
        tell_point();
        tell_model();
        const std::vector<NamedPlace> places = places_asked();
        choose_friction();
        const Linearised sticks = linearise(point_.assembled.line, point_.state, Friction::sticks);
        const std::vector<DiscInStage> stages = disc_in_stages(scenario_.vehicle.disc, point_);
        std::vector<const Linearised*> lines = {&point_.linear, &sticks};
        for (const DiscInStage& stage : stages) {
            lines.push_back(&stage.slips);
            lines.push_back(&stage.sticks);
        }
        out_.frequency = frequencies(settings_, lines);
        if (!tell_equivalent(progress)) return {};
        const At at = out_.friction == "equivalent" ? at_largest_swing(*swinging_)
                      : out_.friction == "sticks"   ? always(sticks)
                                                    : always(point_.linear);
        for (const NamedPlace& place : places) {
            out_.curves.push_back(curve_of(at, from_, place, out_.frequency));
        }
        for (const DiscInStage& stage : stages) tell_stage(stage);
        return std::move(out_);
    }

  private:
    [[nodiscard]] OperatingSettings slipping() const {
        OperatingSettings settings = settings_.point;
        settings.friction = Friction::slips;
        return settings;
    }

    void tell_point() {
        out_.identity = identity_of(scenario_, "response", settings_.command_line);
        out_.gear = point_.gear;
        out_.speed = point_.speed;
        out_.torque = point_.torque;
        out_.disc_torque = point_.disc_torque;
        out_.stage = point_.stage_name;
        out_.disc_stiffness = point_.disc_stiffness;
        out_.firing_order = 0.5 * scenario_.vehicle.engine.cylinders;
        out_.firing_frequency = out_.firing_order * point_.speed / turn;
        out_.from =
            settings_.from == "engine torque" ? settings_.from : "torque on " + settings_.from;
        out_.identity.conditions = {
            {"gear", point_.gear},
            {"engine speed", write_quantity(AngularSpeed::from_si(point_.speed))},
            {"engine torque", write_quantity(Torque::from_si(point_.torque))},
            {"gearbox oil", write_quantity(scenario_.conditions.gearbox_oil)}};
        const auto torque = torque_at_order(scenario_, point_, out_.firing_order);
        if (!torque) {
            out_.remarks.emplace_back(
                "the cylinders cannot make this torque at this speed: the engine's swing is not "
                "known");
        }
        out_.firing_torque = torque.value_or(0.0);
        out_.swing = settings_.swing.value_or(out_.firing_torque);
    }

    void tell_model() {
        for (const RotatingMass& mass : point_.assembled.line.masses) {
            out_.inertias.push_back({mass.name, mass.inertia});
        }
        for (const LinearElement& element : point_.linear.elements) {
            const auto row = static_cast<int>(out_.elements.size());
            out_.elements.push_back({element.name, element.stiffness, element.damping});
            for (Eigen::Index i = 0; i < element.row.size(); ++i) {
                if (element.row(i) != 0.0) {
                    out_.rows.push_back({row, static_cast<int>(i), element.row(i)});
                }
            }
        }
    }

    [[nodiscard]] std::vector<NamedPlace> places_asked() const {
        std::vector<std::pair<std::string, std::string>> asked;
        for (const std::string& name : settings_.to) asked.emplace_back(name, settings_.quantity);
        if (asked.empty()) {
            asked = {{"flywheel", settings_.quantity}, {"gearbox input", settings_.quantity}};
            if (settings_.quantity == "torque") asked = {{"disc", "torque"}};
            if (settings_.quantity == "torque" && single_disc(point_) < 0) {
                asked = {{"disc first stage", "torque"}};
            }
            if (!point_.assembled.drive_shafts.empty())
                asked.emplace_back("drive shafts", "torque");
        }
        std::vector<NamedPlace> places;
        for (const auto& [name, quantity] : asked) {
            NamedPlace place = place_called(point_.assembled, name, quantity);
            const bool twice = std::any_of(places.begin(), places.end(), [&](const auto& other) {
                return other.name == place.name;
            });
            if (!twice) places.push_back(std::move(place));
        }
        return places;
    }

    /// Whether, and why not, the disc can be told at the swing it meets.
    [[nodiscard]] std::string no_equivalent() const {
        if (swinging_element(point_) < 0) {
            return "the disc has an inertia between its stages (assembly = \"series\"), and the "
                   "swing is followed in one element only";
        }
        if (!(out_.swing > 0.0)) return "the swing of the torque is not known; --swing tells it";
        if (!point_.assembled.clutch_closed) return "the clutch is open";
        return {};
    }

    void choose_friction() {
        const std::string why_not = no_equivalent();
        out_.friction = settings_.friction;
        if (out_.friction.empty()) out_.friction = why_not.empty() ? "equivalent" : "slips";
        if (out_.friction == "equivalent" && !why_not.empty()) {
            throw InputError(
                fmt::format("friction \"equivalent\" cannot be told here: {}. "
                            "Expected \"slips\" or \"sticks\"",
                            why_not));
        }
        if (!why_not.empty()) {
            out_.remarks.push_back("the disc at the swing it meets is left out: " + why_not);
            return;
        }
        const auto element = static_cast<std::size_t>(swinging_element(point_));
        const bool in_flywheel = point_.assembled.flywheel >= 0;
        if (in_flywheel) {
            out_.swinging = "two-mass flywheel";
            out_.remarks.emplace_back(
                "the swing is followed in the two-mass flywheel: twist, stiffness and damping at "
                "the swing it meets are the flywheel's; the friction of the disc slips");
        }
        swinging_.emplace();
        swinging_->line = std::make_shared<EquivalentLine>(
            point_.linear, point_.assembled.line.branches[element], element,
            in_flywheel ? point_.flywheel_torque : point_.disc_torque);
        swinging_->torque = out_.swing * from_;
    }

    /// False if it was asked to stop.
    [[nodiscard]] bool tell_equivalent(const Progress& progress) {
        if (!swinging_) return true;
        for (std::size_t i = 0; i < out_.frequency.size(); ++i) {
            if (progress.stop_requested && progress.stop_requested()) return false;
            out_.equivalent.push_back(row_of(*swinging_, point_.assembled, out_.frequency[i]));
            if (progress.report) {
                progress.report(static_cast<double>(i) /
                                static_cast<double>(out_.frequency.size()));
            }
        }
        out_.at_firing = row_of(*swinging_, point_.assembled, out_.firing_frequency);
        remark_on(out_.equivalent, out_.remarks);
        return true;
    }

    void tell_stage(const DiscInStage& stage) {
        StageIsolation told = stage.told;
        told.slips = isolation_over(stage.slips, point_.assembled, out_.frequency);
        told.sticks = isolation_over(stage.sticks, point_.assembled, out_.frequency);
        told.slips_firing = isolation(always(stage.slips)(out_.firing_frequency), point_.assembled);
        told.sticks_firing =
            isolation(always(stage.sticks)(out_.firing_frequency), point_.assembled);
        out_.stages.push_back(std::move(told));
    }

    const Scenario& scenario_;
    const ResponseSettings& settings_;
    OperatingPoint point_;
    Eigen::VectorXcd from_;
    std::optional<Swinging> swinging_;
    ResponseRecord out_;
};

}  // namespace

std::optional<ResponseRecord> frequency_response(const Scenario& scenario,
                                                 const ResponseSettings& settings,
                                                 const Progress& progress) {
    check_band(settings);
    if (settings.swing && !(*settings.swing > 0.0 && *settings.swing <= 1e5)) {
        throw InputError(fmt::format("a swing of {} N m; expected more than 0, up to 100000 N m",
                                     *settings.swing));
    }
    return Study(scenario, settings).run(progress);
}

}  // namespace damper
