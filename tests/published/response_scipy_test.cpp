// SPDX-License-Identifier: MIT
// Transfer functions of a shipped car against SciPy.
#include "libdamper/solvers/response/transfer.hpp"
#include "libdamper/studies/operating_point.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;
using Complex = std::complex<double>;

TEST_CASE("the car in third gear answers as SciPy's solution of its state equations says") {
    // response_by_state_space.py beside this file, NumPy 1.24.2, SciPy 1.10.1: first-order state
    // equations of the same M, C and K (from the file of `damper response`) solved by
    // scipy.linalg.solve and, to 1e-4, by the sum over complex modes of scipy.linalg.eig. Ten
    // printed digits; both solutions round to the condition of the matrices, some 1e-10.
    // From the engine's torque to flywheel speed, gearbox input speed, acceleration of the vehicle
    // (as an inertia at the wheels) and torque in the left half shaft.
    struct Row {
        double frequency;
        Complex flywheel, input, vehicle, shaft;
    };
    const std::array rows = {
        Row{1.5,
            {0.03120340656, 0.01935839947},
            {0.03073423166, 0.009392530827},
            {0.04018269449, -0.002803591677},
            {2.653432289, -0.1328300273}},
        Row{4.0,
            {0.1086008345, 0.1507889337},
            {0.0970150654, 0.1089355288},
            {0.06435121896, -0.02242290634},
            {4.254737363, -1.22564463}},
        Row{5.6,
            {0.5159109013, 0.0461700154},
            {0.4082035875, 0.000487775911},
            {0.04092168077, -0.1302617413},
            {3.257541167, -8.091127142}},
        Row{12.0,
            {0.01015805558, -0.09824870053},
            {0.0004490421126, -0.08148575835},
            {-0.0140123511, -0.003134876837},
            {-0.7360923214, -0.3239237125}},
        Row{33.0,
            {0.002746078448, -0.02867845996},
            {-0.01717720837, -0.03361984442},
            {-0.001324093363, 0.005243554889},
            {-0.1424515367, -0.1359431725}},
        Row{60.0,
            {0.000937136375, -0.01724946175},
            {-0.02131107226, 0.00915468669},
            {0.0004336081736, -0.0002713291943},
            {-0.07261547656, 0.08513003451}},
        Row{139.0,
            {2.615207812e-06, -0.007034782351},
            {-0.0001915975181, 0.0008871606083},
            {2.942386434e-07, -2.775636972e-06},
            {0.0002207849563, 0.00380510888}},
        Row{400.0,
            {1.235516236e-07, -0.002425492319},
            {-4.761995579e-06, 2.919892702e-05},
            {-3.033767994e-10, -1.525163979e-08},
            {1.736644032e-05, 0.0001664487233}},
    };
    Scenario scenario = shipped_scenario("car_tip_in_2");
    OperatingSettings settings;
    settings.gear = "3";
    settings.speed = 1800.0 * std::numbers::pi / 30.0;
    settings.torque = 80.0;
    const OperatingPoint point = operating_point(scenario, settings);
    const Driveline& line = point.assembled.line;
    Transfer transfer(point.linear);
    const auto engine = static_cast<std::size_t>(point.assembled.engine);
    const auto at = [&](Observed observed, int index) {
        return transfer.between(engine, {observed, static_cast<std::size_t>(index)});
    };
    for (const Row& row : rows) {
        CAPTURE(row.frequency);
        transfer.set(2.0 * std::numbers::pi * row.frequency);
        const auto agree = [](Complex ours, Complex theirs) {
            CAPTURE(ours.real());
            CAPTURE(theirs.real());
            CHECK(std::abs(ours - theirs) <= 1e-8 * std::abs(theirs));
        };
        agree(at(Observed::speed, point.assembled.engine), row.flywheel);
        agree(at(Observed::speed, point.assembled.input_shaft), row.input);
        agree(at(Observed::acceleration, point.assembled.vehicle), row.vehicle);
        agree(at(Observed::torque, line.branch("half shaft left")), row.shaft);
    }
}
