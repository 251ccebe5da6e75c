// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// How a motion was found.
enum class OrbitMethod {
    balance,   ///< Harmonic balance.
    shooting,  ///< An exact run that closes, where the balance fails.
};

/// "balance" or "shooting".
[[nodiscard]] constexpr const char* method_name(OrbitMethod method) {
    return method == OrbitMethod::balance ? "balance" : "shooting";
}

/// A steady motion on the curve. Lists by signal, order or gear follow those of the record.
struct OrbitPoint {
    OrbitMethod method = OrbitMethod::balance;
    int periods = 1;              ///< Of the first order that it takes to repeat.
    double parameter = 0.0;       ///< What the curve is followed in: engine speed [rad/s], or the
                                  ///< value of the key that is varied.
    double engine_speed = 0.0;    ///< [rad/s]
    double engine_torque = 0.0;   ///< Mean, at the flywheel [N m]
    double holding_torque = 0.0;  ///< What keeps the mean speed: on the engine in neutral, on the
                                  ///< vehicle's wheels in gear [N m]
    int harmonics = 0;            ///< 0 by shooting, which has all.
    double truncation = 0.0;      ///< Share of the speed swing that harmonics left out would make.
    double closing_error = 0.0;   ///< What an exact run over one period does not close, relative to
                                  ///< the speed swing; 0 where stability was not asked for.
    int mode_changes = 0;         ///< In a period.
    bool judged = false;          ///< Whether stability is known.
    bool stable = false;
    double multiplier = 0.0;  ///< Largest, in magnitude, of those that are not neutral.
    bool is_fold = false;
    std::vector<std::vector<double>> amplitude;  ///< [signal][order], 0-to-peak
    std::vector<double> swing;                   ///< Peak to peak [signal].
    std::vector<double> rattle_ratio;  ///< [gear] inertia torque over drag at the loose gear.
};

/// An exact run at a speed of the curve, begun on it.
struct OrbitCheck {
    double parameter = 0.0;     ///< As of the point.
    double engine_speed = 0.0;  ///< [rad/s]
    bool finished = false;
    std::string trouble;         ///< Empty if finished.
    bool periodic = false;       ///< It repeats after some periods of the first order, 8 at most.
    int periods = 0;             ///< After how many; 0: after none.
    double period_change = 0.0;  ///< After them (or after as many as change least), of the input
                                 ///< shaft's speed swing.
    std::vector<double> curve;   ///< Amplitude of the gearbox input's speed by order [rad/s].
    std::vector<double> run;     ///< The same in the run [rad/s].
    double deviation = 0.0;      ///< Of the largest order, relative.
};

/// Up and down the parameter, the motion jumps at different values.
struct OrbitJump {
    double low = 0.0, high = 0.0;  ///< Parameters
};

/// Parameters without a curve.
struct OrbitGap {
    double low = 0.0, high = 0.0;  ///< Parameters
    std::string why;
};

/// A speed at which no motion that repeats was found, and what an exact run does there.
struct OrbitUnsettled {
    double parameter = 0.0;     ///< Asked for, as of a point.
    double engine_speed = 0.0;  ///< Asked for [rad/s]
    int periods = 0;            ///< Of the first order, after which the run changes least.
    double change = 0.0;        ///< What then changes, of the swing of the shaft or loose gear that
                                ///< changes most.
    double amplitude = 0.0;  ///< Gearbox input speed at the firing order, mean of the run [rad/s]
    bool repeats = false;    ///< It changes so little that it may repeat, but none was closed.
};

/// Steady motions over engine speed, or over a key of the description.
struct OrbitRecord {
    RunIdentity identity;
    std::string curve;            ///< "neutral", "pull", "overrun".
    std::string gear;             ///< Empty in neutral.
    double load = 0.0;            ///< Share of the peak torque in a pull.
    std::string loose_gears;      ///< "held" or "free".
    double from = 0.0, to = 0.0;  ///< Parameters asked for.
    /// What the parameter is: empty for the engine speed [rad/s], or the key of a description.
    std::string key;
    std::string key_units;        ///< UDUNITS; "1" where the value multiplies.
    bool key_multiplies = false;  ///< The value is a factor on what the files say.
    double engine_speed = 0.0;    ///< That is held while a key is varied [rad/s].
    double firing_order = 0.0;
    std::vector<double> orders;
    struct Signal {
        std::string name;   ///< "gearbox input speed", …
        std::string units;  ///< UDUNITS
    };
    std::vector<Signal> signals;
    std::vector<std::string> gears;  ///< Loose gears.
    std::vector<OrbitPoint> points;  ///< In the order in which the curve was followed.
    std::vector<double> folds;       ///< Parameters
    std::vector<OrbitJump> jumps;
    std::vector<OrbitGap> gaps;
    std::vector<OrbitUnsettled> unsettled;  ///< Falling in the parameter.
    std::vector<OrbitCheck> checks;
    bool complete = false;  ///< Some motion was found at both ends of the range.
    bool stopped = false;   ///< By request.
};

}  // namespace damper
