// SPDX-License-Identifier: MIT
#include "tests/peers/idle_car.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <string>
#include <vector>

using namespace damper;
using namespace damper::peers;

namespace {

constexpr double tight = 1e-11;

Scenario shipped(const std::string& name) {
    const std::filesystem::path source = DAMPER_SOURCE_DIR;
    return read_scenario(source / "scenarios" / (name + ".toml"),
                         {.models = source / "models", .changes = {}});
}

struct InputSpeed : Sink {
    explicit InputSpeed(const Assembled& a)
        : mass(static_cast<std::size_t>(a.input_shaft)),
          mean(a.line.masses[mass].reference_speed) {}
    void sample(const Instant& instant) override { values.push_back(mean + instant.speed[mass]); }
    std::size_t mass;
    double mean;
    std::vector<double> values;
};

struct General {
    std::vector<double> input_speed;
    std::vector<Impact> impacts;
};

General general(const Scenario& scenario, double end, double step, double tolerance) {
    const Assembled assembled = assemble(scenario);
    InputSpeed sink(assembled);
    EventCollector events(assembled.line, &sink);
    const TimeOutcome out =
        solve_general(assembled.line, steady_state(assembled.line).state,
                      {.end = end, .sample_step = step, .tolerance = tolerance}, &events);
    REQUIRE(out.report.complete);
    return {.input_speed = std::move(sink.values), .impacts = events.take().impacts};
}

/// Largest difference over the largest swing of the reference about its mean speed.
double difference(const IdleCar& car, const std::vector<double>& a, const std::vector<double>& b) {
    // Whether the end falls on a sample is a matter of rounding.
    const std::size_t count = std::min(a.size(), b.size());
    REQUIRE(std::max(a.size(), b.size()) - count <= 1);
    double worst = 0.0;
    double swing = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        worst = std::max(worst, std::abs(a[i] - b[i]));
        swing = std::max(swing, std::abs(b[i] - car.speed));
    }
    REQUIRE(swing > 0.1);  // rad/s: the shaft does swing
    return worst / swing;
}

const char* name_of(Formulas formulas) {
    return formulas == Formulas::bdf ? "BDF" : "Adams";
}

const std::vector<std::string> scenarios = {"car_idle_hot", "car_idle_cold",
                                            "car_idle_no_idle_stage", "car_idle_firm_idle_stage",
                                            "heavy_truck_idle_hot"};

}  // namespace

TEST_CASE("the reference starts from the same rest as the steady state") {
    for (const std::string& name : scenarios) {
        CAPTURE(name);
        const Scenario scenario = shipped(name);
        const Assembled assembled = assemble(scenario);
        const State start = steady_state(assembled.line).state;
        const Stacked stacked(assembled.line);
        const Course course = integrate(idle_car(scenario), Formulas::bdf, 1e-6, 1e-6, 1e-6);
        REQUIRE(course.start.size() == assembled.loose_gears.size() + 1);
        const auto twist = [&](int branch) {
            return stacked.twist(static_cast<std::size_t>(branch), 0.0, start.angle);
        };
        CHECK(twist(assembled.disc_to_input) == doctest::Approx(course.start[0]).epsilon(1e-12));
        for (std::size_t i = 0; i < assembled.loose_gears.size(); ++i) {
            CHECK(twist(assembled.loose_gears[i].branch) ==
                  doctest::Approx(course.start[i + 1]).epsilon(1e-12));
        }
    }
}

TEST_CASE("input shaft speed agrees with an independent model to 1e-6 over 5 ms") {
    for (const std::string& name : scenarios) {
        const Scenario scenario = shipped(name);
        const IdleCar car = idle_car(scenario);
        const General ours = general(scenario, 5e-3, 5e-5, tight);
        for (const Formulas formulas : {Formulas::bdf, Formulas::adams}) {
            const Course theirs = integrate(car, formulas, 5e-3, 5e-5, tight);
            const double d = difference(car, ours.input_speed, theirs.input_speed);
            MESSAGE(fmt::format("{:<26} {:<6} {:.2e}", name, name_of(formulas), d));
            CHECK(d < 1e-6);
        }
    }
}

TEST_CASE("an explicit method on the independent equations agrees with ours to 1e-6 over 20 ms") {
    for (const std::string& name : scenarios) {
        const Scenario scenario = shipped(name);
        const IdleCar car = idle_car(scenario);
        const General ours = general(scenario, 20e-3, 5e-5, tight);
        const Course theirs = integrate_explicitly(car, 20e-3, 5e-5, tight);
        const double d = difference(car, ours.input_speed, theirs.input_speed);
        MESSAGE(fmt::format("{:<26} {:.2e}", name, d));
        CHECK(d < 1e-6);
        CHECK(ours.impacts.size() == theirs.touches.size());
    }
}

TEST_CASE("input shaft speed agrees with an independent model to 1e-4 over 50 ms") {
    for (const std::string name : {"car_idle_hot", "car_idle_cold", "car_idle_firm_idle_stage"}) {
        const Scenario scenario = shipped(name);
        const IdleCar car = idle_car(scenario);
        const General ours = general(scenario, 50e-3, 1e-4, tight);
        for (const Formulas formulas : {Formulas::bdf, Formulas::adams}) {
            const Course theirs = integrate(car, formulas, 50e-3, 1e-4, tight);
            const double d = difference(car, ours.input_speed, theirs.input_speed);
            MESSAGE(fmt::format("{:<26} {:<6} {:.2e}   {} impacts, {} switches", name,
                                name_of(formulas), d, theirs.touches.size(), theirs.restarts));
            CHECK(d < 1e-4);
            CHECK(ours.impacts.size() == theirs.touches.size());
        }
    }
}

// Without an idle stage every impact multiplies what was different before it: after some fifty of
// them no two integrations are alike. What can be asked is that ours lies among the reference's.
TEST_CASE("where impacts make the course sensitive, ours strays no more than the reference does") {
    const Scenario scenario = shipped("car_idle_no_idle_stage");
    const IdleCar car = idle_car(scenario);
    for (const double end : {30e-3, 40e-3}) {
        const General ours = general(scenario, end, 1e-4, tight);
        const Course bdf = integrate(car, Formulas::bdf, end, 1e-4, tight);
        const Course adams = integrate(car, Formulas::adams, end, 1e-4, tight);
        const double from_bdf = difference(car, ours.input_speed, bdf.input_speed);
        const double from_adams = difference(car, ours.input_speed, adams.input_speed);
        const double between = difference(car, bdf.input_speed, adams.input_speed);
        MESSAGE(fmt::format("{:.0f} ms: from BDF {:.1e}, from Adams {:.1e}, between these {:.1e}",
                            1e3 * end, from_bdf, from_adams, between));
        CHECK((end > 30e-3 || std::max(from_bdf, from_adams) < 1e-4));
        CHECK(std::min(from_bdf, from_adams) < 3.0 * between);
        CHECK(ours.impacts.size() == bdf.touches.size());
    }
}

TEST_CASE("the difference from the independent model falls as either tolerance is tightened") {
    const Scenario scenario = shipped("car_idle_firm_idle_stage");
    const IdleCar car = idle_car(scenario);
    const std::vector<double> tolerances = {1e-5, 1e-7, 1e-9, 1e-11};
    const auto ours = [&](double tolerance) {
        return general(scenario, 50e-3, 1e-4, tolerance).input_speed;
    };
    const auto theirs = [&](double tolerance) {
        return integrate(car, Formulas::bdf, 50e-3, 1e-4, tolerance).input_speed;
    };
    const std::vector<double> our_best = ours(tight);
    const std::vector<double> their_best = theirs(tight);
    std::string table =
        "tolerance   ours against the tightest CVODE   CVODE against our tightest\n";
    double our_last = 1.0;
    double their_last = 1.0;
    for (const double tolerance : tolerances) {
        const double our_miss = difference(car, ours(tolerance), their_best);
        const double their_miss = difference(car, our_best, theirs(tolerance));
        table += fmt::format("{:<11.0e} {:<34.2e} {:.2e}\n", tolerance, our_miss, their_miss);
        CHECK(our_miss < our_last);
        CHECK(their_miss < their_last);
        our_last = our_miss;
        their_last = their_miss;
    }
    MESSAGE(table);
}

// Single courses are not alike for long (see above), so the rates are means of three of them, each
// over two seconds. Touches slower than a twentieth of a radian per second are the last bounces of
// a gear coming to rest; they are very many and carry no energy.
TEST_CASE("tooth impacts per second agree with an independent model within 2 percent") {
    constexpr double settled = 0.5;  // s
    constexpr double end = 2.5;      // s
    constexpr double slow = 0.05;    // rad/s
    const std::vector<double> tolerances = {1e-6, 1e-7, 5e-8};
    for (const std::string name : {"car_idle_no_idle_stage", "car_idle_firm_idle_stage"}) {
        const Scenario scenario = shipped(name);
        const IdleCar car = idle_car(scenario);
        double ours = 0.0;
        double theirs = 0.0;
        for (const double tolerance : tolerances) {
            for (const Impact& i : general(scenario, end, 1e-3, tolerance).impacts) {
                if (i.time >= settled && i.closing_speed > slow) ours += 1.0;
            }
            for (const Course::Touch& t :
                 integrate(car, Formulas::bdf, end, 1e-3, tolerance).touches) {
                if (t.time >= settled && t.speed > slow) theirs += 1.0;
            }
        }
        const double seconds = static_cast<double>(tolerances.size()) * (end - settled);
        MESSAGE(fmt::format("{:<26} ours {:.1f}/s, reference {:.1f}/s", name, ours / seconds,
                            theirs / seconds));
        REQUIRE(theirs / seconds > 100.0);
        CHECK(ours == doctest::Approx(theirs).epsilon(0.02));
    }
}
